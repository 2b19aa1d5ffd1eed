package comparison

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/learn"
)

// LearnedInput is what several jobs taught. Paper and units are those of the latest.
type LearnedInput struct {
	Lessons learn.Lessons
	Again   []learn.Again // the last jobs with the settings
}

// lastJobs is how many jobs stand in a row as plain figures.
const lastJobs = 5

// LastJobs returns the latest jobs, the earliest first.
func LastJobs(l learn.Lessons) []learn.Job { return l.Jobs[max(0, len(l.Jobs)-lastJobs):] }

// Learned returns a workbook of what jobs really took: rate by rate, what the last jobs
// would have cost with it, and where their material went. The same input gives the same
// bytes.
func Learned(in LearnedInput) ([]byte, error) {
	last := in.Lessons.Jobs[len(in.Lessons.Jobs)-1].Book.Job
	w := &learnedWriter{in: in, u: estimate.UnitsOf(last.MM)}
	o := xlsx.New(xlsx.Properties{Title: "What jobs took", Subject: "Rates of estimates held against what jobs really took", Description: "Written by Sillwright"})
	o.Paper, o.Header = last.Paper, fmt.Sprintf("What %d jobs took", len(in.Lessons.Jobs))
	o.Footer = "It changes nothing by itself: new --settings takes it into the next schedule"
	return write(o, []sheet{
		{name: "Rates", begin: w.ratesSheet},
		{name: "Last jobs", upright: true, begin: w.againSheet},
		{name: "Material", begin: w.materialSheet},
		{name: "Not measured", upright: true, begin: w.whySheet},
	})
}

type learnedWriter struct {
	in LearnedInput
	u  estimate.Units
}

// figure is a cell of a figure of a rate, or a dash.
func figure(r learn.Rate, v estimate.Maybe[learn.Value]) xlsx.Cell {
	switch {
	case !v.Set:
		return dash()
	case r.Unit == learn.Percent:
		return xlsx.Num(measure.Rate(v.V), xlsx.Percent)
	}
	return xlsx.Num(float64(v.V)/float64(learn.One), xlsx.Number)
}

func (w *learnedWriter) rateColumns() []xlsx.Column[learn.Rate] {
	end := func(of func(learn.Middle) learn.Value) func(learn.Rate) xlsx.Cell {
		return func(r learn.Rate) xlsx.Cell {
			if !r.Enough() {
				return dash()
			}
			return figure(r, estimate.Given(of(*r.Middle)))
		}
	}
	columns := []xlsx.Column[learn.Rate]{
		{Head: "Rate", Width: 44, Frozen: true, Cell: func(r learn.Rate) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Name) }},
	}
	first := len(w.in.Lessons.Jobs) - len(LastJobs(w.in.Lessons))
	for i, head := range jobHeads(LastJobs(w.in.Lessons)) {
		columns = append(columns, xlsx.Column[learn.Rate]{Head: head, Width: 10, Cell: func(r learn.Rate) xlsx.Cell { return figure(r, r.ByJob[first+i]) }})
	}
	return append(columns, []xlsx.Column[learn.Rate]{
		{Head: "Jobs", Width: 6, Cell: func(r learn.Rate) xlsx.Cell { return xlsx.Num(r.Middle.Jobs, xlsx.Count) }},
		{Head: "Median", Width: 9, Cell: func(r learn.Rate) xlsx.Cell { return figure(r, estimate.Given(r.Middle.Median)) }},
		{Head: "From", Width: 9, Cell: end(func(m learn.Middle) learn.Value { return m.Low })},
		{Head: "To", Width: 9, Cell: end(func(m learn.Middle) learn.Value { return m.High })},
		{Head: "Sure", Width: 8, Cell: func(r learn.Rate) xlsx.Cell {
			if !r.Enough() {
				return dash()
			}
			return xlsx.Num(r.Middle.Sure, xlsx.Percent)
		}},
		{Head: "Estimate had", Width: 9, Cell: func(r learn.Rate) xlsx.Cell { return figure(r, r.Had) }},
		{Head: "State", Width: 21, Cell: func(r learn.Rate) xlsx.Cell {
			look := xlsx.Text
			if r.Differs() || r.Enough() && !r.Had.Set {
				look = xlsx.Warn
			}
			return xlsx.Str(look, r.State())
		}},
		{Head: "Next schedule", Width: 27, Cell: func(r learn.Rate) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.settingWords(r)) }},
	}...)
}

// jobHeads name jobs, each with a name of its own.
func jobHeads(jobs []learn.Job) []string {
	heads, seen := make([]string, len(jobs)), map[string]int{}
	for i, j := range jobs {
		if heads[i] = j.Name; seen[strings.ToLower(j.Name)] > 0 {
			heads[i] = fmt.Sprintf("%s (%d)", j.Name, seen[strings.ToLower(j.Name)]+1)
		}
		seen[strings.ToLower(j.Name)]++
	}
	return heads
}

// settingWords say what a rate sets.
func (w *learnedWriter) settingWords(r learn.Rate) string {
	for _, s := range w.in.Lessons.Settings {
		switch {
		case s.Rate.Name != r.Name:
		case s.Task.Task != "":
			return fmt.Sprintf("Labor: %s, %s, %s h", s.Task.Task, s.Task.Kind, r.Words(r.Middle.Median))
		default:
			return "Job: " + s.Key + " " + s.Value
		}
	}
	return ""
}

// ratesSheet holds what the jobs took against the rates of their estimates.
func (w *learnedWriter) ratesSheet(p *xlsx.Sheet) func() {
	n := len(w.in.Lessons.Jobs)
	top(p, fmt.Sprintf("What %d jobs took", n), "The last jobs in a row; then the median of all jobs that were measured, and an interval that holds the median of such jobs "+
		"as surely as it says, whatever they are spread like. A rate differs where the estimate's figure lies outside of it. "+
		fmt.Sprintf("Of fewer than %d jobs a rate is only shown.", learn.FewestJobs),
		"Waste is what was used beyond the takeoff; what stays in packs that were not used up is not in it. Hours are of one opening, all persons together.")
	measured := slices.DeleteFunc(slices.Clone(w.in.Lessons.Rates), func(r learn.Rate) bool { return r.Middle == nil })
	t := place(p, xlsx.NewTable(p, "Rates", w.rateColumns()), len(measured))
	return func() { fillOr(t, measured, map[string]xlsx.Cell{"Rate": xlsx.Str(xlsx.Text, "nothing is measured")}) }
}

// againSheet says what the last jobs would have cost with the settings.
func (w *learnedWriter) againSheet(p *xlsx.Sheet) func() {
	type row = learn.Again
	top(p, "What the last jobs would have cost", "The price of each as its estimate planned it, and with what the sheet Rates puts into the next schedule. "+
		"Counts typed over plans are left out of both.")
	amount := func(of func(row) measure.Money) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r.Why != "" {
				return dash()
			}
			return xlsx.Num(of(r), xlsx.Money)
		}
	}
	t := place(p, xlsx.NewTable(p, "LastJobs", []xlsx.Column[row]{
		{Head: "Job", Width: 24, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Job.Name) }},
		{Head: "As estimated", Width: 15, Cell: amount(func(r row) measure.Money { return r.Was })},
		{Head: "With the settings", Width: 15, Cell: amount(func(r row) measure.Money { return r.Now })},
		{Head: "Difference", Width: 13, Cell: func(r row) xlsx.Cell {
			d := estimate.Maybe[measure.Money]{V: r.Now - r.Was, Set: r.Why == ""}
			return computed(fmt.Sprintf("IF(COUNT({As estimated},{With the settings})=2,ROUND({With the settings}-{As estimated},2),%q)", none), d, xlsx.Money)
		}},
		{Head: "Note", Width: 38, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, againWords(r)) }},
	}), len(w.in.Again))
	return func() { fill(t, w.in.Again) }
}

func againWords(r learn.Again) string {
	switch {
	case r.Why != "":
		return r.Why
	case !r.Job.Book.Job.LaborRate.Set:
		return "without labor: Job has no labor rate"
	}
	return ""
}

// jobAccount is an account of a job.
type jobAccount struct {
	job string
	learn.Account
}

// materialSheet says where the material of each job went.
func (w *learnedWriter) materialSheet(p *xlsx.Sheet) func() {
	type row = jobAccount
	top(p, "Where the material went", "Used = on hand + bought - returned - lost - carried - left. Needed is what the takeoff asks for, without waste. "+
		"Beyond = used - needed: waste, and of what is cut kerfs and offcuts too short to keep.")
	amount := func(of func(learn.Account) int64) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			return xlsx.Num(w.u.Of(r.Item.Dim, of(r.Account)), xlsx.CountOr(r.Item.Dim == estimate.Each, xlsx.Number))
		}
	}
	result := func(f string, of func(learn.Account) int64) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if !r.Known() {
				return dash()
			}
			return xlsx.Formula(f, w.u.Of(r.Item.Dim, of(r.Account)), xlsx.CountOr(r.Item.Dim == estimate.Each, xlsx.Number))
		}
	}
	var rows []row
	for i, j := range w.in.Lessons.Jobs {
		for _, a := range w.in.Lessons.Accounts[i] {
			rows = append(rows, row{j.Name, a})
		}
	}
	t := place(p, xlsx.NewTable(p, "Material", []xlsx.Column[row]{
		{Head: "Job", Width: 14, Frozen: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.job) }},
		{Head: "Description", Width: 32, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Item.Name) }},
		{Head: "Unit", Width: 6, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, w.u.Name(r.Item.Dim)) }},
		{Head: "On hand", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.OnHand })},
		{Head: "Bought", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.Bought })},
		{Head: "Returned", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.Returned })},
		{Head: "Lost", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.Lost })},
		{Head: "Carried", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.Carried })},
		{Head: "Left", Width: 10, Cell: func(r row) xlsx.Cell {
			if len(r.Uncounted) > 0 {
				return xlsx.Str(xlsx.Warn, "not counted")
			}
			return amount(func(a learn.Account) int64 { return a.Left })(r)
		}},
		{Head: "Used", Width: 10, Cell: result("{On hand}+{Bought}-{Returned}-{Lost}-{Carried}-{Left}", learn.Account.Used)},
		{Head: "Needed", Width: 10, Cell: amount(func(a learn.Account) int64 { return a.Needed })},
		{Head: "Beyond", Width: 10, Cell: result("{Used}-{Needed}", learn.Account.Unexplained)},
		{Head: "Note", Width: 26, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, accountWords(r.Account)) }},
		{Head: "Item", Width: 20, Unprinted: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Key, r.Item.Key) }},
	}), len(rows))
	return func() { fill(t, rows) }
}

// accountWords say why an account is not closed.
func accountWords(a learn.Account) string {
	switch {
	case a.Undone:
		return "not all is done, by Status"
	case len(a.Uncounted) > 0:
		return "Left is blank: " + strings.Join(a.Uncounted, ", ")
	case !a.Known():
		return "nothing says that it was bought"
	}
	return ""
}

// unmeasured is a rate that a job does not tell.
type unmeasured struct{ job, rate, why string }

// whySheet says what was not measured, and why.
func (w *learnedWriter) whySheet(p *xlsx.Sheet) func() {
	var rows []unmeasured
	for i, j := range w.in.Lessons.Jobs {
		for _, r := range w.in.Lessons.Rates {
			if r.Why[i] != "" {
				rows = append(rows, unmeasured{j.Name, r.Name, r.Why[i]})
			}
		}
	}
	top(p, "What was not measured", "Rates that a job has, and its sheets Actuals, Purchases and Openings do not tell.")
	t := place(p, xlsx.NewTable(p, "NotMeasured", []xlsx.Column[unmeasured]{
		{Head: "Job", Width: 14, Cell: func(u unmeasured) xlsx.Cell { return xlsx.Str(xlsx.Text, u.job) }},
		{Head: "Rate", Width: 40, Cell: func(u unmeasured) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, u.rate) }},
		{Head: "Why", Width: 52, Cell: func(u unmeasured) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, u.why) }},
	}), len(rows))
	return func() {
		fillOr(t, rows, map[string]xlsx.Cell{"Job": xlsx.Str(xlsx.Text, none), "Rate": xlsx.Str(xlsx.Text, "all is measured")})
	}
}
