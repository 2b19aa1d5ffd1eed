package compare

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// PriceShare is what a mark, with its odd pieces, has of the price of a job.
type PriceShare struct {
	Mark  string
	Kind  estimate.Kind
	Count int64
	Price measure.Money
}

// PriceShares divides the price of a job over its marks, in the order of the takeoff, by
// what each costs with its tax and markup. What no mark bears, as delivery, lies on them
// alike. They foot to the price.
func PriceShares(s Side) []PriceShare {
	p := pricedOf(&s)
	var out []PriceShare
	var weights []int64
	at := map[string]int{}
	for i := range s.Takeoff.Openings {
		o := &s.Takeoff.Openings[i]
		line := lineOf(o)
		key := strings.ToLower(line)
		k, known := at[key]
		if !known {
			k = len(out)
			at[key], out, weights = k, append(out, PriceShare{Mark: line, Kind: o.Kind}), append(weights, max(0, int64(p.lines[key].Total())))
		}
		out[k].Count += o.Qty
	}
	if !slices.ContainsFunc(weights, func(w int64) bool { return w > 0 }) {
		for i := range out { // nothing but what no mark bears
			weights[i] = out[i].Count
		}
	}
	for i, m := range measure.Shares(s.Plan.Bid.Total, weights) {
		out[i].Price = m
	}
	return out
}
