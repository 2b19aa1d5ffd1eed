package pricing

import (
	"fmt"
	"maps"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Stored is a cell of an estimate where it writes a formula.
type Stored[T any] struct {
	Place estimate.Place
	Value estimate.Maybe[T] // missing where it holds no such value
	Typed bool              // it holds a value, not a formula
	Blank bool
}

// typedOver is what was typed over the formulas of Materials, as it is told from what
// they give.
type typedOver struct {
	lists    Lists
	lines    map[string]Line // by Line.Key, as the estimate is followed without it
	flat     bool            // the file holds no formulas: a program or a person made values of them
	problems []estimate.Problem
}

// TypedOver puts what was typed over formulas of Materials in the place where it is
// asked for, if it has a plain meaning: a count becomes an override, a unit price that
// of its offer. Where the input was changed, too, the input holds. What is as the
// formula gives it, or gave it when estimated, is no edit. The lists given are left as
// they are; the problems name every cell, used or not.
func TypedOver(book estimate.Book, t estimate.Takeoff, lists Lists, planned []Planned) (Lists, []estimate.Problem) {
	touched := func(l Planned) bool {
		return l.Key != "" && (l.Count.Typed || l.Computes.Typed || l.Price.Typed || l.Count.Blank || l.Price.Blank)
	}
	if !slices.ContainsFunc(planned, touched) {
		return lists, nil
	}
	lists.Offers, lists.Overrides = slices.Clone(lists.Offers), maps.Clone(lists.Overrides)
	if lists.Overrides == nil {
		lists.Overrides = Overrides{}
	}
	o := typedOver{lists: lists, lines: map[string]Line{}}
	o.flat = !slices.ContainsFunc(planned, func(l Planned) bool { return l.Key != "" && !l.Count.Typed && !l.Count.Blank })
	for _, p := range Follow(book, t, lists, planned).Purchases {
		for _, l := range p.Lines {
			o.lines[l.Key()] = l
		}
	}
	for _, l := range planned {
		if l.Key == "" {
			continue
		}
		if line, followed := o.lines[l.Key]; followed {
			o.price(l, line)
			o.count(l, line)
			continue
		}
		if l.Count.Typed && !o.flat {
			o.say(l.Count.Place, estimate.Warning, "a count typed over the formula of a line that is left out is not used", "see the error of the line")
		}
	}
	return o.lists, o.problems
}

func (o *typedOver) say(at estimate.Place, severity estimate.Severity, what, do string) {
	o.problems = append(o.problems, estimate.Problem{Place: at, Severity: severity, What: what, Do: do})
}

const typeCount = "type how many to buy under Override"

// count takes the count of a line: what is typed over Count, else over Computed, which
// Count follows.
func (o *typedOver) count(l Planned, line Line) {
	typed, now := l.Count, line.Count()
	if !typed.Typed && !typed.Blank && l.Computes.Typed && !line.Override.Set {
		typed = l.Computes
	}
	switch v := typed.Value; {
	case typed.Blank && !o.flat:
		o.say(typed.Place, estimate.Warning, fmt.Sprintf("the formula of the count is gone; %d is used", now), typeCount)
	case !typed.Typed || !v.Set || v.V == now:
		o.computed(l, line)
	case o.flat && v == l.Computes.Value && line.Override.Set:
	case o.flat && v == l.Computes.Value: // as it stood when the file lost its formulas
		o.say(typed.Place, estimate.Warning,
			fmt.Sprintf(`the file says "%d" without a formula, and "%d" is needed by now, which is used`, v.V, now), typeCount)
	case line.Override.Set:
		o.say(typed.Place, estimate.Warning,
			fmt.Sprintf(`the count "%d" is typed over a formula and is not used: Override says "%d"`, v.V, now), "clear one of the two")
	default:
		o.lists.Overrides[l.Key] = v.V
		o.say(typed.Place, estimate.Note, fmt.Sprintf(`the count "%d" is typed over a formula that gives "%d"; it is used, as an override`, v.V, now), "")
	}
}

// computed names what is typed over Computed where it is not what Count shows.
func (o *typedOver) computed(l Planned, line Line) {
	v := l.Computes.Value
	if l.Computes.Blank && !o.flat {
		o.say(l.Computes.Place, estimate.Warning, fmt.Sprintf("the formula of the computed count is gone; %d is used", line.Computed), typeCount)
	}
	if l.Computes.Typed && v.Set && v.V != line.Computed {
		o.say(l.Computes.Place, estimate.Warning,
			fmt.Sprintf(`the computed count "%d" is typed over a formula that gives "%d"; it is not used`, v.V, line.Computed), typeCount)
	}
}

// price takes the unit price of a line.
func (o *typedOver) price(l Planned, line Line) {
	now, v := line.Offer.Price, l.Price.Value
	quote := func(p measure.UnitPrice) string { return fmt.Sprintf("%q", p.String()) }
	switch {
	case l.Price.Blank && !o.flat:
		o.say(l.Price.Place, estimate.Warning, "the formula of the price is gone; "+quote(now)+" is used, as Prices has it", "type the price on Prices")
	case !l.Price.Typed || !v.Set || v.V == now, o.flat && v == l.PriceBefore:
	case l.PriceBefore.Set && l.PriceBefore.V != now:
		o.say(l.Price.Place, estimate.Warning,
			"the price "+quote(v.V)+" is typed over a formula and is not used: Prices was changed, too, and has "+quote(now),
			"type the right one on Prices")
	default:
		o.lists.Offers[line.Offer.Index].Price = v.V
		o.say(l.Price.Place, estimate.Note,
			"the price "+quote(v.V)+" is typed over a formula that gives "+quote(now)+" from Prices; it is used", "type it on Prices, too")
	}
}

// AsPlanned puts right what was typed over the plan of an estimate, by the plan that it
// was written with: a computed count that was changed becomes an override, unless there
// is one, and words typed over a state make no item complete. Lines whose plan is of
// something else are left as they are. What is given is not changed.
func AsPlanned(planned []Planned, overrides Overrides, was Plan) ([]Planned, Overrides, []estimate.Problem) {
	type plannedLine struct {
		state, mark string
		computed    estimate.Maybe[int64] // of a plan
	}
	lines := map[string]plannedLine{}
	for _, p := range was.Purchases {
		for _, l := range p.Lines {
			line := plannedLine{state: p.State, mark: p.Fingerprint}
			if p.Item.Cut || len(p.Lines) > 1 {
				line.computed = estimate.Given(l.Computed)
			}
			lines[l.Key()] = line
		}
	}
	var problems []estimate.Problem
	planned, overrides = slices.Clone(planned), maps.Clone(overrides)
	if overrides == nil {
		overrides = Overrides{}
	}
	for i := range planned {
		l := &planned[i]
		line, known := lines[l.Key]
		if !known || line.mark != l.For {
			continue
		}
		l.State = line.state
		typed := l.Computed
		if !line.computed.Set || typed == line.computed {
			continue
		}
		l.Computed, l.Computes.Value = line.computed, line.computed
		_, over := overrides[l.Key]
		problem := estimate.Problem{Place: l.Computes.Place, Severity: estimate.Warning, Do: typeCount}
		switch {
		case !typed.Set:
			problem.What = fmt.Sprintf("the computed count is no count any more; %d is used, as planned", line.computed.V)
		case over || l.Count.Typed && l.Count.Value != typed:
			problem.What = fmt.Sprintf(`the computed count "%d" is typed over "%d" of the plan and is not used`, typed.V, line.computed.V)
		default:
			overrides[l.Key] = typed.V
			problem.Severity, problem.Do = estimate.Note, ""
			problem.What = fmt.Sprintf(`the computed count "%d" is typed over "%d" of the plan; it is used, as an override`, typed.V, line.computed.V)
		}
		problems = append(problems, problem)
	}
	return planned, overrides, problems
}
