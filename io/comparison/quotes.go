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
	o := xlsx.New(xlsx.Properties{Title: "Quotes for " + cmp.Or(in.Job.Name, in.File), Subject: "Suppliers' quotes side by side", Description: "Written by Sillwright from " + in.File})
	o.Paper, o.Header, o.Footer = in.Job.Paper, strings.TrimSpace(in.Job.Number+"  "+in.Job.Name), "Ask before you order: no quote is corrected here"
	w := quotesWriter{in: in, c: in.Comparison, u: estimate.UnitsOf(in.Job.MM),
		main: o.AddSheet("Quotes"), items: o.AddSheet("By item"), flags: o.AddSheet("Flags"), readings: o.AddSheet("Readings"), lines: o.AddSheet("Lines"), buying: o.AddSheet("Buying"), checks: o.AddSheet("Problems")}
	for _, p := range []*xlsx.Sheet{w.main, w.items, w.flags, w.readings, w.lines, w.buying, w.checks} {
		p.Landscape(true)
	}
	w.linesSheet()
	w.buyingSheet()
	w.itemsSheet()
	w.mainSheet()
	w.flagsSheet()
	w.readingsSheet()
	w.checksSheet()
	return o.Bytes()
}

// quotesWriter builds the sheets of a comparison of quotes.
type quotesWriter struct {
	in                                                  QuotesInput
	c                                                   compare.Tabulation
	u                                                   estimate.Units
	main, items, flags, readings, lines, buying, checks *xlsx.Sheet
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
	p.Row(xlsx.Str(xlsx.Title, "By item"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What all that the job needs of each item costs at each quote, in whole packs, boards and rolls, in "+w.in.Job.Currency+". What is missing is no zero: only items that all quote decide the ranking."))
	p.Skip(1)
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
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	w.itemFrom = p.Next()
	for k, x := range c.Items {
		row := p.Next()
		cells := []xlsx.Cell{xlsx.Str(xlsx.Text, x.Item.Key), xlsx.Str(xlsx.TextWrap, x.Item.Name), xlsx.Num(w.u.Of(x.Item.Dim, x.ToBuy), xlsx.CountOr(x.Item.Dim == estimate.Each, xlsx.Number)), xlsx.Str(xlsx.Text, w.u.Name(x.Item.Dim))}
		var why []string
		for i, q := range c.Quotes {
			it := q.Items[k]
			if !it.Cost.Set {
				cells = append(cells, xlsx.Str(xlsx.TextRight, "missing"))
				why = append(why, q.Supplier+": "+it.Why)
				continue
			}
			cells = append(cells, xlsx.Formula(w.rowsSum(w.buying, buyExtCol, w.buyRows[i][k]), it.Cost.V, xlsx.Money))
		}
		quotes := formula.Range(row, firstQuoteCol, row, allCol-1)
		least := xlsx.Str(xlsx.TextRight, "-")
		if v, ok := leastOf(c, k); ok {
			least = xlsx.Formula("MIN("+quotes+")", v, xlsx.Money)
		}
		cells = append(cells, xlsx.Formula(fmt.Sprintf("IF(COUNT(%s)=%d,\"yes\",\"no\")", quotes, n), xlsx.YesNo(x.Common), xlsx.Text), least, xlsx.Str(xlsx.Text, cmp.Or(x.Split, "-")), w.splitCell(row, k), xlsx.Str(xlsx.TextWrap, strings.Join(why, "; ")))
		p.Row(cells...)
	}
	w.itemTo = p.Next() - 1
	w.itemSums(allCol, n)
	widths := append([]float64{20, 36, 9, 7}, slices.Repeat([]float64{15}, n)...)
	p.Widths(append(widths, 8, 11, 24, 11, 44)...)
	p.Freeze(header, 1)
	p.TitleRows(header, header)
	p.AddTable("QuotedItems", header, w.itemTo, 1, len(heads))
}

// longestHead is the longest name that a header shows.
const longestHead = 60

// freeHead returns a name as a header that no other column has.
func freeHead(name string, taken []string) string {
	name = cmp.Or(strings.TrimSpace(formula.Shorten(strings.Join(strings.Fields(formula.CleanText(name)), " "), longestHead)), "quote")
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
func (w *quotesWriter) splitCell(row, k int) xlsx.Cell {
	x := w.c.Items[k]
	if !x.Least.Set {
		return xlsx.Str(xlsx.TextRight, "missing")
	}
	for i, q := range w.c.Quotes {
		if q.Supplier == x.Split && q.Items[k].Cost == x.Least {
			return xlsx.Formula(formula.Cell(row, firstQuoteCol+i), x.Least.V, xlsx.Money)
		}
	}
	return xlsx.Num(x.Least.V, xlsx.Money)
}

// itemSums writes the sums of each quote, which the sheet Quotes refers to.
func (w *quotesWriter) itemSums(allCol, n int) {
	p, first, last := w.items, w.itemFrom, w.itemTo
	all := formula.AbsRange(first, allCol, last, allCol)
	line := func(label string, l xlsx.Look, f func(col string) string, v func(q compare.QuoteTotals) any) {
		cells := []xlsx.Cell{xlsx.Str(xlsx.TotalText, label), xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText)}
		for i, q := range w.c.Quotes {
			cells = append(cells, xlsx.Formula(f(formula.Range(first, firstQuoteCol+i, last, firstQuoteCol+i)), v(q), l))
		}
		p.Row(cells...)
	}
	line("Materials, of what it quotes", xlsx.Total, func(r string) string { return "SUM(" + r + ")" }, func(q compare.QuoteTotals) any { return q.Materials })
	p.Set(p.Next()-1, w.splitCol, xlsx.Formula(formula.SumOf(formula.Column(w.splitCol), first, last), w.c.Split.Materials, xlsx.Total))
	line("Items that all quote", xlsx.Total, func(r string) string { return fmt.Sprintf("SUMIF(%s,\"yes\",%s)", all, r) }, func(q compare.QuoteTotals) any { return q.Common })
	line("Items quoted", xlsx.TotalCount, func(r string) string { return "COUNT(" + r + ")" }, func(q compare.QuoteTotals) any { return len(w.c.Items) - q.Missing })
	line("Items missing", xlsx.TotalCount, func(r string) string { return fmt.Sprintf("ROWS(%s)-COUNT(%s)", r, r) }, func(q compare.QuoteTotals) any { return q.Missing })
}

// sumRef is a sum of a quote on By item.
func (w *quotesWriter) sumRef(i, row int) string {
	return w.items.Ref(w.itemTo+row, firstQuoteCol+i)
}

// mainSheet writes the totals of each quote, the ways to buy, and the picture.
func (w *quotesWriter) mainSheet() {
	p, c := w.main, w.c
	p.Row(xlsx.Str(xlsx.Title, "Quotes"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%s priced from %d quotes, in %s before tax. The first sums are of the supplier's own counts; those behind them of what the job needs. The unit price is used where it and the extension disagree: see Readings.", w.in.File, len(c.Quotes), w.in.Job.Currency)))
	p.Skip(1)
	heads := []string{"Quote", "File", "Total as written", "Sum of its extensions", "Delivery, tax and the like", "Apart", "Count x unit price", "Over its extensions", "Items quoted", "Missing", "Items that all quote", "Rank", "Over the lowest", "Other items", "Delivery", "Offer, of what it quotes", "State", "Flags"}
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	for i := range c.Quotes {
		p.Row(w.quoteRow(p.Next(), i)...)
	}
	last := p.Next() - 1
	p.AddTable("QuoteTotals", header, last, 1, len(heads))
	p.TitleRows(header, header)
	p.Freeze(header, 1)
	p.Widths(26, 20, 11, 11, 11, 10, 11, 10, 8, 8, 11, 6, 8.5, 11, 9, 11.5, 20, 6)
	w.ways(last)
	w.picture(header, last)
	for _, s := range []string{
		"Sums as in public tabulations: as read, sum of the bidder's extensions, sum of calculated extensions, number of blank bids (unit price tabulation of bids, Illinois Department of Transportation, read).",
		"Which of two figures governs differs in public practice, so none is corrected here. The unit price: specification of the City of Tukwila, Washington, 2016, read. A clearly wrong unit price may be read from the extension: Comptroller General B-208469 (1982) and B-265659 (1995); where either could be meant it may not: B-239710 (1990); all read.",
	} {
		p.Banner(xlsx.Note, s, 18)
	}
}

// quoteRow writes the totals of a quote.
func (w *quotesWriter) quoteRow(row, i int) []xlsx.Cell {
	q := w.c.Quotes[i]
	cells := []xlsx.Cell{xlsx.Str(xlsx.Text, q.Supplier), xlsx.Str(xlsx.Text, q.Place.File)}
	own, by := w.rowsSum(w.lines, lineOwnCol, w.lineRows[i]), w.rowsSum(w.lines, lineByCol, w.lineRows[i])
	none := xlsx.Str(xlsx.TextRight, "-")
	written, ok := q.Written()
	beside := measure.Money(0)
	for _, s := range q.Sums {
		if s.Kind == compare.SumDelivery || s.Kind == compare.SumOther {
			beside += s.Amount
		}
	}
	sums := []xlsx.Cell{none, none, xlsx.Num(beside, xlsx.Money), none, none, none}
	if q.Own.Set {
		sums[1] = xlsx.Formula(own, q.Own.V, xlsx.Money)
		sums[4] = xlsx.Formula(by, q.ByPrice.V, xlsx.Money)
		sums[5] = xlsx.Formula(fmt.Sprintf("ROUND(G%d-D%d,2)", row, row), q.ByPrice.V-q.Own.V, xlsx.Money)
	}
	if ok {
		sums[0] = xlsx.Num(written.Amount, xlsx.Money)
		if q.Own.Set {
			sums[3] = xlsx.Formula(fmt.Sprintf("ROUND(C%d-D%d-E%d,2)", row, row, row), written.Amount-q.Own.V-beside, xlsx.Money)
		}
	}
	cells = append(cells, sums...)
	over := xlsx.Str(xlsx.TextRight, "-")
	commons := formula.AbsRange(quotesFirst, 11, quotesFirst+len(w.c.Quotes)-1, 11)
	if q.Over.Set {
		over = xlsx.Formula(fmt.Sprintf("ROUND((K%d-MIN(%s))/MIN(%s),6)", row, commons, commons), q.Over.V, xlsx.Percent)
	}
	rank := xlsx.Str(xlsx.TextRight, "-")
	if w.c.Ranked() {
		rank = xlsx.Formula(fmt.Sprintf("1+SUMPRODUCT((%s<K%d)*1)", commons, row), q.Rank, xlsx.Count)
	}
	flags := 0
	for _, f := range w.c.Flags {
		if f.Quote == i {
			flags++
		}
	}
	return append(cells,
		xlsx.Formula(w.sumRef(i, rowQuoted), len(w.c.Items)-q.Missing, xlsx.Count), xlsx.Formula(w.sumRef(i, rowMissing), q.Missing, xlsx.Count),
		xlsx.Formula("ROUND("+w.sumRef(i, rowCommon)+",2)", q.Common, xlsx.Money), rank, over,
		xlsx.Formula(fmt.Sprintf("ROUND(%s-K%d,2)", w.sumRef(i, rowMaterials), row), q.Materials-q.Common, xlsx.Money), xlsx.Num(q.Delivery, xlsx.Money),
		xlsx.Formula(fmt.Sprintf("K%d+N%d+O%d", row, row, row), q.Cost(), xlsx.Money), w.stateCell(row, i), xlsx.Num(flags, xlsx.Count))
}

// rowsSum adds up a column of a sheet from a first to a last row.
func (w *quotesWriter) rowsSum(p *xlsx.Sheet, col int, rows [2]int) string {
	return "SUM(" + p.Range(rows[0], col, rows[1], col) + ")"
}

func (w *quotesWriter) stateCell(row, i int) xlsx.Cell {
	q := w.c.Quotes[i]
	words := "whole"
	switch {
	case !q.Whole():
		return xlsx.Str(xlsx.TextWrap, fmt.Sprintf("not whole: lacks %d", q.Missing))
	case i == w.c.Lowest:
		words = "lowest whole offer"
		if len(w.c.Unsure) > 0 {
			words += ", at doubtful prices of " + strings.Join(w.c.Unsure, ", ")
		}
	}
	if q.Below {
		words += ", below its minimum order"
	}
	return xlsx.Str(xlsx.TextWrap, words)
}

// ways writes the ways to buy: the lowest whole offer, one supplier first, and
// the best split with what it saves.
func (w *quotesWriter) ways(last int) {
	p, c := w.main, w.c
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Ways to buy"))
	p.Row(xlsx.Strs(xlsx.Heading, "Way", "Suppliers", "Materials", "Delivery", "Together", "Saves")...)
	row := p.Next()
	whole := 0
	if c.Lowest >= 0 {
		at := quotesFirst + c.Lowest
		q := c.Quotes[c.Lowest]
		p.Row(xlsx.Str(xlsx.Text, "Lowest whole offer"), xlsx.Str(xlsx.TextWrap, q.Supplier), xlsx.Formula(fmt.Sprintf("K%d+N%d", at, at), q.Materials, xlsx.Money), xlsx.Formula("O"+strconv.Itoa(at), q.Delivery, xlsx.Money), xlsx.Formula(fmt.Sprintf("C%d+D%d", row, row), q.Cost(), xlsx.Money), xlsx.Blank(xlsx.Money))
		whole = row
	} else {
		p.Row(xlsx.Str(xlsx.Text, "Lowest whole offer"), xlsx.Str(xlsx.TextWrap, "none: each quote lacks something"), xlsx.Str(xlsx.TextRight, "-"), xlsx.Str(xlsx.TextRight, "-"), xlsx.Str(xlsx.TextRight, "-"), xlsx.Blank(xlsx.Money))
	}
	saves := func(row int, cost measure.Money) xlsx.Cell {
		if whole == 0 {
			return xlsx.Str(xlsx.TextRight, "-")
		}
		return xlsx.Formula(fmt.Sprintf("ROUND(E%d-E%d,2)", whole, row), c.Quotes[c.Lowest].Cost()-cost, xlsx.Money)
	}
	row = p.Next()
	p.Row(xlsx.Str(xlsx.Text, "One first, then the rest"), xlsx.Str(xlsx.TextWrap, strings.Join(c.First.Suppliers, ", ")), xlsx.Num(c.First.Materials, xlsx.Money), xlsx.Num(c.First.Delivery, xlsx.Money), xlsx.Formula(fmt.Sprintf("C%d+D%d", row, row), c.First.Cost(), xlsx.Money), saves(row, c.First.Cost()))
	row = p.Next()
	p.Row(xlsx.Str(xlsx.TotalText, "Best split"), xlsx.Str(xlsx.TotalText, strings.Join(c.Split.Suppliers, ", ")), xlsx.Formula(w.items.Ref(w.itemTo+rowMaterials, w.splitCol), c.Split.Materials, xlsx.Total), xlsx.Num(c.Split.Delivery, xlsx.Total), xlsx.Formula(fmt.Sprintf("C%d+D%d", row, row), c.Split.Cost(), xlsx.Total), saves(row, c.Split.Cost()))
	if len(c.Doubtful) > 0 {
		row = p.Next()
		p.Row(xlsx.Str(xlsx.Text, "Split, no doubtful price"), xlsx.Str(xlsx.TextWrap, strings.Join(c.Firm.Suppliers, ", ")), xlsx.Num(c.Firm.Materials, xlsx.Money), xlsx.Num(c.Firm.Delivery, xlsx.Money), xlsx.Formula(fmt.Sprintf("C%d+D%d", row, row), c.Firm.Cost(), xlsx.Money), saves(row, c.Firm.Cost()))
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
	p.Banner(xlsx.Note, words, 18)
}

// picture draws what each quote comes to: what all quote, the rest, delivery.
func (w *quotesWriter) picture(header, last int) {
	p, most := w.main, measure.Money(0)
	for _, q := range w.c.Quotes {
		most = max(most, q.Cost())
	}
	step := xlsx.RoundStep(float64(most) / 600)
	const (
		wide        = 940
		quoteLegend = 44 // pixels
	)
	c := xlsx.BarChart{Col: 1, Width: wide, Height: xlsx.PicturePixels(len(w.c.Quotes)) + quoteLegend, About: "What each quote comes to", Axis: w.in.Job.Currency,
		Bars: p.Range(quotesFirst, 1, last, 1), Legend: true, Max: step * float64(int64(float64(most)/100/step)+1), Step: step}
	for k, part := range []struct {
		col  int
		name string
		of   func(q compare.QuoteTotals) measure.Money
	}{
		{11, "all quote ", func(q compare.QuoteTotals) measure.Money { return q.Common }},
		{14, "other ", func(q compare.QuoteTotals) measure.Money { return q.Materials - q.Common }},
		{15, "delivery ", func(q compare.QuoteTotals) measure.Money { return q.Delivery }},
	} {
		s := xlsx.BarSeries{Name: p.Ref(header, part.col), Values: p.Range(quotesFirst, part.col, last, part.col), Fill: [3]string{xlsx.PartFills[1], xlsx.PartFills[0], xlsx.RestFill}[k]}
		for _, q := range w.c.Quotes {
			m := part.of(q)
			room := float64(m) / 100 / c.Max * wide * differenceShare * xlsx.PixelPoints
			s.Labels = append(s.Labels, xlsx.Fitting(room, part.name+m.String(), m.String()))
		}
		c.Series = append(c.Series, s)
	}
	p.Skip(1)
	top := p.Row(xlsx.Str(xlsx.Section, "What each quote comes to for the job, of what it quotes"))
	c.Row = p.Next()
	p.AddChart(c)
	p.Skip((c.Height + xlsx.RowPixels - 1) / xlsx.RowPixels)
	p.KeepTogether(top, p.Next())
}
