package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// FrameState is how far the work at a trim frame has come.
type FrameState string

// The states of a trim frame.
const (
	FrameHeld  FrameState = "held"   // not to be cut yet
	FrameToCut FrameState = "to cut" // released
	FrameCut   FrameState = "cut"
	FrameHung  FrameState = "hung"
)

// Frame is a distinct trim frame: what the shop needs to know of all frames
// that are alike in every piece and in their state.
type Frame struct {
	Marks       []FrameMark // in the order of the takeoff
	Count       int64       // frames, of all marks
	State       FrameState
	Layout      string
	Size        Size           // what it goes round
	Gap         Gaps           // joint to what it goes round
	Outside     Size           // horns and overhang included
	Diagonal    measure.Length // both, corner to corner; they may differ by SquareTolerance
	Pieces      []FramePiece
	Joints      int64 // of one frame
	Needs       []FrameNeed
	MullCenters []measure.Length
	MullFrom    string         // from where MullCenters are measured
	MullJoint   measure.Length // between the units
	MullRip     measure.Length // the width of the casing over it; 0 = to suit
	Spreader    measure.Length // between the feet of a three-sided frame, from an offcut; 0 = none
	OnSite      string         // why it is put together on site; "" = in the shop
	Nail        measure.Length // least length of its nails
	Notes       []string       // what the pieces do not say
}

// FrameMark is a mark that a frame serves.
type FrameMark struct {
	Opening int // index into Takeoff.Openings
	Mark    string
	Count   int64
	Held    string // why it must not be cut yet; "" = it may
	Release string // what releases it
	// Joint is the widest joint at the legs: the frame is cut to the largest
	// reading, and stands off more where the unit is narrower.
	Joint measure.Length
}

// FramePiece is one sort of piece of a frame.
type FramePiece struct {
	Name      PieceName
	Item      string // key
	Width     measure.Length
	Thickness measure.Length
	Length    measure.Length // of a mitered piece over its long points
	Count     int64          // in one frame
	Ends      string         // how the ends are made: which is square, bored, mitered
	Bored     int64          // bored ends of each
	Mitered   int64          // mitered ends of each
	Miter     int64          // saw angle from square in tenths of a degree; 0 = no miter, or two angles
	Factory   string         // which end is to be the factory end; "" = neither
	Prime     int64          // ends of each to prime
	Screws    int64          // pocket screws at each bored end; 0 = the detail has none
	Rows      int64          // of nails along each; 0 = the detail nails none
	PerRow    int64
	Misses    string // which of its nails miss the framing; "" = none
}

// Frames returns the distinct trim frames of a takeoff in the order of their
// first marks. What is held, released, cut and hung stands apart. Openings
// without trim, or whose trim cannot be worked out, have none.
func Frames(b Book, t Takeoff) []Frame {
	needs := t.byOpening()
	holds := map[int]Hold{}
	for _, h := range t.Holds {
		if h.What == HoldTrim {
			holds[h.Opening] = h
		}
	}
	var out []Frame
	at := map[string]int{}
	for i := range t.Openings {
		o := &t.Openings[i]
		if o.Layout == NoTrim {
			continue
		}
		trim, err := trimOf(o, &b.Job, b.Items, b.Layouts)
		if err != nil || len(trim.pieces) == 0 {
			continue
		}
		f := trim.frame(o, &b, needs[i])
		hold, held := holds[i]
		f.State = stateOf(o, held)
		key := fmt.Sprintf("%+v", f) // all that is alike
		k, again := at[key]
		if !again {
			k = len(out)
			at[key] = k
			out = append(out, f)
		}
		out[k].Count += o.Qty
		out[k].Marks = append(out[k].Marks, FrameMark{Opening: i, Mark: o.Mark, Count: o.Qty, Held: hold.Why, Release: hold.Do, Joint: o.widestJoint(f.Gap.Legs)})
	}
	return out
}

// widestJoint returns the joint at a leg where the unit is narrowest.
func (o *Sized) widestJoint(gap measure.Length) measure.Length {
	widths, _ := o.spans(ReadAtFrame)
	return gap + widths.spread()/2
}

func stateOf(o *Sized, held bool) FrameState {
	switch {
	case o.Status.Done(PhaseTrim):
		return FrameHung
	case o.Status == StatusCut:
		return FrameCut
	case held:
		return FrameHeld
	}
	return FrameToCut
}

// frame returns the frame without its marks and state.
func (t trim) frame(o *Sized, b *Book, needs []Requirement) Frame {
	out := t.outside()
	f := Frame{
		Layout: o.Layout, Size: o.TrimSize, Gap: t.sizes.Gap, Outside: out, OnSite: o.OnSite,
		Diagonal: FrameDiagonal(t.width(HeadPiece), t.width(BottomPiece), out.H),
		Joints:   t.corners(),
		Notes:    t.notes(o),
	}
	f.MullCenters, f.MullFrom = o.mullCenters(t.sizes.Gap, b.Job.Brickmould)
	if len(f.MullCenters) == 0 {
		f.MullFrom = ""
	} else {
		f.MullJoint = o.trimMull(b.Job.Brickmould)
	}
	if t.spread(o) {
		f.Spreader = t.sizes.Inside().W
	}
	screws, rows := stepOf(b, needs, RoleScrews), stepOf(b, needs, RoleNails)
	for _, p := range t.pieces {
		f.Joints += p.Number * p.Bored
		piece := t.framePiece(p)
		switch {
		case p.Bored == 0:
		case screws != nil:
			piece.Screws = screws.Runs.For(p.Item.Width)
		default: // the detail screws no frame together: its boards are put up one by one
			f.Joints -= p.Number * p.Bored
			piece.Bored, piece.Ends = 0, "square, none bored: nailed up in place"
		}
		if p.Board == MullBoard && o.studsBetween() {
			f.MullRip = CasingBetween(f.MullJoint, p.Item.Width, t.sizes.Gap.Legs, b.Job.MinJoint)
		}
		if rows != nil && p.Board == MullBoard && !o.studsBetween() {
			piece.Misses = t.misses(p, o, &b.Job)
		} else if rows != nil {
			piece.Rows, piece.PerRow = Spaced(p.Length, rows.With["end"], rows.Spacing), rows.Runs.For(p.Item.Width)
			piece.Misses = t.misses(p, o, &b.Job)
			f.Nail = max(f.Nail, NailLength(p.Item.Thickness, b.Job.Sheathing, b.Job.Insulation, b.Job.Penetration))
		}
		f.Pieces = append(f.Pieces, piece)
	}
	for _, r := range needs {
		if r.Role == "" || r.Role == RoleBoard {
			continue
		}
		item, _ := b.Items.Get(r.Item)
		f.Needs = append(f.Needs, FrameNeed{r.Role, r.Item, r.Do, r.Dim, r.Amount, f.why(item, r), item.Notes})
	}
	return f
}

func (t trim) framePiece(p TrimPiece) FramePiece {
	out := FramePiece{
		Name: p.Piece, Item: p.Item.Key, Width: p.Item.Width, Thickness: p.Item.Thickness, Length: p.Length, Count: p.Number,
		Ends: p.Ends, Bored: p.Bored, Mitered: p.Mitered, Prime: 2,
	}
	if p.Mitered > 0 && (p.Piece != LegPiece || t.sizes.HeadBoard == t.sizes.Bottom) {
		out.Miter = MiterAngle(p.Item.Width, t.across(p))
	}
	switch {
	case !p.Pair || p.Mitered > 0:
	case p.Bored > 1: // its foot stands on the bottom board
		out.Factory = "at the lower joint"
	default:
		out.Factory = "at the foot" // where water hangs
	}
	return out
}

// spread reports whether the feet of a frame need a spreader: it is carried, and
// has no bottom.
func (t trim) spread(o *Sized) bool {
	_, bottom := t.piece(BottomPiece)
	return !bottom && o.OnSite == ""
}

// misses says which nails of a piece find no framing behind them.
func (t trim) misses(p TrimPiece, o *Sized, job *Job) string {
	room := Size{(o.Rough.W - o.TrimSize.W) / 2, (o.Rough.H - o.TrimSize.H) / 2}
	switch {
	case p.Board == MullBoard && !o.studsBetween():
		return "no framing behind a mull: short nails and adhesive, never into the units"
	case p.Piece == LegPiece && MissesFraming(t.sizes.Gap.Legs, p.Item.Width, room.W, job.BesideOpening):
		return "the outer row misses the framing beside the opening: block behind it, or nail it to the sheathing alone"
	case p.Piece == BottomPiece && MissesFraming(t.sizes.Gap.Bottom, p.Item.Width, room.H, job.BelowOpening):
		return "the lower row is below the plate: nail it at the studs"
	}
	return ""
}

// notes says what the pieces of a frame do not say.
func (t trim) notes(o *Sized) []string {
	var out []string
	if t.corners() > 0 {
		out = append(out, "mitered corners take glue and a nail from either board, or a spline; no pocket screws")
	}
	if t.corners() > 0 && (t.sizes.HeadBoard != t.sizes.Leg || t.sizes.Bottom != t.sizes.Leg) {
		out = append(out, "boards of unequal width: mark each miter from corner to corner; it is not 45 degrees")
	}
	if t.spread(o) {
		out = append(out, "a spreader across the feet from an offcut, two screws a side, until it is hung")
	}
	if o.Kind.IsDoor() && !o.LegDrop.Set && slices.ContainsFunc(t.pieces, func(p TrimPiece) bool { return p.Drop != 0 }) {
		out = append(out, "leg drop not known: the legs are longer than they will be")
	}
	return out
}

// MarksText lists the marks of a frame with how many of each: "W1 x 4, W3".
func (f Frame) MarksText() string {
	var out []string
	for _, m := range f.Marks {
		w := m.Mark
		if m.Count > 1 {
			w += fmt.Sprintf(" x %d", m.Count)
		}
		out = append(out, w)
	}
	return strings.Join(out, ", ")
}
