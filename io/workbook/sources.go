package workbook

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// sourceColumns are the columns of Sources, a row a rule.
var sourceColumns = []xlsx.Column[estimate.Rule]{
	{Head: "Rule", Width: 14, Frozen: true, Cell: func(r estimate.Rule) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Name) }},
	{Head: "What it gives", Width: 38, Cell: func(r estimate.Rule) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Does) }},
	{Head: "Formula", Width: 56, Cell: func(r estimate.Rule) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Formula) }},
	{Head: "Source", Width: 70, Cell: func(r estimate.Rule) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, sourcesOf(r)) }},
}

// sourcesSheet prints the registry of rules: what each computes and where its
// figures come from.
func (w *writer) sourcesSheet(p *xlsx.Sheet) {
	w.top(p, "Sources", "How each amount is worked out. "+
		"'read' means the words were read in a copy; 'from memory' and 'common practice' are settings to change, never published figures.")
	t := xlsx.NewTable(p, "RuleSources", sourceColumns)
	t.Header()
	for _, r := range estimate.Rules() {
		t.Row(r)
	}
	t.Finish()
}

// sourcesOf lists the sources of the functions of a rule, each once.
func sourcesOf(r estimate.Rule) string {
	var sources []string
	for _, f := range r.Funcs {
		for _, s := range estimate.Sources {
			if s.Func != f {
				continue
			}
			for _, part := range strings.Split(s.Source, "; ") {
				if !slices.Contains(sources, part) {
					sources = append(sources, part)
				}
			}
		}
	}
	return strings.Join(sources, "; ")
}
