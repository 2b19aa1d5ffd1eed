package schedule

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

func TestStoredTotal(t *testing.T) {
	for _, c := range []struct {
		shows, csv string
		want       estimate.Maybe[measure.Money]
		row        int
	}{
		{"as our Summary has it", "House\n\n,Rate,Amount,What it is\nMaterials,,100.00,\nTotal,,1234.5,\n", estimate.Given(measure.Money(1234_50)), 5},
		{"the column is found by its header", "Amount,x\n\"Total\",1\n", estimate.Maybe[measure.Money]{}, 2},
		{"moved columns", ",Amount,Rate\nTotal,7,\n", estimate.Given(measure.Money(7_00)), 2},
		{"words for a number", ",Amount\nTotal,many\n", estimate.Maybe[measure.Money]{}, 2},
		{"blank is not zero", ",Amount,x\nTotal,,y\n", estimate.Maybe[measure.Money]{}, 2},
		{"zero is zero", ",Amount\nTotal,0\n", estimate.Given(measure.Money(0)), 2},
		{"no total", ",Amount\nTotals,7\n", estimate.Maybe[measure.Money]{}, 0},
		{"no amounts", "Total,7\n", estimate.Maybe[measure.Money]{}, 0},
	} {
		t.Run(c.shows, func(t *testing.T) {
			b, problems := sheet.Parse("job.csv", []byte(c.csv))
			require.Empty(t, problems)
			b.Sheets[0].Name = SummarySheet
			got, at := StoredTotal(b)
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.row, at.Row)
		})
	}
	_, at := StoredTotal(&sheet.Book{File: "job.xlsx"})
	assert.Equal(t, "job.xlsx", at.String())
}
