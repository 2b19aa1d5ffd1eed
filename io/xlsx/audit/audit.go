package audit

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sillwright/io/xlsx/formula"
)

// The modeling rules that a workbook is held against, in our own words. They
// follow the FAST Standard (02a), the ICAEW's Twenty Principles for Good
// Spreadsheet Practice and its Financial Modeling Code.
const (
	RuleInputs    = 1 + iota // inputs look like inputs and stand on sheets of inputs: ICAEW principle 10
	RuleLiterals             // no number that may change inside a formula: FAST 3.04-01, ICAEW 14
	RuleOneColumn            // one formula a column: FAST 2.01-03, ICAEW 12
	RuleShort                // short formulas, no IF within an IF: FAST 3.03-01, 3.03-07, ICAEW 13
	RuleFunctions            // few functions, none that hides what it refers to: FAST 4.01, ICAEW 16
	RuleUnits                // a unit for every quantity: FAST 2.01-01, Code "clear units"
	RuleOnce                 // what is summed is summed once, then referred to: ICAEW 15
	RuleFlow                 // references lead up or to the left, and never in a circle: FAST 2.01-04
	RuleMaster               // one master check on every sheet: FAST 2.03-05, ICAEW 19
	RuleCover                // the first sheet leads to every other: ICAEW 7, 17
	RuleHidden               // nothing hidden that holds a figure: Code "don't hide things"
	RulePrint                // fit to width, headers repeated, page numbers: ICAEW 20
)

// Breach is a place where a workbook breaks a modeling rule.
type Breach struct {
	Rule   int
	Sheet  string
	Column string // header of the column of its table, or the cell outside a table
	What   string
}

// String returns the breach in one line.
func (b Breach) String() string {
	return fmt.Sprintf("rule %d: %s, %s: %s", b.Rule, b.Sheet, b.Column, b.What)
}

// Limits of a formula.
const (
	longestFormula = 110 // characters, the names of sheets and words to show not counted
	deepestIF      = 1
)

// plainFunctions are those that the workbooks use.
var plainFunctions = strings.Fields("ABS AND COUNTIF IF ISNUMBER MAX MIN OR ROUND ROUNDUP SUM SUMIF SUMPRODUCT TEXT")

// The formats of numbers that say nothing of their unit; "" shows them as typed.
var plainFormats = []string{"", "#,##0.0##", "0.00###"}

// wordLists is the sheet of the lists to choose from, which holds no figure.
const wordLists = "Lists"

// What tells an input: the fill of its cell, and the color of its sheet's tab.
const (
	inputColor    = "FFF8DC"
	rerunColor    = "E6EEF7" // of one of which a change needs a new run
	inputTabColor = "E3C75A"
)

func isInputColor(rgb string) bool {
	return strings.HasSuffix(rgb, inputColor) || strings.HasSuffix(rgb, rerunColor)
}

// lastingNumbers never change: nothing, one, the meters of a foot, its inches, and the
// millimeters of a meter.
var lastingNumbers = strings.Fields("0 1 0.3048 12 1000")

// Audit returns where a workbook that this package wrote breaks the modeling
// rules, each breach of a column once. It is for the tests of everything that
// writes one, which hold the reasons for what stays.
func Audit(data []byte) []Breach {
	a := auditor{linter: linter{parts: map[string][]byte{}, names: map[string]bool{}}, seen: map[Breach]bool{}, sums: map[string][]string{}}
	if !a.unzip(data) || !a.load() {
		return []Breach{{What: strings.Join(a.found, "; ")}}
	}
	for _, s := range a.sheets {
		a.inputs(s)
		a.formulas(s)
		a.columns(s)
		a.units(s)
		a.hidden(s)
		a.print(s)
	}
	a.sumsOnce()
	a.circles()
	a.master()
	a.cover()
	return a.breaches
}

// auditor holds a workbook while it is held against the rules.
type auditor struct {
	linter
	sheets   []*auditSheet
	look     []styleXML // by style
	breaches []Breach
	seen     map[Breach]bool
	sums     map[string][]string // sheets on which a range is summed, by range
}

func (a *auditor) breach(rule int, sheet, column, format string, args ...any) {
	b := Breach{rule, sheet, column, fmt.Sprintf(format, args...)}
	if same := (Breach{Rule: rule, Sheet: sheet, Column: column}); !a.seen[same] {
		a.seen[same] = true
		a.breaches = append(a.breaches, b)
	}
}

// inputs: a cell is unlocked if and only if it looks like an input, and a number
// that is typed stands in such a cell.
func (a *auditor) inputs(s *auditSheet) {
	for at, c := range s.each() {
		l := a.look[c.S]
		if l.unlocked != l.input {
			a.breach(RuleInputs, s.name, s.column(at), "%s is unlocked (%t) and looks like an input (%t)", c.R, l.unlocked, l.input)
		}
		if c.F == nil && c.number() && !l.input && !numbersRows.MatchString(s.column(at)) {
			a.breach(RuleInputs, s.name, s.column(at), "%s holds a number in no input cell", c.R)
		}
		if l.input && !s.isInput {
			a.breach(RuleInputs, s.name, s.column(at), "%s is an input on a sheet of results", c.R)
		}
	}
}

// formulas looks at each formula alone.
func (a *auditor) formulas(s *auditSheet) {
	for at, c := range s.each() {
		if c.F == nil {
			continue
		}
		column, in := s.column(at), inside(*c.F)
		for _, number := range in.Numbers {
			if !slices.Contains(lastingNumbers, number) {
				a.breach(RuleLiterals, s.name, column, "%s holds the number %s: %s", c.R, number, *c.F)
			}
		}
		for _, function := range in.Functions {
			if !slices.Contains(plainFunctions, function) {
				a.breach(RuleFunctions, s.name, column, "%s uses %s", c.R, function)
			}
		}
		if in.Ifs > deepestIF {
			a.breach(RuleShort, s.name, column, "%s has an IF within an IF: %s", c.R, *c.F)
		}
		if in.Size > longestFormula {
			a.breach(RuleShort, s.name, column, "%s has %d characters: %s", c.R, in.Size, *c.F)
		}
		a.sumsOf(s, *c.F)
		for _, r := range references(*c.F, s.name) {
			if r.Sheet == s.name && (r.Row2 > at[0] || r.Row2 == at[0] && r.Col2 > at[1]) {
				a.breach(RuleFlow, s.name, column, "%s refers to %s, below or to the right", c.R, r.Area)
			}
		}
	}
}

// columns wants the formulas of a column of a table to be one.
func (a *auditor) columns(s *auditSheet) {
	for _, t := range s.tables {
		for col := t.Col; col <= t.Col2; col++ {
			shapes, example, constants := map[string]string{}, "", 0
			for row := t.Row + 1; row <= t.Row2; row++ {
				c, ok := s.cells[[2]int{row, col}]
				switch {
				case !ok:
				case c.F != nil:
					shapes[shape(*c.F, row)] = *c.F
					example = *c.F
				case c.number():
					constants++
				}
			}
			if len(shapes) > 1 {
				a.breach(RuleOneColumn, s.name, s.text[[2]int{t.Row, col}], "%d formulas, as %s", len(shapes), example)
			}
			if len(shapes) > 0 && constants > 0 {
				a.breach(RuleOneColumn, s.name, s.text[[2]int{t.Row, col}], "%d numbers among formulas as %s", constants, example)
			}
		}
	}
}

// numbersRows matches the header of a column that numbers the rows.
var numbersRows = regexp.MustCompile(`^(Line )?No\.$`)

var (
	unitColumn = regexp.MustCompile(`(?i)^(unit|per|coverage unit)$`)
	unitHeader = regexp.MustCompile(`(?i)(, (in|mm|ft|m|ft2|m2|LF|SF|in3|mL|[A-Z]{3})$|\bF$|days|hours)`)
	plainCount = regexp.MustCompile(`(?i)^(qty|count|piece|pieces|number|boards|units|joined units|mulled units|available|override|computed|layout|pattern|tick|rows|storey|story)$`)
)

// units wants every column of quantities that are no money to say in what: in its
// header, or in a column of units beside it.
func (a *auditor) units(s *auditSheet) {
	for _, t := range s.tables {
		has := false
		for col := t.Col; col <= t.Col2; col++ {
			has = has || unitColumn.MatchString(s.text[[2]int{t.Row, col}])
		}
		for col := t.Col; col <= t.Col2; col++ {
			head := s.text[[2]int{t.Row, col}]
			if has || unitHeader.MatchString(head) || plainCount.MatchString(head) || numbersRows.MatchString(head) {
				continue
			}
			for row := t.Row + 1; row <= t.Row2; row++ {
				c, ok := s.cells[[2]int{row, col}]
				if format := a.look[c.S].format; ok && c.number() && slices.Contains(plainFormats, format) {
					a.breach(RuleUnits, s.name, head, "%s has no unit", c.R)
				}
			}
		}
	}
}

// sumsOf notes which ranges a formula sums.
func (a *auditor) sumsOf(s *auditSheet, f string) {
	tokens := scan(f)
	for i, t := range tokens {
		if t.Kind != tokenFunction || t.Text != "SUM" {
			continue
		}
		end := i + 1
		for end < len(tokens) && tokens[end].Text != ")" {
			end++
		}
		for _, r := range referencesIn(tokens[i+1:end], s.name) {
			if r.Row2 > r.Row && r.Col2 == r.Col {
				key := r.Sheet + "!" + r.Area.String()
				if !slices.Contains(a.sums[key], s.name) {
					a.sums[key] = append(a.sums[key], s.name)
				}
			}
		}
	}
}

// sumsOnce wants no range to be summed on two sheets; Checks sums again on purpose.
func (a *auditor) sumsOnce() {
	for _, key := range sortedKeys(a.sums) {
		on := slices.DeleteFunc(slices.Clone(a.sums[key]), func(s string) bool { return s == "Checks" })
		if len(on) > 1 {
			a.breach(RuleOnce, on[1], key, "is summed on %s too", on[0])
		}
	}
}

// hidden wants no figure to be out of sight.
func (a *auditor) hidden(s *auditSheet) {
	if !s.inSight() {
		a.breach(RuleHidden, s.name, "", "the sheet is %s", s.state)
	}
	for at, c := range s.each() {
		if c.number() && (s.hiddenRows[at[0]] || s.hiddenCol(at[1])) {
			a.breach(RuleHidden, s.name, s.column(at), "%s is hidden", c.R)
		}
	}
}

func (s *auditSheet) inSight() bool { return s.state == "" || s.state == "visible" }

// print wants a sheet to come off a printer as it should.
func (a *auditor) print(s *auditSheet) {
	x := s.xml
	if !x.Fit.On || !slices.Contains([]string{"", "1", "2"}, x.Setup.Wide) || x.Setup.High != "0" {
		a.breach(RulePrint, s.name, "", "is not fitted to the width of the paper")
	}
	if x.Setup.Paper == 0 || x.Setup.Orientation == "" {
		a.breach(RulePrint, s.name, "", "has no paper")
	}
	if !strings.Contains(x.Header, "&A") {
		a.breach(RulePrint, s.name, "header", "%q does not name the sheet", x.Header)
	}
	if !strings.Contains(x.Footer, "Page &P of &N") {
		a.breach(RulePrint, s.name, "footer", "%q does not number the pages", x.Footer)
	}
	for _, t := range s.tables {
		if t.Row2-t.Row > rowsOfPage && !(s.titles[0] <= t.Row && t.Row <= s.titles[1]) {
			a.breach(RulePrint, s.name, t.name, "its headers are not repeated")
		}
	}
}

// The master check as the estimate has it: its sheet, its row, and the word of a
// check that does not hold.
const (
	masterSheet = "Checks"
	checkRow    = 3
	failedWord  = "differs"
)

// rowsOfPage is more rows than any page holds.
const rowsOfPage = 60

// master wants the master check on every sheet of a workbook that has one, and
// to depend on every line of Checks.
func (a *auditor) master() {
	checks := a.sheet(masterSheet)
	if checks == nil {
		return
	}
	at := [2]int{checkRow, 2}
	master, ok := checks.cells[at]
	if !ok || master.F == nil {
		a.breach(RuleMaster, masterSheet, formula.Cell(at[0], at[1]), "there is no master check")
		return
	}
	state := map[int]bool{} // rows that it counts, or a cell beside it that it refers to
	for _, f := range append([]string{*master.F}, checks.beside(*master.F)...) {
		for _, r := range references(f, masterSheet) {
			for row := r.Row; row <= r.Row2; row++ {
				state[row] = true
			}
		}
	}
	for at, c := range checks.each() {
		if differs := c.F != nil && strings.Contains(*c.F, `"`+failedWord+`"`) && at[0] != checkRow; differs && !state[at[0]] {
			a.breach(RuleMaster, masterSheet, c.R, "does not reach the master check")
		}
	}
	for _, s := range a.sheets {
		shows := s == checks || s.name == wordLists
		for at, c := range s.each() {
			shows = shows || at[0] <= checkRow && c.F != nil && *c.F == formula.QuoteSheet(masterSheet)+"!"+formula.AbsCell(checkRow, 2)
		}
		if !shows {
			a.breach(RuleMaster, s.name, "", "does not show the master check")
		}
	}
}

// beside returns the formulas of the cells in the row of the master check that a formula
// refers to.
func (s *auditSheet) beside(f string) (out []string) {
	for _, r := range references(f, s.name) {
		if c, ok := s.cells[[2]int{checkRow, r.Col}]; ok && r.Row == checkRow && c.F != nil {
			out = append(out, *c.F)
		}
	}
	return out
}

// cover wants the first sheet of a workbook of several to lead to every other.
func (a *auditor) cover() {
	if len(a.sheets) < coveredSheets {
		return
	}
	for _, s := range a.sheets[1:] {
		if s.name != wordLists && s.inSight() && !slices.ContainsFunc(a.sheets[0].xml.Links, func(l linkXML) bool { return strings.HasPrefix(l.Location, formula.QuoteSheet(s.name)+"!") }) {
			a.breach(RuleCover, a.sheets[0].name, s.name, "no link leads there")
		}
	}
}

// coveredSheets is from how many sheets on a workbook needs a list of them.
const coveredSheets = 5

// number reports whether a cell holds a number.
func (c CellXML) number() bool {
	if c.V == nil || c.T != "" && c.T != "n" {
		return false
	}
	_, err := strconv.ParseFloat(*c.V, 64)
	return err == nil
}
