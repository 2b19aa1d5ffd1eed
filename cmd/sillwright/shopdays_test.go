package main

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
)

// TestTwoShopDays cuts what is measured on a first day, then measures the rest
// and cuts it from what the first day left: nothing more is bought of what is
// cut, at the longest readings that the measuring allowance provides for.
func TestTwoShopDays(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	for _, name := range []string{"duplex", "workshop"} {
		t.Run(name, func(t *testing.T) {
			first, problems := load("demo/"+name+".xlsx", []string{"demo/prices.csv"})
			require.NotNil(t, first, "%v", problems)
			left := waiting(open(t, "demo/"+name+"-estimate.xlsx"))
			require.NotEmpty(t, left)
			second := name + "-2.xlsx"
			held := secondDay(t, first, "demo/"+name+".xlsx", second, left)
			require.Positive(t, held, "something waits for the second day")

			j, problems := load(second, []string{"demo/prices.csv"})
			require.NotNil(t, j, "%v", problems)
			trim := map[string]bool{}
			for _, line := range left {
				trim[line[0]] = true
			}
			planned := 0
			for _, buy := range j.remaining.Plan.Purchases {
				if !trim[buy.Item.Key] {
					continue
				}
				planned++
				assert.Empty(t, buy.State, buy.Item.Key)
				assert.Empty(t, buy.Lines, "%s: no board more than the order", buy.Item.Key)
				assert.Positive(t, buy.OnHand, buy.Item.Key)
			}
			assert.Equal(t, len(trim), planned)
			assert.Positive(t, planned)
			r := sillwright("estimate", second, "--prices", "demo/prices.csv")
			assert.Equal(t, exitOK, r.code, r.stderr)
			sound(t, name+"-2-estimate.xlsx")
		})
	}
}

// waiting returns the list of Offcuts that stands when all is cut but what is
// held: item, length and count.
func waiting(b writtenBook) (list [][3]string) {
	cells := b.cells("Offcuts")
	begin := slices.IndexFunc(cells, func(c writtenCell) bool { return strings.HasPrefix(c.value, "After only the released trim") })
	require.GreaterOrEqual(b.t, begin, 0)
	for row := cells[begin].row + 2; ; row++ {
		line := b.row("Offcuts", row)
		if line[3] == "" {
			return list
		}
		list = append(list, [3]string{line[1], line[2], line[3]})
	}
}

// secondDay writes the schedule of the second day: what is on hand, what is cut,
// and readings of the rest, each as long as the allowance provides for. It
// returns how many marks were held.
func secondDay(t *testing.T, first *job, from, to string, onHand [][3]string) (held int) {
	t.Helper()
	f, err := excelize.OpenFile(from)
	require.NoError(t, err)
	set := func(sheet string, row, col int, v any) {
		name, err := excelize.CoordinatesToCellName(col, row)
		require.NoError(t, err)
		require.NoError(t, f.SetCellValue(sheet, name, v))
	}
	for i, line := range onHand {
		n, err := strconv.Atoi(line[2])
		require.NoError(t, err)
		for col, v := range []any{line[0], line[1], n} {
			set("On hand", 5+i, col+1, v)
		}
		set("On hand", 5+i, 6, "2026-11-28") // the day in the shop, under Counted
	}
	rows, err := f.GetRows("Openings", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	header := slices.IndexFunc(rows, func(r []string) bool { return slices.Contains(r, "Mark") })
	column := func(name string) int { return slices.Index(rows[header], name) + 1 }
	waits := map[string]bool{}
	for _, h := range first.takeoff.Holds {
		if h.What == "trim" {
			waits[first.takeoff.Openings[h.Opening].Mark] = true
		}
	}
	for _, o := range first.takeoff.Openings {
		row := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == o.Mark }) + 1
		if o.Layout == "none" {
			continue
		}
		if !waits[o.Mark] {
			set("Openings", row, column("Status"), "cut")
			continue
		}
		held++
		more := first.schedule.Book.Job.MeasuringAllowance
		set("Openings", row, column("Status"), "set")
		set("Openings", row, column("Measured width"), measure.FormatInches(o.Frame.W+more, 32))
		set("Openings", row, column("Measured height"), measure.FormatInches(o.Frame.H+more, 32))
	}
	require.NoError(t, f.SaveAs(to))
	require.NoError(t, f.Close())
	return held
}
