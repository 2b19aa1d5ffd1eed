package learn

import (
	"math/big"
	"slices"

	"sillwright/estimate/measure"
	"sillwright/pricing/compare"
)

// Middle is a median of several figures with an interval that holds the median of all
// such jobs with a known probability, whatever they are spread like.
type Middle struct {
	Median    Value
	Low, High Value
	Sure      measure.Rate // with what probability the interval holds it
	Jobs      int
}

// wantedSure is the probability that an interval is to have at least, where there are
// jobs enough.
const wantedSure = measure.One * 95 / 100

// MiddleOf returns the median of figures, and the narrowest interval between two of them,
// as many from either end, that is as sure as wanted; of fewer than six jobs the widest
// there is, which is less sure. There must be a figure.
//
//	sure = 1 − 2 × P(at most k − 1 of n throws of a coin are heads), from the k-th figure to the k-th last
//
// It is exact for figures that come one by one and have no ties: each lies below the
// median as a coin falls.
func MiddleOf(figures []Value) Middle {
	sorted := slices.Sorted(slices.Values(figures))
	n := len(sorted)
	m := Middle{Jobs: n, Median: compare.Median(figures)}
	k := 1
	for k < (n+1)/2 && sureOf(n, k+1) >= wantedSure {
		k++
	}
	m.Low, m.High, m.Sure = sorted[k-1], sorted[n-k], sureOf(n, k)
	return m
}

// sureOf returns the probability that the median lies between the k-th and the k-th last
// of n figures, rounded down to a millionth.
func sureOf(n, k int) measure.Rate {
	tail := new(big.Int)
	for i := range k {
		tail.Add(tail, new(big.Int).Binomial(int64(n), int64(i)))
	}
	all := new(big.Int).Lsh(big.NewInt(1), uint(n))
	inside := new(big.Int).Sub(all, tail.Lsh(tail, 1))
	inside.Mul(inside, big.NewInt(int64(measure.One)))
	return measure.Rate(inside.Quo(inside, all).Int64())
}
