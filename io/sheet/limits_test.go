package sheet

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What would fill the memory is refused while it is read, not after.
func TestBuiltToFillTheMemory(t *testing.T) {
	long := strings.Repeat("W", maxToken+10_000)
	cell := func(text string) string {
		return data(`<row r="1"><c r="A1" t="inlineStr"><is><t>` + text + `</t></is></c></row>`)
	}
	styles := func(inner string) part {
		return part{"xl/styles.xml", `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + inner + `</styleSheet>`}
	}
	shared := part{"xl/sharedStrings.xml", stringsHead + `<si><t>` + strings.Repeat("W", maxText) + `</t></si></sst>`}
	for _, c := range []struct {
		shows string
		parts []part
		want  string
	}{
		{"one text", minimal(cell(long)), "Openings: a text or comment in it is longer than 1 MB"},
		{"one text of many pieces", minimal(cell(strings.Repeat("W<!---->", maxToken/2) + "W" + long[:maxToken/2])), "Openings: a text or comment in it is longer than 1 MB"},
		{"one comment", minimal(data(oneCell) + "<!--" + long + "-->"), "Openings: a text or comment in it is longer than 1 MB"},
		{"one attribute", minimal(`<sheetPr codeName="` + long + `"/>` + data(oneCell)), "Openings: a text or comment in it is longer than 1 MB"},
		{"one shared text", minimal(data(oneCell), part{"xl/sharedStrings.xml", stringsHead + `<si><t>` + long + `</t></si></sst>`}), "a text or comment in it is longer than 1 MB"},
		{"a text that many cells share", minimal(data(strings.Repeat(`<row><c t="s"><v>0</v></c></row>`, maxTexts/maxText+1)), shared), "Openings: the texts of the workbook's cells come to more than 64 MB"},
		{"formats", minimal(data(oneCell), styles(strings.Repeat("<xf/>", maxFormats))), "far too many or too long cell formats"},
		{"a number format", minimal(data(oneCell), styles(`<numFmts><numFmt formatCode="`+strings.Repeat("[y", maxFormat)+`"/></numFmts>`)), "far too many or too long cell formats"},
		{"formats cut short", minimal(data(oneCell), part{"xl/styles.xml", `<styleSheet>`}), "the workbook's list of cell formats is damaged"},
	} {
		assert.Contains(t, refused(t, "job.xlsx", archived(t, c.parts...)), c.want, c.shows)
	}
	// Just within, all is read.
	s, ps := parsed(t, archived(t, minimal(data(strings.Repeat(`<row><c t="s"><v>0</v></c></row>`, 100)), shared, styles(`<cellXfs><xf/></cellXfs>`))...))
	assert.Empty(t, ps)
	assert.Len(t, s.Rows, 100)
}

// What nobody reads is not handed to the library, however large it is.
func TestOnlyWhatIsNeededIsUnpacked(t *testing.T) {
	whole := minimal(data(oneCell), part{"xl/media/image1.png", "picture"}, part{"xl/calcChain.xml", "<broken"}, part{"xl/theme/theme1.xml", "<broken"}, part{"docProps/core.xml", "<broken"})
	s, ps := parsed(t, archived(t, whole...))
	assert.Empty(t, ps)
	assert.Equal(t, "A1=36", shown(s))
}

func TestLongLines(t *testing.T) {
	const head = "Mark,Kind\n"
	for _, c := range []struct{ shows, text, want string }{
		{"a line that is no row", head + strings.Repeat("W", maxRecord+10_000), "job.csv: line 2: the line is too long for a row of a table"},
		{"commas without end", head + "\n" + strings.Repeat(",", maxRecord+10_000), "job.csv: line 3: the line is too long for a row of a table"},
	} {
		assert.Contains(t, refused(t, "job.csv", []byte(c.text)), c.want, c.shows)
	}
	// A quotation mark that swallows more than a record may have is that of its
	// own line; blank lines without end are none at all.
	book, ps := Parse("job.csv", []byte(head+"W1,\"window\n"+strings.Repeat("W2,window\n", maxRecord/5)))
	require.NotNil(t, book)
	assert.Equal(t, []string{`job.csv: line 2: a quotation mark is opened and not closed in "W1,\"window" (close it, or write the mark twice inside quotation marks)`}, lines(ps))
	assert.Len(t, book.Sheets[0].Rows, 2+maxRecord/5)

	gap := strings.Repeat("\r\n", maxRecord)
	book, ps = Parse("job.csv", []byte(head+gap+"W1,window\n"+gap+gap+"W2,door\n"))
	require.NotNil(t, book)
	assert.Empty(t, ps)
	require.Len(t, book.Sheets[0].Rows, 3)
	assert.Equal(t, 2+maxRecord, book.Sheets[0].Rows[1][0].Place.Row)
	assert.Equal(t, 3+3*maxRecord, book.Sheets[0].Rows[2][0].Place.Row)
}

func TestUTF16Pairs(t *testing.T) {
	book, _ := Parse("job.csv", utf16Bytes("Mark,🪟\n", true))
	require.NotNil(t, book)
	assert.Equal(t, "🪟", book.Sheets[0].Rows[0][1].Text)
	book, _ = Parse("job.csv", []byte("\xFE\xFF\xD8\x3E\x00,\x00a"))
	require.NotNil(t, book)
	_, bad := book.Sheets[0].Rows[0][0].Refuse()
	assert.True(t, bad, "half a pair is no letter")
}

func TestGuardWideForms(t *testing.T) {
	for _, text := range []string{"=1", "+1", "-x", "@a", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠a"} {
		guarded := GuardCSV(text)
		assert.Equal(t, "'"+text, guarded)
		assert.Equal(t, text, unguard(guarded))
	}
	for _, text := range []string{"", "W1", "'W1", "é=1"} {
		assert.Equal(t, text, GuardCSV(text))
		assert.Equal(t, text, unguard(text))
	}
}

// A workbook that is large for what nobody reads is read without being held, from a file as from
// bytes; what is damaged in such parts is not looked at, and neither counts towards a limit.
func TestLargeWorkbookOfWhichLittleIsRead(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range append(minimal(data(oneCell)), part{"xl/media/image1.png", strings.Repeat("picture ", MaxFile/8+1)}) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Store})
		require.NoError(t, err)
		_, err = w.Write([]byte(p.text))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	damaged := bytes.Replace(b.Bytes(), []byte("picture picture"), []byte("picture Picture"), 1)
	require.Greater(t, len(damaged), MaxFile)
	file := filepath.Join(t.TempDir(), "job.xlsx")
	require.NoError(t, os.WriteFile(file, damaged, 0o600))
	fromFile, ps := Open(file)
	assert.Empty(t, ps)
	require.NotNil(t, fromFile)
	fromBytes, ps := Parse("job.xlsx", damaged)
	assert.Empty(t, ps)
	assert.Equal(t, fromBytes, fromFile)
	assert.Equal(t, "A1=36", shown(fromFile.Sheets[0]))

	// A text of that size is no workbook.
	require.NoError(t, os.WriteFile(file, bytes.Repeat([]byte("W1,36\n"), MaxFile/6+1), 0o600))
	_, ps = Open(file)
	assert.Equal(t, []string{"job.xlsx: the file is larger than 50 MB (take out pictures and sheets that are not needed)"}, lines(ps))
}
