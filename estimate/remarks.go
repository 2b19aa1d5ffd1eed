package estimate

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// What a schedule says of an opening beside the columns that are counted by.
// None of it changes a count, so each is said.

// notOurs are remarks that say that an opening may be none of this work. Alone
// are words that say so only where nothing else stands between semicolons and
// commas.
var (
	notOurs = []string{"nic", "n i c", "not in contract", "not in scope", "not in our scope", "existing to remain", "to remain", "etr", "e t r", "storm door",
		"storm window", "storm sash", "screen door", "skylight", "roof window", "glass block", "owner installs", "installed by owner", "installed by others", "ofoi"}
	notOursAlone = []string{"delete", "deleted", "omit", "omitted", "void", "cancelled", "canceled", "existing", "by others", "not used", "future", "replacement",
		"remain"}
)

// NotOurs returns the remark of the schedule, as it is written, that says that an
// opening may be none of this work; "" when none does.
func (o *Opening) NotOurs() string {
	for _, text := range append([]string{o.Notes}, o.extras()...) {
		for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' }) {
			in := spaced(part)
			if slices.Contains(notOursAlone, in) || slices.ContainsFunc(notOurs, func(w string) bool { return strings.Contains(" "+in+" ", " "+w+" ") }) {
				return strings.TrimSpace(part)
			}
		}
	}
	for _, c := range o.Extra {
		header, word := spaced(c.Header), strings.ToLower(strings.TrimSpace(c.Text))
		out := slices.Contains(outHeaders, header) && !slices.Contains(noWords, word)
		if out || slices.Contains(inHeaders, header) && slices.Contains(noWords[1:], word) {
			return c.Header + " " + c.Text
		}
	}
	return ""
}

// Headers over which a row is marked as none of this work, or as part of it, and what
// people write for no.
var (
	outHeaders = []string{"delete", "deleted", "void", "voided", "struck", "omit", "omitted", "cancel", "canceled", "cancelled", "remove", "removed", "excluded",
		"exclude", "nic", "not in contract", "not used", "by others", "existing", "hold", "on hold"}
	inHeaders = []string{"included", "include", "in contract", "in scope", "active", "ours", "our scope", "used"}
	noWords   = []string{"", "no", "n", "false", "0", "-", "–", "none", "n/a"}
)

// severalMarks matches what people write in place of several marks, or a mark with a
// count: W1-W4, W5 & W6, W8 thru W10, W13 (x3), (3) W22.
var severalMarks = regexp.MustCompile(`(?i)^[a-z]{1,3}\d+[a-z]?(?:\s*[-–/]\s*[a-z]{1,3}\d|(?:\s*[,&]\s*|\s+(?:and|thru|through|to)\s+)(?:[a-z]{1,3}\d|\d+$))|\bx ?\d+\)?$|^\(\d+\)`)

// The forms in which people write a number of openings beside the column Qty: qty 6,
// typ. of 6 and total of 6, anywhere in a remark; where nothing else stands between
// semicolons and commas, also (4) total, 4 per floor, 2 req'd, pair.
var (
	countRemark = regexp.MustCompile(`(?i)\b(?:qty|quantity|typ(?:\.|ical)? ?(?:of|x)|total of)[.:=]? ?\(?(` + countForm + `)\)?(?: ?(?:` + countUnits + `)|$|[^\w\s-]|\s+-)`)
	countUnsaid = regexp.MustCompile(`(?i)\b(?:qty|quantity|count|number)[.:]? (?:tbd|tbc|varies|per plans?|by plan|see plans?|to be)\b|\bsee plans? for (?:qty|count|number)\b|` +
		`\b(?:ea\.?|each|both) (?:sides?|floors?|story|stories|levels?|units?|ends?|bldgs?|buildings?)\b|^\(?typ(?:\.|ical)? ?\(?\d{1,2}\)*$`)
	revised    = regexp.MustCompile(`(?i)\b(?:revised?|changed?|corrected|should be|now)(?: to| size)?:? ?\(?\d|\b(?:size|dims?|width|height) (?:is |are )?(?:tbd|tbc|unknown)\b`)
	countAlone = regexp.MustCompile(`(?i)^(?:\(?(` + countForm + `)\)? ?(?:` + countUnits + `|per [a-z]+|x)|\((\d{1,2})\)|x ?(\d{1,3})|a? ?(pair|pr|dozen))\.?$`)
)

const (
	countForm  = `\d{1,3}|two|three|four|five|six|eight|ten|twelve`
	countUnits = `ea\b|each\b|pcs\b|total\b|req'?d\b|required\b|needed\b|off\b|alike\b|thus\b|places?\b|locations?\b|openings\b|windows\b|doors\b`
)

// countWord are numbers that are written out.
var countWord = map[string]int64{"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8, "ten": 10, "twelve": 12, "pair": 2, "pr": 2, "dozen": 12}

// countIn returns how many openings a remark speaks of, 0 when of none.
func countIn(remark *regexp.Regexp, text string) (n int64) {
	for _, said := range remark.FindStringSubmatch(text) {
		if v, ok := countWord[strings.ToLower(said)]; ok {
			return v
		}
		if v, err := strconv.ParseInt(said, 10, 64); err == nil {
			return v
		}
	}
	return 0
}

// countWords returns the remark of the schedule that speaks of another number of openings
// than the one that is counted, "" when none does.
func (o *Opening) countWords() string {
	for i, text := range append([]string{o.Notes}, o.extras()...) {
		for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' || r == '\n' }) {
			part = strings.TrimSpace(part)
			pair := strings.HasSuffix(spaced(part), "pair") && (o.Kind.IsDoor() || o.Units > 1) // two leaves, two units
			switch n := countIn(countRemark, part); {
			case n > 1 && n != o.Qty, o.Qty == 1 && n == 0 && countUnsaid.MatchString(part), i == 0 && o.Qty == 1 && !pair && countIn(countAlone, part) > 1:
				return part
			}
		}
	}
	return ""
}

// eachMark matches a mark with a number of each: W3 (2 ea).
var eachMark = regexp.MustCompile(`(?i)\b[2-9]\d? ?(?:ea|each|pcs|req'?d)\b`)

// countedMark reports whether a mark holds a number of openings: W5 qty 6, W6 pair.
func countedMark(mark string) bool {
	list := strings.Fields(spaced(mark))
	return countIn(countRemark, mark) > 1 || countUnsaid.MatchString(mark) || eachMark.MatchString(mark) || len(list) > 1 && slices.Contains([]string{"pair", "dozen"}, list[len(list)-1])
}

// joinedWords are words for units that are joined in one opening.
var joinedWords = []string{"twin", "twins", "mulled", "mull", "ganged", "gang of", "2 wide", "3 wide", "4 wide", "two wide", "three wide",
	"four wide", "side by side",
	"in a row", "double window", "dbl window", "triple window", "triple dh", "triple casement", "triple double hung", "triple unit", "dh pair", "double unit"}

// joinedAlone mean it where nothing else stands between semicolons and commas: triple may
// be the glass.
var joinedAlone = []string{"triple", "double", "dbl", "trip", "quad"}

// mulledWords returns the remark of the schedule that speaks of mulled units, ""
// when none does.
func (o *Opening) mulledWords() string {
	for _, text := range append([]string{o.Notes, o.opens()}, o.extras()...) {
		for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' || r == '\n' }) {
			in := " " + spaced(part) + " "
			if slices.Contains(joinedAlone, strings.TrimSpace(in)) || slices.ContainsFunc(joinedWords, func(w string) bool { return strings.Contains(in, " "+w+" ") }) {
				return strings.TrimSpace(text)
			}
		}
	}
	return ""
}

// opens returns what the schedule says of how the unit opens, in all its words.
func (o *Opening) opens() string { return cmp.Or(o.Opens, string(o.Operation)) }

// studsWords are words for framing between units, or for units that are not mulled.
var studsWords = []string{"studs between", "stud between", "stud pocket", "stud pockets", "separate ros", "separate ro", "separate rough openings",
	"not mulled", "framed between",
	"post between", "posts between", "apart"}

// studsSaid returns the words of the schedule that speak of studs between units.
func (o *Opening) studsSaid() string {
	in := " " + spaced(o.Notes) + " "
	if slices.ContainsFunc(studsWords, func(w string) bool { return strings.Contains(in, " "+w+" ") }) {
		return o.Notes
	}
	return ""
}

// extras returns what the schedule says in all columns that are not ours.
func (o *Opening) extras() []string {
	var out []string
	for _, c := range o.Extra {
		out = append(out, c.Text)
	}
	return out
}

// projecting are units that stand out from the wall.
var projecting = []Operation{Bay, Bow, Garden}

// Remark is something that a schedule says of an opening and no count follows.
type Remark struct{ Column, What, Do string }

// priceByHand is what to do about work that is not counted.
const priceByHand = "price it by hand, under Other costs"

// Remarks returns what the schedule says of an opening and no count follows:
// its shape, what stands out from the wall, what may be none of this work.
func (o *Opening) Remarks() []Remark {
	var out []Remark
	switch said, column := o.shapeSaid(); {
	case o.Shape == "" && said != "":
		out = append(out, Remark{column, fmt.Sprintf("%q: its flashing is estimated as that of a rectangle, and no trim is planned", said),
			"write its shape in a column Shape: " + strings.Join(ShapeWords, ", ")})
	case o.Shape != "" && o.Shape != ShapeRectangle:
		out = append(out, Remark{"Shape", fmt.Sprintf("of a unit of this shape (%s) neither trim nor drip cap is in the counts or the price%s",
			o.Shape, o.countedAround()),
			priceByHand})
	}
	if o.Shape == ShapeRectangle {
		if said, column := o.shapeSaid(); said != "" {
			out = append(out, Remark{column, fmt.Sprintf("%q speaks of another shape than a rectangle, which Shape says and is estimated", said), "correct Shape, or clear the words"})
		}
	}
	if o.Shape == ShapeRound && o.Pan != PanNone {
		out = append(out, Remark{"Sill pan", "a straight pan does not lie under a round unit: it is counted as under the square around it",
			"write none, and price what is made for the curve under Other costs"})
	}
	if words := o.studsSaid(); words != "" && o.Units > 1 && o.Joined == "" {
		out = append(out, Remark{"Joined", fmt.Sprintf("%q may speak of studs between the units, and they are estimated as mulled in one opening", words),
			"write studs between, or mulled"})
	}
	if o.Joined == StudsBetween && o.Rough.W > 0 && o.Frame.W == 0 {
		out = append(out, Remark{"RO width", "with studs between the units the RO width is taken as that of the whole, studs included",
			"write it so, or give the frame: overall, and Unit widths"})
	}
	if slices.Contains(projecting, o.Operation) {
		out = append(out, Remark{"Operation", fmt.Sprintf("a unit that stands out from the wall (%q) is estimated as one flat rectangle: its seat, roof, "+
			"supports and returns "+
			"are not in the counts or the price", o.Operation), priceByHand})
	}
	if o.Kind == EntryDoor && o.Operation == Slider {
		out = append(out, Remark{"Kind", "an entry door that slides is flashed and shimmed as a hinged one", "write patio door"})
	}
	if words := o.mulledWords(); words != "" && o.Units <= 1 {
		out = append(out, Remark{"Mulled units", fmt.Sprintf("%q speaks of mulled units, and one unit is counted", words),
			"write how many units are mulled in this opening, and their widths under Unit widths; leave it if each has a row of its own"})
	}
	if o.Qty == 1 && (severalMarks.MatchString(o.Mark) || countedMark(o.Mark)) {
		out = append(out, Remark{"Mark", fmt.Sprintf("%q may name several openings, and one is counted", o.Mark),
			"write how many they are under Qty, or a row for each"})
	}
	if words := o.countWords(); words != "" {
		out = append(out, Remark{"Notes", fmt.Sprintf("%q speaks of several openings, and Qty is %d, which is counted", words, o.Qty),
			"write how many they are under Qty; leave it if each has a row of its own"})
	}
	if words := revised.FindString(o.Notes); words != "" {
		out = append(out, Remark{"Notes", fmt.Sprintf("%q speaks of another size or number; the row is counted as its columns say", o.Notes),
			"write what holds in the columns, and clear the note"})
	}
	if words := o.NotOurs(); words != "" {
		out = append(out, Remark{"Notes", fmt.Sprintf("%q is only a note: the row is counted and priced all the same", words),
			"delete the row if it is not your work"})
	}
	return out
}

// countedAround says of a shape whose edges are not known how they are counted.
func (o *Opening) countedAround() string {
	if o.Shape == ShapeRound || o.Shape == ShapeRoundHead {
		return "; tape along a curve has to be flexible"
	}
	return "; tape, beads and fasteners are those of the rectangle around it"
}

// trimDone is what a status says of the trim.
const trimDone = "its trim is cut by the status: the trim boards are in the price, and not bought again"

// priceDoubts returns what the schedule says of an opening and its price does
// not follow, or follows against what was probably meant.
func priceDoubts(o *Sized) []Problem {
	var out []Problem
	say := func(sev Severity, column, what, do string) {
		out = append(out, Problem{o.PlaceOf(column), sev, o.Mark + ": " + what, do})
	}
	for _, r := range o.Remarks() {
		say(Warning, r.Column, r.What, r.Do)
	}
	switch {
	case !o.rectangular() || o.Layout == NoTrim:
	case o.Status.TrimDone() && !o.Measured.Known() && len(o.Readings) == 0:
		say(Warning, "Status", trimDone+"; it was never measured", "type the measured size, or write set")
	case o.Status == StatusHung && o.Kind.IsDoor():
		say(Warning, "Status", trimDone, "write set if hung means the door")
	case o.Status.TrimDone():
		say(Note, "Status", trimDone, "write set, or leave it blank, if they are not cut")
	}
	if o.Measured.Known() && !o.Status.Arrived() {
		say(Warning, "Status", "measured, and by its status not there yet: its trim goes to be cut to that size",
			"write set when the unit is in the wall; else clear the measured size")
	}
	switch {
	case o.FurnishedBy == ByOwner && o.UnitCost.V > 0:
		say(Warning, "Unit cost", "furnished by the owner: its unit cost is not in the price",
			"write builder under Furnished by if you buy it; else leave the cost blank")
	case o.FurnishedBy != ByOwner && o.UnitCost.Set && o.UnitCost.V == 0:
		say(Warning, "Unit cost", "the unit cost is 0: the unit costs nothing in the bid", "leave it blank until it is known, or write owner under Furnished by")
	}
	return out
}
