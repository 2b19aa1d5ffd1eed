package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// application is one step at one opening: all that its rule may look at, and
// what is wrong. The methods that the registry names lead the step to the
// arithmetic of its rule: they pick the sizes that it asks for, and write down
// in words what went in.
type application struct {
	book     *Book
	o        *Sized
	step     *Step
	item     Item   // the step's item; a family's members are the rule's to choose from
	family   []Item // members, when the step names a family
	trim     trim
	trimHold string // why the trim waits, "" = it does not
	problems []Problem

	panHold, panRelease string // why the pan waits, "" = it does not, and what releases it
}

func (a *application) say(sev Severity, column, what, do string) {
	a.problems = append(a.problems, Problem{a.o.PlaceOf(column), sev, a.o.Mark + ": " + what, do})
}

// resolve finds the step's item: a key, a role of the Job sheet, or a family.
func (a *application) resolve() bool {
	name := a.step.Item
	a.item, a.family = Item{}, nil
	if name == "" || slices.Contains(trimBoards, name) {
		return true
	}
	if key, ok := a.book.Job.Role[name]; ok {
		name = key
	}
	if it, ok := a.book.Items.Get(name); ok {
		a.item = it
		return true
	}
	if a.family = a.book.Items.Family(name); len(a.family) > 0 {
		a.item = a.family[0]
		return true
	}
	// An Items sheet of an earlier version has one nail or screw, and no family.
	if it, ok := a.book.Items.Get(strings.ReplaceAll(name, " ", "-")); ok && a.step.Through != "" {
		a.item = it
		return true
	}
	a.problems = append(a.problems,
		Problem{a.step.Text.problem("Item", "", "").Place, Error,
			fmt.Sprintf("%s: item %q of step %s is not on the Items sheet", a.o.Mark, name, a.step.Number), "add the item or change the step"})
	return false
}

// smallest returns the member of the family (or the one item) that fits, by
// the least of a measure.
func (a *application) smallest(fits func(Item) bool, by func(Item) measure.Length) (Item, bool) {
	members := a.family
	if len(members) == 0 {
		members = []Item{a.item}
	}
	best, found := Item{}, false
	for _, m := range members {
		if fits(m) && (!found || by(m) < by(best)) {
			best, found = m, true
		}
	}
	return best, found
}

// in writes a length for the inputs' column.
func (a *application) in(l measure.Length) string {
	if a.book.Job.MM {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, 32)
}

// long writes a length with its unit, for messages.
func (a *application) long(l measure.Length) string {
	if a.book.Job.MM {
		return a.in(l) + " mm"
	}
	return a.in(l) + " in"
}

// words describes a segment with its ends.
func (a *application) words(s segment, first, second measure.Length) string {
	b := string(s.edge)
	if s.count > 1 {
		b = fmt.Sprintf("%d %s", s.count, s.edge)
	}
	if s.length > 0 {
		b += " " + a.in(s.length)
	}
	for _, end := range []measure.Length{first, second} {
		switch {
		case end > 0:
			b += " + " + a.in(end)
		case end < 0:
			b += " - " + a.in(-end)
		}
	}
	return b
}

// total adds up the lengths of the step's edges with their ends, times its
// count, and says how.
func (a *application) total() (measure.Length, string) {
	sum := measure.Length(0)
	var how []string
	for _, s := range a.segments() {
		first, second := a.ends(s.edge, a.item.Width)
		l := TapeLength(s.length, first, second)
		if s.length == 0 {
			l = a.step.With["length"]
			how = append(how, fmt.Sprintf("%d %s of %s", s.count, s.edge, a.in(l)))
		} else {
			how = append(how, a.words(s, first, second))
		}
		sum += measure.Length(s.count) * l
	}
	return sum, strings.Join(how, "; ")
}
