package comparison

import (
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// marksSheet lists what is different at the marks.
func (w *revisionWriter) marksSheet(p *xlsx.Sheet) func() {
	top(p, "Marks", "Sizes in "+oneOf(w.u.MM, "millimeters", "inches")+", width first. Blank: it has none.")
	return func() {
		fillOr(xlsx.NewTable(p, "MarkChanges", markColumns), w.in.Revision.Marks, map[string]xlsx.Cell{
			"Mark": xlsx.Str(xlsx.Text, none), "Change": xlsx.Str(xlsx.TextCenter, "none"),
		})
	}
}

var markColumns = []xlsx.Column[compare.MarkChange]{
	{Head: "Mark", Width: 14, Frozen: true, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.Text, m.Mark) }},
	{Head: "Change", Width: 12, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextCenter, m.Sort) }},
	{Head: "What", Width: 15, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.Text, m.What) }},
	{Head: "Earlier", Width: 46, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.Was) }},
	{Head: "Later", Width: 46, Cell: func(m compare.MarkChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, m.Now) }},
}
