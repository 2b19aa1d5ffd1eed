package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// Strip is a rectangle to be cut out of coil, Count times: Length along the coil, Width across it. A
// strip is not turned. Strips with a length, width or count of 0 or less are left out.
type Strip struct {
	Length, Width measure.Length
	Count         int
	Label         string // for the caller; it does not change the shelves
}

// Shelf is a length of coil, cut right across, on which strips lie side by side: a level of a
// guillotine pattern. Length is that of the longest strip. Strips holds an index for each strip on
// it, longest first. Rest is the width that is left.
type Shelf struct {
	Length measure.Length
	Strips []int
	Rest   measure.Length
}

// Shelves packs strips onto shelves of a coil of the given width by first fit decreasing height: the
// strips are taken from the longest down, the wider first among equals, and each goes on the first
// shelf with room for its width, or opens a new one. The shelves come from the longest down; they are
// the pieces to be cut from the coil's lengths, by Solve.
//
// unplaced lists strips that are wider than the coil, by index; if there are more than MaxPieces
// strips, it lists all of them and there are no shelves.
func Shelves(strips []Strip, width measure.Length) (shelves []Shelf, unplaced []int) {
	order, count := []int{}, 0
	for i, s := range strips {
		if s.Length > 0 && s.Width > 0 && s.Count > 0 {
			order = append(order, i)
			count = min(count, MaxPieces) + min(s.Count, MaxPieces)
		}
	}
	if count > MaxPieces {
		return nil, order
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(strips[b].Length, strips[a].Length), cmp.Compare(strips[b].Width, strips[a].Width))
	})
	for _, i := range order {
		if strips[i].Width > width {
			unplaced = append(unplaced, i)
			continue
		}
		shelves = placeStrips(shelves, i, strips[i], width)
	}
	slices.Sort(unplaced)
	return shelves, unplaced
}

// placeStrips packs all strips of an index, opening new shelves at the end.
func placeStrips(shelves []Shelf, strip int, s Strip, width measure.Length) []Shelf {
	n := s.Count
	for at := 0; n > 0; at++ {
		if at == len(shelves) {
			shelves = append(shelves, Shelf{Length: s.Length, Rest: width})
		}
		shelf := &shelves[at]
		for ; n > 0 && shelf.Rest >= s.Width; n-- {
			shelf.Strips = append(shelf.Strips, strip)
			shelf.Rest -= s.Width
		}
	}
	return shelves
}
