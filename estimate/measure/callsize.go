package measure

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var (
	callDigits = regexp.MustCompile(`^\d{4,8}$`)
	callPair   = regexp.MustCompile(`^(.*\S) ?(?:x|by) ?(\S.*)$`)
	feetDash   = regexp.MustCompile(`^(\d{1,2}) ?[-/] ?(\d{1,2})$`)
	callCount  = regexp.MustCompile(`^(?:\(\d+\) ?-? ?|\d+ ?- ?|\d+ )\d{4,6}\b`)
	callWords  = regexp.MustCompile(`\d{4,6} ?[a-z(]|[a-z)] ?\d{4,6}`)
)

// The largest opening, either way, that settles which reading of a run of
// digits is meant, and the smallest.
const (
	callMaxWidth  = 20 * Foot
	callMaxHeight = 14 * Foot
	callMinSide   = Foot
)

// raisedInches matches feet, no more than an opening has, with their inches raised
// beside them: 3⁰, 2¹⁰.
var raisedInches = regexp.MustCompile(`\b(1\d|20|[1-9]) ?(¹[⁰¹]|[⁰¹²³⁴⁵⁶⁷⁸⁹])([^⁰¹²³⁴⁵⁶⁷⁸⁹₀-₉/]|$)`)

// raisedPair matches two such sides with nothing between them: 3⁰6⁸.
var raisedPair = regexp.MustCompile(`^(\d{1,2}[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}) ?(\d{1,2}[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2})$`)

// PlainCallSize writes the sides of a call size whose inches stand high beside the
// feet as a keyboard does: 3⁰ x 6⁸, or 3⁰6⁸, is 3-0 x 6-8. Any other text stays as
// it is.
func PlainCallSize(s string) string {
	s = raisedPair.ReplaceAllString(strings.TrimSpace(s), "$1 x $2")
	return raisedInches.ReplaceAllStringFunc(s, func(side string) string {
		m := raisedInches.FindStringSubmatch(side)
		return m[1] + "-" + smallDigits.Replace(m[2]) + m[3]
	})
}

const writeCall = `write 3050 or 3'-0" x 5'-0"; in place of a maker's code its frame size`

// ParseCallSize returns the width and height that a call size names, width
// first as the trade writes it. What they are the size of, unit or opening, is
// not said by the call size.
//
// A call size is a run of digits, feet and inches of the width, then of the
// height (3050 is 3'-0" x 5'-0"), or two sizes about an x, each with a dash, a
// slash or marks (3-0 x 5-0, 3/0 x 6/8, 3'-0" x 5'-0"), or with the inches
// standing high beside the feet (3⁰ x 6⁸).
//
// In a run, feet take one digit or two and inches one, or two if they are 10
// or 11; no feet begin with 0. So 16070 is 16'-0" x 7'-0" and 26610 is
// 2'-6" x 6'-10". Where more than one reading is lawful, those count that are
// 1 to 20 ft wide and 1 to 14 ft high, so 21068 is 2'-10" x 6'-8" and not
// 21'-0" x 6'-8". If that leaves more than one (11068) or none, the run is
// refused as ambiguous.
//
// Refused as well, with a *FormError: a count before the size, words beside
// it, a side without a unit, and all that is no such pair.
func ParseCallSize(s string) (width, height Length, err error) {
	text := plain(PlainCallSize(s))
	if callDigits.MatchString(text) {
		return callRun(s, text)
	}
	if m := callPair.FindStringSubmatch(text); m != nil {
		width, errW := callSide(s, m[1])
		height, errH := callSide(s, m[2])
		if errW != nil {
			return 0, 0, errW
		}
		if errH != nil {
			return 0, 0, errH
		}
		return width, height, nil
	}
	switch {
	case text == "":
		return 0, 0, wrong(s, "is blank", writeCall)
	case callCount.MatchString(text):
		return 0, 0, wrong(s, "has a count before the call size", "write the count in its own column")
	case callWords.MatchString(text):
		return 0, 0, wrong(s, "has words beside the call size", "write the size alone, such as 3050")
	default:
		return 0, 0, wrong(s, "is not a call size", writeCall)
	}
}

// callSide reads one side of a pair: 3-0, 3/0 or any length with a unit. s is
// the whole call size, for the error.
func callSide(s, side string) (Length, error) {
	if m := feetDash.FindStringSubmatch(side); m != nil && small(m[2]) < 12 {
		return decimal(m[1], Foot) + decimal(m[2], Inch), nil
	}
	l, err := ParseLength(side, NoUnit)
	var form *FormError
	if errors.As(err, &form) {
		return 0, wrong(s, "is not a call size: "+form.What, form.Do)
	}
	return l, nil
}

// callReading is one way to divide a run of digits.
type callReading struct{ width, height Length }

// likely reports whether an opening of this size is built.
func (r callReading) likely() bool {
	return r.width >= callMinSide && r.width <= callMaxWidth && r.height >= callMinSide && r.height <= callMaxHeight
}

func (r callReading) String() string {
	return FormatFeetInches(r.width, 1) + " x " + FormatFeetInches(r.height, 1)
}

// callRun reads a run of digits. s is the call size as written.
func callRun(s, run string) (width, height Length, err error) {
	lawful := callReadings(run)
	likely := lawful
	if len(lawful) > 1 {
		likely = slices.DeleteFunc(slices.Clone(lawful), func(r callReading) bool { return !r.likely() })
	}
	switch {
	case len(lawful) == 0:
		return 0, 0, wrong(s, "is not a call size", writeCall)
	case len(likely) == 0:
		return 0, 0, callInDoubt(s, lawful)
	case len(likely) > 1:
		return 0, 0, callInDoubt(s, likely)
	}
	return likely[0].width, likely[0].height, nil
}

func callInDoubt(s string, readings []callReading) error {
	return wrong(s, fmt.Sprintf("may be %s or %s", readings[0], readings[1]), "write the one that is meant")
}

// callReadings returns all lawful divisions of a run of digits.
func callReadings(run string) []callReading {
	var readings []callReading
	for cut := 2; cut <= len(run)-2; cut++ {
		for _, w := range callSides(run[:cut]) {
			for _, h := range callSides(run[cut:]) {
				readings = append(readings, callReading{w, h})
			}
		}
	}
	return readings
}

// callSides returns what a run of two to four digits can mean as feet and
// inches: the inches are the last digit, or the last two if they are 10 or 11,
// and the feet are the one or two digits before them.
func callSides(run string) []Length {
	var sides []Length
	for feet := 1; feet <= 2 && feet < len(run); feet++ {
		inches := run[feet:]
		if run[0] != '0' && (len(inches) == 1 || inches == "10" || inches == "11") {
			sides = append(sides, decimal(run[:feet], Foot)+decimal(inches, Inch))
		}
	}
	return sides
}
