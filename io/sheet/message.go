package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Excerpt returns a text for a message: its spaces folded, cut at 60
// characters.
func Excerpt(s string) string { return cutAt(foldSpace(s), 60, "…") }

// Quoted lists words: "Mark", "Kind".
func Quoted(words []string) string {
	q := make([]string, len(words))
	for i, w := range words {
		q[i] = fmt.Sprintf("%q", w)
	}
	return strings.Join(q, ", ")
}

// beginning quotes how a text begins that may be a whole file.
func beginning(s string) string {
	const most = 40
	s = foldSpace(s)
	if short := cutAt(s, most, ""); short != s {
		return fmt.Sprintf("%q...", short)
	}
	return fmt.Sprintf("%q", s)
}

// cutAt cuts a text at a number of characters.
func cutAt(s string, most int, mark string) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + mark
	}
	return s
}

// MaxName is how many characters the name of a thing may have: longer ones are no
// names, and a formula cannot hold them.
const MaxName = 100

// NotName returns why a text is not taken for the name of a thing: its length, or that it
// is a sign for what stands above it. "" is a name.
func NotName(name string) (what, do string) {
	if n := utf8.RuneCountInString(name); n > MaxName {
		return fmt.Sprintf("%q is %d characters long", Excerpt(name), n), fmt.Sprintf("write at most %d", MaxName)
	}
	if IsDitto(name) {
		return fmt.Sprintf("%q stands for what is above it", name), "write it out"
	}
	return "", ""
}

var dittos = []string{"ditto", "do.", "dto", "dto.", `"`, `""`, "''", "”", "“", "″", "〃", `-"-`, `- " -`, "same", "same as above", "as above"}

// IsDitto reports whether a text is a sign for what stands above it.
func IsDitto(text string) bool {
	return slices.Contains(dittos, strings.ToLower(foldSpace(text)))
}
