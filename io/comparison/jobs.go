package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
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
	w := newJobsWriter(in)
	files := make([]string, len(in.Sides))
	for i, s := range in.Sides {
		files[i] = s.File
	}
	o := xlsx.New(xlsx.Properties{Title: "Comparison of jobs", Subject: "Window and door openings: jobs side by side",
		Description: "Written by Sillwright from " + strings.Join(files, ", ")})
	o.Paper, o.Header = in.Sides[0].Book.Job.Paper, fmt.Sprintf("Comparison of %d jobs", len(in.Sides))
	o.Footer = "Every estimate as edited, calculated again"
	return write(o, []sheet{
		{name: "Jobs", begin: w.jobsSheet},
		{name: "Price", begin: w.priceSheet},
		{name: "Materials", begin: w.materialsSheet},
		{name: "Per opening", begin: w.openingSheet},
		{name: "Kinds", begin: w.kindsSheet},
		{name: "Bought vs. used", begin: w.stockSheet},
		{name: "Unit prices", begin: w.unitPricesSheet},
		{name: "Prices paid", begin: w.pricesPaidSheet},
		{name: "What stands out", begin: w.outliersSheet},
		{name: "Files", begin: w.filesSheet},
		{name: "Notes", begin: w.notesSheet},
	})
}

// job is one of the jobs that are set side by side.
type job struct {
	compare.Side
	cost compare.JobCost
	key  string // of its row, on every sheet of a row a job
}

// jobsWriter builds a comparison of jobs.
type jobsWriter struct {
	in       CompareInput
	u        estimate.Units
	currency string
	jobs     []job
	items    []pricedItem // those that differ most in price first

	totals, price, materials *xlsx.Table[job]
	unitPrices               *xlsx.Table[pricedItem]
}

func newJobsWriter(in CompareInput) *jobsWriter {
	first := in.Sides[0].Book.Job
	w := &jobsWriter{in: in, u: estimate.UnitsOf(first.MM), currency: first.Currency, items: bySpread(in.Comparison.Items)}
	for i, s := range in.Sides {
		w.jobs = append(w.jobs, job{s, in.Comparison.Jobs[i], key(i)})
	}
	return w
}

// jobColumn names the job of a row.
var jobColumn = xlsx.Column[job]{Head: "Job", Width: 19, Frozen: true, Cell: func(j job) xlsx.Cell { return xlsx.Str(xlsx.Text, j.Name) }}

// quotient is a cell of one cell divided by another, to the cent; where one is no number
// the result is none.
func quotient(part, whole string, v estimate.Maybe[measure.Money]) xlsx.Cell {
	share := formula.Cents(part+"/"+whole, formula.ShareDecimals)
	return computed(fmt.Sprintf("IF(AND(ISNUMBER(%s),N(%s)>0),%s,%q)", part, whole, share, none), v, xlsx.Money)
}

// jobsSheet answers in one look what the jobs come to.
func (w *jobsWriter) jobsSheet(p *xlsx.Sheet) func() {
	top(p, "Jobs side by side",
		fmt.Sprintf("In %s. Each estimate as it was edited, calculated again; what one lacks is named, and does not count as zero.", w.currency))
	w.totals = place(p, xlsx.NewTable(p, "JobTotals", w.totalColumns()), len(w.jobs))
	return func() {
		fill(w.totals, w.jobs)
		w.differences(p)
		w.whereToLook(p)
	}
}

func (w *jobsWriter) totalColumns() []xlsx.Column[job] {
	far, wide := w.u.Far(), w.u.Name(estimate.Areawise)
	return []xlsx.Column[job]{
		jobColumn,
		{Head: "Name", Width: 36, Cell: func(j job) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, j.Book.Job.Name) }},
		{Head: "Date", Width: 13, Cell: func(j job) xlsx.Cell { return optional(j.Book.Job.Date, xlsx.Date) }},
		{Head: "Openings", Width: 13, Cell: func(j job) xlsx.Cell { return xlsx.Num(j.Plan.Bid.Openings, xlsx.Count) }},
		{Key: "Perimeter", Head: "Perimeter, " + far, Width: 13, Cell: func(j job) xlsx.Cell { return xlsx.Num(w.u.FarOf(j.Plan.Bid.Perimeter), xlsx.Number) }},
		{Key: "Area", Head: "Area, " + wide, Width: 13, Cell: func(j job) xlsx.Cell { return w.area(j.Plan.Bid.Area) }},
		{Head: "Total", Width: 13, Cell: func(j job) xlsx.Cell {
			return xlsx.Formula(w.price.At(j.key, "Total").String(), j.Plan.Bid.Total, xlsx.Money)
		}},
		{Head: "vs. first job", Width: 13, Cell: w.vsFirst},
		{Head: "Per opening", Width: 12, Cell: func(j job) xlsx.Cell { return quotient("{Total}", "{Openings}", j.Plan.Bid.PerOpening) }},
		{Head: "Per " + far, Width: 10, Cell: func(j job) xlsx.Cell { return quotient("{Total}", "{Perimeter}", j.Plan.Bid.PerLength(w.u.MM)) }},
		{Head: "Per " + wide, Width: 10, Cell: func(j job) xlsx.Cell { return quotient("{Total}", "{Area}", j.Plan.Bid.PerArea(w.u.MM)) }},
		{Head: "Not in the total", Width: 30, Cell: func(j job) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, strings.Join(j.cost.Gaps, "; ")) }},
		{Head: "Labor", Width: 12, Cell: func(j job) xlsx.Cell {
			if j.HasLabor() {
				return xlsx.Str(xlsx.Text, "in the total")
			}
			return xlsx.Str(xlsx.Text, pricing.NoLabor)
		}},
	}
}

func (w *jobsWriter) area(a measure.Area) xlsx.Cell {
	return xlsx.Num(w.u.Of(estimate.Areawise, int64(a)), xlsx.Number)
}

// whole reports whether a job's total leaves nothing out.
func (j job) whole() bool { return len(j.cost.Gaps) == 0 }

// vsFirst is how much a job's total is over the first one's. Two of which one
// leaves something out are not subtracted.
func (w *jobsWriter) vsFirst(j job) xlsx.Cell {
	first := w.jobs[0]
	total, gaps := w.totals.At(first.key, "Total").FixedRow(), w.totals.At(first.key, "Not in the total").FixedRow()
	var over estimate.Maybe[measure.Money]
	if first.whole() && j.whole() {
		over = estimate.Given(j.Plan.Bid.Total - first.Plan.Bid.Total)
	}
	return computed(fmt.Sprintf(`IF(AND({Not in the total}="",%s=""),ROUND({Total}-%s,2),%q)`, gaps, total, none), over, xlsx.Money)
}

// differences holds two jobs against each other, part by part. Of more, Price
// shows the parts and What stands out the differences.
func (w *jobsWriter) differences(p *xlsx.Sheet) {
	if len(w.jobs) != 2 {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where they differ, in "+w.currency))
	if !w.jobs[0].whole() || !w.jobs[1].whole() {
		p.Row(xlsx.Str(xlsx.Text, "Not subtracted: see Not in the total. What one leaves out would look like a difference."))
		return
	}
	t := xlsx.NewTable(p, "JobDifferences", w.differenceColumns(w.jobs[0], w.jobs[1]))
	t.HeaderOnly()
	for _, x := range bidParts {
		t.Row(x)
	}
}

// differenceColumns hold a part of the price of one job against that of another.
func (w *jobsWriter) differenceColumns(first, second job) []xlsx.Column[bidPart] {
	look := func(x bidPart) (text, money xlsx.Look) {
		if x.isSum() {
			return xlsx.TotalText, xlsx.Total
		}
		return xlsx.Text, xlsx.Money
	}
	of := func(key string, j job) xlsx.Column[bidPart] {
		return xlsx.Column[bidPart]{Key: key, Head: j.Name, Cell: func(x bidPart) xlsx.Cell {
			_, money := look(x)
			return computed(w.price.At(j.key, x.label).String(), x.in(j.Side), money)
		}}
	}
	return []xlsx.Column[bidPart]{
		{Head: "Part", Cell: func(x bidPart) xlsx.Cell { text, _ := look(x); return xlsx.Str(text, x.label) }},
		{Head: "More on", Cell: func(x bidPart) xlsx.Cell { return xlsx.LinkToSheet(x.sheet, x.sheet+": "+x.tells) }},
		{Head: "", Cell: func(x bidPart) xlsx.Cell { text, _ := look(x); return xlsx.Blank(text) }},
		of("first", first),
		of("second", second),
		{Head: "Difference", Cell: func(x bidPart) xlsx.Cell {
			_, money := look(x)
			return computed(fmt.Sprintf("IF(COUNT({first..second})=2,ROUND({second}-{first},2),%q)", none), less(x.in(second.Side), x.in(first.Side)), money)
		}},
	}
}

// less subtracts amounts where both are known.
func less(a, b estimate.Maybe[measure.Money]) estimate.Maybe[measure.Money] {
	if !a.Set || !b.Set {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(a.V - b.V)
}

// maxNotes is how many notes the first sheet repeats.
const maxNotes = 3

// whereToLook leads to what is worth a look next.
func (w *jobsWriter) whereToLook(p *xlsx.Sheet) {
	c := w.in.Comparison
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Where to look next"))
	line := func(sheet, words string) {
		w.totals.Line(xlsx.Span{From: "Job", Cell: xlsx.LinkToSheet(sheet, sheet)}, xlsx.Span{From: "Name", To: "Total", Cell: xlsx.Str(xlsx.TextWrap, words)})
	}
	line("Per opening", "the materials of each class over the number of openings")
	if len(w.items) > 0 && w.items[0].Spread().V > 0 {
		it := w.items[0]
		_, most := it.Ends()
		over := xlsx.ShownNumber(float64(it.Spread().V)/1e6, xlsx.FormatPercent)
		line("Unit prices", fmt.Sprintf("%s differs most: %s paid %s above the lowest", it.Item.Name, w.jobs[most.Job].Name, over))
	}
	if n := len(c.Odd); n > 0 {
		line("What stands out", fmt.Sprintf("figures far from the median: %d; the furthest: %s of %s", n, c.Odd[0].What, w.jobs[c.Odd[0].Job].Name))
	}
	shown := min(len(c.Problems), maxNotes)
	for _, x := range c.Problems[:shown] {
		line("Notes", x.Sentence())
	}
	if more := len(c.Problems) - shown; more > 0 {
		line("Notes", fmt.Sprintf("and %d more", more))
	}
}

// notesSheet lists in what the jobs are not alike, and what was found in them.
func (w *jobsWriter) notesSheet(p *xlsx.Sheet) func() {
	return notesSheet(p, "How the jobs are not alike, and where a file does not hold the total that it comes to.", w.in.Comparison.Problems)
}
