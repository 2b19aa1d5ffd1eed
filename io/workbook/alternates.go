package workbook

import "sillwright/io/xlsx"

var alternateWidths = map[string]float64{"Name": 34, "When": 46, "Column": 26, "Value": 22, "Notes": 64}

// alternatesSheet writes the alternates as they were read; a blank schedule lists what
// one may change.
func (w *writer) alternatesSheet(p *xlsx.Sheet) {
	w.lead(p, "Alternates", "Other ways to do the job; sillwright compare prices each. Rows of one Name are one alternate: where When holds, Column (of Openings, "+
		"or a key of Job with When blank) is set to Value. A row with the name common alone asks for the usual ones.")
	t := xlsx.NewTable(p, "AlternateRows", copiedColumns(w.in.Alternates, alternateWidths))
	w.copyRows(t, w.in.Alternates, 20)
	t.Finish()
	w.others = &t.Grid
	if words := w.changeable(); w.blank && len(words) > 0 && t.HasColumn("Column") {
		t.Column("Column").Choice(words, "Column", "A column of Openings, or a key of Job.")
	}
	w.help(&t.Grid, "Alternates")
}
