//go:build linux

package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"strings"
	"syscall"
	"testing"
	"text/tabwriter"
	"time"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/audit"
)

// maxMemory is what no input may make the program need, in kB.
const maxMemory = 512 << 10

// piece is a part of an archive: its head, its body so many times, its tail.
type piece struct {
	name             string
	head, body, tail string
	times            int
}

func whole(name, text string) piece { return piece{name: name, head: text} }

// book is a workbook written by hand: the body of its one sheet, Openings, and
// parts that are added or stand in for others.
func book(sheet piece, more ...piece) []piece {
	const (
		relType  = `Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/`
		relHead  = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
		mainHead = ` xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	)
	sheet.name = "xl/worksheets/sheet1.xml"
	sheet.head = `<worksheet` + mainHead + `>` + sheet.head
	sheet.tail += `</worksheet>`
	parts := []piece{
		whole("[Content_Types].xml",
			`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`),
		whole("_rels/.rels", relHead+`<Relationship Id="rId1" `+relType+`officeDocument" Target="xl/workbook.xml"/></Relationships>`),
		whole("xl/workbook.xml",
			`<workbook`+mainHead+` xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>`+
				`<sheet name="Openings" sheetId="1" r:id="rId1"/></sheets></workbook>`),
		whole("xl/_rels/workbook.xml.rels", relHead+`<Relationship Id="rId1" `+relType+`worksheet" Target="worksheets/sheet1.xml"/></Relationships>`),
		sheet,
	}
	for _, m := range more {
		added := true
		for i := range parts {
			if parts[i].name == m.name {
				parts[i], added = m, false
			}
		}
		if added {
			parts = append(parts, m)
		}
	}
	return parts
}

// zipped writes an archive to a file without ever holding a part.
func zipped(t testing.TB, name string, parts ...piece) {
	t.Helper()
	f, err := os.Create(name)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	z := zip.NewWriter(f)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
	for _, p := range parts {
		w, err := z.Create(p.name)
		require.NoError(t, err)
		repeated(t, w, p)
	}
	require.NoError(t, z.Close())
}

// repeated writes a piece in steps of some size.
func repeated(t testing.TB, w io.Writer, p piece) {
	t.Helper()
	_, err := io.WriteString(w, p.head)
	require.NoError(t, err)
	step := max(1, min(p.times, 1<<16/max(1, len(p.body))))
	chunk := strings.Repeat(p.body, step)
	left := p.times
	for ; left >= step; left -= step {
		_, err = io.WriteString(w, chunk)
		require.NoError(t, err)
	}
	_, err = io.WriteString(w, chunk[:left*len(p.body)]+p.tail)
	require.NoError(t, err)
}

// pouredOut writes a file of a piece.
func pouredOut(t testing.TB, name string, p piece) {
	t.Helper()
	f, err := os.Create(name)
	require.NoError(t, err)
	repeated(t, f, p)
	require.NoError(t, f.Close())
}

// cells is a row of a sheet whose cells hold their texts.
func cells(row int, texts ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<row r="%d">`, row)
	for i, text := range texts {
		fmt.Fprintf(&b, `<c r="%c%d" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, 'A'+i, row, text)
	}
	return b.String() + `</row>`
}

// window is the sheet of one window, as much of it as is always the same.
var window = cells(1, "Mark", "Kind", "Frame width", "Frame height", "Supplied by", "Notes") + cells(2, "W1", "window", "36", "60", "owner", "as drawn")

// saved is a sound workbook of one window.
func saved(t testing.TB, options ...excelize.Options) []byte {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Openings"))
	for i, row := range [][]any{{"Mark", "Kind", "Frame width", "Frame height", "Supplied by"}, {"W1", "window", 36.5, 60, "owner"}} {
		require.NoError(t, f.SetSheetRow("Openings", fmt.Sprintf("A%d", i+1), &row))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, options...))
	return b.Bytes()
}

func compound(entry string) string {
	b := bytes.NewBufferString("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1" + strings.Repeat("\x00", 1024))
	for _, u := range utf16.Encode([]rune(entry)) {
		_ = binary.Write(b, binary.LittleEndian, u)
	}
	return b.String()
}

// hostileFile is a file that nobody should send, and what is to become of it.
type hostileFile struct {
	shows string
	name  string // of the file
	make  func(t testing.TB, name string)
	args  string // "" for estimate
	code  int
	says  string // in what is printed
}

// hostile are such files. Every one is called x and lies alone with a sound price list;
// args are a call of the program.
var hostile = []hostileFile{
	{"nothing in it", "x.xlsx", text(""), "", exitNothing, "x.xlsx: error: the file is empty"},
	{"a workbook cut in half", "x.xlsx", func(t testing.TB, name string) { b := saved(t); write(t, name, string(b[:len(b)/2])) }, "", exitNothing,
		"x.xlsx: error: the workbook is cut short or damaged"},
	{"a workbook without its last byte", "x.xlsx", func(t testing.TB, name string) { b := saved(t); write(t, name, string(b[:len(b)-1])) }, "", exitNothing,
		"x.xlsx: error: the workbook is cut short or damaged"},
	{"one bit of a sheet flipped", "x.xlsx", flipped, "", exitNothing, "x.xlsx: error: the workbook is damaged: its part"},
	{"noise behind the mark of an archive", "x.xlsx", text("PK\x03\x04 and then noise"), "", exitNothing, "x.xlsx: error: the workbook is cut short or damaged"},
	{"a sheet of 1.5 GB in 1.5 MB", "x.xlsx", parts(book(piece{body: " ", times: 1_500_000_000})), "", exitNothing,
		"x.xlsx: error: the workbook unpacks to more than"},
	{"a picture of 1.5 GB in 1.5 MB", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`}, piece{name: "xl/media/image1.png", body: "\x00", times: 1_500_000_000})), "",
		exitOK, "x-estimate.xlsx"},
	{"a part of 1.5 GB in 1.5 MB that is no picture", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`}, piece{name: "docProps/app.xml", body: "\x00", times: 1_500_000_000})), "",
		exitNothing, "x.xlsx: error: the workbook unpacks to more than"},
	{"a sheet that says it is small", "x.xlsx", lying, "", exitNothing, "x.xlsx: error: the workbook is damaged: its part"},
	{"a sheet of blanks just within the limit", "x.xlsx", parts(book(piece{head: `<sheetData>` + window + `</sheetData>`, body: " ", times: within})), "",
		exitNothing, "x.xlsx: Openings: error: a text or comment in it is longer than 1 MB"},
	{"a sheet of comments just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`, body: "<!-- -->", times: within / 8})), "", exitOK, "x-estimate.xlsx"},
	{"a comment just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData><!--`, body: " ", tail: "-->", times: within})), "", exitNothing,
		"x.xlsx: Openings: error: a text or comment in it is longer than 1 MB"},
	{"a picture just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`}, piece{name: "xl/media/image1.png", body: "\x00", times: within})), "", exitOK,
		"x-estimate.xlsx"},
	{"a text of a cell just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="3"><c r="A3" t="inlineStr"><is><t>`, body: "W", times: within,
			tail: `</t></is></c></row></sheetData>`})), "", exitNothing, "x.xlsx: Openings: error: a text or comment in it is longer than 1 MB"},
	{"a text of a cell in 100 MB of pieces", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="3"><c r="A3" t="inlineStr"><is><t>`, body: "W<!-- -->", times: within / 9,
			tail: `</t></is></c></row></sheetData>`})), "", exitNothing, "x.xlsx: Openings: error: a text or comment in it is longer than 1 MB"},
	{"one text of 32,767 letters in 100,000 cells", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window, body: `<row><c t="s"><v>0</v></c></row>`, times: 100_000, tail: `</sheetData>`},
			whole("xl/sharedStrings.xml", sharedHead+"<si><t>"+strings.Repeat("W", 32_767)+"</t></si></sst>"))), "", exitNothing,
		"x.xlsx: Openings: error: the texts of the workbook's cells come to more than 64 MB"},
	{"a shared text just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`},
			piece{name: "xl/sharedStrings.xml", head: sharedHead + "<si><t>", body: "W", times: within, tail: "</t></si></sst>"})), "", exitNothing,
		"x.xlsx: error: a text or comment in it is longer than 1 MB"},
	{"a million shared texts", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`},
			piece{name: "xl/sharedStrings.xml", head: sharedHead, body: "<si><t>W</t></si>", times: 1_000_000, tail: "</sst>"})), "", exitOK,
		"x-estimate.xlsx"},
	{"more than a million shared texts", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`},
			piece{name: "xl/sharedStrings.xml", head: sharedHead, body: "<si/>", times: 1_000_001, tail: "</sst>"})), "", exitNothing,
		"x.xlsx: error: the workbook holds more than 1000000 texts"},
	{"styles just within the limit", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="3"><c r="A3" s="1"><v>3</v></c></row></sheetData>`},
			piece{name: "xl/styles.xml", head: `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs>`, body: `<xf/>`,
				times: within / 5, tail: "</cellXfs></styleSheet>"})), "", exitNothing, "x.xlsx: error: the workbook has far too many or too long cell formats"},
	{"a number format of a megabyte", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="3"><c r="A3" s="1"><v>3</v></c></row></sheetData>`},
			piece{name: "xl/styles.xml",
				head: `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="1"><numFmt numFmtId="200" formatCode="`,
				body: `[y`, times: 500_000, tail: `"/></numFmts><cellXfs count="2"><xf/><xf numFmtId="200" applyNumberFormat="1"/></cellXfs>` +
					`</styleSheet>`})), "",
		exitNothing, "x.xlsx: error: the workbook has far too many or too long cell formats"},
	{"30,000 dates, each of a format of its own", "x.xlsx", styled, "", exitIncomplete, "x-estimate.xlsx"},
	{"half a million filled cells", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window, body: "<row>" + strings.Repeat("<c><v>1</v></c>", 50) + "</row>", times: 9_990,
			tail: "</sheetData>"})), "", exitIncomplete, "x-estimate.xlsx"},
	{"more than half a million filled cells", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window, body: "<row>" + strings.Repeat("<c><v>1</v></c>", 50) + "</row>", times: 10_010,
			tail: "</sheetData>"})), "", exitNothing, "x.xlsx: Openings: error: the workbook has more than 500,000 filled cells"},
	{"a million blank rows with formats", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window, body: `<row s="1" customFormat="1" ht="15"><c s="1"/><c s="1"/><c s="1"/></row>`, times: 1_000_000,
			tail: "</sheetData>"})), "", exitOK, "x-estimate.xlsx"},
	{"more rows than a sheet has", "x.xlsx", parts(book(piece{head: `<sheetData>` + window, body: `<row/>`, times: 1_100_000, tail: "</sheetData>"})), "",
		exitNothing, "x.xlsx: Openings: error: the sheet is damaged"},
	{"row 1,000,000,000", "x.xlsx", parts(book(piece{head: `<sheetData>` + window + `<row r="1000000000"><c><v>1</v></c></row></sheetData>`})), "",
		exitNothing, "x.xlsx: Openings: error: the sheet is damaged"},
	{"a value in the last cell", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>`})), "", exitOK,
		"x.xlsx: Openings!XFD1048576: warning"},
	{"20,000 merged areas over the whole sheet", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData><mergeCells>`, body: `<mergeCell ref="A3:XFD1048576"/>`, times: 20_000,
			tail: "</mergeCells>"})), "check", exitOK, "x.xlsx: 1 opening"},
	{"4,500,000 merged areas right of the table", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData><mergeCells>`, body: `<mergeCell ref="Z3:AA3"/>`, times: 4_500_000,
			tail: "</mergeCells>"})), "check", exitNothing, "x.xlsx: Openings: error: the sheet has more than 50,000 merged areas"},
	{"30,000,000 elements", "x.xlsx", parts(book(piece{head: `<sheetData>` + window + `</sheetData>`, body: `<a/>`, times: 30_000_000})), "check",
		exitNothing, "x.xlsx: Openings: error: it is built of more than 8,000,000 elements"},
	{"500 headers of 30,000 letters", "x.xlsx", savedSheets(tableOf{"Openings", [][]any{wideHeaders(500, strings.Repeat("W", 30_000)), {"W1", "window",
		36, 60, "owner"}}}),
		"check", exitOK, "301 notes more are not printed"},
	{"5,000 lengths on hand, a million of each", "x.xlsx", savedSheets(tableOf{"Openings", trimmed}, tableOf{"On hand", numberedRows([]any{"Item",
		"Length", "Count"}, 5_000,
		func(i int) []any { return []any{"board-1x4", 20 + float64(i)/32, 1_000_000} })}), "check", exitOK, "x.xlsx: 4 openings"},
	{"30,000 readings of marks that there are not", "x.xlsx",
		savedSheets(tableOf{"Openings", trimmed}, tableOf{"Field measurements", numberedRows([]any{"Mark", "Piece", "Width 1"}, 30_000,
			func(i int) []any { return []any{fmt.Sprintf("X%d", i), 1, 36} })}), "check", exitIncomplete, "(30000 rows)"},
	{"entities that grow tenfold, ten times", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + cells(1, "&lol9;") + `</sheetData>`}, whole("xl/worksheets/sheet1.xml", laughs()))), "", exitNothing,
		"x.xlsx: Openings: error: the sheet is damaged"},
	{"an entity that reads a file", "x.xlsx",
		parts(book(piece{}, whole("xl/worksheets/sheet1.xml",
			`<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY e SYSTEM "file:///etc/passwd">]><worksheet><sheetData><row><c t="inlineStr"><is>`+
				`<t>&e;</t></is></c></row></sheetData></worksheet>`))), "", exitNothing, "x.xlsx: Openings: error: the sheet is damaged"},
	{"an entity in the workbook part", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`},
			whole("xl/workbook.xml", `<!DOCTYPE workbook [<!ENTITY e "Openings">]><workbook><sheets><sheet name="&e;" id="rId1"/></sheets></workbook>`))), "",
		exitNothing, "x.xlsx: error: the part \"xl/workbook.xml\" of the workbook is damaged"},
	{"elements 100,000 deep", "x.xlsx", parts(book(piece{head: `<sheetData>` + window + `</sheetData>`, body: "<a>", times: 100_000})), "", exitNothing,
		"x.xlsx: Openings: error: the sheet is damaged"},
	{"a value from another file", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `<row r="3"><c r="F3" t="str"><f>[1]Prices!B2</f><v>far</v></c></row></sheetData>`},
			whole("xl/externalLinks/externalLink1.xml", "<externalLink/>"))), "check", exitOK,
		"x.xlsx: Openings!F3: warning: values from other files are taken as last stored"},
	{"macros", "x.xlsm", parts(book(piece{head: `<sheetData>` + window + `</sheetData>`}, whole("xl/vbaProject.bin", compound("VBA")))), "", exitOK,
		"x.xlsm: note: the workbook's macros are ignored"},
	{"locked with a password", "x.xlsx", func(t testing.TB, name string) {
		write(t, name, string(saved(t, excelize.Options{Password: "secret"})))
	}, "", exitNothing, "x.xlsx: error: the workbook is locked with a password"},
	{"an old .xls called .xlsx", "x.xlsx", text(compound("Workbook")), "", exitNothing, "x.xlsx: error: this is a workbook of the old .xls kind"},
	{"an .ods called .xlsx", "x.xlsx", parts([]piece{whole("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), whole("content.xml", "<x/>")}), "",
		exitNothing, "x.xlsx: error: this is an OpenDocument spreadsheet"},
	{"CSV called .xlsx", "x.xlsx", text(oneWindow), "", exitOK, "x-estimate.xlsx"},
	{"a workbook called .csv", "x.csv", func(t testing.TB, name string) { write(t, name, string(saved(t))) }, "", exitOK, "x-estimate.xlsx"},
	{"a web page called .xls", "x.xls", text("<html><table><tr><td>Mark</td></tr></table></html>"), "", exitNothing, "x.xls: error: this is a web page"},
	{"a PDF", "x.pdf", text("%PDF-1.7"), "", exitNothing, "x.pdf: error: this is a PDF"},
	{"an archive of another kind", "x.zip", parts([]piece{whole("readme.txt", "x")}), "", exitNothing, "x.zip: error: this is a zip archive without a workbook"},
	{"10,000 parts", "x.xlsx", manyParts, "", exitNothing, "x.xlsx: error: the workbook has 10004 parts"},
	{"a list of 60,000 sheets", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + `</sheetData>`},
			piece{name: "xl/workbook.xml", head: `<workbook><sheets>`, body: `<sheet name="Openings" r:id="rId1"/>`, times: 60_000,
				tail: `</sheets></workbook>`})), "", exitNothing, "x.xlsx: error: the workbook has two sheets called"},
	{"a sheet outside the archive", "x.xlsx",
		parts(book(piece{}, whole("xl/_rels/workbook.xml.rels",
			`<Relationships><Relationship Id="rId1" Type="x/worksheet" Target="../../../../etc/passwd"/></Relationships>`))), "", exitNothing,
		"x.xlsx: Openings: error: the sheet is damaged"},
	{"a workbook that is its own sheet", "x.xlsx",
		parts(book(piece{}, whole("xl/_rels/workbook.xml.rels",
			`<Relationships><Relationship Id="rId1" Type="x/worksheet" Target="workbook.xml"/></Relationships>`))), "", exitNothing, "x.xlsx: error: "},
	{"an empty device", "/dev/null", nothing, "", exitNothing, "null: error: \"/dev/null\" is not an ordinary file"},
	{"an endless device", "/dev/zero", nothing, "", exitNothing, "zero: error: \"/dev/zero\" is not an ordinary file"},
	{"a pipe that nobody fills", "x.xlsx", func(t testing.TB, name string) { require.NoError(t, syscall.Mkfifo(name, 0o600)) }, "", exitNothing,
		"x.xlsx: error: \"x.xlsx\" is not an ordinary file"},
	{"a link to itself", "x.xlsx", func(t testing.TB, name string) { require.NoError(t, os.Symlink(name, name)) }, "", exitNothing,
		"x.xlsx: error: \"x.xlsx\" cannot be read"},
	{"60 MB of text", "x.csv", poured(piece{body: "W1,window,36,60\n", times: 60 << 20 / 16}), "", exitNothing, "x.csv: error: the file is larger than 50 MB"},
	{"one field of 49 MB", "x.csv", poured(piece{head: "Mark,Kind\n", body: "W", times: 49 << 20}), "", exitNothing,
		"x.csv: line 2: error: the line is too long for a row of a table"},
	{"49 MB of commas", "x.csv", poured(piece{head: oneWindow, body: ",", times: 49 << 20}), "", exitNothing,
		"x.csv: line 3: error: the line is too long for a row of a table"},
	{"20 MB of blank lines, then a row", "x.csv", poured(piece{head: oneWindow, body: "\n", times: 20 << 20, tail: "W2,window,36,60,owner\n"}), "", exitOK,
		"x-estimate.xlsx"},
	{"25 million lines of one comma", "x.csv", poured(piece{head: oneWindow, body: ",\n", times: 24 << 20}), "", exitNothing,
		"x.csv: error: the workbook's cells are spread over too wide an area"},
	{"25 million lines of one letter", "x.csv", poured(piece{head: oneWindow, body: "a\n", times: 24 << 20}), "", exitNothing,
		"x.csv: error: the file has more than 500,000 filled cells"},
	{"49 MB of quotation marks", "x.csv", poured(piece{head: oneWindow, body: `"`, times: 49 << 20}), "", exitNothing,
		"x.csv: line 3: error: the line is too long for a row of a table"},
	{"a quotation mark opened on every line", "x.csv", poured(piece{head: oneWindow, body: "W,\"a\n", times: 8 << 20}), "", exitNothing,
		"x.csv: line 14: error: too many quotation marks are opened"},
	{"a quotation mark opened and 40 MB behind it", "x.csv", poured(piece{head: oneWindow + `W2,"window`, body: "\nW3,window,36,60", times: 40 << 16}), "",
		exitNothing, "x.csv: error: the file has more than 500,000 filled cells"},
	{"a quotation mark opened before 2 MB of blank lines", "x.csv",
		poured(piece{head: "Mark,Kind,Frame width,Frame height,Supplied by\n",
			tail: manyRows(300, "W%d,window,%d,60,owner\n") + "W999,window,36,60,\"owner" + strings.Repeat("\n", 2<<20)}), "check", exitIncomplete,
		"x.csv: line 302: error: a quotation mark is opened and not closed"},
	{"49 MB of UTF-16", "x.csv", poured(piece{head: "\xFF\xFE", body: "W\x001\x00,\x00\n\x00", times: 49 << 17}), "", exitNothing,
		"x.csv: error: the file has more than 500,000 filled cells"},
	{"half of its bytes no text", "x.csv", text(strings.Repeat("\x00\x01ab", 3000)), "", exitNothing, "x.csv: error: this is neither a workbook nor a CSV file"},
	{"UTF-16, cut within a letter", "x.csv", text("\xFF\xFEM\x00a\x00r\x00k\x00,"), "", exitNothing, "x.csv: line 1"},
	{"9999 windows in each of 2,000 rows", "x.csv",
		poured(piece{head: "Mark,Kind,Qty,Frame width,Frame height,Supplied by\n", body: "", times: 0,
			tail: manyRows(2000, "W%d,window,9999,%d,60,owner\n")}), "", exitNothing, "x.csv: error: it asks for 19998000 openings, more than 50000"},
	{"sizes that no number holds", "x.csv",
		text("Mark,Kind,Qty,Frame width,Frame height\nW1,window,1,1e308,60\nW2,window,1,1e999,60\nW3,window,1,-0,60\n" +
			"W4,window,99999999999999999999,36,60\nW5,window,1,0x24,60\nW6,window,1,1/0,60\n" +
			"W7,window,1,9223372036854775807,60\n"), "", exitIncomplete, "x.csv: lines 2, 3 (2 rows), Frame width: error"},
	{"pieces a billion times", "x.csv", text("length,count\n1/64,1000000000\n84,999999999\n"), "cut x.csv --stock stock.csv", exitNothing,
		"x.csv: lines 2, 3 (2 rows), count: error: \"1000000000\" (and 1 other) is more than 1,000,000"},
	{"a million of the smallest pieces", "x.csv", text("length,count\n1/64,999999\n"), "cut x.csv --stock stock.csv --kerf 0", exitOK, "result boards="},
	{"pieces of 190 lengths", "x.csv", poured(piece{head: "length,count\n", tail: manyRows(190, "%d.5 mm,7%d\n")}), "cut x.csv --stock stock.csv --units mm",
		exitOK, "result boards="},
	{"pieces on 1,000 stock lengths", "x.csv", poured(piece{head: "length,count\n", tail: manyRows(40, "%d.5,%d\n")}), "cut x.csv --stock lengths.csv",
		exitOK, "proven=true"},
	{"a price list of 100,000 rows", "x.csv",
		poured(piece{head: "supplier,item,content,unit,price,currency\n", tail: manyRows(100_000, "Yard %d,shim,1 each,pack,%d.99,USD\n")}),
		"check good.csv --prices x.csv", exitNothing, "x.csv: error: the file has more than 500,000 filled cells"},
	{"a price list of 300 suppliers", "x.csv",
		poured(piece{head: "supplier,item,content,unit,price,currency\n", tail: manyRows(300, "Yard %d,shim,1 each,pack,%d.99,USD\n")}),
		"check good.csv --prices x.csv", exitNothing, "good.csv: error: it buys from 300 suppliers, more than 24"},
	{"a price list of 24 suppliers", "x.csv",
		poured(piece{head: "supplier,item,content,unit,price,currency\n", tail: manyRows(24, "Yard %d,shim,1 each,pack,%d.99,USD\n")}),
		"check good.csv --prices x.csv", exitIncomplete, "good.csv: 1 opening"},
	{"999 windows in each of five rows", "x.csv", text("Mark,Kind,Qty,Frame width,Frame height,Supplied by\n" + manyRows(5, "W%d,window,999,%d,60,owner\n")),
		"check x.csv", exitOK, "x.csv: 4995 openings"},
	{"a copy of half a million cells, 9990 of them wrong", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window, body: "<row>" + strings.Repeat("<c><v>1</v></c>", 50) + "</row>", times: 9_990,
			tail: "</sheetData>"})), "check x.xlsx --marked", exitIncomplete, "x.xlsx: 2000 cells marked in x-marked.xlsx; 28013 cells more not marked"},
	{"a copy of 96,000 fields, most of them wrong", "x.csv", poured(piece{head: "Mark,Kind,Frame width\n", body: "W1,porthole,1\n", times: 32_000}),
		"check x.csv --marked", exitIncomplete, "x.csv: 2000 cells marked in x-marked.xlsx"},
	{"a copy of a million blank rows with formats", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + cells(3, "W2", "porthole"), body: `<row/>`, times: 1_000_000, tail: "</sheetData>"})),
		"check x.xlsx --marked", exitIncomplete, "x.xlsx: 1 cell marked in x-marked.xlsx"},
	{"a copy of 100,000 blank rows with numbers and formats", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + cells(3, "W2", "porthole") + numbered(100_000, `<row r="%d" ht="12"/>`), tail: "</sheetData>"},
			plainStyles)), "check x.xlsx --marked", exitIncomplete, "x.xlsx: 1 cell marked in x-marked.xlsx"},
	{"a copy of 600,000 blank cells with formats", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + cells(3, "W2", "porthole"),
			body: numbered(6_000, `<row r="%d">`+strings.Repeat(`<c s="0"/>`, 100)+`</row>`), times: 1, tail: "</sheetData>"}, plainStyles)),
		"check x.xlsx --marked", exitIncomplete, "x.xlsx: 1 cell marked in x-marked.xlsx"},
	{"a copy of a workbook with macros", "x.xlsm",
		parts(book(piece{head: `<sheetData>` + window + cells(3, "W2", "porthole") + `</sheetData>`}, whole("xl/vbaProject.bin", compound("VBA")))),
		"check x.xlsm --marked", exitIncomplete, "it holds values and marks only, since the file has macros"},
	{"a copy of a sheet whose notes are noise", "x.xlsx",
		parts(book(piece{head: `<sheetData>` + window + cells(3, "W2", "porthole") + `</sheetData><legacyDrawing r:id="rId9"/>`},
			whole("xl/comments1.xml", "<comments><commentList><comment ref="),
			whole("xl/worksheets/_rels/sheet1.xml.rels",
				`<Relationships><Relationship Id="rId8" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/comments" `+
					`Target="../comments1.xml"/></Relationships>`))), "check x.xlsx --marked", exitIncomplete,
		"x.xlsx: 1 cell marked in x-marked.xlsx; it holds values and marks only"},
	{"a list of 5,000 rows to import", "x.csv", poured(piece{head: "Mark,Qty,Width (in),Height (in)\n", tail: manyRows(5_000, "W%d,%d,36,60\n")}),
		"import x.csv --basis frame", exitNothing, "0 openings taken"},
}

// tableOf is a sheet of a workbook: its name and its rows.
type tableOf struct {
	name string
	rows [][]any
}

// trimmed is the sheet Openings of some windows with trim.
var trimmed = [][]any{{"Mark", "Kind", "Qty", "Frame width", "Frame height", "Supplied by", "Flange", "Status"},
	{"W1", "window", 4, 35.5, 59.5, "owner", "integral", "set"}}

// wideHeaders is the headers of a window and behind them others, each numbered.
func wideHeaders(n int, word string) []any {
	row := []any{"Mark", "Kind", "Frame width", "Frame height", "Supplied by"}
	for i := range n {
		row = append(row, fmt.Sprintf("%s %d", word, i))
	}
	return row
}

// numberedRows is a table of so many rows below its headers.
func numberedRows(headers []any, n int, row func(i int) []any) [][]any {
	rows := [][]any{headers}
	for i := range n {
		rows = append(rows, row(i))
	}
	return rows
}

// savedSheets writes a workbook of these sheets.
func savedSheets(tables ...tableOf) func(testing.TB, string) {
	return func(t testing.TB, name string) {
		f := excelize.NewFile()
		for i, x := range tables {
			if i == 0 {
				require.NoError(t, f.SetSheetName("Sheet1", x.name))
			} else {
				_, err := f.NewSheet(x.name)
				require.NoError(t, err)
			}
			w, err := f.NewStreamWriter(x.name)
			require.NoError(t, err)
			for row, cells := range x.rows {
				require.NoError(t, w.SetRow(fmt.Sprintf("A%d", row+1), cells))
			}
			require.NoError(t, w.Flush())
		}
		require.NoError(t, f.SaveAs(name))
	}
}

// within is a size that is still unpacked.
const within = 120_000_000

var plainStyles = whole("xl/styles.xml",
	`<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="1"><font><sz val="11"/>`+
		`<name val="Liberation Sans"/></font></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1">`+
		`<xf/></cellStyleXfs><cellXfs count="1"><xf/></cellXfs></styleSheet>`)

const sharedHead = `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`

func text(data string) func(testing.TB, string) {
	return func(t testing.TB, name string) { write(t, name, data) }
}

func parts(ps []piece) func(testing.TB, string) {
	return func(t testing.TB, name string) { zipped(t, name, ps...) }
}

func poured(p piece) func(testing.TB, string) {
	return func(t testing.TB, name string) { pouredOut(t, name, p) }
}

func nothing(testing.TB, string) {}

// manyRows writes so many lines, numbered twice.
func manyRows(n int, line string) string {
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, line, i, i%60+20)
	}
	return b.String()
}

// numbered writes rows of a sheet from 4 on.
func numbered(n int, row string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, row, i+4)
	}
	return b.String()
}

// flipped changes one bit of a sheet that is stored as it is.
func flipped(t testing.TB, name string) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range book(piece{head: `<sheetData>` + window + `</sheetData>`}) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Store})
		require.NoError(t, err)
		repeated(t, w, p)
	}
	require.NoError(t, z.Close())
	data := b.String()
	at := strings.Index(data, ">36<")
	require.Positive(t, at)
	write(t, name, data[:at+1]+"2"+data[at+2:])
}

// lying declares a sheet of 300 MB to be of 10 bytes.
func lying(t testing.TB, name string) {
	zipped(t, name, book(piece{body: " ", times: 300_000_000})...)
	data := []byte(read(t, name))
	at := bytes.LastIndex(data, []byte("xl/worksheets/sheet1.xml")) - 46 // its entry in the central directory
	require.Equal(t, "PK\x01\x02", string(data[at:at+4]))
	binary.LittleEndian.PutUint32(data[at+24:], 10)
	write(t, name, string(data))
}

// styled is a sheet of cells of which each has a format of its own.
func styled(t testing.TB, name string) {
	var rows, formats strings.Builder
	for row := range 1_000 {
		rows.WriteString("<row>")
		for col := range 30 {
			fmt.Fprintf(&rows, `<c s="%d"><v>1</v></c>`, row*30+col)
			formats.WriteString(`<xf numFmtId="14" applyNumberFormat="1"/>`)
		}
		rows.WriteString("</row>")
	}
	zipped(t, name, book(piece{head: `<sheetData>` + window + rows.String() + `</sheetData>`},
		whole("xl/styles.xml",
			`<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs>`+formats.String()+`</cellXfs></styleSheet>`))...)
}

func manyParts(t testing.TB, name string) {
	ps := book(piece{head: `<sheetData>` + window + `</sheetData>`})
	for i := range 9_999 {
		ps = append(ps, whole(fmt.Sprintf("xl/media/%d.png", i), ""))
	}
	zipped(t, name, ps...)
}

func laughs() string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY lol0 "lol">`)
	for i := range 9 {
		fmt.Fprintf(&b, `<!ENTITY lol%d "%s">`, i+1, strings.Repeat(fmt.Sprintf("&lol%d;", i), 10))
	}
	return b.String() + `]><worksheet><sheetData><row><c t="inlineStr"><is><t>&lol9;</t></is></c></row></sheetData></worksheet>`
}

// TestHostileFiles wants each to cost its own job and nothing else: what is
// wrong is said with the file's name, memory stays bounded, nothing panics,
// and the estimate that was there stays whole. With -v it prints a table.
func TestHostileFiles(t *testing.T) {
	lines := make([][]string, len(hostile))
	before, own := anyEstimate(t), ownPrices(t)
	t.Run("each", func(t *testing.T) { // which waits for all
		for i, c := range hostile {
			t.Run(c.shows, func(t *testing.T) {
				t.Parallel()
				lines[i] = c.isHandled(t, before, own)
			})
		}
	})
	printed(t, lines)
}

// isHandled runs a case in a folder of its own and returns its line of the table.
// Before are the bytes of an estimate that is to stay where nothing can be read.
func (c hostileFile) isHandled(t *testing.T, before, own string) []string {
	dir := t.TempDir() + "/"
	write(t, dir+"own.csv", own)
	write(t, dir+"good.csv", oneWindow)
	write(t, dir+"stock.csv", "length,price\n192,14.40\n")
	write(t, dir+"lengths.csv", "length,price\n"+manyRows(1_000, "%d,1%d.90\n"))
	c.make(t, dir+c.name)
	args := strings.Fields(c.args)
	switch c.args {
	case "", "check":
		args = []string{"estimate", c.name, "--prices", "own.csv", "--out", "out", "--force"}
		write(t, dir+"out/x-estimate.xlsx", before)
		if c.args == "check" {
			args = []string{"check", c.name, "--prices", "own.csv"}
		}
	}
	m := processedIn(t, dir, nil, args...)
	line := []string{c.shows, fmt.Sprint(m.code), lineWith(m.ran, c.says), fmt.Sprintf("%.0f MB", float64(m.peak)/1024),
		m.time.Round(10 * time.Millisecond).String()}
	assert.Equal(t, c.code, m.code, "%s%s", m.stdout, shortened(m.stderr))
	assert.True(t, strings.Contains(m.stdout+m.stderr, c.says), "%q is not said: %s%s", c.says, m.stdout, shortened(m.stderr))
	assert.Less(t, m.peak, maxMemory, "kB")
	if c.code == exitNothing && c.args == "" {
		assert.True(t, before == read(t, dir+"out/x-estimate.xlsx"), "the estimate stays")
	}
	for _, f := range listing(t, dir) {
		if strings.HasSuffix(f, outputEnding) {
			assert.Empty(t, audit.Lint([]byte(read(t, f))))
		}
		assert.NotContains(t, f, ".tmp")
	}
	return line
}

// anyEstimate returns the bytes of an estimate.
func anyEstimate(t *testing.T) string {
	t.Helper()
	t.Chdir(t.TempDir())
	write(t, "any.csv", other)
	succeed(t, "estimate", "any.csv")
	return read(t, "any-estimate.xlsx")
}

// lineWith returns the line of what was printed that holds some words.
func lineWith(r ran, what string) string {
	for _, line := range strings.Split(r.stderr+r.stdout, "\n") {
		if strings.Contains(line, what) {
			return shortened(line)
		}
	}
	return ""
}

func shortened(s string) string {
	const most = 110
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return s
}

// printed shows a table of what became of each case.
func printed(t *testing.T, lines [][]string) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, l := range lines {
		fmt.Fprintln(w, strings.Join(l, "\t"))
	}
	require.NoError(t, w.Flush())
	t.Logf("%d cases: exit code, what is said, most memory, time\n%s", len(lines), b.String())
}
