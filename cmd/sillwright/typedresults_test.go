package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestTypedSupplier: a supplier typed over Materials is not where an order goes: the item
// is ordered where it was planned, at its count, and a warning says so.
func TestTypedSupplier(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	succeed(t, "estimate", "demo/duplex.xlsx", "--out", ".")
	const target = "duplex-estimate.xlsx"
	b := open(t, target)
	at := b.cellAt("Materials", "Item", "wood-glue", "Supplier")
	succeed(t, "order", target, "--out", "plain")
	for _, c := range []struct {
		typed any
		says  string
	}{
		{"Harbor Supply (invented)", `: warning: "Harbor Supply (invented)" is typed over the supplier "North Yard (invented)" and is not used (type a supplier under Buy at on Orders)`},
		{"Corner Store", `: warning: "Corner Store" is typed over the supplier "North Yard (invented)" and is not used`},
		{"north yard (INVENTED)", ""},
		{nil, ""},
	} {
		edit(t, target, edited+"/"+target, map[string]any{at: c.typed})
		r := succeed(t, "order", edited+"/"+target, "--out", edited, "--force")
		assert.Contains(t, r.stderr, c.says)
		assert.Equal(t, c.says != "", r.stderr != "", r.stderr)
		assert.Equal(t, read(t, "plain/duplex-order-north-yard-invented.csv"), read(t, edited+"/duplex-order-north-yard-invented.csv"))
	}
}

// TestResultsTypedOverAreEdits: what was typed over results stops --force as an edit does.
// Counts and prices, which an order uses, are carried over; what nothing uses is in the
// backup alone.
func TestResultsTypedOverAreEdits(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	run := func(args ...string) ran {
		return sillwright(append([]string{"estimate", "demo/duplex.xlsx", "--prices", "demo/prices.csv", "--out", "."}, args...)...)
	}
	const target = "duplex-estimate.xlsx"
	const carries, leaves = " (--keep-edits carries it over, --drop-edits leaves it out)", " (--keep-edits and --drop-edits leave it out; both write a backup)"
	for _, c := range []struct { // two cans of glue at 8.75 are bought
		head        string
		typed       any
		says, kept  string
		column, now string // on Materials, after --keep-edits
	}{
		{"Count", 7, `error: Override of "wood-glue|North Yard (invented)|01301" is "7", blank when estimated` + carries, "carried over", "Override", "7"},
		{"Unit price", 9.5, `error: Price of "North Yard (invented), wood-glue, 1 each, 01301" is "9.50", "8.75" when estimated` + carries, "carried over",
			"Unit price", "9.5"},
		{"Extension", 3, `error: "3" is typed over the result "17.5" and is not used` + leaves, "not carried over, it is no input", "Extension", "17.5"},
		{"Supplier", "Corner Store", `error: "Corner Store" is typed over the supplier "North Yard (invented)" and is not used` + leaves,
			"not carried over, it is no input", "Supplier", "North Yard (invented)"},
	} {
		t.Run(c.head, func(t *testing.T) {
			assert.Equal(t, exitOK, run("--force", "--drop-edits").code)
			assert.Equal(t, exitOK, run("--force").code, "without edits it is replaced")
			at := open(t, target).cellAt("Materials", "Item", "wood-glue", c.head)
			edit(t, target, target, map[string]any{at: c.typed})
			r := run("--force")
			assert.Equal(t, exitNothing, r.code, r.stderr)
			assert.Contains(t, r.stderr, target+": "+at+": "+c.says)
			r = run("--force", "--keep-edits")
			assert.Equal(t, exitOK, r.code, r.stderr)
			assert.Contains(t, r.stderr, c.kept)
			for _, row := range open(t, target).table("Materials", "Item", c.column) {
				if row["Item"] == "wood-glue" {
					assert.Equal(t, c.now, row[c.column])
				}
			}
		})
	}
}
