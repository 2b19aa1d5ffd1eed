package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/cutlist"
	"sillwright/io/intake"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

// fileKind is what a file is to the program.
type fileKind int

const (
	unknownFile fileKind = iota
	unreadableFile
	scheduleKind
	estimateKind
	priceListKind // or a quote: both are lists of prices
	orderKind
	foreignSchedule // somebody else's list of openings
	pieceList
)

// uses says, of each kind that needs a command, what it is and which commands
// take it; %s is the file.
var uses = map[fileKind]struct{ what, do string }{
	estimateKind: {"it is an estimate", "write its orders: sillwright order %[1]s; compare it: sillwright compare %[1]s OTHER-estimate.xlsx"},
	priceListKind: {"it is a price list or a quote", "price by it: sillwright estimate JOB.xlsx --prices %[1]s; " +
		"compare it: sillwright compare JOB-estimate.xlsx %[1]s"},
	orderKind:       {"it is an order", "see what a later estimate needs beyond it: sillwright compare JOB-estimate.xlsx %[1]s"},
	foreignSchedule: {"it is a list of openings in another form", "turn it into a schedule: sillwright import %[1]s"},
	pieceList:       {"it is a list of pieces to cut", "plan the cutting: sillwright cut %[1]s --stock STOCK.csv"},
}

// withoutCommand does what is plain with files named without a command, such as
// those dropped on the program: schedules and folders of them are estimated beside
// themselves, by the price lists among the files or the one that lies beside them; of
// others it is said what can be done with them.
func withoutCommand(c *cli.Context) (outcome, error) {
	s := streamsOf(c)
	var schedules, lists []string
	var others []outcome
	for _, path := range c.Args().Slice() {
		info, err := os.Stat(path)
		if err == nil && info.IsDir() {
			schedules = append(schedules, path)
			continue
		}
		kind, problems := classify(path)
		switch use, told := uses[kind]; {
		case kind == scheduleKind:
			schedules = append(schedules, path)
		case kind == priceListKind:
			lists = append(lists, path)
		case told:
			printMessage(s.stderr, path, estimate.Note, use.what, fmt.Sprintf(use.do, quoteArgument(path)))
		case kind == unreadableFile:
			printProblems(s.stderr, problems)
			others = append(others, failed)
		default:
			printMessage(s.stderr, path, estimate.Error, "it is nothing that this program reads: no schedule, price list, estimate, order or list of pieces",
				"sillwright help import says how a schedule is written")
			others = append(others, failed)
		}
	}
	if len(schedules) == 0 {
		for _, path := range lists {
			use := uses[priceListKind]
			printMessage(s.stderr, path, estimate.Note, use.what, fmt.Sprintf(use.do, quoteArgument(path)))
		}
		return failed, nil
	}
	if len(lists) == 0 {
		lists = listBeside(schedules)
	}
	for _, path := range lists {
		printMessage(s.stderr, path, estimate.Note, "it is used as the price list", "")
	}
	run := estimateRun{schedules: findSchedules(schedules, lists, s.stderr), prices: lists, workers: processors(), streams: s}
	result, err := run.run()
	return combine(append(others, result)), err
}

// listBeside returns the price list that new writes, where it lies beside all of the
// schedules.
func listBeside(schedules []string) []string {
	folder := filepath.Dir(schedules[0])
	if slices.ContainsFunc(schedules, func(s string) bool { return filepath.Dir(s) != folder }) {
		return nil
	}
	path := filepath.Join(folder, pricesFile)
	if kind, _ := classify(path); kind != priceListKind {
		return nil
	}
	return []string{path}
}

// classify tells what a file is, by its sheets and headers.
func classify(path string) (fileKind, []estimate.Problem) {
	names, problems := sheet.OpenSheets(path, func(name string) bool { return name == "" }) // a CSV file is one sheet without a name
	switch {
	case names == nil:
		return unreadableFile, problems
	case pricelist.IsOrder(names), schedule.IsPurchases(names):
		return orderKind, nil
	case names.Sheet(schedule.OpeningsSheet) != nil && names.Sheet(schedule.MaterialsSheet) != nil:
		return estimateKind, nil
	}
	book, problems := sheet.Open(path)
	if book == nil {
		return unreadableFile, problems
	}
	return contentKind(book), nil
}

// contentKind tells by what can be read of it what a file is.
func contentKind(book *sheet.Book) fileKind {
	s, _ := schedule.Read(book, workbook.Results()...)
	if s.Rows > 0 {
		return scheduleKind
	}
	items := s.Book.Items
	offers, _ := pricelist.Read(book, items)
	quotes, _ := pricelist.ReadQuote(book, items, book.File)
	if len(offers)+len(quotes) > 0 || pricelist.TermsSheet(book) != nil {
		return priceListKind
	}
	if list, _ := intake.Read([]*sheet.Book{book}, intake.Options{Basis: intake.Frame}); list.Found > 0 {
		return foreignSchedule
	}
	if pieces, _ := cutlist.ReadPieces(book, measure.Inches); len(pieces) > 0 {
		return pieceList
	}
	if s.LeftOut > 0 {
		return scheduleKind
	}
	return unknownFile
}

// quoteArgument writes a path as a shell takes it for one word.
func quoteArgument(path string) string {
	if strings.Contains(path, " ") {
		return `"` + path + `"`
	}
	return path
}
