package cut

import "sillwright/estimate/measure"

// Limits of a problem. They keep every sum within int64 and are far beyond any job: a stock of a
// kilometer, at a hundred million dollars.
const (
	MaxPieces                   = 1_000_000
	maxLength measure.Length    = 1 << 40
	maxPrice  measure.UnitPrice = 1 << 40
)

// Piece is a length to be cut, Count times. Pieces with a Length or Count of 0 or less are left out
// of a plan. The flags never change what a plan costs.
type Piece struct {
	Length     measure.Length
	Count      int
	Label      string // for the caller; it does not change the plan
	Held       bool   // on hold: assigned after others of its length, so that it is on the last boards
	FactoryEnd bool   // needs a factory end
	Pair       bool   // comes in pairs that should be cut from one board
}

// Stock is a length that can be bought, or is on hand at price 0. Available is how many there are;
// below 0, as many as wanted. Stock without a length, with a negative price, longer than a kilometer
// or more expensive than a hundred million dollars is left out of a plan.
type Stock struct {
	Length    measure.Length
	Price     measure.UnitPrice
	Available int
	Trimmed   bool // its ends are square already: no end trim is cut off
}

// Problem is one profile to be cut. Kerf is the width of the saw cut between two pieces; HeadTrim
// and TailTrim are cut off the ends of every board that is not Trimmed, each with its own saw cut.
// Negative values of the three count as 0.
//
// A board of length L takes the pieces w(1) … w(n) if
//
//	w(1) + … + w(n) + (n − 1) × Kerf ≤ L − HeadTrim − TailTrim
//
// for n pieces need n − 1 cuts between them: the last cut may run off the end.
type Problem struct {
	Pieces                   []Piece
	Stocks                   []Stock
	Kerf, HeadTrim, TailTrim measure.Length
	Effort                   float64 // multiplies the work that may be spent; 0 or less is 1
	Roll                     bool    // cut off a roll, without a stop to set: a long single offcut comes before few patterns
}

// Board is one board of a plan. Stock is an index into Problem.Stocks. Pieces holds an index into
// Problem.Pieces for each piece on the board, in cutting order: longest first, but for pieces
// that get a factory end, which are the first, the last or both. Offcut is what is left after the
// last cut, without TailTrim; it is 0 when the blade runs off the end.
type Board struct {
	Stock  int
	Pieces []int
	Offcut measure.Length
}

// Pattern is a cutting pattern: Count boards with the same pieces by length, cut from the same stock:
// Plan.Boards from First on.
type Pattern struct{ First, Count int }

// Plan is the answer to a Problem. Its boards go from the longest stock to the shortest, and boards
// of one pattern are together.
type Plan struct {
	Boards       []Board
	Patterns     []Pattern
	Cost         measure.UnitPrice // the sum of the boards' prices
	Bound        measure.UnitPrice // lower bound: no plan for the pieces on the boards costs less
	Proven       bool              // Cost equals Bound: no plan is cheaper
	Unplaced     []int             // pieces of which at least one is on no board: too long for every stock, or the stock has run out
	FirstFitCost measure.UnitPrice // what first fit decreasing costs, see Solve; 0 when it leaves pieces out
	Method       string            // what closed the gap: "greedy", "dive", "pattern program", "tree" or "work limit"
	Work         int64             // steps of the search
	Grid         measure.Length    // the unit that lengths were rounded to; 0 is exact

	// On a grid that rounds the lengths, pieces are planned as long as the next unit: no plan on that
	// grid costs less than GridBound, which is Bound if Grid is 0.
	GridBound measure.UnitPrice

	// StopSettings is how often the saw's stop is set if every board is cut by itself: the sum over
	// the boards of the different lengths on each. AtFactoryEnds is the pieces at a factory end, of
	// those that need one.
	StopSettings, AtFactoryEnds int

	// OffcutBound is a bound on the longest single offcut: no plan of this cost on no more boards leaves
	// a longer one. It is 0 if only the cost was asked for, or Grid is set. OffcutProven says that none
	// leaves one an inch longer than LongestOffcut.
	LongestOffcut, OffcutBound measure.Length
	OffcutProven               bool
}

// Gap returns the difference between the cost and its lower bound.
func (p Plan) Gap() measure.UnitPrice { return p.Cost - p.Bound }
