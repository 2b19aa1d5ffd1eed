package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/xlsx/audit"
)

// Reasons that several of the exceptions below share.
const (
	ofTheRun    = "what the run worked out by the rules, plans and geometry: no formula could; Checks and runAgain say when an edit has overtaken it"
	typedIn     = "a choice that is made while its row is read: it is said on Summary, and looks like an input"
	bareUnit    = "a length is typed as on paper, with or without its unit; that of a bare one stands above the table"
	listedApart = "a piece of a mark that has a line of its own counts one, and the mark's line is without it"
	asItWas     = "the hidden sheet that looks every input up once and says which has changed: what only it does stands in no other formula"
	behind      = "what only the screen shows stands behind the printed columns"
)

// excepted are the places where a workbook breaks a modeling rule for a reason.
// columns are headers without their unit, or the letters of columns outside of
// tables, parted by |; * is the whole sheet.
var excepted = []struct {
	rule           int
	sheet, columns string
	why            string
}{
	{audit.RuleInputs, "Summary", "B", ofTheRun},
	{audit.RuleInputs, "By opening", "Perimeter each|Area each|Mulled units", ofTheRun},
	{audit.RuleInputs, "Takeoff", "Pieces|Each opening|Length", ofTheRun},
	{audit.RuleInputs, "Materials", "Holds|Computed|Price when estimated|Plan cost|Lowest possible|By hand", ofTheRun},
	{audit.RuleInputs, "Materials", "Override", typedIn},
	{audit.RuleInputs, "Actuals", "Bought", ofTheRun},
	{audit.RuleInputs, "Bought vs. used", "Waste|To buy|Packs opened|On hand|Need when estimated|To buy when estimated", ofTheRun},
	{audit.RuleInputs, "Orders", "Buy at", typedIn},
	{audit.RuleInputs, "Orders", "*", ofTheRun},
	{audit.RuleInputs, "Cut list", "*", ofTheRun},
	{audit.RuleInputs, "Boards", "*", ofTheRun},
	{audit.RuleInputs, "Offcuts", "*", ofTheRun},
	{audit.RuleInputs, "Frames", "*", ofTheRun},
	{audit.RuleInputs, "Install", "*", ofTheRun},
	{audit.RuleInputs, "Measure form", "B|D", "the piece of a mark and its story: a form to print"},
	{audit.RuleInputs, "To buy", "*", ofTheRun},
	{audit.RuleInputs, "Checks", "Number", "the number of a problem in its list"},
	{audit.RuleInputs, "Labor", "Published hours", "a published table to be compared, never used"},
	{audit.RuleInputs, "Added costs", "Published hours", "a published table to be compared, never used"},
	{audit.RuleInputs, "Order", "*", "an order says what was decided; it is no model"},
	{audit.RuleInputs, "Shares", "*", "an order says what was decided; it is no model"},
	{audit.RuleInputs, "Estimates", "*", "a list of what a run has written; it is no model"},
	{audit.RuleInputs, "Plan", "*", "the plan of the run, and the list that it was made of"},

	{audit.RuleOneColumn, "By opening", "Qty", listedApart},
	{audit.RuleOneColumn, "Takeoff", "Qty", listedApart},
	{audit.RuleOneColumn, "Receiving", "Count", listedApart},
	{audit.RuleOneColumn, "Takeoff", "Cost|Item so far", "a running total begins in the first row of its item"},
	{audit.RuleOneColumn, "Materials", "Computed", "one pack follows from the need; what is cut or mixed is planned at the run"},
	{audit.RuleOneColumn, "Bought vs. used", "State", "what the owner brings says how much nobody has, until its need changes"},
	{audit.RuleOneColumn, "Bought vs. used", "Waste", "an item without waste has 0"},
	{audit.RuleOneColumn, "Bought vs. used", "To buy", "what is counted is rounded up to whole ones, what is cut is planned at the run"},

	{audit.RuleOneColumn, "To buy", "Count", "what is no line of Materials has no count typed there"},
	{audit.RuleFlow, "To buy", "Count", behind},

	{audit.RuleOneColumn, "Shares", "Extension", "below the lines stands what else the supplier charges"},

	{audit.RuleInputs, "When estimated", "*", asItWas},
	{audit.RuleLiterals, "When estimated", "*", asItWas},
	{audit.RuleShort, "When estimated", "*", asItWas},
	{audit.RuleFunctions, "When estimated", "*", asItWas},
	{audit.RuleFlow, "When estimated", "*", asItWas},
	{audit.RuleHidden, "When estimated", "*", asItWas},
	{audit.RuleShort, "Checks", "*", "the one state of many, and the first reason for it"},
	{audit.RuleFunctions, "Checks", "*", "the first reason is found by its place"},
	{audit.RuleLiterals, "Checks", "*", "how many checks there are, so that one which is gone counts as failed"},
	{audit.RuleFlow, "Checks", "*", "the master check stands at the top, and a state before its difference"},
	{audit.RuleShort, "Materials", "State", "an override that is no count is said before all else"},
	{audit.RuleLiterals, "Materials", "State", "the range of what may be typed"},

	{audit.RuleShort, "Added costs", "Quantity", "one of the four words of Per, each with its own sum; a word that is none of them must not count as 0"},
	{audit.RuleShort, "Added costs", "Cost", "hours without a labor rate are said, never counted as 0"},

	{audit.RuleShort, "Added costs", "Extension", "a line without its price is said, an empty row is not"},

	{audit.RuleUnits, "Openings", "*", bareUnit},
	{audit.RuleUnits, "Field measurements", "*", bareUnit},
	{audit.RuleUnits, "On hand", "Length", bareUnit},

	{audit.RuleFlow, "Summary", "C", "the tax base stands below the bid, which reads as one block"},
	{audit.RuleFlow, "Takeoff", "Cost", behind},
	{audit.RuleFlow, "Materials", "Price check", behind},
	{audit.RuleFlow, "Boards", "I", "the check stands before the parts: there are more of them in some blocks than in others"},
	{audit.RuleFlow, "Cut list", "H", "the sum of the checks stands at the top, where it is seen"},
	{audit.RuleFlow, "Orders", "B", "the state of an order stands before its sums"},

	{audit.RuleFlow, "Openings", "A|E", "what a blank schedule still lacks is said above its rows, where it is seen"},

	{audit.RuleCover, "Openings", "*", "of a filled schedule the sheet to fill in comes first"},
}

// TestModelingRules holds every sort of workbook that is written against the
// modeling rules, and wants no exception that nothing needs.
func TestModelingRules(t *testing.T) {
	jobs := jobFolders(t)
	inTemp(t)
	sillwright("demo", "demo")
	succeed(t, "new", "blank")
	sillwright("order", filepath.Join("demo", "duplex-estimate.xlsx"), filepath.Join("demo", "workshop-estimate.xlsx"), "--out", "orders")
	write(t, "pieces.csv", "length,count\n84,4\n")
	write(t, "stock.csv", "length,price,available\n192,1,\n")
	succeed(t, "cut", "pieces.csv", "--stock", "stock.csv", "--out", "plan.xlsx")
	for _, name := range []string{"odd-piece", "on-hand", "by-owner"} {
		jobs[name].estimate(t, name)
	}
	used, sorts := map[int]bool{}, map[string]bool{}
	for _, name := range listing(t, ".") {
		if strings.HasSuffix(name, ".xlsx") {
			sorts[filepath.Dir(name)] = true
			keepsTheRules(t, name, used)
		}
	}
	assert.Len(t, sorts, 4, "the demo's, a blank schedule, orders, and here a plan")
	for i, e := range excepted {
		assert.True(t, used[i], "nothing needs the exception %d, %s, %s", e.rule, e.sheet, e.columns)
	}
}

// keepsTheRules wants a workbook to break no modeling rule without a reason.
func keepsTheRules(t *testing.T, name string, used map[int]bool) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	for _, b := range audit.Audit(data) {
		reason := false
		column, _, _ := strings.Cut(b.Column, ", ")
		for i, e := range excepted {
			if b.Rule == e.rule && b.Sheet == e.sheet && (e.columns == "*" || slices.Contains(strings.Split(e.columns, "|"), column)) {
				used[i], reason = true, true
				break
			}
		}
		assert.True(t, reason, "%s: %s", name, b)
	}
}

// TestMasterCheckTurns breaks each sum in turn and wants every sheet to say so.
// What the sums follow from is for .ci/recalc.py: the library calculates too
// little of it.
func TestMasterCheckTurns(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	sillwright("estimate", "job.csv")
	f, err := excelize.OpenFile("job-estimate.xlsx", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer func() { assert.NoError(t, f.Close()) }()
	shown := map[string]string{} // cell of the master check, by sheet
	for _, sheet := range f.GetSheetList() {
		for _, at := range []string{"A3", "B3"} {
			if formula, err := f.GetCellFormula(sheet, at); err == nil && formula == "Checks!$B$3" && shown[sheet] == "" {
				shown[sheet] = at
			}
		}
	}
	assert.Len(t, shown, len(f.GetSheetList())-1, "on every sheet but Checks")
	require.NoError(t, f.SetCellValue("Checks", "D3", 0)) // how many prices differ
	state := func(sheet, at string) string {
		v, err := f.CalcCellValue(sheet, at)
		require.NoError(t, err)
		return v
	}
	var differences []string
	for row := 6; ; row++ {
		at := estimate.CellName(row, 3)
		if formula, err := f.GetCellFormula("Checks", at); err != nil || formula == "" {
			break
		}
		require.NoError(t, f.SetCellValue("Checks", at, 0))
		differences = append(differences, at)
	}
	require.Greater(t, len(differences), 8)
	assert.Equal(t, "All checks pass", state("Checks", "B3"))
	for _, at := range differences {
		require.NoError(t, f.SetCellValue("Checks", at, 0.01))
		for sheet, master := range shown {
			assert.Equal(t, "CHECK FAILED", state(sheet, master), "%s, Checks!%s", sheet, at)
		}
		require.NoError(t, f.SetCellValue("Checks", at, 0))
	}
}

// TestProtectedSheets: with the setting on, nothing but an input can be typed into;
// without it, no sheet is protected. RuleInputs holds that the cells which are
// not locked are those that look like inputs.
func TestProtectedSheets(t *testing.T) {
	for value, locked := range map[string]bool{"yes": true, "no": false, "": false} {
		t.Run("protect sheets "+value, func(t *testing.T) {
			inTemp(t)
			schedule, err := folderSchedule(fstest.MapFS{
				"job/Openings.csv": {Data: []byte(oneWindow)},
				"job/Job.csv":      {Data: []byte("Key,Value\nprotect sheets," + value + "\n")},
			}, "job")
			require.NoError(t, err)
			write(t, "job.xlsx", string(schedule))
			sillwright("estimate", "job.xlsx")
			f := open(t, "job-estimate.xlsx").file
			for _, sheet := range f.GetSheetList() {
				protection, err := f.GetSheetProtection(sheet)
				require.NoError(t, err)
				assert.Equal(t, locked, protection.SelectLockedCells, sheet)
			}
			sillwright("estimate", "job-estimate.xlsx", "--out", "again")
			same(t, open(t, "job-estimate.xlsx"), open(t, filepath.Join("again", "job-estimate.xlsx")))
		})
	}
}
