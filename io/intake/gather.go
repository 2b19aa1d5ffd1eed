package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// gathering makes openings with unique marks of entries.
type gathering struct {
	out      Result
	problems []estimate.Problem
	byKey    map[string]int // index of the opening, by mark and all that must agree
	marks    map[string]bool
	from     [][]*entry // by opening
}

// gather counts the entries, and makes openings of those that are taken. Lines
// of one mark, kind and size are one opening with the sum of their numbers;
// with another size they get a mark of their own.
func gather(all []*entry) (Result, []estimate.Problem) {
	g := &gathering{byKey: map[string]int{}, marks: map[string]bool{}}
	leftOut, sizes := counter{}, counter{}
	var metric int64
	for _, e := range all {
		g.out.Found += e.qty
		if r, ok := e.best(); ok {
			sizes.add(r.String(), e.qty)
			if r.unit >= measure.Millimeters {
				metric += e.qty
			}
		}
		switch {
		case e.reason != "":
			leftOut.add(e.reason, e.qty)
		case e.bad:
			g.out.Refused += e.qty
		}
	}
	g.out.Metric = 2*metric > g.out.Found
	g.out.LeftOut, g.out.Sizes = leftOut.sorted(), sizes.sorted()
	for _, e := range all {
		if e.mark != "" {
			g.marks[markKey(e.mark)] = true // a mark that is made up must be none of these
		}
	}
	for _, e := range all {
		if e.reason == "" && !e.bad {
			g.take(e)
		}
	}
	for i := range g.out.Openings {
		o := &g.out.Openings[i]
		g.finish(o, g.from[i])
		said := estimate.Opening{Operation: o.Operation, Notes: strings.Join(g.from[i][0].remarks, "; ")}
		for _, r := range said.Remarks() {
			g.say(g.from[i][0], o.Mark+": "+r.What, r.Do)
		}
	}
	return g.out, g.problems
}

// best returns the reading by which an entry is counted.
func (e *entry) best() (reading, bool) {
	for _, b := range []Basis{Frame, Opening, Unstated, Call} {
		if r, ok := e.read[b]; ok {
			return r, true
		}
	}
	return reading{}, false
}

// markKey folds a mark as marks are compared.
func markKey(mark string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(mark))), " ")
}

// take puts an entry into the openings.
func (g *gathering) take(e *entry) {
	mark := e.mark
	if mark == "" {
		mark = g.newMark(map[estimate.Kind]string{estimate.Window: "W", estimate.EntryDoor: "D", estimate.PatioDoor: "P", estimate.OverheadDoor: "G"}[e.kind], 1)
	}
	sizes := fmt.Sprint(e.kind, e.read[Frame].Size, e.read[Opening].Size, e.read[Call].call, e.ours)
	key := markKey(mark) + "\n" + sizes
	if i, again := g.byKey[key]; again {
		if e.named && g.from[i][0].named {
			g.say(e, fmt.Sprintf("the mark %q stands in row %d too, with the same size; they are counted together", sheet.Excerpt(mark),
				g.from[i][0].place.Row), "check that both are meant")
		}
		g.out.Openings[i].Qty += e.qty
		g.from[i] = append(g.from[i], e)
		return
	}
	if _, used := g.byKey[markKey(mark)]; used {
		other := g.newMark(mark+"/", 2)
		g.say(e, fmt.Sprintf("the mark %q stands before with another size or kind; here it is called %q", sheet.Excerpt(mark), sheet.Excerpt(other)),
			"check which is right")
		mark = other
	}
	g.byKey[key], g.byKey[markKey(mark)] = len(g.from), len(g.from)
	o := e.ours
	o.Place, o.Mark, o.Qty, o.Kind, o.Operation, o.Elevation = e.place, mark, e.qty, e.kind, e.operation(), e.facing
	o.Frame, o.Rough = e.read[Frame].Size, e.read[Opening].Size
	if !o.Frame.Known() && !o.Rough.Known() {
		o.Call = e.read[Call].call
		if !slices.Contains(g.out.Calls, e.kind) {
			g.out.Calls = append(g.out.Calls, e.kind)
		}
	}
	g.out.Openings = append(g.out.Openings, o)
	g.from = append(g.from, []*entry{e})
}

func (g *gathering) say(e *entry, what, do string) {
	g.problems = append(g.problems, estimate.Problem{Place: e.place, Severity: estimate.Warning, What: what, Do: do})
}

// newMark returns the first mark with a number that nobody has.
func (g *gathering) newMark(start string, n int) string {
	for ; ; n++ {
		mark := fmt.Sprintf("%s%d", start, n)
		if !g.marks[markKey(mark)] {
			g.marks[markKey(mark)] = true
			return mark
		}
	}
}

// fewPieces is up to how many components are named.
const fewPieces = 12

// finish writes down where an opening comes from and what the list says of it
// that has no column of ours.
func (g *gathering) finish(o *estimate.Opening, from []*entry) {
	first := from[0]
	notes := []string{"from " + first.place.String()}
	if first.from.File != "" {
		notes[0] = "from " + first.from.String()
	} else if len(from) > 1 {
		notes[0] += fmt.Sprintf(" and %d more lines", len(from)-1)
	}
	if r, ok := first.best(); ok {
		notes = append(notes, r.source(*o))
	}
	levels, pieces := counter{}, []string(nil)
	for _, e := range from {
		pieces = append(pieces, e.pieces...)
		if e.level != "" {
			levels.add(e.level, e.qty)
		}
	}
	if len(pieces) > 0 && len(pieces) <= fewPieces {
		notes = append(notes, "pieces "+strings.Join(pieces, ", "))
	}
	names := levels.named()
	if n := story(first.level); len(levels) == 1 && n.Set && levels.sorted()[0].N == o.Qty {
		o.Story = n
	} else if len(names) > 0 {
		notes = append(notes, strings.Join(names, ", "))
	}
	var rest []string
	for _, e := range from {
		rest = append(rest, e.remarks...)
		if len(from) == 1 && len(e.rooms) > 0 {
			rest = append(rest, "rooms "+strings.Join(e.rooms, ", "))
		}
	}
	slices.Sort(rest)
	rest = slices.Compact(rest)
	o.Notes = excerptLong(strings.Join(append(notes, rest...), "; "))
}

// source says how a size is written and what it was taken for.
func (r reading) source(o estimate.Opening) string {
	text := fmt.Sprintf("%s %q", r.from.from, sheet.Excerpt(r.written()))
	if r.bare {
		text += " in " + unitNames[r.unit]
	}
	switch {
	case r.from.basis != Unstated || r.call != "":
	case o.Frame == r.Size:
		text += ", taken for the frame by --basis"
	default:
		text += ", taken for the rough opening by --basis"
	}
	return text
}

// written returns a size as the list writes it.
func (r reading) written() string {
	if !r.from.both.Blank() {
		return r.from.both.Word()
	}
	return r.from.w.Word() + " x " + r.from.h.Word()
}

// excerptLong cuts a note that would not fit a cell that people read.
func excerptLong(s string) string {
	const most = 500
	s = cmp.Or(sheet.Cell{Text: s}.Word(), s)
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
