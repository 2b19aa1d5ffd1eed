package estimate

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// Hours is a time of labor in ten-thousandths of an hour.
type Hours int64

// Hour is one hour.
const Hour Hours = 10_000

// LaborTask is a piece of work at openings of one kind. Labor is off until
// the crew types its own hours; a published figure stands beside them to be
// compared and is never used.
type LaborTask struct {
	Place  Place // of the hours
	Task   string
	Kind   Kind
	Per    string       // one of LaborPer
	Phase  Phase        // of the work, "" = not stated
	Hours  Maybe[Hours] // the crew's own, of one Per
	Public Maybe[Hours] // published, of one Per
	Covers string       // what the published figure is for
	Basis  string       // standing of the source
	Source string       // of the published figure
}

// laborPer is what the hours of a task are of: how much of it one opening
// has, in parts of which base make one.
type laborPer struct {
	word string
	base int64
	each func(*Sized) int64
}

var laborPers = []laborPer{
	{"opening", 1, func(*Sized) int64 { return 1 }},
	{"unit", 1, func(o *Sized) int64 { return o.Units }},
	{"foot", int64(measure.Foot), perimeter},
	{"meter", 1000 * int64(measure.Millimeter), perimeter},
}

func perimeter(o *Sized) int64 { return int64(o.Frame.Perimeter()) }

// LaborPer lists what hours may be of: an opening, each of its mulled units,
// a foot or a meter of its frame's perimeter.
var LaborPer = func() []string {
	var words []string
	for _, p := range laborPers {
		words = append(words, p.word)
	}
	return words
}()

// LaborLine is a task at all openings of its kind.
type LaborLine struct {
	Task     LaborTask
	Quantity int64 // in parts: openings, units, or nanometers of perimeter
	Base     int64 // the parts that make one of what the hours are of
	Hours    Maybe[Hours]
	Public   Maybe[Hours] // what the published figure comes to, if all openings were as it says
	Cost     Maybe[measure.Money]
}

// Labor returns a line a task: what the crew's hours come to and cost. A task
// without hours has no cost, not a cost of 0.
//
//	hours = ROUND(ROUND(quantity × hours of one, 8), 4)
//	cost  = ROUND(ROUND(hours × labor rate, 6), 2)
//
// All openings count, whatever their Status and whoever supplies the unit: it
// is the labor of the whole job. Hours without a labor rate are an error at
// the first of them, a rate without any hours a warning.
func Labor(job Job, tasks []LaborTask, t Takeoff) ([]LaborLine, []Problem) {
	var lines []LaborLine
	var problems []Problem
	for _, task := range tasks {
		l := LaborLine{Task: task}
		if i := slices.Index(LaborPer, task.Per); i >= 0 {
			l.measure(laborPers[i], t)
		}
		l.Hours, l.Public = l.hours(task.Hours), l.hours(task.Public)
		switch {
		case l.Hours.Set && job.LaborRate.Set:
			l.Cost = Given(l.Hours.V.cost(job.LaborRate.V))
		case l.Hours.V > 0 && len(problems) == 0:
			problems = append(problems, Problem{task.Place, Error, fmt.Sprintf("%s, %s: hours without a labor rate have no cost", task.Task, task.Kind),
				"type labor rate on Job, or leave all hours blank"})
		}
		lines = append(lines, l)
	}
	if job.LaborRate.Set && !slices.ContainsFunc(lines, func(l LaborLine) bool { return l.Hours.Set }) {
		problems = append(problems, Problem{Place{}, Warning, "a labor rate is set and no hours are typed: no labor is in the price", "type your crew's own hours on Labor"})
	}
	return lines, problems
}

// measure adds up how much of a task the openings have.
func (l *LaborLine) measure(per laborPer, t Takeoff) {
	l.Base = per.base
	for i := range t.Openings {
		if o := &t.Openings[i]; o.Kind == l.Task.Kind {
			l.Quantity += o.Qty * per.each(o)
		}
	}
}

// hours returns what hours of one come to. Like the worksheet, it rounds to
// 1/100,000,000 hour before it rounds to 1/10,000.
func (l *LaborLine) hours(of Maybe[Hours]) Maybe[Hours] {
	if !of.Set || l.Base == 0 {
		return Maybe[Hours]{}
	}
	fine := measure.MulDiv(l.Quantity, int64(of.V)*int64(Hour), l.Base)
	return Given(Hours(measure.MulDiv(fine, 1, int64(Hour))))
}

// cost returns the hours at a rate an hour, to the cent. The worksheet's inner
// rounding is exact here: hours have four decimals and a rate has two.
func (h Hours) cost(rate measure.Money) measure.Money {
	return measure.Money(measure.MulDiv(int64(h), int64(rate), int64(Hour)))
}

// LaborLeft returns what the crew's hours cost of what is not done: of a task at openings
// at which its phase is not done, of one without a phase at those that are not finished.
func LaborLeft(job Job, tasks []LaborTask, t Takeoff) measure.Money {
	cost := measure.Money(0)
	for _, task := range tasks {
		left := Takeoff{Openings: slices.Clone(t.Openings)}
		for i := range left.Openings {
			o := &left.Openings[i]
			o.Qty -= o.Done(cmp.Or(task.Phase, PhaseFinish))
		}
		lines, _ := Labor(job, []LaborTask{task}, left)
		cost = cost.Plus(LaborCost(lines))
	}
	return cost
}

// LaborCost returns what the lines cost together, without those that have no
// cost.
func LaborCost(lines []LaborLine) measure.Money {
	sum := measure.Money(0)
	for _, l := range lines {
		sum = sum.Plus(l.Cost.V)
	}
	return sum
}
