package intake

import (
	"fmt"
	"slices"
	"strconv"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// How many openings a row stands for: which column says so, and what else might.

// counts returns the columns of a field.
func (l *list) with(f field) (out []column) {
	for _, c := range l.columns {
		if c.field == f {
			out = append(out, c)
		}
	}
	return out
}

// settleCounts tells by the cells of the rows whether a Number counts openings or numbers
// the lines, and which headers are asked back because they may count openings where no
// other does.
func (l *list) settleCounts(rows []row) {
	named := len(l.with(markField))+len(l.with(typeField)) > 0
	asks := func(c column, alone bool) bool {
		var cells []string
		for _, r := range rows {
			if cell := r.cell(c); !isBlank(cell) {
				cells = append(cells, cell.Word())
			}
		}
		return sheet.CountingOf(c.header).Asks(c.header, cells, alone)
	}
	for i, c := range l.columns {
		if c.field != countField || sheet.CountingOf(c.header) != sheet.MayCount || asks(c, !named) {
			continue
		}
		l.columns[i].field = unusedField
		if !named {
			l.columns[i].field = markField
		}
	}
	if len(l.with(countField)) > 0 {
		return
	}
	for _, c := range l.columns {
		if alone := c.field == markField && len(l.with(typeField)) == 0; asks(c, alone) {
			l.mayCount = append(l.mayCount, c)
		}
	}
	l.mayCount = append(l.mayCount, l.unheadedCounts(rows)...)
}

// unheadedCounts returns the columns without a header that may count openings.
func (l *list) unheadedCounts(rows []row) (out []column) {
	width := 0
	for _, r := range rows {
		width = max(width, len(r.cells))
	}
	for at := range width {
		if slices.ContainsFunc(l.columns, func(c column) bool { return c.at == at }) {
			continue
		}
		c := column{at: at}
		var texts []string
		for _, r := range rows {
			cell := r.cell(c)
			if isBlank(cell) {
				continue
			}
			if len(texts) == 0 {
				c.cell = cell
			}
			texts = append(texts, cell.Word())
		}
		if sheet.UnheadedCounts(texts) {
			out = append(out, c)
		}
	}
	return out
}

// askCount refuses the entries of a list in which nothing counts openings but a
// header that may.
func (l *list) askCount() {
	for _, c := range l.mayCount {
		what, doubt := strconv.Quote(sheet.Excerpt(c.header)), sheet.CountingOf(c.header).Doubt()
		if c.header == "" {
			what, doubt.Do = "a column without a header", "head it Qty where it does; else add a column Qty, and head this by what it is"
		}
		l.say(c.cell.Place, estimate.Error, what+" "+doubt.What(), doubt.Do)
		for _, e := range l.entries {
			e.bad = e.bad || e.reason == ""
		}
	}
}

// count reads how many openings a row stands for.
func (l *list) count(e *entry, r row) {
	columns := l.with(countField)
	if len(columns) == 0 {
		return
	}
	c := r.cell(columns[0])
	blank := c.Blank() || c.Merged // a dash or TBD is no count, and no blank either
	if !blank && c.Place.Row != r.place.Row && c.Place.Sheet != "" {
		l.refuse(e, c.Place, fmt.Sprintf("%s %q is merged over several rows, and may count for one or for all", sheet.Excerpt(c.Place.Column),
			sheet.Excerpt(c.Word())), "unmerge it and fill in each row")
		return
	}
	if !blank {
		n, _ := sheet.CountIn(c.Word())
		if e.qty = n; n == 0 {
			e.qty = 1
			l.refuse(e, c.Place, fmt.Sprintf("%s %q is no number of openings", sheet.Excerpt(c.Place.Column), sheet.Excerpt(c.Word())), "write 1 or more")
			return
		}
	}
	l.otherCounts(e, r, columns[0], blank)
}

// otherCounts holds what else in a row counts openings against the count that is taken.
// Two counts that differ cost the row; so does what may be the total where the count is
// blank.
func (l *list) otherCounts(e *entry, r row, taken column, blank bool) {
	for _, c := range l.columns {
		if c.at == taken.at || c.field != noField && c.field != unusedField {
			continue
		}
		cell := r.cell(c)
		n, isCount := sheet.CountIn(cell.Word())
		counting := sheet.CountingOf(c.header)
		switch {
		case !isCount || n == e.qty || isBlank(cell):
		case counting == sheet.Counts, (counting == sheet.MayTotal || counting == sheet.MayShare) && blank:
			has := fmt.Sprintf("%s is %d", sheet.Excerpt(taken.header), e.qty)
			if blank {
				has = sheet.Excerpt(taken.header) + " is blank"
			}
			l.refuse(e, cell.Place, fmt.Sprintf("%s is %d, and %s: how many openings are they?", sheet.Excerpt(c.header), n, has),
				"write the number under one of them, and clear the other")
		case counting == sheet.MayTotal && !slices.Contains(l.totals, c.at):
			l.totals = append(l.totals, c.at)
			l.say(cell.Place, estimate.Warning, fmt.Sprintf("%s is %d, and %s is %d, which is used, here and below",
				sheet.Excerpt(c.header), n, sheet.Excerpt(taken.header), e.qty), "see that it is how many openings each row stands for")
		}
	}
}
