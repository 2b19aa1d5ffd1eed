package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Source of the volumes: a tube of 10.1 fl oz is 10.1 x 231/128 = 18.227 cubic inches
var (
	cubicInch = int64(measure.VolumeOf(measure.AreaOf(measure.Inch, measure.Inch), measure.Inch))
	tube      = pricing.Offer{Unit: "tube", Content: "10.1 fl oz", Amount: 10_100 * cubicInch * 231 / 128 / 1000}
	sausage   = pricing.Offer{Unit: "sausage", Content: "20 fl oz", Amount: 20 * cubicInch * 231 / 128}
	roll      = pricing.Offer{Unit: "roll", Content: "75 ft", Amount: int64(75 * measure.Foot)}
	stick     = pricing.Offer{Unit: "stick", Content: "10 ft", Amount: int64(10 * measure.Foot)}
)

// bought returns so many packs of an offer.
func bought(n int64, o pricing.Offer) pricing.Line { return pricing.Line{Offer: o, Computed: n} }

// planned returns a cutting plan of rolls, or of sticks.
func planned(roll bool) []pricing.CutPlan {
	return []pricing.CutPlan{{Problem: cut.Problem{Roll: roll}}}
}

func TestPackWords(t *testing.T) {
	for _, c := range []struct {
		n    int64
		o    pricing.Offer
		want string
	}{
		{1, tube, "1 tube (10.1 fl oz)"},
		{2, tube, "2 tubes (10.1 fl oz)"},
		{2, pricing.Offer{Unit: "box", Content: "5 lb"}, "2 boxes (5 lb)"},
		{3, pricing.Offer{Unit: "kit", Content: "1 each"}, "3 kits"},
		{3, pricing.Offer{Unit: "each", Content: "1 each"}, "3 each"},
		{2, pricing.Offer{Content: "100 each"}, "2 packs (100 each)"},
	} {
		assert.Equal(t, c.want, packWords(c.n, c.o))
	}
}

func TestCrewWords(t *testing.T) {
	w := clipboard(false)
	w.in.Plan.Purchases = []pricing.Purchase{
		{Item: estimate.Item{Key: "sealant"}, Lines: []pricing.Line{bought(1, tube), bought(3, sausage)}},
	}
	for _, c := range []struct {
		why, item string
		dim       estimate.Dimension
		amount    int64
		want      string
	}{
		{"pieces", "shim", estimate.Each, 6, "6 x"},
		{"arithmetic: 30 in are 2-1/2 ft", "rod", estimate.Lengthwise, int64(30 * measure.Inch), "2.5 LF"},
		{"arithmetic: 72 square inches are half a square foot", "primer", estimate.Areawise, 72 * int64(measure.AreaOf(measure.Inch, measure.Inch)), "0.5 SF"},
		{"of what most is bought of", "sealant", estimate.Volumewise, sausage.Amount / 2, "0.5 sausage (20 fl oz)"},
		{"of what is not bought: 231 cubic inches are a gallon", "foam", estimate.Volumewise, 231 * cubicInch, "128.0 fl oz"},
	} {
		assert.Equal(t, c.want, w.crewWords(c.item, c.dim, c.amount), c.why)
	}
	assert.Equal(t, "500.0 mL", clipboard(true).crewWords("foam", estimate.Volumewise, 500_000_000))
}

func TestPacksToFetch(t *testing.T) {
	w := clipboard(false)
	rows := []int{0, 1}
	w.in.Plan.Purchases = []pricing.Purchase{
		{Item: estimate.Item{Key: "sealant"}, Allowance: 100_000, Rows: rows, Lines: []pricing.Line{bought(3, tube)}},
		{Item: estimate.Item{Key: "tape", Cut: true}, Rows: rows, Lines: []pricing.Line{bought(4, roll)}, Plans: planned(true)},
		{Item: estimate.Item{Key: "cap", Cut: true}, Rows: rows, Lines: []pricing.Line{bought(4, stick), bought(1, roll)}, Plans: planned(false)},
		{Item: estimate.Item{Key: "foam", Openings: 2}, Rows: rows, Lines: []pricing.Line{bought(4, tube)}},
		{Item: estimate.Item{Key: "rod"}, Rows: rows},
		{Item: estimate.Item{Key: "dam"}, Rows: rows, State: "no price"},
	}
	feet := func(n int64) int64 { return n * int64(measure.Foot) }
	for _, c := range []struct {
		why  string
		f    fetched
		want string
	}{
		{"all of the item: what is bought", fetched{"sealant", estimate.Volumewise, 2 * tube.Amount, 2, 2}, "3 tubes (10.1 fl oz)"},
		{"one tube and its waste of 10 % open a second", fetched{"sealant", estimate.Volumewise, tube.Amount, 1, 2}, "2 tubes (10.1 fl oz)"},
		{"no more than is bought", fetched{"sealant", estimate.Volumewise, 9 * tube.Amount, 1, 2}, "3 tubes (10.1 fl oz)"},
		{"a can serves two openings", fetched{"foam", estimate.Volumewise, tube.Amount / 9, 1, 5}, "3 tubes (10.1 fl oz)"},
		{"a roll is cut where it is used", fetched{"tape", estimate.Lengthwise, feet(80), 1, 2}, "2 rolls (75 ft)"},
		{"sticks by the plan", fetched{"cap", estimate.Lengthwise, feet(12), 1, 2}, "cut as on Cut list: 12.0 LF"},
		{"all sticks", fetched{"cap", estimate.Lengthwise, feet(12), 2, 2}, "4 sticks (10 ft) + 1 roll (75 ft)"},
		{"nothing bought", fetched{"rod", estimate.Lengthwise, feet(12), 2, 2}, "on hand: 12.0 LF"},
		{"no price", fetched{"dam", estimate.Lengthwise, feet(12), 2, 2}, "NOT BOUGHT: 12.0 LF"},
		{"no purchase", fetched{"shim", estimate.Each, 12, 2, 2}, "NOT BOUGHT: 12 x"},
	} {
		assert.Equal(t, c.want, w.packsOf(c.f), c.why)
	}
}

func TestDeliveryWords(t *testing.T) {
	money := func(cents int64) estimate.Maybe[measure.Money] { return estimate.Given(measure.Money(cents)) }
	assert.Equal(t, "Delivery", deliveryWords(pricing.Terms{}))
	assert.Equal(t, "Delivery 45.00", deliveryWords(pricing.Terms{DeliveryFee: money(4500)}))
	assert.Equal(t, "Delivery 45.00 (free over 1,500.00)", deliveryWords(pricing.Terms{DeliveryFee: money(4500), FreeOver: money(150_000)}))
}
