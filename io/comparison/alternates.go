package comparison

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
	o := xlsx.New(xlsx.Properties{Title: "Alternates of " + cmp.Or(job.Name, in.File), Subject: "What other ways to do the job would cost", Description: "Written by Sillwright from " + in.File})
	o.Paper, o.Header, o.Footer = job.Paper, strings.TrimSpace(job.Number+"  "+job.Name), "Local code and makers' instructions govern"
	w := alternatesWriter{in: in, main: o.AddSheet("Alternates"), picture: o.AddSheet("Picture"), bids: o.AddSheet("Bids"), classes: o.AddSheet("By class"), checks: o.AddSheet("Problems")}
	for _, p := range []*xlsx.Sheet{w.main, w.picture, w.bids, w.classes, w.checks} {
		p.Landscape(true)
	}
	w.classesSheet()
	w.bidsSheet()
	w.mainSheet()
	w.pictureSheet()
	w.checksSheet()
	return o.Bytes()
}

// alternatesWriter builds the sheets of a comparison of alternates.
type alternatesWriter struct {
	in                                   AlternatesInput
	main, picture, bids, classes, checks *xlsx.Sheet
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
	p.Row(xlsx.Str(xlsx.Title, "By class"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What each alternate buys, in whole packs, boards, rolls and sticks, in "+w.in.Basis.Book.Job.Currency+"."))
	p.Skip(1)
	heads := append(append([]string{"Alternate"}, classes...), "Materials", "Boards, rolls, sticks", "Orders at")
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	for _, a := range w.lines() {
		if !a.Computed {
			w.row = append(w.row, 0)
			continue
		}
		row := p.Next()
		w.row = append(w.row, row)
		cells := []xlsx.Cell{xlsx.Str(xlsx.TextWrap, a.Name)}
		for _, m := range a.Classes {
			cells = append(cells, xlsx.Num(m, xlsx.Money))
		}
		p.Row(append(cells, xlsx.Formula(sumOfRow(row, 2, len(classes)+1), a.Bid.Materials, xlsx.Money), xlsx.Num(a.Boards, xlsx.Count), xlsx.Str(xlsx.TextWrap, strings.Join(a.Orders, ", ")))...)
	}
	widths := append([]float64{34}, slices.Repeat([]float64{9.5}, len(classes))...)
	p.Widths(append(widths, 10.5, 9, 40)...)
	p.Finish("AlternateClasses", header, len(heads), 1)
}

func sumOfRow(row, from, to int) string { return "SUM(" + formula.Range(row, from, row, to) + ")" }

// bidsSheet writes the bid of each alternate, as it is built up on Summary.
func (w *alternatesWriter) bidsSheet() {
	p := w.bids
	p.Row(xlsx.Str(xlsx.Title, "Bids"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each alternate is a whole estimate of its own, orders and their tax to the cent. Amounts in "+w.in.Basis.Book.Job.Currency+"."))
	p.Skip(1)
	heads := []string{"Alternate", "Materials", "Delivery", "Units", "Cost lines", "Labour", "Tax", "Direct", "Overhead, rate", "Overhead", "Contingency, rate", "Contingency", "Profit, rate", "Profit is", "Profit", "Total"}
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	for i, a := range w.lines() {
		if !a.Computed {
			w.total = append(w.total, "")
			continue
		}
		row := p.Next()
		p.Row(w.bidRow(row, w.row[i], a)...)
		w.total = append(w.total, p.Ref(row, len(heads)))
	}
	p.Widths(34, 11, 9, 11, 10, 10, 10, 11, 10, 10, 12, 12, 9, 9, 10, 11.5)
	p.Finish("AlternateBids", header, len(heads), 1)
}

func (w *alternatesWriter) bidRow(row, of int, a compare.Alternative) []xlsx.Cell {
	bid, job := a.Bid, a.Book.Job
	f := func(words string) string { return strings.NewReplacer("{r}", strconv.Itoa(row)).Replace(words) }
	profit, is := formula.Cents(f("(H{r}+J{r}+L{r})*M{r}"), formula.RateDecimals), "markup"
	switch {
	case job.Margin && job.Profit >= measure.One:
		profit, is = "0", "margin"
	case job.Margin:
		profit, is = formula.Cents(f("(H{r}+J{r}+L{r})/(1-M{r})"), formula.RateDecimals)+f("-(H{r}+J{r}+L{r})"), "margin"
	}
	return []xlsx.Cell{xlsx.Str(xlsx.TextWrap, a.Name),
		xlsx.Formula(w.classes.Ref(of, len(a.Classes)+2), bid.Materials, xlsx.Money),
		xlsx.Num(bid.Delivery, xlsx.Money), xlsx.Num(bid.Units, xlsx.Money), xlsx.Num(bid.Costs, xlsx.Money), xlsx.Num(bid.Labour, xlsx.Money), xlsx.Num(bid.Tax, xlsx.Money),
		xlsx.Formula(sumOfRow(row, 2, 7), bid.Direct, xlsx.Money),
		xlsx.Num(job.Overhead, xlsx.Percent), xlsx.Formula(formula.Cents(f("H{r}*I{r}"), formula.RateDecimals), bid.Overhead, xlsx.Money),
		xlsx.Num(job.Contingency, xlsx.Percent), xlsx.Formula(formula.Cents(f("(H{r}+J{r})*K{r}"), formula.RateDecimals), bid.Contingency, xlsx.Money),
		xlsx.Num(job.Profit, xlsx.Percent), xlsx.Str(xlsx.Text, is), xlsx.Formula("ROUND("+profit+",2)", bid.Profit, xlsx.Money),
		xlsx.Formula(f("ROUND(H{r}+J{r}+L{r}+O{r},2)"), bid.Total, xlsx.Money)}
}

// mainSheet writes the differences, a row an alternate, and draws them.
func (w *alternatesWriter) mainSheet() {
	p := w.main
	p.Row(xlsx.Str(xlsx.Title, "Alternates"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%s as it stands, and what each other way would cost more (+) or less (-), in %s. Each alternate stands alone: differences of several do not add up.", w.in.File, w.in.Basis.Book.Job.Currency)))
	if estimate.Errors(w.in.Basis.Problems) > 0 {
		p.Banner(xlsx.Bad, "The job as it stands is not complete: see Problems. Differences leave out the same as it does.", 8)
	}
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Alternate", "What changes", "Marks", "Openings", "Total", "Difference", "An opening", "Why no figure")...)
	first := p.Next() + 1
	for i, a := range w.lines() {
		w.mainRow(p.Next(), first-1, i, a)
	}
	last := p.Next() - 1
	p.Widths(34, 44, 22, 9, 12, 12, 11, 44)
	p.AddTable("AlternateDifferences", header, last, 1, 8)
	p.Freeze(header, 1)
	p.TitleRows(header, header)
	w.bars = [3]int{header, first, last}
}

func (w *alternatesWriter) mainRow(row, basis, i int, a compare.Alternative) {
	cells := []xlsx.Cell{xlsx.Str(xlsx.TextWrap, a.Name), xlsx.Str(xlsx.TextWrap, a.What), xlsx.Str(xlsx.TextWrap, strings.Join(a.Marks, ", ")), xlsx.Num(a.Openings, xlsx.Count)}
	switch {
	case i == 0:
		cells[2].V = "all"
		cells = append(cells, xlsx.Formula(w.total[i], a.Bid.Total, xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.TextWrap))
	case !a.Computed:
		cells = append(cells, xlsx.Str(xlsx.TextRight, noFigure), xlsx.Str(xlsx.TextRight, noFigure), xlsx.Str(xlsx.TextRight, noFigure), xlsx.Str(xlsx.TextWrap, whyWords(a.Why)))
	default:
		each := xlsx.Str(xlsx.TextRight, "-")
		if a.PerOpening.Set {
			each = xlsx.Formula(formula.Cents(fmt.Sprintf("F%d/D%d", row, row), formula.ShareDecimals), a.PerOpening.V, xlsx.Money)
		}
		cells = append(cells, xlsx.Formula(w.total[i], a.Bid.Total, xlsx.Money), xlsx.Formula(fmt.Sprintf("ROUND(E%d-E%d,2)", row, basis), a.Difference, xlsx.Money), each, xlsx.Blank(xlsx.TextWrap))
	}
	w.main.Row(cells...)
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
	p.Row(xlsx.Str(xlsx.Title, "Differences for the job, "+currency))
	p.Row(xlsx.Str(xlsx.Subtitle, "To the right: costs more than the job as it stands; to the left: less."))
	p.Skip(1)
	least, most := measure.Money(0), measure.Money(0)
	for _, a := range w.in.All {
		least, most = min(least, a.Difference), max(most, a.Difference)
	}
	step := xlsx.RoundStep(float64(most-least) / 600)
	c := xlsx.BarChart{Row: p.Next(), Col: 1, Width: differenceWidth, Height: len(w.in.All)*differenceBar + xlsx.ChartFrame,
		About: "Difference of each alternate from the job as it stands", Axis: "difference, " + currency, Step: step,
		Min: step * math.Floor(float64(least)/100/step), Max: step * math.Ceil((float64(most)/100+step/10)/step)}
	var labels []string
	for _, a := range w.in.All {
		room := math.Abs(float64(a.Difference)) / 100 / (c.Max - c.Min) * differenceWidth * differenceShare * xlsx.PixelPoints
		labels = append(labels, xlsx.Fitting(room, signed(a.Difference)))
	}
	header, first, last := w.bars[0], w.bars[1], w.bars[2]
	c.Bars = w.main.Range(first, 1, last, 1)
	c.Series = []xlsx.BarSeries{{Name: w.main.Ref(header, 6), Values: w.main.Range(first, 6, last, 6), Fill: xlsx.PartFills[1], Labels: labels}}
	p.AddChart(c)
	p.Skip((c.Height + xlsx.RowPixels - 1) / xlsx.RowPixels)
	p.Widths(132)
}

// signed writes an amount with its sign.
func signed(m measure.Money) string {
	if m > 0 {
		return "+" + m.String()
	}
	return m.String()
}

// checksSheet lists what stands against the alternates that have no figure, and
// what is wrong with the job as it stands.
func (w *alternatesWriter) checksSheet() {
	p := w.checks
	p.Row(xlsx.Str(xlsx.Title, "Problems"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Why an alternate has no figure, and what is to be said of the job as it stands."))
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, "Of", "Severity", "Place", "What", "What to do")...)
	line := func(of string, x estimate.Problem) {
		p.Row(xlsx.Str(xlsx.TextWrap, of), xlsx.Str(xlsx.Text, x.Severity.String()), xlsx.Str(xlsx.TextWrap, x.Place.String()), xlsx.Str(xlsx.TextWrap, x.What), xlsx.Str(xlsx.TextWrap, x.Do))
	}
	for _, a := range w.in.All {
		for _, x := range a.Why {
			line(a.Name, x)
		}
	}
	for _, x := range w.in.Problems {
		line("as it stands", x)
	}
	p.Widths(30, 9, 30, 70, 46)
	p.Finish("AlternateProblems", header, 5, 0)
}
