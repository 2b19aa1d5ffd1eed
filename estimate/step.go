package estimate

import (
	"slices"

	"sillwright/estimate/measure"
)

// StepColumns are the headers of the Details sheet, in order.
var StepColumns = slices.Concat([]string{"Detail", "Step", "Do", "Item", "Rule"}, parameterColumns, []string{"With", "When", "Phase", "Basis", "Source"})

// parameterColumns are the columns of which a rule says whether it reads them.
var parameterColumns = []string{"Per", "Edges", "Along", "Each end", "Runs", "Size", "Spacing"}

// Detail is how one sort of opening is closed in: steps in the order of work.
// Step 0 has no rule; its When says which openings the detail is for.
type Detail struct {
	Name  string
	Steps []Step
}

// Step is a row of a detail, parsed once into typed parameters.
type Step struct {
	Text    StepText
	Number  string
	Do      string
	Item    string // item key, family, role of the Job sheet or board of the trim set; "" = no material
	Rule    string
	Per     Per
	Edges   []Edge
	Along   Along
	Ends    [2]End
	Runs    Runs
	Size    Section
	Spacing measure.Length
	With    map[string]measure.Length // lengths
	Offsets []measure.Length          // of beads, each from the outer edge of what they lie under; none = not stated
	Counts  map[string]int64          // counts
	Through Through                   // what a fastener passes
	When    Condition
	Phase   Phase
	Basis   string // standing of the source
	Source  string

	rule *Rule // of the name Rule; nil where there is none, which only step 0 may be
}

// Per says how often a step is done at one opening; "" is once.
type Per string

// How often steps are done.
const (
	PerOpening Per = "opening"
	PerUnit    Per = "unit"
	PerMull    Per = "mull"
)

// Edge is a side, or a point, of an opening that a step runs along.
type Edge string

// The edges. Corners are points: they have a number and no length.
const (
	Sill        Edge = "sill"
	Jambs       Edge = "jambs"
	Head        Edge = "head"
	Mullions    Edge = "mullions"
	Corners     Edge = "corners"
	HeadCorners Edge = "head corners"
	SillCorners Edge = "sill corners"
)

var edges = wordsOf(Sill, Jambs, Head, Mullions, Corners, HeadCorners, SillCorners)

// Along says which outline the edges belong to.
type Along string

// The outlines.
const (
	AlongRough Along = "rough opening"
	AlongUnit  Along = "unit"
	AlongFrame Along = "frame"
	// AlongOutside is the outside of the brickmould; without one, the frame.
	AlongOutside Along = "outside"
	AlongFlange  Along = "flange"
	AlongPan     Along = "pan"
	AlongTrim    Along = "trim"
)

var alongs = wordsOf(AlongRough, AlongUnit, AlongFrame, AlongOutside, AlongFlange, AlongPan, AlongTrim)

// End is what a piece runs past (or, negative, stops short of) one end of its
// edge: Widths times the tape's own width, plus Plus.
type End struct {
	Widths int64
	Plus   measure.Length
}

// Of returns the length for tape of a width.
func (e End) Of(width measure.Length) measure.Length {
	return measure.Length(e.Widths)*width + e.Plus
}

// Runs is how many runs lie side by side: a number, by the depth of the wall,
// or steps by board width.
type Runs struct {
	Wall  bool
	Steps []RunStep // the last has no limit
}

// RunStep is N runs on boards up to a width.
type RunStep struct {
	N    int64
	UpTo measure.Length // 0 = no limit
}

// For returns the number of runs on a board of a width.
func (r Runs) For(width measure.Length) int64 {
	for _, s := range r.Steps {
		if s.UpTo == 0 || width <= s.UpTo {
			return s.N
		}
	}
	return 1
}

// Shape is the form of a section.
type Shape string

// The forms of sections.
const (
	Round     Shape = "round"
	Square    Shape = "square"
	Fillet    Shape = "fillet"
	Rectangle Shape = "rectangle"
	OfGap     Shape = "gap" // as wide as the gap of the joint
)

// Section is the cross-section of a bead or filling.
type Section struct {
	Shape Shape
	A, B  measure.Length
	Clamp bool // depth by the joint rule
}
