package pricing

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

const in = measure.Inch

func feet(n int64) measure.Length { return measure.Length(n) * measure.Foot }

func day(t *testing.T, s string) estimate.Maybe[measure.Date] {
	t.Helper()
	d, err := measure.ParseDate(s)
	require.NoError(t, err)
	return estimate.Given(d)
}

// line returns an offer as a row of prices.csv; price in cents.
func line(row int, supplier string, item estimate.Item, content string, cents int64) Offer {
	amount, err := ParseContent(content, item)
	if err != nil {
		panic(err)
	}
	return Offer{Place: estimate.Place{File: "prices.csv", Row: row}, Supplier: supplier, Item: item.Key,
		Content: content, Amount: amount, Price: measure.UnitPrice(cents * 100), Currency: "USD"}
}

func job() estimate.Job {
	return estimate.Job{Currency: "USD", Allowance: map[string]measure.Rate{"sealant": 100_000}, MinSaving: estimate.Given(measure.Money(0))}
}

// need1 is a takeoff of one mark with the requirements given.
func need1(qty int64, rs ...estimate.Requirement) estimate.Takeoff {
	t := estimate.Takeoff{Openings: []estimate.Sized{{Opening: estimate.Opening{
		Mark: "W1", Qty: qty, FurnishedBy: "owner", Place: estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: 5},
		Frame: estimate.Size{W: 36 * in, H: 48 * in},
	}}}}
	t.Requirements = rs
	return t
}

func amount(item estimate.Item, n int64) estimate.Requirement {
	return estimate.Requirement{Item: item.Key, Dim: item.Dim, Amount: n, Step: "7", Detail: "A"}
}

func pieces(item estimate.Item, name string, n int64, l measure.Length) estimate.Requirement {
	return estimate.Requirement{Item: item.Key, Dim: estimate.Lengthwise, Count: n, Length: l, Name: name, Amount: n * int64(l), Step: "14", Detail: "A"}
}

func words(ps []estimate.Problem) []string {
	var out []string
	for _, p := range ps {
		out = append(out, p.String())
	}
	return out
}

// foots holds a plan's money together: to the cent, always.
func foots(t *testing.T, p Plan) {
	t.Helper()
	var shares, cost, used, unused measure.Money
	for _, s := range p.Share {
		shares += s
	}
	for _, b := range p.Purchases {
		cost, used, unused = cost+b.Cost, used+b.Used, unused+b.Unused
		var lines, usedOf measure.Money
		for _, l := range b.Lines {
			assert.Equal(t, measure.Extension(l.Count(), l.Offer.Price), l.Extension)
			lines, usedOf = lines+l.Extension, usedOf+b.UsedOf(l)
		}
		assert.Equal(t, b.Cost, lines)
		assert.Equal(t, b.Used, usedOf)
	}
	assert.Equal(t, p.Materials, cost)
	assert.Equal(t, p.Unused, unused)
	assert.Equal(t, p.Materials, shares+p.Unused, "what the openings bear, and what is not used")
}

// The source's example: a joint of 315 in³ at twenty openings.
// Source: arithmetic from Orange County, North Carolina, 07 92 00, item D.2; a
// gallon is 231 in³
func TestCartridges(t *testing.T) {
	joint := 15_750 * int64(measure.CubicInch) / 1000 // 15.75 in³ each
	for _, c := range []struct {
		content string
		percent int64
		want    int64
	}{
		{"10.1 fl oz", 10, 20}, // 19.010
		{"300 mL", 10, 19},     // 18.927
		{"10.1 fl oz", 0, 18},  // 17.28
		{"10.1 fl oz", 5, 19},  // 18.15
		{"10.1 fl oz", 15, 20}, // 19.87
	} {
		j := job()
		j.Allowance["sealant"] = measure.Rate(c.percent * 10_000)
		p := made(j, estimate.NewItems([]estimate.Item{sealant}), need1(20, amount(sealant, joint)), []Offer{line(2, "Yard A", sealant, c.content, 650)}, nil)
		require.Len(t, p.Purchases, 1)
		b := p.Purchases[0]
		require.Len(t, b.Lines, 1)
		assert.Equal(t, c.want, b.Lines[0].Count(), "%s, %d %%", c.content, c.percent)
		assert.Equal(t, 20*joint, b.Need)
		assert.Equal(t, measure.Money(c.want*650), p.Materials)
		assert.Empty(t, b.State)
		assert.Empty(t, p.Unpriced())
		assert.Empty(t, p.Problems)
		foots(t, p)
	}
}

// TestColdByPhase: what is needed in several phases has to do in the coldest of them;
// the shop is warm unless it is said; what somebody accepts is used all the same.
func TestColdByPhase(t *testing.T) {
	const warm, cold = 650, 900 // of a product for 40 F and up, and one for 0 F and up
	at := func(item estimate.Item, f, cents int64) Offer {
		o := line(2, "Yard A", item, map[int64]string{0: "10 fl oz", 40: "11 fl oz"}[f], cents)
		o.MinTempF = estimate.Given(f)
		return o
	}
	site, shop := sealant, sealant
	shop.Site = false
	given := func(f int64) estimate.Maybe[int64] { return estimate.Given(f) }
	none := estimate.Maybe[int64]{}
	for _, c := range []struct {
		why                      string
		item                     estimate.Item
		phases                   []estimate.Phase
		install, trim, inTheShop estimate.Maybe[int64]
		accepted                 []string
		cost                     measure.Money // of one can
		state                    string
	}{
		{"warm enough", site, []estimate.Phase{estimate.PhaseInstall}, given(40), none, none, nil, warm, ""},
		{"a degree too cold", site, []estimate.Phase{estimate.PhaseInstall}, given(39), none, none, nil, cold, ""},
		{"trim of a job whose trim is not forecast", site, []estimate.Phase{estimate.PhaseTrim}, given(39), none, none, nil, cold, ""},
		{"trim in the spring", site, []estimate.Phase{estimate.PhaseTrim}, given(8), given(50), none, nil, warm, ""},
		{"finish as trim", site, []estimate.Phase{estimate.PhaseFinish}, given(50), given(8), none, nil, cold, ""},
		{"both phases", site, []estimate.Phase{estimate.PhaseInstall, estimate.PhaseTrim}, given(50), given(8), none, nil, cold, ""},
		{"a shop is warm", shop, []estimate.Phase{estimate.PhaseShop}, given(8), given(8), none, nil, warm, ""},
		{"unless it is not", shop, []estimate.Phase{estimate.PhaseShop}, given(50), none, given(39), nil, cold, ""},
		{"what is used in the shop is not asked on site", shop, []estimate.Phase{estimate.PhaseTrim}, given(8), none, none, nil, warm, ""},
		{"too cold for all", site, []estimate.Phase{estimate.PhaseInstall}, given(-1), none, none, nil, 0, "no product for -1 F"},
		{"accepted", site, []estimate.Phase{estimate.PhaseInstall}, given(-1), none, none, []string{"sealant"}, warm, ""},
		{"of another item", site, []estimate.Phase{estimate.PhaseInstall}, given(39), none, none, []string{"foam-low"}, cold, ""},
	} {
		j := job()
		j.Allowance["sealant"] = 0
		j.ColdestF, j.ColdestTrim, j.ColdestShop = c.install, c.trim, c.inTheShop
		j.ColdAccepted = estimate.ColdAccepted{Items: c.accepted, Word: "crew lead, surface 25 F"}
		var rs []estimate.Requirement
		for _, phase := range c.phases {
			r := amount(c.item, int64(measure.CubicInch))
			r.Phase = phase
			rs = append(rs, r)
		}
		p := made(j, estimate.NewItems([]estimate.Item{c.item}), need1(1, rs...), []Offer{at(c.item, 40, warm), at(c.item, 0, cold)}, nil)
		assert.Equal(t, c.cost, p.Materials, c.why)
		assert.Equal(t, c.state, p.Purchases[0].State, c.why)
		said := strings.Join(words(p.Problems), "\n")
		assert.Equal(t, c.why == "accepted", strings.Contains(said, "it is used all the same, by the word of crew lead, surface 25 F"), c.why)
	}
}

// TestOneGun: 74 fl oz (133.5 in³) of bedding sealant. Cartridges of 10 fl oz: 8, at 7.50
// 60.00. A sausage of 64 and a cartridge: 46.00. Source: arithmetic
func TestOneGun(t *testing.T) {
	need := 74 * int64(231*measure.CubicInch) / 128
	sausage := func(content string, cents int64) Offer {
		o := line(3, "Yard A", sealant, content, cents)
		o.Unit = "sausage"
		return o
	}
	for _, c := range []struct {
		why     string
		saving  estimate.Maybe[measure.Money]
		offers  []Offer
		content []string
		cost    measure.Money
	}{
		{"80 fl oz in sausages", estimate.Given(measure.Money(2500)), []Offer{line(2, "Yard A", sealant, "10 fl oz", 800), sausage("20 fl oz", 1500)},
			[]string{"20 fl oz"}, 6000},
		{"a sausage of 64 and one cartridge are 46.00: 14.00 less than 8 cartridges at 60.00, which is no gun",
			estimate.Given(measure.Money(2500)), []Offer{line(2, "Yard A", sealant, "10 fl oz", 750), sausage("64 fl oz", 3850)}, []string{"10 fl oz"}, 6000},
		{"but it is more than 13.00", estimate.Given(measure.Money(1300)),
			[]Offer{line(2, "Yard A", sealant, "10 fl oz", 750), sausage("64 fl oz", 3850)}, []string{"64 fl oz", "10 fl oz"}, 4600},
		{"14.00 is not more than 14.00", estimate.Given(measure.Money(1400)),
			[]Offer{line(2, "Yard A", sealant, "10 fl oz", 750), sausage("64 fl oz", 3850)}, []string{"10 fl oz"}, 6000},
		{"nothing asked: any saving", estimate.Maybe[measure.Money]{},
			[]Offer{line(2, "Yard A", sealant, "10 fl oz", 750), sausage("64 fl oz", 3850)}, []string{"64 fl oz", "10 fl oz"}, 4600},
		{"two kinds of cartridge take one gun", estimate.Given(measure.Money(2500)),
			[]Offer{line(2, "Yard A", sealant, "10 fl oz", 750), line(3, "Yard A", sealant, "64 fl oz", 3850)}, []string{"64 fl oz", "10 fl oz"}, 4600},
	} {
		j := job()
		j.Allowance["sealant"], j.SecondGun = 0, c.saving
		p := made(j, estimate.NewItems([]estimate.Item{sealant}), need1(1, amount(sealant, need)), c.offers, nil)
		var content []string
		for _, l := range p.Purchases[0].Lines {
			content = append(content, l.Offer.Content)
		}
		assert.Equal(t, c.content, content, c.why)
		assert.Equal(t, c.cost, p.Purchases[0].Cost, c.why)
	}
}

// TestCansAreOpened: a can serves some openings of one day, whatever it holds, and what is
// opened is used up. Expected: arithmetic.
func TestCansAreOpened(t *testing.T) {
	foam := estimate.Item{Key: "foam", Name: "Foam", Class: estimate.ClassShims, Dim: estimate.Volumewise, Openings: 4, DaysOpen: 1, Site: true}
	can := measure.Volume(16_387_064) // 1 in3
	offers := []Offer{line(2, "Yard A", foam, "1000 in3", 1300), line(3, "Yard A", foam, "500 in3", 800)}
	for _, c := range []struct {
		why    string
		qty    int64
		aDay   estimate.Maybe[int64]
		counts map[string]int64
		cost   measure.Money
	}{
		{"22 openings, 4 a can: 6 of the cheaper", 22, estimate.Given(int64(4)), map[string]int64{"500 in3": 6}, 4800},
		{"2 a day: 11 days", 22, estimate.Given(int64(2)), map[string]int64{"500 in3": 11}, 8800},
		{"200 in3 at each of 22: 4400 in six cans: 3 large and 3 small", 22, estimate.Given(int64(4)), map[string]int64{"1000 in3": 3, "500 in3": 3}, 6300},
		{"no pace said: by openings", 22, estimate.Maybe[int64]{}, map[string]int64{"500 in3": 6}, 4800},
	} {
		each := int64(can)
		if c.counts["1000 in3"] > 0 {
			each *= 200
		}
		j := job()
		j.OpeningsADay = c.aDay
		p := made(j, estimate.NewItems([]estimate.Item{foam}), need1(c.qty, amount(foam, each)), offers, nil)
		got := map[string]int64{}
		for _, l := range p.Purchases[0].Lines {
			got[l.Offer.Content] = l.Count()
		}
		assert.Equal(t, c.counts, got, c.why)
		assert.Equal(t, c.cost, p.Purchases[0].Cost, c.why)
		assert.Equal(t, c.cost, p.Purchases[0].Used, c.why)
		foots(t, p)
	}
}

func TestUsedAndUnused(t *testing.T) {
	// 150 of 200 screws at two marks, 100 and 50: 3/4 of 20.00 is used, arithmetic.
	takeoff := need1(1, amount(screws, 100), amount(screws, 50))
	p := made(job(), estimate.NewItems([]estimate.Item{screws}), takeoff, []Offer{line(2, "Yard A", screws, "100 each", 1000)}, nil)
	b := p.Purchases[0]
	assert.Equal(t, int64(200), b.Bought)
	assert.Equal(t, measure.Money(2000), b.Cost)
	assert.Equal(t, measure.Money(1500), b.Used)
	assert.Equal(t, measure.Money(500), b.Unused)
	assert.Equal(t, []measure.Money{1000, 500}, p.Share)
	foots(t, p)
}

func TestMixOfPacksBecomesLines(t *testing.T) {
	offers := []Offer{line(2, "Yard A", nails, "1 lb", 400), line(3, "Yard A", nails, "5 lb", 1500)}
	p := made(job(), estimate.NewItems([]estimate.Item{nails}), need1(1, amount(nails, 1100)), offers, nil)
	b := p.Purchases[0]
	require.Len(t, b.Lines, 2, "950 + 190, at 19.00; two of 950 cost 30.00")
	assert.Equal(t, []string{"nail-8d|Yard A|5 lb", "nail-8d|Yard A|1 lb"}, []string{b.Lines[0].Key(), b.Lines[1].Key()}, "largest first")
	assert.Equal(t, measure.Money(1900), b.Cost)
	foots(t, p)
}

func TestSupplier(t *testing.T) {
	offers := []Offer{
		line(2, "Yard C", screws, "100 each", 900),
		line(3, "Yard B", screws, "100 each", 900),
		line(4, "Yard A", screws, "500 each", 4000),
	}
	items := estimate.NewItems([]estimate.Item{screws})
	for _, c := range []struct {
		need int64
		want string
		why  string
	}{
		{150, "Yard B", "18.00 at B and C: the first by name"},
		{450, "Yard A", "40.00 against 45.00"},
	} {
		p := made(job(), items, need1(1, amount(screws, c.need)), offers, nil)
		assert.Equal(t, c.want, p.Purchases[0].Supplier, c.why)
	}
}

func TestOrderOfPurchases(t *testing.T) {
	items := []estimate.Item{screws, sealant, cement, nails}
	var offers []Offer
	var rs []estimate.Requirement
	for i, it := range []estimate.Item{nails, screws, cement, sealant} {
		rs = append(rs, amount(it, 1))
		offers = append(offers, line(i+2, "Yard A", it, map[string]string{"sealant": "1 gal"}[it.Key]+map[bool]string{true: "1 each"}[it.Key != "sealant"], 100))
	}
	p := made(job(), estimate.NewItems(items), need1(1, rs...), offers, nil)
	var got []string
	for _, b := range p.Purchases {
		got = append(got, b.Item.Key)
	}
	assert.Equal(t, []string{"cement", "sealant", "screw", "nail-8d"}, got, "by class, then in the order of the items")
	foots(t, p)
}

func TestOffersLeftOut(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws})
	good := line(9, "Yard B", screws, "100 each", 5000)
	for _, c := range []struct {
		why    string
		change func(o *Offer, j *estimate.Job)
		want   string
	}{
		{"unknown item", func(o *Offer, _ *estimate.Job) { o.Item = "skrew" },
			`prices.csv: line 4: item "skrew" is not on the Items sheet (correct the item, or add it there)`},
		{"no price", func(o *Offer, _ *estimate.Job) { o.Price = 0 },
			`prices.csv: line 4: screw: a price of 0.00 is not used (ask the supplier for the price)`},
		{"negative price", func(o *Offer, _ *estimate.Job) { o.Price = -100 },
			`prices.csv: line 4: screw: a price of -0.01 is not used (ask the supplier for the price)`},
		{"serves nothing", func(o *Offer, _ *estimate.Job) { o.Amount = 0 },
			`prices.csv: line 4: screw: the content "100 each" serves nothing (correct the content)`},
		{"other currency", func(o *Offer, _ *estimate.Job) { o.Currency = "CAD" },
			`prices.csv: line 4: screw: the price is in CAD, the job in USD; no price of this list in CAD is used (convert the prices, or correct the currency)`},
		{"expired the day before", func(o *Offer, j *estimate.Job) { o.Expires = day(t, "2025-10-31") },
			`prices.csv: line 4: warning: screw: the price expired on 2025-10-31, before the job's date 2025-11-01; it is not used (ask the supplier for a new price)`},
	} {
		o, j := line(4, "Yard A", screws, "100 each", 100), job()
		j.Date, j.PriceAgeDays = day(t, "2025-11-01"), 30
		o.Effective = j.Date
		other := good
		other.Effective = j.Date
		c.change(&o, &j)
		p := made(j, items, need1(1, amount(screws, 100)), []Offer{o, other}, nil)
		assert.Equal(t, []string{c.want}, words(p.Problems), c.why)
		assert.Equal(t, "Yard B", p.Purchases[0].Supplier, c.why)
		assert.Empty(t, p.Unpriced(), c.why)
	}
}

func TestOffersWarnedOf(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws})
	j := job()
	j.Date, j.PriceAgeDays = day(t, "2025-11-01"), 30
	old, undated, again := line(2, "Yard A", screws, "100 each", 900), line(3, "Yard B", screws, "100 each", 1000), line(4, "Yard A", screws, "100 each", 950)
	old.Effective, again.Effective = day(t, "2025-10-01"), day(t, "2025-10-31")
	undated.Invented = true
	p := made(j, items, need1(1, amount(screws, 100)), []Offer{old, undated, again}, nil)
	assert.Equal(t, []string{
		`prices.csv: line 2: warning: the price of screw is from 2025-10-01, 31 days before the job's date (limit 30) ` +
			`(ask whether the prices still hold, and write the date in Effective)`,
		`prices.csv: line 3: warning: the price of screw has no effective date (ask whether the prices still hold, and write the date in Effective)`,
		`prices.csv: line 4: warning: screw: Yard A offers "100 each" more than once; 9.50 is not used, the price is 9.00 (delete the row that no longer holds)`,
	}, words(p.Problems))
	assert.Equal(t, measure.Money(900), p.Materials)

	p = made(j, items, need1(1, amount(screws, 100)), []Offer{undated, undated}, nil)
	assert.Contains(t, words(p.Problems), `prices.csv: note: prices of this list are invented (put your suppliers' prices in before you bid)`)
	assert.Contains(t, words(p.Problems),
		`prices.csv: line 3: warning: 2 prices, the first that of screw, have no effective date (ask whether the prices still hold, and write the date in Effective)`)

	j.Date = estimate.Maybe[measure.Date]{}
	p = made(j, items, need1(1, amount(screws, 100)), []Offer{old}, nil)
	assert.Empty(t, p.Problems, "no date, no age")
}

func TestNoPriceIsAState(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, nails})
	takeoff := need1(1, amount(screws, 10), amount(nails, 10), amount(nails, 5), amount(estimate.Item{Key: "glue"}, 1))
	expired := line(2, "Yard A", nails, "1 lb", 400)
	expired.Currency = "EUR"
	p := made(job(), items, takeoff, []Offer{expired}, nil)
	assert.Equal(t, []string{"screw", "nail-8d", "glue"}, p.Unpriced())
	for _, b := range p.Purchases {
		assert.Equal(t, NoPrice, b.State)
		assert.Empty(t, b.Lines)
	}
	assert.Equal(t, []string{
		`glue: it has no price: it is not on the Items sheet; needed by W1 (add the item and its price)`,
		`nail-8d: it has no price: no price of it can be used; needed by W1 (see the messages at its prices)`,
		`screw: it has no price: no price list offers it; needed by W1 (add it to a price list; the estimate is not complete without it)`,
		`prices.csv: line 2: nail-8d: the price is in EUR, the job in USD; no price of this list in EUR is used (convert the prices, or correct the currency)`,
	}, words(p.Problems))
	foots(t, p)
}

// TestOnHandOfPacks: lengths on hand of what is bought in packs serve nothing.
func TestOnHandOfPacks(t *testing.T) {
	j := job()
	j.OnHand = []estimate.OnHand{{Item: screws.Key, Length: 96 * in, Count: 2}}
	p := made(j, estimate.NewItems([]estimate.Item{screws}), need1(1, amount(screws, 10)), nil, nil)
	assert.Equal(t, NoPrice, p.Purchases[0].State)
}

func TestCold(t *testing.T) {
	j := job()
	j.ColdestF = estimate.Given(int64(5))
	warm, cold := line(2, "Yard A", sealant, "10.1 fl oz", 500), line(3, "Yard A", sealant, "300 mL", 900)
	cold.MinTempF = estimate.Given(int64(0))
	site := sealant
	site.MinTempF = estimate.Given(int64(40))
	takeoff := need1(1, amount(sealant, 1000))

	p := made(j, estimate.NewItems([]estimate.Item{site}), takeoff, []Offer{warm, cold}, nil)
	assert.Equal(t, "300 mL", p.Purchases[0].Lines[0].Offer.Content, "the offer's temperature beats the item's")
	assert.Equal(t, []string{`prices.csv: line 2: warning: sealant: needs 40 F or warmer, the coldest forecast is 5 F; it is not chosen ` +
		`(wait for warmer weather, or buy a product for the cold)`}, words(p.Problems))

	p = made(j, estimate.NewItems([]estimate.Item{site}), takeoff, []Offer{warm}, nil)
	assert.Equal(t, "no product for 5 F", p.Purchases[0].State)
	assert.Equal(t, []string{"sealant"}, p.Unpriced())
	assert.Equal(t, 1, estimate.Errors(p.Problems))

	cold.Content, cold.Amount = warm.Content, warm.Amount
	p = made(job(), estimate.NewItems([]estimate.Item{site}), takeoff, []Offer{warm, cold}, nil)
	assert.Empty(t, p.Problems, "a product for the cold beside the usual one is no slip")
	assert.Equal(t, measure.Money(500), p.Materials)

	site.Site = false
	p = made(j, estimate.NewItems([]estimate.Item{site}), takeoff, []Offer{warm, cold}, nil)
	assert.Equal(t, "10.1 fl oz", p.Purchases[0].Lines[0].Offer.Content, "the shop is warm")

	site.Site, j.ColdestF = true, estimate.Given(int64(40))
	p = made(j, estimate.NewItems([]estimate.Item{site}), takeoff, []Offer{warm}, nil)
	assert.Empty(t, p.Problems, "40 F is warm enough for 40 F")
}

func TestOverride(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws})
	offers := []Offer{line(2, "Yard A", screws, "100 each", 1000)}
	offers[0].Code = "0071"
	takeoff := need1(1, amount(screws, 150))
	key := "screw|Yard A|0071"

	p := made(job(), items, takeoff, offers, Overrides{key: 3})
	l := p.Purchases[0].Lines[0]
	assert.Equal(t, key, l.Key())
	assert.Equal(t, int64(2), l.Computed, "stays")
	assert.Equal(t, int64(3), l.Count())
	assert.Equal(t, measure.Money(3000), l.Extension)
	assert.Equal(t, measure.Money(1500), p.Purchases[0].Used, "150 of 300")
	assert.Empty(t, p.Problems)
	foots(t, p)

	p = made(job(), items, takeoff, offers, Overrides{key: 1})
	assert.Equal(t, measure.Money(1000), p.Purchases[0].Used, "all of it")
	assert.Equal(t,
		[]string{`Materials: warning: screw: the counts typed are less than the job needs (clear the override, or make sure of the rest)`},
		words(p.Problems))
	foots(t, p)

	p = made(job(), items, takeoff, offers, Overrides{key: 0})
	assert.Equal(t, measure.Money(0), p.Materials)
	foots(t, p)

	p = made(job(), items, takeoff, offers, Overrides{key: -1, "glue|Yard B|1 each": 4})
	assert.Equal(t, int64(2), p.Purchases[0].Lines[0].Count())
	assert.Equal(t, []string{
		`Materials: screw|Yard A|0071: an override of -1 is not used (type how many to buy, or clear it)`,
		`Materials: warning: the override of 4 for "glue|Yard B|1 each" is not used: nothing of that name is bought (clear it, or type it at a line that is bought)`,
	}, words(p.Problems))
}

func TestKeysOfOneCodeForSeveralContents(t *testing.T) {
	offers := []Offer{line(2, "Yard A", board, "8 ft", 800), line(3, "Yard A", board, "12 ft", 1200)}
	offers[0].Code, offers[1].Code = "PRM-1X4", "PRM-1X4"
	p := made(job(), estimate.NewItems([]estimate.Item{board}), need1(1, pieces(board, "leg", 1, feet(12)), pieces(board, "head", 1, feet(8))), offers, nil)
	require.Len(t, p.Purchases[0].Lines, 2)
	assert.Equal(t, "board-1x4|Yard A|12 ft", p.Purchases[0].Lines[0].Key())
	assert.Equal(t, "board-1x4|Yard A|8 ft", p.Purchases[0].Lines[1].Key())
}

func TestRequirementsThatDoNotFitTheItem(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{board, screws})
	asks := amount(screws, 5)
	asks.Dim = estimate.Volumewise
	asks.Place = estimate.Place{File: "job.xlsx", Sheet: "Details", Row: 9}
	p := made(job(), items, need1(1, amount(board, 5), asks), nil, nil)
	assert.Empty(t, p.Purchases)
	assert.Equal(t, []string{
		`W1: step 7 of A asks for an amount of board-1x4, which is cut into pieces (correct the step's rule or the item; it is left out)`,
		`job.xlsx: Details row 9: W1: step 7 of A asks for screw by volume, which is bought by count (correct the step's rule or the item; it is left out)`,
	}, words(p.Problems))
}

func TestAllowanceUnknownToTheJob(t *testing.T) {
	item := screws
	item.Allowance = "skrews"
	p := made(job(), estimate.NewItems([]estimate.Item{item}), need1(1, amount(item, 5)), []Offer{line(2, "Yard A", item, "100 each", 1000)}, nil)
	assert.Equal(t,
		[]string{`screw: the job has no waste "skrews"; none is added (correct the item's waste, or add the line 'waste skrews' to Job)`},
		words(p.Problems))
}

// made plans with price lists alone.
func made(j estimate.Job, items estimate.Items, t estimate.Takeoff, offers []Offer, over Overrides) Plan {
	return Make(estimate.Book{Job: j, Items: items}, t, Lists{Offers: offers, Overrides: over})
}

// TestMarksThatNeedIt: three by name, each once, and how many more.
func TestMarksThatNeedIt(t *testing.T) {
	take := estimate.Takeoff{}
	for i, mark := range []string{"A", "B", "C", "D", "E"} {
		take.Openings = append(take.Openings, estimate.Sized{Opening: estimate.Opening{Mark: mark}})
		take.Requirements = append(take.Requirements, estimate.Requirement{Opening: i}, estimate.Requirement{Opening: i})
	}
	b := &buyer{gatherer: &gatherer{takeoff: &take}}
	assert.Equal(t, "A, B", b.marks([]int{0, 1, 2}))
	assert.Equal(t, "A, B, C", b.marks([]int{0, 2, 4}))
	assert.Equal(t, "A, B, C and 1 more", b.marks([]int{0, 2, 4, 6}))
	assert.Equal(t, "A, B, C and 2 more", b.marks([]int{0, 2, 4, 6, 8}))
}

// TestPinOfNobody: an item is kept to a supplier who is not known, or has no price of it.
func TestPinOfNobody(t *testing.T) {
	for _, supplier := range []string{"Nobody", "Yard B"} {
		p := Make(estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws, nails})}, need1(1, amount(screws, 10), amount(nails, 10)),
			Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 500), line(3, "Yard B", nails, "1 lb", 400)}, Pins: map[string]Pin{screws.Key: {Supplier: supplier}}})
		assert.Equal(t, "Yard A", p.Purchases[slices.IndexFunc(p.Purchases, func(x Purchase) bool { return x.Item.Key == screws.Key })].Supplier, supplier)
		assert.Contains(t, words(p.Problems)[0], "which has no price of it that can be used")
	}
}
