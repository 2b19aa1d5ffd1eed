package estimate

import "sillwright/estimate/measure"

// Spaced returns how many fasteners stand along an edge, one near each end.
//
//	count = ceil((length - 2 × end) / spacing) + 1, at least 2
//
// end is how far the first stands from the end of the edge; spacing is a
// ceiling, so the count rounds up.
//
// Source: US Navy NAVEDTRA 14044 (pairs 16 in apart), read; the spacing of flange nails is the unit maker's
func Spaced(length, end, spacing measure.Length) int64 {
	if spacing <= 0 || length <= 2*end {
		return 2
	}
	return max(2, measure.CeilDiv(int64(length-2*end), int64(spacing))+1)
}

// NailLength returns the least length of a nail through the trim.
//
//	length = trim + sheathing + outside insulation + penetration
//
// Source: primed trim board maker's guide (1-1/4 in into solid wood), read in excerpts; an input
func NailLength(trim, sheathing, insulation, penetration measure.Length) measure.Length {
	return trim + sheathing + insulation + penetration
}

// Points returns a count of fasteners or shims at stated points.
//
//	count = points × edges × each
//
// Source: common practice, no source; door shims at three hinges, three at the strike, one at the head: a finish carpenter's answer in a trade magazine, read
func Points(points, edges, each int64) int64 { return points * edges * each }

// RowEdge is how far a row of nails stands from the edge of a trim board.
//
// Source: US Navy NAVEDTRA 14044 fig. 4-22, read: 3/4 in from the outer edge
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
