package comparison

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// problems writes a table of problems, in the words that the terminal shows.
func problems(p *xlsx.Sheet, list []estimate.Problem) {
	header := p.Row(xlsx.Strs(xlsx.Heading, "Where", "Sort", "Number", "What is wrong, and what to do")...)
	if len(list) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "nothing to report"))
		return
	}
	for i, x := range list {
		look := map[estimate.Severity]xlsx.Look{estimate.Error: xlsx.Bad, estimate.Warning: xlsx.Warn, estimate.Note: xlsx.TextCenter}[x.Severity]
		p.Row(xlsx.Str(xlsx.TextWrap, x.Place.String()), xlsx.Str(look, x.Severity.String()), xlsx.Num(i+1, xlsx.Count), xlsx.Str(xlsx.TextWrap, x.Sentence()))
	}
	p.AddTable("ProblemList", header, p.Next()-1, 1, 4)
}
