package workbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing"
)

// work is a phase at both marks of clipboard. Source of its numbers: arithmetic
func work(w *writer) estimate.Install {
	w.in.Takeoff.Requirements = []estimate.Requirement{
		{Opening: 0, Item: "shim", Amount: 6},
		{Opening: 1, Item: "shim", Amount: 6},
		{Opening: 0, Item: "strip-9", Dim: estimate.Lengthwise, Count: 2, Length: 77 * measure.Inch, Amount: int64(154 * measure.Inch), Name: "jambs"},
		{Opening: 1, Item: "foam", Dim: estimate.Lengthwise, Amount: int64(2 * measure.Inch)},
		{Opening: 1, Item: "foam", Dim: estimate.Lengthwise, Amount: int64(4 * measure.Inch)},
	}
	return estimate.Install{
		Detail: "window", Phase: estimate.PhaseInstall,
		Openings: []estimate.InstallOpening{
			{Opening: 0, Ladder: estimate.Given(2 * measure.Foot), Sills: []estimate.SillCheck{{Opening: 0, Piece: 3, Of: "frame", LevelRead: true, HighEnd: "left",
				Rise: 4 * in16, Tolerance: 2 * in16, Lean: 5 * in16, Do: "shim it"}}},
			{Opening: 1},
		},
		Steps: []estimate.InstallStep{
			{Number: "1", Do: "Check", NoMaterial: true, For: []int{0, 1}, All: true, Source: "a page"},
			{Number: "2", Do: "Shims", For: []int{0, 1}, All: true, Needs: []int{0, 1}, Source: "another"},
			{Number: "3", Do: "Strips and foam", For: []int{0, 1}, All: true, Needs: []int{2, 3, 4}, Source: "a page"},
			{Number: "4", Do: "Rod", For: []int{1}},
			{Number: "5", Do: "Sweep", NoMaterial: true, For: []int{1}},
		},
	}
}

func TestInstallBlock(t *testing.T) {
	w := clipboard(false)
	w.in.Takeoff.Openings[0].Operation = estimate.DoubleHung
	in := work(w)
	steps := w.newInstall(w.page("Install"))
	steps.head(in)
	for _, step := range in.Steps {
		steps.step(in, step)
	}
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	s := written(t, data, "Install", "Step")
	var rows [][]string
	for row := s.header + 1; row <= len(s.rows); row++ {
		rows = append(rows, s.texts(row, "", "Step", "Work", "For", "Material", "Each opening", "Unit or size")) // the box has no head
	}
	assert.Equal(t, [][]string{
		{"window: install the units", "", "", "", "", "", ""},
		{"For W1 x 4 (36 x 60), D1 x 2 (38 x 82)", "", "", "", "", "", ""},
		// 6 shims at each of 4 and 2; 154 in at each of 4; 6 in at each of 2
		{"Fetch for all of them: NOT BOUGHT: 36 x shim; NOT BOUGHT: 51.33 LF strip-9; NOT BOUGHT: 1.0 LF foam.", "", "", "", "", "", ""},
		{"", "1", "W1 piece 3: sill left end high by 1/4 (allowed 1/8); a square frame would lean 5/16; SHIM IT", "", "", "", ""},
		{"", "1", "Check", "", "", "", ""},
		{"", "2", "Shims", "all", "shim", "6", "each"},
		{"", "3", "Strips and foam", "W1", "strip-9", "2", "of 77 in, jambs"},
		{"", "", "", "D1", "foam", "0.5", "LF"},
		{"", "4", "Rod", "D1", "none", "", ""},
		{"", "5", "D1: Sweep", "", "", "", ""},
	}, rows)
}

func TestShopPhaseLeadsToTheCards(t *testing.T) {
	w := clipboard(false)
	in := work(w)
	in.Phase = "shop"
	w.newInstall(w.page("Install")).head(in)
	data, err := w.out.Bytes()
	require.NoError(t, err)
	s := written(t, data, "Install", "Step")
	row := s.next(1, "see the cards on Frames")
	is, to, err := s.file.GetCellHyperLink("Install", s.at(row, "Work"))
	require.NoError(t, err)
	assert.True(t, is)
	assert.Equal(t, "Frames!A1", to)
	assert.Len(t, s.rows, s.header+4, "no caution of the site")
}

// What can hurt is said once a phase, at the head of the sheet, for all details; what is
// missing in the price list is none of it.
func TestCautionsByPhase(t *testing.T) {
	w := clipboard(false)
	openings := w.in.Takeoff.Openings
	openings[0].Operation, openings[0].Story = estimate.DoubleHung, estimate.Given(int64(2))
	w.in.Book.Job.YearBuilt = estimate.Given(int64(1950))
	w.in.Problems = []estimate.Problem{{Place: estimate.Place{File: "job.xlsx"}, Severity: estimate.Error, What: "shim: it has no price"}}
	install := work(w)
	trim := estimate.Install{Detail: "window", Phase: estimate.PhaseTrim, Openings: install.Openings, Steps: install.Steps[:1]}
	other := trim
	other.Detail, other.Openings = "door", nil
	w.work = []estimate.Install{install, trim, other}
	w.installSheet(w.page("Install"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	s := written(t, data, "Install", "Step")
	var rows []string
	for row := s.header + 1; row <= len(s.rows); row++ {
		if text := s.texts(row, "")[0]; strings.HasPrefix(text, "C") {
			rows = append(rows, text)
		}
	}
	old := []string{
		"CAUTION  house built before 1978: treat painted parts as lead paint at every opening " +
			"(work by a certified firm, 40 CFR 745; replacing a window is never exempt)",
		"CAUTION  old house: siding, putty, caulk and old flashing may hold asbestos at every opening " +
			"(have it tested before it is cut, scraped or torn out; local law governs)",
	}
	const (
		guard = "CAUTION  W1: upper story with sill height or height above grade not stated: guard the opening (fill in both to know; 29 CFR 1926.501(b)(14))"
		// 15 ft2 x 2 lites x 1.64 lb/ft2, half of it a sash; doors are not all glass
		glass  = "CAUTION  glass alone, two 1/8 in lites over the whole frame: W1 49 lb (a sash 25 lb)"
		ladder = "CAUTION  ladder set-back (1:4) at the head: W1 2'-0\"; a quarter of the ladder's working length, height above grade not stated: D1; " +
			"feet on firm ground, none on ice or mud"
	)
	want := append([]string{"Cautions: install the units"}, old...)
	want = append(want, "CAUTION  lift with two or more: pre-hung doors, their weight not stated (D1)", guard,
		"CAUTION  all: a unit that is set and not yet fastened falls in wind: hold it until it is fastened, and set none in gusts", glass, ladder,
		"Cautions: hang the trim")
	want = append(append(want, old...), guard, ladder)
	assert.Equal(t, want, rows)
}

func TestSillWords(t *testing.T) {
	one := estimate.Sized{Opening: estimate.Opening{Mark: "P1", Qty: 1}}
	for _, c := range []struct {
		why  string
		mm   bool
		x    estimate.SillCheck
		want string
	}{
		{"level", false, estimate.SillCheck{LevelRead: true, HighEnd: "level"}, "P1: sill level"},
		{"a swing door has a limit", false, estimate.SillCheck{LevelRead: true, HighEnd: "right", Rise: in16, Tolerance: 2 * in16, Lean: 2 * in16, LeanLimit: estimate.Given(2 * in16)},
			"P1: sill right end high by 1/16 (allowed 1/8); a square frame would lean 1/8 (the lock allows 1/8)"},
		{"arithmetic: 72 x 6 x 1/4 / 2 is 54 cubic inches, 128/231 of it fluid ounces", false, estimate.SillCheck{LevelRead: true, HighEnd: "left", Rise: 4 * in16, Tolerance: 2 * in16, Lean: 4 * in16, Compound: measure.VolumeOf(measure.AreaOf(72*measure.Inch, 6*measure.Inch), 2*in16), Do: "level the slab"},
			"P1: sill left end high by 1/4 (allowed 1/8); a square frame would lean 1/4; leveling compound 29.92 fl oz; LEVEL THE SLAB"},
		{"diagonals alone", false, estimate.SillCheck{Of: "opening", Diagonals: estimate.Given(4 * in16), DiagonalTolerance: 2 * in16, Rack: 5 * in16, Square: "square it"},
			"P1: diagonals of the opening differ by 1/4 (allowed 1/8), head 5/16 out of square; SQUARE IT"},
		{"equal diagonals do not rack", false, estimate.SillCheck{Of: "frame", Diagonals: estimate.Given(measure.Length(0)), DiagonalTolerance: in16},
			"P1: diagonals of the frame differ by 0 (allowed 1/16)"},
		{"millimetres and millilitres", true, estimate.SillCheck{LevelRead: true, HighEnd: "left", Rise: 6 * measure.Millimeter,
			Tolerance: 3 * measure.Millimeter, Lean: 7 * measure.Millimeter, Compound: 500_000_000},
			"P1: sill left end high by 6 (allowed 3); a square frame would lean 7; leveling compound 500.0 mL"},
	} {
		assert.Equal(t, c.want, sillWords(estimate.UnitsOf(c.mm), one, c.x), c.why)
	}
}

func TestPieceWords(t *testing.T) {
	for _, c := range []struct {
		why  string
		r    estimate.Requirement
		mm   bool
		want string
	}{
		{"a piece", estimate.Requirement{Length: 36 * measure.Inch}, false, "of 36 in"},
		{"a named one", estimate.Requirement{Length: 36 * measure.Inch, Name: "sill"}, false, "of 36 in, sill"},
		{"of a coil", estimate.Requirement{Length: 32 * measure.Inch, Second: 9 * measure.Inch, Name: "pan"}, false, "of 32 x 9 in, pan"},
		{"held", estimate.Requirement{Length: 914 * measure.Millimeter, Held: "not measured"}, true, "of 914 mm, ON HOLD"},
	} {
		assert.Equal(t, c.want, pieceWords(estimate.UnitsOf(c.mm), c.r), c.why)
	}
}

func TestSourceWords(t *testing.T) {
	assert.Equal(t, "1, 3: a page.  2: another", sourceWords(work(clipboard(false)).Steps), "each source once")
	assert.Empty(t, sourceWords(nil))
}

func TestColdWords(t *testing.T) {
	w := clipboard(false)
	in := work(w)
	line := func(t estimate.Maybe[int64]) pricing.Line { return pricing.Line{Offer: pricing.Offer{MinTempF: t}} }
	w.in.Plan.Purchases = []pricing.Purchase{
		{Item: estimate.Item{Key: "foam", Site: true, MinTempF: estimate.Given(int64(40))}, Lines: []pricing.Line{line(estimate.Given(int64(20)))}},
		{Item: estimate.Item{Key: "strip-9", Site: true, MinTempF: estimate.Given(int64(40))}, Lines: []pricing.Line{line(estimate.Given(int64(25))), line(estimate.Maybe[int64]{})}},
		{Item: estimate.Item{Key: "shim", Site: true}, Lines: []pricing.Line{line(estimate.Maybe[int64]{})}},
		{Item: estimate.Item{Key: "glue", Site: true, MinTempF: estimate.Given(int64(50))}},
	}
	const ask = "minimum installation temperature, °F, unless the manufacturer says otherwise: foam 20, strip-9 40; " +
		"heaters: vented and away from foam, cement and primer"
	assert.Equal(t, "coldest forecast not stated on Job; "+ask, w.coldWords(in), "a product's own figure comes before its item's; glue is not of this phase")
	w.in.Book.Job.ColdestF = estimate.Given(int64(36))
	assert.Equal(t, "coldest forecast 36 °F; "+ask, w.coldWords(in))
	w.in.Plan.Purchases[0].Item.Site, w.in.Plan.Purchases[1].Item.Site = false, false
	assert.Empty(t, w.coldWords(in), "the shop is warm")
	assert.Equal(t, estimate.Given(int64(50)), minTempF(w.in.Plan.Purchases[3]), "of what is on hand the item's")
}

// A job without work on site says so below the header.
func TestInstallNothing(t *testing.T) {
	w := newWriter(Input{})
	w.installSheet(w.page("Install"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	s := written(t, data, "Install", "Step")
	assert.Equal(t, []string{"Nothing to install."}, s.rows[s.header])
}
