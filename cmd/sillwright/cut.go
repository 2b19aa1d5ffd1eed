package main

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/cutlist"
	"sillwright/io/cutting"
	"sillwright/io/sheet"
)

func cutCommand() *cli.Command {
	return &cli.Command{
		Name: "cut", Usage: "plan how to cut pieces from stock at the lowest cost",
		ArgsUsage: "PIECES",
		Description: `Example:
  sillwright cut pieces.csv --stock stock.csv --end-trim 1/4 --out plan.csv

Both lists are CSV files or the first sheet of workbooks. Pieces have the columns
length and count, and may have label, on hold (yes or no) and factory end (yes or
no). Stock has length and price, and may have available (blank: no limit) and
name. A price of 0 is stock on hand. A length without a unit is in --units, inches
unless you say mm: 84, 84-1/2, 7'-0 1/2", 914 mm, 0.914 m.
The last line printed is always of the form
  result boards=73 cost=73.00 bound=73.00 proven=true
No plan for the pieces that are cut costs less than the bound.`,
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "stock", Usage: "stock list `FILE`, CSV or workbook; may be repeated", TakesFile: true},
			&cli.StringFlag{Name: "kerf", Value: "1/8 in", Usage: "`WIDTH` of the saw cut"},
			&cli.StringFlag{Name: "end-trim", Value: "0", Usage: "`LENGTH` cut off both ends of every board to square them, saw cut included"},
			&cli.StringFlag{Name: "units", Value: "inches", Usage: "`UNIT` of lengths without one, and of the plan: inches or mm"},
			&cli.StringFlag{Name: "effort", Value: "1", Usage: "work to spend on a cheaper plan and its proof; an `N` of 2 is twice as much"},
			&cli.StringFlag{Name: "out", Usage: "`FILE` for the plan, .csv or .xlsx"},
			&cli.BoolFlag{Name: "force", Usage: "replace the file if it exists"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			r, err := newCutRun(c)
			if err != nil {
				return failed, err
			}
			return r.run()
		}),
	}
}

// cutRun is one run of cut.
type cutRun struct {
	pieces     string
	stock      []string
	kerf, trim measure.Length
	unit       measure.Unit
	effort     float64
	out        string
	force      bool
	streams
}

func newCutRun(c *cli.Context) (r cutRun, err error) {
	switch {
	case c.NArg() != 1:
		return r, misuse("it needs one list of pieces (sillwright cut PIECES --stock STOCK)")
	case len(c.StringSlice("stock")) == 0:
		return r, misuse("it needs the stock to cut from (sillwright cut PIECES --stock STOCK)")
	}
	r = cutRun{pieces: c.Args().First(), stock: c.StringSlice("stock"), out: c.String("out"), force: c.Bool("force"), streams: streamsOf(c)}
	units := map[string]measure.Unit{"inches": measure.Inches, "in": measure.Inches, "mm": measure.Millimeters}
	r.unit = units[strings.ToLower(c.String("units"))]
	if r.unit == measure.NoUnit {
		return r, misuse("--units is %q (write inches or mm)", c.String("units"))
	}
	for _, l := range []struct {
		flag string
		to   *measure.Length
	}{{"kerf", &r.kerf}, {"end-trim", &r.trim}} {
		if *l.to, err = measure.ParseLength(c.String(l.flag), r.unit); err != nil {
			return r, misuse("--%s: %v", l.flag, err)
		}
	}
	if r.effort, err = strconv.ParseFloat(c.String("effort"), 64); err != nil || !(r.effort > 0) || math.IsInf(r.effort, 0) {
		return r, misuse("--effort is %q (write a number above 0, such as 2 for twice as much work)", c.String("effort"))
	}
	if c.IsSet("out") && r.encoder() == nil {
		return r, misuse("--out is %q (end it in .csv or .xlsx)", r.out)
	}
	return r, nil
}

// encoder returns what writes files of the ending of --out, nil if nothing does.
func (r cutRun) encoder() func(cutlist.Cutting, []estimate.Problem) ([]byte, error) {
	switch strings.ToLower(filepath.Ext(r.out)) {
	case ".csv":
		return func(c cutlist.Cutting, _ []estimate.Problem) ([]byte, error) { return c.CSV() }
	case ".xlsx":
		return r.workbook
	}
	return nil
}

// workbook returns the plan as a workbook.
func (r cutRun) workbook(c cutlist.Cutting, problems []estimate.Problem) ([]byte, error) {
	in := cutting.Input{
		File: filepath.Base(r.pieces), MM: c.Unit == measure.Millimeters, Problem: c.Problem, Plan: c.Plan, Problems: problems,
	}
	for _, s := range c.Stocks {
		in.Stocks = append(in.Stocks, s.Name)
	}
	return cutting.Workbook(in)
}

// run plans the cutting, writes it if asked to, and prints it. Nothing is
// printed of a plan that could not be written.
func (r cutRun) run() (outcome, error) {
	if r.out != "" {
		if err := checkTarget(r.out, r.force, append(slices.Clone(r.stock), r.pieces)); err != nil {
			return failed, fileError{r.out, reason(err)}
		}
	}
	c, problems, ok := r.read()
	if !ok {
		printProblems(r.stderr, estimate.SortProblems(problems))
		return failed, nil
	}
	c.Plan = cut.Solve(c.Problem)
	problems = estimate.SortProblems(append(problems, c.Problems()...))
	printProblems(r.stderr, problems)
	if r.out != "" {
		data, err := r.encoder()(c, problems)
		if err := save(r.out, data, err, r.force); err != nil {
			return failed, err
		}
	}
	printCutting(r.stdout, c)
	return succeededIf(estimate.Errors(problems) == 0), nil
}

// read reads the lists. It reports false when one of them gives nothing.
func (r cutRun) read() (c cutlist.Cutting, problems []estimate.Problem, ok bool) {
	pieces, problems := readList(r.pieces, r.unit, cutlist.ReadPieces)
	ok = len(pieces) > 0
	var stock []cutlist.Stock
	for _, path := range r.stock {
		more, ps := readList(path, r.unit, cutlist.ReadStock)
		stock, problems = append(stock, more...), append(problems, ps...)
		ok = ok && len(more) > 0
	}
	c = cutlist.New(pieces, stock, r.kerf, r.trim, r.unit)
	c.Problem.Effort = r.effort
	return c, problems, ok
}

// readList opens and reads a list.
func readList[T any](path string, unit measure.Unit, read func(*sheet.Book, measure.Unit) ([]T, []estimate.Problem)) ([]T, []estimate.Problem) {
	book, problems := sheet.Open(path)
	if book == nil {
		return nil, problems
	}
	rows, more := read(book, unit)
	return rows, append(problems, more...)
}
