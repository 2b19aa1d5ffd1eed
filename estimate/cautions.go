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

// Cautions returns what can go wrong at an opening, or injure somebody.
func Cautions(o *Sized, job *Job) []Problem {
	var out []Problem
	say := func(sev Severity, column, what, do string) {
		out = append(out, Problem{o.PlaceOf(column), sev, o.Mark + ": " + what, do})
	}
	switch {
	case o.SillHeight.Set && o.Drop.Set:
		if GuardNeeded(o.SillHeight.V, o.Drop.V) {
			say(Warning, "Sill height", "guard this opening while the work goes on: sill under 39 in, drop of 6 ft or more outside", "29 CFR 1926.501(b)(14)")
		}
	case o.Story.Or(1) >= 2:
		say(Warning, "Sill height", "upper story with sill height or height above grade not stated: guard the opening",
			"fill in both to know; 29 CFR 1926.501(b)(14)")
	}
	if o.OnSite != "" && o.Kind != OverheadDoor {
		say(Note, "Frame width", "the trim frame is larger than the Job's frame to carry: cut and label the boards, put them together on site", "")
	}
	if rise, _ := o.rise(); rise > LevelTolerance {
		say(Warning, "Kind", fmt.Sprintf("sill %s in out of level: a square frame would lean %s in", measure.FormatInches(rise, 32),
			measure.FormatInches(Lean(o.Frame.W, o.Frame.H, rise), 32)), levelWork(o, rise, Lean(o.Frame.W, o.Frame.H, rise)))
	} else if lean := Lean(o.Frame.W, o.Frame.H, rise); o.Kind == EntryDoor && lean > LockMargin {
		say(Warning, "Kind", fmt.Sprintf("sill within 1/8 in, but a square frame on it would lean %s in, more than the lock's margin of %s",
			measure.FormatInches(lean, 32), measure.FormatInches(LockMargin, 32)), leanAdvice)
	}
	if o.Pan == PanNone && o.Kind != OverheadDoor {
		say(Warning, "Sill pan", "no pan: the code default is a pan", "only where the maker's instructions say so; International Residential Code, R703.4.1")
	}
	if flat := map[Pan]string{PanFlexible: "flashing tape", PanFluid: "a fluid-applied pan"}[o.Pan]; flat != "" && o.Kind.IsDoor() {
		say(Warning, "Sill pan", flat+" under a door has no back dam and no slope", "add both, or choose a rigid or metal pan")
	}
	return out
}

// jobCautions returns what concerns all openings of a job at once.
func jobCautions(t *Takeoff, job *Job) []Problem {
	var out []Problem
	if job.YearBuilt.Set && job.YearBuilt.V < 1978 && len(t.Openings) > 0 {
		do := "work by a certified firm, 40 CFR 745; exempt only where no window is replaced, nothing demolished, and at most 6 SF a room inside and " +
			"20 SF outside are disturbed"
		if slices.ContainsFunc(t.Openings, func(o Sized) bool { return LeadWork(o.Kind == Window, false, 0, 0) }) {
			do = "work by a certified firm, 40 CFR 745; replacing a window is never exempt"
		}
		out = append(out, Problem{Place{}, Warning, "house built before 1978: treat painted parts as lead paint at every opening", do})
	}
	if heavy, most := heavyMarks(t); len(heavy) > 0 {
		out = append(out, Problem{Place{}, Note,
			fmt.Sprintf("lift with two or more: double glass of 1/8 in in the largest weighs about %d lb, without its frame (%s)", measure.MulDiv(most, 1, 100), listed(heavy)), ""})
	}
	if job.Waiver != "" && len(t.Openings) > 0 {
		out = append(out, Problem{Place{}, Warning, fmt.Sprintf("no head flashing is counted: waived under %s", job.Waiver), eaveWaiver})
	}
	return out
}

// heavyMarks returns the marks whose glass is too heavy for one, and the
// heaviest weight.
func heavyMarks(t *Takeoff) (marks []string, most int64) {
	for i := range t.Openings {
		o := &t.Openings[i]
		if o.Kind == OverheadDoor || o.Kind == EntryDoor {
			continue
		}
		if w := GlassWeight(o.Frame.Area(), 2); w > liftAlone {
			marks, most = append(marks, o.Mark), max(most, w)
		}
	}
	return marks, most
}

// listed names the first marks and counts the others.
func listed(marks []string) string {
	const shown = 8
	if len(marks) <= shown {
		return strings.Join(marks, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(marks[:shown], ", "), len(marks)-shown)
}
