package workbook

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// The kinds of what a formula is made of.
type tokenKind int

const (
	tokenOther tokenKind = iota
	tokenText
	tokenNumber
	tokenCell
	tokenSheet
	tokenFunction
)

type token struct {
	kind   tokenKind
	text   string
	called bool // the bracket of a function
}

var (
	numberShape  = regexp.MustCompile(`^[0-9.]+$`)
	addressShape = regexp.MustCompile(`^(\$?)([A-Z]{1,3})(\$?)([0-9]+)$`)
)

// scanFormula cuts a formula into its parts.
func scanFormula(f string) (out []token) {
	for rest := f; rest != ""; {
		var t token
		t.text, rest = nextToken(rest)
		switch {
		case t.text[0] == '"':
			t.kind = tokenText
		case strings.HasPrefix(rest, "!"):
			t.kind = tokenSheet
			t.text = strings.ReplaceAll(strings.Trim(t.text, "'"), "''", "'")
		case strings.HasPrefix(rest, "(") && isWord(t.text):
			t.kind = tokenFunction
		case numberShape.MatchString(t.text):
			t.kind = tokenNumber
		case addressShape.MatchString(t.text):
			t.kind = tokenCell
		case t.text == "(":
			t.called = len(out) > 0 && out[len(out)-1].kind == tokenFunction
		}
		out = append(out, t)
	}
	return out
}

// reference is a cell or range that a formula refers to.
type reference struct {
	sheet string
	area
}

// references returns what a formula on a sheet refers to.
func references(f, own string) []reference { return referencesIn(scanFormula(f), own) }

func referencesIn(tokens []token, own string) (out []reference) {
	for i := 0; i < len(tokens); i++ {
		if tokens[i].kind != tokenCell {
			continue
		}
		r := reference{sheet: own}
		if i >= 2 && tokens[i-2].kind == tokenSheet {
			r.sheet = tokens[i-2].text
		}
		r.row, r.col = addressOf(tokens[i].text)
		r.row2, r.col2 = r.row, r.col
		if i+2 < len(tokens) && tokens[i+1].text == ":" && tokens[i+2].kind == tokenCell {
			i += 2
			r.row2, r.col2 = addressOf(tokens[i].text)
		}
		out = append(out, r)
	}
	return out
}

func addressOf(s string) (row, col int) {
	col, row, _ = excelize.CellNameToCoordinates(strings.ReplaceAll(s, "$", "")) // its shape was matched
	return row, col
}

// shapeOfFormula returns a formula as it looks from its row: two cells of a column
// that say the same of their rows have the same shape. Of another sheet the
// column counts, since a record has another row there.
func shapeOfFormula(f string, row int) string {
	var out strings.Builder
	tokens := scanFormula(f)
	away := false // within a reference to another sheet
	for i, t := range tokens {
		switch {
		case t.kind == tokenSheet:
			away = true
		case t.kind != tokenCell:
			away = away && (t.text == "!" || t.text == ":")
		}
		if t.kind != tokenCell {
			out.WriteString(t.text)
			continue
		}
		m := addressShape.FindStringSubmatch(t.text)
		at, _ := strconv.Atoi(m[4])
		out.WriteString(m[1] + m[2])
		switch {
		case away:
			away = i+1 < len(tokens) && tokens[i+1].text == ":"
		case m[3] != "":
			out.WriteString("$" + m[4])
		case at < row:
			out.WriteString("^")
		case at == row:
			out.WriteString("=")
		default:
			out.WriteString("v")
		}
	}
	return out.String()
}

// contents is what a formula is made of, as the rules of modelling look at it.
type contents struct {
	size      int      // characters, without the names of sheets and words to show
	ifs       int      // how deep IF stands within IF
	numbers   []string // but those that say to how many digits is rounded
	functions []string
}

// insideOf takes a formula apart.
func insideOf(f string) (in contents) {
	var open []string // functions whose brackets are open, "" for a plain bracket
	digits := false   // a number here says to how many digits is rounded
	for _, t := range scanFormula(f) {
		if t.kind != tokenSheet && t.kind != tokenText {
			in.size += len(t.text)
		}
		if t.kind == tokenNumber && !digits {
			in.numbers = append(in.numbers, t.text)
		}
		digits = false
		switch {
		case t.kind == tokenFunction:
			in.functions, open = append(in.functions, t.text), append(open, t.text)
			depth := 0
			for _, name := range open {
				if name == "IF" {
					depth++
				}
			}
			in.ifs = max(in.ifs, depth)
		case t.text == "(" && !t.called:
			open = append(open, "")
		case t.text == ")" && len(open) > 0:
			open = open[:len(open)-1]
		case t.text == "," && len(open) > 0:
			digits = slices.Contains([]string{"ROUND", "ROUNDUP"}, open[len(open)-1])
		}
	}
	return in
}
