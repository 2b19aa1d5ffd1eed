package schedule

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// WhenEstimatedSheet is the hidden sheet of an estimate that holds every input as it
// was when estimated: blocks, each a title, a row of heads, and a row an input row.
const WhenEstimatedSheet = "When estimated"

// keptBlock is its block of edits that were carried over from an earlier estimate.
const keptBlock = "Kept edits"

// inputTable says how the rows of an input sheet of an estimate are told apart.
type inputTable struct {
	sheet    string
	keys     []string        // columns by which a row is found in another file
	columns  func() []string // columns that the block on the hidden sheet may lack, for they were blank
	only     string          // the one column that is an input; "" = all are
	numbered bool            // a row is found by its number in Line No.
	given    []string        // columns filled in before anybody types: a row with nothing else is empty
	appends  bool            // a row that the schedule lacks is one of a table that ships: it is added there
}

func noColumns() []string { return nil }

// inputTables are the input sheets of an estimate, in the order in which edits are
// carried over: what openings and costs name stands before them.
var inputTables = []inputTable{
	{sheet: JobSheet, keys: []string{"Key"}, columns: noColumns, only: "Value", appends: true},
	{sheet: ItemsSheet, keys: []string{"Key"}, columns: itemHeads, numbered: true, appends: true},
	{sheet: DetailsSheet, keys: []string{"Detail", "Step", "Do"}, columns: stepHeads, numbered: true},
	{sheet: OpeningsSheet, keys: []string{"Mark"}, columns: OpeningColumns, numbered: true},
	{sheet: MeasuredSheet, keys: []string{"Mark", "Piece", "Of"}, columns: MeasuredColumns, numbered: true},
	{sheet: MeasuringSheet, keys: []string{"Mark", "Piece"}, columns: MeasuredColumns},
	{sheet: CostsSheet, keys: []string{"Text"}, columns: costHeads, numbered: true},
	{sheet: LaborSheet, keys: []string{"Task", "Kind", "Per"}, columns: laborHeads, numbered: true, appends: true},
	{sheet: OnHandSheet, keys: []string{"Item", "Length"}, columns: onHandHeads, numbered: true},
	{sheet: PurchasesSheet, keys: []string{"Order", "Item", "Pack"}, columns: PurchaseColumns, numbered: true},
	{sheet: ActualsSheet, keys: []string{"Item", "Pack", "Date", "Phase", "Time"}, columns: ActualColumns, numbered: true, given: []string{"Item", "Pack"}},
	{sheet: AlternateSheet, keys: []string{"Name", "When", "Column"}, columns: AlternateColumns},
	{sheet: PricesSheet, keys: []string{"Supplier", "Item", "Content", "Code"}, columns: noColumns, numbered: true},
	{sheet: SuppliersSheet, keys: []string{"Supplier"}, columns: noColumns, numbered: true, appends: true},
	{sheet: MaterialsSheet, keys: []string{"Key"}, columns: noColumns, only: "Override", appends: true},
	{sheet: OrdersSheet, keys: []string{"Key"}, columns: noColumns, only: "Buy at", appends: true},
}

func itemHeads() []string   { return keys(itemFields()) }
func stepHeads() []string   { return keys(detailFields()) }
func costHeads() []string   { return keys(costFields) }
func laborHeads() []string  { return keys(laborFields) }
func onHandHeads() []string { return keys(onHandFields(estimate.Items{}, false)) }

// tableOf returns how the rows of an input sheet are told apart.
func tableOf(name string) inputTable {
	i := slices.IndexFunc(inputTables, func(t inputTable) bool { return t.sheet == name })
	return inputTables[i]
}

// inputRow is a row of an input sheet, or of its block on the hidden one.
type inputRow struct {
	number string // in Line No., "" = none
	place  estimate.Place
	heads  []string // of the filled cells, in the order of the columns
	cells  map[string]sheet.Cell
	units  map[string]string // of length, that the heads state
}

func (r *inputRow) put(head string, c sheet.Cell) {
	if c.Blank() {
		return
	}
	if r.cells == nil {
		r.cells = map[string]sheet.Cell{}
	}
	if _, again := r.cells[head]; !again {
		r.heads = append(r.heads, head)
	}
	r.cells[head] = c
}

// key returns what a row is found by in another file.
func (t inputTable) key(r inputRow) []string {
	out := make([]string, len(t.keys))
	for i, head := range t.keys {
		out[i] = r.cells[head].Word()
	}
	return out
}

// blank reports whether nothing is typed into a row.
func (t inputTable) blank(r inputRow) bool {
	for _, head := range r.heads {
		if t.input(head) && !slices.Contains(t.given, head) {
			return false
		}
	}
	return true
}

// input reports whether a column of the sheet is typed into.
func (t inputTable) input(head string) bool {
	switch {
	case t.only != "":
		return head == t.only
	case t.sheet == LaborSheet:
		return slices.Contains(laborHeads(), head)
	case t.sheet == ActualsSheet:
		return slices.Contains(ActualColumns(), head)
	case t.sheet == MeasuringSheet:
		return isReading(head) || head == "Initials" || head == "Of"
	}
	return true
}

// inputSet is the input sheets of an estimate, or the blocks of its hidden one, by sheet.
type inputSet map[string][]inputRow

// whenEstimated reads the blocks of the hidden sheet, and the edits that were carried
// over before.
func whenEstimated(s *sheet.Sheet) (was inputSet, kept [][]sheet.Cell) {
	was = inputSet{}
	index := map[string]map[string]int{} // of a row, by sheet and number
	title, heads := "", []sheet.Cell(nil)
	for i := 0; i < len(s.Rows); i++ {
		row := s.Rows[i]
		switch {
		case !slices.ContainsFunc(row, func(c sheet.Cell) bool { return !c.Blank() }):
			title, heads = "", nil
		case title == "":
			title = row[0].Word()
			if i+1 < len(s.Rows) && len(s.Rows[i+1]) > 0 && s.Rows[i+1][0].Word() == "Rows changed" {
				i += 2 // the state of the block, which formulas give
			}
		case heads == nil:
			heads = row
		case title == keptBlock:
			kept = append(kept, row)
		default:
			was.take(title, heads, row, index)
		}
	}
	for _, t := range inputTables {
		for i := range was[t.sheet] {
			if r := &was[t.sheet][i]; t.only != "" { // its rows are found by their keys
				r.put(t.keys[0], sheet.Cell{Kind: sheet.Text, Text: r.number})
			}
		}
	}
	return was, kept
}

// take takes a row of a block. What stands before a colon in its title is the sheet;
// the blocks of one sheet give its rows together. Of a block that formulas look at, the
// inputs stand between the head Changed, or Fault, and the first of what is typed now.
func (in inputSet) take(title string, heads, row []sheet.Cell, index map[string]map[string]int) {
	name, _, _ := strings.Cut(title, ":")
	at := func(head string) int {
		return slices.IndexFunc(heads, func(c sheet.Cell) bool { return c.Word() == head })
	}
	first, last := 1, len(heads)
	if heads[0].Word() == "Input" {
		first = max(at("Changed"), at("Fault")) + 1
		if typed := slices.IndexFunc(heads, func(c sheet.Cell) bool { return strings.HasSuffix(c.Word(), ", typed") }); typed > 0 {
			last = typed
		}
	}
	k := at("Key")
	if k < 0 || k >= len(row) {
		return
	}
	if index[name] == nil {
		index[name] = map[string]int{}
	}
	number := row[k].Word()
	i, known := index[name][number]
	if !known {
		i = len(in[name])
		index[name][number], in[name] = i, append(in[name], inputRow{number: number})
	}
	for col := first; col < min(last, len(row)); col++ {
		in[name][i].put(heads[col].Word(), row[col])
	}
}

// typedInputs reads the input sheets of an estimate as they stand. Was says which other
// columns a sheet had.
func typedInputs(b *sheet.Book, was inputSet) inputSet {
	out, r := inputSet{}, newReader(b)
	for _, t := range inputTables {
		if s := r.sheet(t.sheet); s != nil {
			out[t.sheet] = t.rows(s, was[t.sheet])
		}
	}
	return out
}

// rows reads an input sheet.
func (t inputTable) rows(s *sheet.Sheet, was []inputRow) (out []inputRow) {
	cols := t.readColumns(was)
	table, _ := s.Table(cols)
	for _, row := range table.Rows {
		r := inputRow{place: row.Place, number: row.Cell(sheet.LineNo).Word(), units: map[string]string{}}
		for _, c := range cols {
			if c.Key == sheet.LineNo {
				continue
			}
			r.put(c.Key, row.Cell(c.Key))
			r.units[c.Key] = table.HeaderUnit(c.Key)
		}
		if t.only == "" && t.sheet != MeasuringSheet {
			for _, c := range row.Extra() {
				r.put(header(c), c)
			}
		}
		if t.only == "" && !t.blank(r) || t.only != "" && !r.cells[t.keys[0]].Blank() { // without a key it is of another block
			out = append(out, r)
		}
	}
	return out
}

// readColumns are the columns to look for on an input sheet, those that were there by
// the heads that they had.
func (t inputTable) readColumns(was []inputRow) (cols []sheet.Column) {
	known := map[string]bool{}
	add := func(head string, required bool) {
		if fold := sheet.FoldHeader(head); !known[fold] {
			known[fold] = true
			cols = append(cols, sheet.Column{Key: head, Required: required})
		}
	}
	if t.numbered {
		add(sheet.LineNo, false)
	}
	for _, head := range t.keys {
		add(head, head != "Of" && head != "Code")
	}
	if t.only != "" {
		add(t.only, true)
		return cols
	}
	for _, r := range was {
		for _, head := range r.heads {
			add(head, false)
		}
	}
	for _, head := range t.columns() {
		add(strings.ToUpper(head[:1])+head[1:], false)
	}
	return cols
}
