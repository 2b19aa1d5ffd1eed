package cut

import "sillwright/estimate/measure"

// openBins are the bins of a run of first fit, in groups: one for the boards on hand of each stock
// type that are opened before the first piece is placed, and a last one for those opened as they are
// needed. Boards on hand count as open from the start and become bins when a piece is placed on
// them: there may be far more of them than pieces.
type openBins struct {
	inventory *inventory
	groups    []binGroup
	room      maxTree // of each group: the most in one bin
}

// binGroup is bins of one stock type on hand, of which more may be opened, or bins of all lengths.
type binGroup struct {
	stockType int // of which more are opened; -1 for the last group
	bins      []bin
	room      maxTree // of each bin
}

func newOpenBins(inv *inventory) *openBins {
	o := &openBins{inventory: inv}
	if inv.onHandFirst {
		for i, st := range inv.stockTypes {
			if st.onHand && st.available > 0 {
				o.room.set(len(o.groups), st.capacity)
				o.groups = append(o.groups, binGroup{stockType: i})
			}
		}
	}
	o.groups = append(o.groups, binGroup{stockType: -1})
	return o
}

// place places as many of n pieces as fit on the first board with room for one. ok is false if none
// has.
func (o *openBins) place(item int, size measure.Length, n int) (placed int, ok bool) {
	g := o.room.first(size)
	if g < 0 {
		return 0, false
	}
	group := &o.groups[g]
	b := group.room.first(size)
	if b < 0 {
		b = len(group.bins)
		group.bins = append(group.bins, o.inventory.take(group.stockType))
	}
	placed = group.bins[b].place(item, size, n)
	o.update(g, b)
	return placed, true
}

// add adds a bin that was opened for a piece.
func (o *openBins) add(b bin) {
	g := len(o.groups) - 1
	o.groups[g].bins = append(o.groups[g].bins, b)
	o.update(g, len(o.groups[g].bins)-1)
}

// update notes the room that is left in a bin, and so in its group.
func (o *openBins) update(g, b int) {
	group := &o.groups[g]
	group.room.set(b, group.bins[b].capacity-group.bins[b].used)
	most := group.room.most()
	if k := group.stockType; k >= 0 && o.inventory.available[k] > 0 {
		most = o.inventory.stockTypes[k].capacity
	}
	o.room.set(g, most)
}

// bins returns the bins that hold pieces, in the order in which they were open.
func (o *openBins) bins() (all []bin) {
	for _, g := range o.groups {
		all = append(all, g.bins...)
	}
	return all
}

// maxTree holds lengths by index and finds the first that is no less than another, in steps that
// grow with the logarithm of their number. Lengths that were not set are 0.
type maxTree struct {
	nodes []measure.Length // node i is the larger of 2i and 2i+1; the leaves are the second half
}

// set sets a length.
func (t *maxTree) set(i int, l measure.Length) {
	for i >= len(t.nodes)/2 {
		t.grow()
	}
	at := len(t.nodes)/2 + i
	t.nodes[at] = l
	for at /= 2; at > 0; at /= 2 {
		t.nodes[at] = max(t.nodes[2*at], t.nodes[2*at+1])
	}
}

// grow doubles the number of leaves.
func (t *maxTree) grow() {
	leaves := len(t.nodes) / 2
	old := t.nodes
	t.nodes = make([]measure.Length, max(2, 2*len(old)))
	copy(t.nodes[len(t.nodes)/2:], old[leaves:])
	for at := len(t.nodes)/2 - 1; at > 0; at-- {
		t.nodes[at] = max(t.nodes[2*at], t.nodes[2*at+1])
	}
}

// most returns the largest length, 0 if there is none.
func (t *maxTree) most() measure.Length {
	if len(t.nodes) == 0 {
		return 0
	}
	return t.nodes[1]
}

// first returns the index of the first length that is no less than l, -1 if none is; l is above 0.
func (t *maxTree) first(l measure.Length) int {
	if t.most() < l {
		return -1
	}
	at := 1
	for at < len(t.nodes)/2 {
		if at *= 2; t.nodes[at] < l {
			at++
		}
	}
	return at - len(t.nodes)/2
}
