package schedule

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

// tried is a word in a column of an otherwise good row, what the row becomes
// ("" = it is left out) and what is said of it.
type tried struct{ column, word, becomes, says string }

// sound is the row in which words are tried. Each column has one word in it.
var sound = map[string]string{"Kind": "window", "Frame width": "35-1/2", "Frame height": "59-1/2", "Furnished by": "owner", "Jamb depth": "4-9/16"}

// try reads and takes off the words of one column, a row each.
func try(t *testing.T, column string, words []string) []tried {
	t.Helper()
	header := []string{"Mark", "Kind", "Frame width", "Frame height", "Furnished by", "Jamb depth"}
	row := func(mark string) []string {
		out := []string{mark}
		for _, h := range header[1:] {
			out = append(out, sound[h])
		}
		return out
	}
	at := -1
	for i, h := range header {
		if h == column {
			at = i
		}
	}
	if at < 0 {
		header, at = append(header, column), len(header)
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	require.NoError(t, w.Write(header))
	for i, word := range words {
		cells := row(fmt.Sprintf("Z%03d", i))
		for len(cells) <= at {
			cells = append(cells, "")
		}
		cells[at] = word
		if column == "Call size" {
			cells[2], cells[3] = "", ""
		}
		require.NoError(t, w.Write(cells))
	}
	w.Flush()
	book, ps := sheet.Parse("job.csv", b.Bytes())
	require.NotNil(t, book, "%v", ps)
	s, more := Read(book)
	checked(t, s)
	s.Book.Job.CallMeans[estimate.Window] = estimate.CallOpening
	takeoff, still := estimate.Make(s.Book)
	out := make([]tried, len(words))
	says := make([][]string, len(words))
	for _, p := range estimate.SortProblems(append(append(ps, more...), still...)) {
		if p.Place.Row >= 2 {
			says[p.Place.Row-2] = append(says[p.Place.Row-2], strings.ReplaceAll(p.Severity.String()+": "+p.Sentence(), fmt.Sprintf("Z%03d: ", p.Place.Row-2), ""))
		}
	}
	for i, word := range words {
		out[i] = tried{column, word, "", strings.Join(says[i], " | ")}
		for _, o := range takeoff.Openings {
			if o.Mark == fmt.Sprintf("Z%03d", i) {
				out[i].becomes = became(column, o)
			}
		}
	}
	return out
}

// became returns what a word made of an opening.
func became(column string, o estimate.Sized) string {
	some := func(set bool, v any) string {
		if !set {
			return "not stated"
		}
		return fmt.Sprint(v)
	}
	inches := func(l measure.Length) string { return measure.FormatInches(l, 64) }
	return map[string]string{
		"Kind": strings.TrimSpace(fmt.Sprintf("%s %s", o.Kind, o.Operation)), "Operation": "operation " + string(o.Operation), "Flange": string(o.Flange),
		"Furnished by": string(o.FurnishedBy), "Sill pan": string(o.Pan), "Sits on": string(o.SitsOn), "Trim": o.Layout, "Status": "status " + string(o.Status),
		"Story": some(o.Story.Set, o.Story.V), "Qty": fmt.Sprint(o.Qty), "Mulled units": fmt.Sprint(o.Units), "Unit cost": some(o.UnitCost.Set, o.UnitCost.V),
		"Jamb depth": some(o.UnitDepth.Set, inches(o.UnitDepth.V)), "Frame width": inches(o.Frame.W),
		"Call size": inches(o.Rough.W) + " x " + inches(o.Rough.H),
		"Notes":     "taken",
		"Tempered":  "tempered " + string(o.Tempered), "Room": strings.TrimSpace(fmt.Sprintln("room", o.Room, estimate.RoomUses(o.Room, ""))),
	}[column]
}

// TestWords runs the words that people type through the columns of Openings, and
// holds what becomes of each, and what is said, against testdata/words.csv. After
// a change, write it anew with -update and read its diff. No word is left out
// without advice.
func TestWords(t *testing.T) {
	const file = "testdata/words.csv"
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	words := map[string][]string{}
	var columns []string
	for _, r := range rows[1:] {
		if len(words[r[0]]) == 0 {
			columns = append(columns, r[0])
		}
		words[r[0]] = append(words[r[0]], r[1])
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	require.NoError(t, w.Write(rows[0]))
	for _, c := range columns {
		for _, r := range try(t, c, words[c]) {
			require.NoError(t, w.Write([]string{r.column, r.word, r.becomes, r.says}))
			if r.becomes == "" {
				assert.Regexp(t, `error: .*\(.+\)`, r.says, "%s %q is left out without advice", r.column, r.word)
			}
		}
	}
	w.Flush()
	if *update {
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
		return
	}
	assert.Equal(t, strings.Split(string(text), "\n"), strings.Split(b.String(), "\n"))
}

// TestHeadings reads a schedule of one row under each header row of
// testdata/headings.csv and holds what becomes of it, as TestWords does. A number
// of openings in a row is never passed over in silence.
func TestHeadings(t *testing.T) {
	const file = "testdata/headings.csv"
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	for _, r := range rows[1:] {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		require.NoError(t, w.WriteAll([][]string{strings.Split(r[0], "|"), strings.Split(r[1], "|")}))
		s, says := readCSV(t, b.String())
		r[2], r[3] = "", strings.ReplaceAll(strings.Join(says, " | "), "job.csv: ", "")
		for _, o := range s.Book.Openings {
			r[2] = stated(o)
		}
		if strings.Contains("|"+r[1]+"|", "|2|") && !strings.Contains(r[2], "2 x ") && r[2] != "" {
			assert.Regexp(t, "Floor|FLR|Level|STORY|Storey|Mull|wide|Screen|Lite|hinges|panels", r[0], "the count is lost: %s", r[2])
		}
	}
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	if *update {
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
		return
	}
	assert.Equal(t, strings.Split(string(text), "\n"), strings.Split(b.String(), "\n"))
}

// stated returns what a schedule states of an opening.
func stated(o estimate.Opening) string {
	inches := func(l measure.Length) string { return measure.FormatInches(l, 64) }
	out := []string{fmt.Sprintf("%d x %s %s %s", o.Qty, o.Mark, o.Kind, o.Operation)}
	for _, x := range []struct {
		name, value string
		set         bool
	}{
		{"frame", inches(o.Frame.W) + " x " + inches(o.Frame.H), o.Frame.Known()}, {"RO", inches(o.Rough.W) + " x " + inches(o.Rough.H), o.Rough.Known()},
		{"call size", o.Call, o.Call != ""}, {"mulled", fmt.Sprint(o.Units), o.Units > 0}, {"by", string(o.FurnishedBy), o.FurnishedBy != ""},
		{"cost", fmt.Sprint(o.UnitCost.V), o.UnitCost.Set}, {"sits on", string(o.SitsOn), o.SitsOn != ""}, {"flange", string(o.Flange), o.Flange != ""},
		{"pan", string(o.Pan), o.Pan != ""}, {"trim", o.Trim, o.Trim != ""}, {"status", string(o.Status), o.Status != ""},
		{"room", o.Room, o.Room != ""}, {"tempered", string(o.Tempered), o.Tempered != ""},
		{"jamb", inches(o.UnitDepth.V), o.UnitDepth.Set}, {"story", fmt.Sprint(o.Story.V), o.Story.Set}, {"sill", inches(o.SillHeight.V), o.SillHeight.Set},
		{"notes", o.Notes, o.Notes != ""}, {"beside", fmt.Sprint(o.Extra), len(o.Extra) > 0},
	} {
		if x.set {
			out = append(out, x.name+" "+x.value)
		}
	}
	return strings.Join(out, ", ")
}
