package marked

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
)

const (
	mainSpace    = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relatedSpace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	strictMain   = "http://purl.oclc.org/ooxml/spreadsheetml/main"
	strictIDs    = "http://purl.oclc.org/ooxml/officeDocument/relationships"
)

// wrote is a workbook in the form in which some program writes it: a sheet of windows with
// widths, a frozen header, a list and a merged cell, behind another one.
type wrote struct {
	by               string // what is particular
	sheet            string // of the openings
	workbook, styles string // "" = usual ones
	rels             string // of the sheet
	others           map[string]string
	noStyles         bool
	main, related    string // namespaces, "" = usual ones
	ownNotes         int    // notes that are kept
}

const usualStyles = `<styleSheet xmlns="` + mainSpace + `"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>` +
	`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
	`<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
	`<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"><alignment wrapText="1"/></xf></cellXfs></styleSheet>`

const usualWorkbook = `<workbook xmlns="` + mainSpace + `" xmlns:r="` + relatedSpace + `"><bookViews><workbookView activeTab="1"/></bookViews>` +
	`<sheets><sheet name="Mine" sheetId="7" r:id="rId1"/><sheet name="Openings" sheetId="3" r:id="rId2"/></sheets>` +
	`<definedNames><definedName name="_xlnm.Print_Titles" localSheetId="1">Openings!$1:$1</definedName></definedNames></workbook>`

// The look of a sheet, before its rows and behind them.
const (
	before = `<sheetViews><sheetView tabSelected="1" workbookViewId="0">` +
		`<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>` +
		`<cols><col min="1" max="1" width="7.5" customWidth="1"/><col min="2" max="3" width="21.25" style="1" customWidth="1"/></cols>`
	behind = `<mergeCells count="1"><mergeCell ref="A9:C9"/></mergeCells><dataValidations count="1"><dataValidation type="list" sqref="B2:B9">` +
		`<formula1>"window,entry door"</formula1></dataValidation></dataValidations>` +
		`<pageMargins left="0.7" right="0.7" top="0.7" bottom="0.7" header="0.3" footer="0.3"/>`
)

func inline(cell, words string) string {
	return `<c r="` + cell + `" t="inlineStr"><is><t>` + words + `</t></is></c>`
}

var programs = []wrote{
	{by: "rows and cells that stand for themselves", sheet: `<worksheet xmlns="` + mainSpace + `">` + before + `<sheetData>` +
		`<row r="1">` + inline("A1", "Mark") + inline("B1", "Kind") + `</row><row r="2" spans="1:2">` + inline("A2", "W1") + inline("B2", "windw") + `</row>` +
		`</sheetData>` + behind + `</worksheet>`},
	{by: "indented, with blank rows and cells that have but a format", sheet: "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<worksheet xmlns=\"" + mainSpace +
		"\">\n  " + before + "\n  <sheetData>\n    <row r=\"1\" customHeight=\"1\" ht=\"23\">\n      " + inline("A1", "Mark") + "\n      " + inline("B1", "Kind") +
		"\n    </row>\n    <row r=\"2\" spans=\"1:2\">\n      " + inline("A2", "W1") +
		"\n      <c r=\"B2\" s=\"1\" t=\"inlineStr\">\n        <is>\n          <t>windw</t>\n        </is>\n      </c>\n      <c r=\"C2\" s=\"1\"/>\n    </row>\n    <row r=\"5\" ht=\"30\" spans=\"1:1\"/>\n  </sheetData>\n  " + behind + "\n</worksheet>\n"},
	{by: "rows and cells without numbers", sheet: `<worksheet xmlns="` + mainSpace + `">` + before + `<sheetData>` +
		`<row><c t="inlineStr"><is><t>Mark</t></is></c><c t="inlineStr"><is><t>Kind</t></is></c></row>` +
		`<row><c t="inlineStr"><is><t>W1</t></is></c><c t="inlineStr"><is><t>windw</t></is></c></row></sheetData>` + behind + `</worksheet>`},
	{by: "a prefix at every name", sheet: prefixed(`<worksheet xmlns="` + mainSpace + `">` + before + `<sheetData>` +
		`<row r="1">` + inline("A1", "Mark") + inline("B1", "Kind") + `</row><row r="2">` + inline("A2", "W1") + inline("B2", "windw") + `</row>` +
		`</sheetData>` + behind + `</worksheet>`), workbook: prefixed(usualWorkbook), styles: prefixed(usualStyles)},
	{by: "the strict edition of the format", sheet: `<worksheet xmlns="` + strictMain + `">` + before + `<sheetData>` +
		`<row r="1">` + inline("A1", "Mark") + inline("B1", "Kind") + `</row><row r="2">` + inline("A2", "W1") + inline("B2", "windw") + `</row>` +
		`</sheetData>` + behind + `</worksheet>`, main: strictMain, related: strictIDs},
	{by: "notes under other names and prefixes, and a namespace at each id", sheet: `<worksheet xmlns="` + mainSpace + `">` + before + `<sheetData>` +
		`<row r="1">` + inline("A1", "Mark") + inline("B1", "Kind") + `</row><row r="2">` + inline("A2", "W1") + inline("B2", "windw") + `</row>` +
		`</sheetData>` + behind + `<legacyDrawing xmlns:r="` + relatedSpace + `" r:id="anysvml"/><tableParts count="0"/></worksheet>`,
		workbook: `<workbook xmlns="` + mainSpace + `"><sheets><sheet xmlns:r="` + relatedSpace + `" name="Mine" sheetId="1" state="visible" r:id="rId1"/>` +
			`<sheet xmlns:r="` + relatedSpace + `" name="Openings" sheetId="2" state="visible" r:id="rId2"/></sheets></workbook>`,
		rels: `<Relationship Type="` + relatedSpace + `/comments" Target="/xl/comments/comment1.xml" Id="comments"/>` +
			`<Relationship Type="` + relatedSpace + `/vmlDrawing" Target="/xl/drawings/commentsDrawing1.vml" Id="anysvml"/>`,
		others: map[string]string{
			"xl/comments/comment1.xml": `<comments xmlns="` + mainSpace + `"><authors><author>builder</author></authors>` +
				`<commentList><comment ref="A2" authorId="0" shapeId="0"><text><t>over the sink</t></text></comment></commentList></comments>`,
			"xl/drawings/commentsDrawing1.vml": `<xml><ns0:shape xmlns:ns0="urn:schemas-microsoft-com:vml" id="_x0000_s0001" type="#_x0000_t202"/></xml>`,
		}, ownNotes: 1},
}

// A list of formats without any grows like another.
func TestMarkedWithoutFonts(t *testing.T) {
	w := wrote{styles: strings.Replace(usualStyles, `<fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>`, `<fonts count="0" />`, 1),
		sheet: `<worksheet xmlns="` + mainSpace + `"><sheetData><row r="1">` + inline("A1", "windw") + `</row></sheetData></worksheet>`}
	data := packed(t, w.book())
	book, _ := sheet.Parse("job.xlsx", data)
	m, err := Marked(data, book, []estimate.Problem{badCell("job.xlsx", "Openings", 1, 1, estimate.Error)})
	require.NoError(t, err)
	require.Empty(t, m.Lost)
	assert.Regexp(t, `<fonts count="4"\s*><font>.*</font></fonts>`, unpacked(t, m.Data)["xl/styles.xml"])
}

// Where there are no formats at all, those of the marks are the first.
func TestMarkedWithoutFormats(t *testing.T) {
	w := wrote{noStyles: true, sheet: `<worksheet xmlns="` + mainSpace + `"><sheetData><row r="1">` + inline("A1", "windw") + `</row></sheetData></worksheet>`}
	data := packed(t, w.book())
	book, _ := sheet.Parse("job.xlsx", data)
	m, err := Marked(data, book, []estimate.Problem{badCell("job.xlsx", "Openings", 1, 1, estimate.Error)})
	require.NoError(t, err)
	require.Empty(t, m.Lost)
	copied := unpacked(t, m.Data)
	assert.Contains(t, copied["xl/_rels/workbook.xml.rels"], `/relationships/styles" Target="/xl/stylesMarked1.xml"`)
	format := regexp.MustCompile(`<c r="A1" [^>]*s="(\d+)"`).FindStringSubmatch(copied["xl/worksheets/sheet2.xml"])
	require.NotNil(t, format)
	formats := strings.Split(copied["xl/stylesMarked1.xml"], "<cellXfs")[1]
	at, err := strconv.Atoi(format[1])
	require.NoError(t, err)
	assert.Contains(t, strings.Split(formats, "<xf ")[at+1], "numFmtId=\"164\"")
}

// prefixed gives every element a prefix.
func prefixed(part string) string {
	part = strings.Replace(part, ` xmlns="`, ` xmlns:x="`, 1)
	return regexp.MustCompile(`<(/?)(\w)`).ReplaceAllString(part, "<${1}x:$2")
}

// book returns the parts of the workbook.
func (w wrote) book() map[string]string {
	or := func(s, usual string) string {
		if s == "" {
			s = usual
		}
		if w.main != "" {
			s = strings.NewReplacer(mainSpace, w.main, relatedSpace, w.related).Replace(s)
		}
		return s
	}
	related := or("", relatedSpace)
	relation := func(id, kind, target string) string {
		return `<Relationship Id="` + id + `" Type="` + related + `/` + kind + `" Target="` + target + `"/>`
	}
	const relations = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
	override := func(part, kind string) string {
		return `<Override PartName="/` + part + `" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.` + kind + `+xml"/>`
	}
	parts := map[string]string{
		xlsx.ContentTypesPart: `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
			`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Default Extension="vml" ContentType="application/vnd.openxmlformats-officedocument.vmlDrawing"/><Default Extension="xml" ContentType="application/xml"/>` +
			override("xl/workbook.xml", "sheet.main") + override("xl/styles.xml", "styles") +
			override("xl/worksheets/sheet1.xml", "worksheet") + override("xl/worksheets/sheet2.xml", "worksheet") + `</Types>`,
		"_rels/.rels":     relations + relation("rId1", "officeDocument", "xl/workbook.xml") + `</Relationships>`,
		"xl/workbook.xml": or(w.workbook, usualWorkbook),
		"xl/_rels/workbook.xml.rels": relations + relation("rId1", "worksheet", "/xl/worksheets/sheet1.xml") +
			relation("rId2", "worksheet", "worksheets/sheet2.xml") + relation("rId3", "styles", "styles.xml") + `</Relationships>`,
		"xl/styles.xml":            or(w.styles, usualStyles),
		"xl/worksheets/sheet1.xml": or(`<worksheet xmlns="`+mainSpace+`"><sheetData/></worksheet>`, ""),
		"xl/worksheets/sheet2.xml": w.sheet,
	}
	if w.noStyles {
		delete(parts, "xl/styles.xml")
		for _, name := range []string{"xl/_rels/workbook.xml.rels", xlsx.ContentTypesPart} {
			parts[name] = regexp.MustCompile(`<\w+ [^>]*styles[^>]*>`).ReplaceAllString(parts[name], "")
		}
	}
	if w.rels != "" {
		parts["xl/worksheets/_rels/sheet2.xml.rels"] = relations + w.rels + `</Relationships>`
	}
	for name, text := range w.others {
		parts[name] = text
	}
	return parts
}

// A copy of what another program wrote is that file with marks: what the sheet says is
// there byte for byte but for the formats of the marked cells, cells that are added, the
// sheet in front, and the drawing of the notes.
func TestMarkedOfOtherPrograms(t *testing.T) {
	for _, w := range programs {
		t.Run(w.by, func(t *testing.T) {
			parts := w.book()
			data := packed(t, parts)
			book, problems := sheet.Parse("job.xlsx", data)
			require.NotNil(t, book, "%v", problems)
			m, err := Marked(data, book, []estimate.Problem{
				badCell("job.xlsx", "Openings", 2, 1, estimate.Warning), badCell("job.xlsx", "Openings", 2, 2, estimate.Error),
				badCell("job.xlsx", "Openings", 5, 3, estimate.Error), badCell("job.xlsx", "Openings", 12, 2, estimate.Error),
			})
			require.NoError(t, err)
			require.Empty(t, m.Lost)
			assert.Equal(t, []int{4, w.ownNotes}, []int{m.Cells, m.NotesKept})

			copied := unpacked(t, m.Data)
			for name, text := range parts {
				switch name {
				case xlsx.ContentTypesPart, "xl/_rels/workbook.xml.rels", "xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet2.xml",
					"xl/worksheets/_rels/sheet2.xml.rels", "xl/comments/comment1.xml", "xl/drawings/commentsDrawing1.vml":
				default:
					assert.Equal(t, text, copied[name], name)
				}
			}
			unmarked := func(text string) string {
				for _, changed := range []string{` s="\d+"`, ` spans="[^"]*"`, ` tabSelected="[01]"`, `<(x:)?row r="(5|12)"[^>]*?/>`,
					`<(x:)?row r="(5|12)"[^>]*?>.*?</(x:)?row>`, `<(x:)?legacyDrawing [^>]*rIdMarked[^>]*/>`} {
					text = regexp.MustCompile(changed).ReplaceAllString(text, "")
				}
				return text
			}
			assert.Equal(t, unmarked(parts["xl/worksheets/sheet2.xml"]), unmarked(copied["xl/worksheets/sheet2.xml"]))

			f := reopen(t, m.Data)
			assert.Equal(t, []string{"Problems", "Mine", "Openings"}, f.GetSheetList())
			for cell, want := range map[string]string{"A2": "5555", "B2": "5555", "C5": "555511", "B12": "555511", "A1": "", "B1": ""} {
				assert.Equal(t, want, bordersOf(t, f, "Openings", cell), cell)
			}
			height, err := f.GetRowHeight("Openings", 5)
			require.NoError(t, err)
			assert.Equal(t, strings.Contains(w.sheet, `r="5" ht="30"`), height == 30)
			// A cell that is added has its column's format, wrapped here, beside the mark.
			id, err := f.GetCellStyle("Openings", "B12")
			require.NoError(t, err)
			style, err := f.GetStyle(id)
			require.NoError(t, err)
			assert.True(t, style.Alignment.WrapText)

			said := notes(t, f, "Openings")
			assert.Len(t, said, 4)
			assert.Equal(t, "error: it is wrong (mend it)", said["B2"])
			boxes := 0
			for name, text := range copied {
				if strings.HasSuffix(name, ".vml") {
					boxes += strings.Count(text, "ClientData ObjectType=")
				}
			}
			assert.Equal(t, 4-w.ownNotes, boxes)
		})
	}
}

func TestSigned(t *testing.T) {
	for _, c := range []struct {
		code    string
		figures bool
		want    string
	}{
		{"General", false, `General;-General;General;"!! "@`},
		{"General", true, `"!! "General;"!! "-General;"!! "General;"!! "@`},
		{"@", false, `General;-General;General;"!! "@`},
		{`0.0" in; so"`, false, `0.0" in; so";-0.0" in; so";0.0" in; so";"!! "@`},
		{"[Red]0;[Blue]-0", true, `[Red]"!! "0;[Blue]"!! "-0;[Red]"!! "0;"!! "@`},
		{`0;-0;"none"`, true, `"!! "0;"!! "-0;"!! ""none";"!! "@`},
		{`0;-0;0;"so "@`, false, `0;-0;0;"!! ""so "@`},
		{`[$-409]mmm\;yy`, false, `[$-409]mmm\;yy;[$-409]-mmm\;yy;[$-409]mmm\;yy;"!! "@`},
		{"[<1]0;0.0", false, "[<1]0;0.0"},
		{`General" in"`, true, `General" in"`},
	} {
		assert.Equal(t, c.want, signed(c.code, signs[estimate.Error], c.figures), c.code)
	}
}

// A sign is not put where it would leave no room for a number.
func TestSignsOfNumbers(t *testing.T) {
	w := wrote{sheet: `<worksheet xmlns="` + mainSpace + `"><cols><col min="1" max="1" width="5"/><col min="2" max="2" width="9"/></cols><sheetData>` +
		`<row r="1"><c r="A1"><v>-53</v></c><c r="B1"><v>-53</v></c><c r="C1"><v>1234567.5</v></c></row></sheetData></worksheet>`}
	data := packed(t, w.book())
	book, _ := sheet.Parse("job.xlsx", data)
	m, err := Marked(data, book, []estimate.Problem{badCell("job.xlsx", "Openings", 1, 1, estimate.Error),
		badCell("job.xlsx", "Openings", 1, 2, estimate.Error), badCell("job.xlsx", "Openings", 1, 3, estimate.Error)})
	require.NoError(t, err)
	f := reopen(t, m.Data)
	for cell, want := range map[string]bool{"A1": false, "B1": true, "C1": false} {
		id, err := f.GetCellStyle("Openings", cell)
		require.NoError(t, err)
		style, err := f.GetStyle(id)
		require.NoError(t, err)
		assert.Equal(t, want, style.CustomNumFmt != nil, cell)
		assert.Equal(t, "5555", bordersOf(t, f, "Openings", cell))
	}
}

func TestTagWith(t *testing.T) {
	for _, c := range []struct{ tag, want string }{
		{`<c r="A1"/>`, `<c r="A1" s="7"/>`},
		{`<c r='A1' s = '3' t="s">`, `<c r='A1' s="7" t="s">`},
		{`<x:c x:s="1" >`, `<x:c x:s="1" s="7">`},
	} {
		assert.Equal(t, c.want, tagWith(c.tag, "s", "7"))
	}
	assert.Equal(t, `<fonts count="2"`, tagWith(`<fonts count="0"`, "count", "2"), "without its end")
	assert.Equal(t, `<c r="A1"/>`, tagWith(`<c r="A1" s="1"/>`, "s", ""), "nothing takes it away")
}
