package comparison

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing/compare"
)

// kindsSheet writes what the openings of each kind take, a row a job and kind.
func (w *compareWriter) kindsSheet() {
	p, far, wide := w.kinds, w.u.Far(), w.u.Name(estimate.Areawise)
	w.top(p, "By kind of opening", fmt.Sprintf("In %s. Materials are all that was bought, shared by need; without delivery, tax and what is added to cost.", w.currency()))
	heads := []string{"Kind", "Job", "Openings", "Perimeter, " + far, "Area, " + wide, "Materials", "Windows and doors", "Materials an opening", "A " + far, "A " + wide, "With the unit, an opening"}
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	for _, kind := range estimate.Kinds {
		for i, job := range w.in.Comparison.Jobs {
			for _, k := range job.Kinds {
				if string(k.Kind) == kind {
					p.Row(w.kindRow(p.Next(), w.in.Sides[i].Name, k)...)
				}
			}
		}
	}
	p.Finish("JobKinds", compareHeader, len(heads), 2)
	p.Widths(15, 17, 11, 12, 11, 13, 13, 13, 11, 11, 14)
}

func (w *compareWriter) kindRow(row int, job string, k compare.KindCost) []xlsx.Cell {
	at := func(col string) string { return col + strconv.Itoa(row) }
	per := func(v measure.Money, size, unit int64) estimate.Maybe[measure.Money] {
		return estimate.Given(measure.Money(measure.MulDiv(int64(v), unit, size)))
	}
	units, all := xlsx.Num(k.Units, xlsx.Money), per(k.Materials+k.Units, k.Openings, 1)
	if k.NoUnit > 0 {
		units, all = xlsx.Str(xlsx.TextRight, notStated), estimate.Maybe[measure.Money]{}
	}
	with := fmt.Sprintf("IF(ISNUMBER(%s),%s,\"%s\")", at("G"), formula.Cents(fmt.Sprintf("(%s+%s)/%s", at("F"), at("G"), at("C")), formula.ShareDecimals), none)
	last := xlsx.Formula(with, none, xlsx.TextRight)
	if all.Set {
		last = xlsx.Formula(with, all.V, xlsx.Money)
	}
	return []xlsx.Cell{xlsx.Str(xlsx.Text, string(k.Kind)), xlsx.Str(xlsx.Text, job), xlsx.Num(k.Openings, xlsx.Count), xlsx.Num(w.u.FarOf(k.Perimeter), xlsx.Number), xlsx.Num(w.u.Of(estimate.Areawise, int64(k.Area)), xlsx.Number), xlsx.Num(k.Materials, xlsx.Money), units,
		over(at("F"), at("C"), per(k.Materials, k.Openings, 1)),
		over(at("F"), at("D"), per(k.Materials, int64(k.Perimeter), int64(w.u.FarBase()))),
		over(at("F"), at("E"), per(k.Materials, int64(k.Area), w.u.Base(estimate.Areawise))), last}
}

// stockSheet writes how much of what was bought is needed.
func (w *compareWriter) stockSheet() {
	p, far := w.stock, w.u.Far()
	w.top(p, "Bought and used", "Of lengths, what is not used is saw cuts, squared ends, spares and offcuts together: Boards in each estimate tells them apart.")
	p.Row(xlsx.Strs(xlsx.Heading, "Class", "Job", "Bought as", "Items", "Cost", "Not used", "Part not used", "Needed, "+far, "Bought, "+far, "Used of length", "Not counted")...)
	for _, class := range compare.CostClasses() {
		for i, job := range w.in.Comparison.Jobs {
			for _, u := range job.Stock {
				if u.Class == class {
					p.Row(w.stockRow(p.Next(), w.in.Sides[i].Name, u)...)
				}
			}
		}
	}
	p.Finish("JobStock", compareHeader, 11, 2)
	p.Widths(17, 17, 11, 8, 12, 12, 11, 12, 12, 11, 40)
}

func (w *compareWriter) stockRow(row int, job string, u compare.StockUse) []xlsx.Cell {
	as, need, bought := "packs", xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none)
	if u.Cut {
		as, need, bought = "lengths", xlsx.Num(w.u.FarOf(u.Need), xlsx.Number), xlsx.Num(w.u.FarOf(u.Bought), xlsx.Number)
	}
	return []xlsx.Cell{xlsx.Str(xlsx.Text, u.Class), xlsx.Str(xlsx.Text, job), xlsx.Str(xlsx.Text, as), xlsx.Num(u.Items, xlsx.Count), xlsx.Num(u.Cost, xlsx.Money), xlsx.Num(u.Unused, xlsx.Money), rateOf(formula.Cell(row, 6), formula.Cell(row, 5), int64(u.Unused), int64(u.Cost)),
		need, bought, rateOf(formula.Cell(row, 8), formula.Cell(row, 9), int64(u.Need), int64(u.Bought)), xlsx.Str(xlsx.TextWrap, strings.Join(u.NotTold, ", "))}
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
	p.Row(xlsx.Strs(xlsx.Heading, "Item", "Per", "Job", "Supplier", "Prices of", "Bought", "Cost", "Price", "Over the least")...)
	w.spread.Row(xlsx.Strs(xlsx.Heading, "Item", "Name", "Per", "Jobs", "Least", "Paid by", "Median", "Most", "Paid by more", "Most over least")...)
	if len(items) == 0 {
		w.spread.Row(xlsx.Str(xlsx.Text, "no item is bought by two jobs"))
		p.Row(xlsx.Str(xlsx.Text, "no item is bought by two jobs"))
	}
	for _, it := range items {
		w.itemRows(it)
	}
	p.Finish("PricesPaid", compareHeader, 9, 1)
	p.Widths(24, 11, 17, 30, 24, 12, 12, 11, 11)
	w.spread.Finish("UnitPrices", compareHeader, 10, 1)
	w.spread.Widths(24, 36, 11, 8, 11, 17, 11, 11, 17, 11)
	w.spreadBars(items)
}

func (w *compareWriter) itemRows(it compare.ItemPaid) {
	p, s := w.paid, w.spread
	least, most := it.Ends()
	first, own := p.Next(), s.Next()
	last := first + len(it.Paid) - 1
	for _, x := range it.Paid {
		row := p.Next()
		over := compare.OverLowest(measure.Money(x.Price), measure.Money(least.Price))
		p.Row(xlsx.Str(xlsx.Text, it.Item.Key), xlsx.Str(xlsx.Text, it.Per), xlsx.Str(xlsx.Text, w.in.Sides[x.Job].Name), xlsx.Str(xlsx.Text, x.Supplier), xlsx.Str(xlsx.Text, pricesOf(x)), xlsx.Num(float64(x.Bought)/float64(it.Unit), xlsx.Number), xlsx.Num(x.Cost, xlsx.Money),
			xlsx.Formula(fmt.Sprintf("ROUND(ROUND(G%d/F%d,8),4)", row, row), x.Price, xlsx.UnitPrice),
			overCell(fmt.Sprintf("H%d", row), s.Ref(own, 5), over))
	}
	prices, names := p.Range(first, 8, last, 8), p.Range(first, 3, last, 3)
	s.Row(xlsx.Str(xlsx.Text, it.Item.Key), xlsx.Str(xlsx.TextWrap, it.Item.Name), xlsx.Str(xlsx.Text, it.Per), xlsx.Formula(fmt.Sprintf("COUNT(%s)", prices), len(it.Paid), xlsx.Count),
		xlsx.Formula(fmt.Sprintf("MIN(%s)", prices), least.Price, xlsx.UnitPrice), xlsx.Formula(fmt.Sprintf("INDEX(%s,MATCH(E%d,%s,0))", names, own, prices), w.in.Sides[least.Job].Name, xlsx.Text),
		xlsx.Formula(fmt.Sprintf("ROUND(ROUND(MEDIAN(%s),6),4)", prices), it.Median(), xlsx.UnitPrice),
		xlsx.Formula(fmt.Sprintf("MAX(%s)", prices), most.Price, xlsx.UnitPrice), xlsx.Formula(fmt.Sprintf("INDEX(%s,MATCH(H%d,%s,0))", names, own, prices), w.in.Sides[most.Job].Name, xlsx.Text),
		overCell(fmt.Sprintf("H%d", own), fmt.Sprintf("E%d", own), it.Spread()))
}

// overCell writes how much a price is over a lower one.
func overCell(price, lowest string, v estimate.Maybe[measure.Rate]) xlsx.Cell {
	f := fmt.Sprintf("IF(%s>0,ROUND(ROUND(%s/%s-1,8),6),\"%s\")", lowest, price, lowest, none)
	if !v.Set {
		return xlsx.Formula(f, none, xlsx.TextRight)
	}
	return xlsx.Formula(f, v.V, xlsx.Percent)
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
	step, end := xlsx.AxisOf(float64(items[0].Spread().V) / 1e6)
	labels := make([]string, n)
	p.Below(xlsx.BarChart{
		Width: barsWidth, Height: xlsx.PicturePixels(n), About: "By how much the most paid for an item is over the least", Axis: "most paid over the least", Format: "0%",
		Bars: p.Range(compareFirst, 1, last, 1), Max: end, Step: step,
		Series: []xlsx.BarSeries{{Name: p.Ref(compareHeader, 10), Values: p.Range(compareFirst, 10, last, 10), Fill: classFills[0], Labels: labels}},
	})
}

// oddSheet lists what stands out among the jobs.
func (w *compareWriter) oddSheet() {
	p := w.odd
	w.top(p, "What stands out", fmt.Sprintf("In %s: the cost of each class for an opening, and unit prices. Usual is the median of the jobs; the spread is the median of their distances from it, at least 2 %% of it.", w.currency()))
	p.Row(xlsx.Strs(xlsx.Heading, "Figure", "Job", "Value", "Usual", "Spread", "Spreads away", "Over the usual", "Jobs")...)
	for _, o := range w.in.Comparison.Odd {
		row := p.Next()
		p.Row(xlsx.Str(xlsx.TextWrap, o.What), xlsx.Str(xlsx.Text, w.in.Sides[o.Job].Name), xlsx.Num(o.Value, xlsx.UnitPrice), xlsx.Num(o.Usual, xlsx.UnitPrice), xlsx.Num(o.Spread, xlsx.UnitPrice),
			xlsx.Formula(fmt.Sprintf("ROUND(ROUND(ABS(C%d-D%d)/E%d,6),1)", row, row, row), float64(o.Times)/10, xlsx.Number),
			overCell(fmt.Sprintf("C%d", row), fmt.Sprintf("D%d", row), compare.OverLowest(measure.Money(o.Value), measure.Money(o.Usual))), xlsx.Num(o.Of, xlsx.Count))
	}
	if len(w.in.Comparison.Odd) == 0 {
		p.Row(xlsx.Str(xlsx.TextWrap, "nothing: no figure that three jobs or more have is over 5.2 spreads from the usual"))
	}
	p.Finish("StandsOut", compareHeader, 8, 1)
	p.Widths(44, 18, 12, 12, 12, 12, 12, 8)
}

// notesSheet lists in what the jobs are not alike, and what was found in them.
func (w *compareWriter) notesSheet() {
	w.top(w.notes, "Notes", "In what the jobs are not alike, and where a file does not hold what it comes to.")
	problems(w.notes, w.in.Comparison.Problems)
	w.notes.Widths(34, 12, 10, 90)
}

// notStated stands where a unit belongs in the price and has no cost.
const notStated = "not stated"
