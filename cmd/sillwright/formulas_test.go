package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/io/schedule"
	"sillwright/templates"
)

// hostileTexts are what a stranger may write where a name or note belongs. Each
// must come out as the text that it is.
var hostileTexts = []string{
	`=HYPERLINK("http://evil.example","EVIL")`, `=cmd|'/C calc'!EVIL`, `+EVIL+1`, `-EVIL`, `@SUM(EVIL)`, "\t=EVIL", `＝EVIL`,
	`'=EVIL`, `"EVIL"`, `O'Hara's / EVIL \ <b>&amp;`, "EVIL 🪟🚪", "שלום EVIL", "\u202EEVIL\u202C", "%EVIL%s%d", `{=EVIL}`,
	"EVIL\u00A0\u200B", `EVIL,"a";b|c`,
}

// stays wants the texts of a workbook never to be part of a formula, nor to be
// a link, and returns how many cells have one.
func stays(t *testing.T, name string) (cells int) {
	t.Helper()
	data := read(t, name)
	f, err := excelize.OpenReader(strings.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		for i, row := range rows {
			for j, value := range row {
				at, err := excelize.CoordinatesToCellName(j+1, i+1)
				require.NoError(t, err)
				formula, err := f.GetCellFormula(sheet, at)
				require.NoError(t, err)
				if formula != "" {
					assert.NotContains(t, formula, "EVIL", "%s %s!%s", name, sheet, at)
				}
				linked, _, err := f.GetCellHyperLink(sheet, at)
				require.NoError(t, err)
				if !strings.Contains(value, "EVIL") {
					continue
				}
				cells++
				assert.False(t, linked, "%s %s!%s", name, sheet, at)
				kind, err := f.GetCellType(sheet, at)
				require.NoError(t, err)
				assert.Contains(t, []excelize.CellType{excelize.CellTypeInlineString, excelize.CellTypeSharedString, excelize.CellTypeFormula}, kind,
					"%s %s!%s", name, sheet, at)
			}
		}
	}
	assert.NotContains(t, data, "ddeLink")
	return cells
}

// guarded wants no field of a CSV file to begin as a formula, numbers apart.
func guarded(t *testing.T, name string) (fields int) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(read(t, name)))
	r.FieldsPerRecord = -1
	for {
		record, err := r.Read()
		if err == io.EOF {
			return fields
		}
		require.NoError(t, err)
		for _, f := range record {
			if strings.Contains(f, "EVIL") {
				fields++
				formula := strings.HasPrefix(strings.TrimLeft(f, "\u00A0\u200B "), "=") || strings.ContainsAny(f[:1], "=+-@\t\r\n")
				assert.False(t, formula || strings.HasPrefix(f, "＝"), "%s: %q", name, f)
			}
		}
	}
}

// table writes a CSV file.
func tableFile(t *testing.T, name string, rows [][]string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	write(t, name, b.String())
}

// evil returns the text of a place, each place another.
func evil(n int) string { return hostileTexts[n%len(hostileTexts)] }

// textColumns are the columns of Openings in which any text may stand.
var textColumns = []string{"Mark", "Location", "Room", "Elevation", "Level", "Phase", "Notes", "Product", "Maker", "Element", "Cost code"}

// TestTextStaysText writes hostile texts into every column that takes one, and
// looks at everything that comes out.
func TestTextStaysText(t *testing.T) {
	t.Chdir(t.TempDir())
	header := append([]string{"Kind", "Frame width", "Frame height", "Supplied by"}, textColumns...)
	rows := [][]string{header}
	for i := range hostileTexts {
		row := []string{"window", "36", "60", "owner", fmt.Sprintf("%s %d", evil(i), i)}
		for k := range textColumns[1:] {
			row = append(row, evil(i+k+1))
		}
		rows = append(rows, row)
	}
	items, err := csv.NewReader(bytes.NewReader(templates.Items)).ReadAll()
	require.NoError(t, err)
	for i, row := range items[1:] {
		for k, key := range items[0] {
			if key == "name" || key == "cost code" {
				row[k] = evil(i + k)
			}
		}
	}
	sheetsOf(t, "job.xlsx", []string{"Openings", "Job", "Other costs", "Items"}, map[string][][]any{
		"Openings":    anyRows(rows),
		"Job":         {{"Key", "Value"}, {"job number", evil(0)}, {"job name", evil(1)}, {"note", evil(2)}, {"ship to", evil(3)}},
		"Other costs": {{"Text", "Count", "Unit", "Price", "Taxable"}, {evil(0), 2, evil(1), 3.5, "yes"}, {evil(2), 1, evil(0), 4, "no"}},
		"Items":       anyRows(items),
	})
	prices, err := csv.NewReader(bytes.NewReader(templates.Prices)).ReadAll()
	require.NoError(t, err)
	for i, row := range prices[1:] {
		row[0], row[2], row[3] = hostileTexts[0], evil(i), evil(i+1) // supplier, code, description
	}
	tableFile(t, "prices.csv", prices)

	r := sillwright("estimate", "job.xlsx", "--prices", "prices.csv")
	assert.NotEqual(t, exitNothing, r.code, r.stderr)
	assert.NotContains(t, r.stdout+r.stderr, "\u202E", "what turns text around is printed by its number")
	assert.Greater(t, stays(t, "job-estimate.xlsx"), 100)
	sound(t, "job-estimate.xlsx")

	r = sillwright("order", "job-estimate.xlsx", "--out", "orders")
	assert.NotEqual(t, exitNothing, r.code, r.stderr)
	found := 0
	for _, f := range listing(t, "orders") {
		if filepath.Ext(f) == ".csv" {
			found += guarded(t, f)
		} else {
			sound(t, f)
			found += stays(t, f)
		}
	}
	assert.Greater(t, found, 10)

	// The estimate as a schedule: what was text is text again, the same.
	again := sillwright("estimate", "job-estimate.xlsx", "--out", "again")
	assert.NotEqual(t, exitNothing, again.code, again.stderr)
	assert.Equal(t, open(t, "job-estimate.xlsx").lines(schedule.OpeningsSheet), open(t, "again/job-estimate.xlsx").lines(schedule.OpeningsSheet))

	marked := sillwright("check", "job.xlsx", "job-estimate.xlsx", "--marked", "--out", "marked")
	assert.NotEqual(t, exitNothing, marked.code, marked.stderr)
	tableFile(t, "job.csv", append(rows, []string{"porthole", "36", "60", "owner", evil(0)}))
	marked = sillwright("check", "job.csv", "--marked", "--out", "marked", "--force")
	assert.Contains(t, marked.stdout, " marked in marked/job-marked.xlsx")
	for _, f := range listing(t, "marked") {
		assert.Positive(t, stays(t, f))
	}
}

func anyRows(rows [][]string) [][]any {
	out := make([][]any, len(rows))
	for i, row := range rows {
		for _, text := range row {
			out[i] = append(out[i], text)
		}
	}
	return out
}

func TestTextStaysTextInCuts(t *testing.T) {
	t.Chdir(t.TempDir())
	pieces, stock := [][]string{{"length", "count", "label"}}, [][]string{{"length", "price", "name"}}
	for i := range hostileTexts {
		pieces = append(pieces, []string{fmt.Sprint(30 + i), "2", evil(i)})
		stock = append(stock, []string{fmt.Sprint(96 + i), "9", evil(i)})
	}
	tableFile(t, "pieces.csv", pieces)
	tableFile(t, "stock.csv", stock)
	for _, to := range []string{"plan.csv", "plan.xlsx"} {
		r := sillwright("cut", "pieces.csv", "--stock", "stock.csv", "--out", to)
		require.Equal(t, exitOK, r.code, r.stderr)
	}
	assert.Positive(t, guarded(t, "plan.csv"))
	assert.Positive(t, stays(t, "plan.xlsx"))
	sound(t, "plan.xlsx")
}

func TestTextStaysTextWhenImported(t *testing.T) {
	t.Chdir(t.TempDir())
	rows := [][]string{{"Mark", "Qty", "Frame width (in)", "Frame height (in)", "Operation", "Location", "Remarks", evil(0)}}
	for i := range hostileTexts {
		rows = append(rows, []string{fmt.Sprintf("%s %d", evil(i), i), "1", "36", "60", "casement " + evil(i+1), evil(i + 2), evil(i + 3), evil(i + 4)})
	}
	tableFile(t, "theirs.csv", rows)
	r := sillwright("import", "theirs.csv", "--out", "ours.xlsx")
	require.NotEqual(t, exitNothing, r.code, r.stderr)
	assert.Positive(t, stays(t, "ours.xlsx"))
	sound(t, "ours.xlsx")
}

// Sheets of names that are awkward in references; the one that matters is
// found beside them, and a copy keeps them all.
func TestAwkwardSheetNames(t *testing.T) {
	t.Chdir(t.TempDir())
	names := []string{`Bob's "list"`, "a!b", "🪟 windows", "לוח", "=1+1", "R1C1", "A1", strings.Repeat("long", 7), "x&<y>", "\u202Erev"}
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Openings"))
	rows := [][]any{{"Mark", "Kind", "Frame width", "Frame height", "Supplied by"}, {"W1", "window", 36, 60, "owner"}, {"W2", "porthole", 36, 60, "owner"}}
	for i, row := range rows {
		require.NoError(t, f.SetSheetRow("Openings", fmt.Sprintf("A%d", i+1), &row))
	}
	for _, n := range names {
		_, err := f.NewSheet(n)
		require.NoError(t, err, n)
		require.NoError(t, f.SetCellStr(n, "A1", "=EVIL"))
	}
	require.NoError(t, f.SaveAs("job.xlsx"))
	require.NoError(t, f.Close())
	r := sillwright("estimate", "job.xlsx")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "job.xlsx: Openings!B3: error: Kind")
	sound(t, "job-estimate.xlsx")
	r = sillwright("check", "job.xlsx", "--marked")
	assert.Contains(t, r.stdout, "job.xlsx: 1 cell marked in job-marked.xlsx\n")
	copied, err := excelize.OpenFile("job-marked.xlsx")
	require.NoError(t, err)
	defer copied.Close()
	assert.Equal(t, append([]string{"Problems", "Openings"}, names...), copied.GetSheetList())
	_, err = os.Stat("job.xlsx")
	require.NoError(t, err)
}

func TestControlCharactersAreShown(t *testing.T) {
	inTemp(t)
	write(t, "x\x1b[2J.csv",
		"Mark,Kind,Frame width,Frame height,\"Su\x1b[31mpplied\"\nW\x07,window,36,60,owner\nW2,win\x1b[0mdow,1,1,x\n\u202EW3,window,0,0,x\n")
	r := sillwright("check", "x\x1b[2J.csv")
	for _, c := range r.stdout + r.stderr {
		assert.True(t, c == '\n' || c >= ' ' && c != 0x7f && c != '\u202e', "%q is printed", c)
	}
	assert.Contains(t, r.stderr, `x\x1b[2J.csv: line 2`)
}
