package main

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// editable are the sheets of an estimate on which people type.
var editable = []string{schedule.MaterialsSheet, schedule.OrdersSheet, schedule.PricesSheet, schedule.SuppliersSheet, schedule.JobSheet,
	schedule.OpeningsSheet, schedule.ItemsSheet}

// FuzzEditedEstimate types something into two cells of an estimate and orders
// from it: no panic, no negative sum, totals that are those of the lines, and
// the same orders twice.
func FuzzEditedEstimate(f *testing.F) {
	dir := f.TempDir()
	write(f, dir+"/job.csv", oneWindow)
	write(f, dir+"/own.csv", ownPrices(f))
	succeed(f, "estimate", dir+"/job.csv", "--prices", dir+"/own.csv")
	data := []byte(read(f, dir+"/job-estimate.xlsx"))
	for _, seed := range []struct {
		which, row, col uint8
		text            string
	}{
		{0, 6, 8, "40"}, {0, 7, 8, "0"}, {0, 8, 8, "=1+1"}, {0, 5, 1, ""}, {1, 6, 3, "nobody"}, {1, 6, 2, ""}, {2, 4, 6, "-1"}, {2, 4, 6, "1e300"},
		{2, 5, 5, "0 in"}, {3, 4, 2, "999999999999"}, {4, 10, 2, "EUR"}, {5, 5, 2, "9999"}, {6, 5, 6, "area"}, {6, 5, 1, "shim"}, {0, 6, 8, "999999999"},
	} {
		f.Add(seed.which, seed.row, seed.col, seed.text, seed.which+1, seed.row, seed.col, "x")
	}
	made, problems := sheet.ParseSheets("job-estimate.xlsx", data, schedule.Wanted)
	require.NotNil(f, made, "%v", problems)
	f.Fuzz(func(t *testing.T, which, row, col uint8, text string, which2, row2, col2 uint8, text2 string) {
		ordered := func() (out []string) {
			book := &sheet.Book{File: made.File}
			for _, s := range made.Sheets {
				own := *s
				own.Rows = slices.Clone(s.Rows)
				book.Sheets = append(book.Sheets, &own)
			}
			typed(book, which, row, col, text)
			typed(book, which2, row2, col2, text2)
			j, problems := readBook("job-estimate.xlsx", book, nil, nil)
			for _, p := range problems {
				require.NotEmpty(t, p.What)
			}
			if j == nil {
				return nil
			}
			j.plan = pricing.Follow(j.schedule.Book, j.takeoff, j.lists, j.schedule.Lines)
			one := pricing.Ordering{Name: "job", Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan}
			together := pricing.Consolidate([]pricing.Ordering{one}, nil, true)
			for _, o := range together.Orders {
				sum := measure.Money(0)
				for _, l := range o.Lines {
					require.GreaterOrEqual(t, l.Count, int64(0))
					sum += l.Extension
				}
				require.Equal(t, sum, o.Materials)
				require.GreaterOrEqual(t, o.Total(), measure.Money(0))
				table, err := pricelist.WriteOrder(o, pricelist.OrderName{}, j.schedule.Book.Job.Currency, o.Notes(1, ""))
				require.NoError(t, err)
				_, err = workbook.Order(workbook.OrderInput{Jobs: together.Jobs, ShipTo: shipTo([]*job{j}), Job: j.schedule.Book.Job, Order: o, Notes: o.Notes(1, "")})
				require.NoError(t, err)
				out = append(out, string(table))
			}
			return append(out, strconv.Itoa(len(together.Missing)))
		}
		require.Equal(t, ordered(), ordered())
	})
}

// typed types a text into a cell: a number where it is one, a formula without
// a value where it begins as one.
func typed(book *sheet.Book, which, row, col uint8, text string) {
	s := book.Sheet(editable[int(which)%len(editable)])
	if s == nil || len(s.Rows) == 0 {
		return
	}
	r := int(row) % len(s.Rows)
	cells := slices.Clone(s.Rows[r])
	if len(cells) == 0 {
		return
	}
	c := sheet.Cell{Kind: sheet.Text, Text: text, Place: cells[int(col)%len(cells)].Place}
	n, err := strconv.ParseFloat(text, 64)
	switch {
	case text == "":
		c.Kind = sheet.Empty
	case strings.HasPrefix(text, "="):
		c.Kind, c.Formula = sheet.Uncalculated, true
	case err == nil && n-n == 0:
		c.Kind, c.Number = sheet.Number, n
	}
	cells[int(col)%len(cells)] = c
	s.Rows[r] = cells
}
