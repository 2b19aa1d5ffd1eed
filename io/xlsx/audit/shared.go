package audit

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// Spread gives every cell of a sheet its formula: of one that shares that of a cell above
// it, with the rows that are not fixed moved down (ECMA-376-1, 18.3.1.40). It returns
// what is wrong with shared ones.
func Spread(rows []RowXML) (faults []string) {
	type shared struct {
		row, col int
		text     string
		area     string
	}
	first := map[int]shared{}
	for i := range rows {
		for k := range rows[i].Cells {
			c := &rows[i].Cells[k]
			f := c.Stored
			if f == nil {
				continue
			}
			c.F = &f.Text
			if f.Kind != "shared" {
				continue
			}
			col, row, err := excelize.CellNameToCoordinates(c.R)
			if err != nil {
				continue // said of the cell
			}
			if f.Area != "" {
				if _, twice := first[f.ID]; twice {
					faults = append(faults, fmt.Sprintf("%s: shared formula %d is there twice", c.R, f.ID))
				}
				first[f.ID] = shared{row, col, f.Text, f.Area}
				continue
			}
			of, known := first[f.ID]
			_, last, _ := strings.Cut(of.area, ":")
			lastCol, lastRow, err := excelize.CellNameToCoordinates(last)
			if !known || err != nil || col != of.col || lastCol != of.col || row <= of.row || row > lastRow {
				faults = append(faults, fmt.Sprintf("%s: shared formula %d is none of its column", c.R, f.ID))
				continue
			}
			text := movedDown(of.text, row-of.row)
			c.F = &text
		}
	}
	return faults
}

// movedDown returns a formula as it is so many rows further down.
func movedDown(f string, rows int) string {
	var b strings.Builder
	for rest := f; rest != ""; {
		var token string
		token, rest = formula.NextToken(rest)
		if strings.HasPrefix(rest, "(") || strings.HasPrefix(rest, "!") || !formula.Moves(token) {
			b.WriteString(token)
			continue
		}
		column := strings.TrimRight(token, "0123456789")
		row, _ := strconv.Atoi(token[len(column):]) // digits
		b.WriteString(column + strconv.Itoa(row+rows))
	}
	return b.String()
}
