package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// madeUp makes a sheet of rows that start at A1, with a table of the workbook
// whose heads stand in one of them and which ends at another. A cell that starts
// with = is a formula; its value is 1.
func madeUp(b writtenBook, name string, head, last int, rows ...[]string) *readSheet {
	s := newReadSheet(name)
	for i, row := range rows {
		for j, value := range row {
			c := writtenCell{row: i + 1, col: j + 1, value: value, text: strings.Trim(value, "0123456789.") != ""}
			if formula, ok := strings.CutPrefix(value, "="); ok {
				c.value, c.formula, c.text = "1", formula, false
			}
			if value != "" {
				s.put(c)
			}
		}
	}
	s.heads = []headRow{newHeadRow(head, s.cells[head])}
	s.tables = []tableRange{{name + "Rows", head, last, 1, len(rows[head-1])}}
	s.nameRows()
	b.known[name] = s
	return s
}

// smallBook holds two tables that refer to each other: rows of a takeoff, of
// which each adds to the row before it of the same item, and prices by supplier
// and item.
func smallBook(t *testing.T, more ...string) writtenBook {
	b := writtenBook{t: t, known: map[string]*readSheet{}}
	var takeoff [][]string
	price := map[string]int{"strip": 3, "nail": 4, "shim": 5}
	above := map[string]int{}
	for _, item := range slices.Concat([]string{"strip", "nail"}, more, []string{"strip", "nail"}) {
		row := len(takeoff) + 3
		so := fmt.Sprintf("=D%d", row)
		if above[item] > 0 {
			so = fmt.Sprintf("=F%d+D%d", above[item], row)
		}
		above[item] = row
		takeoff = append(takeoff, []string{"W1", item, "2", fmt.Sprintf("=C%d*3", row), fmt.Sprintf("=D%d*Prices!$C$%d", row, price[item]), so})
	}
	last := len(takeoff) + 2
	takeoff = append(takeoff, []string{"Sum", "", "", "", fmt.Sprintf("=SUM(E3:E%d)", last)})
	head := []string{"Mark", "Item", "Count", "Length", "Cost", "So far"}
	madeUp(b, "Takeoff", 2, last, slices.Concat([][]string{{"Takeoff"}, head}, takeoff)...)
	madeUp(b, "Prices", 2, 5, []string{"Prices"}, []string{"Supplier", "Item", "Price", "Needed"},
		[]string{"Yard", "strip", "5", fmt.Sprintf("=SUMIF(Takeoff!$B$3:$B$%d,B3,Takeoff!D3:D%d)", last, last)},
		[]string{"Yard", "nail", "6", fmt.Sprintf("=SUMIF(Takeoff!$B$3:$B$%d,B4,Takeoff!D3:D%d)", last, last)},
		[]string{"Mill", "shim", "7", fmt.Sprintf("=SUMIF(Takeoff!$B$3:$B$%d,B5,Takeoff!D3:D%d)", last, last)})
	return b
}

func TestGoldenText(t *testing.T) {
	assert.Equal(t, `=== Takeoff
Takeoff
# TakeoffRows: Mark | Item | Count | Length | Cost | So far
  Length = {Count}*3
  Cost = {Length}*Prices!{Price}[Yard/nail]
  Cost {2} = {Length}*Prices!{Price}[Yard/strip]
  So far = {Length}
  So far {2} = {So far}[prev Item]+{Length}
W1 | strip | 2 | =1 | =1 {2} | =1
W1 | nail | 2 | =1 | =1 | =1
W1 | strip | 2 | =1 | =1 {2} | =1 {2}
W1 | nail | 2 | =1 | =1 | =1 {2}
--
Sum |  |  |  | =1 {SUM({Cost}[:])}
=== Prices
Prices
# PricesRows: Supplier | Item | Price | Needed
  Needed = SUMIF(Takeoff!{Item}[:],{Item},Takeoff!{Length}[:])
Yard | strip | 5 | =1
Yard | nail | 6 | =1
Mill | shim | 7 | =1
`, smallBook(t).text("Takeoff", "Prices"))
}

// A row that is put between others is one more line, and no other line changes:
// neither those below it, nor the formulas that add it up.
func TestGoldenTextOfOneMoreRow(t *testing.T) {
	before := strings.Split(smallBook(t).text("Takeoff", "Prices"), "\n")
	after := strings.Split(smallBook(t, "shim").text("Takeoff", "Prices"), "\n")
	at := slices.Index(after, "W1 | shim | 2 | =1 | =1 {{Length}*Prices!{Price}[Mill/shim]} | =1")
	require.Positive(t, at)
	assert.Equal(t, before, slices.Delete(after, at, at+1))
}

// Texts that could be taken for a number or a sign stand in quotes, and rows that
// repeat are counted.
func TestGoldenTextOfValues(t *testing.T) {
	b := writtenBook{t: t, known: map[string]*readSheet{}}
	s := madeUp(b, "Values", 1, 3, []string{"One", "Two"}, []string{"3", "4"}, []string{"=A2", "{x}"}, nil,
		[]string{"(1 empty)"}, []string{"a | b"}, []string{"a | b"})
	c := s.cells[2][1]
	c.text = true
	s.put(c)
	assert.Equal(t, []string{
		"# ValuesRows: One | Two", `  One = {One}["3"]`, `"3" | 4`, `=1 | "{x}"`, "(1 empty)", `"(1 empty)"`, `"a | b"`, "(1 more like it)",
	}, s.lines(b))
}

// faulty returns a formula with one of its references in each wrong way, by what
// is wrong; the sheets are those of the workbook.
func (d dissected) faulty(n int, sheets []string) map[string]string {
	r := d.references[n]
	out := map[string]string{}
	spoil := func(what string, spoilt reference) {
		if spoilt.row > 0 && spoilt.col > 0 && spoilt.toRow > 0 && spoilt.toCol > 0 {
			out[what] = d.with(n, spoilt)
		}
	}
	for step, word := range map[int]string{1: "below", -1: "above"} {
		moved, widened, shortened := r, r, r
		moved.row, moved.toRow = r.row+step, r.toRow+step
		widened.toRow += step
		shortened.row += step
		spoil("a row "+word, moved)
		if r.isRange {
			spoil("ends a row "+word, widened)
			spoil("starts a row "+word, shortened)
		}
	}
	for step, word := range map[int]string{1: "right", -1: "left"} {
		moved, widened := r, r
		moved.col, moved.toCol = r.col+step, r.toCol+step
		widened.toCol += step
		spoil("a column "+word, moved)
		if r.isRange {
			spoil("ends a column "+word, widened)
		}
	}
	other := r
	other.prefix = "'" + sheets[0] + "'!"
	if r.sheet.name == sheets[0] {
		other.prefix = "'" + sheets[1] + "'!"
	}
	spoil("on another sheet", other)
	if !r.isRange {
		other = r
		other.isRange = true
		spoil("a range", other)
	}
	return out
}

// with puts another reference in the place of one.
func (d dissected) with(n int, other reference) string {
	var out strings.Builder
	for i, r := range d.references {
		if i == n {
			r = other
		}
		out.WriteString(d.texts[i] + r.prefix + estimate.CellName(r.row, r.col))
		if r.isRange {
			out.WriteString(":" + estimate.CellName(r.toRow, r.toCol))
		}
	}
	return out.String() + d.texts[len(d.texts)-1]
}

// Every sort of formula of an estimate and of a comparison, with each of its
// references a row or a column off, on another sheet, or a row too long or too
// short, makes another text; so does another value.
func TestGoldenTextShowsFaults(t *testing.T) {
	folders := jobFolders(t)
	inTemp(t)
	j := folders["formed-pan-windows"].estimate(t, "formed-pan-windows")
	folders["one-window"].estimate(t, "one-window")
	sillwright("compare", "formed-pan-windows-estimate.xlsx", "one-window-estimate.xlsx", "--out", "comparison.xlsx")
	comparison := open(t, "comparison.xlsx")
	assert.Greater(t, j.written.showsFaults(append(j.written.results(), "Other costs", "Labor")), 1000)
	assert.Greater(t, comparison.showsFaults(comparison.sheets), 200)
}

// showsFaults plants faults in the first formula of each sort below each row of
// heads, one at a time, and returns how many.
func (b writtenBook) showsFaults(sheets []string) int {
	b.t.Helper()
	planted := 0
	for _, name := range sheets {
		s := b.sheet(name)
		right := s.lines(b)
		seen := map[string]bool{}
		for _, row := range slices.Sorted(maps.Keys(s.cells)) {
			for _, col := range slices.Sorted(maps.Keys(s.cells[row])) {
				c := s.cells[row][col]
				d := s.dissect(b, c.formula)
				h, _ := s.headsOver(row)
				sort := fmt.Sprint(h.row, d.pattern())
				if c.formula == "" || seen[sort] {
					continue
				}
				seen[sort] = true
				for what, fault := range b.faults(s, c) {
					s.cells[row][col] = fault
					planted++
					assert.NotEqual(b.t, right, s.lines(b), "%s!%s %s: %s", name, estimate.CellName(row, col), what, fault.formula)
				}
				for n := range d.references {
					s.cells[row][col] = writtenCell{row, col, c.value, d.with(n, d.references[n]), c.text}
					require.Equal(b.t, right, s.lines(b), "put together again: %s", c.formula)
				}
				s.cells[row][col] = c
			}
		}
	}
	return planted
}

// faults returns a cell with each fault, by what it is.
func (b writtenBook) faults(s *readSheet, c writtenCell) map[string]writtenCell {
	out := map[string]writtenCell{
		"another value": {c.row, c.col, c.value + "1", c.formula, c.text},
		"no formula":    {c.row, c.col, c.value, "", c.text},
	}
	d := s.dissect(b, c.formula)
	for n := range d.references {
		for what, formula := range d.faulty(n, b.sheets) {
			out[fmt.Sprintf("reference %d %s", n+1, what)] = writtenCell{c.row, c.col, c.value, formula, c.text}
		}
	}
	return out
}
