//go:build solvers

package cut

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"

	"sillwright/estimate/measure"
)

// arcFlow is a problem as an integer program on a graph, which shares nothing
// with the planner. The nodes are the places on a board that cuts can reach. A
// piece is an arc from where it begins to where it ends, a loss goes on to the
// next node, and a stock returns from its end to node 0, at its price. A cutting
// is a flow that passes through enough arcs of each piece.
//
// Source: Valério de Carvalho, Exact solution of bin-packing problems using
// column generation and branch-and-bound, Annals of Operations Research 86 (1999).
type arcFlow struct {
	demands []int   // of the lengths, longest first
	nodes   []int64 // places, ascending from 0
	pieces  []arc
	stocks  []arc // those that a piece fits on and of which there are any
	total   int   // pieces
}

// arc goes from a node to a node, as indices of nodes. of is the index of the
// length or stock; most bounds the flow.
type arc struct {
	from, to, of int
	price        measure.UnitPrice
	most         int
}

// newArcFlow takes a problem with stock for any of its lengths. n pieces need
// n-1 cuts: every piece takes a kerf, and every stock has one more.
func newArcFlow(p Problem) arcFlow {
	var m arcFlow
	var lengths []int64
	byLength := map[measure.Length]int{}
	for _, w := range p.Pieces {
		byLength[w.Length] += w.Count
		m.total += w.Count
	}
	var unit int64
	for l := range byLength {
		lengths = append(lengths, int64(l))
		unit = commonDivisor(unit, int64(l+p.Kerf))
	}
	slices.SortFunc(lengths, func(a, b int64) int { return cmp.Compare(b, a) })
	var longest int64
	room := make([]int64, len(p.Stocks))
	for i, s := range p.Stocks {
		room[i] = max(0, int64(s.Length-endTrim(p, i)+p.Kerf)) / unit
		if s.Available != 0 {
			longest = max(longest, room[i])
		}
	}
	reached := make([]bool, longest+1)
	reached[0] = true
	type placed struct {
		at, size int64
		of       int
	}
	var list []placed
	for i, l := range lengths {
		size, demand := (l+int64(p.Kerf))/unit, byLength[measure.Length(l)]
		m.demands = append(m.demands, demand)
		for _, at := range reach(reached, size, demand) {
			list = append(list, placed{at, size, i})
		}
	}
	for at, ok := range reached {
		if ok {
			m.nodes = append(m.nodes, int64(at))
		}
	}
	for _, a := range list {
		m.pieces = append(m.pieces, arc{from: m.upTo(a.at), to: m.upTo(a.at + a.size), of: a.of, most: m.demands[a.of]})
	}
	for i, s := range p.Stocks {
		most := s.Available
		if most < 0 || most > m.total {
			most = m.total
		}
		if end := m.upTo(room[i]); end > 0 && most > 0 {
			m.stocks = append(m.stocks, arc{from: end, of: i, price: s.Price, most: most})
		}
	}
	return m
}

// reach marks what up to count pieces of a size, cut after all longer ones,
// reach, and returns where such a piece may begin.
func reach(reached []bool, size int64, count int) (begins []int64) {
	used := make([]int, len(reached)) // fewest pieces of the size that reach a place
	for at := range reached {
		switch before := int64(at) - size; {
		case reached[at]:
		case before >= 0 && used[before] < count:
			used[at] = used[before] + 1
		default:
			used[at] = count + 1
		}
		if used[at] < count && int64(at)+size < int64(len(reached)) {
			begins = append(begins, int64(at))
		}
	}
	for _, at := range begins {
		reached[at], reached[at+size] = true, true
	}
	return begins
}

// upTo returns the last node at or before a place.
func (m arcFlow) upTo(place int64) int {
	i, found := slices.BinarySearch(m.nodes, place)
	if !found {
		i--
	}
	return i
}

func commonDivisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// writeMPS writes the program in the MPS format with fixed columns. Stocks are
// the variables z0, z1 … and come first.
func (m arcFlow) writeMPS(to io.Writer) error {
	w := bufio.NewWriter(to)
	fmt.Fprint(w, "NAME          cut\nROWS\n N  cost\n")
	for i := range m.demands {
		fmt.Fprintf(w, " G  d%d\n", i)
	}
	for i := range m.nodes {
		fmt.Fprintf(w, " E  n%d\n", i)
	}
	entry := func(column, row string, value int64) {
		fmt.Fprintf(w, "    %-8s  %-8s  %12d\n", column, row, value)
	}
	flow := func(column string, a arc) {
		entry(column, fmt.Sprint("n", a.from), -1)
		entry(column, fmt.Sprint("n", a.to), 1)
	}
	marker := func(kind string) {
		fmt.Fprintf(w, "    %-8s  %-8s                 '%s'\n", "MARKER", "'MARKER'", kind)
	}
	fmt.Fprint(w, "COLUMNS\n")
	marker("INTORG")
	for i, a := range m.stocks {
		name := fmt.Sprint("z", i)
		entry(name, "cost", int64(a.price))
		flow(name, a)
	}
	for i, a := range m.pieces {
		name := fmt.Sprint("a", i)
		entry(name, fmt.Sprint("d", a.of), 1)
		flow(name, a)
	}
	marker("INTEND")
	for i := 1; i < len(m.nodes); i++ {
		flow(fmt.Sprint("l", i), arc{from: i - 1, to: i})
	}
	fmt.Fprint(w, "RHS\n")
	for i, d := range m.demands {
		entry("demand", fmt.Sprint("d", i), int64(d))
	}
	fmt.Fprint(w, "BOUNDS\n")
	bound := func(column string, most int) {
		fmt.Fprintf(w, " UP %-8s  %-8s  %12d\n", "most", column, most)
	}
	for i, a := range m.stocks {
		bound(fmt.Sprint("z", i), a.most)
	}
	for i, a := range m.pieces {
		bound(fmt.Sprint("a", i), a.most)
	}
	for i := 1; i < len(m.nodes); i++ {
		bound(fmt.Sprint("l", i), m.total)
	}
	fmt.Fprint(w, "ENDATA\n")
	return w.Flush()
}
