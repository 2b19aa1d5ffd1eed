package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
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
			"ordered together: packs and boards are rounded up once for all of them.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the orders; default: beside the first estimate"},
			&cli.BoolFlag{Name: "force", Usage: "replace orders that exist"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			if !c.Args().Present() {
				return failed, misuse("it needs an estimate (sillwright order ESTIMATE.xlsx)")
			}
			r := orderRun{paths: c.Args().Slice(), out: c.String("out"), force: c.Bool("force"), streams: streamsOf(c)}
			return r.run()
		}),
	}
}

// orderRun is one run of order.
type orderRun struct {
	paths []string
	out   string
	force bool
	streams
}

// run orders what the estimates ask for, together. One that cannot be read is
// left out of the order, and reported.
func (r orderRun) run() (outcome, error) {
	jobs, read := readEstimates(r.paths, r.stderr)
	defer closeJobs(jobs)
	if len(jobs) == 0 {
		return failed, nil
	}
	var orderings []pricing.Ordering
	for _, j := range jobs {
		orderings = append(orderings, pricing.Ordering{Name: jobName(j), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan})
	}
	if conflict := orderConflict(orderings); conflict != "" {
		return failed, fmt.Errorf("the estimates cannot be ordered together: %s (order each by itself)", conflict)
	}
	together := pricing.Consolidate(orderings)
	printProblems(r.stderr, together.Problems)
	notOrdered := notSold(orderings)
	if err := r.write(jobs, together, notOrdered); err != nil {
		return failed, err
	}
	r.print(together, orderings[0].Book.Job.Currency, len(notOrdered))
	return max(read, succeededIf(len(notOrdered) == 0)), nil
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

// notSold lists what no order holds.
func notSold(jobs []pricing.Ordering) []pricelist.NotSold {
	var out []pricelist.NotSold
	for _, j := range jobs {
		for _, p := range j.Plan.Purchases {
			if p.State != "" {
				need := formatNeed(p, j.Book.Job.MM)
				out = append(out, pricelist.NotSold{Job: j.Name, Item: p.Item.Key, Name: p.Item.Name, Need: need, Reason: p.State})
			}
		}
	}
	return out
}

// formatNeed writes how much of an item a job needs.
func formatNeed(p pricing.Purchase, mm bool) string {
	switch {
	case p.Item.Dim == estimate.Each:
		return fmt.Sprintf("%d pieces", p.ToBuy)
	case p.Item.Dim == estimate.Lengthwise && mm:
		return measure.FormatMM(measure.Length(p.ToBuy)) + " mm in total"
	case p.Item.Dim == estimate.Lengthwise:
		return measure.FormatFeetInches(measure.Length(p.ToBuy), 16) + " in total"
	case p.Item.Dim == estimate.Areawise:
		return fmt.Sprintf("%.2f SF", float64(p.ToBuy)/92_903_040_000)
	}
	return fmt.Sprintf("%.1f in3", float64(p.ToBuy)/16_387_064)
}

// write writes all orders or none, and none over an estimate of the run.
func (r orderRun) write(jobs []*job, together pricing.Consolidation, notOrdered []pricelist.NotSold) error {
	dir := outFolder(r.out, jobs[0].path)
	name := stem(jobs[0].path)
	if len(jobs) > 1 {
		name += fmt.Sprintf("-and-%d-more", len(jobs)-1)
	}
	job := jobs[0].schedule.Book.Job
	out := newOutputSet(dir, r.force, r.paths...)
	used := map[string]bool{}
	for _, o := range together.Orders {
		file := name + orderInfix + slug(o.Terms.Supplier, used)
		data, err := pricelist.WriteOrder(o, job.Currency)
		out.add(file+".csv", data, err)
		data, err = workbook.Order(workbook.OrderInput{Jobs: together.Jobs, ShipTo: shipTo(jobs), Job: job, Order: o})
		out.add(file+".xlsx", data, err)
	}
	if len(notOrdered) > 0 {
		data, err := pricelist.WriteNotSold(notOrdered)
		out.add(name+notOrderedEnding, data, err)
	}
	if err := out.write(); err != nil {
		return err
	}
	orders, err := filepath.Glob(filepath.Join(dir, escapeGlob(name)+orderInfix+"*"))
	if err != nil {
		return err
	}
	for _, f := range orders {
		if !slices.Contains(out.names, f) {
			printMessage(r.stderr, f, estimate.Warning, "an order of an earlier run, not of this one", "delete it, so that it is not sent")
		}
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
func (r orderRun) print(t pricing.Consolidation, currency string, notOrdered int) {
	rows := [][]string{{"Supplier", "Lines", "Materials", "Delivery", "Tax", "Total", ""}}
	for _, o := range t.Orders {
		below := ""
		if o.Below {
			below = "below its minimum"
		}
		rows = append(rows, []string{
			o.Terms.Supplier, fmt.Sprint(len(o.Lines)), o.Materials.String(), o.Delivery.String(), o.Tax.String(),
			o.Total().String() + " " + currency, below,
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
	if notOrdered > 0 {
		fmt.Fprintf(r.stdout, "\n%s not ordered, or not all of it: see the file whose name ends in not-ordered.csv.\n", plural(notOrdered, "item"))
	}
}
