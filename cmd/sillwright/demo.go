package main

import (
	"fmt"
	"io/fs"
	"path"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/templates"
)

func demoCommand() *cli.Command {
	return &cli.Command{
		Name: "demo", Usage: "write the demo jobs to a folder and estimate them",
		ArgsUsage:   "FOLDER",
		Description: "Example:\n  sillwright demo demo-out\n\nThe jobs, their suppliers and prices are invented.",
		Flags:       []cli.Flag{&cli.BoolFlag{Name: "force", Usage: "replace files that exist"}},
		Action: action(func(c *cli.Context) (outcome, error) {
			if c.NArg() != 1 {
				return failed, misuse("it needs one folder (sillwright demo FOLDER)")
			}
			dir, force := c.Args().First(), c.Bool("force")
			files, err := writeDemo(dir, force)
			if err != nil {
				return failed, err
			}
			r := estimateRun{
				schedules: batch{files: files}, prices: []string{filepath.Join(dir, pricesFile)}, force: force, edits: dropEdits,
				workers: processors(), streams: streamsOf(c),
			}
			result, err := r.run()
			fmt.Fprintf(c.App.Writer, "\nSchedules, prices and estimates are in %s; open an estimate at its Summary.\n", onOneLine(dir))
			return result, err
		}),
	}
}

// writeDemo writes the demo schedules and the starter prices.
func writeDemo(dir string, force bool) ([]string, error) {
	jobs, err := fs.ReadDir(templates.Demo, "demo")
	if err != nil {
		return nil, err
	}
	out := newOutputSet(dir, force)
	out.add(pricesFile, templates.Prices, nil)
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
