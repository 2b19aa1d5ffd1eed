package estimate

import (
	"fmt"
	"slices"
	"strings"
)

// Done returns at how many openings of the mark the work of a phase is done.
func (o *Opening) Done(p Phase) (n int64) {
	if o.Stages == nil {
		if o.Status.Done(p) {
			return o.Qty
		}
		return 0
	}
	for _, s := range o.Stages {
		if s.Status.Done(p) {
			n += s.Count
		}
	}
	return n
}

// NotOrdered returns of how many openings the unit is not ordered yet, as far as Status
// says.
func (o *Opening) NotOrdered() (n int64) {
	if o.Stages == nil && o.Status == "" {
		return o.Qty
	}
	for _, s := range o.Stages {
		if s.Status == "" {
			n += s.Count
		}
	}
	return n
}

// InStages says how far the openings of a mark are, in the order of the work; those that
// no stage names are not stated. Status becomes that of the least far. Stages of more
// openings than there are say nothing: none is taken, and a problem says so.
func (o *Opening) InStages() []Problem {
	if o.Stages == nil {
		return nil
	}
	said := int64(0)
	for _, s := range o.Stages {
		said += s.Count
	}
	if said > o.Qty {
		o.Stages, o.Status = nil, ""
		return []Problem{{o.PlaceOf("Status"), Warning, fmt.Sprintf("%s: Status speaks of %d openings, and there are %d: it is taken as not stated", o.Mark, said, o.Qty),
			"correct the counts, or Qty"}}
	}
	if said < o.Qty {
		o.Stages = append(slices.Clone(o.Stages), Stage{"", o.Qty - said})
	}
	slices.SortStableFunc(o.Stages, func(a, b Stage) int { return statusOrder(a.Status) - statusOrder(b.Status) })
	o.Status = o.Stages[0].Status
	if len(o.Stages) == 1 {
		o.Stages = nil
	}
	return nil
}

// statusOrder is how far a status is; what is not stated comes first.
func statusOrder(s Status) int { return slices.Index(StatusWords, string(s)) }

// apart takes one opening out of a mark, of those that are furthest: what was measured
// by itself is set.
func (o *Opening) apart() (of Opening) {
	of = *o
	of.Qty, of.Stages = 1, nil
	o.Qty--
	if n := len(o.Stages) - 1; n >= 0 {
		of.Status = o.Stages[n].Status
		o.Stages = slices.Clone(o.Stages)
		if o.Stages[n].Count--; o.Stages[n].Count == 0 {
			o.Stages = o.Stages[:n]
		}
		if len(o.Stages) == 1 {
			o.Stages = nil
		}
	}
	return of
}

// StatusWords says how far the openings of a mark are, as the column Status is written.
func (o *Opening) StatusWords() string {
	if o.Stages == nil {
		return string(o.Status)
	}
	var words []string
	for _, s := range o.Stages {
		if s.Status != "" {
			words = append(words, fmt.Sprintf("%d %s", s.Count, s.Status))
		}
	}
	return strings.Join(words, ", ")
}

// Left returns what is still to be done of a takeoff, by the statuses of its marks. Openings
// of which a phase is done at some stand in it once for each phase, by how many are left.
func (t *Takeoff) Left() Takeoff {
	return t.part(func(o *Opening, p Phase) int64 { return o.Qty - o.Done(p) })
}

// DoneSince returns what is done of a takeoff since the marks were so far.
func (t *Takeoff) DoneSince(before []Progress) Takeoff {
	return t.part(func(o *Opening, p Phase) int64 { return o.Done(p) - o.doneBy(before, p) })
}

// Since returns all of a takeoff but what was done when the marks were so far.
func (t *Takeoff) Since(before []Progress) Takeoff {
	return t.part(func(o *Opening, p Phase) int64 { return o.Qty - o.doneBy(before, p) })
}

// doneBy returns at how many openings of a mark a phase was done, of those at which it is.
func (o *Opening) doneBy(before []Progress, p Phase) (n int64) {
	for _, b := range before {
		if strings.EqualFold(b.Mark, o.Mark) {
			for _, s := range b.Stages {
				if s.Status.Done(p) {
					n += s.Count
				}
			}
		}
	}
	return min(n, o.Done(p))
}

// part returns so many openings of each mark as a phase has.
func (t *Takeoff) part(of func(*Opening, Phase) int64) Takeoff {
	type at struct {
		opening int
		qty     int64
	}
	var out Takeoff
	place := map[at]int{}
	for _, r := range t.Requirements {
		o := &t.Openings[r.Opening]
		k := at{r.Opening, of(&o.Opening, r.Phase)}
		if k.qty <= 0 {
			continue
		}
		here, known := place[k]
		if !known {
			here = len(out.Openings)
			place[k] = here
			some := *o
			some.Qty = k.qty
			out.Openings = append(out.Openings, some)
		}
		r.Opening = here
		out.Requirements = append(out.Requirements, r)
	}
	for _, h := range t.Holds {
		for here := range out.Openings { // of one mark the first
			if out.Openings[here].Mark == t.Openings[h.Opening].Mark {
				h.Opening = here
				out.Holds = append(out.Holds, h)
				break
			}
		}
	}
	return out
}

// AnyDone reports whether anything of a takeoff is done.
func (t *Takeoff) AnyDone() bool {
	return slices.ContainsFunc(t.Requirements, func(r Requirement) bool { return t.Openings[r.Opening].Done(r.Phase) > 0 })
}
