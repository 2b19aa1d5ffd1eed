package compare

import (
	"testing"

	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

const in = measure.Inch

var (
	board  = estimate.Item{Key: "board-1x4", Class: "boards", Dim: estimate.Lengthwise, Cut: true}
	screws = estimate.Item{Key: "screw", Class: "fastening", Dim: estimate.Each}
)

func feet(n int64) measure.Length { return measure.Length(n) * measure.Foot }

func day(t *testing.T, s string) estimate.Maybe[measure.Date] {
	t.Helper()
	d, err := measure.ParseDate(s)
	require.NoError(t, err)
	return estimate.Given(d)
}

// line returns an offer as a row of prices.csv; price in cents.
func line(row int, supplier string, item estimate.Item, content string, cents int64) pricing.Offer {
	amount, err := pricing.ParseContent(content, item)
	if err != nil {
		panic(err)
	}
	return pricing.Offer{Place: estimate.Place{File: "prices.csv", Row: row}, Supplier: supplier, Item: item.Key,
		Content: content, Amount: amount, Price: measure.UnitPrice(cents * 100), Currency: "USD"}
}

// job is a job without an allowance that takes the best split of all.
func job() estimate.Job {
	return estimate.Job{Currency: "USD", MinSaving: estimate.Given(measure.Money(0))}
}

// oneMark is a takeoff of one mark with the requirements given.
func oneMark(qty int64, rs ...estimate.Requirement) estimate.Takeoff {
	return estimate.Takeoff{Requirements: rs, Openings: []estimate.Sized{{Opening: estimate.Opening{
		Mark: "W1", Qty: qty, FurnishedBy: "owner", Place: estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: 5},
		Frame: estimate.Size{W: 36 * in, H: 48 * in},
	}}}}
}

func amount(item estimate.Item, n int64) estimate.Requirement {
	return estimate.Requirement{Item: item.Key, Dim: item.Dim, Amount: n}
}

func pieces(item estimate.Item, name string, n int64, l measure.Length) estimate.Requirement {
	return estimate.Requirement{Item: item.Key, Dim: estimate.Lengthwise, Count: n, Length: l, Name: name, Amount: n * int64(l)}
}

func words(ps []estimate.Problem) []string {
	var out []string
	for _, p := range ps {
		out = append(out, p.String())
	}
	return out
}
