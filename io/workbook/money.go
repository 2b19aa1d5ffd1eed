package workbook

import (
	"fmt"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// classCell begins the key under which bid keeps the sum of a class of materials.
const classCell = "class "

// moneyBlock shows where the money goes: the parts of the total, each with its
// share, and a picture of them. Every part refers to where it was worked out.
func (w *writer) moneyBlock() {
	p, bid := w.summary, w.in.Plan.Bid
	p.Skip(1)
	p.BreakBefore(p.Next())
	p.Row(xlsx.Str(xlsx.Section, "Where the money goes, "+w.in.Book.Job.Currency))
	head := p.Row(xlsx.Strs(xlsx.Heading, "Part of the total", "Amount", "Share", "What it is")...)
	first := p.Next()
	part := func(name, f string, v measure.Money, why string) {
		row := p.Next()
		share := measure.Rate(0)
		if bid.Total != 0 {
			share = measure.Rate(measure.MulDiv(int64(v), int64(measure.One), int64(bid.Total)))
		}
		total := w.bid["total cell"]
		p.Row(xlsx.Str(xlsx.Text, name), xlsx.Formula(f, v, xlsx.Money), xlsx.Formula(fmt.Sprintf("IF(%s=0,0,ROUND(B%d/%s,6))", total, row, total), share, xlsx.Percent), xlsx.Str(xlsx.TextWrap, why))
	}
	sums := w.classSums()
	for i, class := range estimate.Classes {
		part("Materials: "+class, w.bid[classCell+class], sums[i], "used by the openings: see By opening")
	}
	part("Materials not used", w.bid["not used"], w.in.Plan.Unused, "what is left of whole packs and boards: see Bought and used")
	for _, l := range []struct {
		name, at string
		v        measure.Money
	}{
		{"Windows and doors", "units", bid.Units}, {"Cost lines", "costs", bid.Costs}, {"Labour", "labour", bid.Labour}, {"Delivery", "delivery", bid.Delivery},
		{"Sales tax", "tax", bid.Tax}, {"Overhead", "overhead", bid.Overhead}, {"Contingency", "contingency", bid.Contingency}, {"Profit", "profit", bid.Profit},
	} {
		part(l.name, w.bid[l.at+" cell"], l.v, "")
	}
	last := p.Next() - 1
	p.Row(xlsx.Str(xlsx.TotalText, "Total"), xlsx.Formula(formula.SumOf("B", first, last), bid.Total, xlsx.Total), xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText))
	w.bid["money"] = p.Ref(last+1, 2)
	p.Skip(1)
	p.DrawBars(xlsx.BarChart{
		Width: xlsx.PixelsOf(summaryWidths), About: "Where the money goes: the parts of the total", Bars: p.Range(first, 1, last, 1),
		Series: []xlsx.BarSeries{{Name: p.Ref(head, 2), Values: p.Range(first, 2, last, 2), Fill: xlsx.MoneyFill}}, Format: xlsx.FormatCount, Values: true,
	}, last-first+1)
}

// classSums returns what the openings use of each class of materials.
func (w *writer) classSums() []measure.Money {
	sums := make([]measure.Money, len(estimate.Classes))
	for i, r := range w.in.Takeoff.Requirements {
		item, _ := w.in.Book.Items.Get(r.Item)
		if c := slices.Index(estimate.Classes, item.Class); c >= 0 {
			sums[c] += w.in.Plan.Share[i]
		}
	}
	return sums
}

// markBar are the last cells of a row of By opening, from a column on: materials
// and units of a mark, and its name in the picture, which says that sum.
func markBar(row, matCol, col int, o *estimate.Sized, whole measure.Money) []xlsx.Cell {
	f := fmt.Sprintf("SUM(%s,%s)", formula.Cell(row, matCol), formula.Cell(row, matCol+2))
	name := fmt.Sprintf("A%d&\" x \"&C%d&\":  \"&TEXT(%s,\"0\")", row, row, formula.Cell(row, col))
	units := measure.MulDiv(int64(whole), 1, 100) // half a unit up, as TEXT does
	return []xlsx.Cell{xlsx.Formula(f, whole, xlsx.Money), xlsx.Formula(name, fmt.Sprintf("%s x %d:  %d", o.Mark, o.Qty, units), xlsx.Text)}
}

// Of By opening, the marks of one picture, and how many pictures at most.
const (
	mostMarks        = 25
	mostMarkPictures = 6
)

// markPictures draws what each mark costs; barCol is the column of the names.
func (w *writer) markPictures(matCol, barCol, last int) {
	p := w.byOpening
	most := min(last, firstRow-1+mostMarks*mostMarkPictures)
	for first := firstRow; first <= most; first += mostMarks {
		end, begin := min(most, first+mostMarks-1), p.Next()
		p.Skip(1)
		p.Row(xlsx.Str(xlsx.Section, "What each mark costs, all of its openings, "+w.in.Book.Job.Currency))
		series := func(col int, fill string) xlsx.BarSeries {
			return xlsx.BarSeries{Name: p.Ref(firstRow-1, col), Values: p.Range(first, col, end, col), Fill: fill}
		}
		p.DrawBars(xlsx.BarChart{
			Width: xlsx.PixelsOf(p.Width[:matCol+2]), Size: 13, About: "What each mark costs: materials and units", Bars: p.Range(first, barCol, end, barCol),
			Series: []xlsx.BarSeries{series(matCol, xlsx.MoneyFill), series(matCol+2, xlsx.PartFills[0])}, Format: xlsx.FormatCount, Legend: true,
		}, end-first+1)
		p.KeepTogether(begin, p.Next())
	}
	if last > most {
		p.Row(xlsx.Str(xlsx.Note, fmt.Sprintf("Drawn are the first %d of %d marks.", most-firstRow+1, last-firstRow+1)))
	}
}
