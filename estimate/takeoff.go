package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// Book is everything a takeoff is made from.
type Book struct {
	Job      Job
	Openings []Opening // in the order of the schedule
	Details  []Detail
	Items    Items
	Layouts  Layouts
	Labour   []LabourTask
}

// Make works out what every opening needs. Openings with an error are left
// out; every error, warning and note stands in the problems, which the caller
// sorts. Openings come in the natural order of their marks, so that shares to
// the cent do not depend on the order of the schedule's rows.
func Make(b Book) (Takeoff, []Problem) {
	var t Takeoff
	var problems []Problem
	for i, o := range b.Openings {
		lines, notes := oddPieces(o)
		problems = append(problems, notes...)
		for _, l := range lines {
			sized, ps := size(l.Opening, i, &b.Job, b.Layouts)
			sized.Piece, sized.Apart = l.piece, l.apart
			if Errors(ps) == 0 {
				detail, p := choose(&sized, &b)
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
	return t, append(problems, jobCautions(&t, &b.Job)...)
}

// choose finds the detail of an opening: the one it names, else the first
// whose step 0 fits it.
func choose(o *Sized, b *Book) (Detail, *Problem) {
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
	facts := factsOf(o, b)
	for _, d := range b.Details {
		for _, s := range d.Steps {
			if s.Number == "0" && s.When.Holds(facts) {
				return d, nil
			}
		}
	}
	return Detail{}, &Problem{o.PlaceOf("Kind"), Error, fmt.Sprintf("%s: no detail fits %s on %s with flange %s", o.Mark, o.Kind, o.SitsOn, o.Flange), "name one in Detail, or write one on the Details sheet"}
}

// add appends what opening i needs.
func (t *Takeoff) add(i int, b *Book) []Problem {
	o := &t.Openings[i]
	d := b.Details[slices.IndexFunc(b.Details, func(d Detail) bool { return d.Name == o.DetailName })]
	c := &call{book: b, o: o, index: i}
	if o.Layout != NoTrim {
		var err error
		if c.trim, err = trimOf(o, &b.Job, b.Items, b.Layouts); err != nil {
			c.say(Error, "Trim", err.Error(), "check the layout, the trim set on Job and the sizes; the trim of this mark is not in the estimate")
		} else {
			o.OnSite = onSite(o, &b.Job, c.trim.outside())
		}
		if c.trimHold, c.release = o.trimHeld(b.Layouts.drops(o.Layout)); c.trimHold != "" {
			t.Holds = append(t.Holds, Hold{i, HoldTrim, c.trimHold, c.release})
		}
	}
	facts := factsOf(o, b)
	for k := range d.Steps {
		c.step = &d.Steps[k]
		rule, ok := FindRule(c.step.Rule)
		if !ok || !c.step.When.Holds(facts) || !c.resolve() {
			continue
		}
		for _, r := range rule.run(c) {
			r.Opening, r.Detail, r.Step, r.Do, r.Visit, r.Rule = i, d.Name, c.step.Number, c.step.Do, c.step.Visit, rule.Name
			r.Role = rule.role(r.Item, b.Items)
			r.Place = c.step.Text.Place
			r.Source = c.step.Source
			t.Requirements = append(t.Requirements, r)
		}
	}
	if c.panHold != "" {
		t.Holds = append(t.Holds, Hold{i, HoldPan, c.panHold, "ask the owner for the depth of the frame"})
	}
	return append(c.problems, Cautions(o, &b.Job)...)
}

// call is one step at one opening: all that its rule may look at.
type call struct {
	book     *Book
	o        *Sized
	index    int
	step     *Step
	item     Item   // the step's item; a family's members are the rule's to choose from
	family   []Item // members, when the step names a family
	trim     trim
	trimHold string
	release  string
	panHold  string
	problems []Problem
}

func (c *call) say(sev Severity, column, what, do string) {
	c.problems = append(c.problems, Problem{c.o.PlaceOf(column), sev, c.o.Mark + ": " + what, do})
}

// resolve finds the step's item: a key, a role of the Job sheet, or a family.
func (c *call) resolve() bool {
	name := c.step.Item
	c.item, c.family = Item{}, nil
	if name == "" || slices.Contains(trimBoards, name) {
		return true
	}
	if key, ok := c.book.Job.Role[name]; ok {
		name = key
	}
	if it, ok := c.book.Items.Get(name); ok {
		c.item = it
		return true
	}
	if c.family = c.book.Items.Family(name); len(c.family) > 0 {
		c.item = c.family[0]
		return true
	}
	c.problems = append(c.problems, Problem{c.step.Text.problem("Item", "", "").Place, Error, fmt.Sprintf("%s: item %q of step %s is not on the Items sheet", c.o.Mark, name, c.step.Number), "add the item or change the step"})
	return false
}

// smallest returns the member of the family (or the one item) that fits, by
// the least of a measure.
func (c *call) smallest(fits func(Item) bool, by func(Item) measure.Length) (Item, bool) {
	members := c.family
	if len(members) == 0 {
		members = []Item{c.item}
	}
	best, found := Item{}, false
	for _, m := range members {
		if fits(m) && (!found || by(m) < by(best)) {
			best, found = m, true
		}
	}
	return best, found
}

// segment is one edge of an outline: count edges of one length. A corner is a
// segment without length.
type segment struct {
	edge   Edge
	length measure.Length
	count  int64
}

// segments returns the step's edges with their lengths at this opening.
func (c *call) segments() []segment {
	var out []segment
	for _, e := range c.step.Edges {
		switch e {
		case Sill, Head:
			for _, w := range c.widths(e) {
				out = append(out, segment{e, w, 1})
			}
		case Jambs:
			out = append(out, c.jambs()...)
		case Mullions:
			if c.o.Units > 1 {
				out = append(out, segment{e, c.mullion(), c.o.Units - 1})
			}
		case Corners:
			out = append(out, segment{e, 0, 4 * c.times()})
		case HeadCorners, SillCorners:
			out = append(out, segment{e, 0, 2 * c.times()})
		}
	}
	return out
}

// times returns how often a step is done at one opening.
func (c *call) times() int64 {
	switch c.step.Per {
	case PerUnit:
		return c.o.Units
	case PerMull:
		return c.o.Units - 1
	}
	return 1
}

// widths returns the lengths of a horizontal edge of the step's outline.
func (c *call) widths(e Edge) []measure.Length {
	o := c.o
	switch c.step.Along {
	case AlongFrame:
		return []measure.Length{o.Frame.W}
	case AlongFlange:
		return []measure.Length{o.Frame.W + 2*c.book.Job.FlangeWidth}
	case AlongUnit:
		return o.Widths
	case AlongTrim:
		piece := map[Edge]PieceName{Head: HeadPiece, Sill: BottomPiece}[e]
		if _, ok := c.trim.piece(piece); ok {
			return []measure.Length{c.trim.width(piece)}
		}
		return nil
	}
	return []measure.Length{o.Rough.W} // rough opening, pan
}

// jambs returns the upright edges of the outline.
func (c *call) jambs() []segment {
	o, of := c.o, func(h measure.Length, n int64) []segment { return []segment{{Jambs, h, n}} }
	switch c.step.Along {
	case AlongFrame:
		return of(o.Frame.H, 2)
	case AlongFlange:
		return of(o.Frame.H+2*c.book.Job.FlangeWidth, 2)
	case AlongUnit:
		if !o.Stacked() {
			return of(o.Frame.H, 2*o.Units)
		}
		var out []segment
		for _, h := range o.UnitHeights {
			out = append(out, of(h, 2)...)
		}
		return out
	case AlongTrim:
		if leg, ok := c.trim.piece(LegPiece); ok {
			return of(leg.Length, leg.Number)
		}
		return nil
	}
	return of(o.Rough.H, 2)
}

// mullion returns the length of the joint between joined units.
func (c *call) mullion() measure.Length {
	if c.o.Stacked() {
		return c.o.Frame.W
	}
	switch c.step.Along {
	case AlongFrame, AlongUnit:
		return c.o.Frame.H
	}
	if jambs := c.jambs(); len(jambs) > 0 {
		return jambs[0].length
	}
	return 0
}

// ends returns what a piece runs past its edge. On a slab the foot of a jamb
// piece stops at the slab.
func (c *call) ends(e Edge, width measure.Length) (first, second measure.Length) {
	first, second = c.step.Ends[0].Of(width), c.step.Ends[1].Of(width)
	if e == Jambs && c.o.SitsOn == OnSlab {
		second = min(second, 0)
	}
	return first, second
}

// in writes a length for the inputs' column.
func (c *call) in(l measure.Length) string {
	if c.book.Job.MM {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, 32)
}

// words describes a segment with its ends.
func (c *call) words(s segment, first, second measure.Length) string {
	b := string(s.edge)
	if s.count > 1 {
		b = fmt.Sprintf("%d %s", s.count, s.edge)
	}
	if s.length > 0 {
		b += " " + c.in(s.length)
	}
	for _, end := range []measure.Length{first, second} {
		switch {
		case end > 0:
			b += " + " + c.in(end)
		case end < 0:
			b += " - " + c.in(-end)
		}
	}
	return b
}

// total adds up the lengths of the step's edges with their ends, times its
// count, and says how.
func (c *call) total() (measure.Length, string) {
	sum := measure.Length(0)
	var how []string
	for _, s := range c.segments() {
		first, second := c.ends(s.edge, c.item.Width)
		l := StripLength(s.length, first, second)
		if s.length == 0 {
			l = c.step.With["length"]
			how = append(how, fmt.Sprintf("%d %s of %s", s.count, s.edge, c.in(l)))
		} else {
			how = append(how, c.words(s, first, second))
		}
		sum += measure.Length(s.count) * l
	}
	return sum, strings.Join(how, "; ")
}
