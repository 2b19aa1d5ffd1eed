package estimate

import (
	"fmt"

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

func (a *application) tape() []Requirement {
	var out []Requirement
	held := ""
	if a.step.Along == AlongTrim && a.item.Class == ClassMetal {
		held = a.trimHold // bent and cut to the frame, so it waits for the frame
	}
	if len(a.step.Edges) == 0 {
		l := a.step.With["length"]
		n := a.times() * max(1, a.step.Counts["count"])
		if l > 0 && n > 0 {
			out = append(out, pieces(a.item, n, l, "patch", fmt.Sprintf("%d of %s", n, a.in(l))))
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
		runs := a.runs()
		if l <= 0 || runs == 0 || s.count == 0 {
			a.say(Error, "Frame width", fmt.Sprintf("step %s, %s: no length can be computed", a.step.Number, a.step.Do),
				"check the tape's width and lap on Items and Job")
			continue
		}
		if runs > 1 {
			how = fmt.Sprintf("%d runs; %s", runs, how)
		}
		r := pieces(a.item, s.count*runs, l, string(s.edge), how)
		r.Held = held
		out = append(out, r)
	}
	return out
}

// runs returns the number of runs of the step's tape.
func (a *application) runs() int64 {
	if !a.step.Runs.Wall {
		return a.step.Runs.For(a.item.Width)
	}
	job := &a.book.Job
	return SillRuns(a.wallDepth(), job.WRBLap, a.item.Width, job.TapeLap)
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
