package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/cutting"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// heldRow is a hold with what it keeps back.
type heldRow struct {
	estimate.Hold
	o          *estimate.Sized
	pieces, on string // what is reserved, and on which boards
}

// heldColumns are the columns of On hold.
func (w *writer) heldColumns() []xlsx.Column[heldRow] {
	return []xlsx.Column[heldRow]{
		{Head: "Mark", Width: 9, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.Text, h.o.Mark) }},
		{Head: "Qty", Width: 6, Cell: func(h heldRow) xlsx.Cell { return xlsx.Formula(w.qtyCell(h.Opening), h.o.Qty, xlsx.Count) }},
		{Head: "Item", Width: 10, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.Text, string(h.What)) }},
		{Head: "Reason", Width: 20, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.Why) }},
		{Head: "Released by", Width: 26, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.Do) }},
		{Head: "Pieces not to cut", Width: 36, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.pieces) }},
		{Head: "Patterns on Boards", Width: 44, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.on) }},
	}
}

// heldSheet lists what is not to be cut yet, the reason, and what releases it.
func (w *writer) heldSheet(p *xlsx.Sheet) {
	w.top(p, "On hold", "Do not cut yet: estimated and ordered, its length kept on the boards that are ordered.")
	p.Landscape(true)
	t := xlsx.NewTable(p, "OnHoldList", w.heldColumns())
	t.Header()
	if len(w.in.Takeoff.Holds) == 0 {
		t.Line(xlsx.Span{From: "Mark", Cell: xlsx.Str(xlsx.Text, "nothing is on hold")})
		return
	}
	pieces, on := w.reserved(), w.reservedOn()
	for _, h := range w.in.Takeoff.Holds {
		k := keptBack{w.in.Takeoff.Openings[h.Opening].Mark, h.Why}
		t.Row(heldRow{Hold: h, o: &w.in.Takeoff.Openings[h.Opening], pieces: pieces[k], on: on[k]})
	}
	t.Finish()
}

// keptBack is pieces that a hold keeps back: of an opening, for a reason.
type keptBack struct{ mark, why string }

// addWords adds words to those of what is kept back.
func addWords(out map[keptBack]string, k keptBack, words string) {
	if before := out[k]; before != "" {
		words = before + "; " + words
	}
	out[k] = words
}

// reserved lists, by what is kept back, its pieces.
func (w *writer) reserved() map[keptBack]string {
	out, tight := map[keptBack]string{}, w.tight()
	for i, r := range w.in.Takeoff.Requirements {
		if r.Held == "" {
			continue
		}
		words := w.shortName(r.Item)
		if r.Pieces() {
			words = fmt.Sprintf("%d x %s %s, %s", r.Count, r.Name, w.u.Words(r.Length), words)
		}
		if tight[i] {
			words += " (its extra length does not fit the stock: measure before it is cut)"
		}
		addWords(out, keptBack{w.in.Takeoff.Openings[r.Opening].Mark, r.Held}, words)
	}
	return out
}

// tight are the requirements whose extra length their stock does not give.
func (w *writer) tight() map[int]bool {
	out := map[int]bool{}
	for _, buy := range w.in.Plan.Purchases {
		for _, row := range buy.Tight {
			out[row] = true
		}
	}
	return out
}

// reservedOn lists, by what is kept back, the patterns on the sheet Boards that
// carry it, with the stock and how many of it: "Trim board
// 1x4, pattern 4 (2 x 12'-0"), 5 (16'-0")".
func (w *writer) reservedOn() map[keptBack]string {
	out := map[keptBack]string{}
	pieces, purchases := w.cuts()
	for _, buy := range purchases {
		for _, c := range buy.Plans {
			for k, patterns := range pieces.patternsOf(c) {
				addWords(out, k, shortName(buy.Item)+", pattern "+strings.Join(patterns, ", "))
			}
		}
	}
	return out
}

// patternsOf names the patterns of a plan that carry pieces which are kept back:
// "4 (2 x 12'-0")".
func (t takeoffPieces) patternsOf(c pricing.CutPlan) map[keptBack][]string {
	out := map[keptBack][]string{}
	for i, l := range c.Plan.Patterns {
		boards := map[keptBack]int{}
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			here := map[keptBack]bool{}
			for _, side := range c.On(b) {
				for _, k := range side {
					if r := t.requirement(c.Pieces[k]); r != nil && r.Held != "" {
						here[keptBack{t.takeoff.Openings[r.Opening].Mark, r.Held}] = true
					}
				}
			}
			for k := range here {
				boards[k]++
			}
		}
		stock := c.Problem.Stocks[c.Plan.Boards[l.First].Stock]
		for k, n := range boards {
			words := t.u.Words(stock.Length) + cutting.OnHandWords(stock)
			if n > 1 {
				words = fmt.Sprintf("%d x %s", n, words)
			}
			out[k] = append(out[k], fmt.Sprintf("%d (%s)", i+1, words))
		}
	}
	return out
}
