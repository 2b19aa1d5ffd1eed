package comparison

import (
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// cutSheet lists the pieces that were cut and serve no more.
func (w *revisionWriter) cutSheet(p *xlsx.Sheet) func() {
	top(p, "Cut pieces no longer needed", "Pieces of trim frames whose mark has the status cut or hung.")
	return func() {
		t := xlsx.NewTable(p, "WrongCuts", w.cutColumns())
		fillOr(t, w.in.Revision.Cut, map[string]xlsx.Cell{"Mark": xlsx.Str(xlsx.Text, "none")})
		p.Skip(1)
		t.Banner(xlsx.Note, "cut: the earlier estimate says so. check: only the later one says so; the piece was cut by the earlier list, or by a measurement since.")
	}
}

func (w *revisionWriter) cutColumns() []xlsx.Column[compare.WrongCut] {
	type cut = compare.WrongCut
	return []xlsx.Column[cut]{
		{Head: "Mark", Width: 14, Frozen: true, Cell: func(c cut) xlsx.Cell { return xlsx.Str(xlsx.Text, c.Mark) }},
		{Head: "Piece", Width: 14, Cell: func(c cut) xlsx.Cell { return xlsx.Str(xlsx.Text, c.Piece) }},
		{Head: "Item", Width: 20, Cell: func(c cut) xlsx.Cell { return xlsx.Str(xlsx.Text, c.Item) }},
		{Head: "Length, " + oneOf(w.u.MM, "mm", "in"), Width: 14, Cell: func(c cut) xlsx.Cell { return xlsx.Str(xlsx.TextRight, w.u.Shop(c.Length)) }},
		{Head: "Pieces", Width: 9, Cell: func(c cut) xlsx.Cell { return xlsx.Num(c.Count, xlsx.Count) }},
		{Head: "Needed now", Width: 15, Cell: func(c cut) xlsx.Cell {
			if !c.Now.Set {
				return dash()
			}
			return xlsx.Str(xlsx.TextRight, w.u.Shop(c.Now.V))
		}},
		{Head: "What it means", Width: 46, Cell: func(c cut) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, cutWords(c)) }},
		{Head: "Certainty", Width: 12, Cell: func(c cut) xlsx.Cell {
			if c.Sure {
				return xlsx.Str(xlsx.Bad, "cut")
			}
			return xlsx.Str(xlsx.Warn, "check")
		}},
	}
}

// cutWords says what a piece that was cut for nothing means.
func cutWords(c compare.WrongCut) string {
	switch {
	case c.Gone:
		return "the mark is dropped"
	case !c.Now.Set:
		return "more were cut than are needed"
	case c.Now.V > c.Length:
		return "too short: cut a new one"
	}
	return "too long: it may be cut down"
}
