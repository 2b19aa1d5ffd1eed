package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/io/xlsx/audit"
)

// estimateOf writes the estimate of a schedule, bought at prices that are invented.
func estimateOf(t *testing.T, name, schedule string) writtenBook {
	t.Helper()
	write(t, name+".csv", schedule)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", name+".csv", "--prices", "prices.csv")
	return open(t, name+outputEnding)
}

// shorter changes the content of all that is offered of items: what was planned of
// them no longer serves.
func (b writtenBook) shorter(items ...string) map[string]any {
	b.t.Helper()
	head := b.header("Prices", "Content")
	change := map[string]any{}
	for i, r := range b.table("Prices", "Supplier", "Item", "Content") {
		for _, item := range items {
			if r["Item"] == item {
				change["Prices!"+estimate.CellName(head.row+1+i, head.col)] = "3 ft"
			}
		}
	}
	require.NotEmpty(b.t, change)
	return change
}

// moreOf changes how many there are of the first mark: every cutting plan with a piece of
// it is overtaken.
func (b writtenBook) moreOf(qty int64) map[string]any {
	b.t.Helper()
	head := b.header("Openings", "Qty")
	return map[string]any{"Openings!" + estimate.CellName(head.row+1, head.col): qty}
}

// words are the texts of a sheet, in rows.
func (b writtenBook) words(sheet string) (rows []string) {
	b.t.Helper()
	at := 0
	for _, c := range b.cells(sheet) {
		if c.row != at {
			rows, at = append(rows, ""), c.row
		}
		rows[len(rows)-1] += c.value + " | "
	}
	return rows
}

// csvRows reads a CSV file, each row by its heads.
func csvRows(t testing.TB, name string) (rows []map[string]string) {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(read(t, name))).ReadAll()
	require.NoError(t, err)
	for _, r := range records[1:] {
		line := map[string]string{}
		for i, head := range records[0] {
			line[head] = r[i]
		}
		rows = append(rows, line)
	}
	return rows
}

// An order that lacks two items says so in its name, its first rows, its total and its
// CSV file, and what is in it can be read as what was ordered.
func TestIncompleteOrder(t *testing.T) {
	inTemp(t)
	b := estimateOf(t, "job", twoWindows)
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", b.shorter("tape-4", "drip-cap"))
	r := sillwright("order", edited+"job-estimate.xlsx", "--out", "orders")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	assert.Contains(t, r.stdout, "INCOMPLETE, 2 missing")
	const file = "orders/job-order-north-yard-INCOMPLETE"
	assert.Equal(t, []string{"orders/job-not-ordered.csv", file + ".csv", file + ".xlsx"}, listing(t, "orders"))

	sound(t, file+".xlsx")
	rows := open(t, file+".xlsx").words("Order")
	assert.Equal(t, "INCOMPLETE order to North Yard | ", rows[0])
	assert.Equal(t, "INCOMPLETE | what is listed here is missing from this order; do not send it as the whole order | ", rows[2])
	const again = `, \d.* in total: its plan is out of date \(run estimate again, then order from that\) \| $`
	assert.Regexp(t, `^MISSING \| 4 in flashing tape \(tape-4\)`+again, rows[3])
	assert.Regexp(t, `^MISSING \| Drip cap \(drip-cap\)`+again, rows[4])
	assert.Contains(t, strings.Join(rows, "\n"), "\nTotal of this INCOMPLETE order | ")
	assert.NotContains(t, strings.Join(rows, "\n"), "\nTotal | ")
	for _, row := range rows[5:] {
		assert.NotContains(t, row, "tape-4 |")
	}

	list := csvRows(t, file+".csv")
	assert.Equal(t, []string{"note", "note", "note", "line"}, []string{list[0]["row"], list[1]["row"], list[2]["row"], list[3]["row"]})
	assert.Equal(t, []string{"", "tape-4", "drip-cap"}, []string{list[0]["item"], list[1]["item"], list[2]["item"]})
	assert.Regexp(t, `^INCOMPLETE: `, list[0]["description"])
	assert.Regexp(t, `^MISSING: 4 in flashing tape \(tape-4\), .*run estimate again`, list[1]["description"])
	total := list[len(list)-1]
	assert.Equal(t, []string{"total", "of an INCOMPLETE order"}, []string{total["row"], total["description"]})

	missing := csvRows(t, "orders/job-not-ordered.csv")
	require.Len(t, missing, 2)
	assert.Equal(t, []string{"North Yard", "tape-4", "its plan is out of date"}, []string{missing[0]["supplier"], missing[0]["item"], missing[0]["reason"]})

	// As the earlier of two, it lacks the two items and no other.
	compared := succeed(t, "compare", "job-estimate.xlsx", file+".csv", "--out", "revision.xlsx")
	assert.Contains(t, compared.stdout, "More to buy: 2 lines")
	// The same command writes the same bytes.
	first := read(t, file+".xlsx") + read(t, file+".csv")
	sillwright("order", edited+"job-estimate.xlsx", "--out", "orders", "--force")
	assert.Equal(t, first, read(t, file+".xlsx")+read(t, file+".csv"))
}

// An item that nobody sells may belong to any order, so each says that it lacks it.
func TestOrderWithoutAPrice(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", twoWindows)
	var prices []string
	for _, line := range strings.Split(ownPrices(t), "\n") {
		if !strings.Contains(line, ",wood-glue,") {
			prices = append(prices, line)
		}
	}
	write(t, "prices.csv", strings.Join(prices, "\n"))
	assert.Equal(t, exitIncomplete, sillwright("estimate", "job.csv", "--prices", "prices.csv").code)
	r := sillwright("order", "job-estimate.xlsx", "--out", "orders")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	rows := open(t, "orders/job-order-north-yard-INCOMPLETE.xlsx").words("Order")
	assert.Contains(t, rows[3], "(wood-glue), 12 pieces: no price (type its price on Prices of the estimate, or run estimate again with a list that has it; then order again)")
}

// A row of the schedule that cannot be read has its materials in no order.
func TestOrderOfALeftOutRow(t *testing.T) {
	inTemp(t)
	b := estimateOf(t, "job", twoWindows)
	head := b.header("Openings", "Frame width")
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", map[string]any{"Openings!" + estimate.CellName(head.row+2, head.col): "wide"})
	r := sillwright("order", edited+"job-estimate.xlsx", "--out", "orders", "--partial")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	rows := open(t, "orders/job-order-north-yard-INCOMPLETE.xlsx").words("Order")
	assert.Contains(t, rows[3], "MISSING | what is left out for 1 error at job-estimate.xlsx: Openings!"+estimate.CellName(head.row+2, head.col))
	assert.Contains(t, rows[3], `"wide"`)
}

// Where all that follows a plan is out of date, no order is written but a partial one
// that is asked for.
func TestOrderOfOutdatedPlans(t *testing.T) {
	inTemp(t)
	b := estimateOf(t, "job", twoWindows)
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", b.moreOf(3))
	r := sillwright("order", edited+"job-estimate.xlsx", "--out", "orders")
	assert.Equal(t, exitNothing, r.code, r.stderr)
	assert.Contains(t, r.stderr, "orders/job-order-north-yard.xlsx: error: not written: "+
		"all that follows a plan at North Yard (boards, rolls, mixed packs) is out of date "+
		"(run estimate again, then order from that; --partial orders the rest, 9 items)\n")
	assert.Empty(t, r.stdout)
	notWritten(t, "orders")

	r = sillwright("order", edited+"job-estimate.xlsx", "--out", "orders", "--partial")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	lines := orderRows(t, "orders")
	assert.Len(t, lines["line"], 9)
	assert.Len(t, lines["note"], 1+7, "the six items that are cut, and cans by openings")

	// Of two suppliers one gets its order.
	move := b.moreOf(3)
	head := b.header("Orders", "Buy at")
	for i, line := range b.table("Orders", "Item", "Buy at") {
		if line["Item"] == "shim" {
			move[fmt.Sprintf("Orders!%s", estimate.CellName(head.row+1+i, head.col))] = "Harbor Supply"
		}
	}
	require.Len(t, move, 2)
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", move)
	r = sillwright("order", edited+"job-estimate.xlsx", "--out", "again", "--partial")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	assert.Contains(t, r.stderr, "again/job-order-harbor-supply.xlsx: error: not written: all that follows a plan at Harbor Supply",
		"what is to be bought there has no plan yet")
	assert.NotContains(t, r.stderr, "--partial orders the rest", "nothing is left there")
	assert.Len(t, orderRows(t, "again")["line"], 8)
}

// A complete order does not stand beside an incomplete one, nor an incomplete one beside
// a complete one without saying so; what is there stays as it is.
func TestOrdersOfEarlierRuns(t *testing.T) {
	inTemp(t)
	b := estimateOf(t, "job", twoWindows)
	edit(t, "job-estimate.xlsx", edited+"job-estimate.xlsx", b.shorter("tape-4"))
	require.Equal(t, exitIncomplete, sillwright("order", edited+"job-estimate.xlsx", "--out", "orders").code)
	const file = "orders/job-order-north-yard"
	write(t, file+"-INCOMPLETE.xlsx", "what somebody has made of it")
	for _, flags := range [][]string{nil, {"--force"}} {
		r := sillwright(append([]string{"order", "job-estimate.xlsx", "--out", "orders"}, flags...)...)
		assert.Equal(t, exitNothing, r.code)
		assert.Contains(t, r.stderr, file+"-INCOMPLETE.csv and 1 more file: error: it is an incomplete order of an earlier run, "+
			"and the complete one is not written beside it (delete it, or move it away if it was sent, then order again)\n")
		assert.Equal(t, "what somebody has made of it", read(t, file+"-INCOMPLETE.xlsx"))
		notWritten(t, file+".xlsx")
	}
	require.NoError(t, os.Remove(file+"-INCOMPLETE.xlsx"))
	require.NoError(t, os.Remove(file+"-INCOMPLETE.csv"))
	r := succeed(t, "order", "job-estimate.xlsx", "--out", "orders")
	assert.Contains(t, r.stderr, "orders/job-not-ordered.csv: warning: a list of an earlier run; in this one everything is ordered (delete it)\n")

	whole := read(t, file+".xlsx")
	r = sillwright("order", edited+"job-estimate.xlsx", "--out", "orders", "--force")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	for _, ending := range []string{".csv", ".xlsx"} {
		assert.Contains(t, r.stderr, file+ending+": warning: an order of an earlier run; that of this run is incomplete, job-order-north-yard-INCOMPLETE"+ending+
			" (send only one of them)\n")
	}
	assert.Equal(t, whole, read(t, file+".xlsx"))
	assert.Contains(t, open(t, file+"-INCOMPLETE.xlsx").words("Order"),
		"WARNING | job-order-north-yard.xlsx, an order of an earlier run, stands beside this one: send only one of them | ")
	assert.Contains(t, read(t, file+"-INCOMPLETE.csv"), "send only one of them")
}

// Several jobs on one order: it says which of them lacks what, and what cannot be read.
func TestIncompleteOrderOfTwoJobs(t *testing.T) {
	inTemp(t)
	estimateOf(t, "one", twoWindows)
	b := estimateOf(t, "two", oneWindow)
	edit(t, "two-estimate.xlsx", edited+"two-estimate.xlsx", b.moreOf(2))
	write(t, "three.xlsx", "no workbook")
	r := sillwright("order", "one-estimate.xlsx", edited+"two-estimate.xlsx", "three.xlsx", "--out", "orders")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	const file = "orders/one-and-1-more-order-north-yard-INCOMPLETE"
	assert.Empty(t, audit.Lint([]byte(read(t, file+".xlsx"))))
	book := open(t, file+".xlsx")
	rows := strings.Join(book.words("Order"), "\n")
	assert.Contains(t, rows, "MISSING | all of three.xlsx, for three: it cannot be read (see the error in it, then order again)")
	assert.Regexp(t, `MISSING \| .*\(board-1x4\), .* in total, for two: its plan is out of date`, rows)
	assert.NotContains(t, rows, "for one: its plan is out of date")
	assert.Contains(t, strings.Join(book.words("Shares"), "\n"), "Total of this INCOMPLETE order | ")
}
