//go:build linux

package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// limited is the environment of a program that the system gives what a formula says, and
// what is mapped and never touched: whole arenas, stacks, tables of the collector.
func limited(need int64) string {
	const idle = 300 << 20
	return fmt.Sprintf("%s=%d", dataLimit, need+idle)
}

// TestMemoryOfThreeSizes: an estimate takes no more memory than its formula of takeoff rows
// and frames says, where every frame is different, and is done where the system gives
// no more than that and what a program of this kind takes before it does anything.
func TestMemoryOfThreeSizes(t *testing.T) {
	for _, n := range []int{50, 200, 600} {
		inTemp(t)
		var rows strings.Builder
		rows.WriteString("Mark,Kind,Frame width,Frame height,Furnished by,Status\n")
		for i := range n {
			fmt.Fprintf(&rows, "W%d,window,%d.%02d,%d,owner,set\n", i, 30+i%20, i/20, 40+i%7)
		}
		write(t, "many.csv", rows.String())
		j, problems := readJob("many.csv", nil) // without the plan, which takes long
		require.NotNil(t, j)
		require.Zero(t, estimate.Errors(problems))
		require.Equal(t, n, j.frames, "every frame is different")
		need := j.size().memoryNeeded()
		j.close()

		m := processed(t, []string{limited(need)}, "estimate", "many.csv")
		assert.Zero(t, m.code, "%s%s", m.stdout, shortened(m.stderr))
		assert.Less(t, int64(m.peak)<<10, need, "%d openings", n)
		t.Logf("%d openings: formula %s, peak %s", n, sizeWords(need), sizeWords(int64(m.peak)<<10))
	}
}

// Thousands of field measurements make as many pieces of different sizes.
func TestMemoryOfReadings(t *testing.T) {
	inTemp(t)
	const n = 9_000
	write(t, "house/Openings.csv", fmt.Sprintf("Mark,Qty,Kind,Frame width,Frame height,Furnished by,Status\nW1,%d,window,36,60,owner,set\n", n))
	var rows strings.Builder
	rows.WriteString("Mark,Piece,Of,Width 1,Width 2,Width 3,Height 1,Height 2,Height 3\n")
	for i := range n {
		fmt.Fprintf(&rows, "W1,%d,frame,36.%02d,36,36,60,60,60.%02d\n", i+1, i%25, i%13)
	}
	write(t, "house/Field measurements.csv", rows.String())
	write(t, "house/Job.csv", "Key,Value\njob number,7\n")
	data, err := folderSchedule(os.DirFS("."), "house")
	require.NoError(t, err)
	write(t, "many.xlsx", string(data))
	need := jobSize{frames: 1, rows: 30, readings: n}.memoryNeeded()
	m := processed(t, []string{limited(need)}, "estimate", "many.xlsx")
	assert.Zero(t, m.code, "%s%s", m.stdout, shortened(m.stderr))
	assert.Less(t, int64(m.peak)<<10, need)
	t.Logf("formula %s, peak %s", sizeWords(need), sizeWords(int64(m.peak)<<10))
}
