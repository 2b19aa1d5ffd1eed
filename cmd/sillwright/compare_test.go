package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// comparisonGoldens holds every cell of comparisons as text.
const comparisonGoldens = "../../testdata/compare"

// comparisonGolden holds a comparison against its golden, wants it to be sound,
// and keeps it for other programs to recalculate.
func comparisonGolden(t *testing.T, name, file string, ran ran) {
	t.Helper()
	sound(t, file)
	keep(t, file)
	b := open(t, file)
	said := fmt.Sprintf("exit code %d\n\nstdout:\n%s\nstderr:\n%s\n", ran.code, ran.stdout, ran.stderr)
	golden(t, name, said+b.text(b.sheets...))
}

// One of the jobs is written in millimeters, and one lacks a price: nothing is
// taken for a zero, nothing is mixed.
func TestCompareJobs(t *testing.T) {
	home, err := filepath.Abs(comparisonGoldens)
	require.NoError(t, err)
	folders := jobFolders(t)
	inTemp(t)
	args := []string{"compare"}
	for _, name := range []string{"one-window", "formed-pan-windows", "missing-price"} {
		folders[name].estimate(t, name)
		args = append(args, name+"-estimate.xlsx")
	}
	write(t, "own.csv", ownPrices(t))
	args = append(args, smallJob(t, "metric", "job number,T-99\njob name,Windows in millimetres (invented)\njob date,2026-11-20\nunits,mm\npaper,A4\n", "W1,2,window,914,1219,owner,,,ordered\n"))
	r := sillwright(append(args, "--out", "comparison-jobs.xlsx")...)
	assert.Equal(t, exitIncomplete, r.code, "one lacks a price")
	comparisonGolden(t, filepath.Join(home, "jobs.txt"), "comparison-jobs.xlsx", r)

	r = sillwright("compare", args[len(args)-1], args[1], "--out", "comparison-metric.xlsx")
	assert.Equal(t, exitOK, r.code, r.stderr)
	assert.Contains(t, r.stderr, "note: written in inches, shown in metres: ")
	sound(t, "comparison-metric.xlsx")
	keep(t, "comparison-metric.xlsx")
	meters := cents(t, open(t, "comparison-metric.xlsx").table("Jobs", "Job", "Total")[0]["Per m"])
	assert.Contains(t, r.stdout, meters.String())
}

// demoJobs writes the demo jobs, and a third: the duplex under another number,
// with six of W2.
func demoJobs(t *testing.T) []string {
	t.Helper()
	succeed(t, "demo", ".")
	b := open(t, "duplex.xlsx")
	cells := map[string]any{}
	for _, c := range b.cells("Job") {
		if c.value == "job number" {
			cells["Job!"+estimate.CellName(c.row, c.col+1)] = "D-26-020"
		}
	}
	qty := b.header("Openings", "Qty").col
	for _, c := range b.cells("Openings") {
		if c.col == 1 && c.value == "W2" {
			cells["Openings!"+estimate.CellName(c.row, qty)] = 6
		}
	}
	require.Len(t, cells, 2)
	edit(t, "duplex.xlsx", edited+"third.xlsx", cells)
	require.NoError(t, os.Rename(edited+"third.xlsx", "third.xlsx"))
	succeed(t, "estimate", "third.xlsx", "--prices", "prices.csv")
	return []string{"duplex-estimate.xlsx", "workshop-estimate.xlsx", "third-estimate.xlsx"}
}

// The comparison says of each job what its own estimate says.
func TestCompareDemoJobs(t *testing.T) {
	inTemp(t)
	files := demoJobs(t)
	r := succeed(t, append([]string{"compare", "--out", "comparison-demo.xlsx"}, files...)...)
	sound(t, "comparison-demo.xlsx")
	keep(t, "comparison-demo.xlsx")
	got := open(t, "comparison-demo.xlsx")
	jobs, prices := got.table("Jobs", "Job", "Total"), got.table("Price", "Job", "Materials")
	materials, stored := got.table("Materials", "Job", "boards"), got.table("Files", "Job", "Total in the file")
	require.Len(t, jobs, len(files))
	for i, file := range files {
		own := open(t, file)
		amount := func(label string) measure.Money { return own.amount("Summary", label, "Amount") }
		for part, label := range map[string]string{"Materials": "Materials", "Delivery": "Delivery", "Windows and doors": "Windows and doors", "Sales tax": "Sales tax", "Direct cost": "Direct cost", "Overhead": "Overhead", "Cost": "Cost", "Profit": "Profit", "Total": "Total"} {
			assert.Equal(t, amount(label), cents(t, prices[i][part]), "%s: %s", file, part)
		}
		assert.Equal(t, "-", prices[i]["Labor"], "no hours were typed: no zero")
		assert.Equal(t, amount("Total"), cents(t, jobs[i]["Total"]))
		assert.Equal(t, amount("Per opening"), cents(t, jobs[i]["Per opening"]))
		assert.Equal(t, amount("Per LF of frame perimeter"), cents(t, jobs[i]["Per LF"]))
		assert.Equal(t, "0", stored[i]["Difference"])
		kinds := slices.DeleteFunc(got.table("Kinds", "Kind", "Job"), func(r map[string]string) bool { return r["Job"] != jobs[i]["Job"] })
		assert.Equal(t, amount("Materials"), sum(t, kinds, "Materials"), "shared over the kinds to the cent")
		classes := measure.Money(0)
		for _, class := range estimate.Classes {
			if v := materials[i][class]; v != "" && v != "-" {
				classes += cents(t, v)
			}
		}
		assert.Equal(t, amount("Materials"), classes)
		assert.Contains(t, r.stdout, jobs[i]["Job"])
	}
}

// An estimate is compared as it was edited: the sums in it, not worked out
// again, are named and not used.
func TestCompareEdited(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	write(t, "other.csv", oneWindow)
	write(t, "own.csv", ownPrices(t))
	succeed(t, "estimate", "good.csv", "other.csv", "--prices", "own.csv")
	b := open(t, "good-estimate.xlsx")
	line := b.table("Materials", "Item", "Override")[0]
	over := b.header("Materials", "Override")
	edit(t, "good-estimate.xlsx", edited+"good-estimate.xlsx", map[string]any{"Materials!" + estimate.CellName(over.row+1, over.col): 100})
	r := succeed(t, "compare", edited+"good-estimate.xlsx", "other-estimate.xlsx")
	was := b.amount("Summary", "Total", "Amount")
	assert.Contains(t, r.stderr, fmt.Sprintf("good-estimate.xlsx: Summary!C18: warning: the file says %s; worked out again the total is ", was))
	got := open(t, edited+comparisonFile).table("Jobs", "Job", "Total")[0]
	price, err := measure.ParseUnitPrice(line["Unit price"])
	require.NoError(t, err)
	count, err := measure.ParseCount(line["Count"])
	require.NoError(t, err)
	more := measure.Extension(100-count, price) // one window: no tax, no markup
	assert.Equal(t, was+more, cents(t, got["Total"]))
}

func TestCompareUse(t *testing.T) {
	inTemp(t)
	write(t, "own.csv", ownPrices(t))
	write(t, "one.csv", oneWindow)
	var files []string
	for _, name := range []string{"first", "second", "third"} {
		files = append(files, smallJob(t, name, "job number,"+name+"\n", "W1,1,window,36,60,owner,,,ordered\n"))
	}
	succeed(t, "order", files[0], "--out", "orders")
	order, err := filepath.Glob("orders/*.csv")
	require.NoError(t, err)
	number := open(t, files[1])
	cell := ""
	for _, c := range number.cells("Job") {
		if c.value == "currency" {
			cell = "Job!" + estimate.CellName(c.row, c.col+1)
		}
	}
	edit(t, files[1], edited+"foreign-estimate.xlsx", map[string]any{cell: "CAD"})
	for _, c := range []struct {
		shows, args string
		code        int
		stderr      string
	}{
		{"no file", "compare", exitUsage, "it needs files"},
		{"no such kind", "compare " + files[0] + " --kind colours", exitUsage, `--kind is "colours"`},
		{"one estimate without alternates", "compare --kind jobs " + files[0], exitUsage, "has nothing to be compared with"},
		{"a schedule is no estimate", "compare first.xlsx " + files[0] + " " + files[1], exitIncomplete, "first.xlsx: error: it is a schedule, not an estimate"},
		{"no such file, and nothing is left to compare", "compare --kind jobs nowhere.xlsx " + files[0], exitNothing, "nowhere.xlsx: error: there is no file"},
		{"price files beside two estimates", "compare own.csv " + files[0] + " " + files[1], exitUsage, "quotes are compared for one estimate; found 2 estimates and 1 price file"},
		{"price files as jobs", "compare --kind jobs own.csv " + files[0], exitUsage, "own.csv is not an estimate"},
		{"orders beside two estimates", "compare " + order[0] + " " + files[0] + " " + files[1], exitUsage, "is an order; found 2 estimates"},
		{"three revisions", "compare --kind revisions " + strings.Join(files, " "), exitUsage, "two at a time"},
		{"two currencies", "compare " + files[0] + " " + edited + "foreign-estimate.xlsx", exitNothing, "first is in USD, second in CAD"},
		{"an input is never overwritten", "compare --force --out " + files[0] + " " + files[0] + " " + files[1], exitNothing, "inputs are never overwritten"},
		{"what exists is not overwritten", "compare --out one.csv " + files[0] + " " + files[1], exitNothing, "--force replaces it"},
		{"more than can be read", "compare --kind jobs" + strings.Repeat(" "+files[0], maxJobs+1), exitUsage, "at most 50"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			_ = os.Remove(comparisonFile)
			r := sillwright(strings.Fields(c.args)...)
			assert.Equal(t, c.code, r.code, r.stderr)
			assert.Contains(t, r.stderr, c.stderr)
		})
	}
}

// smallJob writes a schedule with settings and openings and estimates it.
func smallJob(t *testing.T, name, settings, openings string) string {
	t.Helper()
	files := fstest.MapFS{
		"job/Job.csv":      &fstest.MapFile{Data: []byte("Key,Value\n" + settings)},
		"job/Openings.csv": &fstest.MapFile{Data: []byte("Mark,Qty,Kind,Frame width,Frame height,Supplied by,Measured width,Measured height,Status\n" + openings)},
	}
	data, err := folderSchedule(files, "job")
	require.NoError(t, err)
	write(t, name+".xlsx", string(data))
	succeed(t, "estimate", name+".xlsx", "--prices", "own.csv")
	return name + outputEnding
}

// revised writes a revision of a job.
func revised(t *testing.T, name, date, openings string) string {
	t.Helper()
	return smallJob(t, name, "job number,R-1\njob name,House on the hill (invented)\njob date,"+date+"\n", openings)
}

// Three windows are added, one was resized after its frame was cut, one is
// dropped. The later estimate is named first: its date tells.
func TestCompareRevisions(t *testing.T) {
	home, err := filepath.Abs(comparisonGoldens)
	require.NoError(t, err)
	inTemp(t)
	write(t, "own.csv", ownPrices(t))
	was := revised(t, "first", "2026-11-02", "W1,2,window,36,60,owner,36,60,cut\nW2,1,window,36,48,owner,,,ordered\nW3,1,window,48,48,owner,,,ordered\n")
	now := revised(t, "second", "2026-11-20", "W1,2,window,36,62,owner,,,ordered\nW3,1,window,48,48,owner,,,ordered\nW4,3,window,24,36,owner,,,ordered\n")
	r := succeed(t, "compare", now, was, "--out", "comparison-revision.xlsx")
	assert.Contains(t, r.stdout, "Earlier: first-estimate.xlsx. Later: second-estimate.xlsx. (by their job dates, 2026-11-02 and 2026-11-20)")
	comparisonGolden(t, filepath.Join(home, "revision.txt"), "comparison-revision.xlsx", r)

	b := open(t, "comparison-revision.xlsx")
	var marks []string
	for _, m := range b.table("Marks", "Mark", "Change") {
		marks = append(marks, strings.Join([]string{m["Mark"], m["Change"], m["What"], m["Earlier"], m["Later"]}, "|"))
	}
	assert.Equal(t, []string{
		"W1|resized|frame|36 x 60|36 x 62",
		"W1|resized|RO|36-1/2 x 60-1/2|36-1/2 x 62-1/2",
		"W1|resized|measured|36 x 60|",
		"W4|added|||3 x window, frame 24 x 36",
		"W2|dropped||1 x window, frame 36 x 48|",
	}, marks)
	// A leg is the frame, the bottom board of 3-1/2 in and two joints of 3/16:
	// 60 + 3-7/8; the head and the bottom are as they were.
	cut := b.table("Cut already", "Mark", "Piece")
	require.Len(t, cut, 1)
	assert.Equal(t, []string{"W1", "leg", "63-7/8", "4", "65-7/8", "too short: cut a new one", "cut"}, []string{cut[0]["Mark"], cut[0]["Piece"], cut[0]["Length, in"], cut[0]["Pieces"], cut[0]["Needed now"], cut[0]["What it means"], cut[0]["Certainty"]})
	buy := b.table("To buy", "Item", "In earlier order")
	assert.Equal(t, sum(t, buy[:len(buy)-1], "To pay"), cents(t, buy[len(buy)-1]["To pay"]))

	same := succeed(t, "compare", was, was, "--kind", "revisions", "--out", "same.xlsx")
	assert.Contains(t, same.stdout, "0 marks changed. More to buy: 0 lines, 0.00. No longer needed: 0 lines, 0.00. Cut pieces no longer needed: 0 pieces.")
	assert.Contains(t, same.stdout, "in the order named")
}

// What was ordered stands for the earlier estimate: of the same one, nothing
// more is to buy and nothing is left.
func TestCompareWithOrders(t *testing.T) {
	inTemp(t)
	write(t, "own.csv", ownPrices(t))
	was := revised(t, "first", "2026-11-02", "W1,2,window,36,60,owner,,,ordered\nW2,1,window,36,48,owner,,,ordered\n")
	succeed(t, "order", was, "--out", "orders")
	orders, err := filepath.Glob("orders/*.csv")
	require.NoError(t, err)
	r := succeed(t, append([]string{"compare", was}, orders...)...)
	assert.Empty(t, r.stderr)
	assert.Contains(t, r.stdout, "More to buy: 0 lines, 0.00. No longer needed: 0 lines, 0.00.")
	now := revised(t, "second", "2026-11-02", "W1,4,window,36,60,owner,,,ordered\n")
	r = succeed(t, append([]string{"compare", now, "--out", "comparison-orders.xlsx"}, orders...)...)
	assert.NotContains(t, r.stdout, "More to buy: 0 lines")
	sound(t, "comparison-orders.xlsx")
	keep(t, "comparison-orders.xlsx")

	write(t, "bad.csv", read(t, orders[0])+"line,Yard,1,no-such-item,,1 each,each,1,1.00,1.00,USD,,\n")
	r = sillwright("compare", now, "bad.csv", "--out", "bad.xlsx")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, `"no-such-item" is no item of the estimate`)
}
