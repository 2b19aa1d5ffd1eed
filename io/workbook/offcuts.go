package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/cutting"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// remnant is a length that is left of boards, so many times, and what it is for.
type remnant struct {
	item   string
	length measure.Length
	count  int
	notes  string
}

// offcutsSheet lists what the plans leave over, in the form of the sheet On
// hand: when all is cut, and before that, while pieces are on hold.
func (w *writer) offcutsSheet(p *xlsx.Sheet) {
	pieces, purchases := w.cuts()
	useful := w.in.Book.Job.UsefulOffcut
	w.top(p, "Offcuts", "What the plans on Boards leave of each board. Paste the lines of a list into the sheet On hand of the next schedule, or of this one.")
	p.Freeze(p.Next()-1, 0)
	remnants(p, w.u, "After everything is cut: offcuts of "+w.u.Words(useful)+" or longer (shortest offcut to keep, on Job)", usefulOffcuts(purchases, useful))
	if waiting := pieces.waitingBoards(purchases, useful); len(waiting) > 0 {
		p.Skip(1)
		remnants(p, w.u, "After only the released trim frames are cut: whole boards, and boards with pieces on hold", waiting)
		p.Row(xlsx.Str(xlsx.Subtitle, "After that day in the shop: paste this list into On hand, type the day under Counted, set Status to cut for the "+
			"marks that are, "+
			"type the field measurements of the others, and run estimate again."))
	}
}

// remnantColumns begin as those of On hand do, so that lines can be pasted there.
func remnantColumns(u estimate.Units) []xlsx.Column[remnant] {
	return []xlsx.Column[remnant]{
		{Head: "Item", Width: 20, Cell: func(r remnant) xlsx.Cell { return xlsx.Str(xlsx.Text, r.item) }},
		{Head: "Length", Width: 16, Cell: func(r remnant) xlsx.Cell { return xlsx.Str(xlsx.TextRight, u.Words(r.length)) }},
		{Head: "Count", Width: 9, Cell: func(r remnant) xlsx.Cell { return xlsx.Num(r.count, xlsx.Count) }},
		{Head: "Notes", Width: 70, Cell: func(r remnant) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.notes) }},
		{Head: "Length, " + u.Name(estimate.Lengthwise), Width: 12, Cell: func(r remnant) xlsx.Cell { return xlsx.Num(u.Length(r.length), xlsx.Inches) }},
	}
}

// remnants writes a list under a heading.
func remnants(p *xlsx.Sheet, u estimate.Units, head string, list []remnant) {
	p.Row(xlsx.Str(xlsx.Section, head))
	t := xlsx.NewTable(p, "Remnants", remnantColumns(u))
	t.Header()
	for _, r := range list {
		t.Row(r)
	}
	if len(list) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "none"))
	}
}

// usefulOffcuts returns the offcuts of the plans of at least a length, in the
// order of the purchases, the longest of each item first.
func usefulOffcuts(purchases []pricing.Purchase, least measure.Length) []remnant {
	offcut := func(b cut.Board) (measure.Length, string) { return b.Offcut, "" }
	return gatherRemnants(purchases, least, func(pricing.CutPlan) boardRest { return offcut })
}

// waitingBoards returns what is left of the boards for trim when only the trim
// frames that are released have been cut; nothing if none waits. Other items are
// not touched on that day.
func (t takeoffPieces) waitingBoards(purchases []pricing.Purchase, least measure.Length) []remnant {
	waits := false
	list := gatherRemnants(purchases, least, func(c pricing.CutPlan) boardRest {
		if !slices.ContainsFunc(c.Pieces, t.isTrim) {
			return nil
		}
		return func(b cut.Board) (measure.Length, string) {
			left := c.Problem.Stocks[b.Stock].Length
			if !c.Problem.Stocks[b.Stock].Trimmed {
				left -= c.Problem.HeadTrim + c.Problem.TailTrim
			}
			var reserved []string
			for i, on := range c.On(b) {
				names := t.waiting(c, on)
				if len(names) == 0 {
					left -= c.Problem.Pieces[b.Pieces[i]].Length + c.Problem.Kerf
					continue
				}
				reserved = append(reserved, names...)
			}
			waits = waits || len(reserved) > 0
			if len(reserved) == 0 {
				return b.Offcut, ""
			}
			return left, "for " + countedWords(reserved)
		}
	})
	if !waits {
		return nil
	}
	return list
}

// boardRest returns what is left of a board, and what is to be said of it.
type boardRest func(cut.Board) (measure.Length, string)

// waiting names the pieces, cut off as one, that are not cut with the trim frames
// that are released: none if they are.
func (t takeoffPieces) waiting(c pricing.CutPlan, on []int) (names []string) {
	waits := false
	for _, k := range on {
		piece := c.Pieces[k]
		waits = waits || !t.mayCut(piece) || !t.isTrim(piece)
		name := "spare"
		if r := t.requirement(piece); r != nil {
			name = t.takeoff.Openings[piece.Opening].Mark + " " + r.Name
		}
		names = append(names, t.u.Shop(piece.Length)+" "+name)
	}
	if !waits {
		return nil
	}
	return names
}

// countedWords joins words, like ones counted.
func countedWords(words []string) string {
	var out []string
	for len(words) > 0 {
		n := 1
		for n < len(words) && words[n] == words[0] {
			n++
		}
		w := words[0]
		if n > 1 {
			w = fmt.Sprintf("%d x %s", n, w)
		}
		out, words = append(out, w), words[n:]
	}
	return strings.Join(out, ", ")
}

// gatherRemnants lists what is left of every board, like lengths of an item for the same
// purpose together, the longest of each item first. What is for no purpose is
// left out below a length.
func gatherRemnants(purchases []pricing.Purchase, least measure.Length, of func(pricing.CutPlan) boardRest) (list []remnant) {
	for _, buy := range purchases {
		var same cutting.Groups[remnant, remnant] // by all but their count
		for _, c := range buy.Plans {
			rest := of(c)
			if rest == nil {
				continue
			}
			for _, b := range c.Plan.Boards {
				length, notes := rest(b)
				if length <= 0 || notes == "" && length < least {
					continue
				}
				r := remnant{item: buy.Item.Key, length: length, notes: notes}
				at, first := same.Group(r)
				if first {
					*at = r
				}
				at.count++
			}
		}
		slices.SortStableFunc(same.List, func(a, b remnant) int { return cmp.Compare(b.length, a.length) })
		list = append(list, same.List...)
	}
	return list
}
