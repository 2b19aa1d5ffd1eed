package estimate_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The outcomes of a look beside what is said of a flagged opening.
const (
	notFlagged = "not flagged"
	noData     = "not enough data"
)

// flagOf returns what a section comes to at an opening: notFlagged, noData, or what is said.
func flagOf(t *testing.T, o estimate.Opening, section string) string {
	t.Helper()
	take := mustTake(t, shipped(t), o)
	said := notFlagged
	for _, p := range estimate.CodeProblems(take.Openings) {
		assert.Contains(t, p.Do, "local code governs")
		assert.NotRegexp(t, regexp.MustCompile(`(?i)complie|comply|passe[ds]|\bok\b|is approved|is safe\b`), p.Sentence())
		of := func(text string) bool {
			return regexp.MustCompile(regexp.QuoteMeta(section) + `(?:[^.\d]|$)`).MatchString(text)
		}
		switch {
		case strings.HasPrefix(p.What, o.Mark+": ") && of(p.Do):
			require.Equal(t, notFlagged, said, "one thing is said")
			said = p.What
		case p.Place == (estimate.Place{}) && of(p.What):
			require.Contains(t, []string{notFlagged, noData}, said, "it is flagged, or not looked at")
			said = noData
		}
	}
	return said
}

// looked is an opening as a schedule says it, and what a section comes to there.
type looked struct {
	w, h, op, sill, drop, room, notes string
	want                              string
}

// opening returns a window, or what the operation says of another kind: entry door pair.
func (c looked) opening(t *testing.T) estimate.Opening {
	length := func(text string) measure.Length {
		l, err := measure.ParseLength(text, measure.Inches)
		require.NoError(t, err, text)
		return l
	}
	maybe := func(text string) estimate.Maybe[measure.Length] {
		if text == "" {
			return estimate.Maybe[measure.Length]{}
		}
		return estimate.Given(length(text))
	}
	o := estimate.Opening{Mark: "A1", Kind: estimate.Window, Frame: estimate.Size{W: length(c.w), H: length(c.h)}, SillHeight: maybe(c.sill), Drop: maybe(c.drop),
		Room: c.room, Notes: c.notes, Operation: estimate.Operation(c.op)}
	for _, k := range estimate.Kinds {
		if rest, ok := strings.CutPrefix(c.op, k); ok {
			o.Kind, o.Operation = estimate.Kind(k), estimate.Operation(strings.TrimSpace(rest))
		}
	}
	return o
}

// TestCodeFlagsPublished: openings at, just below and just above each limit of the code,
// in inches and in millimeters. A limit in mm is that in inches x 25.4.
func TestCodeFlagsPublished(t *testing.T) {
	for _, s := range []struct {
		section, source string
		cases           []looked
	}{
		{"R308.4.3", code + "R308.4.3: pane over 9 ft2, bottom edge under 18 in, top edge over 36 in above the floor, all of them", []looked{
			{"36", "36", "fixed", "6", "", "", "", notFlagged}, // 36 x 36 is 9 ft2
			{"36", "36-1/16", "fixed", "6", "", "", "", "may need safety glazing"},
			{"36", "35-15/16", "fixed", "6", "", "", "", notFlagged},
			{"915 mm", "915 mm", "fixed", "150 mm", "", "", "", "may need safety glazing"}, // 0.8372 m2, over 0.8361
			{"914 mm", "914 mm", "fixed", "150 mm", "", "", "", notFlagged},                // 0.8354 m2
			{"40", "60", "fixed", "17-15/16", "", "", "", "may need safety glazing"},
			{"40", "60", "fixed", "18", "", "", "", notFlagged},
			{"40", "60", "fixed", "18-1/16", "", "", "", notFlagged},
			{"1000 mm", "1500 mm", "fixed", "457 mm", "", "", "", "may need safety glazing"}, // 18 in are 457.2
			{"1000 mm", "1500 mm", "fixed", "458 mm", "", "", "", notFlagged},
			{"60", "30", "fixed", "6", "", "", "", notFlagged},
			{"60", "30-1/16", "fixed", "6", "", "", "", "may need safety glazing"},
			{"60", "29-15/16", "fixed", "6", "", "", "", notFlagged},
			{"1500 mm", "764 mm", "fixed", "150 mm", "", "", "", notFlagged}, // a top of 914; 36 in are 914.4
			{"1500 mm", "765 mm", "fixed", "150 mm", "", "", "", "may need safety glazing"},
			{"40", "60", "fixed", "", "", "", "", noData},
			{"24", "36", "fixed", "", "", "", "", notFlagged},        // 6 ft2 wherever it stands
			{"36", "72", "double hung", "6", "", "", "", notFlagged}, // two sashes of 9 ft2
			{"36", "72-1/8", "double hung", "6", "", "", "", "the largest sash is taken for the pane"},
			{"36", "72", "", "6", "", "", "", "the whole frame is taken for the pane"},
			{"72", "80", "patio door slider", "6", "", "", "", notFlagged}, // R308.4.1 is for doors
		}},
		{"R308.4.1", code + "R308.4.1: glazing in doors", []looked{
			{"72", "80", "patio door", "", "", "", "", "check its label"},
			{"36", "80", "entry door", "", "", "", "", noData},
			{"36", "80", "entry door", "", "", "", "half lite, primed", "check its label"},
			{"36", "80", "entry door full view", "", "", "", "", "check its label"},
			{"36", "80", "entry door", "", "", "", "6 panel, no glass", notFlagged},
			{"36", "80", "entry door sidelites", "", "", "", "", noData}, // of the sidelites R308.4.2
			{"96", "84", "overhead door", "", "", "", "one row of lites", notFlagged},
			{"36", "60", "casement", "", "", "", "", notFlagged},
		}},
		{"R308.4.2", code + "R308.4.2: bottom edge under 60 in and within 24 in of a door's edge; only of sidelites is that known", []looked{
			{"66", "82", "entry door sidelites", "", "", "", "", "sidelites may need safety glazing"},
			{"36", "60", "casement", "59-15/16", "", "", "", noData},
			{"36", "60", "casement", "60", "", "", "", notFlagged},
			{"900 mm", "1500 mm", "casement", "1523 mm", "", "", "", noData},
			{"900 mm", "1500 mm", "casement", "1524 mm", "", "", "", notFlagged}, // 60 in
			{"36", "60", "casement", "", "", "", "", noData},
			{"36", "80", "entry door", "", "", "", "", notFlagged},
		}},
		{"R310.2.1", code + "R310.2.1: at least 20 in wide, 24 in high, 5.7 ft2, or 5.0 ft2 at a grade floor; equal sashes open half", []looked{
			{"20", "60", "casement", "30", "", "bedroom 2", "", "may have to serve"},
			{"19-15/16", "60", "casement", "30", "", "bedroom 2", "", "cannot serve"},
			{"20-1/16", "60", "casement", "30", "", "bedroom 2", "", "may have to serve"},
			{"508 mm", "1500 mm", "casement", "800 mm", "", "Bedroom", "", "may have to serve"},
			{"507 mm", "1500 mm", "casement", "800 mm", "", "Bedroom", "", "cannot serve"},
			{"48", "24", "awning", "30", "", "BR 1", "", "may have to serve"},
			{"48", "23-15/16", "awning", "30", "", "BR1", "", "cannot serve"},
			{"48", "24-1/16", "awning", "30", "", "BR1", "", "may have to serve"},
			{"1200 mm", "610 mm", "awning", "800 mm", "", "master", "", "may have to serve"}, // 24 in are 609.6
			{"1200 mm", "609 mm", "awning", "800 mm", "", "master", "", "cannot serve"},
			{"34.2", "24", "casement", "30", "", "bedroom", "", "may have to serve"}, // 820.8 in2 are 5.7 ft2
			{"34-1/8", "24", "casement", "30", "", "bedroom", "", "at a grade floor only"},
			{"34-1/4", "24", "casement", "30", "", "bedroom", "", "may have to serve"},
			{"869 mm", "610 mm", "casement", "800 mm", "", "bedroom", "", "may have to serve"}, // 0.5301 m2; 5.7 ft2 are 0.5295
			{"868 mm", "610 mm", "casement", "800 mm", "", "bedroom", "", "at a grade floor only"},
			{"30", "24", "casement", "30", "", "bedroom", "", "at a grade floor only"}, // 720 in2 are 5.0 ft2
			{"29-15/16", "24", "casement", "30", "", "bedroom", "", "cannot serve"},
			{"762 mm", "610 mm", "casement", "800 mm", "", "bedroom", "", "at a grade floor only"}, // 0.4648 m2; 5.0 ft2 are 0.4645
			{"761 mm", "610 mm", "casement", "800 mm", "", "bedroom", "", "cannot serve"},
			{"36", "48", "double hung", "30", "", "bedroom", "", "may have to serve"}, // opens 36 x 24
			{"36", "47-15/16", "double hung", "30", "", "bedroom", "", "cannot serve"},
			{"36", "47-15/16", "", "30", "", "bedroom", "", "may have to serve"}, // the whole frame, for all that is known
			{"40", "48", "slider", "30", "", "bedroom", "", "may have to serve"}, // opens 20 x 48
			{"39-15/16", "48", "slider", "30", "", "bedroom", "", "cannot serve"},
			{"60", "60", "fixed", "30", "", "bedroom", "", "cannot serve"},
			{"60", "60", "picture", "30", "", "guest room", "", "cannot serve"},
			{"60", "60", "fixed", "30", "", "", "egress", "cannot serve"},
			{"36", "18", "awning", "30", "", "family room, basement", "", "cannot serve"},
			{"36", "18", "awning", "30", "", "finished basement", "", "cannot serve"},
			{"36", "18", "awning", "30", "", "basement", "", noData}, // habitable or not
			{"36", "18", "awning", "30", "", "guest bath", "", notFlagged},
			{"36", "18", "awning", "30", "", "kitchen", "", notFlagged},
			{"36", "18", "awning", "30", "", "104", "", noData},
			{"36", "18", "awning", "30", "", "", "", noData},
			{"72", "80", "patio door", "", "", "bedroom", "", notFlagged},
		}},
		{"R310.2.2", code + "R310.2.2: sill at most 44 in above the floor", []looked{
			{"36", "60", "casement", "44", "", "bedroom", "", notFlagged},
			{"36", "60", "casement", "43-15/16", "", "bedroom", "", notFlagged},
			{"36", "60", "casement", "44-1/16", "", "bedroom", "", "sill over 44 in"},
			{"900 mm", "1500 mm", "casement", "1117 mm", "", "bedroom", "", notFlagged}, // 44 in are 1117.6
			{"900 mm", "1500 mm", "casement", "1118 mm", "", "bedroom", "", "sill over 44 in"},
			{"36", "60", "casement", "", "", "bedroom", "", noData},
			{"36", "60", "casement", "44", "", "", "", notFlagged}, // whatever the room
			{"36", "60", "casement", "48", "", "stair", "", notFlagged},
		}},
		{"R312.2.1", code + "R312.2.1: it opens, under 24 in above the floor and over 72 in above grade", []looked{
			{"36", "60", "casement", "23-15/16", "96", "", "", "may need fall protection"},
			{"36", "60", "casement", "24", "96", "", "", notFlagged},
			{"36", "60", "casement", "24-1/16", "96", "", "", notFlagged},
			{"36", "60", "double hung", "18", "72-1/16", "", "", "may need fall protection"},
			{"36", "60", "double hung", "18", "72", "", "", notFlagged},
			{"36", "60", "double hung", "18", "71-15/16", "", "", notFlagged},
			{"900 mm", "1500 mm", "casement", "609 mm", "2500 mm", "", "", "may need fall protection"}, // 24 in are 609.6
			{"900 mm", "1500 mm", "casement", "610 mm", "2500 mm", "", "", notFlagged},
			{"900 mm", "1500 mm", "slider", "450 mm", "1829 mm", "", "", "may need fall protection"}, // 72 in are 1828.8
			{"900 mm", "1500 mm", "slider", "450 mm", "1828 mm", "", "", notFlagged},
			{"36", "60", "fixed", "18", "96", "", "", notFlagged},
			{"36", "60", "picture", "", "", "", "", notFlagged},
			{"36", "60", "", "18", "96", "", "", noData},
			{"60", "60", "bay", "18", "96", "", "", noData}, // some of it may open
			{"36", "60", "", "18", "60", "", "", notFlagged},
			{"72", "80", "patio door slider", "0", "96", "", "", notFlagged}, // it is a door
		}},
		{"R308.4.5", code + "R308.4.5 of 2006: bottom edge under 60 in above the standing surface by a tub or shower", []looked{
			{"24", "36", "awning", "59-15/16", "", "bath", "", "may need safety glazing"},
			{"24", "36", "awning", "60", "", "bath", "", notFlagged},
			{"24", "36", "awning", "60-1/16", "", "master bath", "", notFlagged},
			{"600 mm", "900 mm", "awning", "1523 mm", "", "Bathroom 2", "", "may need safety glazing"},
			{"600 mm", "900 mm", "awning", "1524 mm", "", "Bathroom 2", "", notFlagged},
			{"24", "36", "awning", "40", "", "", "over the tub", "may need safety glazing"},
			{"24", "36", "awning", "40", "", "powder room", "", notFlagged},
			{"24", "36", "awning", "", "", "bath", "", noData},
			{"24", "36", "awning", "40", "", "", "", noData},
			{"24", "36", "awning", "60", "", "", "", notFlagged},
		}},
		{"R308.4.6, R308.4.7", code + "R308.4.6 of 2018: bottom edge under 36 in above the tread or landing", []looked{
			{"24", "36", "fixed", "35-15/16", "", "stair", "", "may need safety glazing"},
			{"24", "36", "fixed", "36", "", "stairs", "", notFlagged},
			{"24", "36", "fixed", "36-1/16", "", "stair landing", "", notFlagged},
			{"600 mm", "900 mm", "fixed", "914 mm", "", "landing", "", "may need safety glazing"}, // 36 in are 914.4
			{"600 mm", "900 mm", "fixed", "915 mm", "", "landing", "", notFlagged},
			{"24", "36", "fixed", "30", "", "hall", "at the stairs", "may need safety glazing"},
			{"24", "36", "fixed", "30", "", "hall", "", notFlagged},
			{"24", "36", "fixed", "", "", "stair", "", noData},
			{"24", "36", "fixed", "30", "", "", "", noData},
		}},
		{"29 CFR 1926.501(b)(14)", federal + "29 CFR 1926.501(b)(14): what is not stated is not checked", []looked{
			{"36", "60", "fixed", "", "", "", "", noData},
			{"36", "60", "fixed", "30", "60", "", "", notFlagged},
		}},
	} {
		for _, c := range s.cases {
			got := flagOf(t, c.opening(t), s.section)
			if c.want == noData || c.want == notFlagged {
				assert.Equal(t, c.want, got, "%s: %+v", s.source, c)
			} else {
				assert.Contains(t, got, c.want, "%s: %+v", s.source, c)
			}
		}
	}
}

// What is stated of a glass is not said again: tempered is left to its label, and not
// tempered is a warning.
func TestTemperedAsStated(t *testing.T) {
	door := looked{w: "72", h: "80", op: "patio door"}.opening(t)
	for _, c := range []struct {
		stated   estimate.Tempered
		what     string
		severity estimate.Severity
		receipt  string
	}{
		{"", "check its label", estimate.Note, "check: IRC R308.4.1"},
		{estimate.TemperedYes, notFlagged, estimate.Note, "yes; check: IRC R308.4.1"},
		{estimate.TemperedNo, "Tempered says no", estimate.Warning, "no; check: IRC R308.4.1"},
		{"left panel", "check its label", estimate.Note, "left panel; check: IRC R308.4.1"},
	} {
		door.Tempered = c.stated
		take := mustTake(t, shipped(t), door)
		assert.Equal(t, c.receipt, estimate.Receiving(take)[0].Tempered)
		said := flagOf(t, door, "R308.4.1")
		if c.what != notFlagged {
			said += estimate.CodeProblems(take.Openings)[0].Sentence()
			assert.Equal(t, c.severity, estimate.CodeProblems(take.Openings)[0].Severity, c.stated)
		}
		assert.Contains(t, said, c.what, c.stated)
	}
}

// A flag is one line that names its marks, and so is what is not stated; pieces of a mark
// with lines of their own are that mark.
func TestCodeFlagsAreGrouped(t *testing.T) {
	low := func(mark string) estimate.Opening {
		o := looked{w: "40", h: "60", op: "fixed", sill: "6"}.opening(t)
		o.Mark = mark
		return o
	}
	blank := low("W4")
	blank.SillHeight = estimate.Maybe[measure.Length]{}
	take := mustTake(t, shipped(t), low("W1"), low("W2"), low("W3"), blank)
	odd := take.Openings[0]
	odd.Mark, odd.Piece = "W1 piece 2", 2
	var lines []string
	for _, g := range estimate.GroupProblems(estimate.CodeProblems(append(take.Openings, odd))) {
		lines = append(lines, g.String())
	}
	require.Len(t, lines, 2, "%v", lines)
	assert.Contains(t, lines[0], "(3 rows): warning: W1, W2, W3: may need safety glazing: pane over 9 SF")
	assert.Contains(t, lines[0], "International Residential Code 2015 to 2021, R308.4.3; local code governs)")
	for _, words := range []string{
		"note: what the code may ask is not checked everywhere: Sill height is blank at 1 mark, not checked for large panes near the floor (R308.4.3), ",
		"; Height above grade is blank at 4 marks, not checked for guards while the work goes on",
		"; Room names no room that is known at 4 marks, not checked for ",
		"; no column states how far glass is from a door at 4 marks, ",
	} {
		assert.Contains(t, lines[1], words)
	}
	assert.Equal(t, []string{"large panes near the floor (R308.4.3)", "glass beside doors (R308.4.2)", "glass by tubs and showers (R308.4.5)",
		"glass beside stairs (R308.4.6, R308.4.7)"},
		estimate.GlazingNotChecked(take.Openings))
	assert.Empty(t, estimate.GlazingNotChecked(nil))
}

// Of mulled units the one that may serve best counts.
func TestEscapeOfMulledUnits(t *testing.T) {
	three := joined(85.5, 3, 18, 48, 18)
	three.Operation, three.Room, three.SillHeight = estimate.Casement, "bedroom", estimate.Given(in(30))
	three.Mark = "A1"
	assert.Contains(t, flagOf(t, three, "R310.2.1"), "may have to serve", "arithmetic: the middle one is 48 x 59-1/2")
	equal := joined(58.5, 3)
	equal.Operation, equal.Room, equal.SillHeight, equal.Mark = estimate.Casement, "bedroom", estimate.Given(in(30)), "A1"
	assert.Contains(t, flagOf(t, equal, "R310.2.1"), "cannot serve", "arithmetic: each is under 20 in wide")
}

func TestRoomUses(t *testing.T) {
	for _, c := range []struct {
		room, notes string
		want        []estimate.RoomUse
	}{
		{"Bedroom #2", "", []estimate.RoomUse{estimate.Sleeping}},
		{"Master bath", "", []estimate.RoomUse{estimate.Bathing}},
		{"1/2 bath", "half bath", []estimate.RoomUse{estimate.Utility, estimate.Bathing}}, // 1/2 is not read: rather looked at
		{"half bath", "", []estimate.RoomUse{estimate.Utility}},
		{"Laundry tub", "", []estimate.RoomUse{estimate.Utility}},
		{"", "set in a bed of sealant", nil},
		{"", "rooms BATH 1; tempered", []estimate.RoomUse{estimate.Bathing}},
		{"Rec room - basement", "", []estimate.RoomUse{estimate.Habitable, estimate.Sleeping}},
		{"unfinished basement", "", nil}, {"Basement laundry", "", nil}, {"attic", "", nil}, {"attic office", "", []estimate.RoomUse{estimate.Habitable, estimate.Sleeping}},
		{"Guest/office", "", []estimate.RoomUse{estimate.Sleeping, estimate.Habitable}}, {"guest bath", "", []estimate.RoomUse{estimate.Bathing}},
		{"Bdrm/bath", "", []estimate.RoomUse{estimate.Bathing, estimate.Sleeping}},
		{"North", "", nil},
	} {
		assert.Equal(t, c.want, estimate.RoomUses(c.room, c.notes), "%q %q", c.room, c.notes)
	}
}

// TestInsulationCover: the setting is warned of at its cell.
func TestInsulationCover(t *testing.T) {
	const pages = "foam sheathing industry best-practice pages (publisher not on record): "
	for _, c := range []struct {
		source, thickness, want string
	}{
		{pages + "no insulation", "0", ""},
		{pages + "up to 1-1/2 in", "1.5", ""},
		{pages + "over 1-1/2 in", "1-9/16", "over 1-1/2 in"},
		{pages + "38.1 mm are 1-1/2 in", "38 mm", ""},
		{pages + "39 mm are more", "39 mm", "over 1-1/2 in"},
		{pages + "up to 2 in", "2", "over 1-1/2 in"},
		{pages + "over 2 in", "2-1/16", "over 2 in: the shipped details do not cover it"},
		{pages + "50.8 mm are 2 in", "51 mm", "over 2 in: the shipped details do not cover it"},
	} {
		l, err := measure.ParseLength(c.thickness, measure.Inches)
		require.NoError(t, err)
		what, do := estimate.InsulationCover(l)
		assert.Equal(t, c.want == "", what == "", c.source)
		assert.Contains(t, what, c.want, c.source)
		assert.Equal(t, c.want == "", do == "", c.source)
	}
	at := estimate.Place{File: "job.xlsx", Sheet: "Job", Row: 19, Col: 2}
	thick := estimate.Setting{Key: "outside insulation", Default: "0", Unit: estimate.UnitLength, Text: "2.5", Place: at}
	_, problems := estimate.NewJob([]estimate.Setting{thick}, estimate.Items{})
	require.Len(t, problems, 1)
	assert.Equal(t, at, problems[0].Place)
	assert.Equal(t, estimate.Warning, problems[0].Severity)
}
