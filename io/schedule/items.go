package schedule

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// itemFields is the sheet Items.
func itemFields() []field[estimate.Item] {
	type item = estimate.Item
	size := func(key string, at func(*item) *measure.Length) field[item] {
		return field[item]{key: key, set: put(length, at)}
	}
	return []field[item]{
		{key: "key", required: true, filled: "give the item a key", set: put(newItemKey, func(i *item) *string { return &i.Key })},
		{key: "name", required: true, filled: "write what people call it", set: put(text, func(i *item) *string { return &i.Name })},
		{key: "family", set: put(family, func(i *item) *string { return &i.Family })},
		{key: "class", required: true, filled: "write " + sheet.OneOf(estimate.Classes),
			set: put(word[string](sheet.Class), func(i *item) *string { return &i.Class })},
		{key: "buy", required: true, filled: "write cut or pack", set: put(choice("cut", "pack"), func(i *item) *bool { return &i.Cut })},
		{key: "need", required: true, filled: "write " + sheet.OneOf(estimate.DimensionWords),
			set: put(indexed[estimate.Dimension](estimate.DimensionWords), func(i *item) *estimate.Dimension { return &i.Dim })},
		size("width", func(i *item) *measure.Length { return &i.Width }),
		size("thickness", func(i *item) *measure.Length { return &i.Thickness }),
		size("length", func(i *item) *measure.Length { return &i.Length }),
		size("fits from", func(i *item) *measure.Length { return &i.FitsFrom }),
		size("fits to", func(i *item) *measure.Length { return &i.FitsTo }),
		size("end", func(i *item) *measure.Length { return &i.End }),
		size("lap", func(i *item) *measure.Length { return &i.Lap }),
		{key: "gap", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Gap })},
		{key: "coverage", set: put(count(1, 1_000_000), func(i *item) *int64 { return &i.Coverage })},
		{key: "coverage unit", set: put(text, func(i *item) *string { return &i.CoverageUnit })},
		{key: "openings a pack", set: put(count(1, 10_000), func(i *item) *int64 { return &i.Openings })},
		{key: "days open", synonyms: []string{"open days"}, set: put(count(1, 10_000), func(i *item) *int64 { return &i.DaysOpen })},
		{key: "kerf", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Kerf })},
		{key: "end trim", synonyms: []string{"squaring"}, set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.EndTrim })},
		{key: "joint", set: put(indexed[estimate.Joint](estimate.JointWords), func(i *item) *estimate.Joint { return &i.Joint })},
		size("coil width", func(i *item) *measure.Length { return &i.Coil }),
		{key: "flexible", synonyms: []string{"forms"}, set: put(choice("yes", "no"), func(i *item) *bool { return &i.Forms })},
		{key: "waste", synonyms: []string{"allowance"}, set: put(word[string](words(wastes())), func(i *item) *string { return &i.Allowance })},
		{key: "min temp f", synonyms: []string{"min temp", "lowest temperature"},
			set: give((*cell).whole, func(i *item) *estimate.Maybe[int64] { return &i.MinTempF })},
		{key: "where", set: put(choice("site", "shop"), func(i *item) *bool { return &i.Site })},
		{key: "cost code", synonyms: []string{"account", "cost account", "job cost code"}, set: put(text, func(i *item) *string { return &i.CostCode })},
		{key: "notes", set: put(remark, func(i *item) *string { return &i.Notes })},
		{key: "basis", set: put(remark, func(i *item) *string { return &i.Basis })},
		{key: "source", set: put(remark, func(i *item) *string { return &i.Source })},
	}
}

// freshItem begins an item. Where its row does not say where it is used, the cold
// counts.
func freshItem(row sheet.Row) estimate.Item {
	return estimate.Item{Place: row.Cell("key").Place, Site: true}
}

// items reads the shipped items, and over them those of the sheet Items.
func (r *reader) items(s *sheet.Sheet) {
	r.out.Book.Items = estimate.NewItems(shipped().items)
	if s == nil {
		return
	}
	known := words(itemKeys(r.out.Book.Items))
	first := map[string]estimate.Place{}
	own := rows(r, s, itemFields(), freshItem, func(row sheet.Row, it *estimate.Item) []estimate.Problem {
		problems := checkItem(row, it)
		if key, ok := known.Find(it.Key); ok {
			it.Key = key
		}
		c, key := row.Cell("key"), fold(it.Key)
		if at, again := first[key]; again && key != "" {
			problems = append(problems, c.Problem(estimate.Error, fmt.Sprintf("key %q stands in %s too", it.Key, where(at)), "keep one of the two"))
		} else {
			first[key] = c.Place
		}
		return problems
	})
	r.out.Book.Items = estimate.NewItems(slices.Concat(shipped().items, own))
}

// checkItem holds the columns of an item against each other.
func checkItem(row sheet.Row, it *estimate.Item) []estimate.Problem {
	var problems []estimate.Problem
	missing := func(column, what, do string) {
		if isBlank(row.Cell(column)) {
			problems = append(problems, row.Cell(column).Problem(estimate.Error, column+" is blank: "+what, do))
		}
	}
	if it.Cut && slices.Contains([]string{estimate.ClassBoards, estimate.ClassTape}, it.Class) {
		missing("width", "the lengths of other pieces follow from it", "write the actual width")
	}
	if it.Coverage > 0 {
		missing("coverage unit", "coverage of what?", "write lb, gal or each")
	}
	if it.FitsFrom > it.FitsTo {
		c := row.Cell("fits to")
		problems = append(problems, c.Problem(estimate.Error, fmt.Sprintf("fits to is %q, less than fits from", c.Word()), "correct one of the two"))
	}
	return problems
}

// wastes returns the names of the job's waste percentages.
func wastes() []string {
	var out []string
	for _, key := range estimate.SettingKeys() {
		if name, ok := strings.CutPrefix(key, estimate.WastePrefix); ok {
			out = append(out, name)
		}
	}
	return out
}

// itemKey reads a key that an item has.
func itemKey(c *cell) (string, bool) {
	s, ok := c.text()
	return estimate.FormerItems.Now(s), ok
}

// newItemKey reads the key that an item gets. Formulas add up by it, and take signs for
// patterns or comparisons, and a number for one that is written otherwise.
func newItemKey(c *cell) (string, bool) {
	s, ok := c.naming()
	switch _, number := strconv.ParseFloat(s, 64); {
	case !ok:
	case strings.ContainsAny(s, `*?~<>="`), strings.ContainsAny(s[:1], "+-@"):
		c.refuse(fmt.Sprintf("%s %q has a sign that a formula reads as more than it is", c.name, sheet.Excerpt(s)),
			`write it without * ? ~ < > = and quotation marks, and no + - or @ before it`)
		return "", false
	case number == nil || !strings.ContainsFunc(s, unicode.IsLetter):
		c.refuse(fmt.Sprintf("%s %q is a number to a formula", c.name, sheet.Excerpt(s)), "write a key with a letter, such as board-1x4")
		return "", false
	}
	return estimate.FormerItems.Now(s), ok
}

// family reads the name of a family of items.
func family(c *cell) (string, bool) {
	s, ok := c.text()
	return estimate.FormerFamilies.Now(s), ok
}

// anItem returns a reading of an item's key, by whatever it is called.
func anItem(items estimate.Items) func(c *cell) (string, bool) {
	names := sheet.NewItemNames(items)
	return func(c *cell) (string, bool) {
		s, ok := c.text()
		if !ok {
			return "", false
		}
		key, doubt, known := names.Find(s)
		switch {
		case known:
			return key, true
		case doubt != nil:
			c.refuse(fmt.Sprintf("%s %q may be %s", c.name, c.Word(), doubt.May), "usually "+doubt.Usual+"; write a key of the Items sheet")
		default:
			c.refuse(fmt.Sprintf("%s %q is not known", c.name, sheet.Excerpt(c.Word())), sheet.Suggest(s, itemKeys(items), "write a key of the Items sheet"))
		}
		return "", false
	}
}

// itemFamilies returns the families of items, each once.
func itemFamilies(items estimate.Items) []string {
	var families []string
	for _, it := range items.List() {
		if it.Family != "" && !slices.Contains(families, it.Family) {
			families = append(families, it.Family)
		}
	}
	return families
}

func itemKeys(items estimate.Items) []string {
	var keys []string
	for _, it := range items.List() {
		keys = append(keys, it.Key)
	}
	return keys
}
