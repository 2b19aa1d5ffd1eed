package learn

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// FewestJobs is of how many jobs a rate is held against the estimate's: of fewer it is
// only shown.
const FewestJobs = 3

// Rate is a figure over several jobs.
type Rate struct {
	Name, Unit string
	Sets       Target
	ByJob      []estimate.Maybe[Value] // by index of the jobs
	Why        []string                // by index of the jobs: why it is not measured
	Had        estimate.Maybe[Value]   // by the estimate of the latest job that has it
	Middle     *Middle                 // nil = no job has it
}

// Enough reports whether there are jobs enough to hold the rate against the estimate's.
func (r Rate) Enough() bool { return r.Middle != nil && r.Middle.Jobs >= FewestJobs }

// Differs reports whether the estimate's figure lies outside of the interval.
func (r Rate) Differs() bool {
	return r.Enough() && r.Had.Set && (r.Had.V < r.Middle.Low || r.Had.V > r.Middle.High)
}

// State says in words how the estimate's figure stands.
func (r Rate) State() string {
	switch {
	case r.Middle == nil:
		return "not measured"
	case !r.Enough():
		return fmt.Sprintf("%d of %d jobs: only shown", r.Middle.Jobs, FewestJobs)
	case !r.Had.Set:
		return "the estimate has none"
	case r.Differs() && r.beyond():
		return "differs: look at it, it sets nothing"
	case r.Differs():
		return "differs"
	}
	return "within chance"
}

// beyond reports whether the rate is a waste that Job does not take: less than nothing, or
// more than all. Its takeoff is to be looked at: the section of a bead, the nails.
func (r Rate) beyond() bool {
	return strings.HasPrefix(r.Sets.Key, estimate.WastePrefix) && (r.Middle.Median < 0 || r.Middle.Median > One)
}

// Setting is what a rate makes of a line of the next schedule.
type Setting struct {
	Task  estimate.LaborTask // hours on Labor; without a name it is a line of Job
	Key   string             // of Job
	Value string             // of Job, as it is typed
	Rate  *Rate
}

// Lessons is what several jobs tell.
type Lessons struct {
	Jobs     []Job // by their dates; those without a date first
	Accounts [][]Account
	Rates    []Rate
	Settings []Setting
}

// Learn measures jobs. A rate that is known from three or more of them sets a line of the
// next schedule where the estimate's differs beyond chance, or where it has none; the
// ranges, which are in no price, wherever they are known.
func Learn(jobs []Job) Lessons {
	jobs = slices.Clone(jobs)
	slices.SortStableFunc(jobs, func(a, b Job) int { return cmp.Compare(a.Book.Job.Date.V, b.Book.Job.Date.V) })
	l := Lessons{Jobs: jobs}
	for i, j := range jobs {
		l.Accounts = append(l.Accounts, Accounts(j))
		l.add(i, Figures(j))
	}
	for i := range l.Rates {
		r := &l.Rates[i]
		var values []Value
		for _, v := range r.ByJob {
			if v.Set {
				values = append(values, v.V)
			}
		}
		if len(values) > 0 {
			m := MiddleOf(values)
			r.Middle = &m
		}
	}
	l.settings()
	return l
}

// add puts the figures of a job to their rates, each new one behind the one before it.
func (l *Lessons) add(job int, figures []Figure) {
	after := 0
	for _, f := range figures {
		at := slices.IndexFunc(l.Rates, func(r Rate) bool { return r.Name == f.Name })
		if at < 0 {
			at = after
			l.Rates = slices.Insert(l.Rates, at, Rate{Name: f.Name, Unit: f.Unit, Sets: f.Sets,
				ByJob: make([]estimate.Maybe[Value], len(l.Jobs)), Why: make([]string, len(l.Jobs))})
		}
		r := &l.Rates[at]
		r.ByJob[job], r.Why[job] = f.Measured, f.Why
		if f.Had.Set {
			r.Had = f.Had
		}
		after = at + 1
	}
}

// settings makes lines of the next schedule of the rates.
func (l *Lessons) settings() {
	corrected := map[string]bool{} // what is set to what was measured, so that its range is about that
	for i := range l.Rates {
		r := &l.Rates[i]
		if !r.Enough() || strings.HasPrefix(r.Sets.Key, "range of ") {
			continue
		}
		s := Setting{Rate: r, Key: r.Sets.Key}
		switch {
		case r.Sets.Kind != "" && (!r.Had.Set || r.Differs()):
			corrected["range of hours"] = true
			s.Task = estimate.LaborTask{Task: PhaseTask(r.Sets.Phase), Kind: r.Sets.Kind, Per: estimate.LaborPer[0], Phase: r.Sets.Phase,
				Hours: estimate.Given(estimate.Hours(measure.MulDiv(int64(r.Middle.Median), int64(estimate.Hour), int64(One))))}
		case strings.HasPrefix(r.Sets.Key, estimate.WastePrefix) && r.Differs() && !r.beyond():
			corrected["range of material"] = true
			s.Value = percentText(r.Middle.Median)
		case r.Sets.Key == "openings a day" && r.Differs():
			n := r.Middle.whole()
			if r.Had.V == Value(n)*One {
				continue // the same in whole openings
			}
			s.Value = fmt.Sprint(n)
		default:
			continue
		}
		l.Settings = append(l.Settings, s)
	}
	for i := range l.Rates {
		r := &l.Rates[i]
		if !r.Enough() || !strings.HasPrefix(r.Sets.Key, "range of ") {
			continue
		}
		about := One
		if corrected[r.Sets.Key] {
			about = r.Middle.Median
		}
		if s, ok := spreadOf(r, about); ok {
			l.Settings = append(l.Settings, Setting{Rate: r, Key: r.Sets.Key, Value: s.Words()})
		}
	}
}

// spreadOf returns the least, the middle and the most of a rate as parts of what the next
// estimate will have; false where they are more than a range takes.
func spreadOf(r *Rate, about Value) (estimate.Spread, bool) {
	if about <= 0 {
		return estimate.Spread{}, false
	}
	least, most := r.Middle.Median, r.Middle.Median
	for _, v := range r.ByJob {
		if v.Set {
			least, most = min(least, v.V), max(most, v.V)
		}
	}
	of := func(v Value) measure.Rate { return tenth(Value(measure.MulDiv(int64(v), int64(One), int64(about)))) }
	s := estimate.Spread{Low: of(least), Likely: of(r.Middle.Median), High: of(most)}
	_, err := estimate.ParseSpread(s.Words())
	return s, err == nil
}

// whole returns the median as a whole number, 1 at least.
func (m Middle) whole() int64 { return max(1, measure.MulDiv(int64(m.Median), 1, int64(One))) }

// tenth rounds to a tenth of a percent.
func tenth(v Value) measure.Rate { return measure.Rate(measure.MulDiv(int64(v), 1, 1000)) * 1000 }

// percentText writes a percentage as it is typed on Job, to a tenth.
func percentText(v Value) string { return strings.TrimSuffix(tenth(v).String(), " %") + " %" }

// Again is what a job would come to with the settings.
type Again struct {
	Job      Job
	Was, Now measure.Money
	Why      string // why it cannot be told; "" = it can
}

// WithSettings prices jobs as they would have been estimated with what they teach. Counts
// that were typed are left out on both sides, for they were typed for what was planned.
func (l Lessons) WithSettings(jobs []Job) (out []Again) {
	for _, j := range jobs {
		lists := j.Lists
		lists.Overrides = nil
		was := pricing.Make(j.Book, j.Takeoff, lists)
		now := pricing.Make(l.apply(j), j.Takeoff, lists)
		a := Again{Job: j, Was: was.Bid.Total, Now: now.Bid.Total}
		if len(was.Unpriced()) != len(now.Unpriced()) {
			a.Why = "with other counts something has no price"
		}
		out = append(out, a)
	}
	return out
}

// apply returns the book of a job with the settings: hours of a phase and kind stand in
// place of the tasks that it has for those.
func (l Lessons) apply(j Job) estimate.Book {
	book := j.Book
	book.Job.Allowance = map[string]measure.Rate{}
	for name, r := range j.Book.Job.Allowance {
		book.Job.Allowance[name] = r
	}
	book.Labor = slices.Clone(book.Labor)
	for _, s := range l.Settings {
		switch {
		case s.Task.Task != "":
			book.Labor = slices.DeleteFunc(book.Labor, func(t estimate.LaborTask) bool { return t.Kind == s.Task.Kind && t.Phase == s.Task.Phase })
			book.Labor = append(book.Labor, s.Task)
		case strings.HasPrefix(s.Key, estimate.WastePrefix):
			book.Job.Allowance[strings.TrimPrefix(s.Key, estimate.WastePrefix)] = tenth(s.Rate.Middle.Median)
		case s.Key == "openings a day":
			book.Job.OpeningsADay = estimate.Given(s.Rate.Middle.whole())
		}
	}
	return book
}

// Words writes a figure of the rate.
func (r Rate) Words(v Value) string {
	if r.Unit == Percent {
		return tenth(v).String()
	}
	return strconv.FormatFloat(float64(measure.MulDiv(int64(v), 1, 1000))/1000, 'f', -1, 64)
}
