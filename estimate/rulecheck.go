package estimate

import (
	"cmp"
	"slices"
	"strings"
)

// check says which parameters of a step its rule lacks or does not take, so
// that no row is read without a word and then asks for nothing.
func (rule *Rule) check(r *stepReader, s Step) {
	for _, column := range rule.Needs {
		if r.field(column) == "" {
			r.say(column, "rule "+rule.Name+" needs "+column, "fill it in")
		}
	}
	for name := range s.With {
		rule.checkWith(r, name)
	}
	for name := range s.Counts {
		rule.checkWith(r, name)
	}
	if s.Through != "" {
		rule.checkWith(r, "through")
	}
	if len(s.Offsets) > 0 {
		rule.checkWith(r, "at")
		if r.field("Runs") != "" {
			r.say("Runs", "at says how many beads there are", "clear Runs, or write Runs alone")
		}
	}
	for _, column := range parameterColumns {
		if r.field(column) != "" && !slices.Contains(rule.Needs, column) && !slices.Contains(rule.Reads, column) {
			r.say(column, "rule "+rule.Name+" does not read "+column, "clear the cell")
		}
	}
	rule.checkSize(r, s.Size)
	rule.checkRuns(r, s.Runs)
	rule.checkPoints(r, s)
}

func (rule *Rule) checkWith(r *stepReader, name string) {
	if !slices.Contains(rule.Takes, name) {
		takes := "it takes none"
		if len(rule.Takes) > 0 {
			takes = "it takes " + strings.Join(rule.Takes, ", ")
		}
		r.say("With", "rule "+rule.Name+" takes no "+name, takes)
	}
}

// checkSize holds a section against those of the rule.
func (rule *Rule) checkSize(r *stepReader, s Section) {
	if s.Shape == "" {
		return
	}
	switch {
	case !slices.Contains(rule.Shapes, s.Shape):
		r.say("Size", "rule "+rule.Name+" takes no section "+r.field("Size"), "it takes "+cmp.Or(strings.Join(wordsOf(rule.Shapes...), ", "), "none"))
	case s.Shape != OfGap && s.A <= 0, !s.Clamp && (s.Shape == OfGap || s.Shape == Rectangle) && s.B <= 0:
		r.say("Size", "a section must be above 0", "write a length")
	case s.Clamp && (s.Shape != OfGap || !rule.Clamps):
		r.say("Size", "only the gap of a joint has a clamped depth", "write the depth")
	}
}

// checkRuns holds the runs against what the rule takes: steps by board width
// need a last one without limit, or wide boards would have no number.
func (rule *Rule) checkRuns(r *stepReader, runs Runs) {
	if r.field("Runs") == "" || rule.Runs == NoRuns {
		return
	}
	stepped := len(runs.Steps) > 1 || len(runs.Steps) == 1 && runs.Steps[0].UpTo > 0
	switch {
	case runs.Wall && rule.Runs != RunsWall:
		r.say("Runs", "only flashing tape follows the depth of the wall", "write a number")
	case stepped && rule.Runs == RunsNumber:
		r.say("Runs", "rule "+rule.Name+" has no boards whose width could set the runs", "write one number")
	case !rising(runs.Steps):
		r.say("Runs", "a step that no board reaches", "write the narrowest first, each limit once")
	case stepped && runs.Steps[len(runs.Steps)-1].UpTo > 0:
		r.say("Runs", "boards wider than the last step have no number", "end with a number alone, such as '2 to 8, 3'")
	}
}

// rising reports whether every step but the last has a limit above the one
// before.
func rising(steps []RunStep) bool {
	for i := 1; i < len(steps); i++ {
		before, here := steps[i-1].UpTo, steps[i].UpTo
		if before == 0 || here > 0 && here <= before {
			return false
		}
	}
	return true
}

// checkPoints asks for the length of pieces and beads at points.
func (rule *Rule) checkPoints(r *stepReader, s Step) {
	if !rule.AtPoint {
		return
	}
	points := len(s.Edges) == 0 || slices.ContainsFunc(s.Edges, func(e Edge) bool { return strings.HasSuffix(string(e), "corners") })
	if points && s.With["length"] <= 0 && len(r.problems) == 0 {
		r.say("With", "at points a piece needs its length", "write length=6")
	}
	if len(s.Edges) > 0 && s.Counts["count"] > 0 && slices.Contains(rule.Takes, "count") {
		r.say("With", "count is for pieces without edges", "the edges say how many")
	}
}
