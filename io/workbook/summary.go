package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// summaryCols is how many columns the Summary's lines run over.
const summaryCols = 4

// summarySheet answers in one look: what the job costs, where it is bought,
// what waits, what is wrong, and how sure the figures are.
func (w *writer) summarySheet() {
	p, job := w.summary, w.in.Book.Job
	p.row(str(title, nonEmpty(job.Name, "Estimate")))
	p.row(str(subtitle, strings.Join(slices.DeleteFunc([]string{job.Number, dateWords(job), "from " + w.in.File}, func(s string) bool { return s == "" }), "  |  ")))
	p.row(str(text, "Checks"), formula(w.checks.ref(masterRow, 2), w.master(), good), linkTo("Checks!A1", "Checks"))
	if job.Note != "" {
		p.banner(note, job.Note, summaryCols)
	}
	w.priceBlock()
	w.sureBlock()
	w.whereBlock()
	w.cautionBlock()
	p.widths(33, 15, 18, 50)
}

func nonEmpty(s, other string) string {
	if s == "" {
		return other
	}
	return s
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
	rate        cell
	f           string
	v           measure.Money
	look        look
	why         string
}

// priceBlock writes the bid. Every rate is an input on Job.
func (w *writer) priceBlock() {
	p, job, bid := w.summary, w.in.Book.Job, w.in.Plan.Bid
	p.skip(1)
	p.row(str(section, "Price, "+job.Currency))
	p.row(strs(heading, "", "Rate", "Amount", "What it is")...)
	rate := func(key string, r measure.Rate) cell { return formula(w.setting[key], r, percent) }
	builder := fmt.Sprintf("SUMIF(%s,\"builder\",%s)", w.bid["supplied column"], w.bid["units column"])
	taxable := fmt.Sprintf("SUMIF(%s,\"yes\",%s)", w.bid["cost taxable"], w.bid["cost column"])
	profit, profitWhy := cents("C%[1]s*B%[2]s", rateDecimals), "markup on cost"
	if job.Margin {
		profit, profitWhy = cents("C%[1]s/(1-B%[2]s)", rateDecimals)+"-C%[1]s", "margin of the price"
	}
	lines := []bidLine{
		{"materials", "Materials", cell{}, w.bid["materials"], bid.Materials, money, w.unpricedWords()},
		{"units", "Windows and doors", cell{}, w.bid["units"], bid.Units, money, w.unitWords()},
		{"costs", "Cost lines", cell{}, fmt.Sprintf("SUM(%s)", w.bid["cost column"]), bid.Costs, money, "of the job's own: see Cost lines"},
		{"taxed units", "Units that are taxed here", cell{}, fmt.Sprintf("IF(%s=\"yes\",%s,0)", w.setting["tax units"], builder), bid.UnitsTaxable, money, "the builder's; an installer's price is installed, tax inside"},
		{"taxed costs", "Cost lines that are taxed", cell{}, taxable, bid.CostsTaxable, money, ""},
		{"tax", "Sales tax", rate("tax", job.Tax), cents("({materials}+{taxed units}+{taxed costs})*B{row}", rateDecimals), bid.Tax, money, "rounded once for the job, half a cent up"},
		{"direct", "Direct cost", cell{}, "{materials}+{units}+{costs}+{tax}", bid.Direct, total, "without labour: add it as a cost line"},
		{"overhead", "Overhead", rate("overhead", job.Overhead), cents("{direct}*B{row}", rateDecimals), bid.Overhead, money, "of direct cost"},
		{"contingency", "Contingency", rate("contingency", job.Contingency), cents("({direct}+{overhead})*B{row}", rateDecimals), bid.Contingency, money, "of direct cost and overhead"},
		{"cost", "Cost", cell{}, "{direct}+{overhead}+{contingency}", bid.Cost, total, ""},
		{"profit", "Profit", rate("profit", job.Profit), strings.NewReplacer("C%[1]s", "{cost}", "B%[2]s", "B{row}").Replace(profit), bid.Profit, money, profitWhy},
		{"total", "Total", cell{}, "{cost}+{profit}", bid.Total, total, ""},
	}
	at := map[string]string{}
	for _, l := range lines {
		row := p.next()
		at[l.name] = "C" + itoa(row)
		f := strings.ReplaceAll(l.f, "{row}", itoa(row))
		for name, cell := range at {
			f = strings.ReplaceAll(f, "{"+name+"}", cell)
		}
		label := text
		if l.look == total {
			label = totalText
		}
		if l.rate.v == nil {
			l.rate = blank(label)
		}
		p.row(str(label, l.label), l.rate, formula(f, l.v, l.look), str(aside(label), l.why))
		w.bid[l.name+" cell"] = p.ref(row, 3)
	}
	w.otherRate(at)
	w.perUnit(at["total"])
}

// aside is the look of a remark in a line.
func aside(label look) look {
	if label == totalText {
		return totalText
	}
	return textWrap
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
	w.summary.row(str(text, label), formula(fmt.Sprintf("ROUND(%s/%s,6)", at["profit"], over), v.V, percent), blank(text), blank(textWrap))
}

// perUnit shows the total per opening and by size.
func (w *writer) perUnit(totalCell string) {
	bid := w.in.Plan.Bid
	if bid.Openings == 0 {
		return
	}
	qty, perimeter, area := w.bid["qty column"], w.bid["perimeter column"], w.bid["area column"]
	line := func(label, sizeF string, size float64, l look, v measure.Money) {
		row := w.summary.next()
		w.summary.row(str(text, label), formula(sizeF, size, l), formula(cents(fmt.Sprintf("%s/B%d", totalCell, row), shareDecimals), v, money), blank(textWrap))
	}
	per := func(size, base int64) measure.Money {
		return measure.Money(measure.MulDiv(int64(bid.Total), base, size))
	}
	line("Per opening", w.bid["qty"], float64(bid.Openings), count, per(bid.Openings, 1))
	line("Per "+w.u.far()+" of frame perimeter", fmt.Sprintf("SUMPRODUCT(%s,%s)", qty, perimeter), w.u.farOf(bid.Perimeter), number, per(int64(bid.Perimeter), int64(w.u.farBase())))
	line("Per "+w.u.name(estimate.Areawise)+" of frame", fmt.Sprintf("SUMPRODUCT(%s,%s)", qty, area), w.u.of(estimate.Areawise, int64(bid.Area)), number, per(int64(bid.Area), int64(w.u.by[estimate.Areawise].base)))
}

// unpricedWords says what the materials leave out.
func (w *writer) unpricedWords() string {
	missing := w.in.Plan.Unpriced()
	if len(missing) == 0 {
		return "waste, spares and packs bought and not used inside"
	}
	return "NOT COMPLETE: " + strings.Join(missing, ", ")
}

func (w *writer) unitWords() string {
	missing := len(w.in.Plan.Bid.NoUnitCost)
	if missing == 0 {
		return "the builder's and installer's; an owner's are the owner's"
	}
	var marks []string
	for _, i := range w.in.Plan.Bid.NoUnitCost {
		marks = append(marks, w.in.Takeoff.Openings[i].Mark)
	}
	if len(marks) > 6 {
		marks = append(marks[:6], fmt.Sprintf("%d more", missing-6))
	}
	return "NOT COMPLETE, no unit cost: " + strings.Join(marks, ", ")
}

// sureBlock says how far the figures can be trusted.
func (w *writer) sureBlock() {
	p := w.summary
	p.skip(1)
	p.row(str(section, "How sure"))
	p.row(strs(heading, "", "Number", "State", "What it means")...)
	line := func(label string, n int, goodWord, badWord, why string) {
		state := str(good, goodWord)
		if n > 0 {
			state = str(warn, badWord)
		}
		p.row(str(text, label), num(n, count), state, str(textWrap, why))
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
	line("Errors", errors, "none", "look", "listed on Checks with their cells")
	line("Warnings", warnings, "none", "look", "listed on Checks with their cells")
	line("Marks with something held", w.heldMarks(), "none", "held", "estimated and ordered, not cut: see Held and Measuring")
	line("Prices used that are invented", w.inventedLines(), "none", "invented", "a starter list: put your suppliers' prices in its place")
	if first, last := w.priceDates(); first != "" {
		p.row(str(text, "Prices are from"), str(textRight, first), str(textCentre, "to "+last), str(textWrap, "prices of materials move: older than the Job's limit is warned of"))
	}
	p.row(str(text, "Boards and strips"), str(textRight, ""), str(textCentre, "planned"), str(textWrap, "on real lengths with kerf and spares, by first fit; no claim of least cost"))
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

// whereBlock says what each supplier gets.
func (w *writer) whereBlock() {
	p := w.summary
	var names []string
	sum := map[string]measure.Money{}
	for _, buy := range w.in.Plan.Purchases {
		for _, l := range buy.Lines {
			if _, ok := sum[l.Offer.Supplier]; !ok {
				names = append(names, l.Offer.Supplier)
			}
			sum[l.Offer.Supplier] += l.Extension
		}
	}
	slices.Sort(names)
	p.skip(1)
	p.row(str(section, "Where it is bought"))
	p.row(strs(heading, "Supplier", "", "Materials", "")...)
	for _, n := range names {
		row := p.next()
		p.row(str(text, n), blank(text), formula(fmt.Sprintf("SUMIF(%s,A%d,%s)", w.materials.span(firstRow, 3, w.lastLine, 3), row, w.materials.span(firstRow, 15, w.lastLine, 15)), sum[n], money), linkTo("Materials!A1", "Materials"))
	}
}

func (w *writer) cautionBlock() {
	p := w.summary
	p.skip(1)
	p.row(str(section, "Before the work"))
	for _, c := range estimate.StandingCautions {
		p.banner(note, c, summaryCols)
	}
}
