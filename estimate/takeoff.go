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
}

// Make works out what every opening needs. Openings with an error are left
// out; every error, warning and note stands in the problems, which the caller
// sorts. Openings come in the natural order of their marks, so that shares to
// the cent do not depend on the order of the schedule's rows.
func Make(b Book) (Takeoff, []Problem) {
	var t Takeoff
	var problems []Problem
	for i, o := range b.Openings {
		sized, ps := size(o, i, &b.Job, b.Layouts)
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
	slices.SortStableFunc(t.Openings, func(a, b Sized) int { return naturalCompare(a.Mark, b.Mark) })
	for i := range t.Openings {
		problems = append(problems, t.add(i, &b)...)
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

// factsOf returns what conditions may ask of an opening.
func factsOf(o *Sized, b *Book) Facts {
	answer := func(yes bool) string {
		if yes {
			return "yes"
		}
		return "no"
	}
	sill, _ := b.Items.Get(b.Job.Role["strip sill"])
	status := o.Status
	if status == "" {
		status = "none"
	}
	level := "not measured"
	if rise, read := o.rise(); read {
		level = answer(rise <= LevelTolerance)
	}
	f := Facts{
		Word: map[string]string{
			"kind": string(o.Kind), "sits on": o.SitsOn, "flange": o.Flange, "supplied by": o.SuppliedBy,
			"status": status, "pan": o.Pan, "layout": o.Layout, "face": b.Job.Face,
			"strip forms": answer(sill.Forms), "prime for strip": answer(b.Job.PrimeForStrip),
			"hardware with unit": answer(b.Job.HardwareWithUnit), "head flashing": answer(b.Job.Waiver == ""),
			"sill level": level,
		},
		Number: map[string]int64{"units": o.Units},
	}
	if o.Storey.Set {
		f.Number["storey"] = o.Storey.V
	}
	if b.Job.YearBuilt.Set {
		f.Number["year built"] = b.Job.YearBuilt.V
	}
	return f
}

// add appends what opening i needs.
func (t *Takeoff) add(i int, b *Book) []Problem {
	o := &t.Openings[i]
	d := b.Details[slices.IndexFunc(b.Details, func(d Detail) bool { return d.Name == o.DetailName })]
	c := &call{book: b, o: o, index: i}
	if o.Layout != "none" {
		var err error
		if c.trim, err = trimPieces(o, &b.Job, b.Items, b.Layouts); err != nil {
			c.say(Error, "Trim", err.Error(), "check the layout, the trim set on Job and the sizes; the trim of this mark is not in the estimate")
		}
		if c.trimHold, c.release = o.trimHeld(); c.trimHold != "" {
			t.Holds = append(t.Holds, Hold{i, "trim", c.trimHold, c.release})
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
			r.Place = c.step.Text.Place
			r.Source = c.step.Source
			t.Requirements = append(t.Requirements, r)
		}
	}
	if c.panHold != "" {
		t.Holds = append(t.Holds, Hold{i, "pan", c.panHold, "ask the owner for the depth of the frame"})
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
	trim     []TrimPiece
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
			if h, n := c.height(); n > 0 {
				out = append(out, segment{e, h, n})
			}
		case Mullions:
			if c.o.Units > 1 {
				h, _ := c.height()
				out = append(out, segment{e, h, c.o.Units - 1})
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
	case "unit":
		return c.o.Units
	case "mull":
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
		piece := map[Edge]string{Head: "head", Sill: "bottom"}[e]
		for _, p := range c.trim {
			if p.Piece == piece {
				return []measure.Length{p.Length}
			}
		}
		return nil
	}
	return []measure.Length{o.Rough.W} // rough opening, pan
}

// height returns the length and number of the upright edges of the outline.
func (c *call) height() (measure.Length, int64) {
	o := c.o
	switch c.step.Along {
	case AlongFrame:
		return o.Frame.H, 2
	case AlongFlange:
		return o.Frame.H + 2*c.book.Job.FlangeWidth, 2
	case AlongUnit:
		return o.Frame.H, 2 * o.Units
	case AlongTrim:
		for _, p := range c.trim {
			if p.Piece == "leg" {
				return p.Length, p.Number
			}
		}
		return 0, 0
	}
	return o.Rough.H, 2
}

// ends returns what a piece runs past its edge. On a slab the foot of a jamb
// piece stops at the slab.
func (c *call) ends(e Edge, width measure.Length) (first, second measure.Length) {
	first, second = c.step.Ends[0].Of(width), c.step.Ends[1].Of(width)
	if e == Jambs && c.o.SitsOn == "slab" {
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
