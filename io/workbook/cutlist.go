package workbook

import (
	"cmp"
	"slices"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

const tickHeight = 22.0 // points: room for a pencil

// sawCaution stands above the columns on every page.
const sawCaution = "CAUTION  Eye and ear protection, and a mask against dust; fiber cement gives off silica dust: cut wet or " +
	"with dust extraction, and wear a respirator. " +
	"Follow the saw manufacturer's instructions; local rules govern."

// cutListSheet writes what is cut, by profile: each length once, so that the stop
// is set once for it, a pair of legs included. What is held and what is spare
// is not to be cut; what was cut before is not there. Blocks that fit on a page
// share it; the first that is no board begins one.
func (w *writer) cutListSheet(p *xlsx.Sheet) {
	w.top(p, "Cut list", "Each length once, longest first. Cut the first piece, measure it, then cut the rest.")
	p.Landscape(false)
	pieces, purchases := w.cuts()
	s := cutListWriter{pieces, p, xlsx.NewTable(p, "CutList", stopColumns(w.u))}
	caution := s.t.Banner(xlsx.Big, sawCaution)
	header := s.t.Header()
	p.Freeze(header, 0)
	p.TitleRows(caution, header)
	places, list := w.factoryPlaces(pieces.takeoff), boardsFirst(purchases)
	for i, buy := range list {
		if i > 0 && fromBoards(buy) != fromBoards(list[i-1]) {
			p.BreakBefore(p.Next())
		}
		for _, c := range buy.Plans {
			first := p.Next()
			s.block(buy, c, places)
			p.KeepTogether(first, p.Next()-1)
			p.Skip(1)
		}
	}
	if p.Next() == header+1 {
		p.Row(xlsx.Str(xlsx.Text, "Nothing is cut."))
	}
	s.t.Put(masterRow, map[string]xlsx.Cell{
		"Label":       xlsx.Str(xlsx.TextRight, "Pieces missing, or listed twice:"),
		"Factory end": xlsx.Formula("SUM("+s.t.Rows(masterRow+1, p.Next(), "Adds up to 0").String()+")", 0, xlsx.Count),
	})
}

// boardsFirst returns the purchases that are cut, boards before all others.
func boardsFirst(all []pricing.Purchase) (list []pricing.Purchase) {
	for _, buy := range all {
		if len(buy.Plans) > 0 {
			list = append(list, buy)
		}
	}
	slices.SortStableFunc(list, func(a, b pricing.Purchase) int {
		return cmp.Compare(fromBoards(a), fromBoards(b))
	})
	return list
}

func fromBoards(p pricing.Purchase) int {
	if p.Item.Class == estimate.ClassBoards {
		return 0
	}
	return 1
}

// factoryPlaces returns where the pieces of trim frames want their factory end.
func (w *writer) factoryPlaces(t *estimate.Takeoff) map[opensPiece]string {
	places := map[opensPiece]string{}
	at := map[string][]int{} // openings of the takeoff, by mark
	for i, o := range t.Openings {
		at[o.Mark] = append(at[o.Mark], i)
	}
	for _, f := range w.trim {
		for _, m := range f.Marks {
			for _, x := range f.Pieces {
				for _, i := range at[w.in.Takeoff.Openings[m.Opening].Mark] {
					places[opensPiece{i, string(x.Name)}] = x.Factory
				}
			}
		}
	}
	return places
}

// stop is a row of the cut list: a setting of the stop, and the pieces of its profile
// that are cut with it and before.
type stop struct {
	setting
	soFar int
}

// stopColumns are those of Cut list. What is not printed is what the check of the pieces
// is made from: only the line below a profile fills it.
func stopColumns(u estimate.Units) []xlsx.Column[stop] {
	return []xlsx.Column[stop]{
		{Head: "Tick", Width: 6, Cell: func(stop) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
		{Head: "Count", Width: 7, Cell: func(s stop) xlsx.Cell { return xlsx.Num(s.count, xlsx.BigCount) }},
		{Head: "Set the stop", Width: 14, Cell: func(s stop) xlsx.Cell { return xlsx.Str(xlsx.BigRight, u.Shop(s.length)) }},
		{Head: u.Name(estimate.Lengthwise), Width: 10.5, Cell: func(s stop) xlsx.Cell { return xlsx.Num(u.Length(s.length), xlsx.Inches) }},
		{Head: "So far", Width: 7, Cell: func(s stop) xlsx.Cell {
			running := "{^So far}+{Count}"
			if s.soFar == s.count {
				running = "{Count}"
			}
			return xlsx.Formula(running, s.soFar, xlsx.Count)
		}},
		{Head: "Patterns on Boards", Width: 15, Cell: func(s stop) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, patternWords(s.boards)) }},
		{Head: "Label", Width: 32, Cell: func(s stop) xlsx.Cell { return xlsx.Str(xlsx.Big, s.labelWords()) }},
		{Head: "Factory end", Width: 15, Cell: func(s stop) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s.factoryWords()) }},
		{Head: "Not to cut", Width: 11, Unprinted: true},
		{Head: "In the plan", Width: 11, Unprinted: true},
		{Head: "Adds up to 0", Width: 12, Unprinted: true},
	}
}

// cutListWriter writes the profiles of a cut list one below the other.
type cutListWriter struct {
	takeoffPieces
	p *xlsx.Sheet
	t *xlsx.Table[stop]
}

// block writes one profile.
func (s cutListWriter) block(buy pricing.Purchase, c pricing.CutPlan, places map[opensPiece]string) {
	profile := s.sawProfile(c, places)
	s.t.Banner(xlsx.BigHead, cmp.Or(buy.Item.Name, buy.Item.Key))
	for _, words := range append(s.fetchWords(c, profile), s.sawWords(c, profile, fromBoards(buy) == 0)) {
		s.t.Banner(xlsx.Big, words)
	}
	first, soFar := s.p.Next(), 0
	for _, x := range profile.settings {
		soFar += x.count
		s.p.MinHeight(s.t.Row(stop{x, soFar}), tickHeight)
	}
	s.sum(c, profile, first)
	if len(profile.whole) > 0 {
		s.t.Banner(xlsx.Big, "DO NOT CUT (on hold, spare, or cut already); write its pattern number on it: "+s.wholeWords(profile.whole))
	}
	s.p.Skip(1)
}

// sum writes the sum of the settings, the first of which stands in a row, and by how
// much it and what is left whole differ from the pieces that the plan was asked for.
func (s cutListWriter) sum(c pricing.CutPlan, profile sawProfile, first int) {
	listed, planned := countOf(profile.settings), int64(0)
	for _, piece := range c.Pieces {
		planned += piece.Count
	}
	cells := map[string]xlsx.Cell{
		"Count":        xlsx.Formula(s.t.SumRows(first, s.p.Next()-1, "Count"), listed, xlsx.TotalCount),
		"Label":        xlsx.Str(xlsx.TotalText, "to cut now"),
		"Not to cut":   xlsx.Num(countOf(profile.whole), xlsx.TotalCount),
		"In the plan":  xlsx.Num(planned, xlsx.TotalCount),
		"Adds up to 0": xlsx.Formula("ABS({Count}+{Not to cut}-{In the plan})", 0, xlsx.TotalCount),
	}
	if listed == 0 {
		cells["Count"], cells["Label"] = xlsx.Num(0, xlsx.TotalCount), xlsx.Str(xlsx.TotalText, "Nothing to cut yet.")
	}
	s.t.Foot(xlsx.TotalText, cells)
}
