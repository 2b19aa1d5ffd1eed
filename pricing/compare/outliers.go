package compare

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// Outlier is a figure that stands out among those of the other jobs.
type Outlier struct {
	What   string // the figure: "boards, an opening"
	Job    int    // index into the sides
	Value  measure.UnitPrice
	Usual  measure.UnitPrice // median of all jobs that have the figure
	Spread measure.UnitPrice // median of the distances from it
	Times  int64             // distance from Usual over Spread, in tenths
	Of     int               // jobs that have the figure
}

// figure is one thing that is looked at in several jobs.
type figure struct {
	what   string
	jobs   []int
	values []measure.UnitPrice
}

// fewestToTell is the fewest jobs among which one can stand out.
const fewestToTell = 3

// standsOut is how many spreads from the usual, in tenths, a figure stands out:
// 0.6745 × distance / spread > 3.5.
//
// Source: the modified z-score of Iglewicz and Hoaglin (1993), from memory
const standsOut = 52

// minSpread is the part of the usual value that the spread is at least: where
// most jobs paid the same to the cent, a cent more does not stand out.
const minSpread = 50

// outliers returns the figures that stand out, furthest first: the cost of each
// class for an opening, and the prices paid for an item.
func outliers(jobs []JobCost, items []ItemPaid) []Outlier {
	var out []Outlier
	for i, class := range CostClasses() {
		f := figure{what: class + ", an opening"}
		for j, job := range jobs {
			if c := job.Classes[i].PerOpening; c.Set {
				f.add(j, measure.UnitPrice(c.V)*100)
			}
		}
		out = append(out, f.outliers()...)
	}
	for _, it := range items {
		f := figure{what: fmt.Sprintf("%s, %s", it.Item.Key, it.Per)}
		for _, p := range it.Paid {
			f.add(p.Job, p.Price)
		}
		out = append(out, f.outliers()...)
	}
	slices.SortStableFunc(out, func(a, b Outlier) int { return cmp.Compare(b.Times, a.Times) })
	return out
}

func (f *figure) add(job int, v measure.UnitPrice) {
	f.jobs, f.values = append(f.jobs, job), append(f.values, v)
}

// outliers returns the values of a figure that stand out.
func (f *figure) outliers() []Outlier {
	if len(f.values) < fewestToTell {
		return nil
	}
	usual := Median(f.values)
	away := make([]measure.UnitPrice, len(f.values))
	for i, v := range f.values {
		away[i] = max(v-usual, usual-v)
	}
	spread := max(Median(away), usual/minSpread, 1)
	var out []Outlier
	for i, d := range away {
		if times := measure.MulDiv(int64(d), 10, int64(spread)); times > standsOut {
			out = append(out, Outlier{f.what, f.jobs[i], f.values[i], usual, spread, times, len(f.values)})
		}
	}
	return out
}

// Median returns the middle one of values, of an even number the mean of the
// two in the middle, half away from zero; of none, 0.
//
// Source: arithmetic
func Median[V ~int64](values []V) V {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	low, high := sorted[(len(sorted)-1)/2], sorted[len(sorted)/2]
	return V(measure.MulDiv(int64(low+high), 1, 2))
}
