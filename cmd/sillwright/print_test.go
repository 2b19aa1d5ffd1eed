package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

// Of far too many messages the worst are printed, in their order, and the others counted; a text of
// a cell that is quoted whole is cut, and what to do stays.
func TestPrintedProblemsHaveALimit(t *testing.T) {
	var problems []estimate.Problem
	for row := range maxPrinted + 30 {
		s := estimate.Note
		if row >= maxPrinted {
			s = estimate.Error
		}
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: "x.csv", Row: row + 1}, Severity: s, What: fmt.Sprintf("number %d", row),
			Do: "mend it"})
	}
	var b bytes.Buffer
	printProblems(&b, problems)
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	assert.Len(t, lines, maxPrinted+1)
	assert.Equal(t, "x.csv: line 1: note: number 0 (mend it)", lines[0])
	assert.Equal(t, 30, strings.Count(b.String(), ": error: "))
	assert.Equal(t, "sillwright: note: 30 notes more are not printed (correct those above first; check --problems FILE lists all, and so does the sheet Checks)",
		lines[maxPrinted])

	b.Reset()
	printProblems(&b, []estimate.Problem{{What: "the column " + strings.Repeat("é", 32_000) + " is not used", Do: "rename it"}})
	assert.Equal(t, "note: the column "+strings.Repeat("é", maxWords-len("the column "))+"… (rename it)\n", b.String())
}
