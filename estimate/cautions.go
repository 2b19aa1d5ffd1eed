package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// liftAlone is the weight above which a unit is lifted by two, in hundredths
// of a pound.
//
// Source: National Institute for Occupational Safety and Health, lifting equation: 51 lb in ideal posture
const liftAlone = 5000

// eaveWaiver is what a waiver of head flashing asks of every mark. The schedule
// holds neither overhang nor drop, so it is said and not computed.
//
// Source: Ontario Building Code 9.27.3.8.(3)
const eaveWaiver = "check at every mark that the drop from eave to trim is at most a quarter of the overhang, and that this code is in force"

// StandingCautions are printed on every estimate. They defer to those who
// decide: local code, makers, licensed practice.
var StandingCautions = []string{
	"Local code and the manufacturers' written instructions govern. Where they differ from this estimate, follow them " +
		"(International Residential Code, R609.1, R703.4).",
	"This estimate counts materials. It is no structural design: headers, anchors and wind loads belong to those licensed for them.",
	"Work at 6 ft and above needs fall protection; a ladder stands out a quarter of its working length and 3 ft past the landing " +
		"(US Code of Federal Regulations, 29 CFR 1926.501, 1926.1053).",
	"Springs of overhead doors are under load: trained people only.",
	"Solvents in PVC cement and primer: ventilate. Cutting fiber cement frees silica: wet or with extraction, and a respirator.",
	"Bare aluminum on fresh concrete or treated wood wants a coating or membrane between.",
}

// Caution is something that can go wrong at openings, or injure somebody: a problem of the
// schedule, and where the crew reads of it.
type Caution struct {
	Problem
	Phases    []Phase // in which it is said, once each; that of the shop is said on Frames
	Unloading bool    // it is said on Receiving too
	Crew      string  // what the crew reads; "" = what the problem says
}

// Words returns what the crew reads.
func (c *Caution) Words() string {
	if c.Crew != "" {
		return c.Crew
	}
	return c.Sentence()
}

// Phases in which cautions are said.
var (
	onSitePhases = []Phase{PhaseInstall, PhaseTrim, PhaseFinish}
	inInstall    = []Phase{PhaseInstall}
)

// Cautions returns what can go wrong at an opening, or injure somebody.
func Cautions(o *Sized) []Caution {
	var out []Caution
	say := func(phases []Phase, sev Severity, column, what, do string) {
		out = append(out, Caution{Problem: Problem{o.PlaceOf(column), sev, o.Mark + ": " + what, do}, Phases: phases})
	}
	if f := guard(o); f.Outcome == Flagged && f.Assumed == "" {
		say(onSitePhases, Warning, "Sill height", "guard this opening while the work goes on: sill under 39 in, drop of 6 ft or more outside",
			"29 CFR 1926.501(b)(14)")
	} else if f.Outcome == Flagged {
		say(onSitePhases, Warning, "Sill height", "upper story with sill height or height above grade not stated: guard the opening",
			"fill in both to know; 29 CFR 1926.501(b)(14)")
	}
	if o.OnSite != "" && o.Kind != OverheadDoor {
		say([]Phase{PhaseShop, PhaseTrim}, Note, "Frame width",
			"the trim frame is larger than the Job's frame to carry: cut and label the boards, put them together on site", "")
	}
	if rise, _ := o.rise(); rise > LevelTolerance {
		say(inInstall, Warning, "Kind", fmt.Sprintf("sill %s in out of level: a square frame would lean %s in", measure.FormatInches(rise, 32),
			measure.FormatInches(Lean(o.Frame.W, o.Frame.H, rise), 32)), levelWork(o, rise, Lean(o.Frame.W, o.Frame.H, rise)))
	} else if lean := Lean(o.Frame.W, o.Frame.H, rise); o.Kind == EntryDoor && lean > LockMargin {
		say(inInstall, Warning, "Kind", fmt.Sprintf("sill within 1/8 in, but a square frame on it would lean %s in, more than the lock's margin of %s",
			measure.FormatInches(lean, 32), measure.FormatInches(LockMargin, 32)), leanAdvice)
	}
	if o.Pan == PanNone && o.Kind != OverheadDoor {
		say(inInstall, Warning, "Sill pan", "no pan: the code default is a pan",
			"only where the maker's instructions say so; International Residential Code, R703.4.1")
	}
	if flat := map[Pan]string{PanFlexible: "flashing tape", PanFluid: "a fluid-applied pan"}[o.Pan]; flat != "" && o.Kind.IsDoor() {
		say(inInstall, Warning, "Sill pan", flat+" under a door has no back dam and no slope", "add both, or choose a rigid or metal pan")
	}
	return out
}

// JobCautions returns what concerns several openings of a job at once.
func JobCautions(openings []Sized, job *Job) []Caution {
	if len(openings) == 0 {
		return nil
	}
	out := oldHouse(openings, job)
	if heavy, most := heavyMarks(openings); len(heavy) > 0 {
		out = append(out, lifting(fmt.Sprintf("double glass of 1/8 in in the largest weighs about %d lb, without its frame", measure.MulDiv(most, 1, 100)), heavy))
	}
	if doors := marksOf(openings, func(o *Sized) bool { return o.Kind == EntryDoor }); len(doors) > 0 {
		out = append(out, lifting("pre-hung doors, their weight not stated", doors))
	}
	if job.Waiver != "" {
		what := fmt.Sprintf("no head flashing is counted: waived under %s", job.Waiver)
		out = append(out, Caution{Problem: Problem{Place{}, Warning, what, eaveWaiver}, Phases: inInstall})
	}
	return out
}

// lifting says which marks are lifted by two, and why.
func lifting(why string, marks []string) Caution {
	words := "lift with two or more: " + why
	return Caution{
		Problem: Problem{Place{}, Note, fmt.Sprintf("%s (%s)", words, listed(marks)), ""},
		Phases:  inInstall, Unloading: true, Crew: fmt.Sprintf("%s (%s)", words, strings.Join(marks, ", ")),
	}
}

// oldHouse says what old houses may hold: of one built before 1978, and of one whose
// year is not stated while old units come out of it.
func oldHouse(openings []Sized, job *Job) []Caution {
	const tested = "have it tested before it is cut, scraped or torn out; local law governs"
	warn := func(what, do string) Caution {
		return Caution{Problem: Problem{Place{}, Warning, what, do}, Phases: onSitePhases}
	}
	switch replaced := marksOf(openings, func(o *Sized) bool { return o.replaces() }); {
	case job.YearBuilt.Set && job.YearBuilt.V < 1978:
		do := "work by a certified firm, 40 CFR 745; exempt only where no window is replaced, nothing demolished, and at most 6 SF a room inside and " +
			"20 SF outside are disturbed"
		if slices.ContainsFunc(openings, func(o Sized) bool { return LeadWork(o.Kind == Window, false, 0, 0) }) {
			do = "work by a certified firm, 40 CFR 745; replacing a window is never exempt"
		}
		return []Caution{
			warn("house built before 1978: treat painted parts as lead paint at every opening", do),
			warn("old house: siding, putty, caulk and old flashing may hold asbestos at every opening", tested),
		}
	case !job.YearBuilt.Set && len(replaced) > 0:
		what := "old units come out (%s), and year built is blank: paint may hold lead; siding, putty, caulk and old flashing may hold asbestos"
		return []Caution{warn(fmt.Sprintf(what, listed(replaced)), "write year built on Job; "+tested)}
	}
	return nil
}

// replacing are words of a schedule that say that an old unit comes out.
var replacing = []string{"replace", "replaces", "replaced", "replacement", "retrofit", "remodel", "tear out", "tearout", "remove existing", "existing unit",
	"existing window", "existing door", "old window", "old door", "old unit"}

// replaces reports whether the schedule says that an old unit comes out of an opening.
func (o *Opening) replaces() bool {
	said := " " + spaced(strings.Join(append([]string{o.Notes}, o.extras()...), " ; ")) + " "
	return slices.ContainsFunc(replacing, func(w string) bool { return strings.Contains(said, " "+w+" ") })
}

// marksOf returns the marks of openings.
func marksOf(openings []Sized, of func(*Sized) bool) (marks []string) {
	for i := range openings {
		if of(&openings[i]) {
			marks = append(marks, openings[i].Mark)
		}
	}
	return marks
}

// heavyMarks returns the marks whose glass is too heavy for one, and the heaviest
// weight. How much of an entry door is glass is not known.
func heavyMarks(openings []Sized) (marks []string, most int64) {
	marks = marksOf(openings, func(o *Sized) bool {
		w := GlassWeight(o.Lifted().Area(), 2)
		if o.Kind == OverheadDoor || o.Kind == EntryDoor || w <= liftAlone {
			return false
		}
		most = max(most, w)
		return true
	})
	return marks, most
}

// problemsOf returns the problems that cautions are.
func problemsOf(cautions []Caution) []Problem {
	out := make([]Problem, len(cautions))
	for i, c := range cautions {
		out[i] = c.Problem
	}
	return out
}

// listed names the first marks and counts the others.
func listed(marks []string) string {
	const shown = 8
	if len(marks) <= shown {
		return strings.Join(marks, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(marks[:shown], ", "), len(marks)-shown)
}
