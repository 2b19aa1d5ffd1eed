package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// boardsSheet writes how the boards, sticks, rolls and coils were planned, a
// row each: what is cut from it, for which mark, and what is left. Held pieces
// are on the same boards, marked, so that measuring them later needs no more.
func (w *writer) boardsSheet() {
	p := w.boards
	w.top(p, "Boards", "How each board, stick, roll and coil was planned, longest pieces first. HELD = leave that length whole until it is measured.")
	heads := []string{"Item", "No.", "Stock", "Pieces", "Kerf", "Left over", "Left over, " + w.u.name(estimate.Lengthwise)}
	p.row(strs(heading, heads...)...)
	for _, buy := range w.in.Plan.Purchases {
		n := 0
		for _, plan := range buy.Plans {
			for _, b := range plan.Plan.Boards {
				n++
				p.row(str(text, buy.Item.Key), num(n, count), str(textRight, w.u.words(plan.Problem.Stocks[b.Stock].Length)),
					str(textWrap, w.boardWords(plan, b)), str(textRight, w.u.words(plan.Problem.Kerf)), str(textRight, w.u.words(b.Offcut)), num(w.u.length(b.Offcut), inches))
			}
		}
	}
	p.widths(19, 6, 12, 96, 9, 13, 12)
	p.printCols(6)
	p.finish("BoardPlan", firstRow-1, len(heads), 1)
}

// boardWords lists what is cut from a board. Like pieces of a mark stand
// together; pieces side by side on a coil are joined by a plus.
func (w *writer) boardWords(plan pricing.CutPlan, b cut.Board) string {
	type run struct {
		words string
		n     int
	}
	var runs []run
	for _, cutOff := range plan.On(b) {
		var side []string
		for _, i := range cutOff {
			side = append(side, w.pieceWords(plan.Pieces[i]))
		}
		words := strings.Join(side, " + ")
		if k := len(runs); k > 0 && runs[k-1].words == words {
			runs[k-1].n++
			continue
		}
		runs = append(runs, run{words, 1})
	}
	out := make([]string, len(runs))
	for i, r := range runs {
		out[i] = r.words
		if r.n > 1 {
			out[i] = fmt.Sprintf("%d x %s", r.n, r.words)
		}
	}
	return strings.Join(out, "; ")
}

// pieceWords names one piece: its length, its mark and what it is.
func (w *writer) pieceWords(c pricing.CutPiece) string {
	words := w.shopWords(c.Length)
	if c.Width > 0 {
		words += " by " + w.shopWords(c.Width)
	}
	if c.Spare() {
		return words + " spare"
	}
	r := w.in.Takeoff.Requirements[c.Requirement]
	words += " " + w.in.Takeoff.Openings[c.Opening].Mark + " " + r.Name
	if c.Parts > 1 {
		words += fmt.Sprintf(" part %d of %d", c.Part, c.Parts)
	}
	if r.Held != "" {
		words += " HELD"
	}
	return words
}

// shopWords writes a length as the saw is set.
func (w *writer) shopWords(l measure.Length) string {
	if w.u.mm {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, 32)
}
