package compare

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// WrongCut is pieces of a trim frame that were cut and that their mark asks for
// no more.
type WrongCut struct {
	Mark   string
	Item   string
	Piece  string // head, leg …
	Length measure.Length
	Count  int64
	Now    estimate.Maybe[measure.Length] // what the mark asks for in its place; not set = nothing, or several
	Gone   bool                           // the mark is dropped
	// Sure says that the earlier estimate has the mark as cut. Else only the
	// later one has: it was cut by the earlier list, or by a measurement since.
	Sure bool
}

// piece is a sort of trim piece of a mark.
type piece struct {
	mark, item, name string
	length           measure.Length
}

type cutBefore struct {
	count int64
	sure  bool // else by the later estimate alone
}

// pieceOf returns the sort of a trim piece.
func pieceOf(t *estimate.Takeoff, q estimate.Requirement) piece {
	return piece{strings.ToLower(t.Openings[q.Opening].Mark), q.Item, q.Name, q.Length}
}

// pieces counts the trim pieces that were cut by the earlier estimate, and
// those that the later one asks for at the same marks.
func (r *reviser) pieces() {
	for _, q := range r.was.Takeoff.Requirements {
		o := &r.was.Takeoff.Openings[q.Opening]
		later, done := r.nowMarks.find(o), o.Done(q.Phase)
		if !isTrim(q) || done == 0 && (q.Held != "" || later == nil || !later.Status.TrimDone()) {
			continue
		}
		cut := o.Qty
		if done > 0 {
			cut = done
		}
		k := pieceOf(&r.was.Takeoff, q)
		c := r.cut[k]
		r.cut[k] = cutBefore{c.count + q.Count*cut, done > 0}
	}
	for _, q := range r.now.Takeoff.Requirements {
		if isTrim(q) {
			r.asked[pieceOf(&r.now.Takeoff, q)] += q.Count * r.now.Takeoff.Openings[q.Opening].Qty
		}
	}
}

// isTrim reports whether a requirement is a piece of a trim frame, which is cut
// ahead by its mark.
func isTrim(q estimate.Requirement) bool { return q.Pieces() && q.Role == estimate.RoleBoard }

// wrong lists the pieces that were cut and are asked for no more.
func (r *reviser) wrong() []WrongCut {
	var out []WrongCut
	for _, q := range r.was.Takeoff.Requirements {
		k := pieceOf(&r.was.Takeoff, q)
		before, cut := r.cut[k]
		n := before.count - r.asked[k]
		if !cut || n <= 0 || !isTrim(q) {
			continue
		}
		o := &r.was.Takeoff.Openings[q.Opening]
		w := WrongCut{Mark: o.Mark, Item: q.Item, Piece: q.Name, Length: q.Length, Count: n, Gone: r.nowMarks.find(o) == nil, Sure: before.sure}
		if lengths := r.inPlace(k); len(lengths) == 1 {
			w.Now = estimate.Given(lengths[0])
		}
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// inPlace returns the lengths that a mark asks for now in place of a piece.
func (r *reviser) inPlace(k piece) []measure.Length {
	var out []measure.Length
	for asked := range r.asked {
		if asked.mark == k.mark && asked.name == k.name && asked.length != k.length {
			out = append(out, asked.length)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
