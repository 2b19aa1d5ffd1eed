package workbook

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// sawn is a writer with a plan: two boards cut alike, one with a spare, and one on
// hand that holds only what waits. Source of its numbers: counted on the boards.
func sawn(mm bool) (*writer, pricing.CutPlan) {
	in := measure.Inch
	w := testWriter(Input{Book: estimate.Book{Job: estimate.Job{MM: mm}}})
	w.in.Takeoff = estimate.Takeoff{
		Openings: []estimate.Sized{{Opening: estimate.Opening{Mark: "W1"}}, {Opening: estimate.Opening{Mark: "D3"}}},
		Requirements: []estimate.Requirement{
			{Name: "leg", Pair: true, Factory: true}, {Opening: 1, Name: "head", Held: "not measured"}, {Opening: 1, Name: "leg", Factory: true},
		},
	}
	return w, pricing.CutPlan{
		Pieces: []pricing.CutPiece{
			{Requirement: 0, Opening: 0, Length: 63 * in, Count: 4}, {Requirement: 1, Opening: 1, Length: 40 * in, Count: 4},
			{Requirement: 2, Opening: 1, Length: 63 * in, Count: 1}, {Requirement: -1, Opening: -1, Length: 63 * in, Count: 1},
		},
		Offers: make([]pricing.Offer, 1),
		Problem: cut.Problem{
			Pieces: []cut.Piece{
				{Length: 63 * in, Count: 4, FactoryEnd: true}, {Length: 40 * in, Count: 4}, {Length: 63 * in, Count: 1, FactoryEnd: true}, {Length: 63 * in, Count: 1},
			},
			Stocks: []cut.Stock{{Length: 192 * in, Price: 1, Available: -1}, {Length: 100 * in, Available: 1, Trimmed: true}},
		},
		Plan: cut.Plan{
			Boards:   []cut.Board{{Pieces: []int{0, 2, 1}}, {Pieces: []int{0, 0, 1}}, {Pieces: []int{0, 3, 1}}, {Stock: 1, Pieces: []int{1}}},
			Patterns: []cut.Pattern{{First: 0, Count: 2}, {First: 2, Count: 1}, {First: 3, Count: 1}},
		},
	}
}

func TestSawProfile(t *testing.T) {
	w, c := sawn(false)
	p := w.pieces().sawProfile(c, map[opensPiece]string{{0, "leg"}: "at the lower joint"})
	require.Len(t, p.settings, 1, "each length once; what is held is not there")
	s := p.settings[0]
	assert.Equal(t, []any{63 * measure.Inch, 5}, []any{s.length, s.count})
	assert.Equal(t, "4 W1 leg (pairs), 1 D3 leg", s.labelWords())
	assert.Equal(t, "1 (x2), 2", patternWords(s.boards), "a board counts once, however many of its pieces have the length")
	// The legs of W1 stand first on three boards; the fourth and D3's are in the
	// middle
	assert.Equal(t, "3 of 4 at the lower joint; 0 of 1 at one end", s.factoryWords())
	assert.Equal(t, "1 x 63 spare, 4 x 40 for D3 head (on hold)", w.pieces().wholeWords(p.whole))
	assert.Equal(t, []string{"Fetch 3 x 16'-0\".", "Leave in the rack 1 x 8'-4\" on hand: all on them is on hold or spare."}, w.pieces().fetchWords(c, p))
	assert.Equal(t, "Pieces 5, stop settings 1, not to cut 5. "+
		"Of 5 that need a factory end 3 get one; prime the other 2 there, and every other cut end.", w.pieces().sawWords(c, p, true))
}

func TestSawWords(t *testing.T) {
	for _, x := range []struct {
		why        string
		head, kerf measure.Length
		roll       bool
		gets       int
		want       string
	}{
		{"squared ends are none of the mill's", measure.Inch, measure.Inch / 8, false, 0,
			"Pieces 2, stop settings 1, not to cut 0, kerf 1/8, end trim 1. " +
				"Of 2 that need a factory end 0 get one; prime the other 2 there, and every other cut end."},
		{"all get one", 0, measure.Inch / 8, false, 2,
			"Pieces 2, stop settings 1, not to cut 0, kerf 1/8. All 2 that need a factory end get one; prime every other end."},
		{"a roll has no stop", 0, 0, true, 2, "Pieces 2, lengths 1, not to cut 0. All 2 that need a factory end get one; prime every other end."},
	} {
		w, c := sawn(false)
		c.Problem.HeadTrim, c.Problem.Kerf, c.Problem.Roll = x.head, x.kerf, x.roll
		p := sawProfile{settings: []setting{{count: 2, ends: []factoryEnds{{"at the foot", 2, x.gets}}}}}
		assert.Equal(t, x.want, w.pieces().sawWords(c, p, true), x.why)
	}
	w, c := sawn(false)
	p := sawProfile{settings: []setting{{count: 1}}}
	assert.Equal(t, "Pieces 1, stop settings 1, not to cut 0.", w.pieces().sawWords(c, p, false), "only boards are primed")
	assert.Equal(t, "Pieces 1, stop settings 1, not to cut 0. Prime every cut end.", w.pieces().sawWords(c, p, true))
}

// Source: the package cut, "the first, the last or both" get a factory end; nobody
// knows the ends of an offcut
func TestAtFactoryEnd(t *testing.T) {
	bought, onHand := cut.Board{Pieces: []int{0, 0, 0}}, cut.Board{Stock: 1, Pieces: []int{0}}
	for _, x := range []struct {
		why        string
		board      cut.Board
		head, tail measure.Length
		want       []bool
	}{
		{"both ends", bought, 0, 0, []bool{true, false, true}},
		{"head squared", bought, 1, 0, []bool{false, false, true}},
		{"tail squared", bought, 0, 1, []bool{true, false, false}},
		{"both squared", bought, 1, 1, []bool{false, false, false}},
		{"an offcut", onHand, 0, 0, []bool{false}},
	} {
		c := pricing.CutPlan{Offers: make([]pricing.Offer, 1), Problem: cut.Problem{HeadTrim: x.head, TailTrim: x.tail}}
		for at, want := range x.want {
			assert.Equal(t, want, atFactoryEnd(c, x.board, at), "%s: %d", x.why, at)
		}
	}
}

// The plan's own count of factory ends is that of the list, when nothing waits.
func TestFactoryEndsAreThoseOfThePlan(t *testing.T) {
	in := measure.Inch
	for _, squared := range []measure.Length{0, in} {
		w, c := sawn(false)
		w.in.Takeoff.Requirements[1].Held = ""
		c.Pieces = c.Pieces[:3]
		c.Pieces[0].Count, c.Pieces[2].Count = 14, 5
		c.Problem = cut.Problem{
			Pieces: []cut.Piece{{Length: 63 * in, Count: 14, FactoryEnd: true, Pair: true}, {Length: 40 * in, Count: 3}, {Length: 63 * in, Count: 5, FactoryEnd: true}},
			Stocks: c.Problem.Stocks[:1], Kerf: in / 8, HeadTrim: squared,
		}
		c.Plan = cut.Solve(c.Problem)
		asked, got := 0, 0
		for _, s := range w.pieces().sawProfile(c, nil).settings {
			for _, e := range s.ends {
				asked, got = asked+e.asked, got+e.got
			}
		}
		assert.Equal(t, 19, asked)
		assert.Positive(t, got)
		assert.Equal(t, c.Plan.AtFactoryEnds, got)
	}
}

// A strip of a coil is cut also when a spare, or what is held, lies beside it.
func TestSideBySideOnACoil(t *testing.T) {
	in := measure.Inch
	w, _ := sawn(false)
	w.in.Takeoff.Requirements[0] = estimate.Requirement{Name: "pan"}
	c := pricing.CutPlan{
		Pieces: []pricing.CutPiece{
			{Length: 32 * in, Width: 9 * in, Count: 2}, {Requirement: -1, Opening: -1, Length: 30 * in, Width: 9 * in, Count: 1},
			{Requirement: 1, Opening: 1, Length: 32 * in, Width: 9 * in, Count: 1},
		},
		Shelves: [][]int{{0, 1}, {2, 0}},
		Problem: cut.Problem{
			Pieces: []cut.Piece{{Length: 32 * in, Count: 1}, {Length: 32 * in, Count: 1}}, Stocks: []cut.Stock{{Length: 300 * in, Price: 1, Available: -1}},
		},
		Plan: cut.Plan{Boards: []cut.Board{{Pieces: []int{0, 1}}}, Patterns: []cut.Pattern{{First: 0, Count: 1}}},
	}
	p := w.pieces().sawProfile(c, nil)
	require.Len(t, p.settings, 1)
	assert.Equal(t, "2 W1 pan 9 wide", p.settings[0].labelWords())
	assert.Equal(t, "1 x 32 for D3 head 9 wide (on hold), 1 x 30 spare 9 wide", w.pieces().wholeWords(p.whole))
}

func TestPatternWords(t *testing.T) {
	assert.Equal(t, "1 (x4), 3", patternWords(map[int]int{3: 1, 1: 4}))
}

func TestPairWords(t *testing.T) {
	for _, x := range []struct {
		why  string
		n    int
		pair bool
		want string
	}{
		{"two are one pair", 2, true, "2 W1 leg (pair)"},
		{"four are two", 4, true, "4 W1 leg (pairs)"},
		{"heads are single", 2, false, "2 W1 leg"},
	} {
		var s setting
		for range x.n {
			s.add(0, label{"W1 leg", x.pair})
		}
		assert.Equal(t, x.want, s.labelWords(), x.why)
	}
}

// cutListOf writes a cut list of purchases and returns its rows, with the column of each
// head, from 0.
func cutListOf(t *testing.T, w *writer, purchases ...pricing.Purchase) (f *excelize.File, rows [][]string, at map[string]int) {
	t.Helper()
	w.in.Plan.Purchases = purchases
	w.cutListSheet(w.page("Cut list"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	f = opened(t, data)
	rows, err = f.GetRows("Cut list", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	at = map[string]int{}
	header := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == "Tick" })
	require.GreaterOrEqual(t, header, 0)
	for i, head := range rows[header] {
		at[head] = i
	}
	return f, rows, at
}

// The sheet adds up: 5 listed and 5 left whole are the 10 of the plan.
func TestCutListSheetAddsUp(t *testing.T) {
	w, c := sawn(false)
	plans := []pricing.CutPlan{c}
	f, rows, at := cutListOf(t, w,
		pricing.Purchase{Item: estimate.Item{Key: "strip", Class: "strip"}, Plans: plans},
		pricing.Purchase{Item: estimate.Item{Key: "board", Class: "boards"}, Plans: plans},
		pricing.Purchase{Item: estimate.Item{Key: "stile", Class: "boards"}, Plans: plans},
	)
	style := func(row int) *excelize.Style {
		id, err := f.GetCellStyle("Cut list", formula.Cell(row, 1))
		require.NoError(t, err)
		style, err := f.GetStyle(id)
		require.NoError(t, err)
		return style
	}
	var heads, sums []int
	for i, r := range rows {
		cell := func(head string) string { return formula.Cell(i+1, at[head]+1) }
		if check := at["Adds up to 0"]; len(r) > check && r[check] == "0" {
			sums = append(sums, i+1)
			assert.Equal(t, []string{"5", "5", "10"}, []string{r[at["Count"]], r[at["Not to cut"]], r[at["In the plan"]]})
			made, err := f.GetCellFormula("Cut list", cell("Adds up to 0"))
			require.NoError(t, err)
			assert.Equal(t, "ABS("+cell("Count")+"+"+cell("Not to cut")+"-"+cell("In the plan")+")", made)
		}
		if len(r) > 0 && len(r[0]) >= 5 && slices.Contains([]string{"board", "stile", "strip"}, r[0][:5]) {
			heads = append(heads, i+1)
		}
	}
	require.Len(t, sums, 3)
	require.Len(t, heads, 3)
	assert.Equal(t, []int{heads[2]}, w.page("Cut list").Breaks, "two short boards share a page; what is no board begins one")
	assert.Empty(t, slices.Concat(rows[heads[1]-3], rows[heads[1]-2]), "and stand apart")
	assert.Equal(t, 16.0, style(heads[1]).Font.Size)
	assert.Len(t, style(sums[0]-1).Border, 4, "a box to tick")
	height, err := f.GetRowHeight("Cut list", sums[0]-1)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, height, 20.0)
}

// What is cut at a stop is counted on from the row above.
func TestCutListCountsOn(t *testing.T) {
	w, c := sawn(false)
	w.in.Takeoff.Requirements[1].Held = ""
	f, rows, at := cutListOf(t, w, pricing.Purchase{Item: estimate.Item{Key: "board", Class: "boards"}, Plans: []pricing.CutPlan{c}})
	first := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 2 && r[at["Set the stop"]] == "63" }) + 1
	require.Positive(t, first)
	var made []string
	for _, row := range []int{first, first + 1} {
		cell, err := f.GetCellFormula("Cut list", formula.Cell(row, at["So far"]+1))
		require.NoError(t, err)
		made = append(made, rows[row-1][at["So far"]], cell)
	}
	count, soFar := formula.Column(at["Count"]+1), formula.Column(at["So far"]+1)
	assert.Equal(t, []string{"5", count + strconv.Itoa(first), "9", soFar + strconv.Itoa(first) + "+" + count + strconv.Itoa(first+1)}, made)
}

// A piece that is on no board shows: 5 + 5 - 11 is no longer 0 when it is worked out.
func TestCutListShowsWhatIsOnNoBoard(t *testing.T) {
	w, c := sawn(false)
	c.Pieces[0].Count++
	_, rows, at := cutListOf(t, w, pricing.Purchase{Item: estimate.Item{Key: "board", Class: "boards"}, Plans: []pricing.CutPlan{c}})
	sum := slices.IndexFunc(rows, func(r []string) bool { return len(r) > at["Label"] && r[at["Label"]] == "to cut now" })
	require.Positive(t, sum)
	assert.Equal(t, []string{"5", "5", "11"}, []string{rows[sum][at["Count"]], rows[sum][at["Not to cut"]], rows[sum][at["In the plan"]]})
}

func TestBoardsComeFirst(t *testing.T) {
	plans := []pricing.CutPlan{{}}
	list := boardsFirst([]pricing.Purchase{
		{Item: estimate.Item{Key: "strip", Class: "strip"}, Plans: plans}, {Item: estimate.Item{Key: "glue"}},
		{Item: estimate.Item{Key: "board", Class: "boards"}, Plans: plans},
	})
	assert.Equal(t, []string{"board", "strip"}, []string{list[0].Item.Key, list[1].Item.Key})
}
