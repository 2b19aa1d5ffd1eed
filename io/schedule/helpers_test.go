package schedule

import (
	"bytes"
	"encoding/csv"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	written "sillwright/io/workbook"
)

// in64 returns a length in sixty-fourths of an inch.
func in64(n int64) measure.Length { return measure.Length(n) * measure.SixtyFourth }

func in(n int64) measure.Length { return in64(64 * n) }

func mm(n int64) measure.Length { return measure.Length(n) * measure.Millimeter }

// workbook returns a book saved and opened again, made of sheets written as
// CSV; numbers, formulas ("=1+1") and blanks become such cells.
func workbook(t testing.TB, sheets map[string]string, edit ...func(*excelize.File)) *sheet.Book {
	t.Helper()
	f := excelize.NewFile()
	for _, name := range slices.Sorted(maps.Keys(sheets)) {
		_, err := f.NewSheet(name)
		require.NoError(t, err)
		fill(t, f, name, sheets[name])
	}
	require.NoError(t, f.DeleteSheet("Sheet1"))
	for _, e := range edit {
		e(f)
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	book, problems := sheet.Parse("job.xlsx", b.Bytes())
	require.NotNil(t, book, "%v", problems)
	return book
}

func fill(t testing.TB, f *excelize.File, name, text string) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(text))
	r.LazyQuotes, r.FieldsPerRecord = true, -1
	lines, err := r.ReadAll()
	require.NoError(t, err)
	for row, line := range lines {
		for col, v := range line {
			at, err := excelize.CoordinatesToCellName(col+1, row+1)
			require.NoError(t, err)
			switch {
			case v == "":
			case strings.HasPrefix(v, "="):
				err = f.SetCellFormula(name, at, v[1:])
			case plainNumber(v):
				err = f.SetCellDefault(name, at, v)
			default:
				err = f.SetCellStr(name, at, v)
			}
			require.NoError(t, err)
		}
	}
}

// readSheets reads a workbook of sheets written as CSV and returns its problems as
// they are printed.
func readSheets(t testing.TB, sheets map[string]string, edit ...func(*excelize.File)) (*Schedule, []string) {
	t.Helper()
	s, ps := Read(workbook(t, sheets, edit...), written.Results()...)
	return checked(t, s), lines(ps)
}

// readCSV reads a CSV file of openings.
func readCSV(t testing.TB, text string) (*Schedule, []string) {
	t.Helper()
	book, ps := sheet.Parse("job.csv", []byte(text))
	require.NotNil(t, book, "%v", ps)
	s, more := Read(book)
	return checked(t, s), lines(append(ps, more...))
}

// checked holds what is true of every schedule.
func checked(t testing.TB, s *Schedule) *Schedule {
	t.Helper()
	require.Equal(t, len(s.Openings.Rows), s.Rows+s.LeftOut+s.Passed, "every row is accounted for")
	require.Len(t, s.Book.Openings, s.Rows)
	next := 0
	for _, r := range s.Openings.Rows {
		require.Len(t, r.Cells, len(s.Openings.Columns))
		if r.Index >= 0 {
			require.Equal(t, next, r.Index, "openings stand in the order of the rows")
			next++
		}
	}
	require.Equal(t, s.Rows, next)
	require.Len(t, s.Openings.Headers, len(s.Openings.Columns))
	for _, r := range s.Measured.Rows {
		require.Len(t, r.Cells, len(s.Measured.Columns))
		require.Less(t, r.Index, s.Rows)
	}
	require.Len(t, s.Settings, len(estimate.SettingKeys()))
	return s
}

func lines(ps []estimate.Problem) []string {
	out := make([]string, 0, len(ps))
	for _, p := range ps {
		out = append(out, p.String())
	}
	return out
}

// bare returns openings without places, which differ between files of the same
// content.
func bare(openings []estimate.Opening) []estimate.Opening {
	out := make([]estimate.Opening, len(openings))
	for i, o := range openings {
		o.Place, o.At = estimate.Place{}, nil
		out[i] = o
	}
	return out
}
