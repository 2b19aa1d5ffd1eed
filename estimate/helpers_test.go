package estimate_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// in returns a length in inches, to the nanometer.
func in(x float64) measure.Length { return measure.Length(math.Round(x * float64(measure.Inch))) }

// size returns a width and height in inches.
func size(w, h float64) estimate.Size { return estimate.Size{W: in(w), H: in(h)} }

// even returns the same joint on all sides.
func even(g measure.Length) estimate.Gaps { return estimate.Gaps{Head: g, Legs: g, Bottom: g} }

// inches, squareInches and cubicInches say a quantity as the sources print it.
func inches(l measure.Length) float64      { return float64(l) / float64(measure.Inch) }
func squareInches(a measure.Area) float64  { return float64(a) / 645_160_000 }
func cubicInches(v measure.Volume) float64 { return float64(v) / 16_387_064 }

// section returns a section in inches.
func section(w, d float64) measure.Area { return measure.AreaOf(in(w), in(d)) }

// row is a line of a table by header.
type row = map[string]string

// shippedRows reads a table that the product ships.
func shippedRows(t testing.TB, name string) []row {
	f, err := os.Open("../templates/" + name)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []row
	for _, line := range lines[1:] {
		r := row{}
		for i, header := range lines[0] {
			r[header] = line[i]
		}
		out = append(out, r)
	}
	return out
}

// length reads a cell that may be blank.
func (c cells) length(header string) measure.Length {
	if c.row[header] == "" {
		return 0
	}
	l, err := measure.ParseLength(c.row[header], measure.Inches)
	require.NoError(c.t, err, header)
	return l
}

// count reads a whole number with its sign.
func (c cells) count(header string) (n int64) {
	_, err := fmt.Sscan(c.row[header], &n)
	require.NoError(c.t, err, header)
	return n
}

type cells struct {
	t   testing.TB
	row row
}

// shippedLayouts reads the trim layouts that ship.
func shippedLayouts(t testing.TB) estimate.Layouts {
	var out estimate.Layouts
	for _, r := range shippedRows(t, "layouts.csv") {
		c := cells{t, r}
		out = append(out, estimate.LayoutPiece{
			Layout: r["layout"], Piece: estimate.PieceName(r["piece"]), Board: estimate.Board(r["board"]), Count: c.count("count"),
			W: c.count("w"), H: c.count("h"), Gap: c.count("gap"), Head: c.count("head"), Leg: c.count("leg"), Bottom: c.count("bottom"),
			Over: c.count("overhang"), Horn: c.count("horn"), Drop: c.count("drop"), Bored: c.count("bored ends"), Mitered: c.count("mitered ends"),
			Equal: r["equal boards"] == "yes", Pair: r["pair"] == "yes", Ends: r["ends"],
		})
	}
	return out
}

// shippedItems reads as much of the items that ship as a takeoff looks at.
func shippedItems(t testing.TB) estimate.Items {
	var out []estimate.Item
	for _, r := range shippedRows(t, "items.csv") {
		c := cells{t, r}
		out = append(out, estimate.Item{
			Key: r["key"], Family: r["family"], Class: r["class"], Cut: r["buy"] == "cut", Dim: estimate.Dimension(slices.Index(estimate.DimensionWords, r["need"])),
			Width: c.length("width"), Thickness: c.length("thickness"), Length: c.length("length"),
			FitsFrom: c.length("fits from"), FitsTo: c.length("fits to"), End: c.length("end"), Lap: c.length("lap"),
			Coil: c.length("coil width"), Notes: r["notes"], Forms: r["flexible"] == "yes",
		})
	}
	return estimate.NewItems(out)
}

// shippedJob returns the job of the shipped defaults with some keys changed,
// each written "key=value".
func shippedJob(t testing.TB, items estimate.Items, changes ...string) estimate.Job {
	texts := row{}
	for _, c := range changes {
		key, value, _ := strings.Cut(c, "=")
		texts[key] = value
	}
	var settings []estimate.Setting
	for _, r := range shippedRows(t, "settings.csv") {
		settings = append(settings, estimate.Setting{Key: r["key"], Default: r["value"], Unit: r["unit"], Text: texts[r["key"]], Least: r["least"], Most: r["most"]})
		delete(texts, r["key"])
	}
	require.Empty(t, texts, "keys that no line of settings.csv has")
	job, problems := estimate.NewJob(settings, items)
	require.Empty(t, problems)
	return job
}

// stepRows places rows of a Details sheet as the workbook would.
func stepRows(rows ...row) []estimate.StepText {
	out := make([]estimate.StepText, len(rows))
	for i, r := range rows {
		at := map[string]estimate.Place{}
		for col, header := range estimate.StepColumns {
			at[header] = estimate.Place{File: "job.xlsx", Sheet: "Details", Row: i + 2, Col: col + 1}
		}
		out[i] = estimate.StepText{Place: estimate.Place{File: "job.xlsx", Sheet: "Details", Row: i + 2}, At: at, Fields: r}
	}
	return out
}

// shipped returns a book with everything that ships, no openings, and some
// keys of the job changed.
func shipped(t testing.TB, changes ...string) estimate.Book {
	items := shippedItems(t)
	b := estimate.Book{Job: shippedJob(t, items, changes...), Items: items, Layouts: shippedLayouts(t)}
	details, problems := estimate.ParseDetails(stepRows(shippedRows(t, "details.csv")...), items, roles(b.Job))
	require.Empty(t, problems, "the shipped details")
	b.Details = details
	return b
}

func roles(job estimate.Job) []string { return slices.Sorted(maps.Keys(job.Role)) }

// with returns the shipped book with one detail of these rows in place of all.
func with(t testing.TB, b estimate.Book, rows ...row) estimate.Book {
	all := []row{{"Detail": "mine", "Step": "0"}}
	for _, r := range rows {
		r = maps.Clone(r)
		r["Detail"], r["Step"] = "mine", "1"
		all = append(all, r)
	}
	details, problems := estimate.ParseDetails(stepRows(all...), b.Items, roles(b.Job))
	require.Empty(t, problems)
	b.Details = details
	return b
}

// headers are those of the Openings sheet, A to AC.
var headers = []string{
	"Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "RO height", "Mulled units", "Sits on", "Flange", "Furnished by", "Unit cost",
	"Measured width", "Measured height", "Status", "Notes", "Call size", "Unit widths", "Jamb depth", "Leg drop", "Sill pan", "Detail", "Trim",
	"Story", "Sill height", "Height above grade", "Wall depth", "Elevation", "Unit heights",
}

// takeOff takes off openings, in the rows from 2 down. Problems come sorted.
func takeOff(b estimate.Book, openings ...estimate.Opening) (estimate.Takeoff, []estimate.Problem) {
	for i := range openings {
		openings[i].At = map[string]estimate.Place{}
		for col, header := range headers {
			openings[i].At[header] = estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: i + 2, Col: col + 1}
		}
		openings[i].Place = estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: i + 2}
	}
	b.Openings = openings
	take, problems := estimate.Make(b)
	return take, estimate.SortProblems(problems)
}

// mustTake takes off openings that have no error.
func mustTake(t testing.TB, b estimate.Book, openings ...estimate.Opening) estimate.Takeoff {
	take, problems := takeOff(b, openings...)
	require.Zero(t, estimate.Errors(problems), "%v", problems)
	return take
}

// lines returns the problems as printed.
func lines(problems []estimate.Problem) []string {
	var out []string
	for _, p := range problems {
		out = append(out, p.String())
	}
	return out
}

// serious returns the problems that are more than notes, as printed.
func serious(problems []estimate.Problem) []string {
	return lines(slices.DeleteFunc(slices.Clone(problems), func(p estimate.Problem) bool { return p.Severity == estimate.Note }))
}

// needs returns the requirements of an item in words: pieces "2 x 59", a count
// "22", or an amount "132 in", "5.250 in2", "14.579 in3".
func needs(take estimate.Takeoff, item string) []string {
	var out []string
	for _, r := range take.Requirements {
		if r.Item == item {
			out = append(out, need(r))
		}
	}
	return out
}

func need(r estimate.Requirement) string {
	switch {
	case r.Pieces() && r.Second > 0:
		return fmt.Sprintf("%d x %s x %.3f", r.Count, measure.FormatInches(r.Length, 64), inches(r.Second))
	case r.Pieces():
		return fmt.Sprintf("%d x %s", r.Count, measure.FormatInches(r.Length, 64))
	case r.Dim == estimate.Lengthwise:
		return measure.FormatInches(measure.Length(r.Amount), 64) + " in"
	case r.Dim == estimate.Areawise:
		return fmt.Sprintf("%.3f in2", squareInches(measure.Area(r.Amount)))
	case r.Dim == estimate.Volumewise:
		return fmt.Sprintf("%.3f in3", cubicInches(measure.Volume(r.Amount)))
	}
	return fmt.Sprint(r.Amount)
}

// window, entryDoor, patioDoor and overheadDoor return openings by frame size.
func window(w, h float64) estimate.Opening {
	return estimate.Opening{Mark: "W1", Kind: estimate.Window, Frame: size(w, h)}
}

func entryDoor(w, h float64) estimate.Opening {
	return estimate.Opening{Mark: "D1", Kind: estimate.EntryDoor, Frame: size(w, h)}
}

func patioDoor(w, h float64) estimate.Opening {
	return estimate.Opening{Mark: "P1", Kind: estimate.PatioDoor, Frame: size(w, h)}
}

func overheadDoor(w, h float64) estimate.Opening {
	return estimate.Opening{Mark: "G1", Kind: estimate.OverheadDoor, Frame: size(w, h)}
}
