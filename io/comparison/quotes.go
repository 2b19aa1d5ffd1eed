package comparison

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
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
	o := xlsx.New(xlsx.Properties{Title: "Quotes for " + cmp.Or(in.Job.Name, in.File), Subject: "Suppliers' quotes side by side",
		Description: "Written by Sillwright from " + in.File})
	o.Paper, o.Header, o.Footer = in.Job.Paper, strings.TrimSpace(in.Job.Number+"  "+in.Job.Name), "Ask before you order: no quote is corrected here"
	w := newQuotesWriter(in)
	return write(o, []sheet{
		{name: "Quotes", begin: w.quotesSheet},
		{name: "By item", begin: w.itemsSheet},
		{name: "Flags", begin: w.flagsSheet},
		{name: "Readings", begin: w.readingsSheet},
		{name: "Lines", begin: w.linesSheet},
		{name: "Buying", begin: w.buyingSheet},
		{name: "Problems", begin: w.problemsSheet},
	})
}

// quote is one of the quotes.
type quote struct {
	compare.QuoteTotals
	place  int    // in the list
	column string // of it on By item
	total  estimate.Maybe[measure.Money]
	extra  measure.Money // what it asks besides its lines
	flags  int

	// Once the sheets are written:
	own, byPrice xlsx.Ref   // of its lines on Lines: what it asks, and count x unit price
	bought       []xlsx.Ref // on Buying, by item: what is paid
}

// quotesWriter builds the sheets of a comparison of quotes.
type quotesWriter struct {
	in     QuotesInput
	c      compare.Tabulation
	u      estimate.Units
	quotes []quote

	totals *xlsx.Table[quote]
	ways   *xlsx.Table[way]
	items  *xlsx.Table[quotedItem]
	sums   itemSums // rows of items
}

func newQuotesWriter(in QuotesInput) *quotesWriter {
	w := &quotesWriter{in: in, c: in.Comparison, u: estimate.UnitsOf(in.Job.MM)}
	for i, t := range w.c.Quotes {
		q := quote{QuoteTotals: t, place: i, column: "quote " + key(i)}
		if written, ok := t.Written(); ok {
			q.total = estimate.Given(written.Amount)
		}
		for _, s := range t.Sums {
			if s.Kind == compare.SumDelivery || s.Kind == compare.SumOther {
				q.extra += s.Amount
			}
		}
		for _, f := range w.c.Flags {
			if f.Quote == i {
				q.flags++
			}
		}
		w.quotes = append(w.quotes, q)
	}
	return w
}

// ranked heads the amounts by which quotes are ranked.
const ranked = "Items that all quote"

// quotesSheet writes the totals of each quote, the ways to buy, and the picture.
func (w *quotesWriter) quotesSheet(p *xlsx.Sheet) func() {
	top(p, "Quotes", fmt.Sprintf("%s priced from %d quotes, in %s before tax. "+
		"The first sums are of the supplier's own counts; those behind them of what the job needs. "+
		"The unit price is used where it and the extension disagree: see Readings.", w.in.File, len(w.quotes), w.in.Job.Currency))
	w.totals = place(p, xlsx.NewTable(p, "QuoteTotals", w.totalColumns()), len(w.quotes))
	return func() {
		fill(w.totals, w.quotes)
		w.writeWays(p)
		w.picture(p)
		for _, s := range quotesSources {
			w.totals.Banner(xlsx.Note, s)
		}
	}
}

var quotesSources = []string{
	"Sums as in public tabulations: as read, sum of the bidder's extensions, sum of calculated extensions, number of blank bids " +
		"(unit price tabulation of bids, Illinois Department of Transportation; published).",
	"Which of two figures governs differs in public practice, so none is corrected here. " +
		"The unit price: specification of the City of Tukwila, Washington, 2016. " +
		"A clearly wrong unit price may be read from the extension: Comptroller General B-208469 (1982) and B-265659 (1995); " +
		"where either could be meant it may not: B-239710 (1990); all published.",
}

func (w *quotesWriter) totalColumns() []xlsx.Column[quote] {
	// own is a cell of a quote that asks something for its lines.
	own := func(q quote, f string, v measure.Money) xlsx.Cell {
		if !q.Own.Set {
			return dash()
		}
		return xlsx.Formula(f, v, xlsx.Money)
	}
	sum := func(row int, q quote) string { return w.items.Cell(row, q.column).String() }
	return []xlsx.Column[quote]{
		{Head: "Quote", Width: 26, Frozen: true, Cell: func(q quote) xlsx.Cell { return xlsx.Str(xlsx.Text, q.Supplier) }},
		{Head: "File", Width: 20, Cell: func(q quote) xlsx.Cell { return xlsx.Str(xlsx.Text, q.Place.File) }},
		{Head: "Total as written", Width: 11, Cell: func(q quote) xlsx.Cell { return known(q.total, xlsx.Money) }},
		{Head: "Sum of its extensions", Width: 11, Cell: func(q quote) xlsx.Cell { return own(q, "SUM("+q.own.String()+")", q.Own.V) }},
		{Head: "Delivery, tax and the like", Width: 11, Cell: func(q quote) xlsx.Cell { return xlsx.Num(q.extra, xlsx.Money) }},
		{Head: "Difference", Width: 10, Cell: func(q quote) xlsx.Cell {
			if !q.total.Set {
				return dash()
			}
			return own(q, "ROUND({Total as written}-{Sum of its extensions}-{Delivery, tax and the like},2)", q.total.V-q.Own.V-q.extra)
		}},
		{Head: "Count x unit price", Width: 11, Cell: func(q quote) xlsx.Cell { return own(q, "SUM("+q.byPrice.String()+")", q.ByPrice.V) }},
		{Head: "Above its extensions", Width: 10, Cell: func(q quote) xlsx.Cell {
			return own(q, "ROUND({Count x unit price}-{Sum of its extensions},2)", q.ByPrice.V-q.Own.V)
		}},
		{Head: "Items quoted", Width: 8, Cell: func(q quote) xlsx.Cell {
			return xlsx.Formula(sum(w.sums.quoted, q), len(q.Items)-q.Missing, xlsx.Count)
		}},
		{Head: "Missing", Width: 8, Cell: func(q quote) xlsx.Cell { return xlsx.Formula(sum(w.sums.missing, q), q.Missing, xlsx.Count) }},
		{Head: ranked, Width: 11, Cell: func(q quote) xlsx.Cell {
			return xlsx.Formula("ROUND("+sum(w.sums.common, q)+",2)", q.Common, xlsx.Money)
		}},
		{Head: "Rank", Width: 6, Cell: func(q quote) xlsx.Cell {
			if !w.c.Ranked() {
				return dash()
			}
			return xlsx.Formula(fmt.Sprintf("1+SUMPRODUCT((%s<{%s})*1)", w.totals.Column(ranked).Fixed(), ranked), q.Rank, xlsx.Count)
		}},
		{Head: "Above lowest", Width: 8.5, Cell: func(q quote) xlsx.Cell {
			if !q.Over.Set {
				return dash()
			}
			return xlsx.Formula(fmt.Sprintf("ROUND(({%[1]s}-MIN(%[2]s))/MIN(%[2]s),6)", ranked, w.totals.Column(ranked).Fixed()), q.Over.V, xlsx.Percent)
		}},
		{Head: "Other items", Width: 11, Cell: func(q quote) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("ROUND(%s-{%s},2)", sum(w.sums.materials, q), ranked), q.Materials-q.Common, xlsx.Money)
		}},
		{Head: "Delivery", Width: 9, Cell: func(q quote) xlsx.Cell { return xlsx.Num(q.Delivery, xlsx.Money) }},
		{Head: "Quoted total", Width: 11.5, Cell: func(q quote) xlsx.Cell {
			return xlsx.Formula("{"+ranked+"}+{Other items}+{Delivery}", q.Cost(), xlsx.Money)
		}},
		{Head: "State", Width: 20, Cell: func(q quote) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.state(q)) }},
		{Head: "Flags", Width: 6, Cell: func(q quote) xlsx.Cell { return xlsx.Num(q.flags, xlsx.Count) }},
	}
}

// state says how a quote stands among the others.
func (w *quotesWriter) state(q quote) string {
	words := "complete"
	switch {
	case !q.Whole():
		return fmt.Sprintf("incomplete: lacks %d", q.Missing)
	case q.place == w.c.Lowest:
		words = "lowest complete quote"
		if len(w.c.Unsure) > 0 {
			words += ", at doubtful prices of " + strings.Join(w.c.Unsure, ", ")
		}
	}
	if q.Below {
		words += ", below its minimum order"
	}
	return words
}

// The picture of the quotes, in pixels.
const (
	quotesWidth  = 940
	quotesLegend = 44
)

// picture draws what each quote comes to: what all quote, the rest, delivery.
func (w *quotesWriter) picture(p *xlsx.Sheet) {
	longest := measure.Money(0)
	for _, q := range w.quotes {
		longest = max(longest, q.Cost())
	}
	step := xlsx.RoundStep(float64(longest) / 600)
	c := xlsx.BarChart{Width: quotesWidth, Height: xlsx.PicturePixels(len(w.quotes)) + quotesLegend, About: "What each quote comes to", Axis: w.in.Job.Currency,
		Bars: w.totals.Column("Quote").String(), Legend: true, Max: step * float64(int64(float64(longest)/100/step)+1), Step: step}
	for _, part := range []struct {
		head, name, fill string
		of               func(q quote) measure.Money
	}{
		{ranked, "all quote ", xlsx.PartFills[1], func(q quote) measure.Money { return q.Common }},
		{"Other items", "other ", xlsx.PartFills[0], func(q quote) measure.Money { return q.Materials - q.Common }},
		{"Delivery", "delivery ", xlsx.RestFill, func(q quote) measure.Money { return q.Delivery }},
	} {
		s := xlsx.BarSeries{Name: w.totals.Head(part.head).String(), Values: w.totals.Column(part.head).String(), Fill: part.fill}
		for _, q := range w.quotes {
			m := part.of(q)
			room := float64(m) / 100 / c.Max * quotesWidth * plotShare * xlsx.PixelPoints
			s.Labels = append(s.Labels, xlsx.Fitting(room, part.name+m.String(), m.String()))
		}
		c.Series = append(c.Series, s)
	}
	p.BelowHead("Quoted total of each quote, for the job", c)
}

// problemsSheet lists what was wrong with the files, and what stands against
// buying.
func (w *quotesWriter) problemsSheet(p *xlsx.Sheet) func() {
	top(p, "Problems", "What could not be read, and why a line cannot be bought from.")
	return func() {
		nothing := xlsx.Str(xlsx.Text, none)
		fillOr(xlsx.NewTable(p, "QuoteProblems", findingColumns(10, 34, 80, 56)), findings("", w.in.Problems), map[string]xlsx.Cell{
			"Severity": xlsx.Str(xlsx.Text, "none"), "Place": nothing, "What": nothing, "What to do": nothing,
		})
	}
}
