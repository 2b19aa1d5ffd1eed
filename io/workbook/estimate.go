package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
	Problems   []estimate.Problem // sorted
	LeftOut    int                // rows of the schedule that are not in the estimate
}

// Estimate returns the estimate workbook: results on the first sheets, the
// inputs they follow from on the last, every result a live formula with its
// value stored beside it. The same input gives the same bytes.
func Estimate(in Input) ([]byte, error) {
	if n := len(in.Takeoff.Requirements); n > MostTakeoffRows {
		return nil, fmt.Errorf("the takeoff has %d rows, and a sheet holds %d; divide the schedule", n, MostTakeoffRows)
	}
	w := newWriter(in)
	// Inputs first: the results refer to their cells.
	w.jobSheet()
	w.openingsSheet()
	w.measuredSheet()
	w.costsSheet()
	w.onHandSheet()
	w.alternatesSheet()
	w.detailsSheet()
	w.itemsSheet()
	w.pricesSheet()
	w.suppliersSheet()
	w.places()
	w.takeoffSheet()
	w.materialsSheet()
	w.useSheet()
	w.ordersSheet()
	w.boardsSheet()
	w.offcutsSheet()
	w.cutListSheet()
	w.framesSheet()
	w.installSheet()
	w.receivingSheet()
	w.byOpeningSheet()
	w.measuringSheet()
	w.heldSheet()
	w.labourSheet()
	w.summarySheet()
	w.checksSheet()
	w.sourcesSheet()
	w.out.Define("MasterCheck", w.checks.Ref(masterRow, 2))
	w.out.Define("JobTotal", w.bid["total cell"])
	if in.Book.Job.Protect {
		for _, p := range w.out.Sheets {
			p.Protect()
		}
	}
	return w.out.Bytes()
}

// writer builds one estimate. Sheets are made in the order of their tabs and
// filled in the order in which they refer to each other.
type writer struct {
	in    Input
	u     estimate.Units
	out   *xlsx.Book
	blank bool             // a schedule to fill in
	trim  []estimate.Frame // in the order of Frames

	summary, byOpening, takeoff, materials, use, orders, cutList, boards, offcuts, frames, install, receiving, measuring, held, checks, sources *xlsx.Sheet
	job, openings, measured, costs, labour, onHand, alternates, details, items, prices, suppliers                                               *xlsx.Sheet

	setting     map[string]string // cell of a setting's value, as other sheets write it
	openingRow  []int             // row on Openings, by index into Book.Openings
	offerRow    []int             // row on Prices, by index into Offers
	rowOf       []int             // row on Takeoff, by index into Takeoff.Requirements
	heldWords   map[int]string    // what of an opening waits
	blocks      [][2]int          // first and last row on Takeoff, by opening; 0,0 = none
	useRow      map[string]int    // row of an item on Bought and used
	lineRow     map[string]int    // row of a line on Materials
	supplierRow map[string]int    // row of a supplier on Suppliers, by name in lower case
	orderRow    map[string]int    // row of a supplier's order on Orders
	quotes      [2]int            // first and last row of the items on Orders
	quoteState  string            // column of their states
	lastLine    int
	boardsAdd   string // formula: by how much a stock on Boards is more than its parts
	lastUse     int
	bid         map[string]string // cell of a line of the bid on Summary
}

// MostTakeoffRows is how many rows Takeoff may have; a sheet ends at 1,048,576.
const MostTakeoffRows = 1_000_000

const firstRow = 6 // of the tables: title, subtitle, master check, a blank line and the headers stand above

func newWriter(in Input) *writer {
	job := in.Book.Job
	w := &writer{in: in, u: estimate.UnitsOf(job.MM), trim: estimate.Frames(in.Book, in.Takeoff), heldWords: heldWords(in.Takeoff.Holds), setting: map[string]string{}, useRow: map[string]int{}, lineRow: map[string]int{}, supplierRow: map[string]int{}, orderRow: map[string]int{}, bid: map[string]string{}}
	w.out = xlsx.New(xlsx.Properties{Title: "Estimate " + job.Name, Subject: "Window and door openings: materials and price", Description: "Written by Sillwright from " + in.File})
	w.out.Paper = job.Paper
	w.out.Header = strings.TrimSpace(job.Number + "  " + job.Name)
	w.out.Footer = "Local code and makers' instructions govern"
	for _, s := range []struct {
		page **xlsx.Sheet
		name string
	}{
		{&w.summary, "Summary"}, {&w.byOpening, "By opening"}, {&w.takeoff, "Takeoff"}, {&w.materials, "Materials"}, {&w.use, "Bought and used"}, {&w.orders, "Orders"},
		{&w.cutList, "Cut list"}, {&w.boards, "Boards"}, {&w.offcuts, "Offcuts"}, {&w.frames, "Frames"}, {&w.install, "Install"}, {&w.receiving, "Receiving"},
		{&w.measuring, "Measuring"}, {&w.held, "Held"}, {&w.checks, "Checks"}, {&w.sources, "Sources"},
		{&w.job, "Job"}, {&w.openings, "Openings"}, {&w.measured, "Measured"}, {&w.costs, "Cost lines"}, {&w.labour, "Labour"}, {&w.onHand, "On hand"}, {&w.alternates, "Alternates"},
		{&w.details, "Details"}, {&w.items, "Items"}, {&w.prices, "Prices"}, {&w.suppliers, "Suppliers"},
	} {
		*s.page = w.out.AddSheet(s.name)
		(*s.page).Landscape(s.name != "Summary" && s.name != "Held" && s.name != "Offcuts")
	}
	return w
}

// top writes the lines above a sheet's table: what it is, how to read it, and
// the master check.
func (w *writer) top(p *xlsx.Sheet, head, how string) {
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	w.masterLine(p)
	p.Skip(1)
}

// moneyWords say what amounts of money are in.
func (w *writer) moneyWords() string {
	if w.in.Book.Job.Currency == "" {
		return ""
	}
	return " Money is in " + w.in.Book.Job.Currency + "."
}

// masterLine writes the master check and the way back, and turns it to a warning
// as soon as a sum differs.
func (w *writer) masterLine(p *xlsx.Sheet) {
	row := p.Row(w.masterCell(), xlsx.Blank(xlsx.Good), xlsx.Blank(xlsx.Good), xlsx.LinkTo("Summary!A1", "Summary"), xlsx.LinkTo("Checks!A1", "Checks"))
	p.Merge(row, 1, row, 3)
	w.watchMaster(p, row, 1)
}

func (w *writer) masterCell() xlsx.Cell {
	return xlsx.Formula(w.checks.Ref(masterRow, 2), w.master(), xlsx.Good)
}

// watchMaster colours a cell that shows the master check while it does not hold.
func (w *writer) watchMaster(p *xlsx.Sheet, row, col int) {
	p.Highlight(formula.Cell(row, col), fmt.Sprintf("%s<>\"%s\"", formula.AbsCell(row, col), holds), xlsx.Bad)
}

// places lays out the rows of Takeoff, Materials and Bought and used before any
// is written, since each refers to the others.
func (w *writer) places() {
	t := &w.in.Takeoff
	w.rowOf = make([]int, len(t.Requirements))
	w.blocks = make([][2]int, len(t.Openings))
	row := firstRow
	for i, r := range t.Requirements {
		w.rowOf[i] = row
		b := &w.blocks[r.Opening]
		if b[0] == 0 {
			b[0] = row
		}
		b[1] = row
		row++
	}
	row = firstRow
	for _, p := range w.in.Plan.Purchases {
		for _, l := range p.Lines {
			w.lineRow[l.Key()] = row
			row++
		}
		if len(p.Lines) == 0 {
			row++
		}
	}
	w.lastLine = row - 1
	row = firstRow
	for _, p := range w.in.Plan.Purchases {
		w.useRow[p.Item.Key] = row
		row++
	}
	w.lastUse = row - 1
}
