package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// csvBook is a list in a CSV file.
func csvBook(t testing.TB, name, text string) *sheet.Book {
	t.Helper()
	b, ps := sheet.Parse(name, []byte(text))
	require.NotNil(t, b, "%v", ps)
	return b
}

// bookOf is a workbook: by sheet its rows, "merge A1:B2" in a row of its own.
func bookOf(t testing.TB, name string, sheets ...[][]any) *sheet.Book {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, rows := range sheets {
		title := fmt.Sprint(rows[0][0])
		if i == 0 {
			require.NoError(t, f.SetSheetName("Sheet1", title))
		} else {
			_, err := f.NewSheet(title)
			require.NoError(t, err)
		}
		n, merges := 0, []string(nil) // merged last: writing into a merged area writes its first cell
		for _, row := range rows[1:] {
			if len(row) == 1 {
				if area, ok := strings.CutPrefix(fmt.Sprint(row[0]), "merge "); ok {
					merges = append(merges, area)
					continue
				}
			}
			n++
			require.NoError(t, f.SetSheetRow(title, fmt.Sprintf("A%d", n), &row))
		}
		for _, area := range merges {
			from, to, _ := strings.Cut(area, ":")
			require.NoError(t, f.MergeCell(title, from, to))
		}
	}
	data, err := f.WriteToBuffer()
	require.NoError(t, err)
	b, ps := sheet.Parse(name, data.Bytes())
	require.NotNil(t, b, "%v", ps)
	return b
}

// lines writes openings one a line: mark, number, kind, what is known of the
// size, story.
func lines(r Result) []string {
	out := []string{}
	for _, o := range r.Openings {
		s := fmt.Sprintf("%s %d %s", o.Mark, o.Qty, o.Kind)
		for _, x := range []struct {
			name string
			size estimate.Size
		}{{"frame", o.Frame}, {"RO", o.Rough}} {
			if x.size.Known() {
				s += fmt.Sprintf(" %s %s x %s", x.name, measure.FormatInches(x.size.W, 64), measure.FormatInches(x.size.H, 64))
			}
		}
		if o.Call != "" {
			s += " call " + o.Call
		}
		if o.Story.Set {
			s += fmt.Sprintf(" storey %d", o.Story.V)
		}
		out = append(out, s)
	}
	return out
}

// said writes the problems of a severity or above.
func said(ps []estimate.Problem, least estimate.Severity) []string {
	out := []string{}
	for _, p := range ps {
		if p.Severity >= least {
			out = append(out, p.String())
		}
	}
	return out
}
