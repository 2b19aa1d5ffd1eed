// Package intake reads somebody else's list of openings - a window or door
// schedule as architects, dealers and drawing programs write it, or a COBie
// workbook - into openings of ours. It maps columns by what their headers mean,
// finds units and the basis of sizes, and says what it took for what, what it
// left out and why. What the list does not say is asked for, never guessed.
package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Basis is what a size is the size of.
type Basis int

// The bases. Unstated is a bare Width. Call is a call size, a nominal size or
// that of a door's leaf, whose meaning the Job sheet settles. Useless is the
// size of something else: the glass, the clear way through.
const (
	Unstated Basis = iota
	Frame
	Opening
	Call
	Useless
)

// ParseBasis returns the basis that the option --basis names.
func ParseBasis(word string) (Basis, bool) {
	switch word {
	case "frame":
		return Frame, true
	case "opening":
		return Opening, true
	}
	return Unstated, word == ""
}

// Options are what the estimator knows of the lists.
type Options struct {
	Basis Basis            // of sizes whose header states none: Frame, Opening or Unstated
	Units measure.Unit     // of numbers for which neither text nor header states one
	Trims sheet.Vocabulary // the words of the column Trim
}

// Result is what was made of the lists.
type Result struct {
	Openings []estimate.Opening // marks are unique, Notes say where each comes from
	LeftOut  []Count            // openings that are none of this work, by reason
	Sizes    []Count            // all openings whose size could be read, left out or not, the commonest first
	Found    int64              // openings listed, of whatever fate
	Refused  int64              // openings left out because of an error
	Metric   bool               // most sizes were written in metric units
	Calls    []estimate.Kind    // kinds of which a call size is all that is known
	Decided  []Decision         // what each list was taken for, in the order of the lists
}

// Decision is what a list was taken for: its columns, the unit of its numbers.
type Decision struct {
	Place estimate.Place // the header of the list, or its file
	What  string
}

// Taken returns the number of openings taken.
func (r Result) Taken() int64 {
	var n int64
	for _, o := range r.Openings {
		n += o.Qty
	}
	return n
}

// Count is how many openings share something.
type Count struct {
	What string
	N    int64
}

// Read reads books into one list of openings. Everything wrong is reported,
// sorted; an error costs its rows, or those of its column.
func Read(books []*sheet.Book, options Options) (Result, []estimate.Problem) {
	var all []*entry
	var problems []estimate.Problem
	var decided []Decision
	for _, b := range books {
		lists, ps := listsOf(b)
		problems = append(problems, ps...)
		for _, l := range lists {
			l.options = options
			l.work()
			all = append(all, l.entries...)
			decided = append(decided, l.decisions()...)
			problems = append(problems, l.problems...)
		}
	}
	result, ps := gather(all)
	result.Decided = decided
	return result, estimate.SortProblems(append(problems, ps...))
}

func listsOf(b *sheet.Book) ([]*list, []estimate.Problem) {
	if isCOBie(b) {
		return cobie(b)
	}
	return schedules(b)
}

// list is openings that share a declaration of units: the rows under one
// header, or a COBie workbook.
type list struct {
	options  Options
	at       estimate.Place                // of the header of its sizes
	declared measure.Unit                  // by the file, for numbers without a unit of their own
	by       string                        // who declares it, in words
	context  []string                      // sheet, titles and file, the nearest first
	unit     map[measure.Unit]measure.Unit // of bare numbers, by the unit that their header states
	columns  []column                      // of a schedule
	repeated []column                      // headers of sizes that stand twice
	mayCount []column                      // that may count openings where no other does
	totals   []int                         // columns that may be totals and differ from the count, by index
	spaces   bool                          // rooms are all that an opening adjoins, not just the one it serves
	entries  []*entry
	settled  []string // what was decided of all its rows
	problems []estimate.Problem
}

func (l *list) say(at estimate.Place, sev estimate.Severity, what, do string) {
	l.problems = append(l.problems, estimate.Problem{Place: at, Severity: sev, What: what, Do: do})
}

// note says what was decided of all rows of a list.
func (l *list) note(what string) { l.settled = append(l.settled, what) }

// decisions returns what the list was taken for, in few lines.
func (l *list) decisions() []Decision {
	at := estimate.Place{File: l.at.File, Sheet: l.at.Sheet, Row: l.at.Row}
	var out []Decision
	var columns []string
	for _, c := range l.columns {
		if c.used() {
			columns = append(columns, fmt.Sprintf("%q is %s", sheet.Excerpt(c.header), c.takenWith(l.options.Basis)))
		}
	}
	if len(columns) > 0 {
		out = append(out, Decision{at, strings.Join(columns, "; ")})
	}
	for _, s := range l.settled {
		out = append(out, Decision{at, s})
	}
	return out
}

// entry is a line of a list, or a component, on its way to an opening.
type entry struct {
	place     estimate.Place
	from      estimate.Place // of what it shares with others: the row of its type
	mark      string
	named     bool // the mark is the opening's own, not that of a type
	pieces    []string
	qty       int64
	class     string   // what a column of kinds says
	labels    []string // what else the line says of its kind
	section   []string // the headings above it, the nearest first
	position  string
	outside   string // what a column "exterior" says: yes or no
	rooms     []string
	level     string
	facing    string
	remarks   []string
	sizes     []size                // as written, the first to be preferred
	own       *size                 // a component's own, which overrules its type's
	ownCells  map[string]sheet.Cell // of columns of ours, by name
	ours      estimate.Opening      // what was taken from them
	useless   string                // the header of a size of something else, if it has one
	unsettled string                // a type that is not known yet, as it is written

	kind      estimate.Kind
	byContext bool // the kind is told by what stands above, not by the line
	told      bool // by a word that only doors of the outside wall have
	doubt     bool // a window by its column, a patio door by its label
	reason    string
	read      map[Basis]reading
	bad       bool // left out because of an error
}

// work takes a list through the stages: kinds, then units, which want the
// kinds, then sizes.
func (l *list) work() {
	for _, e := range l.entries {
		l.classify(e)
	}
	l.units()
	for _, e := range l.entries {
		l.size(e)
	}
	l.askBasis()
	l.askCount()
	for _, e := range l.entries {
		if e.reason == "" && !e.bad {
			l.takeOwn(e)
		}
	}
	l.leftOutNotes()
}

// refuse leaves an entry out because of an error.
func (l *list) refuse(e *entry, at estimate.Place, what, do string) {
	e.bad = true
	l.say(at, estimate.Error, what, do)
}

// leftOutNotes says, a reason a line, what is none of this work.
func (l *list) leftOutNotes() {
	byReason, marks := counter{}, map[string]counter{}
	for _, e := range l.entries {
		if e.reason == "" {
			continue
		}
		byReason.add(e.reason, e.qty)
		if marks[e.reason] == nil {
			marks[e.reason] = counter{}
		}
		marks[e.reason].add(cmp.Or(e.mark, fmt.Sprintf("row %d", e.place.Row)), e.qty)
	}
	for _, c := range byReason.sorted() {
		l.say(l.at, estimate.Note, fmt.Sprintf("%d left out: %s: %s", c.N, c.What, some(marks[c.What].named())), "")
	}
}

// counter counts by word.
type counter map[string]int64

func (c counter) add(word string, n int64) { c[word] += n }

// sorted returns the counts, the largest first.
func (c counter) sorted() []Count {
	var out []Count
	for w, n := range c {
		out = append(out, Count{w, n})
	}
	slices.SortFunc(out, func(a, b Count) int { return cmp.Or(cmp.Compare(b.N, a.N), strings.Compare(a.What, b.What)) })
	return out
}

// named lists the words with their counts.
func (c counter) named() []string {
	var out []string
	for _, x := range c.sorted() {
		if x.N == 1 {
			out = append(out, x.What)
			continue
		}
		out = append(out, fmt.Sprintf("%s (%d)", x.What, x.N))
	}
	return out
}

// many writes how many things are meant: 1 size is, 2 sizes are.
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing + " is"
	}
	return fmt.Sprintf("%d %ss are", n, thing)
}

// some lists words, at most twelve.
func some(words []string) string {
	const most = 12
	if len(words) > most {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return strings.Join(words, ", ")
}
