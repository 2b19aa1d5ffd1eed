package xlsx

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
)

// ruled is a small workbook that keeps every modeling rule: an input, what
// follows from it, a check, and a first sheet that leads to all.
func ruled() *Book {
	o := New(Properties{Title: "Ruled"})
	o.Header = "Job 24-017"
	cover, work, sums, checks, job := o.AddSheet("Summary"), o.AddSheet("Work"), o.AddSheet("Sums"), o.AddSheet("Checks"), o.AddSheet("Job")
	master := func(p *Sheet) { p.set(2, 1, Formula(checks.ref(checkRow, 2), "Every sum holds", Good)) }
	for i, p := range []*Sheet{work, sums, checks, job} {
		cover.set(3+i, 1, LinkTo(p.Quoted+"!A1", p.Name))
	}
	for _, p := range []*Sheet{cover, work, sums, job} {
		p.set(1, 1, Str(Title, p.Name))
		master(p)
	}
	job.InputPage()
	job.set(4, 1, Str(Text, "Rate"))
	job.set(4, 2, Num(measure.Rate(100_000), InputPercent))
	job.set(5, 1, Str(Text, "Feet"))
	job.set(5, 2, Num(3.5, InputNumber))

	work.set(4, 1, Str(Heading, "Mark"))
	work.set(4, 2, Str(Heading, "Length, ft"))
	work.set(4, 3, Str(Heading, "Cost"))
	for row := 5; row <= 7; row++ {
		work.set(row, 1, Str(Text, fmt.Sprintf("W%d", row)))
		work.set(row, 2, Formula("Job!$B$5", 3.5, Number))
		work.set(row, 3, Formula(fmt.Sprintf("ROUND(B%d*(1+Job!$B$4),2)", row), measure.Money(385), Money))
	}
	work.addTable("Work", 4, 7, 1, 3)
	work.TitleRows(4, 4)
	work.set(8, 3, Formula("SUM(C5:C7)", measure.Money(1155), Total))
	sums.set(4, 1, Formula("Work!C8", measure.Money(1155), Money))

	checks.set(3, 2, Formula(`IF(COUNTIF(B5:B6,"differs")=0,"Every sum holds","LOOK at Checks")`, "Every sum holds", Good))
	for row := 5; row <= 6; row++ {
		checks.set(row, 2, Formula(fmt.Sprintf(`IF(C%d=0,"holds","differs")`, row), "holds", Good))
		checks.set(row, 3, Formula("ROUND(Sums!A4-Work!C8,2)", 0.0, Money))
	}
	return o
}

// flowDown are the breaches that ruled has: the master check stands above what it
// counts, and a state before its difference.
func flowDown(all []audit.Breach) (rest []audit.Breach) {
	for _, b := range all {
		if b.Rule != audit.RuleFlow || b.Sheet != "Checks" {
			rest = append(rest, b)
		}
	}
	return rest
}

func TestAuditFindsOneBreach(t *testing.T) {
	assert.Empty(t, flowDown(audit.Audit(build(t, ruled()))))
	for _, c := range []struct {
		why    string
		rule   int
		sheet  string
		column string
		what   string
		plant  func(o *Book)
	}{
		{"a number typed among results", audit.RuleInputs, "Work", "Length, ft", "no input cell", func(o *Book) { on(o, "Work").set(6, 2, Num(3.5, Number)) }},
		{"an input among results", audit.RuleInputs, "Sums", "B", "an input on a sheet of results", func(o *Book) { on(o, "Sums").set(4, 2, Num(1, InputCount)) }},
		{"a number on an input sheet that does not look like one", audit.RuleInputs, "Job", "B", "no input cell", func(o *Book) { on(o, "Job").set(6, 2, Num(1, Count)) }},
		{"a rate inside a formula", audit.RuleLiterals, "Work", "Cost", "the number 1.1", func(o *Book) { on(o, "Work").set(5, 3, Formula("ROUND(B5*1.1,2)", 3.85, Money)) }},
		{"another formula in a row", audit.RuleOneColumn, "Work", "Cost", "2 formulas", func(o *Book) { on(o, "Work").set(6, 3, Formula("B6+Job!$B$4", 3.6, Money)) }},
		{"a number among formulas", audit.RuleOneColumn, "Work", "Cost", "1 numbers among", func(o *Book) { on(o, "Work").set(6, 3, Num(3.85, Money)) }},
		{"an IF within an IF", audit.RuleShort, "Sums", "A", "an IF within an IF", func(o *Book) { on(o, "Sums").set(5, 1, Formula("IF(A4=0,0,IF(A4=1,1,0))", 0, Number)) }},
		{"a long formula", audit.RuleShort, "Sums", "A", "characters", func(o *Book) {
			on(o, "Sums").set(5, 1, Formula("A4"+strings.Repeat("+A4", longFormula), 0, Number))
		}},
		{"a function that is not needed", audit.RuleFunctions, "Sums", "A", "uses INDEX", func(o *Book) { on(o, "Sums").set(5, 1, Formula("INDEX(Work!C5:C7,1)", 3.85, Number)) }},
		{"a quantity of nothing", audit.RuleUnits, "Work", "Length", "has no unit", func(o *Book) { on(o, "Work").set(4, 2, Str(Heading, "Length")) }},
		{"the same sum again", audit.RuleOnce, "Sums", "Work!C5:C7", "is summed on Work too", func(o *Book) { on(o, "Sums").set(5, 1, Formula("SUM(Work!C5:C7)", 11.55, Number)) }},
		{"a reference down", audit.RuleFlow, "Sums", "A", "refers to A9", func(o *Book) { on(o, "Sums").set(5, 1, Formula("A9", 0, Number)) }},
		{"a reference to the right", audit.RuleFlow, "Sums", "A", "refers to C5", func(o *Book) { on(o, "Sums").set(5, 1, Formula("C5", 0, Number)) }},
		{"a circle over two sheets", audit.RuleFlow, "Work", "C8", "circle", func(o *Book) { on(o, "Work").set(8, 3, Formula("Sums!A4", 0, Number)) }},
		{"no master check on a sheet", audit.RuleMaster, "Sums", "", "does not show", func(o *Book) { on(o, "Sums").set(2, 1, Str(Text, "Every sum holds")) }},
		{"a check that the master check does not count", audit.RuleMaster, "Checks", "B7", "does not reach", func(o *Book) {
			on(o, "Checks").set(7, 2, Formula(`IF(C7=0,"holds","differs")`, "holds", Good))
		}},
		{"no master check at all", audit.RuleMaster, "Checks", "B3", "no master check", func(o *Book) { on(o, "Checks").set(3, 2, Str(Good, "Every sum holds")) }},
		{"a sheet that the first does not lead to", audit.RuleCover, "Summary", "Job", "no link", func(o *Book) { on(o, "Summary").set(6, 1, Str(Text, "Job")) }},
		{"figures under a fold", audit.RuleHidden, "Work", "Cost", "is hidden", func(o *Book) { on(o, "Work").foldColumns(3, 3) }},
		{"headers not repeated on the next page", audit.RulePrint, "Work", "Work", "not repeated", func(o *Book) {
			p := on(o, "Work")
			p.TitleRows(0, 0)
			for range rowsOfPage {
				p.Row(Str(Text, "W"))
			}
			p.Tables[0].Row2 = len(p.Rows)
		}},
	} {
		t.Run(c.why, func(t *testing.T) {
			o := ruled()
			c.plant(o)
			var found []string
			for _, b := range flowDown(audit.Audit(build(t, o))) {
				if b.Rule == c.rule && b.Sheet == c.sheet && b.Column == c.column {
					found = append(found, b.What)
				}
			}
			require.NotEmpty(t, found)
			assert.Contains(t, found[0], c.what)
		})
	}
}

// TestAuditOfThePaper plants what the writer cannot be made to write.
func TestAuditOfThePaper(t *testing.T) {
	all := parts(t, build(t, ruled()))
	const work, book, styles = "xl/worksheets/sheet2.xml", "xl/workbook.xml", "xl/styles.xml"
	for _, c := range []struct{ why, part, old, replacement, want string }{
		{"as it was", book, "Work", "Work", ""},
		{"not fitted to the width", work, `fitToHeight="0"`, `fitToHeight="1"`, "rule 12: Work, : is not fitted"},
		{"no paper", work, ` paperSize="1"`, "", "rule 12: Work, : has no paper"},
		{"no name on the page", work, "&amp;A", "", "rule 12: Work, header"},
		{"no number on the page", work, "Page &amp;P of &amp;N", "", "rule 12: Work, footer"},
		{"a hidden sheet", book, `name="Work"`, `name="Work" state="hidden"`, "rule 11: Work, : the sheet is hidden"},
		{"a hidden row", work, `<row r="5"`, `<row r="5" hidden="1"`, "rule 11: Work, Length, ft: B5 is hidden"},
		{"inputs that are locked", styles, `locked="false"`, `locked="true"`, "rule 1: Job, B: B4 is unlocked (false) and looks like an input (true)"},
		{"cut short", book, "</sheets>", "", "XML syntax error"},
	} {
		t.Run(c.why, func(t *testing.T) {
			var found []string
			for _, b := range flowDown(audit.Audit(rezip(t, all, c.part, c.old, c.replacement))) {
				found = append(found, b.String())
			}
			if c.want == "" {
				assert.Empty(t, found)
				return
			}
			assert.Contains(t, strings.Join(found, "\n"), c.want)
		})
	}
	assert.NotEmpty(t, audit.Audit([]byte("not an archive")))
}

// checkRow is where the master check stands; a formula is too long above longFormula
// characters, and no page holds rowsOfPage rows.
const (
	checkRow    = 3
	longFormula = 110
	rowsOfPage  = 60
)

// on returns a sheet of a workbook by its name.
func on(o *Book, name string) *Sheet {
	return o.Sheets[slices.IndexFunc(o.Sheets, func(p *Sheet) bool { return p.Name == name })]
}
