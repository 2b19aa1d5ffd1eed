// Package sheet opens workbooks and CSV files that strangers filled in and
// hands them on as typed cells that know their place. It refuses what cannot
// be read whole, in words for the estimator; what a cell means is for the
// caller to say.
package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Kind says what a cell holds.
type Kind int

// The kinds of cell. Uncalculated is a formula whose value was never stored;
// ErrorValue is "#REF!" and the like, or text that cannot be trusted.
const (
	Empty Kind = iota
	Text
	Number
	Bool
	Date
	ErrorValue
	Uncalculated
)

// Cell is one cell as the file stores it. All cells of a CSV file are Text or
// Empty.
type Cell struct {
	Kind Kind
	// Text is the text as typed; a number with up to 15 significant digits,
	// which is what a spreadsheet program keeps; TRUE or FALSE; "#REF!"; a date
	// as the cell shows it.
	Text    string
	Number  float64 // value of a Number, serial of a Date, counted as Book.Date1904 says
	Formula bool    // holds a formula, whose stored value this is
	Percent bool    // the number format is a percentage: 0.1 shows as 10 %
	// Merged marks a copy: the value stands in the first cell of a merged area
	// and is repeated along the area's first row for the sake of headers.
	Merged bool
	Place  estimate.Place

	unit     unit
	currency string // sign or code that the number format shows
	other    string // of a Number, what the cell shows where that is another number; of a Text that the format makes of a number, the number
	flaw     flaw
	date1904 bool

	unseen    bool       // its letters have the color of what is behind them
	highlight *highlight // the first conditional format over it that is no decoration
}

// in returns the cell of a number as a section of its number format shows it. Where
// that says more than the number, as W007 does for 7, the cell holds the text that is
// shown.
func (c Cell) in(s section, v float64) Cell {
	shown := s.show(v)
	powers := slices.ContainsFunc(s.tokens, func(t token) bool { return t.kind == exponent })
	switch {
	case s.scaled():
		return c.with(thousands)
	case shown == "":
		return c.with(hidden)
	case powers, !s.plain(c.Number < 0) && !(c.Number == 0 && showsDash(shown)), leadingZero(shown):
		c.Kind, c.Text, c.other = Text, shown, c.Text
		return c
	}
	c.Percent, c.unit, c.currency = s.percent, s.unit, s.currency()
	if from, to := s.body(); from < to {
		digits, held := strings.ReplaceAll(s.number(s.tokens[from:to], math.Abs(v)), ",", ""), math.Abs(v)
		if s.percent {
			held *= 100
		}
		if !sameNumber(strings.TrimSuffix(digits, "%"), held) {
			c.other = digits
		}
	}
	return c
}

// sameNumber reports whether digits, of a decimal or a mixed number, are a number, but
// for the noise of binary fractions.
func sameNumber(digits string, v float64) bool {
	sum := 0.0
	for _, part := range strings.Fields(digits) {
		num, den, isFraction := strings.Cut(part, "/")
		n, ok := parseNumber(num)
		d, okBelow := parseNumber(den)
		if !isFraction {
			d, okBelow = 1, true
		}
		if !ok || !okBelow || d == 0 {
			return false
		}
		sum += n / d
	}
	return math.Abs(sum-v) <= 1e-9*max(1, v)
}

// Rounded returns what a cell shows of its number where the number format leaves a
// part of it away: "36" for 35.75. It is "" for other cells.
func (c Cell) Rounded() string {
	if c.Kind != Number {
		return ""
	}
	return c.other
}

// held returns the number that a cell holds whose format shows another text, which is
// the cell's. It is "" for other cells.
func (c Cell) held() string {
	if c.Kind != Text {
		return ""
	}
	return c.other
}

// Blank reports whether the cell is empty or holds only spaces, including
// no-break and zero-width ones.
func (c Cell) Blank() bool {
	return c.Kind == Empty || c.Kind == Text && c.Word() == ""
}

// Word returns the text trimmed, with every run of spaces inside folded to one.
func (c Cell) Word() string { return foldSpace(c.Text) }

// Problem returns a problem at the cell's place.
func (c Cell) Problem(sev estimate.Severity, what, do string) estimate.Problem {
	return estimate.Problem{Place: c.Place, Severity: sev, What: what, Do: do}
}

// FormatUnit returns the unit of length that the number format writes behind
// the number ("mm", "in", "ft", "cm" or "m"), or "". A cell that shows "36 mm"
// may hold only 36.
func (c Cell) FormatUnit() string { return c.unit.String() }

// Struck reports whether what the cell shows, or a part of it, is struck out.
func (c Cell) Struck() bool { return c.flaw == struckOut || c.flaw == partlyStruck }

// AllStruck reports whether all that stands in a row is struck out, and something is.
func AllStruck(cells []Cell) bool {
	some := false
	for _, c := range cells {
		if c.Blank() || c.Merged {
			continue
		}
		if c.flaw != struckOut {
			return false
		}
		some = true
	}
	return some
}

// Refuse returns the problem of a cell that holds no value to work with, and
// whether there is one: an error value, a formula that was never calculated,
// damaged text, or what is struck out.
func (c Cell) Refuse() (estimate.Problem, bool) {
	switch {
	case c.flaw != sound:
		w := flaws[c.flaw]
		return c.Problem(estimate.Error, fmt.Sprintf(w.what, beginning(c.Text)), w.do), true
	case c.Kind == ErrorValue && c.Formula:
		return c.Problem(estimate.Error, "the formula gives the error "+c.Text, "mend the formula or type the value over it"), true
	case c.Kind == ErrorValue:
		return c.Problem(estimate.Error, "the cell holds the error "+c.Text, "type the value over it"), true
	case c.Kind == Uncalculated:
		return c.Problem(estimate.Error, "the cell has a formula that was never calculated",
			"open the file in your spreadsheet program and save it"), true
	}
	return estimate.Problem{}, false
}

// Unfit returns what is wrong with a cell that is wanted as a text or a plain
// number, and whether anything is: what Refuse says, a percentage, or a date, which
// a spreadsheet program makes of a typed 3-6 or 1/2. What stands there is called
// name; retype says what to do.
func (c Cell) Unfit(name, retype string) (estimate.Problem, bool) {
	if p, bad := c.Refuse(); bad {
		return p, true
	}
	what, do := "", "format the cell as text and "+retype
	switch {
	case c.Kind == Date && c.TypedAsDate() != "":
		what = fmt.Sprintf("%s holds the date %q; %s was probably typed", name, c.Text, c.TypedAsDate())
	case c.Kind == Date:
		what = fmt.Sprintf("%s holds the date %q", name, c.Text)
	case c.Percent:
		what, do = name+" holds a percentage", "format the cell as a number and "+retype
	default:
		return estimate.Problem{}, false
	}
	return c.Problem(estimate.Error, what, do), true
}

// Length reads a length, 0 too. A bare number is in the unit that its format shows
// behind it, else in the one that the header states, else in bare; format and
// header must agree. The note says what else than the number itself was taken.
func (c Cell) Length(stated, bare measure.Unit) (l measure.Length, note string, err error) {
	unit := c.LengthUnit(stated, bare)
	if c.ShowsMoney() {
		return 0, "", &measure.FormError{What: fmt.Sprintf("%q shows an amount of %s", c.Text, c.currency), Do: "format the cell as a plain number"}
	}
	if stated != measure.NoUnit && unit != stated {
		return 0, "", &measure.FormError{What: fmt.Sprintf("shows %s %s under a header in %s", c.Text, unit, stated), Do: "correct the header or the format of the cell"}
	}
	if c.Kind != Number {
		l, err = measure.ParseLength(c.Text, unit)
		return l, "", err
	}
	return measure.FromNumber(c.Number, unit)
}

// LengthUnit returns the unit of a bare number, see Length.
func (c Cell) LengthUnit(stated, bare measure.Unit) measure.Unit {
	shown, _ := measure.ParseUnit(c.FormatUnit())
	for _, u := range []measure.Unit{shown, stated} {
		if u != measure.NoUnit {
			return u
		}
	}
	return bare
}

// A flaw is a reason not to trust a text.
type flaw uint8

const (
	sound flaw = iota
	control
	encoding
	lost
	tooLong
	struckOut
	partlyStruck
	raised
	thousands
	hidden
)

// maxText is how many characters a worksheet cell can hold.
const maxText = 32_767

var flaws = [...]struct{ what, do string }{
	control:      {"%s holds a control character", "type the text again"},
	encoding:     {"%s holds bytes that are not UTF-8 text", "save the file as CSV UTF-8 and check this cell"},
	lost:         {"%s holds a character that was lost", "type the text again"},
	tooLong:      {"the text beginning %s is longer than 32,767 characters", "shorten it; in a CSV file look for a quotation mark that is not closed"},
	struckOut:    {"%s is struck out", "clear the cell, or take the line through it away"},
	partlyStruck: {"a part of %s is struck out", "delete that part, or take the line through it away"},
	thousands:    {"%s is shown in thousands", "format the cell as a plain number"},
	hidden:       {"%s is hidden by the cell's number format", "format the cell as a plain number, or clear it"},
	raised:       {"%s holds digits that stand high or low", "type the text again without them"},
}

// textCell returns a cell of text, refused when the text cannot be trusted.
func textCell(text string, at estimate.Place) Cell {
	c := Cell{Kind: Text, Text: text, Place: at}
	if text == "" {
		c.Kind = Empty
	}
	c = c.with(findFlaw(text))
	if c.flaw == encoding {
		if at.Sheet != "" { // no workbook stores such bytes
			c.flaw = lost
		}
		c.Text = strings.ToValidUTF8(text, "\uFFFD")
	}
	return c
}

// with returns the cell with a flaw, if there is one and it has none yet.
func (c Cell) with(f flaw) Cell {
	if c.flaw == sound && f != sound {
		c.flaw, c.Kind = f, ErrorValue
	}
	return c
}

func findFlaw(text string) flaw {
	n := 0
	for _, r := range text {
		switch {
		case r == unicode.ReplacementChar:
			return encoding
		case unicode.IsControl(r) && r != '\t' && r != '\n' && r != '\r':
			return control
		}
		n++
	}
	if n > maxText {
		return tooLong
	}
	return sound
}

// foldSpace trims a text and folds every run of spaces to one. Zero-width
// characters are no spaces to the eye: they vanish.
func foldSpace(s string) string {
	if isFolded(s) {
		return s // as nearly every text is
	}
	s = strings.Map(func(r rune) rune {
		if isZeroWidth(r) {
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// isFolded tells whether folding leaves a text as it is, of the usual letters without
// decoding them: it is asked of every cell.
func isFolded(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c >= utf8.RuneSelf:
			return isFoldedText(s)
		case c == ' ' && (i == 0 || i == len(s)-1 || s[i+1] == ' '), '\t' <= c && c <= '\r':
			return false
		}
	}
	return true
}

func isFoldedText(s string) bool {
	return !strings.HasPrefix(s, " ") && !strings.HasSuffix(s, " ") && !strings.Contains(s, "  ") &&
		!strings.ContainsFunc(s, func(r rune) bool { return r != ' ' && unicode.IsSpace(r) || isZeroWidth(r) || r == utf8.RuneError })
}

func isZeroWidth(r rune) bool {
	return r >= '\u200B' && r <= '\u200F' || r == '\u2060' || r == '\uFEFF' || r == '\u00AD'
}
