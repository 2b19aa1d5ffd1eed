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

const threeOpenings = `Mark,Kind,Frame width,Frame height,Supplied by,Flange,Sits on,Sill pan
W1,window,35-1/2,59-1/2,owner,integral,,
W2,window,35-1/2,59-1/2,owner,applied,,formed
D1,entry door,37-1/2,81-3/4,owner,none,slab,
`

func TestAlternates(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": threeOpenings, "Alternates": `Name,When,Column,Value,Notes
Rigid pans,kind is window,Sill pan,rigid,the maker asks
common,,,,
Wide trim,,leg board window,board-1x6,
wide trim,,Leg-board door,board-1x6,
Bigger,flange is integral,Frame W,36,
Nine percent,,tax,9 %,`})
	assert.Empty(t, ps)
	assert.True(t, s.Common)
	assert.Equal(t, []string{"Name", "When", "Column", "Value", "Notes"}, s.Alternates.Columns)
	assert.Len(t, s.Alternates.Rows, 6)
	takeoff, _ := estimate.Make(s.Book)
	require.Len(t, takeoff.Openings, 3)
	var got []string
	for _, a := range s.Changes {
		b, openings, problems := s.Changed(a, takeoff)
		assert.Empty(t, problems, a.Name)
		var marks []string
		for _, i := range openings {
			marks = append(marks, takeoff.Openings[i].Mark)
		}
		got = append(got, fmt.Sprintf("%s: %s: pans %s %s %s, legs %s, width %s, tax %s", a.Name, strings.Join(marks, " "),
			b.Openings[0].Pan, b.Openings[1].Pan, b.Openings[2].Pan, b.Job.Trim[estimate.Window].Leg, measure.FormatInches(b.Openings[0].Frame.W, 16), b.Job.Tax))
	}
	assert.Equal(t, []string{
		"Rigid pans: W1 W2: pans rigid rigid , legs board-1x4, width 35-1/2, tax 0 %",
		"Wide trim: D1 W1 W2: pans  metal , legs board-1x6, width 35-1/2, tax 0 %",
		"Bigger: W1: pans  metal , legs board-1x4, width 36, tax 0 %",
		"Nine percent: D1 W1 W2: pans  metal , legs board-1x4, width 35-1/2, tax 9 %",
	}, got)
	assert.Equal(t, estimate.PanMetal, s.Book.Openings[1].Pan, "the schedule stays as it is")
	assert.Equal(t, "board-1x4", s.Book.Job.Trim[estimate.Window].Leg)
}

func TestAlternatesWithMistakes(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": threeOpenings, "Alternates": `Name,When,Colum,Column,Value
A,kind is window,,Sill pann,rigid
B,kind is widow,,Sill pan,rigid
C,kind is window,,Sill pan,foil
D,kind is window,,leg board window,board-1x6
E,,,leg board window,board-1x66
F,,,Mark,W9
G,,,Sill pan,
,,,Sill pan,rigid
H,kind is patio door,,Sill pan,rigid
I,,,leg board overhead door,board-1x4
C,,,Trim,none
J,kind is widow,,Sill pan,foil`})
	assert.Equal(t, []string{
		`job.xlsx: Alternates!A9: Name is blank (give the alternate a name; rows of one name are one alternate)`,
		`job.xlsx: Alternates!B13: When "widow" is never what kind is (write one of: window, entry door, patio door, overhead door)`,
		`job.xlsx: Alternates!B3: When "widow" is never what kind is (write one of: window, entry door, patio door, overhead door)`,
		`job.xlsx: Alternates!B5: "leg casing window" is a line of Job, which holds for the whole job (leave When blank, or change a column of Openings)`,
		`job.xlsx: Alternates!D2: Column "Sill pann" is neither a column of Openings nor a key of Job (did you mean "Sill pan"? write a column of ` +
			`Openings or a key of Job)`,
		`job.xlsx: Alternates!D7: Mark cannot be changed: it names the opening (delete the row)`,
		`job.xlsx: Alternates!E13: Sill pan "foil" is not known (write rigid, metal, flexible, fluid-applied or none)`,
		`job.xlsx: Alternates!E4: Sill pan "foil" is not known (write rigid, metal, flexible, fluid-applied or none)`,
		`job.xlsx: Alternates!E6: leg casing window "board-1x66" is not known (did you mean "board-1x6"? write a key of the Items sheet)`,
		`job.xlsx: Alternates!E8: Value is blank (write what it is set to)`,
	}, sortedWords(ps))
	takeoff, _ := estimate.Make(s.Book)
	got := map[string]string{}
	for _, a := range s.Changes {
		if a.Wrong {
			got[a.Name] = "wrong"
			continue
		}
		_, _, problems := s.Changed(a, takeoff)
		for _, p := range problems {
			got[a.Name] += p.String()
		}
	}
	assert.Equal(t, map[string]string{"A": "wrong", "B": "wrong", "C": "wrong", "D": "wrong", "E": "wrong", "F": "wrong", "G": "wrong", "J": "wrong",
		"H": `job.xlsx: Alternates!E10: H: no opening is so that kind is patio door (correct the row, or delete it)`,
		"I": `job.xlsx: Alternates!E11: I: "leg casing overhead door" concerns no opening of the schedule (correct the row, or delete it)`,
	}, got)
}

// sortedWords drops the notes, and sorts the rest by cell.
func sortedWords(ps []string) []string {
	var out []string
	for _, p := range ps {
		if !strings.Contains(p, ": note: ") {
			out = append(out, p)
		}
	}
	slices.Sort(out)
	return out
}

func TestAlternatesUnknownColumn(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": threeOpenings, "Alternates": "Name,Wen,Column,Value,Price\nA,kind is window,Sill pan,rigid,12\n"})
	assert.Equal(t, []string{
		`job.xlsx: Alternates!B1: warning: the column "Wen" is not used (if "When" is meant, rename the column)`,
		`job.xlsx: Alternates!E1: note: the column "Price" is not used`,
	}, ps)
	assert.Equal(t, []string{"Name", "When", "Column", "Value", "Notes", "Wen", "Price"}, s.Alternates.Columns)
	require.Len(t, s.Alternates.Rows, 1)
	assert.Equal(t, "kind is window", s.Alternates.Rows[0].Cells[5].Text)
	_, ps = readSheets(t, map[string]string{"Openings": threeOpenings, "Alternats": "Name\nA\n"})
	assert.Equal(t, []string{`job.xlsx: Alternats: warning: the sheet "Alternats" is not read (if "Alternates" is meant, rename it)`}, ps)
}

func TestUsualAlternates(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": threeOpenings, "Items": `key,name,family,class,buy,need,width,thickness,joint,where
fc-1x4,Fibre cement 1x4,fiber cement,boards,cut,length,3-1/2,3/4,if too long,shop
fc-1x6,Fibre cement 1x6,fiber cement,boards,cut,length,5-1/2,3/4,if too long,shop
odd-1x4,Odd 1x4,odd,boards,cut,length,3-1/2,3/4,if too long,shop`})
	assert.Empty(t, ps)
	takeoff, _ := estimate.Make(s.Book)
	var got []string
	for _, a := range s.UsualAlternates(takeoff) {
		_, openings, problems := s.Changed(a, takeoff)
		assert.Empty(t, problems, a.Name)
		assert.NotEmpty(t, openings, a.Name)
		got = append(got, a.Name)
	}
	assert.Equal(t, []string{
		"Flexible pan: D1", "Metal pan: D1", "Rigid pan: W1", "Metal pan: W1", "Flexible pan: W2", "Rigid pan: W2",
		"Flange sealed to the frame on all windows",
		"Trim of windows: board-1x6", "Trim of windows: board-1x8", "Trim of doors: board-1x4", "Trim of doors: board-1x6", "Trim of doors: board-1x8",
		"Trim of fiber cement",
	}, got)
}

func FuzzAlternates(f *testing.F) {
	for _, row := range []string{
		"Rigid pans,kind is window,Sill pan,rigid,note\n", "common,,,,\n", "a,,leg board door,board-1x6,\nA,,tax,9 %,\n",
		"b,kind is window and mulled units > 1,Unit widths,24; 36,\n", "c,,units,mm,\n", "d,,job date,2026-02-30,\n", "e,,Qty,0,\n", ",,,,x\n",
		"f,x not y,Detail,window integral\n",
	} {
		f.Add(row)
	}
	openings, _ := sheet.Parse("openings.csv", []byte(threeOpenings))
	openings.Sheets[0].Name = "Openings"
	read := newReader(openings)
	read.shared()
	read.own()
	takeoff, _ := estimate.Make(read.out.Book)
	f.Fuzz(func(t *testing.T, rows string) {
		book, _ := sheet.Parse("alternates.csv", []byte("Name,When,Column,Value,Notes\n"+rows))
		if book == nil {
			return
		}
		s := *read.out
		r := reader{book: openings, out: &s}
		r.alternates(book.Sheets[0])
		for _, p := range r.problems {
			require.NotEmpty(t, p.What)
		}
		for _, a := range s.Changes {
			require.NotEmpty(t, a.Name)
			require.NotEmpty(t, a.Changes)
			if a.Wrong {
				require.Positive(t, estimate.Errors(r.problems))
				continue
			}
			b, touched, ps := s.Changed(a, takeoff)
			require.Len(t, b.Openings, len(s.Book.Openings))
			require.True(t, len(touched) > 0 || estimate.Errors(ps) > 0, "it changes something, or says why not")
		}
	})
}
