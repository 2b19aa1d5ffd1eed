package compare

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// leg is a mark of the revised job: windows 36 in wide with two legs each.
type leg struct {
	mark   string
	qty    int64
	length measure.Length
	status estimate.Status
	held   string
}

// legged is a job of marks with two legs and 50 screws an opening; screws come
// in hundreds for 10.00, boards of 8 ft cost 8.00. No saw cut is counted.
func legged(legs ...leg) Side {
	var t estimate.Takeoff
	for i, l := range legs {
		t.Openings = append(t.Openings, estimate.Sized{Opening: estimate.Opening{Mark: l.mark, Qty: l.qty, Kind: estimate.Window,
			FurnishedBy: "owner", Status: l.status, Frame: estimate.Size{W: 36 * in, H: l.length - 4*in},
		}})
		q := pieces(board, "leg", 2, l.length)
		q.Opening, q.Role, q.Held, q.Phase = i, estimate.RoleBoard, l.held, estimate.PhaseShop
		s := amount(screws, 50)
		s.Opening = i
		t.Requirements = append(t.Requirements, q, s)
	}
	book := estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws, board})}
	lists := pricing.Lists{Offers: []pricing.Offer{line(2, "Yard A", screws, "100 each", 1000), line(3, "Yard A", board, "8 ft", 800)}}
	return Side{Name: "job", Book: book, Takeoff: t, Lists: lists, Plan: pricing.Make(book, t, lists)}
}

// had8 is the line of boards of 8 ft.
func had8(had, more, left int64) BuyChange {
	return BuyChange{Item: board, Supplier: "Yard A", Content: "8 ft", Had: had, More: more, Left: left, Price: estimate.Given(measure.UnitPrice(8_0000))}
}

func hundreds(had, more, left int64) BuyChange {
	return BuyChange{Item: screws, Supplier: "Yard A", Content: "100 each", Had: had, More: more, Left: left, Price: estimate.Given(measure.UnitPrice(10_0000))}
}

// Three windows are added, one was resized after its frame was cut, one is
// dropped. Arithmetic: the earlier estimate buys two boards for the legs of W1, 60
// and 60 in, one for those of W2, 48 and 48, and one for W3, 40 and 40. Now 62, 62,
// 40, 40, six of 30, and 60 and 60 cut for nothing take six boards: 62 + 30 twice,
// 60 + 30 twice, 40 + 40, 30 + 30.
// Screws: 150 before, two hundreds; 250 now, three.
func TestRevise(t *testing.T) {
	was := legged(leg{"W1", 1, 60 * in, "cut", ""}, leg{"W2", 1, 48 * in, "", ""}, leg{"W3", 1, 40 * in, "", ""})
	now := legged(leg{"W1", 1, 62 * in, "set", ""}, leg{"W3", 1, 40 * in, "", ""}, leg{"W4", 3, 30 * in, "", ""})
	assert.Equal(t, Revision{
		Marks: []MarkChange{
			{"W1", Resized, "frame", "36 x 56", "36 x 58"},
			{"W4", Added, "", "", "3 x window, frame 36 x 26"},
			{"W2", Dropped, "", "1 x window, frame 36 x 44", ""},
		},
		Cut: []WrongCut{{Mark: "W1", Item: "board-1x4", Piece: "leg", Length: 60 * in, Count: 2, Now: estimate.Given(62 * in), Sure: true}},
		Buy: []BuyChange{hundreds(2, 1, 0), had8(4, 2, 0)},
	}, Revise(was, now))
}

func TestReviseBoards(t *testing.T) {
	w1 := leg{"W1", 1, 60 * in, "", ""}
	w2 := leg{"W2", 1, 48 * in, "", ""}
	status := func(l leg, s estimate.Status) leg { l.status = s; return l }
	long := func(l leg, n measure.Length) leg { l.length = n; return l }
	held := leg{"W1", 1, 60 * in, "", "not measured"}
	wrong := func(n int64, now measure.Length, gone, sure bool) []WrongCut {
		w := WrongCut{Mark: "W1", Item: "board-1x4", Piece: "leg", Length: 60 * in, Count: n, Gone: gone, Sure: sure}
		if now > 0 {
			w.Now = estimate.Given(now)
		}
		return []WrongCut{w}
	}
	for _, c := range []struct {
		why      string
		was, now Side
		cut      []WrongCut
		boards   BuyChange
	}{
		// Boards of 96 in: two for the legs of W1, one for those of W2.
		{"nothing changed", legged(w1, w2), legged(w1, w2), nil, had8(3, 0, 0)},
		{"W1 cut since, as it was: its boards are used, not left over", legged(w1, w2), legged(status(w1, "cut"), w2), nil, had8(3, 0, 0)},
		{"cut before both", legged(status(w1, "cut"), w2), legged(status(w1, "hung"), w2), nil, had8(3, 0, 0)},
		{"dropped, never cut", legged(w1, w2), legged(w2), nil, had8(3, 0, 2)},
		{"dropped after it was cut: its boards are used up", legged(status(w1, "cut"), w2), legged(w2), wrong(2, 0, true, true), had8(3, 0, 0)},
		{"resized, and cut since: 62, 62, 48, 48 and 60, 60 cut for nothing take five", legged(w1, w2),
			legged(status(long(w1, 62*in), "cut"), w2), wrong(2, 62*in, false, false), had8(3, 2, 0),
		},
		{"measured since it was held: cut by the measurement", legged(held, w2), legged(status(long(w1, 61*in), "cut"), w2), nil, had8(3, 0, 0)},
		{"one more of a mark that is cut: two boards more", legged(status(w1, "cut"), w2), legged(leg{"W1", 2, 60 * in, "cut", ""}, w2), nil, had8(3, 2, 0)},
		{"one less of a mark that is cut", legged(leg{"W1", 2, 60 * in, "cut", ""}, w2), legged(status(w1, "cut"), w2), wrong(2, 0, false, true), had8(5, 0, 0)},
	} {
		t.Run(c.why, func(t *testing.T) {
			got := Revise(c.was, c.now)
			assert.Equal(t, c.cut, got.Cut)
			assert.Equal(t, c.boards, got.Buy[len(got.Buy)-1])
		})
	}
}

func TestReviseStock(t *testing.T) {
	was := legged(leg{"W1", 1, 60 * in, "", ""})
	was.Book.Job.OnHand = []estimate.OnHand{{Item: board.Key, Length: 60 * in, Count: 3}}
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists) // buys no board
	now := legged(leg{"W1", 1, 60 * in, "", ""})
	now.Book.Job.OnHand = []estimate.OnHand{{Item: board.Key, Length: 60 * in, Count: 99}} // the same ones: not counted again
	now.Lists.Offers = now.Lists.Offers[:1]                                                // screws alone
	got := Revise(was, now)
	assert.Equal(t, []BuyChange{hundreds(1, 0, 0), {Item: board, Content: "60", Had: 3, Left: 1}}, got.Buy)

	now = legged(leg{"W1", 2, 60 * in, "", ""})
	now.Lists.Offers = now.Lists.Offers[:1]
	got = Revise(was, now)
	assert.Equal(t, BuyChange{Item: board, State: pricing.NoPrice}, got.Buy[len(got.Buy)-1], "four legs on three boards, and nobody sells one")

	gone := legged()
	got = Revise(legged(leg{"W1", 1, 60 * in, "", ""}), gone)
	assert.Equal(t, []BuyChange{hundreds(1, 0, 1), had8(2, 0, 2)}, got.Buy, "all is left over")
}

// What the estimator bought otherwise counts: of boards whose plan still holds,
// and of those that are planned anew.
func TestReviseOverrides(t *testing.T) {
	w1 := leg{"W1", 1, 60 * in, "", ""}
	was := legged(w1)
	was.Lists.Overrides = pricing.Overrides{"board-1x4|Yard A|8 ft": 3} // two are planned
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists)
	assert.Equal(t, had8(3, 0, 1), Revise(was, legged(w1)).Buy[1])
	assert.Equal(t, had8(3, 1, 0), Revise(was, legged(leg{"W1", 2, 60 * in, "", ""})).Buy[1])
	was.Lists.Overrides["board-1x4|Yard A|8 ft"] = 1
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists)
	assert.Equal(t, had8(1, 1, 0), Revise(was, legged(w1)).Buy[1])

	was.Plan.Purchases[1] = pricing.Purchase{Item: board, State: pricing.RunAgain}
	assert.Equal(t, BuyChange{Item: board, State: "earlier: run estimate again"}, Revise(was, legged(w1)).Buy[1], "what was bought is not known")
}

// Boards that cost nothing are not spread out: the fewest are used. Ten legs of
// 30 in took four boards; of four, two are left.
func TestReviseFewestBoards(t *testing.T) {
	was := legged(leg{"W1", 5, 30 * in, "", ""})
	assert.Equal(t, had8(4, 0, 2), Revise(was, legged(leg{"W1", 2, 30 * in, "", ""})).Buy[1])
}

// A board that is bought is squared at both ends; one on hand is square. Two
// legs of 48 in fill a board of 8 ft that needs no squaring.
func TestReviseEndTrim(t *testing.T) {
	was := legged(leg{"W1", 1, 48 * in, "", ""})
	was.Book.Job.EndTrim = in
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists)
	now := was
	assert.Equal(t, had8(2, 0, 0), Revise(was, now).Buy[1])
}

func TestReviseMarks(t *testing.T) {
	was := legged(leg{"W1", 4, 60 * in, "", ""})
	now := legged(leg{"W1", 3, 60 * in, "", ""}, leg{"W1 piece 2", 1, 61 * in, "", ""})
	o, odd := &now.Takeoff.Openings[0], &now.Takeoff.Openings[1]
	o.Apart, odd.Piece = 1, 2
	o.DetailName, odd.DetailName, o.UnitCost = "set in", "set in", estimate.Given(measure.Money(41_200))
	o.Measured = estimate.Size{W: 36 * in, H: 56*in + in/8}
	was.Takeoff.Openings[0].Operation, o.Operation = estimate.Slider, estimate.Casement
	odd.Operation = estimate.Slider
	now.Book.Job.MM = true
	for _, o := range []*estimate.Sized{&was.Takeoff.Openings[0], o, odd} {
		o.Units = 1
	}
	assert.Equal(t, []MarkChange{
		{"W1", Other, "operation", "slider", "casement"},
		{"W1", Resized, "measured", "", "914.4 x 1425.6"},
		{"W1", Redetail, "detail", "", "set in"},
		{"W1", Other, "unit cost", "", "412.00"},
		{"W1 piece 2", Resized, "frame", "914.4 x 1422.4", "914.4 x 1447.8"},
		{"W1 piece 2", Redetail, "detail", "", "set in"},
	}, Revise(was, now).Marks, "one of four that measures otherwise is no other quantity")
}

// A supplier that the later estimate writes in another case is the same one.
func TestReviseSpellings(t *testing.T) {
	was, now := legged(leg{"W1", 1, 60 * in, "", ""}), legged(leg{"W1", 2, 60 * in, "", ""})
	for i := range was.Lists.Offers {
		was.Lists.Offers[i].Supplier = "YARD A"
	}
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists)
	assert.Equal(t, []BuyChange{hundreds(1, 0, 0), had8(2, 2, 0)}, Revise(was, now).Buy, "as the later one writes it")

	ordered := Ordered("order.csv", []pricing.Line{
		{Offer: line(2, "Yard A", board, "8 ft", 800), Computed: 1}, {Offer: line(3, "yard a", board, "8 ft", 800), Computed: 1},
	}, was.Book)
	assert.Len(t, ordered.Plan.Purchases, 1)
	assert.Equal(t, had8(2, 2, 0), twoAsOne(Revise(ordered, now).Buy))
}

// twoAsOne adds up the lines of boards.
func twoAsOne(rows []BuyChange) BuyChange {
	var sum BuyChange
	for _, r := range rows {
		if r.Item == board {
			r.Had, r.More, r.Left = r.Had+sum.Had, r.More+sum.More, r.Left+sum.Left
			sum = r
		}
	}
	return sum
}
