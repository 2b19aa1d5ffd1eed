package cut

import (
	"encoding/binary"
	"slices"

	"sillwright/estimate/measure"
)

// pattern is a cutting pattern: the pieces that are cut from a board of a stock, and how many
// boards are cut by it.
type pattern struct {
	stock, count int
	entries      []entry // longest pieces first
}

// entry is a number of pieces of one item in a pattern.
type entry struct{ item, count int }

// solution is patterns that cover the demand, and the cost of their boards.
type solution struct {
	patterns []pattern
	cost     int64
}

// key appends bytes that identify a pattern.
func (p pattern) key(key []byte) []byte {
	key = binary.AppendUvarint(key, uint64(p.stock))
	for _, e := range p.entries {
		key = binary.AppendUvarint(key, uint64(e.item))
		key = binary.AppendUvarint(key, uint64(e.count))
	}
	return key
}

// mergePatterns adds up the counts of equal patterns.
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

// insertPieces adds n pieces of an item to entries sorted by item.
func insertPieces(entries []entry, item, n int) []entry {
	i := 0
	for i < len(entries) && entries[i].item < item {
		i++
	}
	if i < len(entries) && entries[i].item == item {
		entries[i].count += n
		return entries
	}
	entries = append(entries, entry{})
	copy(entries[i+1:], entries[i:])
	entries[i] = entry{item, n}
	return entries
}

// countOf returns how many pieces of an item there are.
func countOf(entries []entry, item int) int {
	for _, e := range entries {
		if e.item == item {
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

// withinDemand reports whether a pattern has no more pieces of any item than are demanded.
func withinDemand(entries []entry, demand []int) bool {
	for _, e := range entries {
		if e.count > demand[e.item] {
			return false
		}
	}
	return true
}

// limitedToDemand returns a pattern without the pieces beyond the demand.
func limitedToDemand(entries []entry, demand []int) []entry {
	var out []entry
	for _, e := range entries {
		if n := min(e.count, demand[e.item]); n > 0 {
			out = append(out, entry{e.item, n})
		}
	}
	return out
}

// lengthOf returns the sum of the sizes of a pattern.
func (m *model) lengthOf(entries []entry) measure.Length {
	var sum measure.Length
	for _, e := range entries {
		sum += measure.Length(e.count) * m.sizes[e.item]
	}
	return sum
}

// cost returns the price of the boards of patterns.
func (m *model) cost(patterns []pattern) (sum int64) {
	for _, p := range patterns {
		sum += int64(p.count) * m.stocks[p.stock].price
	}
	return sum
}

// withoutSurplus returns a solution without the pieces that it has beyond the demand.
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
