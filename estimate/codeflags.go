package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// What the building code may ask at an opening, as far as a schedule tells it. Each
// rule has three outcomes, and none of them says that an opening complies: local code
// governs, and the building official decides.

// Outcome is what a look at a rule of the code comes to.
type Outcome int

// The outcomes.
const (
	NotChecked Outcome = iota // not enough data
	NotFlagged
	Flagged
)

// Finding is an outcome, and what it rests on.
type Finding struct {
	Outcome Outcome
	Lacks   []string // of what is not checked: keys of lackWords
	Assumed string   // of what is flagged: what was taken for what the schedule does not say
}

// lacking is a look for which something is not stated.
func lacking(what ...string) Finding { return Finding{Lacks: what} }

// flaggedIf returns what is flagged, or not, by what is known.
func flaggedIf(flagged bool) Finding {
	if flagged {
		return Finding{Outcome: Flagged}
	}
	return Finding{Outcome: NotFlagged}
}

// both returns what two conditions come to that must hold together: one that does
// not hold settles it, whatever the other lacks.
func both(a, b Finding) Finding {
	switch {
	case a.Outcome == NotFlagged || b.Outcome == NotFlagged:
		return Finding{Outcome: NotFlagged}
	case a.Outcome == Flagged && b.Outcome == Flagged:
		return Finding{Outcome: Flagged, Assumed: a.Assumed + b.Assumed}
	}
	lacks := slices.Clone(a.Lacks)
	for _, l := range b.Lacks {
		if !slices.Contains(lacks, l) {
			lacks = append(lacks, l)
		}
	}
	return Finding{Lacks: lacks}
}

// under reports whether a height lies under a limit; lacks names what a missing one is.
func under(height Maybe[measure.Length], limit measure.Length, lacks string) Finding {
	if !height.Set {
		return lacking(lacks)
	}
	return flaggedIf(height.V < limit)
}

// over is as under, above a limit.
func over(height Maybe[measure.Length], limit measure.Length, lacks string) Finding {
	if !height.Set {
		return lacking(lacks)
	}
	return flaggedIf(height.V > limit)
}

// squareFoot is 1 ft² in square micrometers.
const squareFoot measure.Area = 144 * 645_160_000

// LargeLowGlass reports whether a pane may need safety glazing for its size and its
// place near the floor. The sill of the frame (in nm above the floor) stands for the
// lower edge of the glass, its head for the upper one: both lie outside of the glass, so
// that no pane is missed. Whether people walk within 36 in of it is not known.
//
//	flagged when pane > 9 ft², sill height < 18 in, and sill height + frame height > 36 in
//
// Source: International Residential Code, R308.4.3, editions 2015 to 2021, as quoted by a state's insurance department, 2 July 2012
func LargeLowGlass(pane measure.Area, sill Maybe[measure.Length], height measure.Length) Finding {
	top := Maybe[measure.Length]{V: sill.V + height, Set: sill.Set}
	return both(flaggedIf(pane > 9*squareFoot), both(under(sill, 18*measure.Inch, "Sill height"), over(top, 36*measure.Inch, "Sill height")))
}

// DoorGlass reports whether a door has glass, by its kind and by what the schedule says of
// it: glass in a door is safety glazing.
//
//	flagged: patio doors, and entry doors of which the schedule says so; overhead doors are not
//
// Source: International Residential Code, R308.4.1, edition 2015
func DoorGlass(kind Kind, said string) Finding {
	words := " " + spaced(said) + " "
	has := func(list []string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return strings.Contains(words, " "+w+" ") })
	}
	switch {
	case kind == PatioDoor:
		return flaggedIf(true)
	case kind != EntryDoor, has(noGlassWords):
		return flaggedIf(false)
	case has(glassWords):
		return flaggedIf(true)
	}
	return lacking(lacksGlass)
}

// What people write of an entry door with glass, and of one without any.
var (
	glassWords = []string{"glass", "glazed", "glazing", "lite", "lites", "half light", "full light", "full view", "half view", "vision",
		"french", "window in door", "fanlight", "fanlite"}
	noGlassWords = []string{"no glass", "without glass", "w o glass", "no lite", "no lites", "without lite", "without lites", "w o lite", "w o lites", "unglazed",
		"solid panel"}
)

// GlassBesideDoor reports whether glass may need safety glazing since it stands beside a
// door. Of distances to a door a schedule states only that of sidelites, which stand in
// its frame.
//
//	flagged when the lower edge < 60 in above the floor, within 24 in of the door's edge
//
// Source: International Residential Code, R308.4.2, edition 2015
func GlassBesideDoor(op Operation, sill Maybe[measure.Length]) Finding {
	beside := lacking(lacksDistance)
	if op == Sidelites {
		beside = flaggedIf(true)
		if !sill.Set { // a sidelite stands at the floor
			sill = Given(measure.Length(0))
		}
	}
	if sill.Set && sill.V >= 60*measure.Inch {
		return flaggedIf(false)
	}
	return beside
}

// Escape is what a unit's frame tells of it as an emergency escape opening.
type Escape int

// From the frame alone an opening can be ruled out, never approved.
const (
	EscapeNever        Escape = iota // too small, or it does not open
	EscapeAtGradeFloor               // large enough at a grade floor at most
	EscapeToCheck                    // the net clear opening decides
)

// EscapeOpening returns what a unit's frame tells of it as an emergency escape opening:
// a necessary condition, for the net clear opening is smaller. Of equal sashes a hung
// window opens half the height, a slider half the width; of an operation that is not
// stated the whole frame is taken.
//
//	never: fixed, or opening < 20 in wide, < 24 in high or < 5.0 ft²; at a grade floor at most: < 5.7 ft²
//
// Source: International Residential Code, R310.2.1, editions 2015 to 2021; geometry of equal sashes
func EscapeOpening(op Operation, unit Size) Escape {
	if op == Fixed || op == Picture {
		return EscapeNever
	}
	if parts, ok := sashes[op]; ok {
		unit = Size{unit.W / measure.Length(parts.across), unit.H / measure.Length(parts.up)}
	}
	switch area := unit.Area(); {
	case unit.W < 20*measure.Inch || unit.H < 24*measure.Inch || area < 5*squareFoot:
		return EscapeNever
	case area < squareFoot*57/10:
		return EscapeAtGradeFloor
	}
	return EscapeToCheck
}

// EscapeSill reports whether a sill lies too high for an emergency escape opening. The sill
// of the frame lies below that of the clear opening.
//
//	flagged when sill height > 44 in
//
// Source: International Residential Code, R310.2.2, editions 2015 to 2021
func EscapeSill(sill Maybe[measure.Length]) Finding {
	return over(sill, 44*measure.Inch, "Sill height")
}

// operable are the operations of which it is known that the unit opens.
var operable = []Operation{Casement, Awning, Hopper, TiltTurn, SingleHung, DoubleHung, Slider}

// FallProtection reports whether an operable window may need a device, a guard or a
// limited opening, so that nobody falls out who lives there.
//
//	flagged when it opens, sill height < 24 in, and height above grade > 72 in
//
// Source: International Residential Code, R312.2.1, edition 2012, as quoted in a code officials' forum
func FallProtection(op Operation, sill, drop Maybe[measure.Length]) Finding {
	opens := lacking("Operation")
	if op == Fixed || op == Picture || slices.Contains(operable, op) {
		opens = flaggedIf(slices.Contains(operable, op))
	}
	return both(opens, both(under(sill, 24*measure.Inch, "Sill height"), over(drop, 72*measure.Inch, "Height above grade")))
}

// BathGlass reports whether glass by a tub or shower may need safety glazing. Whether
// it stands within 60 in of the water is not known.
//
//	flagged when sill height < 60 in above the standing surface
//
// Source: International Residential Code, R308.4.5, edition 2006
func BathGlass(sill Maybe[measure.Length]) Finding {
	return under(sill, 60*measure.Inch, "Sill height")
}

// StairGlass reports whether glass beside stairs may need safety glazing. Whether it
// stands within 36 in of a tread or landing, or within 60 in of the bottom one, is not
// known.
//
//	flagged when sill height < 36 in above the tread or landing
//
// Source: International Residential Code, R308.4.6 and R308.4.7, edition 2018
func StairGlass(sill Maybe[measure.Length]) Finding {
	return under(sill, 36*measure.Inch, "Sill height")
}

// Keys of lackWords that are no columns.
const (
	lacksGlass    = "glass in the door"
	lacksDistance = "distance to a door"
)

// lackWords say what is not stated, in the order in which it is said.
var lackWords = []lack{
	{"Sill height", "Sill height is blank", "fill it in"},
	{"Height above grade", "Height above grade is blank", "fill it in"},
	{"Room", "Room names no room that is known", "write bedroom, bath, stair, kitchen ..."},
	{"Operation", "Operation does not say whether the unit opens", "write casement, double hung, fixed ..."},
	{lacksGlass, "neither Operation nor Notes says whether the door has glass", "write glass, or no glass, in Notes"},
	{lacksDistance, "no column states how far glass is from a door", "look at glass within 24 in of a door's edge"},
}

// lack is something that is not stated: what is said of it, and what to do.
type lack struct{ key, words, do string }

// codeFlag is a rule of the code that is looked at: what it is for, where it stands, and
// what is said of what is flagged.
type codeFlag struct {
	about    string // what it is for
	section  string
	editions string // with the code's name
	glazing  bool   // the glass is looked at on delivery
	severity Severity
	column   string // of the cell at which it is said
	what, do string // what = "": another caution says it
	find     func(*Sized) Finding
}

const (
	irc      = "International Residential Code "
	editions = irc + "2015 to 2021"
)

// codeFlags are the rules that are looked at, at every opening.
var codeFlags = []codeFlag{
	{"large panes near the floor", "R308.4.3", editions, true, Warning, "Sill height",
		"may need safety glazing: pane over 9 SF, sill under 18 in and head over 36 in above the floor", "check whether people walk within 36 in of it", largeLow},
	{"glass in doors", "R308.4.1", irc + "2015", true, Note, "Kind",
		"glass in a door: safety glazing, check its label", "on delivery",
		func(o *Sized) Finding { return DoorGlass(o.Kind, o.opens()+" "+o.Notes) }},
	{"glass beside doors", "R308.4.2", irc + "2015", true, Warning, "Operation",
		"sidelites may need safety glazing: glass under 60 in above the floor beside a door", "check their labels on delivery",
		func(o *Sized) Finding {
			return both(flaggedIf(o.Kind == Window || o.Operation == Sidelites), GlassBesideDoor(o.Operation, o.SillHeight))
		}},
	{"glass by tubs and showers", "R308.4.5", irc + "2006", true, Warning, "Sill height",
		"may need safety glazing: in a bath, sill under 60 in", "check how far it is from the tub or shower",
		inRoom(Bathing, func(o *Sized) Finding { return BathGlass(o.SillHeight) })},
	{"glass beside stairs", "R308.4.6, R308.4.7", irc + "2018", true, Warning, "Sill height",
		"may need safety glazing: at a stair, sill under 36 in", "check how far it is from treads and landings",
		inRoom(Stairs, func(o *Sized) Finding { return StairGlass(o.SillHeight) })},
	{"emergency escape openings", "R310.2.1", editions, false, Warning, "Room",
		"cannot serve as an emergency escape opening: it is fixed, or opens at most under 20 in wide, 24 in high or 5.0 SF (equal sashes assumed)",
		"another opening of the room must; replacement windows may be exempt (from memory)", escapeIs(EscapeNever)},
	{"emergency escape openings", "R310.2.1", editions, false, Warning, "Room",
		"can serve as an emergency escape opening at a grade floor only: it opens at most under 5.7 SF (equal sashes assumed)",
		"check the net clear opening there; replacement windows may be exempt (from memory)", escapeIs(EscapeAtGradeFloor)},
	{"emergency escape openings", "R310.2.1", editions, false, Note, "Room",
		"may have to serve as an emergency escape opening", "check the net clear opening: 20 in wide, 24 in high, and 5.7 SF, or 5.0 SF at a grade floor",
		escapeIs(EscapeToCheck)},
	{"sills of emergency escape openings", "R310.2.2", editions, false, Warning, "Sill height",
		"cannot serve as an emergency escape opening: sill over 44 in above the floor", "another opening of the room must",
		inRoom(Sleeping, func(o *Sized) Finding { return EscapeSill(o.SillHeight) })},
	{"fall protection of occupants", "R312.2.1", irc + "2012", false, Warning, "Sill height",
		"may need fall protection for occupants: it opens, sill under 24 in above the floor and over 72 in above grade",
		"ask for a device, a guard or an opening limited to 4 in",
		func(o *Sized) Finding {
			return both(flaggedIf(o.Kind == Window), FallProtection(o.Operation, o.SillHeight, o.Drop))
		}},
	{"guards while the work goes on", "29 CFR 1926.501(b)(14)", "US Code of Federal Regulations", false, Warning, "Sill height", "", "", guard},
}

// look names what is looked at.
func (c *codeFlag) look() string { return c.about + " (" + c.section + ")" }

// cite returns where a rule stands. It ends with what governs.
func (c *codeFlag) cite() string {
	return c.editions + ", " + c.section + "; local code governs"
}

// largeLow looks at the largest pane of a window.
func largeLow(o *Sized) Finding {
	pane, assumed := o.LargestSash(), "; the largest sash is taken for the pane"
	if !pane.Set {
		pane, assumed = Given(o.Lifted().Area()), "; the whole frame is taken for the pane"
	}
	f := both(flaggedIf(o.Kind == Window), LargeLowGlass(pane.V, o.SillHeight, o.Frame.H))
	if f.Outcome == Flagged {
		f.Assumed = assumed
	}
	return f
}

// inRoom limits a look to windows of rooms of a use.
func inRoom(use RoomUse, look func(*Sized) Finding) func(*Sized) Finding {
	return func(o *Sized) Finding {
		f := both(flaggedIf(o.Kind == Window), look(o))
		if f.Outcome == NotFlagged {
			return f
		}
		return both(o.usedFor(use), f)
	}
}

// escapeIs looks for windows of sleeping rooms and habitable basements whose frames tell
// one thing of the escape. Of mulled units the best one counts.
func escapeIs(want Escape) func(*Sized) Finding {
	return inRoom(Sleeping, func(o *Sized) Finding {
		best := EscapeNever
		for _, u := range o.units() {
			best = max(best, EscapeOpening(o.Operation, u))
		}
		return flaggedIf(best == want)
	})
}

// guard looks at an opening that may have to be guarded while the work goes on. On an
// upper story what is not stated counts as needed.
func guard(o *Sized) Finding {
	switch {
	case o.SillHeight.Set && o.Drop.Set:
		return flaggedIf(GuardNeeded(o.SillHeight.V, o.Drop.V))
	case o.Story.Or(1) >= 2:
		return Finding{Outcome: Flagged, Assumed: "its height is not stated"}
	}
	f := lacking()
	if !o.SillHeight.Set {
		f.Lacks = append(f.Lacks, "Sill height")
	}
	if !o.Drop.Set {
		f.Lacks = append(f.Lacks, "Height above grade")
	}
	return f
}

// GlazingSections returns the sections of the International Residential Code for which
// the glass of an opening is looked at on delivery.
func (o *Sized) GlazingSections() []string {
	var out []string
	for i := range codeFlags {
		if c := &codeFlags[i]; c.glazing && c.find(o).Outcome == Flagged {
			out = append(out, c.section)
		}
	}
	return out
}

// CodeProblems says what the code may ask at the openings of a job, each at its cell, and
// once for each thing that is not stated what could not be looked at. Glass that is ordered
// tempered is left to its label.
func CodeProblems(openings []Sized) []Problem {
	var out []Problem
	found := looks(openings)
	rows := map[int]bool{}
	for i := range openings {
		o := &openings[i]
		if rows[o.Order] { // pieces with lines of their own are alike enough
			continue
		}
		rows[o.Order] = true
		for k, f := range found[i] {
			c := &codeFlags[k]
			if c.what == "" || f.Outcome != Flagged || c.glazing && o.Tempered == TemperedYes {
				continue
			}
			what, severity := c.what+f.Assumed, c.severity
			if c.glazing && o.Tempered == TemperedNo {
				what, severity = what+"; Tempered says no", Warning
			}
			out = append(out, Problem{o.PlaceOf(c.column), severity, o.Mark + ": " + what, c.do + "; " + c.cite()})
		}
	}
	var lacks, dos []string
	for _, l := range lackWords {
		if words := l.notChecked(openings, found); words != "" {
			lacks, dos = append(lacks, words), append(dos, l.do)
		}
	}
	if len(lacks) > 0 { // one line a job: nothing is wrong with it
		out = append(out, Problem{Place{}, Note, "what the code may ask is not checked everywhere: " + strings.Join(lacks, "; "),
			strings.Join(slices.Compact(dos), "; ") + "; no flag is no approval, and local code governs"})
	}
	return out
}

// looks are the findings of all flags at all openings, by opening and by flag.
func looks(openings []Sized) [][]Finding {
	out := make([][]Finding, len(openings))
	for i := range openings {
		for k := range codeFlags {
			out[i] = append(out[i], codeFlags[k].find(&openings[i]))
		}
	}
	return out
}

// GlazingNotChecked names the looks at safety glazing for which something is not stated at
// some opening.
func GlazingNotChecked(openings []Sized) []string {
	var out []string
	found := looks(openings)
	for k := range codeFlags {
		c := &codeFlags[k]
		if c.glazing && slices.ContainsFunc(found, func(f []Finding) bool { return f[k].Outcome == NotChecked }) {
			out = append(out, c.look())
		}
	}
	return out
}

// notChecked says at how many marks a thing is not stated that is needed, and for what it
// was not checked for want of it; "" = nothing.
func (l lack) notChecked(openings []Sized, found [][]Finding) string {
	marks := map[int]bool{}
	var about []string
	for k := range codeFlags {
		c := &codeFlags[k]
		for i := range openings {
			if slices.Contains(found[i][k].Lacks, l.key) {
				marks[openings[i].Order] = true
				if look := c.look(); !slices.Contains(about, look) {
					about = append(about, look)
				}
			}
		}
	}
	switch len(marks) {
	case 0:
		return ""
	case 1:
		return l.words + " at 1 mark, not checked for " + strings.Join(about, ", ")
	}
	return fmt.Sprintf("%s at %d marks, not checked for %s", l.words, len(marks), strings.Join(about, ", "))
}

// InsulationCover reports whether a detail covers a thickness of insulation (in nm)
// outside the sheathing. Flanges over more than 2 in are covered by none; over more than
// 1-1/2 in it is doubtful.
//
//	over 2 in: error; over 1-1/2 in: doubt
//
// Source: foam sheathing industry best-practice pages (publisher not on record): 1-1/2 to 2 in
func InsulationCover(thickness measure.Length) (what, do string) {
	switch {
	case thickness > 2*measure.Inch:
		return "outside insulation over 2 in: the shipped details do not cover it", "bucks or a picture frame of lumber carry such units: " +
			"write details of your own, and price the bucks under Other costs; local code governs"
	case thickness > measure.Inch*3/2:
		return "outside insulation over 1-1/2 in: flanges directly over it only where manufacturer and code allow", "ask the manufacturers of unit and fasteners; " +
			"else bucks or a picture frame of lumber carry the unit"
	}
	return "", ""
}
