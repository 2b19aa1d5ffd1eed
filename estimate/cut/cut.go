// Package cut plans how pieces are cut out of boards, rolls or sticks of
// several stock lengths at the least cost. It knows lengths and prices only:
// what the pieces are for is the caller's matter.
package cut

import "sillwright/estimate/measure"

// Limits of a problem. They keep every sum within int64 and are far beyond any
// job: a stock of a kilometre, at a hundred million dollars.
const (
	MaxPieces                   = 1_000_000
	maxLength measure.Length    = 1 << 40
	maxPrice  measure.UnitPrice = 1 << 40
)

// Piece is a length to be cut, Count times. Pieces with a Length or Count of 0
// or less are left out of a plan.
type Piece struct {
	Length measure.Length
	Count  int
	Label  string // for the caller; it does not change the plan
}

// Stock is a length that can be bought, or is on hand at price 0. Available is
// how many there are; below 0, as many as wanted. Stock without a length, with a
// negative price, longer than a kilometre or dearer than a hundred million is
// left out of a plan.
type Stock struct {
	Length    measure.Length
	Price     measure.UnitPrice
	Available int
}

// Problem is one profile to be cut. Kerf is the width of the saw cut between
// two pieces; Head and Tail are squared off the ends of every board, each with
// its own saw cut. Negative values of the three count as 0.
//
// A board of length L takes the pieces w(1) … w(n) if
//
//	w(1) + … + w(n) + (n − 1) × Kerf ≤ L − Head − Tail
//
// for n pieces need n − 1 cuts between them: the last cut may run off the end.
type Problem struct {
	Pieces           []Piece
	Stocks           []Stock
	Kerf, Head, Tail measure.Length
}

// Board is one board of a plan. Stock is an index into Problem.Stocks. Pieces
// holds an index into Problem.Pieces for each piece on the board, longest
// first. Offcut is what is left after the last cut, without Tail; it is 0 when
// the blade runs off the end.
type Board struct {
	Stock  int
	Pieces []int
	Offcut measure.Length
}

// Plan is the answer to a Problem. Its boards go from the longest stock to the
// shortest, and boards that are cut alike stand together.
type Plan struct {
	Boards []Board
	Cost   measure.UnitPrice // the sum of the boards' prices
	Bound  measure.UnitPrice // no plan for the pieces on the boards costs less
	Proven bool              // Cost equals Bound: no plan is cheaper
	Short  []int             // pieces of which at least one is on no board: too long for every stock, or the stock has run out
	Method string            // how the plan was found, in words
}
