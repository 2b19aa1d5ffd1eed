package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// What an estimator types into an estimate: counts on Materials, suppliers on
// Orders. Both are found by the column Key.

// planLine is a row of the sheet Materials of an estimate.
type planLine struct {
	key, item, supplier, mark, state string
	computed, override               estimate.Maybe[int64]
	count                            pricing.Stored[int64]
	price                            pricing.Stored[measure.UnitPrice]
	priceBefore                      estimate.Maybe[measure.UnitPrice]
	extension                        estimate.Maybe[measure.Money]
}

var planFields = []field[planLine]{
	{key: "Key", required: true, set: put(lineKey, func(l *planLine) *string { return &l.key })},
	{key: "Override", required: true, set: give(typed, func(l *planLine) *estimate.Maybe[int64] { return &l.override })},
	{key: "Item", set: put(itemKey, func(l *planLine) *string { return &l.item })},
	{key: "Supplier", set: put(text, func(l *planLine) *string { return &l.supplier })},
	{key: "Computed", set: stored(packs, func(l *planLine) *estimate.Maybe[int64] { return &l.computed })},
	{key: "Extension", set: stored((*cell).money, func(l *planLine) *estimate.Maybe[measure.Money] { return &l.extension })},
	{key: "Count", set: overFormula(packs, func(l *planLine) *pricing.Stored[int64] { return &l.count })},
	{key: "Unit price", set: overFormula((*cell).price, func(l *planLine) *pricing.Stored[measure.UnitPrice] { return &l.price })},
	{key: "Price when estimated", set: stored((*cell).price, func(l *planLine) *estimate.Maybe[measure.UnitPrice] { return &l.priceBefore })},
	{key: "State", set: func(c *cell, l *planLine) {
		if !c.Formula { // words at the run; a formula says what an edit means
			l.state = c.Word()
		}
	}},
	{key: "Planned for", set: put(text, func(l *planLine) *string { return &l.mark })},
}

// overFormula reads a cell that is written as a formula. A value typed over it must be
// one that can be used; of a formula whatever it holds is passed over.
func overFormula[T, V any](read func(*cell) (V, bool), at func(*T) *pricing.Stored[V]) func(*cell, *T) {
	return func(c *cell, t *T) {
		x := at(t)
		if x.Typed = !c.Formula && c.Kind != sheet.Uncalculated; !x.Typed {
			return
		}
		if v, ok := read(c); ok {
			x.Value = estimate.Given(v)
		}
	}
}

// edited opens a sheet of an estimate whose rows are found by Key, for what is
// typed into a column of it; a sheet that has not both is somebody's own.
func edited[T any](r *reader, s *sheet.Sheet, fields []field[T], column string) (table[T], bool) {
	if s == nil {
		return table[T]{}, false
	}
	t, problems := open(s, fields, measure.Inches)
	if !t.HasColumn("Key") || !t.HasColumn(column) {
		r.problems = append(r.problems, estimate.Problem{Place: estimate.Place{File: s.File, Sheet: s.Name}, Severity: estimate.Note,
			What: "the sheet has no columns Key and " + column + " and is not read"})
		return t, false
	}
	r.problems = append(r.problems, t.withoutNotes(problems)...)
	return t, true
}

// stored is give for a value of our own sheet, whose formula may have any
// stored value or words in its place: what cannot be read is missing.
func stored[T, V any](read func(*cell) (V, bool), at func(*T) *estimate.Maybe[V]) func(*cell, *T) {
	return func(c *cell, t *T) {
		quiet := *c
		quiet.problems = new([]estimate.Problem)
		if v, ok := read(&quiet); ok {
			*at(t) = estimate.Given(v)
		}
	}
}

// leftFields are what is read of the sheet To buy.
var leftFields = []field[planLine]{
	{key: "Key", required: true, set: put(lineKey, func(l *planLine) *string { return &l.key })},
	{key: "Planned", required: true, set: stored(packs, func(l *planLine) *estimate.Maybe[int64] { return &l.computed })},
}

// toBuy reads how many of each line were still to buy. A count that cannot be read is
// another one than was planned.
func (r *reader) toBuy(s *sheet.Sheet) {
	t, ok := edited(r, s, leftFields, "Planned")
	if !ok {
		return
	}
	for _, row := range t.Rows {
		var l planLine
		r.problems = append(r.problems, t.read(row, &l)...)
		if l.key == "" {
			continue
		}
		if r.out.ToBuy == nil {
			r.out.ToBuy = map[string]int64{}
		}
		r.out.ToBuy[l.key] += l.computed.Or(-1)
	}
}

// typed reads a count that must not be a formula: an override is what somebody
// decided.
func typed(c *cell) (int64, bool) {
	if c.Formula {
		c.refuse("Override is a formula", "type the count over it")
		return 0, false
	}
	return packs(c)
}

// plan reads the sheet Materials of an estimate: what was planned, and the
// counts typed over it.
func (r *reader) plan(s *sheet.Sheet) {
	t, ok := edited(r, s, planFields, "Override")
	if !ok {
		return
	}
	first, lines := map[string]estimate.Place{}, map[string]estimate.Place{}
	for _, row := range t.Rows {
		var l planLine
		problems := append(t.read(row, &l), l.byKey(row.Cell("Supplier"))...)
		c := row.Cell("Override")
		line, twice := lines[l.key]
		switch {
		case l.key == "" && l.mark == "" && t.HasColumn("Planned for"):
			problems = r.added(row, problems)
		case l.key != "" && twice && isBlank(c):
			problems = r.notOrdered(row.Cell("Key"), fmt.Sprintf("the line %q stands in %s too; this one is not used", l.key, where(line)),
				"type how many to buy under Override of the first, and delete this one")
		case l.key != "" && !twice || l.key == "" && l.item != "" && (l.supplier == "" || l.mark != ""):
			r.out.Lines = append(r.out.Lines, plannedOf(t, row, l))
		}
		lines[l.key] = row.Place
		if !isBlank(c) {
			at, again := first[l.key]
			switch {
			case l.key == "":
				problems = append(problems, row.Cell("Key").Problem(estimate.Error, "Key is blank", "an override needs the key of its line"))
			case again || twice:
				problems = append(problems,
					row.Cell("Key").Problem(estimate.Error, fmt.Sprintf("Key %q has an override in %s too", l.key, where(cmp.Or(at, line))), "keep one of the two"))
			case estimate.Errors(problems) == 0:
				r.out.Overrides[l.key] = l.override.V
			}
			first[l.key] = c.Place
		}
		r.problems = append(r.problems, problems...)
	}
}

// byKey puts item and supplier as the key of the line names them, which is what was
// planned: what is typed over a result buys nothing. It says so of a supplier.
func (l *planLine) byKey(c sheet.Cell) []estimate.Problem {
	parts := strings.Split(l.key, "|")
	if len(parts) < 3 {
		return nil
	}
	if !strings.HasPrefix(l.key, l.item+"|") {
		l.item = parts[0]
	}
	typed := l.supplier
	if of := len(l.item) + 1; len(l.key) > of+len(typed) && strings.EqualFold(l.key[of:of+len(typed)+1], typed+"|") {
		l.supplier = l.key[of : of+len(typed)] // a name may hold the sign that parts the key
		return nil
	}
	l.supplier = strings.Join(parts[1:len(parts)-1], "|")
	if typed == "" {
		return nil
	}
	return []estimate.Problem{c.Problem(estimate.Warning,
		fmt.Sprintf("%q is typed over the supplier %q and is not used", sheet.Excerpt(typed), sheet.Excerpt(l.supplier)), "type a supplier under Buy at on Orders")}
}

// notOrdered returns the problem of a row of Materials that somebody added, and keeps it
// in mind: no order may look as if it were in it.
func (r *reader) notOrdered(c sheet.Cell, what, do string) []estimate.Problem {
	p := c.Problem(estimate.Warning, what, do)
	r.out.NotOrdered = append(r.out.NotOrdered, p)
	return []estimate.Problem{p}
}

// added reports a row of Materials that is no line of the estimate: something to buy
// where it has a number, a remark elsewhere. Its sum, and an override without a key, of
// which there is an error, are passed over.
func (r *reader) added(row sheet.Row, problems []estimate.Problem) []estimate.Problem {
	var words []string
	var first sheet.Cell
	number := false
	for _, c := range row.Filled() {
		if len(words) == 0 {
			first = c
		}
		words, number = append(words, c.Word()), number || c.Kind == sheet.Number
	}
	all := sheet.Excerpt(strings.Join(words, "; "))
	switch {
	case !isBlank(row.Cell("Override")):
		return problems
	case len(words) == 0 || slices.Contains([]string{"materials", "total"}, fold(words[0])):
		return nil
	case !number:
		return []estimate.Problem{first.Problem(estimate.Note, fmt.Sprintf("%q is no line of the estimate and is not read", all), "")}
	}
	return r.notOrdered(first, fmt.Sprintf("%q is no line of the estimate and is not bought", all),
		"type a count of what is there under Override; buy other things apart, or put them on Other costs")
}

// plannedOf returns a line as it was planned, with what stands in its cells.
func plannedOf(t table[planLine], row sheet.Row, l planLine) pricing.Planned {
	p := pricing.Planned{Place: row.Cell("Extension").Place, Item: l.item, Supplier: l.supplier, Key: l.key, Computed: l.computed, Extension: l.extension,
		For: l.mark, State: stateOf(l), Count: l.count, Price: l.price, PriceBefore: l.priceBefore}
	p.Computes = pricing.Stored[int64]{Value: l.computed, Typed: !row.Cell("Computed").Formula}
	p.Computes.Place, p.Computes.Blank = at(t, row, "Computed")
	p.Count.Place, p.Count.Blank = at(t, row, "Count")
	p.Price.Place, p.Price.Blank = at(t, row, "Unit price")
	return p
}

// at returns the place of a cell, and whether it is blank in a table that has its column.
func at(t table[planLine], row sheet.Row, head string) (estimate.Place, bool) {
	c := row.Cell(head)
	return c.Place, t.HasColumn(head) && c.Blank()
}

// stateOf returns why a line is not bought: nothing is wrong with one that is on
// hand, nor with one whose formula says so. A file may hold its values alone.
func stateOf(l planLine) string {
	if l.state == "on hand" || l.state == "ok" {
		return ""
	}
	return l.state
}

// lineKey reads the key of a line, which begins with its item's.
func lineKey(c *cell) (string, bool) {
	s, ok := c.text()
	item, rest, parted := strings.Cut(s, "|")
	if parted {
		rest = "|" + rest
	}
	return estimate.FormerItems.Now(item) + rest, ok
}

// pinned is a row of the sheet Orders of an estimate.
type pinned struct{ key, supplier string }

var pinFields = []field[pinned]{
	{key: "Key", required: true, set: put(itemKey, func(p *pinned) *string { return &p.key })},
	{key: "Buy at", required: true, set: put(text, func(p *pinned) *string { return &p.supplier })},
}

// pins reads the suppliers typed into the sheet Orders of an estimate.
func (r *reader) pins(s *sheet.Sheet) {
	t, ok := edited(r, s, pinFields, "Buy at")
	if !ok {
		return
	}
	for _, row := range t.Rows {
		var p pinned
		c := row.Cell("Buy at")
		if isBlank(row.Cell("Key")) {
			continue // another block of the sheet
		}
		problems := t.read(row, &p)
		r.problems = append(r.problems, problems...)
		if p.key != "" && !isBlank(c) && estimate.Errors(problems) == 0 {
			r.out.Pins[p.key] = pricing.Pin{Place: c.Place, Supplier: p.supplier}
		}
	}
}
