package main

import (
	"cmp"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// bidPart is a part of the price as it is worked out from the input sheets of a
// workbook, the same in the program's plan, and where it stands on Summary.
type bidPart struct {
	label           string
	again, inTheBid measure.Money
}

// bidFoots works every part of the price out again from the input sheets of the
// written workbook, and the counts of Materials; nothing of the bid is read but to be
// held against that. Each part must be the same in the plan and on Summary, alone and
// where the money goes, and together they must be the total.
//
// Source of the rules: the comments of pricing/bid.go and the sheet Job
func (j writtenJob) bidFoots(t *testing.T) {
	b, bid := j.written, j.plan.Bid
	rates := b.jobValues()
	materials, delivery, orderTax := b.orderSums(rates)
	builder, installer := b.unitSums()
	other, otherTaxable := b.costSums()
	labor := b.laborSum(rates)
	taxedUnits := measure.Money(0)
	if rates.of("tax units") == "yes" {
		taxedUnits = builder
	}
	tax := orderTax + rates.part("tax", taxedUnits+otherTaxable)
	units := builder + installer
	direct := materials + delivery + units + other + labor + tax
	overhead := rates.part("overhead", direct)
	contingency := rates.part("contingency", direct+overhead)
	cost := direct + overhead + contingency
	profit := rates.part("profit", cost)
	if rates.of("profit is") == "margin" {
		price := new(big.Rat).Quo(inCents(cost), new(big.Rat).Sub(big.NewRat(1, 1), rates.rate("profit")))
		profit = roundedCents(price) - cost
	}

	parts := []bidPart{
		{"Windows and doors", units, bid.Units}, {"Other costs", other, bid.Costs}, {"Labor", labor, bid.Labor}, {"Delivery", delivery, bid.Delivery},
		{"Sales tax", tax, bid.Tax}, {"Overhead", overhead, bid.Overhead}, {"Contingency", contingency, bid.Contingency}, {"Profit", profit, bid.Profit},
	}
	of := b.parts()
	total := materials
	for _, p := range parts {
		assert.Equal(t, p.again, p.inTheBid, "%s of the plan", p.label)
		assert.Equal(t, p.again, b.amount("Summary", p.label, "Amount"), "%s on Summary", p.label)
		assert.Equal(t, p.again, of[p.label], "%s, where the money goes", p.label)
		total += p.again
	}
	assert.Equal(t, materials, bid.Materials, "materials of the plan")
	assert.Equal(t, materials, b.amount("Summary", "Materials", "Amount"), "materials on Summary")
	classes := measure.Money(0)
	for label, amount := range of {
		if strings.HasPrefix(label, "Materials: ") {
			classes += amount
		}
	}
	assert.Equal(t, materials, classes, "materials by class and surplus, where the money goes")
	assert.Len(t, of, len(parts)+classesOfMaterials, "a part that this test does not know")

	assert.Equal(t, direct, b.amount("Summary", "Direct cost", "Amount"))
	assert.Equal(t, direct, bid.Direct)
	assert.Equal(t, cost, b.amount("Summary", "Cost", "Amount"))
	assert.Equal(t, cost, bid.Cost)
	assert.Equal(t, taxedUnits, b.amount("Summary", "Taxable: windows and doors", "Amount"), "the builder's units, and not the installer's")
	assert.Equal(t, otherTaxable, b.amount("Summary", "Taxable: other costs", "Amount"))
	assert.Equal(t, total, b.amount("Summary", "Total", "Amount"), "the parts are the total on Summary")
	assert.Equal(t, total, bid.Total, "the parts are the total of the plan")
}

// classesOfMaterials is how many lines of materials Summary has where the money goes:
// nine classes and the surplus.
const classesOfMaterials = 10

// jobValues are the values of the sheet Job of a workbook by key, and its defaults.
type jobValues struct {
	t      testing.TB
	values map[string]string
}

func (b writtenBook) jobValues() jobValues {
	s := jobValues{b.t, map[string]string{}}
	for _, row := range b.table("Job", "Key", "Value", "Default") {
		s.values[row["Key"]] = cmp.Or(row["Value"], row["Default"])
	}
	return s
}

// of returns the value of a key; it must be there.
func (s jobValues) of(key string) string {
	s.t.Helper()
	v, ok := s.values[key]
	require.True(s.t, ok, key)
	return v
}

// rate returns a rate as a fraction.
func (s jobValues) rate(key string) *big.Rat {
	s.t.Helper()
	return exact(s.t, s.of(key))
}

// part returns what an amount comes to at a rate.
func (s jobValues) part(key string, of measure.Money) measure.Money {
	s.t.Helper()
	return roundedCents(new(big.Rat).Mul(inCents(of), s.rate(key)))
}

// exact reads a stored number.
func exact(t testing.TB, value string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(value)
	require.True(t, ok, "%q is no number", value)
	return r
}

// inCents is an amount as a fraction of a dollar.
func inCents(m measure.Money) *big.Rat { return big.NewRat(int64(m), 100) }

// rounded returns a fraction that is not negative to so many decimals, half up.
func rounded(r *big.Rat, decimals int64) *big.Rat {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(decimals), nil)
	n := new(big.Int).Mul(r.Num(), scale)
	n.Mul(n, big.NewInt(2)).Add(n, r.Denom()).Quo(n, new(big.Int).Mul(r.Denom(), big.NewInt(2)))
	return new(big.Rat).SetFrac(n, scale)
}

// roundedCents returns a fraction of a dollar in whole cents, half up.
func roundedCents(r *big.Rat) measure.Money {
	c := new(big.Rat).Mul(rounded(r, 2), big.NewRat(100, 1))
	return measure.Money(c.Num().Int64())
}

// orderSums works out what is bought: the counts of Materials at their prices, and by
// supplier the delivery fee of the sheet Suppliers and the tax of the order.
func (b writtenBook) orderSums(s jobValues) (materials, delivery, tax measure.Money) {
	bought := map[string]measure.Money{}
	byItem := s.of("tax basis") == "item"
	for _, line := range b.table("Materials", "Item", "Supplier", "Count", "Unit price") {
		if line["Supplier"] == "" || line["Unit price"] == "" {
			continue
		}
		ext := roundedCents(rounded(new(big.Rat).Mul(exact(b.t, line["Count"]), exact(b.t, line["Unit price"])), 4))
		bought[line["Supplier"]] += ext
		materials += ext
		if byItem {
			tax += s.part("tax", ext)
		}
	}
	terms := map[string]map[string]string{}
	for _, row := range b.table("Suppliers", "Supplier", "Delivery fee") {
		terms[row["Supplier"]] = row
	}
	for supplier, amount := range bought {
		fee, taxable := measure.Money(0), measure.Money(0)
		if of := terms[supplier]; of["Delivery fee"] != "" && (of["Free over"] == "" || amount < cents(b.t, of["Free over"])) {
			fee = cents(b.t, of["Delivery fee"])
		}
		if !byItem {
			taxable = amount
		}
		if s.of("tax delivery") == "yes" {
			taxable += fee
		}
		delivery += fee
		tax += s.part("tax", taxable)
	}
	return materials, delivery, tax
}

// unitSums adds up the units of the sheet Openings that are in the price: the
// builder's, for whom a blank stands, and the installer's.
func (b writtenBook) unitSums() (builder, installer measure.Money) {
	for _, row := range b.table("Openings", "Mark", "Kind", "Unit cost") {
		if row["Unit cost"] == "" {
			continue
		}
		each, by := cents(b.t, row["Unit cost"]), cmp.Or(row["Furnished by"], "builder")
		all := each * measure.Money(exact(b.t, cmp.Or(row["Qty"], "1")).Num().Int64())
		switch by {
		case "builder":
			builder += all
		case "installer":
			installer += all
		default:
			require.Equal(b.t, "owner", by, row["Mark"])
		}
	}
	return builder, installer
}

// costSums adds up the lines of the sheet Other costs, and those that are taxed.
func (b writtenBook) costSums() (all, taxable measure.Money) {
	for _, row := range b.table("Other costs", "Text", "Count", "Price") {
		if row["Count"] == "" || row["Price"] == "" {
			continue
		}
		cost := roundedCents(rounded(new(big.Rat).Mul(exact(b.t, row["Count"]), exact(b.t, row["Price"])), 4))
		all += cost
		if row["Taxable"] == "yes" {
			taxable += cost
		}
	}
	return all, taxable
}

// laborSum adds up the hours of the sheet Labor at the labor rate: of each task the
// hours of one, times what By opening has of its kind.
func (b writtenBook) laborSum(s jobValues) measure.Money {
	openings := b.table("By opening", "Mark", "Kind", "Qty")
	perimeter, meters := "Perimeter each, LF", false
	if _, ok := openings[0][perimeter]; !ok {
		perimeter, meters = "Perimeter each, m", true
	}
	foot := exact(b.t, "0.3048")
	sum := measure.Money(0)
	for _, task := range b.table("Labor", "Task", "Kind", "Per", "Hours") {
		if task["Hours"] == "" || s.of("labor rate") == "" {
			continue
		}
		quantity := new(big.Rat)
		for _, o := range openings {
			if o["Kind"] != task["Kind"] {
				continue
			}
			each := big.NewRat(1, 1)
			switch task["Per"] {
			case "unit":
				each = exact(b.t, o["Mulled units"])
			case "foot", "meter":
				each = exact(b.t, o[perimeter])
				if meters && task["Per"] == "foot" {
					each.Quo(each, foot)
				}
				if !meters && task["Per"] == "meter" {
					each.Mul(each, foot)
				}
			}
			quantity.Add(quantity, each.Mul(each, exact(b.t, o["Qty"])))
		}
		total := rounded(rounded(new(big.Rat).Mul(exact(b.t, task["Hours"]), quantity), 8), 4)
		sum += roundedCents(new(big.Rat).Mul(total, exact(b.t, s.of("labor rate"))))
	}
	return sum
}

// parts are the amounts of Summary by what they are, where the money goes; each is
// there once, and they are the total below them.
func (b writtenBook) parts() map[string]measure.Money {
	out, sum := map[string]measure.Money{}, measure.Money(0)
	for _, row := range b.table("Summary", "Part of the total", "Amount") {
		label, amount := row["Part of the total"], cents(b.t, row["Amount"])
		if label == "Total" {
			assert.Equal(b.t, sum, amount, "the parts are the total, where the money goes")
			return out
		}
		assert.NotContains(b.t, out, label)
		out[label] = amount
		sum += amount
	}
	require.Fail(b.t, "no total where the money goes")
	return nil
}
