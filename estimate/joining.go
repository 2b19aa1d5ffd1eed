package estimate

import "sillwright/estimate/measure"

// Joint says whether pieces of an item may be joined along their length.
type Joint int

// The rules of joining.
const (
	JointNever  Joint = iota
	JointCheap        // wherever that costs less: laps of metal, butts under siding
	JointForced       // only a piece that no stock on offer is long enough for
)

// JointWords are the words of the Items sheet, by Joint.
var JointWords = []string{"no", "yes", "if too long"}

// JoinedPieces returns the parts of a length that is joined: as LapPieces, but
// none shorter than least, which is taken from the part before. It is nil
// when no parts of such lengths make it up. A least part is common practice, no
// source.
func JoinedPieces(length, longest, lap, least measure.Length) []measure.Length {
	parts := LapPieces(length, longest, lap)
	n := len(parts)
	if n < 2 {
		return parts
	}
	short := max(0, least-parts[n-1])
	parts[n-1] += short
	parts[n-2] -= short
	if parts[n-2] < least || parts[n-1] > longest {
		return nil
	}
	return parts
}
