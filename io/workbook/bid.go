package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// bidLine is a line of the bid: the rate that rules it, its amount, and what to know
// about it.
type bidLine struct {
	key, label string
	rate       xlsx.Cell // of no value: none
	f          string
	amount     measure.Money
	sum        bool
	about      xlsx.Cell
}

// text is how the words of a line are drawn.
func (l bidLine) text() xlsx.Look {
	if l.sum {
		return xlsx.TotalText
	}
	return xlsx.Text
}

var bidColumns = []xlsx.Column[bidLine]{
	{Key: "Line", Width: 33, Cell: func(l bidLine) xlsx.Cell { return xlsx.Str(l.text(), l.label) }},
	{Head: "Rate", Width: 15, Cell: func(l bidLine) xlsx.Cell {
		if l.rate.V == nil {
			return xlsx.Blank(l.text())
		}
		return l.rate
	}},
	{Head: "Amount", Width: 18, Cell: func(l bidLine) xlsx.Cell {
		if l.sum {
			return xlsx.Formula(l.f, l.amount, xlsx.Total)
		}
		return xlsx.Formula(l.f, l.amount, xlsx.Money)
	}},
	{Head: "What it is", Width: 50, Cell: func(l bidLine) xlsx.Cell { return l.about }},
}

// bidLines are the bid, and below it what the tax is taken of. Every rate is an input
// on Job.
func (w *writer) bidLines() []bidLine {
	job, bid := w.in.Book.Job, w.in.Plan.Bid
	rate := func(key string, r measure.Rate) xlsx.Cell { return xlsx.Formula(w.setting(key), r, xlsx.Percent) }
	of := func(line string) string { return "{Amount@" + line + "}" }
	sum := func(lines ...string) string {
		for i, l := range lines {
			lines[i] = of(l)
		}
		return strings.Join(lines, "+")
	}
	words := func(s string) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, s) }
	inBold := func(s string) xlsx.Cell { return xlsx.Str(xlsx.TotalText, s) }
	o := w.byOpening
	builder := fmt.Sprintf(`SUMIF(%s,"builder",%s)`, o.Column("Furnished by"), o.Column(unitsOfMark))
	taxable := fmt.Sprintf(`SUMIF(%s,"yes",%s)`, w.costs.Column("Taxable"), w.costs.Column("Extension"))
	isMargin := w.setting("profit is") + `="margin"`
	margin := formula.Cents(of("cost")+"/(1-{Rate})", formula.RateDecimals) + "-" + of("cost")
	profit := fmt.Sprintf("IF(%s,%s,%s)", isMargin, margin, formula.Cents(of("cost")+"*{Rate}", formula.RateDecimals))
	profitWords := "markup on cost"
	if job.Margin {
		profitWords = "margin of the price"
	}
	ofProfit := xlsx.Formula(fmt.Sprintf(`IF(%s,"margin of the price","markup on cost")`, isMargin), profitWords, xlsx.TextWrap)
	tax := w.orders.At(allOrders, "Tax").String() + "+" + formula.Cents("("+sum("taxed units", "taxed costs")+")*{Rate}", formula.RateDecimals)
	taxed := sum("materials", "taxed units", "taxed costs") + fmt.Sprintf(`+IF(%s="yes",%s,0)`, w.setting("tax delivery"), of("delivery"))
	return []bidLine{
		{"materials", "Materials", xlsx.Cell{}, w.materials.At(materialsTotal, "Extension").String(), bid.Materials, false, words(w.unpricedWords())},
		{"delivery", "Delivery", xlsx.Cell{}, w.orders.At(allOrders, "Delivery").String(), bid.Delivery, false, words("the suppliers' fees: see Orders")},
		{"units", "Windows and doors", xlsx.Cell{}, o.At(usedByOpenings, unitsOfMark).String(), bid.Units, false, w.unitWords()},
		{"costs", "Other costs", xlsx.Cell{}, w.costs.At(costsTotal, "Extension").String(), bid.Costs, false, words("those you added: see Added costs")},
		{"labor", "Labor", xlsx.Cell{}, w.labor.At(laborTotal, "Cost").String(), bid.Labor, false, w.laborWords()},
		{"tax", "Sales tax", rate("tax", job.Tax), tax, bid.Tax, false, words(taxWords(job))},
		{"direct", "Direct cost", xlsx.Cell{}, sum("materials", "delivery", "units", "costs", "labor", "tax"), bid.Direct, true, inBold("")},
		{"overhead", "Overhead", rate("overhead", job.Overhead), formula.Cents(of("direct")+"*{Rate}", formula.RateDecimals), bid.Overhead, false, words("of direct cost")},
		{"contingency", "Contingency", rate("contingency", job.Contingency), formula.Cents("("+sum("direct", "overhead")+")*{Rate}", formula.RateDecimals),
			bid.Contingency, false, words("of direct cost and overhead")},
		{"cost", "Cost", xlsx.Cell{}, sum("direct", "overhead", "contingency"), bid.Cost, true, inBold("")},
		{"profit", "Profit", rate("profit", job.Profit), profit, bid.Profit, false, ofProfit},
		{"total", "Total", xlsx.Cell{}, sum("cost", "profit"), bid.Total, true, w.totalWords()},

		{"taxed units", "Taxable: windows and doors", xlsx.Cell{}, fmt.Sprintf(`IF(%s="yes",%s,0)`, w.setting("tax units"), builder), bid.UnitsTaxable, false,
			words("furnished by builder; installer prices include labor and tax")},
		{"taxed costs", "Taxable: other costs", xlsx.Cell{}, taxable, bid.CostsTaxable, false, words("those marked taxable")},
		{"taxable", "Taxable amount, with materials", xlsx.Cell{}, taxed, bid.Taxable, false, words("and delivery, where Job taxes it")},
	}
}

// priceBlock writes the bid.
func (w *writer) priceBlock(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Price, "+w.in.Book.Job.Currency))
	w.bid = xlsx.NewTable(p, "Bid", bidColumns)
	lines := w.bidLines()
	keys := make([]string, len(lines))
	for i, l := range lines {
		keys[i] = l.key
	}
	w.bid.Place(p.Next(), keys)
	w.bid.Header()
	for _, l := range lines {
		w.bid.Keyed(l.key, l)
	}
	w.otherRate()
	w.perUnit()
}

// taxWords say how the sales tax is rounded.
func taxWords(job estimate.Job) string {
	if job.TaxByItem {
		return "rounded per line; windows, doors and other costs together"
	}
	return "rounded per order; windows, doors and other costs together"
}

// laborWords say whether labor is in the price.
func (w *writer) laborWords() xlsx.Cell {
	const none, some = "NO LABOR IN THE PRICE: type your crew's hours on Labor, and labor rate on Job", "your crew's own hours: see Added costs"
	words := some
	if w.in.Plan.Bid.Labor == 0 {
		words = none
	}
	return xlsx.Formula(fmt.Sprintf(`IF({Amount}=0,"%s","%s")`, none, some), words, xlsx.TextWrap)
}

// otherRate shows the profit the other way round, so that markup and margin
// are never taken for each other.
func (w *writer) otherRate() {
	const asMargin, asMarkup = "Profit as margin of the price", "Profit as markup on cost"
	label, v := asMargin, w.in.Plan.Bid.Margin
	if w.in.Book.Job.Margin {
		label, v = asMarkup, w.in.Plan.Bid.Markup
	}
	if !v.Set {
		return
	}
	isMargin := w.setting("profit is") + `="margin"`
	rate := xlsx.Formula(fmt.Sprintf("ROUND({Amount@profit}/IF(%s,{Amount@cost},{Amount@total}),6)", isMargin), v.V, xlsx.Percent)
	w.bid.Line(xlsx.Span{From: "Line", Cell: xlsx.Formula(fmt.Sprintf(`IF(%s,"%s","%s")`, isMargin, asMarkup, asMargin), label, xlsx.Text)}, xlsx.Span{From: "Rate", Cell: rate},
		xlsx.Span{From: "Amount", Cell: xlsx.Blank(xlsx.Text)}, xlsx.Span{From: "What it is", Cell: xlsx.Blank(xlsx.TextWrap)})
}

// perUnit shows the total per opening and by size.
func (w *writer) perUnit() {
	bid, o := w.in.Plan.Bid, w.byOpening
	if bid.Openings == 0 {
		return
	}
	line := func(label, sizeF string, size float64, l xlsx.Look, v measure.Money) {
		w.bid.Line(xlsx.Span{From: "Line", Cell: xlsx.Str(xlsx.Text, label)}, xlsx.Span{From: "Rate", Cell: xlsx.Formula(sizeF, size, l)},
			xlsx.Span{From: "Amount", Cell: xlsx.Formula(formula.Cents("{Amount@total}/{Rate}", formula.ShareDecimals), v, xlsx.Money)},
			xlsx.Span{From: "What it is", Cell: xlsx.Blank(xlsx.TextWrap)})
	}
	per := func(size, base int64) measure.Money {
		return measure.Money(measure.MulDiv(int64(bid.Total), base, size))
	}
	all := func(head string) string { return fmt.Sprintf("SUMPRODUCT(%s,%s)", o.Column("Qty"), o.Column(head)) }
	line("Per opening", o.At(usedByOpenings, "Qty").String(), float64(bid.Openings), xlsx.Count, per(bid.Openings, 1))
	line("Per "+w.u.Far()+" of frame perimeter", all("Perimeter each"), w.u.FarOf(bid.Perimeter), xlsx.Number, per(int64(bid.Perimeter), int64(w.u.FarBase())))
	line("Per "+w.u.Name(estimate.Areawise)+" of frame", all("Area each"), w.u.Of(estimate.Areawise, int64(bid.Area)), xlsx.Number,
		per(int64(bid.Area), w.u.Base(estimate.Areawise)))
}

// unpricedWords says what the materials leave out.
func (w *writer) unpricedWords() string {
	missing := w.in.Plan.Unpriced()
	if len(missing) == 0 {
		return "includes waste, spares, offcuts and part packs" + w.ownerWords()
	}
	return "NOT COMPLETE: " + strings.Join(missing, ", ") + w.ownerWords()
}

// unitWords says of the units what their price leaves out, after an edit too.
func (w *writer) unitWords() xlsx.Cell {
	const whole, gap = "furnished by builder or installer; owner-furnished not included", "NOT COMPLETE: a unit cost is missing, see By opening"
	words := whole
	if len(w.in.Plan.Bid.NoUnitCost) > 0 {
		words = gap
	}
	return xlsx.Formula(fmt.Sprintf(`IF(COUNTIF(%s,"%s")=0,"%s","%s")`, w.byOpening.Column(unitsOfMark), notStated, whole, gap), words, xlsx.TextWrap)
}

// totalWords say beside the total what is not in it, after an edit too, and why it is
// less sure.
func (w *writer) totalWords() xlsx.Cell {
	open := func(t *xlsx.Grid, head string) string {
		return fmt.Sprintf(`COUNTIF(%s,"%s")>0`, t.Column(head), notStated)
	}
	f, value := "", ""
	for _, l := range []struct {
		lacks, say string
		when       bool
	}{
		{"{Amount@labor}=0", "NO LABOR; ", w.in.Plan.Bid.Labor == 0},
		{open(&w.byOpening.Grid, unitsOfMark), "UNIT COSTS MISSING; ", len(w.in.Plan.Bid.NoUnitCost) > 0},
		{open(&w.costs.Grid, "Extension"), "OTHER COSTS WITHOUT COUNT OR PRICE; ", slices.ContainsFunc(w.in.Book.Job.Costs, isOpen)},
	} {
		f += fmt.Sprintf(`IF(%s,"%s","")&`, l.lacks, l.say)
		if l.when {
			value += l.say
		}
	}
	var rest []string
	if n := w.in.LeftOut; n > 0 {
		rest = append(rest, fmt.Sprintf("NOT COMPLETE: %d rows left out", n))
	}
	if n := len(w.in.Plan.Unpriced()); n > 0 {
		rest = append(rest, fmt.Sprintf("NOT COMPLETE: %d items without a price", n))
	}
	if n := estimate.Errors(w.in.Problems); n > 0 && len(rest) == 0 {
		rest = append(rest, fmt.Sprintf("%d errors on Checks", n))
	}
	rest = append(rest, pricing.Doubts(w.in.Takeoff, w.in.Plan)...)
	if len(rest) == 0 {
		rest = []string{"all else is in"}
	}
	words := strings.Join(rest, "; ")
	return xlsx.Formula(f+`"`+words+`"`, value+words, xlsx.TotalTextWrap)
}

// isOpen reports whether a cost line lacks its count or price.
func isOpen(l estimate.CostLine) bool { _, ok := pricing.CostOf(l); return !ok }
