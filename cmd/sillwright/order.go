package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

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
		Name: "order", Usage: "write an order for each supplier from estimates as edited",
		ArgsUsage:   "ESTIMATE.xlsx...",
		Description: "Example:\n  sillwright order duplex-estimate.xlsx --out orders\n\nReads prices, counts and suppliers as they stand in the estimate, works every sum\nout again and writes NAME-order-SUPPLIER.xlsx and .csv. Several estimates are\nordered together: packs and boards are rounded up once for all of them.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "folder for the orders; default: beside the first estimate"},
			&cli.BoolFlag{Name: "force", Usage: "replace orders that exist"},
		},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return misuse{"order needs an estimate: sillwright order ESTIMATE.xlsx"}
			}
			r := orderRun{out: c.String("out"), force: c.Bool("force"), stdout: c.App.Writer, stderr: c.App.ErrWriter}
			return ended(r.all(c.Args().Slice()))
		},
	}
}

// orderRun is one call of order.
type orderRun struct {
	out            string
	force          bool
	stdout, stderr io.Writer
}

// all orders what the estimates ask for, together. One that cannot be read is
// left out of the order, and said.
func (r orderRun) all(paths []string) int {
	var jobs []pricing.Ordering
	var read []*job
	complete := true
	for _, path := range paths {
		j := readEstimate(path, r.stderr)
		if j == nil {
			complete = false
			continue
		}
		complete = complete && estimate.Errors(j.problems) == 0
		read = append(read, j)
		jobs = append(jobs, pricing.Ordering{Name: jobName(j), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan})
	}
	if len(jobs) == 0 {
		return exitNothing
	}
	if why := unlike(jobs); why != "" {
		fmt.Fprintf(r.stderr, "sillwright: the estimates cannot be ordered together: %s (order each by itself)\n", why)
		return exitNothing
	}
	t := pricing.Consolidate(jobs)
	report(r.stderr, t.Problems)
	missing := notSold(jobs)
	if err := r.write(paths, read, t, missing); err != nil {
		fmt.Fprintf(r.stderr, "sillwright: no order is written: %v\n", err)
		return exitNothing
	}
	r.print(t, jobs[0].Book.Job.Currency, missing)
	if !complete || len(missing) > 0 {
		return exitIncomplete
	}
	return exitOK
}

// readEstimate reads an estimate as it was edited and prices it again; nil when
// it cannot be read, which is said.
func readEstimate(path string, stderr io.Writer) *job {
	j, problems := readJob(path, nil)
	if j == nil {
		report(stderr, problems)
		return nil
	}
	if len(j.schedule.Lines) == 0 || j.schedule.Prices == nil {
		fmt.Fprintf(stderr, "%s: it is not an estimate: it has no sheets Materials and Prices of ours (run: sillwright estimate %s)\n", path, path)
		return nil
	}
	j.plan = pricing.Follow(j.schedule.Book, j.takeoff, j.lists, j.schedule.Lines)
	report(stderr, ofTheOrder(j.report(j.plan.Problems)))
	return j
}

// ofTheOrder returns the errors, and what else there is to say of the order;
// the rest was said when the estimate was made.
func ofTheOrder(all []estimate.Problem) []estimate.Problem {
	edited := []string{schedule.MaterialsSheet, schedule.OrdersSheet, schedule.SuppliersSheet}
	return slices.DeleteFunc(slices.Clone(all), func(p estimate.Problem) bool {
		return p.Severity != estimate.Error && !slices.Contains(edited, p.Place.Sheet)
	})
}

// jobName is what a job's share is called.
func jobName(j *job) string {
	if n := j.schedule.Book.Job.Number; n != "" {
		return n
	}
	return stem(j.path)
}

func stem(path string) string {
	base := filepath.Base(path)
	if strings.HasSuffix(strings.ToLower(base), outputEnding) {
		return base[:len(base)-len(outputEnding)]
	}
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// unlike says why jobs cannot stand on one order.
func unlike(jobs []pricing.Ordering) string {
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
				out = append(out, pricelist.NotSold{Job: j.Name, Item: p.Item.Key, Name: p.Item.Name, Need: needWords(p, j.Book.Job.MM), Reason: p.State})
			}
		}
	}
	return out
}

// needWords writes how much of an item a job needs.
func needWords(p pricing.Purchase, mm bool) string {
	switch {
	case p.Item.Dim == estimate.Each:
		return fmt.Sprintf("%d pieces", p.ToBuy)
	case p.Item.Dim == estimate.Lengthwise && mm:
		return measure.FormatMM(measure.Length(p.ToBuy)) + " mm in all"
	case p.Item.Dim == estimate.Lengthwise:
		return measure.FormatFeetInches(measure.Length(p.ToBuy), 16) + " in all"
	case p.Item.Dim == estimate.Areawise:
		return fmt.Sprintf("%.2f ft2", float64(p.ToBuy)/92_903_040_000)
	}
	return fmt.Sprintf("%.1f in3", float64(p.ToBuy)/16_387_064)
}

// orderInfix stands between the names of a job and a supplier.
const orderInfix = "-order-"

// write writes all orders or none, and none over an estimate of the run.
func (r orderRun) write(paths []string, read []*job, t pricing.Consolidation, missing []pricelist.NotSold) error {
	dir := r.out
	if dir == "" {
		dir = filepath.Dir(read[0].path)
	}
	name := stem(read[0].path)
	if len(read) > 1 {
		name += fmt.Sprintf("-and-%d-more", len(read)-1)
	}
	out := newFiles(dir, r.force, paths...)
	used := map[string]bool{}
	for _, o := range t.Orders {
		file := name + orderInfix + fileWord(o.Terms.Supplier, used)
		data, err := pricelist.WriteOrder(o, read[0].schedule.Book.Job.Currency)
		out.add(file+".csv", data, err)
		data, err = workbook.Order(workbook.OrderInput{Jobs: t.Jobs, ShipTo: shipTo(read), Job: read[0].schedule.Book.Job, Order: o})
		out.add(file+".xlsx", data, err)
	}
	if len(missing) > 0 {
		data, err := pricelist.WriteNotSold(missing)
		out.add(name+"-not-ordered.csv", data, err)
	}
	if err := out.write(); err != nil {
		return err
	}
	earlier, err := filepath.Glob(filepath.Join(dir, globbed(name)+orderInfix+"*"))
	if err != nil {
		return err
	}
	for _, f := range earlier {
		if !slices.Contains(out.names, f) {
			fmt.Fprintf(r.stderr, "%s: an order of an earlier run, not of this one (delete it, so that it is not sent)\n", f)
		}
	}
	return nil
}

// globbed writes a name so that a pattern matches just it.
func globbed(name string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(name)
}

// shipTo lists where the jobs want their orders, each place once.
func shipTo(read []*job) []string {
	var out []string
	for _, j := range read {
		to := j.schedule.Book.Job.ShipTo
		if to != "" && len(read) > 1 {
			to = jobName(j) + ": " + to
		}
		if to != "" && !slices.Contains(out, to) {
			out = append(out, to)
		}
	}
	return out
}

// fileWord turns a supplier's name into a part of a file name.
func fileWord(name string, used map[string]bool) string {
	word := strings.Trim(strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "-"), "-")
	if word == "" {
		word = "supplier"
	}
	base := word
	for n := 2; used[word]; n++ {
		word = fmt.Sprintf("%s-%d", base, n)
	}
	used[word] = true
	return word
}

// print prints the closing table.
func (r orderRun) print(t pricing.Consolidation, currency string, missing []pricelist.NotSold) {
	rows := [][]string{{"Supplier", "Lines", "Materials", "Delivery", "Tax", "Total", ""}}
	for _, o := range t.Orders {
		below := ""
		if o.Below {
			below = "below its minimum"
		}
		rows = append(rows, []string{o.Terms.Supplier, fmt.Sprint(len(o.Lines)), o.Materials.String(), o.Delivery.String(), o.Tax.String(), o.Total().String() + " " + currency, below})
	}
	printColumns(r.stdout, rows, "Supplier", "")
	if len(t.Jobs) > 1 {
		fmt.Fprintf(r.stdout, "\nTogether %s, each by itself %s: %s saved; %d packs and pieces instead of %d.\n", t.Total(), t.Apart, t.Apart-t.Total(), t.Packs, t.PacksOf)
		for j, name := range t.Jobs {
			share := measure.Money(0)
			for _, o := range t.Orders {
				share += o.Shares[j]
			}
			fmt.Fprintf(r.stdout, "%s bears %s.\n", name, share)
		}
	}
	if len(missing) > 0 {
		fmt.Fprintf(r.stdout, "\n%s not ordered, or not all of it: see the file that ends in not-ordered.csv.\n", many(int64(len(missing)), "item"))
	}
}
