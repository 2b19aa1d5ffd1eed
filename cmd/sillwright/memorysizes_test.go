//go:build linux

package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// TestMemoryOfThreeSizes: an estimate takes no more memory than its formula of takeoff rows
// and frames says, where every frame is different, and is done where the system gives
// no more than that and what a program of this kind takes before it does anything.
func TestMemoryOfThreeSizes(t *testing.T) {
	const idle = 300 << 20 // what is mapped and never touched: whole arenas, stacks, tables of the collector
	for _, n := range []int{50, 300, 900} {
		inTemp(t)
		var rows strings.Builder
		rows.WriteString("Mark,Kind,Frame width,Frame height,Furnished by,Status\n")
		for i := range n {
			fmt.Fprintf(&rows, "W%d,window,%d.%02d,%d,owner,set\n", i, 30+i%20, i/20, 40+i%7)
		}
		write(t, "many.csv", rows.String())
		j, problems := load("many.csv", nil)
		require.NotNil(t, j)
		require.Zero(t, estimate.Errors(problems))
		require.Equal(t, n, j.frames, "every frame is different")
		need := memoryNeeded(j.frames, len(j.takeoff.Requirements))
		j.close()

		m := processed(t, []string{fmt.Sprintf("%s=%d", dataLimit, need+idle)}, "estimate", "many.csv")
		assert.Zero(t, m.code, "%s%s", m.stdout, shortened(m.stderr))
		assert.Less(t, int64(m.peak)<<10, need, "%d openings", n)
		t.Logf("%d openings: formula %s, peak %s", n, sizeWords(need), sizeWords(int64(m.peak)<<10))
	}
}
