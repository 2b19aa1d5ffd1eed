package sheet

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// part is one member of an archive under test.
type part struct{ name, text string }

const (
	contentTypes = `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`
	rootRels     = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookXML      = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Openings" sheetId="1" r:id="rId1"/></sheets></workbook>`
	bookRels     = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`
	sheetHead    = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`
	stringsHead  = `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`
)

// minimal returns the parts of the smallest workbook around a worksheet's
// inner XML. More parts replace those of the same name.
func minimal(inner string, more ...part) []part {
	parts := []part{
		{"[Content_Types].xml", contentTypes},
		{"_rels/.rels", rootRels},
		{"xl/workbook.xml", bookXML},
		{"xl/_rels/workbook.xml.rels", bookRels},
		{"xl/worksheets/sheet1.xml", sheetHead + inner + `</worksheet>`},
	}
	for _, m := range more {
		replaced := false
		for i := range parts {
			if parts[i].name == m.name {
				parts[i], replaced = m, true
			}
		}
		if !replaced {
			parts = append(parts, m)
		}
	}
	return parts
}

// archived zips parts in their order.
func archived(t testing.TB, parts ...part) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range parts {
		f, err := w.Create(p.name)
		require.NoError(t, err)
		_, err = f.Write([]byte(p.text))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// stored zips parts uncompressed, the way in which a flipped byte stays
// readable, and lets edit change each header.
func stored(t testing.TB, parts []part, edit func(*zip.FileHeader)) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range parts {
		h := &zip.FileHeader{Name: p.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE([]byte(p.text)),
			CompressedSize64: uint64(len(p.text)), UncompressedSize64: uint64(len(p.text))}
		if edit != nil {
			edit(h)
		}
		f, err := w.CreateRaw(h)
		require.NoError(t, err)
		_, err = f.Write([]byte(p.text))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// data wraps rows of XML in a sheet's data section.
func data(rows ...string) string {
	return `<sheetData>` + strings.Join(rows, "") + `</sheetData>`
}

// saved returns a workbook's bytes.
func saved(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	require.NoError(t, f.Close())
	return b.Bytes()
}

// filled returns a new workbook with one sheet Openings of these rows.
func filled(t testing.TB, rows ...[]any) *excelize.File {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Openings"))
	for i, row := range rows {
		cell, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Openings", cell, &row))
	}
	return f
}

// parsed reads a workbook that must be readable and returns its first sheet.
func parsed(t testing.TB, b []byte) (*Sheet, []string) {
	t.Helper()
	book, ps := Parse("job.xlsx", b)
	require.NotNil(t, book, "%v", ps)
	return book.Sheets[0], lines(ps)
}

func lines(ps []estimate.Problem) []string {
	out := make([]string, 0, len(ps))
	for _, p := range ps {
		out = append(out, p.String())
	}
	return out
}

// refused reads a file that must not be readable and returns the line printed.
func refused(t testing.TB, name string, b []byte) string {
	t.Helper()
	book, ps := Parse(name, b)
	require.Nil(t, book)
	require.Len(t, ps, 1)
	require.Equal(t, estimate.Error, ps[0].Severity)
	require.NotEmpty(t, ps[0].Do, "a refusal says what to do")
	return ps[0].String()
}
