package pricing

import (
	"fmt"
	"hash/fnv"
	"strings"

	"sillwright/estimate"
)

// fingerprint returns a hash of what a plan of a need follows from, in eight
// digits: the plan holds as long as they are the same. Prices are not in it.
func (b *buyer) fingerprint(n need, toBuy int64) string {
	h := fnv.New32a()
	add := func(v ...any) { fmt.Fprintln(h, v...) }
	add("1") // another number when plans follow from something else
	if b.job.OwnerBrings(n.item.Key) {
		add(ByOwner)
	}
	if !n.item.Cut {
		add(toBuy)
		if opened := b.opened(n); opened > 0 {
			add(opened)
		}
	} else {
		c := b.cutter(nil, n)
		add(c.kerf, c.endTrim, c.spares(), b.job.ShortestJoined, b.job.MinPart, n.item.Lap, n.item.Joint, n.item.Coil)
		for _, row := range n.rows {
			r := b.takeoff.Requirements[row]
			add(c.withExtra(r), widthOf(r, n.item), r.Count*b.takeoff.Openings[r.Opening].Qty)
		}
		for _, h := range b.onHand(n.item.Key) {
			add(h.Length, h.Count)
		}
	}
	return fmt.Sprintf("%08x", h.Sum32())
}

// boughtFingerprint returns the fingerprint of a purchase with its lines: what is
// bought of which content, and which pieces on hold that stock gives no extra length.
// Once one of those is measured as long as with it, the plan has no piece for it.
func (b *buyer) boughtFingerprint(p Purchase) string {
	if len(p.Lines) == 0 {
		return p.Fingerprint
	}
	h := fnv.New32a()
	fmt.Fprintln(h, p.Fingerprint)
	// By the first name of an item, so that an estimate made before it was renamed
	// can still be ordered from.
	first := estimate.FormerItems.Was(p.Item.Key)
	var offers []Offer
	for _, l := range p.Lines {
		fmt.Fprintln(h, first+strings.TrimPrefix(l.key, p.Item.Key), l.Offer.Amount, l.Computed)
		offers = append(offers, l.Offer)
	}
	if p.Item.Cut {
		c := b.cutter(offers, need{item: p.Item, rows: p.Rows})
		for _, row := range p.Rows {
			if r := b.takeoff.Requirements[row]; c.planned(r) < c.withExtra(r) {
				fmt.Fprintln(h, "no extra length", r.Length)
			}
		}
	}
	return fmt.Sprintf("%08x", h.Sum32())
}
