package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
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
	w.out.name("MasterCheck", w.checks.ref(masterRow, 2))
	w.out.name("JobTotal", w.bid["total cell"])
	if in.Book.Job.Protect {
		for _, p := range w.out.pages {
			p.protect()
		}
	}
	return w.out.bytes()
}

// writer builds one estimate. Sheets are made in the order of their tabs and
// filled in the order in which they refer to each other.
type writer struct {
	in    Input
	u     units
	out   *out
	blank bool             // a schedule to fill in
	trim  []estimate.Frame // in the order of Frames

	summary, byOpening, takeoff, materials, use, orders, cutList, boards, offcuts, frames, install, receiving, measuring, held, checks, sources *page
	job, openings, measured, costs, labour, onHand, alternates, details, items, prices, suppliers                                               *page

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
	w := &writer{in: in, u: unitsOf(job.MM), trim: estimate.Frames(in.Book, in.Takeoff), heldWords: heldWords(in.Takeoff.Holds), setting: map[string]string{}, useRow: map[string]int{}, lineRow: map[string]int{}, supplierRow: map[string]int{}, orderRow: map[string]int{}, bid: map[string]string{}}
	w.out = newOut(docProps{Title: "Estimate " + job.Name, Subject: "Window and door openings: materials and price", Description: "Written by Sillwright from " + in.File})
	w.out.paper = job.Paper
	w.out.header = strings.TrimSpace(job.Number + "  " + job.Name)
	w.out.caution = "Local code and makers' instructions govern"
	for _, s := range []struct {
		page **page
		name string
	}{
		{&w.summary, "Summary"}, {&w.byOpening, "By opening"}, {&w.takeoff, "Takeoff"}, {&w.materials, "Materials"}, {&w.use, "Bought and used"}, {&w.orders, "Orders"},
		{&w.cutList, "Cut list"}, {&w.boards, "Boards"}, {&w.offcuts, "Offcuts"}, {&w.frames, "Frames"}, {&w.install, "Install"}, {&w.receiving, "Receiving"},
		{&w.measuring, "Measuring"}, {&w.held, "Held"}, {&w.checks, "Checks"}, {&w.sources, "Sources"},
		{&w.job, "Job"}, {&w.openings, "Openings"}, {&w.measured, "Measured"}, {&w.costs, "Cost lines"}, {&w.labour, "Labour"}, {&w.onHand, "On hand"}, {&w.alternates, "Alternates"},
		{&w.details, "Details"}, {&w.items, "Items"}, {&w.prices, "Prices"}, {&w.suppliers, "Suppliers"},
	} {
		*s.page = w.out.sheet(s.name)
		(*s.page).landscape(s.name != "Summary" && s.name != "Held" && s.name != "Offcuts")
	}
	return w
}

// top writes the lines above a sheet's table: what it is, how to read it, and
// the master check.
func (w *writer) top(p *page, head, how string) {
	p.row(str(title, head))
	p.row(str(subtitle, how))
	w.masterLine(p)
	p.skip(1)
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
func (w *writer) masterLine(p *page) {
	row := p.row(w.masterCell(), blank(good), blank(good), linkTo("Summary!A1", "Summary"), linkTo("Checks!A1", "Checks"))
	p.merge(row, 1, row, 3)
	w.watchMaster(p, row, 1)
}

func (w *writer) masterCell() cell { return formula(w.checks.ref(masterRow, 2), w.master(), good) }

// watchMaster colours a cell that shows the master check while it does not hold.
func (w *writer) watchMaster(p *page, row, col int) {
	p.highlight(ref(row, col), fmt.Sprintf("%s<>\"%s\"", absRef(row, col), holds), bad)
}

// finish freezes the header row of a table, repeats it on every page and makes
// the table filterable.
func (p *page) finish(name string, header, cols, frozen int) {
	p.freeze(header, frozen)
	p.titleRows(header, header)
	if last := p.next() - 1; last > header {
		p.table(name, header, last, 1, cols)
	}
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

// cents rounds a formula to the cent, having first rounded away what binary
// fractions add: so two spreadsheet programs agree, and the stored value too.
func cents(f string, decimals int) string { return "ROUND(ROUND(" + f + "," + itoa(decimals) + "),2)" }

// Decimals of the inner rounding: an extension is exact to 4, a rate of an
// amount to 8, a share is cut at 6.
const (
	extensionDecimals = 4
	rateDecimals      = 8
	shareDecimals     = 6
)

// takeoffSheet writes one row a mark and rule. Shares follow the running total
// of their item, so that they foot to the cent after an edit too.
func (w *writer) takeoffSheet() {
	p, t := w.takeoff, &w.in.Takeoff
	w.top(p, "Takeoff", "What each opening needs, step by step; amounts are for one opening, the total for all of the mark. Worked out by the rules on Sources."+w.moneyWords())
	heads := []string{"Mark", "Qty", "Step", "Work", "Item", "Piece", "Pieces", "Length", "Each opening", "Unit", "Total", "Cost", "Held", "Worked out from",
		"Visit", "Rule", "Source", "Class", "Length, " + w.u.name(estimate.Lengthwise), "Item so far"}
	p.row(strs(heading, heads...)...)
	left, priced, onHand := w.notServed()
	before := map[string]itemRow{} // by the name in column Item
	i := -1
	p.made(len(t.Requirements), []look{text, textWrap, textRight, count, number, inches, money}, func(cells []cell) []cell {
		i++
		r := &t.Requirements[i]
		row, o := w.rowOf[i], &t.Openings[r.Opening]
		item, _ := w.in.Book.Items.Get(r.Item)
		name, cost := r.Item, str(text, "no price")
		if left[i] {
			// A name of its own, so that what is bought is shared over the rows
			// that it serves.
			name, cost = notBought+name, str(text, "not bought")
		}
		if r.Done {
			name, cost = cutAlready+name, str(text, "cut before")
		}
		prev := before[name]
		here := itemRow{row: row, sofar: prev.sofar + r.Amount*o.Qty}
		running := "K" + itoa(row)
		if prev.row > 0 {
			running = "T" + itoa(prev.row) + "+K" + itoa(row)
		}
		if priced[name] {
			here.share = w.shareUpTo(r.Item, row)
			share := here.share
			if prev.row > 0 {
				share = "ROUND(" + here.share + "-" + prev.share + ",2)"
			}
			cost = formula(share, w.in.Plan.Share[i], money)
		} else if onHand[name] {
			cost = str(textRight, "on hand")
		}
		before[name] = here
		amount, l := w.u.of(r.Dim, r.Amount), amountLook(r.Dim)
		cells = append(cells,
			str(text, o.Mark), formula(w.qtyCell(r.Opening), o.Qty, count), str(text, r.Step), str(textWrap, r.Do), str(text, name),
			str(text, r.Name), blank(count), blank(textRight), num(amount, l), str(text, w.u.name(r.Dim)),
			formula("B"+itoa(row)+"*I"+itoa(row), float64(o.Qty)*amount, l), cost, str(textWrap, r.Held), str(textWrap, r.Inputs),
			str(text, string(r.Visit)), str(text, r.Rule), str(text, r.Source), str(text, item.Class), blank(inches),
			formula(running, w.u.of(r.Dim, here.sofar), l),
		)
		if r.Pieces() {
			cells[6], cells[7], cells[18] = num(r.Count, count), str(textRight, w.u.words(r.Length)), num(w.u.length(r.Length), inches)
		}
		return cells
	})
	p.widths(7, 5, 5.5, 34, 17, 11, 7, 13, 10, 6, 11, 10, 13, 44, 6, 12, 44, 14, 11, 12)
	p.printCols(14)
	p.finish("TakeoffRows", firstRow-1, len(heads), 1)
}

// itemRow is where an item stood last on Takeoff, its total up to there, and the
// formula of what its rows up to there bear of its used cost.
type itemRow struct {
	row   int
	sofar int64
	share string
}

// notServed returns the requirements that no stock serves, the items that are
// bought, and those of which nothing has to be.
func (w *writer) notServed() (left map[int]bool, priced, onHand map[string]bool) {
	left, priced, onHand = map[int]bool{}, map[string]bool{}, map[string]bool{}
	for _, buy := range w.in.Plan.Purchases {
		for _, i := range buy.TooLong {
			left[i] = true
		}
		priced[buy.Item.Key] = len(buy.Lines) > 0
		onHand[buy.Item.Key] = len(buy.Lines) == 0 && buy.State == ""
	}
	return left, priced, onHand
}

// shareUpTo returns what the rows of an item up to one bear of its used cost, to
// the cent. A row bears that less what the rows before it do.
func (w *writer) shareUpTo(item string, row int) string {
	use := w.useRow[item]
	return cents(w.useCell("I", use)+"*T"+itoa(row)+"/"+w.useCell("D", use), shareDecimals)
}

// These stand before the item of a row that no stock serves, and of one whose
// pieces were cut from boards bought before: neither is in what is bought now.
const (
	notBought  = "NOT BOUGHT: "
	cutAlready = "CUT ALREADY: "
)

// qtyCell refers to the Qty of an opening on the Openings sheet. A piece of a
// mark that has a line of its own is 1, and the mark's line is without it.
func (w *writer) qtyCell(opening int) string {
	o := &w.in.Takeoff.Openings[opening]
	switch {
	case o.Piece > 0:
		return "1"
	case o.Apart > 0:
		return fmt.Sprintf("%s-%d", w.openingCell(opening, "Qty"), o.Apart)
	}
	return w.openingCell(opening, "Qty")
}

func (w *writer) openingCell(opening int, column string) string {
	o := &w.in.Takeoff.Openings[opening]
	for c, name := range w.in.Openings.Columns {
		if name == column {
			return "Openings!" + ref(w.openingRow[o.Order], c+1)
		}
	}
	return "1"
}

// byOpeningSheet writes what each mark costs, by class; its materials and what
// is bought and not used make up the job's.
func (w *writer) byOpeningSheet() {
	p, t := w.byOpening, &w.in.Takeoff
	w.top(p, "By opening", "What each mark costs, all of its openings together; the rows and 'bought, not used' make up the job's materials to the cent."+w.moneyWords())
	heads := append([]string{"Mark", "Kind", "Qty", "Frame"}, estimate.Classes...)
	firstClass := 5
	matCol := firstClass + len(estimate.Classes)
	heads = append(heads, "Materials", "Materials each", "Units", "Held", "Supplied by", "Detail", "Sill pan", "Rough opening", "Opening from", "Perimeter each, "+w.u.far(), "Area each, "+w.u.name(estimate.Areawise), "Joined units", "Element", "Materials and unit", "In the picture")
	p.row(strs(heading, heads...)...)
	sums := make([]measure.Money, len(estimate.Classes)+1)
	units := measure.Money(0)
	for i := range t.Openings {
		row, o := p.next(), &t.Openings[i]
		cells := []cell{
			str(text, o.Mark), str(text, string(o.Kind)), formula(w.qtyCell(i), o.Qty, count), str(textRight, w.u.size(o.Frame)),
		}
		byClass := map[string]measure.Money{}
		b := w.blocks[i]
		for row := b[0]; row > 0 && row <= b[1]; row++ {
			k := row - firstRow
			item, _ := w.in.Book.Items.Get(t.Requirements[k].Item)
			byClass[item.Class] += w.in.Plan.Share[k]
		}
		sum := measure.Money(0)
		for c, class := range estimate.Classes {
			f := "0"
			if b[0] > 0 {
				f = fmt.Sprintf("SUMIF(Takeoff!$R$%d:$R$%d,%s$%d,Takeoff!$L$%d:$L$%d)", b[0], b[1], column(firstClass+c), firstRow-1, b[0], b[1])
			}
			cells = append(cells, formula(f, byClass[class], money))
			sums[c] += byClass[class]
			sum += byClass[class]
		}
		sums[len(estimate.Classes)] += sum
		cells = append(cells, formula(fmt.Sprintf("SUM(%s)", span(row, firstClass, row, matCol-1)), sum, money))
		each := measure.Money(measure.MulDiv(int64(sum), 1, o.Qty))
		cells = append(cells, formula(cents(fmt.Sprintf("%s/C%d", ref(row, matCol), row), shareDecimals), each, money))
		whole := sum
		switch {
		case o.SuppliedBy == estimate.ByOwner:
			cells = append(cells, str(textRight, "owner's"))
		default:
			at := w.openingCell(i, "Unit cost")
			cost := num(notStated, money)
			if o.UnitCost.Set {
				cost.v = o.UnitCost.V * measure.Money(o.Qty)
				units += o.UnitCost.V * measure.Money(o.Qty)
				whole += o.UnitCost.V * measure.Money(o.Qty)
			}
			cost.f = fmt.Sprintf("IF(%s=\"\",\"%s\",ROUND(%s*C%d,2))", at, notStated, at, row)
			cells = append(cells, cost)
		}
		cells = append(cells, str(textWrap, w.heldWords[i]), str(text, string(o.SuppliedBy)), str(text, o.DetailName), str(text, string(o.Pan)),
			str(textRight, w.u.size(o.Rough)), str(text, o.RoughFrom), num(w.u.farOf(o.Frame.Perimeter()), number), num(w.u.of(estimate.Areawise, int64(o.Frame.Area())), number), num(o.Units, count), str(text, estimate.Element(o.Kind)))
		p.row(append(cells, markBar(row, matCol, len(cells)+1, o, whole)...)...)
	}
	last := p.next() - 1
	p.finish("OpeningCosts", firstRow-1, len(heads), 1)
	sumCells := func(label string, of func(c int) cell) {
		cells := make([]cell, len(heads))
		for i := range cells {
			cells[i] = blank(totalText)
		}
		cells[0] = str(totalText, label)
		for c := firstClass; c <= matCol; c++ {
			cells[c-1] = of(c)
		}
		p.row(cells...)
	}
	sumCells("Used by the openings", func(c int) cell {
		f := "0"
		if last >= firstRow {
			f = fmt.Sprintf("SUM(%s)", span(firstRow, c, last, c))
		}
		return formula(f, sums[c-firstClass], total)
	})
	usedRow := p.next() - 1
	if last >= firstRow {
		p.set(usedRow, matCol+2, formula(fmt.Sprintf("SUM(%s)", span(firstRow, matCol+2, last, matCol+2)), units, total))
		qty := int64(0)
		for _, o := range t.Openings {
			qty += o.Qty
		}
		p.set(usedRow, 3, formula(fmt.Sprintf("SUM(%s)", span(firstRow, 3, last, 3)), qty, totalCount))
	}
	unused := func(label string, f string, v measure.Money) int {
		sumCells(label, func(c int) cell {
			if c == matCol {
				return formula(f, v, total)
			}
			return blank(totalText)
		})
		return p.next() - 1
	}
	unusedRow := unused("Bought, not used", w.useTotal("J"), w.in.Plan.Unused)
	totalRow := unused("Materials of the job", fmt.Sprintf("%s+%s", ref(usedRow, matCol), ref(unusedRow, matCol)), w.in.Plan.Materials)
	p.widths(append(append([]float64{8, 13, 5, 17}, slices.Repeat([]float64{9.5}, len(estimate.Classes))...), 11, 11, 11, 30)...)
	p.printCols(matCol + 3)
	w.markPictures(matCol, len(heads), last)
	for c := range estimate.Classes {
		w.bid[classCell+estimate.Classes[c]] = w.byOpening.ref(usedRow, firstClass+c)
	}
	w.bid["not used"] = w.byOpening.ref(unusedRow, matCol)
	w.bid["by opening"] = w.byOpening.ref(totalRow, matCol)
	w.bid["units"] = w.byOpening.ref(usedRow, matCol+2)
	w.bid["qty"] = w.byOpening.ref(usedRow, 3)
	w.bid["supplied column"] = w.byOpening.span(firstRow, matCol+4, max(last, firstRow), matCol+4)
	w.bid["units column"] = w.byOpening.span(firstRow, matCol+2, max(last, firstRow), matCol+2)
	w.bid["qty column"] = w.byOpening.span(firstRow, 3, max(last, firstRow), 3)
	w.bid["perimeter column"] = w.byOpening.span(firstRow, matCol+9, max(last, firstRow), matCol+9)
	w.bid["area column"] = w.byOpening.span(firstRow, matCol+10, max(last, firstRow), matCol+10)
	w.bid["joined column"] = w.byOpening.span(firstRow, matCol+11, max(last, firstRow), matCol+11)
	w.bid["kind column"] = w.byOpening.span(firstRow, 2, max(last, firstRow), 2)
	w.bid["shares"] = w.byOpening.ref(usedRow, matCol)
}

// notStated stands where a unit belongs in the price and has no cost.
const notStated = "not stated"

// amountLook is how an amount of a dimension is drawn: pieces are whole.
func amountLook(d estimate.Dimension) look {
	if d == estimate.Each {
		return count
	}
	return number
}

// heldWords says of each opening what of it waits.
func heldWords(holds []estimate.Hold) map[int]string {
	out := map[int]string{}
	for _, h := range holds {
		words := string(h.What) + ": " + h.Why
		if out[h.Opening] != "" {
			words = out[h.Opening] + "; " + words
		}
		out[h.Opening] = words
	}
	return out
}
