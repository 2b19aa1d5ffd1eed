package schedule

import (
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// SummarySheet is the sheet of an estimate that holds its total.
const SummarySheet = "Summary"

// The words by which the total is found on it.
const (
	totalLabel   = "total"
	amountHeader = "amount"
)

// StoredTotal returns the total that an estimate holds: on its sheet Summary,
// in the row that begins with Total, in the column under Amount. It is what the
// file says, not what the estimate comes to; where it cannot be read it is
// missing.
func StoredTotal(b *sheet.Book) (estimate.Maybe[measure.Money], estimate.Place) {
	s := b.Sheet(SummarySheet)
	if s == nil || s.Skipped {
		return estimate.Maybe[measure.Money]{}, estimate.Place{File: b.File}
	}
	col := -1
	for _, row := range s.Rows {
		for i, c := range row {
			if is(c, amountHeader) && col < 0 {
				col = i
			}
		}
		if col < 0 || len(row) <= col || !is(row[0], totalLabel) {
			continue
		}
		c := cell{Cell: row[col], name: "Total", problems: new([]estimate.Problem)}
		if v, ok := c.money(); ok && !c.Blank() {
			return estimate.Given(v), row[col].Place
		}
		return estimate.Maybe[measure.Money]{}, row[col].Place
	}
	return estimate.Maybe[measure.Money]{}, estimate.Place{File: b.File, Sheet: s.Name}
}

func is(c sheet.Cell, word string) bool { return strings.EqualFold(c.Word(), word) }
