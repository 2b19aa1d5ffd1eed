package pricing

import (
	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// CutPiece is Count like pieces of a cutting plan.
type CutPiece struct {
	Requirement int // index into Takeoff.Requirements, -1 of a spare
	Opening     int // index into Takeoff.Openings, -1 of a spare
	Length      measure.Length
	Width       measure.Length // across a coil, else 0
	Count       int64
	Part, Parts int // of a piece that is joined of parts; 1 of 1 is whole
}

// Spare reports whether the piece serves no opening.
func (p CutPiece) Spare() bool { return p.Requirement < 0 }

// CutPlan is how the pieces of an item are cut. Problem.Pieces are Pieces in
// their order; of a coil, whose pieces lie side by side, they are Shelves.
type CutPlan struct {
	Pieces  []CutPiece
	Shelves [][]int // of a coil: the pieces that lie side by side, indices into Pieces
	Offers  []Offer // of Problem.Stocks, in their order; the stocks behind them are on hand
	Problem cut.Problem
	Plan    cut.Plan

	draft *cut.Draft // of a plan that may yet suit a saw better
}

// On returns the pieces of a board, indices into Pieces, in cutting order: one
// list for each length cut off, with several pieces in it when they lie side by
// side on a coil.
func (c CutPlan) On(b cut.Board) [][]int {
	out := make([][]int, len(b.Pieces))
	for i, k := range b.Pieces {
		out[i] = []int{k}
		if c.Shelves != nil {
			out[i] = c.Shelves[k]
		}
	}
	return out
}

// OnHand reports whether a board is on hand, and not bought.
func (c CutPlan) OnHand(b cut.Board) bool { return b.Stock >= len(c.Offers) }

// counts returns how many boards of each offer the plan takes.
func (c CutPlan) counts() []int64 {
	counts := make([]int64, len(c.Offers))
	for _, board := range c.Plan.Boards {
		if !c.OnHand(board) {
			counts[board.Stock]++
		}
	}
	return counts
}

// used returns the length of stock that the pieces take, of boards that are
// bought and of boards on hand.
func (c CutPlan) used(item estimate.Item) (bought, onHand int64) {
	for _, board := range c.Plan.Boards {
		for _, side := range c.On(board) {
			for _, i := range side {
				l := stockLength(c.Pieces[i].Length, c.Pieces[i].Width, item)
				if c.OnHand(board) {
					onHand += l
				} else {
					bought += l
				}
			}
		}
	}
	return bought, onHand
}
