package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// bidJob writes an estimate that lacks nothing, of a firm and a customer of our own.
func bidJob(t *testing.T, settings string) string {
	t.Helper()
	data, err := folderSchedule(fstest.MapFS{
		"job/Openings.csv": &fstest.MapFile{Data: []byte("Mark,Qty,Kind,Frame width,Frame height,Furnished by,Unit cost,Measured width,Measured height,Status,Sits on,Leg drop\n" +
			"W1,3,window,35-1/2,59-1/2,builder,412.37,35-1/2,59-1/2,set,,\nW2,1,window,23-1/2,35-1/2,owner,,23-1/2,35-1/2,set,,\n" +
			"D1,1,patio door,71-1/2,79-1/2,installer,1873.11,71-1/2,79-1/2,set,slab,3\n")},
		"job/Job.csv":        &fstest.MapFile{Data: []byte("Key,Value\njob number,B-7\njob name,A house (invented)\njob date,2026-11-16\nlabor rate,57.30\noverhead,9 %\ncontingency,2 %\nprofit,13 %\ntax,6.35 %\n" + settings)},
		"job/Labor.csv":      &fstest.MapFile{Data: []byte("Task,Kind,Per,Hours\nSet pan and flashing,window,opening,0.75\nSet and shim the unit,window,unit,1.45\nSet pan and flashing,patio door,opening,2.15\n")},
		"job/Alternates.csv": &fstest.MapFile{Data: []byte("Name,When,Column,Value\nrigid pans,kind is window,Sill pan,rigid\n")},
	}, "job")
	require.NoError(t, err)
	write(t, "job.xlsx", string(data))
	write(t, "own.csv", ownPrices(t))
	r := sillwright("estimate", "job.xlsx", "--prices", "own.csv", "--force", "--drop-edits")
	require.Equal(t, exitOK, r.code, r.stderr)
	return "job-estimate.xlsx"
}

const firmWords = `firm name,Three Crew Closers (invented)
firm license,L-0000 (invented)
customer name,A. Customer (invented)
site address,"Lot 3, Plum Hill (invented)"
bid valid until,2026-12-16
payment schedule,30 % on signing; the rest when done
firm insurance,as agreed
not included,painting; drywall
allowances,door hardware 250
hidden damage prices,"rotten stud, each 85"
notice 1,This is a notice of an invented firm: word for word.
lead-safe certification,none needed: new (invented)
`

// A bid tells no cost, markup or supplier in any of its parts.
func TestBidTellsNoCost(t *testing.T) {
	inTemp(t)
	estimate := bidJob(t, firmWords)
	for _, by := range []string{"total", "kind", "mark"} {
		name := by + ".xlsx"
		r := succeed(t, "bid", estimate, "--out", name, "--by", by)
		assert.Equal(t, "Not legal advice; local law governs; have your form checked.\n", strings.SplitAfter(r.stdout, "\n")[0], "nothing is left blank")
		sound(t, name)
		hidesCosts(t, name, estimate)
		b := open(t, name)
		var shown []string
		for _, c := range b.cells("Bid") {
			shown = append(shown, c.value)
		}
		text := strings.Join(shown, "\n")
		for _, words := range []string{"Three Crew Closers (invented)", "Proposal, not a contract", "This is a notice of an invented firm: word for word.", "painting", "drywall",
			"windows and doors of W2: by owner", "windows and doors, installed, of D1", "30 % on signing\nthe rest when done", "rotten stud, each 85", "rigid pans: Sill pan: rigid, where kind is window"} {
			assert.Contains(t, text, words, by)
		}
		total := open(t, estimate).amount("Summary", "Total", "Amount")
		assert.Contains(t, text, fmt.Sprint(float64(total)/100), by)
		if by == "total" {
			continue
		}
		sum := measure.Money(0)
		for _, row := range b.table("Bid", "Mark", "Price") {
			if _, err := strconv.Atoi(row["Count"]); err == nil {
				sum += cents(t, row["Price"])
			}
		}
		assert.Equal(t, total, sum, "%s: the marks foot to the price", by)
	}
}

// hidesCosts wants no part of a paper to tell a figure of the estimate's costs, rounded to
// cents, to a tenth or to a whole: but the price itself, and what the paper shows as shares
// of it.
func hidesCosts(t *testing.T, paper, estimate string) {
	t.Helper()
	own := map[string]bool{}
	for _, c := range open(t, paper).cells("Bid") {
		own[c.value] = true
	}
	secret := map[string]string{}
	book := open(t, estimate)
	for _, sheet := range []string{"Summary", "By opening", "Materials", "Orders", "Added costs", "Openings", "Bought vs. used", "Prices"} {
		for _, c := range book.cells(sheet) {
			v, err := strconv.ParseFloat(c.value, 64)
			if err != nil || v < 100 || own[c.value] {
				continue
			}
			for decimals := range 3 {
				if figure := strconv.FormatFloat(v, 'f', decimals, 64); decimals > 0 || v >= 1000 {
					secret[figure] = sheet
				}
			}
		}
	}
	require.Greater(t, len(secret), 100)
	number := regexp.MustCompile(`\d[\d,]*(\.\d+)?`)
	for part, data := range unzipped(t, paper) {
		assert.NotContains(t, data, "<f>", part)
		assert.NotContains(t, data, `state="hidden"`, part)
		assert.False(t, strings.Contains(part, "comment") || strings.Contains(part, "calcChain") || strings.Contains(part, "custom"), part)
		for _, text := range betweenTags.FindAllString(strings.ToLower(data), -1) {
			for _, word := range []string{"yard", "supply", "markup", "overhead", "contingency", "profit", "margin", "estimate", ".xlsx"} {
				assert.NotContains(t, text, word, part)
			}
		}
		for _, n := range number.FindAllString(data, -1) {
			n = strings.ReplaceAll(n, ",", "")
			assert.False(t, secret[n] != "" && !own[n], "%s holds %s of %s", part, n, secret[n])
		}
	}
}

// With a line for sales tax the price is divided in two, which foot.
func TestBidTaxLineAndSignatures(t *testing.T) {
	inTemp(t)
	estimate := bidJob(t, firmWords+"bid tax line,yes\nbid signature lines,yes\n")
	succeed(t, "bid", estimate)
	b := open(t, "job-bid.xlsx")
	amount := func(label string) measure.Money { return cents(t, b.labeled("Bid", label, 6)) }
	assert.Equal(t, amount("Price"), amount("Before sales tax")+amount("Sales tax"))
	assert.Equal(t, open(t, estimate).amount("Summary", "Sales tax", "Amount"), amount("Sales tax"))
	assert.Equal(t, "Three Crew Closers (invented)", b.row("Bid", 1)[1])
	assert.NotEmpty(t, b.labeled("Bid", "Signature", 4))
	for _, c := range b.cells("Bid") {
		assert.NotContains(t, c.value, "no contract")
	}
}

// A bid that lacks something is not written, or marked a draft.
func TestBidLacks(t *testing.T) {
	inTemp(t)
	for _, c := range []struct{ why, settings, lacks string }{
		{"old housing", firmWords[:strings.Index(firmWords, "lead-safe")] + "year built,1960\n", "a lead-safe certification, or why the work is not covered: built in 1960"},
		{"a year nobody states", firmWords[:strings.Index(firmWords, "lead-safe")] + "building,existing\n", "the year built is not stated"},
	} {
		estimate := bidJob(t, c.settings)
		r := sillwright("bid", estimate, "--out", "x.xlsx")
		assert.Equal(t, exitNothing, r.code, c.why)
		assert.Contains(t, r.stdout, "The bid LACKS: ", c.why)
		assert.Contains(t, r.stdout, c.lacks, c.why)
		notWritten(t, "x.xlsx")
	}
	estimate := bidJob(t, "")
	r := succeed(t, "bid", estimate, "--out", "blank.xlsx")
	assert.Contains(t, r.stdout, "Left blank, to fill in on Job: firm name; license or registration number; insurance; customer; site address; bid valid until; payment schedule; "+
		"lead-safe certification; notices: right to cancel, lien.")

	succeed(t, "demo", "demo")
	r = sillwright("bid", "demo/duplex-estimate.xlsx")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stdout, "The bid LACKS: no labor.\nThe bid LACKS: invented prices are in it.\n")
	succeed(t, "bid", "demo/duplex-estimate.xlsx", "--draft")
	assert.True(t, strings.HasPrefix(open(t, "demo/duplex-bid.xlsx").row("Bid", 1)[1], "DRAFT"))
	assert.Equal(t, exitNothing, sillwright("bid", "demo/duplex-estimate.xlsx", "--draft").code, "files that exist stay")
	assert.Equal(t, exitUsage, sillwright("bid", "demo/duplex-estimate.xlsx", "--by", "guess").code)
	assert.True(t, isOutput("duplex-bid.xlsx", map[string]bool{"duplex-estimate.xlsx": true}))
	assert.False(t, isOutput("duplex-bid.xlsx", map[string]bool{}))
}
