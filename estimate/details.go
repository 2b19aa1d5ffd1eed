package estimate

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// StepText is a row of the Details sheet as written; each field has the cell
// that a problem with it names.
type StepText struct {
	Place  Place            // the row
	At     map[string]Place // by header
	Fields map[string]string
}

// ParseDetails reads the rows of a Details sheet. A row may name several
// details, parted by semicolons: it stands in each. What cannot be read is a
// problem at its cell, and costs the details that the row belongs to, since a
// detail with a step missing would be wrong without a sign.
func ParseDetails(rows []StepText, items Items, roles []string) ([]Detail, []Problem) {
	var details []Detail
	var problems []Problem
	at := map[string]int{}
	broken := map[string]bool{}
	for _, row := range rows {
		step, ps := parseStep(row, items, roles)
		problems = append(problems, ps...)
		for _, name := range strings.Split(row.Fields["Detail"], ";") {
			name = FormerDetails.Now(strings.ToLower(strings.TrimSpace(name)))
			if name == "" {
				problems = append(problems, row.problem("Detail", "the step belongs to no detail", "write the detail's name"))
				continue
			}
			if _, ok := at[name]; !ok {
				at[name] = len(details)
				details = append(details, Detail{Name: name})
			}
			d := &details[at[name]]
			d.Steps = append(d.Steps, step)
			broken[name] = broken[name] || Errors(ps) > 0
		}
	}
	return slices.DeleteFunc(details, func(d Detail) bool { return broken[d.Name] }), problems
}

func (t StepText) problem(column, what, do string) Problem {
	p, ok := t.At[column]
	if !ok {
		p = t.Place
	}
	return Problem{p, Error, what, do}
}

// stepReader collects the problems of one row while its fields are read.
type stepReader struct {
	row      StepText
	problems []Problem
}

func (r *stepReader) say(column, what, do string) {
	r.problems = append(r.problems, r.row.problem(column, what, do))
}

func (r *stepReader) field(column string) string { return strings.TrimSpace(r.row.Fields[column]) }

// word reads a field that must be one of some words; blank is allowed.
func (r *stepReader) word(column string, words []string) string {
	w := strings.ToLower(r.field(column))
	if w != "" && !slices.Contains(words, w) {
		r.say(column, fmt.Sprintf("%q is not a word for %s", w, column), "write one of: "+strings.Join(words, ", "))
	}
	return w
}

func (r *stepReader) length(column, s string) measure.Length {
	neg := strings.HasPrefix(s, "-")
	l, err := measure.ParseLength(strings.TrimPrefix(s, "-"), measure.Inches)
	if err != nil {
		r.problems = append(r.problems, formProblem(r.row.problem(column, "", "").Place, column, err))
	}
	if neg {
		return -l
	}
	return l
}

func parseStep(row StepText, items Items, roles []string) (Step, []Problem) {
	row.Fields = maps.Clone(row.Fields)
	StepNow(row.Fields)
	r := &stepReader{row: row}
	s := Step{
		Text: row, Number: r.field("Step"), Do: r.field("Do"), Item: r.field("Item"),
		Rule: r.word("Rule", RuleNames()), Per: Per(r.word("Per", wordsOf(PerOpening, PerUnit, PerMull))),
		Along: Along(r.word("Along", alongs)), Phase: Phase(r.word("Phase", wordsOf(Phases...))),
		Basis: r.field("Basis"), Source: r.field("Source"),
	}
	for _, e := range split(r.field("Edges"), ",") {
		if !slices.Contains(edges, e) {
			r.say("Edges", fmt.Sprintf("%q is not an edge", e), "write one of: "+strings.Join(edges, ", "))
		}
		s.Edges = append(s.Edges, Edge(e))
	}
	s.Ends = r.ends()
	s.Runs = r.runs()
	s.Size = r.section()
	if f := r.field("Spacing"); f != "" {
		before := len(r.problems)
		if s.Spacing = r.length("Spacing", f); s.Spacing <= 0 && len(r.problems) == before {
			r.say("Spacing", "a spacing must be above 0", "write a length")
		}
	}
	r.with(&s)
	s.When = r.when()
	if s.Item != "" && !known(s.Item, items, roles) {
		r.say("Item", fmt.Sprintf("%q is no item, family or role", s.Item),
			"write a key or family of the Items sheet, a role of the Job sheet, or a board of the trim set")
	}
	if s.rule = FindRule(s.Rule); s.rule != nil && len(r.problems) == 0 {
		s.rule.check(r, s)
	} else if s.Rule == "" && s.Number != "0" {
		r.say("Rule", "the step has no rule", "write note for work without material")
	}
	return s, r.problems
}

// known reports whether a step's item can be found.
func known(name string, items Items, roles []string) bool {
	_, key := items.Get(name)
	return key || len(items.Family(name)) > 0 || slices.Contains(roles, name) || slices.Contains(trimBoards, name)
}

func split(s, sep string) []string {
	var out []string
	for _, w := range strings.Split(s, sep) {
		if w = strings.ToLower(strings.TrimSpace(w)); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// ends reads "LENGTH", "W", "W-LENGTH" or "top / foot".
func (r *stepReader) ends() (ends [2]End) {
	parts := strings.Split(r.field("Each end"), " / ")
	if len(parts) > 2 {
		r.say("Each end", "more than two ends", "write one length for both ends, or 'top / foot'")
		return ends
	}
	for i, p := range parts {
		p = strings.TrimSpace(p)
		if p == "" {
			continue
		}
		if rest, ok := strings.CutPrefix(p, "W"); ok {
			ends[i].Widths = 1
			p = strings.TrimSpace(rest)
			sign, l, signed := cutSign(p)
			if p != "" && !signed {
				r.say("Each end", fmt.Sprintf("%q is not an end", "W"+rest), "write W, W + 1/2 or W - 1/2")
				continue
			}
			p = sign + strings.TrimSpace(l)
		}
		if p != "" {
			ends[i].Plus = r.length("Each end", p)
		}
	}
	if len(parts) == 1 {
		ends[1] = ends[0]
	}
	return ends
}

// cutSign parts a leading sign from what follows; a plus is dropped.
func cutSign(s string) (sign, rest string, ok bool) {
	if rest, ok = strings.CutPrefix(s, "+"); ok {
		return "", rest, true
	}
	if rest, ok = strings.CutPrefix(s, "-"); ok {
		return "-", rest, true
	}
	return "", s, false
}

// runs reads "2", "by wall depth" or "2 to 8, 3".
func (r *stepReader) runs() Runs {
	f := strings.ToLower(r.field("Runs"))
	switch f {
	case "":
		return Runs{Steps: []RunStep{{N: 1}}}
	case "by wall depth":
		return Runs{Wall: true}
	}
	var out Runs
	for _, part := range strings.Split(f, ",") {
		n, upTo, limited := strings.Cut(part, " to ")
		c, err := measure.ParseCount(strings.TrimSpace(n))
		if err != nil || c == 0 || c > maxCount {
			r.say("Runs", fmt.Sprintf("%q is not a number of runs", strings.TrimSpace(part)), "write a number, 'by wall depth', or steps such as '2 to 8, 3'")
			return Runs{}
		}
		step := RunStep{N: c}
		if limited {
			step.UpTo = r.length("Runs", strings.TrimSpace(upTo))
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// section reads "round A", "square A", "fillet A", "A x B", "gap x B", "gap x clamp".
func (r *stepReader) section() Section {
	f := strings.ToLower(r.field("Size"))
	if f == "" {
		return Section{}
	}
	for _, shape := range []Shape{Round, Square, Fillet} {
		if rest, ok := strings.CutPrefix(f, string(shape)+" "); ok {
			return Section{Shape: shape, A: r.length("Size", rest)}
		}
	}
	a, b, ok := strings.Cut(f, " x ")
	if !ok {
		r.say("Size", fmt.Sprintf("%q is not a section", f), "write 'round A', 'square A', 'fillet A', 'A x B', 'gap x B' or 'gap x clamp'")
		return Section{}
	}
	s := Section{Shape: Rectangle}
	if a == string(OfGap) {
		s.Shape = OfGap
	} else {
		s.A = r.length("Size", a)
	}
	if b == "clamp" {
		s.Clamp = true
	} else {
		s.B = r.length("Size", b)
	}
	return s
}

// with reads "name=value; name=value" into the step. Which names a rule takes,
// and whether each is a count, a length, several or a word, the rule declares.
func (r *stepReader) with(s *Step) {
	s.With, s.Counts = map[string]measure.Length{}, map[string]int64{}
	given := map[string]bool{}
	for _, part := range split(r.field("With"), ";") {
		name, value, ok := strings.Cut(part, "=")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		kind, declared := withNames[name]
		if !ok || !declared {
			r.say("With", fmt.Sprintf("%q is not a parameter", part), "write name=value with one of: "+strings.Join(slices.Sorted(maps.Keys(withNames)), ", "))
			continue
		}
		if given[name] {
			r.say("With", name+" is given twice", "write it once")
			continue
		}
		given[name] = true
		switch kind {
		case aCount:
			s.Counts[name] = r.count(name, value)
		case offsets:
			s.Offsets = r.offsets(name, value)
		case aLength:
			if s.With[name] = r.length("With", value); s.With[name] < 0 {
				r.say("With", fmt.Sprintf("%s=%s is negative", name, value), "write a length of 0 or more")
			}
		case whatIsFastened:
			if s.Through = Through(value); !slices.Contains(throughWords, value) {
				r.say("With", fmt.Sprintf("%s=%q is nothing that is fastened", name, value), "write one of: "+strings.Join(throughWords, ", "))
			}
		}
	}
}

// offsets reads lengths parted by commas.
func (r *stepReader) offsets(name, value string) (out []measure.Length) {
	for _, part := range strings.Split(value, ",") {
		l := r.length("With", strings.TrimSpace(part))
		if n := len(out); l < 0 || n > 0 && l <= out[n-1] {
			r.say("With", fmt.Sprintf("%s=%s: each offset is more than the one before, and none is negative", name, value), "write them from the outside in, "+
				"such as at=1, 3-1/2")
			return nil
		}
		out = append(out, l)
	}
	return out
}

// count reads a count of With.
func (r *stepReader) count(name, value string) int64 {
	n, err := measure.ParseCount(value)
	switch {
	case err != nil || n == 0:
		r.say("With", fmt.Sprintf("%s=%q is not a count", name, value), "write a whole number above 0")
	case n > maxCount:
		r.say("With", fmt.Sprintf("%s=%d is more than any opening takes", name, n), fmt.Sprintf("write at most %d", maxCount))
	}
	return n
}

// maxCount is the most that a parameter counts at one point of one opening.
const maxCount = 1000

// parameter is what a parameter of With is.
type parameter int

const (
	aCount parameter = iota
	aLength
	offsets
	whatIsFastened
)

// withNames are the parameters that rules may declare, and what each is.
var withNames = map[string]parameter{
	"each": aCount, "count": aCount, "length": aLength, "end": aLength, "width": aLength, "at": offsets, "through": whatIsFastened,
}

// when reads the condition of a step.
func (r *stepReader) when() Condition {
	c, errs := ParseCondition(r.field("When"))
	for _, err := range errs {
		r.problems = append(r.problems, formProblem(r.row.problem("When", "", "").Place, "When", err))
	}
	return c
}
