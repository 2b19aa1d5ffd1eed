package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// sourceColumns are the columns of Sources, a row a rule.
var sourceColumns = []xlsx.Column[estimate.SourceRow]{
	{Head: "Rule", Width: 14, Frozen: true, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Rule) }},
	{Head: "What it gives", Width: 38, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Gives) }},
	{Head: "Formula", Width: 56, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Formula) }},
	{Head: "Basis", Width: 19, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Basis) }},
	{Head: "Source", Width: 70, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Source) }},
}

// sourcesSheet prints the rules, and what is cited beside them: what each computes and
// where its figures come from.
func (w *writer) sourcesSheet(p *xlsx.Sheet) {
	w.top(p, "Sources", "How each amount is calculated. "+
		"Basis says how firm a source is; 'verify' means: not read anywhere, check it before you rely on it. Blank: it follows by geometry.")
	t := xlsx.NewTable(p, "RuleSources", sourceColumns)
	t.Header()
	for _, r := range estimate.SourceRows() {
		t.Row(r)
	}
	t.Finish()
}
