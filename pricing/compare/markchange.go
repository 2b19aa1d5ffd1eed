package compare

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The sorts of change of a mark.
const (
	Added    = "added"
	Dropped  = "dropped"
	Resized  = "resized"
	Recount  = "quantity"
	Redetail = "detail"
	Other    = "changed"
)

// UnitCost is what is different where a unit costs something else: words for the
// estimator, not for a customer.
const UnitCost = "unit cost"

// MarkChange is one thing that is different at a mark; "" = it has none.
type MarkChange struct {
	Mark     string
	Sort     string // Added, Dropped …
	What     string // what is different: "frame", "RO", "quantity"; "" of a mark that is added or dropped
	Was, Now string
}

// byMark finds the openings of a takeoff by their marks.
type byMark struct {
	takeoff *estimate.Takeoff
	at      map[string]int
}

func marksOf(t *estimate.Takeoff) byMark {
	m := byMark{t, map[string]int{}}
	for i, o := range t.Openings {
		m.at[strings.ToLower(o.Mark)] = i
	}
	return m
}

// find returns the opening of a mark, nil when there is none. An odd piece that
// has no line is of the line of its mark.
func (m byMark) find(o *estimate.Sized) *estimate.Sized {
	for _, mark := range []string{o.Mark, lineOf(o)} {
		if i, ok := m.at[strings.ToLower(mark)]; ok {
			return &m.takeoff.Openings[i]
		}
	}
	return nil
}

// lineOf returns the mark of an opening's line: of an odd piece, that of its mark.
func lineOf(o *estimate.Sized) string {
	return strings.TrimSuffix(o.Mark, fmt.Sprintf(" piece %d", o.Piece))
}

// markFact is something of a mark that may change.
type markFact struct {
	sort, what string
	words      func(o *estimate.Sized, show func(measure.Length) string) string
}

func sizeFact(what string, of func(*estimate.Sized) estimate.Size) markFact {
	return markFact{Resized, what, func(o *estimate.Sized, show func(measure.Length) string) string {
		if s := of(o); s.Known() {
			return show(s.W) + " x " + show(s.H)
		}
		return ""
	}}
}

func wordFact(what string, of func(*estimate.Sized) string) markFact {
	return markFact{Other, what, func(o *estimate.Sized, _ func(measure.Length) string) string { return of(o) }}
}

func markFacts() []markFact {
	kind := wordFact("kind", func(o *estimate.Sized) string { return string(o.Kind) })
	detail := wordFact("detail", func(o *estimate.Sized) string { return o.DetailName })
	qty := wordFact("quantity", func(o *estimate.Sized) string { return fmt.Sprint(o.Qty + o.Apart) })
	detail.sort, qty.sort = Redetail, Recount
	return []markFact{
		kind, qty,
		wordFact("operation", func(o *estimate.Sized) string { return string(o.Operation) }),
		wordFact("room", func(o *estimate.Sized) string { return o.Room }),
		wordFact("tempered", func(o *estimate.Sized) string { return string(o.Tempered) }),
		sizeFact("frame", func(o *estimate.Sized) estimate.Size { return o.Frame }),
		sizeFact("RO", func(o *estimate.Sized) estimate.Size { return o.Rough }),
		sizeFact("measured", func(o *estimate.Sized) estimate.Size { return o.Measured }),
		{Resized, "unit widths", func(o *estimate.Sized, show func(measure.Length) string) string {
			words := make([]string, len(o.Widths))
			for i, w := range o.Widths {
				words[i] = show(w)
			}
			return strings.Join(words, "; ")
		}},
		{Resized, "leg drop", func(o *estimate.Sized, show func(measure.Length) string) string {
			if !o.LegDrop.Set {
				return ""
			}
			return show(o.LegDrop.V)
		}},
		detail,
		wordFact("sits on", func(o *estimate.Sized) string { return string(o.SitsOn) }),
		wordFact("flange", func(o *estimate.Sized) string { return string(o.Flange) }),
		wordFact("sill pan", func(o *estimate.Sized) string { return string(o.Pan) }),
		wordFact("trim", func(o *estimate.Sized) string { return o.Layout }),
		wordFact("furnished by", func(o *estimate.Sized) string { return string(o.FurnishedBy) }),
		wordFact(UnitCost, func(o *estimate.Sized) string {
			if !o.UnitCost.Set {
				return ""
			}
			return o.UnitCost.V.String()
		}),
	}
}

// marks lists what is different, mark by mark.
func (r *reviser) marks() []MarkChange {
	var out []MarkChange
	for i := range r.now.Takeoff.Openings {
		o := &r.now.Takeoff.Openings[i]
		if before := r.wasMarks.find(o); before != nil {
			out = append(out, r.changes(before, o)...)
		} else {
			out = append(out, MarkChange{Mark: o.Mark, Sort: Added, Now: r.inShort(o)})
		}
	}
	for i := range r.was.Takeoff.Openings {
		if o := &r.was.Takeoff.Openings[i]; r.nowMarks.find(o) == nil {
			out = append(out, MarkChange{Mark: o.Mark, Sort: Dropped, Was: r.inShort(o)})
		}
	}
	return out
}

func (r *reviser) changes(before, o *estimate.Sized) []MarkChange {
	var out []MarkChange
	for _, f := range markFacts() {
		was, now := f.words(before, r.show), f.words(o, r.show)
		odd := before.Piece != o.Piece // one of several, against all of them
		switch {
		case was == now, odd && f.sort == Recount:
		case f.what == "unit widths" && before.Units == 1 && o.Units == 1: // the frame says it
		default:
			out = append(out, MarkChange{o.Mark, f.sort, f.what, was, now})
		}
	}
	return out
}

// inShort says what a mark is: "3 x window 36 x 60".
func (r *reviser) inShort(o *estimate.Sized) string {
	return fmt.Sprintf("%d x %s, frame %s x %s", o.Qty+o.Apart, o.Kind, r.show(o.Frame.W), r.show(o.Frame.H))
}

// show writes a length as the later job does.
func (r *reviser) show(l measure.Length) string {
	if r.now.Book.Job.MM {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, 32)
}
