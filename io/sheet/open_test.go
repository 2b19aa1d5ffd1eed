package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

const oneCell = `<row r="1"><c r="A1"><v>36</v></c></row>`

func compound(entry string) []byte {
	return append(append([]byte(compoundStart), make([]byte, 600)...), utf16LE(entry)...)
}

// Each kind of file that is not read must be called by its name: the library's
// own words for most of them are "zip: not a valid zip file" or "EOF".
func TestRefusedByName(t *testing.T) {
	ods := func() []byte {
		return archived(t, part{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"}, part{"content.xml", "<x/>"})
	}
	for _, tt := range []struct {
		what string
		data []byte
		want string
	}{
		{"nothing in it", nil, "the file is empty"},
		{"password: the directory names EncryptedPackage", compound("EncryptedPackage"), "locked with a password"},
		{"old .xls, directory names Workbook", compound("Workbook"), "old .xls kind"},
		{"older .xls, directory names Book", compound("Book"), "old .xls kind"},
		{"old word processor's file", compound("WordDocument"), "word processor's text"},
		{"compound file of something else", compound("Movie"), "holds no workbook"},
		{"ods renamed", ods(), "OpenDocument spreadsheet (.ods)"},
		{"odt renamed", archived(t, part{"mimetype", "application/vnd.oasis.opendocument.text"}), "a document, not a workbook"},
		{"binary workbook", archived(t, part{"xl/workbook.bin", "x"}), "binary workbook (.xlsb)"},
		{"text document", archived(t, part{"word/document.xml", "<x/>"}), "word processor's text"},
		{"plain zip", archived(t, part{"readme.txt", "x"}), "zip archive without a workbook"},
		{"zip with no entry", archived(t), "empty zip archive"},
		{"web page saved as .xls", []byte("\xEF\xBB\xBF\r\n <HTML><table>"), "a web page"},
		{"web page with doctype", []byte("<!DOCTYPE html><html>"), "a web page"},
		{"XML spreadsheet of 2003", []byte(`<?xml version="1.0"?><Workbook/>`), "an XML file"},
		{"PDF", []byte("%PDF-1.7"), "a PDF"},
		{"picture", []byte("\x89PNG\r\n\x1a\n"), "a picture"},
		{"binary", bytes.Repeat([]byte{0, 1, 2, 'a'}, 50), "neither a workbook nor a CSV"},
		{"more than 50 MB", make([]byte, MaxFile+1), "larger than 50 MB"},
	} {
		t.Run(tt.what, func(t *testing.T) {
			assert.Contains(t, refused(t, "dir/job.xlsx", tt.data), tt.want)
			assert.True(t, strings.HasPrefix(refused(t, "dir/job.xlsx", tt.data), "job.xlsx: "))
		})
	}
}

func TestOpenPaths(t *testing.T) {
	dir := t.TempDir()
	for _, tt := range []struct{ what, path, want string }{
		{"missing", filepath.Join(dir, "none.xlsx"), "none.xlsx: there is no file"},
		{"folder", dir, "is a folder"},
		{"device", os.DevNull, "is not an ordinary file"},
	} {
		t.Run(tt.what, func(t *testing.T) {
			book, ps := Open(tt.path)
			require.Nil(t, book)
			require.Len(t, ps, 1)
			assert.Contains(t, ps[0].String(), tt.want)
			assert.NotEmpty(t, ps[0].Do)
		})
	}
	path := filepath.Join(dir, "a workbook.csv") // content counts, not the name
	require.NoError(t, os.WriteFile(path, saved(t, filled(t, []any{"Mark"})), 0o600))
	book, ps := Open(path)
	require.NotNil(t, book)
	assert.Empty(t, ps)
	assert.Equal(t, "a workbook.csv", book.File)
	assert.Equal(t, "a workbook.csv: Openings!A1", book.Sheet(" OPEN ings").Rows[0][0].Place.String())
	assert.Nil(t, book.Sheet("Prices"))
}

// Damage that the library accepts in silence, or reads in part.
func TestDamaged(t *testing.T) {
	whole := archived(t, minimal(data(oneCell))...)
	require.NotNil(t, first(Parse("job.xlsx", whole)))
	numbers := make([][]any, 3000)
	for i := range numbers {
		numbers[i] = []any{fmt.Sprintf("W%d", i), 36.5, 48.25}
	}
	big := saved(t, filled(t, numbers...))
	member := bytes.Index(big, []byte("xl/worksheets/sheet1.xml"))
	require.Positive(t, member)
	flipped := bytes.Clone(big)
	for i := range 40 {
		flipped[member+200+i*7] ^= 0x55
	}
	sheet := func(inner string, more ...part) []byte { return archived(t, minimal(inner, more...)...) }
	texts := part{"xl/sharedStrings.xml", stringsHead + `<si><t>W1</t></si></sst>`}
	for _, tt := range []struct {
		what string
		data []byte
		want string
	}{
		{"cut after half", whole[:len(whole)/2], "cut short or damaged"},
		{"cut after the signature", whole[:4], "cut short or damaged"},
		{"last byte missing", whole[:len(whole)-1], "cut short or damaged"},
		{"40 bytes flipped inside the sheet's compressed data", flipped, `part "xl/worksheets/sheet1.xml" is not what was saved`},
		{"one digit changed, checksum wrong", bytes.Replace(stored(t, minimal(data(oneCell)), nil), []byte("<v>36<"), []byte("<v>63<"), 1),
			`part "xl/worksheets/sheet1.xml" is not what was saved`},
		{"declared smaller than it is", stored(t, minimal(data(oneCell)), func(h *zip.FileHeader) { h.UncompressedSize64 /= 2 }), "is not what was saved"},
		{"member locked with a password", stored(t, minimal(data(oneCell)), func(h *zip.FileHeader) { h.Flags |= 1 }), "is not what was saved"},
		{"two parts of one name", archived(t, append(minimal(data(oneCell)), part{"xl/worksheets/sheet1.xml", sheetHead + data() + "</worksheet>"})...),
			"has two parts"},
		{"two parts of one name in other case", archived(t, append(minimal(data(oneCell)), part{`XL\worksheets\Sheet1.xml`, "x"})...), "has two parts"},
		{"declared 3 GB", stored(t, append(minimal(data(oneCell)), part{"docProps/a.png", "x"}), func(h *zip.FileHeader) {
			if h.Name == "docProps/a.png" {
				h.UncompressedSize64 = 3 << 30
			}
		}), "more than 256 MB"},
		{"too many parts", archived(t, append(minimal(data(oneCell)), many(MaxParts)...)...), fmt.Sprintf("%d parts, more than %d", MaxParts+5, MaxParts)},
		{"sheet XML cut", sheet("", part{"xl/worksheets/sheet1.xml", sheetHead + "<sheetData>" + oneCell}), "Openings: the sheet is damaged"},
		{"entity bomb", sheet("", part{"xl/worksheets/sheet1.xml", `<!DOCTYPE x [<!ENTITY a "aaaa">]>` + sheetHead + data(`<row r="1"><c r="A1" t="str"><v>&a;</v></c></row>`) + "</worksheet>"}),
			"Openings: the sheet is damaged"},
		{"unknown entity", sheet(data(`<row r="1"><c r="A1" t="str"><v>&a;</v></c></row>`)), "Openings: the sheet is damaged"},
		{"not UTF-8", sheet(data("<row r=\"1\"><c r=\"A1\" t=\"str\"><v>\xff</v></c></row>")), "Openings: the sheet is damaged"},
		{"nested too deep", sheet(strings.Repeat("<a>", 200) + strings.Repeat("</a>", 200)), "Openings: the sheet is damaged"},
		{"bad cell name", sheet(data(`<row r="1"><c r="1A"><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"column beyond XFD", sheet(data(`<row r="1"><c r="ZZZZ1"><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"row beyond the last", sheet(data(`<row r="1048577"><c><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"cell of another row", sheet(data(`<row r="1"><c r="A2"><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"cells out of order", sheet(data(`<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>2</v></c></row>`)), "Openings: the sheet is damaged"},
		{"a cell twice", sheet(data(`<row r="1"><c r="B1"><v>1</v></c><c r="B1"><v>2</v></c></row>`)), "Openings: the sheet is damaged"},
		{"rows out of order", sheet(data(`<row r="2"/><row r="1"/>`)), "Openings: the sheet is damaged"},
		{"row outside the data", sheet(oneCell + data()), "Openings: the sheet is damaged"},
		{"second data section", sheet(data(oneCell) + data(`<row r="2"><c r="A2"><v>7</v></c></row>`)), ""},
		{"text index beyond the list", sheet(data(`<row r="1"><c r="A1" t="s"><v>1</v></c></row>`), texts), "Openings: the sheet is damaged"},
		{"text index negative", sheet(data(`<row r="1"><c r="A1" t="s"><v>-1</v></c></row>`), texts), "Openings: the sheet is damaged"},
		{"text index of letters", sheet(data(`<row r="1"><c r="A1" t="s"><v>x</v></c></row>`), texts), "Openings: the sheet is damaged"},
		{"list of texts cut", sheet(data(oneCell), part{"xl/sharedStrings.xml", stringsHead}), "list of texts is damaged"},
		{"unknown type of cell", sheet(data(`<row r="1"><c r="A1" t="zz"><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"style of letters", sheet(data(`<row r="1"><c r="A1" s="x"><v>1</v></c></row>`)), "Openings: the sheet is damaged"},
		{"value in a place that is none", sheet(data(`<row r="1"><c r="A1"><is><t>1</t></is></c></row>`)), "Openings: the sheet is damaged"},
		{"date of letters", sheet(data(`<row r="1"><c r="A1" t="d"><v>soon</v></c></row>`)), "Openings: the sheet is damaged"},
		{"merged area upside down", sheet(data(oneCell) + `<mergeCells><mergeCell ref="B2:A1"/></mergeCells>`), "Openings: the sheet is damaged"},
		{"merged area of letters", sheet(data(oneCell) + `<mergeCells><mergeCell ref="x"/></mergeCells>`), "Openings: the sheet is damaged"},
		{"columns of letters", sheet(`<cols><col min="a" max="b"/></cols>` + data(oneCell)), "Openings: the sheet is damaged"},
		{"workbook part cut", sheet(data(oneCell), part{"xl/workbook.xml", "<workbook>"}), `part "xl/workbook.xml" of the workbook is damaged`},
		{"no sheet part", archived(t, minimal(data())[:4]...), "Openings: the sheet is damaged"},
		{"no relations", archived(t, minimal(data(), part{"xl/_rels/workbook.xml.rels", "<Relationships/>"})...), "Openings: the sheet is damaged"},
		{"no workbook part", archived(t, minimal(data())[:2]...), "zip archive without a workbook"},
		{"no sheet listed", sheet(data(), part{"xl/workbook.xml", "<workbook><sheets/></workbook>"}), "no worksheet"},
		{"two sheets of one name", sheet(data(), part{"xl/workbook.xml", `<workbook><sheets><sheet name="A" id="rId1"/><sheet name="a" id="rId1"/></sheets></workbook>`}), "two sheets"},
		{"apostrophe before a sheet name", sheet(data(), part{"xl/workbook.xml", `<workbook><sheets><sheet name="'A" id="rId1"/></sheets></workbook>`}), "apostrophe"},
		{"too many cells", sheet("<sheetData>" + strings.Repeat("<row>"+strings.Repeat("<c><v>1</v></c>", 100)+"</row>", maxCells/100+1) + "</sheetData>"), "more than 500,000 filled cells"},
		{"few cells, far apart", sheet("<sheetData>" + farRows(maxGrid/400+1) + "</sheetData>"),
			"the workbook's cells are spread over too wide an area (clear what stands far to the right or below the tables)"},
	} {
		t.Run(tt.what, func(t *testing.T) {
			if tt.want == "" {
				s, _ := parsed(t, tt.data)
				assert.Len(t, s.Rows, 1, "what stands after the data is not data")
				return
			}
			assert.Contains(t, refused(t, "job.xlsx", tt.data), tt.want)
		})
	}
}

func first(b *Book, _ any) *Book { return b }

func many(n int) []part {
	ps := make([]part, n)
	for i := range ps {
		ps[i] = part{fmt.Sprintf("xl/media/%d.png", i), ""}
	}
	return ps
}

func farRows(n int) string {
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, `<row r="%d"><c r="OJ%d"><v>1</v></c></row>`, i, i) // OJ is column 400
	}
	return b.String()
}

// Rows and cells without their names are legal; both readings must count them
// alike.
func TestUnnamedCells(t *testing.T) {
	s, _ := parsed(t, archived(t, minimal(data(
		`<row><c><v>1</v></c><c/><c r="D1"><v>2</v></c><c><v>3</v></c></row>`,
		`<row r="4"><c r="b4"><v>4</v></c></row>`,
		`<row><c><v>5</v></c></row>`))...))
	assert.Equal(t, "A1=1 D1=2 E1=3 B4=4 A5=5", shown(s))
}

// shown lists a sheet's cells that are not empty.
func shown(s *Sheet) string {
	var out []string
	for _, row := range s.Rows {
		for _, c := range row {
			if c.Kind != Empty {
				out = append(out, position(c)+"="+c.Text)
			}
		}
	}
	return strings.Join(out, " ")
}

func TestFarAndBelow(t *testing.T) {
	s, ps := parsed(t, archived(t, minimal(data(
		`<row r="1"><c r="A1"><v>1</v></c><c r="XFD1"><v>9</v></c></row>`,
		`<row r="501"><c r="A501"><v>2</v></c></row>`, // 499 blank rows above
		`<row r="1002"><c r="A1002"><v>3</v></c></row>`,
		`<row r="1048576"><c r="A1048576"><v>4</v></c></row>`))...))
	assert.Equal(t, "A1=1 A501=2", shown(s))
	assert.Equal(t, []string{
		"job.xlsx: Openings!XFD1: warning: cells right of column 512 are not read (clear them, or move them to the left)",
		"job.xlsx: Openings!A1002: warning: rows from here on are not read, because more than 500 blank rows stand above them (clear them, or move them up)",
	}, ps)
}

// A million formatted blank rows under the table are common; they must cost
// neither memory nor an error.
func TestFormattedBlankRows(t *testing.T) {
	var b strings.Builder
	for i := 2; i <= 1_000_000; i++ {
		fmt.Fprintf(&b, `<row r="%d" s="1" hidden="1"><c r="A%d" s="1"/></row>`, i, i)
	}
	book := archived(t, minimal(data(oneCell, b.String()))...)
	b.Reset()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	s, ps := parsed(t, book)
	runtime.GC()
	runtime.ReadMemStats(&after)
	assert.Empty(t, ps)
	assert.Len(t, s.Rows, 1)
	assert.Empty(t, s.HiddenRows)
	assert.Less(t, int64(after.HeapAlloc)-int64(before.HeapAlloc), int64(16<<20), "a million cells would be 100 MB")
	runtime.KeepAlive(book)
}

// A sheet that nobody wants may be as large or as broken as it likes.
func TestOpenSheets(t *testing.T) {
	f := filled(t, []any{"Mark"})
	_, err := f.NewSheet("Takeoff")
	require.NoError(t, err)
	require.NoError(t, f.SetCellFormula("Takeoff", "A1", "1+1"))
	book, ps := ParseSheets("job.xlsx", saved(t, f), func(name string) bool { return name == "Openings" })
	require.NotNil(t, book)
	assert.Empty(t, ps)
	require.Len(t, book.Sheets, 2)
	assert.False(t, book.Sheets[0].Skipped)
	assert.True(t, book.Sheets[1].Skipped)
	assert.Nil(t, book.Sheets[1].Rows)
}

func TestRemarks(t *testing.T) {
	linked := minimal(data(`<row r="1"><c r="A1"><f>SUM(Table1[Qty])</f><v>3</v></c><c r="B1"><f>[1]Prices!$B$2</f><v>4</v></c><c r="C1"><f>[1]Prices!$B$3</f><v>5</v></c></row>`),
		part{"xl/externalLinks/externalLink1.xml", "<externalLink/>"}, part{"xl/vbaProject.bin", "x"})
	s, ps := parsed(t, archived(t, linked...))
	assert.Equal(t, []string{
		"job.xlsx: note: the workbook's macros are ignored",
		"job.xlsx: Openings!B1: warning: values from other files are taken as last stored (open the workbook together with those files and save it if they have changed)",
	}, ps)
	assert.Equal(t, 4.0, s.Rows[0][1].Number)
	assert.True(t, s.Rows[0][1].Formula)
}

func TestChartSheetIsPassedOver(t *testing.T) {
	f := filled(t, []any{"Mark"})
	require.NoError(t, f.AddChartSheet("Chart", &excelize.Chart{Type: excelize.Col,
		Series: []excelize.ChartSeries{{Values: "Openings!$A$1"}}}))
	book, _ := Parse("job.xlsx", saved(t, f))
	require.NotNil(t, book)
	assert.Len(t, book.Sheets, 1)
}

// BenchmarkParse reads 3,000 openings of 30 columns.
func BenchmarkParse(b *testing.B) {
	rows := make([][]any, 3000)
	for r := range rows {
		rows[r] = make([]any, 30)
		for c := range rows[r] {
			rows[r][c] = float64(r) + 0.5
			if c%3 == 0 {
				rows[r][c] = fmt.Sprintf("W%d-%d", r, c)
			}
		}
	}
	book := saved(b, filled(b, rows...))
	for b.Loop() {
		if got, _ := Parse("job.xlsx", book); got == nil {
			b.Fatal("not read")
		}
	}
}
