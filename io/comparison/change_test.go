package comparison

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	sheets "sillwright/io/sheet"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing/compare"
)

// changeInput is a revision of a job of one window, of which one more is asked for.
func changeInput(e compare.ChangeEntries) RevisionInput {
	sides := comparedSides(3)
	was, now := sides[0], sides[2]
	now.Takeoff.Openings = slices.Clone(now.Takeoff.Openings)
	now.Takeoff.Openings[0].Qty = 2
	r := compare.Revise(was, now)
	r.Buy = append(r.Buy, compare.BuyChange{Item: estimate.Item{Key: "tape <4>"}, Supplier: "Yard", Code: "T-4", Content: "50 ft", Had: 3, Left: 2,
		Price: estimate.Given(measure.UnitPrice(10_0000))})
	c := compare.ChangeOf(was, now, r)
	c.Marks[0].Cut = compare.CutLoss{Pieces: 2, Length: 10 * measure.Foot, Worth: 30_00}
	return RevisionInput{Was: was, Now: now, How: "in the order named", Revision: r, Change: c, Entries: e}
}

// wholeEntries has a value in every cell that can be typed.
func wholeEntries(t *testing.T) compare.ChangeEntries {
	t.Helper()
	day, err := measure.ParseDate("2026-12-05")
	require.NoError(t, err)
	in := changeInput(compare.ChangeEntries{})
	return compare.ChangeEntries{
		Number: "3 b", Reason: "A <wider> window & sill", Date: estimate.Given(day), Original: estimate.Given(measure.Money(15_250_10)),
		Earlier: estimate.Given(measure.Money(-310_40)), Days: estimate.Given(int64(-2)), Payments: "none", Hidden: "rot", ValidUntil: estimate.Given(day + 7),
		LaborRate: estimate.Given(measure.Money(48_50)), Markup: estimate.Given(measure.Rate(125_000)),
		Marks: map[string]compare.MarkEntry{"w1": {Hours: estimate.Given(2*estimate.Hour + 1234), Again: estimate.Given(measure.Money(5_05))}},
		Surplus: map[string]compare.SurplusEntry{in.Change.Surplus[0].Key(): {
			Back: estimate.Given(int64(2)), Restocking: estimate.Given(measure.Rate(150_000)), Credit: estimate.Given(measure.Money(12_34)), Kept: "opened"}},
	}
}

func writtenChange(t testing.TB, e compare.ChangeEntries) *sheets.Book {
	t.Helper()
	data, err := Revision(changeInput(e))
	require.NoError(t, err)
	require.Empty(t, audit.Lint(data))
	book, problems := sheets.ParseSheets("typed.xlsx", data, func(name string) bool { return name == ChangeSheet })
	require.NotNil(t, book, "%v", problems)
	return book
}

// What is written is read again as it was typed: all of it, and nothing of a sheet on which
// nothing is.
func TestEntriesAreReadAgain(t *testing.T) {
	empty := compare.ChangeEntries{Marks: map[string]compare.MarkEntry{}, Surplus: map[string]compare.SurplusEntry{}}
	for _, e := range []compare.ChangeEntries{wholeEntries(t), empty} {
		got, problems := ReadEntries(writtenChange(t, e))
		assert.Empty(t, problems)
		assert.Equal(t, e, got.Entries)
		in := changeInput(e)
		assert.Empty(t, got.Basis(in.Change.Was, in.Change.Now))
		assert.Equal(t, "it was made of bids of 20.00 and 20.40; they are 20.00 and 20.41 now", got.Basis(20_00, 20_41))
		assert.Empty(t, got.Unplaced(in.Change))
	}
	got, _ := ReadEntries(writtenChange(t, wholeEntries(t)))
	assert.Len(t, got.Unplaced(compare.PriceChange{}), 2, "no such mark, no such line")
}

// typedCell puts a cell under a head, in the row that begins with a label; without a head,
// beside it.
func typedCell(t *testing.T, b *sheets.Book, label, head string, c sheets.Cell) {
	t.Helper()
	col, below := 1, false
	for _, row := range b.Sheet(ChangeSheet).Rows {
		if i := slices.IndexFunc(row, func(c sheets.Cell) bool { return c.Word() == head }); head != "" && i >= 0 {
			col, below = i, true
		}
		if len(row) > col && row[0].Word() == label && (head == "" || below) {
			c.Place = row[col].Place
			row[col] = c
			return
		}
	}
	require.Fail(t, "no such cell", "%s, %s", label, head)
}

// What cannot be used costs its cell, and says so.
func TestEntriesThatCannotBeUsed(t *testing.T) {
	text := func(s string) sheets.Cell { return sheets.Cell{Kind: sheets.Text, Text: s} }
	number := func(v float64) sheets.Cell {
		return sheets.Cell{Kind: sheets.Number, Text: fmt.Sprint(v), Number: v}
	}
	for _, c := range []struct {
		label, head string
		cell        sheets.Cell
		says        string
	}{
		{"W1", hoursHead, text("all day"), "is not an amount"},
		{"W1", hoursHead, number(-1), "is negative"},
		{"W1", hoursHead, number(10_001), "is more than a mark takes"},
		{"W1", hoursHead, number(1.23456), "has too many decimals"},
		{"W1", againHead, sheets.Cell{Kind: sheets.Number, Text: "5", Number: 5, Formula: true}, "is a formula; its value is not taken"},
		{"tape <4>", backHead, number(1.5), "is no whole number"},
		{"tape <4>", backHead, number(-1), "is negative"},
		{"tape <4>", restockHead, number(15), "may be a percentage or a multiple"},
		{"tape <4>", restockHead, sheets.Cell{Kind: sheets.Number, Text: "1.5", Number: 1.5, Percent: true}, "is more than the price"},
		{"tape <4>", creditHead, sheets.Cell{Kind: sheets.Bool, Text: "TRUE"}, "holds TRUE"},
		{"Days added", "", text("some"), "is no whole number"},
		{"Change date", "", text("soon"), "is not a date"},
		{"Labor rate", "", number(-40), "is negative"},
		{"Earlier changes", "", sheets.Cell{Kind: sheets.ErrorValue, Text: "#REF!"}, "holds the error #REF!"},
		{markupEntry, "", sheets.Cell{Kind: sheets.Number, Text: "11", Number: 11, Percent: true}, "is no percentage that can be used"},
	} {
		t.Run(c.label+" "+c.says, func(t *testing.T) {
			book := writtenChange(t, compare.ChangeEntries{})
			typedCell(t, book, c.label, c.head, c.cell)
			got, problems := ReadEntries(book)
			require.Len(t, problems, 1)
			assert.Contains(t, problems[0].String(), c.says)
			assert.Equal(t, estimate.Error, problems[0].Severity)
			assert.Equal(t, compare.ChangeEntries{Marks: map[string]compare.MarkEntry{}, Surplus: map[string]compare.SurplusEntry{}}, got.Entries)
		})
	}
	for _, lost := range []string{hoursHead, earlierBid, restockHead} {
		book := writtenChange(t, compare.ChangeEntries{})
		for _, row := range book.Sheet(ChangeSheet).Rows {
			for i := range row {
				if row[i].Word() == lost {
					row[i].Text = "something else"
				}
			}
		}
		_, problems := ReadEntries(book)
		assert.NotEmpty(t, problems, "%s is lost", lost)
	}
}

// Sums that can be told from the sheet: 2 h at 50.00, cut 30.00, two boards and two rolls at
// 10.00 each, of which one goes back for 8.50.
func TestChangeSheet(t *testing.T) {
	e := compare.ChangeEntries{LaborRate: estimate.Given(measure.Money(50_00)),
		Marks: map[string]compare.MarkEntry{"w1": {Hours: estimate.Given(2 * estimate.Hour)}}}
	in := changeInput(e)
	e.Surplus = map[string]compare.SurplusEntry{in.Change.Surplus[0].Key(): {Back: estimate.Given(int64(1)), Restocking: estimate.Given(measure.Rate(150_000))}}
	data, err := Revision(changeInput(e))
	require.NoError(t, err)
	lines := map[string]string{}
	for _, row := range records(t, opened(t, data), ChangeSheet, "Line") {
		lines[row["Line"]] = row["Amount"]
	}
	assert.Equal(t, []string{"0.4", "100", "30", "40", "-8.5", "161.5", "161.9"}, []string{
		lines[bidDifference], lines[undoLine], lines[cutLine], lines[surplusLine], lines[creditLine], lines[extraLine], lines[changeLine]})
}

// FuzzReadEntries types something into two cells of the sheet: no panic, problems in
// words, and nothing below zero where it cannot be.
func FuzzReadEntries(f *testing.F) {
	for _, s := range []string{"2.5", "-1", "15%", "1e300", "#REF!", "2026-11-31", "=1+1", "TRUE", "12,5",
		"Mark", "Earlier bid", "\u200b", "999999999999999999999"} {
		f.Add(s, uint8(8), uint8(2), float64(3), s, uint8(30), uint8(15), true)
	}
	book := writtenChange(f, compare.ChangeEntries{})
	in := changeInput(compare.ChangeEntries{})
	f.Fuzz(func(t *testing.T, a string, row, col uint8, v float64, b string, row2, col2 uint8, percent bool) {
		s := *book.Sheet(ChangeSheet)
		s.Rows = slices.Clone(s.Rows)
		put := func(row, col uint8, c sheets.Cell) {
			if i := int(row) % len(s.Rows); len(s.Rows[i]) > 0 {
				s.Rows[i] = slices.Clone(s.Rows[i])
				s.Rows[i][int(col)%len(s.Rows[i])] = c
			}
		}
		put(row, col, sheets.Cell{Kind: sheets.Text, Text: a})
		put(row2, col2, sheets.Cell{Kind: sheets.Number, Text: b, Number: v, Percent: percent})
		got, problems := ReadEntries(&sheets.Book{File: "typed.xlsx", Sheets: []*sheets.Sheet{&s}})
		for _, p := range problems {
			require.NotEmpty(t, p.What)
		}
		e := got.Entries
		for _, m := range e.Marks {
			require.True(t, m.Hours.V >= 0 && m.Again.V >= 0)
		}
		for _, x := range e.Surplus {
			require.True(t, x.Back.V >= 0 && x.Credit.V >= 0 && x.Restocking.V >= 0 && x.Restocking.V <= measure.One)
		}
		sum := in.Change.Sum(&in.Now.Book.Job, e)
		require.True(t, sum.Credits >= 0 && sum.Credits <= sum.Bought && sum.Cut >= 0)
	})
}
