package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/audit"
	"sillwright/io/xlsx/formula"
)

func TestReceivingCells(t *testing.T) {
	assert.Equal(t, xlsx.Blank(xlsx.Tick), toFill(""), "a box to fill in")
	assert.Equal(t, xlsx.Str(xlsx.TextWrap, "left"), toFill("left"))
	w := &writer{u: estimate.UnitsOf(false)}
	in := measure.Inch
	a, b := estimate.Size{W: 24 * in, H: 53*in + in/2}, estimate.Size{W: 36 * in, H: 53*in + in/2}
	for _, x := range []struct {
		why   string
		sizes []estimate.Size
		want  string
	}{
		{"one unit has no list", nil, ""},
		{"left to right", []estimate.Size{a, b, a}, "24 x 53-1/2; 36 x 53-1/2; 24 x 53-1/2"},
		{"like ones side by side", []estimate.Size{a, a, b}, "2 x (24 x 53-1/2); 36 x 53-1/2"},
	} {
		assert.Equal(t, x.want, w.joinedWords(estimate.Receipt{UnitSizes: x.sizes}), x.why)
	}
	assert.Equal(t, "24 x 53-1/2", w.orderedWords(estimate.Receipt{Size: a}))
	assert.Equal(t, "24 x 53-1/2\n4-9/16 deep", w.orderedWords(estimate.Receipt{Size: a, Depth: estimate.Given(4*in + 9*in16)}))
}

// The sum of openings follows the schedule; what has come is not ticked again; the
// job's note on lifting is repeated, its warnings are not.
func TestReceivingSheet(t *testing.T) {
	w := clipboard(false)
	w.receiving, w.checks, w.summary = w.out.AddSheet("Receiving"), w.out.AddSheet("Checks"), w.out.AddSheet("Summary")
	w.in.Takeoff.Openings[1].Status = "delivered"
	w.in.Problems = []estimate.Problem{
		{Place: estimate.Place{File: "job.xlsx"}, Severity: estimate.Note, What: "heavy"},
		{Place: estimate.Place{File: "job.xlsx"}, Severity: estimate.Warning, What: "old paint"},
	}
	assert.Equal(t, "CAUTION  heavy", w.liftWords()[1])
	assert.Len(t, w.liftWords(), 2)
	w.receivingSheet()
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	f := opened(t, data)
	rows, err := f.GetRows("Receiving", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	last := len(rows)
	assert.Equal(t, []string{"", "W1", "4", "36 x 60"}, rows[last-3][:4])
	assert.Equal(t, []string{"here", "D1", "2", "38 x 82"}, rows[last-2][:4])
	assert.Equal(t, []string{"", "Openings", "6"}, rows[last-1][:3]) // 4 and 2
	made, err := f.GetCellFormula("Receiving", formula.Cell(last, 3))
	require.NoError(t, err)
	assert.Equal(t, formula.SumOf("C", last-2, last-1), made)
}
