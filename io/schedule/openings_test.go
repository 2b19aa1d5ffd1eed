package schedule

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// A full row: each column lands in its field. Common practice, no source.
func TestOpening(t *testing.T) {
	header := strings.Join(OpeningColumns(), ",")
	s, ps := readSheets(t, map[string]string{"Openings": header + ",Color\n" +
		`W3,2,window,fixed,"7'-1 1/2""",53.5,86,54,3,wood,applied,owner,1180.5,85.5,53.5,set,two lines,3050,24; 36; 24,studs,4-9/16,3.5,formed,window ` +
		`integral,none,2,24,96,kitchen,Y,arch,"J., 12 Nov",6,south,20; 33,white`})
	require.Empty(t, ps[1:])
	assert.Equal(t, `job.xlsx: Openings!AJ1: note: the column "Color" is not used`, ps[0])
	require.Len(t, s.Book.Openings, 1)
	o := s.Book.Openings[0]
	assert.Equal(t, estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: 2}, o.Place)
	assert.Equal(t, "job.xlsx: Openings!E2", o.PlaceOf("Frame width").String())
	assert.Len(t, o.At, len(OpeningColumns()))
	assert.Equal(t, estimate.Opening{
		Mark: "W3", Qty: 2, Kind: estimate.Window, Operation: estimate.Fixed, Opens: "fixed", Frame: estimate.Size{W: in64(85*64 + 32), H: in64(53*64 + 32)},
		Rough: estimate.Size{W: in(86), H: in(54)},
		Call:  "3050", Units: 3, Joined: estimate.StudsBetween, Sample: "J., 12 Nov", UnitWidths: []measure.Length{in(24), in(36), in(24)}, UnitHeights: []measure.Length{in(20),
			in(33)}, UnitDepth: estimate.Given(in64(4*64 + 36)),
		SitsOn: "wood", Flange: "applied", FurnishedBy: "owner", UnitCost: estimate.Given(measure.Money(118050)),
		Measured: estimate.Size{W: in64(85*64 + 32), H: in64(53*64 + 32)}, Status: "set", LegDrop: estimate.Given(in64(3*64 + 32)),
		Pan: "metal", Detail: "window integral", Trim: "none", Story: estimate.Given(int64(2)), SillHeight: estimate.Given(in(24)),
		Drop: estimate.Given(in(96)), Room: "kitchen", Tempered: estimate.TemperedYes, Shape: estimate.ShapeArch, WallDepth: estimate.Given(in(6)), Elevation: "south", Notes: "two lines",
		Extra: []estimate.ExtraCell{{Header: "Color", Text: "white"}},
	}, bare(s.Book.Openings)[0])
}

// A blank cell is missing, never zero; a blank Qty is one opening, but a dash there is asked back.
func TestBlankCells(t *testing.T) {
	for _, blank := range []string{"", " ", "-", "--", "n/a", "\u00a0"} {
		s, ps := readCSV(t, "Mark,Kind,Qty,Frame width,Frame height,Unit cost,Leg drop,Storey\nW1,window,,"+strings.Repeat(blank+",", 5)+"\n")
		assert.Empty(t, ps, "%q", blank)
		assert.Equal(t, []estimate.Opening{{Mark: "W1", Qty: 1, Kind: estimate.Window}}, bare(s.Book.Openings), "%q", blank)
	}
	_, ps := readCSV(t, "Mark,Kind,Qty\nW1,window,-\n")
	assert.Equal(t, []string{`job.csv: line 2, Qty: Qty "-" is not a whole number (write digits only, such as 2)`}, ps)
}

// Ten errors in one schedule: each is reported at its cell, all at once, and
// the sound rows are read.
func TestTenPlantedErrors(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": strings.Join([]string{
		"Mark,Qty,Kind,Frame width,Frame height,Supplied by,Unit cost,Status",
		`W1,2,window,36,60,,412,`,
		`W2,2.7,window,36,60,,,`,
		`W3,1,windoe,36,60,,,`,
		`W4,1,window,"7 11 2",60,,,`,
		`W5,1,window,36 x 60,60,,,`,
		`w1,1,window,36,60,,,`,
		`,1,window,36,60,,,`,
		`W8,1,,,,,,`,
		`W9,1,window,36,=1/0,,,`,
		`W10,1,window,36,60,them,,`,
		`W11,1,window,36,60,,call,`,
		`W12,1,window,24,36,,,set`,
		`W13,1,window,24,36,,4.5.6,`,
	}, "\n")})
	assert.Equal(t, []string{
		`job.xlsx: Openings!B3: Qty "2.7" is not a whole number (write digits only, such as 2)`,
		`job.xlsx: Openings!C4: Kind "windoe" is not known (did you mean "window"? write window, entry door, patio door or overhead door)`,
		`job.xlsx: Openings!D5: Frame width "7 11 2" is not a length (write 7'-11 1/2" or 95.5)`,
		`job.xlsx: Openings!D6: Frame width "36 x 60" holds two sizes (write one size in a cell)`,
		`job.xlsx: Openings!A7: Mark "w1" stands in row 2 too (give each its own mark, or write one row with the Qty)`,
		`job.xlsx: Openings!A8: Mark is blank (give the opening its mark)`,
		`job.xlsx: Openings!C9: Kind is blank (write window, entry door, patio door or overhead door)`,
		`job.xlsx: Openings!E10: the cell has a formula that was never calculated (open the file in your spreadsheet program and save it)`,
		`job.xlsx: Openings!F11: Furnished by "them" is not known (write builder, owner or installer)`,
		`job.xlsx: Openings!G12: warning: Unit cost "call" holds no amount; it is taken as not known, and is not in the price (leave it blank until it is known; where the owner buys the unit, write owner under Furnished by)`,
		`job.xlsx: Openings!G14: Unit cost "4.5.6" is not an amount (write digits and a decimal point, such as 1,234.50)`,
	}, ps)
	assert.Equal(t, 3, s.Rows)
	assert.Equal(t, 10, s.LeftOut)
	assert.Equal(t, []string{"W1", "W11", "W12"}, []string{s.Book.Openings[0].Mark, s.Book.Openings[1].Mark, s.Book.Openings[2].Mark})
	assert.False(t, s.Book.Openings[1].UnitCost.Set, "not known is not 0")
}

// typedAs returns an edit that types a value into a cell of Openings with a
// number format.
func typedAs(cell string, value any, format string) func(*excelize.File) {
	return func(f *excelize.File) {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err == nil {
			err = f.SetCellValue("Openings", cell, value)
		}
		if err == nil {
			err = f.SetCellStyle("Openings", cell, cell, style)
		}
		if err != nil {
			panic(err)
		}
	}
}

func TestLengthCells(t *testing.T) {
	for _, tt := range []struct {
		why    string
		header string
		value  any
		format string
		want   measure.Length
		say    string
	}{
		{"inches are the job's unit", "Frame width", 36.5, "General", in64(36*64 + 32), ""},
		{"noise of a binary fraction (facts: float noise)", "Frame width", 36.499999999999993, "General", in64(36*64 + 32), ""},
		{"the header states mm (facts: mm from whole inches)", "Frame width (mm)", 1168.4001, "General", in(46), ""},
		{"the header states metres (facts: metres from 37 in)", "Frame width, m", 0.9398, "General", in(37), ""},
		{"the header states feet (facts: decimal feet for 68 in)", "Frame width in ft", 5.66666666666667, "General", in(68), ""},
		{"text with a unit wins over the header", "Frame width (mm)", "36 in", "General", in(36), ""},
		{"feet and inches (facts: BIM export)", "Frame width", `5' - 10 3/4"`, "General", in64(70*64 + 48), ""},
		{"a number stored as text", "Frame width", "36.5", "@", in64(36*64 + 32), ""},
		{"the format shows the unit", "Frame width", 914.4, `0.0" mm"`, in(36), ""},
		{"header and format disagree", "Frame width (ft)", 3, `0" in"`, 0,
			`A: Frame width shows 3 in under a header in ft (correct the header or the format of the cell)`},
		{"off every mark is taken and said (facts: 12.55 in)", "Frame width", 12.55, "General", 318_770_000,
			`A: note: Frame width: 12.55 in is on no mark of 1/64 in or 0.1 mm; taken as it is`},
		{"a typed 3-6 became a date", "Frame width", 46087, "d-mmm", 0,
			`A: Frame width holds the date "6-Mar"; 3-6 was probably typed (format the cell as text and type the size with its unit, such as 3'-6", 42 in or 1/2 in)`},
		{"percentage", "Frame width", 0.1, "0%", 0,
			`A: Frame width holds a percentage (format the cell as a number and type the size with its unit, such as 3'-6", 42 in or 1/2 in)`},
		{"truth value", "Frame width", true, "General", 0, `A: Frame width holds TRUE (type the size with its unit, such as 3'-6", 42 in or 1/2 in)`},
		{"a blank marker of exports (facts)", "Frame width", 0, "General", 0, "A: Frame width is 0 (leave it blank when it is not known)"},
		{"negative", "Frame width", -36, "General", 0, `A: Frame width "-36" is negative (write it without the minus sign)`},
		{"decimal comma", "Frame width", "36,5", "General", 0,
			`A: Frame width "36,5" has a comma (write a decimal point, and no comma for thousands: 36.5 or 1200 mm)`},
		{"two sizes (facts: unit and stud opening)", "Frame width", "1500 × 2100 stud 1620 × 2110", "General", 0,
			`A: Frame width "1500 × 2100 stud 1620 × 2110" holds two sizes (write one size in a cell)`},
	} {
		t.Run(tt.why, func(t *testing.T) {
			s, ps := readSheets(t, map[string]string{"Openings": `"` + tt.header + `",Mark,Kind` + "\n0,W1,window"}, typedAs("A2", tt.value, tt.format))
			if tt.say == "" {
				require.Empty(t, ps)
			} else {
				require.Len(t, ps, 1)
				assert.Equal(t, strings.Replace(tt.say, "A: ", "job.xlsx: Openings!A2: ", 1), ps[0])
			}
			if tt.want == 0 {
				assert.Equal(t, 1, s.LeftOut)
				return
			}
			require.Len(t, s.Book.Openings, 1)
			assert.Equal(t, tt.want, s.Book.Openings[0].Frame.W)
		})
	}
}

func TestOtherCells(t *testing.T) {
	for _, tt := range []struct {
		why, column, value string
		say                string // "" = sound
	}{
		{"highest Qty", "Qty", "9999", ""},
		{"no opening", "Qty", "0", `Qty is "0" (write a whole number from 1 to 9999)`},
		{"too many", "Qty", "10000", `Qty is "10000" (write a whole number from 1 to 9999)`},
		{"a count of pieces", "Qty", "2 ea", ""},
		{"a count in brackets", "Qty", "(2)", ""},
		{"words in a count", "Qty", "2 pr", `Qty "2 pr" is not a whole number (write digits only, such as 2)`},
		{"joined units", "Mulled units", "12", ""},
		{"too many joined units", "Mulled units", "13", `Mulled units is "13" (write a whole number from 1 to 12)`},
		{"unit widths", "Unit widths", "24; 36; 24", ""},
		{"one of them wrong", "Unit widths", "24; x; 24", `Unit widths "x" holds no size (leave it blank until it is known)`},
		{"heights of stacked units", "Unit heights", "20; 40", ""},
		{"one of them zero", "Unit widths", "24; 0", `Unit widths is 0 (leave it blank when it is not known)`},
		{"no drop at all is a drop of 0", "Leg drop", "0", ""},
		{"a wall of no depth", "Wall depth", "0", `Wall depth is 0 (leave it blank when it is not known)`},
		{"money with its signs", "Unit cost", "$1,200.00", ""},
		{"a credit is no cost", "Unit cost", "-5", `Unit cost "-5" is negative (write it without the minus sign, or leave it blank when it is not known)`},
		{"a story in words", "Story", "second", ""},
		{"no story", "Story", "201", `Story is "201" (write a whole number from 0 to 200)`},
		{"a word in capitals with two spaces", "Flange", "ATTACHED  Nailed", ""},
		{"a word in the trade's other spelling", "Flange", "brickmould", ""},
		{"a nail fin", "Flange", "nail fin", ""},
		{"a flange may be either", "Flange", "yes",
			`Flange "yes" may be integral or applied (usually integral; write integral, applied, applied (locating only), brickmould or none)`},
		{"applied (locating only)", "Flange", "Applied, Locating-only", ""},
		{"mistyped", "Sits on", "slap", `Sits on "slap" is not known (did you mean "slab"? write wood, slab or masonry)`},
		{"a near word that is another's other name", "Sits on", "concret", `Sits on "concret" is not known (did you mean "slab"? write wood, slab or masonry)`},
		{"layout", "Trim", "Head over legs", ""},
		{"no layout", "Trim", "picture",
			`Trim "picture" is not known (write head over legs, legs through, head and bottom through, mitered, three sided, pinwheel, sill with horns or none)`},
		{"pan", "Sill pan", "yes", `Sill pan "yes" may be rigid, metal or flexible (usually rigid; write rigid, metal, flexible, fluid-applied or none)`},
	} {
		t.Run(tt.why, func(t *testing.T) {
			s, ps := readCSV(t, "Mark,Kind,"+tt.column+"\nW1,window,\""+tt.value+"\"\n")
			if tt.say == "" {
				assert.Empty(t, ps)
				assert.Equal(t, 1, s.Rows)
				return
			}
			assert.Equal(t, []string{"job.csv: line 2, " + tt.column + ": " + tt.say}, ps)
			assert.Equal(t, 1, s.LeftOut)
		})
	}
}

// A column that may count openings too is held against Qty, row by row, and said once.
func TestTotalsBesideQty(t *testing.T) {
	for _, c := range []struct{ why, rows, say string }{
		{"they agree", "W1,window,2,2\nW2,window,1,1\n", ""},
		{"one row", "W1,window,2,6\nW2,window,1,1\n", "line 2, Total: warning: Total is 6, and Qty is 2: Qty is used"},
		{"two rows", "W1,window,2,2\nW2,window,1,3\nW3,window,2,6\n",
			"line 3, Total: warning: Total is 3, and Qty is 1: Qty is used; they differ in 2 rows, the first here"},
	} {
		s, ps := readCSV(t, "Mark,Kind,Qty,Total\n"+c.rows)
		want := []string{`job.csv: line 1, Total: note: the column "Total" is not used`}
		if c.say != "" {
			want = append(want, "job.csv: "+c.say+" (write under Qty how many openings each row stands for)")
		}
		assert.Equal(t, want, ps, c.why)
		assert.Equal(t, 0, s.LeftOut, c.why)
	}
}

// Words for kinds as schedules have them. Common practice, no source.
func TestKinds(t *testing.T) {
	for word, want := range map[string]string{
		"Window": "window", "win": "window", "ENTRY DOOR": "entry door", "entry-door": "entry door", "garage door": "overhead door",
		"overhead": "overhead door", "Sliding Door": "patio door", "sliding glass door": "patio door", "front door": "entry door",
		"door": "", "exterior door": "", "7": "", "casement": "window", "Double-Hung windows": "window", "man door": "entry door",
	} {
		s, ps := readCSV(t, "Mark,Kind\nW1,"+word+"\n")
		if want == "" {
			assert.Equal(t, 1, s.LeftOut, word)
			require.Len(t, ps, 1, word)
			assert.Contains(t, ps[0], "write window, entry door, patio door or overhead door", word)
			continue
		}
		assert.Empty(t, ps, word)
		require.Len(t, s.Book.Openings, 1, word)
		assert.Equal(t, estimate.Kind(want), s.Book.Openings[0].Kind, word)
	}
}

// Other headers in another order give the same openings.
func TestSynonymsAndOrder(t *testing.T) {
	ours, ps := readCSV(t, "Mark,Qty,Kind,Frame width,Frame height,RO width,RO height,Notes\nW1,2,window,35.5,59.5,36,60,egress\n")
	require.Empty(t, ps)
	theirs, ps := readCSV(t, "Schedule of openings\n\nComments,Rough opening height,R.O. W,Frame H,FRAME W,Opening "+
		"kind,Quantity,ID\negress,60,36,59.5,35.5,Window,2,W1\n")
	require.Empty(t, ps)
	assert.Equal(t, bare(ours.Book.Openings), bare(theirs.Book.Openings))
}

// Headers as real files have them (facts: header variants).
func TestRealHeaders(t *testing.T) {
	for _, tt := range []struct {
		header, why string
		say         string // problem at the header, "" = understood
	}{
		{"ROUGH OPENING WIDTH", "framed opening", ""},
		{"Comments", "notes", ""},
		{"Number", "count of identical openings", ""},
		{"Width", "no basis", `"Width": width of what? (write Frame width or RO width)`},
		{"Width (in)", "a unit is no basis", `"Width (in)": width of what? (write Frame width or RO width)`},
		{"Opening WxH", "two numbers in a cell", `"Opening WxH": size of what? (write Call size, or Frame width and Frame height, or RO width and RO height; sillwright import reads W x H in one cell)`},
		{"Door leaf width", "a leaf",
			`"Door leaf width": a leaf or a nominal size is not the outside of the frame (write Frame width, RO width, or the size as a Call size)`},
		{"Unit width", "of the whole or of one", `"Unit width": of the whole frame or of each mulled unit? (write Frame width or Unit widths)`},
		{"NominalLength", "width in one export, thickness in another", `note: the column "NominalLength" is not used`},
		{"Head", "a detail's number", `note: the column "Head" is not used`},
		{"FLOOR", "the story", ""},
		{"Row", "a line number, not R.O. W", `note: the column "Row" is not used`},
		{"Assembly Code", "a classification", `note: the column "Assembly Code" is not used`},
		{"Frame widht", "a slip", `warning: the column "Frame widht" is not used (if "Frame width" is meant, rename the column)`},
	} {
		t.Run(tt.header, func(t *testing.T) {
			s, ps := readCSV(t, "Mark,Kind,"+tt.header+"\nW1,window,12\n")
			if tt.say == "" {
				assert.Empty(t, ps)
				return
			}
			assert.Equal(t, []string{"job.csv: line 1, " + tt.header + ": " + tt.say}, ps)
			left := 0
			if strings.HasPrefix(tt.say, `"`) {
				left = 1
			}
			assert.Equal(t, left, s.LeftOut, "without a basis no row can be taken")
		})
	}
}

// Beside a size that says what it is, one that does not is only reported.
func TestUnclearBesideClear(t *testing.T) {
	s, ps := readCSV(t, "Mark,Kind,Height,Width,RO width,RO height\nW1,window,59.5,35.5,36,60\n")
	assert.Equal(t, []string{
		`job.csv: line 1, Height: warning: "Height": height of what? (write Frame height or RO height if it matters; it is kept as a note)`,
		`job.csv: line 1, Width: warning: "Width": width of what? (write Frame width or RO width if it matters; it is kept as a note)`,
	}, ps)
	require.Len(t, s.Book.Openings, 1)
	assert.Equal(t, estimate.Size{W: in(36), H: in(60)}, s.Book.Openings[0].Rough)
	assert.Equal(t, []estimate.ExtraCell{{Header: "Height", Text: "59.5"}, {Header: "Width", Text: "35.5"}}, s.Book.Openings[0].Extra)
}

// A column of its own keeps the header that would also do for another.
func TestOwnHeaderBeforeSynonym(t *testing.T) {
	s, ps := readCSV(t, "ID,Mark,Kind,Notes,Comments\n77,W1,window,a,b\n")
	assert.Equal(t, []string{
		`job.csv: line 1, ID: note: the column "ID" is not used`,
		`job.csv: line 1, Comments: note: the column "Comments" is not used`,
	}, ps)
	assert.Equal(t, []estimate.Opening{{Mark: "W1", Qty: 1, Kind: estimate.Window, Notes: "a",
		Extra: []estimate.ExtraCell{{Header: "ID", Text: "77"}, {Header: "Comments", Text: "b"}}}}, bare(s.Book.Openings))
}

func TestTypeAsKind(t *testing.T) {
	s, ps := readCSV(t, "Mark,Type\nW1,Window\nD1,door\nW2,window\n")
	assert.Equal(t, []string{`job.csv: line 3, Type: Kind "door" may be an entry door, a patio door or an overhead door (usually entry door; write window, entry door, ` +
		`patio door or overhead door)`}, ps)
	assert.Equal(t, 2, s.Rows)

	_, ps = readCSV(t, "Mark,Type\nW1,A\nW2,B\n")
	assert.Equal(t, []string{`job.csv: line 1: the column "Kind" is missing; found "Mark", "Type" (add it, or rename the column that holds it; ` +
		`sillwright import reads other people's headings)`}, ps)

	s, ps = readCSV(t, "Mark,Type,Kind\nW1,window,entry door\n")
	assert.Equal(t, []string{`job.csv: line 1, Type: note: the column "Type" is not used`}, ps)
	assert.Equal(t, estimate.EntryDoor, s.Book.Openings[0].Kind, "Kind wins")
}

// Rows between the openings are passed over, each with a note.
func TestRowsThatAreNoOpenings(t *testing.T) {
	s, ps := readCSV(t, strings.Join([]string{
		"Mark,Qty,Kind,Frame width,Frame height,Supplied by,Notes",
		"Level One,,,,,,",
		"W1,2,window,36,60,,",
		"",
		"Ground floor,,,,,,",
		"W2,,,,,,",
		"Door 3,,,,,,",
		",,,,,builder,",
		",,,,,,see plan",
		"Total,2,,,,,",
		",,,36,60,,",
		",,window,,,,",
	}, "\n"))
	assert.Equal(t, []string{
		`job.csv: line 2: note: "Level One" stands alone in its row and is taken for a heading`,
		`job.csv: line 5: note: "Ground floor" stands alone in its row and is taken for a heading`,
		`job.csv: line 6, Kind: Kind is blank (write window, entry door, patio door or overhead door)`,
		`job.csv: line 7, Kind: Kind is blank (write window, entry door, patio door or overhead door)`,
		`job.csv: line 8: note: the row has no mark, kind or size and is passed over`,
		`job.csv: line 9: note: the row has no mark, kind or size and is passed over`,
		`job.csv: line 10: note: the row "Total" is no opening and is passed over`,
		`job.csv: line 11, Kind: Kind is blank (write window, entry door, patio door or overhead door)`,
		`job.csv: line 11, Mark: Mark is blank (give the opening its mark)`,
		`job.csv: line 12, Mark: Mark is blank (give the opening its mark)`,
	}, sortedByLine(ps))
	assert.Equal(t, 1, s.Rows)
	assert.Equal(t, 4, s.LeftOut)
	assert.Equal(t, 5, s.Passed)
}

// sortedByLine makes the order independent of that of two columns of a line.
func sortedByLine(ps []string) []string {
	for i := 1; i < len(ps); i++ {
		if a, b := ps[i-1], ps[i]; strings.Split(a, ",")[0] == strings.Split(b, ",")[0] && a > b {
			ps[i-1], ps[i] = b, a
		}
	}
	return ps
}

func TestDuplicateMarks(t *testing.T) {
	s, ps := readCSV(t, "Mark,Kind,Frame width\nW-1,window,x\nw 1,window,36\nW-1,window,36\nW11,window,36\n")
	assert.Equal(t, []string{
		`job.csv: line 2, Frame width: Frame width "x" holds no size (leave it blank and give the frame, the rough opening or a Call size; an opening without any ` +
			`size is not estimated)`,
		`job.csv: line 3, Mark: Mark "w 1" stands in line 2 too (give each its own mark, or write one row with the Qty)`,
		`job.csv: line 4, Mark: Mark "W-1" stands in line 2 too (give each its own mark, or write one row with the Qty)`,
	}, ps)
	require.Len(t, s.Book.Openings, 1)
	assert.Equal(t, "W11", s.Book.Openings[0].Mark)
}

// The same openings in inches, in an mm job, and under mm headers.
func TestUnitsOfTheJob(t *testing.T) {
	const header = "Mark,Kind,Frame width,Frame height,Leg drop"
	inches, ps := readSheets(t, map[string]string{"Openings": header + "\nW1,window,36,60.5,3-1/2\nW2,window,24,24,0"})
	require.Empty(t, ps)
	millimeters, ps := readSheets(t, map[string]string{
		"Job":      "Key,Value\nUnits,MM",
		"Openings": header + "\nW1,window,914.4,1536.7,88.9\nW2,window,609.6,24 in,0",
	})
	require.Empty(t, ps)
	headed, ps := readSheets(t,
		map[string]string{"Openings": `Mark,Kind,Frame width (mm),"Frame height, mm",Leg drop mm` + "\nW1,window,914.4,1536.7,88.9\nW2,window,609.6,609.6,0"})
	require.Empty(t, ps)
	assert.Equal(t, bare(inches.Book.Openings), bare(millimeters.Book.Openings))
	assert.Equal(t, bare(inches.Book.Openings), bare(headed.Book.Openings))
	assert.True(t, millimeters.Book.Job.MM)
	assert.Equal(t, []string{"Frame width (mm)", "Frame height (mm)"}, headed.Openings.Headers[4:6])
}

// The copy of the sheet has all our columns, then the user's own, and tidies
// numbers.
func TestRaw(t *testing.T) {
	s, _ := readSheets(t, map[string]string{"Openings": "Color,Mark,Kind,Frame width,Frame height,Notes,\nA,W1,window,36,'60,7,x\nB,W2,windoe,36,60,,"},
		typedAs("E2", "60", "@"), typedAs("D3", 914.4, `0.0" mm"`), typedAs("E3", ".5", "@"))
	own := len(OpeningColumns())
	require.Equal(t, append(OpeningColumns(), "Color", "column G"), s.Openings.Columns)
	require.Len(t, s.Openings.Rows, 2)
	var got []string
	for _, r := range s.Openings.Rows {
		for i, c := range r.Cells {
			if !c.Blank() {
				got = append(got, fmt.Sprintf("%s %v %s", s.Openings.Columns[i], c.Kind, c.Text))
			}
		}
	}
	assert.Equal(t, []string{
		"Mark 1 W1", "Kind 1 window", "Frame width 2 36", "Frame height 2 60", "Notes 2 7", "Color 1 A", "column G 1 x",
		"Mark 1 W2", "Kind 1 windoe", "Frame width 1 914.4 mm", "Frame height 2 .5", "Color 1 B",
	}, got)
	assert.Equal(t, []int{0, -1}, []int{s.Openings.Rows[0].Index, s.Openings.Rows[1].Index})
	assert.Equal(t, "job.xlsx: Openings!A2", s.Openings.Rows[0].Cells[own].Place.String()[:21])
}

// The copy, written under its headers and read again, is the same openings.
func TestRawAgain(t *testing.T) {
	sheets := map[string]string{
		"Job": "Key,Value\nunits,mm",
		"Openings": strings.Join([]string{
			"Schedule,,,,,,,",
			"Width,ID,Type,Frame width in,Frame height,Unit widths,Cost each,Comments",
			`x,W1,window,36.5,1524,,412.5,"two` + "\n" + `lines"`,
			"Level One,,,,,,,",
			`,W2,win,"7'-1 1/2""",1359,24 in; 36 in; 24 in,,`,
			",W3,windoe,36,1524,,,",
			`y,7,sliding door,"70",2000,,,-`,
		}, "\n"),
	}
	first, ps := readSheets(t, sheets, typedAs("E7", 80, `0" in"`))
	require.NotEmpty(t, ps)
	again, _ := readSheets(t, map[string]string{"Job": sheets["Job"]}, func(f *excelize.File) {
		_, err := f.NewSheet("Openings")
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Openings", "A3", &first.Openings.Headers))
		for i, r := range first.Openings.Rows {
			for j, c := range r.Cells {
				at, err := excelize.CoordinatesToCellName(j+1, i+4)
				require.NoError(t, err)
				if c.Kind == sheet.Number {
					require.NoError(t, f.SetCellFloat("Openings", at, c.Number, -1, 64))
				} else if c.Text != "" {
					require.NoError(t, f.SetCellStr("Openings", at, c.Text))
				}
			}
		}
	})
	require.Len(t, first.Book.Openings, 3)
	assert.Equal(t, estimate.Size{W: in(70), H: in(80)}, first.Book.Openings[2].Frame)
	assert.Equal(t, bare(first.Book.Openings), bare(again.Book.Openings))
	assert.Equal(t, first.Openings.Headers, again.Openings.Headers)
	assert.Equal(t, []int{first.Rows, first.LeftOut, first.Passed}, []int{again.Rows, again.LeftOut, again.Passed})
}

// A cell that only a reader needs costs no window.
func TestErrorInNotes(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": "Mark,Kind,Notes\nW1,window,=A9"})
	assert.Equal(t, []string{`job.xlsx: Openings!C2: warning: the cell has a formula that was never calculated (open the file in your spreadsheet ` +
		`program and save it)`}, ps)
	assert.Equal(t, 1, s.Rows)
}

func FuzzReadCSV(f *testing.F) {
	f.Add([]byte("Mark,Qty,Kind,Frame width,Frame height\nW1,2,window,36,\"5'-0 1/2\"\"\"\n"))
	f.Add([]byte("ID;Type;Width (mm)\nW1;Fenster;900\n;;\n"))
	f.Add([]byte("Level 1\nMark\tKind\tUnit widths\nW1\twindow\t24; x\nTotal\t3\t\n"))
	f.Add([]byte("Mark,Kind,Frame width,Frame height\r\r\nW1,window,35,5,59\rW2,\"win\rdow\",36,60\n"))
	f.Add([]byte("No.,# of windows,Kind,Total,Units\n1,2,window,2,a\n2,3,window,4,1\n"))
	f.Add([]byte("Mark,Kind,RO W,Row\nW1,window,36,1\nW1,door,,\n"))
	shipped := newReader(&sheet.Book{}) // read once: it is most of the time
	shipped.shared()
	f.Fuzz(func(t *testing.T, data []byte) {
		book, _ := sheet.Parse("job.csv", data)
		if book == nil {
			return
		}
		out := *shipped.out
		r := &reader{book: book, out: &out}
		r.own()
		s := checked(t, r.out)
		for _, p := range r.problems {
			require.NotEmpty(t, p.What)
		}
		for _, o := range s.Book.Openings {
			require.NotEmpty(t, o.Mark)
			require.Contains(t, estimate.Kinds, string(o.Kind))
			require.Positive(t, o.Qty)
		}
	})
}

// FuzzReadSheets puts the text on one of the other sheets.
func FuzzReadSheets(f *testing.F) {
	names := []string{JobSheet, MeasuredSheet, MeasuringSheet, DetailsSheet, ItemsSheet, MaterialsSheet, CostsSheet, OnHandSheet, LaborSheet, PurchasesSheet, ActualsSheet}
	for i, text := range []string{
		"Key,Value\nunits,mm\nkerf,3\ntax,0.5\ntrim window,x\n",
		"Mark,Piece,Width 1,High end,Rise\nW1,1,36,left,1/8\nW1,2,,,0\n",
		"Mark,Width 1 (mm)\nW1,914\n",
		"Detail,Step,Do,Item,Rule,When\na; b,0,,,,kind is window\na,1,x,shim,points,\n,,,,,\n",
		"key,name,class,buy,need,width\nshim,Shim,boards,cut,length,\n",
		"Key,Override\nshim,4\n,5\n",
		"Text,Count,Price,Taxable\nLift,3,1.5,yes\n",
		"Item,Length,Count\nboard-1x4,12'-0\"\"\",3\n",
		"Task,Kind,Per,Hours\nSet and shim the unit,window,unit,1.25\nCarry,door,ft,1:30\nCarry,window,m,\n",
		"Date,State,Item,Pack,Count,Returned,Done before\n2026-11-17,placed,shim,252 each,3,1,W1: 1 set\n,returned,board-1x4,16 ft,2,,\n",
		"Item,Pack,Left,Broken,Carried,Date,Phase,Time,Hours,Marks\nshim,252 each,0.5,1,2,2026-11-20,install,,8,W1; D1\n,,,,,,,travel,1.5,\n",
	} {
		f.Add(uint8(i), text)
	}
	openings, _ := sheet.Parse("job.csv", []byte("Mark,Qty,Kind\nW1,2,window\n"))
	openings.Sheets[0].Name = OpeningsSheet
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		book, _ := sheet.Parse("more.csv", []byte(text))
		if book == nil {
			return
		}
		book.Sheets[0].Name = names[int(which)%len(names)]
		book.Sheets = append(book.Sheets, openings.Sheets...)
		s, ps := Read(book)
		require.Len(t, checked(t, s).Book.Openings, 1)
		for _, p := range ps {
			require.NotEmpty(t, p.What)
		}
		for _, n := range s.Overrides {
			require.GreaterOrEqual(t, n, int64(0))
		}
		for _, l := range s.Book.Job.Actuals.Left {
			require.Positive(t, l.Amount)
			require.True(t, l.Left.Set || l.Broken.Set || l.Carried.Set)
		}
		for _, h := range s.Book.Job.Actuals.Hours {
			require.Positive(t, h.Hours)
			require.True(t, h.Time != estimate.TimeWork || h.Phase != "")
		}
		for _, l := range s.Book.Labor {
			require.GreaterOrEqual(t, l.Hours.V, estimate.Hours(0))
			require.Contains(t, estimate.Kinds, string(l.Kind))
			require.Contains(t, estimate.LaborPer, l.Per)
		}
	})
}

// TestExampleRow: the example row of a new schedule is never an opening, and one that is
// changed half-way is said.
func TestExampleRow(t *testing.T) {
	const head = "Mark,Qty,Kind,Frame width,Frame height,Flange,Furnished by,Notes\n"
	const example = "EXAMPLE,1,window,35-1/2,59-1/2,integral,owner,example: overwrite it\n"
	for _, c := range []struct {
		why, rows string
		marks     []string
		leftOut   int
		says      string
	}{
		{"untouched", example + "W1,2,window,36,48,,,\n", []string{"W1"}, 0, "note: the example row is no opening (overwrite it with one of yours)"},
		{"another size, the mark still", "EXAMPLE,1,window,47-1/2,59-1/2,integral,owner,example: overwrite it\n", nil, 1,
			"has the example's mark still (give the opening its own mark, or delete the row)"},
		{"another mark, the note still", "W1,1,window,47-1/2,59-1/2,integral,owner,example: overwrite it\n", []string{"W1"}, 0,
			"warning: the note of the example row stands here still (check that every value of the row is yours, and clear the note)"},
		{"overwritten", "W1,1,window,35-1/2,59-1/2,integral,owner,\n", []string{"W1"}, 0, ""},
	} {
		s, ps := readSheets(t, map[string]string{"Openings": head + c.rows})
		var marks []string
		for _, o := range s.Book.Openings {
			marks = append(marks, o.Mark)
		}
		assert.Equal(t, c.marks, marks, c.why)
		assert.Equal(t, c.leftOut, s.LeftOut, c.why)
		assert.Contains(t, strings.Join(ps, "\n"), c.says, c.why)
	}
}
