package estimate

import (
	"fmt"
	"slices"
	"strings"
)

// Book is everything a takeoff is made from.
type Book struct {
	Job      Job
	Openings []Opening // in the order of the schedule
	Details  []Detail
	Items    Items
	Layouts  Layouts
	Labor    []LaborTask
	// Sold are the items that a price list offers; none = no list was read, and any
	// may be had.
	Sold map[string]bool
}

// Takeoff is everything the openings of a job need.
type Takeoff struct {
	Openings     []Sized       // in natural order of their marks
	Requirements []Requirement // by opening, then by step
	Holds        []Hold
}

// Make works out what every opening needs. Openings with an error are left
// out; every error, warning and note stands in the problems, which the caller
// sorts. Openings come in the natural order of their marks, so that shares to
// the cent do not depend on the order of the schedule's rows.
func Make(b Book) (Takeoff, []Problem) {
	var t Takeoff
	var problems []Problem
	for i, o := range b.Openings {
		problems = append(problems, o.InStages()...)
		lines, notes := oddPieces(o)
		problems = append(problems, notes...)
		for _, l := range lines {
			sized, ps := size(l.Opening, i, &b.Job, b.Layouts)
			sized.Piece, sized.Apart = l.piece, l.apart
			if Errors(ps) == 0 {
				detail, p := detailOf(&sized, &b)
				if p != nil {
					ps = append(ps, *p)
				}
				sized.DetailName = detail.Name
			}
			problems = append(problems, ps...)
			if Errors(ps) == 0 {
				t.Openings = append(t.Openings, sized)
			}
		}
	}
	slices.SortStableFunc(t.Openings, func(a, b Sized) int { return naturalCompare(a.Mark, b.Mark) })
	for i := range t.Openings {
		problems = append(problems, t.add(i, &b)...)
		if i == 0 { // of thousands of marks the list would be copied many times as it grows
			t.Requirements = slices.Grow(t.Requirements, len(t.Requirements)*(len(t.Openings)-1))
		}
	}
	t.takeWhatIsBought(b.Items)
	return t, slices.Concat(problems, costDoubts(t.Openings), problemsOf(JobCautions(t.Openings, &b.Job)))
}

// detailOf finds the detail of an opening: the one it names, else the first
// whose step 0 fits it.
func detailOf(o *Sized, b *Book) (Detail, *Problem) {
	if o.Detail != "" {
		var names []string
		for _, d := range b.Details {
			if d.Name == strings.ToLower(o.Detail) {
				return d, nil
			}
			names = append(names, d.Name)
		}
		return Detail{}, &Problem{o.PlaceOf("Detail"), Error, fmt.Sprintf("%s: %q is no detail", o.Mark, o.Detail), "write one of: " + strings.Join(names, ", ")}
	}
	if d, ok := detailFor(o, b); ok {
		return d, nil
	}
	onWood := *o
	onWood.SitsOn = OnWood
	if _, ok := detailFor(&onWood, b); ok {
		return Detail{}, &Problem{o.PlaceOf("Sits on"), Error, fmt.Sprintf("%s: no %s on %s is estimated, only on wood", o.Mark, o.Kind, o.SitsOn),
			"write wood where it stands on a buck, a plate or framing; else name one in Detail, or write one on the Details sheet"}
	}
	return Detail{}, &Problem{o.PlaceOf("Kind"), Error, fmt.Sprintf("%s: no detail fits %s on %s with flange %s", o.Mark, o.Kind, o.SitsOn, o.Flange),
		"name one in Detail, or write one on the Details sheet"}
}

// detailFor returns the first detail whose step 0 fits an opening.
func detailFor(o *Sized, b *Book) (Detail, bool) {
	facts := b.FactsOf(o)
	for _, d := range b.Details {
		for _, s := range d.Steps {
			if s.Number == "0" && s.When.Holds(facts) {
				return d, true
			}
		}
	}
	return Detail{}, false
}

// add appends what opening i needs.
func (t *Takeoff) add(i int, b *Book) []Problem {
	o := &t.Openings[i]
	d := b.Details[slices.IndexFunc(b.Details, func(d Detail) bool { return d.Name == o.DetailName })]
	a := &application{book: b, o: o}
	if o.Layout != NoTrim {
		var err error
		if a.trim, err = trimOf(o, &b.Job, b.Items, b.Layouts); err != nil {
			a.say(Error, "Trim", err.Error(), "check the layout, the trim set on Job and the sizes; the trim of this mark is not in the estimate")
		} else {
			o.OnSite = onSite(o, &b.Job, a.trim.outside())
		}
		var release string
		if a.trimHold, release = o.trimHeld(b.Layouts.drops(o.Layout)); a.trimHold != "" {
			t.Holds = append(t.Holds, Hold{i, HoldTrim, a.trimHold, release})
		}
	}
	if why, release := o.shapeHeld(); why != "" {
		t.Holds = append(t.Holds, Hold{i, HoldTrim, why, release})
	}
	switch n, taken := o.measuredPieces(); {
	case o.Sample != "" && o.Kind.IsDoor():
		a.say(Warning, "Sample accepted", "doors are measured one by one: it releases nothing", "measure each door; clear it")
	case o.Sample != "" && !taken && !o.Measured.Known():
		a.say(Warning, "Sample accepted", "no piece of the mark is measured: it releases nothing", "type the readings on Field measurements")
	case o.sampled(n):
		a.say(Note, "Sample accepted", fmt.Sprintf("%d of %d are measured, and stand for all: %s", n, o.Qty, o.Sample), "the others are cut to the same "+
			"size unmeasured")
	}
	planeHold, releasePlane := planeHeld(&b.Job)
	facts := b.FactsOf(o)
	flashed := false
	for k := range d.Steps {
		a.step = &d.Steps[k]
		rule := a.step.rule
		if rule == nil || !a.step.When.Holds(facts) || !a.resolve() {
			continue
		}
		for _, r := range rule.run(a) {
			r.Opening, r.Detail, r.Step, r.Do, r.Phase, r.Rule = i, d.Name, a.step.Number, a.step.Do, a.step.Phase, rule.Name
			r.Role = rule.role(r.Item, b.Items)
			r.Place = a.step.Text.Place
			r.Source = a.step.Source
			it, _ := b.Items.Get(r.Item)
			if planeHold != "" && r.Held == "" && (slices.Contains(flashingClasses, it.Class) || rule.Name == "area" && r.Phase == PhaseInstall) {
				r.Held, flashed = planeHold, true
			}
			t.Requirements = append(t.Requirements, r)
		}
	}
	if a.panHold != "" {
		t.Holds = append(t.Holds, Hold{i, HoldPan, a.panHold, a.panRelease})
	}
	if flashed {
		t.Holds = append(t.Holds, Hold{i, HoldFlashing, planeHold, releasePlane})
	}
	return slices.Concat(a.problems, problemsOf(Cautions(o)), priceDoubts(o))
}

// byOpening returns what each opening requires.
func (t *Takeoff) byOpening() [][]Requirement {
	out := make([][]Requirement, len(t.Openings))
	for from, i := 0, 0; from < len(t.Requirements); from = i {
		opening := t.Requirements[from].Opening
		for i = from + 1; i < len(t.Requirements) && t.Requirements[i].Opening == opening; i++ {
		}
		out[opening] = t.Requirements[from:i]
	}
	return out
}
