package workbook

import (
	"fmt"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"strconv"
)

// costsSheet writes the job's free cost lines, with what each comes to.
func (w *writer) costsSheet() {
	p := w.costs
	w.lead(p, "Cost lines", "Free costs of the job: lift, dump fee, permit, travel.")
	p.Row(xlsx.Strs(xlsx.Heading, "Text", "Count", "Unit", "Price", "Taxable", "Extension")...)
	for _, c := range w.in.Book.Job.Costs {
		cells := []xlsx.Cell{xlsx.Str(xlsx.InputText, c.Text), xlsx.Blank(xlsx.InputCount), xlsx.Str(xlsx.InputText, c.Unit), xlsx.Blank(xlsx.InputUnitPrice), xlsx.Str(xlsx.InputText, xlsx.YesNo(c.Taxable)), costCell(p.Next(), notStated)}
		if c.Count.Set {
			cells[1].V = c.Count.V
		}
		if c.Price.Set {
			cells[3].V = c.Price.V
		}
		if c.Count.Set && c.Price.Set {
			cells[5].V = measure.Extension(c.Count.V, c.Price.V)
		}
		p.Row(cells...)
	}
	for range w.emptyRows(10) {
		p.Row(append(blanks(xlsx.InputText, xlsx.InputCount, xlsx.InputText, xlsx.InputUnitPrice, xlsx.InputText), costCell(p.Next(), ""))...)
	}
	p.WholeRange(typed(p, 2), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.DecimalRange(typed(p, 4), -1e7, 1e7, "Price", "An amount of money.")
	p.Choice(typed(p, 5), []string{"yes", "no"}, "Taxable", "yes or no")
	p.Widths(40, 10, 10, 12, 10, 14)
	p.Finish("CostLines", inputHeader, 6, 0)
	last := p.Next() - 1
	w.bid["cost column"] = p.Range(inputHeader+1, 6, last, 6)
	w.bid["cost taxable"] = p.Range(inputHeader+1, 5, last, 5)
}

// costCell is what a cost line comes to: nothing while it is empty, and in words
// while its count or its price is missing.
func costCell(row int, v any) xlsx.Cell {
	f := fmt.Sprintf(`IF(AND(ISNUMBER(B%[1]d),ISNUMBER(D%[1]d)),%[2]s,IF(A%[1]d&B%[1]d&D%[1]d="","","%[3]s"))`,
		row, formula.Cents("B"+strconv.Itoa(row)+"*D"+strconv.Itoa(row), formula.ExtensionDecimals), notStated)
	return xlsx.Formula(f, v, xlsx.Money)
}
