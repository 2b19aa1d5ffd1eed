package compare

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
)

// Notes says in what estimates are not alike, and where a file does not hold
// what it comes to. Lengths are shown in millimeters or inches, as mm says.
func Notes(sides []Side, mm bool) []estimate.Problem {
	return estimate.SortProblems(slices.Concat(storedNotes(sides), unlikeNotes(sides, mm)))
}

// storedNotes says where the total in a file is not what it works out to.
func storedNotes(sides []Side) []estimate.Problem {
	var out []estimate.Problem
	for _, s := range sides {
		total := s.Plan.Bid.Total
		switch at := s.StoredPlace; {
		case !s.Stored.Set:
			out = append(out, estimate.Problem{Place: estimate.Place{File: s.File}, Severity: estimate.Note,
				What: fmt.Sprintf("no total can be read on its sheet Summary; worked out again it is %s, which is used", total),
			})
		case s.Stored.V != total:
			out = append(out, estimate.Problem{Place: at, Severity: estimate.Warning,
				What: fmt.Sprintf("the file says %s; worked out again the total is %s, which is used", s.Stored.V, total),
				Do:   "recalculate and save the file, or run estimate again",
			})
		}
	}
	return out
}

// unlikeNotes says in what the jobs are not alike: days, units, rates, labor.
func unlikeNotes(sides []Side, mm bool) []estimate.Problem {
	var out []estimate.Problem
	say := func(format string, args ...any) {
		out = append(out, estimate.Problem{Severity: estimate.Note, What: fmt.Sprintf(format, args...)})
	}
	if first, last, undated := days(sides); first != last {
		say("the jobs are dated %s to %s; their prices are not brought to one day", first, last)
	} else if len(undated) > 0 {
		say("without a job date: %s; how old its prices are is not known", strings.Join(undated, ", "))
	}
	if other := named(sides, func(s Side) bool { return s.Book.Job.MM != mm }); len(other) > 0 {
		written, shown := "inches", "metres"
		if !mm {
			written, shown = "millimetres", "feet and inches"
		}
		say("written in %s, shown in %s: %s", written, shown, strings.Join(other, ", "))
	}
	a := sides[0].Book.Job
	if other := named(sides, func(s Side) bool {
		b := s.Book.Job
		return a.Tax != b.Tax || a.Overhead != b.Overhead || a.Contingency != b.Contingency || a.Profit != b.Profit || a.Margin != b.Margin
	}); len(other) > 0 {
		say("the rates of tax, overhead, contingency or profit are not those of %s: %s; compare the direct cost", sides[0].Name, strings.Join(other, ", "))
	}
	without := named(sides, func(s Side) bool { return !s.HasLabor() })
	if len(without) > 0 && len(without) < len(sides) {
		say("no labor in the total: %s", strings.Join(without, ", "))
	}
	return out
}

func named(sides []Side, is func(Side) bool) []string {
	var out []string
	for _, s := range sides {
		if is(s) {
			out = append(out, s.Name)
		}
	}
	return out
}

// days returns the first and the last date of the jobs, and those without one.
func days(sides []Side) (first, last string, undated []string) {
	for _, s := range sides {
		if !s.Book.Job.Date.Set {
			undated = append(undated, s.Name)
			continue
		}
		d := s.Book.Job.Date.V.String()
		if first == "" || d < first {
			first = d
		}
		last = max(last, d)
	}
	return first, last, undated
}
