package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// ScheduleInput is what a schedule workbook is made of.
type ScheduleInput struct {
	How        string // the line under the title of Openings
	Book       estimate.Book
	Settings   []estimate.Setting
	Details    []string // names, for the drop-down
	Openings   Table
	Measured   Table
	Alternates Table
	Terms      []pricing.Terms
	Blank      bool // with an example row and empty lines to fill in
}

// blankRows is how many rows of a blank schedule have drop-downs.
const blankRows = 300

// columnHelp says what each column of Openings takes: the note on its header.
var columnHelp = map[string]string{
	"Mark":           "Needed. The opening's own mark, as on the plan: W1, D2. Each row another.",
	"Qty":            "How many alike. Blank = 1.",
	"Kind":           "Needed. window, entry door, patio door or overhead door.",
	"Frame width":    "Outside of the jambs; of an overhead door its finished opening; of joined units the whole. Width comes first. 36, 36-1/2, 3'-0\" or 914 mm.",
	"Frame height":   "As the width. Frame or RO may be blank: it follows from the clearances on Job.",
	"RO width":       "Rough opening, as framed.",
	"RO height":      "Rough opening, as framed.",
	"Units":          "How many units are joined side by side. Blank = 1.",
	"Sits on":        "wood, slab or masonry. Blank = the default on Job.",
	"Flange":         "integral, attached nailed, attached locating, casing or none. Blank = the default on Job.",
	"Supplied by":    "Blank = builder: the unit is bought here. installer: it comes installed. owner: not in the price.",
	"Unit cost":      "Of one opening's unit. An owner's is never in the price.",
	"Measured width": "Out to out of the set frame, where the trim will stand: the largest reading. Blank = trim is held.",
	"Status":         "ordered, delivered, set, cut or hung.",
	"Call size":      "3050, 3-0 x 5-0; Job says what it means. Width first.",
	"Unit widths":    "Of joined units that differ, left to right: 24; 36; 24",
	"Unit heights":   "Of stacked units, from the top down: 24; 36. Blank: units stand side by side.",
	"Unit depth":     "Of the frame through the wall; the pan must fit it.",
	"Leg drop":       "Doors: from the foot of the frame down to the surface below. Blank = trim is held.",
	"Sill pan":       "rigid, formed, strip or none. Blank = the default on Job.",
	"Detail":         "A detail by name. Blank = the first that fits.",
	"Trim":           "A trim layout, or none.",
	"Sill height":    "Inside, floor to sill: with the drop it tells whether the opening wants a guard.",
	"Drop outside":   "From the sill to the surface below.",
	"Wall depth":     "Framing and sheathing. Blank = from Job.",

	"Measured height": "As the measured width.",
	"Storey":          "1 is the ground floor.",
	"Elevation":       "The side of the house: north, street.",
	"Notes":           "Your own; carried into the estimate.",
}

// otherHelp says what the columns of the other sheets of a blank schedule take.
var otherHelp = map[string]map[string]string{
	"Measured": {
		"Mark": "As on Openings.", "Piece": "Which of the mark's openings: 1, 2.", "Width 1": "Out to out, at the head.", "Width 2": "In the middle.", "Width 3": "At the sill.",
		"Height 1": "Out to out, left.", "Height 2": "In the middle.", "Height 3": "Right.", "Diagonal 1": "Corner to corner.", "Diagonal 2": "The other corners.",
		"High end": "Of the sill: left or right. Blank = level.", "Rise": "By how much the high end stands above the other.", "Initials": "Who read it.", "Of": "What was measured: the frame, or the rough opening.",
	},
	"Cost lines": {"Text": "What it is.", "Count": "How many.", "Unit": "Of what: day, load.", "Price": "Of one, before tax.", "Taxable": "yes or no.", "Extension": "Worked out by the estimate."},
	"On hand":    {"Item": "A key of Items, as on the price list.", "Length": "Of each.", "Count": "How many alike.", "Notes": "Where it lies."},
	"Suppliers": {
		"Supplier": "As on the price list.", "Delivery fee": "Of an order.", "Free over": "No fee from this sum of materials on.", "Minimum order": "Materials, before tax.", "Lead days": "From the order to the delivery.",
		"Currency": "Blank = that of the job.", "Always": "Items or classes bought only here, parted by ;", "Never": "Items or classes never bought here, parted by ;",
	},
	"Alternates": {
		"Name": "Rows of one name are one alternate; common alone asks for the usual ones.", "When": "Which openings: as in Details, kind is window. Blank = all; or Column is a key of Job.",
		"Column": "A column of Openings, or a key of Job.", "Value": "What is put there.", "Notes": "Free.",
	},
	"Labour": {
		"Task": "A name of your own, or one of these.", "Kind": "Which openings it is done at.", "Per": "opening, unit, foot or metre of perimeter.", "Hours": "Your own, of one. Blank = not in the price.",
		"Public hours": "A published figure to compare with; never used.", "Covers": "What the public figure is of.", "Source": "Where the public figure comes from.",
	},
}

// helpOn puts a note on the headers of a sheet.
func (p *page) helpOn(help map[string]string) {
	for i, c := range p.rows[inputHeader-1].cells {
		if words := help[fmt.Sprint(c.v)]; words != "" {
			p.noteAt(ref(inputHeader, i+1), words)
		}
	}
}

// exampleRow fills the first row of a blank schedule.
var exampleRow = map[string]string{
	"Mark": "EXAMPLE", "Qty": "1", "Kind": "window", "Frame width": "35-1/2", "Frame height": "59-1/2",
	"Flange": "integral", "Supplied by": "owner", "Notes": "example: overwrite it",
}

// Schedule returns a schedule workbook: the blank one, with drop-downs, notes
// and an example row, or one filled in.
func Schedule(in ScheduleInput) ([]byte, error) {
	job := in.Book.Job
	o := newOut(docProps{Title: nonEmpty(job.Name, "Opening schedule"), Subject: "Opening schedule", Description: "Written by Sillwright"})
	o.paper, o.header = job.Paper, job.Name
	w := &writer{blank: in.Blank, in: Input{Book: in.Book, Settings: in.Settings, Openings: in.Openings, Measured: in.Measured, Alternates: in.Alternates, Lists: pricing.Lists{Terms: in.Terms}}, out: o, u: unitsOf(job.MM), setting: map[string]string{}, bid: map[string]string{}, supplierRow: map[string]int{}}
	if in.Blank {
		readMe(o.sheet("Read me"))
	}
	w.openings, w.job, w.measured, w.costs, w.labour, w.onHand, w.alternates = o.sheet("Openings"), o.sheet("Job"), o.sheet("Measured"), o.sheet("Cost lines"), o.sheet("Labour"), o.sheet("On hand"), o.sheet("Alternates")
	w.suppliers = o.sheet("Suppliers")
	for _, p := range []*page{w.openings, w.job, w.measured, w.labour, w.alternates, w.suppliers} {
		p.landscape(true)
	}
	w.scheduleOpenings(in)
	w.jobSheet()
	w.measuredSheet()
	w.costsSheet()
	w.onHandSheet()
	if in.Blank && len(in.Alternates.Columns) > 0 {
		w.in.Alternates = exampleAlternates(in.Alternates)
	}
	w.alternatesSheet()
	w.suppliersSheet()
	own := 0
	if in.Blank {
		own = ownTasksBlank
	}
	w.labourInputs(own)
	if in.Blank {
		if words := changeable(in); len(words) > 0 {
			w.alternates.choice(w.alternates.typed(3), words, "Column", "A column of Openings, or a key of Job.")
		}
		for _, p := range o.pages {
			if help := otherHelp[p.name]; help != nil {
				p.helpOn(help)
			}
		}
	}
	return o.bytes()
}

// exampleAlternates are rows of the sheet Alternates of a blank schedule: they
// hold for any job, and are there to be changed.
func exampleAlternates(t Table) Table {
	for _, line := range [][]string{
		{"common", "", "", "", "the usual ones: each other pan, sealed flanges, board widths, trim materials"},
		{"Rigid pans under windows", "kind is window", "Sill pan", "rigid", "an example: When as in Details, a column of Openings"},
		{"Wider legs at doors", "", "leg board door", "board-1x6", "an example: a key of Job holds for the whole job"},
		{"Windows without trim upstairs", "kind is window and storey > 1", "Trim", "none", "an example of two conditions"},
	} {
		row := make([]sheet.Cell, len(line))
		for i, s := range line {
			if s != "" {
				row[i] = sheet.Cell{Kind: sheet.Text, Text: s}
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// changeable are the columns of Openings and the keys of Job that an alternate
// may change.
func changeable(in ScheduleInput) []string {
	words := slices.DeleteFunc(slices.Clone(in.Openings.Columns), func(c string) bool { return c == "Mark" || c == "Notes" })
	for _, s := range in.Settings {
		if s.Key != "units" {
			words = append(words, s.Key)
		}
	}
	return words
}

func (w *writer) scheduleOpenings(in ScheduleInput) {
	p := w.openings
	w.lead(p, "Openings", in.How+" "+w.bareWords())
	t := in.Openings
	copyTable(p, t, 0)
	last := p.next() - 1
	if in.Blank {
		last = inputHeader + blankRows
		for row := inputHeader + 1; row <= last; row++ {
			cells := make([]cell, len(t.Columns))
			for i, c := range t.Columns {
				cells[i] = blank(inputText)
				if v, ok := exampleRow[c]; ok && row == inputHeader+1 {
					cells[i].v = v
				}
			}
			p.row(cells...)
		}
	}
	lists := map[string][]string{
		"Kind": estimate.Kinds, "Sits on": estimate.SitsOnWords, "Flange": estimate.FlangeWords, "Supplied by": estimate.SuppliedByWords,
		"Status": estimate.StatusWords, "Sill pan": estimate.PanWords, "Detail": in.Details, "Trim": append([]string{estimate.NoTrim}, in.Book.Layouts.Names()...),
	}
	for c, name := range t.Columns {
		cells := span(inputHeader+1, c+1, max(last, inputHeader+1), c+1)
		if words := lists[name]; len(words) > 0 {
			p.choice(cells, words, name, "Choose from the list.")
		}
		switch name {
		case "Qty":
			p.wholeRange(cells, 1, 9999, "Qty", "A whole number, 1 or more.")
		case "Units":
			p.wholeRange(cells, 1, 12, "Units", "A whole number, 1 to 12.")
		case "Storey":
			p.wholeRange(cells, 0, 200, "Storey", "A whole number: 1 is the ground floor.")
		case "Unit cost":
			p.decimalRange(cells, 0, 1e7, "Unit cost", "An amount of money, 0 or more.")
		}
		if help := columnHelp[name]; help != "" {
			p.noteAt(ref(inputHeader, c+1), help)
		}
	}
	if i := slices.Index(t.Columns, "Call size"); i >= 0 && in.Blank {
		p.foldColumns(i+1, len(t.Columns))
	}
	if in.Blank {
		showGaps(p, t.Columns, last)
	} else {
		p.acrossPages(2)
	}
	p.autoWidth(9, 26)
	p.finish("OpeningSchedule", inputHeader, len(t.Columns), 1)
}

// sizeColumns are those of which one says how large an opening is.
var sizeColumns = []string{"Frame width", "Frame height", "RO width", "RO height", "Measured width", "Measured height", "Call size"}

// showGaps marks, while a schedule is typed, what a row with a mark still lacks:
// its kind, any size at all. The cells take a dark box and another fill, and words
// above the table say so.
func showGaps(p *page, columns []string, last int) {
	first := inputHeader + 1
	of := func(name string) int { return slices.Index(columns, name) + 1 }
	mark, kind := of("Mark"), of("Kind")
	var sizes []int
	for _, name := range sizeColumns {
		if col := of(name); col > 0 {
			sizes = append(sizes, col)
		}
	}
	if mark == 0 || kind == 0 || len(sizes) == 0 {
		return
	}
	blanks := func(cols []int, cell func(col int) string) []string {
		out := make([]string, len(cols))
		for i, col := range cols {
			out[i] = cell(col) + `=""`
		}
		return out
	}
	lacks := func(words string, at int, need []int) {
		row := func(col int) string { return "$" + ref(first, col) }
		p.highlight(span(first, need[0], last, min(need[0]+1, need[len(need)-1])), fmt.Sprintf(`AND(%s<>"",%s)`, row(mark), strings.Join(blanks(need, row), ",")), gap)
		all := func(col int) string { return span(first, col, last, col) }
		missing := fmt.Sprintf(`SUMPRODUCT((%s<>"")*(%s))`, all(mark), strings.Join(blanks(need, all), ")*("))
		const above = inputHeader - 1
		p.set(above, at, formula(fmt.Sprintf(`IF(%s=0,"","%s")`, missing, words), "", text))
		p.merge(above, at, above, at+2)
		p.highlight(span(above, at, above, at+2), absRef(above, at)+`<>""`, gap)
	}
	lacks("LOOK: a mark has no kind", mark, []int{kind})
	lacks("LOOK: a mark has no size at all", sizes[0], sizes)
}

// readMe is the first sheet of a blank schedule.
func readMe(p *page) {
	p.row(str(title, "Opening schedule"))
	p.row(str(subtitle, "What to fill in, and what may stay empty"))
	p.skip(1)
	p.row(strs(heading, "Sheet", "What it holds", "Needed")...)
	for _, l := range [][3]string{
		{"Openings", "A row a mark: its kind, its size, what it sits on, its flange, who supplies it. The example row is there to be overwritten.", "yes"},
		{"Job", "The job's name and date, the wall, trim boards, allowances, tax, overhead and profit. Blank = the default beside it.", "no"},
		{"Measured", "Readings taken at the set units, typed in from the sheet Measuring that the estimate prints.", "later"},
		{"Cost lines", "Free costs: lift, dump fee, permit, travel.", "no"},
		{"Labour", "Hours of your own crew by task. Off until you type them, with crew rate on Job; a public table stands beside them to be compared.", "no"},
		{"Suppliers", "What each supplier asks beside its prices: delivery, minimum order, lead days; and what is bought only there, or never.", "no"},
		{"Alternates", "Other ways to do the job, which sillwright compare prices: other pans, boards, details. The rows there are examples.", "no"},
		{"On hand", "Boards, sticks and rolls that are there already: item (a key of Items), length, count. They are used first.", "no"},
	} {
		p.row(linkTo(quoteSheet(l[0])+"!A1", l[0]), str(textWrap, l[1]), str(text, l[2]))
	}
	p.skip(1)
	for _, s := range []string{
		"Pale yellow cells are for you. Lengths may be written 36, 36-1/2, 3'-0\" or 914 mm; width comes first.",
		"Frame or rough opening may be left out: one follows from the other. What is not measured is estimated and ordered, its trim is held.",
		"Then: sillwright check schedule.xlsx, and: sillwright estimate schedule.xlsx --prices prices.csv",
	} {
		p.banner(note, s, 3)
	}
	p.skip(1)
	p.row(str(section, "Before the work"))
	for _, c := range estimate.StandingCautions {
		p.banner(note, c, 3)
	}
	p.widths(16, 84, 10)
}
