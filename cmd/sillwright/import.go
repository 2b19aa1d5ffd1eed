package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/intake"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

func importCommand() *cli.Command {
	return &cli.Command{
		Name: "import", Usage: "turn other people's window and door schedules into one schedule",
		ArgsUsage: "FILE...",
		Description: "Example:\n  sillwright import windows.xlsx doors.csv --basis opening --out elm-street.xlsx\n\n" +
			"Reads schedules as workbooks or CSV, and COBie workbooks, into one schedule. It\n" +
			"prints what it decided, then what it doubts; with --verbose also every column,\n" +
			"heading and row that it took or left out. Where nothing says whether a width is\n" +
			"the frame's or the rough opening's, --basis must.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "schedule `FILE` to write; default: the first list's NAME" + importEnding, TakesFile: true},
			&cli.StringFlag{Name: "basis", Usage: "`BASIS` of sizes where no header says: frame or opening (rough opening)"},
			&cli.StringFlag{Name: "units", Usage: "`UNIT` of numbers where no header states one: inches, mm or m"},
			&cli.BoolFlag{Name: "verbose", Usage: "print all that was noted, not only what is doubtful"},
			&cli.BoolFlag{Name: "force", Usage: "replace a schedule that exists"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			r := importRun{files: c.Args().Slice(), out: c.String("out"), force: c.Bool("force"), verbose: c.Bool("verbose"), streams: streamsOf(c)}
			if len(r.files) == 0 {
				return failed, misuse("it needs a list of openings: sillwright import FILE")
			}
			var ok bool
			if r.options.Basis, ok = intake.ParseBasis(c.String("basis")); !ok {
				return failed, misuse("--basis is %q (write frame or opening)", c.String("basis"))
			}
			if r.options.Units, ok = measure.ParseUnit(c.String("units")); !ok && c.String("units") != "" {
				return failed, misuse("--units is %q (write inches, mm or m)", c.String("units"))
			}
			return r.run()
		}),
	}
}

// importRun is one run of import.
type importRun struct {
	files   []string
	out     string
	force   bool
	verbose bool
	options intake.Options
	streams
}

// run imports all lists into one schedule.
func (r importRun) run() (outcome, error) {
	target := r.out
	if target == "" {
		target = importTarget(r.files[0])
	}
	if err := checkTarget(target, r.force, r.files); err != nil {
		return failed, fileError{target, reason(err)}
	}
	var books []*sheet.Book
	var problems []estimate.Problem
	for _, f := range r.files {
		b, ps := sheet.OpenSheets(f, intake.Wanted)
		problems = append(problems, ps...)
		if b != nil {
			books = append(books, b)
		}
	}
	s, ps := schedule.Shipped()
	problems = append(problems, ps...)
	r.options.Trims = sheet.TrimLayout(s.Book.Layouts)
	result, ps := intake.Read(books, r.options)
	problems = estimate.SortProblems(append(problems, ps...))
	r.printCounts(result)
	r.printDoubts(problems)
	if len(result.Openings) == 0 {
		fmt.Fprintln(r.stdout, "Nothing is written.")
		return failed, nil
	}
	data, job, err := importedSchedule(result, r.source())
	if err == nil {
		err = writeFile(target, data, r.force)
	}
	if err != nil {
		return failed, writeError(target, err)
	}
	r.printNextSteps(target, result, job)
	return succeededIf(estimate.Errors(problems) == 0), nil
}

// source names the lists in the schedule.
func (r importRun) source() string {
	var names []string
	for _, f := range r.files {
		names = append(names, filepath.Base(f))
	}
	return "Imported from " + strings.Join(names, ", ") + ". Notes say where each row comes from and what its size was taken for: check them."
}

// How many sizes are printed, the most frequent ones.
const (
	maxSizes     = 5
	verboseSizes = 20
)

// printDoubts prints what is wrong or doubtful, and says that there is more; all
// of it when that is asked for.
func (r importRun) printDoubts(problems []estimate.Problem) {
	if r.verbose {
		printProblems(r.stderr, problems)
		return
	}
	doubts := slices.DeleteFunc(slices.Clone(problems), func(p estimate.Problem) bool { return p.Severity == estimate.Note })
	printProblems(r.stderr, doubts)
	if n := len(problems) - len(doubts); n > 0 {
		fmt.Fprintf(r.stdout, "%s more with --verbose\n", plural(n, "note"))
	}
}

// printCounts prints what was found, what became of it and what was decided.
func (r importRun) printCounts(result intake.Result) {
	most := maxSizes
	if r.verbose {
		most = verboseSizes
	}
	fmt.Fprintf(r.stdout, "%s listed", plural(result.Found, "opening"))
	if len(result.Sizes) > 0 {
		fmt.Fprintf(r.stdout, ", of %s", plural(len(result.Sizes), "size"))
	}
	fmt.Fprintln(r.stdout)
	for i, c := range result.Sizes {
		if i == most {
			fmt.Fprintf(r.stdout, "        and %d more sizes\n", len(result.Sizes)-i)
			break
		}
		fmt.Fprintf(r.stdout, "%6d  %s\n", c.N, c.What)
	}
	fmt.Fprintf(r.stdout, "%s taken, in %s\n", plural(result.Taken(), "opening"), plural(len(result.Openings), "row"))
	for _, c := range result.LeftOut {
		fmt.Fprintf(r.stdout, "%d left out: %s\n", c.N, c.What)
	}
	if result.Refused > 0 {
		fmt.Fprintf(r.stdout, "%d left out because of an error\n", result.Refused)
	}
	for _, d := range result.Decided {
		fmt.Fprintf(r.stdout, "%s: %s\n", d.Place, d.What)
	}
}

// printNextSteps prints what is still to be filled in, and how to go on.
func (r importRun) printNextSteps(target string, result intake.Result, job estimate.Job) {
	target = onOneLine(target)
	fmt.Fprintf(r.stdout, "\n%s is written. Check these before estimating:\n", target)
	for _, k := range result.Calls {
		if job.CallMeans[k] == "" {
			fmt.Fprintf(r.stdout, "  Job, call size %s: unit or opening; without it the call sizes of %ss cannot be used\n", k, k)
		} else {
			fmt.Fprintf(r.stdout, "  Job, call size %s: blank is %s\n", k, job.CallMeans[k])
		}
	}
	for _, k := range estimate.Kinds {
		kind := estimate.Kind(k)
		if slices.ContainsFunc(result.Openings, func(o estimate.Opening) bool { return o.Kind == kind }) {
			fmt.Fprintf(r.stdout, "  Openings, Sits on and Flange of each %s: blank is %s, and %s\n", k,
				cmp.Or(job.SitsOn[kind], "none"), cmp.Or(job.Flange[kind], "none"))
		}
	}
	fmt.Fprintln(r.stdout, "  Openings, Furnished by and Unit cost: blank is furnished by the builder, and its unit cost is missing")
	fmt.Fprintln(r.stdout, "  Job: job name, job date, coldest forecast, wall and trim")
	fmt.Fprintf(r.stdout, "Then: sillwright estimate %s --prices PRICES.csv\n", target)
}

// importedSchedule returns the schedule workbook of what was imported, and its
// job. What our own reader would not read again is not written.
func importedSchedule(result intake.Result, how string) ([]byte, estimate.Job, error) {
	s, problems := schedule.Shipped()
	if estimate.Errors(problems) > 0 {
		return nil, estimate.Job{}, fmt.Errorf("the shipped tables: %v", problems)
	}
	in := scheduleInput(s, how)
	in.Book.Openings = result.Openings
	in.Openings = openingsTable(result)
	data, err := workbook.Schedule(in)
	if err != nil {
		return nil, estimate.Job{}, err
	}
	book, problems := sheet.Parse("schedule", data)
	if book != nil {
		again, more := schedule.Read(book, workbook.Results()...)
		problems = append(problems, more...)
		if again.Rows != len(result.Openings) {
			what := fmt.Sprintf("%d rows of %d can be read", again.Rows, len(result.Openings))
			problems = append(problems, estimate.Problem{Severity: estimate.Error, What: what})
		}
	}
	if estimate.Errors(problems) > 0 {
		return nil, estimate.Job{}, fmt.Errorf("it cannot be read again: %v", problems)
	}
	return data, s.Book.Job, nil
}

// openingsTable writes openings as the sheet Openings.
func openingsTable(result intake.Result) workbook.Table {
	t := workbook.Table{Columns: schedule.OpeningColumns()}
	for _, c := range t.Columns {
		header := c
		if sizeOf(c, estimate.Opening{}) != nil && result.Metric {
			header += " (mm)"
		}
		t.Headers = append(t.Headers, header)
	}
	for i, o := range result.Openings {
		row := make([]sheet.Cell, len(t.Columns))
		for k, c := range t.Columns {
			row[k] = openingCell(c, o, result.Metric)
		}
		t.Rows, t.Opening = append(t.Rows, row), append(t.Opening, i)
	}
	return t
}

// sizeOf returns the length that a column of sizes holds, nil for others.
func sizeOf(column string, o estimate.Opening) *measure.Length {
	return map[string]*measure.Length{
		"Frame width": &o.Frame.W, "Frame height": &o.Frame.H, "RO width": &o.Rough.W, "RO height": &o.Rough.H, "Jamb depth": &o.UnitDepth.V,
		"Sill height": &o.SillHeight.V,
	}[column]
}

func openingCell(column string, o estimate.Opening, metric bool) sheet.Cell {
	words := map[string]string{"Mark": o.Mark, "Kind": string(o.Kind), "Operation": string(o.Operation),
		"Call size": o.Call, "Elevation": o.Elevation, "Notes": o.Notes, "Flange": string(o.Flange), "Furnished by": string(o.FurnishedBy),
		"Sill pan": string(o.Pan), "Trim": o.Trim, "Status": string(o.Status), "Sits on": string(o.SitsOn)}
	l := sizeOf(column, o)
	switch {
	case words[column] != "":
		return sheet.Cell{Kind: sheet.Text, Text: words[column]}
	case column == "Qty":
		return numberCell(float64(o.Qty))
	case column == "Unit cost" && o.UnitCost.Set:
		return numberCell(float64(o.UnitCost.V) / 100)
	case column == "Story" && o.Story.Set:
		return numberCell(float64(o.Story.V))
	case l == nil || *l == 0:
		return sheet.Cell{}
	case metric:
		return numberCell(float64(*l) / float64(measure.Millimeter))
	}
	return numberCell(l.Inches())
}

func numberCell(v float64) sheet.Cell {
	return sheet.Cell{Kind: sheet.Number, Number: v, Text: fmt.Sprint(v)}
}
