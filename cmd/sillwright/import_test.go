package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Lists as others write them; invented.
const (
	theirWindows = "ELM STREET 4,,,,\nWINDOW SCHEDULE,,,,\n,,Rough opening,,\nMark,Qty,W (in),H (in),Operation\nW1,2,36-1/2,60,Double hung\n" +
		"W2,1,30,48-1/2,Casement\n"
	theirDoors = "No,Type,Width,Height,Position\nD1,Door,36 in,80 in,Exterior\nD2,Door,30 in,80 in,Interior\nD3,Sliding glass door,72 in,80 in,\n"
)

func TestImportMisuse(t *testing.T) {
	inTemp(t)
	write(t, "windows.csv", theirWindows)
	for _, tt := range []struct{ why, args, said string }{
		{"no file", "import", "it needs a list of openings"},
		{"a basis that is none", "import windows.csv --basis leaf", `--basis is "leaf" (write frame or opening)`},
		{"a unit that is none", "import windows.csv --units yards", `--units is "yards" (write inches, mm or m)`},
		{"an unknown flag", "import windows.csv --guess", "guess"},
	} {
		r := sillwright(strings.Fields(tt.args)...)
		assert.Equal(t, exitUsage, r.code, tt.why)
		assert.Contains(t, r.stderr, tt.said, tt.why)
	}
	notWritten(t, "windows-schedule.xlsx")
}

func TestImportToEstimate(t *testing.T) {
	inTemp(t)
	write(t, "windows.csv", theirWindows)
	write(t, "doors.csv", theirDoors)
	r := succeed(t, "import", "windows.csv", "doors.csv", "--basis", "frame", "--out", "elm.xlsx")
	assert.Contains(t, r.stdout, "6 openings listed, of 5 sizes\n")
	assert.Contains(t, r.stdout, "5 openings taken, in 4 rows\n1 left out: interior door\n")
	for _, needed := range []string{"elm.xlsx is written", "Sits on and Flange of each window: blank is wood, and integral", "Furnished by and Unit cost",
		"coldest forecast"} {
		assert.Contains(t, r.stdout, needed, "what no list says is said")
	}
	assert.Contains(t, r.stdout, `windows.csv: line 4: "Mark" is the mark; "Qty" is the number of openings; "Rough opening > W (in)" is the width of the rough `+
		`opening, in inches as its header says; `)
	assert.Contains(t, r.stdout, `doors.csv: line 1: "No" is the mark; `)
	assert.Contains(t, r.stdout, `"Width" is the width of the frame, by --basis; `)
	assert.Contains(t, r.stdout, " more with --verbose\n")
	assert.Empty(t, r.stderr, "nothing is doubtful")
	told := succeed(t, "import", "windows.csv", "doors.csv", "--basis", "frame", "--out", "all.xlsx", "--verbose")
	assert.NotContains(t, told.stdout, "more with --verbose")
	for _, said := range []string{
		`windows.csv: line 4, Rough opening > W (in): note: the column "Rough opening > W (in)" is the width of the rough opening, in inches as its ` +
			`header says`,
		`doors.csv: line 1, Width: note: the column "Width" is the width, of what it does not say (--basis decides)`,
		"doors.csv: line 1, Width: note: 1 left out: interior door: D2",
	} {
		assert.Contains(t, told.stderr, said+"\n")
	}
	f, err := excelize.OpenFile("elm.xlsx")
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows("Openings", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"W1", "2", "window", "double hung", "", "", "36.5", "60"}, rows[4][:8])
	assert.Equal(t, []string{"D1", "1", "entry door", "", "36", "80"}, rows[6][:6])
	assert.Equal(t, `from doors.csv: line 2; Width "36 in x 80 in", taken for the frame by --basis; type Door`, rows[6][16])

	succeed(t, "check", "elm.xlsx")
	r = succeed(t, "estimate", "elm.xlsx")
	assert.Contains(t, r.stdout, "elm-estimate.xlsx")
	first := read(t, "elm.xlsx")
	succeed(t, "import", "windows.csv", "doors.csv", "--basis", "frame", "--out", "elm.xlsx", "--force")
	assert.Equal(t, first, read(t, "elm.xlsx"), "the same lists, the same bytes")
}

func TestImportExitCodes(t *testing.T) {
	inTemp(t)
	write(t, "windows.csv", theirWindows)
	write(t, "doors.csv", theirDoors)
	r := sillwright("import", "doors.csv")
	assert.Equal(t, exitNothing, r.code, "no basis, no opening")
	assert.Contains(t, r.stderr,
		`doors.csv: line 1, Width: error: "Width" does not say what it is the size of: the frame or the rough opening; 2 openings are left out (say --basis `+
			`frame or --basis opening)`)
	assert.Contains(t, r.stdout, "Nothing is written.")
	notWritten(t, "doors-schedule.xlsx")

	r = sillwright("import", "windows.csv", "doors.csv", "missing.csv")
	assert.Equal(t, exitIncomplete, r.code, "the windows are written, the doors are not")
	assert.Contains(t, r.stderr, `missing.csv: error: there is no file "missing.csv"`)
	succeed(t, "check", "windows-schedule.xlsx")

	r = sillwright("import", "windows.csv")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "windows-schedule.xlsx: error: it exists (--force replaces it)")
	r = sillwright("import", "windows-schedule.xlsx", "--out", "windows-schedule.xlsx", "--force")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "inputs are never overwritten")
}

// A metric handover workbook: the schedule is metric too, and says which call
// sizes want a meaning.
func TestImportHandover(t *testing.T) {
	inTemp(t)
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Facility"))
	for _, s := range []struct {
		name string
		rows [][]any
	}{
		{"Facility", [][]any{{"Name", "LinearUnits"}, {"House", "millimeters"}}},
		{"Type", [][]any{{"Name", "Category", "Description", "ExtObject", "NominalLength", "NominalWidth", "NominalHeight"},
			{"Window A", "Windows", "Window_Exterior_A", "IfcWindowStyle", 0.819, 0, 0.759},
			{"Door B", "Doors", "Door_Interior_B", "IfcDoorStyle", 0.857, 0, 2.185}}},
		{"Component", [][]any{{"Name", "TypeName", "Space"}, {"W1", "Window A", "101"}, {"W2", "Window A", "102"}, {"D1", "Door B", "101,102"}}},
	} {
		if s.name != "Facility" {
			_, err := f.NewSheet(s.name)
			require.NoError(t, err)
		}
		for i, row := range s.rows {
			at, err := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow(s.name, at, &row))
		}
	}
	require.NoError(t, f.SaveAs("house.xlsx"))
	require.NoError(t, f.Close())
	r := succeed(t, "import", "house.xlsx", "--basis", "opening")
	assert.Contains(t, r.stdout,
		"3 openings listed, of 2 sizes\n     2  819 x 759 mm\n     1  857 x 2185 mm\n2 openings taken, in 1 row\n1 left out: interior door\n")
	assert.Contains(t, r.stderr,
		"house.xlsx: Type!F1: warning: Facility!B2 (millimeters) declares mm, but sizes such as 0.819 x 0.759 are in metres, and are taken so")
	g, err := excelize.OpenFile("house-schedule.xlsx")
	require.NoError(t, err)
	defer g.Close()
	rows, err := g.GetRows("Openings", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"RO width (mm)", "RO height (mm)"}, rows[3][6:8])
	assert.Equal(t, []string{"819", "759"}, rows[4][6:8])
	succeed(t, "estimate", "house-schedule.xlsx")
}

func TestImportCallSizes(t *testing.T) {
	inTemp(t)
	write(t, "list.csv", "Mark,Type,Size\nA,Window,3050\nB,Entry door,2868\n")
	r := succeed(t, "import", "list.csv")
	assert.Contains(t, r.stdout, "Job, call size window: unit or opening; without it the call sizes of windows cannot be used")
	assert.Contains(t, r.stdout, "Job, call size entry door: blank is slab")
}
