package intake

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

var update = flag.Bool("update", false, "write testdata anew")

// TestWords reads lists of one row, as other people write them, and holds what
// becomes of each and what is said of it against testdata/words.csv. After a
// change, write it anew with -update and read its diff.
func TestWords(t *testing.T) {
	const file = "testdata/words.csv"
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	trims := sheet.TrimLayout(estimate.Layouts{{Layout: "mitered"}, {Layout: "head over legs"}})
	cells := func(s string) []any {
		var out []any
		for _, c := range strings.Split(s, "|") {
			out = append(out, c)
		}
		return out
	}
	for _, r := range rows[1:] {
		book := bookOf(t, "list.xlsx", [][]any{{r[0]}, cells(r[1]), cells(r[2])})
		result, ps := Read([]*sheet.Book{book}, Options{Basis: map[bool]Basis{true: Opening}[r[0] == "Doors"], Units: measure.Inches, Trims: trims})
		counted(t, result)
		r[3] = ""
		for _, o := range result.Openings {
			r[3] = became(o)
		}
		var says []string
		for _, c := range result.LeftOut {
			says = append(says, fmt.Sprintf("%d left out: %s", c.N, c.What))
		}
		for _, p := range ps {
			if p.Severity != estimate.Note {
				says = append(says, p.Severity.String()+": "+p.Sentence())
			}
		}
		for _, d := range result.Decided {
			if strings.HasPrefix(d.What, "columns not used") {
				says = append(says, d.What)
			}
		}
		r[4] = strings.Join(says, " | ")
		assert.True(t, r[3] != "" || r[4] != "", "%v is lost without a word", r)
	}
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	if *update {
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
		return
	}
	assert.Equal(t, strings.Split(string(text), "\n"), strings.Split(b.String(), "\n"))
}

// became returns what a row made of an opening.
func became(o estimate.Opening) string {
	inches := func(l measure.Length) string { return measure.FormatInches(l, 64) }
	out := []string{strings.TrimSpace(fmt.Sprintf("%d x %s %s", o.Qty, o.Kind, o.Operation))}
	for _, x := range []struct {
		name, value string
		set         bool
	}{
		{"frame", inches(o.Frame.W) + " x " + inches(o.Frame.H), o.Frame.Known()}, {"RO", inches(o.Rough.W) + " x " + inches(o.Rough.H), o.Rough.Known()},
		{"call size", o.Call, o.Call != ""}, {"by", string(o.FurnishedBy), o.FurnishedBy != ""}, {"cost", fmt.Sprint(o.UnitCost.V), o.UnitCost.Set},
		{"sits on", string(o.SitsOn), o.SitsOn != ""}, {"flange", string(o.Flange), o.Flange != ""}, {"pan", string(o.Pan), o.Pan != ""},
		{"trim", o.Trim, o.Trim != ""}, {"status", string(o.Status), o.Status != ""}, {"jamb", inches(o.UnitDepth.V), o.UnitDepth.Set},
		{"story", fmt.Sprint(o.Story.V), o.Story.Set}, {"sill", inches(o.SillHeight.V), o.SillHeight.Set}, {"notes", o.Notes, o.Notes != ""},
	} {
		if x.set {
			out = append(out, x.name+" "+x.value)
		}
	}
	return strings.Join(out, ", ")
}
