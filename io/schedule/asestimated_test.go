package schedule

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	written "sillwright/io/workbook"
)

// What is missing from an estimate is an error, with the sheet that may be it under
// another name; an input on which nothing stood is a warning.
func TestLostSheets(t *testing.T) {
	const again = "copy it back from the estimate as it was written, or estimate the schedule again)"
	lost := func(name, without string) string {
		return `the sheet "` + name + `" of this estimate is not there, so that nothing is known of ` + without + " ("
	}
	estimated := &sheet.Book{File: "e.xlsx", Sheets: []*sheet.Sheet{hiddenSheet()}}
	full := []string{WhenEstimatedSheet, OpeningsSheet, JobSheet, PricesSheet, MaterialsSheet, CostsSheet, DetailsSheet, OrdersSheet, ItemsSheet, MeasuredSheet,
		MeasuringSheet, LaborSheet, OnHandSheet, AlternateSheet, SuppliersSheet}
	for _, c := range []struct {
		why, without, with string
		priced             bool
		want               []string
	}{
		{"nothing", "", "", false, []string{}},
		{"no other sheet to be it", PricesSheet, "", false, []string{"e.xlsx: " + lost(PricesSheet, "its prices") + again}},
		{"price lists are named", PricesSheet, "", true, []string{}},
		{"one sheet that is nobody's", PricesSheet, "Photos", false,
			[]string{"e.xlsx: " + lost(PricesSheet, "its prices") + `if it has another name, such as "Photos", name it Prices again; else ` + again}},
		{"a slip", PricesSheet, "Pricse", false, []string{"e.xlsx: " + lost(PricesSheet, "its prices") + `if "Pricse" is it, name that Prices; else ` + again}},
		{"a longer name", MaterialsSheet, "Our materials of May", false,
			[]string{"e.xlsx: " + lost(MaterialsSheet, "what is bought") + `if "Our materials of May" is it, name that Materials; else ` + again}},
		{"costs stood there", CostsSheet, "", false, []string{"e.xlsx: " + lost(CostsSheet, "what stood there") + again}},
		{"no hours stood there", LaborSheet, "", false,
			[]string{"e.xlsx: warning: " + lost(LaborSheet, "what was typed there") + again}},
	} {
		t.Run(c.why, func(t *testing.T) {
			b := &sheet.Book{File: "e.xlsx"}
			for _, name := range append([]string{c.with}, full...) {
				if name != c.without && name != "" {
					b.Sheets = append(b.Sheets, &sheet.Sheet{Name: name, File: b.File, Skipped: true})
				}
			}
			assert.Equal(t, c.want, lines(LostSheets(b, estimated, written.Results(), c.priced)))
		})
	}
	schedule := &sheet.Book{Sheets: []*sheet.Sheet{{Name: OpeningsSheet}, {Name: CostsSheet}}}
	assert.Empty(t, LostSheets(schedule, &sheet.Book{}, written.Results(), false), "no estimate")
}

// An estimate is put back to what it was: a rate is the fraction that its percent format
// shows, and a row that was removed stands on its own sheet again.
func TestAsEstimated(t *testing.T) {
	b, hidden := book(func(s map[string][]string) {
		s[JobSheet][2] = "profit|0.15|percent"
		s[CostsSheet] = []string{"Text|Count|Price|Taxable|Line No.", "Crane|1|250|no|"}
		s[OpeningsSheet][1] = "W1|36|3||1"
	}), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}}
	b.Sheet(JobSheet).Rows[2][1].Percent = true
	changed, ok := AsEstimated(b, hidden)
	assert.True(t, changed)
	assert.True(t, ok)
	s, ps := Read(b)
	assert.NotContains(t, strings.Join(lines(ps), "\n"), "profit")
	assert.Equal(t, measure.Rate(120_000), s.Book.Job.Profit, "12 %")
	require.Len(t, s.Book.Job.Costs, 1)
	assert.Equal(t, "Lift", s.Book.Job.Costs[0].Text)
	assert.Equal(t, "e.xlsx: 'Other costs' row 3", s.Book.Job.Costs[0].Place.String())
	assert.Equal(t, "1", b.Sheet(OpeningsSheet).Rows[1][2].Text, "Qty")

	changed, ok = AsEstimated(b, hidden)
	assert.Equal(t, []bool{false, true}, []bool{changed, ok}, "it is as it was")
	_, ok = AsEstimated(b, &sheet.Book{})
	assert.False(t, ok, "nothing is known")
}
