package audit

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// ruled is a small workbook that keeps every modelling rule: an input, what
// follows from it, a check, and a first sheet that leads to all.
func ruled() *xlsx.Book {
	o := xlsx.New(xlsx.Properties{Title: "Ruled"})
	o.Header = "Job 24-017"
	cover, work, sums, checks, job := o.AddSheet("Summary"), o.AddSheet("Work"), o.AddSheet("Sums"), o.AddSheet("Checks"), o.AddSheet("Job")
	master := func(p *xlsx.Sheet) { p.Set(2, 1, xlsx.Formula(checks.Ref(checkRow, 2), "Every sum holds", xlsx.Good)) }
	for i, p := range []*xlsx.Sheet{work, sums, checks, job} {
		cover.Set(3+i, 1, xlsx.LinkTo(p.Quoted+"!A1", p.Name))
	}
	for _, p := range []*xlsx.Sheet{cover, work, sums, job} {
		p.Set(1, 1, xlsx.Str(xlsx.Title, p.Name))
		master(p)
	}
	job.InputPage()
	job.Set(4, 1, xlsx.Str(xlsx.Text, "Rate"))
	job.Set(4, 2, xlsx.Num(measure.Rate(100_000), xlsx.InputPercent))
	job.Set(5, 1, xlsx.Str(xlsx.Text, "Feet"))
	job.Set(5, 2, xlsx.Num(3.5, xlsx.InputNumber))

	work.Set(4, 1, xlsx.Str(xlsx.Heading, "Mark"))
	work.Set(4, 2, xlsx.Str(xlsx.Heading, "Length, ft"))
	work.Set(4, 3, xlsx.Str(xlsx.Heading, "Cost"))
	for row := 5; row <= 7; row++ {
		work.Set(row, 1, xlsx.Str(xlsx.Text, fmt.Sprintf("W%d", row)))
		work.Set(row, 2, xlsx.Formula("Job!$B$5", 3.5, xlsx.Number))
		work.Set(row, 3, xlsx.Formula(fmt.Sprintf("ROUND(B%d*(1+Job!$B$4),2)", row), measure.Money(385), xlsx.Money))
	}
	work.AddTable("Work", 4, 7, 1, 3)
	work.TitleRows(4, 4)
	work.Set(8, 3, xlsx.Formula("SUM(C5:C7)", measure.Money(1155), xlsx.Total))
	sums.Set(4, 1, xlsx.Formula("Work!C8", measure.Money(1155), xlsx.Money))

	checks.Set(3, 2, xlsx.Formula(`IF(COUNTIF(B5:B6,"differs")=0,"Every sum holds","LOOK at Checks")`, "Every sum holds", xlsx.Good))
	for row := 5; row <= 6; row++ {
		checks.Set(row, 2, xlsx.Formula(fmt.Sprintf(`IF(C%d=0,"holds","differs")`, row), "holds", xlsx.Good))
		checks.Set(row, 3, xlsx.Formula("ROUND(Sums!A4-Work!C8,2)", 0.0, xlsx.Money))
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
	assert.Empty(t, flowDown(Audit(built(t, ruled()))))
	for _, c := range []struct {
		why    string
		rule   int
		sheet  string
		column string
		what   string
		plant  func(o *xlsx.Book)
	}{
		{"a number typed among results", RuleInputs, "Work", "Length, ft", "no input cell", func(o *xlsx.Book) { on(o, "Work").Set(6, 2, xlsx.Num(3.5, xlsx.Number)) }},
		{"an input among results", RuleInputs, "Sums", "B", "an input on a sheet of results", func(o *xlsx.Book) { on(o, "Sums").Set(4, 2, xlsx.Num(1, xlsx.InputCount)) }},
		{"a number on an input sheet that does not look like one", RuleInputs, "Job", "B", "no input cell", func(o *xlsx.Book) { on(o, "Job").Set(6, 2, xlsx.Num(1, xlsx.Count)) }},
		{"a rate inside a formula", RuleLiterals, "Work", "Cost", "the number 1.1", func(o *xlsx.Book) { on(o, "Work").Set(5, 3, xlsx.Formula("ROUND(B5*1.1,2)", 3.85, xlsx.Money)) }},
		{"another formula in a row", RuleOneColumn, "Work", "Cost", "2 formulas", func(o *xlsx.Book) { on(o, "Work").Set(6, 3, xlsx.Formula("B6+Job!$B$4", 3.6, xlsx.Money)) }},
		{"a number among formulas", RuleOneColumn, "Work", "Cost", "1 numbers among", func(o *xlsx.Book) { on(o, "Work").Set(6, 3, xlsx.Num(3.85, xlsx.Money)) }},
		{"an IF within an IF", RuleShort, "Sums", "A", "an IF within an IF", func(o *xlsx.Book) { on(o, "Sums").Set(5, 1, xlsx.Formula("IF(A4=0,0,IF(A4=1,1,0))", 0, xlsx.Number)) }},
		{"a long formula", RuleShort, "Sums", "A", "characters", func(o *xlsx.Book) {
			on(o, "Sums").Set(5, 1, xlsx.Formula("A4"+strings.Repeat("+A4", longestFormula), 0, xlsx.Number))
		}},
		{"a function that is not needed", RuleFunctions, "Sums", "A", "uses INDEX", func(o *xlsx.Book) { on(o, "Sums").Set(5, 1, xlsx.Formula("INDEX(Work!C5:C7,1)", 3.85, xlsx.Number)) }},
		{"a quantity of nothing", RuleUnits, "Work", "Length", "has no unit", func(o *xlsx.Book) { on(o, "Work").Set(4, 2, xlsx.Str(xlsx.Heading, "Length")) }},
		{"the same sum again", RuleOnce, "Sums", "Work!C5:C7", "is summed on Work too", func(o *xlsx.Book) { on(o, "Sums").Set(5, 1, xlsx.Formula("SUM(Work!C5:C7)", 11.55, xlsx.Number)) }},
		{"a reference down", RuleFlow, "Sums", "A", "refers to A9", func(o *xlsx.Book) { on(o, "Sums").Set(5, 1, xlsx.Formula("A9", 0, xlsx.Number)) }},
		{"a reference to the right", RuleFlow, "Sums", "A", "refers to C5", func(o *xlsx.Book) { on(o, "Sums").Set(5, 1, xlsx.Formula("C5", 0, xlsx.Number)) }},
		{"a circle over two sheets", RuleFlow, "Work", "C8", "circle", func(o *xlsx.Book) { on(o, "Work").Set(8, 3, xlsx.Formula("Sums!A4", 0, xlsx.Number)) }},
		{"no master check on a sheet", RuleMaster, "Sums", "", "does not show", func(o *xlsx.Book) { on(o, "Sums").Set(2, 1, xlsx.Str(xlsx.Text, "Every sum holds")) }},
		{"a check that the master check does not count", RuleMaster, "Checks", "B7", "does not reach", func(o *xlsx.Book) {
			on(o, "Checks").Set(7, 2, xlsx.Formula(`IF(C7=0,"holds","differs")`, "holds", xlsx.Good))
		}},
		{"no master check at all", RuleMaster, "Checks", "B3", "no master check", func(o *xlsx.Book) { on(o, "Checks").Set(3, 2, xlsx.Str(xlsx.Good, "Every sum holds")) }},
		{"a sheet that the first does not lead to", RuleCover, "Summary", "Job", "no link", func(o *xlsx.Book) { on(o, "Summary").Set(6, 1, xlsx.Str(xlsx.Text, "Job")) }},
		{"figures under a fold", RuleHidden, "Work", "Cost", "is hidden", func(o *xlsx.Book) { on(o, "Work").FoldColumns(3, 3) }},
		{"headers not repeated on the next page", RulePrint, "Work", "Work", "not repeated", func(o *xlsx.Book) {
			p := on(o, "Work")
			p.TitleRows(0, 0)
			for range rowsOfPage {
				p.Row(xlsx.Str(xlsx.Text, "W"))
			}
			p.Tables[0].Row2 = len(p.Rows)
		}},
	} {
		t.Run(c.why, func(t *testing.T) {
			o := ruled()
			c.plant(o)
			var found []string
			for _, b := range flowDown(Audit(built(t, o))) {
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
	all := parts(t, built(t, ruled()))
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

// built returns the bytes of a workbook.
func built(t testing.TB, o *xlsx.Book) []byte {
	t.Helper()
	data, err := o.Bytes()
	require.NoError(t, err)
	return data
}

// parts unzips a workbook.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	all := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		all[f.Name] = string(content)
	}
	return all
}

// rezip packs parts again, with one text replaced.
func rezip(t *testing.T, all map[string]string, part, old, replacement string) []byte {
	t.Helper()
	require.Contains(t, all[part], old)
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		content := all[name]
		if name == part {
			content = strings.Replace(content, old, replacement, 1)
		}
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(content))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return buf.Bytes()
}

// on returns a sheet of a workbook by its name.
func on(o *xlsx.Book, name string) *xlsx.Sheet {
	return o.Sheets[slices.IndexFunc(o.Sheets, func(p *xlsx.Sheet) bool { return p.Name == name })]
}
