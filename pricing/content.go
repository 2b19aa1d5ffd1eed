package pricing

import (
	"fmt"
	"math/big"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// coverageUnits are the base units of one unit that a coverage counts, by the
// dimension of the need: pieces, feet, square feet, cubic inches.
var coverageUnits = [...]int64{
	estimate.Each:       1,
	estimate.Lengthwise: int64(measure.Foot),
	estimate.Areawise:   int64(measure.SquareFoot),
	estimate.Volumewise: int64(measure.CubicInch),
}

// quantityOf returns the quantity in which a need is counted.
func quantityOf(d estimate.Dimension) measure.Quantity {
	return [...]measure.Quantity{
		estimate.Each: measure.ByCount, estimate.Lengthwise: measure.ByLength, estimate.Areawise: measure.ByArea, estimate.Volumewise: measure.ByVolume,
	}[d]
}

// largest is the most base units that one pack may serve: 6,000 miles,
// 107,000 ft², 2.6 million gallons. More is a slip of the unit, and sums of it
// would not be exact.
const largest = 10_000_000_000_000_000

// ParseContent returns what one pack of the item serves, in base units of the
// item's dimension, rounded down. text is a number and a unit, as
// measure.ParseContent reads it: "10.1 fl oz", "16 ft", "5 lb", "100 each",
// "1/2 gal".
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
// expected: what is no content, ounces where they may be weight or volume,
// units of another kind, nothing, and more than any pack holds.
func ParseContent(text string, item estimate.Item) (int64, error) {
	example := either(item, measure.Quantity.Example)
	c, err := measure.ParseContent(text, example)
	if err != nil {
		return 0, err
	}
	if c.Unit.Name == "oz" && quantityOf(item.Dim) == measure.ByVolume && !coveredByWeight(item) {
		return 0, wrong(text, "may be a weight or a volume", `write "fl oz" for a volume`)
	}
	exact, ok := servedBy(c, item)
	if !ok {
		what := fmt.Sprintf("is %s, but %s is bought by %s", c.Unit.Of.WithArticle(), item.Key, either(item, measure.Quantity.String))
		return 0, wrong(text, what, "write "+example)
	}
	served := new(big.Int).Quo(exact.Num(), exact.Denom())
	switch {
	case served.Sign() == 0:
		return 0, wrong(text, "serves nothing", "write "+example)
	case !served.IsInt64() || served.Int64() > largest:
		return 0, wrong(text, "is too large", "check the number and its unit")
	}
	return served.Int64(), nil
}

// servedBy returns how many base units of the need a content serves, exactly, and
// whether it is of a kind that serves the item.
func servedBy(c measure.Content, item estimate.Item) (*big.Rat, bool) {
	base := c.Base()
	if item.Cut {
		return base, c.Unit.Of == measure.ByLength
	}
	if u, ok := coverageUnit(item); ok && u.Of == c.Unit.Of {
		covered := new(big.Int).Mul(big.NewInt(item.Coverage), big.NewInt(coverageUnits[item.Dim]))
		base.Quo(base, u.Size())
		return base.Mul(base, new(big.Rat).SetInt(covered)), true
	}
	return base, c.Unit.Of == quantityOf(item.Dim)
}

// coverageUnit returns the unit of content that an item's coverage is for.
func coverageUnit(item estimate.Item) (measure.ContentUnit, bool) {
	u, known := measure.ContentUnitOf(item.CoverageUnit)
	return u, known && item.Coverage > 0
}

func coveredByWeight(item estimate.Item) bool {
	u, known := measure.ContentUnitOf(item.CoverageUnit)
	return known && u.Of == measure.ByWeight
}

// either joins the words for the quantities in which an item's content may be
// written.
func either(item estimate.Item, word func(measure.Quantity) string) string {
	if item.Cut {
		return word(measure.ByLength)
	}
	words := []string{word(quantityOf(item.Dim))}
	if cu, ok := coverageUnit(item); ok && cu.Of != quantityOf(item.Dim) {
		words = append(words, word(cu.Of))
	}
	return strings.Join(words, " or ")
}

// wrong returns the error of a value: quoted, what is wrong, what to do.
func wrong(text, what, do string) *measure.FormError {
	return &measure.FormError{What: measure.Quote(text) + " " + what, Do: do}
}
