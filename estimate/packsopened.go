package estimate

import "sillwright/estimate/measure"

// PacksOpened returns how many packs of an item are opened, whatever they hold: a can
// of foam whose straw clogs serves some openings of one day and no more.
//
//	packs = max(openings / openings a pack, days / days open); days = openings / openings a day
//
// each quotient rounded up. An item without openings a pack or days open, and a job
// without openings a day, does not limit it: 0 is no limit.
//
// Source: common practice
func PacksOpened(openings, aPack, aDay, daysOpen int64) int64 {
	packs := int64(0)
	if aPack > 0 {
		packs = measure.CeilDiv(openings, aPack)
	}
	if aDay > 0 && daysOpen > 0 {
		packs = max(packs, measure.CeilDiv(measure.CeilDiv(openings, aDay), daysOpen))
	}
	return packs
}
