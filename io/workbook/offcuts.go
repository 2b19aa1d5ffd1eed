package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// remnant is a length that is left over, so many times, and what it is for.
type remnant struct {
	item   string
	length measure.Length
	count  int
	notes  string
}

// offcutsSheet lists what the plans leave over, in the form of the sheet On
// hand: when all is cut, and before that, when what is held waits.
func (w *writer) offcutsSheet() {
	p := w.offcuts
	useful := w.in.Book.Job.UsefulOffcut
	w.top(p, "Offcuts", "What the plans on Boards leave over. Paste the lines of a list into the sheet On hand of the next schedule, or of this one.")
	w.remnants(p, "When all is cut: "+w.u.words(useful)+" or longer (useful offcut, on Job)", w.usefulOffcuts(useful))
	if waiting := w.waitingBoards(useful); len(waiting) > 0 {
		p.skip(1)
		w.remnants(p, "When only the trim frames that are released are cut: whole boards, and boards with room reserved", waiting)
		p.row(str(subtitle, "After that day in the shop: put this list on On hand, set Status to cut for the marks that are, type the readings of the others, and estimate again."))
	}
	p.widths(20, 16, 9, 70, 12)
	p.freeze(firstRow-2, 0)
}

// remnants writes a list under a heading.
func (w *writer) remnants(p *page, head string, list []remnant) {
	p.row(str(section, head))
	p.row(strs(heading, append(slices.Clone(onHandHeads), "Length, "+w.u.name(estimate.Lengthwise))...)...)
	for _, r := range list {
		p.row(str(text, r.item), str(textRight, w.u.words(r.length)), num(r.count, count), str(textWrap, r.notes), num(w.u.length(r.length), inches))
	}
	if len(list) == 0 {
		p.row(str(text, "none"))
	}
}

// usefulOffcuts returns what the plans leave over of at least a length, in the
// order of the purchases, the longest of each item first.
func (w *writer) usefulOffcuts(least measure.Length) []remnant {
	offcut := func(b cut.Board) (measure.Length, string) { return b.Offcut, "" }
	return w.gather(least, func(pricing.CutPlan) boardRest { return offcut })
}

// waitingBoards returns what is left of the boards for trim when only the trim
// frames that are released have been cut; nothing if none waits. Other items are
// not touched on that day.
func (w *writer) waitingBoards(least measure.Length) []remnant {
	waits := false
	list := w.gather(least, func(c pricing.CutPlan) boardRest {
		if !slices.ContainsFunc(c.Pieces, w.isTrim) {
			return nil
		}
		return func(b cut.Board) (measure.Length, string) {
			left := c.Problem.Stocks[b.Stock].Length
			if !c.Problem.Stocks[b.Stock].Square {
				left -= c.Problem.Head + c.Problem.Tail
			}
			var reserved []string
			for i, on := range c.On(b) {
				names := w.waiting(c, on)
				if len(names) == 0 {
					left -= c.Problem.Pieces[b.Pieces[i]].Length + c.Problem.Kerf
					continue
				}
				reserved = append(reserved, names...)
			}
			waits = waits || len(reserved) > 0
			if len(reserved) == 0 {
				return b.Offcut, ""
			}
			return left, "for " + countedWords(reserved)
		}
	})
	if !waits {
		return nil
	}
	return list
}

// boardRest returns what is left of a board, and what is to be said of it.
type boardRest func(cut.Board) (measure.Length, string)

// isTrim reports whether a piece is of a trim frame.
func (w *writer) isTrim(p pricing.CutPiece) bool {
	return !p.Spare() && w.in.Takeoff.Requirements[p.Requirement].Role == estimate.RoleBoard
}

// waiting names the pieces, cut off as one, that are not cut with the trim frames
// that are released: none if they are.
func (w *writer) waiting(c pricing.CutPlan, on []int) (names []string) {
	held := false
	for _, k := range on {
		piece := c.Pieces[k]
		if piece.Spare() {
			held = true
			names = append(names, w.u.shop(piece.Length)+" spare")
			continue
		}
		r := w.in.Takeoff.Requirements[piece.Requirement]
		held = held || r.Held != "" || !w.isTrim(piece)
		names = append(names, fmt.Sprintf("%s %s %s", w.u.shop(piece.Length), w.in.Takeoff.Openings[piece.Opening].Mark, r.Name))
	}
	if !held {
		return nil
	}
	return names
}

// countedWords joins words, like ones counted.
func countedWords(words []string) string {
	var out []string
	for len(words) > 0 {
		n := 1
		for n < len(words) && words[n] == words[0] {
			n++
		}
		w := words[0]
		if n > 1 {
			w = fmt.Sprintf("%d x %s", n, w)
		}
		out, words = append(out, w), words[n:]
	}
	return strings.Join(out, ", ")
}

// gather lists what is left of every board, like lengths of an item for the same
// purpose together, the longest of each item first. What is for no purpose is
// left out below a length.
func (w *writer) gather(least measure.Length, of func(pricing.CutPlan) boardRest) (list []remnant) {
	type same struct {
		length measure.Length
		notes  string
	}
	for _, buy := range w.in.Plan.Purchases {
		first, at := len(list), map[same]int{}
		for _, c := range buy.Plans {
			rest := of(c)
			if rest == nil {
				continue
			}
			for _, b := range c.Plan.Boards {
				length, notes := rest(b)
				if length <= 0 || notes == "" && length < least {
					continue
				}
				k := same{length, notes}
				if _, known := at[k]; !known {
					at[k] = len(list)
					list = append(list, remnant{item: buy.Item.Key, length: length, notes: notes})
				}
				list[at[k]].count++
			}
		}
		slices.SortStableFunc(list[first:], func(a, b remnant) int { return cmp.Compare(b.length, a.length) })
	}
	return list
}
