package formula

import (
	"strings"
	"unicode/utf16"
)

// The limits of a sheet, of a cell and of the messages beside it.
const (
	MaxRows       = 1_048_576
	MaxText       = 32767
	MaxTitle      = 32
	MaxMessage    = 255
	MaxListLength = 255
)

// OrWrite stands in the message of cells that take other words than those of their list.
const OrWrite = "Choose from the list, or write"

func Utf16Len(s string) (n int) {
	for _, r := range s {
		n += utf16.RuneLen(r)
	}
	return n
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// CleanText makes text fit a cell: a tab, a control character or a broken
// byte becomes a space, every line end "\n", and what is longer than a cell
// holds ends in "…".
func CleanText(s string) string {
	if isClean(s) {
		return s
	}
	s = strings.ToValidUTF8(s, " ")
	s = lineEnds.Replace(s)
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < ' ', r >= 0x7f && r <= 0x9f, r == '\ufffe', r == '\uffff':
			return ' '
		}
		return r
	}, s)
	return Shorten(s, MaxText)
}

// isClean reports whether text is plain ASCII without control characters, as most
// is, and fits.
func isClean(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return len(s) <= MaxText
}

// Shorten cuts text to so many UTF-16 units, the measure of the file format.
func Shorten(s string, limit int) string {
	if len(s) <= limit || Utf16Len(s) <= limit {
		return s
	}
	units := 0
	for i, r := range s {
		if units += utf16.RuneLen(r); units > limit-1 {
			// i is where the first rune that does not fit begins.
			return s[:i] + "…"
		}
	}
	return s
}
