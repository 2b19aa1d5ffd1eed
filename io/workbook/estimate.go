// Package workbook writes the estimate as a workbook whose money is live formulas, with the
// papers that go with it: schedules to fill in, orders, cutting plans, the list of a
// batch. A sheet is a file, and a table of columns.
package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// Table is a sheet of the user's, carried into the estimate as it was written.
type Table struct {
	Columns []string       // canonical headers
	Headers []string       // as written above the columns: a unit may stand behind
	Rows    [][]sheet.Cell // one a column; shorter rows end blank
	Opening []int          // of the Openings sheet: index into Book.Openings, -1 = left out
}

// Input is all that an estimate workbook shows.
type Input struct {
	File       string // base name of the schedule, named on Summary
	Book       estimate.Book
	Settings   []estimate.Setting
	Steps      []estimate.StepText
	Openings   Table
	Measured   Table
	Alternates Table
	Lists      pricing.Lists
	Takeoff    estimate.Takeoff
	Plan       pricing.Plan
	Remaining  *pricing.Remaining // what is still to buy; nil = all of Plan
	Range      *pricing.CostRange // what the job may cost; nil = Job has no ranges
	Problems   []estimate.Problem // sorted
	LeftOut    int                // rows of the schedule that are not in the estimate
	Kept       Table              // edits of an estimate before this one that the schedule does not hold
}

// MaxDrawnFrames is of how many trim frames an estimate holds drawings, each a part of
// the workbook: so that it has no more parts than are read, half of sheet.MaxParts left
// for all others.
const MaxDrawnFrames = min(1_000, sheet.MaxParts/2)

// NotDrawn says on the sheet, and in a note, that frames beyond those are not drawn; ""
// if all are.
func NotDrawn(frames int) string {
	if frames <= MaxDrawnFrames {
		return ""
	}
	return fmt.Sprintf("of %d trim frames the first %d are drawn, and all have their card", frames, MaxDrawnFrames)
}

// MaxTakeoffRows is how many rows Takeoff may have; a sheet ends at 1,048,576.
const MaxTakeoffRows = 1_000_000

// Estimate returns the estimate workbook: results on the first sheets, the
// inputs they follow from on the last. Sums and money are live formulas with
// their values stored beside them; what the takeoff and the plans work out are
// values. The same input gives the same bytes.
func Estimate(in Input) ([]byte, error) {
	if n := len(in.Takeoff.Requirements); n > MaxTakeoffRows {
		return nil, fmt.Errorf("the takeoff has %d rows, and a sheet holds %d; divide the schedule", n, MaxTakeoffRows)
	}
	w := newWriter(in)
	for _, s := range writingOrder(estimateSheets()) {
		s.write(w, w.out.Sheet(s.name))
	}
	w.out.Define("total_price", w.bid.At("total", "Amount").String())
	w.out.Define("checks_failed", w.masterLine.Cell(masterRow, "Failed").String())
	w.out.Define("plan_stale", w.masterLine.Cell(masterRow, "Stale").String())
	if in.Book.Job.Protect {
		for _, p := range w.out.Sheets {
			p.Protect()
		}
	}
	return w.out.Bytes()
}

// estimateSheet is a sheet of the estimate.
type estimateSheet struct {
	name     string
	about    string // what it is for, as Summary says
	portrait bool
	read     bool // it is read back when an estimate is estimated again
	write    func(*writer, *xlsx.Sheet)
	after    []string // sheets whose cells it names, but for those that have a place before
	instead  string   // where to type what somebody typed over its results; "" = it is not looked for
}

// ofPapers says where to change what follows from the openings.
const ofPapers = "change it where it comes from: Openings, Field measurements, Job, Details"

// estimateSheets are the sheets of the estimate in the order of their tabs: results,
// then the inputs that travel with them. To add a sheet is a line here and a file that
// writes it.
func estimateSheets() []estimateSheet {
	return []estimateSheet{
		{name: "Summary", portrait: true, write: (*writer).summarySheet, after: []string{"By opening", "Materials", "Orders", "To buy", "Added costs"},
			instead: "change rates on Job, prices on Prices, costs on Other costs"},
		{name: "By opening", about: "what each mark costs, by class of material", write: (*writer).byOpeningSheet, after: []string{WhenEstimated},
			instead: "change the opening or its unit cost on Openings"},
		{name: "Takeoff", about: "every amount, with its calculation", write: (*writer).takeoffSheet, after: []string{WhenEstimated},
			instead: "type a count to buy under Override on Materials, or change the opening, the waste or the detail"},
		{name: "Materials", about: "what to buy: counts, prices, the cost of each plan", read: true, write: (*writer).materialsSheet,
			after: []string{WhenEstimated}, instead: "type a count under Override, a price on Prices, a supplier under Buy at on Orders"},
		{name: "Bought vs. used", about: "what is bought beside what the openings use", write: (*writer).useSheet, after: []string{WhenEstimated},
			instead: "type a count to buy under Override on Materials"},
		{name: "Orders", about: "what each item costs at each supplier, and each order", read: true, write: (*writer).ordersSheet,
			after: []string{WhenEstimated}, instead: "type a supplier under Buy at, a price on Prices, fees on Suppliers"},
		{name: "To buy", about: "once something is bought or done: what there is, and what is still to buy", read: true, write: (*writer).toBuySheet,
			after: []string{WhenEstimated, "By opening"}, instead: "type a count under Override on Materials, a price on Prices"},
		{name: "Added costs", about: "what the lines of Other costs and Labor come to", write: (*writer).addedCostsSheet, after: []string{"By opening"},
			instead: "type it on Other costs or Labor"},
		{name: "Cut list", about: "for the saw: each length once", write: (*writer).cutListSheet, instead: ofPapers},
		{name: "Boards", about: "the cutting pattern of each board, stick and roll", write: (*writer).boardsSheet, instead: ofPapers},
		{name: "Offcuts", about: "offcuts worth keeping", portrait: true, write: (*writer).offcutsSheet, instead: ofPapers},
		{name: "Frames", about: "for the bench: a card and a drawing for each trim frame", write: (*writer).framesSheet, after: []string{WhenEstimated},
			instead: ofPapers},
		{name: "Install", about: "for the site: the steps, what one opening takes, and the packs to fetch", write: (*writer).installSheet,
			instead: ofPapers},
		{name: "Receiving", about: "the units, to tick off on arrival", write: (*writer).receivingSheet, after: []string{WhenEstimated}, instead: ofPapers},
		{name: "Measure form", about: "to print, and to fill in at the units once they are set", read: true, write: (*writer).measureFormSheet,
			after: []string{"Install"}},
		{name: "On hold", about: "what must not be cut yet, the reason, and what releases it", write: (*writer).heldSheet, after: []string{WhenEstimated},
			instead: ofPapers},
		{name: "Checks", about: "totals that must agree, and every problem", write: (*writer).checksSheet, after: []string{"Summary", "Boards"}, instead: ofPapers},
		{name: "Sources", about: "the rules, with their sources", write: (*writer).sourcesSheet},

		{name: "Job", about: "rates, defaults and waste of the job", read: true, write: (*writer).jobSheet},
		{name: "Openings", about: "the schedule", read: true, write: (*writer).openingsSheet},
		{name: "Field measurements", about: "what was measured on site at the set units", read: true, write: (*writer).measuredSheet},
		{name: "Other costs", about: "costs you add: lift, dump fee, permit", read: true, write: (*writer).costsSheet},
		{name: "Labor", about: "your crew's own hours", read: true, write: (*writer).laborSheet},
		{name: "On hand", about: "stock you have already", read: true, write: (*writer).onHandSheet},
		{name: "Purchases", about: "what was bought for the job so far", read: true, write: (*writer).purchasesSheet},
		{name: "Actuals", about: "what the job took, for sillwright learn", portrait: true, read: true, write: (*writer).actualsSheet},
		{name: "Alternates", about: "other ways to do the job, for sillwright compare", read: true, write: (*writer).alternatesSheet},
		{name: "Details", about: "how each kind of opening is flashed, sealed and trimmed", read: true, write: (*writer).detailsSheet},
		{name: "Items", about: "what can be bought, without prices", read: true, write: (*writer).itemsSheet},
		{name: "Prices", about: "the price lists", read: true, write: (*writer).pricesSheet},
		{name: "Suppliers", about: "delivery, minimum order and lead time of each supplier", read: true, write: (*writer).suppliersSheet},
		{name: WhenEstimated, about: "hidden: every input as it was, to tell what has changed since", write: (*writer).whenEstimatedSheet, after: inputSheets},
	}
}

// inputSheets are those that are held against what they were when estimated.
var inputSheets = []string{"Job", "Openings", "Field measurements", "Other costs", "Labor", "On hand", "Purchases", "Actuals", "Alternates", "Details", "Items",
	"Prices", "Suppliers", "Measure form"}

// Results are the sheets of an estimate, and of a schedule, that nobody reads back.
func Results() []string {
	out := []string{readMeName, xlsx.ListsName, xlsx.ProblemsName, "Bought and used", "Held"} // the last two: what Bought vs. used and On hold were called
	for _, s := range estimateSheets() {
		if !s.read {
			out = append(out, s.name)
		}
	}
	return out
}

// writingOrder returns sheets so that each stands behind those whose cells it names.
func writingOrder(all []estimateSheet) []estimateSheet {
	var order []estimateSheet
	written := map[string]bool{}
	for len(order) < len(all) {
		before := len(order)
		for _, s := range all {
			if !written[s.name] && !slices.ContainsFunc(s.after, func(name string) bool { return !written[name] }) {
				order = append(order, s)
				written[s.name] = true
			}
		}
		if len(order) == before {
			panic("sheets of the estimate wait for each other") // a mistake in the table, which every test meets
		}
	}
	return order
}

// writer builds one estimate. Its tables are where formulas of other sheets find cells:
// by the key of a row and the head of a column.
type writer struct {
	in   Input
	u    estimate.Units
	out  *xlsx.Book
	trim []estimate.Frame   // in the order of Frames
	work []estimate.Install // by detail and phase

	// Of a schedule.
	blank       bool     // it is to be filled in
	how         string   // the line under the title of Openings
	detailNames []string // for the drop-down
	exampleRow  map[string]string

	heldWords map[int]string // what of an opening waits
	blocks    [][2]int       // first and last row on Takeoff, by opening; 0,0 = none

	checked    bool     // there are checks: it is an estimate
	master     xlsx.Ref // the one check that every sheet repeats
	masterLine *xlsx.Grid

	bid        *xlsx.Table[bidLine]
	money      *xlsx.Table[moneyPart]
	left       *xlsx.Table[toFinish]
	byOpening  *xlsx.Table[openingCost]
	takeoff    *xlsx.Table[takeoffRow]
	materials  *xlsx.Table[materialRow]
	use        *xlsx.Table[pricing.Purchase]
	quotes     *xlsx.Table[itemQuotes] // of Orders: an item at each supplier
	orders     *xlsx.Table[pricing.Order]
	costs      *xlsx.Table[addedCost]
	labor      *xlsx.Table[addedLabor]
	settings   *xlsx.Grid
	openings   *xlsx.Table[copied]
	openingRow []int // row on Openings, by index into Book.Openings
	prices     *xlsx.Table[*pricing.Offer]
	offerRow   []int // row on Prices, by index into Offers
	suppliers  *xlsx.Table[*pricing.Terms]
	form       *xlsx.Grid        // Measure form
	readings   []xlsx.LineSeries // of its drawing
	others     *xlsx.Grid        // Alternates
	boardsAdd  string            // formula: by how much a stock on Boards is more than its parts

	purchases map[string]*pricing.Purchase // by item; nil = not gathered yet

	// Inputs held against what they were when estimated.
	watched                                                                         []*watched
	rates, watchedOpenings, watchedPrices, watchedTerms, watchedCosts, watchedLabor *watched
}

const firstRow = 6 // of the tables: title, subtitle, master check, a blank line and the headers stand above

// newWriter returns a writer whose sheets are there, empty, and whose tables that refer
// to each other have their places.
func newWriter(in Input) *writer {
	job := in.Book.Job
	w := &writer{in: in, u: estimate.UnitsOf(job.MM), trim: estimate.Frames(in.Book, in.Takeoff),
		work: estimate.Installs(in.Book, in.Takeoff), heldWords: heldWords(in.Takeoff.Holds), checked: true}
	w.out = xlsx.New(xlsx.Properties{
		Title: "Estimate " + job.Name, Subject: "Window and door openings: materials and price", Description: "Written by Sillwright from " + in.File,
	})
	w.out.Paper = job.Paper
	w.out.Header = strings.TrimSpace(job.Number + "  " + job.Name)
	w.out.Footer = "Local code and manufacturers' instructions govern"
	for _, s := range estimateSheets() {
		w.out.AddSheet(s.name).Landscape(!s.portrait)
	}
	w.placeMaster()
	w.placeTakeoff()
	w.placeMaterials()
	w.placeUse()
	return w
}

// top writes the lines above a sheet's table: what it is, how to read it, and
// the master check.
func (w *writer) top(p *xlsx.Sheet, head, how string) {
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	w.showMaster(p)
	p.Skip(1)
}

// moneyWords say what amounts of money are in.
func (w *writer) moneyWords() string {
	if w.in.Book.Job.Currency == "" {
		return ""
	}
	return " Money is in " + w.in.Book.Job.Currency + "."
}
