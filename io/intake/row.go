package intake

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// row is a row of a list.
type row struct {
	place   estimate.Place
	cells   []sheet.Cell
	columns []column
	down    map[spot]sheet.Cell // of areas merged over rows
	index   int
}

func rowPlace(s *sheet.Sheet, i int) estimate.Place {
	p := estimate.Place{File: s.File, Sheet: s.Name, Row: i + 1}
	if s.Name == "" && len(s.Rows[i]) > 0 {
		p.Row = s.Rows[i][0].Place.Row
	}
	return p
}

// cell returns the row's cell of a column, with the header in its place.
func (r row) cell(c column) sheet.Cell {
	out := sheet.Cell{Place: r.place}
	out.Place.Col = c.at + 1
	if c.at < len(r.cells) && !r.cells[c.at].Merged {
		out = r.cells[c.at]
	}
	if above, ok := r.down[spot{r.index, c.at}]; ok && out.Blank() {
		out = above
	}
	out.Place.Column = c.header
	return out
}

// texts returns the filled cells of a field.
func (r row) texts(f field) []string {
	var out []string
	for _, c := range r.columns {
		if cell := r.cell(c); c.field == f && !isBlank(cell) && !cell.Struck() {
			out = append(out, cell.Word())
		}
	}
	return out
}

func (r row) text(f field) string { return strings.Join(r.texts(f), ", ") }

func (r row) filled() int {
	n := 0
	for _, c := range r.cells {
		if !isBlank(c) {
			n++
		}
	}
	return n
}

// first returns the first filled cell.
func (r row) first() string {
	for _, c := range r.cells {
		if !isBlank(c) {
			return c.Word()
		}
	}
	return ""
}

// passed says why a row is no opening: the heading that it is, or what else.
func (r row) passed() (heading, what string) {
	first := r.first()
	sized := slices.ContainsFunc(r.columns, func(c column) bool { return c.isSize() && !isBlank(r.cell(c)) })
	switch {
	case r.filled() == 1 && !sized && titleLike(first):
		return first, ""
	case slices.Contains(sheet.TotalWords, words(first)) && r.text(typeField) == "":
		return "", fmt.Sprintf("the row %q is no opening and is passed over", sheet.Excerpt(first))
	case r.filled() > 0 && !sized && r.text(markField) == "" && r.text(typeField) == "" && r.text(classField) == "" && r.text(labelField) == "":
		return "", "the row has no mark, type or size and is passed over"
	}
	return "", ""
}

// titleLike reports whether a text that stands alone is a title rather than a
// mark: longer than a mark, with letters, and more than one word or no digits.
func titleLike(text string) bool {
	list := words(text)
	several := strings.Contains(list, " ") && !markLike.MatchString(text)
	return len(text) > 3 && strings.Trim(list, "0123456789 ") != "" && (several || !strings.ContainsAny(text, "0123456789"))
}

// markLike is a mark in one word: W7, D101A, W-2.
var markLike = regexp.MustCompile(`^[A-Za-z]{0,3}[-.]?\d+[A-Za-z]?$`)

// entry reads a row.
func (l *list) entry(r row, section []string) *entry {
	e := &entry{
		place: r.place, qty: 1, section: section,
		class: r.text(classField), labels: slices.Concat(r.texts(typeField), r.texts(labelField)),
		position: r.text(positionField), outside: r.text(outsideField), rooms: r.texts(roomField),
		level: r.text(levelField), facing: r.text(facingField), remarks: r.texts(remarkField),
	}
	e.mark = cmp.Or(r.text(markField), r.text(typeField))
	e.named = r.text(markField) != ""
	if !e.named && bareKind(e.mark) {
		e.mark = "" // Window is no mark
	}
	if e.named {
		e.labels = append(e.labels, e.mark)
	}
	for _, c := range r.columns {
		switch cell := r.cell(c); {
		case cell.Blank() || cell.Merged:
		case slices.Contains([]field{typeField, classField, labelField}, c.field) && sheet.Unsettled(cell.Word()):
			e.unsettled = cell.Word()
		case c.isSize() && c.basis == Useless && !isBlank(cell):
			e.useless = c.header
		case c.field == noteField && !isBlank(cell) && !cell.Struck():
			e.remarks = append(e.remarks, strings.ToLower(c.header)+" "+cell.Word())
		case c.field == ownField:
			if e.ownCells == nil {
				e.ownCells = map[string]sheet.Cell{}
			}
			e.ownCells[c.own] = cell
		}
	}
	if t := r.text(typeField); e.named && t != "" {
		e.remarks = append(e.remarks, "type "+t)
	}
	for _, s := range section {
		e.level = cmp.Or(e.level, levelIn(s))
	}
	l.sizes(e, r)
	l.count(e, r)
	for _, c := range l.with(markField) {
		if cell := r.cell(c); sheet.IsDitto(cell.Word()) {
			what, do := sheet.NotName(cell.Word())
			l.refuse(e, cell.Place, sheet.Excerpt(c.header)+" "+what, do)
		}
	}
	for _, c := range r.columns {
		p, bad := r.cell(c).Refuse()
		switch {
		case !bad || c.field == noField || c.field == unusedField:
			continue
		case c.field == remarkField, c.field == noteField && r.cell(c).Struck():
			p.Severity = estimate.Warning
		default:
			e.bad = true
		}
		l.problems = append(l.problems, p)
	}
	return e
}

// bareKind reports whether a type says no more than a kind.
func bareKind(text string) bool {
	w := words(text)
	if slices.Contains(windowWords, w) || slices.Contains(doorWords, w) || slices.Contains(estimate.Kinds, w) {
		return true
	}
	return slices.ContainsFunc(specific, func(s specificWords) bool { return slices.Contains(s.words, w) })
}

// sizes takes the cells of sizes, and last the texts that may hold one among
// other words.
func (l *list) sizes(e *entry, r row) {
	for _, b := range []Basis{Opening, Frame, Unstated, Call} {
		s := size{basis: b}
		for _, c := range r.columns {
			cell := r.cell(c)
			if !c.isSize() || c.basis != b {
				continue
			}
			if c.field == sizeField {
				if isBlank(cell) {
					continue
				}
				e.sizes = append(e.sizes, size{basis: b, both: cell, unit: c.unit, heightFirst: c.heightFirst, strict: true, from: c.header})
				continue
			}
			if s.from != "" && c.unit != measure.NoUnit && s.unit != measure.NoUnit && c.unit != s.unit {
				l.refuse(e, cell.Place, fmt.Sprintf("the width and the height have headers in %s and in %s", unitNames[s.unit], unitNames[c.unit]),
					"write both in one unit")
			}
			s.unit = cmp.Or(c.unit, s.unit)
			s.from = cmp.Or(s.from, c.header)
			if c.field == widthField {
				s.w = cell
			} else {
				s.h = cell
			}
		}
		if !isBlank(s.w) || !isBlank(s.h) {
			e.sizes = append(e.sizes, s)
		}
	}
	for _, c := range r.columns {
		if cell := r.cell(c); (c.field == labelField || c.field == typeField || c.field == markField) && cell.Kind == sheet.Text && !isBlank(cell) {
			e.sizes = append(e.sizes, size{both: cell, from: c.header})
		}
	}
}

// levelIn returns a text if it names a story.
func levelIn(text string) string {
	list := strings.Fields(words(text))
	if slices.ContainsFunc(list, func(w string) bool { return slices.Contains([]string{"level", "floor", "storey", "story"}, w) }) {
		return text
	}
	return ""
}
