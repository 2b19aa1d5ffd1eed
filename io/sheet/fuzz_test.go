package sheet

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzParse holds for any bytes: no panic; a book or an error that says what
// to do; the same answer twice; every cell at its own place.
func FuzzParse(f *testing.F) {
	for _, seed := range [][]byte{
		nil,
		[]byte("Mark,Kind\nW1,window\n"),
		[]byte("\xEF\xBB\xBFMark;Kind\r\n\"W\n1\";36\" x\r\n"),
		[]byte("Mark,Kind,Qty (ea)\r\r\nW1,\"a\rb\",3\rW2,window,2,5\n\rW3,window,1"),
		[]byte("sep=\t\nMark\tKind\rW1\t\"a"),
		utf16Bytes("Mark,Kind\nW1,½", true),
		compound("EncryptedPackage"),
		[]byte("<html>"),
		archived(f, minimal(data(oneCell))...),
		stored(f, minimal(data(`<row r="2"><c r="A2" t="s"><v>0</v></c><c r="C2" s="1"><f>[1]a!B2</f><v>3</v></c></row>`)+`<mergeCells><mergeCell ref="A2:B2"/></mergeCells>`,
			part{"xl/sharedStrings.xml", stringsHead + `<si><t>W1</t></si></sst>`}), nil),
		[]byte(`<row r="1"><c r="A1" t="inlineStr"><is><r><rPr><strike/></rPr><t>3</t></r><r><rPr><vertAlign val="superscript"/></rPr><t>0</t></r></is></c></row>`),
		archived(f, minimal(data(`<row r="1"><c r="A1" t="s"><v>0</v></c></row>`), part{"xl/sharedStrings.xml",
			stringsHead + `<si><r><t>3</t></r><r><rPr><vertAlign val="superscript"/></rPr><t>0</t></r><rPh><t>a</t></rPh></si></sst>`})...),
		saved(f, filled(f, []any{"Mark", "Kind"}, []any{"W1", 3.5}, []any{true})),
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		checkParse(t, b)
		// The XML inside an archive is out of a fuzzer's reach: a checksum
		// stands before it.
		if len(b) < 10_000 {
			checkParse(t, archived(t, minimal(data(string(b)))...))
		}
	})
}

func checkParse(t *testing.T, b []byte) {
	book, ps := Parse("x", b)
	again, ps2 := Parse("x", b)
	require.Equal(t, lines(ps), lines(ps2))
	require.Equal(t, book == nil, again == nil)
	if book == nil {
		require.Len(t, ps, 1)
		require.NotEmpty(t, ps[0].What)
		require.NotEmpty(t, ps[0].Do)
		return
	}
	for _, s := range book.Sheets {
		line := 0
		for i, row := range s.Rows {
			for j, c := range row {
				require.Equal(t, j+1, c.Place.Col)
				require.GreaterOrEqual(t, c.Place.Row, line)
				if s.Name != "" {
					require.Equal(t, i+1, c.Place.Row)
				}
				line = c.Place.Row
			}
		}
		table, _ := s.Table(openings)
		for _, r := range table.Rows {
			require.False(t, r.Cell("Mark").Merged)
			r.Extra()
		}
	}
}

// FuzzNearest holds for any words: what is suggested is known, and a word that
// is known is its own suggestion.
func FuzzNearest(f *testing.F) {
	f.Add("widnow", "window\nentry door")
	f.Add("", "")
	f.Add("Frame widht (mm)", "Frame width\nFrame height")
	f.Add("\xff½", "½\n\xff")
	f.Add("000", "000\n00 0")
	f.Fuzz(func(t *testing.T, word, list string) {
		known := strings.Split(list, "\n")
		near, ok := Nearest(word, known)
		assert.Equal(t, ok, near != "")
		if ok {
			assert.True(t, slices.Contains(known, near))
		}
		FoldHeader(word)
		for _, k := range known {
			fold := strings.ToLower(foldSpace(k))
			if n := len([]rune(fold)); n == 0 || n > maxWord {
				continue
			}
			same, found := Nearest(k, known)
			assert.True(t, found)
			assert.Equal(t, fold, strings.ToLower(foldSpace(same)))
		}
	})
}
