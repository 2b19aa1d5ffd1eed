package xlsx

import (
	"archive/zip"
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/audit"
)

// rezip packs parts again, with one text replaced.
func rezip(t *testing.T, all map[string]string, part, old, replacement string) []byte {
	t.Helper()
	require.Contains(t, all[part], old)
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		content := all[name]
		if name == part {
			content = strings.Replace(content, old, replacement, 1)
		}
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(content))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return buf.Bytes()
}

func TestLintFindsOneFlaw(t *testing.T) {
	all := parts(t, build(t, sample()))
	const (
		job, openings, materials, checks = "xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml", "xl/worksheets/sheet4.xml"
		book                             = "xl/workbook.xml"
		bars, lines                      = "xl/charts/chart1.xml", "xl/charts/chart2.xml"
	)
	for _, c := range []struct{ from, part, old, replacement, want string }{
		{"part without a type", audit.TypesPart, `<Default Extension="vml" ContentType="application/vnd.openxmlformats-officedocument.vmlDrawing"></Default>`, "", "has no content type"},
		{"type without a part", audit.TypesPart, "/xl/styles.xml", "/xl/style.xml", "which is not there"},
		{"relationship to nowhere", "xl/_rels/workbook.xml.rels", "styles.xml", "style.xml", "which is not there"},
		{"sheet twice", book, `name="Checks"`, `name="Job"`, "sheet Job: is there twice"},
		{"name like a cell", book, "MasterCheck", "MC1", "reads like a cell"},
		{"name to a sheet that is not there", book, "Checks!$B$4", "Check!$B$4", "does not exist"},
		{"broken name", book, "Checks!$B$4", "#REF!", "holds #"},
		{"no stored value", checks, "</f><v>OK</v>", "</f>", "has no stored value"},
		{"no stored empty text", checks, "</f><v></v>", "</f>", "has no stored value"},
		{"not a number", checks, "<v>0</v>", "<v>NaN</v>", "holds NaN"},
		{"text in a number", checks, "<v>0</v>", "<v>none</v>", "is not a number"},
		{"error value", checks, "<v>OK</v>", "<v>#REF!</v>", "holds #REF!"},
		{"broken formula", checks, "<f>C4=0</f>", "<f>#REF!=0</f>", "holds #"},
		{"wrong dimension", checks, `<dimension ref="A1:C5">`, `<dimension ref="A1">`, "dimension A1, but the cells are A1:C5"},
		{"rows out of order", checks, `<row r="2"`, `<row r="7"`, "out of order"},
		{"columns out of order", openings, `max="2" min="2"`, `max="1" min="1"`, "columns 1 to 1"},
		{"link to nowhere", checks, `location="Materials!A1"`, `location="Material!A1"`, "does not exist"},
		{"id to nowhere", checks, `r:id="rId1"`, `r:id="rId9"`, "has no relationship"},
		{"elements out of order", checks, `</sheetData>`, `</sheetData><cols></cols>`, "cols is out of order"},
		{"cut short", checks, `</sheetData>`, ``, "sheet Checks: XML syntax error"},
		{"list too long", openings, `"window,`, `"` + strings.Repeat("w", 250) + `,`, "the list has"},
		{"list on a sheet that is not there", openings, "Lists!$A$2", "List!$A$2", "does not exist"},
		{"validation that does not stop", openings, `showErrorMessage="true"`, `showErrorMessage="false"`, "does not stop"},
		{"highlight", materials, "<formula>D5", "<formula>Nowhere!D5", "does not exist"},
		{"table twice", "xl/tables/table2.xml", `name="Openings"`, `name="JOBSETTINGS"`, "is there twice"},
		{"table name", "xl/tables/table2.xml", `name="Openings"`, `name="R1C1"`, "reads like a cell"},
		{"table header", "xl/tables/table2.xml", `name="Qty"`, `name="Quantity"`, `under the header "Qty"`},
		{"table range", "xl/tables/table2.xml", ` ref="A1:H4"`, ` ref="A1:G4"`, "does not hold its 8 columns"},
		{"tables overlap", "xl/tables/table4.xml", ` ref="A11:B12"`, ` ref="A7:B8"`, "overlaps"},
		{"merged cells overlap", job, `<mergeCell ref="A1:D1"/>`, `<mergeCell ref="A2:D2"/>`, "merged cells A2:D2 overlap A2:D2"},
		{"sheet name", book, `name="Checks"`, `name="Che:cks"`, "is not a name of a sheet"},
		{"style that is not there", checks, `<c r="A4" s="`, `<c r="A4" s="9`, "is not there"},
		{"style of a highlight that is not there", materials, `dxfId="0"`, `dxfId="7"`, "style 7 is not there"},
		{"chart of a drawing", "xl/drawings/drawing1.xml", `r:id="rId1"`, `r:id="rId9"`, "has no relationship"},
		{"chart of cells that are not there", bars, "Materials!$G$5:$G$7", "Material!$G$5:$G$7", "does not exist"},
		{"chart of more names than values", bars, "Materials!$A$5:$A$7", "Materials!$A$5:$A$6", "not as many names as values"},
		{"chart without a series", bars, "<barChart>", "<lineChart>", "XML syntax error"},
		{"drawing of points that are not there", lines, "Materials!$B$5:$B$7", "#REF!", "holds #"},
		{"labels of a chart out of order", lines, `<dLblPos val="ctr"/><showLegendKey val="0"/>`, `<showLegendKey val="0"/><dLblPos val="ctr"/>`, "dLblPos of dLbl is out of order"},
		{"label of a cell that is not there", lines, "<dLbl><idx val=\"0\"/><tx><strRef><f>Materials!", "<dLbl><idx val=\"0\"/><tx><strRef><f>Material!", "does not exist"},
		{"picture without its size", "xl/drawings/drawing1.xml", "<xdr:oneCellAnchor>", `<xdr:oneCellAnchor editAs="oneCell">`, "not how large it is"},
		{"color without its opacity", job, `rgb="FFE3C75A"`, `rgb="E3C75A"`, `color "E3C75A" has not eight`},
		{"color of a style that is a name", "xl/styles.xml", `rgb="FF`, `rgb="gold`, "has not eight"},
		{"axis of values with what only one of names has", lines, "</valAx>", `<auto val="1"></auto></valAx>`, "auto of valAx is out of order"},
		{"axis of names that begins with what it may not have", bars, "<catAx>", "<catAx><crossBetween></crossBetween>", "crossBetween of catAx is out of order"},
		{"note that asks for space it has not", "xl/comments1.xml", "<t>Ages", `<t xml:space="preserve">Ages`, "has no space to keep"},
		{"table over merged cells", job, `<mergeCell ref="A1:D1"`, `<mergeCell ref="A3:D3"`, "overlaps A3:D3"},
	} {
		t.Run(c.from, func(t *testing.T) {
			found := audit.Lint(rezip(t, all, c.part, c.old, c.replacement))
			assert.Contains(t, strings.Join(found, "\n"), c.want)
		})
	}
	assert.NotEmpty(t, audit.Lint([]byte("not an archive")))
	assert.Empty(t, audit.Lint(rezip(t, all, book, "Checks", "Checks")), "packing again changes nothing")
}
