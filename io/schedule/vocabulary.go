package schedule

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/io/sheet"
)

// vocabulary is the words of a closed column.
type vocabulary struct {
	words []string
	other map[string]string // other usual words, folded, for one of words
	// doubtful words, folded, are usual and fit more than one of words: what
	// each may be.
	doubtful map[string]string
	do       string // advice when the words are too many to list
}

// find returns the word of the vocabulary that s means.
func (v vocabulary) find(s string) (string, bool) {
	f := fold(s)
	for _, w := range v.words {
		if fold(w) == f {
			return w, true
		}
	}
	w := v.other[f]
	return w, slices.Contains(v.words, w)
}

// knows reports whether s is a word, even a doubtful one.
func (v vocabulary) knows(s string) bool {
	_, ok := v.find(s)
	return ok || v.doubtful[fold(s)] != ""
}

// advice says what to write instead of s.
func (v vocabulary) advice(s string) string {
	do := v.do
	if do == "" {
		do = "write " + oneOf(v.words)
	}
	if near, ok := sheet.Nearest(s, append(slices.Clone(v.words), slices.Sorted(maps.Keys(v.other))...)); ok {
		if w, other := v.other[near]; other {
			near = w
		}
		return fmt.Sprintf("did you mean %q? %s", near, do)
	}
	return do
}

// word returns a reading of one of the words.
func word[S ~string](v vocabulary) func(*cell) (S, bool) {
	return func(c *cell) (S, bool) {
		if c.Kind == sheet.Bool && slices.Contains(v.words, "yes") {
			return S(map[string]string{"TRUE": "yes", "FALSE": "no"}[c.Text]), true
		}
		if c.unfit("type one of its words") {
			return "", false
		}
		if w, ok := v.find(c.Text); ok {
			return S(w), true
		}
		if may := v.doubtful[fold(c.Text)]; may != "" {
			c.refuse(fmt.Sprintf("%s %q may be %s", c.name, c.Word(), may), v.advice(""))
			return "", false
		}
		c.refuse(fmt.Sprintf("%s %q is not known", c.name, sheet.Excerpt(c.Word())), v.advice(c.Text))
		return "", false
	}
}

// choice returns a reading of two words as true and false.
func choice(yes, no string) func(*cell) (bool, bool) {
	read := word[string](plainWords([]string{yes, no}))
	return func(c *cell) (bool, bool) {
		w, ok := read(c)
		return w == yes, ok
	}
}

// indexed returns a reading of one of some words as its place in their list.
func indexed[I ~int](words []string) func(*cell) (I, bool) {
	return func(c *cell) (I, bool) {
		w, ok := word[string](vocabulary{words: words})(c)
		return I(max(0, slices.Index(words, w))), ok
	}
}

// meaning returns the words that people write for those of a column, by what
// they write.
func meaning[S ~string](usual map[S][]string) map[string]string {
	out := map[string]string{}
	for word, others := range usual {
		for _, w := range others {
			out[w] = string(word)
		}
	}
	return out
}

// plainWords returns the vocabulary of words that need no translation, but for
// the usual other ways to write some of them.
func plainWords(words []string) vocabulary {
	return vocabulary{words: words, other: map[string]string{
		"y": "yes", "true": "yes", "n": "no", "false": "no",
		"in": "inches", "inch": "inches", "millimetres": "mm", "millimeters": "mm", "metric": "mm",
	}}
}

// oneOf lists words: "a, b or c".
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
