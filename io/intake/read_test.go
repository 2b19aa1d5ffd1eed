package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Lists as they come: what is read of them, and every error. Our own wording;
// the sorts are those of real schedules.
func TestRead(t *testing.T) {
	for _, tt := range []struct {
		why     string
		file    string
		text    string
		options Options
		want    []string
		errors  []string
		leftOut []Count
	}{
		{
			why: "titles, a blank row, a heading with a storey, a sum", file: "list.csv",
			text: "ELM STREET 4,,,,\nWINDOW SCHEDULE (all sizes in inches),,,,\nMark,Qty,RO width,RO height,Remarks\n,,,,\nLevel " +
				"One,,,,\nW1,2,38,62,egress\nLevel Two,,,,\nW2,,30,48-1/2,\nTotal,3,,,\n",
			want: []string{"W1 2 window RO 38 x 62 storey 1", "W2 1 window RO 30 x 48-1/2 storey 2"},
		},
		{
			why: "the header again on each page, the group over two columns", file: "windows.csv",
			text: ",,Frame size,\nMark,Count,W (mm),H (mm)\nW1,1,900,1200\n,,Frame size,\nMark,Count,W (mm),H (mm)\nW2,3,600,600\n",
			want: []string{"W1 1 window frame 35-7/16 x 47-1/4", "W2 3 window frame 23-5/8 x 23-5/8"},
		},
		{
			why: "windows and doors below each other, each under its title", file: "list.csv",
			text:   "WINDOW SCHEDULE,,,\nMark,Qty,RO width,RO height\nA,2,36 in,60 in\nB,,,\n,,,\nEXTERIOR DOORS,,,\nMark,RO width,RO height,Remarks\nC,38 in,82 in,\n",
			want:   []string{"A 2 window RO 36 x 60", "C 1 entry door RO 38 x 82"},
			errors: []string{"list.csv: line 4: B has no size (fill in its width and height)"},
		},
		{
			why: "a width without basis is asked for, a column a line", file: "windows.csv",
			text: "Mark,Width,Height\nW1,36 in,60 in\nW2,30 in,48 in\n",
			errors: []string{`windows.csv: line 1, Width: "Width" does not say what it is the size of: the frame or the rough opening; 2 openings are ` +
				`left out (say --basis frame or --basis opening)`},
		},
		{
			why: "a size among words that is none in the unit of the list: 900 in is no window, 900 mm is one", file: "windows.csv",
			options: Options{Basis: Frame, Units: measure.Inches},
			text:    "Mark,Type,Width,Height\nW1,Fixed 900x1200,,\n",
			want:    []string{"W1 1 window frame 35-7/16 x 47-1/4"},
		},
		{
			why: "the least side that is taken for an opening's", file: "windows.csv",
			text: "Mark,Frame width,Frame height\nW1,4 in,48 in\nW2,3-15/16 in,48 in\n",
			want: []string{"W1 1 window frame 4 x 48"},
			errors: []string{`windows.csv: line 3, Frame width: Frame width "3-15/16 in" gives a width of 3-15/16 in, which is no opening's ` +
				"(check the number and its unit)"},
		},
		{
			why: "a row of one cell is named by its own line of the file", file: "windows.csv",
			text:   "Mark,RO width,RO height,Remarks\nA,36 in,60 in,\"two\nlines\"\nB\n",
			want:   []string{"A 1 window RO 36 x 60"},
			errors: []string{"windows.csv: line 4: B has no size (fill in its width and height)"},
		},
		{
			why: "call sizes with words beside them, before and behind", file: "windows.csv",
			text: "Mark,Call size\nA,3050\nB,3050 egress\nC,SH 3050\n",
			want: []string{"A 1 window call 3050", "B 1 window call 3050", "C 1 window call 3050"},
		},
		{
			why: "nominal sizes in millimeters are a call size", file: "windows.csv",
			text: "Mark,Nominal W (mm),Nominal H (mm)\nA,900,1200\n",
			want: []string{"A 1 window call 900 mm x 1200 mm"},
		},
		{
			why: "numbers that run are the marks where nothing else is", file: "windows.csv",
			text: "No.,RO width,RO height\n1,36 in,60 in\n2,30 in,48 in\n",
			want: []string{"1 1 window RO 36 x 60", "2 1 window RO 30 x 48"},
		},
		{
			why: "beside types a few of them may count openings", file: "windows.csv",
			text: "No.,Type,RO width,RO height\n1,A,36 in,60 in\n2,B,30 in,48 in\n",
			errors: []string{`windows.csv: line 1, No.: "No." may be how many openings a row stands for, and no column Qty does (rename it Qty where it does; ` +
				"else add a column Qty, and rename this: Mulled units where it counts joined units, Item where it counts lines)"},
		},
		{
			why: "feet and inches of less than two feet either way may be a metric code", file: "windows.csv",
			text:   "Mark,Call size\nA,2020\nB,1810\n",
			want:   []string{"A 1 window call 2020"},
			errors: []string{`windows.csv: line 3, Call size: Call size "1810" may be feet and inches or a metric code, height first (write width x height)`},
		},
		{
			why: "a size that is none", file: "windows.csv",
			text:   "Mark,RO size\nA,see plan\nB,36 in x 60 in\n",
			want:   []string{"B 1 window RO 36 x 60"},
			errors: []string{`windows.csv: line 2, RO size: RO size "see plan" is not a size (write width x height, such as 3'-0" x 5'-0")`},
		},
		{
			why: "a second count that agrees is no question", file: "windows.csv",
			text: "Mark,Qty,RO width,RO height,Pieces\nA,2,36 in,60 in,2\n",
			want: []string{"A 2 window RO 36 x 60"},
		},
		{
			why: "two counts that differ cost the row", file: "windows.csv",
			text: "Mark,Qty,RO width,RO height,Pieces\nA,2,36 in,60 in,3\nB,1,36 in,60 in,1\n",
			want: []string{"B 1 window RO 36 x 60"},
			errors: []string{"windows.csv: line 2, Pieces: Pieces is 3, and Qty is 2: how many openings are they? " +
				"(write the number under one of them, and clear the other)"},
		},
		{
			why: "the basis given", file: "windows.csv", options: Options{Basis: Opening},
			text: "Mark,Width,Height\nW1,36 in,60 in\n",
			want: []string{"W1 1 window RO 36 x 60"},
		},
		{
			why: "a stated basis is not overruled by the option", file: "windows.csv", options: Options{Basis: Frame},
			text: "Mark,RO width,RO height\nW1,36 in,60 in\n",
			want: []string{"W1 1 window RO 36 x 60"},
		},
		{
			why: "frame and rough opening; what the description says is neither", file: "windows.csv", options: Options{Basis: Frame},
			text: "Mark,Description,RO width,RO height\nW1,36 x 60 in,38 in,62 in\n",
			want: []string{"W1 1 window RO 38 x 62"},
		},
		{
			why: "doors: inside, outside, and nobody says", file: "doors.csv", options: Options{Basis: Frame, Units: measure.Inches},
			text: "No,Type,Width,Height,Position\n1,Door,36,80,Exterior\n2,Door,30,80,Interior\n3,Entry door,36,80,\n4,Flush door,30,80,\n5,Bi-fold " +
				"closet door,48,80,\n6,Garage door,192,84,\n7,Sliding glass door,72,80,\n8,French door,72,80,Exterior\n",
			want: []string{"1 1 entry door frame 36 x 80", "3 1 entry door frame 36 x 80", "6 1 overhead door frame 192 x 84", "7 1 patio door frame 72 x 80"},
			errors: []string{
				"doors.csv: line 5: 4: nothing says whether this door is an exterior one (add a column Position with Exterior or Interior)",
				"doors.csv: line 9: 8: a French door may be set as an entry door or as a patio door (write entry door or patio door in its type or description)",
			},
			leftOut: []Count{{"interior door", 2}},
		},
		{
			why: "what is none of this work", file: "openings.csv", options: Options{Basis: Opening},
			text: "Mark,Kind,Description,Width (in),Height " +
				"(in),Place\nA,window,casement,36,48,Wall\nB,window,,22,36,Door\nC,window,skylight,30,46,\nD,door,cased opening,48,84,\nE,door,toilet " +
				"partition,30,60,\nF,curtain wall,,120,120,\nG,window,blackout shade,36,48,\n",
			want: []string{"A 1 window RO 36 x 48"},
			leftOut: []Count{{"air opening", 1}, {"curtain wall", 1}, {"fitting, not an opening", 1}, {"glass in a door", 1},
				{"partition", 1}, {"roof window", 1}},
		},
		{
			why: "patio doors recorded as windows, by the label and the height", file: "list.csv", options: Options{Basis: Opening, Units: measure.Inches},
			text: "Label,Kind,Width,Height\nWindow - 9 Patio,window,70,82\nWindow - Patio,window,36,48\nRight Sliding Door,window,62,82\n",
			want: []string{"Window - 9 Patio 1 patio door RO 70 x 82", "Window - Patio 1 window RO 36 x 48", "Right Sliding Door 1 patio door RO 62 x 82"},
		},
		{
			why: "type marks: fifty lines or one with a count", file: "windows.csv", options: Options{Basis: Frame, Units: measure.Inches},
			text: "Type Mark,Count,Width,Height\nA,1,36,60\nA,1,36,60\nB,4,30,48\nA,1,36,60\n",
			want: []string{"A 3 window frame 36 x 60", "B 4 window frame 30 x 48"},
		},
		{
			why: "a label again with another size gets a mark of its own", file: "windows.csv", options: Options{Basis: Frame, Units: measure.Inches},
			text: "Label,Width,Height\nWindow - Left,36,60\nWindow - Left,30,60\nwindow left,30,60\n",
			want: []string{"Window - Left 1 window frame 36 x 60", "Window - Left/2 2 window frame 30 x 60"},
		},
		{
			why: "no marks: they are made up", file: "list.csv", options: Options{Basis: Opening},
			text: "Kind,Number,Width in,Height in,Place\nwindow,2,36,60,Wall\ndoor,1,38,82,Wall\nwindow,1,36,36,Basement\n",
			want: []string{"W1 2 window RO 36 x 60", "D1 1 entry door RO 38 x 82", "W2 1 window RO 36 x 36"},
		},
		{
			why: "call sizes go where the job says what they mean", file: "list.csv",
			text: "Mark,Type,Size\nA,Window,3050\nB,Entry door,2-8 x 6-8\nC,Patio door,6068 OX\n",
			want: []string{"A 1 window call 3050", "B 1 entry door call 2-8 x 6-8", "C 1 patio door call 6068"},
		},
		{
			why: "a slider's height says whether it is a window, whatever the list is called", file: "windows.csv", options: Options{Basis: Frame},
			text: "Mark,Type,Width in,Height in\nA,Slider,72,80\nB,slider,60,36\nC,XO,71-1/2,79-1/2\n",
			want: []string{"A 1 patio door frame 72 x 80", "B 1 window frame 60 x 36", "C 1 patio door frame 71-1/2 x 79-1/2"},
		},
		{
			why: "a remark that names a size makes no header of its row", file: "list.csv", options: Options{Basis: Frame},
			text: "Mark,Qty,Type,Frame width (in),Frame height (in),Remarks\nW1,4,Window,36,48,\nW2,5,Window,40,50,RO size\nW3,1,Window,30,30,size\n",
			want: []string{"W1 4 window frame 36 x 48", "W2 5 window frame 40 x 50", "W3 1 window frame 30 x 30"},
		},
		{
			why: "what is no count is refused, and never one", file: "list.csv", options: Options{Basis: Frame},
			text: "Mark,Qty,Type,Frame width (in),Frame height (in)\nW1,TBD,Window,36,48\nW2,-,Window,40,50\nW3,,Window,30,30\n",
			want: []string{"W3 1 window frame 30 x 30"},
			errors: []string{
				`list.csv: line 2, Qty: Qty "TBD" is no number of openings (write 1 or more)`,
				`list.csv: line 3, Qty: Qty "-" is no number of openings (write 1 or more)`,
			},
		},
		{
			why: "a leaf is called by its size", file: "list.csv",
			text: "Mark,Type,Leaf width,Leaf height\nB,Entry door,\"2'-8\"\"\",\"6'-8\"\"\"\n",
			want: []string{`B 1 entry door call 2'-8" x 6'-8"`},
		},
		{
			why: "size in the type, none elsewhere", file: "list.csv", options: Options{Basis: Frame},
			text: "Type description,Count\nM_Fixed window:2800mm x 2410mm,2\nM_Fixed window: no size,1\n",
			want: []string{"W1 2 window frame 110-15/64 x 94-7/8"}, // 2800 / 25.4 = 110.236, 2410 / 25.4 = 94.882
			errors: []string{
				"list.csv: line 3: this line has no size (fill in its width and height)",
			},
		},
		{
			why: "the sizes that cannot be read, each at its cell", file: "windows.csv", options: Options{Basis: Frame, Units: measure.Millimeters},
			text: "Mark,Qty,Width,Height\nW1,1,940,1200\nW2,1,94,1200\nW3,1,n/a,1200\nW4,1,0,1200\nW5,1,2'-x,1200\nW6,0,900,1200\nW7,1,900,60000\nW8,1,--,--\n",
			want: []string{"W1 1 window frame 37-1/64 x 47-1/4"}, // 940 mm = 37.008 in
			errors: []string{
				`windows.csv: line 3, Width: Width "94" gives a width of 3-11/16 in, which is no opening's (check the number and its unit)`,
				`windows.csv: line 4, Width: Width is blank (fill it in)`,
				`windows.csv: line 5, Width: Width "0" is 0 (write the size, or leave it blank)`,
				`windows.csv: line 6, Width: Width "2'-x" has words beside the length (write the size alone, with in, ft, mm, cm or m)`,
				`windows.csv: line 7, Qty: Qty "0" is no number of openings (write 1 or more)`,
				`windows.csv: line 8, Height: Height "60000" gives a height of 2362-3/16 in, which is no opening's (check the number and its unit)`,
				"windows.csv: line 9: W8 has no size (fill in its width and height)",
			},
		},
		{
			why: "a header without titles that stands twice", file: "windows.csv", options: Options{Basis: Frame},
			text: "Mark,Width,Height,Width,Height,Type\nW1,36,60,37,61,casement\n",
			errors: []string{
				`windows.csv: line 1, Width: the header "Width" stands twice, and does not say of what; neither column is used (write what each is the size ` +
					`of, such as Frame width and RO width)`,
				`windows.csv: line 1, Height: the header "Height" stands twice, and does not say of what; neither column is used (write what each is the ` +
					`size of, such as Frame width and RO width)`,
			},
		},
		{
			why: "no list at all", file: "prices.csv", text: "Item,Price\ntape,12\n",
			errors: []string{"prices.csv: there is no row of headers with a size (head the columns Mark, Qty, Width, Height and Type, or name another file)"},
		},
		{
			why: "what kind?", file: "list.csv", options: Options{Basis: Frame, Units: measure.Inches},
			text: "Mark,Width,Height\nX,36,60\n",
			errors: []string{"list.csv: line 2: X: nothing says what kind of opening it is (add a column Kind with window, entry door, patio door or " +
				"overhead door, or name the sheet Windows or Doors)"},
		},
		{
			why: "a unit that the numbers contradict is not forced on them", file: "windows.csv", options: Options{Basis: Frame, Units: measure.Millimeters},
			text: "Mark,Width,Height\nW1,36,60\n",
			errors: []string{"windows.csv: line 1, Width: --units declares mm, in which sizes such as 36 x 60 are no openings; 1 size is left out (name " +
				"the right unit with --units, or write it into the header; inches would do)"},
		},
		{
			why: "no unit, and more than one would do", file: "windows.csv", options: Options{Basis: Frame},
			text: "Mark,Width,Height\nW1,2.5,3\n",
			errors: []string{"windows.csv: line 1, Width: nothing states the unit of sizes such as 2.5 x 3, and more than one or none would do; 1 size is " +
				"left out (say --units inches, mm or m, or write the unit into the header)"},
		},
	} {
		t.Run(tt.why, func(t *testing.T) {
			r, ps := Read([]*sheet.Book{csvBook(t, tt.file, tt.text)}, tt.options)
			if tt.want == nil {
				tt.want = []string{}
			}
			if tt.errors == nil {
				tt.errors = []string{}
			}
			assert.Equal(t, tt.want, lines(r))
			assert.ElementsMatch(t, tt.errors, said(ps, estimate.Error))
			assert.Equal(t, tt.leftOut, r.LeftOut)
			counted(t, r)
		})
	}
}

// counted wants every opening to have one fate.
func counted(t *testing.T, r Result) {
	t.Helper()
	n := r.Taken() + r.Refused
	for _, c := range r.LeftOut {
		n += c.N
	}
	assert.Equal(t, r.Found, n, "listed = taken + left out + refused")
}

// TestShapesAreSaid: a type that is no rectangle is left out with its reason; a
// remark that says so, or that the opening is none of this work, is a warning.
func TestShapesAreSaid(t *testing.T) {
	b := csvBook(t, "list.csv", "Mark,Type,Frame width,Frame height,Remarks\nA,Round window,36 in,36 in,\nB,fixed window,36 in,36 in,arch top\n"+
		"C,casement,36 in,36 in,N.I.C.\nD,bay,72 in,60 in,\n")
	r, ps := Read([]*sheet.Book{b}, Options{})
	assert.Len(t, r.Openings, 3)
	assert.Equal(t, []Count{{notRectangle, 1}}, r.LeftOut)
	warnings := strings.Join(said(ps, estimate.Warning), "\n")
	for _, want := range []string{`line 3: warning: B: "arch top": its flashing is estimated as that of a rectangle`, `line 4: warning: C: "N.I.C." is only a note`,
		`line 5: warning: D: a unit that stands out from the wall ("bay")`} {
		assert.Contains(t, warnings, want)
	}
}
