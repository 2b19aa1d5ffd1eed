package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// Condition is a When: all its terms hold.
type Condition []Term

// Term is one comparison of a fact.
type Term struct {
	Fact  string
	Op    string // is, not, >, <
	Words []string
	N     int64
}

// Holds reports whether the facts of an opening meet the condition.
func (c Condition) Holds(facts Facts) bool {
	for _, t := range c {
		switch t.Op {
		case "is":
			if !slices.Contains(t.Words, facts.Word[t.Fact]) {
				return false
			}
		case "not":
			if slices.Contains(t.Words, facts.Word[t.Fact]) {
				return false
			}
		default:
			n, known := facts.Number[t.Fact]
			if !known || t.Op == ">" && n <= t.N || t.Op == "<" && n >= t.N {
				return false
			}
		}
	}
	return true
}

// FactsOf returns what conditions may ask of an opening of a takeoff.
func (b *Book) FactsOf(o *Sized) Facts { return factsOf(o, b) }

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
	for _, op := range []string{" is ", " not ", " > ", " < "} {
		fact, rest, ok := strings.Cut(s, op)
		if !ok {
			continue
		}
		t := Term{Fact: strings.TrimSpace(fact), Op: strings.TrimSpace(op)}
		words, isWord := wordFacts[t.Fact]
		isNumber := slices.Contains(numberFacts, t.Fact)
		if !isWord && !isNumber {
			return t, unknownFact(t.Fact)
		}
		switch t.Op {
		case "is", "not":
			if !isWord {
				return t, &measure.FormError{What: fmt.Sprintf("%q is a number", t.Fact), Do: "compare it with > or <"}
			}
			if t.Words = split(rest, ","); len(t.Words) == 0 {
				return t, &measure.FormError{What: fmt.Sprintf("%q names no word", s), Do: "write what " + t.Fact + " is"}
			}
			for _, w := range t.Words {
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

func unknownFact(f string) error {
	var known []string
	for k := range wordFacts {
		known = append(known, k)
	}
	known = append(known, numberFacts...)
	slices.Sort(known)
	return &measure.FormError{What: fmt.Sprintf("%q is not a fact", f), Do: "write one of: " + strings.Join(known, ", ")}
}
