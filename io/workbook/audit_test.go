package workbook

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// ruled is a small workbook that keeps every modelling rule: an input, what
// follows from it, a check, and a first sheet that leads to all.
func ruled() *out {
	o := newOut(docProps{Title: "Ruled"})
	o.header = "Job 24-017"
	cover, work, sums, checks, job := o.sheet("Summary"), o.sheet("Work"), o.sheet("Sums"), o.sheet("Checks"), o.sheet("Job")
	master := func(p *page) { p.set(2, 1, formula(checks.ref(checkRow, 2), "Every sum holds", good)) }
	for i, p := range []*page{work, sums, checks, job} {
		cover.set(3+i, 1, linkTo(p.quoted+"!A1", p.name))
	}
	for _, p := range []*page{cover, work, sums, job} {
		p.set(1, 1, str(title, p.name))
		master(p)
	}
	job.inputPage()
	job.set(4, 1, str(text, "Rate"))
	job.set(4, 2, num(measure.Rate(100_000), inputPercent))
	job.set(5, 1, str(text, "Feet"))
	job.set(5, 2, num(3.5, inputNumber))

	work.set(4, 1, str(heading, "Mark"))
	work.set(4, 2, str(heading, "Length, ft"))
	work.set(4, 3, str(heading, "Cost"))
	for row := 5; row <= 7; row++ {
		work.set(row, 1, str(text, fmt.Sprintf("W%d", row)))
		work.set(row, 2, formula("Job!$B$5", 3.5, number))
		work.set(row, 3, formula(fmt.Sprintf("ROUND(B%d*(1+Job!$B$4),2)", row), measure.Money(385), money))
	}
	work.table("Work", 4, 7, 1, 3)
	work.titleRows(4, 4)
	work.set(8, 3, formula("SUM(C5:C7)", measure.Money(1155), total))
	sums.set(4, 1, formula("Work!C8", measure.Money(1155), money))

	checks.set(3, 2, formula(`IF(COUNTIF(B5:B6,"differs")=0,"Every sum holds","LOOK at Checks")`, "Every sum holds", good))
	for row := 5; row <= 6; row++ {
		checks.set(row, 2, formula(fmt.Sprintf(`IF(C%d=0,"holds","differs")`, row), "holds", good))
		checks.set(row, 3, formula("ROUND(Sums!A4-Work!C8,2)", 0.0, money))
	}
	return o
}

// flowDown are the breaches that ruled has: the master check stands above what it
// counts, and a state before its difference.
func flowDown(all []Breach) (rest []Breach) {
	for _, b := range all {
		if b.Rule != RuleFlow || b.Sheet != "Checks" {
			rest = append(rest, b)
		}
	}
	return rest
}

func TestAuditFindsOneBreach(t *testing.T) {
	assert.Empty(t, flowDown(Audit(build(t, ruled()))))
	for _, c := range []struct {
		why    string
		rule   int
		sheet  string
		column string
		what   string
		plant  func(o *out)
	}{
		{"a number typed among results", RuleInputs, "Work", "Length, ft", "no input cell", func(o *out) { o.page("Work").set(6, 2, num(3.5, number)) }},
		{"an input among results", RuleInputs, "Sums", "B", "an input on a sheet of results", func(o *out) { o.page("Sums").set(4, 2, num(1, inputCount)) }},
		{"a number on an input sheet that does not look like one", RuleInputs, "Job", "B", "no input cell", func(o *out) { o.page("Job").set(6, 2, num(1, count)) }},
		{"a rate inside a formula", RuleLiterals, "Work", "Cost", "the number 1.1", func(o *out) { o.page("Work").set(5, 3, formula("ROUND(B5*1.1,2)", 3.85, money)) }},
		{"another formula in a row", RuleOneColumn, "Work", "Cost", "2 formulas", func(o *out) { o.page("Work").set(6, 3, formula("B6+Job!$B$4", 3.6, money)) }},
		{"a number among formulas", RuleOneColumn, "Work", "Cost", "1 numbers among", func(o *out) { o.page("Work").set(6, 3, num(3.85, money)) }},
		{"an IF within an IF", RuleShort, "Sums", "A", "an IF within an IF", func(o *out) { o.page("Sums").set(5, 1, formula("IF(A4=0,0,IF(A4=1,1,0))", 0, number)) }},
		{"a long formula", RuleShort, "Sums", "A", "characters", func(o *out) {
			o.page("Sums").set(5, 1, formula("A4"+strings.Repeat("+A4", longestFormula), 0, number))
		}},
		{"a function that is not needed", RuleFunctions, "Sums", "A", "uses INDEX", func(o *out) { o.page("Sums").set(5, 1, formula("INDEX(Work!C5:C7,1)", 3.85, number)) }},
		{"a quantity of nothing", RuleUnits, "Work", "Length", "has no unit", func(o *out) { o.page("Work").set(4, 2, str(heading, "Length")) }},
		{"the same sum again", RuleOnce, "Sums", "Work!C5:C7", "is summed on Work too", func(o *out) { o.page("Sums").set(5, 1, formula("SUM(Work!C5:C7)", 11.55, number)) }},
		{"a reference down", RuleFlow, "Sums", "A", "refers to A9", func(o *out) { o.page("Sums").set(5, 1, formula("A9", 0, number)) }},
		{"a reference to the right", RuleFlow, "Sums", "A", "refers to C5", func(o *out) { o.page("Sums").set(5, 1, formula("C5", 0, number)) }},
		{"a circle over two sheets", RuleFlow, "Work", "C8", "circle", func(o *out) { o.page("Work").set(8, 3, formula("Sums!A4", 0, number)) }},
		{"no master check on a sheet", RuleMaster, "Sums", "", "does not show", func(o *out) { o.page("Sums").set(2, 1, str(text, holds)) }},
		{"a check that the master check does not count", RuleMaster, "Checks", "B7", "does not reach", func(o *out) { o.page("Checks").set(7, 2, formula(`IF(C7=0,"holds","differs")`, "holds", good)) }},
		{"no master check at all", RuleMaster, "Checks", "B3", "no master check", func(o *out) { o.page("Checks").set(3, 2, str(good, holds)) }},
		{"a sheet that the first does not lead to", RuleCover, "Summary", "Job", "no link", func(o *out) { o.page("Summary").set(6, 1, str(text, "Job")) }},
		{"figures under a fold", RuleHidden, "Work", "Cost", "is hidden", func(o *out) { o.page("Work").foldColumns(3, 3) }},
		{"headers not repeated on the next page", RulePrint, "Work", "Work", "not repeated", func(o *out) {
			p := o.page("Work")
			p.titleRows(0, 0)
			for range rowsOfPage {
				p.row(str(text, "W"))
			}
			p.tables[0].row2 = len(p.rows)
		}},
	} {
		t.Run(c.why, func(t *testing.T) {
			o := ruled()
			c.plant(o)
			var found []string
			for _, b := range flowDown(Audit(build(t, o))) {
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
			for _, b := range flowDown(Audit(rezip(t, all, c.part, c.old, c.replacement))) {
				found = append(found, b.String())
			}
			if c.want == "" {
				assert.Empty(t, found)
				return
			}
			assert.Contains(t, strings.Join(found, "\n"), c.want)
		})
	}
	assert.NotEmpty(t, Audit([]byte("not an archive")))
}

func TestShapeOfFormula(t *testing.T) {
	for _, c := range []struct {
		why, a string
		row    int
		b      string
		rowB   int
		same   bool
	}{
		{"its own row", "A5*B5", 5, "A6*B6", 6, true},
		{"the row above and one further up", "A4+B5", 5, "A2+B9", 9, true},
		{"another row of another sheet", "Job!B4*C5", 5, "Job!B9*C6", 6, true},
		{"ranges of another sheet", "SUM(Job!$B$4:$B$9)", 5, "SUM(Job!$B$10:$B$20)", 6, true},
		{"another column", "A5*B5", 5, "A6*C6", 6, false},
		{"another sheet", "Job!B4", 5, "Work!B4", 5, false},
		{"another fixed row", "A$4*B5", 5, "A$3*B6", 6, false},
		{"another number", "A5*2", 5, "A6*3", 6, false},
		{"below instead of above", "A4", 5, "A7", 6, false},
		{"a cell of this sheet behind one of another", "Job!B4+C5", 5, "Job!B4+C4", 5, false},
	} {
		assert.Equal(t, c.same, shapeOfFormula(c.a, c.row) == shapeOfFormula(c.b, c.rowB), c.why)
	}
}

func TestInsideOf(t *testing.T) {
	for _, c := range []struct {
		why, formula string
		want         contents
	}{
		{"digits of rounding are no numbers of the model", "ROUND(ROUND(A1*1.5,4),2)", contents{24, 0, []string{"1.5"}, []string{"ROUND", "ROUND"}}},
		{"an IF within an IF, behind a bracket", `IF(A1=1,(IF(B1=2,3,4)),0)`, contents{25, 2, []string{"1", "2", "3", "4", "0"}, []string{"IF", "IF"}}},
		{"one IF after another", "IF(A1=1,0,1)+IF(B1=1,0,1)", contents{25, 1, []string{"1", "0", "1", "1", "0", "1"}, []string{"IF", "IF"}}},
		{"words and sheets are not counted", `IF('Cost lines'!A1="none (0)",0,1)`, contents{12, 1, []string{"0", "1"}, []string{"IF"}}},
	} {
		assert.Equal(t, c.want, insideOf(c.formula), c.why)
	}
}

func FuzzScanFormula(f *testing.F) {
	for _, seed := range []string{"SUM(A1:A3)", `IF(A1="x)",1,'Joe''s'!B2)`, "Job!$B$4:$C$5+1", ")(", "((", "\xff", "''!A1", "ZZZ99999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size := 0
		for _, x := range scanFormula(s) {
			if x.kind != tokenSheet && x.kind != tokenText {
				size += len(x.text)
			}
		}
		require.Equal(t, size, insideOf(s).size)
		require.LessOrEqual(t, size, len(s))
		require.LessOrEqual(t, len(references(s, "Own")), len(s)/2)
		if len(references(s, "Own")) == 0 {
			require.Equal(t, shapeOfFormula(s, 5), shapeOfFormula(s, 6), "nothing in it has a row")
		}
	})
}
