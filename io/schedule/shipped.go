package schedule

import (
	"sync"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/templates"
)

// shippedTables are the tables that ship, as read. A batch reads them once, so
// nothing in them is written to.
type shippedTables struct {
	settings []estimate.Setting
	layouts  []estimate.LayoutPiece
	items    []estimate.Item
	labor    []estimate.LaborTask
	details  steps
	problems []estimate.Problem // none, as a test holds
}

var shipped = sync.OnceValue(func() shippedTables {
	r := newReader(&sheet.Book{})
	table := func(name string, data []byte) *sheet.Sheet {
		book, problems := sheet.Parse(name, data)
		r.problems = append(r.problems, problems...)
		if book == nil {
			return &sheet.Sheet{File: name}
		}
		return book.Sheets[0]
	}
	t := shippedTables{
		settings: rows(r, table("settings.csv", templates.Settings), settingFields(),
			func(row sheet.Row) estimate.Setting { return estimate.Setting{Place: row.Place} }, nil),
		layouts: rows(r, table("layouts.csv", templates.Layouts), layoutFields(), func(sheet.Row) estimate.LayoutPiece { return estimate.LayoutPiece{} }, nil),
		items:   rows(r, table("items.csv", templates.Items), itemFields(), freshItem, checkItem),
		labor: rows(r, table("labor.csv", templates.Labor), publicFields,
			func(row sheet.Row) estimate.LaborTask { return estimate.LaborTask{Place: row.Place} }, nil),
		details: r.steps(table("details.csv", templates.Details)),
	}
	t.problems = r.problems
	return t
})

// rows reads the rows of a table that are sound, and reports the others.
func rows[T any](r *reader, s *sheet.Sheet, fields []field[T], fresh func(sheet.Row) T, check func(sheet.Row, *T) []estimate.Problem) []T {
	t, problems := open(s, fields, measure.Inches)
	var out []T
	for _, row := range t.Rows {
		v := fresh(row)
		ps := t.read(row, &v)
		if check != nil {
			ps = append(ps, check(row, &v)...)
		}
		if estimate.Errors(ps) == 0 {
			out = append(out, v)
		}
		problems = append(problems, ps...)
	}
	r.problems = append(r.problems, problems...)
	return out
}

// layoutFields is the shipped table of trim layouts.
func layoutFields() []field[estimate.LayoutPiece] {
	type piece = estimate.LayoutPiece
	times := func(key string, at func(*piece) *int64) field[piece] {
		return field[piece]{key: key, required: true, filled: "write a whole number", set: put((*cell).whole, at)}
	}
	filled := func(key string, set func(*cell, *piece)) field[piece] {
		return field[piece]{key: key, required: true, filled: "fill it in", set: set}
	}
	return []field[piece]{
		filled("layout", put(text, func(p *piece) *string { return &p.Layout })),
		filled("piece", put(word[estimate.PieceName](words(estimate.PieceNames)), func(p *piece) *estimate.PieceName { return &p.Piece })),
		filled("board", put(word[estimate.Board](words(estimate.BoardNames)), func(p *piece) *estimate.Board { return &p.Board })),
		times("count", func(p *piece) *int64 { return &p.Count }),
		times("w", func(p *piece) *int64 { return &p.W }),
		times("h", func(p *piece) *int64 { return &p.H }),
		times("gap", func(p *piece) *int64 { return &p.Gap }),
		times("head", func(p *piece) *int64 { return &p.Head }),
		times("leg", func(p *piece) *int64 { return &p.Leg }),
		times("bottom", func(p *piece) *int64 { return &p.Bottom }),
		times("overhang", func(p *piece) *int64 { return &p.Over }),
		times("horn", func(p *piece) *int64 { return &p.Horn }),
		times("drop", func(p *piece) *int64 { return &p.Drop }),
		times("bored ends", func(p *piece) *int64 { return &p.Bored }),
		times("mitered ends", func(p *piece) *int64 { return &p.Mitered }),
		{key: "equal boards", required: true, filled: "write yes or no", set: put(choice("yes", "no"), func(p *piece) *bool { return &p.Equal })},
		{key: "pair", required: true, filled: "write yes or no", set: put(choice("yes", "no"), func(p *piece) *bool { return &p.Pair })},
		filled("ends", put(text, func(p *piece) *string { return &p.Ends })),
	}
}
