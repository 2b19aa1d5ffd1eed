package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing/compare"
)

// QuotesInput is the quotes of several suppliers for one job.
type QuotesInput struct {
	File       string // base name of the estimate
	Job        estimate.Job
	Comparison compare.Tabulation
	Problems   []estimate.Problem // sorted
}

// Quotes returns a workbook of quotes side by side: what each supplier wrote and
// what it comes to for what the job needs, what has to be asked and what each
// answer would do to the ranking. Sums and differences are live formulas. The
// same input gives the same bytes.
func Quotes(in QuotesInput) ([]byte, error) {
	o := newOut(docProps{Title: "Quotes for " + nonEmpty(in.Job.Name, in.File), Subject: "Suppliers' quotes side by side", Description: "Written by Sillwright from " + in.File})
	o.paper, o.header, o.caution = in.Job.Paper, strings.TrimSpace(in.Job.Number+"  "+in.Job.Name), "Ask before you order: no quote is corrected here"
	w := quotesWriter{in: in, c: in.Comparison, u: unitsOf(in.Job.MM),
		main: o.sheet("Quotes"), items: o.sheet("By item"), flags: o.sheet("Flags"), readings: o.sheet("Readings"), lines: o.sheet("Lines"), buying: o.sheet("Buying"), checks: o.sheet("Problems")}
	for _, p := range []*page{w.main, w.items, w.flags, w.readings, w.lines, w.buying, w.checks} {
		p.landscape(true)
	}
	w.linesSheet()
	w.buyingSheet()
	w.itemsSheet()
	w.mainSheet()
	w.flagsSheet()
	w.readingsSheet()
	w.checksSheet()
	return o.bytes()
}

// quotesWriter builds the sheets of a comparison of quotes.
type quotesWriter struct {
	in                                                  QuotesInput
	c                                                   compare.Tabulation
	u                                                   units
	main, items, flags, readings, lines, buying, checks *page
	lineRows                                            [][2]int   // first and last row on Lines, by quote
	buyRows                                             [][][2]int // on Buying, by quote and item
	itemFrom, itemTo                                    int        // rows on By item
	splitCol                                            int        // column of By item with the best split
}

// Columns of Lines and Buying that others add up.
const (
	lineOwnCol    = 11
	lineByCol     = 9
	buyExtCol     = 7
	firstQuoteCol = 5 // of By item
)

// The rows under the items of By item, counted from the last item.
const (
	rowMaterials = 1 + iota
	rowCommon
	rowQuoted
	rowMissing
)

// itemsSheet writes what each item costs at each quote.
func (w *quotesWriter) itemsSheet() {
	p, c := w.items, w.c
	p.row(str(title, "By item"))
	p.row(str(subtitle, "What all that the job needs of each item costs at each quote, in whole packs, boards and rolls, in "+w.in.Job.Currency+". What is missing is no zero: only items that all quote decide the ranking."))
	p.skip(1)
	heads := []string{"Item", "Name", "To buy", "Unit"}
	for _, q := range c.Quotes {
		heads = append(heads, freeHead(q.Supplier, heads))
	}
	n := len(c.Quotes)
	allCol := firstQuoteCol + n
	w.splitCol = allCol + 3
	for _, h := range []string{"All quote it", "Lowest", "Split at", "Best split", "Why it is missing"} {
		heads = append(heads, freeHead(h, heads))
	}
	header := p.row(strs(heading, heads...)...)
	w.itemFrom = p.next()
	for k, x := range c.Items {
		row := p.next()
		cells := []cell{str(text, x.Item.Key), str(textWrap, x.Item.Name), num(w.u.of(x.Item.Dim, x.ToBuy), amountLook(x.Item.Dim)), str(text, w.u.name(x.Item.Dim))}
		var why []string
		for i, q := range c.Quotes {
			it := q.Items[k]
			if !it.Cost.Set {
				cells = append(cells, str(textRight, "missing"))
				why = append(why, q.Supplier+": "+it.Why)
				continue
			}
			cells = append(cells, formula(w.rowsSum(w.buying, buyExtCol, w.buyRows[i][k]), it.Cost.V, money))
		}
		quotes := span(row, firstQuoteCol, row, allCol-1)
		least := str(textRight, "-")
		if v, ok := leastOf(c, k); ok {
			least = formula("MIN("+quotes+")", v, money)
		}
		cells = append(cells, formula(fmt.Sprintf("IF(COUNT(%s)=%d,\"yes\",\"no\")", quotes, n), yes(x.Common), text), least, str(text, nonEmpty(x.Split, "-")), w.splitCell(row, k), str(textWrap, strings.Join(why, "; ")))
		p.row(cells...)
	}
	w.itemTo = p.next() - 1
	w.itemSums(allCol, n)
	widths := append([]float64{20, 36, 9, 7}, slices.Repeat([]float64{15}, n)...)
	p.widths(append(widths, 8, 11, 24, 11, 44)...)
	p.freeze(header, 1)
	p.titleRows(header, header)
	p.table("QuotedItems", header, w.itemTo, 1, len(heads))
}

// longestHead is the longest name that a header shows.
const longestHead = 60

// freeHead returns a name as a header that no other column has.
func freeHead(name string, taken []string) string {
	name = nonEmpty(strings.TrimSpace(shorten(strings.Join(strings.Fields(cleanText(name)), " "), longestHead)), "quote")
	for slices.ContainsFunc(taken, func(t string) bool { return strings.EqualFold(t, name) }) {
		name += " (quote)"
	}
	return name
}

// quotesFirst is the row of the first quote on the sheet Quotes.
const quotesFirst = 5

func leastOf(c compare.Tabulation, k int) (least measure.Money, found bool) {
	for _, q := range c.Quotes {
		if cost := q.Items[k].Cost; cost.Set && (!found || cost.V < least) {
			least, found = cost.V, true
		}
	}
	return least, found
}

// splitCell is what an item costs in the best split.
func (w *quotesWriter) splitCell(row, k int) cell {
	x := w.c.Items[k]
	if !x.Least.Set {
		return str(textRight, "missing")
	}
	for i, q := range w.c.Quotes {
		if q.Supplier == x.Split && q.Items[k].Cost == x.Least {
			return formula(ref(row, firstQuoteCol+i), x.Least.V, money)
		}
	}
	return num(x.Least.V, money)
}

// itemSums writes the sums of each quote, which the sheet Quotes refers to.
func (w *quotesWriter) itemSums(allCol, n int) {
	p, first, last := w.items, w.itemFrom, w.itemTo
	all := absSpan(first, allCol, last, allCol)
	line := func(label string, l look, f func(col string) string, v func(q compare.QuoteTotals) any) {
		cells := []cell{str(totalText, label), blank(totalText), blank(totalText), blank(totalText)}
		for i, q := range w.c.Quotes {
			cells = append(cells, formula(f(span(first, firstQuoteCol+i, last, firstQuoteCol+i)), v(q), l))
		}
		p.row(cells...)
	}
	line("Materials, of what it quotes", total, func(r string) string { return "SUM(" + r + ")" }, func(q compare.QuoteTotals) any { return q.Materials })
	p.set(p.next()-1, w.splitCol, formula(sumOf(column(w.splitCol), first, last), w.c.Split.Materials, total))
	line("Items that all quote", total, func(r string) string { return fmt.Sprintf("SUMIF(%s,\"yes\",%s)", all, r) }, func(q compare.QuoteTotals) any { return q.Common })
	line("Items quoted", totalCount, func(r string) string { return "COUNT(" + r + ")" }, func(q compare.QuoteTotals) any { return len(w.c.Items) - q.Missing })
	line("Items missing", totalCount, func(r string) string { return fmt.Sprintf("ROWS(%s)-COUNT(%s)", r, r) }, func(q compare.QuoteTotals) any { return q.Missing })
}

// sumRef is a sum of a quote on By item.
func (w *quotesWriter) sumRef(i, row int) string {
	return w.items.ref(w.itemTo+row, firstQuoteCol+i)
}

// mainSheet writes the totals of each quote, the ways to buy, and the picture.
func (w *quotesWriter) mainSheet() {
	p, c := w.main, w.c
	p.row(str(title, "Quotes"))
	p.row(str(subtitle, fmt.Sprintf("%s priced from %d quotes, in %s before tax. The first sums are of the supplier's own counts; those behind them of what the job needs. The unit price is used where it and the extension disagree: see Readings.", w.in.File, len(c.Quotes), w.in.Job.Currency)))
	p.skip(1)
	heads := []string{"Quote", "File", "Total as written", "Sum of its extensions", "Delivery, tax and the like", "Apart", "Count x unit price", "Over its extensions", "Items quoted", "Missing", "Items that all quote", "Rank", "Over the lowest", "Other items", "Delivery", "Offer, of what it quotes", "State", "Flags"}
	header := p.row(strs(heading, heads...)...)
	for i := range c.Quotes {
		p.row(w.quoteRow(p.next(), i)...)
	}
	last := p.next() - 1
	p.table("QuoteTotals", header, last, 1, len(heads))
	p.titleRows(header, header)
	p.freeze(header, 1)
	p.widths(26, 20, 11, 11, 11, 10, 11, 10, 8, 8, 11, 6, 8.5, 11, 9, 11.5, 20, 6)
	w.ways(last)
	w.picture(header, last)
	for _, s := range []string{
		"Sums as in public tabulations: as read, sum of the bidder's extensions, sum of calculated extensions, number of blank bids (unit price tabulation of bids, Illinois Department of Transportation, read).",
		"Which of two figures governs differs in public practice, so none is corrected here. The unit price: specification of the City of Tukwila, Washington, 2016, read. A clearly wrong unit price may be read from the extension: Comptroller General B-208469 (1982) and B-265659 (1995); where either could be meant it may not: B-239710 (1990); all read.",
	} {
		p.banner(note, s, 18)
	}
}

// quoteRow writes the totals of a quote.
func (w *quotesWriter) quoteRow(row, i int) []cell {
	q := w.c.Quotes[i]
	cells := []cell{str(text, q.Supplier), str(text, q.Place.File)}
	own, by := w.rowsSum(w.lines, lineOwnCol, w.lineRows[i]), w.rowsSum(w.lines, lineByCol, w.lineRows[i])
	none := str(textRight, "-")
	written, ok := q.Written()
	beside := measure.Money(0)
	for _, s := range q.Sums {
		if s.Kind == compare.SumDelivery || s.Kind == compare.SumOther {
			beside += s.Amount
		}
	}
	sums := []cell{none, none, num(beside, money), none, none, none}
	if q.Own.Set {
		sums[1] = formula(own, q.Own.V, money)
		sums[4] = formula(by, q.ByPrice.V, money)
		sums[5] = formula(fmt.Sprintf("ROUND(G%d-D%d,2)", row, row), q.ByPrice.V-q.Own.V, money)
	}
	if ok {
		sums[0] = num(written.Amount, money)
		if q.Own.Set {
			sums[3] = formula(fmt.Sprintf("ROUND(C%d-D%d-E%d,2)", row, row, row), written.Amount-q.Own.V-beside, money)
		}
	}
	cells = append(cells, sums...)
	over := str(textRight, "-")
	commons := absSpan(quotesFirst, 11, quotesFirst+len(w.c.Quotes)-1, 11)
	if q.Over.Set {
		over = formula(fmt.Sprintf("ROUND((K%d-MIN(%s))/MIN(%s),6)", row, commons, commons), q.Over.V, percent)
	}
	rank := str(textRight, "-")
	if w.c.Ranked() {
		rank = formula(fmt.Sprintf("1+SUMPRODUCT((%s<K%d)*1)", commons, row), q.Rank, count)
	}
	flags := 0
	for _, f := range w.c.Flags {
		if f.Quote == i {
			flags++
		}
	}
	return append(cells,
		formula(w.sumRef(i, rowQuoted), len(w.c.Items)-q.Missing, count), formula(w.sumRef(i, rowMissing), q.Missing, count),
		formula("ROUND("+w.sumRef(i, rowCommon)+",2)", q.Common, money), rank, over,
		formula(fmt.Sprintf("ROUND(%s-K%d,2)", w.sumRef(i, rowMaterials), row), q.Materials-q.Common, money), num(q.Delivery, money),
		formula(fmt.Sprintf("K%d+N%d+O%d", row, row, row), q.Cost(), money), w.stateCell(row, i), num(flags, count))
}

// rowsSum adds up a column of a sheet from a first to a last row.
func (w *quotesWriter) rowsSum(p *page, col int, rows [2]int) string {
	return "SUM(" + p.span(rows[0], col, rows[1], col) + ")"
}

func (w *quotesWriter) stateCell(row, i int) cell {
	q := w.c.Quotes[i]
	words := "whole"
	switch {
	case !q.Whole():
		return str(textWrap, fmt.Sprintf("not whole: lacks %d", q.Missing))
	case i == w.c.Lowest:
		words = "lowest whole offer"
		if len(w.c.Unsure) > 0 {
			words += ", at doubtful prices of " + strings.Join(w.c.Unsure, ", ")
		}
	}
	if q.Below {
		words += ", below its minimum order"
	}
	return str(textWrap, words)
}

// ways writes the ways to buy: the lowest whole offer, one supplier first, and
// the best split with what it saves.
func (w *quotesWriter) ways(last int) {
	p, c := w.main, w.c
	p.skip(1)
	p.row(str(section, "Ways to buy"))
	p.row(strs(heading, "Way", "Suppliers", "Materials", "Delivery", "Together", "Saves")...)
	row := p.next()
	whole := 0
	if c.Lowest >= 0 {
		at := quotesFirst + c.Lowest
		q := c.Quotes[c.Lowest]
		p.row(str(text, "Lowest whole offer"), str(textWrap, q.Supplier), formula(fmt.Sprintf("K%d+N%d", at, at), q.Materials, money), formula("O"+itoa(at), q.Delivery, money), formula(fmt.Sprintf("C%d+D%d", row, row), q.Cost(), money), blank(money))
		whole = row
	} else {
		p.row(str(text, "Lowest whole offer"), str(textWrap, "none: each quote lacks something"), str(textRight, "-"), str(textRight, "-"), str(textRight, "-"), blank(money))
	}
	saves := func(row int, cost measure.Money) cell {
		if whole == 0 {
			return str(textRight, "-")
		}
		return formula(fmt.Sprintf("ROUND(E%d-E%d,2)", whole, row), c.Quotes[c.Lowest].Cost()-cost, money)
	}
	row = p.next()
	p.row(str(text, "One first, then the rest"), str(textWrap, strings.Join(c.First.Suppliers, ", ")), num(c.First.Materials, money), num(c.First.Delivery, money), formula(fmt.Sprintf("C%d+D%d", row, row), c.First.Cost(), money), saves(row, c.First.Cost()))
	row = p.next()
	p.row(str(totalText, "Best split"), str(totalText, strings.Join(c.Split.Suppliers, ", ")), formula(w.items.ref(w.itemTo+rowMaterials, w.splitCol), c.Split.Materials, total), num(c.Split.Delivery, total), formula(fmt.Sprintf("C%d+D%d", row, row), c.Split.Cost(), total), saves(row, c.Split.Cost()))
	if len(c.Doubtful) > 0 {
		row = p.next()
		p.row(str(text, "Split, no doubtful price"), str(textWrap, strings.Join(c.Firm.Suppliers, ", ")), num(c.Firm.Materials, money), num(c.Firm.Delivery, money), formula(fmt.Sprintf("C%d+D%d", row, row), c.Firm.Cost(), money), saves(row, c.Firm.Cost()))
	}
	words := "The best split is proven: no other costs less."
	if c.Gap > 0 {
		words = fmt.Sprintf("Another split may cost at most %s less.", c.Gap)
	}
	if len(c.Doubtful) > 0 {
		words = "LOOK: the best split buys at prices that are in doubt: " + strings.Join(c.Doubtful, ", ") + ". " + words
	}
	if len(c.NotFirm) > 0 {
		words += " Without doubtful prices nobody quotes: " + strings.Join(c.NotFirm, ", ") + "."
	}
	if len(c.Unquoted) > 0 {
		words += " Nobody quotes, and no way includes: " + strings.Join(c.Unquoted, ", ") + "."
	}
	if !c.Ranked() {
		words += " No item is quoted by all: there is no ranking."
	}
	p.banner(note, words, 18)
}

// picture draws what each quote comes to: what all quote, the rest, delivery.
func (w *quotesWriter) picture(header, last int) {
	p, most := w.main, measure.Money(0)
	for _, q := range w.c.Quotes {
		most = max(most, q.Cost())
	}
	step := roundStep(float64(most) / 600)
	const (
		wide        = 940
		quoteLegend = 44 // pixels
	)
	c := barChart{col: 1, width: wide, height: picturePixels(len(w.c.Quotes)) + quoteLegend, about: "What each quote comes to", axis: w.in.Job.Currency,
		bars: p.span(quotesFirst, 1, last, 1), legend: true, max: step * float64(int64(float64(most)/100/step)+1), step: step}
	for k, part := range []struct {
		col  int
		name string
		of   func(q compare.QuoteTotals) measure.Money
	}{
		{11, "all quote ", func(q compare.QuoteTotals) measure.Money { return q.Common }},
		{14, "other ", func(q compare.QuoteTotals) measure.Money { return q.Materials - q.Common }},
		{15, "delivery ", func(q compare.QuoteTotals) measure.Money { return q.Delivery }},
	} {
		s := barSeries{name: p.ref(header, part.col), values: p.span(quotesFirst, part.col, last, part.col), fill: [3]string{partFills[1], partFills[0], leftFill}[k]}
		for _, q := range w.c.Quotes {
			m := part.of(q)
			room := float64(m) / 100 / c.max * wide * differenceShare * pixelPoints
			s.labels = append(s.labels, fitting(room, part.name+m.String(), m.String()))
		}
		c.series = append(c.series, s)
	}
	p.skip(1)
	top := p.row(str(section, "What each quote comes to for the job, of what it quotes"))
	c.row = p.next()
	p.chart(c)
	p.skip((c.height + rowPixels - 1) / rowPixels)
	p.keepTogether(top, p.next())
}
