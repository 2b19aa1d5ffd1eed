package schedule

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Source is a table that a run reads, into which edits of an estimate are typed.
type Source struct {
	Columns []sheet.Column
	Rows    []SourceRow
	Sheets  []*sheet.Sheet // on which its rows stand; new ones go to the first
}

// SourceRow is a row of a source: by which it is found, and where it stands.
type SourceRow struct {
	Key []string
	At  estimate.Place
}

// Sources returns the tables of a schedule that was read, by the input sheet of an
// estimate.
func (s *Schedule) Sources(b *sheet.Book) map[string]Source {
	r, job := newReader(b), s.Book.Job
	out := map[string]Source{}
	add := func(name string, columns []sheet.Column, rows []SourceRow, sheets ...*sheet.Sheet) {
		sheets = slices.DeleteFunc(sheets, func(x *sheet.Sheet) bool { return x == nil })
		out[name] = Source{columns, rows, sheets}
	}
	row := func(at estimate.Place, key ...string) SourceRow { return SourceRow{key, at} }
	var lines, items, steps, costs, tasks, hand, bought, actuals []SourceRow
	if x := r.sheet(JobSheet); x != nil {
		known := settingWords(s.Settings)
		t, _ := x.Table(columns(jobFields))
		for _, line := range t.Rows { // those without a value too
			lines = append(lines, row(line.Place, known[sheet.WordKey(line.Cell("Key").Word())]))
		}
	}
	for _, x := range s.Book.Items.List() {
		items = append(items, row(x.Place, x.Key))
	}
	for _, x := range s.Steps {
		steps = append(steps, row(x.Place, x.Fields["Detail"], x.Fields["Step"], x.Fields["Do"]))
	}
	for _, x := range job.Costs {
		costs = append(costs, row(x.Place, x.Text))
	}
	for _, x := range s.Book.Labor {
		tasks = append(tasks, row(x.Place, x.Task, string(x.Kind), x.Per))
	}
	for _, x := range job.OnHand {
		length := strconv.FormatFloat(estimate.UnitsOf(job.MM).Length(x.Length), 'g', 15, 64)
		hand = append(hand, row(x.Place, x.Item, length))
	}
	for _, x := range job.Purchases {
		bought = append(bought, row(x.Place, x.Order, x.Item, x.Pack))
	}
	if x := r.sheet(ActualsSheet); x != nil {
		t, _ := x.Table(columns(actualFields(s.Book.Items, s.date1904)))
		of := tableOf(ActualsSheet)
		for _, line := range t.Rows {
			key := make([]string, len(of.keys))
			for i, head := range of.keys {
				key[i] = line.Cell(head).Word()
			}
			actuals = append(actuals, row(line.Place, key...))
		}
	}
	fields := openingFields(sheet.TrimLayout(s.Book.Layouts))
	openings := r.openingsSheets()
	if len(openings) > 0 {
		add(OpeningsSheet, openingColumns(openings[0], fields), s.Openings.rows("Mark"), openings...)
	}
	add(JobSheet, columns(jobFields), lines, r.sheet(JobSheet))
	add(ItemsSheet, columns(itemFields()), items, r.sheet(ItemsSheet))
	add(DetailsSheet, columns(detailFields()), steps, r.sheet(DetailsSheet))
	add(MeasuredSheet, columns(measuredFields()), s.Measured.rows("Mark", "Piece", "Of"), r.sheet(MeasuredSheet), r.sheet(MeasuringSheet))
	add(CostsSheet, columns(costFields), costs, r.sheet(CostsSheet))
	add(LaborSheet, columns(laborFields), tasks, r.sheet(LaborSheet))
	add(OnHandSheet, columns(onHandFields(s.Book.Items, s.date1904)), hand, r.sheet(OnHandSheet))
	add(PurchasesSheet, columns(purchaseFields(s.Book.Items, s.date1904)), bought, r.sheet(PurchasesSheet))
	add(ActualsSheet, columns(actualFields(s.Book.Items, s.date1904)), actuals, r.sheet(ActualsSheet))
	add(AlternateSheet, columns(alternateFields), s.Alternates.rows("Name", "When", "Column"), r.sheet(AlternateSheet))
	add(MaterialsSheet, []sheet.Column{{Key: "Key", Required: true}, {Key: "Override", Required: true}}, nil, r.sheet(MaterialsSheet))
	add(OrdersSheet, []sheet.Column{{Key: "Key", Required: true}, {Key: "Buy at", Required: true}}, nil, r.sheet(OrdersSheet))
	return out
}

// rows returns the rows of a copied table by some of its columns.
func (r Raw) rows(by ...string) (out []SourceRow) {
	for _, raw := range r.Rows {
		key := make([]string, len(by))
		for i, head := range by {
			if k := slices.Index(r.Columns, head); k >= 0 && k < len(raw.Cells) {
				key[i] = raw.Cells[k].Word()
			}
		}
		out = append(out, SourceRow{key, raw.Place})
	}
	return out
}

// KeptState says what became of an edit.
type KeptState int

// An edit was typed into its source; the source says the same already; it was typed over
// what the source says by now, which is not what it said when estimated; it does not fit
// any more.
const (
	Kept KeptState = iota
	KeptAlready
	KeptOver
	KeptNot
	KeptUnknown // of an estimate of an earlier version: it may be of that version's own tables
)

// Outcome is what became of an edit.
type Outcome struct {
	Edit
	State KeptState
	Words string // what the source says by now, or why it does not fit
}

// Keep types edits into what a run reads, by the keys of their rows: a schedule and its
// price lists, in memory. Sheets that are not there are added to the book of the
// schedule. What the run then reads is as if they had been typed there before it.
func Keep(e Edited, sources map[string]Source, b *sheet.Book, bare measure.Unit) []Outcome {
	k := keeper{Edited: e, sources: sources, book: b, editors: map[*sheet.Sheet]*sheet.Editor{}, details: map[string]Outcome{}}
	k.restate = bare != e.bare && !slices.ContainsFunc(e.Edits, func(x Edit) bool { return x.Sheet == JobSheet && fold(x.Key[0]) == "units" })
	var out []Outcome
	for _, x := range e.Edits {
		out = append(out, k.keep(x))
	}
	return out
}

type keeper struct {
	Edited
	sources map[string]Source
	book    *sheet.Book
	editors map[*sheet.Sheet]*sheet.Editor
	details map[string]Outcome // what became of the details that were replaced, folded
	restate bool               // lengths without a unit get theirs: the schedule has another
}

func (k *keeper) keep(e Edit) Outcome {
	if e.Kind == SheetAdded {
		return Outcome{e, KeptNot, "it is no sheet of an estimate"}
	}
	if e.Kind == ResultChanged {
		return Outcome{e, KeptNot, "it is no input"}
	}
	t := tableOf(e.Sheet)
	if k.Older && k.ships(t, e) {
		return Outcome{e, KeptUnknown, ""}
	}
	if e.Sheet == DetailsSheet {
		return k.detail(e)
	}
	if e.Sheet == MeasuringSheet {
		t = tableOf(MeasuredSheet)
		e.Key = t.key(e.row)
	}
	at, found := k.find(t, e.Key, e.Nth)
	switch {
	case found && e.Kind == RowRemoved:
		k.editor(t.sheet, at).Remove(at.Row)
		return Outcome{e, Kept, ""}
	case e.Kind == RowRemoved && !t.appends:
		return Outcome{e, KeptAlready, ""}
	case e.Kind == RowRemoved:
		return Outcome{e, KeptNot, "a row of a table that ships cannot be removed"}
	case found && e.Kind == CellChanged:
		return k.put(e, t.sheet, at)
	case found && k.holds(t, e.row, at):
		return Outcome{e, KeptAlready, ""}
	case found:
		for _, head := range e.row.heads {
			if t.input(head) {
				k.put(Edit{Column: head, Now: e.row.cells[head], row: e.row, Sheet: e.Sheet}, t.sheet, at)
			}
		}
		return Outcome{e, KeptOver, "a row of the same"}
	case t.only != "" && e.Now.Blank():
		return Outcome{e, KeptAlready, ""}
	case e.Kind == RowAdded || t.appends:
		k.append(t, e.row)
		return Outcome{e, Kept, ""}
	}
	return Outcome{e, KeptNot, fmt.Sprintf("no row of %q is there by now", strings.Join(filled(e.Key), ", "))}
}

// ships reports whether an edit is of an item or a detail that ships with the program, and
// that the schedule does not replace.
func (k *keeper) ships(t inputTable, e Edit) bool {
	source := k.sources[t.sheet]
	return (t.sheet == ItemsSheet || t.sheet == DetailsSheet) && slices.ContainsFunc(source.Rows, func(r SourceRow) bool {
		return fold(r.Key[0]) == fold(e.Key[0]) && !source.has(r.At)
	})
}

// find finds a row of a source by its key.
func (k *keeper) find(t inputTable, key []string, nth int) (estimate.Place, bool) {
	source := k.sources[t.sheet]
	for _, r := range source.Rows {
		if !sameKey(t, r.Key, key) || !source.has(r.At) {
			continue
		}
		if nth == 0 {
			return r.At, true
		}
		nth--
	}
	return estimate.Place{}, false
}

// has reports whether a row stands on a sheet of the source, and not in a table that
// ships.
func (s Source) has(at estimate.Place) bool { return s.on(at) != nil }

func (s Source) on(at estimate.Place) *sheet.Sheet {
	i := slices.IndexFunc(s.Sheets, func(x *sheet.Sheet) bool { return x.File == at.File && x.Name == at.Sheet })
	if i < 0 || at.Row == 0 {
		return nil
	}
	return s.Sheets[i]
}

// editor returns the editor of the sheet where a row stands; without a place, of that
// which takes new rows.
func (k *keeper) editor(name string, at estimate.Place) *sheet.Editor {
	source := k.sources[name]
	s := source.on(at)
	if s == nil && len(source.Sheets) > 0 {
		s = source.Sheets[0]
	}
	if s == nil {
		s = &sheet.Sheet{Name: name, File: k.book.File}
		k.book.Sheets = append(k.book.Sheets, s)
		source.Sheets = append(source.Sheets, s)
		k.sources[name] = source
	}
	if k.editors[s] == nil {
		k.editors[s] = sheet.NewEditor(s, source.Columns)
	}
	return k.editors[s]
}

// put types a cell into a row of a source.
func (k *keeper) put(e Edit, name string, at estimate.Place) Outcome {
	in := k.editor(name, at)
	before, _ := in.Cell(at.Row, e.Column)
	if sameValue(before, e.Now) {
		return Outcome{e, KeptAlready, ""}
	}
	in.Put(at.Row, e.Column, k.carried(e.Sheet, e.Column, e.row, e.Now))
	if !before.Blank() && !sameValue(before, e.Was) {
		return Outcome{e, KeptOver, strconv.Quote(sheet.Excerpt(before.Word()))}
	}
	return Outcome{e, Kept, ""}
}

// holds reports whether a row of a source says what a row of the estimate does.
func (k *keeper) holds(t inputTable, r inputRow, at estimate.Place) bool {
	in := k.editor(t.sheet, at)
	return !slices.ContainsFunc(r.heads, func(head string) bool {
		c, _ := in.Cell(at.Row, head)
		return t.input(head) && !sameValue(c, r.cells[head])
	})
}

// append types a row below those of a source.
func (k *keeper) append(t inputTable, r inputRow) {
	cells := map[string]sheet.Cell{}
	for _, head := range r.heads {
		if slices.Contains(t.keys, head) || t.input(head) {
			cells[head] = k.carried(t.sheet, head, r, r.cells[head])
		}
	}
	k.editor(t.sheet, estimate.Place{}).Append(r.place, r.heads, cells)
}

// detail keeps an edit of a detail. One in the schedule replaces the shipped one whole, so
// that it is put there as it stands in the estimate.
func (k *keeper) detail(e Edit) Outcome {
	names := []string{e.Key[0]}
	if now := e.row.cells["Detail"].Word(); fold(now) != fold(names[0]) {
		names = append(names, now)
	}
	state := Outcome{State: Kept}
	for _, name := range filled(names) {
		if _, done := k.details[fold(name)]; !done {
			k.details[fold(name)] = k.replaceDetail(name)
		}
		if s := k.details[fold(name)]; s.State > state.State {
			state = s
		}
	}
	state.Edit = e
	return state
}

func (k *keeper) replaceDetail(name string) Outcome {
	t, source := tableOf(DetailsSheet), k.sources[DetailsSheet]
	var rows []inputRow
	for _, r := range k.Edited.details {
		if fold(r.cells["Detail"].Word()) == fold(name) {
			rows = append(rows, r)
		}
	}
	own := map[int]bool{} // rows of the schedule's
	for _, r := range source.Rows {
		if fold(r.Key[0]) == fold(name) && source.has(r.At) {
			own[r.At.Row] = true
		}
	}
	for _, r := range source.Rows {
		if own[r.At.Row] && source.has(r.At) && fold(r.Key[0]) != fold(name) {
			return Outcome{State: KeptNot, Words: fmt.Sprintf("its rows in the schedule are of the detail %q too", r.Key[0])}
		}
	}
	for _, r := range source.Rows {
		if own[r.At.Row] && source.has(r.At) {
			k.editor(DetailsSheet, r.At).Remove(r.At.Row)
		}
	}
	for _, r := range rows {
		k.append(t, r)
	}
	return Outcome{State: Kept}
}

// lengths are the columns that hold lengths.
var lengths = regexp.MustCompile(`(?i)width|height|depth|drop|diagonal|rise|length`)

// carried returns a cell as it is typed into another file: with the unit that its header,
// or its job, stated, and a day in words.
func (k *keeper) carried(name, head string, r inputRow, c sheet.Cell) sheet.Cell {
	c.Formula = c.Kind == sheet.Uncalculated
	unit, _ := measure.ParseUnit(r.units[head])
	if unit == measure.NoUnit && k.restate && k.isLength(name, head, r) {
		unit = k.bare
	}
	switch {
	case c.Blank():
		return sheet.Cell{Place: c.Place}
	case c.Kind == sheet.Date:
		return sheet.Cell{Kind: sheet.Text, Text: dayOf(c, k.date1904), Place: c.Place}
	}
	return withUnit(c, unit)
}

// isLength reports whether what stands in a cell of an estimate may be a length in the unit
// of its job.
func (k *keeper) isLength(name, head string, r inputRow) bool {
	switch name {
	case OpeningsSheet, MeasuredSheet, MeasuringSheet, OnHandSheet:
		return lengths.MatchString(head)
	case JobSheet:
		s, _ := Shipped()
		key := r.cells["Key"].Word()
		return slices.ContainsFunc(s.Settings, func(x estimate.Setting) bool { return x.Key == key && x.Unit == estimate.UnitLength })
	}
	return false
}

// sameValue reports whether two cells say the same, though one was typed by a person and
// the other written by the program: $14.60 and 14.6, 8.25 % and 0.0825.
func sameValue(a, b sheet.Cell) bool {
	if sameCell(a, b) || fold(a.Text) == fold(b.Text) {
		return true
	}
	x, okX := valueOf(a)
	y, okY := valueOf(b)
	near := func(x, y float64) bool { return math.Abs(x-y) < 1e-9 }
	switch {
	case !okX || !okY:
		return false
	case isPercent(a) && !isPercent(b): // a bare number is in percent, or the fraction itself
		return near(x, y) || near(100*x, y)
	case isPercent(b) && !isPercent(a):
		return near(x, y) || near(x, 100*y)
	}
	return x == y
}

func isPercent(c sheet.Cell) bool { return c.Percent || strings.HasSuffix(c.Word(), "%") }

// valueOf returns the number that a cell says, a percentage as a fraction.
func valueOf(c sheet.Cell) (float64, bool) {
	if isNumber(c) {
		return c.Number, true
	}
	s := strings.NewReplacer("$", "", " ", "", "%", "").Replace(c.Word())
	v, err := strconv.ParseFloat(s, 64)
	if isPercent(c) {
		v /= 100
	}
	return v, err == nil
}
