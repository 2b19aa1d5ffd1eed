package pricing

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Revision is what changed from an earlier estimate of a job to a later one.
type Revision struct {
	Marks []MarkChange // in the order of the marks: those of the later, then those dropped
	Cut   []WrongCut   // what was cut already and serves no more, by mark
	Buy   []BuyChange  // by class and item
}

// The sorts of change of a mark.
const (
	Added    = "added"
	Dropped  = "dropped"
	Resized  = "resized"
	Recount  = "quantity"
	Redetail = "detail"
	Other    = "changed"
)

// MarkChange is one thing that is different at a mark; "" = it has none.
type MarkChange struct {
	Mark     string
	Sort     string // Added, Dropped …
	What     string // what is different: "frame", "RO", "quantity"; "" of a mark that is added or dropped
	Was, Now string
}

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

// BuyChange is one pack, board or length: what there is of it by the earlier
// estimate, and what the later one asks for. Boards that were cut for nothing
// count as asked for.
type BuyChange struct {
	Item     estimate.Item
	Supplier string // "" = it was on hand
	Code     string
	Content  string
	Had      int64
	More     int64 // to buy
	Left     int64 // whole ones that are not needed
	Price    estimate.Maybe[measure.UnitPrice]
	State    string // why no more of it can be bought though it is needed; "" = nothing is lacking
}

// Needed returns how many the later estimate asks for.
func (b BuyChange) Needed() int64 { return b.Had + b.More - b.Left }

// MoreCost returns what is paid for more of a line, before delivery and tax.
func (b BuyChange) MoreCost() measure.Money { return b.worth(b.More) }

// LeftWorth returns what was paid for what is left over; 0 for what was on hand.
func (b BuyChange) LeftWorth() measure.Money { return b.worth(b.Left) }

func (b BuyChange) worth(n int64) measure.Money {
	if !b.Price.Set {
		return 0
	}
	return measure.Extension(n, b.Price.V)
}

// RevisionSums says how much changed.
type RevisionSums struct {
	Marks     int64 // that changed
	More      int64 // lines of which more is to buy, or cannot be
	MoreCost  measure.Money
	Left      int64 // lines of which some is left over
	LeftWorth measure.Money
	Wrong     int64 // pieces that were cut and are asked for no more
}

// Sums adds up a revision.
func (r Revision) Sums() RevisionSums {
	var s RevisionSums
	marks := map[string]bool{}
	for _, m := range r.Marks {
		marks[m.Mark] = true
	}
	s.Marks = int64(len(marks))
	for _, b := range r.Buy {
		if b.More > 0 || b.State != "" {
			s.More++
		}
		if b.Left > 0 {
			s.Left++
		}
		s.MoreCost += b.MoreCost()
		s.LeftWorth += b.LeftWorth()
	}
	for _, c := range r.Cut {
		s.Wrong += c.Count
	}
	return s
}

// Revise compares an estimate with an earlier one of the same job, or with what
// was ordered, which has no marks. Lengths in words are those of the later job.
//
// What more to buy is planned anew: all that the job needs now, with what was
// cut for nothing, from the boards, rolls and packs of the earlier estimate
// first. What the later estimate has on hand is not counted again: it came from
// those.
func Revise(was, now Side) Revision {
	r := reviser{was: was, now: now, wasMarks: marksOf(&was.Takeoff), nowMarks: marksOf(&now.Takeoff), cut: map[piece]cutBefore{}, asked: map[piece]int64{}}
	r.pieces()
	out := Revision{Cut: r.wrong(), Buy: r.buy()}
	if !was.Ordered {
		out.Marks = r.marks()
	}
	return out
}

// OrderedSide returns what was ordered as the side of a comparison with an
// estimate whose items it is of.
func OrderedSide(name string, lines []Line, book estimate.Book) Side {
	s := Side{Name: name, File: name, Ordered: true, Book: estimate.Book{Job: book.Job, Items: book.Items}}
	s.Book.Job.OnHand = nil
	for _, l := range lines {
		i := slices.IndexFunc(s.Plan.Purchases, func(p Purchase) bool { return p.Item.Key == l.Offer.Item && p.Supplier == l.Offer.Supplier })
		if i < 0 {
			i = len(s.Plan.Purchases)
			item, _ := book.Items.Get(l.Offer.Item)
			s.Plan.Purchases = append(s.Plan.Purchases, Purchase{Item: item, Supplier: l.Offer.Supplier})
		}
		p := &s.Plan.Purchases[i]
		p.Lines = append(p.Lines, l)
		p.total()
	}
	for _, p := range s.Plan.Purchases {
		s.Plan.Materials += p.Cost
	}
	s.Plan.Bid.Materials = s.Plan.Materials
	return s
}

// reviser compares two estimates of a job.
type reviser struct {
	was, now           Side
	wasMarks, nowMarks byMark
	cut                map[piece]cutBefore // by the earlier estimate
	asked              map[piece]int64     // by the later one
}

// piece is a sort of trim piece of a mark.
type piece struct {
	mark, item, name string
	length           measure.Length
}

type cutBefore struct {
	count int64
	sure  bool // else from the boards of the earlier estimate, if at all
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
		later := r.nowMarks.find(o)
		if !isTrim(q) || !q.Done && (q.Held != "" || later == nil || !later.Status.TrimDone()) {
			continue
		}
		k := pieceOf(&r.was.Takeoff, q)
		c := r.cut[k]
		r.cut[k] = cutBefore{c.count + q.Count*o.Qty, q.Done}
	}
	for _, q := range r.now.Takeoff.Requirements {
		if isTrim(q) {
			r.asked[pieceOf(&r.now.Takeoff, q)] += q.Count * r.now.Takeoff.Openings[q.Opening].Qty
		}
	}
}

// isTrim reports whether a requirement is a piece of a trim frame, which is cut
// ahead by its mark: what Requirement.Done is said of.
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

// wanted returns what the job needs of the earlier estimate's boards and packs,
// and of what more is bought: all of the later takeoff without what had been
// cut before the earlier one, and what was cut from its boards for nothing.
func (r *reviser) wanted() estimate.Takeoff {
	t := estimate.Takeoff{Openings: slices.Clone(r.now.Takeoff.Openings)}
	extra := func(o estimate.Sized, q estimate.Requirement, count int64) {
		o.Qty = 1
		q.Opening, q.Count, q.Done = len(t.Openings), count, false
		t.Openings, t.Requirements = append(t.Openings, o), append(t.Requirements, q)
	}
	served := maps.Clone(r.cut)
	for _, q := range r.now.Takeoff.Requirements {
		o := r.now.Takeoff.Openings[q.Opening]
		q.Done = false
		k := pieceOf(&r.now.Takeoff, q)
		before := served[k]
		all := q.Count * o.Qty
		if !isTrim(q) || !before.sure || before.count == 0 {
			t.Requirements = append(t.Requirements, q)
			continue
		}
		there := min(before.count, all)
		served[k] = cutBefore{before.count - there, true}
		if all > there {
			extra(o, q, all-there)
		}
	}
	for _, w := range r.wrong() {
		if w.Sure {
			continue
		}
		o := estimate.Sized{Opening: estimate.Opening{Mark: w.Mark + " (cut before)"}}
		extra(o, estimate.Requirement{Item: w.Item, Dim: estimate.Lengthwise, Name: w.Piece, Length: w.Length}, w.Count)
	}
	return t
}

// buy plans what more the job needs, item by item.
func (r *reviser) buy() []BuyChange {
	t := r.wanted()
	book := r.now.Book
	book.Job.OnHand = nil
	b := newBuyer(book, &t, r.now.Lists)
	var out []BuyChange
	seen := map[string]bool{}
	for _, n := range b.needs {
		seen[n.item.Key] = true
		out = append(out, r.change(b, n)...)
	}
	for _, p := range r.was.Plan.Purchases {
		if !seen[p.Item.Key] {
			seen[p.Item.Key] = true
			s := r.stockOf(p.Item)
			for i := range s.rows {
				s.rows[i].Left = s.rows[i].Had
			}
			out = append(out, s.rows...)
		}
	}
	for i := range out {
		swap := min(out[i].More, out[i].Left) // one that is left is one less to buy
		out[i].More, out[i].Left = out[i].More-swap, out[i].Left-swap
	}
	slices.SortStableFunc(out, func(a, b BuyChange) int { return cmp.Compare(classOrder(a.Item), classOrder(b.Item)) })
	return out
}

// change returns what the job has and needs of an item.
func (r *reviser) change(b *buyer, n need) []BuyChange {
	s := r.stockOf(n.item)
	earlier := slices.IndexFunc(r.was.Plan.Purchases, func(p Purchase) bool { return p.Item.Key == n.item.Key })
	b.job.OnHand = r.was.Book.Job.OnHand
	switch {
	case earlier >= 0 && r.was.Plan.Purchases[earlier].State == RunAgain:
		return []BuyChange{{Item: n.item, State: "earlier: " + RunAgain}} // what was bought is not known
	case !n.item.Cut:
		return s.packs(b, n, r.supplier(n.item.Key))
	case earlier >= 0 && len(b.onHand(n.item.Key)) == 0 && r.was.Plan.Purchases[earlier].Mark == b.markOf(n, n.total):
		return s.asPlanned(r.was.Plan.Purchases[earlier].Lines)
	}
	return s.boards(b, n, r.supplier(n.item.Key))
}

// supplier returns where more of an item is bought: where the later estimate
// buys it, else where the earlier one did.
func (r *reviser) supplier(item string) string {
	for _, plan := range []Plan{r.now.Plan, r.was.Plan} {
		for _, p := range plan.Purchases {
			if p.Item.Key == item && p.Supplier != "" && p.State == "" {
				return p.Supplier
			}
		}
	}
	return ""
}
