package estimate

import "sillwright/estimate/measure"

// OnHand is stock of an item that is there already: boards, sticks and rolls of a
// length, whole and left of others, or packs by what is in one. It is used before any
// is bought.
type OnHand struct {
	Place   Place
	Item    string
	Length  measure.Length // of one, of an item that is cut; else 0
	Content string         // what one holds, as written, of an item that is not cut
	Amount  int64          // the same in base units of the item's dimension
	Count   int64
	// Counted is the day of a count of all that there is of the item: what was bought and
	// used before is in it. Not set: it was there before anything was bought.
	Counted Maybe[measure.Date]
	Notes   string
}
