package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// receivingColumns are the columns of Receiving, a row a sort of unit.
func (w *writer) receivingColumns() []xlsx.Column[estimate.Receipt] {
	return []xlsx.Column[estimate.Receipt]{
		{Head: "Rec'd", Width: 8, Cell: arrivedCell},
		{Head: "Mark", Width: 10, Frozen: true, Cell: func(r estimate.Receipt) xlsx.Cell { return xlsx.Str(xlsx.Big, r.Mark) }},
		{Head: "Count", Width: 8, Cell: func(r estimate.Receipt) xlsx.Cell { return xlsx.Formula(w.qtyCell(r.Opening), r.Count, xlsx.BigCount) }},
		{Head: "Size ordered", Width: 24, Cell: func(r estimate.Receipt) xlsx.Cell { return xlsx.Str(xlsx.Big, w.orderedWords(r)) }},
		{Head: "Mulled units", Width: 18, Cell: func(r estimate.Receipt) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.mulledWords(r)) }},
		{Head: "Kind", Width: 12, Cell: func(r estimate.Receipt) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, string(r.Kind)) }},
		{Head: "Operation", Width: 12, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(r.Operation) }},
		{Head: "Hand", Width: 9, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(r.Hand) }},
		{Head: "Flange", Width: 12, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(string(r.Flange)) }},
		{Head: "Tempered", Width: 13, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(r.Tempered) }},
		{Head: "Furnished by", Width: 11, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(string(r.FurnishedBy)) }},
		{Head: "Status", Width: 10.5, Cell: func(r estimate.Receipt) xlsx.Cell { return toFill(string(r.Status)) }},
		{Head: "Damage, notes", Width: 26, Cell: func(estimate.Receipt) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
	}
}

// unitHeight is the height of a line for a unit, in points.
const unitHeight = 28.0

// receivingSheet lists the units to tick when they arrive. What the schedule does
// not say is a box to fill in at the tailgate.
func (w *writer) receivingSheet(p *xlsx.Sheet) {
	w.top(p, "Receiving", "Check size, hand, flange, tempered-glass label and damage BEFORE you sign; write what is wrong on the delivery ticket.")
	t := xlsx.NewTable(p, "UnitsReceived", w.receivingColumns())
	for _, s := range w.liftWords() {
		t.Banner(xlsx.Big, s)
	}
	receipts := estimate.Receiving(w.in.Takeoff)
	for _, s := range w.glazingWords(receipts) {
		t.Banner(xlsx.Note, s)
	}
	t.Header()
	openings := int64(0)
	for _, r := range receipts {
		openings += r.Count
		p.MinHeight(t.Row(r), unitHeight)
	}
	t.Finish()
	if t.Empty() {
		t.Line(xlsx.Span{From: "Rec'd", Cell: xlsx.Str(xlsx.Text, "No units to receive.")})
	} else {
		t.Line(xlsx.Span{From: "Rec'd", Cell: xlsx.Blank(xlsx.TotalText)}, xlsx.Span{From: "Mark", Cell: xlsx.Str(xlsx.TotalText, "Openings")},
			xlsx.Span{From: "Count", Cell: xlsx.Formula(t.Sum("Count"), openings, xlsx.TotalCount)})
	}
	w.ownersMaterials(p)
}

// arrivedCell is the box to tick, or says that the unit is there.
func arrivedCell(r estimate.Receipt) xlsx.Cell {
	if r.Arrived {
		return xlsx.Str(xlsx.Tick, "on site")
	}
	return xlsx.Blank(xlsx.Tick)
}

// liftWords says who lifts what.
func (w *writer) liftWords() []string {
	out := []string{"CAUTION  Two people or more for large units. Stand them upright, out of the weather."}
	for _, words := range estimate.UnloadingCautions(w.in.Book, w.in.Takeoff) {
		out = append(out, "CAUTION  "+words)
	}
	return out
}

// glazingWords says what check means under Tempered, and for what glass was not looked at.
func (w *writer) glazingWords(receipts []estimate.Receipt) []string {
	var out []string
	if slices.ContainsFunc(receipts, func(r estimate.Receipt) bool { return r.Tempered != "" && r.Tempered != string(r.Stated) }) {
		out = append(out, "Tempered, check: this glass may have to be safety glazing by a section of the International Residential Code (IRC): "+
			"look for its label. Local code governs.")
	}
	if list := estimate.GlazingNotChecked(w.in.Takeoff.Openings); len(list) > 0 {
		out = append(out, "Not checked at marks for which the schedule does not say enough (see Checks): "+strings.Join(list, ", ")+". No flag is no approval.")
	}
	return out
}

// toFill is a cell of what the schedule says, or a box to write it in.
func toFill(s string) xlsx.Cell {
	if s == "" {
		return xlsx.Blank(xlsx.Tick)
	}
	return xlsx.Str(xlsx.TextWrap, s)
}

// orderedWords is the size of a unit as ordered, with its depth where that is
// known.
func (w *writer) orderedWords(r estimate.Receipt) string {
	s := w.u.Size(r.Size)
	if r.Depth.Set {
		s += "\n" + w.u.Shop(r.Depth.V) + " jamb depth"
	}
	return s
}

// mulledWords lists the sizes of mulled units, like ones counted: two units of a
// kind come as "2 x (24 x 60)".
func (w *writer) mulledWords(r estimate.Receipt) string {
	var out []string
	for i := 0; i < len(r.UnitSizes); {
		n := 1
		for i+n < len(r.UnitSizes) && r.UnitSizes[i+n] == r.UnitSizes[i] {
			n++
		}
		s := w.u.Size(r.UnitSizes[i])
		if n > 1 {
			s = fmt.Sprintf("%d x (%s)", n, s)
		}
		out, i = append(out, s), i+n
	}
	return strings.Join(out, "; ")
}
