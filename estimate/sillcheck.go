package estimate

import "sillwright/estimate/measure"

// SillCheck is what was read of the sill and the diagonals of one piece of a
// mark, against the tolerances, and what to do about it before the unit is set.
type SillCheck struct {
	Opening   int // index into Takeoff.Openings
	Piece     int64
	Of        ReadAt
	LevelRead bool
	HighEnd   HighEnd
	Rise      measure.Length // of the high end over the width
	Tolerance measure.Length // of the rise
	Lean      measure.Length // of the head of a square frame that stands on the sill
	// LeanLimit is what the lean may be: the lock's margin of a swing door;
	// missing = no limit is stated.
	LeanLimit Maybe[measure.Length]
	Compound  measure.Volume // that levels a slab; 0 = none
	Do        string         // what to do about the level; "" = nothing
	// Diagonals is by how much they differ; missing = not both read.
	Diagonals         Maybe[measure.Length]
	DiagonalTolerance measure.Length
	Rack              measure.Length // of the head, from the diagonals
	Square            string         // what to do about the diagonals; "" = nothing
}

// SillChecks returns what was read of sills and diagonals, in the order of the
// takeoff, then of the readings. Pieces of which neither was read have none.
func SillChecks(b Book, t Takeoff) []SillCheck {
	var out []SillCheck
	for i := range t.Openings {
		o := &t.Openings[i]
		for _, r := range o.Readings {
			if d := r.diagonals(); r.levelRead() || len(d) == 2 {
				out = append(out, sillCheck(i, o, r, &b.Job))
			}
		}
	}
	return out
}

func sillCheck(i int, o *Sized, r Reading, job *Job) SillCheck {
	c := SillCheck{
		Opening: i, Piece: r.Piece, Of: r.Of, LevelRead: r.levelRead(), HighEnd: r.HighEnd, Rise: r.Rise, Tolerance: LevelTolerance,
		Lean: Lean(o.Frame.W, o.Frame.H, r.Rise), DiagonalTolerance: DiagonalTolerance(o.Frame.Area()),
	}
	of := o.Frame
	if c.Of == ReadAtOpening {
		of, c.DiagonalTolerance = o.Rough, OpeningTolerance
	} else {
		c.Of = ReadAtFrame
	}
	if o.Kind == EntryDoor {
		c.LeanLimit = Given(LockMargin)
	}
	if d := r.diagonals(); len(d) == 2 {
		c.Diagonals = Given(d.spread())
		c.Rack = Rack(of.W, of.H, d.spread())
		if d.spread() > c.DiagonalTolerance {
			c.Square = map[ReadAt]string{ReadAtOpening: "square the framing before the unit is set", ReadAtFrame: "square the unit before its trim is cut"}[c.Of]
		}
	}
	if r.Rise > LevelTolerance && o.SitsOn != OnWood {
		c.Compound = LevelingVolume(o.Rough.W, o.WallDepth.Or(job.Stud+job.Sheathing), r.Rise)
	}
	c.Do = levelWork(o, r.Rise, c.Lean)
	return c
}
