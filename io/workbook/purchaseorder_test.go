package workbook

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// orderOf is an order of boards of one profile in two lengths and of glue, for jobs that
// bear halves of it.
func orderOf(jobs ...string) OrderInput {
	line := func(item, content string, isCut bool, count int64, amount measure.Length, extension measure.Money) pricing.OrderLine {
		l := pricing.OrderLine{Count: count, Extension: extension, Shares: measure.Shares(extension, []int64{1, 1})}
		l.Item = estimate.Item{Key: item, Name: item, Cut: isCut}
		l.Offer = pricing.Offer{Item: item, Content: content, Unit: "each", Price: measure.UnitPrice(extension * 100 / measure.Money(count)), Amount: int64(amount)}
		return l
	}
	order := pricing.SupplierOrder{
		Order: pricing.Order{Materials: 4600, Delivery: 1000, Tax: 448},
		Lines: []pricing.OrderLine{
			line("1x4", "16 ft", true, 2, 16*measure.Foot, 2000), line("1x4", "8 ft", true, 3, 8*measure.Foot, 1500), line("glue", "10 oz", false, 1, 0, 1100),
		},
		Shares: []measure.Money{3024, 3024},
	}
	order.Terms.Supplier, order.Terms.DeliveryFee = "Yard", estimate.Given(measure.Money(1000))
	return OrderInput{Jobs: jobs, Job: estimate.Job{Currency: "USD", Tax: 80_000}, Order: order}
}

// orderSheet writes an order and returns the rows of a sheet from its header on, with the
// row of the header.
func orderSheet(t *testing.T, in OrderInput, sheet, firstHead string) (f *excelize.File, rows [][]string, header int) {
	t.Helper()
	data, err := Order(in)
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	f = opened(t, data)
	rows, err = f.GetRows(sheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	header = slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == firstHead }) + 1
	require.Positive(t, header)
	return f, rows[header-1:], header
}

// Tax is rounded once, or on every line, with the delivery or without it.
func TestTaxOfAnOrder(t *testing.T) {
	for _, x := range []struct {
		why              string
		byItem, delivery bool
		want             string
	}{
		// {x} is the column of the amounts, {p} that of the rate: the lines are rows 6 to 8
		{"materials", false, false, "ROUND(ROUND(({x}9)*{p}11,8),2)"},
		{"materials and delivery", false, true, "ROUND(ROUND(({x}9+{x}10)*{p}11,8),2)"},
		{"each line", true, false, "SUMPRODUCT(ROUND(ROUND({x}6:{x}8*{p}11,8),2))"},
		{"each line, and the delivery", true, true, "SUMPRODUCT(ROUND(ROUND({x}6:{x}8*{p}11,8),2))+ROUND(ROUND({x}10*{p}11,8),2)"},
	} {
		in := orderOf("A")
		in.Job.TaxByItem, in.Job.TaxDelivery = x.byItem, x.delivery
		f, rows, header := orderSheet(t, in, "Order", "Rec'd")
		words, amount := slices.Index(rows[0], "Description"), slices.Index(rows[0], "Extension")
		tax := slices.IndexFunc(rows, func(r []string) bool { return len(r) > words && r[words] == "Sales tax" })
		require.Equal(t, 11, header+tax)
		made, err := f.GetCellFormula("Order", formula.Cell(header+tax, amount+1))
		require.NoError(t, err)
		rate := slices.Index(rows[0], "Price, USD")
		assert.Equal(t, strings.NewReplacer("{x}", formula.Column(amount+1), "{p}", formula.Column(rate+1)).Replace(x.want), made, x.why)
	}
}

// A column for the cost codes is there only if a line has one.
func TestCostCodesOfAnOrder(t *testing.T) {
	in := orderOf("A")
	_, rows, _ := orderSheet(t, in, "Order", "Rec'd")
	assert.NotContains(t, rows[0], "Cost code")
	in.Order.Lines[2].Item.CostCode = "07 90"
	_, rows, _ = orderSheet(t, in, "Order", "Rec'd")
	code := slices.Index(rows[0], "Cost code")
	assert.Equal(t, "07 90", rows[3][code])
}

func TestTallies(t *testing.T) {
	assert.Equal(t, []tallied{{"1x4", "2 of 16 ft, 3 of 8 ft", 5, 56 * measure.Foot}}, talliesOf(orderOf("A").Order.Lines), "2 x 16 and 3 x 8; glue is not cut")
	assert.Empty(t, talliesOf(nil))
}

// Jobs that are called as a column is, or alike, have a column each.
func TestSharesOfJobsNamedAsColumns(t *testing.T) {
	f, rows, header := orderSheet(t, orderOf("Count", "count"), "Shares", "Code")
	assert.Equal(t, []string{"Code", "Description", "Count", "Extension", "Count (job)", "count (job) (job)"}, rows[0])
	assert.Equal(t, []string{"", "1x4", "2", "20", "10", "10"}, rows[1])
	// 30.24 less 10, 7.50 and 5.50
	assert.Equal(t, []string{"", "Delivery and tax", "", "14.48", "7.24", "7.24"}, rows[4])
	assert.Equal(t, []string{"", "Total", "", "60.48", "30.24", "30.24"}, rows[5])
	count, err := f.GetCellFormula("Shares", formula.Cell(header+1, 3))
	require.NoError(t, err)
	lines, err := f.GetRows("Order")
	require.NoError(t, err)
	first := slices.IndexFunc(lines, func(r []string) bool { return len(r) > 0 && r[0] == "Rec'd" }) + 2
	assert.Equal(t, "Order!"+formula.Cell(first, slices.Index(lines[first-2], "Count")+1), count)
}
