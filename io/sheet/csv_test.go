package sheet

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func utf16Bytes(s string, bigEndian bool) []byte {
	out := []byte{0xFF, 0xFE}
	if bigEndian {
		out = []byte{0xFE, 0xFF}
	}
	for _, u := range utf16.Encode([]rune(s)) {
		if bigEndian {
			out = append(out, byte(u>>8), byte(u))
		} else {
			out = append(out, byte(u), byte(u>>8))
		}
	}
	return out
}

// records lists a CSV sheet as "line:field|field".
func records(s *Sheet) []string {
	var out []string
	for _, row := range s.Rows {
		var fields []string
		for _, c := range row {
			fields = append(fields, c.Text)
		}
		out = append(out, fmt.Sprintf("%d:%s", row[0].Place.Row, strings.Join(fields, "|")))
	}
	return out
}

func TestCSV(t *testing.T) {
	for _, tt := range []struct {
		why  string
		data string
		want []string
	}{
		{"plain", "Mark,Qty\nW1,2\n", []string{"1:Mark|Qty", "2:W1|2"}},
		{"no line end at the end", "Mark,Qty\nW1,2", []string{"1:Mark|Qty", "2:W1|2"}},
		{"UTF-8 byte order mark and CRLF", "\xEF\xBB\xBFMark,Qty\r\nW1,2\r\n", []string{"1:Mark|Qty", "2:W1|2"}},
		{"UTF-16 little endian, as 'Unicode text'", string(utf16Bytes("Mark\tW\r\nW½\t3′\r\n", false)), []string{"1:Mark|W", "2:W½|3′"}},
		{"UTF-16 big endian", string(utf16Bytes("Mark,W\nW1,3\n", true)), []string{"1:Mark|W", "2:W1|3"}},
		{"line ends of carriage returns alone", "Mark,Qty\rW1,2\r\rW2,3", []string{"1:Mark|Qty", "2:W1|2", "4:W2|3"}},
		{"returns alone beside whole line ends", "Mark,Qty\r\nW1,2\rW2,3\r\nW3,4\n", []string{"1:Mark|Qty", "2:W1|2", "3:W2|3", "4:W3|4"}},
		{"two returns and a line feed are one line's end", "Mark,Qty\r\r\nW1,2\r\r\nW2,3\r\r\n", []string{"1:Mark|Qty", "2:W1|2", "3:W2|3"}},
		{"a return at the very end", "Mark,Qty\nW1,2\r", []string{"1:Mark|Qty", "2:W1|2"}},
		{"a return before and behind a line feed", "Mark,Qty\n\rW1,2\n\rW2,3", []string{"1:Mark|Qty", "3:W1|2", "5:W2|3"}},
		{"returns alone inside quotation marks", "Mark,Text\rW1,\"two\rlines\"\rW2,x\r", []string{"1:Mark|Text", "2:W1|two\nlines", "4:W2|x"}},
		{"whole line ends inside quotation marks", "Mark,Text\r\nW1,\"a\r\nb\r\nc\"\r\nW2,x\r\n", []string{"1:Mark|Text", "2:W1|a\nb\nc", "5:W2|x"}},
		{"UTF-16 with returns alone", string(utf16Bytes("Mark,W\rW1,3\rW2,4", true)), []string{"1:Mark|W", "2:W1|3", "3:W2|4"}},
		{"semicolons with decimal commas", "Mark;W;H\nW1;36,5;48,5\nW2;30,5;40,5\n", []string{"1:Mark|W|H", "2:W1|36,5|48,5", "3:W2|30,5|40,5"}},
		{"tabs, with an empty field", "Mark\tW\tH\nW1\t\t48\n", []string{"1:Mark|W|H", "2:W1||48"}},
		{"commas with a title and semicolons in the notes", "Windows, second floor\nMark,W,Notes\nW1,36,\"a; b\"\nW2,36,c; d\n",
			[]string{"1:Windows|second floor", "2:Mark|W|Notes", "3:W1|36|a; b", "4:W2|36|c; d"}},
		{"semicolons under a title with commas", "Job 4, Elm, north\nMark;W\nW1;36\nW2;38\n", []string{"1:Job 4, Elm, north", "2:Mark|W", "3:W1|36", "4:W2|38"}},
		{"a delimiter directive is line 1", "sep=;\nMark;W\nW1;36\n", []string{"2:Mark|W", "3:W1|36"}},
		{"inch and foot marks bare", "Mark,Text\nW1,36\" door\nW2,3'-0\"\n", []string{"1:Mark|Text", `2:W1|36" door`, `3:W2|3'-0"`}},
		{"inch mark doubled inside quotation marks", "Mark,Text\nW1,\"36\"\" door\"\n", []string{"1:Mark|Text", `2:W1|36" door`}},
		{"blank after the comma", "Mark, \"Text, long\"\nW1, 3\n", []string{"1:Mark|Text, long", "2:W1|3"}},
		{"line break inside quotation marks: physical lines", "Mark,Text\nW1,\"two\nlines\"\nW2,x\n", []string{"1:Mark|Text", "2:W1|two\nlines", "4:W2|x"}},
		{"blank lines keep the count", "Mark,Text\n\n\nW1,x\n", []string{"1:Mark|Text", "4:W1|x"}},
		{"formula guard undone, but not an apostrophe of the text", "Mark,Text\nW1,'=1+1\nW2,'-5\nW3,'tis\nW4,'\n",
			[]string{"1:Mark|Text", "2:W1|=1+1", "3:W2|-5", "4:W3|'tis", "5:W4|'"}},
		{"one column", "Mark\nW1\n", []string{"1:Mark", "2:W1"}},
		{"ragged", "Mark,W,H\nW1\nW2,3,4,5\n", []string{"1:Mark|W|H", "2:W1", "3:W2|3|4|5"}},
	} {
		t.Run(tt.why, func(t *testing.T) {
			book, ps := Parse("dir/prices.csv", []byte(tt.data))
			require.NotNil(t, book, "%v", ps)
			assert.Empty(t, ps)
			require.Len(t, book.Sheets, 1)
			assert.Equal(t, tt.want, records(book.Sheets[0]))
			for _, row := range book.Sheets[0].Rows {
				for _, c := range row {
					assert.Equal(t, c.Text != "", c.Kind == Text)
					assert.Equal(t, "prices.csv", c.Place.File)
				}
			}
		})
	}
}

// A quotation mark that is not closed swallows the lines after it; only its
// own line may be lost, and never in silence.
func TestUnclosedQuote(t *testing.T) {
	for _, tt := range []struct {
		why  string
		data string
		want []string
		ps   []string
	}{
		{"swallows to the end", "Mark,W\n\nW1,\"36\nW2,38\nW3,40\n", []string{"1:Mark|W", "3:W1|36", "4:W2|38", "5:W3|40"},
			[]string{`p.csv: line 3: a quotation mark is opened and not closed in "W1,\"36" (close it, or write the mark twice inside quotation marks)`}},
		{"closed by the next line's", "Mark,W\n\"36 door,2\n\"38 door\",3\nW3,4\n", []string{"1:Mark|W", "2:36 door,2", "3:38 door|3", "4:W3|4"},
			[]string{`p.csv: line 2: a quotation mark is opened and not closed in "\"36 door,2" (close it, or write the mark twice inside quotation marks)`}},
		{"on the last line", "Mark,W\nW1,\"36", []string{"1:Mark|W", "2:W1|36"},
			[]string{`p.csv: line 2: a quotation mark is opened and not closed in "W1,\"36" (close it, or write the mark twice inside quotation marks)`}},
		{"a bare mark on the last line is fine", "Mark,W\nW1,36\"", []string{"1:Mark|W", "2:W1|36\""}, nil},
	} {
		t.Run(tt.why, func(t *testing.T) {
			book, ps := Parse("p.csv", []byte(tt.data))
			require.NotNil(t, book)
			assert.Equal(t, tt.want, records(book.Sheets[0]))
			assert.ElementsMatch(t, tt.ps, lines(ps))
		})
	}
	assert.Contains(t, refused(t, "p.csv", []byte("a,b\n"+strings.Repeat("\"x\n", 50))), "too many quotation marks")
}

func TestCSVLimits(t *testing.T) {
	for _, tt := range []struct{ why, data, want string }{
		{"too wide", "a" + strings.Repeat(",a", maxCols), "p.csv: line 1: the line has more than 512 fields"},
		{"too many cells", strings.Repeat("1,2,3,4,5,6,7,8,9,10\n", maxCells/10+1), "p.csv: the file has more than 500,000 filled cells"},
		{"too many blanks", "a,b\n" + strings.Repeat(strings.Repeat(",", 500)+"\n", maxGrid/500), "too wide an area"},
	} {
		t.Run(tt.why, func(t *testing.T) { assert.Contains(t, refused(t, "p.csv", []byte(tt.data)), tt.want) })
	}
}

// Bytes that are no text cost their cell, not the file.
func TestCSVBadText(t *testing.T) {
	long := strings.Repeat("a", maxText+1)
	book, ps := Parse("p.csv", []byte("Mark,Notes\nW1,a\x00b\nW2,36 \xBD\nW3,"+long+"\nW4,fine\n"))
	require.NotNil(t, book)
	assert.Empty(t, ps)
	table, ps := book.Sheets[0].Table([]Column{{Key: "Mark", Required: true}, {Key: "Notes"}})
	want := []string{
		`p.csv: line 2, Notes: "a\x00b" holds a control character (type the text again)`,
		"p.csv: line 3, Notes: \"36 \uFFFD\" holds bytes that are not UTF-8 text (save the file as CSV UTF-8 and check this cell)",
		`p.csv: line 4, Notes: the text beginning "` + long[:40] + `"... is longer than 32,767 characters (shorten it; in a CSV file look for a quotation mark that is not closed)`,
	}
	assert.Equal(t, want, lines(ps))
	var again []string
	for _, r := range table.Rows {
		if p, bad := r.Cell("Notes").Refuse(); bad {
			again = append(again, p.String())
			assert.Contains(t, ps, p, "the same words, so that they are printed once")
		}
	}
	assert.Equal(t, want, again)
}

func TestGuardCSV(t *testing.T) {
	for _, tt := range []struct{ why, text, want string }{
		{"formula (OWASP)", "=1+1", "'=1+1"},
		{"plus (OWASP)", "+1", "'+1"},
		{"minus (OWASP)", "-1", "'-1"},
		{"at (OWASP)", "@SUM(A1)", "'@SUM(A1)"},
		{"tab (OWASP)", "\t=1", "'\t=1"},
		{"carriage return (OWASP)", "\r=1", "'\r=1"},
		{"plain", "W1", "W1"},
		{"empty", "", ""},
		{"sign inside", "3-6", "3-6"},
	} {
		t.Run(tt.why, func(t *testing.T) {
			assert.Equal(t, tt.want, GuardCSV(tt.text))
			assert.Equal(t, tt.text, unguard(GuardCSV(tt.text)), "reading gives it back")
		})
	}
}
