package sheet

import (
	"slices"
	"strings"
	"unicode"
)

// What people write under Sample accepted that accepts nothing, and what names nobody.
var (
	refusals = []string{"no", "not", "none", "never", "na", "n", "false", "rejected", "reject", "refused", "declined", "pending", "tbd", "tbc", "tba",
		"requested", "ask", "asked",
		"open", "waiting", "wait", "hold", "measure", "later", "without", "see"}
	namesNobody = []string{"yes", "y", "x", "ok", "okay", "true", "accepted", "accept", "approved", "done", "sample", "by", "on", "the", "of", "and",
		"all", "are", "alike",
		"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "sept", "oct", "nov", "dec", "january", "february", "march", "april", "june", "july", "august",
		"september", "october", "november", "december"}
)

// NobodysWord says why a text is nobody's word that a sample stands for all; "" if it is
// somebody's.
func NobodysWord(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	switch {
	case strings.Contains(text, "?") || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(refusals, w) }):
		return "accepts nothing"
	case !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(namesNobody, w) }):
		return "names nobody"
	}
	return ""
}
