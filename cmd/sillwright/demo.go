package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
	"sillwright/templates"
)

func demoCommand() *cli.Command {
	return &cli.Command{
		Name: "demo", Usage: "write the demo jobs to a folder and estimate them",
		ArgsUsage:   "FOLDER",
		Description: "Example:\n  sillwright demo demo-out\n\nThe jobs, their suppliers and prices are invented.",
		Flags:       []cli.Flag{&cli.BoolFlag{Name: "force", Usage: "replace files that exist"}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return misuse{"demo needs one folder: sillwright demo FOLDER"}
			}
			dir, force := c.Args().First(), c.Bool("force")
			files, err := writeDemo(dir, force)
			if err != nil {
				return err
			}
			r := estimateRun{prices: []string{filepath.Join(dir, "prices.csv")}, force: force, workers: runtime.GOMAXPROCS(0), stdout: c.App.Writer, stderr: c.App.ErrWriter}
			code := r.all(files)
			fmt.Fprintf(c.App.Writer, "\nSchedules, prices and estimates are in %s; open an estimate at its Summary.\n", dir)
			return ended(code)
		},
	}
}

// writeDemo writes the demo schedules and the starter prices.
func writeDemo(dir string, force bool) ([]string, error) {
	jobs, err := fs.ReadDir(templates.Demo, "demo")
	if err != nil {
		return nil, err
	}
	out := newFiles(dir, force)
	out.add("prices.csv", templates.Prices, nil)
	var files []string
	for _, j := range jobs {
		data, err := folderSchedule(templates.Demo, path.Join("demo", j.Name()))
		out.add(j.Name()+".xlsx", data, err)
		files = append(files, filepath.Join(dir, j.Name()+".xlsx"))
	}
	return files, out.write()
}

// folderSchedule makes a schedule workbook of a folder of CSV files, one a sheet.
func folderSchedule(fsys fs.FS, folder string) ([]byte, error) {
	var sheets []*sheet.Sheet
	entries, err := fs.ReadDir(fsys, folder)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		data, err := fs.ReadFile(fsys, path.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		b, problems := sheet.Parse(e.Name(), data)
		if b == nil || estimate.Errors(problems) > 0 {
			return nil, fmt.Errorf("%s: %v", e.Name(), problems)
		}
		s := b.Sheets[0]
		s.Name = e.Name()[:len(e.Name())-len(".csv")]
		sheets = append(sheets, s)
	}
	s, problems := schedule.Read(&sheet.Book{File: path.Base(folder) + ".xlsx", Sheets: sheets})
	if s == nil || estimate.Errors(problems) > 0 {
		return nil, fmt.Errorf("%s: %v", folder, problems)
	}
	return workbook.Schedule(scheduleInput(s, "The schedule of an invented job."))
}

func scheduleInput(s *schedule.Schedule, how string) workbook.ScheduleInput {
	var details []string
	for _, d := range s.Book.Details {
		details = append(details, d.Name)
	}
	return workbook.ScheduleInput{
		How: how, Book: s.Book, Settings: s.Settings, Details: details,
		Openings: table(s.Openings), Measured: table(s.Measured), Alternates: table(s.Alternates), Terms: termsOf(s),
	}
}

// termsOf returns the terms of the sheet Suppliers.
func termsOf(s *schedule.Schedule) []pricing.Terms {
	if s.Suppliers == nil {
		return nil
	}
	terms, _ := pricelist.ReadTerms(s.Suppliers, s.Book.Items)
	return terms
}

// files are several outputs of one command: all are checked, then all stand on
// the disk, before the first is put in its place.
type files struct {
	dir    string
	force  bool
	inputs []string // of the run, which no output replaces
	names  []string
	data   [][]byte
	errs   []error
}

func newFiles(dir string, force bool, inputs ...string) *files {
	return &files{dir: dir, force: force, inputs: inputs}
}

func (f *files) add(name string, data []byte, err error) {
	target := filepath.Join(f.dir, name)
	if err == nil {
		err = checkTarget(target, f.force, f.inputs)
	}
	if err != nil {
		f.errs = append(f.errs, fmt.Errorf("%s: %w", target, reason(err)))
	}
	f.names, f.data = append(f.names, target), append(f.data, data)
}

func (f *files) write() error {
	if err := errors.Join(f.errs...); err != nil {
		return err
	}
	if err := os.MkdirAll(f.dir, 0o755); err != nil {
		return fmt.Errorf("%s: %w", f.dir, reason(err))
	}
	staged := make([]string, 0, len(f.names))
	defer func() {
		for _, s := range staged {
			_ = os.Remove(s) // what is in place has another name by then
		}
	}()
	for i, name := range f.names {
		s, err := stage(name, f.data[i])
		if err != nil {
			return fmt.Errorf("%s: %w", name, reason(err))
		}
		staged = append(staged, s)
	}
	for i, name := range f.names {
		if err := putInPlace(staged[i], name, f.force); err != nil {
			return fmt.Errorf("%s: %w", name, reason(err))
		}
	}
	return nil
}
