package schedule

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
	written "sillwright/io/workbook"
	"sillwright/pricing"
)

// task is a labor task as far as the crew gives it.
type task struct {
	name  string
	kind  estimate.Kind
	per   string
	hours estimate.Maybe[estimate.Hours]
}

func tasksOf(s *Schedule) []task {
	var out []task
	for _, l := range s.Book.Labor {
		out = append(out, task{l.Task, l.Kind, l.Per, l.Hours})
	}
	return out
}

func inHours(h estimate.Hours) estimate.Maybe[estimate.Hours] { return estimate.Given(h) }

// The tasks that ship have no hours; the published ones are read as printed.
func TestShippedLabor(t *testing.T) {
	s, _ := Shipped()
	require.NotEmpty(t, s.Book.Labor)
	public := map[string]estimate.Hours{}
	for _, l := range s.Book.Labor {
		assert.False(t, l.Hours.Set, l.Task)
		if l.Public.Set {
			public[string(l.Kind)+": "+l.Task] = l.Public.V
		}
	}
	assert.Equal(t, estimate.Hours(40_000), public["window: Set and shim the unit"])
	assert.Equal(t, estimate.Hours(30), public["window: Seal the frame"], "0.003 an hour a foot")
	assert.Equal(t, estimate.Hours(100_000), public["overhead door: Hang the overhead door"])
}

func TestLabor(t *testing.T) {
	shipped, _ := Shipped()
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Labour": `Labour,,,,Of the hours typed,9
Task,Kind,Per,Hours,Quantity,Total hours,Cost,Public hours,Covers
set-and-shim the UNIT,windows,unit,1.25,4,5,325,2,ours
Seal the frame,entry door,ft,0.0335,,,,,
Make the trim frame,window,opening,0,,,,,
Hang the trim frame,window,opening,,,,,,
Hang the trim frame,window,unit,0.5,,,,,
Carry away,garage,metre,2,,,,,
`})
	require.Empty(t, ps)
	want := tasksOf(shipped)
	for i, w := range want {
		switch {
		case w.name == "Set and shim the unit" && w.kind == estimate.Window:
			want[i].hours = inHours(12_500)
		case w.name == "Seal the frame" && w.kind == estimate.EntryDoor:
			want[i].hours = inHours(335)
		case w.name == "Make the trim frame" && w.kind == estimate.Window:
			want[i].hours = inHours(0)
		}
	}
	want = append(want,
		task{"Hang the trim frame", estimate.Window, "unit", inHours(5_000)}, // another per, another task
		task{"Carry away", estimate.OverheadDoor, "meter", inHours(20_000)})
	assert.Equal(t, want, tasksOf(s))
	for i, l := range shipped.Book.Labor {
		assert.Equal(t, l.Public, s.Book.Labor[i].Public, "a published figure is not taken from the sheet")
		assert.Equal(t, l.Covers, s.Book.Labor[i].Covers)
	}
	assert.Equal(t, "job.xlsx: Labour!D3", s.Book.Labor[1].Place.String())
}

func TestLaborProblems(t *testing.T) {
	shipped, _ := Shipped()
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Labour": `Task,Kind,Per,Hours
Set and shim the unit,window,unit,1:30
Set and shim the unit,entry door,opening,-2
Set and shim the unit,patio door,opening,1.00005
Carry,door,opening,1
Carry,window,job,1
Carry,window,,1
,window,opening,1
Carry,window,opening,1001
Carry,window,opening,$4
Carry,window,opening,"1,5"
Carry,window,opening,1
carry,window,each,2`})
	assert.Equal(t, []string{
		`job.xlsx: Labour!D2: Hours "1:30" is not a number of hours (write hours with a decimal point, such as 1.5)`,
		`job.xlsx: Labour!D3: Hours "-2" is negative (write it without the minus sign, or leave it blank when it is not known)`,
		`job.xlsx: Labour!D4: Hours "1.00005" has too many decimals (write at most 4)`,
		`job.xlsx: Labour!B5: Kind "door" may be an entry door, a patio door or an overhead door (usually entry door; write window, entry door, patio door or overhead door)`,
		`job.xlsx: Labour!C6: Per "job" is not known (write opening, unit, foot or meter)`,
		`job.xlsx: Labour!C7: Per is blank (write opening, unit, foot or meter)`,
		`job.xlsx: Labour!A8: Task is blank (say what the work is)`,
		`job.xlsx: Labour!D9: Hours "1001" is more than one task takes (write the hours of one opening, unit, foot or meter)`,
		`job.xlsx: Labour!D10: Hours "$4" is not a number of hours (write hours with a decimal point, such as 1.5)`,
		`job.xlsx: Labour!D11: Hours "1,5" has a comma that is not between thousands (write digits and a decimal point, such as 1,234.50)`,
		`job.xlsx: Labour!A13: "carry" for this kind, per opening, stands in row 12 too (keep one of the two)`,
	}, ps)
	want := append(tasksOf(shipped), task{"Carry", estimate.Window, "opening", inHours(10_000)})
	assert.Equal(t, want, tasksOf(s), "rows with a mistake are left out")
}

// A sheet that is not ours says so at its headers.
func TestLaborWithoutColumns(t *testing.T) {
	shipped, _ := Shipped()
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Labour": "Task,Kind\nSet,window"})
	require.Len(t, ps, 1)
	assert.Contains(t, ps[0], "Per")
	assert.Equal(t, tasksOf(shipped), tasksOf(s))
}

// What was typed comes back from the workbooks that are written: a schedule, a
// blank one, an estimate.
func TestLaborAgain(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening,
		"Labour": "Task,Kind,Per,Hours\nSet and shim the unit,window,unit,1.25\nSeal the frame,window,foot,0.0335\nCarry away,overhead " +
			"door,metre,2\nSweep,window,opening,"})
	require.Empty(t, ps)
	table := func(r Raw) written.Table { return written.Table{Columns: r.Columns, Headers: r.Headers} }
	lines, _ := estimate.Labor(s.Book.Job, s.Book.Labor, estimate.Takeoff{})
	for _, blank := range []bool{false, true} {
		data, err := written.Schedule(written.ScheduleInput{Book: s.Book, Settings: s.Settings, Openings: table(s.Openings), Measured: table(s.Measured),
			Blank: blank})
		require.NoError(t, err)
		again(t, s, data)
	}
	data, err := written.Estimate(written.Input{Book: s.Book, Settings: s.Settings, Openings: table(s.Openings), Measured: table(s.Measured),
		Plan: pricing.Plan{Labor: lines}})
	require.NoError(t, err)
	again(t, s, data)
}

func again(t *testing.T, s *Schedule, data []byte) {
	t.Helper()
	book, problems := sheet.Parse("again.xlsx", data)
	require.Empty(t, problems)
	second, ps := Read(book)
	for _, p := range ps {
		assert.NotEqual(t, LaborSheet, p.Place.Sheet, "%s", p)
	}
	assert.Equal(t, tasksOf(s), tasksOf(second))
	for i, l := range s.Book.Labor {
		assert.Equal(t, l.Public, second.Book.Labor[i].Public)
	}
}

// An estimate carries every column of the tables that it is made from: what it left
// out would be lost when it is estimated again.
func TestEstimateCarriesEveryColumn(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening})
	require.Empty(t, ps)
	table := func(r Raw) written.Table { return written.Table{Columns: r.Columns, Headers: r.Headers} }
	data, err := written.Estimate(written.Input{Book: s.Book, Settings: s.Settings, Steps: s.Steps,
		Openings: table(s.Openings), Measured: table(s.Measured), Alternates: table(s.Alternates)})
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer func() { assert.NoError(t, f.Close()) }()
	for name, columns := range map[string][]string{
		ItemsSheet: keys(itemFields()), CostsSheet: keys(costFields), JobSheet: keys(jobFields), DetailsSheet: estimate.StepColumns,
		OpeningsSheet: OpeningColumns(), MeasuredSheet: MeasuredColumns(), AlternateSheet: AlternateColumns(),
	} {
		at := slices.IndexFunc(f.GetSheetList(), func(s string) bool { return inputOf(s) == name })
		require.GreaterOrEqual(t, at, 0, name)
		rows, err := f.GetRows(f.GetSheetList()[at])
		require.NoError(t, err)
		const header = 4 // title, how to read it and the master check stand above
		for _, c := range columns {
			assert.True(t, slices.ContainsFunc(rows[header-1], func(h string) bool { return strings.EqualFold(h, c) }), "%s: %s", name, c)
		}
	}
}
