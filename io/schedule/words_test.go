package schedule

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// said is a word of the trade in a column of Openings, and what is made of it.
type said struct {
	column, word string
	want         string // "" = it is asked back
	usual        string // named in the question
}

// accepted are the words that people type for ours. Trade usage, from memory.
var accepted = []said{
	{"Kind", "garage door", "overhead door", ""}, {"Kind", "sliding glass door", "patio door slider", ""}, {"Kind", "front door", "entry door", ""},
	{"Kind", "man door", "entry door", ""}, {"Kind", "casement", "window casement", ""}, {"Kind", "fixed", "window fixed", ""},
	{"Kind", "Awning", "window awning", ""}, {"Kind", "hopper windows", "window hopper", ""}, {"Kind", "tilt-turn", "window tilt-turn", ""},
	{"Kind", "tilt and turn", "window tilt-turn", ""}, {"Kind", "SINGLE HUNG", "window single hung", ""}, {"Kind", "Double-Hung", "window double hung", ""},
	{"Kind", "double hung window", "window double hung", ""}, {"Kind", "slider", "window slider", ""}, {"Kind", "picture", "window picture", ""},
	{"Kind", "bay", "window bay", ""}, {"Kind", "bow window", "window bow", ""}, {"Kind", "entry door with sidelites", "entry door sidelites", ""},
	{"Kind", "entry door w/ transom", "entry door transom", ""}, {"Kind", "entry door pair", "entry door pair", ""}, {"Kind", "garage doors", "overhead door", ""},
	{"Kind", "french door", "", "patio door"},
	{"Flange", "fin", "integral", ""}, {"Flange", "nail fin", "integral", ""}, {"Flange", "Nailing fins", "integral", ""}, {"Flange", "new construction",
		"integral", ""},
	{"Flange", "finless", "none", ""}, {"Flange", "block-frame", "none", ""}, {"Flange", "casing", "brickmould", ""}, {"Flange", "brick mould", "brickmould", ""},
	{"Flange", "brick mold", "brickmould", ""}, {"Flange", "Brickmold", "brickmould", ""}, {"Flange", "attached nailed", "applied", ""},
	{"Flange", "attached locating", "applied (locating only)", ""}, {"Flange", "applied", "applied", ""},
	{"Furnished by", "by owner", "owner", ""}, {"Furnished by", "OFCI", "owner", ""}, {"Furnished by", "owner supplied", "owner", ""}, {"Furnished by", "GC",
		"", "owner"},
	{"Sill pan", "PVC", "rigid", ""}, {"Sill pan", "plastic", "rigid", ""}, {"Sill pan", "sheet metal", "metal", ""}, {"Sill pan", "bent", "metal", ""},
	{"Sill pan", "formed", "metal", ""}, {"Sill pan", "tape", "flexible", ""}, {"Sill pan", "peel and stick", "flexible", ""}, {"Sill pan", "strip",
		"flexible", ""},
	{"Sill pan", "flex", "flexible", ""}, {"Sill pan", "liquid", "fluid-applied", ""},
	{"Trim", "mitred", "mitered", ""}, {"Trim", "miter", "mitered", ""}, {"Trim", "picture frame", "mitered", ""}, {"Trim", "Mitered", "mitered", ""},
	{"Story", "second floor", "2", ""}, {"Story", "Level 2", "2", ""}, {"Story", "1st", "1", ""},
}

// fifty are more words of the trade. Trade usage, from memory.
var fifty = []said{
	{"Kind", "vinyl casement", "window casement", ""}, {"Kind", "DH", "window double hung", ""}, {"Kind", "glider", "window slider", ""},
	{"Kind", "horizontal slider", "window slider", ""}, {"Kind", "XO", "window slider", ""}, {"Kind", "picture windows", "window picture", ""},
	{"Kind", "egress window", "window", ""}, {"Kind", "basement hopper", "window hopper", ""}, {"Kind", "direct set", "window fixed", ""},
	{"Kind", "stationary", "window fixed", ""}, {"Kind", "transom window", "window transom", ""}, {"Kind", "replacement window", "", ""},
	{"Kind", "SGD", "patio door slider", ""}, {"Kind", "gliding patio door", "patio door slider", ""}, {"Kind", "French patio door", "patio door pair", ""},
	{"Kind", "deck door", "patio door", ""}, {"Kind", "back door", "entry door", ""}, {"Kind", "side door", "entry door", ""},
	{"Kind", "steel entry door", "entry door", ""}, {"Kind", "fiberglass entry door", "entry door", ""}, {"Kind", "double entry door", "entry door pair", ""},
	{"Kind", "front door with 2 sidelights", "entry door sidelites", ""}, {"Kind", "sectional", "overhead door", ""}, {"Kind", "roll-up door", "overhead door",
		""},
	{"Kind", "OHD", "overhead door", ""}, {"Kind", "steel", "", "entry door"}, {"Kind", "exterior door", "", "entry door"}, {"Kind", "double door", "",
		"entry door"},
	{"Kind", "sidelite", "", "entry door"}, {"Kind", "transom", "", "window"}, {"Kind", "retrofit", "", ""}, {"Kind", "skylight", "", ""},
	{"Flange", "nail-on", "integral", ""}, {"Flange", "no fin", "none", ""}, {"Flange", "retrofit", "", ""}, {"Flange", "flush fin", "", ""},
	{"Flange", "non-integral", "applied", ""},
	{"Furnished by", "homeowner", "owner", ""}, {"Furnished by", "by others", "", "owner"}, {"Furnished by", "NIC", "", "owner"}, {"Furnished by", "us",
		"builder", ""},
	{"Furnished by", "sub", "installer", ""}, {"Furnished by", "CFCI", "builder", ""},
	{"Sill pan", "brake metal", "metal", ""}, {"Sill pan", "self-adhered", "flexible", ""}, {"Sill pan", "3-piece", "rigid", ""},
	{"Sits on", "CMU", "masonry", ""}, {"Sits on", "slab on grade", "slab", ""}, {"Sits on", "steel", "", "wood"},
	{"Trim", "picture framed", "mitered", ""}, {"Trim", "no casing", "none", ""}, {"Story", "basement", "0", ""},
}

// crews are what a carpenter wrote who had not seen this program: what people in
// the trade say, from memory.
var crews = []said{
	{"Kind", "DHW", "window double hung", ""}, {"Kind", "gar door", "overhead door", ""}, {"Kind", "FG door", "entry door", ""},
	{"Kind", "garage entry door", "entry door", ""}, {"Kind", "corner window", "window", ""}, {"Kind", "folding door", "", ""}, {"Kind", "slab door", "", ""},
	{"Flange", "integral nail fin", "integral", ""}, {"Flange", "w/ fin", "integral", ""}, {"Flange", "welded", "integral", ""},
	{"Flange", "add-on fin", "applied", ""}, {"Flange", "w/ BM", "brickmould", ""}, {"Flange", "w/ brickmold", "brickmould", ""},
	{"Flange", "no BM", "none", ""}, {"Flange", "bare jamb", "none", ""}, {"Flange", "std", "", ""},
	{"Sill pan", "bent metal", "metal", ""}, {"Sill pan", "SS", "metal", ""}, {"Sill pan", "stretchy tape", "flexible", ""}, {"Sill pan", "3 pc", "rigid", ""},
	{"Sill pan", "w/ end dams", "", "rigid"}, {"Sill pan", "liquid flashing", "fluid-applied", ""},
	{"Sits on", "conc slab", "slab", ""}, {"Sits on", "PT plate", "wood", ""}, {"Sits on", "ply", "wood", ""}, {"Sits on", "pony wall", "wood", ""},
	{"Trim", "legs run long", "legs through", ""}, {"Trim", "sides run through", "legs through", ""}, {"Trim", "head on top", "head over legs", ""},
	{"Trim", "sill w/ horns", "sill with horns", ""}, {"Trim", "four sides", "", ""}, {"Trim", "stool", "", "sill with horns"}, {"Trim", "primed", "", ""},
	{"Trim", "trim by others", "", ""}, {"Trim", "siding to frame", "", ""},
	{"Furnished by", "supplied by owner", "owner", ""}, {"Furnished by", "F&I", "installer", ""}, {"Furnished by", "crew", "builder", ""},
	{"Furnished by", "lumberyard", "builder", ""},
	{"Sill height", "24 AFF", "24", ""}, {"Sill height", `24" A.F.F.`, "24", ""},
	{"Qty", "2 ea", "2", ""}, {"Qty", "(2)", "2", ""}, {"Qty", "x2", "2", ""}, {"Unit cost", "350 ea", "350.00", ""}, {"Unit cost", "$350 each", "350.00", ""},
}

// read returns what a schedule of one opening with the word makes of it, and
// what it says.
func (w said) read(t *testing.T) (string, []string) {
	t.Helper()
	header, row := "Mark,Frame width,Frame height,Kind", `W1,36,48,window`
	if w.column == "Kind" {
		row = `W1,36,48,"` + w.word + `"`
	} else {
		header, row = header+","+w.column, row+`,"`+w.word+`"`
	}
	s, problems := readCSV(t, header+"\n"+row+"\n")
	if len(s.Book.Openings) == 0 {
		return "", problems
	}
	o := s.Book.Openings[0]
	return map[string]string{
		"Kind": strings.TrimSpace(fmt.Sprintf("%s %s", o.Kind, o.Operation)), "Flange": string(o.Flange), "Furnished by": string(o.FurnishedBy),
		"Sill pan": string(o.Pan),
		"Sits on":  string(o.SitsOn), "Trim": o.Trim, "Story": fmt.Sprint(o.Story.V),
		"Qty": fmt.Sprint(o.Qty), "Sill height": measure.FormatInches(o.SillHeight.V, 16), "Unit cost": o.UnitCost.V.String(),
	}[w.column], problems
}

// TestTradeWords: what people type is taken, in silence but for a slider, whose
// kind is told from its size; what is doubtful is one message that lists the
// choices and names the usual one.
func TestTradeWords(t *testing.T) {
	for _, list := range [][]said{accepted, fifty, crews} {
		for _, w := range list {
			got, problems := w.read(t)
			assert.Equal(t, w.want, got, "%s %q: %v", w.column, w.word, problems)
			t.Logf("%-13s %-30s %s %s", w.column, w.word, got, strings.Join(problems, " "))
			switch {
			case w.want == "":
				require.Len(t, problems, 1, w.word)
				assert.Contains(t, problems[0], w.column+" \""+w.word+"\" ", w.word)
				assert.Contains(t, problems[0], " (", w.word)
				if w.usual != "" {
					assert.Contains(t, problems[0], "(usually "+w.usual, w.word)
				}
			case len(problems) > 0:
				assert.Len(t, problems, 1, w.word)
				assert.Regexp(t, `note: (Kind ".*" is taken for a window, by its height|Furnished by ".*" is read as builder)`, problems[0])
			}
		}
	}
	assert.Greater(t, len(fifty), 49)
}

// TestTradeWordsWhatever: case, hyphens and a plural s change nothing.
func TestTradeWordsWhatever(t *testing.T) {
	for _, w := range append(accepted, fifty...) {
		if w.want == "" || w.column == "Story" {
			continue
		}
		for _, word := range []string{strings.ToUpper(w.word), strings.ReplaceAll(w.word, " ", "-"), strings.ReplaceAll(w.word, "-", " "), "  " + w.word + " "} {
			got, problems := said{w.column, word, w.want, ""}.read(t)
			assert.Equal(t, w.want, got, "%s %q: %v", w.column, word, problems)
		}
	}
}

// TestSliders: a sliding unit is a door where people walk through it.
func TestSliders(t *testing.T) {
	for _, c := range []struct{ row, want string }{
		{"slider,60,36,", "window"}, {"slider,60,36,42", "window"}, {"slider,72,80,", "patio door"}, {"sliding,72,80,0", "patio door"},
		{"slider,72,80,30", ""}, {"slider,60,36,0", ""}, {"slider,,,", ""},
	} {
		s, problems := readCSV(t, "Mark,Kind,Frame width,Frame height,Sill height\nW1,"+c.row+"\n")
		if c.want == "" {
			require.Len(t, problems, 1, c.row)
			assert.Contains(t, problems[0], "may be a window or a patio door, by height and sill", c.row)
			continue
		}
		require.Len(t, s.Book.Openings, 1, c.row)
		assert.Equal(t, estimate.Kind(c.want), s.Book.Openings[0].Kind, c.row)
	}
}

// TestOperationColumn: the column says how a unit opens, else the word for its
// kind; what is not known stays as written.
func TestOperationColumn(t *testing.T) {
	s, problems := readCSV(t, "Mark,Kind,Operation\nW1,window,Casements\nW2,double hung,\nW3,window,LH casement\nW4,window,push-out\nD1,entry door,w/ sidelites\n")
	require.Equal(t, []string{`job.csv: line 5, Operation: note: Operation "push-out" is none of the usual words; it is kept as it is written and changes no count (usual are ` +
		strings.Join(estimate.Operations, ", ") + `)`}, problems)
	var got []string
	for _, o := range s.Book.Openings {
		got = append(got, string(o.Operation))
	}
	assert.Equal(t, []string{"casement", "double hung", "casement", "push-out", "sidelites"}, got)
}

// TestSheetNames: a sheet is read by what people call it; openings stand on
// sheets for windows and doors where there is none called Openings.
func TestSheetNames(t *testing.T) {
	for _, name := range []string{"Labor", "Labour", "labour"} {
		s, ps := readSheets(t, map[string]string{"Openings": oneOpening, name: "Task,Kind,Per,Hours\nSet and shim the unit,window,unit,1.5"})
		require.Empty(t, ps, name)
		assert.True(t, s.Book.Labor[1].Hours.Set, name)
	}
	for _, name := range []string{"Windows", "Doors", "Schedule", "Window Schedule", "Door Schedule", "WINDOW SCHEDULE"} {
		s, ps := readSheets(t, map[string]string{name: oneOpening})
		require.Empty(t, ps, name)
		assert.Len(t, s.Book.Openings, 1, name)
	}
	s, ps := readSheets(t, map[string]string{
		"Doors":   "Mark,Kind,\"Frame width, mm\",Color\nD1,entry door,914.4,hall",
		"Windows": "Mark,Kind,Frame width,House\nW1,window,36,A\nW2,window,24,B",
	})
	assert.Equal(t, []string{`job.xlsx: Doors!D1: note: the column "Color" is not used`, `job.xlsx: Windows!D1: note: the column "House" is not used`}, ps)
	var marks []string
	for _, o := range s.Book.Openings {
		marks = append(marks, o.Mark+" "+fmt.Sprint(o.Frame.W))
	}
	assert.Equal(t, []string{"D1 " + fmt.Sprint(in(36)), "W1 " + fmt.Sprint(in(36)), "W2 " + fmt.Sprint(in(24))}, marks)
	n := len(OpeningColumns())
	assert.Equal(t, []string{"Color", "House"}, s.Openings.Columns[n:])
	for i, want := range []string{"914.4 mm, hall, ", "36, , A", "24, , B"} {
		c := s.Openings.Rows[i].Cells
		require.Len(t, c, n+2)
		assert.Equal(t, want, c[4].Text+", "+c[n].Text+", "+c[n+1].Text)
	}
	// A text without a unit has that of its own sheet's header.
	s, ps = readSheets(t, map[string]string{"Job": "Key,Value\nunits,mm",
		"Doors":   "Mark,Kind,Frame width (ft),Unit widths (in)\nD1,entry door,3 1/2,24; 18 in",
		"Windows": "Mark,Kind,Frame width,Unit widths\nW1,window,914,600; 300",
	})
	require.Empty(t, ps)
	var texts []string
	for _, row := range s.Openings.Rows {
		texts = append(texts, row.Cells[slices.Index(s.Openings.Headers, "Frame width")].Text, row.Cells[slices.Index(s.Openings.Headers, "Unit widths")].Text)
	}
	assert.Equal(t, []string{"3 1/2 ft", "24 in; 18 in", "914", "600; 300"}, texts)
	for _, other := range []string{"Windows", "Windows (2)", "Windows old"} { // a list of its own, and no copy of Openings
		_, ps = readSheets(t, map[string]string{"Openings": oneOpening, other: oneOpening})
		assert.Equal(t, []string{`job.xlsx: note: the sheet "` + other + `" is not read`}, ps)
	}
}

// TestItemsByName: an item is found by what the trade calls it.
func TestItemsByName(t *testing.T) {
	s, _ := Shipped()
	names := sheet.NewItemNames(s.Book.Items)
	for word, want := range map[string]string{
		"9 in flashing tape": "tape-9", "9\" peel and stick": "tape-9", "SAF 6": "tape-6", "4 in window tape": "tape-4", "Self-adhered flashing 4 in": "tape-4",
		"6 in flexible flashing tape": "tape-6-flexible", "flex tape 9 in": "tape-9-flexible", "coil stock": "trim-coil-24", "flat stock": "trim-coil-24",
		"solvent cement": "pvc-cement", "strip-9": "tape-9", "Levelling": "leveling", "coil-24": "trim-coil-24", "Strip-6-Forming": "tape-6-flexible",
	} {
		key, _, ok := names.Find(word)
		assert.True(t, ok, word)
		assert.Equal(t, want, key, word)
	}
	for word, usual := range map[string]string{"peel and stick": "tape-9", "glue": "wood-glue"} {
		_, doubt, ok := names.Find(word)
		assert.False(t, ok, word)
		require.NotNil(t, doubt, word)
		assert.Equal(t, usual, doubt.Usual, word)
	}
}

// TestJobInTradeWords: lines of Job by what people call them and write in them.
func TestJobInTradeWords(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": oneOpening, "Job": "Key,Value\nwall face,building paper\nLabour rate,60\nPan windows,peel & stick\n" +
		"flange window,nail fin\nallowance nails,15\nsaw cut,3/32\nstrip wall,9 in flashing tape\ntrim window,picture frame\ndate set,2026-11-23"})
	require.Empty(t, ps)
	job := s.Book.Job
	assert.Equal(t, []any{estimate.WRBHousewrap, estimate.PanFlexible, estimate.FlangeIntegral, "tape-9", "mitered"},
		[]any{job.WRB, job.Pan[estimate.Window], job.Flange[estimate.Window], job.Role["tape wall"], job.Trim[estimate.Window].Layout})
	assert.True(t, job.LaborRate.Set)
	assert.Contains(t, job.PhaseDate, estimate.PhaseInstall)
	s, ps = readSheets(t, map[string]string{"Openings": oneOpening, "Job": "Key,Value\nWRB,fluid-applied"})
	require.Empty(t, ps)
	assert.Equal(t, estimate.WRBFluid, s.Book.Job.WRB)
}
