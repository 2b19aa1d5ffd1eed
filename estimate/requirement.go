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
	Phase   Phase
	Rule    string
	Role    FrameRole // by its rule
	Item    string    // key
	Dim     Dimension

	Count   int64          // pieces of one opening; 0 = an amount
	Length  measure.Length // of a piece
	Second  measure.Length // width of a piece cut from a coil; 0 = the item's own
	Name    string         // head, leg, sill tape …: what the piece is called
	Held    string         // why the piece must not be cut yet; "" = released
	Pair    bool           // pieces of one opening are cut at one setting
	Factory bool           // one end is to be a factory end
	Patch   bool           // any tape that is as wide would do
	Widest  measure.Length // of backer rod: the thickest that serves
	Cut     bool           // it is cut already, and planned on what it was cut from

	Run measure.Length // of a bead, a joint or a cavity: how long it is at one opening

	Amount int64 // of one opening, base units of Dim; for pieces Count × Length (× Second / coil)

	Inputs string // inputs in words
	Source string
	Place  Place // of the step
}

// Pieces reports whether the requirement is pieces to cut.
func (r Requirement) Pieces() bool { return r.Count > 0 }

// pieces returns a requirement of n pieces of an item.
func pieces(it Item, n int64, l measure.Length, name, how string) Requirement {
	return Requirement{Item: it.Key, Dim: Lengthwise, Count: n, Length: l, Name: name, Amount: n * int64(l), Inputs: how}
}

// amount returns a requirement of an amount of an item.
func amount(it Item, d Dimension, n int64, how string) Requirement {
	return Requirement{Item: it.Key, Dim: d, Amount: n, Inputs: how}
}

func one(r Requirement) []Requirement {
	if r.Amount <= 0 {
		return nil
	}
	return []Requirement{r}
}
