package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
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
	Blank      bool              // with an example row and empty lines to fill in
	Example    map[string]string // the example row, by column
}

// blankRows is how many rows of a blank schedule have drop-downs.
const blankRows = 300

// columnHelp says what each column of Openings takes: the note on its header.
var columnHelp = map[string]string{
	"Mark": "Needed. The opening's own mark, as on the plan: W1, D2. Each row another.",
	"Qty":  "How many alike. Blank = 1.",
	"Kind": "Needed. window, entry door, patio door or overhead door.",
	"Frame width": "Outside of the jambs; of an overhead door its finished opening; of mulled units the whole. " +
		"Width comes first. 36, 36-1/2, 3'-0\" or 914 mm.",
	"Frame height":       "As the width. Frame or RO may be blank: it follows from the clearances on Job.",
	"RO width":           "Rough opening, as framed.",
	"RO height":          "Rough opening, as framed.",
	"Mulled units":       "How many units stand together under one trim frame, side by side. Blank = 1.",
	"Joined":             "How those units are joined: mulled, one opening in the wall; or studs between, an opening each, trimmed as one. Blank = mulled.",
	"Sits on":            "wood, slab or masonry. Blank = the default on Job.",
	"Operation":          "How it opens: casement, double hung, slider, fixed; of a door: sidelites, transom, pair.",
	"Flange":             "Nailing flange (nail fin): " + strings.Join(estimate.FlangeWords, "; ") + ". Blank = the default on Job.",
	"Furnished by":       "Blank = builder: the unit is bought here. installer: it comes installed. owner: not in the price.",
	"Unit cost":          "Of one opening's unit. Owner-furnished is never in the price.",
	"Measured width":     "Outside to outside of the set frame, where the trim will stand: the largest reading. Blank = trim is on hold.",
	"Sample accepted":    "Of several windows of which some are measured: by whose word those stand for all, and when. Doors are measured one by one.",
	"Status":             "ordered, delivered, set, cut or hung.",
	"Call size":          "3050, 3-0 x 5-0; Job says what it means. Width first.",
	"Unit widths":        "Of mulled units that differ, left to right: 24; 36; 24",
	"Unit heights":       "Of stacked units, from the top down: 24; 36. Blank: units stand side by side.",
	"Jamb depth":         "Of the unit's frame through the wall; the pan must fit it.",
	"Leg drop":           "Doors: from the foot of the frame down to the surface below. Blank = trim is on hold.",
	"Sill pan":           strings.Join(estimate.PanWords, ", ") + ". Blank = the default on Job.",
	"Detail":             "A detail by name. Blank = the first that fits.",
	"Trim":               "A trim layout, or none.",
	"Sill height":        "Inside, floor to sill: with the height above grade it tells whether the opening needs a guard.",
	"Height above grade": "From the sill to the surface outside, below.",
	"Room":               "Where it stands: bath, bedroom, stair, kitchen. It tells which glass may be safety glass, and where escape openings are asked for.",
	"Shape":              strings.Join(estimate.ShapeWords, ", ") + ". Blank = rectangle, unless a note speaks of another.",
	"Tempered":           "yes or no, as it is ordered. Blank = not stated.",
	"Wall depth":         "Framing and sheathing. Blank = from Job.",

	"Measured height": "As the measured width.",
	"Story":           "1 is the ground floor.",
	"Elevation":       "The side of the house: north, street.",
	"Notes":           "Your own; carried into the estimate.",
}

// otherHelp says what the columns of the other sheets of a blank schedule take.
var otherHelp = map[string]map[string]string{
	"Field measurements": {
		"Mark":       "As on Openings.",
		"Piece":      "Which of the mark's openings: 1, 2.",
		"Width 1":    "Outside to outside, at the head.",
		"Width 2":    "In the middle.",
		"Width 3":    "At the sill.",
		"Height 1":   "Outside to outside, left.",
		"Height 2":   "In the middle.",
		"Height 3":   "Right.",
		"Diagonal 1": "Corner to corner.",
		"Diagonal 2": "The other corners.",
		"High end":   "Of the sill: left or right. Blank = level.",
		"Rise":       "By how much the high end stands above the other.",
		"Initials":   "Who read it.",
		"Of":         "What was measured: the frame, or the rough opening.",
	},
	"Other costs": {
		"Text": "What it is: lift, dump fee, permit, travel. To begin with, what no detail counts: " +
			"tack nails, gun nails, gun fuel, saw blades, foam gun and its cleaner.",
		"Count":   "How many.",
		"Unit":    "Of what: day, load.",
		"Price":   "Of one, before tax.",
		"Taxable": "yes or no.",
	},
	"On hand": {
		"Item": "A key of Items, as on the price list.", "Length": "Of each: boards, sticks, rolls.", "Count": "How many alike.", "Notes": "Where it lies.",
		"Content": "Of what is bought in packs: what is left in one, such as 10.1 fl oz, 2 lb or 140 each.",
		"Counted": "The day, if this is a count of all there is of the item: what was bought and used before is in it. Blank = it was there before " +
			"anything was bought.",
		"Furnished by": "Blank = builder. owner: he brings this item, and none of it is bought; Count: how many he says, blank = he has not said.",
	},
	"Purchases": {
		"Date": "Of the order, as 2026-11-25.", "Supplier": "As on the price list.", "Code": "The supplier's.", "Tax": "Of the line, or of the whole order.",
		"Freight": "Delivery, of the whole order.", "Notes": "Your own.", "Order": "Its number.", "Invoice": "Its number, for returns.",
		"State":              "draft, placed, confirmed, back-ordered, received, cancelled or returned. A draft is not bought.",
		"Item":               "A key of Items. Blank = the line is of the whole order: its tax, its freight.",
		"Pack":               "What one holds, as ordered: 16 ft, 10.1 fl oz, 1 lb.",
		"Pack received":      "If the yard sent another.",
		"Count":              "How many were ordered.",
		"Received":           "How many came. Blank, of a line that is received = all.",
		"Returned":           "How many went back.",
		"Lost":               "Broken, spoiled or gone.",
		"Price":              "Of one, before tax.",
		"Credit":             "What was paid back.",
		"Cannot be returned": "Why the supplier does not take it back: special order, cut, opened or dated. Blank = it can go back.",
		"Done before":        "What was done when the first order was written, from what no line holds: W1: 2 set; D1: 1 cut.",
	},
	"Actuals": {
		"Description": "What it is; Item has its key.", "Pack": "What one holds: 16 ft, 10.1 fl oz, 1 lb.",
		"Bought":  "What Purchases and On hand have, less what went back and was lost.",
		"Left":    "Whole and part packs together: 2.5. 0 = none is left. Blank = not counted: learn leaves the item out.",
		"Broken":  "That served nothing, beside what Purchases has as lost.",
		"Carried": "Taken to another job.",
		"Date":    "Of the hours, as 2026-11-25.", "Phase": "install, shop, trim or finish.",
		"Time":  "work, travel, set-up, cleanup or call-back. Blank = work.",
		"Hours": "Of all persons together: two for three hours are 6.",
		"Marks": "Where they were worked, if you want to know by kind: W1; W2.",
		"Notes": "Your own.", "Item": "A key of Items.",
	},
	"Suppliers": {
		"Supplier":      "As on the price list.",
		"Delivery fee":  "Of an order.",
		"Free over":     "No fee from this sum of materials on.",
		"Minimum order": "Materials, before tax.",
		"Lead days":     "From the order to the delivery.",
		"Currency":      "Blank = that of the job.",
		"Always":        "Items or classes bought only here, separated by ;",
		"Never":         "Items or classes never bought here, separated by ;",
		"Return days":   "For how many days after an order something may go back. Blank = not stated.",
		"Restocking":    "What is kept back of the price of what is returned, as 15 %. Blank = not stated.",
	},
	"Alternates": {
		"Name":   "Rows of one name are one alternate; common alone asks for the usual ones.",
		"When":   "Which openings: as in Details, kind is window. Blank = all; or Column is a key of Job.",
		"Column": "A column of Openings, or a key of Job.", "Value": "What is put there.", "Notes": "Free.",
	},
	"Labor": {
		"Task":            "A name of your own, or one of these.",
		"Kind":            "Which openings it is done at.",
		"Per":             "opening, unit, foot or meter of perimeter.",
		"Hours":           "Your own, of one. Blank = not in the price.",
		"Phase":           "In which phase it is done: then its hours are off the cost to finish. Blank = not before the opening is finished.",
		"Published hours": "To compare with; never used.", "Covers": "What the published hours are for.", "Basis": "How firm they are.", "Source": "Where the published hours come from.",
	},
}

// help puts notes on the headers of an input sheet of a blank schedule, and of an
// estimate.
func (w *writer) help(t *xlsx.Grid, sheet string) {
	if w.blank || w.checked {
		t.Notes(otherHelp[sheet])
	}
}

// scheduleSheet is a sheet of a schedule.
type scheduleSheet struct {
	name     string
	portrait bool
	about    string // what it holds, as the first sheet says
	needed   string
	write    func(*writer, *xlsx.Sheet)
}

// scheduleSheets are the sheets of a schedule in the order of their tabs. The first is
// only in a blank one.
func scheduleSheets() []scheduleSheet {
	return []scheduleSheet{
		{name: readMeName, portrait: true, write: (*writer).readMeSheet},
		{name: "Openings", needed: "yes", write: (*writer).scheduleOpenings,
			about: "A row a mark: its kind, its size, what it sits on, its flange, who furnishes it. The example row is there to be overwritten."},
		{name: "Job", needed: "no", write: (*writer).jobSheet,
			about: "The job's name and date, the wall, trim boards, waste, tax, overhead and profit. Blank = the default beside it."},
		{name: "Field measurements", needed: "later", write: (*writer).measuredSheet,
			about: "Readings taken at the set units, typed in from the Measure form that the estimate prints."},
		{name: "Other costs", portrait: true, needed: "no", write: (*writer).costsSheet, about: "Costs you add: lift, dump fee, permit, travel."},
		{name: "Labor", needed: "no", write: (*writer).laborSheet,
			about: "Hours of your own crew by task. Off until you type them, with labor rate on Job; published hours stand beside them to compare."},
		{name: "On hand", portrait: true, needed: "no", write: (*writer).onHandSheet,
			about: "Boards, sticks and rolls you have already: item (a key of Items), length, count. They are used first."},
		{name: "Purchases", needed: "later", write: (*writer).purchasesSheet,
			about: "What was bought for the job: a line a pack, board or roll of each order. Only what is placed, or later, counts."},
		{name: "Alternates", needed: "no", write: (*writer).alternatesSheet,
			about: "Other ways to do the job, which sillwright compare prices: other pans, boards, details. The rows there are examples."},
		{name: "Suppliers", needed: "no", write: (*writer).suppliersSheet,
			about: "Of each supplier: delivery fee, minimum order, lead days; and what is bought only there, or never."},
	}
}

// Schedule returns a schedule workbook: the blank one, with drop-downs, notes
// and an example row, or one filled in.
func Schedule(in ScheduleInput) ([]byte, error) {
	job := in.Book.Job
	o := xlsx.New(xlsx.Properties{Title: cmp.Or(job.Name, "Opening schedule"), Subject: "Opening schedule", Description: "Written by Sillwright"})
	o.Paper, o.Header = job.Paper, job.Name
	w := &writer{out: o, u: estimate.UnitsOf(job.MM), blank: in.Blank, how: in.How, detailNames: in.Details, exampleRow: in.Example, in: Input{
		Book: in.Book, Settings: in.Settings, Openings: in.Openings, Measured: in.Measured, Alternates: in.Alternates, Lists: pricing.Lists{Terms: in.Terms},
	}}
	if in.Blank && len(in.Alternates.Columns) > 0 {
		w.in.Alternates = exampleAlternates(in.Alternates)
	}
	for _, s := range scheduleSheets() {
		if in.Blank || s.name != readMeName {
			o.AddSheet(s.name).Landscape(!s.portrait)
		}
	}
	for _, s := range scheduleSheets() {
		if in.Blank || s.name != readMeName {
			s.write(w, o.Sheet(s.name))
		}
	}
	return o.Bytes()
}

// exampleAlternates are rows of the sheet Alternates of a blank schedule: they
// hold for any job, and are there to be changed.
func exampleAlternates(t Table) Table {
	for _, line := range [][]string{
		{"common", "", "", "", "the usual ones: each other pan, sealed flanges, board widths, trim materials"},
		{"Rigid pans under windows", "kind is window", "Sill pan", "rigid", "an example: When as in Details, a column of Openings"},
		{"Wider legs at doors", "", "leg casing door", "board-1x6", "an example: a key of Job holds for the whole job"},
		{"Windows without trim upstairs", "kind is window and story > 1", "Trim", "none", "an example of two conditions"},
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
func (w *writer) changeable() []string {
	words := slices.DeleteFunc(slices.Clone(w.in.Openings.Columns), func(c string) bool { return c == "Mark" || c == "Notes" })
	for _, s := range w.in.Settings {
		if s.Key != "units" {
			words = append(words, s.Key)
		}
	}
	return words
}

// foldedFrom is the first column of Openings that a blank schedule folds away: from
// there on a blank takes the default of Job.
const foldedFrom = "Call size"

// scheduleOpenings writes the sheet to fill in: with checks of what is typed, and in a
// blank schedule an example, empty rows and words on what a row still lacks.
func (w *writer) scheduleOpenings(p *xlsx.Sheet) {
	w.lead(p, "Openings", w.how+" "+w.bareWords())
	table := w.in.Openings
	columns := copiedColumns(table, nil)
	if i := slices.Index(table.Columns, foldedFrom); w.blank && i >= 0 {
		for k := range columns[i:] {
			columns[i+k].Folded = true
		}
	}
	t := xlsx.NewTable(p, "OpeningSchedule", columns)
	t.Header()
	for i, cells := range table.Rows {
		t.Row(copied{i, cells})
	}
	if w.blank {
		t.Row(copied{cells: w.example(table.Columns)})
		for range blankRows - 1 {
			t.Row(copied{})
		}
	}
	for _, name := range table.Columns {
		w.checkColumn(p, t, name)
	}
	t.Notes(columnHelp)
	if w.blank {
		showGaps(p, &t.Grid, table.Columns)
	} else {
		p.AcrossPages(2)
	}
	p.AutoWidth(9, 26)
	t.Finish()
}

// example returns the cells of the example row.
func (w *writer) example(columns []string) []sheet.Cell {
	cells := make([]sheet.Cell, len(columns))
	for i, c := range columns {
		if words, ok := w.exampleRow[c]; ok {
			cells[i] = sheet.Cell{Kind: sheet.Text, Text: words}
		}
	}
	return cells
}

// checkColumn lets cells of a column of Openings take only what it can hold.
func (w *writer) checkColumn(p *xlsx.Sheet, t *xlsx.Table[copied], name string) {
	cells := t.Column(name)
	lists := map[string][]string{
		"Kind": estimate.Kinds, "Sits on": estimate.SitsOnWords, "Flange": estimate.FlangeWords,
		"Furnished by": estimate.FurnishedByWords,
		"Status":       estimate.StatusWords, "Sill pan": estimate.PanWords, "Detail": w.detailNames,
		"Tempered": estimate.TemperedWords, "Shape": estimate.ShapeWords, "Joined": estimate.JoinedWords,
		"Trim": append([]string{estimate.NoTrim}, w.in.Book.Layouts.Names()...),
	}
	switch words := lists[name]; {
	case name == "Status":
		cells.Suggest(words, name, "how many are how far: 2 set, 2 delivered.")
	case len(words) > 0:
		cells.Choice(words, name, "Choose from the list.")
	}
	switch name {
	case "Qty":
		cells.Wholes(1, 9999, "Qty", "A whole number, 1 or more.")
	case "Mulled units":
		cells.Wholes(1, 12, name, "A whole number, 1 to 12.")
	case "Story":
		cells.Wholes(0, 200, name, "A whole number: 1 is the ground floor.")
	case "Unit cost":
		cells.Decimals(0, 1e7, "Unit cost", "An amount of money, 0 or more.")
	}
}

// sizeColumns are those of which one says how large an opening is.
var sizeColumns = []string{"Frame width", "Frame height", "RO width", "RO height", "Measured width", "Measured height", "Call size"}

// showGaps marks, while a schedule is typed, what a row with a mark still lacks:
// its kind, any size at all. The cells take a dark box and another fill, and words
// above the table say so.
func showGaps(p *xlsx.Sheet, t *xlsx.Grid, columns []string) {
	sizes := slices.DeleteFunc(slices.Clone(sizeColumns), func(name string) bool { return !slices.Contains(columns, name) })
	if !t.HasColumn("Mark") || !t.HasColumn("Kind") || len(sizes) == 0 {
		return
	}
	blanks := func(heads []string, cell func(head string) string) []string {
		out := make([]string, len(heads))
		for i, head := range heads {
			out[i] = cell(head) + `=""`
		}
		return out
	}
	row := func(head string) string { return t.Cell(t.First(), head).FixedColumn() }
	all := func(head string) string { return t.Column(head).Local() }
	lacks := func(words, above string, marked xlsx.Ref, need []string) {
		marked.Highlight(fmt.Sprintf(`AND(%s<>"",%s)`, row("Mark"), strings.Join(blanks(need, row), ",")), xlsx.Gap)
		missing := fmt.Sprintf(`SUMPRODUCT((%s<>"")*(%s))`, all("Mark"), strings.Join(blanks(need, all), ")*("))
		at := t.Cell(t.First()-2, above)
		said := at.Put(xlsx.Formula(fmt.Sprintf(`IF(%s=0,"","%s")`, missing, words), "", xlsx.Text), 3)
		said.Highlight(at.Fixed()+`<>""`, xlsx.Gap)
	}
	lacks("WARNING: a mark has no kind", "Mark", t.Column("Kind"), []string{"Kind"})
	lacks("WARNING: a mark has no size", sizes[0], t.Block(t.First(), t.Last(), sizes[0], sizes[min(1, len(sizes)-1)]), sizes)
}

// readMeName is the first sheet of a blank schedule.
const readMeName = "Read me"

// guide is a line of that sheet.
type guide struct{ sheet, about, needed string }

var guideColumns = []xlsx.Column[guide]{
	{Head: "Sheet", Width: 16, Cell: func(g guide) xlsx.Cell { return xlsx.LinkToSheet(g.sheet, g.sheet) }},
	{Head: "What it holds", Width: 84, Cell: func(g guide) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, g.about) }},
	{Head: "Needed", Width: 10, Cell: func(g guide) xlsx.Cell { return xlsx.Str(xlsx.Text, g.needed) }},
}

// guideOrder is the order in which a schedule is filled in.
var guideOrder = []string{"Openings", "Job", "Field measurements", "Other costs", "Labor", "Suppliers", "Alternates", "On hand", "Purchases"}

// readMeSheet says what to fill in.
func (w *writer) readMeSheet(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Title, "Opening schedule"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What to fill in, and what may stay empty"))
	p.Skip(1)
	t := xlsx.NewTable(p, "Guide", guideColumns)
	t.Header()
	for _, name := range guideOrder {
		for _, s := range scheduleSheets() {
			if s.name == name {
				t.Row(guide{s.name, s.about, s.needed})
			}
		}
	}
	p.Skip(1)
	for _, s := range []string{
		"Pale yellow cells are for you. Lengths may be written 36, 36-1/2, 3'-0\" or 914 mm; width comes first.",
		"Frame or rough opening may be left out: one follows from the other. What is not measured is estimated and ordered; its trim stays on hold.",
		"Then: sillwright check schedule.xlsx, and: sillwright estimate schedule.xlsx --prices prices.csv",
	} {
		t.Banner(xlsx.Note, s)
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Before the work"))
	for _, c := range estimate.StandingCautions {
		t.Banner(xlsx.Note, c)
	}
}
