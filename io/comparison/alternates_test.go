package comparison

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

func TestAlternatesWorkbook(t *testing.T) {
	book := estimate.Book{Job: estimate.Job{Currency: "USD", Overhead: 100_000, Profit: measure.One, Margin: true}}
	basis := compare.NewBasis(book, pricing.Lists{})
	why := estimate.Problem{Severity: estimate.Error, What: "no rigid pan fits", Do: "choose another"}
	in := AlternatesInput{File: "=shed.xlsx", Basis: basis, Problems: []estimate.Problem{why}, All: []compare.Alternative{
		basis.Price(compare.Alternate{Name: "=1+1", What: "nothing & <more>", Book: book}, pricing.Lists{}),
		basis.Price(compare.Alternate{Name: "no pan", Problems: []estimate.Problem{why, why}}, pricing.Lists{}),
	}}
	data, err := Alternates(in)
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	f := opened(t, data)
	rows := records(t, f, "Alternates", "Alternate")
	require.Len(t, rows, 3)
	assert.Equal(t, map[string]string{"Alternate": "=1+1", "What changes": "nothing & <more>", "Marks": "", "Openings": "0",
		"Total": "0", "Difference": "0", "Per opening": none}, rows[1])
	assert.Equal(t, map[string]string{"Alternate": "no pan", "What changes": "", "Marks": "", "Openings": "0",
		"Total": noFigure, "Difference": noFigure, "Per opening": noFigure,
		"Why no figure": "no rigid pan fits (choose another); and 1 more: see Problems"}, rows[2])
}
