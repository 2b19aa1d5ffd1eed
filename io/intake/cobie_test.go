package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// handover is a small COBie workbook; the columns are the standard's, the
// content is invented after the faults of real ones.
func handover(t testing.TB, units string, types, components [][]any) *sheet.Book {
	facility := [][]any{{"Facility"}, {"Name", "LinearUnits"}, {"House", units}}
	spaces := [][]any{{"Space"}, {"Name", "FloorName"}, {"101", "Level One"}, {"102", "Level One"}, {"201", "Level Two"}, {"Site", "Level One"},
		{"Deck-1", "Level Two"}}
	types = append([][]any{{"Type"},
		{"Name", "CreatedBy", "Category", "Description", "ExtObject", "NominalLength", "NominalWidth", "NominalHeight", "Size"}}, types...)
	components = append([][]any{{"Component"}, {"Name", "TypeName", "Space", "Description", "ExtObject"}}, components...)
	return bookOf(t, "house.xlsx", facility, spaces, types, components)
}

func TestCOBie(t *testing.T) {
	for _, tt := range []struct {
		why        string
		units      string
		types      [][]any
		components [][]any
		want       []string
		problems   []string // warnings and errors
		leftOut    []Count
	}{
		{
			why: "width in the length column, metres though millimetres are declared, type name with a blank behind it", units: "millimeters",
			types: [][]any{
				{"Window A ", "x", "Windows", "Window_Exterior_A_900x1200", "IfcWindowStyle", 0.9, 0, 1.2, "900x1200"},
				{"Door E", "x", "Doors", "Door_Exterior_E", "IfcDoorStyle", 1.05, 0.045, 2.343, "n/a"},
			},
			components: [][]any{{"W1", "Window A", "101"}, {"W2", "Window A", "101"}, {"W3", "Window A ", "201"}, {"D1", "Door E", "101,Site"}},
			want:       []string{"Window A 3 window frame 35-7/16 x 47-1/4", "Door E 1 entry door frame 41-11/32 x 92-1/4 storey 1"},
			problems: []string{"house.xlsx: Type!G1: warning: Facility!B2 (millimeters) declares mm, but sizes such as 0.9 x 1.2 are in metres, and are " +
				"taken so (check one of them)"},
		},
		{
			why: "sizes only in the text; placeholders that repeat the header; rooms tell the inside", units: "meters",
			types: [][]any{
				{"Door A", "x", "Doors", "Flush:0762 x 2032mm", "IfcDoorStyle", 0, 0, 0, "Size"},
				{"Window D", "x", "Fixed Windows", "Fixed:819mm x 759mm", "IfcWindowStyle", 0, 0, 0, "Size"},
				{"Skylight", "x", "Roof Windows", "Skylight:1180 x 1170mm", "IfcWindowStyle", 0, 0, 0, "Size"},
				{"Blind", "x", "Window Blinds", "Blind_900x50x1200", "IfcFurnishingElementType", 0, 0, 0, "Size"},
			},
			components: [][]any{{"A-1", "Door A", "101, 102"}, {"A-2", "Door A", "101"}, {"A-3", "Door A", "201, Deck-1"}, {"D-1", "Window D", "101"},
				{"S-1", "Skylight", "201"}, {"B-1", "Blind", "101"}},
			want:     []string{"Door A 2 entry door frame 30 x 80", "Window D 1 window frame 32-1/4 x 29-7/8 storey 1"},
			problems: []string{`house.xlsx: Component row 3: warning: "A-2" adjoins one room only, "101", and is taken for an exterior door (delete it if it is not)`},
			leftOut:  []Count{{"interior door", 1}, {"roof window", 1}},
		},
		{
			why: "a component's own size overrules its type's", units: "millimeters",
			types:      [][]any{{"Window A", "x", "Windows", "Fixed:900mm x 1200mm", "IfcWindowStyle", 900, 100, 1200, ""}},
			components: [][]any{{"W1", "Window A", "101", "Fixed:900mm x 1200mm:4711"}, {"W2", "Window A", "101", "Fixed:900mm x 1500mm:4712"}},
			want:       []string{"Window A 1 window frame 35-7/16 x 47-1/4 storey 1", "Window A/2 1 window frame 35-7/16 x 59-1/16 storey 1"},
			problems: []string{
				`house.xlsx: Component row 3: warning: the mark "Window A" stands before with another size or kind; here it is called "Window A/2" (check which is right)`,
				"house.xlsx: Component!D3: warning: W2 is 900 x 1500 mm, its type 900 x 1200 mm; its own size is taken (check which is right)",
			},
		},
		{
			why: "sizes of 0 and n/a, a type that is not there, a type without components", units: "millimeters",
			types: [][]any{
				{"Window A", "x", "Windows", "n/a", "IfcWindowStyle", 0, 0, 0, "n/a"},
				{"Window B", "x", "Windows", "Window", "IfcWindowStyle", 1000, 0, 1000, ""},
			},
			components: [][]any{{"W1", "Window A", "101", "n/a", "IfcWindow"}, {"W2", "Window C", "101", "n/a", "IfcWindow"},
				{"T1", "Toilet", "101", "n/a", "IfcFlowTerminal"}},
			want: []string{},
			problems: []string{
				"house.xlsx: Component row 2: W1 has no size (fill in its width and height)",
				`house.xlsx: Component!B3: the type "Window C" of W2 is not on the sheet Type (add it there, or correct the name)`,
				`house.xlsx: Type row 3: warning: the type "Window B" has no component and is left out`,
			},
		},
		{
			why: "label and numbers disagree; both columns may be the width", units: "millimeters",
			types: [][]any{
				{"Window A", "x", "Windows", "1220 x 1500", "IfcWindowStyle", 1200, 0, 1500, ""},
				{"Window B", "x", "Windows", "", "IfcWindowStyle", 600, 900, 1200, "900 x 1200 mm"},
				{"Window C", "x", "Windows", "", "IfcWindowStyle", 600, 900, 1200, ""},
			},
			components: [][]any{{"W1", "Window A", "101"}, {"W2", "Window B", "101"}, {"W3", "Window C", "101"}},
			want:       []string{"Window A 1 window frame 47-1/4 x 59-1/16 storey 1", "Window B 1 window frame 35-7/16 x 47-1/4 storey 1"},
			problems: []string{
				"house.xlsx: Type!D2: warning: Description says 1220 x 1500 mm where NominalLength says 1200 x 1500 mm; the latter is taken (check which is right)",
				"house.xlsx: Type!G3: warning: NominalLength 600 and NominalWidth 900 may both be the width; neither is used (write the thickness as 0, or " +
					"the size into Size)",
				"house.xlsx: Type!G4: warning: NominalLength 600 and NominalWidth 900 may both be the width; neither is used (write the thickness as 0, or " +
					"the size into Size)",
				"house.xlsx: Component row 4: W3 has no size (fill in its width and height)",
			},
		},
		{
			why: "no class of the model: the words tell; openings and curtain walls by their class", units: "millimeters",
			types: [][]any{
				{"Window A", "x", "23-17 13: Windows", "", "", 1000, 0, 1000, ""},
				{"Hole", "x", "", "", "IfcOpeningElement", 1000, 0, 2100, ""},
				{"Glazing", "x", "", "", "IfcCurtainWall", 3000, 0, 3000, ""},
				{"Sink", "x", "23-45: Sinks", "", "", 500, 500, 200, ""},
			},
			components: [][]any{{"W1", "Window A", "101"}, {"H1", "Hole", "101"}, {"G1", "Glazing", "101"}, {"S1", "Sink", "101"}},
			want:       []string{"Window A 1 window frame 39-3/8 x 39-3/8 storey 1"},
			problems:   []string{},
			leftOut:    []Count{{"air opening", 1}, {"curtain wall", 1}},
		},
		{
			why: "nothing of ours", units: "meters",
			types: [][]any{{"Sink", "x", "Sinks", "", "IfcSanitaryTerminalType", 0.5, 0.5, 0.2, ""}}, components: [][]any{{"S1", "Sink", "101"}},
			want:     []string{},
			problems: []string{"house.xlsx: Type!G1: no type on the sheet Type is a window or a door (name another file)"},
		},
	} {
		t.Run(tt.why, func(t *testing.T) {
			r, ps := Read([]*sheet.Book{handover(t, tt.units, tt.types, tt.components)}, Options{Basis: Frame})
			assert.Equal(t, tt.want, lines(r))
			assert.ElementsMatch(t, tt.problems, said(ps, estimate.Warning))
			assert.Equal(t, tt.leftOut, r.LeftOut)
			counted(t, r)
		})
	}
}

// A list of spaces that cannot be read is said: the stories of its openings are lost.
func TestCOBieSpacesWithoutNames(t *testing.T) {
	b := bookOf(t, "house.xlsx", [][]any{{"Facility"}, {"Name", "LinearUnits"}, {"House", "millimeters"}},
		[][]any{{"Space"}, {"Room number", "FloorName"}, {"101", "Level One"}},
		[][]any{{"Type"}, {"Name", "Category", "NominalWidth", "NominalHeight"}, {"Window A", "Windows", 900, 1200}},
		[][]any{{"Component"}, {"Name", "TypeName", "Space"}, {"W1", "Window A", "101"}})
	_, ps := Read([]*sheet.Book{b}, Options{Basis: Frame})
	assert.Contains(t, strings.Join(said(ps, estimate.Error), "\n"), "Space")
}
