package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing/compare"
)

// kindsSheet writes what the openings of each kind take, a row a job and kind.
func (w *compareWriter) kindsSheet() {
	p, far, wide := w.kinds, w.u.far(), w.u.name(estimate.Areawise)
	w.top(p, "By kind of opening", fmt.Sprintf("In %s. Materials are all that was bought, shared by need; without delivery, tax and what is added to cost.", w.currency()))
	heads := []string{"Kind", "Job", "Openings", "Perimeter, " + far, "Area, " + wide, "Materials", "Windows and doors", "Materials an opening", "A " + far, "A " + wide, "With the unit, an opening"}
	p.row(strs(heading, heads...)...)
	for _, kind := range estimate.Kinds {
		for i, job := range w.in.Comparison.Jobs {
			for _, k := range job.Kinds {
				if string(k.Kind) == kind {
					p.row(w.kindRow(p.next(), w.in.Sides[i].Name, k)...)
				}
			}
		}
	}
	p.finish("JobKinds", compareHeader, len(heads), 2)
	p.widths(15, 17, 11, 12, 11, 13, 13, 13, 11, 11, 14)
}

func (w *compareWriter) kindRow(row int, job string, k compare.KindCost) []cell {
	at := func(col string) string { return col + itoa(row) }
	per := func(v measure.Money, size, unit int64) estimate.Maybe[measure.Money] {
		return estimate.Given(measure.Money(measure.MulDiv(int64(v), unit, size)))
	}
	units, all := num(k.Units, money), per(k.Materials+k.Units, k.Openings, 1)
	if k.NoUnit > 0 {
		units, all = str(textRight, notStated), estimate.Maybe[measure.Money]{}
	}
	with := fmt.Sprintf("IF(ISNUMBER(%s),%s,\"%s\")", at("G"), cents(fmt.Sprintf("(%s+%s)/%s", at("F"), at("G"), at("C")), shareDecimals), none)
	last := formula(with, none, textRight)
	if all.Set {
		last = formula(with, all.V, money)
	}
	return []cell{str(text, string(k.Kind)), str(text, job), num(k.Openings, count), num(w.u.farOf(k.Perimeter), number), num(w.u.of(estimate.Areawise, int64(k.Area)), number), num(k.Materials, money), units,
		over(at("F"), at("C"), per(k.Materials, k.Openings, 1)),
		over(at("F"), at("D"), per(k.Materials, int64(k.Perimeter), int64(w.u.farBase()))),
		over(at("F"), at("E"), per(k.Materials, int64(k.Area), int64(w.u.by[estimate.Areawise].base))), last}
}

// stockSheet writes how much of what was bought is needed.
func (w *compareWriter) stockSheet() {
	p, far := w.stock, w.u.far()
	w.top(p, "Bought and used", "Of lengths, what is not used is saw cuts, squared ends, spares and offcuts together: Boards in each estimate tells them apart.")
	p.row(strs(heading, "Class", "Job", "Bought as", "Items", "Cost", "Not used", "Part not used", "Needed, "+far, "Bought, "+far, "Used of length", "Not counted")...)
	for _, class := range compare.CostClasses() {
		for i, job := range w.in.Comparison.Jobs {
			for _, u := range job.Stock {
				if u.Class == class {
					p.row(w.stockRow(p.next(), w.in.Sides[i].Name, u)...)
				}
			}
		}
	}
	p.finish("JobStock", compareHeader, 11, 2)
	p.widths(17, 17, 11, 8, 12, 12, 11, 12, 12, 11, 40)
}

func (w *compareWriter) stockRow(row int, job string, u compare.StockUse) []cell {
	as, need, bought := "packs", str(textRight, none), str(textRight, none)
	if u.Cut {
		as, need, bought = "lengths", num(w.u.farOf(u.Need), number), num(w.u.farOf(u.Bought), number)
	}
	return []cell{str(text, u.Class), str(text, job), str(text, as), num(u.Items, count), num(u.Cost, money), num(u.Unused, money), rateOf(ref(row, 6), ref(row, 5), int64(u.Unused), int64(u.Cost)),
		need, bought, rateOf(ref(row, 8), ref(row, 9), int64(u.Need), int64(u.Bought)), str(textWrap, strings.Join(u.NotTold, ", "))}
}

// bySpread returns the items whose prices can be compared, those that differ
// most first.
func (w *compareWriter) bySpread() []compare.ItemPaid {
	return slices.SortedStableFunc(slices.Values(w.in.Comparison.Items), func(a, b compare.ItemPaid) int {
		return cmp.Compare(b.Spread().V, a.Spread().V)
	})
}

// pricesSheets write what was paid for the same item: a row a price, and a row
// an item that follows from them.
func (w *compareWriter) pricesSheets() {
	p, items := w.paid, w.bySpread()
	w.top(w.spread, "Unit prices", fmt.Sprintf("In %s: what jobs paid for the same item, over all packs or lengths bought of it; what differs most comes first. Without delivery and tax.", w.currency()))
	w.top(p, "Prices paid", fmt.Sprintf("In %s. Price = cost / bought, in the unit of the column Per.", w.currency()))
	p.row(strs(heading, "Item", "Per", "Job", "Supplier", "Prices of", "Bought", "Cost", "Price", "Over the least")...)
	w.spread.row(strs(heading, "Item", "Name", "Per", "Jobs", "Least", "Paid by", "Median", "Most", "Paid by more", "Most over least")...)
	if len(items) == 0 {
		w.spread.row(str(text, "no item is bought by two jobs"))
		p.row(str(text, "no item is bought by two jobs"))
	}
	for _, it := range items {
		w.itemRows(it)
	}
	p.finish("PricesPaid", compareHeader, 9, 1)
	p.widths(24, 11, 17, 30, 24, 12, 12, 11, 11)
	w.spread.finish("UnitPrices", compareHeader, 10, 1)
	w.spread.widths(24, 36, 11, 8, 11, 17, 11, 11, 17, 11)
	w.spreadBars(items)
}

func (w *compareWriter) itemRows(it compare.ItemPaid) {
	p, s := w.paid, w.spread
	least, most := it.Ends()
	first, own := p.next(), s.next()
	last := first + len(it.Paid) - 1
	for _, x := range it.Paid {
		row := p.next()
		over := compare.OverLowest(measure.Money(x.Price), measure.Money(least.Price))
		p.row(str(text, it.Item.Key), str(text, it.Per), str(text, w.in.Sides[x.Job].Name), str(text, x.Supplier), str(text, pricesOf(x)), num(float64(x.Bought)/float64(it.Unit), number), num(x.Cost, money),
			formula(fmt.Sprintf("ROUND(ROUND(G%d/F%d,8),4)", row, row), x.Price, unitPrice),
			overCell(fmt.Sprintf("H%d", row), s.ref(own, 5), over))
	}
	prices, names := p.span(first, 8, last, 8), p.span(first, 3, last, 3)
	s.row(str(text, it.Item.Key), str(textWrap, it.Item.Name), str(text, it.Per), formula(fmt.Sprintf("COUNT(%s)", prices), len(it.Paid), count),
		formula(fmt.Sprintf("MIN(%s)", prices), least.Price, unitPrice), formula(fmt.Sprintf("INDEX(%s,MATCH(E%d,%s,0))", names, own, prices), w.in.Sides[least.Job].Name, text),
		formula(fmt.Sprintf("ROUND(ROUND(MEDIAN(%s),6),4)", prices), it.Median(), unitPrice),
		formula(fmt.Sprintf("MAX(%s)", prices), most.Price, unitPrice), formula(fmt.Sprintf("INDEX(%s,MATCH(H%d,%s,0))", names, own, prices), w.in.Sides[most.Job].Name, text),
		overCell(fmt.Sprintf("H%d", own), fmt.Sprintf("E%d", own), it.Spread()))
}

// overCell writes how much a price is over a lower one.
func overCell(price, lowest string, v estimate.Maybe[measure.Rate]) cell {
	f := fmt.Sprintf("IF(%s>0,ROUND(ROUND(%s/%s-1,8),6),\"%s\")", lowest, price, lowest, none)
	if !v.Set {
		return formula(f, none, textRight)
	}
	return formula(f, v.V, percent)
}

// pricesOf says of which days the prices are.
func pricesOf(x compare.Paid) string {
	switch {
	case !x.From.Set:
		return "no date"
	case x.From.V == x.To.V:
		return x.From.V.String()
	}
	return x.From.V.String() + " to " + x.To.V.String()
}

// spreadBars draws by how much the prices of the items that differ most differ.
func (w *compareWriter) spreadBars(items []compare.ItemPaid) {
	n := 0
	for n < len(items) && n < barsAPicture && items[n].Spread().V > 0 {
		n++
	}
	if n == 0 {
		return
	}
	p, last := w.spread, compareHeader+n
	step, end := axisOf(float64(items[0].Spread().V) / 1e6)
	labels := make([]string, n)
	p.below(barChart{
		width: barsWidth, height: picturePixels(n), about: "By how much the most paid for an item is over the least", axis: "most paid over the least", format: "0%",
		bars: p.span(compareFirst, 1, last, 1), max: end, step: step,
		series: []barSeries{{name: p.ref(compareHeader, 10), values: p.span(compareFirst, 10, last, 10), fill: classFills[0], labels: labels}},
	})
}

// oddSheet lists what stands out among the jobs.
func (w *compareWriter) oddSheet() {
	p := w.odd
	w.top(p, "What stands out", fmt.Sprintf("In %s: the cost of each class for an opening, and unit prices. Usual is the median of the jobs; the spread is the median of their distances from it, at least 2 %% of it.", w.currency()))
	p.row(strs(heading, "Figure", "Job", "Value", "Usual", "Spread", "Spreads away", "Over the usual", "Jobs")...)
	for _, o := range w.in.Comparison.Odd {
		row := p.next()
		p.row(str(textWrap, o.What), str(text, w.in.Sides[o.Job].Name), num(o.Value, unitPrice), num(o.Usual, unitPrice), num(o.Spread, unitPrice),
			formula(fmt.Sprintf("ROUND(ROUND(ABS(C%d-D%d)/E%d,6),1)", row, row, row), float64(o.Times)/10, number),
			overCell(fmt.Sprintf("C%d", row), fmt.Sprintf("D%d", row), compare.OverLowest(measure.Money(o.Value), measure.Money(o.Usual))), num(o.Of, count))
	}
	if len(w.in.Comparison.Odd) == 0 {
		p.row(str(textWrap, "nothing: no figure that three jobs or more have is over 5.2 spreads from the usual"))
	}
	p.finish("StandsOut", compareHeader, 8, 1)
	p.widths(44, 18, 12, 12, 12, 12, 12, 8)
}

// notesSheet lists in what the jobs are not alike, and what was found in them.
func (w *compareWriter) notesSheet() {
	w.top(w.notes, "Notes", "In what the jobs are not alike, and where a file does not hold what it comes to.")
	w.notes.problems(w.in.Comparison.Problems)
	w.notes.widths(34, 12, 10, 90)
}
