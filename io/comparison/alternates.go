package comparison

import (
	"cmp"
	"fmt"
	"math"
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
	o := xlsx.New(xlsx.Properties{Title: "Alternates of " + cmp.Or(job.Name, in.File), Subject: "What other ways to do the job would cost",
		Description: "Written by Sillwright from " + in.File})
	o.Paper, o.Header, o.Footer = job.Paper, strings.TrimSpace(job.Number+"  "+job.Name), "Local code and manufacturers' instructions govern"
	w := &alternatesWriter{in: in, currency: job.Currency, lines: []alternative{{in.Basis.Alternative, key(0)}}}
	for i, a := range in.All {
		w.lines = append(w.lines, alternative{a, key(i + 1)})
	}
	return write(o, []sheet{
		{name: "Alternates", begin: w.alternatesSheet},
		{name: "Picture", begin: w.pictureSheet},
		{name: "Bids", begin: w.bidsSheet},
		{name: "By class", begin: w.classesSheet},
		{name: "Problems", begin: w.problemsSheet},
	})
}

// alternative is the job as it stands, or an alternate.
type alternative struct {
	compare.Alternative
	key string // of its row
}

// alternatesWriter builds the sheets of a comparison of alternates.
type alternatesWriter struct {
	in       AlternatesInput
	currency string
	lines    []alternative // the job as it stands first

	differences, bids, classes *xlsx.Table[alternative]
}

func (w *alternatesWriter) basis() alternative { return w.lines[0] }

// noFigure stands where an alternate cannot be worked out.
const noFigure = "no figure"

// alternatesSheet writes the differences, a row an alternate.
func (w *alternatesWriter) alternatesSheet(p *xlsx.Sheet) func() {
	t := xlsx.NewTable(p, "AlternateDifferences", w.differenceColumns())
	p.Row(xlsx.Str(xlsx.Title, "Alternates"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%s as it stands, and what each other way would cost more (+) or less (-), in %s. "+
		"Each alternate stands alone: differences of several do not add up.", w.in.File, w.currency)))
	if estimate.Errors(w.in.Basis.Problems) > 0 {
		t.Banner(xlsx.Bad, "The job as it stands is not complete: see Problems. Differences leave out the same as it does.")
	}
	p.Skip(1)
	w.differences = place(p, t, len(w.lines))
	return func() { fill(t, w.lines) }
}

func (w *alternatesWriter) differenceColumns() []xlsx.Column[alternative] {
	basis := w.basis().key
	// figure is a cell of an amount that only an alternate has.
	figure := func(a alternative, f string, v measure.Money) xlsx.Cell {
		switch {
		case a.key == basis:
			return xlsx.Blank(xlsx.Money)
		case !a.Computed:
			return xlsx.Str(xlsx.TextRight, noFigure)
		}
		return xlsx.Formula(f, v, xlsx.Money)
	}
	return []xlsx.Column[alternative]{
		{Head: "Alternate", Width: 34, Frozen: true, Cell: func(a alternative) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, a.Name) }},
		{Head: "What changes", Width: 44, Cell: func(a alternative) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, a.What) }},
		{Head: "Marks", Width: 22, Cell: func(a alternative) xlsx.Cell {
			if a.key == basis {
				return xlsx.Str(xlsx.TextWrap, "all")
			}
			return xlsx.Str(xlsx.TextWrap, strings.Join(a.Marks, ", "))
		}},
		{Head: "Openings", Width: 9, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(a.Openings, xlsx.Count) }},
		{Head: "Total", Width: 12, Cell: func(a alternative) xlsx.Cell {
			if !a.Computed {
				return xlsx.Str(xlsx.TextRight, noFigure)
			}
			return xlsx.Formula(w.bids.At(a.key, "Total").String(), a.Bid.Total, xlsx.Money)
		}},
		{Head: "Difference", Width: 12, Cell: func(a alternative) xlsx.Cell {
			return figure(a, fmt.Sprintf("ROUND({Total}-%s,2)", w.differences.At(basis, "Total").Local()), a.Difference)
		}},
		{Head: "Per opening", Width: 11, Cell: func(a alternative) xlsx.Cell {
			if a.key != basis && a.Computed && !a.PerOpening.Set {
				return dash()
			}
			return figure(a, formula.Cents("{Difference}/{Openings}", formula.ShareDecimals), a.PerOpening.V)
		}},
		{Head: "Why no figure", Width: 44, Cell: func(a alternative) xlsx.Cell {
			if a.Computed {
				return xlsx.Blank(xlsx.TextWrap)
			}
			return xlsx.Str(xlsx.TextWrap, whyWords(a.Why))
		}},
	}
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
)

// pictureSheet draws the differences.
func (w *alternatesWriter) pictureSheet(p *xlsx.Sheet) func() {
	top(p, "Differences for the job, "+w.currency, "To the right: costs more than the job as it stands; to the left: less.")
	p.OneColumn(132)
	return func() {
		least, most := measure.Money(0), measure.Money(0)
		for _, a := range w.in.All {
			least, most = min(least, a.Difference), max(most, a.Difference)
		}
		step := xlsx.RoundStep(float64(most-least) / 600)
		c := xlsx.BarChart{Width: differenceWidth, Height: len(w.in.All)*differenceBar + xlsx.ChartFrame,
			About: "Difference of each alternate from the job as it stands", Axis: "difference, " + w.currency, Step: step,
			Min: step * math.Floor(float64(least)/100/step), Max: step * math.Ceil((float64(most)/100+step/10)/step)}
		var labels []string
		for _, a := range w.in.All {
			room := math.Abs(float64(a.Difference)) / 100 / (c.Max - c.Min) * differenceWidth * plotShare * xlsx.PixelPoints
			labels = append(labels, xlsx.Fitting(room, signed(a.Difference)))
		}
		t := w.differences
		first, last := t.First()+1, t.Last() // without the job as it stands
		c.Bars = t.Rows(first, last, "Alternate").String()
		c.Series = []xlsx.BarSeries{{Name: t.Head("Difference").String(), Values: t.Rows(first, last, "Difference").String(),
			Fill: xlsx.PartFills[1], Labels: labels}}
		p.Draw(c)
	}
}

// signed writes an amount with its sign.
func signed(m measure.Money) string {
	if m > 0 {
		return "+" + m.String()
	}
	return m.String()
}

// problemsSheet lists what stands against the alternates that have no figure, and
// what is wrong with the job as it stands.
func (w *alternatesWriter) problemsSheet(p *xlsx.Sheet) func() {
	top(p, "Problems", "Why an alternate has no figure, and what is to be said of the job as it stands.")
	of := xlsx.Column[finding]{Head: "Of", Width: 30, Cell: func(x finding) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.of) }}
	return func() {
		var list []finding
		for _, a := range w.in.All {
			list = append(list, findings(a.Name, a.Why)...)
		}
		list = append(list, findings("as it stands", w.in.Problems)...)
		fill(xlsx.NewTable(p, "AlternateProblems", append([]xlsx.Column[finding]{of}, findingColumns(9, 30, 70, 46)...)), list)
	}
}
