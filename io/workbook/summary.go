package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// summarySheet answers in one look: what the job costs, where it is bought,
// what waits, what is wrong, and how sure the figures are.
func (w *writer) summarySheet(p *xlsx.Sheet) {
	job := w.in.Book.Job
	p.Row(xlsx.Str(xlsx.Title, cmp.Or(job.Name, "Estimate")))
	under := slices.DeleteFunc([]string{job.Number, dateWords(job), "from " + w.in.File}, func(s string) bool { return s == "" })
	p.Row(xlsx.Str(xlsx.Subtitle, strings.Join(under, "  |  ")))
	line := p.Strip(xlsx.Wide{Cell: xlsx.LinkToSheet("Checks", "Checks")}, xlsx.Wide{Cell: w.masterCell(), Columns: 2}, xlsx.Wide{Cell: w.saysCell()})
	watchMaster(p, line[1])
	if job.Note != "" {
		p.Strip(xlsx.Wide{Cell: xlsx.Str(xlsx.Note, job.Note), Columns: len(bidColumns)})
	}
	w.priceBlock(p)
	w.standsBlock(p)
	w.rangeBlock(p)
	w.sureBlock(p)
	w.whereBlock(p)
	w.moneyBlock(p)
	w.contentsBlock(p)
	p.Row(xlsx.Str(xlsx.Section, "Before the work"))
	for _, c := range estimate.StandingCautions {
		w.bid.Banner(xlsx.Note, c)
	}
}

func dateWords(job estimate.Job) string {
	if !job.Date.Set {
		return ""
	}
	return job.Date.V.String()
}

// doubt is something that the figures are less sure for.
type doubt struct {
	label         string
	number, state xlsx.Cell
	about         string
}

var doubtColumns = []xlsx.Column[doubt]{
	{Key: "Line", Cell: func(d doubt) xlsx.Cell { return xlsx.Str(xlsx.Text, d.label) }},
	{Head: "Number", Cell: func(d doubt) xlsx.Cell { return d.number }},
	{Head: "State", Cell: func(d doubt) xlsx.Cell { return d.state }},
	{Head: "What it means", Cell: func(d doubt) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, d.about) }},
}

// counted is a doubt of which there are so many, none at best.
func counted(label string, n int, none, some, about string) doubt {
	state := xlsx.Str(xlsx.Good, none)
	if n > 0 {
		state = xlsx.Str(xlsx.Warn, some)
	}
	return doubt{label, xlsx.Num(n, xlsx.Count), state, about}
}

// noUnitCost counts the rows of By opening without a unit cost, after an edit too.
func (w *writer) noUnitCost() doubt {
	n := fmt.Sprintf(`COUNTIF(%s,"%s")`, w.byOpening.Column(unitsOfMark), notStated)
	count, state, look := 0, "none", xlsx.Good
	for i := range w.in.Takeoff.Openings {
		if o := &w.in.Takeoff.Openings[i]; o.FurnishedBy != estimate.ByOwner && !o.UnitCost.Set {
			count++
		}
	}
	if count > 0 {
		state, look = "not complete", xlsx.Warn
	}
	return doubt{"Marks without a unit cost", xlsx.Formula(n, count, xlsx.Count), xlsx.Formula(`IF({Number}=0,"none","not complete")`, state, look),
		"not in the total; type it on Openings"}
}

// sureBlock says how far the figures can be trusted.
func (w *writer) sureBlock(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Open items"))
	t := xlsx.NewTable(p, "Doubts", doubtColumns)
	t.HeaderOnly()
	for _, d := range w.doubts() {
		t.Row(d)
	}
}

// doubts are all that the figures are less sure for.
func (w *writer) doubts() []doubt {
	errors, warnings := 0, 0
	for _, x := range w.in.Problems {
		switch x.Severity {
		case estimate.Error:
			errors++
		case estimate.Warning:
			warnings++
		}
	}
	out := []doubt{
		counted("Rows left out of the estimate", w.in.LeftOut, "none", "check", "each with its reason on Checks"),
		counted("Items without a price", len(w.in.Plan.Unpriced()), "none", "not complete", "not in the total; see Materials"),
	}
	if n := w.servedOnHand(); n > 0 {
		out = append(out, counted("Items taken from stock on hand", n, "", "not in the total", "in whole or in part: see On hand and Boards"))
	}
	out = append(out, w.ownerDoubts()...)
	out = append(out,
		counted("Errors", errors, "none", "check", "listed on Checks with their cells"),
		counted("Warnings", warnings, "none", "check", "listed on Checks with their cells"),
		w.noUnitCost(),
		counted("Marks on hold", pricing.HeldMarks(w.in.Takeoff), "none", "on hold", "estimated and ordered; do not cut yet: see On hold and Measure form"),
		counted("Invented prices used", w.in.Plan.Invented(), "none", "invented", "from a starter list: put your suppliers' prices in their place"),
	)
	if first, last := w.priceDates(); first != "" {
		out = append(out, doubt{"Price dates", xlsx.Str(xlsx.TextRight, first), xlsx.Str(xlsx.TextCenter, "to "+last),
			"material prices move: a warning says which are older than the limit on Job"})
	}
	for _, c := range []struct {
		what  string
		known bool
		why   string
	}{
		{"Age of the prices", w.in.Book.Job.Date.Set, "needs the job date on Job"},
		{"Installation temperatures", w.in.Book.Job.ColdestF.Set, "needs the coldest forecast on Job"},
		{"Lead paint", w.in.Book.Job.YearBuilt.Set, "needs the year built on Job"},
	} {
		if !c.known {
			out = append(out, doubt{c.what, xlsx.Blank(xlsx.Text), xlsx.Str(xlsx.Warn, "not checked"), c.why})
		}
	}
	planned := xlsx.Formula(fmt.Sprintf(`IF(%s=0,"planned","%s")`, w.staleItems(), runAgain), "planned", xlsx.TextCenter)
	return append(out, doubt{"Cutting plans and mixed packs", xlsx.Blank(xlsx.Text), planned, w.provenWords()})
}

// provenWords says of how many cutting plans it is proven that none costs less.
func (w *writer) provenWords() string {
	plans, proven, saved := 0, 0, measure.Money(0)
	for _, buy := range w.in.Plan.Purchases {
		for _, p := range buy.Plans {
			plans++
			saved += max(0, p.Plan.FirstFitCost-p.Plan.Cost).Cents()
			if p.Plan.Proven {
				proven++
			}
		}
	}
	words := fmt.Sprintf("on real stock lengths, with kerf and spares; %d of %d cutting plans are proven lowest in cost at their supplier", proven, plans)
	if saved > 0 {
		words += fmt.Sprintf("; by hand, longest piece first, they would cost %s more", saved)
	}
	return words
}

// servedOnHand counts the items of which something on hand is used.
func (w *writer) servedOnHand() (n int) {
	for _, buy := range w.in.Plan.Purchases {
		if buy.OnHand > 0 && buy.Owner == nil {
			n++
		}
	}
	return n
}

// priceDates returns the oldest and newest date of the prices used.
func (w *writer) priceDates() (first, last string) {
	for _, p := range w.in.Plan.Purchases {
		for _, l := range p.Lines {
			if !l.Offer.Effective.Set {
				continue
			}
			d := l.Offer.Effective.V.String()
			if first == "" || d < first {
				first = d
			}
			last = max(last, d)
		}
	}
	return first, last
}

var whereColumns = []xlsx.Column[whereLine]{
	{Head: "Supplier", Cell: func(l whereLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.label) }},
	{Head: "Materials", Cell: func(l whereLine) xlsx.Cell { return l.materials }},
	{Head: "With delivery and tax", Cell: func(l whereLine) xlsx.Cell { return l.total }},
	{Key: "Remark", Cell: func(l whereLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.remark) }},
}

// whereLine is what a supplier gets.
type whereLine struct {
	label            string
	materials, total xlsx.Cell
	remark           string
}

// whereBlock says what each supplier gets, and what the best split would save.
func (w *writer) whereBlock(p *xlsx.Sheet) {
	c := w.in.Plan.Choice
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Bought from"))
	t := xlsx.NewTable(p, "Where", whereColumns)
	t.HeaderOnly()
	for _, o := range w.in.Plan.Orders {
		of := func(head string, v measure.Money) xlsx.Cell {
			return xlsx.Formula(w.orders.At(o.Terms.Supplier, head).Moving(), v, xlsx.Money)
		}
		remark := ""
		if o.Below {
			remark = "BELOW ITS MINIMUM ORDER"
		}
		t.Row(whereLine{o.Terms.Supplier, of("Materials", o.Materials), of("Total", o.Total()), remark})
	}
	if len(c.Yards) > 1 {
		words := "the choice is the best split"
		if saves := c.Chosen.Cost() - c.Best.Cost(); saves > 0 {
			words = fmt.Sprintf("the best split at %s would save %s", manyStops(c.Best), saves)
		}
		t.Row(whereLine{"Suppliers chosen because", xlsx.Blank(xlsx.Text), xlsx.LinkToSheet("Orders", "Orders"), w.policyWords() + "; " + words})
	}
}

func manyStops(way pricing.Way) string {
	if len(way.Suppliers) == 1 {
		return way.Suppliers[0]
	}
	return fmt.Sprintf("%d suppliers", len(way.Suppliers))
}

// moneyPart is a part of the total: its cell elsewhere, and what it is.
type moneyPart struct {
	name, f string
	amount  measure.Money
	about   string
}

// moneyTotal is the label of the sum of the parts.
const moneyTotal = "Total"

func (w *writer) moneyColumns() []xlsx.Column[moneyPart] {
	whole := w.in.Plan.Bid.Total
	return []xlsx.Column[moneyPart]{
		{Head: "Part of the total", Cell: func(m moneyPart) xlsx.Cell { return xlsx.Str(xlsx.Text, m.name) }},
		{Head: "Amount", Cell: func(m moneyPart) xlsx.Cell { return xlsx.Formula(m.f, m.amount, xlsx.Money) }},
		{Head: "Share", Cell: func(m moneyPart) xlsx.Cell {
			share := measure.Rate(0)
			if whole != 0 {
				share = measure.Rate(measure.MulDiv(int64(m.amount), int64(measure.One), int64(whole)))
			}
			total := w.bid.At("total", "Amount").String()
			return xlsx.Formula(fmt.Sprintf("IF(%s=0,0,ROUND({Amount}/%s,6))", total, total), share, xlsx.Percent)
		}},
		{Head: "What it is", Cell: func(m moneyPart) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.about) }},
	}
}

// moneyParts are the parts of the total. Every part refers to where it was worked out.
func (w *writer) moneyParts() []moneyPart {
	bid, o := w.in.Plan.Bid, w.byOpening
	var parts []moneyPart
	sums := w.classSums()
	for _, class := range estimate.Classes {
		parts = append(parts, moneyPart{"Materials: " + class, o.At(usedByOpenings, class).String(), sums[class], "used by the openings: see By opening"})
	}
	parts = append(parts, moneyPart{"Materials: surplus", o.At(surplusBought, "Materials").String(), w.in.Plan.Unused,
		"offcuts and part packs: see Bought vs. used"})
	for _, l := range []struct {
		name, line string
		amount     measure.Money
	}{
		{"Windows and doors", "units", bid.Units}, {"Other costs", "costs", bid.Costs}, {"Labor", "labor", bid.Labor}, {"Delivery", "delivery", bid.Delivery},
		{"Sales tax", "tax", bid.Tax}, {"Overhead", "overhead", bid.Overhead}, {"Contingency", "contingency", bid.Contingency}, {"Profit", "profit", bid.Profit},
	} {
		parts = append(parts, moneyPart{l.name, w.bid.At(l.line, "Amount").String(), l.amount, ""})
	}
	return parts
}

// moneyBlock shows where the money goes: the parts of the total, each with its
// share, and a picture of them.
func (w *writer) moneyBlock(p *xlsx.Sheet) {
	p.Skip(1)
	p.BreakBefore(p.Next())
	p.Row(xlsx.Str(xlsx.Section, "Where the money goes, "+w.in.Book.Job.Currency))
	w.money = xlsx.NewTable(p, "MoneyParts", w.moneyColumns())
	t := w.money
	t.HeaderOnly()
	parts := w.moneyParts()
	for _, m := range parts {
		t.Row(m)
	}
	t.Total(moneyTotal, map[string]xlsx.Cell{"Amount": xlsx.Formula(t.Sum("Amount"), w.in.Plan.Bid.Total, xlsx.Total)})
	p.Skip(1)
	p.DrawBars(xlsx.BarChart{
		Width: w.bid.PrintedPixels(), About: "Where the money goes: the parts of the total", Bars: t.Column("Part of the total").String(),
		Series: []xlsx.BarSeries{{Name: t.Head("Amount").String(), Values: t.Column("Amount").String(), Fill: xlsx.MoneyFill}}, Format: xlsx.FormatCount, Values: true,
	}, len(parts))
}

// contentsBlock leads to every other sheet.
func (w *writer) contentsBlock(p *xlsx.Sheet) {
	p.BreakBefore(p.Next())
	p.Row(xlsx.Str(xlsx.Section, "In this workbook"))
	t := xlsx.NewTable(p, "Contents", []xlsx.Column[struct{}]{{Head: "Sheet"}, {Head: "What it shows"}, {Key: "Third"}, {Key: "Last"}})
	t.HeaderOnly()
	for _, s := range estimateSheets()[1:] {
		if s.name == WhenEstimated {
			continue
		}
		t.Line(xlsx.Span{From: "Sheet", Cell: xlsx.LinkToSheet(s.name, s.name)}, xlsx.Span{From: "What it shows", To: "Last", Cell: xlsx.Str(xlsx.TextWrap, s.about)})
	}
	t.Banner(xlsx.Note, "Inputs stand on the sheets from Job on, whose tabs are yellow, and a choice each on Materials and Orders. In a solid box: the price follows at once; "+
		"in a dashed one: a change needs a new run. "+
		"All else is calculated: by the program when it estimated, or by formulas that follow the inputs.")
	p.Skip(1)
}
