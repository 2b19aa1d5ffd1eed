package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

func orderCommand() *cli.Command {
	return &cli.Command{
		Name: "order", Usage: "write one order per supplier from edited estimates",
		ArgsUsage: "ESTIMATE.xlsx...",
		Description: "Example:\n  sillwright order duplex-estimate.xlsx --out orders\n\n" +
			"Reads prices, counts and suppliers as they stand in the estimate, calculates every\n" +
			"total again and writes NAME-order-SUPPLIER.xlsx and .csv. Several estimates are\n" +
			"ordered together: packs and boards are rounded up once for all of them. An order that\n" +
			"lacks something says so: in its name, which ends in INCOMPLETE, its head and its total.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the orders; default: beside the first estimate"},
			&cli.StringSliceFlag{Name: "ordered", TakesFile: true,
				Usage: "earlier order `FILE` of the job, or its purchases: what it holds is not bought again; may be repeated"},
			&cli.StringFlag{Name: "placed", Usage: "`DATE` on which these orders are placed, for the list of purchases; default: they are drafts"},
			&cli.BoolFlag{Name: "request", Usage: "write requests for quotes instead: the same lines with blank prices"},
			&cli.BoolFlag{Name: "anew", Usage: "order all of it, though earlier orders of the job lie in the folder"},
			&cli.BoolFlag{Name: "force", Usage: "replace orders that exist, and were not sent"},
			&cli.BoolFlag{Name: "partial", Usage: "write an order of the rest, too, where all that was planned is out of date"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			if !c.Args().Present() {
				return failed, misuse("it needs an estimate (sillwright order ESTIMATE.xlsx)")
			}
			r := orderRun{paths: c.Args().Slice(), out: c.String("out"), force: c.Bool("force"), partial: c.Bool("partial"),
				ordered: c.StringSlice("ordered"), anew: c.Bool("anew"), asks: c.Bool("request"), streams: streamsOf(c)}
			if r.asks && (len(r.paths) > 1 || len(r.ordered) > 0 || c.IsSet("placed")) {
				return failed, misuse("--request is of one estimate, and orders nothing (name one, without --ordered and --placed)")
			}
			if len(r.ordered) > 0 && len(r.paths) > 1 {
				return failed, misuse("--ordered is of one job (name one estimate)")
			}
			if c.IsSet("placed") {
				day, err := measure.ParseDate(c.String("placed"))
				if err != nil {
					return failed, misuse("--placed %s (write the day, such as 2026-11-25)", measure.Quote(c.String("placed")))
				}
				r.placed = estimate.Given(day)
			}
			return r.run()
		}),
	}
}

// orderRun is one run of order.
type orderRun struct {
	paths   []string
	out     string
	force   bool
	partial bool
	ordered []string // files of earlier orders
	placed  estimate.Maybe[measure.Date]
	anew    bool
	asks    bool // prices are asked for, and nothing is ordered
	rest    bool // of some job something is bought or done
	streams
}

// run orders what the estimates ask for, together. One that cannot be read is
// left out of the order, and reported there and here.
func (r *orderRun) run() (outcome, error) {
	jobs, read := readEstimates(r.paths, r.stderr)
	defer closeJobs(jobs)
	if len(jobs) == 0 {
		return failed, nil
	}
	if r.asks {
		return r.request(jobs[0])
	}
	var orderings []pricing.Ordering
	for _, j := range jobs {
		if err := r.addOrdered(j); err != nil {
			return failed, err
		}
		orderings = append(orderings, r.ordering(j))
	}
	if conflict := orderConflict(orderings); conflict != "" {
		return failed, fmt.Errorf("the estimates cannot be ordered together: %s (order each by itself)", conflict)
	}
	together := pricing.Consolidate(orderings, r.unread(jobs), r.partial)
	printProblems(r.stderr, together.Problems)
	r.printWithheld(jobs, together.Withheld)
	if len(together.Orders) == 0 && len(together.Withheld) > 0 {
		return failed, nil
	}
	if len(together.Orders)+len(together.Missing) > 0 {
		if err := r.write(jobs, together); err != nil {
			return failed, err
		}
	}
	r.print(together, orderings[0].Book.Job.Currency)
	if r.rest && len(together.Orders) > 0 {
		fmt.Fprintln(r.stdout, "\nOrdered is what is left to buy; what is done by Status, bought or on hand is not ordered again.")
	}
	return max(read, succeededIf(len(together.Missing) == 0)), nil
}

// takenOff are the sheets from whose rows the takeoff is made: what cannot be read of
// them is in no order.
var takenOff = []string{schedule.JobSheet, schedule.OpeningsSheet, schedule.MeasuredSheet, schedule.MeasuringSheet, schedule.DetailsSheet, schedule.ItemsSheet}

// unread lists what the orders lack because it cannot be read: whole estimates, and what
// errors leave out of the others, those that are alike in one.
func (r orderRun) unread(jobs []*job) (list []pricing.Missing) {
	for _, path := range r.paths {
		if !slices.ContainsFunc(jobs, func(j *job) bool { return j.path == path }) {
			list = append(list, pricing.Missing{
				Job: stem(path), Name: "all of " + filepath.Base(path), Why: "it cannot be read", Do: "see the error in it, then order again",
			})
		}
	}
	for _, j := range jobs {
		wrong := append(problemsOf(j.problems, takenOff...), j.unordered...)
		for _, g := range estimate.GroupProblems(wrong) {
			name := "what is left out for " + plural(len(g.Places), "error") + " at " + g.Place.String()
			list = append(list, pricing.Missing{Job: jobName(j), Name: name, Why: g.What, Do: cmp.Or(g.Do, "correct it")})
		}
		for _, p := range j.schedule.NotOrdered {
			list = append(list, pricing.Missing{Job: jobName(j), Name: "what was added at " + p.Place.String(), Why: p.What, Do: p.Do})
		}
	}
	return list
}

// orderConflict says why jobs cannot stand on one order; "" when they can.
func orderConflict(jobs []pricing.Ordering) string {
	first := jobs[0].Book.Job
	seen := map[string]bool{}
	for _, j := range jobs {
		b := j.Book.Job
		switch {
		case seen[j.Name]:
			return fmt.Sprintf("two are of the job %s", j.Name)
		case !strings.EqualFold(b.Currency, first.Currency):
			return fmt.Sprintf("%s is in %s, %s in %s", jobs[0].Name, first.Currency, j.Name, b.Currency)
		case b.Tax != first.Tax || b.TaxByItem != first.TaxByItem || b.TaxDelivery != first.TaxDelivery:
			return fmt.Sprintf("%s and %s have different sales taxes", jobs[0].Name, j.Name)
		}
		seen[j.Name] = true
	}
	return ""
}

// target returns the folder of the orders, and the stem of their names.
func (r orderRun) target(jobs []*job) (dir, name string) {
	name = stem(jobs[0].path)
	if len(jobs) > 1 {
		name += fmt.Sprintf("-and-%d-more", len(jobs)-1)
	}
	return outFolder(r.out, jobs[0].path), name
}

// printWithheld says which suppliers get no order.
func (r orderRun) printWithheld(jobs []*job, list []pricing.Withheld) {
	dir, name := r.target(jobs)
	for _, w := range list {
		do := "run estimate again, then order from that"
		if w.Rest > 0 {
			do += "; --partial orders the rest, " + plural(w.Rest, "item")
		}
		file := filepath.Join(dir, name+orderInfix+slug(w.Supplier, map[string]bool{})+".xlsx")
		printMessage(r.stderr, file, estimate.Error, "not written: all that follows a plan at "+w.Supplier+" (boards, rolls, mixed packs) is out of date", do)
	}
}

// errIncompleteThere refuses a complete order: who finds both could send both. The
// other is not removed, for it may have been sent.
var errIncompleteThere = errors.New("it is an incomplete order of an earlier run, and the complete one is not written beside it " +
	"(delete it, or move it away if it was sent, then order again)")

// write writes all orders or none, and none over an estimate of the run.
func (r orderRun) write(jobs []*job, together pricing.Consolidation) error {
	dir, name := r.target(jobs)
	job := jobs[0].schedule.Book.Job
	out := newOutputSet(dir, r.force, append(slices.Clone(r.paths), r.ordered...)...)
	used := map[string]bool{}
	number, earlierOrders := orderNumber(jobs[0])
	state := estimate.BuyDraft
	if r.placed.Set {
		state = estimate.BuyPlaced
	}
	lines, infix := slices.Clone(job.Purchases), orderInfix
	var before []estimate.Progress
	if !slices.ContainsFunc(lines, estimate.Bought.Counts) {
		before = estimate.ProgressOf(jobs[0].takeoff)
	}
	if earlierOrders > 0 {
		infix += strconv.Itoa(earlierOrders+1) + "-"
	}
	for _, o := range together.Orders {
		supplier := slug(o.Terms.Supplier, used)
		used[supplier+strings.ToLower(incompleteOrder)] = true // where names in any case are the same
		file := name + infix + supplier
		lines = append(lines, pricelist.OrderedNow(o, number, state, r.placed, before)...)
		before = nil
		earlier := ""
		if exists(filepath.Join(dir, file+".xlsx")) {
			earlier = file + ".xlsx"
		}
		notes := o.Notes(len(together.Jobs), earlier)
		if len(o.Missing) > 0 {
			file += incompleteOrder
		} else {
			out.refuseBeside(errIncompleteThere, file+incompleteOrder+".csv", file+incompleteOrder+".xlsx")
		}
		data, err := pricelist.WriteOrder(o, pricelist.OrderName{Number: number, Jobs: together.Jobs}, job.Currency, notes)
		out.add(file+".csv", data, err)
		data, err = workbook.Order(workbook.OrderInput{Jobs: together.Jobs, ShipTo: shipTo(jobs), Job: job, Order: o, Notes: notes})
		out.add(file+".xlsx", data, err)
	}
	if len(together.Missing) > 0 {
		data, err := pricelist.WriteMissing(together.Missing)
		out.add(name+notOrderedEnding, data, err)
	}
	if len(jobs) == 1 && len(together.Missing) == 0 {
		data, err := pricelist.WritePurchases(lines)
		file := name + purchasesEnding
		if earlierOrders > 0 {
			file = fmt.Sprintf("%s-purchases-%d.csv", name, earlierOrders+1)
		}
		out.add(file, data, err)
	}
	list := r.unnamed(dir, name, jobs, out.names)
	if len(list) > 0 && !r.anew && !slices.ContainsFunc(out.errs, func(err fileError) bool { return errors.Is(err, errIncompleteThere) }) {
		return fmt.Errorf("earlier orders of this job lie in %s: %s (name them, or the list of purchases, with --ordered, so that nothing is bought twice; "+
			"--force replaces orders that were not sent; --anew orders all of it)", dir, strings.Join(list, ", "))
	}
	if err := out.write(); err != nil {
		return err
	}
	return r.printEarlier(dir, name, out.names, list)
}

// printEarlier warns of what earlier runs left beside the files of this one: orders that
// nobody names, and lists.
func (r orderRun) printEarlier(dir, stem string, written, unnamed []string) error {
	files, err := os.ReadDir(dir)
	if err != nil {
		return fileError{dir, reason(err)}
	}
	for _, entry := range files {
		f := filepath.Join(dir, entry.Name())
		ending := filepath.Ext(f)
		incomplete := strings.TrimSuffix(f, ending) + incompleteOrder + ending
		isList := entry.Name() == stem+notOrderedEnding
		what, do := "an order of an earlier run, not of this one", "delete it, so that it is not sent"
		switch {
		case slices.Contains(written, f), !isList && !slices.Contains(written, incomplete) && !slices.Contains(unnamed, strings.TrimSuffix(entry.Name(), ending)+".csv"):
			continue
		case slices.Contains(written, incomplete):
			what, do = "an order of an earlier run; that of this run is incomplete, "+filepath.Base(incomplete), "send only one of them"
		case isList:
			what, do = "a list of an earlier run; in this one everything is ordered", "delete it"
		}
		printMessage(r.stderr, f, estimate.Warning, what, do)
	}
	return nil
}

// shipTo lists where the jobs want their orders, each place once.
func shipTo(jobs []*job) []string {
	var out []string
	for _, j := range jobs {
		to := j.schedule.Book.Job.ShipTo
		if to != "" && len(jobs) > 1 {
			to = jobName(j) + ": " + to
		}
		if to != "" && !slices.Contains(out, to) {
			out = append(out, to)
		}
	}
	return out
}

// print prints the closing table.
func (r orderRun) print(t pricing.Consolidation, currency string) {
	if len(t.Orders) == 0 && len(t.Missing) == 0 {
		fmt.Fprintln(r.stdout, "Nothing is to be bought: what is bought and on hand serves what is left. No order is written.")
		return
	}
	rows := [][]string{{"Supplier", "Lines", "Materials", "Delivery", "Tax", "Total", ""}}
	for _, o := range t.Orders {
		var state []string
		if len(o.Missing) > 0 {
			state = append(state, fmt.Sprintf("INCOMPLETE, %d missing", len(o.Missing)))
		}
		if len(o.OnHold) > 0 {
			state = append(state, fmt.Sprintf("%d on hold: see its first rows", len(o.OnHold)))
		}
		if o.Below {
			state = append(state, "below its minimum")
		}
		rows = append(rows, []string{
			o.Terms.Supplier, fmt.Sprint(len(o.Lines)), o.Materials.String(), o.Delivery.String(), o.Tax.String(),
			o.Total().String() + " " + currency, strings.Join(state, "; "),
		})
	}
	printColumns(r.stdout, rows, "Supplier", "")
	if len(t.Jobs) > 1 {
		fmt.Fprintf(r.stdout, "\nTogether %s, separately %s: %s saved; %d packs and pieces instead of %d.\n",
			t.Total(), t.Apart, t.Apart-t.Total(), t.Packs, t.PacksOf)
		for j, name := range t.Jobs {
			share := measure.Money(0)
			for _, o := range t.Orders {
				share += o.Shares[j]
			}
			fmt.Fprintf(r.stdout, "Share of %s: %s.\n", name, share)
		}
	}
	if n := len(t.Missing); n > 0 {
		fmt.Fprintf(r.stdout, "\n%s not ordered, or not all of it: see the file whose name ends in not-ordered.csv.\n", plural(n, "item"))
	}
}
