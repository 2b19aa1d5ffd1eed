package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/pricing"
)

// heldSheet lists what waits, for what, and what releases it.
func (w *writer) heldSheet() {
	p := w.held
	w.top(p, "Held", "Estimated and ordered, but not to be cut yet. Its length stays reserved on the boards that are ordered.")
	header := p.row(strs(heading, "Mark", "Qty", "What waits", "For what", "What releases it", "Pieces reserved", "On which boards (layouts on Boards)")...)
	on := w.reservedOn()
	for _, h := range w.in.Takeoff.Holds {
		o := w.in.Takeoff.Openings[h.Opening]
		p.row(str(text, o.Mark), formula(w.qtyCell(h.Opening), o.Qty, count), str(text, string(h.What)), str(textWrap, h.Why), str(textWrap, h.Do), str(textWrap, w.reserved(h)), str(textWrap, on[keptBack{h.Opening, h.Why}]))
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

// keptBack is pieces that a hold keeps back: of an opening, for a reason.
type keptBack struct {
	opening int
	why     string
}

// reservedOn lists, by what is kept back, the layouts on the sheet Boards that
// carry it, with the stock and how many of it: "board-1x4 layout 4 (2 x 12'-0"),
// 5 (16'-0")".
func (w *writer) reservedOn() map[keptBack]string {
	out := map[keptBack]string{}
	for _, buy := range w.in.Plan.Purchases {
		for _, c := range buy.Plans {
			for k, layouts := range w.layoutsOf(c) {
				words := buy.Item.Key + " layout " + strings.Join(layouts, ", ")
				if before := out[k]; before != "" {
					words = before + "; " + words
				}
				out[k] = words
			}
		}
	}
	return out
}

// layoutsOf names the layouts of a plan that carry pieces which are kept back:
// "4 (2 x 12'-0")".
func (w *writer) layoutsOf(c pricing.CutPlan) map[keptBack][]string {
	out := map[keptBack][]string{}
	for i, l := range c.Plan.Layouts {
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
			words := w.u.words(stock.Length) + onHandWords(stock)
			if n > 1 {
				words = fmt.Sprintf("%d x %s", n, words)
			}
			out[k] = append(out[k], fmt.Sprintf("%d (%s)", i+1, words))
		}
	}
	return out
}
