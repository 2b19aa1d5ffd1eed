package xlsx

import (
	"strconv"
	"strings"

	"sillwright/io/xlsx/formula"
)

// A column whose formulas say the same of their rows can store them once, for the first
// of these rows; those of the rows right below say that they are it, moved down (ECMA-376-1,
// 18.3.1.40, f, with t="shared"). Of a sheet that holds every input this halves what is
// written, checked and packed.

// sharedFormula is a formula that several cells of a column have.
type sharedFormula struct {
	id    int
	text  string // as it stands in its first row
	area  formula.Area
	known bool // it was checked
}

// sharedKey is a formula, before its names are resolved, in a column.
type sharedKey struct {
	col  int
	text string
}

// share gives a cell the formula of the row above of its column that is made of the same
// names. What else such a formula names must not move with the row.
func (t *Table[R]) share(c Cell, row, col int) Cell {
	key := sharedKey{col, c.F}
	of := t.shared[key]
	if of == nil {
		if at := movingReference(c.F); at != "" {
			t.sheet.out.Fail("formula %q of table %s is shared and names %s, which would move", c.F, t.name, at)
		}
	}
	if of == nil || of.area.Row2 != row-1 {
		of = &sharedFormula{id: t.sheet.sharedCount, text: t.resolve(c.F, row), area: formula.Area{Row: row, Col: col, Row2: row, Col2: col}}
		t.sheet.sharedCount++
		if t.shared == nil {
			t.shared = map[sharedKey]*sharedFormula{}
		}
		t.shared[key] = of
	}
	of.area.Row2 = row
	c.F, c.shared = of.text, of
	return c
}

// movingReference returns a reference of a formula that is not one of its names in braces
// and is not fixed by a dollar sign, "" for none.
func movingReference(f string) string {
	named := false
	for rest := f; rest != ""; {
		var token string
		token, rest = formula.NextToken(rest)
		switch {
		case token == "{":
			named = true
		case token == "}":
			named = false
		case named && token == "@":
			return token
		case !named && !strings.HasPrefix(rest, "(") && !strings.HasPrefix(rest, "!") && formula.Moves(token):
			return token
		}
	}
	return ""
}

// checked reports whether the formula was looked at with an earlier cell.
func (s *sharedFormula) checked() bool {
	if s == nil {
		return false
	}
	before := s.known
	s.known = true
	return before
}

// appendFormula appends the formula of a cell.
func appendFormula(b []byte, row int, c *Cell) []byte {
	s := c.shared
	if s == nil || s.area.Row == s.area.Row2 {
		b = appendEscaped(append(b, `<f>`...), c.F)
		return append(b, `</f>`...)
	}
	b = append(b, `<f t="shared`...)
	if first := row == s.area.Row; first {
		b = append(b, `" ref="`...)
		b = append(b, s.area.String()...)
	}
	b = append(b, `" si="`...)
	b = strconv.AppendInt(b, int64(s.id), 10)
	if row != s.area.Row {
		return append(b, `"/>`...)
	}
	b = appendEscaped(append(b, `">`...), c.F)
	return append(b, `</f>`...)
}
