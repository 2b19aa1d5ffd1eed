package main

import (
	"encoding/csv"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// byTheFoot turns the prices of boards in a price list into prices by the foot, where
// those have no more than four decimals, and returns how many it turned.
func byTheFoot(t *testing.T, list string) (string, int) {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(list)).ReadAll()
	require.NoError(t, err)
	turned := 0
	for _, l := range lines[1:] {
		content, err := measure.ParseContent(l[4], "")
		require.NoError(t, err)
		p, err := measure.ParseUnitPrice(l[6])
		require.NoError(t, err)
		if a := new(big.Rat).Quo(big.NewRat(int64(p), 1), content.Number); l[5] == "board" && a.IsInt() {
			l[5], l[6] = "LF", plainText(measure.UnitPrice(a.Num().Int64()))
			turned++
		}
	}
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(lines))
	return b.String(), turned
}

// TestBoardsByTheFoot: the demo's boards priced by the foot make the demo's total, their
// prices stand in the estimate as those of a board, and an estimate is not turned again,
// nor is what was typed into it.
func TestBoardsByTheFoot(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	list, turned := byTheFoot(t, read(t, "demo/prices.csv"))
	assert.Equal(t, 19, turned, "of the demo's 30 boards")
	assert.Contains(t, list, "16 ft,LF,1.45,")
	write(t, "feet.csv", list)
	const total = "19,416.01 USD" // of the demo, with prices of boards
	estimated := func(args ...string) ran {
		return succeed(t, append([]string{"estimate", "demo/duplex.xlsx", "--prices", "feet.csv", "--out", "."}, args...)...)
	}
	r := estimated()
	assert.Contains(t, r.stdout, total)
	assert.Contains(t, r.stderr, `feet.csv: line 2, unit: note: prices by a measure are turned into that of the content: 19 by "LF", such as 1.41, which is 11.28 for "8 ft"`)
	const target = "duplex-estimate.xlsx"
	b := open(t, target)
	at := b.cellAt("Prices", "Code", "0416", "Price")
	row := b.table("Prices", "Supplier", "Item", "Code", "Price")[5]
	assert.Equal(t, []string{"0416", "16 ft", "each", "23.2"}, []string{row["Code"], row["Content"], row["Unit"], row["Price"]})

	again := succeed(t, "estimate", target, "--out", "again")
	assert.Contains(t, again.stdout, total)
	assert.NotContains(t, again.stderr, "by a measure")

	edit(t, target, target, map[string]any{at: 24})
	kept := estimated("--force", "--keep-edits")
	assert.Contains(t, kept.stderr, `Price of "North Yard (invented), board-1x4, 16 ft, 0416" is "24", "23.2" when estimated: carried over`)
	row = open(t, target).table("Prices", "Supplier", "Item", "Code", "Price")[5]
	assert.Equal(t, []string{"0416", "each", "24"}, []string{row["Code"], row["Unit"], row["Price"]})
}

// TestQuotesByTheFoot: a quote by the foot is compared as one by the board is, and asks
// the same for all.
func TestQuotesByTheFoot(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	list, _ := byTheFoot(t, ownPrices(t))
	quotes := []string{}
	for name, data := range map[string]string{"boards": ownPrices(t), "feet": list} {
		rows, err := csv.NewReader(strings.NewReader(data)).ReadAll()
		require.NoError(t, err)
		for _, r := range rows[1:] {
			r[0] = name
		}
		var b strings.Builder
		require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
		write(t, name+".csv", b.String())
		quotes = append(quotes, name+".csv")
	}
	r := succeed(t, append([]string{"compare", "demo/duplex-estimate.xlsx"}, quotes...)...)
	assert.Contains(t, r.stderr, `feet.csv: line 2, unit: note: prices by a measure are turned`)
	var all []string
	for _, line := range strings.Split(r.stdout, "\n") {
		if f := strings.Fields(line); len(f) > 3 && (f[0] == "boards" || f[0] == "feet") {
			all = append(all, strings.Join(f[1:], " "))
		}
	}
	require.Len(t, all, 2, r.stdout)
	assert.Equal(t, all[0], all[1], r.stdout)
}

// TestShownIsReadCounts: how many openings a row shows is how many are read, by check and
// by import alike, or the row is refused with the header or the cell named. Each case
// says what a person sees (the header before the size, and its cells), how many openings
// are read (-1 = none is), and what is said; what is refused ends in a code for it.
func TestShownIsReadCounts(t *testing.T) {
	const asked = "may be how many openings a row stands for, and no column Qty does (rename it Qty"
	const part = "may be how many openings of that part of the job a row stands for, and no column Qty says how many they are in all (add a column Qty"
	const unheaded = "a column without a header may be how many openings a row stands for, and no column Qty does (head it Qty"
	for _, c := range []struct {
		why, head, rows string
		openings        int
		refused         bool
		says            string
	}{
		{"a mark that is a number", "No.", "1;2;3", 3, false, ""},
		{"a mark that is a number, from 100", "#", "101;204;103", 3, false, ""},
		{"a mark in letters", "No.", "A;B", 2, false, ""},
		{"counts and no mark", "No.", "2;1;4", -1, true, asked},
		{"counts and no mark, with a sum", "#", "2;1;4;Total", -1, true, asked},
		{"lines beside marks", "Mark,No.", "W1,1;W2,2;W3,3;W4,4", 4, false, ""},
		{"lines or counts", "Mark,No.", "W1,1;W2,2;W3,3", -1, true, asked},
		{"counts beside marks", "Mark,#", "W1,2;W2,2;W3,1", -1, true, asked},
		{"door numbers beside marks", "Mark,#", "W1,101;W2,102", 2, false, ""},
		{"words beside marks", "Mark,No.", "W1,a-1;W2,a-2", 2, false, ""},
		{"Number counts", "Mark,Number", "W1,2;W2,3", 5, false, ""},
		{"Number of lines", "Mark,Number", "W1,1;W2,2;W3,3;W4,4", 4, false, ""},
		{"lines beside Qty", "Mark,Qty,No.", "W1,2,1;W2,2,2", 4, false, ""},
		{"a column of nothing", "Mark,Total", "W1,;W2,", 2, false, ""},
		{"sets of hardware", "Mark,Sets", "W1,HW-1;W2,HW-1", 2, false, ""},
		{"sets of openings", "Mark,Sets", "W1,2;W2,1", -1, true, asked},
		{"required", "Mark,No. req’d", "W1,2;W2,1", 3, false, ""},
		{"each in brackets", "Mark,Qty (ea)", "W1,2;W2,1", 3, false, ""},
		{"of windows", "Mark,# of windows", "W1,2;W2,1", 3, false, ""},
		{"units of what", "Mark,# of units", "W1,2;W2,1", -1, true, asked},
		{"a part of them", "Mark,Qty shipped", "W1,2;W2,1", -1, true, asked},
		{"screens", "Mark,Screen qty", "W1,2;W2,1", 2, false, ""},
		{"the same twice", "Mark,Qty,Count", "W1,2,2;W2,1,1", 3, false, ""},
		{"two counts that differ in a row", "Mark,Qty,Count", "W1,2,3;W2,1,1", 1, true, "Count is 3, and Qty is 2: how many openings are they?"},
		{"a blank Qty beside a count", "Mark,Qty,Total qty", "W1,,3;W2,1,1", 1, true, "Total qty is 3, and Qty is blank: how many openings are they?"},
		{"a blank Qty beside a total", "Mark,Qty,Total", "W1,,3;W2,1,1", 1, true, "Total is 3, and Qty is blank: how many openings are they?"},
		{"a total that differs", "Mark,Qty,Total", "W1,2,6;W2,1,3", 3, false, "warning: Total is 6, and Qty is 2"},
		{"instances", "Mark,Instances", "W1,4;W2,1", -1, true, asked},
		{"pairs", "Mark,Pairs", "W1,2;W2,1", -1, true, asked},
		{"a sum", "Mark,Sum", "W1,4;W2,1", -1, true, asked},
		{"buildings", "Mark,Bldg A,Bldg B", "W1,4,3;W2,1,1", -1, true, part},
		{"floors", "Mark,1st Fl,2nd Fl,Attic", "W1,4,2,1;W2,1,,", -1, true, part},
		{"sides", "Mark,North,South", "W1,4,2;W2,1,", -1, true, part},
		{"sides that are ticked", "Mark,North,South", "W1,x,;W2,,x", 2, false, ""},
		{"buildings beside Qty", "Mark,Qty,Bldg A,Bldg B", "W1,7,4,3;W2,2,1,1", 9, false, ""},
		{"buildings beside a blank Qty", "Mark,Qty,Bldg A", "W1,,4;W2,2,2", 2, true, "Bldg A is 4, and Qty is blank: how many openings are they?"},
		{"no heading over counts", "Mark,", "W1,4;W2,1", -1, true, unheaded},
		{"no heading over one count", "Mark,", "W1,4;W2,", -1, true, unheaded},
		{"no heading over lines", "Mark,", "W1,1;W2,2;W3,3;W4,4", 4, false, ""},
		{"no heading over words", "Mark,", "W1,a;W2,2", 2, false, ""},
		{"no heading beside Qty", "Mark,Qty,", "W1,2,4;W2,1,1", 3, false, ""},
		{"a total in money", "Mark,Qty,Total", "W1,2,$900.00;W2,1,$450.00", 3, false, ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			inTemp(t)
			var b strings.Builder
			b.WriteString("Kind," + c.head + ",Frame width,Frame height,Supplied by\n")
			for i, row := range strings.Split(c.rows, ";") {
				if row == "Total" {
					b.WriteString(",Total,,,\n")
					continue
				}
				b.WriteString("window," + row + "," + []string{"36,60", "24,36", "48,48", "30,30"}[i] + ",owner\n")
			}
			write(t, "list.csv", b.String())
			openings := plural(c.openings, "opening")
			wants := map[string][2]string{"check": {"", "list.csv: " + openings + ", "}, "import": {"--out x.xlsx --units in", openings + " taken"}}
			for command, want := range wants {
				r := sillwright(append([]string{command, "list.csv"}, strings.Fields(want[0])...)...)
				code := exitOK
				switch {
				case c.openings < 0 && (command == "import" || c.head == "No." || c.head == "#"): // without marks no row can be left out
					code = exitNothing
				case c.refused:
					code = exitIncomplete
				}
				assert.Equal(t, code, r.code, "%s\n%s%s", command, r.stdout, r.stderr)
				if c.openings >= 0 {
					assert.Contains(t, r.stdout, want[1], "%s%s", command, r.stderr)
				}
				assert.Contains(t, r.stderr, c.says, command)
				if c.refused {
					assert.Regexp(t, `list\.csv: lines? \d.*: error: `, r.stderr, command)
				}
			}
		})
	}
}

// TestShownIsReadLines: each line of a CSV file is read as a person sees it, or it is
// refused, by its number in the file: schedules, lists to import, pieces and stock.
func TestShownIsReadLines(t *testing.T) {
	const longer = "the line has more fields than the header: field "
	const schedule, list, stock = "Mark,Kind,Supplied by,Frame width,Frame height\n", "Mark,Type,Frame width,Frame height\n", "length,price\n144,10\n"
	for _, c := range []struct {
		why, command, text string
		code               int
		reads, says        string // in the results, in the messages
	}{
		{"a decimal comma", "check list.csv", schedule + "W1,window,owner,35,5,59\nW2,window,owner,36,60\n", exitIncomplete,
			"list.csv: 1 opening, 1 row left out, 1 error", "list.csv: line 2: error: " + longer + `6 is "59"; the line is not used (put a field with a comma`},
		{"a comma in a kind", "check list.csv", schedule + "W1,\"window\",owner,36,60\nW2,window, double hung,owner,36,60\n", exitIncomplete,
			"list.csv: 1 opening, 1 row left out", "list.csv: line 3: error: " + longer + `6 is "60"`},
		{"blank fields behind", "check list.csv", schedule + "W1,window,owner,36,60,,,\n", exitOK, "list.csv: 1 opening, 0 rows left out", ""},
		{"a field of three lines", "check list.csv", schedule + "\"W\n1\na\",window,owner,36,60\nW2,window,owner,36,6O\n", exitIncomplete,
			"list.csv: 1 opening, 1 row left out", "list.csv: line 5, Frame height: error: "},
		{"returns alone", "check list.csv", strings.ReplaceAll(schedule+"W1,window,owner,36,60\nW2,window,owner,24,36\n", "\n", "\r"), exitOK,
			"list.csv: 2 openings", ""},
		{"two returns", "check list.csv", strings.ReplaceAll(schedule+"W1,window,owner,36,60\nW2,window,owner,24,36\n", "\n", "\r\r\n"), exitOK,
			"list.csv: 2 openings", ""},
		{"mixed ends", "check list.csv", schedule + "W1,window,owner,36,60\rW2,window,owner,24,36\r\nW3,window,owner,36,6O\n", exitIncomplete,
			"list.csv: 2 openings, 1 row left out", "list.csv: line 4, Frame height: error: "},
		{"import: a decimal comma", "import list.csv --out x.xlsx --units in", list + "W1,window,35,5,59\nW2,window,36,60\n", exitIncomplete,
			"1 opening taken", "list.csv: line 2: error: " + longer + `5 is "59"`},
		{"import: mixed ends", "import list.csv --out x.xlsx --units in", list + "W1,window,36,60\rW2,window,24,36\r\r\nW3,window,24,24\n", exitOK,
			"3 openings taken", ""},
		{"pieces: a decimal comma", "cut list.csv --stock stock.csv", "length,count\n35,5,2\n36,1\n", exitIncomplete, "",
			"list.csv: line 2: error: " + longer + `3 is "2"`},
		{"pieces: mixed ends", "cut list.csv --stock stock.csv", "length,count\n35,2\r36,1\r\n37,1\n", exitOK, "1 x 37; 1 x 36; 2 x 35", ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			inTemp(t)
			write(t, "list.csv", c.text)
			write(t, "stock.csv", stock)
			r := sillwright(strings.Fields(c.command)...)
			assert.Equal(t, c.code, r.code, "%s%s", r.stdout, r.stderr)
			assert.Contains(t, r.stdout, c.reads, r.stderr)
			assert.Contains(t, r.stderr, c.says)
		})
	}
}

// TestLongLineStaysLeftOut: an estimate of a schedule with a line that could not be read
// lacks that opening when it is read again too.
func TestLongLineStaysLeftOut(t *testing.T) {
	inTemp(t)
	write(t, "own.csv", ownPrices(t))
	write(t, "list.csv", "Mark,Kind,Supplied by,Frame width,Frame height\nW1,window,owner,35,5,59\nW2,window,owner,36,60\n")
	r := sillwright("estimate", "list.csv", "--prices", "own.csv")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	assert.Contains(t, r.stdout, "1 row left out")
	again := sillwright("check", "list-estimate.xlsx")
	assert.Equal(t, exitIncomplete, again.code, again.stderr)
	assert.Contains(t, again.stdout, "list-estimate.xlsx: 1 opening, 1 row left out")
	assert.Contains(t, again.stderr, "Kind is blank")
}
