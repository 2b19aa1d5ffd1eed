package workbook

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// sourcesSheet prints the registry of rules: what each computes and where its
// figures come from.
func (w *writer) sourcesSheet(_ *xlsx.Sheet) {
	p := w.sources
	w.top(p, "Sources", "How each amount is worked out. 'read' means the words were read in a copy; 'from memory' and 'common practice' are settings to change, never published figures.")
	header := p.Row(xlsx.Strs(xlsx.Heading, "Rule", "What it gives", "Formula", "Source")...)
	for _, r := range estimate.Rules() {
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
		p.Row(xlsx.Str(xlsx.Text, r.Name), xlsx.Str(xlsx.TextWrap, r.Does), xlsx.Str(xlsx.TextWrap, r.Formula), xlsx.Str(xlsx.TextWrap, strings.Join(sources, "; ")))
	}
	p.Widths(14, 38, 56, 70)
	p.Finish("RuleSources", header, 4, 1)
}
