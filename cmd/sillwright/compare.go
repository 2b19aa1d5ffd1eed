package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
)

// The kinds of comparison.
const (
	kindJobs       = "jobs"
	kindQuotes     = "quotes"
	kindAlternates = "alternates"
	kindRevisions  = "revisions"
)

var comparisons = []string{kindJobs, kindQuotes, kindAlternates, kindRevisions}

// comparisonFile is what a comparison is called when nobody says.
const comparisonFile = "comparison.xlsx"

// mostJobs is how many jobs a comparison takes: more would not be read.
const mostJobs = 50

func compareCommand() *cli.Command {
	return &cli.Command{
		Name: "compare", Usage: "compare jobs, revisions of a job, quotes or alternates",
		ArgsUsage:   "FILE...",
		Description: "Examples:\n  sillwright compare duplex-estimate.xlsx workshop-estimate.xlsx\n  sillwright compare first-estimate.xlsx second-estimate.xlsx --out changes.xlsx\n  sillwright compare duplex-estimate.xlsx north.csv south.csv\n\nTwo estimates with one job number are compared as revisions; estimates of several\njobs side by side; price files beside one estimate as quotes; one estimate with a\nsheet Alternates by those; one beside the orders written from an earlier one, with\nwhat was ordered. Every estimate is read as it was edited and worked out\nagain.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "the workbook to write; default: " + comparisonFile + " beside the first file"},
			&cli.StringFlag{Name: "kind", Usage: "what to compare, whatever the files look like: " + strings.Join(comparisons, ", ")},
			&cli.BoolFlag{Name: "force", Usage: "replace a comparison that exists"},
		},
		Action: func(c *cli.Context) error {
			kind := strings.ToLower(c.String("kind"))
			switch {
			case !c.Args().Present():
				return misuse{"compare needs files: sillwright compare FILE..."}
			case kind != "" && !slices.Contains(comparisons, kind):
				return misuse{fmt.Sprintf("no kind %q of comparison; there are %s", c.String("kind"), strings.Join(comparisons, ", "))}
			}
			r := compareRun{out: c.String("out"), force: c.Bool("force"), stdout: c.App.Writer, stderr: c.App.ErrWriter}
			return r.run(c.Args().Slice(), kind)
		},
	}
}

// compareRun is one call of compare.
type compareRun struct {
	out            string // the workbook to write
	force          bool
	stdout, stderr io.Writer
}

// run compares files; kind is "" when they decide what is compared.
func (r compareRun) run(paths []string, kind string) error {
	if r.out == "" {
		r.out = filepath.Join(filepath.Dir(paths[0]), comparisonFile)
	}
	if err := checkTarget(r.out, r.force, paths); err != nil {
		return fmt.Errorf("%s: %w", r.out, reason(err))
	}
	f := r.sorted(paths)
	if len(f.estimates)+len(f.lists)+len(f.orders) == 0 {
		return ended(exitNothing)
	}
	code, err := r.dispatch(f, kind)
	if err != nil {
		return err
	}
	if code == exitOK && f.unread > 0 {
		code = exitIncomplete
	}
	return ended(code)
}

// compared is files told apart.
type compared struct {
	estimates  []string
	lists      []string // of prices
	orders     []string // as order writes them
	alternates bool     // the first estimate has a sheet Alternates
	unread     int
}

// sorted tells estimates from price lists. What is neither is said, and left
// out.
func (r compareRun) sorted(paths []string) compared {
	var out compared
	for _, path := range paths {
		book, problems := sheet.OpenSheets(path, func(name string) bool { return name == "" }) // a CSV file is one sheet without a name
		switch {
		case book == nil:
			report(r.stderr, problems)
			out.unread++
		case pricelist.IsOrder(book):
			out.orders = append(out.orders, path)
		case book.Sheet(schedule.OpeningsSheet) == nil:
			out.lists = append(out.lists, path)
		case book.Sheet(schedule.MaterialsSheet) == nil:
			fmt.Fprintf(r.stderr, "%s: it is a schedule, not an estimate (run: sillwright estimate %s)\n", path, path)
			out.unread++
		default:
			out.alternates = out.alternates || len(out.estimates) == 0 && book.Sheet("Alternates") != nil
			out.estimates = append(out.estimates, path)
		}
	}
	return out
}

// dispatch compares what the files hold.
func (r compareRun) dispatch(f compared, kind string) (int, error) {
	n := len(f.estimates)
	switch {
	case kind == kindQuotes, kind == "" && len(f.lists) > 0:
		if n != 1 || len(f.lists) == 0 {
			return 0, misuse{fmt.Sprintf("quotes are price files beside one estimate; found %s and %s", many(int64(len(f.lists)), "price file"), many(int64(n), "estimate"))}
		}
		return compareQuotes(r, f.estimates[0], f.lists), nil
	case len(f.lists) > 0:
		return 0, misuse{fmt.Sprintf("%s is no estimate; %s are compared between estimates", f.lists[0], kind)}
	case len(f.orders) > 0:
		if n != 1 || kind != "" && kind != kindRevisions {
			return 0, misuse{fmt.Sprintf("%s is an order; orders are compared with one estimate, as its revision; found %s", f.orders[0], many(int64(n), "estimate"))}
		}
		return r.againstOrders(f.orders, f.estimates[0]), nil
	case kind == kindAlternates, kind == "" && n == 1 && f.alternates:
		if n != 1 {
			return 0, misuse{fmt.Sprintf("alternates are those of one estimate; found %d", n)}
		}
		return compareAlternates(r, f.estimates[0]), nil
	case n < 2 && f.unread > 0:
		return exitNothing, nil
	case n < 2:
		return 0, misuse{fmt.Sprintf("%s has nothing to be compared with: name another estimate or price files, or give it a sheet Alternates", f.estimates[0])}
	case n > mostJobs:
		return 0, misuse{fmt.Sprintf("%d estimates; at most %d are compared at once", n, mostJobs)}
	}
	return r.estimates(f.estimates, kind)
}
