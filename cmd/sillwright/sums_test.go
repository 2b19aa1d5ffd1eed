package main

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// moneyFoots wants the parts to be their wholes to the cent, in the plan and
// in the cells.
func (j writtenJob) moneyFoots(t *testing.T) {
	shares, costs := measure.Money(0), measure.Money(0)
	for _, s := range j.plan.Share {
		shares += s
	}
	for _, p := range j.plan.Purchases {
		costs += p.Cost
		lines := measure.Money(0)
		for _, l := range p.Lines {
			lines += l.Extension
		}
		assert.Equal(t, p.Cost, lines, p.Item.Key)
		assert.Equal(t, p.Cost, p.Used+p.Unused, p.Item.Key)
	}
	assert.Positive(t, j.plan.Materials)
	assert.Equal(t, j.plan.Materials, costs, "the purchases")
	assert.Equal(t, j.plan.Materials, shares+j.plan.Unused, "the shares, and what is not used")

	b := j.written
	takeoff := sum(t, b.table("Takeoff", "Mark", "Item", "Cost"), "Cost")
	openings := b.table("By opening", "Mark", "Kind", "Materials")
	openings = openings[:len(j.takeoff.Openings)] // the sums stand below
	assert.Equal(t, shares, takeoff, "the rows of Takeoff")
	assert.Equal(t, shares, sum(t, openings, "Materials"), "the rows of By opening")
	assert.Equal(t, j.plan.Materials, b.amount("Summary", "Materials", "Amount"))
	assert.Equal(t, j.plan.Materials, b.amount("Materials", "Materials", "Extension"))
	assert.Equal(t, j.plan.Materials, b.amount("By opening", "Materials of the job", "Materials"))
	assert.Equal(t, j.plan.Unused, b.amount("By opening", "Surplus: offcuts, part packs", "Materials"))
	assert.Equal(t, j.plan.Materials, sum(t, b.table("Materials", "Item", "Count", "Extension"), "Extension")-j.plan.Materials,
		"the lines, and their sum below them")
	j.bidFoots(t)
}

// nothingRequiredIsUnlisted wants every item that a row of Takeoff asks for to
// be bought, or to stand on Materials with the reason why not.
func (j writtenJob) nothingRequiredIsUnlisted(t *testing.T) {
	listed := map[string]bool{}
	for _, line := range j.written.table("Materials", "Item", "Count", "State") {
		bought := line["Count"] != "" && line["Count"] != "0"
		listed[line["Item"]] = listed[line["Item"]] || bought || line["State"] != "" && line["State"] != "ok"
	}
	for _, row := range j.written.table("Takeoff", "Mark", "Item", "Total") {
		if row["Item"] != "" {
			assert.True(t, listed[strings.TrimPrefix(row["Item"], "NOT BOUGHT: ")], "%s of %s", row["Item"], row["Mark"])
		}
	}
	for _, p := range j.plan.Purchases {
		accounted := p.State != "" || p.Owner != nil || len(p.Lines) > 0 || p.OnHand > 0 && p.ToBuy == 0
		assert.True(t, accounted, "%s: bought, on hand, by owner, or a reason why not", p.Item.Key)
		if p.State == "" {
			assert.GreaterOrEqual(t, p.Bought+p.Bought/1_000_000, p.ToBuy, p.Item.Key)
		}
	}
}

// everyPieceIsCut wants the plans to cut each piece that is required once, and
// the spares, and the sheet Boards to list as many.
func (j writtenJob) everyPieceIsCut(t *testing.T) {
	listed := j.written.listedPieces()
	takeoff, plan := j.shop()
	for _, p := range plan.Purchases {
		if !p.Item.Cut || p.State != "" && len(p.Lines) == 0 {
			continue
		}
		cut, spares, all := j.cut(p)
		want := map[int]int64{}
		for _, row := range p.Rows {
			r := takeoff.Requirements[row]
			want[row] = r.Count * takeoff.Openings[r.Opening].Qty
		}
		for _, row := range p.TooLong {
			delete(want, row)
		}
		assert.Equal(t, all, listed[p.Item.Name], "%s: pieces on the sheet Boards", p.Item.Key)
		if p.Owner != nil { // as far as what there is goes, and without spares
			short := int64(0)
			for row, n := range want {
				short += n - cut[row]
			}
			assert.Equal(t, []int64{p.Owner.Lacking, 0}, []int64{short, spares}, "%s: pieces short, spares", p.Item.Key)
			continue
		}
		assert.Equal(t, want, cut, p.Item.Key)
		spare := j.schedule.Book.Job.SpareTape
		if p.Item.Class == "boards" {
			spare = j.schedule.Book.Job.SpareBoards
		}
		if spares == 0 && spare > 0 { // only where each piece takes a board of its own
			for _, plan := range p.Plans {
				for _, board := range plan.Plan.Boards {
					assert.Len(t, slices.Concat(plan.On(board)...), 1, "%s: a spare could be cut with others", p.Item.Key)
				}
			}
			spare = 0
		}
		assert.Equal(t, spare, spares, "%s: spares", p.Item.Key)
	}
}

// cut counts what the plans of an item cut: the pieces of each requirement,
// where those in parts count by their first; the spares; and everything.
func (j writtenJob) cut(p pricing.Purchase) (required map[int]int64, spares, all int64) {
	required = map[int]int64{}
	for _, plan := range p.Plans {
		for _, board := range plan.Plan.Boards {
			for _, side := range plan.On(board) {
				for _, i := range side {
					piece := plan.Pieces[i]
					all++
					switch {
					case piece.Spare():
						spares++
					case piece.Part == 1:
						required[piece.Requirement]++
					}
				}
			}
		}
	}
	return required, spares, all
}

// listedPieces counts the pieces on the sheet Boards, by the name of their item. A block
// begins with that name, and where the item is from; a row of it lists what is cut from all boards of a
// pattern, "2 x 84-1/2  (4 W1 leg, spare); 1 x 36  (W2 pan + W3 pan)", where pieces
// that lie side by side on a coil are joined by a plus.
func (b writtenBook) listedPieces() map[string]int64 {
	uses := regexp.MustCompile(`\(([^)]*)\)(?:; |$)`)
	times := regexp.MustCompile(`^(\d+) `)
	block := regexp.MustCompile(`^(.+), (from .+|all on hand)$`)
	out, item := map[string]int64{}, ""
	for _, c := range b.cells("Boards") {
		if m := block.FindStringSubmatch(c.value); m != nil && c.col == 1 {
			item = m[1]
		}
		if c.col != 4 {
			continue
		}
		for _, in := range uses.FindAllStringSubmatch(c.value, -1) {
			for _, use := range strings.Split(in[1], ", ") {
				n := int64(1)
				if m := times.FindStringSubmatch(use); m != nil {
					var err error
					n, err = strconv.ParseInt(m[1], 10, 64)
					require.NoError(b.t, err, use)
				}
				out[item] += n * int64(1+strings.Count(use, " + "))
			}
		}
	}
	return out
}
