package workbook

import (
	"slices"

	"sillwright/io/xlsx"
)

// remembered is a block of the hidden sheet that no formula looks at: inputs as they
// were when estimated, of which a run that replaces the estimate must know.
type remembered struct {
	name string // what stands before a colon is the sheet
	head []string
	rows [][]xlsx.Cell
}

// keptName is the block of the edits that were carried over from an earlier estimate:
// the schedule does not hold them, so that they are edits still.
const keptName = "Kept edits"

// write writes the block, if there is anything in it.
func (r remembered) write(p *xlsx.Sheet) {
	if len(r.rows) == 0 {
		return
	}
	p.Row(xlsx.Str(xlsx.Section, r.name))
	p.Row(xlsx.Strs(xlsx.Heading, r.head...)...)
	for _, cells := range r.rows {
		p.Row(cells...)
	}
	p.Skip(1)
}

// remembered returns the inputs that no formula watches: columns and lines of Job that
// change no result, alternates, counts and suppliers chosen, and edits carried over.
func (w *writer) remembered() (out []remembered) {
	for _, x := range w.watched {
		out = append(out, rememberedColumns(x.name+": other columns", x.in, x.key, x.rows, x.free))
	}
	var lines []int
	for _, key := range freeSettings {
		if w.settings.Has(key) {
			lines = append(lines, w.settings.RowOf(key))
		}
	}
	out = append(out, rememberedColumns("Job: other lines", w.settings, "Key", lines, []string{"Value"}))
	if t := w.others; t != nil && !t.Empty() {
		out = append(out, rememberedColumns("Alternates", t, "", rowsOf(t), t.Heads()))
	}
	overrides, pins := remembered{name: "Materials", head: []string{"Key", "Override"}}, remembered{name: "Orders", head: []string{"Key", "Buy at"}}
	for _, buy := range w.in.Plan.Purchases {
		for _, l := range buy.Lines {
			if l.Override.Set {
				overrides.rows = append(overrides.rows, []xlsx.Cell{xlsx.Str(xlsx.Key, l.Key()), xlsx.Num(l.Override.V, xlsx.Key)})
			}
		}
		if pin := w.in.Lists.Pins[buy.Item.Key].Supplier; pin != "" {
			pins.rows = append(pins.rows, []xlsx.Cell{xlsx.Str(xlsx.Key, buy.Item.Key), xlsx.Str(xlsx.Key, pin)})
		}
	}
	kept := remembered{name: keptName, head: w.in.Kept.Columns}
	for _, cells := range w.in.Kept.Rows {
		line := make([]xlsx.Cell, len(cells))
		for i, c := range cells {
			line[i] = inputCell(c)
			line[i].Look = xlsx.Key
		}
		kept.rows = append(kept.rows, line)
	}
	return append(out, overrides, pins, kept)
}

func rowsOf(t *xlsx.Grid) (rows []int) {
	for row := t.First(); row <= t.Last(); row++ {
		rows = append(rows, row)
	}
	return rows
}

// rememberedColumns is a block of some columns of an input table: those that hold
// anything, and the rows that do. Without a key rows are numbered.
func rememberedColumns(name string, in *xlsx.Grid, key string, rows []int, heads []string) remembered {
	filled := func(row int, head string) bool { return isFilled(in, row, head) }
	heads = slices.DeleteFunc(slices.Clone(heads), func(head string) bool {
		return !slices.ContainsFunc(rows, func(row int) bool { return filled(row, head) })
	})
	out := remembered{name: name, head: append([]string{"Key"}, heads...)}
	for i, row := range rows {
		if !slices.ContainsFunc(heads, func(head string) bool { return filled(row, head) }) {
			continue
		}
		line := []xlsx.Cell{xlsx.Num(i+1, xlsx.Key)}
		if key != "" {
			line[0] = xlsx.Num(in.Written(row, key).V, xlsx.Key)
		}
		for _, head := range heads {
			line = append(line, xlsx.Num(in.Written(row, head).V, xlsx.Key))
		}
		out.rows = append(out.rows, line)
	}
	return out
}
