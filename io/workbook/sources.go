package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// The columns of the three tables of Sources, which stand one below the other:
// a row a rule, a convention, a piece of a trim layout.
var (
	sourceColumns = []xlsx.Column[estimate.SourceRow]{
		{Head: "Rule", Width: 22, Frozen: true, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Rule) }},
		{Head: "What it gives", Width: 38, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Gives) }},
		{Head: "Formula", Width: 56, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Formula) }},
		{Head: "Basis", Width: 19, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Basis) }},
		{Head: "Source", Width: 70, Cell: func(r estimate.SourceRow) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Source) }},
	}
	conventionColumns = []xlsx.Column[estimate.Convention]{
		{Head: "Stage", Cell: func(c estimate.Convention) xlsx.Cell { return xlsx.Str(xlsx.Text, c.Stage) }},
		{Head: "Topic", Cell: func(c estimate.Convention) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, c.Topic) }},
		{Head: "Convention", Cell: func(c estimate.Convention) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, c.Rule) }},
	}
	layoutColumns = []xlsx.Column[estimate.LayoutPiece]{
		{Head: "Layout", Cell: func(p estimate.LayoutPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, p.Layout) }},
		{Head: "Piece", Cell: func(p estimate.LayoutPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, layoutPieceWords(p)) }},
		{Head: "Length", Cell: func(p estimate.LayoutPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, p.Formula()) }},
		{Head: "Joined ends", Cell: func(p estimate.LayoutPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, joinedWords(p)) }},
		{Head: "Ends", Cell: func(p estimate.LayoutPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, p.Ends) }},
	}
)

// layoutPieceWords returns how many of a piece a frame has, and of which board.
func layoutPieceWords(p estimate.LayoutPiece) string {
	words := fmt.Sprintf("%d %s, %s casing", p.Count, p.Piece, p.Board)
	if p.Board == estimate.MullBoard {
		words += ", each mull"
	}
	if p.Equal {
		words += ", all of one width"
	}
	return words
}

// joinedWords returns how many ends of a piece are screwed or mitered.
func joinedWords(p estimate.LayoutPiece) string {
	var words []string
	if p.Bored > 0 {
		words = append(words, fmt.Sprintf("%d bored", p.Bored))
	}
	if p.Mitered > 0 {
		words = append(words, fmt.Sprintf("%d mitered", p.Mitered))
	}
	return strings.Join(words, ", ")
}

// sourcesSheet prints the rules, and what is cited beside them: what each computes and
// where its figures come from; then what no formula tells.
func (w *writer) sourcesSheet(p *xlsx.Sheet) {
	w.top(p, "Sources", "How each amount is calculated. "+
		"Basis says how firm a source is; 'verify' means: not read anywhere, check it before you rely on it. Blank: it follows by geometry.")
	t := xlsx.NewTable(p, "RuleSources", sourceColumns)
	t.Header()
	for _, r := range estimate.SourceRows() {
		t.Row(r)
	}
	t.Finish()
	section(&t.Grid, p, "Conventions", "What no formula tells, and whoever recomputes an estimate has to know.", conventionColumns, estimate.Conventions)
	section(&t.Grid, p, "TrimLayouts", "The pieces of each trim layout. w = frame width + both leg joints; h = frame height + head joint + bottom joint; "+
		"leg drop = that of the opening (assumed, where a door has none) less the leg clearance.", layoutColumns, w.in.Book.Layouts)
}

// section prints a further table below one of a sheet, under a line that says what it is.
func section[R any](above *xlsx.Grid, p *xlsx.Sheet, name, what string, columns []xlsx.Column[R], rows []R) {
	p.Row()
	t := xlsx.NewTable(p, name, columns)
	above.Banner(xlsx.Note, what)
	t.HeaderOnly()
	for _, r := range rows {
		t.Row(r)
	}
	t.Finish()
}
