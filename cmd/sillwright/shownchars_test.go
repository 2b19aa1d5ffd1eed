package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestShownIsReadCharacters: what no cell of a workbook can hold costs its row, never the
// job, and is refused again where the estimate is read; spaces at the ends cost nothing.
func TestShownIsReadCharacters(t *testing.T) {
	inTemp(t)
	write(t, "own.csv", ownPrices(t))
	const refused = " holds a control character (type the text again)"
	for _, c := range []struct {
		shown, column, cell string
		code                int
		reads, says, again  string // of the schedule, in its messages, of the estimate
	}{
		{"nothing", "Unit cost", "\x01", exitIncomplete, "1 opening, 1 row left out", `"\x01"` + refused, "1 opening, 1 row left out, 1 error"},
		{"36 1/2", "Frame width", "36\x01 1/2", exitIncomplete, "1 opening, 1 row left out", `"36\x01 1/2"` + refused, "1 opening, 1 row left out, 1 error"},
		{"no mark", "Mark", "\x02", exitIncomplete, "1 opening, 1 row left out", `"\x02"` + refused, "1 opening, 1 row left out, 1 error"},
		{"250, in two lines", "Unit cost", "\v250\v", exitIncomplete, "1 opening, 1 row left out", `"250"` + refused, "1 opening, 1 row left out, 1 error"},
		{"to be decided, and a space", "Unit cost", "tbd ", exitOK, "2 openings, 0 rows left out", `Unit cost "tbd" holds no amount`, "2 openings, 0 rows left out"},
		{"250, and a line end", "Unit cost", "\"250\n\"", exitOK, "2 openings, 0 rows left out", "", "2 openings, 0 rows left out"},
	} {
		t.Run(c.column+" "+c.shown, func(t *testing.T) {
			values := map[string]string{"Mark": "W1", "Frame width": "36", "Unit cost": ""}
			values[c.column] = c.cell
			write(t, "list.csv", "Mark,Kind,Frame width,Frame height,Supplied by,Unit cost\n"+
				values["Mark"]+",window,"+values["Frame width"]+",60,builder,"+values["Unit cost"]+"\nW2,window,36,60,owner,\n")
			r := sillwright("check", "list.csv")
			assert.Equal(t, c.code, r.code, r.stderr)
			assert.Contains(t, r.stdout, "list.csv: "+c.reads)
			assert.Contains(t, r.stderr, c.says)
			r = sillwright("estimate", "list.csv", "--prices", "own.csv", "--force", "--drop-edits")
			assert.Equal(t, c.code, r.code, r.stderr)
			r = sillwright("check", "list-estimate.xlsx")
			assert.Equal(t, c.code, r.code, r.stderr)
			assert.Contains(t, r.stdout, "list-estimate.xlsx: "+c.again)
		})
	}
}
