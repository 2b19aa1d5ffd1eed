package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// Spaced returns how many fasteners stand along an edge, one near each end.
//
//	count = ceil((length - 2 × end) / spacing) + 1, at least 2
//
// end is how far the first stands from the end of the edge; spacing is a
// ceiling, so the count rounds up.
//
// Source: US Navy training manual NAVEDTRA 14044, p. 6-17, on interior casing (pairs 16 in apart); the spacing of flange nails is the unit maker's
func Spaced(length, end, spacing measure.Length) int64 {
	if spacing <= 0 || length <= 2*end {
		return 2
	}
	return max(2, measure.CeilDiv(int64(length-2*end), int64(spacing))+1)
}

// Points returns a count of fasteners or shims at stated points.
//
//	count = points × edges × each
//
// Source: common practice; door shims at three hinges and three at the strike: Journal of Light Construction, "Q&A: Do Door Jambs Need Shims?"
func Points(points, edges, each int64) int64 { return points * edges * each }

// NailLength returns the least length of a nail through what lies on the wall:
// trim, a flange, a brickmould.
//
//	length = what is nailed + sheathing + outside insulation + penetration
//
// Sheathing, insulation and housewrap hold nothing: they are no part of the
// penetration.
//
// Source: a maker's trim board guide (makers are not named here): 1-1/4 in into solid wood; an input
func NailLength(nailed, sheathing, insulation, penetration measure.Length) measure.Length {
	return nailed + sheathing + insulation + penetration
}

// RowEdge is how far a row of nails stands from the edge of a trim board.
//
// Source: US Navy training manual NAVEDTRA 14044, fig. 4-22: 3/4 in from the outer edge
const RowEdge = 3 * measure.Inch / 4

// MissesFraming reports whether the outer row of nails of a trim board stands
// past the framing round an opening.
//
//	misses when gap + board - row edge > room + framing
//
// gap is the joint between frame and trim, board the board's width, room what
// lies between the frame and the framing on that side, and framing how much
// solid wood there is beyond.
//
// Source: geometry; the framing is an input
func MissesFraming(gap, board, room, framing measure.Length) bool {
	return gap+board-RowEdge > room+framing
}

func (a *application) spaced() []Requirement {
	n, how := int64(0), ""
	each := max(1, a.step.Counts["each"])
	for _, s := range a.segments() {
		k := Spaced(s.length, a.step.With["end"], a.step.Spacing)
		n += Points(k, s.count, each)
		how += fmt.Sprintf("%s: %d", a.words(s, 0, 0), k)
		if s.count > 1 {
			how += " each"
		}
		how += "; "
	}
	how += "at " + a.in(a.step.Spacing)
	if each > 1 {
		how += fmt.Sprintf(", %d a place", each)
	}
	return a.fasteners(n, how)
}

// fasteners asks for a number of the step's fasteners, long enough to hold.
func (a *application) fasteners(n int64, how string) []Requirement {
	it, least, ok := a.fastener()
	if !ok {
		return nil
	}
	return one(amount(it, Each, n, how+least))
}

func (a *application) points() []Requirement {
	n, each := max(1, a.step.Counts["count"]), max(1, a.step.Counts["each"])
	how := fmt.Sprintf("%d an opening", n)
	times := a.times()
	if len(a.step.Edges) > 0 {
		times = 0
		for _, s := range a.segments() {
			times += s.count
		}
		how = fmt.Sprintf("%d at each of %d %s", n, times, joinEdges(a.step.Edges))
	} else if a.step.Per == PerUnit || a.step.Per == PerMull {
		how = fmt.Sprintf("%d at each of %d %ss", n, times, a.step.Per)
	}
	if each > 1 {
		how += fmt.Sprintf(", %d a place", each)
	}
	return a.fasteners(Points(n, times, each), how)
}

func (a *application) pieceRows() []Requirement {
	job := &a.book.Job
	n, thick, how := int64(0), measure.Length(0), ""
	for _, p := range a.trim.pieces {
		if p.Board == MullBoard && !a.o.studsBetween() {
			continue // no framing behind it
		}
		rows := Spaced(p.Length, a.step.With["end"], a.step.Spacing)
		perRow := a.step.Runs.For(p.Item.Width)
		n += p.Number * rows * perRow
		thick = max(thick, p.Item.Thickness)
		if how != "" {
			how += "; "
		}
		how += fmt.Sprintf("%d %s: %d rows of %d", p.Number, p.Piece, rows, perRow)
	}
	if n == 0 {
		return nil
	}
	need := NailLength(thick, job.Sheathing, job.Insulation, job.Penetration)
	it, ok := a.smallest(func(m Item) bool { return m.Length >= need }, func(m Item) measure.Length { return m.Length })
	if !ok {
		a.say(Error, "Trim", fmt.Sprintf("trim nails of %s are longer than any on Items", a.long(need)), "add a longer nail or screw to Items")
		return nil
	}
	return one(amount(it, Each, n, fmt.Sprintf("%s; nail at least %s", how, a.in(need))))
}

func (a *application) pieceJoints() []Requirement {
	n, joints, thick := int64(0), int64(0), measure.Length(0)
	for _, p := range a.trim.pieces {
		ends := p.Number * p.Bored
		joints += ends
		n += Points(a.step.Runs.For(p.Item.Width), ends, 1)
		thick = max(thick, p.Item.Thickness)
	}
	if n == 0 {
		return nil
	}
	it, ok := a.item, true
	if len(a.family) > 0 {
		it, ok = a.smallest(func(m Item) bool { return m.FitsFrom <= thick && thick <= m.FitsTo }, func(m Item) measure.Length { return m.Length })
	}
	if !ok {
		a.say(Error, "Trim", fmt.Sprintf("nothing of family %s on Items fits boards %s thick", a.step.Item, a.long(thick)), "add the screw to Items")
		return nil
	}
	return one(amount(it, Each, n, fmt.Sprintf("%d joints", joints)))
}

func (a *application) pieceMiters() []Requirement {
	corners, each := a.trim.corners(), a.step.Runs.For(0)
	return one(amount(a.item, Each, Points(each, corners, 1), fmt.Sprintf("%d mitered corners, %d each", corners, each)))
}
