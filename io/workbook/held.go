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

// heldColumns are the columns of Held.
func (w *writer) heldColumns() []xlsx.Column[heldRow] {
	return []xlsx.Column[heldRow]{
		{Head: "Mark", Width: 9, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.Text, h.o.Mark) }},
		{Head: "Qty", Width: 6, Cell: func(h heldRow) xlsx.Cell { return xlsx.Formula(w.qtyCell(h.Opening), h.o.Qty, xlsx.Count) }},
		{Head: "What waits", Width: 10, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.Text, string(h.What)) }},
		{Head: "For what", Width: 20, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.Why) }},
		{Head: "What releases it", Width: 26, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.Do) }},
		{Head: "Pieces reserved", Width: 36, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.pieces) }},
		{Head: "On which boards (layouts on Boards)", Width: 44, Cell: func(h heldRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, h.on) }},
	}
}

// heldSheet lists what waits, for what, and what releases it.
func (w *writer) heldSheet(p *xlsx.Sheet) {
	w.top(p, "Held", "Estimated and ordered, but not to be cut yet. Its length stays reserved on the boards that are ordered.")
	p.Landscape(true)
	t := xlsx.NewTable(p, "HeldList", w.heldColumns())
	t.Header()
	if len(w.in.Takeoff.Holds) == 0 {
		t.Line(xlsx.Span{From: "Mark", Cell: xlsx.Str(xlsx.Text, "nothing is held")})
		return
	}
	pieces, on := w.reserved(), w.reservedOn()
	for _, h := range w.in.Takeoff.Holds {
		k := keptBack{h.Opening, h.Why}
		t.Row(heldRow{Hold: h, o: &w.in.Takeoff.Openings[h.Opening], pieces: pieces[k], on: on[k]})
	}
	t.Finish()
}

// keptBack is pieces that a hold keeps back: of an opening, for a reason.
type keptBack struct {
	opening int
	why     string
}

// addWords adds words to those of what is kept back.
func addWords(out map[keptBack]string, k keptBack, words string) {
	if before := out[k]; before != "" {
		words = before + "; " + words
	}
	out[k] = words
}

// reserved lists, by what is kept back, its pieces.
func (w *writer) reserved() map[keptBack]string {
	out := map[keptBack]string{}
	for _, r := range w.in.Takeoff.Requirements {
		if r.Held == "" {
			continue
		}
		words := r.Item
		if r.Pieces() {
			words = fmt.Sprintf("%d %s %s %s", r.Count, r.Item, r.Name, w.u.Words(r.Length))
		}
		addWords(out, keptBack{r.Opening, r.Held}, words)
	}
	return out
}

// reservedOn lists, by what is kept back, the layouts on the sheet Boards that
// carry it, with the stock and how many of it: "board-1x4 layout 4 (2 x 12'-0"),
// 5 (16'-0")".
func (w *writer) reservedOn() map[keptBack]string {
	out := map[keptBack]string{}
	for _, buy := range w.in.Plan.Purchases {
		for _, c := range buy.Plans {
			for k, layouts := range w.layoutsOf(c) {
				addWords(out, k, buy.Item.Key+" layout "+strings.Join(layouts, ", "))
			}
		}
	}
	return out
}

// layoutsOf names the layouts of a plan that carry pieces which are kept back:
// "4 (2 x 12'-0")".
func (w *writer) layoutsOf(c pricing.CutPlan) map[keptBack][]string {
	out := map[keptBack][]string{}
	for i, l := range c.Plan.Patterns {
		boards := map[keptBack]int{}
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			here := map[keptBack]bool{}
			for _, side := range c.On(b) {
				for _, k := range side {
					if p := c.Pieces[k]; !p.Spare() && w.in.Takeoff.Requirements[p.Requirement].Held != "" {
						here[keptBack{p.Opening, w.in.Takeoff.Requirements[p.Requirement].Held}] = true
					}
				}
			}
			for k := range here {
				boards[k]++
			}
		}
		stock := c.Problem.Stocks[c.Plan.Boards[l.First].Stock]
		for k, n := range boards {
			words := w.u.Words(stock.Length) + cutting.OnHandWords(stock)
			if n > 1 {
				words = fmt.Sprintf("%d x %s", n, words)
			}
			out[k] = append(out[k], fmt.Sprintf("%d (%s)", i+1, words))
		}
	}
	return out
}
