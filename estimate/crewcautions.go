package estimate

import (
	"slices"
	"strings"
)

// crewCautions are what the crew is told at the work itself, each once a phase, with the
// marks that it is for. No schedule is wrong for it, so that check says none of them.
// Source of all: common practice.
var crewCautions = []struct {
	words string
	// Of a phase's openings: those that take an item, or of which the opening tells it.
	item    func(*Item, *Job) bool
	opening func(*Sized, Phase) bool
}{
	{
		words: "a unit that is set and not yet fastened falls in wind: hold it until it is fastened, and set none in gusts",
		opening: func(o *Sized, p Phase) bool {
			return p == PhaseInstall && o.Kind != OverheadDoor && !o.Status.InPlace()
		},
	},
	{
		words: "foam in cans holds isocyanates and a flammable propellant: no flame, spark or heater near it; ventilate; gloves and eye protection",
		item:  func(it *Item, job *Job) bool { return it.Key == job.Role["foam"] },
	},
	{
		words: "pneumatic nailers: eye and ear protection, no hand or helper in line or behind the wall, air off before a jam is cleared",
		item:  func(it *Item, _ *Job) bool { return it.Class == ClassFastening && it.Allowance == "nails" },
	},
}

// WholePhase returns the work of a phase at all openings, without the details.
func WholePhase(list []Install, phase Phase) Install {
	whole := Install{Phase: phase}
	for _, in := range list {
		if in.Phase == phase {
			whole.Openings = append(whole.Openings, in.Openings...)
			whole.Steps = append(whole.Steps, in.Steps...)
		}
	}
	slices.SortFunc(whole.Openings, func(a, b InstallOpening) int { return a.Opening - b.Opening })
	return whole
}

// PhaseCautions returns what can go wrong or hurt somebody in a phase, each caution once,
// with the marks that it is for.
func PhaseCautions(b Book, t Takeoff, whole Install) []string {
	var out []string
	for _, c := range JobCautions(t.Openings, &b.Job) {
		if slices.Contains(c.Phases, whole.Phase) {
			out = append(out, c.Words())
		}
	}
	marks := map[string][]string{}
	say := func(words, mark string) {
		if marks[words] == nil {
			out = append(out, words)
		}
		if !slices.Contains(marks[words], mark) {
			marks[words] = append(marks[words], mark)
		}
	}
	for _, x := range whole.Openings {
		o := &t.Openings[x.Opening]
		for _, c := range Cautions(o) {
			if slices.Contains(c.Phases, whole.Phase) {
				_, rest := cutSubject(c.Words())
				say(rest, o.Mark)
			}
		}
	}
	takes := itemsOf(t, whole)
	for _, c := range crewCautions {
		for _, x := range whole.Openings {
			o := &t.Openings[x.Opening]
			is := c.opening != nil && c.opening(o, whole.Phase)
			if c.item != nil {
				is = slices.ContainsFunc(takes[x.Opening], func(key string) bool {
					it, ok := b.Items.Get(key)
					return ok && c.item(&it, &b.Job)
				})
			}
			if is {
				say(c.words, o.Mark)
			}
		}
	}
	for i, words := range out {
		switch list := marks[words]; {
		case len(list) == 0: // of the job as a whole
		case len(list) == len(whole.Openings) && len(list) > 1:
			out[i] = "all: " + words
		default:
			out[i] = strings.Join(list, ", ") + ": " + words
		}
	}
	return out
}

// itemsOf returns the items that each opening takes in a phase, by opening.
func itemsOf(t Takeoff, whole Install) map[int][]string {
	out := map[int][]string{}
	for _, s := range whole.Steps {
		for _, k := range s.Needs {
			if r := t.Requirements[k]; !slices.Contains(out[r.Opening], r.Item) {
				out[r.Opening] = append(out[r.Opening], r.Item)
			}
		}
	}
	return out
}

// UnloadingCautions returns what can hurt somebody when units are unloaded.
func UnloadingCautions(b Book, t Takeoff) []string {
	var out []string
	for _, c := range JobCautions(t.Openings, &b.Job) {
		if c.Unloading {
			out = append(out, c.Words())
		}
	}
	return out
}
