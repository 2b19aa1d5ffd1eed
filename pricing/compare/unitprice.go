package compare

import (
	"fmt"
	"math/big"
	"slices"

	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Prices of one pack differ by less than near; a factor of far is out of line.
const (
	nearNum, nearDen = 3, 2
	far              = 3
)

// alike reports whether two prices are within a factor of 1.5.
func alike(a, b int64) bool { return nearDen*a <= nearNum*b && nearDen*b <= nearNum*a }

// minFactor is the least content, in thousandths, by which a price is believed
// to be that of another unit: a smaller one is no further than prices differ.
const minFactor = thousand * nearNum * nearNum / nearDen / nearDen

// thousand keeps three decimals of a price that is turned from one content into
// another.
const thousand = 1000

// unitFlag reports a price that seems to be that of another unit: its factor to
// the other quotes' is about the content of a pack. What is out of line and is
// no unit's is reported too, and never corrected.
//
// Source: outliers are asked back, not corrected: US Comptroller General, decisions
// B-208469 (1982) and B-265659 (1995), read in excerpts
func (r *tabulator) unitFlag(i, k int, l QuoteLine, say sayFlag) {
	if !l.offered() || l.Offer.Amount <= 0 {
		return
	}
	others := r.othersOf(i, l)
	if len(others) == 0 {
		return
	}
	var refs []measure.UnitPrice
	for _, o := range others {
		refs = append(refs, measure.UnitPrice(measure.MulDiv(int64(o.UnitPrice().V)*thousand, l.Offer.Amount, o.Offer.Amount)))
	}
	price, ref := l.UnitPrice().V, int64(Median(refs))
	own := int64(price) * thousand
	if slices.ContainsFunc(refs, func(x measure.UnitPrice) bool { return alike(own, int64(x)) }) {
		return // somebody asks about the same
	}
	what := fmt.Sprintf("%s: %s for %s, where the others ask about %s", l.Named, price, measure.Quote(l.Offer.Content),
		measure.UnitPrice(measure.MulDiv(ref, 1, thousand)))
	flag := func(kind, what, do string) *Flag {
		f := say(kind, l.Offer.Item, l.At[CellPrice], what, do)
		f.Line = k
		return f
	}
	meant := func(unit string, read int64) {
		what := fmt.Sprintf("%s: it may be the price of %s, which would be %s", what, unit, measure.UnitPrice(read))
		flag(FlagUnit, what, "ask what the price is for").Readings = r.readings(i, k, l, "price of "+unit, measure.UnitPrice(read))
	}
	if n, unit := contentNumber(l.Offer); n > minFactor && alike(measure.MulDiv(own, n, thousand), ref) {
		meant("one "+unit, measure.MulDiv(int64(price), n, thousand))
		return
	}
	for _, o := range others {
		n := measure.MulDiv(o.Offer.Amount, thousand, l.Offer.Amount)
		if n > minFactor && alike(own, measure.MulDiv(ref, n, thousand)) {
			meant(measure.Quote(o.Offer.Content), measure.MulDiv(int64(price), thousand, n))
			return
		}
	}
	if !slices.ContainsFunc(refs, func(x measure.UnitPrice) bool { return own <= far*int64(x) && int64(x) <= far*own }) {
		flag(FlagFar, what, "ask whether it is meant")
	}
}

// othersOf returns the line of each other quote that is nearest in content.
func (r *tabulator) othersOf(i int, l QuoteLine) []QuoteLine {
	var out []QuoteLine
	for j, q := range r.quotes {
		best := -1
		apart := func(k int) int64 {
			return max(q.Lines[k].Offer.Amount-l.Offer.Amount, l.Offer.Amount-q.Lines[k].Offer.Amount)
		}
		for k, x := range q.Lines {
			if j != i && x.offered() && x.Offer.Item == l.Offer.Item && (best < 0 || apart(k) < apart(best)) {
				best = k
			}
		}
		if best >= 0 {
			out = append(out, q.Lines[best])
		}
	}
	return out
}

// contentNumber returns the number of a content in thousandths, and its unit as
// written: "16 ft" is 16,000 ft. A length in feet and inches is in feet. 0 =
// none.
func contentNumber(o pricing.Offer) (thousandths int64, unit string) {
	c, err := measure.ParseContent(o.Content, "")
	if err != nil {
		return 0, ""
	}
	n := new(big.Rat).Mul(c.Number, big.NewRat(thousand, 1))
	whole := new(big.Int).Quo(n.Num(), n.Denom())
	if !whole.IsInt64() {
		return 0, ""
	}
	return whole.Int64(), c.Word
}
