package estimate

import "sillwright/estimate/measure"

// Phase is a phase of the work, to which a step of a detail belongs.
type Phase string

// The phases.
const (
	PhaseInstall Phase = "install"
	PhaseShop    Phase = "shop"
	PhaseTrim    Phase = "trim"
	PhaseFinish  Phase = "finish"
)

// Phases are the phases in their order.
var Phases = []Phase{PhaseInstall, PhaseShop, PhaseTrim, PhaseFinish}

// PhaseWords are the words of the column Phase.
var PhaseWords = wordsOf(Phases...)

// Install is the work of one phase at all openings of one detail.
type Install struct {
	Detail   string
	Phase    Phase
	Openings []InstallOpening // in the order of the takeoff
	Steps    []InstallStep    // in the order of work; those that apply to none of the openings are left out
}

// InstallStep is a step of the work.
type InstallStep struct {
	Number     string
	Do         string // what to do, in words
	NoMaterial bool   // it is work alone
	For        []int  // openings that it is for: indexes into Install.Openings
	All        bool   // it is for all of them
	Needs      []int  // requirements, of these openings: indexes into Takeoff.Requirements
	Source     string
}

// InstallOpening is an opening with what its work depends on.
type InstallOpening struct {
	Opening int         // index into Takeoff.Openings
	Sills   []SillCheck // what was read of its sill and diagonals
	// Ladder is how far the foot of a ladder to the head of the opening stands
	// out; missing = the height above grade is not stated.
	Ladder Maybe[measure.Length]
}

// Installs returns the work by detail and phase: details in the order of the
// book, phases in their order. A phase without steps is left out.
func Installs(b Book, t Takeoff) []Install {
	needs := map[Place][]int{} // by place of the step
	for k, r := range t.Requirements {
		needs[r.Place] = append(needs[r.Place], k)
	}
	sills := map[int][]SillCheck{}
	for _, s := range SillChecks(b, t) {
		sills[s.Opening] = append(sills[s.Opening], s)
	}
	var out []Install
	for _, d := range b.Details {
		var openings []InstallOpening
		var facts []Facts
		for i := range t.Openings {
			o := &t.Openings[i]
			if o.DetailName != d.Name {
				continue
			}
			facts = append(facts, b.FactsOf(o))
			openings = append(openings, InstallOpening{Opening: i, Sills: sills[i], Ladder: ladder(o)})
		}
		for _, phase := range Phases {
			in := Install{Detail: d.Name, Phase: phase, Openings: openings}
			for k := range d.Steps {
				if s := &d.Steps[k]; s.Number != "0" && s.Phase == phase {
					in.add(s, UnitsOf(b.Job.MM), facts, t.Requirements, needs[s.Text.Place])
				}
			}
			if len(in.Steps) > 0 {
				out = append(out, in)
			}
		}
	}
	return out
}

// add appends a step when it is for any of the openings.
func (in *Install) add(s *Step, u Units, facts []Facts, all []Requirement, here []int) {
	step := InstallStep{Number: s.Number, Do: s.Do, NoMaterial: s.rule.NoMaterial, Source: s.Source}
	if len(s.Offsets) > 0 {
		step.Do += ", " + u.offsetWords(s.Offsets)
	}
	for i, f := range facts {
		if s.When.Holds(f) {
			step.For = append(step.For, i)
		}
	}
	if len(step.For) == 0 {
		return
	}
	step.All = len(step.For) == len(in.Openings)
	for _, k := range here {
		if all[k].Detail == in.Detail { // a row may stand in several details
			step.Needs = append(step.Needs, k)
		}
	}
	if len(step.Needs) == 0 && !step.NoMaterial {
		return // it takes nothing at any of them: screws of a mitered frame
	}
	in.Steps = append(in.Steps, step)
}

// ladder returns how far the foot of a ladder that reaches the head of an
// opening stands out.
func ladder(o *Sized) Maybe[measure.Length] {
	if !o.Drop.Set {
		return Maybe[measure.Length]{}
	}
	return Given(LadderFoot(o.Drop.V + o.Frame.H))
}

// FirstDay returns the first day of a phase, and whether it is known. The
// finish phase without a date of its own begins with the trim phase.
func (j *Job) FirstDay(phase Phase) (measure.Date, bool) {
	day, known := j.PhaseDate[phase]
	if !known && phase == PhaseFinish {
		day, known = j.PhaseDate[PhaseTrim]
	}
	return day, known
}
