package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
)

// reedit copies a workbook with cells changed: under a header of a sheet, in the
// rows whose first cell is a label.
func reedit(t *testing.T, from, to, sheet, header string, value any, labels ...string) {
	t.Helper()
	f, err := excelize.OpenFile(from)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	col, changed := -1, 0
	for i, row := range rows {
		if k := slices.Index(row, header); k >= 0 && col < 0 {
			col = k
		}
		if col >= 0 && len(row) > 0 && slices.Contains(labels, row[0]) {
			name, err := excelize.CoordinatesToCellName(col+1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue(sheet, name, value))
			changed++
		}
	}
	require.Equal(t, len(labels), changed)
	require.NoError(t, f.SaveAs(to))
}

// overwriteExample makes the example row of a new schedule an opening, W1, as its reader
// is told to.
func overwriteExample(t *testing.T, name string) {
	t.Helper()
	reedit(t, name, name, "Openings", "Notes", "", "EXAMPLE")
	reedit(t, name, name, "Openings", "Mark", "W1", "EXAMPLE")
}

// alternateRow returns the row of an alternate in a comparison.
func alternateRow(t *testing.T, b writtenBook, name string) map[string]string {
	t.Helper()
	rows := b.table("Alternates", "Alternate", "Difference")
	i := slices.IndexFunc(rows, func(r map[string]string) bool { return r["Alternate"] == name })
	require.GreaterOrEqual(t, i, 0, name)
	return rows[i]
}

// TestAlternatesOfTheDuplex holds alternates of the demo against full estimates
// of schedules changed by hand: equal to the cent.
func TestAlternatesOfTheDuplex(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	r := succeed(t, "compare", "demo/duplex-estimate.xlsx", "--out", "alternates.xlsx")
	assert.Contains(t, r.stdout, "As it stands ")
	sound(t, "alternates.xlsx")
	keep(t, "alternates.xlsx")
	b := open(t, "alternates.xlsx")
	assert.Equal(t, []string{"Alternates", "Picture", "Bids", "By class", "Problems"}, b.sheets)
	stands := cents(t, alternateRow(t, b, "As it stands")["Total"])
	assert.Equal(t, totalOf(t, "demo/duplex-estimate.xlsx"), stands)

	const prices = "demo/prices.csv"
	for _, c := range []struct {
		name string
		edit func(to string)
		n    measure.Money // openings
	}{
		{"Rigid pan: W1, W2, W3", func(to string) {
			reedit(t, "demo/duplex.xlsx", to, "Openings", "Sill pan", "rigid", "W1", "W2", "W3")
		}, 10},
		{"Metal pans under all doors", func(to string) {
			reedit(t, "demo/duplex.xlsx", to, "Openings", "Sill pan", "metal", "D1", "D2", "P1", "P2")
		}, 6},
		{"Window trim 1x6", func(to string) {
			reedit(t, "demo/duplex.xlsx", to, "Job", "Value", "board-1x6", "head casing window", "leg casing window", "bottom casing window")
		}, 16},
	} {
		c.edit("changed.xlsx")
		succeed(t, "estimate", "changed.xlsx", "--prices", prices, "--force")
		full := totalOf(t, "changed-estimate.xlsx")
		row := alternateRow(t, b, c.name)
		assert.Equal(t, full, cents(t, row["Total"]), c.name)
		difference := full - stands
		assert.NotZero(t, difference, c.name)
		assert.Equal(t, difference, cents(t, row["Difference"]), c.name)
		assert.Equal(t, measure.Money(measure.MulDiv(int64(difference), 1, int64(c.n))), cents(t, row["Per opening"]), c.name)
	}
	// The bids of the alternates are built up to their totals.
	bids := b.table("Bids", "Alternate", "Total")
	assert.Len(t, bids, len(b.table("Alternates", "Alternate", "Difference")), "all have a figure")
	for _, bid := range bids {
		sum := measure.Money(0)
		for _, part := range []string{"Direct cost", "Overhead", "Contingency", "Profit"} {
			sum += cents(t, bid[part])
		}
		assert.Equal(t, cents(t, bid["Total"]), sum, bid["Alternate"])
	}
}

func totalOf(t *testing.T, estimate string) measure.Money {
	t.Helper()
	return cents(t, open(t, estimate).labeled("Summary", "Total", 3))
}

// An alternate that cannot be computed says why, and has no figure; one that the
// sheet cannot be read for leaves something out.
func TestAlternatesWithoutFigure(t *testing.T) {
	inTemp(t)
	write(t, "prices.csv", strings.ReplaceAll(ownPrices(t), ",board-1x8,", ",board-1x80,"))
	succeed(t, "new", "job")
	reedit(t, "job/schedule.xlsx", "own.xlsx", "Alternates", "Value", "board-1x8", "Wider legs at doors")
	overwriteExample(t, "own.xlsx")
	reedit(t, "own.xlsx", "own.xlsx", "Openings", "Kind", "entry door", "W1")
	r := sillwright("estimate", "own.xlsx", "--prices", "prices.csv")
	require.NotEqual(t, exitNothing, r.code, r.stderr)
	r = sillwright("compare", "own-estimate.xlsx", "--kind", "alternates")
	assert.Equal(t, exitIncomplete, r.code, "a needed item has no price")
	b := open(t, "comparison.xlsx")
	sound(t, "comparison.xlsx")
	row := alternateRow(t, b, "Wider legs at doors")
	assert.Equal(t, "no figure", row["Total"])
	assert.Equal(t, "no figure", row["Difference"])
	assert.Contains(t, row["Why no figure"], "board-1x8: it has no price: no price list offers it; needed by W1")
	assert.Contains(t, r.stdout, "Wider legs at doors: no figure: ")
	assert.Equal(t, "no figure", alternateRow(t, b, "Rigid pans under windows")["Total"], "there is no window")
	assert.NotEqual(t, "no figure", alternateRow(t, b, "Trim of doors: board-1x4")["Total"], "the usual ones stand beside")
}

// TestOffcutsForTheNextJob copies what one job leaves over into On hand of the
// next, as it stands on Offcuts: fewer boards, and what they cost.
//
// Source of the shed's figures: arithmetic. With boards of 16 ft alone a window
// of 41-1/2 x 41-1/2 takes four pieces and a spare of some 49 in, three a board:
// two boards leave 44 and 93 in. Two windows of 23-1/2 take nine pieces of some
// 31 in, six a board: two boards, or one and the three that the rest gives.
func TestOffcutsForTheNextJob(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	var long []string
	for _, l := range strings.Split(read(t, "demo/prices.csv"), "\n") {
		if !strings.Contains(l, ",board-1x4,") || strings.Contains(l, ",16 ft,") && strings.HasPrefix(l, "North") {
			long = append(long, l)
		}
	}
	write(t, "long.csv", strings.Join(long, "\n"))
	write(t, "first.csv", "Mark,Kind,Frame width,Frame height,Supplied by\nA1,window,41-1/2,41-1/2,owner\n")
	write(t, "second.csv", "Mark,Qty,Kind,Frame width,Frame height,Supplied by\nB1,2,window,23-1/2,23-1/2,owner\n")
	succeed(t, "estimate", "first.csv", "--prices", "long.csv")
	succeed(t, "estimate", "second.csv", "--prices", "long.csv")
	for _, c := range []struct {
		first, second, prices string
		before, after         stockBought
		saved                 measure.Money // of the bid
	}{
		{"first-estimate.xlsx", "second-estimate.xlsx", "long.csv", stockBought{2, 5, 46_40, 194_23}, stockBought{1, 2, 23_20, 15_55}, 201_88},
		{"demo/workshop-estimate.xlsx", "demo/duplex.xlsx", "demo/prices.csv",
			stockBought{36, 29, 599_16, 658_57}, stockBought{36, 26, 599_16, 514_93}, 136_57},
	} {
		left := open(t, c.first).table("Offcuts", "Item", "Length", "Count")
		require.NotEmpty(t, left)
		f, err := excelize.OpenFile(c.second)
		require.NoError(t, err)
		for i, line := range left {
			for col, key := range []string{"Item", "Length", "Count"} {
				name, err := excelize.CoordinatesToCellName(col+1, 5+i)
				require.NoError(t, err)
				require.NoError(t, f.SetCellValue("On hand", name, line[key]))
			}
		}
		require.NoError(t, f.SaveAs("next.xlsx"))
		require.NoError(t, f.Close())
		before, problems := load(c.second, []string{c.prices})
		require.NotNil(t, before, "%v", problems)
		after, problems := load("next.xlsx", []string{c.prices})
		require.NotNil(t, after, "%v", problems)
		assert.Equal(t, c.before, stockOf(before), c.first)
		assert.Equal(t, c.after, stockOf(after), c.first)
		assert.Equal(t, c.saved, before.plan.Bid.Total-after.plan.Bid.Total, c.first)
		for _, p := range after.plan.Purchases {
			assert.Empty(t, p.State, "%s: nothing lacks for it", p.Item.Key)
		}
	}
}

// stockBought is how many pieces of stock a job buys of what is cut, and for how
// much: boards, then rolls, sticks and coils.
type stockBought struct {
	boards, others         int64
	boardsCost, othersCost measure.Money
}

func stockOf(j *job) (s stockBought) {
	for _, p := range j.plan.Purchases {
		for _, l := range p.Lines {
			switch {
			case !p.Item.Cut:
			case p.Item.Class == "boards":
				s.boards, s.boardsCost = s.boards+l.Count(), s.boardsCost+l.Extension
			default:
				s.others, s.othersCost = s.others+l.Count(), s.othersCost+l.Extension
			}
		}
	}
	return s
}
