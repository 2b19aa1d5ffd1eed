package sheet

import (
	"fmt"

	"sillwright/estimate"
)

// A line of a CSV file that has more fields than its header is out of step with it: a comma
// inside a field, or that of a decimal, moved all that stands behind it by a column. So no
// part of it is read.

// Longer returns the first filled cell of a row beyond so many fields of the header, and
// whether the row is a line of a CSV file that has one.
func (s *Sheet) Longer(row []Cell, width int) (Cell, bool) {
	if s.Name != "" {
		return Cell{}, false
	}
	for _, c := range row[min(width, len(row)):] {
		if !c.Blank() {
			return c, true
		}
	}
	return Cell{}, false
}

// handful is up to how many such lines are reported one by one.
const handful = 5

// LongerProblems refuses lines by the cells that Longer found.
func (s *Sheet) LongerProblems(cells []Cell) (ps []estimate.Problem) {
	do := map[rune]string{
		';': "put a field with a semicolon in it between quotation marks", '\t': "put a field with a tab in it between quotation marks",
	}[s.divider]
	if do == "" {
		do = `put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields`
	}
	if n := len(cells); n > handful {
		return []estimate.Problem{cells[0].Problem(estimate.Error,
			fmt.Sprintf("%d lines, the first here, have more fields than the header and are not used", n), do)}
	}
	for _, c := range cells {
		ps = append(ps, c.Problem(estimate.Error,
			fmt.Sprintf("the line has more fields than the header: field %d is %q; the line is not used", c.Place.Col, Excerpt(c.Word())), do))
	}
	return ps
}
