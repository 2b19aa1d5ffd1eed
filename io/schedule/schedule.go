// Package schedule reads a schedule workbook, or a CSV file of openings, into
// everything that a takeoff needs. The tables that ship stand under it: what
// the workbook does not say, they do. Everything wrong is reported at its cell,
// all at once; a row with an error is left out, never guessed at.
package schedule

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// The sheets that are read. Only Openings is required; a CSV file is one.
const (
	JobSheet       = "Job"
	OpeningsSheet  = "Openings"
	MeasuredSheet  = "Field measurements"
	MeasuringSheet = "Measure form" // the printed form of an estimate, filled in
	DetailsSheet   = "Details"
	ItemsSheet     = "Items"
	PricesSheet    = "Prices"
	SuppliersSheet = "Suppliers"
	MaterialsSheet = "Materials" // of an estimate: its overrides
	OrdersSheet    = "Orders"    // of an estimate: the suppliers chosen by hand
	CostsSheet     = "Other costs"
	ToBuySheet     = "To buy" // of an estimate: what was still to buy
	OnHandSheet    = "On hand"
	PurchasesSheet = "Purchases"
	ActualsSheet   = "Actuals" // what the job took
	LaborSheet     = "Labor"
	AlternateSheet = "Alternates"
)

var inputs = []string{JobSheet, OpeningsSheet, MeasuredSheet, MeasuringSheet, DetailsSheet, ItemsSheet, PricesSheet, SuppliersSheet, MaterialsSheet,
	OrdersSheet, ToBuySheet, CostsSheet, OnHandSheet, PurchasesSheet, ActualsSheet, LaborSheet, AlternateSheet}

// Schedule is a schedule as read.
type Schedule struct {
	Book       estimate.Book          // Job, Openings, Details, Items, Layouts, Labor
	Settings   []estimate.Setting     // every line of the Job sheet in the shipped order; Text is what the crew wrote, "" = the default holds
	Steps      []estimate.StepText    // the rows of Details that hold, a row a step and detail, details in the order in which they are tried
	Openings   Raw                    // the sheet Openings as written
	Measured   Raw                    // the lines with readings of the sheets Field measurements and Measure form as written
	Alternates Raw                    // the sheet Alternates as written
	Overrides  map[string]int64       // counts typed into the sheet Materials of an estimate, by Key
	Pins       map[string]pricing.Pin // suppliers typed into the sheet Orders of an estimate, by item
	Lines      []pricing.Planned      // of the sheet Materials of an estimate
	ToBuy      map[string]int64       // counts of the sheet To buy of an estimate, by Key; nil = it has none
	NotOrdered []estimate.Problem     // rows added there, which are bought by no order
	Unread     []estimate.Problem     // sheets that are neither read nor results
	Changes    []Alternate            // of the sheet Alternates, by name, in the order of their first rows
	Common     bool                   // the sheet Alternates asks for the usual ones too
	Prices     *sheet.Sheet           // the sheet Prices, nil when there is none
	Suppliers  *sheet.Sheet           // the sheet Suppliers, nil when there is none

	// Rows + LeftOut + Passed are the rows of Openings that are not blank.
	Rows    int // taken as openings
	LeftOut int // left out because of an error
	Passed  int // no openings: headings, sums, leftovers; each has a note

	valid    []estimate.Setting // the lines of Job without values that were refused
	date1904 bool
}

// Wanted reports whether a sheet of that name is read here. It is meant for
// sheet.OpenSheets, so that the results of an estimate cost no time.
func Wanted(name string) bool { return inputOf(name) != "" }

// sheetNames are what people, and earlier versions, call the sheets that are
// read.
var sheetNames = map[string][]string{
	OpeningsSheet: {"Opening", "Opening schedule", "Openings schedule"}, MeasuredSheet: {"Measured", "Measurements", "Field measure"},
	MeasuringSheet: {"Measuring"}, CostsSheet: {"Cost lines", "Other cost"}, LaborSheet: {"Labour", "Labor hours"}, OnHandSheet: {"On-hand", "Stock on hand"},
	PurchasesSheet: {"Purchase", "Bought"}, ActualsSheet: {"Actual", "What it took"},
	AlternateSheet: {"Alternate"}, DetailsSheet: {"Detail"}, ItemsSheet: {"Item"}, PricesSheet: {"Price list", "Price"}, SuppliersSheet: {"Supplier"},
	OrdersSheet: {"Order"}, JobSheet: {"Job settings", "Settings"},
}

// openingSheets are the names under which openings stand where there is no
// sheet Openings.
var openingSheets = []string{"Windows", "Doors", "Schedule", "Window schedule", "Door schedule", "Windows and doors", "Doors and windows",
	"Window and door schedule", "Door and window schedule", "Windows schedule", "Doors schedule",
	"Fenestration", "Fenestration schedule"}

// inputKeys are the sheets that are read, by the keys of all their names.
var inputKeys = sync.OnceValue(func() map[string]string {
	keys := map[string]string{}
	for _, in := range inputs {
		for _, name := range append([]string{in}, sheetNames[in]...) {
			keys[sheetKey(name)] = in
		}
	}
	for _, name := range openingSheets {
		keys[sheetKey(name)] = OpeningsSheet
	}
	return keys
})

// inputOf returns which of the sheets that are read a name is, "" for none.
func inputOf(name string) string { return inputKeys()[sheetKey(name)] }

func isOne(sheets []string, name string) bool {
	key := sheetKey(name)
	return slices.ContainsFunc(sheets, func(s string) bool { return sheetKey(s) == key })
}

func sheetKey(name string) string {
	return strings.ReplaceAll(fold(strings.ReplaceAll(name, "&", " and ")), " ", "")
}

// Read reads a book. The schedule is never nil; what could not be read is
// missing from it, and the problems, sorted, say so. A book without a sheet
// Openings gives a schedule without openings, and an error. Results are the sheets
// of an estimate that nobody reads: of any other sheet that is not read, the
// problems say so.
func Read(b *sheet.Book, results ...string) (*Schedule, []estimate.Problem) {
	r := newReader(b)
	r.shared()
	r.own()
	r.out.Unread = unknownSheets(r.book, results)
	r.problems = append(r.problems, r.out.Unread...)
	return r.out, estimate.SortProblems(r.problems)
}

// Shipped returns the schedule that the tables which ship make alone: no
// openings, and a job of defaults. It has no problems.
func Shipped() (*Schedule, []estimate.Problem) {
	r := newReader(&sheet.Book{})
	r.shared()
	return r.out, estimate.SortProblems(r.problems)
}

// reader gathers a schedule from the sheets of a book.
type reader struct {
	book      *sheet.Book
	out       *Schedule
	problems  []estimate.Problem
	marks     map[string]marked // of the sheet Openings, folded
	suggested int               // marks that are not known, see nearestMark
}

func newReader(b *sheet.Book) *reader {
	openings, measured, alternates := OpeningColumns(), MeasuredColumns(), AlternateColumns()
	return &reader{book: b, out: &Schedule{
		Openings:   Raw{Columns: openings, Headers: slices.Clone(openings)},
		Measured:   Raw{Columns: measured, Headers: slices.Clone(measured)},
		Alternates: Raw{Columns: alternates, Headers: slices.Clone(alternates)},
		Overrides:  map[string]int64{}, Pins: map[string]pricing.Pin{},
	}}
}

// sheet returns a sheet that was read, by its name or one that people call it,
// or nil.
func (r *reader) sheet(name string) *sheet.Sheet {
	for _, n := range append([]string{name}, sheetNames[name]...) {
		if s := r.book.Sheet(n); s != nil && !s.Skipped {
			return s
		}
	}
	return nil
}

// openingsSheets returns the sheets with openings: Openings, else all that are
// named for windows, doors or a schedule.
func (r *reader) openingsSheets() []*sheet.Sheet {
	if s := r.sheet(OpeningsSheet); s != nil {
		return []*sheet.Sheet{s}
	}
	var out []*sheet.Sheet
	for _, s := range r.book.Sheets {
		if !s.Skipped && isOne(openingSheets, s.Name) {
			out = append(out, s)
		}
	}
	if len(out) == 0 && len(r.book.Sheets) > 0 && r.book.Sheets[0].Name == "" { // a CSV file; others may stand beside it that an estimate's edits made
		out = r.book.Sheets[:1]
	}
	return out
}

// shared reads what all openings share: items before the job, which names
// them, and the job before the details, which name its roles.
func (r *reader) shared() {
	r.problems = append(r.problems, shipped().problems...)
	r.out.Settings, r.out.Book.Layouts = slices.Clone(shipped().settings), slices.Clone(shipped().layouts)
	r.items(r.sheet(ItemsSheet))
	r.job(r.sheet(JobSheet))
	r.costs(r.sheet(CostsSheet))
	r.onHand(r.sheet(OnHandSheet))
	r.purchases(r.sheet(PurchasesSheet))
	r.actuals(r.sheet(ActualsSheet))
	r.labor(r.sheet(LaborSheet))
	r.details(r.sheet(DetailsSheet))
}

// own reads the openings, and what belongs to this schedule alone.
func (r *reader) own() {
	if sheets := r.openingsSheets(); len(sheets) > 0 {
		for _, s := range sheets {
			r.openings(s)
		}
		r.readings()
	} else {
		r.problems = append(r.problems, noOpenings(r.book))
	}
	r.alternates(r.sheet(AlternateSheet))
	r.plan(r.sheet(MaterialsSheet))
	r.pins(r.sheet(OrdersSheet))
	r.toBuy(r.sheet(ToBuySheet))
	r.out.Prices, r.out.Suppliers = r.sheet(PricesSheet), r.sheet(SuppliersSheet)
}

func noOpenings(b *sheet.Book) estimate.Problem {
	var names []string
	for _, s := range b.Sheets {
		names = append(names, s.Name)
	}
	do := "call the sheet with the openings Openings, or let sillwright import read the list"
	if near, ok := sheet.Nearest(OpeningsSheet, names); ok {
		do = fmt.Sprintf("is %q meant? %s", near, do)
	}
	return estimate.Problem{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
		What: fmt.Sprintf("there is no sheet %q; found %s", OpeningsSheet, sheet.Quoted(names)), Do: do}
}

// isRead reports whether a sheet of a book is read: one named for windows or
// doors only where there is no sheet Openings, and of two for the same the first name.
func isRead(b *sheet.Book, s *sheet.Sheet) bool {
	r, in := newReader(b), inputOf(s.Name)
	if in == OpeningsSheet {
		return slices.Contains(r.openingsSheets(), s)
	}
	return in != "" && (s.Skipped || r.sheet(in) == s)
}

// copyMarks are what programs, and people, put around the name of a sheet when they copy
// it.
var copyMarks = regexp.MustCompile(`(?i)^copy of |[ _-]*(\(?(copy|old|backup|new|v?\d+)\)?)$`)

// copied returns which sheet that is read the name of another says it is a copy of, or is
// another name for; "" for none. One for windows or doors is a list of its own.
func copied(name string) string {
	if in := inputOf(name); in != "" && !isOne(openingSheets, name) {
		return in
	}
	if of := copyMarks.ReplaceAllString(name, ""); of != name && !isOne(openingSheets, of) {
		return inputOf(of)
	}
	return ""
}

// unknownSheets names the sheets that are neither read nor results of an estimate.
func unknownSheets(b *sheet.Book, results []string) []estimate.Problem {
	var problems []estimate.Problem
	var strange, absent []string
	for _, name := range inputs {
		if !slices.ContainsFunc(b.Sheets, func(s *sheet.Sheet) bool { return inputOf(s.Name) == name }) {
			absent = append(absent, name)
		}
	}
	for _, s := range b.Sheets {
		if s.Name == "" || isRead(b, s) || isOne(results, s.Name) {
			continue
		}
		if of := copied(s.Name); of != "" && !slices.Contains(absent, of) {
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: s.File, Sheet: s.Name}, Severity: estimate.Warning,
				What: fmt.Sprintf("the sheet %q is not read, for there is another one for %q", s.Name, of), Do: "type what holds there, and delete this one"})
			continue
		}
		if near, ok := sheet.Nearest(s.Name, absent); ok {
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: s.File, Sheet: s.Name}, Severity: estimate.Warning,
				What: fmt.Sprintf("the sheet %q is not read", s.Name), Do: fmt.Sprintf("if %q is meant, rename it", near)})
			continue
		}
		strange = append(strange, s.Name)
	}
	switch len(strange) {
	case 0:
	case 1:
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, What: fmt.Sprintf("the sheet %s is not read", sheet.Quoted(strange))})
	default:
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, What: fmt.Sprintf("the sheets %s are not read", sheet.Quoted(strange))})
	}
	return problems
}
