package measure

import (
	"fmt"
	"math"
	"math/bits"
	"regexp"
	"strconv"
	"strings"
)

// MaxLength is the longest length that is read: no opening, board or roll is
// longer, so more than that is a slip of the unit.
const MaxLength = 1000 * Foot

// finest is the smallest fraction of an inch that is read: 1/64.
const finest = 64

// The forms of a length, in the spelling of plain. A mixed number has five
// groups: whole or decimal, numerator and denominator after it; numerator and
// denominator standing alone.
const (
	mixedNumber = `(?:(\d+\.?\d*|\.\d+)(?: ?[ -] ?(\d+)/(\d+))?|(\d+)/(\d+))`
	feetMark    = `(?:'|ft\.?|foot|feet)`
	inchMark    = `(?:"|ins?\.?|inch|inches)`
)

var (
	feetAndInches = regexp.MustCompile(`^(\d+) ?` + feetMark + ` ?-? ?` + mixedNumber + ` ?` + inchMark + `?$`)
	feetSlash     = regexp.MustCompile(`^(\d+)/(\d+) ?[ -] ?(\d+)/(\d+)$`)
	loneFraction  = regexp.MustCompile(`^(\d+)/(\d+)$`)
	oneUnit       = regexp.MustCompile(`^` + mixedNumber + ` ?('|"|[a-z]+\.?)?$`)
)

// writeLength is the advice where nothing better can be said.
const writeLength = `write 7'-11 1/2" or 95.5`

// misread lists what people write that is no length, or no certain one. The
// first form that fits gives the reason.
var misread = []struct {
	form     *regexp.Regexp
	what, do string
}{
	{regexp.MustCompile(`^$`), "is blank", writeLength},
	{regexp.MustCompile(`^- ?[.\d]`), "is negative", "write it without the minus sign"},
	{regexp.MustCompile(`,`), "has a comma", "write a decimal point, and no comma for thousands: 36.5 or 1200 mm"},
	{regexp.MustCompile(`\d ?["'a-z.]* ?(?:x|by) ?\d`), "holds two sizes", "write one size in a cell"},
	{regexp.MustCompile(`^\d+ ?- ?\d+$`), "may be feet and inches or a range", `write 3'-6", or one size`},
	{regexp.MustCompile(`\d ?(?:` + inchMark + `|mm|cm|m) ?- ?\d`), "is a range", "write one size"},
	{regexp.MustCompile(feetMark + ` ?(?:-? ?"|-)$`), "lacks its inches", `write 2'-0", or the inches that were meant`},
	{regexp.MustCompile(`\de[+-]?\d`), "is written with an exponent", "write the number out"},
	{regexp.MustCompile(`[⁰¹²³⁴⁵⁶⁷⁸⁹₀-₉]`), "has a digit that stands high or low", `write 3'-0" for feet and inches, or a fraction such as 1/2`},
	{regexp.MustCompile(`\d.*[a-z]|[a-z].*\d`), "has words beside the length", `write the size alone, with in, ft, mm, cm or m`},
}

// ParseLength returns the length that s writes. bare is the unit of a number
// that has none; with NoUnit such a number is refused.
//
// Read are whole and decimal numbers and fractions in halves to 64ths with or
// without a unit (36, 36.5, 36 1/2, 36-1/2", 914 mm, 0.914 m), feet and inches
// (3'-0", 3' 0 1/2", 3'-6, 3 ft. 6 in.) and feet and inches about a slash
// (3/0, 5/4 1/2), with the marks, dashes, fractions and spaces that word
// processors and drawing programs put for those of a keyboard. A result within
// a thousandth of a millimeter of a multiple of 1/64 in or of 0.1 mm is that
// multiple, which takes away the noise of binary decimals; any other is the
// nearest nanometer.
//
// Small digits are read in a fraction of the tape (35 ¹/₂); 3⁰, which is feet and
// inches to one and a power to another, is refused outside a call size.
//
// Two numbers about a slash are a fraction of an inch if a tape has it (1/2,
// 3/16) and numbers without a unit are not feet or metric, and feet and inches
// if the second is 0. Else they may be either (2/8, 5/4) and are refused.
//
// Refused as well, with a *FormError: negative lengths, commas, two sizes,
// ranges, 12 or more inches after feet, words, and lengths over MaxLength.
func ParseLength(s string, bare Unit) (Length, error) {
	t := lengthText{raw: s, bare: bare}
	text := plain(s)
	for _, form := range []struct {
		re   *regexp.Regexp
		read func(groups []string) (Length, error)
	}{
		{feetAndInches, t.feetAndInches},
		{feetSlash, t.feetSlash},
		{loneFraction, t.loneFraction},
		{oneUnit, t.oneUnit},
	} {
		if m := form.re.FindStringSubmatch(text); m != nil {
			l, err := form.read(m[1:])
			if err != nil {
				return 0, err
			}
			if l > MaxLength {
				return 0, tooLong(s)
			}
			return onMark(l), nil
		}
	}
	return 0, t.refuse(text)
}

// lengthText is a length as written, for its errors, and the unit of a number
// without one.
type lengthText struct {
	raw  string
	bare Unit
}

func (t lengthText) refuse(text string) error {
	for _, r := range misread {
		if r.form.MatchString(text) {
			return wrong(t.raw, r.what, r.do)
		}
	}
	return wrong(t.raw, "is not a length", writeLength)
}

func tooLong(s string) error {
	return wrong(s, "is longer than 1,000 ft", "check the number and its unit")
}

// feetAndInches reads 3'-6 1/2": feet, then the five groups of a mixed number.
func (t lengthText) feetAndInches(g []string) (Length, error) {
	inches, err := t.mixed(g[1:6], Inches)
	if err != nil {
		return 0, err
	}
	return t.feetPlus(g[0], inches)
}

// feetSlash reads 5/4 1/2: feet, inches, numerator, denominator. The fraction
// after it leaves no doubt that the slash stands between feet and inches.
func (t lengthText) feetSlash(g []string) (Length, error) {
	inches, err := t.mixed([]string{g[1], g[2], g[3], "", ""}, Inches)
	if err != nil {
		return 0, err
	}
	return t.feetPlus(g[0], inches)
}

func (t lengthText) feetPlus(feet string, inches Length) (Length, error) {
	if inches >= Foot {
		return 0, wrong(t.raw, "has 12 inches or more after the feet", `write 4'-2" for 3'-14"`)
	}
	return decimal(feet, Foot) + inches, nil
}

// loneFraction reads 1/2 or 3/0.
func (t lengthText) loneFraction(g []string) (Length, error) {
	num, den := small(g[0]), small(g[1])
	onTape := tapeFraction(num, den)
	switch {
	case den == 0:
		return decimal(g[0], Foot), nil
	case onTape && num%2 == 1 && t.bare <= Inches:
		return fraction(num, den, Inch), nil
	case den < 12 && bits.OnesCount(uint(den)) == 1:
		return 0, wrong(t.raw, "may be feet and inches or a fraction", fmt.Sprintf(`write %d'-%d" or %s"`,
			num, den, FormatInches(fraction(num, den, Inch), finest)))
	case den < 12:
		return 0, wrong(t.raw, "may be feet and inches or a fraction", fmt.Sprintf(`write %d'-%d"`, num, den))
	case onTape:
		return 0, wrong(t.raw, "is a fraction without a unit", fmt.Sprintf(`write %d/%d"`, num, den))
	default:
		return 0, wrong(t.raw, "is not a length", writeLength)
	}
}

// oneUnit reads a mixed number and its unit, or the unit of bare numbers.
func (t lengthText) oneUnit(g []string) (Length, error) {
	u := t.bare
	if word := g[5]; word != "" {
		known := false
		if u, known = unitWords[word]; !known {
			return 0, t.refuse(plain(t.raw))
		}
	}
	if u.length() == 0 {
		return 0, noUnit(t.raw)
	}
	return t.mixed(g[:5], u)
}

func noUnit(s string) error {
	return wrong(s, "has no unit", "write the unit after it: in, ft, mm, cm or m")
}

// mixed returns the length of a mixed number of units u: whole or decimal,
// numerator, denominator; numerator and denominator alone.
func (t lengthText) mixed(g []string, u Unit) (Length, error) {
	whole, num, den := g[0], g[1], g[2]
	if whole == "" {
		num, den = g[3], g[4]
	}
	l := decimal(whole, u.length())
	if num == "" {
		return l, nil
	}
	n, d := small(num), small(den)
	switch {
	case u.metric():
		return 0, wrong(t.raw, "has a fraction of a metric unit", "write decimals")
	case strings.Contains(whole, "."):
		return 0, wrong(t.raw, "has decimals and a fraction", "write one of the two")
	case !tapeFraction(n, d):
		return 0, wrong(t.raw, fmt.Sprintf("has the fraction %s/%s", num, den), "write a fraction below 1 in halves to 64ths, or decimals")
	}
	return l + fraction(n, d, u.length()), nil
}

// small returns the value of a short run of digits, a large number for a long
// one, which is no part of any fraction.
func small(digits string) int {
	n, err := strconv.Atoi(digits)
	if err != nil || n > math.MaxInt32 {
		return math.MaxInt32
	}
	return n
}

// tapeFraction reports whether a tape is divided so: below 1, halves to 64ths.
func tapeFraction(num, den int) bool {
	return num < den && den <= finest && bits.OnesCount(uint(den)) == 1
}

func fraction(num, den int, unit Length) Length {
	return Length(MulDiv(int64(num), int64(unit), int64(den)))
}

// decimal returns the length of digits, with a point among them or not, in
// units; more than MaxLength if that is too long to hold.
func decimal(digits string, unit Length) Length {
	whole, part, _ := strings.Cut(digits, ".")
	whole = strings.TrimLeft(whole, "0")
	if len(whole) > 7 {
		return MaxLength + 1
	}
	const places = 12 // far below a nanometer in any unit
	part = (part + strings.Repeat("0", places))[:places]
	parts, _ := strconv.ParseInt(part, 10, 64)
	return Length(small("0"+whole))*unit + Length(MulDiv(parts, int64(unit), 1e12))
}

// noise is how far a number may stand from a mark and still mean the mark.
const noise Length = 1_000

// onMark returns the multiple of 1/64 in or of 0.1 mm that l stands for, the
// nearer of the two, or l itself when neither is within noise.
func onMark(l Length) Length {
	inch, metric := nearest(l, SixtyFourth), nearest(l, Millimeter/10)
	mark := inch
	if distance(l, metric) < distance(l, inch) {
		mark = metric
	}
	if distance(l, mark) <= noise {
		return mark
	}
	return l
}

func nearest(l, step Length) Length { return Length(MulDiv(int64(l), 1, int64(step))) * step }

func distance(a, b Length) Length { return max(a, b) - min(a, b) }

// FromNumber returns the length of the number v of units u, as a numeric cell
// holds it. A number within a thousandth of a millimeter of a multiple of
// 1/64 in or of 0.1 mm is that multiple. Any other is taken to the nearest
// nanometer, and note says so in words for the estimator; else note is empty.
//
// Refused, with a *FormError: a number without a unit, one that is negative or
// not finite, and lengths over MaxLength.
func FromNumber(v float64, u Unit) (l Length, note string, err error) {
	nm := math.Round(float64(v * float64(u.length())))
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, "", wrong(number(v), "is not a number", writeLength)
	case u.length() == 0:
		return 0, "", noUnit(number(v))
	case nm < 0:
		return 0, "", wrong(number(v), "is negative", "write it without the minus sign")
	case nm > float64(MaxLength):
		return 0, "", tooLong(number(v) + " " + u.String())
	}
	l = Length(nm)
	if mark := onMark(l); mark != l || distance(nearest(l, SixtyFourth), l) == 0 || l%(Millimeter/10) == 0 {
		return mark, "", nil
	}
	return l, fmt.Sprintf("%s %s is on no mark of 1/64 in or 0.1 mm; taken as it is", number(v), u), nil
}
