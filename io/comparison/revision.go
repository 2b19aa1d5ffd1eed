package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// RevisionInput is two estimates of one job, and what changed between them.
// Units, currency and paper are those of the later one.
type RevisionInput struct {
	Was, Now compare.Side
	How      string // how it is known which is the earlier one
	Revision compare.Revision
	Change   compare.PriceChange   // where the price changed
	Entries  compare.ChangeEntries // what is typed on the sheet Change
}

// Revision returns a workbook of what changed between two estimates of a job:
// in money, in the marks, in what there is to buy, and what was cut already and
// serves no more. The same input gives the same bytes.
func Revision(in RevisionInput) ([]byte, error) {
	job := in.Now.Book.Job
	w := &revisionWriter{in: in, u: estimate.UnitsOf(job.MM)}
	o := xlsx.New(xlsx.Properties{Title: "Revision of " + job.Name, Subject: "What changed between two estimates of a job",
		Description: "Written by Sillwright from " + in.Was.File + " and " + in.Now.File})
	o.Paper, o.Header = job.Paper, "Revision  "+strings.TrimSpace(job.Number+"  "+job.Name)
	o.Footer = "Both estimates as edited, calculated again"
	if in.Was.Ordered { // an order has no marks
		return write(o, []sheet{
			{name: "Price", upright: true, begin: w.priceSheet},
			{name: "To buy", begin: w.buySheet},
			{name: "Notes", begin: w.notesSheet},
		})
	}
	return write(o, []sheet{
		{name: "Price", upright: true, begin: w.priceSheet},
		{name: ChangeSheet, begin: w.changeSheet},
		{name: "Marks", begin: w.marksSheet},
		{name: "To buy", begin: w.buySheet},
		{name: "Cut already", begin: w.cutSheet},
		{name: "Notes", begin: w.notesSheet},
	})
}

// revisionWriter builds a comparison of two estimates of a job.
type revisionWriter struct {
	in  RevisionInput
	u   estimate.Units
	buy *xlsx.Table[compare.BuyChange]

	change *changeWriter
}

// priceSheet answers in one look what the change comes to.
func (w *revisionWriter) priceSheet(p *xlsx.Sheet) func() {
	was, now := w.in.Was, w.in.Now
	follows := xlsx.NewTable(p, "Follows", followColumns)
	p.Row(xlsx.Str(xlsx.Title, "What changed"))
	p.Row(xlsx.Str(xlsx.Subtitle, strings.TrimSpace(now.Book.Job.Number+"  "+now.Book.Job.Name)))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("Earlier: %s  |  later: %s", was.File, now.File)))
	follows.Line(xlsx.Span{From: "What", To: "Rest", Cell: xlsx.Str(xlsx.Note, "Which is the earlier: "+w.in.How+"."), Bare: true})
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "What to do"))
	return func() {
		follows.Header()
		for _, f := range w.follows() {
			follows.Row(f)
		}
		if was.Ordered {
			follows.Banner(xlsx.Note, "An order has no marks: what was cut before, from other boards, is counted again.")
		} else {
			w.priceChanges(p)
		}
		p.Skip(1)
		from := p.Row(xlsx.Str(xlsx.Section, "Materials by class"))
		t := xlsx.NewTable(p, "ClassChanges", changeColumns)
		t.HeaderOnly()
		for _, c := range w.classChanges() {
			t.Row(c)
		}
		p.KeepTogether(from, p.Next())
	}
}

// follow is something that has to be done: how many lines of it, what they are worth,
// and which sheet tells more.
type follow struct {
	what  string
	lines int64
	worth xlsx.Cell
	sheet string
}

// followColumns have the widths of all tables of the sheet.
var followColumns = []xlsx.Column[follow]{
	{Key: "What", Width: 36, Cell: func(f follow) xlsx.Cell { return xlsx.Str(xlsx.Text, f.what) }},
	{Head: "Lines", Width: 15, Cell: func(f follow) xlsx.Cell { return xlsx.Num(f.lines, xlsx.Count) }},
	{Head: "Value", Width: 15, Cell: func(f follow) xlsx.Cell { return f.worth }},
	{Head: "Where", Width: 15, Cell: func(f follow) xlsx.Cell { return xlsx.LinkToSheet(f.sheet, f.sheet) }},
	{Key: "Rest", Width: 15, Cell: func(follow) xlsx.Cell { return xlsx.Blank(xlsx.Text) }},
}

// follows says what has to be done.
func (w *revisionWriter) follows() []follow {
	s, unpriced := w.in.Revision.Sums(), xlsx.Blank(xlsx.Text)
	sum := func(head string, v measure.Money) xlsx.Cell {
		return xlsx.Formula(w.buy.At(buySums, head).String(), v, xlsx.Money)
	}
	var out []follow
	if !w.in.Was.Ordered {
		out = append(out,
			follow{"Changes at the marks", int64(len(w.in.Revision.Marks)), unpriced, "Marks"},
			follow{"Cut pieces no longer needed", s.Wrong, unpriced, "Cut already"},
			follow{"Change order, with what it costs to undo", int64(len(w.in.Change.Marks)), w.change.total(), ChangeSheet})
	}
	return append(out,
		follow{"More to buy, before delivery and tax", s.More, sum("To pay", s.MoreCost), "To buy"},
		follow{"Surplus, at the price paid", s.Left, sum("Value left", s.LeftWorth), "To buy"})
}

// change is an amount of both estimates.
type change struct {
	label    string
	was, now estimate.Maybe[measure.Money]
	missing  string                   // what stands where one is not known
	sums     func(head string) string // of a sum: its formula
}

// changeColumns show an amount of both estimates, their difference and its part of the
// earlier; what is missing in one has no difference.
var changeColumns = []xlsx.Column[change]{
	{Key: "Part", Cell: func(c change) xlsx.Cell { return xlsx.Str(c.look(xlsx.Text, xlsx.TotalText), c.label) }},
	{Head: "Earlier", Cell: func(c change) xlsx.Cell { return c.amount("Earlier", c.was) }},
	{Head: "Later", Cell: func(c change) xlsx.Cell { return c.amount("Later", c.now) }},
	{Head: "Difference", Cell: func(c change) xlsx.Cell {
		return computed(fmt.Sprintf("IF(COUNT({Earlier..Later})=2,{Later}-{Earlier},%q)", none), less(c.now, c.was), c.look(xlsx.Money, xlsx.Total))
	}},
	{Head: "Change", Cell: func(c change) xlsx.Cell {
		var part estimate.Maybe[measure.Rate]
		if d := less(c.now, c.was); d.Set && c.was.V > 0 {
			part = estimate.Given(twiceRounded(int64(d.V), int64(c.was.V)))
		}
		return computed(fmt.Sprintf("IF(AND(ISNUMBER({Difference}),N({Earlier})>0),ROUND(ROUND({Difference}/{Earlier},8),6),%q)", none), part, xlsx.Percent)
	}},
}

func (c change) look(part, sum xlsx.Look) xlsx.Look {
	if c.sums != nil {
		return sum
	}
	return part
}

func (c change) amount(head string, v estimate.Maybe[measure.Money]) xlsx.Cell {
	switch {
	case !v.Set:
		return xlsx.Str(xlsx.TextRight, c.missing)
	case c.sums != nil:
		return xlsx.Formula(c.sums(head), v.V, xlsx.Total)
	}
	return xlsx.Num(v.V, xlsx.Money)
}

// priceChanges build both prices up, and draw them.
func (w *revisionWriter) priceChanges(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Price, "+w.in.Now.Book.Job.Currency))
	t := xlsx.NewTable(p, "PriceChanges", changeColumns)
	t.HeaderOnly()
	for _, x := range bidParts {
		c := change{label: x.label, was: x.in(w.in.Was), now: x.in(w.in.Now), missing: none}
		if x.isSum() {
			c.sums = func(head string) string { return "SUM(" + t.At(x.from, head).To(t.At(x.to, head)).Local() + ")" }
		}
		t.Keyed(x.label, c)
	}
	for _, s := range []struct {
		which string
		side  compare.Side
	}{{"earlier", w.in.Was}, {"later", w.in.Now}} {
		if gaps := s.side.Gaps(); len(gaps) > 0 {
			t.Banner(xlsx.Note, fmt.Sprintf("The %s total is without: %s.", s.which, strings.Join(gaps, "; ")))
		}
	}
	w.picture(p, t)
}

// classChanges are what is bought of each class: of one that is not needed it is nothing,
// of one that is not complete it is not known.
func (w *revisionWriter) classChanges() []change {
	cost := func(c compare.ClassCost) estimate.Maybe[measure.Money] {
		return estimate.Maybe[measure.Money]{V: c.Cost, Set: len(c.Missing) == 0}
	}
	var out []change
	now := w.in.Now.Classes()
	for i, was := range w.in.Was.Classes() {
		if was.Items+now[i].Items > 0 {
			out = append(out, change{label: was.Class, was: cost(was), now: cost(now[i]), missing: "not complete"})
		}
	}
	return out
}

// picture draws both prices by their parts.
func (w *revisionWriter) picture(p *xlsx.Sheet, t *xlsx.Table[change]) {
	longest := max(w.in.Was.Plan.Bid.Total, w.in.Now.Plan.Bid.Total)
	if longest <= 0 {
		return
	}
	step, end := xlsx.AxisOf(float64(longest) / 100)
	c := xlsx.BarChart{Width: 660, Height: xlsx.PicturePixels(2) + legendRoom, Format: "#,##0",
		About: "Parts of the earlier and the later price", Axis: w.in.Now.Book.Job.Currency,
		Bars: t.Head("Earlier").To(t.Head("Later")).String(), Max: end, Step: step, Legend: true}
	for _, x := range bidParts {
		if !x.isSum() {
			c.Series = append(c.Series, xlsx.BarSeries{
				Name: t.At(x.label, "Part").String(), Values: t.At(x.label, "Earlier").To(t.At(x.label, "Later")).String(),
				Fill: classFills[len(c.Series)%len(classFills)], Labels: []string{"", ""},
			})
		}
	}
	p.Below(c)
}

// notesSheet says what the figures leave out.
func (w *revisionWriter) notesSheet(p *xlsx.Sheet) func() {
	sides := []compare.Side{w.in.Was, w.in.Now}
	if w.in.Was.Ordered {
		sides = sides[1:]
	}
	return notesSheet(p, "How the estimates are not alike, and where a file does not hold the total that it comes to.", compare.Notes(sides, w.u.MM))
}
