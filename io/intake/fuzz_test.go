package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// FuzzRead feeds lists of any content: nothing may panic, every opening listed
// has one fate, every one taken is whole and has a mark of its own, and what
// nothing says the basis of is never taken.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		"Mark,Qty,RO width,RO height\nW1,2,38,62\n",
		",,Frame,\nMark,Count,W (mm),H (mm)\nW1,1,900,1200\n,,Frame,\nMark,Count,W (mm),H (mm)\nW2,3,600,600\n",
		"Kind,Number,Width in,Height in,Place\nwindow,2,36,60,Wall\nwindow,1,22,36,Door\ndoor,1,38,82,Wall\n",
		"Mark,Type,Size\nA,Window,3050\nB,Entry door,2-8 x 6-8\nC,OHD,16 x 7 OHD\nD,Window,\"2′-” x 6′-0″\"\n",
		"No,Type,Width,Height,Position,Room\n1,Door,36,80,Exterior,101\n2,Sliding door,72,80,,\"101, 102\"\n",
		"Type description,Count\nM_Fixed window:2800mm x 2410mm,2\n",
		"Label,Kind,Width,Height\nWindow - 9 Patio,window,70,82\nWindow - 9 Patio,window,70,80\n",
		"Mark;Width;Height\nW1;2,5;3\n",
		"Mark,RO width,RO height\r\r\nW1,38,5,62\rW2,38,62\n",
		"No.,Type,Qty per floor,Total,RO width,RO height\n1,window,2,4,38,62\n2,window,,1,38,62\n",
		"Mark,Qty,Count,Number,RO width,RO height\nW1,2,3,1,38,62\nW2,,3,2,38,62\n",
		"Mark,Width,Height,Width,Height\nW1,1e999,NaN,-1,999999999999\n",
		"windows\nMark,H x W (m)\nW1,1.2 x 0.9\nLevel 2\nW2,0.6x0.6\nTotal\n",
	} {
		f.Add(text, uint8(0), uint8(0))
		f.Add(text, uint8(1), uint8(3))
	}
	f.Fuzz(func(t *testing.T, text string, basis, units uint8) {
		b, said := sheet.Parse("windows.csv", []byte(text))
		if b == nil {
			return
		}
		options := Options{Basis: Basis(basis % 3), Units: measure.Unit(units % 6)}
		soundResult(t, []*sheet.Book{b}, options, said)
	})
}

// FuzzCOBie does the same with the two sheets of a COBie workbook.
func FuzzCOBie(f *testing.F) {
	f.Add("Name,Category,Description,ExtObject,NominalLength,NominalWidth,NominalHeight,Size\nA,Windows,,IfcWindowStyle,0.9,0,1.2,900x1200\nD,Doors,Flush:0762 x 2032mm,IfcDoorStyle,0,0,0,Size\n",
		"Name,TypeName,Space,Description,ExtObject\nA1,A,101,,\nA2,A ,\"101,102\",Fixed:900mm x 1500mm,\nD1,D,\"101, Site\",,\nX,Y,,,IfcWindow\n", uint8(1), uint8(0))
	f.Add("Name,NominalLength,NominalWidth,NominalHeight\nwindow,NaN,-1,1e300\nwindow,1,1,1\n", "Name,TypeName\n1,window\n", uint8(2), uint8(3))
	f.Fuzz(func(t *testing.T, types, components string, basis, units uint8) {
		book := &sheet.Book{File: "house.xlsx"}
		var said []estimate.Problem
		for _, s := range [][2]string{{"Type", types}, {"Component", components}} {
			b, problems := sheet.Parse("x.csv", []byte(s[1]))
			if b == nil {
				return
			}
			said = append(said, problems...)
			b.Sheets[0].Name = s[0]
			book.Sheets = append(book.Sheets, b.Sheets[0])
		}
		soundResult(t, []*sheet.Book{book}, Options{Basis: Basis(basis % 3), Units: measure.Unit(units % 6)}, said)
	})
}

// soundResult holds what is read against what it may be; said is what opening the
// books had to say: a cell that it refused is not told again.
func soundResult(t *testing.T, books []*sheet.Book, options Options, said []estimate.Problem) {
	t.Helper()
	r, ps := Read(books, options)
	counted(t, r)
	marks := map[string]bool{}
	for _, o := range r.Openings {
		key := markKey(o.Mark)
		assert.NotEmpty(t, key)
		assert.False(t, marks[key], "mark %q twice", o.Mark)
		marks[key] = true
		assert.Contains(t, estimate.Kinds, string(o.Kind))
		assert.Positive(t, o.Qty)
		assert.True(t, o.Frame.Known() || o.Rough.Known() || o.Call != "", "%s has no size", o.Mark)
		for _, s := range []estimate.Size{o.Frame, o.Rough} {
			if s != (estimate.Size{}) {
				assert.True(t, s.W >= smallestSide && s.H >= smallestSide && s.W <= largestSide && s.H <= largestSide, "%s is %v", o.Mark, s)
			}
		}
	}
	if r.Refused > 0 {
		assert.Positive(t, estimate.Errors(ps)+estimate.Errors(said), "what is refused is said")
	}
}

// FuzzSize reads one cell of sizes: nothing panics, and what is read is an
// opening's.
func FuzzSize(f *testing.F) {
	for _, text := range []string{`3'-0" x 5'-0"`, "3050 SH", "0762 x 2032mm", "2/8 x 6/8", "16 x 7 OHD", "36\"w x 48\"h",
		"1500 × 2100 stud 1620 × 2110", "", "x", "9999999999 x 1", "1/0 x 2/0", "′ × ″", "3⁰6⁸", "35 ¹/₂ x 59²"} {
		f.Add(text, uint8(0))
	}
	f.Fuzz(func(t *testing.T, text string, unit uint8) {
		r, err := readCell(text, measure.Unit(unit%6), false)
		if err == nil && r.call == "" {
			assert.True(t, r.W >= smallestSide && r.H >= smallestSide, "%q is %s", text, r)
		}
		_, _ = cutPair(text, false, false)
	})
}
