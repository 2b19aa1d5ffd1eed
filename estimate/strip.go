package estimate

import "sillwright/estimate/measure"

// StripLength returns the length of one piece laid along an edge.
//
//	length = edge + first end + second end
//
// An end is what the piece runs past its edge (negative: stops short). The
// head and sill strips of a mounting-flange window run one strip width past
// the opening at each end, so that their ends line up with the jamb strips; a
// strip that turns up the jambs runs 6 in past each.
//
// Source: AAMA 2400-10 cl. 5.7.3.2 and Note 3 (head, sill), read in excerpts; a trade magazine's photo sequence (turned-up sill strip: opening + 12 in), read
func StripLength(edge, first, second measure.Length) measure.Length { return edge + first + second }

// SillRuns returns how many runs of strip cover a sill and lap down the face.
//
//	runs = ceil((depth + face lap - lap) / (width - lap)), at least 1
//
// depth is the wall's framing and sheathing; each run laps the one below it.
// A strip no wider than its lap covers nothing: 0.
//
// Source: laps of IRC R703.2 and a deep-energy-retrofit training page, read in excerpts; the count is arithmetic
func SillRuns(depth, faceLap, width, lap measure.Length) int64 {
	if width <= lap {
		return 0
	}
	return max(1, measure.CeilDiv(int64(depth+faceLap-lap), int64(width-lap)))
}

// CoverArea returns the area that a coat or strip of a width covers.
//
//	area = length × width
//
// Source: geometry
func CoverArea(length, width measure.Length) measure.Area { return measure.AreaOf(length, width) }
