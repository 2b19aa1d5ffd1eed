package main

import (
	"slices"

	"sillwright/estimate"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// maxLookedAt is how many rows of takeoff an estimate may have for its results to be
// looked through: they are all worked out again.
const maxLookedAt = 20_000

// useTyped takes what was typed over the results of an estimate: what has a plain
// meaning is used, all else is named. The job has been read from path, which is open as
// book and hidden; its lists and lines are changed.
func (j *job) useTyped(path string, book, hidden *sheet.Book) {
	j.report(j.typedOver(path, book, hidden))
}

// typedOver is useTyped, and returns what it says.
func (j *job) typedOver(path string, book, hidden *sheet.Book) (problems []estimate.Problem) {
	s := j.schedule
	if len(j.takeoff.Requirements) > maxLookedAt {
		problems = []estimate.Problem{{Place: estimate.Place{Sheet: schedule.MaterialsSheet},
			What: "the estimate is so long that only Materials was looked through for what is typed over results"}}
	} else {
		problems = j.heldAgainstWritten(path, book, hidden)
	}
	lists, more := pricing.TypedOver(s.Book, j.takeoff, j.lists, s.Lines)
	j.lists = lists
	return append(problems, more...)
}

// editsOverResults returns what was typed over the results of an estimate: counts and
// prices that an order uses, and what no reading uses.
func editsOverResults(path string) (edits []schedule.Edit) {
	book := openQuietly(path, schedule.Wanted)
	if book == nil {
		return nil
	}
	j, problems := readBook(path, book, nil, nil)
	if j == nil {
		return nil
	}
	defer j.close()
	if len(j.schedule.Lines) == 0 {
		return nil
	}
	problems = slices.DeleteFunc(slices.Clone(problems), func(p estimate.Problem) bool { return p.Place.Sheet != schedule.MaterialsSheet })
	was := j.lists
	for _, p := range append(problems, j.typedOver(path, book, openHidden(path, book))...) {
		if p.Severity >= estimate.Warning && p.Place.Row > 0 {
			edits = append(edits, schedule.OverResult(p))
		}
	}
	for _, l := range j.schedule.Lines {
		n, now := j.lists.Overrides[l.Key]
		if before, over := was.Overrides[l.Key]; now && (!over || before != n) {
			edits = append(edits, schedule.CountTyped(l, n))
		}
	}
	for i, o := range j.lists.Offers {
		if o.Price != was.Offers[i].Price {
			edits = append(edits, schedule.PriceTyped(j.schedule.Lines, o, was.Offers[i].Price))
		}
	}
	return edits
}

// heldAgainstWritten works an estimate out as it was written and returns in what its
// results differ; lines of the plan are put right.
func (j *job) heldAgainstWritten(path string, book, hidden *sheet.Book) (problems []estimate.Problem) {
	inputs := book.Clone()
	changed, known := schedule.AsEstimated(inputs, hidden)
	written, _ := readBook(path, inputs, nil, nil)
	if written == nil {
		return nil
	}
	defer written.close()
	written.planned(nil)
	lines, overrides, problems := pricing.AsPlanned(j.schedule.Lines, j.lists.Overrides, written.plan)
	if same, all := j.linesOf(written.plan); 2*same < all || !known && same < all {
		// Another version of the program wrote it, or its inputs were changed, and it
		// does not hold what they were.
		return nil
	}
	j.schedule.Lines, j.lists.Overrides = lines, overrides
	data, err := written.workbook()
	if err != nil {
		return problems
	}
	was, _ := sheet.ParseSheets(path, data, workbook.IsLookedAt)
	now := openQuietly(path, workbook.IsLookedAt)
	if was == nil || now == nil {
		return problems
	}
	return append(problems, workbook.TypedOver(now, was, changed, !known)...)
}

func isHidden(name string) bool { return name == schedule.WhenEstimatedSheet }

// openQuietly opens sheets of a file that was read before: what is wrong with it was
// said.
func openQuietly(path string, want func(string) bool) *sheet.Book {
	book, _ := sheet.OpenSheets(path, want)
	return book
}

// linesOf counts the lines of a plan that an estimate holds for the same need, and all.
// Some may have been changed or deleted.
func (j *job) linesOf(p pricing.Plan) (same, all int) {
	marks := map[string]string{}
	for _, b := range p.Purchases {
		for _, l := range b.Lines {
			marks[l.Key()] = b.Fingerprint
		}
	}
	for _, l := range j.schedule.Lines {
		if mark, there := marks[l.Key]; there && mark == l.For {
			same++
		}
	}
	return same, len(marks)
}

// openHidden opens the sheet of an estimate that holds its inputs as they were; a book
// that has none stands for itself.
func openHidden(path string, book *sheet.Book) *sheet.Book {
	if book.Sheet(schedule.WhenEstimatedSheet) == nil {
		return book
	}
	if hidden := openQuietly(path, isHidden); hidden != nil {
		return hidden
	}
	return book
}
