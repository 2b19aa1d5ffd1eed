package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// maxWord is the length up to which a word can be a slip for another.
const maxWord = 64

// Nearest returns the known word that a mistyped one probably means, whatever
// the case: the fewest letters changed, dropped, added or swapped with their
// neighbor, at most one in four letters of a word, in words of up to
// three letters only swapped or dropped ones; the first of equals. Texts of several words
// are compared word by word: a fire door is no slip for a side door. A word that
// is only begun ("alum") finds the one known word that goes on so, and words
// left out at the end the one known text that has them. It returns false when
// nothing is near.
func Nearest(word string, known []string) (string, bool) {
	w := strings.ToLower(foldSpace(word))
	if w == "" || len([]rune(w)) > maxWord {
		return "", false
	}
	best, bestDistance := "", maxWord
	begun, begins := "", 0
	for _, k := range known {
		folded := strings.ToLower(foldSpace(k))
		if d, ok := slip(w, folded); ok && d < bestDistance {
			best, bestDistance = k, d
		}
		if goesOn(w, folded) {
			begun = k
			begins++
		}
	}
	if best == "" && begins == 1 {
		return begun, true
	}
	return best, best != ""
}

// goesOn reports whether a known text goes on as a word begins: with three
// letters within one word or at its end, with four also into further words.
func goesOn(w, known string) bool {
	rest, ok := strings.CutPrefix(known, w)
	least := 3
	if strings.Contains(strings.TrimPrefix(rest, " "), " ") || strings.Index(rest, " ") > 0 {
		least = 4
	}
	return ok && len([]rune(w)) >= least
}

// slip returns how many letters of a text differ from a known one, and whether
// they are few enough for a slip.
func slip(text, known string) (int, bool) {
	a, b := strings.Fields(text), strings.Fields(known)
	if len(a) != len(b) { // a space too many, or too few, is a slip of its own
		d := distance([]rune(strings.Join(a, "")), []rune(strings.Join(b, "")), 2)
		return d + 1, d < 2 && len(text) > short
	}
	total := 0
	for i := range a {
		d, ok := wordSlip([]rune(a[i]), []rune(b[i]))
		if !ok {
			return 0, false
		}
		total += d
	}
	return total, true
}

// short is the length up to which two words may differ in a letter and mean
// different things: FX and FD.
const short = 3

// wordSlip is slip of one word.
func wordSlip(a, b []rune) (int, bool) {
	if slices.Equal(a, b) {
		return 0, true
	}
	limit := max(1, len(a)/4) + 1
	d := distance(a, b, limit)
	swapped := len(a) == len(b) && slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
	dropped := len(a) == short && len(b) > short
	return d, d < limit && d < len(a) && (len(a) > short || swapped || dropped)
}

// Suggest returns advice on a word that is not known: the known word that it
// probably means, if there is one, and what to do.
func Suggest(word string, known []string, do string) string {
	if near, ok := Nearest(word, known); ok {
		return fmt.Sprintf("did you mean %q? %s", near, do)
	}
	return do
}

// distance returns the optimal string alignment distance of two words, or
// limit when it is not less.
//
// Source: Damerau (1964), the four slips of typing; the restricted form in
// which no letters are edited twice.
func distance(a, b []rune, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	two, one, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range one {
		one[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(one[j-1]+change, one[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], two[j-2]+1)
			}
		}
		two, one, row = one, row, two
	}
	return min(one[len(b)], limit)
}
