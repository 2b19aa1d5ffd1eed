package comparison

import (
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

// CompareInput is jobs that are set side by side. The first one's currency,
// units and paper are those of the workbook.
type CompareInput struct {
	Sides      []compare.Side
	Comparison compare.Costs
}

// Compare returns a workbook that sets jobs side by side: what they come to,
// what they are made of, what was paid for the same item, and what stands out.
// Figures of the jobs are values; sums, differences and parts follow from them.
// The same input gives the same bytes.
func Compare(in CompareInput) ([]byte, error) {
	w := &compareWriter{in: in, u: estimate.UnitsOf(in.Sides[0].Book.Job.MM)}
	w.out = xlsx.New(xlsx.Properties{Title: "Comparison of jobs", Subject: "Window and door openings: jobs side by side", Description: "Written by Sillwright from " + wordsOf(in.Sides, func(s compare.Side) string { return s.File })})
	w.out.Paper, w.out.Header = in.Sides[0].Book.Job.Paper, "Comparison of "+manyJobs(len(in.Sides))
	w.out.Footer = "Every estimate as edited, worked out again"
	for _, s := range []struct {
		page **xlsx.Sheet
		name string
	}{
		{&w.jobs, "Jobs"}, {&w.price, "Price"}, {&w.materials, "Materials"}, {&w.opening, "For an opening"}, {&w.kinds, "Kinds"}, {&w.stock, "Bought and used"},
		{&w.spread, "Unit prices"}, {&w.paid, "Prices paid"}, {&w.odd, "What stands out"}, {&w.files, "Files"}, {&w.notes, "Notes"},
	} {
		*s.page = w.out.AddSheet(s.name)
		(*s.page).Landscape(true)
	}
	w.materialsSheet()
	w.priceSheet()
	w.jobsSheet()
	w.filesSheet()
	w.kindsSheet()
	w.stockSheet()
	w.pricesSheets()
	w.oddSheet()
	w.notesSheet()
	return w.out.Bytes()
}

// compareWriter builds a comparison of jobs. On sheets of a row a job, each job
// has the same row.
type compareWriter struct {
	in  CompareInput
	out *xlsx.Book
	u   estimate.Units

	jobs, price, materials, opening, kinds, stock, spread, paid, odd, files, notes *xlsx.Sheet

	materialsCol, totalCol int // of the sums on Materials and Price
}

// Rows of the first table of a sheet: title, subtitle and a blank line stand
// above.
const (
	compareHeader = 4
	compareFirst  = compareHeader + 1
)

func (w *compareWriter) last() int { return compareFirst + len(w.in.Sides) - 1 }

func (w *compareWriter) currency() string { return w.in.Sides[0].Book.Job.Currency }

func manyJobs(n int) string { return fmt.Sprintf("%d jobs", n) }

func wordsOf[T any](list []T, of func(T) string) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = of(x)
	}
	return strings.Join(words, ", ")
}

// top writes what a sheet is and how to read it.
func (w *compareWriter) top(p *xlsx.Sheet, head, how string) {
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	p.Skip(1)
}

// none stands where there is nothing to count.
const none = "-"

// moneyCell writes an amount that may be missing.
func moneyCell(v measure.Money, there bool) xlsx.Cell {
	if !there {
		return xlsx.Str(xlsx.TextRight, none)
	}
	return xlsx.Num(v, xlsx.Money)
}

// over divides a cell by another, to the cent; where one is no number the
// result is none.
func over(part, whole string, v estimate.Maybe[measure.Money]) xlsx.Cell {
	f := fmt.Sprintf("IF(AND(ISNUMBER(%s),N(%s)>0),%s,\"%s\")", part, whole, formula.Cents(part+"/"+whole, formula.ShareDecimals), none)
	if !v.Set {
		return xlsx.Formula(f, none, xlsx.TextRight)
	}
	return xlsx.Formula(f, v.V, xlsx.Money)
}

// rateOf divides a cell by another, as a percentage.
func rateOf(part, whole string, a, b int64) xlsx.Cell {
	f := fmt.Sprintf("IF(N(%s)>0,ROUND(ROUND(%s/%s,8),6),\"%s\")", whole, part, whole, none)
	if b <= 0 {
		return xlsx.Formula(f, none, xlsx.TextRight)
	}
	return xlsx.Formula(f, measure.Rate(measure.MulDiv(a, int64(measure.One), b)), xlsx.Percent)
}

// jobsSheet answers in one look what the jobs come to.
func (w *compareWriter) jobsSheet() {
	p, far, wide := w.jobs, w.u.Far(), w.u.Name(estimate.Areawise)
	w.top(p, "Jobs side by side", fmt.Sprintf("In %s. Each estimate as it was edited, worked out again; what is missing in one is named, and is no zero.", w.currency()))
	p.Row(xlsx.Strs(xlsx.Heading, "Job", "Name", "Date", "Openings", "Perimeter, "+far, "Area, "+wide, "Total", "Over the first", "An opening", "A "+far, "A "+wide, "Not in the total")...)
	for i, s := range w.in.Sides {
		row, bid := p.Next(), s.Plan.Bid
		day := xlsx.Blank(xlsx.Date)
		if s.Book.Job.Date.Set {
			day.V = s.Book.Job.Date.V
		}
		totalAt := "G" + strconv.Itoa(row)
		gaps := xlsx.Str(xlsx.TextWrap, strings.Join(w.in.Comparison.Jobs[i].Gaps, "; "))
		p.Row(xlsx.Str(xlsx.Text, s.Name), xlsx.Str(xlsx.TextWrap, s.Book.Job.Name), day, xlsx.Num(bid.Openings, xlsx.Count), xlsx.Num(w.u.FarOf(bid.Perimeter), xlsx.Number), xlsx.Num(w.u.Of(estimate.Areawise, int64(bid.Area)), xlsx.Number),
			xlsx.Formula(w.price.Ref(row, w.totalCol), bid.Total, xlsx.Money), w.overFirst(i, row), over(totalAt, "D"+strconv.Itoa(row), bid.PerOpening), over(totalAt, "E"+strconv.Itoa(row), bid.PerLength(w.u.MM)), over(totalAt, "F"+strconv.Itoa(row), bid.PerArea(w.u.MM)), gaps)
	}
	p.Finish("JobTotals", compareHeader, 12, 1)
	w.differences()
	w.whereToLook()
	p.Widths(19, 36, 13, 13, 13, 13, 13, 13, 12, 10, 10, 30)
}

// whole reports whether a job's total leaves nothing out.
func (w *compareWriter) whole(job int) bool { return len(w.in.Comparison.Jobs[job].Gaps) == 0 }

// overFirst is how much a job's total is over the first one's. Two of which one
// leaves something out are not subtracted.
func (w *compareWriter) overFirst(job, row int) xlsx.Cell {
	f := fmt.Sprintf("IF(AND(L%d=\"\",L$%d=\"\"),ROUND(G%d-G$%d,2),\"%s\")", row, compareFirst, row, compareFirst, none)
	if !w.whole(0) || !w.whole(job) {
		return xlsx.Formula(f, none, xlsx.TextRight)
	}
	return xlsx.Formula(f, w.in.Sides[job].Plan.Bid.Total-w.in.Sides[0].Plan.Bid.Total, xlsx.Money)
}

// moreOn says of a part of the price which sheet tells more, and what.
var moreOn = map[string][2]string{
	"Materials": {"Materials", "by class"}, "Delivery": {"Price", "what the suppliers ask"}, "Windows and doors": {"Kinds", "by kind of opening"},
	"Cost lines": {"Price", "each job's own"}, labourPart: {"Price", "of the hours typed"}, "Sales tax": {"Files", "its rates"}, "Direct cost": {"Price", "the parts above"},
	"Overhead": {"Files", "its rates"}, "Contingency": {"Files", "its rates"}, "Cost": {"Price", "with what is added"}, "Profit": {"Files", "its rates"}, "Total": {"Price", "all parts, drawn"},
}

// differences holds two jobs against each other, part by part. Of more, Price
// shows the parts and What stands out the differences.
func (w *compareWriter) differences() {
	if len(w.in.Sides) != 2 {
		return
	}
	p, a, b := w.jobs, w.in.Sides[0], w.in.Sides[1]
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where they differ, in "+w.currency()))
	if !w.whole(0) || !w.whole(1) {
		p.Row(xlsx.Str(xlsx.Text, "Not subtracted: see Not in the total. What one leaves out would look like a difference."))
		return
	}
	p.Row(xlsx.Strs(xlsx.Heading, "Part", "More on", "", a.Name, b.Name, "Difference")...)
	for i, x := range bidParts() { // in the order of the columns of Price
		row, col, va, vb := p.Next(), i+2, x.of(a.Plan.Bid), x.of(b.Plan.Bid)
		label, sum := xlsx.Text, xlsx.Money
		if x.sum > 0 {
			label, sum = xlsx.TotalText, xlsx.Total
		}
		known := func(f string, v measure.Money, sides ...compare.Side) xlsx.Cell {
			if x.label == labourPart && slices.ContainsFunc(sides, func(s compare.Side) bool { return !s.HasLabour() }) {
				return xlsx.Formula(f, none, xlsx.TextRight)
			}
			return xlsx.Formula(f, v, sum)
		}
		more := moreOn[x.label]
		p.Row(xlsx.Str(label, x.label), xlsx.LinkTo(formula.QuoteSheet(more[0])+"!A1", more[0]+": "+more[1]), xlsx.Blank(label),
			known(w.price.Ref(compareFirst, col), va, a), known(w.price.Ref(compareFirst+1, col), vb, b),
			known(fmt.Sprintf("IF(COUNT(D%d:E%d)=2,ROUND(E%d-D%d,2),\"%s\")", row, row, row, row, none), vb-va, a, b))
	}
}

// whereToLook leads to what is worth a look next.
func (w *compareWriter) whereToLook() {
	p, c := w.jobs, w.in.Comparison
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where to look next"))
	line := func(sheet, words string) {
		row := p.Row(xlsx.LinkTo(formula.QuoteSheet(sheet)+"!A1", sheet), xlsx.Str(xlsx.TextWrap, words), xlsx.Blank(xlsx.TextWrap), xlsx.Blank(xlsx.TextWrap), xlsx.Blank(xlsx.TextWrap), xlsx.Blank(xlsx.TextWrap), xlsx.Blank(xlsx.TextWrap))
		p.Merge(row, 2, row, 7)
	}
	line("For an opening", "the materials of each class over the number of openings")
	if items := w.bySpread(); len(items) > 0 && items[0].Spread().V > 0 {
		_, most := items[0].Ends()
		line("Unit prices", fmt.Sprintf("%s differs most: %s paid %s over the least", items[0].Item.Name, w.in.Sides[most.Job].Name, xlsx.ShownNumber(float64(items[0].Spread().V)/1e6, xlsx.FormatPercent)))
	}
	if n := len(c.Odd); n > 0 {
		line("What stands out", fmt.Sprintf("figures far from the usual: %d; the furthest: %s of %s", n, c.Odd[0].What, w.in.Sides[c.Odd[0].Job].Name))
	}
	for i, x := range c.Problems {
		if i == mostNotes {
			line("Notes", fmt.Sprintf("and %d more", len(c.Problems)-mostNotes))
			break
		}
		line("Notes", x.Sentence())
	}
}

// mostNotes is how many notes the first sheet repeats.
const mostNotes = 3

// filesSheet says of each job where it comes from and by which rates.
func (w *compareWriter) filesSheet() {
	p := w.files
	w.top(p, "The files", fmt.Sprintf("In %s. A total in a file that is not what it comes to is not used; rates that differ make totals differ: compare the direct cost.", w.currency()))
	p.Row(xlsx.Strs(xlsx.Heading, "Job", "File", "Written in", "Tax", "Overhead", "Contingency", "Profit", "Profit is", "Total", "Total in the file", "Difference")...)
	for _, s := range w.in.Sides {
		row, job := p.Next(), s.Book.Job
		in, profit := "in", "markup on cost"
		if job.MM {
			in = "mm"
		}
		if job.Margin {
			profit = "margin of the price"
		}
		difference := xlsx.Str(xlsx.TextRight, "not read")
		if s.Stored.Set {
			difference = xlsx.Formula(fmt.Sprintf("ROUND(J%d-I%d,2)", row, row), s.Stored.V-s.Plan.Bid.Total, xlsx.Money)
		}
		p.Row(xlsx.Str(xlsx.Text, s.Name), xlsx.Str(xlsx.TextWrap, s.File), xlsx.Str(xlsx.Text, in), xlsx.Num(job.Tax, xlsx.Percent), xlsx.Num(job.Overhead, xlsx.Percent), xlsx.Num(job.Contingency, xlsx.Percent), xlsx.Num(job.Profit, xlsx.Percent), xlsx.Str(xlsx.Text, profit),
			xlsx.Formula(w.jobs.Ref(row, 7), s.Plan.Bid.Total, xlsx.Money), moneyCell(s.Stored.V, s.Stored.Set), difference)
	}
	p.Finish("JobFiles", compareHeader, 11, 1)
	p.Highlight(formula.Range(compareFirst, 11, w.last(), 11), fmt.Sprintf("AND(ISNUMBER($K%d),$K%d<>0)", compareFirst, compareFirst), xlsx.Warn)
	p.Widths(19, 40, 11, 9, 11, 12, 10, 20, 13, 13, 12)
}

// priceSheet builds each job's price up from its parts, and draws them.
func (w *compareWriter) priceSheet() {
	p := w.price
	w.top(p, "How the price is made up", fmt.Sprintf("In %s. Direct cost, cost and total are sums of their parts; the rates stand on Files.", w.currency()))
	heads := []string{"Job", "Materials", "Delivery", "Windows and doors", "Cost lines", "Labour", "Sales tax", "Direct cost", "Overhead", "Contingency", "Cost", "Profit", "Total"}
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	w.totalCol = len(heads)
	for _, s := range w.in.Sides {
		row, b := p.Next(), s.Plan.Bid
		p.Row(xlsx.Str(xlsx.Text, s.Name), xlsx.Formula(w.materials.Ref(row, w.materialsCol), b.Materials, xlsx.Money), xlsx.Num(b.Delivery, xlsx.Money), xlsx.Num(b.Units, xlsx.Money), xlsx.Num(b.Costs, xlsx.Money), moneyCell(b.Labour, s.HasLabour()), xlsx.Num(b.Tax, xlsx.Money),
			xlsx.Formula(sumAcross(row, 2, 7), b.Direct, xlsx.Money), xlsx.Num(b.Overhead, xlsx.Money), xlsx.Num(b.Contingency, xlsx.Money), xlsx.Formula(sumAcross(row, 8, 10), b.Cost, xlsx.Money), xlsx.Num(b.Profit, xlsx.Money), xlsx.Formula(sumAcross(row, 11, 12), b.Total, xlsx.Money))
	}
	p.Finish("JobPrices", compareHeader, len(heads), 1)
	p.Widths(19, 11, 10, 12, 10, 10, 10, 12, 11, 12, 12, 11, 12)
	most := measure.Money(0)
	for _, s := range w.in.Sides {
		most = max(most, s.Plan.Bid.Total)
	}
	w.bars(p, "Parts of each job's total", []int{2, 3, 4, 5, 6, 7, 9, 10, 12}, most)
}

func sumAcross(row, from, to int) string {
	return fmt.Sprintf("SUM(%s)", formula.Range(row, from, row, to))
}

// partClass is a column of Materials: a class, or what is priced of classes
// that are not complete.
type partClass struct {
	head string
	of   func(compare.JobCost) (measure.Money, bool)
}

// classColumns returns the classes that some job needs.
func (w *compareWriter) classColumns() []partClass {
	var out []partClass
	jobs := w.in.Comparison.Jobs
	for i, class := range compare.CostClasses() {
		if slices.ContainsFunc(jobs, func(j compare.JobCost) bool { return j.Classes[i].Items > 0 }) {
			out = append(out, partClass{class, func(j compare.JobCost) (measure.Money, bool) { return j.Classes[i].Cost, j.Classes[i].Whole() }})
		}
	}
	part := partClass{"in part, classes not complete", func(j compare.JobCost) (sum measure.Money, some bool) {
		for _, c := range j.Classes {
			if len(c.Missing) > 0 {
				sum, some = sum+c.Cost, true
			}
		}
		return sum, some
	}}
	if slices.ContainsFunc(jobs, func(j compare.JobCost) bool { _, some := part.of(j); return some }) {
		out = append(out, part)
	}
	return out
}

// materialsSheet writes what each job buys by class, draws it, and says what it
// comes to for an opening.
func (w *compareWriter) materialsSheet() {
	p, classes := w.materials, w.classColumns()
	w.top(p, "Materials by class", fmt.Sprintf("In %s, as bought. A dash: the job needs nothing of the class, or not all of it has a price.", w.currency()))
	heads := []string{"Job"}
	for _, c := range classes {
		heads = append(heads, c.head)
	}
	heads = append(heads, "Materials")
	w.materialsCol = len(heads)
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	most := measure.Money(0)
	for i, s := range w.in.Sides {
		row, cells := p.Next(), []xlsx.Cell{xlsx.Str(xlsx.Text, s.Name)}
		for _, c := range classes {
			cells = append(cells, moneyCell(c.of(w.in.Comparison.Jobs[i])))
		}
		p.Row(append(cells, xlsx.Formula(sumAcross(row, 2, len(heads)-1), s.Plan.Bid.Materials, xlsx.Money))...)
		most = max(most, s.Plan.Bid.Materials)
	}
	p.Finish("JobMaterials", compareHeader, len(heads), 1)
	widths := []float64{19}
	for range heads[1:] {
		widths = append(widths, 12)
	}
	p.Widths(widths...)
	cols := make([]int, len(classes))
	for i := range cols {
		cols[i] = i + 2
	}
	w.bars(p, "Materials of each job by class", cols, most)
	w.openingSheet(heads, widths)
}

// openingSheet writes the classes again, for one opening.
func (w *compareWriter) openingSheet(heads []string, widths []float64) {
	p := w.opening
	w.top(p, "Materials for an opening", fmt.Sprintf("In %s, by class: what stands on Materials over the number of openings.", w.currency()))
	p.Row(xlsx.Strs(xlsx.Heading, append(slices.Clone(heads), "Openings")...)...)
	for _, s := range w.in.Sides {
		row, n := p.Next(), s.Plan.Bid.Openings
		openings := formula.Cell(row, len(heads)+1)
		cells := []xlsx.Cell{xlsx.Str(xlsx.Text, s.Name)}
		for col := 2; col <= len(heads); col++ {
			at := w.materials.At(row, col)
			v, there := at.V.(measure.Money)
			per := estimate.Maybe[measure.Money]{}
			if there && n > 0 {
				per = estimate.Given(measure.Money(measure.MulDiv(int64(v), 1, n)))
			}
			cells = append(cells, over(w.materials.Ref(row, col), openings, per))
		}
		p.Row(append(cells, xlsx.Num(n, xlsx.Count))...)
	}
	p.Finish("MaterialsAnOpening", compareHeader, len(heads)+1, 1)
	p.Widths(append(widths, 11)...)
}
