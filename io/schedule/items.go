package schedule

import (
	"fmt"
	"slices"
	"strings"

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
		{key: "key", required: true, filled: "give the item a key", set: put(text, func(i *item) *string { return &i.Key })},
		{key: "name", required: true, filled: "write what people call it", set: put(text, func(i *item) *string { return &i.Name })},
		{key: "family", set: put(text, func(i *item) *string { return &i.Family })},
		{key: "class", required: true, filled: "write " + oneOf(estimate.Classes),
			set: put(word[string](vocabulary{words: estimate.Classes}), func(i *item) *string { return &i.Class })},
		{key: "buy", required: true, filled: "write cut or pack", set: put(choice("cut", "pack"), func(i *item) *bool { return &i.Cut })},
		{key: "need", required: true, filled: "write " + oneOf(estimate.DimensionWords),
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
		{key: "kerf", set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Kerf })},
		{key: "end trim", synonyms: []string{"squaring"}, set: give(length, func(i *item) *estimate.Maybe[measure.Length] { return &i.Squaring })},
		{key: "joint", set: put(indexed[estimate.Joint](estimate.JointWords), func(i *item) *estimate.Joint { return &i.Joint })},
		size("coil width", func(i *item) *measure.Length { return &i.Coil }),
		{key: "forms", set: put(choice("yes", "no"), func(i *item) *bool { return &i.Forms })},
		{key: "waste", synonyms: []string{"allowance"}, set: put(word[string](vocabulary{words: allowances()}), func(i *item) *string { return &i.Allowance })},
		{key: "min temp f", synonyms: []string{"min temp", "lowest temperature"},
			set: give((*cell).whole, func(i *item) *estimate.Maybe[int64] { return &i.MinTempF })},
		{key: "where", set: put(choice("site", "shop"), func(i *item) *bool { return &i.Site })},
		{key: "cost code", synonyms: []string{"account", "cost account", "job cost code"}, set: put(text, func(i *item) *string { return &i.CostCode })},
		{key: "notes", set: put(remark, func(i *item) *string { return &i.Notes })},
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
	known := itemKeys(r.out.Book.Items)
	first := map[string]estimate.Place{}
	own := rows(r, s, itemFields(), freshItem, func(row sheet.Row, it *estimate.Item) []estimate.Problem {
		problems := checkItem(row, it)
		if key, ok := known.find(it.Key); ok {
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
	if it.Cut && slices.Contains([]string{estimate.ClassBoards, estimate.ClassStrip}, it.Class) {
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

// allowances returns the names of the job's allowances.
func allowances() []string {
	var out []string
	for _, key := range estimate.SettingKeys() {
		if name, ok := strings.CutPrefix(key, "allowance "); ok {
			out = append(out, name)
		}
	}
	return out
}

func itemKeys(items estimate.Items) vocabulary {
	v := vocabulary{do: "write a key of the Items sheet"}
	for _, it := range items.List() {
		v.words = append(v.words, it.Key)
	}
	return v
}
