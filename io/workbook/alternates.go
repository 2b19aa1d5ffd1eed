package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing/compare"
)

// AlternatesInput is a job beside other ways to do it.
type AlternatesInput struct {
	File     string // base name of the schedule or estimate
	Basis    compare.Basis
	All      []compare.Alternative
	Problems []estimate.Problem // of the job as it stands, sorted
}

// Alternates returns a workbook of what each alternate would cost more or less
// than the job as it stands: a table and a picture of the differences, the bid of
// each, and what stands against those that have no figure. The same input gives
// the same bytes.
func Alternates(in AlternatesInput) ([]byte, error) {
	job := in.Basis.Book.Job
	o := newOut(docProps{Title: "Alternates of " + nonEmpty(job.Name, in.File), Subject: "What other ways to do the job would cost", Description: "Written by Sillwright from " + in.File})
	o.paper, o.header, o.caution = job.Paper, strings.TrimSpace(job.Number+"  "+job.Name), "Local code and makers' instructions govern"
	w := alternatesWriter{in: in, main: o.sheet("Alternates"), picture: o.sheet("Picture"), bids: o.sheet("Bids"), classes: o.sheet("By class"), checks: o.sheet("Problems")}
	for _, p := range []*page{w.main, w.picture, w.bids, w.classes, w.checks} {
		p.landscape(true)
	}
	w.classesSheet()
	w.bidsSheet()
	w.mainSheet()
	w.pictureSheet()
	w.checksSheet()
	return o.bytes()
}

// alternatesWriter builds the sheets of a comparison of alternates.
type alternatesWriter struct {
	in                                   AlternatesInput
	main, picture, bids, classes, checks *page
	row                                  []int    // of each line on Bids and By class, the basis first; 0 = none
	total                                []string // cell of each total on Bids
	bars                                 [3]int   // header, first and last row of the differences
}

const noFigure = "no figure"

// lines are the basis and the alternates.
func (w *alternatesWriter) lines() []compare.Alternative {
	return append([]compare.Alternative{w.in.Basis.Alternative}, w.in.All...)
}

// classesSheet writes what each alternate buys, by class of material.
func (w *alternatesWriter) classesSheet() {
	p, classes := w.classes, compare.CostClasses()
	p.row(str(title, "By class"))
	p.row(str(subtitle, "What each alternate buys, in whole packs, boards, rolls and sticks, in "+w.in.Basis.Book.Job.Currency+"."))
	p.skip(1)
	heads := append(append([]string{"Alternate"}, classes...), "Materials", "Boards, rolls, sticks", "Orders at")
	header := p.row(strs(heading, heads...)...)
	for _, a := range w.lines() {
		if !a.Computed {
			w.row = append(w.row, 0)
			continue
		}
		row := p.next()
		w.row = append(w.row, row)
		cells := []cell{str(textWrap, a.Name)}
		for _, m := range a.Classes {
			cells = append(cells, num(m, money))
		}
		p.row(append(cells, formula(sumOfRow(row, 2, len(classes)+1), a.Bid.Materials, money), num(a.Boards, count), str(textWrap, strings.Join(a.Orders, ", ")))...)
	}
	widths := append([]float64{34}, slices.Repeat([]float64{9.5}, len(classes))...)
	p.widths(append(widths, 10.5, 9, 40)...)
	p.finish("AlternateClasses", header, len(heads), 1)
}

func sumOfRow(row, from, to int) string { return "SUM(" + span(row, from, row, to) + ")" }

// bidsSheet writes the bid of each alternate, as it is built up on Summary.
func (w *alternatesWriter) bidsSheet() {
	p := w.bids
	p.row(str(title, "Bids"))
	p.row(str(subtitle, "Each alternate is a whole estimate of its own, orders and their tax to the cent. Amounts in "+w.in.Basis.Book.Job.Currency+"."))
	p.skip(1)
	heads := []string{"Alternate", "Materials", "Delivery", "Units", "Cost lines", "Labour", "Tax", "Direct", "Overhead, rate", "Overhead", "Contingency, rate", "Contingency", "Profit, rate", "Profit is", "Profit", "Total"}
	header := p.row(strs(heading, heads...)...)
	for i, a := range w.lines() {
		if !a.Computed {
			w.total = append(w.total, "")
			continue
		}
		row := p.next()
		p.row(w.bidRow(row, w.row[i], a)...)
		w.total = append(w.total, p.ref(row, len(heads)))
	}
	p.widths(34, 11, 9, 11, 10, 10, 10, 11, 10, 10, 12, 12, 9, 9, 10, 11.5)
	p.finish("AlternateBids", header, len(heads), 1)
}

func (w *alternatesWriter) bidRow(row, of int, a compare.Alternative) []cell {
	bid, job := a.Bid, a.Book.Job
	f := func(words string) string { return strings.NewReplacer("{r}", itoa(row)).Replace(words) }
	profit, is := cents(f("(H{r}+J{r}+L{r})*M{r}"), rateDecimals), "markup"
	switch {
	case job.Margin && job.Profit >= measure.One:
		profit, is = "0", "margin"
	case job.Margin:
		profit, is = cents(f("(H{r}+J{r}+L{r})/(1-M{r})"), rateDecimals)+f("-(H{r}+J{r}+L{r})"), "margin"
	}
	return []cell{str(textWrap, a.Name),
		formula(w.classes.ref(of, len(a.Classes)+2), bid.Materials, money),
		num(bid.Delivery, money), num(bid.Units, money), num(bid.Costs, money), num(bid.Labour, money), num(bid.Tax, money),
		formula(sumOfRow(row, 2, 7), bid.Direct, money),
		num(job.Overhead, percent), formula(cents(f("H{r}*I{r}"), rateDecimals), bid.Overhead, money),
		num(job.Contingency, percent), formula(cents(f("(H{r}+J{r})*K{r}"), rateDecimals), bid.Contingency, money),
		num(job.Profit, percent), str(text, is), formula("ROUND("+profit+",2)", bid.Profit, money),
		formula(f("ROUND(H{r}+J{r}+L{r}+O{r},2)"), bid.Total, money)}
}

// mainSheet writes the differences, a row an alternate, and draws them.
func (w *alternatesWriter) mainSheet() {
	p := w.main
	p.row(str(title, "Alternates"))
	p.row(str(subtitle, fmt.Sprintf("%s as it stands, and what each other way would cost more (+) or less (-), in %s. Each alternate stands alone: differences of several do not add up.", w.in.File, w.in.Basis.Book.Job.Currency)))
	if estimate.Errors(w.in.Basis.Problems) > 0 {
		p.banner(bad, "The job as it stands is not complete: see Problems. Differences leave out the same as it does.", 8)
	}
	p.skip(1)
	header := p.row(strs(heading, "Alternate", "What changes", "Marks", "Openings", "Total", "Difference", "An opening", "Why no figure")...)
	first := p.next() + 1
	for i, a := range w.lines() {
		w.mainRow(p.next(), first-1, i, a)
	}
	last := p.next() - 1
	p.widths(34, 44, 22, 9, 12, 12, 11, 44)
	p.table("AlternateDifferences", header, last, 1, 8)
	p.freeze(header, 1)
	p.titleRows(header, header)
	w.bars = [3]int{header, first, last}
}

func (w *alternatesWriter) mainRow(row, basis, i int, a compare.Alternative) {
	cells := []cell{str(textWrap, a.Name), str(textWrap, a.What), str(textWrap, strings.Join(a.Marks, ", ")), num(a.Openings, count)}
	switch {
	case i == 0:
		cells[2].v = "all"
		cells = append(cells, formula(w.total[i], a.Bid.Total, money), blank(money), blank(money), blank(textWrap))
	case !a.Computed:
		cells = append(cells, str(textRight, noFigure), str(textRight, noFigure), str(textRight, noFigure), str(textWrap, whyWords(a.Why)))
	default:
		each := str(textRight, "-")
		if a.PerOpening.Set {
			each = formula(cents(fmt.Sprintf("F%d/D%d", row, row), shareDecimals), a.PerOpening.V, money)
		}
		cells = append(cells, formula(w.total[i], a.Bid.Total, money), formula(fmt.Sprintf("ROUND(E%d-E%d,2)", row, basis), a.Difference, money), each, blank(textWrap))
	}
	w.main.row(cells...)
}

// whyWords say why an alternate has no figure: the first of the problems, and
// how many more.
func whyWords(why []estimate.Problem) string {
	words := why[0].What
	if why[0].Do != "" {
		words += " (" + why[0].Do + ")"
	}
	if n := len(why) - 1; n > 0 {
		words += fmt.Sprintf("; and %d more: see Problems", n)
	}
	return words
}

// The picture of the differences, in pixels.
const (
	differenceBar   = 22
	differenceWidth = 940
	differenceShare = 0.68 // of it that the bars have, beside their names
)

// pictureSheet draws the differences.
func (w *alternatesWriter) pictureSheet() {
	p, currency := w.picture, w.in.Basis.Book.Job.Currency
	p.row(str(title, "Differences for the job, "+currency))
	p.row(str(subtitle, "To the right: costs more than the job as it stands; to the left: less."))
	p.skip(1)
	least, most := measure.Money(0), measure.Money(0)
	for _, a := range w.in.All {
		least, most = min(least, a.Difference), max(most, a.Difference)
	}
	step := roundStep(float64(most-least) / 600)
	c := barChart{row: p.next(), col: 1, width: differenceWidth, height: len(w.in.All)*differenceBar + chartFrame,
		about: "Difference of each alternate from the job as it stands", axis: "difference, " + currency, step: step,
		min: step * math.Floor(float64(least)/100/step), max: step * math.Ceil((float64(most)/100+step/10)/step)}
	var labels []string
	for _, a := range w.in.All {
		room := math.Abs(float64(a.Difference)) / 100 / (c.max - c.min) * differenceWidth * differenceShare * pixelPoints
		labels = append(labels, fitting(room, signed(a.Difference)))
	}
	header, first, last := w.bars[0], w.bars[1], w.bars[2]
	c.bars = w.main.span(first, 1, last, 1)
	c.series = []barSeries{{name: w.main.ref(header, 6), values: w.main.span(first, 6, last, 6), fill: partFills[1], labels: labels}}
	p.chart(c)
	p.skip((c.height + rowPixels - 1) / rowPixels)
	p.widths(132)
}

// signed writes an amount with its sign.
func signed(m measure.Money) string {
	if m > 0 {
		return "+" + m.String()
	}
	return m.String()
}

// roundStep returns a round number not below a positive one: 1, 2 or 5 times a
// power of ten.
func roundStep(v float64) float64 {
	if v <= 0 {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 5} {
		if v <= k*ten {
			return k * ten
		}
	}
	return 10 * ten
}

// checksSheet lists what stands against the alternates that have no figure, and
// what is wrong with the job as it stands.
func (w *alternatesWriter) checksSheet() {
	p := w.checks
	p.row(str(title, "Problems"))
	p.row(str(subtitle, "Why an alternate has no figure, and what is to be said of the job as it stands."))
	p.skip(1)
	header := p.row(strs(heading, "Of", "Severity", "Place", "What", "What to do")...)
	line := func(of string, x estimate.Problem) {
		p.row(str(textWrap, of), str(text, x.Severity.String()), str(textWrap, x.Place.String()), str(textWrap, x.What), str(textWrap, x.Do))
	}
	for _, a := range w.in.All {
		for _, x := range a.Why {
			line(a.Name, x)
		}
	}
	for _, x := range w.in.Problems {
		line("as it stands", x)
	}
	p.widths(30, 9, 30, 70, 46)
	p.finish("AlternateProblems", header, 5, 0)
}
