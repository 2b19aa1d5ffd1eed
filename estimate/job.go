package estimate

import "sillwright/estimate/measure"

// Job is the settings of a job, typed. Every field is filled from one line of
// the Job sheet, or from the shipped default of that line; settings.go has the
// table that ties the two.
type Job struct {
	Number, Name, Note, Currency string
	Date                         Maybe[measure.Date]
	MM                           bool // bare numbers are millimeters
	Paper                        string
	Protect                      bool // in an estimate only the inputs can be typed into
	ShipTo                       string
	PhaseDate                    map[Phase]measure.Date // first day of a phase, where it is known
	YearBuilt                    Maybe[int64]
	ColdestF                     Maybe[int64] // while the units are set; see Coldest
	ColdestTrim, ColdestShop     Maybe[int64]
	ColdAccepted                 ColdAccepted

	Stud, Sheathing, Insulation measure.Length
	WRB                         WRB
	WRBPlane                    WRBPlane // where insulation lies outside; "" = not stated
	PrimeForTape                bool
	JambFlashing                JambFlashing

	Clearance     map[Kind]Size // rough opening over frame
	SlabClearance Size          // rough opening over the slab of an entry door
	CallMeans     map[Kind]CallMeaning
	MullJoint     measure.Length
	StudJoint     measure.Length // between frames with studs between them
	WidestJoint   measure.Length // with studs between that one casing covers
	Flange        map[Kind]Flange
	SitsOn        map[Kind]SitsOn
	Depth         map[Kind]measure.Length
	Pan           map[Kind]Pan

	PanSlope                             measure.Rate
	PanHem, PanFront, PanBack, PanEndDam measure.Length
	BrakeLength, SealedLap               measure.Length
	WRBLap, TapeLap, FlangeWidth         measure.Length
	FlangeThickness                      measure.Length
	JambThickness, HingeLeaf             measure.Length
	Brickmould                           Brickmould
	MinJoint                             measure.Length
	Role                                 map[string]string // item of a role: "tape sill" -> key
	HardwareWithUnit                     bool
	Waiver                               string // clause that waives head flashing under eaves; "" = head flashing always

	Trim               map[Kind]TrimSet
	Gap, Overhang      measure.Length            // the gap of boards whose item states none
	Horn               measure.Length            // of a sill with horns, each end
	BesideOpening      measure.Length            // framing beside an opening, from its edge
	BelowOpening       measure.Length            // framing below an opening, from its edge
	MeasuringAllowance measure.Length            // by which a piece not yet measured is ordered longer
	AssumedDrop        measure.Length            // leg drop of a door whose own is not known: ordered, and held
	LegClearance       map[SitsOn]measure.Length // by what the opening sits on
	LargestFrame       Size
	Penetration        measure.Length

	Kerf, EndTrim          measure.Length
	SpareBoards, SpareTape int64
	ShortestJoined         measure.Length // a piece no longer is never joined
	MinPart                measure.Length // no part of a joined piece is shorter
	UsefulOffcut           measure.Length // shorter ones are not worth keeping
	Allowance              map[string]measure.Rate

	Tax, Overhead, Contingency, Profit measure.Rate
	TaxUnits, TaxDelivery              bool
	TaxByItem                          bool                 // the tax is rounded on every line, not once an order
	MinSaving                          Maybe[measure.Money] // of another supplier; not set = one yard plus what it lacks
	SecondGun                          Maybe[measure.Money] // what sealant in cartridges and in sausages must save over one of the two
	LaborRate                          Maybe[measure.Money] // of an hour of labor
	OpeningsADay                       Maybe[int64]         // that the crew closes in
	Margin                             bool                 // Profit is a margin of the price, not a markup on cost
	PriceAgeDays                       int64
	// What the job may take of material, of hours, and of money for material, of what the
	// estimate has for each: for a range of its cost, and never in the price.
	MaterialSpread, HoursSpread, PriceSpread Maybe[Spread]

	Papers Papers // what papers that go out say

	Costs  []CostLine
	OnHand []OnHand
	// Purchases are what was bought for the job so far, and drafts.
	Purchases []Bought
	Actuals   Actuals // what the job took
}

// Bare returns the unit of a number written without one.
func (j *Job) Bare() measure.Unit {
	if j.MM {
		return measure.Millimeters
	}
	return measure.Inches
}

// Brickmould is the factory casing of units that have one.
type Brickmould struct{ Width, Thickness measure.Length }

// TrimSet is what trims one kind of opening.
type TrimSet struct {
	Layout                  string
	Head, Leg, Bottom, Mull string // item keys
}

// board returns the item's key of a board of the set: head, leg, bottom or mull.
func (s TrimSet) board(b Board) string {
	switch b {
	case HeadBoard:
		return s.Head
	case LegBoard:
		return s.Leg
	case BottomBoard:
		return s.Bottom
	}
	return s.Mull
}

// CostLine is a free cost of the job: a lift, a permit, a dump fee.
type CostLine struct {
	Place   Place
	Text    string
	Count   Maybe[int64]
	Unit    string
	Price   Maybe[measure.UnitPrice]
	Taxable bool
}
