package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Source: Rhode Island General Laws 44-18.1-25: third decimal greater than 4
func TestTax(t *testing.T) {
	for _, c := range []struct {
		why     string
		taxable measure.Money
		rate    measure.Rate
		want    measure.Money
	}{
		{"one item: 0.83325", 1010, 82_500, 83},
		{"three on one invoice: 2.49975, not 3 × 0.83", 3030, 82_500, 250},
		{"93.332875", 128_735, 72_500, 9333},
		{"0.0045 goes down: rounded once", 45, 10_000, 0},
		{"0.005 goes up", 50, 10_000, 1},
		{"no rate", 128_735, 0, 0},
	} {
		assert.Equal(t, c.want, Tax(c.taxable, c.rate), c.why)
	}
}

// Source: algebra; 68,000 on a margin of 25 % also by a contractor's page (publisher
// not on record), which cuts off the cents
func TestMarkupAndMargin(t *testing.T) {
	assert.Equal(t, measure.Money(250_000), MarkupProfit(1_000_000, 250_000))
	assert.Equal(t, estimate.Given(measure.Rate(200_000)), PartOf(250_000, 1_250_000), "25 % markup is 20 % margin")
	assert.Equal(t, measure.Money(1_333_333), MarginTotal(1_000_000, 250_000))
	assert.Equal(t, measure.Money(9_066_667), MarginTotal(6_800_000, 250_000))
	assert.Equal(t, measure.Money(100), MarginTotal(100, measure.One), "no price is high enough")
	assert.False(t, PartOf(1, 0).Set)
}

// Source: San Francisco Public Works, contract 2977J: extensions, and caps of 3 %
// and 2 % on mobilization and demobilization
func TestExtensionsAndCaps(t *testing.T) {
	var j estimate.Job
	for _, dollars := range []float64{138_000, 1_000, 91_271.60, 531_524, 298_090, 1_063_510, 8_656, 135_024, 7_680, 7_800, 155_360, 234_000,
		5_000, 1_000, 300, 3_550, 3_150, 3_150,
	} {
		j.Costs = append(j.Costs, estimate.CostLine{Count: estimate.Given(int64(1)), Price: estimate.Given(measure.UnitPrice(dollars*10_000 + 0.5))})
	}
	b, ps := makeBid(&j, &estimate.Takeoff{}, Plan{})
	assert.Empty(t, ps)
	assert.Equal(t, measure.Money(268_806_560), b.Costs)
	assert.Equal(t, b.Costs, b.Total)
	assert.Equal(t, measure.Money(8_064_197), b.Costs.Scale(30_000))
	assert.Equal(t, measure.Money(5_376_131), b.Costs.Scale(20_000))
	assert.Equal(t, "1.8601 %", PartOf(5_000_000, b.Costs).V.String(), "printed 1.86 %")
	assert.False(t, b.PerOpening.Set || b.PerFoot.Set || b.PerSquareFoot.Set, "no openings, nothing for one")
}

func opening(mark string, qty int64, by estimate.FurnishedBy, cost estimate.Maybe[measure.Money]) estimate.Sized {
	return estimate.Sized{Opening: estimate.Opening{Mark: mark, Qty: qty, FurnishedBy: by, UnitCost: cost,
		Frame: estimate.Size{W: 36 * in, H: 48 * in},
		Place: estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: 5},
		At:    map[string]estimate.Place{"Unit cost": {File: "job.xlsx", Sheet: "Openings", Row: 5, Col: 12}}}}
}

func TestBid(t *testing.T) {
	j := estimate.Job{Tax: 82_500, TaxUnits: true, Overhead: 100_000, Contingency: 50_000, Profit: 250_000, Costs: []estimate.CostLine{
		{Text: "lift", Count: estimate.Given(int64(2)), Price: estimate.Given(measure.UnitPrice(150_00_00)), Taxable: true},
		{Text: "permit", Count: estimate.Given(int64(1)), Price: estimate.Given(measure.UnitPrice(85_00_00))},
		{Text: "dump fee", Count: estimate.Given(int64(1)), Place: estimate.Place{File: "job.xlsx", Sheet: "Job", Row: 60}},
	}}
	takeoff := estimate.Takeoff{Openings: []estimate.Sized{
		opening("W1", 2, "builder", estimate.Given(measure.Money(300_00))),
		opening("W2", 1, "installer", estimate.Given(measure.Money(1000_00))),
		opening("D1", 1, "owner", estimate.Given(measure.Money(999_99))),
		opening("D2", 1, "builder", estimate.Maybe[measure.Money]{}),
	}}
	plan := Plan{Materials: 500_00, Orders: []Order{{Materials: 500_00, Tax: 41_25}}}
	b, ps := makeBid(&j, &takeoff, plan)
	// Arithmetic: 8.25 % of the order's 500 is 41.25, of 900 of units and costs 74.25; taxable 500 + 600 + 300 = 1,400.00, tax 115.50; direct 500 +
	// 1,600 + 385 + 115.50 = 2,600.50; overhead 260.05; contingency 5 % of
	// 2,860.55 = 143.0275; cost 3,003.58; profit 750.895; total 3,754.48.
	want := Bid{
		Materials: 500_00, Units: 1600_00, UnitsTaxable: 600_00, Costs: 385_00, CostsTaxable: 300_00,
		Taxable: 1400_00, Tax: 115_50, Direct: 2600_50, Overhead: 260_05, Contingency: 143_03,
		Cost: 3003_58, Profit: 750_90, Total: 3754_48,
		Markup: estimate.Given(measure.Rate(250_002)), Margin: estimate.Given(measure.Rate(200_001)),
		Openings: 5, Perimeter: 5 * 14 * measure.Foot, Area: 5 * measure.AreaOf(36*in, 48*in),
		PerOpening:    estimate.Given(measure.Money(750_90)), // 3,754.48 / 5 = 750.896
		PerFoot:       estimate.Given(measure.Money(53_64)),  // / 70 ft = 53.635
		PerSquareFoot: estimate.Given(measure.Money(62_57)),  // / 60 ft² = 62.5747
		NoUnitCost:    []int{3},
	}
	assert.Equal(t, want, b)
	assert.Equal(t, []string{
		`job.xlsx: Openings!L5: warning: D2: the unit is furnished by the builder, but has no unit cost; it is not in the bid ` +
			`(write the cost of one unit, or owner in Furnished by)`,
		`job.xlsx: Job row 60: the cost "dump fee" lacks its count or its price; it is not in the bid (write both; 0 if it costs nothing)`,
	}, words(ps))

	j.Margin = true
	b, _ = makeBid(&j, &takeoff, plan)
	assert.Equal(t, measure.Money(4004_77), b.Total, "3,003.58 / 0.75 = 4,004.7733")
	assert.Equal(t, b.Total-b.Cost, b.Profit)
	assert.Equal(t, estimate.Given(measure.Rate(249_999)), b.Margin, "1,001.19 / 4,004.77")

	j.Profit = measure.One
	b, ps = makeBid(&j, &takeoff, plan)
	assert.Equal(t, b.Cost, b.Total)
	assert.Contains(t, words(ps),
		`a profit of 100 % cannot be a margin of the price; the bid has no profit (write a margin below 100 %, or set 'profit is' to markup)`)

	j.TaxUnits = false
	b, _ = makeBid(&j, &takeoff, plan)
	assert.Equal(t, measure.Money(800_00), b.Taxable)
}

// Arithmetic: 500.00 of materials, deliveries of 40.00 and 25.00, 120.00 of labor
// and the orders' taxes of 34.00 and 22.50 are 741.50 of direct cost; a tenth of
// it is 74.15.
func TestDeliveryAndLaborAreInTheBid(t *testing.T) {
	j := estimate.Job{Tax: 100_000, TaxDelivery: true, Overhead: 100_000}
	plan := Plan{Materials: 500_00,
		Orders: []Order{{Materials: 300_00, Delivery: 40_00, Tax: 34_00}, {Materials: 200_00, Delivery: 25_00, Tax: 22_50}},
		Labor:  []estimate.LaborLine{{Cost: estimate.Given(measure.Money(120_00))}, {}}}
	want := Bid{Materials: 500_00, Delivery: 65_00, Labor: 120_00, Taxable: 565_00, Tax: 56_50, Direct: 741_50, Overhead: 74_15,
		Cost: 815_65, Total: 815_65, Markup: estimate.Given(measure.Rate(0)), Margin: estimate.Given(measure.Rate(0))}
	b, ps := makeBid(&j, &estimate.Takeoff{}, plan)
	assert.Empty(t, ps)
	assert.Equal(t, want, b)

	j.TaxDelivery = false
	b, _ = makeBid(&j, &estimate.Takeoff{}, plan)
	assert.Equal(t, measure.Money(500_00), b.Taxable, "materials alone")
}

// An order of just the amount is delivered free, one of just the minimum is taken.
func TestTermsAtTheirLimits(t *testing.T) {
	terms := Terms{DeliveryFee: estimate.Given(measure.Money(75_00)), FreeOver: estimate.Given(measure.Money(500_00)),
		MinimumOrder: estimate.Given(measure.Money(100_00))}
	for _, c := range []struct {
		order, fee measure.Money
		below      bool
	}{{0, 0, false}, {99_99, 75_00, true}, {100_00, 75_00, false}, {499_99, 75_00, false}, {500_00, 0, false}} {
		assert.Equal(t, c.fee, terms.Fee(c.order), c.order.String())
		assert.Equal(t, c.below, terms.Below(c.order), c.order.String())
	}
}
