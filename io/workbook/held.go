package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/pricing"
)

// heldSheet lists what waits, for what, and what releases it.
func (w *writer) heldSheet() {
	p := w.held
	w.top(p, "Held", "Estimated and ordered, but not to be cut yet. Its length stays reserved on the boards that are ordered.")
	header := p.row(strs(heading, "Mark", "Qty", "What waits", "For what", "What releases it", "Pieces reserved", "On which boards (layouts on Boards)")...)
	for _, h := range w.in.Takeoff.Holds {
		o := w.in.Takeoff.Openings[h.Opening]
		p.row(str(text, o.Mark), formula(w.qtyCell(h.Opening), o.Qty, count), str(text, h.What), str(textWrap, h.Why), str(textWrap, h.Do), str(textWrap, w.reserved(h)), str(textWrap, w.reservedOn(h)))
	}
	if len(w.in.Takeoff.Holds) == 0 {
		p.row(str(text, "nothing is held"))
	} else {
		p.finish("HeldList", header, 7, 0)
	}
	p.landscape(true)
	p.widths(9, 6, 10, 20, 26, 36, 44)
}

// reserved lists the pieces of one opening that a hold keeps back.
func (w *writer) reserved(h estimate.Hold) string {
	b := w.blocks[h.Opening]
	var out []string
	for row := b[0]; row > 0 && row <= b[1]; row++ {
		r := w.in.Takeoff.Requirements[row-firstRow]
		if r.Held != h.Why {
			continue
		}
		if r.Pieces() {
			out = append(out, fmt.Sprintf("%d %s %s %s", r.Count, r.Item, r.Name, w.u.words(r.Length)))
		} else {
			out = append(out, r.Item)
		}
	}
	return strings.Join(out, "; ")
}

// reservedOn lists the layouts on the sheet Boards that carry the pieces which a
// hold keeps back, with the stock and how many of it: "board-1x4 layout 4 (2 x
// 12'-0")".
func (w *writer) reservedOn(h estimate.Hold) string {
	var out []string
	for _, buy := range w.in.Plan.Purchases {
		for _, c := range buy.Plans {
			if layouts := w.layoutsOf(h, c); len(layouts) > 0 {
				out = append(out, buy.Item.Key+" layout "+strings.Join(layouts, ", "))
			}
		}
	}
	return strings.Join(out, "; ")
}

// layoutsOf names the layouts of a plan that carry pieces which a hold keeps
// back: "4 (2 x 12'-0")".
func (w *writer) layoutsOf(h estimate.Hold, c pricing.CutPlan) (out []string) {
	for i, l := range c.Plan.Layouts {
		boards := 0
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			if slices.ContainsFunc(slices.Concat(c.On(b)...), func(k int) bool { return w.keepsBack(h, c.Pieces[k]) }) {
				boards++
			}
		}
		if boards == 0 {
			continue
		}
		stock := c.Problem.Stocks[c.Plan.Boards[l.First].Stock]
		words := w.u.words(stock.Length) + onHandWords(stock)
		if boards > 1 {
			words = fmt.Sprintf("%d x %s", boards, words)
		}
		out = append(out, fmt.Sprintf("%d (%s)", i+1, words))
	}
	return out
}

// keepsBack reports whether a hold keeps a piece back.
func (w *writer) keepsBack(h estimate.Hold, p pricing.CutPiece) bool {
	return !p.Spare() && p.Opening == h.Opening && w.in.Takeoff.Requirements[p.Requirement].Held == h.Why
}
