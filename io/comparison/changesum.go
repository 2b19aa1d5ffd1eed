package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing/compare"
)

func (c *changeWriter) surplusColumns() []xlsx.Column[compare.BuyChange] {
	type row = compare.BuyChange
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, of(r)) }
	}
	typed := func(r row) compare.SurplusEntry { return c.entries.Surplus[r.Key()] }
	open := fmt.Sprintf(`AND(ISNUMBER({%[1]s}),{%[1]s}<={Surplus},{%[2]s}="")`, backHead, keptHead)
	return []xlsx.Column[row]{
		{Head: itemHead, Cell: text(func(r row) string { return r.Item.Key })},
		{Head: supplierHead, Cell: text(func(r row) string { return r.Supplier })},
		{Head: codeHead, Cell: text(func(r row) string { return r.Code })},
		{Head: packHead, Cell: text(func(r row) string { return r.Content })},
		{Head: "Price", Cell: func(r row) xlsx.Cell { return known(r.Price, xlsx.UnitPrice) }},
		{Head: "Surplus", Cell: func(r row) xlsx.Cell { return xlsx.Num(r.Left, xlsx.Count) }},
		{Head: "Worth", Cell: func(r row) xlsx.Cell {
			return xlsx.Formula(formula.Cents("{Surplus}*{Price}", formula.ExtensionDecimals), r.LeftWorth(), xlsx.Money)
		}},
		{Head: backHead, Cell: func(r row) xlsx.Cell { return optional(typed(r).Back, xlsx.InputCount) }},
		{Head: restockHead, Cell: func(r row) xlsx.Cell { return optional(typed(r).Restocking, xlsx.InputPercent) }},
		{Head: creditHead, Cell: func(r row) xlsx.Cell { return optional(typed(r).Credit, xlsx.InputMoney) }},
		{Head: keptHead, Cell: func(r row) xlsx.Cell { return xlsx.Num(filled(typed(r).Kept), xlsx.InputText) }},
		{Head: "Worth going back", Cell: func(r row) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("IF(%s,%s,0)", open, formula.Cents("{"+backHead+"}*{Price}", formula.ExtensionDecimals)), typed(r).BackWorth(r), xlsx.Money)
		}},
		{Head: "Restocking cost", Cell: func(r row) xlsx.Cell {
			f := formula.Cents("{Worth going back}*SUM({"+restockHead+"})", formula.RateDecimals)
			return xlsx.Formula(f, typed(r).BackWorth(r).Scale(typed(r).Restocking.V), xlsx.Money)
		}},
		{Head: "Credited", Cell: func(r row) xlsx.Cell {
			f := fmt.Sprintf(`IF({%[1]s}="",({%[2]s}<>"")*ROUND({Worth going back}-{Restocking cost},2),MIN({%[1]s},{Worth going back}))`, creditHead, restockHead)
			return xlsx.Formula(f, typed(r).Credited(r), xlsx.Money)
		}},
		{Head: "Open", Cell: func(r row) xlsx.Cell { return xlsx.Formula(openFormula(), typed(r).State(r), xlsx.Text) }},
	}
}

// allSurplus is the line below what was bought for nothing.
const allSurplus = "All that is left over"

// openFormula says what is open at a line that is left over: at most one of these holds.
func openFormula() string {
	back, kept, restock, credit := "{"+backHead+"}", "{"+keptHead+"}", "{"+restockHead+"}", "{"+creditHead+"}"
	var parts []string
	for _, x := range []struct{ when, say string }{
		{fmt.Sprintf(`AND(%s="",%s="")`, back, kept), compare.NotSaid},
		{fmt.Sprintf(`AND(SUM(%s,%s)>0,%s<>"")`, back, credit, kept), compare.NotReturned},
		{fmt.Sprintf(`AND(SUM(%s)>{Surplus},%s="")`, back, kept), compare.TooManyBack},
		{fmt.Sprintf(`AND({Worth going back}>0,%s="",%s="")`, restock, credit), compare.NoCredit},
		{fmt.Sprintf(`AND(%[1]s<>"",SUM(%[2]s)>{Worth going back},SUM(%[1]s)<={Surplus},%[3]s="")`, back, credit, kept), compare.TooMuchCredit},
	} {
		parts = append(parts, fmt.Sprintf(`IF(%s,%q,"")`, x.when, x.say))
	}
	return strings.Join(parts, "&")
}

// surplusTable writes what was bought for nothing, and what goes back of it.
func (c *changeWriter) surplusTable() {
	c.section("Bought for nothing, " + c.in.Now.Book.Job.Currency)
	c.form.Banner(xlsx.Note, "Lines of the earlier estimate of which whole ones are left over, see To buy; those that were on hand cost nothing. "+
		"Counted as bought: of what was never ordered type all under Goes back, and 0 % under Restocking. "+
		"Credit: what the supplier credits, before tax, in place of the worth less restocking.")
	t := c.surplus
	t.HeaderOnly()
	var back, restocking measure.Money
	for _, b := range c.price.Surplus {
		e := c.entries.Surplus[b.Key()]
		back, restocking = back+e.BackWorth(b), restocking+e.BackWorth(b).Scale(e.Restocking.V)
		t.Row(b)
	}
	if len(c.price.Surplus) == 0 {
		t.Nothing(map[string]xlsx.Cell{itemHead: xlsx.Str(xlsx.Text, "nothing")})
	}
	t.Fix()
	if len(c.price.Surplus) > 0 {
		t.Column(backHead).Wholes(0, maxEntry, backHead, "How many go back, at most the surplus; 0 if none.")
		t.Column(restockHead).Decimals(0, 1, restockHead, "A percentage of the price: 15%; 0% if the supplier takes none.")
		t.Column(creditHead).Decimals(0, maxEntry, creditHead, "What the supplier credits, before tax.")
		t.Column(keptHead).Choice(estimate.NoReturns, keptHead, "Why it cannot go back. Blank = it can.")
		t.Column("Open").Highlight(t.Cell(t.First(), "Open").FixedColumn()+`<>""`, xlsx.Bad)
		count := t.Cell(t.First(), backHead).FixedColumn()
		t.Column(backHead).Highlight(fmt.Sprintf("AND(ISNUMBER(%s),%[1]s>%s)", count, t.Cell(t.First(), "Surplus").FixedColumn()), xlsx.Gap)
	}
	t.Total(allSurplus, map[string]xlsx.Cell{
		"Worth":            xlsx.Formula(t.Sum("Worth"), c.sum.Bought, xlsx.Total),
		"Worth going back": xlsx.Formula(t.Sum("Worth going back"), back, xlsx.Total),
		"Restocking cost":  xlsx.Formula(t.Sum("Restocking cost"), restocking, xlsx.Total),
		"Credited":         xlsx.Formula(t.Sum("Credited"), c.sum.Credits, xlsx.Total),
	})
}

// sumLine is a line of what the change comes to.
type sumLine struct {
	label  string
	rate   xlsx.Cell
	f      string
	amount measure.Money
	sum    bool
	// unknown says that nothing of the amount is known: it is no 0.
	unknown bool
	words   xlsx.Cell // what is missing from the amount, or what it is
}

// Lines of the sum.
const (
	undoLine        = "To undo"
	cutLine         = "Cut for nothing"
	surplusLine     = "Bought for nothing"
	creditLine      = "Less credits"
	taxLine         = "Sales tax"
	extraLine       = "Extra costs"
	overheadLine    = "Overhead"
	contingencyLine = "Contingency"
	profitLine      = "Profit"
	typedLine       = "Markup typed"
	changeLine      = "Change of the price"
)

// at is the amount of a line of the sum, words what stands beside it.
func (c *changeWriter) at(label string) string {
	return c.form.Cell(c.rows[label], "Materials").Local()
}

func (c *changeWriter) words(label string) string {
	return c.form.Cell(c.rows[label], "Windows and doors").Local()
}

// sumOf adds up lines of the sum.
func (c *changeWriter) sumOf(labels ...string) string {
	parts := make([]string, len(labels))
	for i, l := range labels {
		parts[i] = c.at(l)
	}
	return strings.Join(parts, "+")
}

// span is the amounts from one line to another.
func (c *changeWriter) span(from, to string) string {
	return c.form.Cell(c.rows[from], "Materials").To(c.form.Cell(c.rows[to], "Materials")).Local()
}

// missing is a cell that says how many of something an amount is without.
func missing(count, say string, n int) xlsx.Cell {
	words := ""
	if n > 0 {
		words = fmt.Sprintf("%s: %d.", say, n)
	}
	return xlsx.Formula(fmt.Sprintf(`IF(%s=0,"",%q&%[1]s&".")`, count, say+": "), words, xlsx.Text)
}

// costLines are the difference of the bids and what the change costs beside it, each
// once.
func (c *changeWriter) costLines() []sumLine {
	m, s, t := c.marks, c.sum, c.surplus
	open := 0
	for _, b := range c.price.Surplus {
		open += one(c.entries.Surplus[b.Key()].State(b) != "")
	}
	rate := c.typed(laborRateEntry).Fixed()
	laborRate := xlsx.Formula(fmt.Sprintf(`IF(%[1]s="","no rate",%[1]s)`, rate), "no rate", xlsx.TextRight)
	if c.entries.LaborRate.Set {
		laborRate = xlsx.Formula(laborRate.F, c.entries.LaborRate.V, xlsx.Money)
	}
	bids := xlsx.Str(xlsx.Text, "")
	if gaps := compare.BidLacks(c.in.Was, c.in.Now); len(gaps) > 0 {
		bids = xlsx.Str(xlsx.Alert, "WITHOUT: "+strings.Join(gaps, "; ")+".")
	}
	plain := func(words string) xlsx.Cell { return xlsx.Str(xlsx.Text, words) }
	total := func(g *xlsx.Grid, line, head string) string { return g.At(line, head).Local() }
	return []sumLine{
		{bidDifference, xlsx.Blank(xlsx.Text), total(&m.Grid, bidDifference, "Price change"), s.Bids, false, false, bids},
		{undoLine, laborRate, total(&m.Grid, bidDifference, "Cost to undo"), s.Undo, false, s.Undo == 0 && c.countUndone() > 0,
			missing(c.notUndone(), "WITHOUT labor to undo; marks without hours or labor rate", c.countUndone())},
		{cutLine, xlsx.Blank(xlsx.Text), total(&m.Grid, bidDifference, "Cut, lost"), s.Cut, false, s.Cut == 0 && c.countLost() > 0,
			missing(c.notLost(), "WITHOUT what was cut for nothing; marks where it is not known, or less than serves again", c.countLost())},
		{surplusLine, xlsx.Blank(xlsx.Text), total(&t.Grid, allSurplus, "Worth"), s.Bought, false, false, plain("whole boards and packs that are left over")},
		{creditLine, xlsx.Blank(xlsx.Text), "-" + total(&t.Grid, allSurplus, "Credited"), -s.Credits, false, false,
			missing(fmt.Sprintf(`SUMPRODUCT((%s<>"")*1)`, t.Column("Open").Local()), "OPEN lines of what was bought for nothing", open)},
	}
}

// sumTable writes what the change comes to, line by line.
func (c *changeWriter) sumTable() {
	c.section("What the change comes to, " + c.in.Now.Book.Job.Currency)
	c.form.Banner(xlsx.Note, "The later bid is planned as a whole job from scratch: what was cut or bought for nothing is in neither bid. "+
		"Boards that were cut for nothing count as used, and are not left over too.")
	c.form.Line(xlsx.Span{From: markHead, Cell: xlsx.Str(xlsx.Heading, "Line")}, xlsx.Span{From: "Change", Cell: xlsx.Str(xlsx.Heading, "Rate")},
		xlsx.Span{From: "Materials", Cell: xlsx.Str(xlsx.Heading, "Amount")},
		xlsx.Span{From: "Windows and doors", To: "State", Cell: xlsx.Str(xlsx.Heading, "What is missing, or what it is")})
	for _, l := range c.costLines() {
		c.add(l)
	}
	c.add(sumLine{taxLine, xlsx.Num(c.in.Now.Book.Job.Tax, xlsx.Percent),
		formula.Cents("SUM("+c.span(cutLine, creditLine)+")*{Change}", formula.RateDecimals), c.sum.Tax, false, false,
		xlsx.Str(xlsx.Text, "on what was cut and bought for nothing, less credits")})
	c.add(sumLine{extraLine, xlsx.Blank(xlsx.TotalText), "ROUND(SUM(" + c.span(undoLine, taxLine) + "),2)", c.sum.Extra, true, false,
		xlsx.Str(xlsx.TotalText, "to undo, and for nothing")})
	c.markupLines()
	lacks := fmt.Sprintf(`TRIM(%s&" "&%s&" "&%s&" "&%s)`, c.words(bidDifference), c.words(undoLine), c.words(cutLine), c.words(creditLine))
	all := c.sumOf(bidDifference, extraLine, overheadLine, contingencyLine, profitLine, typedLine)
	c.add(sumLine{changeLine, xlsx.Blank(xlsx.TotalText), "ROUND(" + all + ",2)", c.sum.Total, true, false,
		xlsx.Formula(lacks, c.lacks(), xlsx.TotalText)})
	for _, label := range []string{undoLine, cutLine, creditLine} {
		w := c.form.Cell(c.rows[label], "Windows and doors")
		w.Highlight(w.Fixed()+`<>""`, xlsx.Bad)
	}
}

// cell is the amount of the line.
func (l sumLine) cell(look xlsx.Look) xlsx.Cell {
	return orNotKnown(l.f, estimate.Maybe[measure.Money]{V: l.amount, Set: !l.unknown}, look)
}

// add writes a line of the sum.
func (c *changeWriter) add(l sumLine) {
	text, amount := xlsx.Text, xlsx.Money
	if l.sum {
		text, amount = xlsx.TotalText, xlsx.Total
	}
	c.rows[l.label] = c.form.Line(
		xlsx.Span{From: markHead, Cell: xlsx.Str(text, l.label)},
		xlsx.Span{From: "Change", Cell: l.rate},
		xlsx.Span{From: "Materials", Cell: l.cell(amount)},
		xlsx.Span{From: "Windows and doors", To: "State", Cell: l.words},
	)
}

// lacks is all that the price of the change is without.
func (c *changeWriter) lacks() string {
	var out []string
	for _, l := range c.costLines() {
		if words, _ := l.words.V.(string); words != "" && l.label != surplusLine {
			out = append(out, words)
		}
	}
	return strings.Join(out, " ")
}

// first writes, above all, what the change comes to and what that is without.
func (c *changeWriter) first() {
	total, words := c.at(changeLine), c.words(changeLine)
	say := c.lacks()
	c.form.Put(c.top, map[string]xlsx.Cell{
		markHead:    xlsx.Str(xlsx.TotalText, changeLine),
		"Change":    xlsx.Formula(total, c.sum.Total, xlsx.Total),
		"Materials": xlsx.Formula(fmt.Sprintf(`IF(%[1]s="","all parts are in",%[1]s)`, words), oneOf(say == "", "all parts are in", say), xlsx.TotalText),
	})
	at := c.form.Cell(c.top, "Materials")
	at.Highlight(words+`<>""`, xlsx.Alert)
}

// markupLines write what is added to the extra costs: by the later job's own rates, or the
// percentage typed.
func (c *changeWriter) markupLines() {
	job, s := &c.in.Now.Book.Job, c.sum
	own := c.typed(markupEntry).Fixed()
	const jobs, not = "by the rates of the later Job", "not used: a markup is typed"
	said, value := fmt.Sprintf(`IF(%s="",%q,%q)`, own, jobs, not), oneOf(c.entries.Markup.Set, not, jobs)
	ofJob := func(label string, rate measure.Rate, f string, v measure.Money) {
		c.add(sumLine{label, xlsx.Num(rate, xlsx.Percent), fmt.Sprintf(`IF(%s="",ROUND(%s,2),0)`, own, f), v, false, false, xlsx.Formula(said, value, xlsx.Text)})
	}
	ofJob(overheadLine, job.Overhead, formula.Cents(c.at(extraLine)+"*{Change}", formula.RateDecimals), s.Markup.Overhead)
	ofJob(contingencyLine, job.Contingency, formula.Cents("("+c.sumOf(extraLine, overheadLine)+")*{Change}", formula.RateDecimals), s.Markup.Contingency)
	cost := "(" + c.sumOf(extraLine, overheadLine, contingencyLine) + ")"
	switch {
	case !job.Margin:
		ofJob(profitLine, job.Profit, formula.Cents(cost+"*{Change}", formula.RateDecimals), s.Markup.Profit)
	case job.Profit < measure.One:
		ofJob(profitLine, job.Profit, formula.Cents(cost+"/(1-{Change})", formula.RateDecimals)+"-"+cost, s.Markup.Profit)
	default: // no price is high enough, and the bid has none either
		ofJob(profitLine, job.Profit, "0", s.Markup.Profit)
	}
	typed := xlsx.Formula(fmt.Sprintf(`IF(%[1]s="",%[2]q,%[1]s)`, own, none), none, xlsx.TextRight)
	if c.entries.Markup.Set {
		typed = xlsx.Formula(typed.F, c.entries.Markup.V, xlsx.Percent)
	}
	atTyped := formula.Cents(c.at(extraLine)+"*SUM("+own+")", formula.RateDecimals)
	c.add(sumLine{typedLine, typed, fmt.Sprintf(`IF(%[1]s="",0,%[2]s)`, own, atTyped), s.Typed, false, false,
		xlsx.Str(xlsx.Text, "on the extra costs, in place of the rates of the later Job")})
}

// one counts what is so.
func one(so bool) int {
	if so {
		return 1
	}
	return 0
}

// total is what the change comes to, on another sheet.
func (c *changeWriter) total() xlsx.Cell {
	return xlsx.Formula(c.form.Cell(c.rows[changeLine], "Materials").String(), c.sum.Total, xlsx.Money)
}
