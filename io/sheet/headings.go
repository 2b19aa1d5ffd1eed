package sheet

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// What people call columns, for all who read schedules: a heading is the same
// column to estimate and to import.

// Headings are other headings of our columns, by column.
var Headings = map[string][]string{
	"Qty":             {"Quantity", "Count", "Number", "Number of openings", "Openings", "Pieces", "Required", "How many", "Amt"}, // the rest: Counting
	"Operation":       {"Operating type", "Operation type", "Unit operation", "Window operation", "Oper", "Opng type"},
	"Joined":          {"Joined by", "How joined", "Mull type"},
	"Sample accepted": {"Sample ok", "Accepted sample", "Sample accepted by", "Sample measuring accepted"},
	"Sits on":         {"Stands on", "Bears on", "Substrate"},
	"Flange":          {"Mounting flange", "Flange type", "Nail fin", "Nailing fin", "Nailing flange", "Fin", "Fin type"},
	"Furnished by":    {"Supplied by", "Provided by", "Unit by", "Unit furnished by", "Furn by", "Furnish by", "Furnished", "By", "Units by", "Supply by"},
	"Unit cost":       {"Cost of unit", "Cost each", "Unit price", "Price each", "Cost ea", "Price ea", "Cost per unit", "Price per unit", "Unit $"},
	"Jamb depth":      {"Unit depth", "Frame depth", "Depth of unit", "Jamb size", "Jamb width"},
	"Sill pan":        {"Pan", "Pan type", "Sill pan type"},
	"Trim":            {"Trim layout", "Casing", "Exterior trim", "Ext trim", "Outside trim"},
	"Story":           {"Storey", "Level", "Floor", "Stories", "Floor level", "Flr", "Lvl"},
	"Sill height":     {"Height of sill", "Sill height above floor", "Sill ht", "Sill hgt", "Sill ht AFF", "Sill hgt AFF", "Sill height AFF", "Sill AFF"},
	"Room":            {"Room name", "Room type", "Rooms", "Location", "Loc", "Space"},
	"Tempered":        {"Tempered glass", "Temp", "Temp glass", "Safety glass", "Safety glazing"},
	"Shape":           {"Unit shape", "Window shape", "Shape of unit"},
	"Status":          {},
	"Notes":           {"Note", "Comments", "Comment", "Remarks", "Remark"},
}

// Counting is what a heading says of how many openings a row stands for.
type Counting int

// A heading says nothing of it; says it; may say it, or a sum, a price, a part of it; or
// may say it, or number the lines, or count units in an opening; may say it of a part of
// the job: a building, a floor, a side.
const (
	NoCount Counting = iota
	Counts
	MayTotal
	MayCount
	MayShare
)

// The words of headings that count, in the spelling of countingWords.
var (
	// quantityWords say that something is counted, whatever stands beside them.
	quantityWords = []string{"qty", "qtys", "quantity", "quantities", "quant", "quan", "qnty", "qnt", "qtty", "qte", "cantidad", "anzahl", "menge",
		"count", "counts", "cnt", "pcs", "pc", "pieces", "piece"}
	// neededWords say that openings are counted where no other thing is named.
	neededWords = []string{"ea", "each", "nos", "req", "reqd", "required", "needed", "need", "off", "many"}
	// numberWords say so before one of those, before "of" and before several openings.
	numberWords = []string{"no", "number", "num", "nr"}
	openingWord = []string{"openings", "windows", "doors"}
	// countFillers may stand beside all of these, and change nothing.
	countFillers = []string{"of", "the", "total", "opening", "window", "door", "to", "order", "ordered", "buy", "in", "job", "all", "how", "amt"}
	// partWords name what is counted in an opening, and is none.
	partWords = []string{"panel", "panels", "lite", "lites", "light", "lights", "hinge", "hinges", "leaf", "leaves", "screen", "screens", "glass", "pane", "panes",
		"sash", "sashes", "lock", "locks", "key", "keys", "bolt", "bolts", "mull", "mulls", "mulled", "wide", "high", "sidelite", "sidelites", "sidelight",
		"sidelights", "grille", "grilles", "track", "tracks", "thread", "shims", "anchors", "screws", "joined", "ganged"}
	// totalWords and lineWords are headings that may count openings.
	totalWords = []string{"total", "totals", "amount", "total number", "total no", "total num", "x", "times", "mult", "multiplier", "repeat", "repeats",
		"identical", "alike", "same", "like", "typ", "q", "qy", "tally", "windows", "doors", "instance", "instances",
		"occurrence", "occurrences", "sum", "tot", "uses", "used",
		"times used", "reps",
		"repetitions", "no used", "ct", "pair", "pairs", "dozen", "dozens"}
	lineWords = []string{"no", "number", "num", "nr", "sets", "lot"}
)

// Parts of a job that lists have a column each of: Bldg A, 1st floor, North.
var (
	shareForm = regexp.MustCompile(`^(?:bldg|building|block|tower|wing|house|lot|plan|unit|` +
		`apt|apartment|floor|fl|flr|level|lvl|story|storey|phase|side)(?: no)? (?:[a-z]|\d{1,3}[a-z]?)$|` +
		`^(?:1st|2nd|3rd|[4-9]th|[12]\dth|first|second|third|fourth|ground|main|upper|lower|top)(?: (?:floor|fl|flr|level|lvl|story|storey))?$`)
	shareWords = []string{"basement", "bsmt", "attic", "garage", "north", "south", "east", "west", "front", "rear", "back", "left", "right", "loft", "penthouse"}
)

// longestHeading is how many bytes a heading has at most that is looked at word by word.
const longestHeading = 80

// notOfHeadings are the marks of words, and the sign of a number.
var notOfHeadings = strings.NewReplacer("'", "", "’", "", "‘", "", "′", "", "`", "", "(s)", "", "#", " no ")

// countingWords returns the words of a heading: lower case, # read as no, req'd as reqd.
func countingWords(heading string) []string {
	return strings.FieldsFunc(notOfHeadings.Replace(strings.ToLower(heading)), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// CountingOf returns what a heading says of how many openings a row stands for.
func CountingOf(heading string) Counting {
	if len(heading) > longestHeading {
		return NoCount
	}
	words := countingWords(heading)
	is := func(lists ...[]string) func(string) bool {
		return func(w string) bool { return slices.Contains(slices.Concat(lists...), w) }
	}
	all := func(of func(string) bool) bool {
		return !slices.ContainsFunc(words, func(w string) bool { return !of(w) })
	}
	phrase := strings.Join(words, " ")
	units := slices.ContainsFunc(words, is([]string{"unit", "units"}))
	numbered := len(words) > 1 && is(numberWords)(words[0]) && slices.ContainsFunc(words[1:], is(openingWord, neededWords, []string{"of"}))
	counted := slices.ContainsFunc(words, is(quantityWords)) || numbered || phrase == "total openings"
	switch {
	case phrase == "" || slices.ContainsFunc(words, is(partWords)):
		return NoCount
	case phrase == "openings":
		return Counts
	case slices.Contains(totalWords, phrase):
		return MayTotal
	case shareForm.MatchString(phrase), slices.Contains(shareWords, phrase):
		return MayShare
	case slices.Contains(lineWords, phrase), units && all(is(quantityWords, neededWords, numberWords, openingWord, countFillers, []string{"unit", "units"})):
		if phrase == "unit" {
			return NoCount
		}
		return MayCount
	case (counted || slices.ContainsFunc(words, is(neededWords))) && all(is(quantityWords, neededWords, numberWords, openingWord, countFillers)):
		return Counts
	case counted || slices.Contains(words, "amount") && slices.ContainsFunc(words, is(neededWords)):
		return MayTotal
	}
	return NoCount
}

// CountsParts reports whether a heading names what stands in an opening, and is none.
func CountsParts(heading string) bool {
	return slices.ContainsFunc(countingWords(heading), func(w string) bool { return slices.Contains(partWords, w) })
}

// DoubtfulCount asks back a heading that may count openings, where nothing else does.
var DoubtfulCount = Doubt{May: "how many openings a row stands for, and no column Qty does",
	Do: "rename it Qty where it does; else add a column Qty, and rename this: Mulled units where it counts joined units, Item where it counts lines"}

// DoubtfulShare asks back the heading of a part of the job over what may count openings.
var DoubtfulShare = Doubt{May: "how many openings of that part of the job a row stands for, and no column Qty says how many they are in all",
	Do: "add a column Qty with the number of openings of each row"}

// Doubt returns what is asked of a heading that may count openings, where nothing else does.
func (c Counting) Doubt() Doubt {
	if c == MayShare {
		return DoubtfulShare
	}
	return DoubtfulCount
}

// UnheadedCounts reports whether the cells of a column without a heading, without those
// that are blank, may count openings: whole numbers, and not those of the lines.
func UnheadedCounts(cells []string) bool {
	number := func(text string) bool { _, ok := CountIn(text); return ok }
	return !slices.ContainsFunc(cells, func(text string) bool { return !number(text) }) && MayCount.Asks("No", cells, false)
}

// countForm is a number of openings, in the forms in which people write it.
var countForm = regexp.MustCompile(`^\(?(\d{1,4})\)?(?: ?(?:x|ea|each|pcs|off|no|nr)\.?)?$`)

// CountIn returns the number of openings that a text writes: 2, (2), 2 ea.
func CountIn(text string) (int64, bool) {
	m := countForm.FindStringSubmatch(strings.ToLower(text))
	if m == nil {
		return 0, false
	}
	n, err := strconv.ParseInt(m[1], 10, 64)
	return n, err == nil
}

// fewLines is up to how many rows may count 1, 2, 3 openings by chance.
const fewLines = 3

// Asks reports whether the cells under a heading that may count openings, without those
// that are blank, do count them for all that can be told. Under No. and the like stand marks,
// or the numbers of lines: texts that differ, 1 to n, or numbers from 100 up that
// differ. alone says that no other column names the openings.
func (c Counting) Asks(heading string, cells []string, alone bool) bool {
	seen, rows, numbers, running, high := map[string]bool{}, 0, 0, true, true
	for _, text := range cells {
		if slices.Contains(TotalWords, strings.ToLower(strings.TrimRight(text, ": "))) {
			continue
		}
		rows++
		n, ok := CountIn(text)
		if ok {
			numbers++
		}
		seen[text] = true
		running, high = running && n == int64(rows), high && n >= 100
	}
	line := slices.Contains(lineWords, strings.Join(countingWords(heading), " "))
	switch {
	case c == NoCount || c == Counts || numbers == 0:
		return false
	case !line || len(seen) < rows:
		return true
	case 2*numbers < rows || high:
		return false
	}
	return !running || !alone && rows <= fewLines
}
