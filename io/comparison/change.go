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

// ChangeSheet is the sheet of a revision on which an estimator types what a change
// order needs.
const ChangeSheet = "Change"

// The words by which its tables and entries are found again.
const (
	markHead      = "Mark"
	hoursHead     = "Hours to undo"
	againHead     = "Serves again"
	itemHead      = "Item"
	supplierHead  = "Supplier"
	codeHead      = "Code"
	packHead      = "Pack"
	backHead      = "Goes back"
	restockHead   = "Restocking"
	creditHead    = "Credit"
	keptHead      = "Cannot be returned"
	earlierBid    = "Earlier bid"
	laterBid      = "Later bid"
	bidDifference = "Difference of the bids"
)

// notKnown stands where a worth is not known.
const notKnown = "not known"

// changeEntry is a line of what is typed for the page, or for the price of the change.
type changeEntry struct {
	label, note string
	look        xlsx.Look
	value       func(compare.ChangeEntries) any // nil = blank
	read        func(*entryReader, *compare.ChangeEntries)
}

// Labels of the entries that formulas follow.
const (
	laborRateEntry = "Labor rate"
	markupEntry    = "Markup on extra costs"
)

// given is a value that may be missing, for a cell.
func given[T any](v estimate.Maybe[T]) any {
	if !v.Set {
		return nil
	}
	return v.V
}

func filled(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// pageEntries are what the customer's page says, priceEntries what the price follows
// from.
var (
	pageEntries = []changeEntry{
		{"Change number", "1, 2 ... or as the contract counts them", xlsx.InputText, func(e compare.ChangeEntries) any { return filled(e.Number) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Number = r.text() }},
		{"Change date", "of the page", xlsx.InputDate, func(e compare.ChangeEntries) any { return given(e.Date) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Date = r.date() }},
		{"Reason", "in the customer's words: who asked for it, or what was found", xlsx.InputTextWrap, func(e compare.ChangeEntries) any { return filled(e.Reason) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Reason = r.text() }},
		{"Original contract price", "filled in: the total of the earlier bid; type the price of the contract over it", xlsx.InputMoney,
			func(e compare.ChangeEntries) any { return given(e.Original) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Original = r.money() }},
		{"Earlier changes", "sum of the changes signed before, less with a minus sign; 0 if there are none; blank: the page says not stated", xlsx.InputMoney,
			func(e compare.ChangeEntries) any { return given(e.Earlier) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Earlier = r.money() }},
		{"Days added", "to the completion date; 0 if there are none", xlsx.InputCount, func(e compare.ChangeEntries) any { return given(e.Days) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Days = r.whole() }},
		{"Effect on payments", "such as: added to the last payment", xlsx.InputTextWrap, func(e compare.ChangeEntries) any { return filled(e.Payments) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Payments = r.text() }},
		{"May still be hidden", "what nobody can see yet and is not in the price", xlsx.InputTextWrap, func(e compare.ChangeEntries) any { return filled(e.Hidden) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Hidden = r.text() }},
		{"Valid until", "after that day the price is asked again", xlsx.InputDate, func(e compare.ChangeEntries) any { return given(e.ValidUntil) },
			func(r *entryReader, e *compare.ChangeEntries) { e.ValidUntil = r.date() }},
	}
	priceEntries = []changeEntry{
		{laborRateEntry, "loaded cost of one person-hour; filled in from the later Job, if it has one", xlsx.InputMoney,
			func(e compare.ChangeEntries) any { return given(e.LaborRate) },
			func(r *entryReader, e *compare.ChangeEntries) { e.LaborRate = notNegative(r, r.money()) }},
		{markupEntry, "one percentage on what it costs to undo; blank: overhead, contingency and profit of the later Job", xlsx.InputPercent,
			func(e compare.ChangeEntries) any { return given(e.Markup) },
			func(r *entryReader, e *compare.ChangeEntries) { e.Markup = r.rate() }},
	}
)

// changeRow is a line of where the price changed: a mark, or a part of the rest.
type changeRow struct {
	mark   *compare.MarkPrice // nil: of the rest
	what   string
	change compare.Amounts
}

// changeWriter builds the sheet Change.
type changeWriter struct {
	*revisionWriter
	p       *xlsx.Sheet
	price   compare.PriceChange
	entries compare.ChangeEntries
	sum     compare.ChangeSum

	top     int                    // row of what stands first
	form    *xlsx.Table[changeRow] // the lines above and below the tables, in the columns of marks
	marks   *xlsx.Table[changeRow]
	surplus *xlsx.Table[compare.BuyChange]
	rows    map[string]int // of entries and of the lines of the sum, by label
}

// Typed returns the entries with which a sheet Change begins: what the estimates tell.
func Typed(was, now compare.Side) compare.ChangeEntries {
	return compare.ChangeEntries{Original: estimate.Given(was.Plan.Bid.Total), LaborRate: now.Book.Job.LaborRate}
}

// changeSheet writes where the price changed, what it costs to undo what was done, and
// what that comes to with what is typed.
func (w *revisionWriter) changeSheet(p *xlsx.Sheet) func() {
	c := &changeWriter{revisionWriter: w, p: p, price: w.in.Change, entries: w.in.Entries, rows: map[string]int{}}
	c.sum = c.price.Sum(&w.in.Now.Book.Job, c.entries)
	p.InputPage()
	c.form, c.marks = xlsx.NewTable(p, "ChangeForm", c.markColumns()), xlsx.NewTable(p, "ChangeMarks", c.markColumns())
	c.surplus = xlsx.NewTable(p, "ChangeSurplus", c.surplusColumns())
	w.change = c
	return func() {
		c.form.SetWidths()
		c.form.NoHeader()
		c.head()
		c.section("For the customer's page")
		for _, e := range pageEntries {
			c.entry(e)
		}
		c.section("Basis, " + w.in.Now.Book.Job.Currency)
		c.line(earlierBid, xlsx.Num(c.price.Was, xlsx.Money), w.in.Was.File)
		c.line(laterBid, xlsx.Num(c.price.Now, xlsx.Money), w.in.Now.File)
		c.section("For the price of the change")
		for _, e := range priceEntries {
			c.entry(e)
		}
		c.checks()
		c.markTable()
		c.surplusTable()
		c.sumTable()
		c.first()
	}
}

// head says what the sheet is; what the change comes to is put above it at the end.
func (c *changeWriter) head() {
	p := c.p
	p.Row(xlsx.Str(xlsx.Title, "Change of the contract"))
	p.Row(xlsx.Str(xlsx.Subtitle, "For the estimator, with costs: not for the customer. Type into the yellow cells; "+
		"what is blank is named beside the figure that it is missing from. "+
		"Then save, and run compare with --change and this file: it writes the customer's page, without costs."))
	p.Row(xlsx.Str(xlsx.Subtitle, "Basis: a change order is in writing before the work and states its scope, "+
		"the amount added or subtracted, and the effect on payments and completion "+
		"(one state's Business and Professions Code 7159(e)(3), quoted in contract forms). Not legal advice; local law governs; have your form checked."))
	p.Skip(1)
	c.top = p.Row()
}

func (c *changeWriter) section(title string) {
	c.p.Skip(1)
	c.p.Row(xlsx.Str(xlsx.Section, title))
}

// line writes a labeled cell with a note, and remembers its row.
func (c *changeWriter) line(label string, cell xlsx.Cell, note string) {
	c.rows[label] = c.form.Line(
		xlsx.Span{From: markHead, Cell: xlsx.Str(xlsx.Text, label)},
		xlsx.Span{From: "Change", To: "Labor", Cell: cell},
		xlsx.Span{From: "Others", To: "State", Cell: xlsx.Str(xlsx.Note, note), Bare: true},
	)
}

func (c *changeWriter) entry(e changeEntry) {
	c.line(e.label, xlsx.Num(e.value(c.entries), e.look), e.note)
}

// typed is the cell of an entry.
func (c *changeWriter) typed(label string) xlsx.Ref { return c.form.Cell(c.rows[label], "Change") }

// Limits of what is typed.
const (
	maxUndoHours = 10_000
	maxEntry     = 100_000_000
	maxDays      = 3_650
	maxMarkup    = 10 // times the cost
)

// checks lets the entries take only what they are of.
func (c *changeWriter) checks() {
	c.typed(laborRateEntry).Decimals(0, maxEntry, laborRateEntry, "An amount of money for one person-hour.")
	c.typed(markupEntry).Decimals(0, maxMarkup, markupEntry, "A percentage: 15%.")
	for _, label := range []string{"Original contract price", "Earlier changes"} {
		c.typed(label).Decimals(-maxEntry, maxEntry, label, "An amount of money.")
	}
	c.typed("Days added").Wholes(-maxDays, maxDays, "Days added", "A whole number of days.")
	c.typed("Original contract price").Highlight(fmt.Sprintf("%s=%s", c.typed("Original contract price").Fixed(), c.typed(earlierBid).Fixed()), xlsx.Warn)
}

func (c *changeWriter) markColumns() []xlsx.Column[changeRow] {
	type row = changeRow
	amount := func(of func(compare.Amounts) measure.Money) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell { return xlsx.Num(of(r.change), xlsx.Money) }
	}
	ofMark := func(of func(m compare.MarkPrice) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r.mark == nil {
				return dash()
			}
			return of(*r.mark)
		}
	}
	return []xlsx.Column[row]{
		{Head: markHead, Width: 25, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.what) }},
		{Head: "Change", Width: 16, Cell: func(r row) xlsx.Cell {
			if r.mark == nil {
				return xlsx.Blank(xlsx.TextWrap)
			}
			words := oneOf(len(r.mark.Sorts) > 0, strings.Join(r.mark.Sorts, ", "), "cut already")
			if r.mark.NoUnit {
				return xlsx.Str(xlsx.Bad, words+"; NO UNIT COST")
			}
			return xlsx.Str(xlsx.TextWrap, words)
		}},
		{Head: "Materials", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Materials })},
		{Head: "Windows and doors", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Units })},
		{Head: "Labor", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Labor })},
		{Key: "Others", Head: "Delivery, other costs", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Others })},
		{Head: "Sales tax", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Tax })},
		{Head: "Markup", Width: 11, Cell: amount(func(a compare.Amounts) measure.Money { return a.Markup })},
		{Head: "Price change", Width: 12, Cell: func(r row) xlsx.Cell {
			return xlsx.Formula("ROUND(SUM({Materials..Markup}),2)", r.change.Total(), xlsx.Money)
		}},
		{Head: "Pieces cut", Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell { return xlsx.Num(m.Cut.Pieces, xlsx.Count) })},
		{Key: "Cut length", Head: "Cut, " + c.u.Far(), Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			return xlsx.Num(c.u.FarOf(m.Cut.Length), xlsx.Number)
		})},
		{Head: "Cut worth", Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			if m.Cut.Unknown {
				return xlsx.Str(xlsx.Bad, notKnown)
			}
			return xlsx.Num(m.Cut.Worth, xlsx.Money)
		})},
		{Head: againHead, Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			if m.Cut.Pieces == 0 {
				return dash()
			}
			return optional(c.entries.Entry(m).Again, xlsx.InputMoney)
		})},
		{Head: "Cut, lost", Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			f := fmt.Sprintf("IF(AND(ISNUMBER({Cut worth}),SUM({%[1]s})<={Cut worth}),ROUND({Cut worth}-SUM({%[1]s}),2),%[2]q)", againHead, notKnown)
			return orNotKnown(f, c.entries.Lost(m), xlsx.Money)
		})},
		{Head: hoursHead, Width: 11, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			if !m.Before {
				return dash()
			}
			hours := c.entries.Entry(m).Hours
			return xlsx.Optional(float64(hours.V)/float64(estimate.Hour), hours.Set, xlsx.InputUnitPrice)
		})},
		{Head: "Cost to undo", Width: 12, Cell: ofMark(func(m compare.MarkPrice) xlsx.Cell {
			rate := c.typed(laborRateEntry).Fixed()
			cost := formula.Cents("{"+hoursHead+"}*"+rate, formula.ShareDecimals)
			return computed(fmt.Sprintf("IF(AND(ISNUMBER({%s}),ISNUMBER(%s)),%s,%q)", hoursHead, rate, cost, none), c.entries.UndoCost(m), xlsx.Money)
		})},
		{Head: "State", Width: 25, Cell: func(r row) xlsx.Cell {
			if r.mark == nil {
				return xlsx.Blank(xlsx.Text)
			}
			return c.markState(*r.mark)
		}},
	}
}

// markState says what the cost to undo lacks at a mark.
func (c *changeWriter) markState(m compare.MarkPrice) xlsx.Cell {
	f := fmt.Sprintf(`IF({%[1]s}="",%[2]q,"")&IF(AND(ISNUMBER({%[1]s}),%[3]s=""),%[4]q,"")`,
		hoursHead, compare.NoHours, c.typed(laborRateEntry).Fixed(), compare.NoRate)
	return xlsx.Formula(f, c.entries.UndoState(m), xlsx.Text)
}

// orNotKnown is a cell of a formula, which says so where the value is not known.
func orNotKnown[T any](f string, v estimate.Maybe[T], l xlsx.Look) xlsx.Cell {
	if !v.Set {
		return xlsx.Formula(f, notKnown, xlsx.TextRight)
	}
	return xlsx.Formula(f, v.V, l)
}

// sumOfKnown adds up a column of marks, and says so where nothing of it is known: missing
// is a formula that counts the marks where it is not, n of them.
func (c *changeWriter) sumOfKnown(head, missing string, v measure.Money, n int) xlsx.Cell {
	f := fmt.Sprintf("IF(AND(%s>0,%s=0),%q,ROUND(%[2]s,2))", missing, c.marks.Sum(head), notKnown)
	return orNotKnown(f, estimate.Maybe[measure.Money]{V: v, Set: v != 0 || n == 0}, xlsx.Total)
}

// notLost and notUndone are formulas that count the marks where the worth of what was cut,
// and the cost to undo, are not known; countLost and countUndone are those counts.
func (c *changeWriter) notLost() string {
	return fmt.Sprintf("COUNTIF(%s,%q)", c.marks.Column("Cut, lost").Local(), notKnown)
}

func (c *changeWriter) notUndone() string {
	return fmt.Sprintf("(COUNTIF(%[1]s,%[2]q)+COUNTIF(%[1]s,%[3]q))", c.marks.Column("State").Local(), compare.NoHours, compare.NoRate)
}

func (c *changeWriter) countLost() (n int) {
	for _, m := range c.price.Marks {
		n += one(!c.entries.Lost(m).Set)
	}
	return n
}

func (c *changeWriter) countUndone() (n int) {
	for _, m := range c.price.Marks {
		n += one(c.entries.UndoState(m) != "")
	}
	return n
}

// markTable writes where the price changed.
func (c *changeWriter) markTable() {
	c.section("Where the price changed, later less earlier, " + c.in.Now.Book.Job.Currency)
	c.form.Banner(xlsx.Note, "Materials: what a mark uses, as By opening shows it. Pieces cut: for nothing, see Cut already; "+
		"worth at what the earlier estimate pays for the boards. "+
		"Serves again: worth of what is cut down and used; blank: nothing of it is. Hours to undo: 0 where nothing has to be undone.")
	t := c.marks
	t.HeaderOnly()
	for i := range c.price.Marks {
		m := &c.price.Marks[i]
		t.Row(changeRow{m, m.Mark, m.Change})
	}
	for _, r := range c.price.Rest {
		t.Row(changeRow{nil, r.What, r.Change})
	}
	t.Fix()
	sums := map[string]xlsx.Cell{}
	var all compare.Amounts
	for _, r := range c.price.Rest {
		all = all.Plus(r.Change)
	}
	var pieces int64
	var length measure.Length
	var worth measure.Money
	for _, m := range c.price.Marks {
		all = all.Plus(m.Change)
		pieces, length = pieces+m.Cut.Pieces, length+m.Cut.Length
		if !m.Cut.Unknown {
			worth += m.Cut.Worth
		}
	}
	for head, v := range map[string]measure.Money{"Materials": all.Materials, "Windows and doors": all.Units, "Labor": all.Labor, "Others": all.Others,
		"Sales tax": all.Tax, "Markup": all.Markup, "Price change": all.Total(), "Cut worth": worth} {
		sums[head] = xlsx.Formula("ROUND("+t.Sum(head)+",2)", v, xlsx.Total)
	}
	sums["Cut, lost"] = c.sumOfKnown("Cut, lost", c.notLost(), c.sum.Cut, c.countLost())
	sums["Cost to undo"] = c.sumOfKnown("Cost to undo", c.notUndone(), c.sum.Undo, c.countUndone())
	sums["Pieces cut"] = xlsx.Formula(t.Sum("Pieces cut"), pieces, xlsx.TotalCount)
	sums["Cut length"] = xlsx.Formula(t.Sum("Cut length"), c.u.FarOf(length), xlsx.TotalNumber)
	sums["State"] = xlsx.Formula(fmt.Sprintf(`IF(ROUND({Price change}-(%s-%s),2)=0,"foots to the two bids","DOES NOT FOOT to the two bids")`,
		c.typed(laterBid).Fixed(), c.typed(earlierBid).Fixed()), "foots to the two bids", xlsx.TotalText)
	t.Total(bidDifference, sums)
	t.Column("State").Highlight(t.Cell(t.First(), "State").FixedColumn()+`<>""`, xlsx.Bad)
	t.Column(hoursHead).Decimals(0, maxUndoHours, hoursHead, "Person-hours; 0 where nothing has to be undone. Blank = not known.")
	hours := t.Cell(t.First(), hoursHead).FixedColumn()
	t.Column(hoursHead).Highlight(fmt.Sprintf(`AND(ISNUMBER(%s),%s="")`, hours, c.typed(laborRateEntry).Fixed()), xlsx.Gap)
	t.Column(againHead).Decimals(0, maxEntry, againHead, "Worth of the pieces that are cut down and used, at most Cut worth.")
	again, cut := t.Cell(t.First(), againHead).FixedColumn(), t.Cell(t.First(), "Cut worth").FixedColumn()
	t.Column(againHead).Highlight(fmt.Sprintf(`AND(ISNUMBER(%[1]s),%[1]s>%[2]s)`, again, cut), xlsx.Gap)
}
