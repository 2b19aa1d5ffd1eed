package sheet

import (
	"fmt"
	"strings"
)

// maxWord is the length up to which a word can be a slip for another.
const maxWord = 64

// Nearest returns the known word that a mistyped one probably means, whatever
// the case: the fewest letters changed, dropped, added or swapped with their
// neighbour, at most one in four letters (and one in short words); the first
// of equals. A word that is only begun ("alum") finds the one known word that
// goes on so. It returns false when nothing is near.
func Nearest(word string, known []string) (string, bool) {
	w := []rune(strings.ToLower(foldSpace(word)))
	if len(w) == 0 || len(w) > maxWord {
		return "", false
	}
	best, bestDistance := "", max(1, len(w)/4)+1
	begun, begins := "", 0
	for _, k := range known {
		folded := strings.ToLower(foldSpace(k))
		if d := distance(w, []rune(folded), bestDistance); d < bestDistance && d < len(w) {
			best, bestDistance = k, d
		}
		if len(w) >= 3 && strings.HasPrefix(folded, string(w)) {
			begun = k
			begins++
		}
	}
	if best == "" && begins == 1 {
		return begun, true
	}
	return best, best != ""
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
