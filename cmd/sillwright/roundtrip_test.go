package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// line finds a row of a sheet by what stands in its column Item; it returns
// the row's number and its cells by header.
func (b writtenBook) line(sheet, item string) (int, map[string]string) {
	b.t.Helper()
	for i, row := range b.table(sheet, "Item", "Code") {
		if row["Item"] == item {
			return b.header(sheet, "Item").row + 1 + i, row
		}
	}
	require.Fail(b.t, "no such line", "%s: %s", sheet, item)
	return 0, nil
}

// TestEditedEstimate types into an estimate what an estimator may: a count
// under Override, and a price. The next run goes by them, and the run after it
// comes to the same.
func TestEditedEstimate(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	for _, job := range []string{"duplex", "workshop"} {
		t.Run(job, func(t *testing.T) {
			name := job + "-estimate.xlsx"
			first := open(t, "demo/"+name)
			primerRow, primer := first.line("Materials", "end-primer")
			_, glue := first.line("Materials", "wood-glue") // there is one offer of it
			priceRow, _ := first.line("Prices", "wood-glue")
			edit(t, "demo/"+name, edited+name, map[string]any{
				"Materials!" + estimate.CellName(primerRow, first.header("Materials", "Override").col): 4,
				"Prices!" + estimate.CellName(priceRow, first.header("Prices", "Price").col):           19.85,
			})
			succeed(t, "estimate", edited+name, "--out", "second")
			second := open(t, "second/"+name)
			_, newPrimer := second.line("Materials", "end-primer")
			_, newGlue := second.line("Materials", "wood-glue")
			assert.Equal(t, "4", newPrimer["Override"])
			assert.Equal(t, "4", newPrimer["Count"])
			assert.Equal(t, 4*cents(t, primer["Unit price"]), cents(t, newPrimer["Extension"]))
			assert.Equal(t, "19.85", newGlue["Unit price"])
			assert.Equal(t, glue["Count"], newGlue["Count"])
			more := cents(t, newPrimer["Extension"]) - cents(t, primer["Extension"]) + cents(t, newGlue["Extension"]) - cents(t, glue["Extension"])
			assert.Positive(t, more)
			assert.Equal(t, first.amount("Summary", "Materials", "Amount")+more, second.amount("Summary", "Materials", "Amount"), "nothing else has changed")
			assert.Greater(t, second.amount("Summary", "Total", "Amount"), first.amount("Summary", "Total", "Amount")+more, "tax, overhead and profit follow")
			for _, c := range []string{"Mark", "Item", "Each opening", "Total", "Calculation"} {
				assert.Equal(t, column(first.table("Takeoff", "Mark", "Item"), c), column(second.table("Takeoff", "Mark", "Item"), c))
			}

			succeed(t, "estimate", "second/"+name, "--out", "third")
			same(t, second, open(t, "third/"+name))
		})
	}
}

// freeSheets are the sheets of free rows, with empty ones to type into.
var freeSheets = []string{"Field measurements", "Other costs", "Labor", "On hand", "Alternates", "Suppliers"}

// Empty rows are nothing when an estimate is read back, however often; and what is
// typed into the first of them counts.
func TestEmptyRowsOfAnEstimate(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	first := open(t, "demo/workshop-estimate.xlsx")
	again := succeed(t, "estimate", "demo/workshop-estimate.xlsx", "--out", "again")
	second := open(t, "again/workshop-estimate.xlsx")
	same(t, first, second)
	assert.Equal(t, first.lines(freeSheets...), second.lines(freeSheets...))

	next := map[string]int{} // the first empty row
	for _, sheet := range freeSheets {
		at := 5
		for first.row(sheet, at)[1] != "" {
			at++
		}
		next[sheet] = at
	}
	cell := func(sheet string, col int) string { return sheet + "!" + estimate.CellName(next[sheet], col) }
	edit(t, "demo/workshop-estimate.xlsx", edited+"workshop-estimate.xlsx", map[string]any{
		cell("Other costs", 1): "second lift", cell("Other costs", 2): 2, cell("Other costs", 4): 25.5, cell("Other costs", 5): "no",
		cell("On hand", 1): "bevel-strip", cell("On hand", 2): "16 ft", cell("On hand", 3): 1,
		cell("Alternates", 1): "common",
	})
	typed := succeed(t, "estimate", edited+"workshop-estimate.xlsx", "--out", "typed")
	third := open(t, "typed/workshop-estimate.xlsx")
	assert.Equal(t, first.amount("Summary", "Other costs", "Amount")+5100, third.amount("Summary", "Other costs", "Amount"))
	added := third.table("Added costs", "What", "Extension")
	assert.Equal(t, "51", added[next["Other costs"]-5]["Extension"])
	assert.Equal(t, "192", third.row("On hand", next["On hand"])[2])
	assert.Equal(t, "common", third.row("Alternates", next["Alternates"])[1])
	for _, r := range []ran{again, typed} {
		for _, sheet := range freeSheets {
			assert.NotRegexp(t, sheet+`'?( row|!)`, r.stderr, "no problem is reported there")
		}
	}
}

// Summary leads to every other sheet and says what it shows.
func TestSummaryNamesEverySheet(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	sillwright("estimate", "job.csv")
	b := open(t, "job-estimate.xlsx")
	contents := b.table("Summary", "Sheet", "What it shows")
	require.Greater(t, len(contents), len(b.sheets)-1)
	for i, name := range b.sheets[1:] {
		assert.Equal(t, name, contents[i]["Sheet"])
		assert.NotEmpty(t, contents[i]["What it shows"], name)
	}
}

func column(rows []map[string]string, header string) []string {
	var out []string
	for _, r := range rows {
		out = append(out, r[header])
	}
	return out
}

// TestMeasuringReleases fills in the form that an estimate prints: what was
// held is released, and what was bought for it serves.
func TestMeasuringReleases(t *testing.T) {
	inTemp(t)
	succeed(t, "new", "job")
	overwriteExample(t, "job/schedule.xlsx")
	succeed(t, "estimate", "job/schedule.xlsx")
	held := open(t, "job/schedule-estimate.xlsx")
	waiting := held.table("On hold", "Mark", "Item")
	require.Len(t, waiting, 1)
	assert.Equal(t, "trim", waiting[0]["Item"])
	form := held.table("Measure form", "Mark", "Piece", "Ordered")
	require.Len(t, form, 1)
	require.Equal(t, "35-1/2 x 59-1/2", form[0]["Ordered"])

	first, readings := held.header("Measure form", "Width 1"), map[string]any{}
	for i, v := range []string{"35-1/2", "35-1/2", "35-1/2", "59-1/2", "59-1/2", "59-1/2"} {
		readings["Measure form!"+estimate.CellName(first.row+1, first.col+i)] = v
	}
	edit(t, "job/schedule-estimate.xlsx", edited+"measured-estimate.xlsx", readings)
	succeed(t, "estimate", edited+"measured-estimate.xlsx", "--out", "released")
	released := open(t, "released/measured-estimate.xlsx")
	assert.Equal(t, "nothing is on hold", released.table("On hold", "Mark", "Item")[0]["Mark"])
	assert.Empty(t, released.table("Measure form", "Mark", "Piece", "Ordered"))
	for _, c := range []string{"Key", "Count", "Extension"} {
		assert.Equal(t, column(held.table("Materials", "Item", "Code"), c), column(released.table("Materials", "Item", "Code"), c),
			"measured as it was ordered, it needs nothing more")
	}
	assert.Equal(t, held.amount("Summary", "Total", "Amount"), released.amount("Summary", "Total", "Amount"))
}

func TestNewScheduleIsReadWithoutAProblem(t *testing.T) {
	inTemp(t)
	succeed(t, "new", "job")
	sound(t, "job/schedule.xlsx")
	overwriteExample(t, "job/schedule.xlsx")
	write(t, "own.csv", ownPrices(t))
	r := succeed(t, "check", "job/schedule.xlsx", "--prices", "own.csv")
	assert.Equal(t, "schedule.xlsx: 1 opening, 0 rows left out, 0 errors\n", r.stdout, "the example row, overwritten, is an opening")
	assert.Empty(t, r.besideAsides())

	r = succeed(t, "estimate", "job/schedule.xlsx", "--prices", "job/prices.csv")
	assert.Regexp(t, `(?m)^schedule-estimate\.xlsx +1 +[\d.]+ USD +1 +0/0  no labor`, r.stdout)
	assert.Equal(t, "prices.csv: note: prices of this list are invented (put your suppliers' prices in before you bid)\n", r.besideAsides())
}
