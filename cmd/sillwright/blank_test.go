package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// blankSchedule returns the schedule that new writes, to be changed.
func blankSchedule(t *testing.T) *excelize.File {
	t.Helper()
	succeed(t, "new", "job")
	f, err := excelize.OpenFile(filepath.Join("job", "schedule.xlsx"), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, f.Close()) })
	return f
}

const headerRow = 4 // of every sheet of a schedule that is filled in

// TestBlankScheduleHelps: every header of a sheet to fill in has a note; on Job
// the meaning stands beside the key.
func TestBlankScheduleHelps(t *testing.T) {
	inTemp(t)
	f := blankSchedule(t)
	for _, sheet := range f.GetSheetList() {
		if slices.Contains([]string{"Read me", "Job", "Lists"}, sheet) {
			continue
		}
		notes, err := f.GetComments(sheet)
		require.NoError(t, err)
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		for col, head := range rows[headerRow-1] {
			at := estimate.CellName(headerRow, col+1)
			i := slices.IndexFunc(notes, func(c excelize.Comment) bool { return c.Cell == at })
			if assert.GreaterOrEqual(t, i, 0, "%s, %s has no note", sheet, head) {
				assert.NotEmpty(t, notes[i].Text)
			}
		}
	}
}

// TestBlankScheduleShowsGaps types rows and works out what the sheet then says
// above them, and whether the formats of the gaps hold.
func TestBlankScheduleShowsGaps(t *testing.T) {
	for _, c := range []struct {
		why        string
		row        map[string]string // by header
		kind, size string            // what stands above
	}{
		{"nothing typed", nil, "", ""},
		{"a whole row", map[string]string{"Mark": "W1", "Kind": "window", "Frame width": "36", "Frame height": "60"}, "", ""},
		{"a mark alone", map[string]string{"Mark": "W1"}, "WARNING: a mark has no kind", "WARNING: a mark has no size"},
		{"no kind", map[string]string{"Mark": "W1", "Frame width": "36"}, "WARNING: a mark has no kind", ""},
		{"no size", map[string]string{"Mark": "W1", "Kind": "window"}, "", "WARNING: a mark has no size"},
		{"a rough opening is a size", map[string]string{"Mark": "W1", "Kind": "window", "RO height": "60"}, "", ""},
		{"a call size is a size", map[string]string{"Mark": "W1", "Kind": "window", "Call size": "3050"}, "", ""},
		{"without a mark it is no row yet", map[string]string{"Frame width": "36"}, "", ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			inTemp(t)
			f := blankSchedule(t)
			rows, err := f.GetRows("Openings")
			require.NoError(t, err)
			column := func(head string) int {
				i := slices.Index(rows[headerRow-1], head)
				require.GreaterOrEqual(t, i, 0, head)
				return i + 1
			}
			const row = headerRow + 2 // below the example
			for head, words := range c.row {
				require.NoError(t, f.SetCellStr("Openings", estimate.CellName(row, column(head)), words))
			}
			// SUMPRODUCT of several conditions is more than the library calculates, so
			// that its terms are taken one by one.
			said := func(head string) string {
				formula, err := f.GetCellFormula("Openings", estimate.CellName(headerRow-1, column(head)))
				require.NoError(t, err)
				return words(t, f, formula, row)
			}
			assert.Equal(t, c.kind, said("Mark"))
			assert.Equal(t, c.size, said("Frame width"))

			formats, err := f.GetConditionalFormats("Openings")
			require.NoError(t, err)
			holds := 0
			for area, list := range formats {
				if strings.Contains(area, fmt.Sprint(headerRow+1)) {
					holds += len(list)
				}
			}
			assert.Equal(t, 2, holds, "of the kind and of the size")
		})
	}
}

// words works out for one row what IF(SUMPRODUCT(...)=0,"","words") shows.
func words(t *testing.T, f *excelize.File, formula string, row int) string {
	t.Helper()
	terms, rest, ok := strings.Cut(strings.TrimPrefix(formula, "IF(SUMPRODUCT("), `)=0,"","`)
	require.True(t, ok, formula)
	for _, term := range strings.Split(strings.Trim(terms, "()"), ")*(") {
		area, blank := strings.CutSuffix(term, `=""`)
		if !blank {
			area = strings.TrimSuffix(term, `<>""`)
		}
		first, _, _ := strings.Cut(area, ":")
		v, err := f.GetCellValue("Openings", fmt.Sprintf("%s%d", strings.TrimRight(first, "0123456789"), row))
		require.NoError(t, err)
		if (v == "") != blank {
			return ""
		}
	}
	return strings.TrimSuffix(rest, `")`)
}
