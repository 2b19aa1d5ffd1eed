package schedule

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// EditKind says what somebody did to an input sheet of an estimate.
type EditKind int

// A cell was changed; a row was added, removed, or moved where the order has a meaning; a
// sheet was added that is not one of an estimate; something was typed over a result.
const (
	CellChanged EditKind = iota
	RowAdded
	RowRemoved
	RowMoved
	SheetAdded
	ResultChanged
)

// Edit is something that was typed into an estimate since it was made.
type Edit struct {
	Kind     EditKind
	Place    estimate.Place // of the cell, or of the row; of a removed row the sheet
	Sheet    string         // of the inputs
	Key      []string       // by which its row is found in another file: of a price supplier, item, content and code
	Nth      int            // of the rows with that key, from 0
	Column   string         // of a changed cell
	Was, Now sheet.Cell     // of a changed cell; a blank one is empty
	row      inputRow       // as it is now; of a removed row as it was
	words    string         // of a result that was changed
}

// OverResult is the edit of a result that no reading of the estimate uses, as the problem
// says of it.
func OverResult(p estimate.Problem) Edit {
	return Edit{Kind: ResultChanged, Place: p.Place, Sheet: p.Place.Sheet, words: p.What}
}

// CountTyped is a count typed over the result of a line of Materials: its override.
func CountTyped(l pricing.Planned, count int64) Edit {
	key := sheet.Cell{Kind: sheet.Text, Text: l.Key}
	now := sheet.Cell{Kind: sheet.Number, Number: float64(count), Text: strconv.FormatInt(count, 10)}
	e := Edit{Kind: CellChanged, Place: l.Count.Place, Sheet: MaterialsSheet, Key: []string{l.Key}, Column: "Override", Now: now}
	e.row.put("Key", key)
	e.row.put("Override", now)
	return e
}

// PriceTyped is a price typed over the result of a line of Materials: that of its offer.
func PriceTyped(lines []pricing.Planned, o pricing.Offer, was measure.UnitPrice) Edit {
	cell := func(p measure.UnitPrice) sheet.Cell {
		return sheet.Cell{Kind: sheet.Number, Number: float64(p) / 10_000, Text: p.String()}
	}
	e := Edit{Kind: CellChanged, Place: o.Place, Sheet: PricesSheet, Key: []string{o.Supplier, o.Item, o.Content, o.Code}, Column: "Price",
		Was: cell(was), Now: cell(o.Price)}
	e.row.put("Price", e.Now)
	for _, l := range lines {
		if l.Item == o.Item && l.Supplier == o.Supplier && l.Price.Typed && l.Price.Value == estimate.Given(o.Price) {
			e.Place = l.Price.Place
		}
	}
	return e
}

// Edited is what an estimate holds beyond what it was made from.
type Edited struct {
	Older    bool // it is of an earlier version, and was held against the schedule
	Edits    []Edit
	bare     measure.Unit // of its numbers without a unit
	details  []inputRow   // the rows of Details as they are now
	date1904 bool
}

// IsEstimate reports whether a book has the sheets of an estimate.
func IsEstimate(b *sheet.Book) bool {
	return b.Sheet(OpeningsSheet) != nil && b.Sheet(MaterialsSheet) != nil
}

// EditsSince returns the edits of an estimate, by its hidden sheet; false when it has
// none, as those of earlier versions. Hidden is the book with that sheet, estimate that
// with the others.
func EditsSince(b, hidden *sheet.Book) (Edited, bool) {
	s := hidden.Sheet(WhenEstimatedSheet)
	if s == nil || s.Skipped {
		return Edited{}, false
	}
	was, kept := whenEstimated(s)
	others := was.forget(kept)
	out := heldAgainst(was, typedInputs(b, was), false, others)
	out.date1904 = b.Date1904
	return out, true
}

// SheetsAdded returns the sheets of an estimate that are neither inputs nor results.
func SheetsAdded(b *sheet.Book, results []string) (out []Edit) {
	for _, s := range b.Sheets {
		if !Wanted(s.Name) && !isOne(results, s.Name) {
			out = append(out, Edit{Kind: SheetAdded, Sheet: s.Name, Place: estimate.Place{Sheet: s.Name}})
		}
	}
	return out
}

// EditsBetween returns in what an estimate of an earlier version differs from one that
// was made of the same schedule just now. Older is that estimate as it is written now,
// so that places are sheets only.
func EditsBetween(older, fresh *sheet.Book) Edited {
	was := typedInputs(fresh, inputSet{})
	out := heldAgainst(was, typedInputs(older, was), true, nil)
	out.Older = true
	for i := range out.Edits {
		e := &out.Edits[i]
		e.Place = estimate.Place{Sheet: e.Sheet, Column: e.Column}
	}
	return out
}

// heldAgainst holds the inputs of an estimate against what they were; more are edits that
// are known already.
func heldAgainst(was, now inputSet, byKey bool, more []Edit) Edited {
	out := Edited{Edits: more, bare: measure.Inches, details: now[DetailsSheet]}
	for _, r := range now[JobSheet] {
		if _, mm := plainWords([]string{"mm"}).Find(r.cells["Value"].Text); mm && r.cells["Key"].Word() == "units" {
			out.bare = measure.Millimeters
		}
	}
	for _, t := range inputTables {
		out.Edits = append(out.Edits, t.edits(was[t.sheet], now[t.sheet], byKey || !t.numbered)...)
	}
	return out
}

// edits returns what was done to a sheet. Rows are found by their numbers, those that
// are left by their keys.
func (t inputTable) edits(was, now []inputRow, byKey bool) (out []Edit) {
	same := t.pairs(was, now, byKey)
	wasNth, nowNth := t.counted(was), t.counted(now)
	there, last := map[int]bool{}, -1
	for i, r := range now {
		k, known := same[i]
		there[k] = there[k] || known
		if known && t.sheet == DetailsSheet && k < last && !t.blank(was[k]) {
			out = append(out, Edit{Kind: RowMoved, Place: r.place, Sheet: t.sheet, Key: t.key(was[k]), Nth: wasNth[k], row: r})
		}
		if known {
			last = max(last, k)
		}
		switch {
		case known && (t.only != "" || !t.blank(was[k])):
			out = append(out, t.changes(was[k], r, wasNth[k])...)
		case t.blank(r):
		case t.only != "":
			out = append(out, t.changes(inputRow{cells: map[string]sheet.Cell{t.keys[0]: r.cells[t.keys[0]]}}, r, 0)...)
		default:
			out = append(out, Edit{Kind: RowAdded, Place: r.place, Sheet: t.sheet, Key: t.key(r), Nth: nowNth[i], row: r})
		}
	}
	for i, r := range was {
		if !there[i] && !t.blank(r) {
			out = append(out, Edit{Kind: RowRemoved, Place: estimate.Place{Sheet: t.sheet}, Sheet: t.sheet, Key: t.key(r), Nth: wasNth[i], row: r})
		}
	}
	return out
}

// pairs returns which row of before each row is, by its index.
func (t inputTable) pairs(was, now []inputRow, byKey bool) map[int]int {
	same, taken := map[int]int{}, map[int]bool{}
	pair := func(name func(inputRow) string) {
		before := map[string][]int{}
		for k, r := range was {
			if n := name(r); n != "" && !taken[k] {
				before[n] = append(before[n], k)
			}
		}
		for i, r := range now {
			n := name(r)
			if _, paired := same[i]; paired || len(before[n]) == 0 {
				continue
			}
			k := before[n][0]
			before[n], taken[k], same[i] = before[n][1:], true, k
		}
	}
	if !byKey {
		pair(func(r inputRow) string { return r.number })
	}
	pair(func(r inputRow) string {
		if len(filled(t.key(r))) == 0 {
			return ""
		}
		return foldKey(t.key(r))
	})
	return same
}

// counted returns of each row how many of the same key stand before it.
func (t inputTable) counted(rows []inputRow) []int {
	out, seen := make([]int, len(rows)), map[string]int{}
	for i, r := range rows {
		key := foldKey(t.key(r))
		out[i] = seen[key]
		seen[key]++
	}
	return out
}

func foldKey(key []string) string {
	folded := make([]string, len(key))
	for i, word := range key {
		folded[i] = fold(word)
	}
	return strings.Join(folded, "\n")
}

// changes returns the cells in which a row differs from what it was.
func (t inputTable) changes(was, now inputRow, nth int) (out []Edit) {
	heads := slices.Clone(was.heads)
	for _, head := range now.heads {
		if _, there := was.cells[head]; !there {
			heads = append(heads, head)
		}
	}
	for _, head := range heads {
		a, b := was.cells[head], now.cells[head]
		if !t.input(head) || sameCell(a, b) {
			continue
		}
		e := Edit{Kind: CellChanged, Place: b.Place, Sheet: t.sheet, Key: t.key(was), Nth: nth, Column: head, Was: a, Now: b, row: now}
		if b.Blank() {
			e.Place = now.place
			e.Place.Column = head
		}
		out = append(out, e)
	}
	return out
}

// sameCell reports whether two cells hold the same. Other programs store a number with
// fewer digits.
func sameCell(a, b sheet.Cell) bool {
	if a.Blank() || b.Blank() {
		return a.Blank() && b.Blank()
	}
	if isNumber(a) && isNumber(b) {
		return math.Abs(a.Number-b.Number) <= 1e-9*math.Max(1, math.Abs(a.Number))
	}
	return a.Word() == b.Word()
}

func isNumber(c sheet.Cell) bool { return c.Kind == sheet.Number || c.Kind == sheet.Date }

// What says what was done, in words.
func (e Edit) What() string {
	switch e.Kind {
	case RowAdded:
		return fmt.Sprintf("the row %q was added since it was estimated", e.row.words())
	case RowRemoved:
		return fmt.Sprintf("the row %q was removed since it was estimated", e.row.words())
	case RowMoved:
		return fmt.Sprintf("the row %q was moved since it was estimated", e.row.words())
	case SheetAdded:
		return fmt.Sprintf("the sheet %q was added since it was estimated", e.Sheet)
	case ResultChanged:
		return e.words
	}
	of := ""
	if key := strings.Join(filled(e.Key), ", "); key != "" {
		of = fmt.Sprintf(" of %q", key)
	}
	return fmt.Sprintf("%s%s is %s, %s when estimated", e.Column, of, shown(e.Now, e.Now), shown(e.Was, e.Now))
}

// words are the first cells of a row.
func (r inputRow) words() string {
	var out []string
	for _, head := range r.heads {
		out = append(out, strings.Trim(shown(r.cells[head], r.cells[head]), `"`))
	}
	return sheet.Excerpt(strings.Join(out, "; "))
}

func filled(words []string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" })
}

// shown writes a cell in the form of another one: a rate as a percentage, a serial as a
// day.
func shown(c, like sheet.Cell) string {
	switch {
	case c.Blank():
		return "blank"
	case c.Kind == sheet.Uncalculated:
		return "a formula without a value"
	case isNumber(c) && like.Kind == sheet.Date:
		return strconv.Quote(dayOf(c, false))
	case c.Kind == sheet.Number && (c.Percent || like.Percent):
		return strconv.Quote(strconv.FormatFloat(c.Number*100, 'g', 12, 64) + " %")
	}
	return strconv.Quote(sheet.Excerpt(c.Word()))
}

func dayOf(c sheet.Cell, date1904 bool) string {
	if d, err := measure.DateFromSerial(c.Number, date1904); err == nil {
		return d.String()
	}
	return c.Word()
}

// forget takes edits that were carried over into an estimate out of what its inputs
// were: the schedule does not hold them, so that they are edits still. Those that cannot
// be told by the inputs are returned.
func (in inputSet) forget(kept [][]sheet.Cell) (others []Edit) {
	for _, cells := range kept {
		k, ok := readKept(cells)
		if !ok {
			continue
		}
		t := tableOf(k.Sheet)
		i := in.find(t, k.row, k.Nth)
		switch {
		case k.Kind == RowMoved:
			others = append(others, k)
		case k.Kind == RowRemoved:
			in[k.Sheet] = append(in[k.Sheet], k.row)
		case i < 0 && k.Kind == RowAdded: // in other words, or refused
			others = append(others, k)
		case i < 0:
		case k.Kind == RowAdded:
			in[k.Sheet][i] = inputRow{number: in[k.Sheet][i].number}
		default:
			r := &in[k.Sheet][i]
			r.put(k.Column, sheet.Cell{Kind: sheet.Text, Text: "-"}) // so that the column is there
			r.cells[k.Column] = k.Was
		}
	}
	return others
}

// find returns the row of a key, -1 when there is none.
func (in inputSet) find(t inputTable, r inputRow, nth int) int {
	for i, other := range in[t.sheet] {
		if !sameKey(t, t.key(other), t.key(r)) {
			continue
		}
		if nth == 0 {
			return i
		}
		nth--
	}
	return -1
}

// sameKey reports whether two rows are found by the same: lengths may be written in two
// ways.
func sameKey(t inputTable, a, b []string) bool {
	for i := range a {
		if fold(a[i]) == fold(b[i]) {
			continue
		}
		x, errX := measure.ParseLength(a[i], measure.Inches)
		y, errY := measure.ParseLength(b[i], measure.Inches)
		if t.keys[i] != "Length" || errX != nil || errY != nil || x != y {
			return false
		}
	}
	return true
}

// The columns of the block of edits carried over: what was done, then the cells of the
// row, each behind its head.
var keptHeads = []string{"Sheet", "Kind", "Nth", "Column", "Was"}

var kindWords = []string{CellChanged: "changed", RowAdded: "added", RowRemoved: "removed", RowMoved: "moved"}

// KeptTable is a table of edits, for the hidden sheet of the estimate into which they
// were carried over.
func KeptTable(edits []Edit) (heads []string, rows [][]sheet.Cell) {
	text := func(s string) sheet.Cell { return sheet.Cell{Kind: sheet.Text, Text: s} }
	heads = keptHeads
	for _, e := range edits {
		if e.Kind == CellChanged && !sameKey(tableOf(e.Sheet), tableOf(e.Sheet).key(e.row), e.Key) {
			e.Nth = 0 // of another key now
		}
		cells := []sheet.Cell{text(e.Sheet), text(kindWords[e.Kind]), text(strconv.Itoa(e.Nth)), text(e.Column), e.Was}
		for _, head := range e.row.heads {
			cells = append(cells, text(head), e.row.cells[head])
		}
		rows = append(rows, cells)
	}
	width := 0
	for _, r := range rows {
		width = max(width, len(r))
	}
	for i := len(keptHeads); i < width; i++ {
		heads = append(slices.Clip(heads), fmt.Sprintf("Cell %d", i-len(keptHeads)+1))
	}
	return heads, rows
}

// readKept reads a row of that table.
func readKept(cells []sheet.Cell) (Edit, bool) {
	if len(cells) < len(keptHeads) {
		return Edit{}, false
	}
	kind := slices.Index(kindWords, cells[1].Word())
	known := slices.ContainsFunc(inputTables, func(t inputTable) bool { return t.sheet == cells[0].Word() })
	nth, err := strconv.Atoi(cells[2].Word())
	if kind < 0 || !known || err != nil {
		return Edit{}, false
	}
	e := Edit{Sheet: cells[0].Word(), Kind: EditKind(kind), Nth: nth, Column: cells[3].Word(), Was: cells[4]}
	for i := len(keptHeads); i+1 < len(cells); i += 2 {
		e.row.put(cells[i].Word(), cells[i+1])
	}
	e.Key = tableOf(e.Sheet).key(e.row)
	return e, true
}
