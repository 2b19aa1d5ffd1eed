package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// column is what a header says of the cells under it.
type column struct {
	at          int // index in the row
	field       field
	rank        int // of the words among those of the field: of two, the lower is taken
	basis       Basis
	own         string // of ownField, the column of ours
	unit        measure.Unit
	heightFirst bool       // of a size in one cell
	header      string     // as written, the group's title first: "Rough opening > Width"
	cell        sheet.Cell // of the lowest row
}

// isSize reports whether the cells hold a side, or both.
func (c column) isSize() bool {
	return c.field == widthField || c.field == heightField || c.field == sizeField
}

var (
	widthByHeight = regexp.MustCompile(`(?i)\bw(?:idth)? ?(?:x|×|by|/|\*) ?h(?:eight|t)?\b`)
	heightByWidth = regexp.MustCompile(`(?i)\bh(?:eight|t)? ?(?:x|×|by|/|\*) ?w(?:idth)?\b`)
	roundAbout    = strings.NewReplacer("M.O.", " mo ", "M/O", " mo ", "R.O.", " ro ", "R.O", " ro ", "R/O", " ro ", "r.o.", " ro ", "O/A", " overall ", "#", " no ",
		`(")`, " inches ", "(')", " feet ", "(″)", " inches ", "(′)", " feet ", "(”)", " inches ", "(’)", " feet ")
)

// headerWords returns a header's words, its unit taken off. Of two units ("ft-in")
// a number has neither.
func headerWords(text string) (string, measure.Unit) {
	text = widthByHeight.ReplaceAllString(roundAbout.Replace(sheet.Cell{Text: text}.Word()), " "+wxh+" ")
	text = heightByWidth.ReplaceAllString(text, " "+hxw+" ")
	list := strings.Fields(words(text))
	unit, mixed := measure.NoUnit, false
	for len(list) > 1 {
		u, ok := measure.ParseUnit(list[len(list)-1])
		if !ok {
			break
		}
		list = list[:len(list)-1]
		switch {
		case unit == measure.NoUnit && !mixed:
			unit = u
		case u != measure.Inches: // "in mm" has two words that name units, and means one
			unit, mixed = measure.NoUnit, true
		}
	}
	return strings.Join(list, " "), unit
}

// lastRank stands behind all words of the table.
const lastRank = 1000

// meaning returns what a header means, field noField when that is not known.
func meaning(text string) column {
	list, unit := headerWords(text)
	for _, h := range headers {
		if i := slices.Index(h.words, list); i >= 0 {
			return column{field: h.field, rank: i, header: text}
		}
	}
	for _, key := range ownColumns {
		if i := slices.Index(ownHeaders[key], list); i >= 0 {
			return column{field: ownField, own: key, rank: i, header: text}
		}
	}
	if sheet.CountingOf(text) == sheet.Counts {
		return column{field: countField, rank: lastRank, header: text} // Qty req'd, Total qty
	}
	c := sizeMeaning(list)
	c.unit, c.header = unit, text
	return c
}

// sizeMeaning reads a header that is made of nothing but the words of sizes.
// Two bases in one header are none.
func sizeMeaning(list string) column {
	var c column
	for _, w := range strings.Fields(list) {
		s, ok := sizeWords[w]
		switch {
		case !ok:
			return column{}
		case s.side == sizeField && c.field != noField, s.side == noField:
		case c.field == noField || c.field == sizeField:
			c.field, c.heightFirst = s.side, w == hxw
		default:
			return column{}
		}
		switch {
		case s.basis == Unstated || s.basis == c.basis:
		case c.basis == Unstated:
			c.basis = s.basis
		default:
			return column{}
		}
	}
	if c.field == noField && slices.Contains(bareSizes, list) {
		c.field = sizeField
	}
	if c.field == noField {
		return column{}
	}
	return c
}

// pathMeaning returns what a header under titles means. The titles give a size
// its basis; a column of another kind must be under no title, or one that says
// no more than door, window or size (the Type under Frame is the frame's), or count
// openings, unless the title is lent by a neighbor and may have ended before.
func pathMeaning(path []string, lent bool) column {
	last := len(path) - 1
	full := strings.Join(path, " > ")
	c := meaning(strings.Join(path, " "))
	if c.field == noField && last > 0 {
		bare := meaning(path[last])
		counts := bare.field == countField && !sheet.CountsParts(full)
		if !bare.isSize() && (lent || counts || neutral(strings.Join(path[:last], " "))) {
			bare.header = path[last]
			return bare
		}
	}
	c.header = full
	return c
}

// neutral reports whether a title adds nothing to the headers under it.
func neutral(title string) bool {
	list, _ := headerWords(title)
	for _, w := range strings.Fields(list) {
		if s, ok := sizeWords[w]; !ok || s.basis != Unstated {
			return false
		}
	}
	return true
}

// block is a header of one to three rows with what its columns mean.
type block struct {
	top, bottom int // indices of rows, both belong to it
	columns     []column
	score       int
}

// deepest is how many rows of headers are read as one.
const deepest = 3

// blocks finds the headers of a sheet: several when a header is repeated on
// each page, or lists stand below each other. Of overlapping ones the one that
// says most is taken, and the lowest of those that say the same.
func blocks(s *sheet.Sheet) []block {
	var found []block
	for bottom, row := range s.Rows {
		if !slices.ContainsFunc(row, looksLikeHeader) || holdsNumbers(row) {
			continue
		}
		for depth := 1; depth <= deepest && depth <= bottom+1; depth++ {
			if b, ok := newBlock(s, bottom-depth+1, bottom); ok {
				found = append(found, b)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b block) int { return b.score - a.score })
	var out []block
	for _, b := range found {
		if !slices.ContainsFunc(out, func(o block) bool { return b.top <= o.bottom && o.top <= b.bottom }) {
			out = append(out, b)
		}
	}
	slices.SortFunc(out, func(a, b block) int { return a.top - b.top })
	return out
}

// holdsNumbers reports whether a row has several numbers, as rows of openings have and
// headers have not: a remark that says "RO size" makes no header of it.
func holdsNumbers(row []sheet.Cell) bool {
	n := 0
	for _, c := range row {
		if c.Kind == sheet.Number || c.Kind == sheet.Text && strings.Trim(c.Word(), "0123456789.") == "" && !c.Blank() {
			n++
		}
	}
	return n > 1
}

// looksLikeHeader is a cheap question before the rows are looked at closely: is
// this the header of a side or of a count?
func looksLikeHeader(c sheet.Cell) bool {
	const longest = 80
	if c.Kind != sheet.Text || len(c.Text) > longest || strings.ContainsAny(c.Text, "0123456789") {
		return false
	}
	list, _ := headerWords(c.Text)
	return slices.ContainsFunc(strings.Fields(list), func(w string) bool { return sizeWords[w].side != noField }) || meaning(c.Text).field == countField
}

// newBlock reads rows as a header, if they are one: with a size, or a type and
// a count, beside at least one other field.
func newBlock(s *sheet.Sheet, top, bottom int) (block, bool) {
	width := 0
	for i := top; i <= bottom; i++ {
		if len(s.Rows[i]) == 0 {
			return block{}, false
		}
		width = max(width, len(s.Rows[i]))
	}
	b := block{top: top, bottom: bottom}
	fields, sizes := map[field]bool{}, map[string]bool{}
	for at := range width {
		path, lent := headerPath(s, top, bottom, at)
		if len(path) == 0 {
			continue
		}
		c := pathMeaning(path, lent)
		c.at, c.cell = at, headerCell(s, top, bottom, at)
		c.cell.Place.Column = c.header
		b.columns = append(b.columns, c)
		switch {
		case c.field == noField || c.field == unusedField:
			continue
		case c.isSize():
			key := fmt.Sprint(c.field, c.basis)
			if sizes[key] {
				b.score -= 2 // titles above would tell them apart
			}
			sizes[key] = true
			if c.basis != Unstated {
				b.score++
			}
		}
		switch {
		case !fields[c.field]:
			b.score += 2
		case !c.isSize() && !slices.Contains(several, c.field):
			b.score--
		}
		fields[c.field] = true
	}
	sized := fields[sizeField] || fields[widthField] && fields[heightField]
	typed := fields[countField] && (fields[typeField] || fields[labelField])
	return b, (sized || typed) && len(fields) >= 2 && b.score > 0
}

// headerPath returns the titles over a column and its header, without blanks
// and repetitions. A title stands over the blanks at its right, as far as
// headers are under them, unless a merged area says how far; then it is lent.
func headerPath(s *sheet.Sheet, top, bottom, at int) (path []string, lent bool) {
	for row := top; row <= bottom; row++ {
		text := headerText(s, row, at)
		if row == bottom && text != "" && s.Rows[row][at].Merged {
			continue // a title without headers under it
		}
		if text == "" && row < bottom && headerText(s, bottom, at) != "" {
			text = titleAtLeft(s, row, at)
			if f := meaning(text).field; f != noField && f != sizeField {
				text = "" // the header of a column, whose cell below is blank
			}
			lent = lent || text != ""
		}
		if text == "" || len(path) > 0 && path[len(path)-1] == text {
			continue
		}
		path = append(path, text)
	}
	return path, lent
}

func headerText(s *sheet.Sheet, row, at int) string {
	if at >= len(s.Rows[row]) {
		return ""
	}
	c := s.Rows[row][at]
	if c.Kind != sheet.Text && c.Kind != sheet.Number {
		return ""
	}
	return c.Word()
}

func titleAtLeft(s *sheet.Sheet, row, at int) string {
	for left := at - 1; left >= 0; left-- {
		if text := headerText(s, row, left); text != "" {
			merged := slices.ContainsFunc(s.Merges, func(a sheet.Area) bool {
				return a.Top <= row+1 && row+1 <= a.Bottom && a.Left <= left+1 && left+1 <= a.Right
			})
			if merged {
				return ""
			}
			return text
		}
	}
	return ""
}

// headerCell returns the lowest filled cell of a header.
func headerCell(s *sheet.Sheet, top, bottom, at int) sheet.Cell {
	for row := bottom; row >= top; row-- {
		if headerText(s, row, at) != "" {
			return s.Rows[row][at]
		}
	}
	return sheet.Cell{}
}
