package measure

import (
	"math/big"
	"regexp"
	"strings"
)

// Quantity is what a unit measures.
type Quantity int

// The quantities in which needs are counted and packs are sold.
const (
	ByCount Quantity = iota
	ByLength
	ByArea
	ByVolume
	ByWeight
)

// quantities names each Quantity and shows how a content of it is written.
var quantities = [...]struct{ article, name, example string }{
	ByCount:  {"a", "count", "100 each"},
	ByLength: {"a", "length", "16 ft"},
	ByArea:   {"an", "area", "400 ft2"},
	ByVolume: {"a", "volume", "10.1 fl oz"},
	ByWeight: {"a", "weight", "5 lb"},
}

// String returns the quantity's name: "count", "length", "area", "volume" or
// "weight".
func (q Quantity) String() string { return quantities[q].name }

// WithArticle returns the name with its article: "an area".
func (q Quantity) WithArticle() string { return quantities[q].article + " " + quantities[q].name }

// Example shows how a content of the quantity is written: "16 ft".
func (q Quantity) Example() string { return quantities[q].example }

// ContentUnit is a unit in which the content of a pack is written.
type ContentUnit struct {
	Name     string // as in the table: "fl oz"
	Of       Quantity
	num, den int64 // its size is num / den base units
}

// Size returns one unit in base units of its quantity, exactly: pieces,
// nanometers, square micrometers, nanoliters and nanograms.
func (u ContentUnit) Size() *big.Rat { return big.NewRat(u.num, u.den) }

const pound = 453_592_370_000 // nanograms

// contentUnits are the units of content with their exact sizes.
//
// Source: National Institute of Standards and Technology, Handbook 44, appendix C:
// US gallon 231 in³, 128 fluid ounces; inch 25.4 mm; avoirdupois pound 0.45359237 kg.
var contentUnits = []ContentUnit{
	{"each", ByCount, 1, 1},
	{"pair", ByCount, 2, 1},

	{"in", ByLength, int64(Inch), 1},
	{"ft", ByLength, int64(Foot), 1},
	{"yd", ByLength, 3 * int64(Foot), 1},
	{"mm", ByLength, int64(Millimeter), 1},
	{"cm", ByLength, 10 * int64(Millimeter), 1},
	{"m", ByLength, 1000 * int64(Millimeter), 1},

	{"in2", ByArea, int64(SquareFoot), 144},
	{"ft2", ByArea, int64(SquareFoot), 1},
	{"m2", ByArea, int64(SquareMeter), 1},

	{"in3", ByVolume, int64(CubicInch), 1},
	{"ft3", ByVolume, 1728 * int64(CubicInch), 1},
	{"fl oz", ByVolume, 231 * int64(CubicInch), 128},
	{"pt", ByVolume, 231 * int64(CubicInch), 8},
	{"qt", ByVolume, 231 * int64(CubicInch), 4},
	{"gal", ByVolume, 231 * int64(CubicInch), 1},
	{"ml", ByVolume, int64(Millilitre), 1},
	{"l", ByVolume, 1000 * int64(Millilitre), 1},

	{"oz", ByWeight, pound, 16},
	{"lb", ByWeight, pound, 1},
	{"g", ByWeight, 1_000_000_000, 1},
	{"kg", ByWeight, 1_000_000_000_000, 1},
}

// contentWords maps other ways to write a unit, beside those of unitWords, to
// its name.
var contentWords = map[string]string{
	"ea": "each", "pc": "each", "pcs": "each", "piece": "each", "pieces": "each", "count": "each", "ct": "each",
	"pairs": "pair", "pr": "pair",
	"lf": "ft", "lft": "ft", "lnft": "ft", "linft": "ft", "ln ft": "ft", "lin ft": "ft", "lin foot": "ft", "lin feet": "ft",
	"lineal ft": "ft", "lineal foot": "ft", "lineal feet": "ft", "linear ft": "ft", "linear foot": "ft", "linear feet": "ft",
	"running ft": "ft", "running foot": "ft", "running feet": "ft", "yard": "yd", "yards": "yd",
	"sq in": "in2", "in²": "in2", "sq ft": "ft2", "ft²": "ft2", "sf": "ft2", "sqft": "ft2", "square ft": "ft2", "square foot": "ft2", "square feet": "ft2",
	"m²": "m2", "sq m": "m2",
	"in³": "in3", "cu in": "in3", "ft³": "ft3", "cu ft": "ft3",
	"floz": "fl oz", "fluid ounce": "fl oz", "fluid ounces": "fl oz",
	"pint": "pt", "pints": "pt", "quart": "qt", "quarts": "qt", "gallon": "gal", "gallons": "gal", "gals": "gal",
	"litre": "l", "litres": "l", "liter": "l", "liters": "l",
	"ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb", "kgs": "kg", "grams": "g",
}

// ContentUnitOf returns the unit of content with a name: "fl oz", "ft", "lb".
func ContentUnitOf(name string) (ContentUnit, bool) {
	for _, u := range contentUnits {
		if u.Name == name {
			return u, true
		}
	}
	return ContentUnit{}, false
}

// wordUnit returns the unit that a word stands for, in the spelling of plain and
// without full stops.
func wordUnit(word string) (ContentUnit, bool) {
	if name, known := contentWords[word]; known {
		return ContentUnitOf(name)
	}
	if u, known := unitWords[word]; known {
		return ContentUnitOf(u.String())
	}
	return ContentUnitOf(word)
}

// Content is how much of something a pack holds: a number and its unit.
type Content struct {
	Number *big.Rat
	Unit   ContentUnit
	Word   string // the unit as written, in lower case and without full stops
}

// Base returns the content in base units of its quantity, exactly.
func (c Content) Base() *big.Rat { return new(big.Rat).Mul(c.Number, c.Unit.Size()) }

// The forms of a content, in the spelling of plain: whole number with commas
// between thousands, then decimals or a fraction; a fraction alone. The unit
// comes last.
var (
	contentForm  = regexp.MustCompile(`^(\d+|\d{1,3}(?:,\d{3})+|)(\.\d+|(?: ?- ?| )\d+/\d+|) ?([^\d.,/ -].*)$`)
	fractionForm = regexp.MustCompile(`^(\d+/\d+) ?([^\d.,/ -].*)$`)
	bareNumber   = regexp.MustCompile(`^[\d.,/ -]+$`)
	decimalComma = regexp.MustCompile(`\d,\d`)
)

// ParseContent returns the number and the unit that a text writes: "10.1 fl oz",
// "16 ft", "5 lb", "100 each", "1-1/2 gal", with the dashes, fractions and
// spaces that word processors and phones put for those of a keyboard. Feet and
// inches (16'-0") are a number of feet. The unit may be written in any of its
// usual ways, with full stops or without.
//
// Refused, with a *FormError: a blank text, a number without a unit, a decimal
// comma, and all that is no such amount. example is what the error's advice
// says to write.
func ParseContent(text, example string) (Content, error) {
	s := plain(text)
	advice := "write " + example
	number, word, ok := splitContent(s)
	switch {
	case s == "":
		return Content{}, wrong(text, "is blank", advice)
	case ok:
	case bareNumber.MatchString(s):
		return Content{}, wrong(text, "has no unit", advice)
	case decimalComma.MatchString(s):
		return Content{}, wrong(text, "has a comma that is not between thousands", "write a decimal point: "+example)
	default:
		return feetAndInchesContent(text, advice)
	}
	u, known := wordUnit(word)
	if !known {
		return feetAndInchesContent(text, advice)
	}
	n, isNumber := rational(number)
	if !isNumber {
		return Content{}, wrong(text, "is not a content", advice)
	}
	return Content{n, u, word}, nil
}

// feetAndInchesContent reads what is no number with one unit: feet and inches.
func feetAndInchesContent(text, advice string) (Content, error) {
	l, err := ParseLength(text, NoUnit)
	if err != nil {
		return Content{}, wrong(text, "is not a content", advice)
	}
	foot, _ := ContentUnitOf(Feet.String())
	return Content{big.NewRat(int64(l), int64(Foot)), foot, foot.Name}, nil
}

// splitContent divides a content into its number and its unit, which is without
// full stops.
func splitContent(s string) (number, word string, ok bool) {
	if m := fractionForm.FindStringSubmatch(s); m != nil {
		number, word = m[1], m[2]
	} else if m := contentForm.FindStringSubmatch(s); m != nil && (m[1] != "" || strings.HasPrefix(m[2], ".")) {
		number, word = strings.ReplaceAll(m[1], ",", "")+m[2], m[3]
	}
	return number, strings.TrimSpace(strings.ReplaceAll(word, ".", "")), number != ""
}

// rational returns the number written as whole, decimal, fraction or mixed
// number.
func rational(s string) (*big.Rat, bool) {
	sum := new(big.Rat)
	for _, part := range strings.Fields(strings.ReplaceAll(s, "-", " ")) {
		n, ok := new(big.Rat).SetString(part)
		if !ok {
			return nil, false
		}
		sum.Add(sum, n)
	}
	return sum, true
}

// Part returns what is left of a content when so many ten-thousandths of it are there, in
// its own unit, rounded down to a hundredth, or to a piece: "5.05 fl oz". "" of nothing.
func (c Content) Part(tenThousandths int64) string {
	n := new(big.Rat).Mul(c.Number, big.NewRat(tenThousandths, 10_000))
	hundredths := new(big.Int).Quo(new(big.Int).Mul(n.Num(), big.NewInt(100)), n.Denom())
	if c.Unit.Of == ByCount {
		hundredths.Sub(hundredths, new(big.Int).Mod(hundredths, big.NewInt(100)))
	}
	if hundredths.Sign() == 0 {
		return ""
	}
	text := new(big.Rat).SetFrac(hundredths, big.NewInt(100)).FloatString(2)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".") + " " + c.Word
}
