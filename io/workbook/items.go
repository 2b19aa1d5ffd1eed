package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// itemColumns are in the order of items.csv.
func itemColumns() []xlsx.Column[estimate.Item] {
	type row = estimate.Item
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(it row) xlsx.Cell { return filled(xlsx.InputText, of(it)) }
	}
	wrapped := func(of func(row) string) func(row) xlsx.Cell {
		return func(it row) xlsx.Cell { return filled(xlsx.InputTextWrap, of(it)) }
	}
	maybe := func(of func(row) estimate.Maybe[measure.Length]) func(row) xlsx.Cell {
		return func(it row) xlsx.Cell {
			if !of(it).Set {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, measure.FormatInches(of(it).V, 64))
		}
	}
	length := func(of func(row) measure.Length) func(row) xlsx.Cell {
		return maybe(func(it row) estimate.Maybe[measure.Length] {
			return estimate.Maybe[measure.Length]{V: of(it), Set: of(it) != 0}
		})
	}
	choose := func(of func(row) bool, yes, no string) func(row) xlsx.Cell {
		return text(func(it row) string {
			if of(it) {
				return yes
			}
			return no
		})
	}
	return []xlsx.Column[row]{
		{Head: "Key", Width: 20, Cell: text(func(it row) string { return it.Key })},
		{Head: "Name", Width: 32, Frozen: true, Cell: text(func(it row) string { return it.Name })},
		{Head: "Family", Width: 17, Cell: text(func(it row) string { return it.Family })},
		{Head: "Class", Width: 14, Cell: text(func(it row) string { return it.Class })},
		{Head: "Buy", Width: 6, Cell: choose(func(it row) bool { return it.Cut }, "cut", "pack")},
		{Head: "Need", Width: 8, Cell: text(func(it row) string { return estimate.DimensionWords[it.Dim] })},
		{Head: "Width", Width: 8, Cell: length(func(it row) measure.Length { return it.Width })},
		{Head: "Thickness", Width: 9, Cell: length(func(it row) measure.Length { return it.Thickness })},
		{Head: "Length", Width: 8, Cell: length(func(it row) measure.Length { return it.Length })},
		{Head: "Fits from", Width: 8, Cell: length(func(it row) measure.Length { return it.FitsFrom })},
		{Head: "Fits to", Width: 8, Cell: length(func(it row) measure.Length { return it.FitsTo })},
		{Head: "End", Width: 6, Cell: length(func(it row) measure.Length { return it.End })},
		{Head: "Lap", Width: 6, Cell: length(func(it row) measure.Length { return it.Lap })},
		{Head: "Gap", Width: 6, Cell: maybe(func(it row) estimate.Maybe[measure.Length] { return it.Gap })},
		{Head: "Coverage", Width: 9, Cell: func(it row) xlsx.Cell { return xlsx.Optional(it.Coverage, it.Coverage > 0, xlsx.InputCount) }},
		{Head: "Coverage unit", Width: 9, Cell: text(func(it row) string { return it.CoverageUnit })},
		{Head: "Openings a pack", Width: 9, Cell: func(it row) xlsx.Cell { return xlsx.Optional(it.Openings, it.Openings > 0, xlsx.InputCount) }},
		{Head: "Days open", Width: 7, Cell: func(it row) xlsx.Cell { return xlsx.Optional(it.DaysOpen, it.DaysOpen > 0, xlsx.InputCount) }},
		{Head: "Kerf", Width: 6, Cell: maybe(func(it row) estimate.Maybe[measure.Length] { return it.Kerf })},
		{Head: "End trim", Width: 9, Cell: maybe(func(it row) estimate.Maybe[measure.Length] { return it.EndTrim })},
		{Head: "Joint", Width: 6, Cell: text(func(it row) string { return estimate.JointWords[it.Joint] })},
		{Head: "Coil width", Width: 8, Cell: length(func(it row) measure.Length { return it.Coil })},
		{Head: "Flexible", Width: 7, Cell: choose(func(it row) bool { return it.Forms }, "yes", "no")},
		{Head: "Waste", Width: 10, Cell: text(func(it row) string { return it.Allowance })},
		{Head: "Min temp F", Width: 8, Cell: func(it row) xlsx.Cell { return xlsx.Optional(it.MinTempF.V, it.MinTempF.Set, xlsx.InputCount) }},
		{Head: "Where", Width: 7, Cell: choose(func(it row) bool { return it.Site }, "site", "shop")},
		{Head: "Cost code", Width: 10, Cell: text(func(it row) string { return it.CostCode })},
		{Head: "Notes", Width: 40, Cell: wrapped(func(it row) string { return it.Notes })},
		{Head: "Basis", Width: 18, Cell: text(func(it row) string { return it.Basis })},
		{Head: "Source", Width: 44, Cell: wrapped(func(it row) string { return it.Source })},
	}
}

var itemRoles = inputRoles{free: []string{"Notes", "Basis", "Source"}}

func (w *writer) itemsSheet(p *xlsx.Sheet) {
	w.lead(p, "Items", "What can be bought, without prices. Lengths in inches.")
	t := xlsx.NewTable(p, "ItemList", roled(w, itemRoles, itemColumns()))
	t.Header()
	for _, it := range w.in.Book.Items.List() {
		t.Row(it)
	}
	p.AcrossPages(2)
	t.Finish()
	w.hold(watch("Items", &t.Grid, itemRoles, "Key"))
}
