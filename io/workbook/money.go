package workbook

import (
	"fmt"
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
	p.skip(1)
	p.breakBefore(p.next())
	p.row(str(section, "Where the money goes, "+w.in.Book.Job.Currency))
	head := p.row(strs(heading, "Part of the total", "Amount", "Share", "What it is")...)
	first := p.next()
	part := func(name, f string, v measure.Money, why string) {
		row := p.next()
		share := measure.Rate(0)
		if bid.Total != 0 {
			share = measure.Rate(measure.MulDiv(int64(v), int64(measure.One), int64(bid.Total)))
		}
		total := w.bid["total cell"]
		p.row(str(text, name), formula(f, v, money), formula(fmt.Sprintf("IF(%s=0,0,ROUND(B%d/%s,6))", total, row, total), share, percent), str(textWrap, why))
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
	last := p.next() - 1
	p.row(str(totalText, "Total"), formula(sumOf("B", first, last), bid.Total, total), blank(totalText), blank(totalText))
	w.bid["money"] = p.ref(last+1, 2)
	p.skip(1)
	p.drawBars(barChart{
		width: pixelsOf(summaryWidths), about: "Where the money goes: the parts of the total", bars: p.span(first, 1, last, 1),
		series: []barSeries{{name: p.ref(head, 2), values: p.span(first, 2, last, 2), fill: moneyFill}}, format: formatCount, values: true,
	}, last-first+1)
}

// moneyFill is the fill of a bar that stands for money. Its neighbour is white.
const moneyFill = "8C99A6"

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

// Sizes of a picture of money, in its type.
const (
	moneyBar   = 2.2
	moneyFrame = 8 // axis and legend
)

// drawBars puts a picture of so many bars below what is written.
func (p *page) drawBars(c barChart, bars int) {
	c.row, c.col, c.height = p.next(), 1, int((float64(bars)*moneyBar+moneyFrame)*c.points())
	p.chart(c)
	p.skip((c.height+rowPixels-1)/rowPixels + 1)
}

// markBar are the last cells of a row of By opening, from a column on: materials
// and units of a mark, and its name in the picture, which says that sum.
func markBar(row, matCol, col int, o *estimate.Sized, whole measure.Money) []cell {
	f := fmt.Sprintf("SUM(%s,%s)", ref(row, matCol), ref(row, matCol+2))
	name := fmt.Sprintf("A%d&\" x \"&C%d&\":  \"&TEXT(%s,\"0\")", row, row, ref(row, col))
	units := measure.MulDiv(int64(whole), 1, 100) // half a unit up, as TEXT does
	return []cell{formula(f, whole, money), formula(name, fmt.Sprintf("%s x %d:  %d", o.Mark, o.Qty, units), text)}
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
		end, begin := min(most, first+mostMarks-1), p.next()
		p.skip(1)
		p.row(str(section, "What each mark costs, all of its openings, "+w.in.Book.Job.Currency))
		series := func(col int, fill string) barSeries {
			return barSeries{name: p.ref(firstRow-1, col), values: p.span(first, col, end, col), fill: fill}
		}
		p.drawBars(barChart{
			width: pixelsOf(p.width[:matCol+2]), size: 13, about: "What each mark costs: materials and units", bars: p.span(first, barCol, end, barCol),
			series: []barSeries{series(matCol, moneyFill), series(matCol+2, partFills[0])}, format: formatCount, legend: true,
		}, end-first+1)
		p.keepTogether(begin, p.next())
	}
	if last > most {
		p.row(str(note, fmt.Sprintf("Drawn are the first %d of %d marks.", most-firstRow+1, last-firstRow+1)))
	}
}
