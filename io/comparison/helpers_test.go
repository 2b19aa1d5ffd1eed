package comparison

import (
	"archive/zip"
	"bytes"
	"io"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}

// parts unzips a workbook.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	all := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		all[f.Name] = string(content)
	}
	return all
}

// records returns the rows of a sheet by the heads of their columns: those below the
// header that begins with some head, up to a row that is empty.
func records(t *testing.T, f *excelize.File, sheet, firstHead string) (out []map[string]string) {
	t.Helper()
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	header := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == firstHead })
	require.GreaterOrEqual(t, header, 0, firstHead)
	for _, r := range rows[header+1:] {
		if len(r) == 0 {
			break
		}
		record := map[string]string{}
		for i, head := range rows[header] {
			if i < len(r) {
				record[head] = r[i]
			}
		}
		out = append(out, record)
	}
	return out
}
