package estimate

import "sillwright/estimate/measure"

// Actuals is what a job really took: what was left of what was bought for it, and the
// hours of the crew.
type Actuals struct {
	Left  []Leftover
	Hours []Worked
}

// Packs is a count of packs, boards or rolls in ten-thousandths: 2.5 tubes are left.
type Packs int64

// Pack is one pack.
const Pack Packs = 10_000

// Of returns what so many packs hold, of which one holds an amount.
func (p Packs) Of(amount int64) int64 { return measure.MulDiv(amount, int64(p), int64(Pack)) }

// Leftover is what is left of a pack, board or roll size of an item.
type Leftover struct {
	Place   Place
	Item    string
	Pack    string       // what one holds, as written
	Amount  int64        // the same in base units of the item's dimension; of an item that is cut its length
	Left    Maybe[Packs] // not used, and kept; not set = not counted
	Broken  Maybe[int64] // packs or boards that served nothing, beside those that Purchases has as lost
	Carried Maybe[Packs] // taken to another job
	Notes   string
}

// Worktime is what hours went into.
type Worktime string

// What hours go into: the work of a phase, or what goes with it.
const (
	TimeWork     Worktime = "work"
	TimeTravel   Worktime = "travel"
	TimeSetUp    Worktime = "set-up"
	TimeCleanup  Worktime = "cleanup"
	TimeCallBack Worktime = "call-back"
)

// WorktimeWords are the words of the column Time.
var WorktimeWords = wordsOf(TimeWork, TimeTravel, TimeSetUp, TimeCleanup, TimeCallBack)

// Worked is hours of one day, of all persons together.
type Worked struct {
	Place Place
	Date  Maybe[measure.Date]
	Phase Phase // "" only of what is not work
	Time  Worktime
	Hours Hours
	Marks []string // at which; none = not said
	Notes string
}
