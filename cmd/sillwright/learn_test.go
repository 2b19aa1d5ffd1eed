package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// tookJob writes the estimate of a finished job of ten windows, with what it took: of each
// item all that was bought but half a pack of sealant, and so many hours to install.
func tookJob(t *testing.T, number string, date string, hours float64) string {
	t.Helper()
	name := "job-" + number
	data, err := folderSchedule(fstest.MapFS{
		"job/Openings.csv": &fstest.MapFile{Data: []byte("Mark,Qty,Kind,Frame width,Frame height,Furnished by,Measured width,Measured height,Status\nW1,10,window,35-1/2,59-1/2,owner,35-1/2,59-1/2,ordered\n")},
		"job/Job.csv":      &fstest.MapFile{Data: []byte("Key,Value\njob number," + number + "\njob date," + date + "\nlabor rate,60\n")},
		"job/Labor.csv":    &fstest.MapFile{Data: []byte("Task,Kind,Per,Hours\nSet pan and flashing,window,opening,0.5\nSet and shim the unit,window,unit,0.5\n")},
	}, "job")
	require.NoError(t, err)
	write(t, name+".xlsx", string(data))
	require.Equal(t, exitOK, sillwright("estimate", name+".xlsx").code)
	succeed(t, "order", name+"-estimate.xlsx", "--out", name, "--placed", date)
	bought := read(t, filepath.Join(name, name+"-purchases.csv"))
	data, err = folderSchedule(fstest.MapFS{
		"job/Openings.csv":  &fstest.MapFile{Data: []byte("Mark,Qty,Kind,Frame width,Frame height,Furnished by,Measured width,Measured height,Status\nW1,10,window,35-1/2,59-1/2,owner,35-1/2,59-1/2,finished\n")},
		"job/Job.csv":       &fstest.MapFile{Data: []byte("Key,Value\njob number," + number + "\njob date," + date + "\nlabor rate,60\n")},
		"job/Labor.csv":     &fstest.MapFile{Data: []byte("Task,Kind,Per,Hours\nSet pan and flashing,window,opening,0.5\nSet and shim the unit,window,unit,0.5\n")},
		"job/Purchases.csv": &fstest.MapFile{Data: []byte(bought)},
	}, "job")
	require.NoError(t, err)
	write(t, name+".xlsx", string(data))
	require.Equal(t, exitOK, sillwright("estimate", name+".xlsx", "--force", "--drop-edits").code)

	// Typed into the page of the estimate, as a crew would.
	b := open(t, name+"-estimate.xlsx")
	at := func(head string) string { // its column
		return strings.TrimRight(estimate.CellName(1, b.header("Actuals", head).col), "1")
	}
	cells := map[string]any{}
	row := b.header("Actuals", "Item").row
	for i, r := range b.table("Actuals", "Item", "Pack", "Left") {
		if r["Item"] == "" {
			break
		}
		cells[fmt.Sprintf("Actuals!%s%d", at("Left"), row+1+i)] = 0
		if r["Item"] == "sealant-10" {
			cells[fmt.Sprintf("Actuals!%s%d", at("Left"), row+1+i)] = 0.5
		}
	}
	require.NotEmpty(t, cells)
	for head, v := range map[string]any{"Date": "2026-11-03", "Phase": "install", "Hours": hours} {
		cells[fmt.Sprintf("Actuals!%s%d", at(head), row+1)] = v
	}
	took := edited + name + "-took-estimate.xlsx"
	edit(t, name+"-estimate.xlsx", took, cells)
	return took
}

// From what was bought and typed to the next schedule.
func TestLearn(t *testing.T) {
	inTemp(t)
	a, b, c := tookJob(t, "A-1", "2026-09-01", 14), tookJob(t, "A-2", "2026-10-01", 16), tookJob(t, "A-3", "2026-11-01", 15)

	r := succeed(t, "learn", a, b, "--out", "two")
	assert.Contains(t, r.stdout, "Nothing is put into the next schedule")
	assert.Contains(t, r.stdout, "2 of 3 jobs: only shown")
	assert.Equal(t, 1, strings.Count(read(t, "two/learned-settings.csv"), "\n"), "the heads alone")

	r = succeed(t, "learn", c, a, b, "--out", "three") // in any order: their dates tell
	book := open(t, "three/learned.xlsx")
	rates := map[string]map[string]string{}
	for _, row := range book.table("Rates", "Rate", "State") {
		rates[row["Rate"]] = row
	}
	hours := rates["Install, hours a window"]
	assert.Equal(t, []string{"1.4", "1.6", "1.5", "1.5", "1", "differs"},
		[]string{hours["A-1"], hours["A-2"], hours["A-3"], hours["Median"], hours["Estimate had"], hours["State"]})
	assert.Contains(t, read(t, "three/learned-settings.csv"), "Labor,\"Install phase, all work\",window,opening,install,1.5,")
	assert.Equal(t, "Item,Length,Count,Notes,Content\n", strings.SplitAfter(read(t, "three/learned-on-hand.csv"), "\n")[0])
	assert.Contains(t, read(t, "three/learned-on-hand.csv"), "sealant-10,,1,left of A-3,")
	for _, row := range book.table("Last jobs", "Job", "With the settings") {
		if row["Job"] != "" { // half an hour more for each of ten windows, at 60.00, is in it
			assert.GreaterOrEqual(t, cents(t, row["Difference"]), cents(t, "0"), row["Job"])
		}
	}

	succeed(t, "new", "next", "--settings", "three/learned-settings.csv", "--on-hand", "three/learned-on-hand.csv")
	next := open(t, "next/schedule.xlsx")
	var labor, hand []string
	for _, row := range next.table("Labor", "Task", "Hours") {
		if row["Hours"] != "" {
			labor = append(labor, row["Task"]+" "+row["Kind"]+" "+row["Phase"]+" "+row["Hours"])
		}
	}
	for _, row := range next.table("On hand", "Item", "Count") {
		if row["Item"] != "" {
			hand = append(hand, row["Item"])
		}
	}
	assert.Equal(t, []string{"Install phase, all work window install 1.5"}, labor)
	assert.Equal(t, []string{"sealant-10"}, hand)
	write(t, "learned.xlsx", read(t, "three/learned.xlsx"))
	keep(t, "learned.xlsx")

	// Run again on what was typed: the page holds it still, and the price is the same.
	succeed(t, "estimate", a, "--out", "again")
	again := open(t, "again/"+filepath.Base(a))
	assert.Equal(t, open(t, a).amount("Summary", "Total", "Amount"), again.amount("Summary", "Total", "Amount"))
	assert.Equal(t, "14", again.table("Actuals", "Item", "Hours")[0]["Hours"])
}

func TestLearnRefuses(t *testing.T) {
	inTemp(t)
	a := tookJob(t, "A-1", "2026-09-01", 14)
	r := sillwright("learn", a, a, "--out", "x")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "job A-1 is named twice: only the first counts")
	r = sillwright("learn", "job-A-1-estimate.xlsx", "--out", "y")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "nothing stands on its sheet Actuals")
	assert.Equal(t, exitUsage, sillwright("learn").code)
	r = sillwright("learn", a, "--out", "x")
	assert.Equal(t, exitNothing, r.code, "files that exist stay")

	write(t, "s.csv", "Sheet,Key,Kind,Per,Phase,Value\nJob,waste sealant,,,,200 %\nWeather,rain,,,,1\n,range of hours,,,,90 / 100\n")
	r = sillwright("new", "n", "--settings", "s.csv")
	assert.Equal(t, exitNothing, r.code)
	for _, words := range []string{"s.csv: line 2", "s.csv: line 3, Sheet: error: Sheet \"Weather\" has no settings", "is not three percentages"} {
		assert.Contains(t, r.stderr, words)
	}
	notWritten(t, "n")
	assert.Equal(t, exitNothing, sillwright("new", "n", "--on-hand", "absent.csv").code)
}
