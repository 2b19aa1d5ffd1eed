package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/io/sheet"
	"sillwright/io/xlsx"
)

// WhenEstimated is the hidden sheet that holds every input as it was when estimated, and
// looks up what it is now. It alone looks things up: results refer to its rows by
// place, and no formula stands in an input table, so that those can be sorted.
const WhenEstimated = "When estimated"

// liveKind is what an input may hold of which a change is followed by formulas: any
// text, one of some words, or a number.
type liveKind struct {
	any         bool
	words       []string
	least, most float64
	decimals    int
	blank       bool // it may be empty
}

var (
	anyText     = liveKind{any: true}
	amountInput = liveKind{most: 1e7, decimals: 2, blank: true}
	priceInput  = liveKind{most: 1e7, decimals: 4}
	wholeInput  = liveKind{least: 1, most: 9999, blank: true}
	countInput  = liveKind{most: 1e6, blank: true}
	chargeInput = liveKind{least: -1e7, most: 1e7, decimals: 4, blank: true}
	hoursInput  = liveKind{most: 1000, decimals: 4, blank: true}
	rateInput   = liveKind{most: 1, decimals: 6, blank: true}
)

// oneOf is an input that takes one of some words, or nothing.
func oneOf(words ...string) liveKind { return liveKind{words: words, blank: true} }

// holds reports whether a value may be used.
func (k liveKind) holds(v any) bool {
	n, isNumber := xlsx.NumberOf(v)
	s, _ := v.(string)
	switch {
	case k.any:
		return true
	case !isNumber && s == "":
		return k.blank
	case len(k.words) > 0:
		return slices.ContainsFunc(k.words, func(w string) bool { return strings.EqualFold(w, s) })
	}
	return isNumber && n >= k.least && n <= k.most
}

// valid is the same as a formula of a typed value.
func (k liveKind) valid(t string) string {
	if len(k.words) > 0 {
		tests := []string{t + `=""`}
		for _, w := range k.words {
			tests = append(tests, fmt.Sprintf(`%s="%s"`, t, w))
		}
		return "OR(" + strings.Join(tests, ",") + ")"
	}
	otherwise := "FALSE"
	if k.blank {
		otherwise = t + `=""`
	}
	return fmt.Sprintf("IF(ISNUMBER(%[1]s),AND(%[1]s>=%[2]v,%[1]s<=%[3]v,ABS(%[1]s-ROUND(%[1]s,%[4]d))<0.0000001),%[5]s)", t, int64(k.least), int64(k.most), k.decimals, otherwise)
}

// inputRoles say what a change of each column of an input table does; of those that
// are not named, it needs a new run.
type inputRoles struct {
	live  map[string]liveKind // formulas follow it
	free  []string            // it changes no result
	shown []string            // it is no input: what is typed there is not read
}

// needsRun reports whether a change in a column needs a new run.
func (r inputRoles) needsRun(head string) bool {
	_, live := r.live[head]
	return !live && !slices.Contains(r.free, head) && !slices.Contains(r.shown, head)
}

// roled marks the columns of an input table of an estimate by what a change does, and
// numbers its rows, which are found by their numbers.
func roled[R any](w *writer, roles inputRoles, columns []xlsx.Column[R]) []xlsx.Column[R] {
	if !w.checked {
		return columns
	}
	columns = slices.Clone(columns)
	for i := range columns {
		head := columns[i].Key
		if head == "" {
			head = columns[i].Head
		}
		columns[i].Rerun = roles.needsRun(head)
	}
	return append(columns, xlsx.Column[R]{Head: sheet.LineNo, Width: 7, Unprinted: true, Numbered: true})
}

// watched is an input table that is held against what it was when estimated.
type watched struct {
	name    string // of its block, and of its sheet unless that is given
	sheet   string
	in      *xlsx.Grid
	rows    []int // of the sheet, rising
	key     string
	held    []string // heads of which a change needs a new run
	live    []string // heads that formulas follow
	added   []string // heads whose cells are counted, so that no row comes unseen
	free    []string // heads of which a change matters to no formula
	label   func(row int) string
	kind    func(row int, head string) liveKind
	blank   func(row int, head string) any // what an empty live cell counts as; nil = nothing
	ordered bool                           // the order of its rows has a meaning
	choice  bool                           // suppliers are selected by its live inputs

	changed string // the formula of a row that something is in, see changedFormula
	t       *xlsx.Table[int]
	state   *xlsx.Table[struct{}]
}

// watch returns an input table with numbered rows, to be held against what it was.
func watch(name string, in *xlsx.Grid, roles inputRoles, labels ...string) *watched {
	x := &watched{name: name, in: in, key: sheet.LineNo}
	for row := in.First(); row <= in.Last(); row++ {
		x.rows = append(x.rows, row)
	}
	for _, head := range in.Heads() {
		_, live := roles.live[head]
		switch {
		case head == sheet.LineNo:
		case live:
			x.live = append(x.live, head)
		case roles.needsRun(head):
			x.added = append(x.added, head)
			if slices.ContainsFunc(x.rows, func(row int) bool { return isFilled(in, row, head) }) {
				x.held = append(x.held, head) // of the others, whatever is typed is more than there was
			}
		case slices.Contains(roles.free, head):
			x.free = append(x.free, head)
		}
	}
	x.label = func(row int) string {
		var words []string
		for _, head := range labels {
			if in.HasColumn(head) && isFilled(in, row, head) {
				words = append(words, fmt.Sprint(in.Written(row, head).V))
			}
		}
		if len(words) == 0 {
			return fmt.Sprintf("line %d", row-in.First()+1)
		}
		return strings.Join(words, " ")
	}
	x.kind = func(_ int, head string) liveKind { return roles.live[head] }
	x.blank = func(int, string) any { return nil }
	return x
}

// hold adds input tables to those that are held against what they were.
func (w *writer) hold(all ...*watched) {
	for _, x := range all {
		if len(x.rows) > 0 {
			w.watched = append(w.watched, x)
		}
	}
}

// title is what the rows of the table are of.
func (x *watched) title() string {
	if x.sheet != "" {
		return x.sheet
	}
	return x.name
}

// isFilled reports whether something stands in a cell.
func isFilled(in *xlsx.Grid, row int, head string) bool {
	c := in.Written(row, head)
	return c.F != "" || c.V != nil && c.V != ""
}

// beyondRows is how far below its rows a row of a table is still looked for.
const beyondRows = 500

// column is a column of the input table, from its header to beyond its rows.
func (x *watched) column(head string) string {
	return x.in.Block(x.in.First()-1, x.in.Last()+beyondRows, head, head).String()
}

// What formulas name the cells of a live input: as typed now, as it was.
func typed(head string) string { return "typed " + head }
func was(head string) string   { return "was " + head }

// typedFormula is an input as it stands now: a number, a text, or "an error". An empty
// cell counts as a number in one program, so that it is asked for by itself.
func (x *watched) typedFormula(head string) string {
	cell := fmt.Sprintf("INDEX(%s,{Row})", x.column(head))
	return fmt.Sprintf(`IF(ISERROR(%[1]s),"an error",IF(%[1]s="","",%[1]s))`, cell)
}

// rowsPer is by how much the number of a row counts more than that of a column.
const rowsPer = 100

// changedFormula gives row and column of the first input of a row that differs, the row
// alone where it is gone, and nothing where all is as it was. A row may go that is empty:
// what is typed there is one cell more.
func (x *watched) changedFormula(row int) string {
	filled := func(head string) bool { return isFilled(x.in, row, head) }
	missed := func(head string) bool { return filled(head) || !slices.Contains(x.added, head) }
	if !slices.ContainsFunc(x.held, missed) && !slices.ContainsFunc(x.live, filled) {
		return `IF(ISERROR({Row}),"","")`
	}
	return x.changed
}

// anyChangedFormula is that of every row that is not empty: one text, so that it is
// stored once.
func (x *watched) anyChangedFormula() string {
	f := fmt.Sprintf("IF(ISERROR({Row}),{No.}*%d,", rowsPer)
	for i, head := range x.held {
		f += fmt.Sprintf(`IF(INDEX(%s,{Row})&""<>{%s}&"",{No.}*%d+%d,`, x.column(head), was(head), rowsPer, i+1)
	}
	return f + `""` + strings.Repeat(")", len(x.held)+1)
}

// faultFormula gives row and column of the first live input of a row that cannot be
// used: what could not when estimated must be as it was.
func (x *watched) faultFormula(row int) string {
	f := `""`
	for i := len(x.live) - 1; i >= 0; i-- {
		head := x.live[i]
		k := x.kind(row, head)
		if k.any {
			continue
		}
		ok := k.valid("{" + typed(head) + "}")
		if !k.holds(x.in.Written(row, head).V) {
			ok = fmt.Sprintf(`{%s}&""={%s}&""`, typed(head), was(head))
		}
		f = fmt.Sprintf(`IF(%s,%s,{No.}*%d+%d)`, ok, f, rowsPer, i+1)
	}
	return f
}

// faultsFormula counts the rows with a live input that cannot be used.
func (x *watched) faultsFormula() string {
	if len(x.live) == 0 {
		return "0"
	}
	return "COUNT(" + x.t.Column("Fault").Local() + ")"
}

// firstFaultFormula names the first of them.
func (x *watched) firstFaultFormula() string {
	if len(x.live) == 0 {
		return `""`
	}
	return x.firstFormula("Fault", x.live, "cannot be used")
}

// nowCell is a live input as results take it: as typed, as it was where that cannot be
// used.
func (x *watched) nowCell(row int, head string) xlsx.Cell {
	v, blank, k := x.in.Written(row, head).V, x.blank(row, head), x.kind(row, head)
	before, use := "{"+was(head)+"}", "{"+typed(head)+"}"
	if v == nil || v == "" {
		v, before = "", `""`
		if blank != nil {
			v = blank
		}
	}
	if blank != nil {
		use = fmt.Sprintf(`IF(%s="",{%s},%s)`, use, ifBlank(head), use)
	}
	if k.any {
		return xlsx.Formula(use, v, xlsx.Key)
	}
	if !k.holds(x.in.Written(row, head).V) {
		return xlsx.Formula(before, v, xlsx.Key)
	}
	return xlsx.Formula(fmt.Sprintf("IF(%s,%s,%s)", k.valid("{"+typed(head)+"}"), use, before), v, xlsx.Key)
}

func ifBlank(head string) string { return "blank " + head }

// columns of the block: by held input what it was; by live input what it was, what is
// typed, and as the last what results take.
func (x *watched) columns() []xlsx.Column[int] {
	before := func(head string) func(int) xlsx.Cell {
		return func(row int) xlsx.Cell {
			if v := x.in.Written(row, head).V; v != nil && v != "" {
				return xlsx.Num(v, xlsx.Key)
			}
			return xlsx.Cell{}
		}
	}
	x.changed = x.anyChangedFormula()
	match := fmt.Sprintf("MATCH({Key},%s,0)", x.column(x.key))
	columns := []xlsx.Column[int]{
		{Head: "Input", Cell: func(row int) xlsx.Cell { return xlsx.Str(xlsx.Key, x.title()+" "+x.label(row)) }},
		{Head: "No.", Numbered: true},
		{Head: "Key", Cell: func(row int) xlsx.Cell { return xlsx.Num(x.in.Written(row, x.key).V, xlsx.Key) }},
		{Head: "Row", Shared: true, Cell: func(row int) xlsx.Cell {
			return xlsx.Formula(match, row-x.in.First()+2, xlsx.Key)
		}},
		{Head: "Changed", Shared: true, Cell: func(row int) xlsx.Cell { return xlsx.Formula(x.changedFormula(row), "", xlsx.Key) }},
	}
	if len(x.live) > 0 {
		columns = append(columns, xlsx.Column[int]{Head: "Fault", Shared: true, Cell: func(row int) xlsx.Cell {
			return xlsx.Formula(x.faultFormula(row), "", xlsx.Key)
		}})
	}
	for _, head := range x.held {
		columns = append(columns, xlsx.Column[int]{Head: head, Key: was(head), Cell: before(head)})
	}
	for _, head := range x.live {
		columns = append(columns, xlsx.Column[int]{Head: head, Key: was(head), Cell: before(head)})
	}
	for _, head := range x.live {
		asTyped := x.typedFormula(head)
		columns = append(columns, xlsx.Column[int]{Head: head + ", typed", Key: typed(head), Shared: true, Cell: func(row int) xlsx.Cell {
			v := x.in.Written(row, head).V
			if v == nil {
				v = ""
			}
			return xlsx.Formula(asTyped, v, xlsx.Key)
		}})
		if x.blank(x.rows[0], head) != nil {
			columns = append(columns, xlsx.Column[int]{Head: head + ", blank", Key: ifBlank(head), Cell: func(row int) xlsx.Cell {
				return xlsx.Num(x.blank(row, head), xlsx.Key)
			}})
		}
		columns = append(columns, xlsx.Column[int]{Head: head + ", used", Key: head, Shared: true, Cell: func(row int) xlsx.Cell { return x.nowCell(row, head) }})
	}
	return columns
}

// now refers to a live input as results take it, by the row of its sheet.
func (x *watched) now(row int, head string) string {
	i, _ := slices.BinarySearch(x.rows, row)
	return x.t.Cell(x.t.First()+i, head).Moving()
}

// write writes the block: a line on its state, then a row an input row.
func (x *watched) write(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Section, x.name))
	x.state = xlsx.NewTable(p, "", []xlsx.Column[struct{}]{
		{Head: "Rows changed", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula("COUNT("+x.t.Column("Changed").Local()+")", 0, xlsx.Key) }},
		{Head: "Cells more", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula(x.moreFormula(), 0, xlsx.Key) }},
		{Head: "Faults", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula(x.faultsFormula(), 0, xlsx.Key) }},
		{Head: "Out of order", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula(x.orderFormula(), 0, xlsx.Key) }},
		{Head: "First change", Cell: func(struct{}) xlsx.Cell {
			return xlsx.Formula(x.firstFormula("Changed", x.held, "changed since the estimate"), "", xlsx.Key)
		}},
		{Head: "First fault", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula(x.firstFaultFormula(), "", xlsx.Key) }},
		{Head: "Moved", Cell: func(struct{}) xlsx.Cell { return xlsx.Formula(x.movedFormula(), 0, xlsx.Key) }},
	})
	x.t = xlsx.NewTable(p, "", x.columns())
	x.t.PlaceRows(p.Next()+2, len(x.rows))
	x.state.HeaderOnly()
	x.state.Row(struct{}{})
	x.t.HeaderOnly()
	for _, row := range x.rows {
		x.t.Row(row)
	}
	p.Skip(1)
}

// moreFormula counts the cells that hold something more than when estimated: a row that
// came, wherever it stands.
func (x *watched) moreFormula() string {
	var parts []string
	fixed := 0
	for _, run := range x.runs() {
		parts = append(parts, "COUNTA("+x.in.Down(run[0], run[1]).String()+")")
		fixed += x.in.Filled(run[0], run[1])
	}
	for _, head := range x.live {
		if x.key != sheet.LineNo {
			break // rows of Job are settings, found by their keys
		}
		parts = append(parts, "COUNTA("+x.in.Down(head, head).String()+")-SUMPRODUCT(("+x.t.Column(typed(head)).Local()+`<>"")*1)`)
		fixed += x.in.Filled(head, head)
		for _, row := range x.rows {
			if isFilled(x.in, row, head) {
				fixed--
			}
		}
	}
	if len(parts) == 0 {
		return "0"
	}
	return strings.Join(parts, "+") + fmt.Sprintf("-%d", fixed)
}

// runs are the columns whose cells are counted, those side by side together.
func (x *watched) runs() (out [][2]string) {
	before := ""
	for _, head := range x.in.Heads() {
		switch {
		case head != x.key && !slices.Contains(x.added, head):
			before = ""
			continue
		case before == "":
			out = append(out, [2]string{head, head})
		}
		out[len(out)-1][1], before = head, head
	}
	return out
}

// orderFormula counts the rows that stand before the one they stood behind.
func (x *watched) orderFormula() string {
	if !x.ordered || len(x.rows) < 2 {
		return "0"
	}
	first, last := x.t.First(), x.t.Last()
	return fmt.Sprintf("SUMPRODUCT((%s<=%s)*1)", x.t.Rows(first+1, last, "Row").Local(), x.t.Rows(first, last-1, "Row").Local())
}

// firstFormula names the first row and column that a column of numbers points at, and
// says what it is of it: that it changed, or cannot be used.
func (x *watched) firstFormula(head string, heads []string, is string) string {
	at := "MIN(" + x.t.Column(head).Local() + ")"
	label := fmt.Sprintf("INDEX(%s,INT(%s/%d))", x.t.Column("Input").Local(), at, rowsPer)
	column := `" is gone"`
	if len(heads) > 0 {
		names := x.t.Head(was(heads[0])).To(x.t.Head(was(heads[len(heads)-1]))).Local()
		name := fmt.Sprintf("INDEX(%s,1,MOD(%s,%d))", names, at, rowsPer)
		if len(heads) == 1 {
			name = x.t.Head(was(heads[0])).Local()
		}
		column = fmt.Sprintf(`IF(MOD(%s,%d)=0," is gone",", "&%s&" %s")`, at, rowsPer, name, is)
	}
	return fmt.Sprintf(`IF(COUNT(%s)=0,"",%s&%s)`, x.t.Column(head).Local(), label, column)
}

// movedFormula counts the live inputs that differ from what they were, where a new run
// may select other suppliers for it.
func (x *watched) movedFormula() string {
	if !x.choice {
		return "0"
	}
	var parts []string
	for _, head := range x.live {
		parts = append(parts, fmt.Sprintf(`SUMPRODUCT((%s&""<>%s&"")*1)`, x.t.Column(head).Local(), x.t.Column(was(head)).Local()))
	}
	return strings.Join(parts, "+")
}
