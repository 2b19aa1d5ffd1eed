package measure

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// A FormError says that a text or number is not written as its kind of value
// must be: What is wrong, quoting the value first so that the name of the
// column can stand before it, and what to Do about it. Every Parse and
// FromNumber function of this package returns its errors as *FormError.
type FormError struct {
	What string
	Do   string
}

// Error returns "what (do)".
func (e *FormError) Error() string { return e.What + " (" + e.Do + ")" }

// wrong returns the FormError for the value written as s.
func wrong(s, what, do string) *FormError {
	return &FormError{What: Quote(s) + " " + what, Do: do}
}

// number returns v as a cell shows it, for errors.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// maxQuoted is how many characters of a value an error repeats.
const maxQuoted = 60

// Quote returns s between quotation marks, on one line and not too long. Marks
// inside are left as they are, for they are the reader's inch marks.
func Quote(s string) string {
	clean := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD")))
	if len(clean) > maxQuoted {
		clean = append(clean[:maxQuoted], '…')
	}
	return `"` + string(clean) + `"`
}

// spelling maps what word processors, phones and drawing programs write to the
// characters of a plain keyboard. A vulgar fraction brings the space that keeps
// it apart from a whole number before it.
var spelling = strings.NewReplacer(
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⅓", " 1/3", "⅔", " 2/3", "⅙", " 1/6", "⅚", " 5/6",
	"⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5",
	"⁄", "/", "∕", "/",
	"×", "x", "✕", "x", "⨯", "x",
	"‐", "-", "‑", "-", "‒", "-", "–", "-", "—", "-", "―", "-", "−", "-", "﹣", "-",
	"′", "'", "’", "'", "‘", "'", "‛", "'", "ʹ", "'", "ʼ", "'", "´", "'", "`", "'",
	"″", `"`, "”", `"`, "“", `"`, "‟", `"`, "„", `"`, "ʺ", `"`, "〃", `"`,
)

// plain returns s as a plain keyboard would have typed it: full-width
// characters narrowed, invisible ones dropped, each run of white space one
// space, none at the ends, two single quotes one double quote, lower case.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r >= '！' && r <= '～': // full width forms of ! to ~
			return r - '！' + '!'
		case unicode.Is(unicode.Cf, r): // zero-width spaces, joiners, marks
			return -1
		default:
			return r
		}
	}, s)
	s = strings.ReplaceAll(spelling.Replace(smallFraction(s)), "''", `"`)
	return strings.ToLower(strings.Join(strings.Fields(s), " "))
}

// smallDigits are those that stand high or low.
var smallDigits = strings.NewReplacer(
	"⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9",
	"₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9",
)

// smallForm is a fraction of the tape in small digits: ¹/₂, or ¹/2.
var smallForm = regexp.MustCompile(`([⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}) ?[/⁄∕] ?([₀-₉]{1,2}|[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}|\d{1,2})`)

// smallFraction writes the fractions in small digits as a keyboard does, apart from
// the whole number before them.
func smallFraction(s string) string {
	return smallForm.ReplaceAllStringFunc(s, func(f string) string {
		m := smallForm.FindStringSubmatch(f)
		num, den := smallDigits.Replace(m[1]), smallDigits.Replace(m[2])
		if !tapeFraction(small(num), small(den)) {
			return f
		}
		return " " + num + "/" + den
	})
}
