package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
)

// twoWindows is a schedule of an invented job.
const twoWindows = "Mark,Qty,Kind,Frame width,Frame height,Supplied by\nW1,2,window,36,60,owner\nW2,1,window,48,48,owner\n"

// orderRows reads the orders in a folder, by what their rows are.
func orderRows(t *testing.T, dir string) map[string][]map[string]string {
	t.Helper()
	out := map[string][]map[string]string{}
	for _, f := range listing(t, dir) {
		if !strings.HasSuffix(f, ".csv") {
			continue
		}
		for _, line := range csvRows(t, f) {
			out[line["row"]] = append(out[line["row"]], line)
		}
	}
	return out
}

// ordered is what the orders in a folder come to.
func ordered(t *testing.T, dir string) measure.Money {
	t.Helper()
	return sum(t, orderRows(t, dir)["total"], "extension")
}

// priceCell returns the cell of an item's price from a supplier on Prices.
func (b writtenBook) priceCell(item, supplier string) string {
	b.t.Helper()
	head := b.header("Prices", "Supplier").row
	for i, r := range b.table("Prices", "Supplier", "Item", "Price") {
		if r["Item"] == item && r["Supplier"] == supplier {
			return fmt.Sprintf("Prices!G%d", head+1+i)
		}
	}
	require.Fail(b.t, "no such price", "%s at %s", item, supplier)
	return ""
}

// An edited estimate is ordered as it was edited: every sum is worked out again.
func TestOrderFollowsTheEstimate(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", twoWindows)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	b := open(t, "job-estimate.xlsx")
	materials := b.amount("Summary", "Materials", "Amount")
	succeed(t, "order", "job-estimate.xlsx", "--out", "plain")
	assert.Equal(t, materials, ordered(t, "plain"))
	for _, f := range listing(t, "plain") {
		if strings.HasSuffix(f, ".xlsx") {
			assert.Empty(t, audit.Lint([]byte(read(t, f))), f)
		}
	}

	// Three prices and a count, the stored sums left as they were.
	row, board := b.line("Materials", "board-1x4")
	_, shim := b.line("Materials", "shim")
	_, foam := b.line("Materials", "foam-low")
	change := map[string]any{
		b.priceCell("shim", shim["Supplier"]):         99.25,
		b.priceCell("foam-low", foam["Supplier"]):     1.5,
		b.priceCell("end-primer", "North Yard"):       40.0,
		fmt.Sprintf("Materials!M%d", row):             int64(9),
		b.priceCell("pan-30-4-9-16", "Harbor Supply"): 1.0, // not bought
	}
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", change)
	r := sillwright("order", edited+"job-estimate.xlsx", "--out", "new")
	assert.Equal(t, exitOK, r.code, r.stderr)
	_, primer := b.line("Materials", "end-primer")
	want := materials
	for _, l := range []struct {
		was   map[string]string
		count measure.Money
		price measure.Money
	}{{shim, 0, 9925}, {foam, 0, 150}, {primer, 0, 4000}, {board, 9, cents(t, board["Unit price"])}} {
		n := l.count
		if n == 0 {
			n = cents(t, l.was["Count"]) / 100
		}
		want += n*l.price - cents(t, l.was["Extension"])
	}
	assert.Equal(t, want, ordered(t, "new"))
	assert.Equal(t, 4, strings.Count(r.stderr, "which is used"), "each sum of the file that differs is named:\n%s", r.stderr)

	// What is there is not overwritten, and an estimate is asked for.
	r = sillwright("order", "job-estimate.xlsx", "--out", "plain")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "--force")
	succeed(t, "order", "job-estimate.xlsx", "--out", "plain", "--force")
	r = sillwright("order", "job.csv")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "job.csv: error: it is not an estimate workbook (run sillwright estimate job.csv, then ")
	assert.Equal(t, exitUsage, sillwright("order").code)
}

// A supplier chosen on Orders without a plan is not ordered from; the estimate
// run again plans it.
func TestOrderAtAnotherSupplier(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", twoWindows)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	b := open(t, "job-estimate.xlsx")
	head := b.header("Orders", "Buy at")
	row, at := 0, ""
	for i, r := range b.table("Orders", "Item", "Bought at", "Buy at") {
		if r["Item"] == "board-1x4" {
			row, at = head.row+1+i, r["Bought at"]
		}
	}
	other := "Harbor Supply"
	require.NotEqual(t, other, at)
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", map[string]any{fmt.Sprintf("Orders!E%d", row): other})

	r := sillwright("order", edited+"job-estimate.xlsx", "--out", "orders")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, fmt.Sprintf("Orders!E%d: error: board-1x4 is left out: it is planned at %s, and is now to be bought at %s (run estimate again)",
		row, at, other))
	assert.Contains(t, read(t, "orders/job-not-ordered.csv"), "board-1x4")
	assert.False(t, slices.ContainsFunc(orderRows(t, "orders")["line"], func(l map[string]string) bool { return l["item"] == "board-1x4" }))

	succeed(t, "estimate", edited+"job-estimate.xlsx", "--out", "again")
	again := open(t, "again/job-estimate.xlsx")
	_, line := again.line("Materials", "board-1x4")
	assert.Equal(t, other, line["Supplier"])
	succeed(t, "order", "again/job-estimate.xlsx", "--out", "orders2")
	for _, l := range orderRows(t, "orders2")["line"] {
		if l["item"] == "board-1x4" {
			assert.Equal(t, other, l["supplier"])
		}
	}
}

// Two jobs on one order: fewer packs, and shares that add up.
func TestOrderTwoJobs(t *testing.T) {
	inTemp(t)
	write(t, "one.csv", twoWindows)
	write(t, "two.csv", oneWindow)
	write(t, "prices.csv", ownPrices(t))
	apart := measure.Money(0)
	for _, name := range []string{"one", "two"} {
		succeed(t, "estimate", name+".csv", "--prices", "prices.csv")
		succeed(t, "order", name+"-estimate.xlsx", "--out", name)
		apart += ordered(t, name)
	}
	r := succeed(t, "order", "one-estimate.xlsx", "two-estimate.xlsx", "--out", "both")
	together := ordered(t, "both")
	assert.Less(t, together, apart)
	assert.Contains(t, r.stdout, fmt.Sprintf("Together %s, separately %s: %s saved", together, apart, apart-together))
	shares := measure.Money(0)
	for _, f := range listing(t, "both") {
		if !strings.HasSuffix(f, ".xlsx") {
			continue
		}
		assert.Empty(t, audit.Lint([]byte(read(t, f))), f)
		b := open(t, f)
		head := b.header("Shares", "one")
		for _, c := range b.cells("Shares") {
			if c.col == 2 && c.value == "Total" {
				total := b.row("Shares", c.row)
				shares += cents(t, total[head.col]) + cents(t, total[head.col+1])
			}
		}
	}
	assert.Equal(t, together, shares)
	// A job of other taxes goes on no order with them.
	write(t, "taxed/Openings.csv", oneWindow)
	write(t, "taxed/Job.csv", "Key,Value\ntax,5 %\n")
	data, err := folderSchedule(os.DirFS("."), "taxed")
	require.NoError(t, err)
	write(t, "taxed.xlsx", string(data))
	succeed(t, "estimate", "taxed.xlsx", "--prices", "prices.csv")
	r = sillwright("order", "one-estimate.xlsx", "taxed-estimate.xlsx")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "different sales taxes")
}

// counted is how many of an item the orders in a folder have, by pack and price, at
// the price that the line says.
func counted(t *testing.T, dir, item string) map[string]measure.Money {
	t.Helper()
	out := map[string]measure.Money{}
	for _, l := range orderRows(t, dir)["line"] {
		if l["item"] == item {
			n := cents(t, l["count"]) / 100
			assert.Equal(t, n*cents(t, l["price"]), cents(t, l["extension"]), "%s %s", item, l["pack"])
			out[l["pack"]+" at "+l["price"]] += n
		}
	}
	return out
}

// Two jobs with different prices of one item, or that cut differently, share an order
// but no boards: each keeps its own counts at its own prices. What is alike in both is
// still bought once.
func TestOrderTwoJobsThatDiffer(t *testing.T) {
	inTemp(t)
	write(t, "one.csv", twoWindows)
	write(t, "two.csv", oneWindow)
	prices := ownPrices(t)
	write(t, "prices.csv", prices)
	dear := strings.NewReplacer(",11.28,", ",12.28,", ",14.35,", ",15.35,", ",17.10,", ",18.10,", ",20.65,", ",21.65,", ",23.20,", ",24.20,").Replace(prices)
	require.NotEqual(t, prices, dear)
	write(t, "dear.csv", dear)
	write(t, "saw/Openings.csv", oneWindow)
	write(t, "saw/Job.csv", "Key,Value\nkerf,1/4\n")
	data, err := folderSchedule(os.DirFS("."), "saw")
	require.NoError(t, err)
	write(t, "saw.xlsx", string(data))
	for _, e := range [][]string{{"one.csv", "prices.csv"}, {"two.csv", "dear.csv"}, {"saw.xlsx", "prices.csv"}} {
		succeed(t, "estimate", e[0], "--prices", e[1])
		name := strings.TrimSuffix(strings.TrimSuffix(e[0], ".csv"), ".xlsx")
		succeed(t, "order", name+"-estimate.xlsx", "--out", name)
	}
	for _, c := range []struct {
		other, why string
		apart      []string // items that are ordered for each job apart
	}{
		{"two", "board-1x4 from North Yard is ordered for each job apart: the estimates have different prices of it", []string{"board-1x4"}},
		{"saw", "is ordered for each job apart: the jobs cut differently (kerf, end trim, joints, brake length, waste or spares on Job)",
			[]string{"board-1x4", "tape-9", "tape-9-flexible", "bevel-strip", "drip-cap"}},
	} {
		dir := "with-" + c.other
		r := succeed(t, "order", "one-estimate.xlsx", c.other+"-estimate.xlsx", "--out", dir)
		assert.Contains(t, r.stderr, c.why)
		for _, item := range c.apart {
			want := counted(t, "one", item)
			for offer, n := range counted(t, c.other, item) {
				want[offer] += n
			}
			require.NotEmpty(t, want, item)
			assert.Equal(t, want, counted(t, dir, item), "%s with %s", item, c.other)
		}
		shims := counted(t, "one", "shim")
		require.Len(t, shims, 1)
		assert.Equal(t, shims, counted(t, dir, "shim"), "a pack of 42 serves both with %s", c.other)
		assert.Less(t, ordered(t, dir), ordered(t, "one")+ordered(t, c.other))
		sum := measure.Money(0)
		for _, l := range orderRows(t, dir)["line"] {
			sum += cents(t, l["extension"])
		}
		assert.Equal(t, ordered(t, dir), sum, "no delivery and no tax here: the lines are the total")
	}
	assert.Len(t, counted(t, "with-two", "board-1x4"), len(counted(t, "one", "board-1x4"))+len(counted(t, "two", "board-1x4")), "each at its own price")
}

// A part of a count is refused wherever it is read, at its cell: the estimate's own
// formulas take it for no number (.ci/edits.py types one), and neither order nor a new
// estimate prices it.
func TestPartOfACountIsRefused(t *testing.T) {
	inTemp(t)
	write(t, "job/Openings.csv", oneWindow)
	write(t, "job/Other costs.csv", "Text,Count,Unit,Price,Taxable\nLift,2,day,100.00,no\n")
	data, err := folderSchedule(os.DirFS("."), "job")
	require.NoError(t, err)
	write(t, "job.xlsx", string(data))
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.xlsx", "--prices", "prices.csv")
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", map[string]any{"Other costs!B5": 1.78})
	for _, args := range [][]string{{"order", edited + "job-estimate.xlsx", "--out", "orders"}, {"estimate", edited + "job-estimate.xlsx", "--out", "again"}} {
		assert.Contains(t, sillwright(args...).stderr, `'Other costs'!B5: error: Count "1.78" is not a whole number (write digits only, such as 2)`, args[0])
	}
	again := open(t, "again/job-estimate.xlsx")
	assert.Equal(t, measure.Money(0), again.amount("Summary", "Other costs", "Amount"))
	assert.Equal(t, "not stated", again.table("Added costs", "What", "Extension")[0]["Extension"])
}

// What a list leaves of an estimate decides the exit code: a broken row costs
// the row and is told, a list without a price costs the job.
func TestExitCodesOfBrokenLists(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	good := ownPrices(t)
	header, rest, _ := strings.Cut(good, "\n")
	for name, c := range map[string]struct {
		list string
		code int
	}{
		"all well":                    {good, exitOK},
		"one price is no price":       {header + "\nNorth Yard,board-1x4,Q1,,8 ft,board,call,USD,,,2026-11-02,\n" + rest, exitIncomplete},
		"rows that nobody needs":      {good + "\nNorth Yard,garden hose,Q2,,50 ft,roll,9.99,USD,,,2026-11-02,\n", exitOK},
		"no price column":             {strings.Replace(good, ",price,", ",prise,", 1), exitNothing},
		"nothing but unknown items":   {header + "\nNorth Yard,garden hose,Q2,,50 ft,roll,9.99,USD,,,2026-11-02,\n", exitNothing},
		"the list lacks needed items": {header + "\n" + strings.SplitN(rest, "\n", 2)[0] + "\n", exitIncomplete},
	} {
		write(t, "prices.csv", c.list)
		r := sillwright("estimate", "job.csv", "--prices", "prices.csv", "--force")
		assert.Equal(t, c.code, r.code, "%s\n%s", name, r.stderr)
		if c.code == exitNothing {
			assert.Contains(t, r.stderr, "prices.csv: ", name)
		}
	}
}
