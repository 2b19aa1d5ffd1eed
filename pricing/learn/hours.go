package learn

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// phaseTitles name the phases at the head of a figure.
var phaseTitles = map[estimate.Phase]string{
	estimate.PhaseInstall: "Install", estimate.PhaseShop: "Shop", estimate.PhaseTrim: "Trim", estimate.PhaseFinish: "Finish",
}

// PhaseTask is the name of a task of Labor that is all work of a phase.
func PhaseTask(p estimate.Phase) string { return phaseTitles[p] + " phase, all work" }

// kinds returns the kinds of the job's openings, in the order of estimate.Kinds, with how
// many there are.
func (m *measurer) kinds() (kinds []estimate.Kind, count map[estimate.Kind]int64) {
	count = map[estimate.Kind]int64{}
	for _, o := range m.Takeoff.Openings {
		count[o.Kind] += o.Qty
	}
	for _, k := range estimate.Kinds {
		if count[estimate.Kind(k)] > 0 {
			kinds = append(kinds, estimate.Kind(k))
		}
	}
	return kinds, count
}

// marked returns the kind of the openings that are called by some marks, "" of several
// kinds or of marks that the job does not have, and how many they are.
func (m *measurer) marked(marks []string) (kind estimate.Kind, rows []int, sound bool) {
	for _, mark := range marks {
		found := false
		for i, o := range m.Takeoff.Openings {
			if !strings.EqualFold(o.Mark, mark) && !(o.Piece > 0 && strings.HasPrefix(strings.ToLower(o.Mark), strings.ToLower(mark)+" piece ")) {
				continue
			}
			if found = true; kind != "" && o.Kind != kind {
				return "", nil, false
			}
			kind, rows = o.Kind, append(rows, i)
		}
		if !found {
			return "", nil, false
		}
	}
	return kind, rows, len(marks) > 0
}

// hours returns what an opening took of each phase: of all kinds together; and by kind,
// where the job has but one, or every line of the phase names marks of one kind. Then
// what went beside the work; and how many hours and openings a day has.
func (m *measurer) hours() (out []Figure) {
	kinds, count := m.kinds()
	all := int64(0)
	for _, n := range count {
		all += n
	}
	for _, phase := range estimate.Phases {
		lines := m.worked(estimate.TimeWork, phase)
		why := ""
		switch {
		case len(lines) == 0:
			why = fmt.Sprintf("no hours of the phase %s on Actuals", phase)
		case slices.ContainsFunc(m.Takeoff.Openings, func(o estimate.Sized) bool { return o.Done(phase) < o.Qty }):
			lines, why = nil, fmt.Sprintf("the phase %s is not done everywhere, by Status", phase)
		}
		if len(kinds) > 1 {
			out = append(out, Figure{Name: fmt.Sprintf("%s, hours an opening of all kinds", phaseTitles[phase]), Unit: HoursOf, Why: why,
				Measured: each(lines, all), Had: m.hadHours(kinds, phase, all)})
		}
		for _, kind := range kinds {
			f := Figure{Name: fmt.Sprintf("%s, hours %s", phaseTitles[phase], withArticle(kind)), Unit: HoursOf, Why: why,
				Had: m.hadHours([]estimate.Kind{kind}, phase, count[kind]), Sets: Target{Kind: kind, Phase: phase}}
			if why == "" {
				f.Measured, f.Why = m.ofKind(lines, kind, kinds, count)
			}
			out = append(out, f)
		}
	}
	for _, time := range estimate.WorktimeWords[1:] {
		if lines := m.worked(estimate.Worktime(time), ""); len(lines) > 0 {
			out = append(out, Figure{Name: strings.ToUpper(time[:1]) + time[1:] + ", hours an opening", Unit: HoursOf, Measured: each(lines, all)})
		}
	}
	return append(out, m.days(all)...)
}

func withArticle(k estimate.Kind) string {
	if strings.ContainsRune("aeio", rune(k[0])) {
		return "an " + string(k)
	}
	return "a " + string(k)
}

// ofKind returns what an opening of a kind took of the lines of a phase.
func (m *measurer) ofKind(lines []estimate.Worked, kind estimate.Kind, kinds []estimate.Kind, count map[estimate.Kind]int64) (estimate.Maybe[Value], string) {
	if len(kinds) == 1 {
		return each(lines, count[kind]), ""
	}
	var mine []estimate.Worked
	rows := map[int]bool{}
	for _, l := range lines {
		of, at, sound := m.marked(l.Marks)
		if !sound {
			return estimate.Maybe[Value]{}, "not every line of the phase names marks of one kind"
		}
		if of == kind {
			mine = append(mine, l)
			for _, i := range at {
				rows[i] = true
			}
		}
	}
	n := int64(0)
	for i := range rows {
		n += m.Takeoff.Openings[i].Qty
	}
	if n == 0 {
		return estimate.Maybe[Value]{}, "no hours name marks of the kind"
	}
	return each(mine, n), ""
}

// each returns what lines come to for one of n; not set without lines.
func each(lines []estimate.Worked, n int64) estimate.Maybe[Value] {
	if len(lines) == 0 {
		return estimate.Maybe[Value]{}
	}
	return ratio(sum(lines), n*int64(estimate.Hour))
}

func sum(lines []estimate.Worked) (n int64) {
	for _, l := range lines {
		n += int64(l.Hours)
	}
	return n
}

// worked returns the lines of a use of time, of work those of a phase.
func (m *measurer) worked(time estimate.Worktime, phase estimate.Phase) (lines []estimate.Worked) {
	for _, l := range m.Book.Job.Actuals.Hours {
		if l.Time == time && (time != estimate.TimeWork || l.Phase == phase) {
			lines = append(lines, l)
		}
	}
	return lines
}

// hadHours returns what the tasks of Labor give an opening of some kinds of a phase; not
// set where a kind has no hours.
func (m *measurer) hadHours(kinds []estimate.Kind, phase estimate.Phase, openings int64) estimate.Maybe[Value] {
	hours := estimate.Hours(0)
	for _, kind := range kinds {
		found := false
		for _, l := range m.Plan.Labor {
			if l.Task.Kind == kind && l.Task.Phase == phase && l.Hours.Set {
				hours, found = hours+l.Hours.V, true
			}
		}
		if !found {
			return estimate.Maybe[Value]{}
		}
	}
	return ratio(int64(hours), openings*int64(estimate.Hour))
}

// days returns how many hours and openings a day of work has.
func (m *measurer) days(openings int64) []Figure {
	days, installing := map[measure.Date]bool{}, map[measure.Date]bool{}
	hours, undated := int64(0), false
	for _, l := range m.Book.Job.Actuals.Hours {
		if undated = undated || !l.Date.Set; l.Date.Set {
			days[l.Date.V] = true
			if l.Time == estimate.TimeWork && l.Phase == estimate.PhaseInstall {
				installing[l.Date.V] = true
			}
		}
		hours += int64(l.Hours)
	}
	aDay := Figure{Name: "Hours a day, of all persons", Unit: HoursOf, Measured: ratio(hours, int64(len(days))*int64(estimate.Hour))}
	closed := Figure{Name: "Openings a day, of the days with install hours", Unit: CountOf, Measured: ratio(openings, int64(len(installing))), Sets: Target{Key: "openings a day"}}
	if n := m.Book.Job.OpeningsADay; n.Set {
		closed.Had = estimate.Given(Value(n.V) * One)
	}
	if undated || slices.ContainsFunc(m.Takeoff.Openings, func(o estimate.Sized) bool { return o.Done(estimate.PhaseInstall) < o.Qty }) {
		why := "not all hours have a date, or not all is installed, by Status"
		aDay.Measured, aDay.Why, closed.Measured, closed.Why = estimate.Maybe[Value]{}, why, estimate.Maybe[Value]{}, why
	}
	return []Figure{aDay, closed}
}

// allHours returns what the job took of the hours of its estimate, all work and what goes
// with it.
func (m *measurer) allHours() Figure {
	f := Figure{Name: "All hours, of the estimate", Unit: Percent, Had: estimate.Given(One), Sets: Target{Key: "range of hours"}}
	had := estimate.Hours(0)
	for _, l := range m.Plan.Labor {
		had += l.Hours.V
	}
	switch lines := m.Book.Job.Actuals.Hours; {
	case len(lines) == 0:
		f.Why = "no hours on Actuals"
	case had == 0:
		f.Why = "the estimate has no hours"
	case slices.ContainsFunc(m.Takeoff.Openings, func(o estimate.Sized) bool { return o.Done(estimate.PhaseFinish) < o.Qty }):
		f.Why = "not all is finished, by Status"
	default:
		f.Measured = ratio(sum(lines), int64(had))
	}
	return f
}
