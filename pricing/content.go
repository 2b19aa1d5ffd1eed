package pricing

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"unicode"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// quantity is what a unit of content measures: the dimensions of a need, in
// their order, and weight.
type quantity int

const (
	counted = quantity(estimate.Each)
	long    = quantity(estimate.Lengthwise)
	wide    = quantity(estimate.Areawise)
	bulky   = quantity(estimate.Volumewise)
	heavy   = bulky + 1
)

// quantities names each quantity and shows how a content of it is written.
var quantities = [...]struct{ article, name, example string }{
	counted: {"a", "count", "100 each"},
	long:    {"a", "length", "16 ft"},
	wide:    {"an", "area", "400 ft2"},
	bulky:   {"a", "volume", "10.1 fl oz"},
	heavy:   {"a", "weight", "5 lb"},
}

// unit is a unit of content: num / den base units of its quantity, which are
// pieces, nanometres, square micrometres, nanolitres and nanograms.
type unit struct {
	of       quantity
	num, den int64
}

const (
	squareFoot = int64(measure.Foot/1_000) * int64(measure.Foot/1_000)
	cubicInch  = 16_387_064
	pound      = 453_592_370_000
)

// units are the units of content with their exact sizes.
//
// Source: NIST Handbook 44, appendix C: US gallon 231 in³, 128 fluid ounces;
// inch 25.4 mm; avoirdupois pound 0.45359237 kg.
var units = map[string]unit{
	"each": {counted, 1, 1},
	"pair": {counted, 2, 1},

	"in": {long, int64(measure.Inch), 1},
	"ft": {long, int64(measure.Foot), 1},
	"yd": {long, 3 * int64(measure.Foot), 1},
	"mm": {long, int64(measure.Millimetre), 1},
	"cm": {long, 10 * int64(measure.Millimetre), 1},
	"m":  {long, 1000 * int64(measure.Millimetre), 1},

	"in2": {wide, squareFoot, 144},
	"ft2": {wide, squareFoot, 1},
	"m2":  {wide, 1_000_000_000_000, 1},

	"in3":   {bulky, cubicInch, 1},
	"ft3":   {bulky, 1728 * cubicInch, 1},
	"fl oz": {bulky, 231 * cubicInch, 128},
	"pt":    {bulky, 231 * cubicInch, 8},
	"qt":    {bulky, 231 * cubicInch, 4},
	"gal":   {bulky, 231 * cubicInch, 1},
	"ml":    {bulky, 1_000_000, 1},
	"l":     {bulky, 1_000_000_000, 1},

	"oz": {heavy, pound, 16},
	"lb": {heavy, pound, 1},
	"g":  {heavy, 1_000_000_000, 1},
	"kg": {heavy, 1_000_000_000_000, 1},
}

// coverageUnits are the base units of one unit that a coverage counts, by the
// dimension of the need: pieces, feet, square feet, cubic inches.
var coverageUnits = [...]int64{
	estimate.Each:       1,
	estimate.Lengthwise: int64(measure.Foot),
	estimate.Areawise:   squareFoot,
	estimate.Volumewise: cubicInch,
}

// unitWords maps other ways to write a unit to its key in units.
var unitWords = map[string]string{
	"ea": "each", "pc": "each", "pcs": "each", "piece": "each", "pieces": "each", "count": "each", "ct": "each",
	"pairs": "pair", "pr": "pair",
	`"`: "in", "inch": "in", "inches": "in", "'": "ft", "foot": "ft", "feet": "ft", "lin ft": "ft", "lf": "ft", "yard": "yd", "yards": "yd",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"sq in": "in2", "in²": "in2", "sq ft": "ft2", "ft²": "ft2", "sf": "ft2", "square feet": "ft2", "m²": "m2", "sq m": "m2",
	"in³": "in3", "cu in": "in3", "ft³": "ft3", "cu ft": "ft3",
	"floz": "fl oz", "fluid ounce": "fl oz", "fluid ounces": "fl oz",
	"pint": "pt", "pints": "pt", "quart": "qt", "quarts": "qt", "gallon": "gal", "gallons": "gal", "gals": "gal",
	"litre": "l", "litres": "l", "liter": "l", "liters": "l",
	"ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb", "kgs": "kg", "grams": "g",
}

// largest is the most base units that one pack may serve: 6,000 miles,
// 107,000 ft², 2.6 million gallons. More is a slip of the unit, and sums of it
// would not be exact.
const largest = 10_000_000_000_000_000

var (
	contentForm  = regexp.MustCompile(`^(\d+|\d{1,3}(?:,\d{3})+|)(\.\d+|[ -]\d+/\d+|) ?([^\d.,/ -].*)$`)
	fractionForm = regexp.MustCompile(`^(\d+/\d+) ?([^\d.,/ -].*)$`)
	bareNumber   = regexp.MustCompile(`^[\d.,/ -]+$`)
	decimalComma = regexp.MustCompile(`\d,\d`)
)

// ParseContent returns what one pack of the item serves, in base units of the
// item's dimension, rounded down. text is a number and a unit: "10.1 fl oz",
// "16 ft", "5 lb", "100 each", "1/2 gal".
//
// Of an item with a coverage, content in the coverage's unit is turned into
// the need:
//
//	served = content × coverage
//
// where the coverage counts pieces, feet, ft² or in³, by the item's dimension:
// nails a pound, ft² a gallon, joints a can. An item that is cut takes lengths
// only. All factors are exact; only the result is rounded.
//
// Anything else is refused with a *measure.FormError that says what is
// expected: numbers without a unit, decimal commas, ounces where they may be
// weight or volume, units of another kind, nothing, and more than any pack
// holds.
func ParseContent(text string, item estimate.Item) (int64, error) {
	n, u, err := readContent(text, item)
	if err != nil {
		return 0, err
	}
	per, ok := servedBy(u, item)
	if !ok {
		return 0, wrong(text, fmt.Sprintf("is %s %s, but %s is bought by %s", quantities[u.of].article, quantities[u.of].name, item.Key, expected(item)), "write "+examples(item))
	}
	n.Mul(n, per)
	served := new(big.Int).Quo(n.Num(), n.Denom())
	switch {
	case served.Sign() == 0:
		return 0, wrong(text, "serves nothing", "write "+examples(item))
	case !served.IsInt64() || served.Int64() > largest:
		return 0, wrong(text, "is too large", "check the number and its unit")
	}
	return served.Int64(), nil
}

// readContent reads the number and the unit.
func readContent(text string, item estimate.Item) (*big.Rat, unit, error) {
	s := tidy(text)
	advice := "write " + examples(item)
	number, word, ok := split(s)
	switch {
	case s == "":
		return nil, unit{}, wrong(text, "is blank", advice)
	case ok:
	case bareNumber.MatchString(s):
		return nil, unit{}, wrong(text, "has no unit", advice)
	case decimalComma.MatchString(s):
		return nil, unit{}, wrong(text, "has a comma that is not between thousands", "write a decimal point: "+examples(item))
	default:
		return readLength(text, item)
	}
	if name, known := unitWords[word]; known {
		word = name
	}
	u, known := units[word]
	n, isNumber := rational(number)
	switch {
	case !known:
		return readLength(text, item)
	case !isNumber:
		return nil, unit{}, wrong(text, "is not a content", advice)
	case word == "oz" && quantity(item.Dim) == bulky && !sameKind(item.CoverageUnit, heavy):
		return nil, unit{}, wrong(text, "may be a weight or a volume", `write "fl oz" for a volume`)
	}
	return n, u, nil
}

// readLength reads what is left: feet and inches, for an item that is bought
// by length.
func readLength(text string, item estimate.Item) (*big.Rat, unit, error) {
	if l, err := measure.ParseLength(text, measure.NoUnit); err == nil {
		return new(big.Rat).SetInt64(int64(l)), unit{long, 1, 1}, nil
	}
	return nil, unit{}, wrong(text, "is not a content", "write "+examples(item))
}

// split divides a content into its number and its unit, which is without full
// stops.
func split(s string) (number, word string, ok bool) {
	if m := fractionForm.FindStringSubmatch(s); m != nil {
		number, word = m[1], m[2]
	} else if m := contentForm.FindStringSubmatch(s); m != nil && m[1]+m[2] != "" {
		number, word = strings.ReplaceAll(m[1], ",", "")+m[2], m[3]
	}
	return number, strings.TrimSpace(strings.ReplaceAll(word, ".", "")), number != ""
}

// rational returns the number written as whole, decimal, fraction or mixed
// number.
func rational(s string) (*big.Rat, bool) {
	whole, part, mixed := strings.Cut(strings.ReplaceAll(s, "-", " "), " ")
	n, ok := new(big.Rat).SetString(whole)
	if !ok || !mixed {
		return n, ok
	}
	f, ok := new(big.Rat).SetString(part)
	if !ok {
		return nil, false
	}
	return n.Add(n, f), true
}

// servedBy returns how many base units of the need one unit of content serves.
func servedBy(u unit, item estimate.Item) (*big.Rat, bool) {
	size := big.NewRat(u.num, u.den)
	if item.Cut {
		return size, u.of == long
	}
	if cu, ok := units[item.CoverageUnit]; ok && item.Coverage > 0 && cu.of == u.of {
		size.Mul(size, big.NewRat(cu.den, cu.num))
		return size.Mul(size, new(big.Rat).SetInt(new(big.Int).Mul(big.NewInt(item.Coverage), big.NewInt(coverageUnits[item.Dim])))), true
	}
	return size, u.of == quantity(item.Dim)
}

// kinds returns the quantities in which an item's content may be written.
func kinds(item estimate.Item) []quantity {
	if item.Cut {
		return []quantity{long}
	}
	own := quantity(item.Dim)
	if cu, ok := units[item.CoverageUnit]; ok && item.Coverage > 0 && cu.of != own {
		return []quantity{own, cu.of}
	}
	return []quantity{own}
}

func sameKind(name string, q quantity) bool {
	u, ok := units[name]
	return ok && u.of == q
}

func expected(item estimate.Item) string {
	return either(item, func(q quantity) string { return quantities[q].name })
}

func examples(item estimate.Item) string {
	return either(item, func(q quantity) string { return quantities[q].example })
}

func either(item estimate.Item, word func(quantity) string) string {
	var words []string
	for _, q := range kinds(item) {
		words = append(words, word(q))
	}
	return strings.Join(words, " or ")
}

// fractions are the vulgar fractions that phones and word processors write.
var fractions = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "″", `"`, "”", `"`, "′", "'", "’", "'")

// tidy returns a text in lower case with single spaces.
func tidy(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(fractions.Replace(s)), " "))
}

// wrong returns the error of a value: quoted, what is wrong, what to do.
func wrong(text, what, do string) *measure.FormError {
	return &measure.FormError{What: quote(text) + " " + what, Do: do}
}

// quote puts a text in quotation marks, on one line and not too long. Inch
// marks inside stay as they are.
func quote(s string) string {
	const most = 60
	clean := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD")))
	if len(clean) > most {
		clean = append(clean[:most], '…')
	}
	return `"` + string(clean) + `"`
}
