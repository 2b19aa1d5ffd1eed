package cut

import (
	"encoding/binary"
	"slices"

	"sillwright/estimate/measure"
)

// layout is a way to fill a board of a stock, longest pieces first, and how
// many boards are filled so.
type pattern struct {
	stock, count int
	entries      []entry
}

type entry struct{ item, count int }

// layouts is a cutting of all pieces, and what its boards cost.
type solution struct {
	patterns []pattern
	cost     int64
}

// key appends bytes that tell a layout from others.
func (p pattern) key(key []byte) []byte {
	key = binary.AppendUvarint(key, uint64(p.stock))
	for _, e := range p.entries {
		key = binary.AppendUvarint(key, uint64(e.item))
		key = binary.AppendUvarint(key, uint64(e.count))
	}
	return key
}

// gather joins layouts that are alike.
func mergePatterns(patterns []pattern) (out []pattern) {
	at := make(map[string]int, len(patterns))
	var key []byte
	for _, p := range patterns {
		key = p.key(key[:0])
		i, ok := at[string(key)]
		if !ok {
			i = len(out)
			at[string(key)] = i
			out = append(out, pattern{stock: p.stock, entries: p.entries})
		}
		out[i].count += p.count
	}
	return out
}

// put adds n pieces of a group to items sorted by group.
func insertPieces(entries []entry, group, n int) []entry {
	i := 0
	for i < len(entries) && entries[i].item < group {
		i++
	}
	if i < len(entries) && entries[i].item == group {
		entries[i].count += n
		return entries
	}
	entries = append(entries, entry{})
	copy(entries[i+1:], entries[i:])
	entries[i] = entry{group, n}
	return entries
}

func countOf(entries []entry, i int) int {
	for _, e := range entries {
		if e.item == i {
			return e.count
		}
	}
	return 0
}

func boardCount(patterns []pattern) (n int) {
	for _, p := range patterns {
		n += p.count
	}
	return n
}

// fits reports whether there are as many pieces as items has.
func withinDemand(entries []entry, demand []int) bool {
	for _, e := range entries {
		if e.count > demand[e.item] {
			return false
		}
	}
	return true
}

// trimmed returns items without those of which there are no more.
func limitedToDemand(entries []entry, demand []int) []entry {
	var out []entry
	for _, e := range entries {
		if n := min(e.count, demand[e.item]); n > 0 {
			out = append(out, entry{e.item, n})
		}
	}
	return out
}

func (m *model) lengthOf(entries []entry) measure.Length {
	var sum measure.Length
	for _, e := range entries {
		sum += measure.Length(e.count) * m.sizes[e.item]
	}
	return sum
}

// cost returns what the boards of a cutting cost.
func (m *model) cost(patterns []pattern) (sum int64) {
	for _, p := range patterns {
		sum += int64(p.count) * m.stocks[p.stock].price
	}
	return sum
}

// bare returns a cutting without what is more than needed of a group.
func (m *model) withoutSurplus(patterns []pattern) (out []pattern) {
	demand := slices.Clone(m.demand)
	for _, p := range patterns {
		for p.count > 0 {
			entries := limitedToDemand(p.entries, demand)
			n := p.count
			for _, e := range entries {
				n = min(n, demand[e.item]/e.count)
			}
			if len(entries) == 0 {
				break
			}
			for _, e := range entries {
				demand[e.item] -= n * e.count
			}
			out = append(out, pattern{p.stock, n, entries})
			p.count -= n
		}
	}
	return mergePatterns(out)
}
