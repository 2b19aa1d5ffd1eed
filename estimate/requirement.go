package estimate

import "sillwright/estimate/measure"

// Requirement is what one step asks for at one mark, for ONE opening of the
// mark; the job needs Qty times as much. It is either pieces (Count pieces of
// Length, and of Second across for sheet metal) or an amount. A step without
// material has no Item.
type Requirement struct {
	Opening int // index into Takeoff.Openings
	Detail  string
	Step    string
	Do      string
	Visit   Visit
	Rule    string
	Role    FrameRole // by its rule
	Item    string    // key
	Dim     Dimension

	Count   int64          // pieces of one opening; 0 = an amount
	Length  measure.Length // of a piece
	Second  measure.Length // width of a piece cut from a coil; 0 = the item's own
	Name    string         // head, leg, sill strip …: what the piece is called
	Held    string         // why the piece must not be cut yet; "" = released
	Pair    bool           // pieces of one opening are cut at one setting
	Factory bool           // wants a factory end
	// Done says that the piece is cut already: a trim board of a mark whose
	// status is cut or hung. It stays in the takeoff, so that the mark's cost
	// shows; plans for cutting and buying leave it out.
	Done bool

	Amount int64 // of one opening, base units of Dim; for pieces Count × Length (× Second / coil)

	Inputs string // inputs in words
	Source string
	Place  Place // of the step
}

// Pieces reports whether the requirement is pieces to cut.
func (r Requirement) Pieces() bool { return r.Count > 0 }

// Held is what can wait at a mark.
type Held string

// What can wait.
const (
	HoldTrim Held = "trim"
	HoldPan  Held = "pan"
)

// Hold is something that waits: what, at which mark, for what.
type Hold struct {
	Opening int
	What    Held
	Why     string
	Do      string // what releases it
}

// Takeoff is everything the openings of a job need.
type Takeoff struct {
	Openings     []Sized       // in natural order of their marks
	Requirements []Requirement // by opening, then by step
	Holds        []Hold
}

// byOpening returns what each opening requires.
func (t *Takeoff) byOpening() [][]Requirement {
	out := make([][]Requirement, len(t.Openings))
	for from, i := 0, 0; from < len(t.Requirements); from = i {
		opening := t.Requirements[from].Opening
		for i = from + 1; i < len(t.Requirements) && t.Requirements[i].Opening == opening; i++ {
		}
		out[opening] = t.Requirements[from:i]
	}
	return out
}

// Sized is an opening with every size known and its detail chosen.
type Sized struct {
	Opening
	DetailName string
	Layout     string // trim layout, NoTrim = none
	TrimSize   Size   // what the trim goes round: the largest outside reading, else the frame
	Mull       measure.Length
	Widths     []measure.Length // of the units, left to right; stacked units are all as wide as the frame
	OnSite     string           // why the trim frame is put together on site; "" = in the shop
	Piece      int64            // the odd piece that this line is for; 0 = the line is for the mark
	Apart      int64            // pieces of the mark that have lines of their own; Qty is without them
	RoughFrom  string           // "given" or how it was derived
	FrameFrom  string
	Doubt      string // what puts the measurement in doubt, and holds the trim; "" = nothing
	Order      int    // row order of the schedule, from 0
}
