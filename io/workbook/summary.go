package workbook

import (
	"cmp"
	"fmt"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// summaryCols is how many columns the Summary's lines run over.
const summaryCols = 4

var summaryWidths = []float64{33, 15, 18, 50}

// summarySheet answers in one look: what the job costs, where it is bought,
// what waits, what is wrong, and how sure the figures are.
func (w *writer) summarySheet() {
	p, job := w.summary, w.in.Book.Job
	p.Row(xlsx.Str(xlsx.Title, cmp.Or(job.Name, "Estimate")))
	p.Row(xlsx.Str(xlsx.Subtitle, strings.Join(slices.DeleteFunc([]string{job.Number, dateWords(job), "from " + w.in.File}, func(s string) bool { return s == "" }), "  |  ")))
	w.watchMaster(p, p.Row(xlsx.Str(xlsx.Text, "Checks"), w.masterCell(), xlsx.LinkTo("Checks!A1", "Checks")), 2)
	if job.Note != "" {
		p.Banner(xlsx.Note, job.Note, summaryCols)
	}
	w.priceBlock()
	w.sureBlock()
	w.whereBlock()
	w.moneyBlock()
	w.contentsBlock()
	w.cautionBlock()
	p.Widths(summaryWidths...)
}

func dateWords(job estimate.Job) string {
	if !job.Date.Set {
		return ""
	}
	return job.Date.V.String()
}

// bidLine is a line of the bid: its name, the rate that rules it, its formula,
// its value, and what to know about it.
type bidLine struct {
	name, label string
	rate        xlsx.Cell
	f           string
	v           measure.Money
	look        xlsx.Look
	why         string
}

// priceBlock writes the bid. Every rate is an input on Job.
func (w *writer) priceBlock() {
	p, job, bid := w.summary, w.in.Book.Job, w.in.Plan.Bid
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Price, "+job.Currency))
	p.Row(xlsx.Strs(xlsx.Heading, "", "Rate", "Amount", "What it is")...)
	rate := func(key string, r measure.Rate) xlsx.Cell { return xlsx.Formula(w.setting[key], r, xlsx.Percent) }
	builder := fmt.Sprintf("SUMIF(%s,\"builder\",%s)", w.bid["supplied column"], w.bid["units column"])
	taxable := fmt.Sprintf("SUMIF(%s,\"yes\",%s)", w.bid["cost taxable"], w.bid["cost column"])
	profit, profitWhy := formula.Cents("C%[1]s*B%[2]s", formula.RateDecimals), "markup on cost"
	if job.Margin {
		profit, profitWhy = formula.Cents("C%[1]s/(1-B%[2]s)", formula.RateDecimals)+"-C%[1]s", "margin of the price"
	}
	lines := []bidLine{
		{"materials", "Materials", xlsx.Cell{}, w.bid["materials"], bid.Materials, xlsx.Money, w.unpricedWords()},
		{"delivery", "Delivery", xlsx.Cell{}, w.bid["delivery"], bid.Delivery, xlsx.Money, "the suppliers' fees: see Orders"},
		{"units", "Windows and doors", xlsx.Cell{}, w.bid["units"], bid.Units, xlsx.Money, ""},
		{"costs", "Cost lines", xlsx.Cell{}, fmt.Sprintf("SUM(%s)", w.bid["cost column"]), bid.Costs, xlsx.Money, "the job's own: see Cost lines"},
		{"labour", "Labour", xlsx.Cell{}, cmp.Or(w.bid["labour"], "0"), bid.Labour, xlsx.Money, w.labourWords()},
		{"tax", "Sales tax", rate("tax", job.Tax), w.bid["order tax"] + "+" + formula.Cents("({taxed units}+{taxed costs})*B{row}", formula.RateDecimals), bid.Tax, xlsx.Money, taxWords(job)},
		{"direct", "Direct cost", xlsx.Cell{}, "{materials}+{delivery}+{units}+{costs}+{labour}+{tax}", bid.Direct, xlsx.Total, ""},
		{"overhead", "Overhead", rate("overhead", job.Overhead), formula.Cents("{direct}*B{row}", formula.RateDecimals), bid.Overhead, xlsx.Money, "of direct cost"},
		{"contingency", "Contingency", rate("contingency", job.Contingency), formula.Cents("({direct}+{overhead})*B{row}", formula.RateDecimals), bid.Contingency, xlsx.Money, "of direct cost and overhead"},
		{"cost", "Cost", xlsx.Cell{}, "{direct}+{overhead}+{contingency}", bid.Cost, xlsx.Total, ""},
		{"profit", "Profit", rate("profit", job.Profit), strings.NewReplacer("C%[1]s", "{cost}", "B%[2]s", "B{row}").Replace(profit), bid.Profit, xlsx.Money, profitWhy},
		{"total", "Total", xlsx.Cell{}, "{cost}+{profit}", bid.Total, xlsx.Total, w.incompleteWords()},
	}
	base := []bidLine{
		{"taxed units", "Tax base: units", xlsx.Cell{}, fmt.Sprintf("IF(%s=\"yes\",%s,0)", w.setting["tax units"], builder), bid.UnitsTaxable, xlsx.Money, "the builder's; an installer's price is installed, tax inside"},
		{"taxed costs", "Tax base: cost lines", xlsx.Cell{}, taxable, bid.CostsTaxable, xlsx.Money, "those marked taxable"},
		{"taxable", "Tax base, with materials", xlsx.Cell{}, fmt.Sprintf("{materials}+{taxed units}+{taxed costs}+IF(%s=\"yes\",{delivery},0)", w.setting["tax delivery"]), bid.Taxable, xlsx.Money, "and delivery, where Job taxes it"},
	}
	at := map[string]string{}
	for i, l := range slices.Concat(lines, base) {
		at[l.name] = "C" + strconv.Itoa(p.Next()+i)
	}
	for _, l := range lines {
		w.bidRow(l, at)
	}
	for _, l := range base {
		w.bidRow(l, at)
	}
	w.otherRate(at)
	w.perUnit(at["total"])
}

// taxWords say how the sales tax is rounded.
func taxWords(job estimate.Job) string {
	if job.TaxByItem {
		return "rounded on every line, half a cent up; units and cost lines at once"
	}
	return "rounded once an order, half a cent up; units and cost lines at once"
}

// labourWords say whether labour is in the price.
func (w *writer) labourWords() string {
	if w.in.Plan.Bid.Labour == 0 {
		return "none: the crew's own hours go on Labour"
	}
	return "the crew's own hours: see Labour"
}

// bidRow writes a line of the bid; at holds the cell of each.
func (w *writer) bidRow(l bidLine, at map[string]string) {
	p := w.summary
	row := p.Next()
	f := strings.ReplaceAll(l.f, "{row}", strconv.Itoa(row))
	for name, c := range at {
		f = strings.ReplaceAll(f, "{"+name+"}", c)
	}
	label := xlsx.Text
	if l.look == xlsx.Total {
		label = xlsx.TotalText
	}
	if l.rate.V == nil {
		l.rate = xlsx.Blank(label)
	}
	why := xlsx.Str(aside(label), l.why)
	if l.name == "units" {
		why = w.unitWords()
	}
	p.Row(xlsx.Str(label, l.label), l.rate, xlsx.Formula(f, l.v, l.look), why)
	w.bid[l.name+" cell"] = p.Ref(row, 3)
}

// aside is the look of a remark in a line.
func aside(label xlsx.Look) xlsx.Look {
	if label == xlsx.TotalText {
		return xlsx.TotalText
	}
	return xlsx.TextWrap
}

// otherRate shows the profit the other way round, so that markup and margin
// are never taken for each other.
func (w *writer) otherRate(at map[string]string) {
	label, over, v := "Profit as margin of the price", at["total"], w.in.Plan.Bid.Margin
	if w.in.Book.Job.Margin {
		label, over, v = "Profit as markup on cost", at["cost"], w.in.Plan.Bid.Markup
	}
	if !v.Set {
		return
	}
	w.summary.Row(xlsx.Str(xlsx.Text, label), xlsx.Formula(fmt.Sprintf("ROUND(%s/%s,6)", at["profit"], over), v.V, xlsx.Percent), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.TextWrap))
}

// perUnit shows the total per opening and by size.
func (w *writer) perUnit(totalCell string) {
	bid := w.in.Plan.Bid
	if bid.Openings == 0 {
		return
	}
	qty, perimeter, area := w.bid["qty column"], w.bid["perimeter column"], w.bid["area column"]
	line := func(label, sizeF string, size float64, l xlsx.Look, v measure.Money) {
		row := w.summary.Next()
		w.summary.Row(xlsx.Str(xlsx.Text, label), xlsx.Formula(sizeF, size, l), xlsx.Formula(formula.Cents(fmt.Sprintf("%s/B%d", totalCell, row), formula.ShareDecimals), v, xlsx.Money), xlsx.Blank(xlsx.TextWrap))
	}
	per := func(size, base int64) measure.Money {
		return measure.Money(measure.MulDiv(int64(bid.Total), base, size))
	}
	line("Per opening", w.bid["qty"], float64(bid.Openings), xlsx.Count, per(bid.Openings, 1))
	line("Per "+w.u.Far()+" of frame perimeter", fmt.Sprintf("SUMPRODUCT(%s,%s)", qty, perimeter), w.u.FarOf(bid.Perimeter), xlsx.Number, per(int64(bid.Perimeter), int64(w.u.FarBase())))
	line("Per "+w.u.Name(estimate.Areawise)+" of frame", fmt.Sprintf("SUMPRODUCT(%s,%s)", qty, area), w.u.Of(estimate.Areawise, int64(bid.Area)), xlsx.Number, per(int64(bid.Area), w.u.Base(estimate.Areawise)))
}

// unpricedWords says what the materials leave out.
func (w *writer) unpricedWords() string {
	missing := w.in.Plan.Unpriced()
	if len(missing) == 0 {
		return "waste, spares and what is bought and not used included"
	}
	return "NOT COMPLETE: " + strings.Join(missing, ", ")
}

// unitWords says of the units what their price leaves out, after an edit too.
func (w *writer) unitWords() xlsx.Cell {
	const whole, gap = "the builder's and installer's; an owner's are the owner's", "NOT COMPLETE: a unit cost is not stated, see By opening"
	words := whole
	if len(w.in.Plan.Bid.NoUnitCost) > 0 {
		words = gap
	}
	return xlsx.Formula(fmt.Sprintf("IF(COUNTIF(%s,\"%s\")=0,\"%s\",\"%s\")", w.bid["units column"], notStated, whole, gap), words, xlsx.TextWrap)
}

// incompleteWords says beside the total what it leaves out at the run.
func (w *writer) incompleteWords() string {
	var out []string
	if w.in.LeftOut > 0 {
		out = append(out, fmt.Sprintf("%d rows left out", w.in.LeftOut))
	}
	if n := len(w.in.Plan.Unpriced()); n > 0 {
		out = append(out, fmt.Sprintf("%d items without a price", n))
	}
	if n := len(w.in.Plan.Bid.NoUnitCost); n > 0 {
		out = append(out, fmt.Sprintf("%d marks without a unit cost", n))
	}
	if n := estimate.Errors(w.in.Problems); n > 0 && len(out) == 0 {
		out = append(out, fmt.Sprintf("%d errors on Checks", n))
	}
	if len(out) == 0 {
		return ""
	}
	return "NOT COMPLETE: " + strings.Join(out, ", ")
}

// sureBlock says how far the figures can be trusted.
func (w *writer) sureBlock() {
	p := w.summary
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "How sure"))
	p.Row(xlsx.Strs(xlsx.Heading, "", "Number", "State", "What it means")...)
	line := func(label string, n int, goodWord, badWord, why string) {
		state := xlsx.Str(xlsx.Good, goodWord)
		if n > 0 {
			state = xlsx.Str(xlsx.Warn, badWord)
		}
		p.Row(xlsx.Str(xlsx.Text, label), xlsx.Num(n, xlsx.Count), state, xlsx.Str(xlsx.TextWrap, why))
	}
	errors, warnings := 0, 0
	for _, x := range w.in.Problems {
		switch x.Severity {
		case estimate.Error:
			errors++
		case estimate.Warning:
			warnings++
		}
	}
	line("Rows left out of the estimate", w.in.LeftOut, "none", "look", "each with its reason on Checks")
	line("Items without a price", len(w.in.Plan.Unpriced()), "none", "not complete", "not in the total; see Materials")
	if n := w.marks(func(r estimate.Requirement) bool { return r.Done }); n > 0 {
		line("Marks whose trim is cut already", n, "", "not in the total", "bought before; to see the whole price, clear Status and On hand")
	}
	if n := w.servedOnHand(); n > 0 {
		line("Items served from what is on hand", n, "", "not in the total", "in whole or in part: see On hand and Boards")
	}
	line("Errors", errors, "none", "look", "listed on Checks with their cells")
	line("Warnings", warnings, "none", "look", "listed on Checks with their cells")
	line("Marks without a unit cost", len(w.in.Plan.Bid.NoUnitCost), "none", "not complete", "not in the total at the run; type it on Openings")
	line("Marks with something held", w.heldMarks(), "none", "held", "estimated and ordered, not cut: see Held and Measuring")
	line("Prices used that are invented", w.inventedLines(), "none", "invented", "a starter list: put your suppliers' prices in its place")
	if first, last := w.priceDates(); first != "" {
		p.Row(xlsx.Str(xlsx.Text, "Prices are from"), xlsx.Str(xlsx.TextRight, first), xlsx.Str(xlsx.TextCenter, "to "+last), xlsx.Str(xlsx.TextWrap, "prices of materials move: older than the Job's limit is warned of"))
	}
	for _, c := range []struct {
		what  string
		known bool
		why   string
	}{
		{"Age of the prices", w.in.Book.Job.Date.Set, "needs the job date on Job"},
		{"Products against the cold", w.in.Book.Job.ColdestF.Set, "needs the coldest forecast on Job"},
		{"Lead paint", w.in.Book.Job.YearBuilt.Set, "needs the year built on Job"},
	} {
		if !c.known {
			p.Row(xlsx.Str(xlsx.Text, c.what), xlsx.Blank(xlsx.Text), xlsx.Str(xlsx.Warn, "not checked"), xlsx.Str(xlsx.TextWrap, c.why))
		}
	}
	p.Row(xlsx.Str(xlsx.Text, "Boards, strips and mixed packs"), xlsx.Blank(xlsx.Text), xlsx.Formula(fmt.Sprintf("IF(%s=0,\"planned\",\"%s\")", w.staleLines(), runAgain), "planned", xlsx.TextCenter),
		xlsx.Str(xlsx.TextWrap, w.provenWords()))
}

// provenWords says of how many cutting plans it is proven that none costs less.
func (w *writer) provenWords() string {
	plans, proven, saved := 0, 0, measure.Money(0)
	for _, buy := range w.in.Plan.Purchases {
		for _, p := range buy.Plans {
			plans++
			saved += centsOf(max(0, p.Plan.FirstFit-p.Plan.Cost))
			if p.Plan.Proven {
				proven++
			}
		}
	}
	words := fmt.Sprintf("on real lengths with kerf and spares; of %d cutting plans %d are proven to cost least from their supplier", plans, proven)
	if saved > 0 {
		words += fmt.Sprintf("; by hand, longest piece first, they would cost %s more", saved)
	}
	return words
}

// marks counts the marks that have a requirement as asked.
func (w *writer) marks(is func(estimate.Requirement) bool) int {
	seen := map[int]bool{}
	for _, r := range w.in.Takeoff.Requirements {
		if is(r) {
			seen[r.Opening] = true
		}
	}
	return len(seen)
}

// servedOnHand counts the items of which something on hand is used.
func (w *writer) servedOnHand() (n int) {
	for _, buy := range w.in.Plan.Purchases {
		if buy.OnHand > 0 {
			n++
		}
	}
	return n
}

func (w *writer) heldMarks() int {
	seen := map[int]bool{}
	for _, h := range w.in.Takeoff.Holds {
		seen[h.Opening] = true
	}
	return len(seen)
}

func (w *writer) inventedLines() int {
	n := 0
	for _, p := range w.in.Plan.Purchases {
		for _, l := range p.Lines {
			if l.Offer.Invented {
				n++
			}
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

// whereBlock says what each supplier gets, and what the best split would save.
func (w *writer) whereBlock() {
	p, c := w.summary, w.in.Plan.Choice
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where it is bought"))
	p.Row(xlsx.Strs(xlsx.Heading, "Supplier", "Materials", "With delivery and tax", "")...)
	for _, o := range w.in.Plan.Orders {
		row := w.orderRow[o.Terms.Supplier]
		words := ""
		if o.Below {
			words = "BELOW ITS MINIMUM ORDER"
		}
		p.Row(xlsx.Str(xlsx.Text, o.Terms.Supplier), xlsx.Formula("Orders!"+formula.Cell(row, 4), o.Materials, xlsx.Money), xlsx.Formula("Orders!"+formula.Cell(row, 8), o.Total(), xlsx.Money), xlsx.Str(xlsx.TextWrap, words))
	}
	if len(c.Yards) > 1 {
		saves := c.Chosen.Cost() - c.Best.Cost()
		words := "the choice is the best split"
		if saves > 0 {
			words = fmt.Sprintf("the best split at %s would save %s", manyStops(c.Best), saves)
		}
		p.Row(xlsx.Str(xlsx.Text, "Chosen at the run"), xlsx.Blank(xlsx.Text), xlsx.LinkTo("Orders!A1", "Orders"), xlsx.Str(xlsx.TextWrap, w.policyWords()+"; "+words))
	}
}

func manyStops(way pricing.Way) string {
	if len(way.Suppliers) == 1 {
		return way.Suppliers[0]
	}
	return fmt.Sprintf("%d suppliers", len(way.Suppliers))
}

// contentsBlock leads to every other sheet.
func (w *writer) contentsBlock() {
	p := w.summary
	p.BreakBefore(p.Next())
	p.Row(xlsx.Str(xlsx.Section, "In this workbook"))
	p.Row(xlsx.Strs(xlsx.Heading, "Sheet", "What it shows", "", "")...)
	for _, other := range w.out.Sheets[1:] {
		row := p.Row(xlsx.LinkTo(formula.QuoteSheet(other.Name)+"!A1", other.Name), xlsx.Str(xlsx.TextWrap, sheetWords[other.Name]), xlsx.Blank(xlsx.TextWrap), xlsx.Blank(xlsx.TextWrap))
		p.Merge(row, 2, row, summaryCols)
	}
	p.Banner(xlsx.Note, "Pale yellow cells in a box are inputs: those of the sheets from Job on, whose tabs are yellow, and a choice each on Materials and Orders. All else is worked out, by the program at the run or by formulas that follow the inputs.", summaryCols)
	p.Skip(1)
}

// sheetWords say what each sheet of an estimate is for.
var sheetWords = map[string]string{
	"By opening": "what each mark costs, by class of material", "Takeoff": "every amount, with what it was worked out from", "Materials": "what to buy: counts, prices, and what each plan cost",
	"Bought and used": "the bridge from what is bought to what the openings use", "Orders": "what each item costs at each supplier, and each order", "Cut list": "for the saw: each length once",
	"Boards": "how each board, stick and roll is cut", "Offcuts": "what is left over and worth keeping", "Frames": "for the bench: a card and a drawing for each trim frame",
	"Install": "for the site: the steps, with what one opening takes", "Receiving": "the units, to tick on arrival", "Measuring": "the form to print and fill in at the set units",
	"Held": "what waits, for what, and what releases it", "Checks": "sums that must agree, and every problem", "Sources": "the rules, with where they come from",
	"Job": "rates, defaults and allowances of the job", "Openings": "the schedule", "Measured": "what was read at the set units", "Cost lines": "free costs of the job",
	"Labour": "the crew's own hours", "On hand": "stock that is there already", "Alternates": "other ways to do the job, for sillwright compare", "Details": "how each sort of opening is closed in", "Items": "what can be bought, without prices",
	"Prices": "the price lists", "Suppliers": "what each supplier asks beside its prices",
}

func (w *writer) cautionBlock() {
	p := w.summary
	p.Row(xlsx.Str(xlsx.Section, "Before the work"))
	for _, c := range estimate.StandingCautions {
		p.Banner(xlsx.Note, c, summaryCols)
	}
}

// classCell begins the key under which bid keeps the sum of a class of materials.
const classCell = "class "

// moneyBlock shows where the money goes: the parts of the total, each with its
// share, and a picture of them. Every part refers to where it was worked out.
func (w *writer) moneyBlock() {
	p, bid := w.summary, w.in.Plan.Bid
	p.Skip(1)
	p.BreakBefore(p.Next())
	p.Row(xlsx.Str(xlsx.Section, "Where the money goes, "+w.in.Book.Job.Currency))
	head := p.Row(xlsx.Strs(xlsx.Heading, "Part of the total", "Amount", "Share", "What it is")...)
	first := p.Next()
	part := func(name, f string, v measure.Money, why string) {
		row := p.Next()
		share := measure.Rate(0)
		if bid.Total != 0 {
			share = measure.Rate(measure.MulDiv(int64(v), int64(measure.One), int64(bid.Total)))
		}
		total := w.bid["total cell"]
		p.Row(xlsx.Str(xlsx.Text, name), xlsx.Formula(f, v, xlsx.Money), xlsx.Formula(fmt.Sprintf("IF(%s=0,0,ROUND(B%d/%s,6))", total, row, total), share, xlsx.Percent), xlsx.Str(xlsx.TextWrap, why))
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
	last := p.Next() - 1
	p.Row(xlsx.Str(xlsx.TotalText, "Total"), xlsx.Formula(formula.SumOf("B", first, last), bid.Total, xlsx.Total), xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText))
	w.bid["money"] = p.Ref(last+1, 2)
	p.Skip(1)
	p.DrawBars(xlsx.BarChart{
		Width: xlsx.PixelsOf(summaryWidths), About: "Where the money goes: the parts of the total", Bars: p.Range(first, 1, last, 1),
		Series: []xlsx.BarSeries{{Name: p.Ref(head, 2), Values: p.Range(first, 2, last, 2), Fill: xlsx.MoneyFill}}, Format: xlsx.FormatCount, Values: true,
	}, last-first+1)
}

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
