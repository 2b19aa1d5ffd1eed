package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Headers of real schedules are of these sorts (facts gathered from public
// schedules, COBie and IFC exports); the wording here is our own unless it is
// the trade's only one.
func TestMeaning(t *testing.T) {
	for _, tt := range []struct {
		why, header string
		want        column
	}{
		{"mark", "Mark", column{field: markField}},
		{"mark of a door", "DOOR NO.", column{field: markField}},
		{"number sign for no", "Window #", column{field: markField}},
		{"type mark is no mark of an opening", "Type Mark", column{field: typeField}},
		{"words run together, as exports write them", "TypeName", column{field: typeField}},
		{"count", "Qty.", column{field: countField}},
		{"a bare Number counts", "Number", column{field: countField}},
		{"style and operation", "Type / Operation", column{field: labelField}},
		{"storey", "FLOOR", column{field: levelField}},
		{"room", "Space Name", column{field: roomField}},
		{"inside or outside", "Int/Ext", column{field: positionField}},
		{"elevation", "Wall (orient.)", column{field: facingField}},
		{"remarks", "REMARKS", column{field: remarkField}},
		{"width without basis", "Width", column{field: widthField}},
		{"one letter", "H", column{field: heightField}},
		{"unit in brackets", "Width (in)", column{field: widthField, unit: measure.Inches}},
		{"unit behind a comma", "Height, mm", column{field: heightField, unit: measure.Millimeters}},
		{"unit behind in", "Height in mm", column{field: heightField, unit: measure.Millimeters}},
		{"unit as a mark", `Width (")`, column{field: widthField, unit: measure.Inches}},
		{"two units are none", "Width (ft-in)", column{field: widthField}},
		{"two units are none, the other way", "Width (mm/in)", column{field: widthField}},
		{"a count by any other name", "Qty. req'd", column{field: countField}},
		{"a shortened word", "Unit Dim. (W x H)", column{field: sizeField}},
		{"line breaks", "ROUGH\nOPENING\nHEIGHT", column{field: heightField, basis: Opening}},
		{"rough opening", "ROUGH OPENING WIDTH", column{field: widthField, basis: Opening}},
		{"rough opening abridged", "R.O. W", column{field: widthField, basis: Opening}},
		{"stud opening", "Stud opening height", column{field: heightField, basis: Opening}},
		{"structural opening", "Structural Opening Width", column{field: widthField, basis: Opening}},
		{"frame", "Frame Width", column{field: widthField, basis: Frame}},
		{"leaf", "Door leaf height", column{field: heightField, basis: Call}},
		{"nominal", "Nominal W", column{field: widthField, basis: Call}},
		{"overall is not yet a frame", "Overall width", column{field: widthField}},
		{"an opening may be framed or finished", "Opening height", column{field: heightField}},
		{"glass is no size of an opening", "Glass width", column{field: widthField, basis: Useless}},
		{"clear way through", "Clear opening width", column{field: widthField, basis: Useless}},
		{"both sides, width first", "Opening WxH", column{field: sizeField}},
		{"both sides, height first", "H x W", column{field: sizeField, heightFirst: true}},
		{"both sides spelt out", "Height by Width (mm)", column{field: sizeField, heightFirst: true, unit: measure.Millimeters}},
		{"size", "Unit size", column{field: sizeField}},
		{"two bases are none", "Rough frame width", column{}},
		{"a width of something else", "Trim width", column{}},
		{"length of what", "NominalLength", column{}},
		{"a distance to the head", "headerHeight", column{field: noteField}},
		{"a tag is not the plan's mark", "Tag Number", column{field: unusedField}},
		{"a classification is no mark", "Assembly code", column{field: unusedField}},
		{"detail numbers", "Jamb", column{field: unusedField}},
		{"of the door, not of the wall", "Thickness (in)", column{field: unusedField}},
		{"the drawing's number", "ELEVATION TYPE", column{field: unusedField}},
		{"hardware", "Set No.", column{field: unusedField}},
		{"unknown", "Colour of the cat", column{}},
		{"nothing", "  ", column{}},
	} {
		t.Run(tt.why, func(t *testing.T) {
			got := meaning(tt.header)
			got.rank, got.header = 0, ""
			assert.Equal(t, tt.want, got)
		})
	}
}

// Every word of the tables is spelt as words() spells, so that it can match.
func TestHeaderWordsAreFolded(t *testing.T) {
	seen := map[string]bool{}
	for _, h := range headers {
		for _, w := range h.words {
			list, _ := headerWords(w)
			assert.Equal(t, w, list)
			assert.False(t, seen[w], "%q stands twice", w)
			seen[w] = true
		}
	}
	for _, lists := range [][]string{windowWords, doorWords, frenchWords, slidingWords, glassWords, outsideWords, insideWords, inPlace, outdoors,
		sheet.TotalWords} {
		for _, w := range lists {
			assert.Equal(t, w, words(w))
		}
	}
	for _, s := range specific {
		for _, w := range s.words {
			assert.Equal(t, w, words(w), s.kind)
		}
	}
}

// columnsOf names the columns in use: "A width of the frame".
func columnsOf(b block) []string {
	var out []string
	for _, c := range b.columns {
		if c.field != noField && c.field != unusedField {
			out = append(out, string(rune('A'+c.at))+" "+c.field.name()+c.basis.of())
		}
	}
	return out
}

func TestBlocks(t *testing.T) {
	marked := []string{"A the mark", "B the width of the rough opening", "C the height of the rough opening", "D remarks"}
	for _, tt := range []struct {
		why  string
		rows [][]any
		want []string
	}{
		{"one row under a title", [][]any{{"Windows"}, {"WINDOW SCHEDULE"}, {}, {"Mark", "RO width", "RO height", "Remarks"}, {"W1", 38, 62}}, marked},
		{"two rows, the group merged",
			[][]any{{"Windows"}, {"Mark", "Rough opening", nil, "Remarks"}, {"merge B1:C1"}, {"merge A1:A2"}, {"merge D1:D2"}, {nil, "W", "H"}, {"W1", 38, 62}}, marked},
		{"two rows, the group not merged", [][]any{{"Windows"}, {"", "Rough opening"}, {"Mark", "W", "H", "Remarks"}, {"W1", 38, 62}}, marked},
		{"two rows, the title over the whole list",
			[][]any{{"Windows"}, {"WINDOW SCHEDULE"}, {"merge A1:D1"}, {"Mark", "RO width", "RO height", "Remarks"}, {"W1", 38, 62}}, marked},
		{"three rows: the thickness and the frame's type are no size and no type", [][]any{{"Doors"},
			{nil, "Door", nil, nil, nil, "Frame"}, {"merge B1:E1"}, {nil, "Size"}, {"merge B2:D2"}, {"No.", "Width", "Height", "Thickness", "Type",
				"Type"}, {"101", 36, 84, 1.75, "A", "F1"}},
			[]string{"A the mark", "B the width", "C the height", "E the type"}},
		{"frame and rough opening side by side",
			[][]any{{"Windows"}, {"Mark", "Frame", nil, "Rough opening"}, {"merge B1:C1"}, {"merge D1:E1"}, {nil, "W", "H", "W", "H"}, {"W1", 36, 60, 37, 61}},
			[]string{"A the mark", "B the width of the frame", "C the height of the frame", "D the width of the rough opening", "E the height of the rough opening"}},
		{"the group stands over the first column", [][]any{{"Windows"}, {"Rough opening", nil, "Mark"}, {"W", "H"}, {"38", "62", "W1"}},
			[]string{"A the width of the rough opening", "B the height of the rough opening", "C the mark"}},
		{"a group that is not merged, whatever is merged elsewhere", [][]any{{"Windows"}, {"", "Rough opening"}, {"Mark", "W", "H", "Remarks"}, {"W1", 38, 62},
			{"Notes"}, {"merge A4:H4"}}, marked},
		{"the floor of a frame is no story", [][]any{{"Windows"}, {"Mark", "Frame", nil, nil}, {"merge B1:D1"}, {nil, "W", "H", "Floor"}, {"W1", 36, 60, "x"}},
			[]string{"A the mark", "B the width of the frame", "C the height of the frame"}},
		{"height before width", [][]any{{"Export"}, {"Count", "Height", "Width", "Level"}, {2, 60, 36, 1}},
			[]string{"A the number of openings", "B the height", "C the width", "D the story"}},
		{"a price list is no list of openings", [][]any{{"Prices"}, {"Item", "Description", "Price"}, {"tape", "4 in", 12}}, nil},
	} {
		t.Run(tt.why, func(t *testing.T) {
			found := blocks(bookOf(t, "list.xlsx", tt.rows).Sheets[0])
			if tt.want == nil {
				assert.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			assert.Equal(t, tt.want, columnsOf(found[0]))
		})
	}
}

// What is wrong under a header that is repeated on the next page is told like
// the rest.
func TestRepeatedHeaderKeepsProblems(t *testing.T) {
	b, _ := sheet.Parse("windows.csv", []byte("Mark,Count,Frame width,Frame height\nW1,1,36,60\nMark,Count,Frame width,Frame height\nW2,1,wide,60\n"))
	r, ps := Read([]*sheet.Book{b}, Options{Units: measure.Inches})
	assert.Equal(t, int64(1), r.Refused)
	assert.Equal(t, 1, estimate.Errors(ps))
}
