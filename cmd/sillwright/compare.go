package main

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

// The kinds of comparison.
const (
	kindJobs       = "jobs"
	kindQuotes     = "quotes"
	kindAlternates = "alternates"
	kindRevisions  = "revisions"
)

var comparisons = []string{kindJobs, kindQuotes, kindAlternates, kindRevisions}

// maxJobs is how many jobs a comparison takes: more would not be read.
const maxJobs = 50

func compareCommand() *cli.Command {
	return &cli.Command{
		Name: "compare", Usage: "compare jobs, revisions of a job, quotes or alternates",
		ArgsUsage: "FILE...",
		Description: "Examples:\n  sillwright compare duplex-estimate.xlsx workshop-estimate.xlsx\n" +
			"  sillwright compare first-estimate.xlsx second-estimate.xlsx --out changes.xlsx\n" +
			"  sillwright compare duplex-estimate.xlsx north.csv south.csv\n" +
			"  sillwright compare first-estimate.xlsx second-estimate.xlsx --change changes.xlsx --out changes-2.xlsx\n\n" +
			"The files decide what is compared:\n" +
			"  estimates of several jobs                 the jobs, side by side\n" +
			"  two estimates with the same job number    the revisions\n" +
			"  one estimate and price files              the quotes\n" +
			"  one estimate with a sheet Alternates      its alternates\n" +
			"  one estimate and orders of an earlier one what was ordered\n" +
			"Every estimate is read as edited, and calculated again.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "workbook `FILE` to write; default: " + comparisonFile + " beside the first file"},
			&cli.StringFlag{Name: "kind", Usage: "`KIND` of comparison, if not the one the files suggest: " + strings.Join(comparisons, ", ")},
			&cli.BoolFlag{Name: "force", Usage: "replace a comparison that exists"},
			&cli.StringFlag{Name: "change", Usage: "write the customer's page of a change order, by what is typed on the sheet Change of the comparison `FILE`"},
			&cli.BoolFlag{Name: "draft", Usage: "write that page though its price lacks something, marked DRAFT"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			kind := strings.ToLower(c.String("kind"))
			switch {
			case !c.Args().Present():
				return failed, misuse("it needs files (sillwright compare FILE...)")
			case kind != "" && !slices.Contains(comparisons, kind):
				return failed, misuse("--kind is %q (write one of %s)", c.String("kind"), strings.Join(comparisons, ", "))
			case c.Bool("draft") && c.String("change") == "":
				return failed, misuse("--draft is of a page for the customer (name the comparison with its entries too: --change FILE)")
			}
			r := compareRun{
				out: c.String("out"), kind: kind, force: c.Bool("force"), change: c.String("change"), draft: c.Bool("draft"), streams: streamsOf(c),
			}
			return r.run(c.Args().Slice())
		}),
	}
}

// compareRun is one run of compare.
type compareRun struct {
	out   string // the workbook to write
	kind  string // "" = the files decide what is compared
	force bool
	// change is the comparison whose sheet Change tells what is typed about a change
	// order, "" = none is written; a draft is written whatever its price lacks.
	change string
	draft  bool
	inputs []string // as named
	streams
}

// run compares files.
func (r compareRun) run(paths []string) (outcome, error) {
	r.inputs = paths
	if r.out == "" {
		r.out = filepath.Join(filepath.Dir(paths[0]), comparisonFile)
	}
	if err := checkTarget(r.out, r.force, append(slices.Clone(paths), r.changeInputs()...)); err != nil {
		return failed, fileError{r.out, reason(err)}
	}
	files := r.classify(paths)
	if len(files.estimates)+len(files.lists)+len(files.orders) == 0 {
		return failed, nil
	}
	result, err := r.compare(files)
	return max(result, succeededIf(files.unread == 0)), err
}

// compareFiles are the files of a comparison by what they are.
type compareFiles struct {
	estimates  []string
	lists      []string // of prices
	orders     []string // as order writes them
	alternates bool     // the first estimate has a sheet Alternates
	unread     int
}

// classify tells estimates, price lists and orders apart; lists of purchases are passed
// over. What is none of them is reported, and left out.
func (r compareRun) classify(paths []string) compareFiles {
	var out compareFiles
	for _, path := range paths {
		book, problems := sheet.OpenSheets(path, func(name string) bool { return name == "" }) // a CSV file is one sheet without a name
		if book != nil {
			problems = schedule.LostSheets(book, openHidden(path, book), workbook.Results(), false)
		}
		switch {
		case book == nil || estimate.Errors(problems) > 0:
			printProblems(r.stderr, problems)
			out.unread++
		case pricelist.IsOrder(book):
			out.orders = append(out.orders, path)
		case schedule.IsPurchases(book): // what orders beside it ordered
		case book.Sheet(schedule.OpeningsSheet) == nil:
			out.lists = append(out.lists, path)
		case book.Sheet(schedule.MaterialsSheet) == nil:
			printMessage(r.stderr, path, estimate.Error, "it is a schedule, not an estimate", "run: sillwright estimate "+path)
			out.unread++
		default:
			out.alternates = out.alternates || len(out.estimates) == 0 && book.Sheet(schedule.AlternateSheet) != nil
			out.estimates = append(out.estimates, path)
		}
	}
	return out
}

// compare compares what the files hold.
func (r compareRun) compare(f compareFiles) (outcome, error) {
	n := len(f.estimates)
	switch {
	case r.change != "" && (n != 2 || len(f.lists)+len(f.orders) > 0 || r.kind != "" && r.kind != kindRevisions):
		return failed, misuse("a change order is of an earlier and a later estimate of one job; found %s (sillwright compare EARLIER LATER --change FILE)",
			plural(n, "estimate"))
	case r.kind == kindQuotes, r.kind == "" && len(f.lists) > 0:
		if n != 1 || len(f.lists) == 0 {
			return failed, misuse("quotes are compared for one estimate; found %s and %s (name the estimate first: sillwright compare JOB-estimate.xlsx FILE.csv)",
				plural(n, "estimate"), plural(len(f.lists), "price file"))
		}
		return r.compareQuotes(f.estimates[0], f.lists)
	case len(f.lists) > 0:
		return failed, misuse("%s is not an estimate (name only estimates to compare %s)", f.lists[0], r.kind)
	case len(f.orders) > 0:
		if n != 1 || r.kind != "" && r.kind != kindRevisions {
			return failed, misuse("%s is an order; found %s (name the orders and one later estimate of the same job)", f.orders[0], plural(n, "estimate"))
		}
		return r.compareWithOrders(f.orders, f.estimates[0])
	case r.kind == kindAlternates, r.kind == "" && n == 1 && f.alternates && f.unread == 0:
		if n != 1 {
			return failed, misuse("alternates are priced for one estimate; found %d (name one)", n)
		}
		return r.compareAlternates(f.estimates[0])
	case n < 2 && f.unread > 0:
		return failed, nil
	case n < 2:
		return failed, misuse("%s has nothing to be compared with (name another estimate or price files, or fill in its sheet Alternates)", f.estimates[0])
	case n > maxJobs:
		return failed, misuse("%d estimates; at most %d are compared at once (name fewer)", n, maxJobs)
	}
	return r.compareEstimates(f.estimates)
}

// write writes the workbook of the comparison.
func (r compareRun) write(data []byte, err error) error { return save(r.out, data, err, r.force) }
