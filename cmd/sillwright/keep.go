package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// editChoice says what a run does with the edits of an estimate that it replaces.
type editChoice int

const (
	refuseEdits editChoice = iota // the estimate stays, and its edits are listed
	keepEdits                     // they are carried over
	dropEdits                     // they are left out
)

// choiceOf reads the flags.
func choiceOf(force, keep, drop bool) (editChoice, error) {
	switch {
	case keep && drop:
		return 0, misuse("--keep-edits and --drop-edits cannot both be asked for (choose one)")
	case (keep || drop) && !force:
		return 0, misuse("--keep-edits and --drop-edits say what --force does with edits (write --force too)")
	case keep:
		return keepEdits, nil
	case drop:
		return dropEdits, nil
	}
	return refuseEdits, nil
}

// replaced is an estimate that a run is to replace.
type replaced struct {
	target   string
	data     []byte
	outcomes []schedule.Outcome // of its edits, in the order of the sheets
	untold   bool               // what they are cannot be told
	unknown  bool               // some of its items and details are not those of this version
	from     *opened            // the schedule and its price lists, into which the edits were typed
}

// opened is a schedule that is open, with its price lists.
type opened struct {
	book     *sheet.Book
	problems []estimate.Problem
	prices   priceBooks
}

// openSchedule opens a schedule and its price lists; nil when the schedule cannot be
// opened.
func openSchedule(file string, prices []string) *opened {
	book, problems := sheet.OpenSheets(file, schedule.Wanted)
	if book == nil {
		return nil
	}
	return &opened{book, problems, openPrices(prices)}
}

// replacing reads the estimate that a run is to replace, and holds it against what it was
// made from. It is nil where there is none, or where it holds nothing that the schedule
// does not say; otherwise its edits are typed into the schedule and the price lists, in
// memory.
func (r estimateRun) replacing(file, target string) (*replaced, error) {
	if _, err := os.Stat(target); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	data, err := os.ReadFile(target)
	if err != nil {
		return nil, reason(err)
	}
	old := &replaced{target: target, data: data}
	edits, known, err := editsOf(target, data)
	if err == nil && !known {
		var more schedule.Edited
		more, err = r.editsBetween(file, target, data)
		more.Edits = append(more.Edits, edits.Edits...)
		edits = more
	}
	if err == nil {
		edits.Edits = append(edits.Edits, elsewhere(editsOverResults(target), edits.Edits)...)
	}
	var untold untoldEdits
	switch {
	case errors.As(err, &untold) && r.edits == dropEdits:
		old.untold = true
		return old, nil
	case err != nil:
		return nil, err
	}
	if len(edits.Edits) == 0 {
		return nil, nil
	}
	if old.from = openSchedule(file, r.prices); old.from == nil {
		return nil, nil // said when it is read
	}
	for _, o := range keepIn(edits, old.from) {
		switch o.State {
		case schedule.KeptAlready:
		case schedule.KeptUnknown:
			old.unknown = true
		default:
			old.outcomes = append(old.outcomes, o)
		}
	}
	if len(old.outcomes) == 0 && !old.unknown {
		return nil, nil
	}
	return old, nil
}

// elsewhere returns edits of other cells than those of which more are known.
func elsewhere(edits, known []schedule.Edit) []schedule.Edit {
	return slices.DeleteFunc(edits, func(e schedule.Edit) bool {
		return slices.ContainsFunc(known, func(k schedule.Edit) bool { return k.Place == e.Place })
	})
}

// notOurs is the error of a file that is no estimate: only one of ours is replaced.
func notOurs(problems []estimate.Problem) error {
	return fmt.Errorf("it exists and is not an estimate that can be read, so that it stays: %s (move it away, or choose another --out)", problems[0].What)
}

// untoldEdits is why it cannot be told what was typed into an estimate.
type untoldEdits struct{ why string }

func (u untoldEdits) Error() string {
	return fmt.Sprintf("what was typed into it cannot be told, so that it stays: %s (move it away; --force --drop-edits replaces it and writes a backup)", u.why)
}

// editsOf returns the edits of an estimate; known is false when it does not hold what its
// inputs were, and sheets that were added are all that is told. The hidden sheet is opened
// apart, since it is as long as all the others.
func editsOf(target string, data []byte) (e schedule.Edited, known bool, err error) {
	parse := func(want func(string) bool) *sheet.Book {
		book, problems := sheet.ParseSheets(target, data, want)
		if book == nil && err == nil {
			err = untoldEdits{problems[0].What}
		}
		return book
	}
	names, problems := sheet.ParseSheets(target, data, func(string) bool { return false })
	switch {
	case names == nil && len(data) > sheet.MaxFile && bytes.HasPrefix(data, []byte("PK")): // one of many thousand openings
		return e, false, untoldEdits{problems[0].What}
	case names == nil:
		return e, false, notOurs(problems)
	case !schedule.IsEstimate(names):
		return e, false, notOurs([]estimate.Problem{{What: "it has no sheets Openings and Materials"}})
	}
	book, hidden := parse(schedule.Wanted), parse(func(name string) bool { return name == schedule.WhenEstimatedSheet })
	if err != nil {
		return e, false, err
	}
	e, known = schedule.EditsSince(book, hidden)
	e.Edits = append(e.Edits, schedule.SheetsAdded(names, workbook.Results())...)
	return e, known, nil
}

// editsBetween returns in what an estimate of an earlier version differs from what the
// schedule gives: the estimate is written anew as it stands, and so is one of the
// schedule.
func (r estimateRun) editsBetween(file, target string, data []byte) (schedule.Edited, error) {
	written := func(j *job, _ []estimate.Problem) *sheet.Book {
		if j == nil {
			return nil
		}
		defer j.close()
		data, err := j.workbook()
		if err != nil {
			return nil
		}
		book, _ := sheet.ParseSheets(target, data, schedule.Wanted)
		return book
	}
	older := written(load(target, nil))
	if older == nil {
		return schedule.Edited{}, untoldEdits{"it is of an earlier version, and its openings cannot be read"}
	}
	fresh := written(load(file, r.prices))
	if fresh == nil {
		return schedule.Edited{}, nil // said when the schedule is read
	}
	return schedule.EditsBetween(older, fresh), nil
}

// keepIn types edits into a schedule and its price lists, in memory.
func keepIn(edits schedule.Edited, o *opened) []schedule.Outcome {
	s, _ := schedule.Read(o.book, workbook.Results()...)
	lists, _, _ := readLists(o.book, s, o.prices)
	books := slices.Concat(o.prices.named, []*sheet.Book{o.book, o.prices.starter})
	sources := s.Sources(o.book)
	var offers, terms []schedule.SourceRow
	for _, x := range lists.Offers {
		offers = append(offers, schedule.SourceRow{Key: []string{x.Supplier, x.Item, x.Content, x.Code}, At: x.Place})
	}
	for _, x := range lists.Terms {
		terms = append(terms, schedule.SourceRow{Key: []string{x.Supplier}, At: x.Place})
	}
	prices := schedule.Source{Columns: pricelist.Columns(), Rows: offers, Sheets: sheetsWith(offers, books)}
	asEstimated(edits, lists.Offers, prices.Sheets)
	sources[schedule.PricesSheet] = prices
	sources[schedule.SuppliersSheet] = schedule.Source{Columns: pricelist.TermColumns(), Rows: terms, Sheets: sheetsWith(terms, books)}
	return schedule.Keep(edits, sources, o.book, s.Book.Job.Bare())
}

// asEstimated types the prices of items of which one was edited into their lists as the
// estimate has them: beside a price of one board typed in it, the list's unit may be the foot.
func asEstimated(edits schedule.Edited, offers []pricing.Offer, lists []*sheet.Sheet) {
	const item = 1 // in the key of a row of Prices
	edited := map[string]bool{}
	for _, e := range edits.Edits {
		if e.Sheet == schedule.PricesSheet && len(e.Key) > item {
			edited[e.Key[item]] = true
		}
	}
	offers = slices.DeleteFunc(slices.Clone(offers), func(o pricing.Offer) bool { return !edited[o.Item] })
	for _, s := range lists {
		pricelist.AsPacks(s, offers)
	}
}

// sheetsWith returns the sheets on which rows stand, in the order of the rows.
func sheetsWith(rows []schedule.SourceRow, books []*sheet.Book) (out []*sheet.Sheet) {
	for _, r := range rows {
		for _, b := range books {
			s := b.Sheet(r.At.Sheet)
			if b.File == r.At.File && s != nil && !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}

// problems says what becomes of each edit. Those of an estimate that stays are errors:
// they cost the job.
func (old *replaced) problems(choice editChoice, backup string) (out []estimate.Problem) {
	whole := estimate.Place{File: filepath.Base(old.target)}
	if old.untold {
		return []estimate.Problem{{Place: whole, What: "what was typed into it cannot be told, and is left out", Do: "it is in " + backup}}
	}
	if old.unknown && backup != "" {
		out = append(out, estimate.Problem{Place: whole,
			What: "it is of an earlier version; what was changed in items and details that ship with the program cannot be told, and is left out",
			Do:   "if you changed any, copy them into the schedule's sheets Items and Details from " + backup})
	}
	for _, o := range old.outcomes {
		p := estimate.Problem{Place: o.Place, What: o.What()}
		if p.Place.File == "" {
			p.Place.File = whole.File
		}
		switch {
		case choice == refuseEdits && o.State == schedule.KeptNot:
			p.Severity, p.Do = estimate.Error, "--keep-edits and --drop-edits leave it out; both write a backup"
		case choice == refuseEdits:
			p.Severity, p.Do = estimate.Error, "--keep-edits carries it over, --drop-edits leaves it out"
		case choice == dropEdits:
			p.What, p.Do = p.What+": left out", "it is in "+backup
		case o.State == schedule.KeptOver:
			p.Severity, p.What, p.Do = estimate.Warning, p.What+": carried over, where the schedule or price list has "+o.Words, "see which of the two holds"
		case o.State == schedule.KeptNot:
			p.Severity, p.What, p.Do = estimate.Warning, p.What+": not carried over, "+o.Words, "type it where it belongs by now; it is in "+backup
		default:
			p.What, p.Do = p.What+": carried over", "type it into the schedule or the price list too"
		}
		out = append(out, p)
	}
	return estimate.SortProblems(out)
}

// refusal is why an estimate with edits stays.
func (old *replaced) refusal() error {
	return fmt.Errorf("it holds %s that the schedule and the price lists do not, so that it stays "+
		"(--force --keep-edits carries them over, --force --drop-edits leaves them out; both write a backup)", plural(len(old.outcomes), "edit"))
}

// backUp writes the backup of an estimate that holds edits, and says in the job what
// becomes of them; it returns the backup, "" for none.
func (r estimateRun) backUp(old *replaced, j *job, inputs []string) (backup string, err error) {
	if old == nil {
		return "", nil
	}
	backup = old.backup(r.edits)
	err = checkTarget(backup, true, inputs)
	if err == nil {
		err = writeFileLike(backup, old.target, old.data, true)
	}
	if err != nil {
		return "", fileError{backup, fmt.Errorf("the backup is not written, so that the estimate stays: %w", reason(err))}
	}
	j.report(old.problems(r.edits, filepath.Base(backup)))
	return backup, nil
}

// kept returns the edits that were carried over.
func (old *replaced) kept() (out []schedule.Edit) {
	for _, o := range old.outcomes {
		if o.State != schedule.KeptNot {
			out = append(out, o.Edit)
		}
	}
	return out
}

// keptTable is the edits that an estimate holds and its schedule does not.
func keptTable(edits []schedule.Edit) workbook.Table {
	heads, rows := schedule.KeptTable(edits)
	return workbook.Table{Columns: heads, Rows: rows}
}

// backup returns the file that takes the estimate as it is. One that holds edits itself
// is replaced only where edits are dropped.
func (old *replaced) backup(choice editChoice) string {
	for n := 1; ; n++ {
		name := backupOf(old.target, n)
		data, err := os.ReadFile(name)
		if errors.Is(err, fs.ErrNotExist) || choice == dropEdits || err == nil && bytes.Equal(data, old.data) {
			return name
		}
		if err != nil {
			return name // said when it is written
		}
		if e, known, err := editsOf(name, data); err == nil && known && len(e.Edits) == 0 {
			return name
		}
	}
}

// estimated loads a schedule: with the edits of the estimate that it replaces, if they
// are carried over.
func (r estimateRun) estimated(file string, old *replaced) (*job, []estimate.Problem) {
	if old == nil || r.edits != keepEdits {
		return load(file, r.prices)
	}
	j, problems := readBooks(file, old.from.book, old.from.problems, old.from.prices)
	if j != nil {
		j.kept = old.kept()
	}
	return j.planned(problems)
}
