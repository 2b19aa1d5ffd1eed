package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// itemHeads are the columns of the Items sheet, in the order of items.csv.
var itemHeads = []string{"Key", "Name", "Family", "Class", "Buy", "Need", "Width", "Thickness", "Length", "Fits from", "Fits to", "End", "Lap", "Gap", "Coverage", "Coverage unit", "Kerf", "Squaring", "Joint", "Coil width", "Forms", "Allowance", "Min temp F", "Where", "Cost code", "Notes", "Source"}

func (w *writer) itemsSheet() {
	p := w.items
	w.lead(p, "Items", "What can be bought, without prices. Lengths in inches.")
	p.Row(xlsx.Strs(xlsx.Heading, itemHeads...)...)
	for _, it := range w.in.Book.Items.List() {
		l := func(v measure.Length) xlsx.Cell {
			if v == 0 {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, measure.FormatInches(v, 64))
		}
		maybe := func(v estimate.Maybe[measure.Length]) xlsx.Cell {
			if !v.Set {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, measure.FormatInches(v.V, 64))
		}
		coverage, temp := xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputCount)
		if it.Coverage > 0 {
			coverage.V = it.Coverage
		}
		if it.MinTempF.Set {
			temp.V = it.MinTempF.V
		}
		p.Row(
			xlsx.Str(xlsx.InputText, it.Key), xlsx.Str(xlsx.InputText, it.Name), xlsx.Str(xlsx.InputText, it.Family), xlsx.Str(xlsx.InputText, it.Class),
			xlsx.Str(xlsx.InputText, map[bool]string{true: "cut", false: "pack"}[it.Cut]), xlsx.Str(xlsx.InputText, estimate.DimensionWords[it.Dim]),
			l(it.Width), l(it.Thickness), l(it.Length), l(it.FitsFrom), l(it.FitsTo), l(it.End), l(it.Lap), maybe(it.Gap),
			coverage, xlsx.Str(xlsx.InputText, it.CoverageUnit), maybe(it.Kerf), maybe(it.Squaring), xlsx.Str(xlsx.InputText, estimate.JointWords[it.Joint]), l(it.Coil), xlsx.Str(xlsx.InputText, xlsx.YesNo(it.Forms)),
			xlsx.Str(xlsx.InputText, it.Allowance), temp, xlsx.Str(xlsx.InputText, map[bool]string{true: "site", false: "shop"}[it.Site]), xlsx.Str(xlsx.InputText, it.CostCode), xlsx.Str(xlsx.InputTextWrap, it.Notes), xlsx.Str(xlsx.InputTextWrap, it.Source),
		)
	}
	p.Widths(20, 32, 17, 14, 6, 8, 8, 9, 8, 8, 8, 6, 6, 6, 9, 9, 6, 9, 6, 8, 7, 10, 8, 7, 10, 40, 44)
	p.AcrossPages(2)
	p.Finish("ItemList", inputHeader, len(itemHeads), 2)
}
