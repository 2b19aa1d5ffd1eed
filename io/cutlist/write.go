package cutlist

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"strconv"

	"sillwright/estimate/cut"
	"sillwright/io/sheet"
)

// CSV returns the plan as a table of a row a part, piece or offcut, board after
// board and each in cutting order. The price stands once a board, so
// that its column adds up to the cost. Text that a spreadsheet program would
// run as a formula is guarded.
func (c Cutting) CSV() ([]byte, error) {
	var data bytes.Buffer
	w := csv.NewWriter(&data)
	unit := " (" + c.UnitWord() + ")"
	_ = w.Write([]string{"board", "pattern", "stock", "stock length" + unit, "price", "position", "part",
		"length" + unit, "written", "label", "on hold", "factory end", "start" + unit}) // Flush has the error
	board := 0
	for k, l := range c.Layouts() {
		for _, i := range l.Boards {
			board++
			for _, fields := range c.boardRows(c.Plan.Boards[i]) {
				_ = w.Write(append([]string{strconv.Itoa(board), strconv.Itoa(k + 1)}, fields...))
			}
		}
	}
	w.Flush()
	return data.Bytes(), w.Error()
}

// boardRows returns the fields of a board's rows, from its stock on.
func (c Cutting) boardRows(b cut.Board) (rows [][]string) {
	s := c.Stocks[b.Stock]
	position := 0
	for k, part := range c.Parts(b) {
		row := []string{sheet.GuardCSV(cmp.Or(s.Name, c.WithUnit(s.Length))), c.Decimal(s.Length), "", "", "offcut",
			c.Decimal(part.Length), c.WithUnit(part.Length), "", "", "", c.Decimal(part.Start)}
		if k == 0 {
			row[2] = c.Price(s.Price)
		}
		if part.Piece != Offcut {
			p := c.Pieces[part.Piece]
			position++
			row[3], row[4] = strconv.Itoa(position), "piece"
			row[7], row[8], row[9] = sheet.GuardCSV(p.Label), yes(p.Held), yes(p.FactoryEnd)
		}
		rows = append(rows, row)
	}
	return rows
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}
