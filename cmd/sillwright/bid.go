package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/papers"
	"sillwright/pricing/compare"
)

func bidCommand() *cli.Command {
	return &cli.Command{
		Name: "bid", Usage: "write the bid that a customer gets: no cost, markup or supplier",
		ArgsUsage: "ESTIMATE.xlsx",
		Description: "Example:\n  sillwright bid elm-estimate.xlsx --by kind\n\n" +
			"Writes scope, what is in the price and what is not, alternates, the price, and the\n" +
			"firm's own terms and notices from Job. Says first what it leaves blank. A bid that\n" +
			"lacks something is written with --draft alone, which marks it.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "workbook `FILE` to write; default: NAME-bid.xlsx beside the estimate"},
			&cli.StringFlag{Name: "by", Value: papers.ByTotal, Usage: "`WAY` in which the price is shown: " + strings.Join(papers.PriceWays, ", ")},
			&cli.BoolFlag{Name: "draft", Usage: "write it though it lacks something, marked DRAFT"},
			&cli.BoolFlag{Name: "force", Usage: "replace a bid that exists"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			switch {
			case c.NArg() != 1:
				return failed, misuse("it needs one estimate (sillwright bid ESTIMATE.xlsx)")
			case !slices.Contains(papers.PriceWays, c.String("by")):
				return failed, misuse("--by is %q (write one of %s)", c.String("by"), strings.Join(papers.PriceWays, ", "))
			}
			return bidRun{out: c.String("out"), by: c.String("by"), draft: c.Bool("draft"), force: c.Bool("force"), streams: streamsOf(c)}.run(c.Args().First())
		}),
	}
}

// bidRun is one run of bid.
type bidRun struct {
	out, by      string
	draft, force bool
	streams
}

func (r bidRun) run(path string) (outcome, error) {
	target := r.out
	if target == "" {
		target = outputOf(path, "", bidEnding)
	}
	if err := checkTarget(target, r.force, []string{path}); err != nil {
		return failed, fileError{target, reason(err)}
	}
	jobs, _ := readEstimates([]string{path}, r.stderr)
	defer closeJobs(jobs)
	if len(jobs) == 0 {
		return failed, nil
	}
	j := jobs[0]
	side := sidesOf(jobs)[0]
	lacks := papers.Lacks(side, estimate.Errors(j.problems))
	r.say(j, lacks)
	if len(lacks) > 0 && !r.draft {
		return failed, fileError{target, errors.New("it is not written (complete the estimate, or --draft writes it marked DRAFT)")}
	}
	data, err := papers.WriteBid(papers.Bid{Side: side, Alternates: bidAlternates(j), By: r.by, Draft: len(lacks) > 0})
	if err := save(target, data, err, r.force); err != nil {
		return failed, err
	}
	fmt.Fprintf(r.stdout, "The bid over %s %s is in %s.\n", side.Plan.Bid.Total, j.schedule.Book.Job.Currency, onOneLine(target))
	return succeeded, nil
}

// say says to the estimator what the bid leaves blank, and lacks.
func (r bidRun) say(j *job, lacks []string) {
	if blanks := papers.Blanks(&j.schedule.Book.Job); len(blanks) > 0 {
		fmt.Fprintf(r.stdout, "Left blank, to fill in on Job: %s.\n", strings.Join(blanks, "; "))
	}
	for _, l := range lacks {
		fmt.Fprintf(r.stdout, "The bid LACKS: %s.\n", l)
	}
	fmt.Fprintln(r.stdout, "Not legal advice; local law governs; have your form checked.")
}

// bidAlternates prices the alternates of the sheet Alternates. The estimate as it was
// edited may cost otherwise than one that is planned anew: differences are of that.
func bidAlternates(j *job) (list []papers.Alternate) {
	if len(j.schedule.Changes) == 0 {
		return nil
	}
	basis := compare.NewBasis(j.schedule.Book, j.lists)
	for _, a := range j.schedule.Changes {
		priced := basis.Price(alternateOf(j, a), j.lists)
		out := papers.Alternate{Name: a.Name, What: describeChanges(a)}
		if priced.Computed {
			out.Difference = estimate.Given(priced.Difference)
		}
		list = append(list, out)
	}
	return list
}
