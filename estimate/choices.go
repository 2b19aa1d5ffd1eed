package estimate

// The closed columns of the schedule: of each its type, its words as
// constants, and the words in the order of the drop-down. What people write
// for a word is in io/sheet.

// Kind is what stands in an opening.
type Kind string

// The kinds of opening.
const (
	Window       Kind = "window"
	EntryDoor    Kind = "entry door"
	PatioDoor    Kind = "patio door"
	OverheadDoor Kind = "overhead door"
)

// Kinds are the words of the column Kind.
var Kinds = wordsOf(Window, EntryDoor, PatioDoor, OverheadDoor)

// IsDoor reports whether people walk or drive through the opening.
func (k Kind) IsDoor() bool { return k != Window }

// Walked reports whether it is a door that people walk through.
func (k Kind) Walked() bool { return k == EntryDoor || k == PatioDoor }

// Operation is how a unit opens, or what a door's frame holds beside the door.
// A schedule may say it in other words than these.
type Operation string

// The operations.
const (
	Fixed      Operation = "fixed"
	Casement   Operation = "casement"
	Awning     Operation = "awning"
	Hopper     Operation = "hopper"
	TiltTurn   Operation = "tilt-turn"
	SingleHung Operation = "single hung"
	DoubleHung Operation = "double hung"
	Slider     Operation = "slider"
	Picture    Operation = "picture"
	Bay        Operation = "bay"
	Bow        Operation = "bow"
	Garden     Operation = "garden"
	Sidelites  Operation = "sidelites"
	Transom    Operation = "transom"
	Single     Operation = "single" // one hinged leaf
	Pair       Operation = "pair"   // two hinged leaves
)

// Operations are the usual words of the column Operation.
var Operations = wordsOf(Fixed, Casement, Awning, Hopper, TiltTurn, SingleHung, DoubleHung, Slider, Picture, Bay, Bow, Garden, Sidelites, Transom, Single, Pair)

// Joined is how units of one opening are joined; "" is mulled.
type Joined string

// How units are joined.
const (
	Mulled       Joined = "mulled"        // one opening in the wall, the frames fastened together
	StudsBetween Joined = "studs between" // an opening each in the wall, trimmed as one
)

// JoinedWords are the words of the column Joined.
var JoinedWords = wordsOf(Mulled, StudsBetween)

// SitsOn is what a unit stands on.
type SitsOn string

// What units stand on.
const (
	OnWood    SitsOn = "wood"
	OnSlab    SitsOn = "slab"
	OnMasonry SitsOn = "masonry"
)

// SitsOnWords are the words of the column Sits on.
var SitsOnWords = wordsOf(OnWood, OnSlab, OnMasonry)

// Flange is the sort of a frame's nailing flange.
type Flange string

// The sorts of flange.
const (
	FlangeIntegral     Flange = "integral"
	FlangeApplied      Flange = "applied"
	FlangeLocatingOnly Flange = "applied (locating only)"
	FlangeBrickmould   Flange = "brickmould"
	FlangeNone         Flange = "none"
)

// FlangeWords are the words of the column Flange.
var FlangeWords = wordsOf(FlangeIntegral, FlangeApplied, FlangeLocatingOnly, FlangeBrickmould, FlangeNone)

// FurnishedBy is who furnishes a unit.
type FurnishedBy string

// Who furnishes units.
const (
	ByBuilder   FurnishedBy = "builder"
	ByOwner     FurnishedBy = "owner"
	ByInstaller FurnishedBy = "installer"
)

// FurnishedByWords are the words of the column Furnished by.
var FurnishedByWords = wordsOf(ByBuilder, ByOwner, ByInstaller)

// BroughtByWords are the words of the column Furnished by of On hand: of materials.
var BroughtByWords = wordsOf(ByBuilder, ByOwner)

// Status is how far the work at a mark has come; "" is not stated.
type Status string

// The states, in the order of the work.
const (
	StatusOrdered   Status = "ordered"
	StatusDelivered Status = "delivered"
	StatusSet       Status = "set"
	StatusCut       Status = "cut"  // its trim is cut
	StatusHung      Status = "hung" // its trim is on the wall
	StatusFinished  Status = "finished"
)

// StatusWords are the words of the column Status.
var StatusWords = wordsOf(StatusOrdered, StatusDelivered, StatusSet, StatusCut, StatusHung, StatusFinished)

// Arrived reports whether the unit is on site.
func (s Status) Arrived() bool { return s == StatusDelivered || s.InPlace() }

// InPlace reports whether the unit is set.
func (s Status) InPlace() bool { return s.Done(PhaseInstall) }

// TrimDone reports whether the trim boards are cut already, so that none of
// them is to be cut again.
func (s Status) TrimDone() bool { return s.Done(PhaseShop) }

// doneAt is from which status on the work of a phase is done.
var doneAt = map[Phase]Status{PhaseInstall: StatusSet, PhaseShop: StatusCut, PhaseTrim: StatusHung, PhaseFinish: StatusFinished}

// Done reports whether the work of a phase is done.
func (s Status) Done(p Phase) bool {
	from, known := doneAt[p]
	return known && statusOrder(s) >= statusOrder(from)
}

// Stage is how far so many openings of a mark are.
type Stage struct {
	Status Status
	Count  int64
}

// Pan is the sort of a sill pan.
type Pan string

// The sorts of pan.
const (
	PanRigid    Pan = "rigid"         // three-piece
	PanMetal    Pan = "metal"         // bent on site
	PanFlexible Pan = "flexible"      // flashing tape
	PanFluid    Pan = "fluid-applied" // brushed or spread on, and cured
	PanNone     Pan = "none"
)

// PanWords are the words of the column Sill pan.
var PanWords = wordsOf(PanRigid, PanMetal, PanFlexible, PanFluid, PanNone)

// Tempered is whether a unit's glass is ordered tempered. A schedule may say it in
// other words than these: lower sash only.
type Tempered string

// What a schedule says of tempered glass.
const (
	TemperedYes Tempered = "yes"
	TemperedNo  Tempered = "no"
)

// TemperedWords are the usual words of the column Tempered.
var TemperedWords = wordsOf(TemperedYes, TemperedNo)

// NoTrim is the word of the column Trim, and of the layouts on Job, for an
// opening without trim. Its other words are the names of the layouts.
const NoTrim = "none"

// ReadAt is where a size was read.
type ReadAt string

// Where sizes are read; blank is the frame.
const (
	ReadAtFrame   ReadAt = "frame"
	ReadAtOpening ReadAt = "opening"
)

// ReadAtWords are the words of the column Of of the sheet Field measurements.
var ReadAtWords = wordsOf(ReadAtFrame, ReadAtOpening)

// HighEnd is the end of a sill that is higher; "" is not read.
type HighEnd string

// The ends of a sill.
const (
	HighLeft    HighEnd = "left"
	HighRight   HighEnd = "right"
	HighNeither HighEnd = "level"
)

// HighEndWords are the words of the column High end.
var HighEndWords = wordsOf(HighLeft, HighRight, HighNeither)

// WRB is what the water-resistive barrier (WRB) of a wall is.
type WRB string

// The barriers of a wall.
const (
	WRBHousewrap WRB = "housewrap"     // a loose sheet that is cut and lapped
	WRBIntegral  WRB = "integral"      // bonded to the sheathing
	WRBFluid     WRB = "fluid-applied" // rolled or sprayed on
)

var wrbWords = wordsOf(WRBHousewrap, WRBIntegral, WRBFluid)

// JambFlashing is what covers the jambs and the head of an opening.
type JambFlashing string

// The sorts of jamb and head flashing.
const (
	JambTape  JambFlashing = "tape"
	JambFluid JambFlashing = "fluid-applied" // brushed or spread on, fabric at the corners
)

// WRBPlane is the face on which the barrier lies where insulation stands
// outside of the sheathing: pan, flashing and the leg of a drip cap go to it.
type WRBPlane string

// The planes of the barrier.
const (
	PlaneSheathing WRBPlane = "sheathing"
	PlaneOutside   WRBPlane = "outside of insulation"
)

// CallMeaning is what a call size is the size of; "" is not stated.
type CallMeaning string

// What call sizes are the sizes of.
const (
	CallSlab    CallMeaning = "slab"
	CallOpening CallMeaning = "opening"
	CallUnit    CallMeaning = "unit"
)

// wordsOf returns constants as plain words.
func wordsOf[S ~string](list ...S) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}
