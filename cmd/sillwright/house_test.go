package main

import (
	"encoding/csv"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A made-up house. Counts and sizes follow the statistics of an open data set
// of energy-audit examples, 27 houses with some 300 windows and 70 exterior
// doors: a median of 11 windows and 2 doors a house, 7 to 21 openings; widths
// of windows with quartiles of about 38, 49 and 69 in, heights 32, 40 and
// 51 in, 12 of the windows wider than 96 in and up to 188, the smallest 22 x 8;
// doors of 38 x 82, 34 x 82, 36 x 81-1/2 and 38 x 81, some wide entries of 51
// to 66 by 81-1/2 to 83. All sizes are whole or half inches.
type house []houseRow

// halves is a length in half inches.
type halves int

// houseRow is a row of its schedule: columns of words, and of lengths.
type houseRow struct {
	words   map[string]string
	lengths map[string]halves
}

// houseColumns is the order of the columns.
var houseColumns = []string{
	"Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "RO height", "Units", "Flange", "Sits on", "Supplied by",
	"Unit cost", "Measured width", "Measured height", "Status", "Sill pan", "Leg drop", "Unit depth", "Storey",
}

// newHouse makes the house of a seed.
func newHouse(seed int64) house {
	r := rand.New(rand.NewSource(seed))
	windows, doors := 5+r.Intn(14), []int{1, 2, 2, 2, 2, 2, 3, 3, 4}[r.Intn(9)]
	for windows+doors < 7 || windows+doors > 21 {
		windows, doors = 5+r.Intn(14), 1+r.Intn(4)
	}
	var h house
	for i := range windows {
		h = append(h, newWindow(r, i+1))
	}
	for i := range doors {
		h = append(h, newDoor(r, i+1))
	}
	if seed%27 == 1 { // one of the 27 has the widest window, whose head no board of 16 ft goes over
		h[0] = windowOf(r, 1, 2*188, 2*31)
	}
	return h
}

// between returns a length from a to b inches.
func between(r *rand.Rand, a, b int) halves { return halves(2*a + r.Intn(2*(b-a)+1)) }

// pick returns one of the words, the earlier ones more often.
func pick(r *rand.Rand, words ...string) string {
	return words[min(r.Intn(len(words)), r.Intn(len(words)))]
}

func newRow(r *rand.Rand, mark, kind string, w, h halves) houseRow {
	row := houseRow{
		words: map[string]string{
			"Mark": mark, "Kind": kind, "Supplied by": pick(r, "builder", "owner", "installer"),
			"Unit cost": fmt.Sprintf("%d.%02d", 90+r.Intn(1500), r.Intn(100)), "Status": pick(r, "", "ordered", "delivered"),
			"Storey": pick(r, "1", "2"),
		},
		lengths: map[string]halves{},
	}
	if r.Intn(3) == 0 {
		row.lengths["RO width"], row.lengths["RO height"] = w+1, h+1
	} else {
		row.lengths["Frame width"], row.lengths["Frame height"] = w, h
	}
	if r.Intn(2) == 0 { // set and measured
		row.words["Status"] = "set"
		row.lengths["Measured width"], row.lengths["Measured height"] = w, h
	}
	return row
}

func newWindow(r *rand.Rand, n int) houseRow {
	quarter := func(from ...int) halves {
		q := r.Intn(4)
		return between(r, from[q], from[q+1])
	}
	w, h := quarter(22, 38, 49, 69, 95), quarter(24, 32, 40, 51, 73)
	switch one := r.Intn(100); {
	case one < 4:
		w, h = between(r, 97, 150), between(r, 31, 74)
	case one == 4:
		w, h = 2*22, 2*8
	}
	return windowOf(r, n, w, h)
}

func windowOf(r *rand.Rand, n int, w, h halves) houseRow {
	row := newRow(r, fmt.Sprintf("W%d", n), "window", w, h)
	row.words["Flange"] = pick(r, "integral", "attached nailed", "attached locating", "none", "casing")
	row.words["Sill pan"] = pick(r, "", "formed", "rigid")
	if w > 2*60 {
		row.words["Units"] = pick(r, "", "2", "3")
	}
	return row
}

func newDoor(r *rand.Rand, n int) houseRow {
	usual := [][2]halves{{76, 164}, {76, 164}, {76, 164}, {68, 164}, {68, 164}, {72, 163}, {72, 163}, {76, 162}}
	size := usual[r.Intn(len(usual))]
	if r.Intn(10) == 0 {
		size = [2]halves{between(r, 51, 66), halves(163 + r.Intn(4))}
	}
	row := newRow(r, fmt.Sprintf("D%d", n), "entry door", size[0], size[1])
	row.words["Flange"], row.words["Sits on"] = pick(r, "none", "casing"), pick(r, "wood", "slab")
	row.lengths["Leg drop"] = between(r, 0, 9)
	if r.Intn(2) == 0 {
		row.lengths["Unit depth"] = between(r, 4, 6)
	}
	return row
}

// copy returns a house whose rows can be changed.
func (h house) copy() house {
	out := slices.Clone(h)
	for i, row := range out {
		words := map[string]string{}
		for k, v := range row.words {
			words[k] = v
		}
		out[i].words = words
	}
	return out
}

// Ways to write half inches.
func inches(l halves) string { return strings.TrimSuffix(fmt.Sprintf("%d-%d/2", l/2, l%2), "-0/2") }

func millimeters(l halves) string { // half an inch is 12.7 mm
	return strings.TrimSuffix(fmt.Sprintf("%d.%d", l*127/10, l*127%10), ".0")
}

func millimetersWithUnit(l halves) string { return millimeters(l) + " mm" }

// csv writes the schedule of a house.
func (h house) csv(t testing.TB, length func(halves) string) string {
	t.Helper()
	var b strings.Builder
	w := csv.NewWriter(&b)
	require.NoError(t, w.Write(houseColumns))
	for _, row := range h {
		line := make([]string, len(houseColumns))
		for i, c := range houseColumns {
			line[i] = row.words[c]
			if l, ok := row.lengths[c]; ok {
				line[i] = length(l)
			}
		}
		require.NoError(t, w.Write(line))
	}
	w.Flush()
	require.NoError(t, w.Error())
	return b.String()
}

func TestHousesAreLikeRealOnes(t *testing.T) {
	var windows, doors []int
	wide, all, smallest := 0, 0, 0
	for seed := range int64(seeds) {
		n := map[string]int{}
		for _, row := range newHouse(seed) {
			n[row.words["Kind"]]++
			w := max(row.lengths["Frame width"], row.lengths["RO width"]-1)
			h := max(row.lengths["Frame height"], row.lengths["RO height"]-1)
			if w > 2*96 {
				wide++
			}
			if w == 2*22 && h == 2*8 {
				smallest++
			}
		}
		windows, doors = append(windows, n["window"]), append(doors, n["entry door"])
		all += n["window"]
		assert.GreaterOrEqual(t, n["window"]+n["entry door"], 7)
		assert.LessOrEqual(t, n["window"]+n["entry door"], 21)
	}
	slices.Sort(windows)
	slices.Sort(doors)
	assert.InDelta(t, 11, windows[seeds/2], 1, "median of windows")
	assert.Equal(t, 2, doors[seeds/2], "median of doors")
	assert.InDelta(t, 12.0/300, float64(wide)/float64(all), 0.015, "windows wider than 96 in")
	assert.Positive(t, smallest)
}
