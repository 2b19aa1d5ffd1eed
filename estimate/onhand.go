package estimate

import (
	"slices"

	"sillwright/estimate/measure"
)

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
	// By is who furnishes it: the builder, or the owner, whose item is never bought.
	By FurnishedBy
	At Place // of Count
	// NotStated: the owner brings what is needed, and has not said how much. Count is 0 then.
	NotStated bool
}

// OwnerBrings reports whether the owner brings an item: any row by owner says so, of the
// whole item.
func (j *Job) OwnerBrings(item string) bool {
	return slices.ContainsFunc(j.OnHand, func(h OnHand) bool { return h.Item == item && h.By == ByOwner })
}
