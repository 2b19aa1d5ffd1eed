package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// Condition is a When: all its terms hold.
type Condition []Term

// Op is a comparison.
type Op string

// The comparisons: of words, and of numbers.
const (
	OpIs   Op = "is"
	OpNot  Op = "not"
	OpMore Op = ">"
	OpLess Op = "<"
)

var ops = []Op{OpIs, OpNot, OpMore, OpLess}

// Term is one comparison of a fact.
type Term struct {
	Fact  string
	Op    Op
	Words []string
	N     int64
}

// Holds reports whether the facts of an opening meet the condition.
func (c Condition) Holds(facts Facts) bool {
	for _, t := range c {
		switch t.Op {
		case OpIs:
			if !slices.Contains(t.Words, facts.Word[t.Fact]) {
				return false
			}
		case OpNot:
			if slices.Contains(t.Words, facts.Word[t.Fact]) {
				return false
			}
		default:
			n, known := facts.Number[t.Fact]
			if !known || t.Op == OpMore && n <= t.N || t.Op == OpLess && n >= t.N {
				return false
			}
		}
	}
	return true
}

// ParseCondition reads "fact is a, b and fact > n". Blank holds for every
// opening. Each part that cannot be read has an error, a *measure.FormError.
func ParseCondition(s string) (Condition, []error) {
	var c Condition
	var errs []error
	for _, part := range strings.Split(s, " and ") {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "" {
			continue
		}
		t, err := parseTerm(part)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		c = append(c, t)
	}
	return c, errs
}

func parseTerm(s string) (Term, error) {
	if fact, op, rest, ok := cutTerm(s); ok {
		t := Term{Fact: formerFacts.Now(fact), Op: op}
		if strings.EqualFold(t.Fact, "WRB") {
			t.Fact = "WRB" // the one fact in capitals
		}
		word := slices.IndexFunc(wordFacts, func(f wordFact) bool { return f.name == t.Fact })
		isNumber := slices.ContainsFunc(numberFacts, func(f numberFact) bool { return f.name == t.Fact })
		if word < 0 && !isNumber {
			return t, unknownFact(t.Fact)
		}
		switch t.Op {
		case OpIs, OpNot:
			if word < 0 {
				return t, &measure.FormError{What: fmt.Sprintf("%q is a number", t.Fact), Do: "compare it with > or <"}
			}
			words := wordFacts[word].words
			if t.Words = split(rest, ","); len(t.Words) == 0 {
				return t, &measure.FormError{What: fmt.Sprintf("%q names no word", s), Do: "write what " + t.Fact + " is"}
			}
			for i, w := range t.Words {
				w = FormerWords[t.Fact].Now(w)
				t.Words[i] = w
				if len(words) > 0 && !slices.Contains(words, w) {
					return t, &measure.FormError{What: fmt.Sprintf("%q is never what %s is", w, t.Fact), Do: "write one of: " + strings.Join(words, ", ")}
				}
			}
		default:
			if !isNumber {
				return t, &measure.FormError{What: fmt.Sprintf("%q is a word", t.Fact), Do: "compare it with is or not"}
			}
			n, err := measure.ParseCount(strings.TrimSpace(rest))
			if err != nil {
				return t, err
			}
			t.N = n
		}
		return t, nil
	}
	return Term{}, &measure.FormError{What: fmt.Sprintf("%q is not a condition", s), Do: "write 'fact is a, b', 'fact not a' or 'fact > n', joined by 'and'"}
}

// cutTerm parts a term of a condition at its comparison, in any case. It does not fold
// the term whole: a folded letter may have another length.
func cutTerm(s string) (fact string, op Op, rest string, ok bool) {
	for _, op := range ops {
		between := " " + string(op) + " "
		for at := 0; at+len(between) <= len(s); at++ {
			if strings.EqualFold(s[at:at+len(between)], between) {
				return strings.TrimSpace(s[:at]), op, strings.TrimSpace(s[at+len(between):]), true
			}
		}
	}
	return "", "", "", false
}

func unknownFact(f string) error {
	var known []string
	for _, x := range wordFacts {
		known = append(known, x.name)
	}
	for _, x := range numberFacts {
		known = append(known, x.name)
	}
	slices.Sort(known)
	return &measure.FormError{What: fmt.Sprintf("%q is not a fact", f), Do: "write one of: " + strings.Join(known, ", ")}
}
