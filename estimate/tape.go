package estimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// TapeLength returns the length of one piece laid along an edge.
//
//	length = edge + first end + second end
//
// An end is what the piece runs past its edge (negative: stops short). The
// head and sill tapes of a mounting-flange window run one tape width past
// the opening at each end, so that their ends line up with the jamb tapes; a
// tape that turns up the jambs runs 6 in past each.
//
// Source: American Architectural Manufacturers Association, AAMA 2400-10 (of 2010; the edition of 2020 was not read), 5.7.3.2, note 3; Journal of Light Construction, "Flashing a Window: New Construction" (sill: opening + 12 in)
func TapeLength(edge, first, second measure.Length) measure.Length { return edge + first + second }

// SillRuns returns how many runs of tape cover a sill and lap down the face.
//
//	runs = ceil((depth + face lap - lap) / (width - lap)), at least 1
//
// depth is the wall's framing and sheathing; each run laps the one below it.
// A tape no wider than its lap covers nothing: 0.
//
// Source: laps: International Residential Code, R703.2, and deepenergyretrofit.com, Training, "Windows"; the count is arithmetic
func SillRuns(depth, wrbLap, width, lap measure.Length) int64 {
	if width <= lap {
		return 0
	}
	return max(1, measure.CeilDiv(int64(depth+wrbLap-lap), int64(width-lap)))
}

// fewestRuns returns the tape of the step's family that covers with the fewest runs, of
// those the narrowest: of what is sold, where any is.
func (a *application) fewestRuns() Item {
	tapes := slices.DeleteFunc(slices.Clone(a.family), func(it Item) bool { return !a.book.Sold[it.Key] })
	if len(tapes) == 0 {
		tapes = a.family
	}
	return slices.MinFunc(tapes, func(x, y Item) int {
		return cmp.Or(cmp.Compare(a.runs(x), a.runs(y)), cmp.Compare(x.Width, y.Width))
	})
}

func (a *application) tape() []Requirement {
	var out []Requirement
	if len(a.family) > 0 {
		a.item = a.fewestRuns()
	}
	held := ""
	if a.step.Along == AlongTrim && a.item.Class == ClassMetal {
		held = a.trimHold // bent and cut to the frame, so it waits for the frame
	}
	if len(a.step.Edges) == 0 {
		l := a.step.With["length"]
		n := a.times() * max(1, a.step.Counts["count"])
		if l > 0 && n > 0 {
			r := pieces(a.item, n, l, "patch", fmt.Sprintf("%d of %s", n, a.in(l)))
			r.Patch = true
			out = append(out, r)
		}
		return out
	}
	if least := a.step.With["width"]; a.item.Width < least {
		a.say(Warning, "Flange", fmt.Sprintf("step %s, %s: tape of %s is narrower than the %s it must cover", a.step.Number, a.step.Do,
			a.long(a.item.Width), a.long(least)), "choose wider tape on Job")
	}
	for _, s := range a.segments() {
		first, second := a.ends(s.edge, a.item.Width)
		l, how := TapeLength(s.length, first, second), a.words(s, first, second)
		if s.length == 0 {
			l = a.step.With["length"]
			how = fmt.Sprintf("%d %s of %s", s.count, s.edge, a.in(l))
		}
		runs := a.runs(a.item)
		if l <= 0 || runs == math.MaxInt64 || s.count == 0 {
			a.say(Error, "Frame width", fmt.Sprintf("step %s, %s: no length can be computed", a.step.Number, a.step.Do),
				"check the tape's width and lap on Items and Job")
			continue
		}
		if runs > 1 {
			how = fmt.Sprintf("%d runs; %s", runs, how)
		}
		r := pieces(a.item, s.count*runs, l, string(s.edge), how)
		r.Held, r.Patch = held, s.length == 0
		out = append(out, r)
	}
	return out
}

// runs returns the number of runs of a tape at the step, more than any where it covers
// nothing.
func (a *application) runs(it Item) int64 {
	if !a.step.Runs.Wall {
		return a.step.Runs.For(it.Width)
	}
	job := &a.book.Job
	return cmp.Or(SillRuns(a.wallDepth(), job.WRBLap, it.Width, job.TapeLap), math.MaxInt64)
}

// framed returns the depth of an opening's framing and sheathing.
func (o *Sized) framed(job *Job) measure.Length {
	return o.WallDepth.Or(job.Stud + job.Sheathing)
}

// wallDepth returns how deep a sill is to the plane of the WRB.
func (a *application) wallDepth() measure.Length {
	job := &a.book.Job
	if job.WRBPlane == PlaneOutside {
		return a.o.framed(job) + job.Insulation
	}
	return a.o.framed(job)
}
