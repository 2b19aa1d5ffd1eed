package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing"
	"sillwright/templates"
)

// ran is what a call of the program left behind.
type ran struct {
	code           int
	stdout, stderr string
}

// sillwright calls the program as main does.
func sillwright(args ...string) ran {
	var stdout, stderr bytes.Buffer
	code := run(args, strings.NewReader(""), &stdout, &stderr)
	return ran{code, stdout.String(), stderr.String()}
}

// asides matches the lines that say what was not checked since the schedule does not
// state it; every schedule of a few columns has them.
var asides = regexp.MustCompile(`(?m)^.*no flag is no approval.*\n`)

// besideAsides is what was printed without them.
func (r ran) besideAsides() string { return asides.ReplaceAllString(r.stderr, "") }

// succeed calls the program and wants nothing but success.
func succeed(t testing.TB, args ...string) ran {
	t.Helper()
	r := sillwright(args...)
	require.Equal(t, exitOK, r.code, "sillwright %s\n%s", strings.Join(args, " "), r.stderr)
	return r
}

// edited is the folder for estimates that a test has changed and saved.
const edited = "edited/"

// inTemp makes a new folder the working one, so that paths in messages are
// short. In the end every estimate in it must be sound.
func inTemp(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Cleanup(func() {
		for _, f := range listing(t, ".") {
			if strings.HasSuffix(f, outputEnding) && !strings.HasPrefix(f, edited) {
				sound(t, f)
			}
		}
	})
}

// sound wants a workbook to be one that no program repairs or refuses.
func sound(t testing.TB, name string) {
	t.Helper()
	assert.Empty(t, audit.Lint([]byte(read(t, name))), name)
}

// listing returns the files below a folder.
func listing(t testing.TB, dir string) []string {
	t.Helper()
	var out []string
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			out = append(out, path)
		}
		return err
	}))
	return out
}

func write(t testing.TB, name, data string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
	require.NoError(t, os.WriteFile(name, []byte(data), 0o644))
}

func read(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

// notWritten wants a file not to be there.
func notWritten(t testing.TB, name string) {
	t.Helper()
	_, err := os.Lstat(name)
	assert.ErrorIs(t, err, fs.ErrNotExist, name)
}

// oneWindow is a schedule that is all well but for the prices, which are
// invented.
const oneWindow = "Mark,Kind,Frame width,Frame height,Supplied by\nW1,window,36,60,owner\n"

// ownPrices are the starter prices under codes of suppliers that are not
// invented, so that a run has nothing to say about them.
func ownPrices(t testing.TB) string {
	t.Helper()
	lines, err := csv.NewReader(bytes.NewReader(templates.Prices)).ReadAll()
	require.NoError(t, err)
	for _, fields := range lines[1:] {
		fields[0], fields[2] = strings.TrimSuffix(fields[0], " (invented)"), "Q"+fields[2]
	}
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(lines))
	return b.String()
}

// writtenCell is a cell of a workbook.
type writtenCell struct {
	row, col       int
	value, formula string
	text           bool // the value is no number
}

// writtenBook is a workbook that the program wrote.
type writtenBook struct {
	t      testing.TB
	file   *excelize.File
	sheets []string
	read   map[string][]writtenCell // what was asked for so far
	known  map[string]*readSheet

	whiteStyles map[int]bool // by number of the style
}

// open reads a workbook that the program wrote.
func open(t testing.TB, name string) writtenBook {
	t.Helper()
	data := []byte(read(t, name))
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, f.Close()) })
	inSight := slices.DeleteFunc(f.GetSheetList(), func(sheet string) bool {
		visible, err := f.GetSheetVisible(sheet)
		require.NoError(t, err)
		return !visible
	})
	return writtenBook{t, f, inSight, map[string][]writtenCell{}, map[string]*readSheet{}, map[int]bool{}}
}

// cells returns the cells of a sheet that hold something, row by row.
func (b writtenBook) cells(sheet string) []writtenCell {
	if known, ok := b.read[sheet]; ok {
		return known
	}
	rows, err := b.file.GetRows(sheet)
	require.NoError(b.t, err)
	var out []writtenCell
	for i, row := range rows {
		for j, value := range row {
			if value == "" {
				continue // nor a formula that gives an empty text: only inputs hold such
			}
			at := estimate.CellName(i+1, j+1)
			formula, err := b.file.GetCellFormula(sheet, at)
			require.NoError(b.t, err)
			kind, err := b.file.GetCellType(sheet, at)
			require.NoError(b.t, err)
			text := kind == excelize.CellTypeInlineString || kind == excelize.CellTypeSharedString || kind == excelize.CellTypeFormula
			out = append(out, writtenCell{i + 1, j + 1, value, formula, text})
		}
	}
	b.read[sheet] = out
	return out
}

// results are the sheets of an estimate before its inputs.
func (b writtenBook) results() []string {
	b.t.Helper()
	inputs := slices.Index(b.sheets, "Job")
	require.Positive(b.t, inputs)
	return slices.Clone(b.sheets[:inputs])
}

// lines returns the cells of sheets, one a line, texts in quotes:
//
//	Summary!C8 = 246.7 {Materials!O30}
func (b writtenBook) lines(sheets ...string) []string {
	var out []string
	for _, sheet := range sheets {
		for _, c := range b.cells(sheet) {
			value, formula := strings.ReplaceAll(c.value, "\n", `\n`), ""
			if c.text {
				value = `"` + value + `"`
			}
			if c.formula != "" {
				formula = " {" + c.formula + "}"
			}
			out = append(out, fmt.Sprintf("%s!%s = %s%s", sheet, estimate.CellName(c.row, c.col), value, formula))
		}
	}
	return out
}

// row returns what stands in a row of a sheet, by column.
func (b writtenBook) row(sheet string, row int) map[int]string {
	out := map[int]string{}
	for _, c := range b.cells(sheet) {
		if c.row == row {
			out[c.col] = c.value
		}
	}
	return out
}

// table returns the rows under the first row that has all the headers, each
// row by header, down to the first that is blank under the first of them.
func (b writtenBook) table(sheet string, headers ...string) []map[string]string {
	b.t.Helper()
	for _, c := range b.cells(sheet) {
		if c.value != headers[0] {
			continue
		}
		titles := b.row(sheet, c.row)
		there := slices.Collect(maps.Values(titles))
		if slices.ContainsFunc(headers, func(h string) bool { return !slices.Contains(there, h) }) {
			continue
		}
		var out []map[string]string
		for at := c.row + 1; ; at++ {
			cells := b.row(sheet, at)
			if cells[c.col] == "" {
				return out
			}
			line := map[string]string{}
			for col, title := range titles {
				line[title] = cells[col]
			}
			out = append(out, line)
		}
	}
	require.Fail(b.t, "no such table", "%s: %v", sheet, headers)
	return nil
}

// header finds a header by its words.
func (b writtenBook) header(sheet, words string) writtenCell {
	b.t.Helper()
	cells := b.cells(sheet)
	i := slices.IndexFunc(cells, func(c writtenCell) bool { return c.value == words })
	require.GreaterOrEqual(b.t, i, 0, "%s: %s", sheet, words)
	return cells[i]
}

// amount returns the money under a header, in the first row with a label that
// has any there.
func (b writtenBook) amount(sheet, label, header string) measure.Money {
	b.t.Helper()
	return cents(b.t, b.labeled(sheet, label, b.header(sheet, header).col))
}

// labeled returns what stands in a column, in the first row with a label that
// has something there.
func (b writtenBook) labeled(sheet, label string, col int) string {
	b.t.Helper()
	for _, c := range b.cells(sheet) {
		if v := b.row(sheet, c.row)[col]; c.col == 1 && c.value == label && v != "" {
			return v
		}
	}
	require.Fail(b.t, "no such line", "%s: %s", sheet, label)
	return ""
}

// cents reads a stored amount of money; it must be whole cents.
func cents(t testing.TB, value string) measure.Money {
	t.Helper()
	v, err := strconv.ParseFloat(value, 64)
	require.NoError(t, err)
	whole := math.Round(v * 100)
	require.InDelta(t, whole, v*100, 1e-6, "%s is whole cents", value)
	return measure.Money(whole)
}

// sum adds up a column of money of a table; rows that hold words count nothing.
func sum(t testing.TB, rows []map[string]string, column string) measure.Money {
	t.Helper()
	total := measure.Money(0)
	for _, r := range rows {
		if _, err := strconv.ParseFloat(r[column], 64); err == nil {
			total += cents(t, r[column])
		}
	}
	return total
}

// edit changes cells of a workbook, by "Sheet!A1".
func edit(t testing.TB, from, to string, cells map[string]any) {
	t.Helper()
	f, err := excelize.OpenFile(from)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	for place, v := range cells {
		sheet, at, _ := strings.Cut(place, "!")
		require.NoError(t, f.SetCellValue(sheet, at, v))
	}
	require.NoError(t, os.MkdirAll(filepath.Dir(to), 0o755))
	require.NoError(t, f.SaveAs(to))
}

// shop returns what the shop cuts, and by which plan: what remains, once something is
// bought or done.
func (j *job) shop() (estimate.Takeoff, pricing.Plan) {
	if j.remaining != nil {
		return j.remaining.Takeoff, j.remaining.Plan
	}
	return j.takeoff, j.plan
}
