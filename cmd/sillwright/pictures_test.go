package main

import (
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

const (
	pictureFolder  = "../../testdata/pictures"
	largestPicture = 150_000 // bytes
)

// TestPicturesAreOfThisDemo compares the text beside each picture of README,
// the cells that it shows, with what the demo writes. The script .ci/pictures
// makes pictures and texts.
func TestPicturesAreOfThisDemo(t *testing.T) {
	text := read(t, readme)
	pictures, err := filepath.Glob(filepath.Join(pictureFolder, "*.png"))
	require.NoError(t, err)
	assert.Equal(t, len(pictures), strings.Count(text, ".png"), "README shows each picture once")
	shown := map[string]string{}
	for _, p := range pictures {
		name := filepath.Base(p)
		assert.True(t, strings.Contains(text, "testdata/pictures/"+name), "README does not show %s", name)
		f, err := os.Open(p)
		require.NoError(t, err)
		_, err = png.DecodeConfig(f)
		assert.NoError(t, err, name)
		info, err := f.Stat()
		require.NoError(t, err)
		assert.Less(t, info.Size(), int64(largestPicture), name)
		require.NoError(t, f.Close())
		shown[name] = read(t, strings.TrimSuffix(p, ".png")+".txt")
	}
	inTemp(t)
	succeed(t, "demo", "demo-out")
	for name, want := range shown {
		first, _, _ := strings.Cut(want, "\n")
		where := strings.SplitN(first, " ", 2)
		require.Len(t, where, 2, name)
		cut := strings.LastIndex(where[1], " ")
		require.Positive(t, cut, name)
		b := open(t, filepath.Join("demo-out", where[0]))
		got := first + "\n" + strings.Join(b.shownIn(where[1][:cut], where[1][cut+1:]), "")
		assert.Equal(t, want, got, "%s is of an older demo; make the pictures again with .ci/pictures", name)
	}
}

// shownIn returns the cells of a range as they are stored, one a line.
func (b writtenBook) shownIn(sheet, cells string) []string {
	b.t.Helper()
	from, to, ok := strings.Cut(cells, ":")
	require.True(b.t, ok, cells)
	left, top, err := excelize.CellNameToCoordinates(from)
	require.NoError(b.t, err)
	right, bottom, err := excelize.CellNameToCoordinates(to)
	require.NoError(b.t, err)
	var out []string
	for _, c := range b.cells(sheet) {
		if c.row >= top && c.row <= bottom && c.col >= left && c.col <= right {
			out = append(out, fmt.Sprintf("%s %s\n", estimate.CellName(c.row, c.col), strings.ReplaceAll(c.value, "\n", `\n`)))
		}
	}
	return out
}
