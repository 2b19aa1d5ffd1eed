package workbook

import (
	"slices"
	"strings"

	"sillwright/estimate"
)

// stepNeed is what one opening takes of an item in a step.
type stepNeed struct {
	marks  string
	key    string // of the item
	item   string // its name
	dim    estimate.Dimension
	amount int64   // of pieces their number
	shown  float64 // the amount in its unit
	of     string  // the unit, or what each piece is
}

// stepNeeds returns the rows of a step. Openings that take the same share them.
func (w *writer) stepNeeds(in estimate.Install, s estimate.InstallStep) []stepNeed {
	type group struct {
		on    []int // of in.Openings
		needs []stepNeed
	}
	var groups []group
	byOpening := map[int][]int{}
	for _, k := range s.Needs {
		o := w.in.Takeoff.Requirements[k].Opening
		byOpening[o] = append(byOpening[o], k)
	}
	for _, i := range s.For {
		needs := w.openingNeeds(byOpening[in.Openings[i].Opening])
		g := slices.IndexFunc(groups, func(g group) bool { return slices.Equal(g.needs, needs) })
		if g < 0 {
			g = len(groups)
			groups = append(groups, group{needs: needs})
		}
		groups[g].on = append(groups[g].on, i)
	}
	var out []stepNeed
	for _, g := range groups {
		g.needs[0].marks = w.stepMarks(in, g.on)
		out = append(out, g.needs...)
	}
	return out
}

// openingNeeds returns what the requirements of one opening take in a step: at
// least a line that says that it takes nothing. Amounts of one item are added up.
func (w *writer) openingNeeds(needs []int) []stepNeed {
	var out []stepNeed
	for _, k := range needs {
		r := w.in.Takeoff.Requirements[k]
		x := stepNeed{key: r.Item, item: w.shortName(r.Item), dim: r.Dim, amount: r.Amount}
		if r.Pieces() {
			x.dim, x.amount, x.of = estimate.Each, r.Count, pieceWords(w.u, r)
		}
		same := slices.IndexFunc(out, func(o stepNeed) bool { return !r.Pieces() && o.item == x.item && o.of == x.of })
		if same >= 0 {
			out[same].amount += x.amount
			continue
		}
		out = append(out, x)
	}
	for i := range out {
		if x := &out[i]; x.of == "" {
			x.shown, x.of = w.crewAmount(x.key, x.dim, x.amount)
		} else {
			x.shown = float64(x.amount)
		}
	}
	if len(out) == 0 {
		return []stepNeed{{item: "none"}}
	}
	return out
}

// pieceWords says what each piece of a requirement is.
func pieceWords(u estimate.Units, r estimate.Requirement) string {
	s := "of " + u.Shop(r.Length)
	if r.Second > 0 {
		s += " x " + u.Shop(r.Second)
	}
	s += " " + u.Name(estimate.Lengthwise)
	if r.Name != "" {
		s += ", " + r.Name
	}
	if r.Held != "" {
		s += ", ON HOLD"
	}
	return s
}

// stepMarks names openings of a phase: "all" when it is for all of several.
func (w *writer) stepMarks(in estimate.Install, on []int) string {
	if len(on) == len(in.Openings) && len(on) > 1 {
		return "all"
	}
	out := make([]string, len(on))
	for i, k := range on {
		out[i] = w.in.Takeoff.Openings[in.Openings[k].Opening].Mark
	}
	return strings.Join(out, ", ")
}
