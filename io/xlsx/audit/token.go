package audit

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
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
	Kind   tokenKind
	Text   string
	called bool // the bracket of a function
}

var (
	numberShape  = regexp.MustCompile(`^[0-9.]+$`)
	addressShape = regexp.MustCompile(`^(\$?)([A-Z]{1,3})(\$?)([0-9]+)$`)
)

// scan cuts a formula into its parts.
func scan(f string) (out []token) {
	for rest := f; rest != ""; {
		var t token
		t.Text, rest = formula.NextToken(rest)
		switch {
		case t.Text[0] == '"':
			t.Kind = tokenText
		case strings.HasPrefix(rest, "!"):
			t.Kind = tokenSheet
			t.Text = strings.ReplaceAll(strings.Trim(t.Text, "'"), "''", "'")
		case strings.HasPrefix(rest, "(") && formula.IsWord(t.Text):
			t.Kind = tokenFunction
		case numberShape.MatchString(t.Text):
			t.Kind = tokenNumber
		case addressShape.MatchString(t.Text):
			t.Kind = tokenCell
		case t.Text == "(":
			t.called = len(out) > 0 && out[len(out)-1].Kind == tokenFunction
		}
		out = append(out, t)
	}
	return out
}

// reference is a cell or range that a formula refers to.
type reference struct {
	Sheet string
	formula.Area
}

// references returns what a formula on a sheet refers to.
func references(f, own string) []reference { return referencesIn(scan(f), own) }

func referencesIn(tokens []token, own string) (out []reference) {
	for i := 0; i < len(tokens); i++ {
		if tokens[i].Kind != tokenCell {
			continue
		}
		r := reference{Sheet: own}
		if i >= 2 && tokens[i-2].Kind == tokenSheet {
			r.Sheet = tokens[i-2].Text
		}
		r.Row, r.Col = addressOf(tokens[i].Text)
		r.Row2, r.Col2 = r.Row, r.Col
		if i+2 < len(tokens) && tokens[i+1].Text == ":" && tokens[i+2].Kind == tokenCell {
			i += 2
			r.Row2, r.Col2 = addressOf(tokens[i].Text)
		}
		out = append(out, r)
	}
	return out
}

func addressOf(s string) (row, col int) {
	col, row, _ = excelize.CellNameToCoordinates(strings.ReplaceAll(s, "$", "")) // its shape was matched
	return row, col
}

// shape returns a formula as it looks from its row: two cells of a column
// that say the same of their rows have the same shape. Of another sheet the
// column counts, since a record has another row there.
func shape(f string, row int) string {
	var out strings.Builder
	tokens := scan(f)
	away := false // within a reference to another sheet
	for i, t := range tokens {
		switch {
		case t.Kind == tokenSheet:
			away = true
		case t.Kind != tokenCell:
			away = away && (t.Text == "!" || t.Text == ":")
		}
		if t.Kind != tokenCell {
			out.WriteString(t.Text)
			continue
		}
		m := addressShape.FindStringSubmatch(t.Text)
		at, _ := strconv.Atoi(m[4])
		out.WriteString(m[1] + m[2])
		switch {
		case away:
			away = i+1 < len(tokens) && tokens[i+1].Text == ":"
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

// contents is what a formula is made of, as the rules of modeling look at it.
type contents struct {
	Size      int      // characters, without the names of sheets and words to show
	Ifs       int      // how deep IF stands within IF
	Numbers   []string // but those that say to how many digits is rounded
	Functions []string
}

// inside takes a formula apart.
func inside(f string) (in contents) {
	var open []string // functions whose brackets are open, "" for a plain bracket
	digits := false   // a number here says to how many digits is rounded
	for _, t := range scan(f) {
		if t.Kind != tokenSheet && t.Kind != tokenText {
			in.Size += len(t.Text)
		}
		if t.Kind == tokenNumber && !digits {
			in.Numbers = append(in.Numbers, t.Text)
		}
		digits = false
		switch {
		case t.Kind == tokenFunction:
			in.Functions, open = append(in.Functions, t.Text), append(open, t.Text)
			depth := 0
			for _, name := range open {
				if name == "IF" {
					depth++
				}
			}
			in.Ifs = max(in.Ifs, depth)
		case t.Text == "(" && !t.called:
			open = append(open, "")
		case t.Text == ")" && len(open) > 0:
			open = open[:len(open)-1]
		case t.Text == "," && len(open) > 0:
			digits = slices.Contains([]string{"ROUND", "ROUNDUP"}, open[len(open)-1])
		}
	}
	return in
}
