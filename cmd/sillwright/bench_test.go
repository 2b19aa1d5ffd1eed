package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// block returns the schedule of an invented apartment block of so many openings:
// common sizes, one to four of a mark.
func block(openings int) string {
	r := rand.New(rand.NewPCG(9, uint64(openings)))
	pick := func(of ...int) int { return of[r.IntN(len(of))] }
	var b strings.Builder
	b.WriteString("Mark,Qty,Kind,Frame width,Frame height,Supplied by,Unit cost,Flange,Sits on,Leg drop\n")
	for mark, n := 1, 0; n < openings; mark++ {
		qty := min(pick(1, 1, 1, 2, 2, 4), openings-n)
		n += qty
		switch k := r.IntN(50); {
		case k < 41:
			fmt.Fprintf(&b, "W%d,%d,window,%d-1/2,%d-1/2,builder,300,integral,,\n", mark, qty, pick(23, 27, 29, 31, 35, 39, 47, 59, 71),
				pick(23, 35, 47, 53, 59, 65, 71))
		case k < 46:
			fmt.Fprintf(&b, "D%d,%d,entry door,37-1/2,81-1/2,builder,500,,wood,8\n", mark, qty)
		default:
			fmt.Fprintf(&b, "P%d,%d,patio door,71-1/2,79-1/2,builder,900,,slab,\n", mark, qty)
		}
	}
	return b.String()
}

// BenchmarkJob is a whole job by size, and the parts of it: what is read, taken
// off, priced with all cutting, cut as it is bought, and written; and the floors
// of all of these.
func BenchmarkJob(b *testing.B) {
	for _, n := range []int{20, 300, 3000, 30000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.Chdir(b.TempDir())
			require.NoError(b, os.WriteFile("block.csv", []byte(block(n)), 0o644))
			// First, since a run sets its own memory limit; the rest has none.
			timed(b, "whole", func() {
				_ = os.Remove("block-estimate.xlsx")
				sillwright("estimate", "block.csv")
			})
			j, problems := load("block.csv", nil)
			require.NotNil(b, j, "%v", problems)
			j.close()
			debug.SetMemoryLimit(math.MaxInt64)

			timed(b, "read", func() {
				read, _ := sheet.OpenSheets("block.csv", schedule.Wanted)
				_, _ = schedule.Read(read, workbook.Results()...)
			})
			timed(b, "takeoff", func() { _, _ = estimate.Make(j.schedule.Book) })
			timed(b, "pricing and cutting", func() { pricing.Make(j.schedule.Book, j.takeoff, j.lists) })
			timed(b, "cutting what is bought", func() {
				for _, p := range cuttings(j.plan) {
					cut.Solve(p)
				}
			})
			timed(b, "write", func() {
				_, err := j.workbook()
				require.NoError(b, err)
			})

			add := func() { addUp(j.takeoff, j.plan); nextFit(j.plan) }
			timed(b, "floor of read", func() { readFields(b, "block.csv") })
			timed(b, "floor of takeoff", func() { copyRows(j.takeoff) })
			timed(b, "floor of pricing and cutting", add)
			timed(b, "floor of cutting what is bought", func() { nextFit(j.plan) })
			data, err := j.workbook()
			require.NoError(b, err)
			again := newRewriter(b, data) // it fills the heap, which would slow all but floors
			timed(b, "floor of write", again.bytes)
			timed(b, "floor of whole", func() { readFields(b, "block.csv"); copyRows(j.takeoff); add(); again.bytes() })
		})
	}
}

func timed(b *testing.B, name string, f func()) {
	b.Run(name, func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			f()
		}
	})
}

// BenchmarkBatch estimates houses in one run (-cpu 1,2 shows what a second
// processor does), and as its floor the same houses each in a run of its own.
func BenchmarkBatch(b *testing.B) {
	for _, n := range []int{27, 270, 2700} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.Chdir(b.TempDir())
			var files []string
			for i := range n {
				name := fmt.Sprintf("house-%04d.csv", i+1)
				require.NoError(b, os.WriteFile(name, []byte(newHouse(int64(i+1)).csv(b, inches)), 0o644))
				files = append(files, name)
			}
			args := append([]string{"estimate", "--out", "estimates"}, files...)
			timed(b, "together", func() {
				_ = os.RemoveAll("estimates")
				sillwright(args...)
			})
			timed(b, "floor: each alone", func() {
				_ = os.RemoveAll("estimates")
				for _, name := range files {
					sillwright("estimate", "--out", "estimates", name)
				}
			})
		})
	}
}
