package estimate

import "sillwright/estimate/measure"

// OnHand is stock of an item that the crew has already, cut to length: whole
// boards, and what was left of others. It is used before any is bought.
type OnHand struct {
	Place  Place
	Item   string // key of an item that is cut
	Length measure.Length
	Count  int64
	Notes  string
}
