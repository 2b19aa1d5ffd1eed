package formula

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// portable are the functions that give the same result in every spreadsheet
// program the workbook was tried in. None is volatile.
var portable = func() map[string]bool {
	m := map[string]bool{}
	for _, name := range strings.Fields(`
		ABS AND AVERAGE CEILING CONCATENATE COUNT COUNTA COUNTBLANK COUNTIF COUNTIFS EXACT FIND FLOOR IF IFERROR
		INDEX INT ISBLANK ISERROR ISNUMBER ISTEXT LEFT LEN LOWER MATCH MAX MEDIAN MID MIN MOD MROUND N NOT OR RIGHT ROUND
		ROUNDDOWN ROUNDUP ROWS SUBSTITUTE SUBTOTAL SUM SUMIF SUMIFS SUMPRODUCT TEXT TRIM UPPER VALUE`) {
		m[name] = true
	}
	return m
}()

const maxFormula = 8192

// Fault returns what is wrong with the text of a formula, or "". The
// file format stores any text, so that a slip shows only when the workbook is
// opened. It is strict: no structured or outside references, no array
// constants, commas between arguments.
func Fault(f string, known func(sheet string) bool) string {
	fault := func(what string) string { return fmt.Sprintf("formula %q %s", f, what) }
	switch {
	case strings.TrimSpace(f) != f || f == "":
		return fault("is empty or begins or ends with a space")
	case f[0] == '=':
		return fault(`begins with "="`)
	case len(f) > maxFormula && Utf16Len(f) > maxFormula:
		return fault("is too long")
	}
	depth := 0
	for rest := f; rest != ""; {
		var token string
		token, rest = NextToken(rest)
		switch c := token[0]; {
		case c == '"' && !closed(token), c == '\'' && !closed(token):
			return fault("has an open quote")
		case c == '"':
		case c == '\'':
			name := strings.ReplaceAll(token[1:len(token)-1], "''", "'")
			if !strings.HasPrefix(rest, "!") {
				return fault("has a quoted name without a cell")
			}
			if !known(name) {
				return fault(fmt.Sprintf("refers to a sheet %q that does not exist", name))
			}
		case strings.HasPrefix(rest, "!"):
			if !known(token) {
				return fault(fmt.Sprintf("refers to a sheet %q that does not exist", token))
			}
		case strings.HasPrefix(rest, "(") && IsWord(token):
			if !portable[strings.ToUpper(token)] {
				return fault("uses the function " + token + ", which not every program has")
			}
		case c == '(':
			depth++
		case c == ')':
			if depth--; depth < 0 {
				return fault("closes a bracket that is not open")
			}
		case strings.Contains("[]{};#", token):
			return fault("holds " + token)
		}
	}
	if depth != 0 {
		return fault("leaves a bracket open")
	}
	return ""
}

// NextToken cuts a quoted text, a word or one other character off a formula.
func NextToken(s string) (token, rest string) {
	if q := s[0]; q == '"' || q == '\'' {
		for i := 1; i < len(s); i++ {
			if s[i] != q {
				continue
			}
			if i+1 < len(s) && s[i+1] == q {
				i++ // a doubled quote stands for itself
				continue
			}
			return s[:i+1], s[i+1:]
		}
		return s, ""
	}
	end := 0
	for end < len(s) {
		r, size := rune(s[end]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(s[end:])
		}
		if !wordRune(r) {
			if end == 0 {
				end = size
			}
			break
		}
		end += size
	}
	return s[:end], s[end:]
}

// wordByte tells of each character of ASCII whether it stands in words.
var wordByte = func() (is [utf8.RuneSelf]bool) {
	for c := range is {
		is[c] = strings.ContainsRune(`_.$\`, rune(c)) || unicode.IsLetter(rune(c)) || unicode.IsDigit(rune(c))
	}
	return is
}()

func wordRune(r rune) bool {
	if r < utf8.RuneSelf {
		return wordByte[r]
	}
	return unicode.IsLetter(r) || unicode.IsDigit(r)
}

func IsWord(token string) bool {
	first, _ := utf8.DecodeRuneInString(token)
	return wordRune(first)
}

// closed reports whether a quoted token ends in its own quote.
func closed(token string) bool {
	q := token[:1]
	return len(token) > 1 && strings.HasSuffix(token, q) && strings.Count(token, q)%2 == 0
}

var (
	nameShape = regexp.MustCompile(`^[\pL_][\pL\pN_.]*$`)
	cellShape = regexp.MustCompile(`(?i)^([a-z]{1,3}[0-9]+|r[0-9]*|c[0-9]*|r[0-9]*c[0-9]*)$`)
)

// NameFault returns what is wrong with a name for a range or a table, or "".
func NameFault(name string) string {
	switch {
	case !nameShape.MatchString(name) || Utf16Len(name) > MaxMessage:
		return "is not a name: letters, digits, dots and underscores"
	case cellShape.MatchString(name):
		return "reads like a cell"
	}
	return ""
}

// Cents rounds a formula to the cent, having first rounded away what binary
// fractions add: so two spreadsheet programs agree, and the stored value too.
func Cents(f string, decimals int) string {
	return "ROUND(ROUND(" + f + "," + strconv.Itoa(decimals) + "),2)"
}

// Decimals of the inner rounding: an extension is exact to 4, a rate of an
// amount to 8, of an extension to 10; a share is cut at 6.
const (
	ExtensionDecimals = 4
	RateDecimals      = 8
	ReturnDecimals    = 10
	ShareDecimals     = 6
)

// SheetNameFault returns what is wrong with the name of a sheet, or "".
func SheetNameFault(name string) string {
	if name == "" || Utf16Len(name) > 31 || strings.ContainsAny(name, `[]:*?/\`) || CleanText(name) != name ||
		strings.HasPrefix(name, "'") || strings.HasSuffix(name, "'") || strings.EqualFold(name, "History") {
		return "is not a name of a sheet"
	}
	return ""
}
