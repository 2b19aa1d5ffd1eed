package schedule

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// sheetOf makes a sheet of lines of cells, parted by bars. A number is one.
func sheetOf(name string, lines ...string) *sheet.Sheet {
	s := &sheet.Sheet{Name: name, File: "e.xlsx"}
	for i, line := range lines {
		var row []sheet.Cell
		for k, text := range strings.Split(line, "|") {
			c := sheet.Cell{Kind: sheet.Text, Text: text, Place: estimate.Place{File: "e.xlsx", Sheet: name, Row: i + 1, Col: k + 1}}
			if n, err := strconv.ParseFloat(text, 64); err == nil {
				c.Kind, c.Number = sheet.Number, n
			}
			if text == "" {
				c.Kind = sheet.Empty
			}
			row = append(row, c)
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// hiddenSheet holds an opening, two costs and an empty row, the rates of Job, an override
// and a note, as an estimate writes them.
func hiddenSheet(kept ...string) *sheet.Sheet {
	return sheetOf(WhenEstimatedSheet, append([]string{
		"When estimated", "Every input as it was.", "All checks pass", "",
		"Job: rates", "Rows changed|Cells more", "0|0",
		"Input|No.|Key|Row|Changed|Fault|Value|Value, typed|Value, used", "Job profit|1|profit|2|||0.12|0.12|0.12", "",
		"Openings", "Rows changed|Cells more", "0|0",
		"Input|No.|Key|Row|Changed|Fault|Mark|Frame width|Qty|Qty, typed|Qty, used", "Openings W1|1|1|2|||W1|36|1|1|1", "Openings W2|2|2|3|||W2|48|2|2|2", "",
		"Other costs", "Rows changed|Cells more", "0|0",
		"Input|No.|Key|Row|Changed|Fault|Text|Count|Price|Text, typed", "Other costs Lift|1|1|2|||Lift|2|145|Lift", "Other costs line 2|2|2|3", "",
		"Openings: other columns", "Key|Notes", "2|egress", "",
		"Materials", "Key|Override", "primer|4", "",
		"Details", "Rows changed", "0", "Input|No.|Key|Row|Changed|Fault|Detail|Step|Do|Rule",
		"Details 1|1|1|2|||own|0|which|for", "Details 2|2|2|3|||own|1|tape|tape", "Details 3|3|3|4|||own|2|seal|bead", "",
	}, kept...)...)
}

// book is an estimate with those sheets as they stand; without arguments all is as it was.
func book(change func(map[string][]string)) *sheet.Book {
	sheets := map[string][]string{
		JobSheet:       {"Key|Value|Unit", "note||text", "profit|0.12|percent"},
		OpeningsSheet:  {"Mark|Frame width (mm)|Qty|Notes|Line No.", "W1|36|1||1", "W2|48|2|egress|2", "||||3"},
		CostsSheet:     {"Text|Count|Price|Taxable|Line No.", "Lift|2|145||1", "||||2"},
		MaterialsSheet: {"Key|Override|Count", "primer|4|4", "foam||3", "||7"},
		DetailsSheet:   {"Detail|Step|Do|Rule|Line No.", "own|0|which|for|1", "own|1|tape|tape|2", "own|2|seal|bead|3"},
	}
	if change != nil {
		change(sheets)
	}
	b := &sheet.Book{File: "e.xlsx"}
	for _, name := range []string{JobSheet, OpeningsSheet, CostsSheet, MaterialsSheet, DetailsSheet} {
		b.Sheets = append(b.Sheets, sheetOf(name, sheets[name]...))
	}
	return b
}

func TestEditsSince(t *testing.T) {
	for what, c := range map[string]struct {
		change func(map[string][]string)
		want   []string
	}{
		"nothing": {nil, nil},
		"rows in another order": {func(s map[string][]string) {
			o := s[OpeningsSheet]
			o[1], o[2] = o[2], o[1]
		}, nil},
		"a cell": {func(s map[string][]string) { s[OpeningsSheet][1] = "W1|37|1||1" },
			[]string{`e.xlsx: Openings!B2 Frame width of "W1" is "37", "36" when estimated`}},
		"a cell of a row whose number was lost": {func(s map[string][]string) { s[OpeningsSheet][2] = "W2|48|3|egress|" },
			[]string{`e.xlsx: Openings!C3 Qty of "W2" is "3", "2" when estimated`}},
		"a cell that was blank": {func(s map[string][]string) { s[OpeningsSheet][1] = "W1|36|1|ask|1" },
			[]string{`e.xlsx: Openings!D2 Notes of "W1" is "ask", blank when estimated`}},
		"a cell that was cleared": {func(s map[string][]string) { s[CostsSheet][1] = "Lift||145||1" },
			[]string{`e.xlsx: 'Other costs' row 2 Count of "Lift" is blank, "2" when estimated`}},
		"a column that came": {func(s map[string][]string) {
			s[CostsSheet] = []string{"Text|Count|Price|Mine|Line No.", "Lift|2|145|x|1"}
		},
			[]string{`e.xlsx: 'Other costs'!D2 Mine of "Lift" is "x", blank when estimated`}},
		"the empty row": {func(s map[string][]string) { s[CostsSheet][2] = "Crane|1|250||2" },
			[]string{`e.xlsx: 'Other costs' row 3 the row "Crane; 1; 250" was added since it was estimated`}},
		"a row below": {func(s map[string][]string) { s[CostsSheet] = append(s[CostsSheet], "Lift|2|145||") },
			[]string{`e.xlsx: 'Other costs' row 4 the row "Lift; 2; 145" was added since it was estimated`}},
		"a row copied with its number": {func(s map[string][]string) { s[CostsSheet] = append(s[CostsSheet], "Lift|2|145||1") },
			[]string{`e.xlsx: 'Other costs' row 4 the row "Lift; 2; 145" was added since it was estimated`}},
		"a row that went": {func(s map[string][]string) { s[CostsSheet] = s[CostsSheet][:1] },
			[]string{`'Other costs' the row "Lift; 2; 145" was removed since it was estimated`}},
		"a step that was moved": {func(s map[string][]string) {
			d := s[DetailsSheet]
			d[2], d[3] = d[3], d[2]
		}, []string{`e.xlsx: Details row 4 the row "own; 1; tape; tape" was moved since it was estimated`}},
		"a rate": {func(s map[string][]string) { s[JobSheet][2] = "profit|0.15|percent" },
			[]string{`e.xlsx: Job!B3 Value of "profit" is "0.15", "0.12" when estimated`}},
		"a line of Job that was blank": {func(s map[string][]string) { s[JobSheet][1] = "note|call|text" },
			[]string{`e.xlsx: Job!B2 Value of "note" is "call", blank when estimated`}},
		"a count, and one cleared": {func(s map[string][]string) {
			s[MaterialsSheet] = []string{"Key|Override|Count", "primer||4", "foam|5|3"}
		},
			[]string{`e.xlsx: Materials row 2 Override of "primer" is blank, "4" when estimated`, `e.xlsx: Materials!B3 Override of "foam" is "5", blank when estimated`}},
	} {
		t.Run(what, func(t *testing.T) {
			e, known := EditsSince(book(c.change), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
			require.True(t, known)
			var got []string
			for _, x := range e.Edits {
				got = append(got, x.Place.String()+" "+x.What())
			}
			assert.Equal(t, c.want, got)
		})
	}
	cut, _ := EditsSince(book(nil), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet("Labor")}})
	assert.Empty(t, cut.Edits, "the hidden sheet ends with the title of a block")
	_, known := EditsSince(book(nil), book(nil))
	assert.False(t, known, "no hidden sheet")
}

// A number that another program stored in fewer digits is the same.
func TestSameCell(t *testing.T) {
	number := func(v float64) sheet.Cell {
		return sheet.Cell{Kind: sheet.Number, Number: v, Text: strconv.FormatFloat(v, 'g', -1, 64)}
	}
	text := func(s string) sheet.Cell { return sheet.Cell{Kind: sheet.Text, Text: s} }
	percent := number(0.0825)
	percent.Percent = true
	for _, c := range []struct {
		a, b        sheet.Cell
		same, value bool
	}{
		{number(0.1 + 0.2), number(0.3), true, true}, {number(14.6), number(14.61), false, false},
		{text(" a  b "), text("a b"), true, true}, {text("a"), text("A"), false, true},
		{sheet.Cell{}, text(" "), true, true}, {sheet.Cell{}, number(0), false, false},
		{text("$14.60"), number(14.6), false, true}, {text("8.25 %"), percent, false, true}, {text("8.25"), percent, false, true},
		{number(0.0825), percent, true, true}, {text("0.5 %"), percent, false, false}, {text("12 ft"), number(12), false, false},
	} {
		assert.Equal(t, c.same, sameCell(c.a, c.b), "%v %v", c.a.Text, c.b.Text)
		assert.Equal(t, c.value, sameValue(c.a, c.b), "%v %v", c.a.Text, c.b.Text)
		assert.Equal(t, c.value, sameValue(c.b, c.a), "%v %v", c.a.Text, c.b.Text)
	}
}

// A row is found in another file by the length that its key says, however it is written;
// of what is no length nothing is known.
func TestSameKey(t *testing.T) {
	onHand, openings := tableOf(OnHandSheet), tableOf(OpeningsSheet)
	for _, c := range []struct {
		table inputTable
		a, b  []string
		same  bool
	}{
		{onHand, []string{"board-1x4", "16 ft"}, []string{"Board-1x4", "192"}, true},
		{onHand, []string{"board-1x4", "16 ft"}, []string{"board-1x4", "190"}, false},
		{onHand, []string{"board-1x4", "16 ft"}, []string{"board-1x6", "16 ft"}, false},
		{onHand, []string{"board-1x4", "0"}, []string{"board-1x4", "short"}, false},
		{onHand, []string{"board-1x4", "short"}, []string{"board-1x4", ""}, false},
		{openings, []string{"16 ft"}, []string{"192"}, false},
	} {
		assert.Equal(t, c.same, sameKey(c.table, c.a, c.b), "%q %q", c.a, c.b)
		assert.Equal(t, c.same, sameKey(c.table, c.b, c.a), "%q %q", c.b, c.a)
	}
}

// keptBook keeps edits in a schedule, and returns what became of each and the schedule.
func keptBook(t *testing.T, edits Edited, csv string) ([]Outcome, *sheet.Book) {
	t.Helper()
	b, _ := sheet.Parse("job.csv", []byte(csv))
	s, _ := Read(b)
	return Keep(edits, s.Sources(b), b, s.Book.Job.Bare()), b
}

func TestKeep(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) {
		s[OpeningsSheet] = []string{"Mark|Frame width (mm)|Qty|Notes|Line No.", "W1|37|5||1", "W3|30|1|new|"}
		s[CostsSheet] = append(s[CostsSheet], "Crane|1|250|no|", "Bin|2|90|no|")
		s[MaterialsSheet][2] = "foam|5|3"
		s[JobSheet][1] = "note|call|text"
	}), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	outcomes, b := keptBook(t, edits, "Mark,Count,Kind,Frame width,Frame height\nW1,5,window,40,60\nW2,2,window,48,60\n")
	states := map[string]KeptState{}
	for _, o := range outcomes {
		states[strings.Join(append(o.Key, o.Column), " ")] = o.State
	}
	assert.Equal(t, map[string]KeptState{"W1 Frame width": KeptOver, "W1 Qty": KeptAlready, "W3 ": Kept, "W2 ": Kept, "Crane ": Kept, "Bin ": Kept,
		"foam Override": Kept, "note Value": Kept}, states)
	s, _ := Read(b)
	require.Len(t, s.Book.Openings, 1, "W2 was removed; W3 has no kind, which is said where it was typed")
	assert.Equal(t, 37*measure.Millimeter, s.Book.Openings[0].Frame.W, "with the unit that the estimate's header states")
	assert.Equal(t, int64(5), s.Book.Openings[0].Qty)
	assert.Equal(t, 1, s.LeftOut)
	assert.Equal(t, map[string]int64{"foam": 5}, s.Overrides)
	var costs []string
	for _, c := range s.Book.Job.Costs {
		costs = append(costs, c.Text)
	}
	assert.Equal(t, []string{"Crane", "Bin"}, costs, "on one sheet, which the schedule lacked")
	assert.Equal(t, "call", s.Book.Job.Note)
}

// An edit of what is gone does not fit; what was removed is gone already.
func TestKeepWhatIsGone(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) {
		s[OpeningsSheet] = []string{"Mark|Frame width|Qty|Notes|Line No.", "W1|37|1||1"}
	}), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	outcomes, _ := keptBook(t, edits, "Mark,Kind,Frame width,Frame height\nX1,window,40,60\n")
	require.Len(t, outcomes, 2)
	assert.Equal(t, KeptNot, outcomes[0].State)
	assert.Equal(t, `no row of "W1" is there by now`, outcomes[0].Words)
	assert.Equal(t, KeptAlready, outcomes[1].State)
}

// keptSheets keeps edits in a schedule of several sheets, and returns what became of each
// and the schedule as it is read then.
func keptSheets(t *testing.T, edits Edited, sheets map[string]string) (states []KeptState, s *Schedule) {
	t.Helper()
	b := workbook(t, sheets)
	s, _ = Read(b)
	for _, o := range Keep(edits, s.Sources(b), b, s.Book.Job.Bare()) {
		states = append(states, o.State)
	}
	s, _ = Read(b)
	return states, checked(t, s)
}

// A step that was given to another detail: both are put into the schedule as the estimate
// has them, the schedule's other details stay, and the shipped ones, whose rows have the
// same numbers, are in nobody's way.
func TestKeepDetails(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) { s[DetailsSheet][2] = "mine|1|tape|tape|2" }),
		&sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	states, s := keptSheets(t, edits, map[string]string{"Openings": oneOpening,
		"Details": "Detail,Step,Do,Rule\nspare,0,which,for\nown,0,which,for\nown,1,glue,bead\nspare,1,bolt,points"})
	assert.Equal(t, []KeptState{Kept}, states)
	steps := map[string]string{}
	for _, x := range s.Steps {
		steps[x.Fields["Detail"]] += x.Fields["Do"] + " "
	}
	for detail, want := range map[string]string{"own": "which seal ", "mine": "tape ", "spare": "which bolt "} {
		assert.Equal(t, want, steps[detail], detail)
	}
	shipped, _ := Shipped()
	assert.Len(t, steps, len(detailNames(shipped))+3)
}

// An edit goes to the row of its opening, on whichever sheet that stands.
func TestKeepOnTheRightSheet(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) { s[OpeningsSheet][1] = "W1|36|7||1" }), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	states, s := keptSheets(t, edits, map[string]string{"Doors": "Mark,Qty,Kind\nD1,1,entry door", "Windows": "Mark,Qty,Kind\nW1,1,window"})
	assert.Equal(t, []KeptState{Kept}, states)
	require.Len(t, s.Book.Openings, 2)
	assert.Equal(t, []int64{1, 7}, []int64{s.Book.Openings[0].Qty, s.Book.Openings[1].Qty}, "D1, W1")
}

// What is on hand is found by the item and its length, in whatever unit that is written.
func TestKeepOnHand(t *testing.T) {
	estimated := book(nil)
	estimated.Sheets = append(estimated.Sheets, sheetOf(OnHandSheet, "Item|Length|Count|Line No.", "board-1x4|12 ft|2|1", "board-1x4|15'-1 1/2\"|5|2"))
	hidden := hiddenSheet(OnHandSheet, "Key|Item|Length|Count", "1|board-1x4|12 ft|2", "2|board-1x4|15'-1 1/2\"|3")
	edits, _ := EditsSince(estimated, &sheet.Book{Sheets: []*sheet.Sheet{hidden}})
	states, s := keptSheets(t, edits, map[string]string{"Openings": oneOpening, "On hand": "Item,Length,Count\nboard-1x4,144,2\nboard-1x4,181.5,3"})
	assert.Equal(t, []KeptState{Kept}, states)
	require.Len(t, s.Book.Job.OnHand, 2)
	assert.Equal(t, []int64{2, 5}, []int64{s.Book.Job.OnHand[0].Count, s.Book.Job.OnHand[1].Count})
}

// A length without a unit is kept with the one that it had in the estimate, fractions too.
func TestKeepUnits(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) {
		s[OpeningsSheet] = []string{"Mark|Frame width|Qty|Notes|Line No.", "W1|36 1/2|1||1", "W2|40|2|egress|2"}
	}), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	_, s := keptSheets(t, edits, map[string]string{"Job": "Key,Value\nunits,mm",
		"Openings": "Mark,Kind,Frame width,Frame height\nW1,window,914,1524\nW2,window,1219,1524"})
	require.Len(t, s.Book.Openings, 2)
	assert.Equal(t, []measure.Length{in64(36*64 + 32), in(40)}, []measure.Length{s.Book.Openings[0].Frame.W, s.Book.Openings[1].Frame.W})
}

// Edits that were carried over are written into the next estimate, where they are edits
// still, even if they are changed again.
func TestKeptTable(t *testing.T) {
	edits, _ := EditsSince(book(func(s map[string][]string) {
		s[OpeningsSheet] = []string{"Mark|Frame width (mm)|Qty|Notes|Line No.", "W1|36|3||1"}
		s[CostsSheet] = append(s[CostsSheet], "Crane|1|250|no|")
	}), &sheet.Book{Sheets: []*sheet.Sheet{hiddenSheet()}})
	heads, rows := KeptTable(edits.Edits)
	lines := []string{keptBlock}
	for _, cells := range append([][]sheet.Cell{nil}, rows...) {
		var words []string
		for _, c := range cells {
			words = append(words, c.Word())
		}
		if cells == nil {
			words = heads
		}
		lines = append(lines, strings.Join(words, "|"))
	}

	// The next estimate: Qty 3 and the crane are its inputs, W2 is gone.
	hidden := hiddenSheet(lines...)
	for i, line := range map[int]string{14: "Openings W1|1|1|2|||W1|36|3|3|3", 15: "Openings line 2|2|2|3", 22: "Other costs Crane|2|2|3|||Crane|1|250|Crane", 26: ""} {
		hidden.Rows[i] = sheetOf(WhenEstimatedSheet, line).Rows[0]
	}
	next := func(qty string) (said []string) {
		e, _ := EditsSince(book(func(s map[string][]string) {
			s[OpeningsSheet] = []string{"Mark|Frame width|Qty|Notes|Line No.", "W1|36|" + qty + "||1"}
			s[CostsSheet] = []string{"Text|Count|Price|Taxable|Line No.", "Lift|2|145||1", "Crane|1|250|no|2"}
		}), &sheet.Book{Sheets: []*sheet.Sheet{hidden}})
		for _, x := range e.Edits {
			said = append(said, x.What())
		}
		return said
	}
	others := []string{`the row "W2; 48; 2; egress" was removed since it was estimated`, `the row "Crane; 1; 250; no" was added since it was estimated`}
	assert.Equal(t, append([]string{`Qty of "W1" is "3", "1" when estimated`}, others...), next("3"))
	assert.Equal(t, append([]string{`Qty of "W1" is "4", "1" when estimated`}, others...), next("4"))
	assert.Equal(t, others, next("1"), "what it was before")
}
