package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"sillwright/estimate"
)

// batch is the schedules that the arguments of a command stand for.
type batch struct {
	files  []string
	unread int // folders that cannot be read
}

// findSchedules lists the schedules: files as they are named, and of folders the
// workbooks and the CSV files that are schedules, without those that the program
// writes and those that the command names for something else.
func findSchedules(args, named []string, stderr io.Writer) (b batch) {
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil || !info.IsDir() {
			b.files = append(b.files, a) // what cannot be opened is reported when it is opened
			continue
		}
		entries, err := os.ReadDir(a)
		if err != nil {
			printError(stderr, fileError{a, reason(err)})
			b.unread++
		}
		names := map[string]bool{}
		for _, e := range entries {
			names[strings.ToLower(e.Name())] = true
		}
		for _, e := range entries {
			name := strings.ToLower(e.Name())
			path := filepath.Join(a, e.Name())
			workbook := strings.HasSuffix(name, ".xlsx") || strings.HasSuffix(name, ".xlsm")
			hidden := strings.HasPrefix(name, "~$") || strings.HasPrefix(name, ".")
			switch {
			case e.IsDir(), hidden, isOutput(name, names):
			case workbook, strings.HasSuffix(name, ".csv") && checkApart(path, named) == nil && takesCSV(path, names, stderr):
				b.files = append(b.files, path)
			}
		}
	}
	if len(b.files) == 0 {
		printMessage(stderr, programName, estimate.Error, "no schedule found", "name a schedule, or a folder with schedules")
	}
	return b
}

// takesCSV reports whether a CSV file of a folder is a schedule of the batch: the
// folder also holds price lists, orders and the like. What might be meant as one and
// is left out is named. The names of the folder are in lower case.
func takesCSV(path string, folder map[string]bool, stderr io.Writer) bool {
	kind, _ := classify(path)
	leaveOut := func(what, do string) {
		printMessage(stderr, path, estimate.Warning, "it is left out: "+what, do)
	}
	switch kind {
	case scheduleKind:
		name := strings.TrimSuffix(strings.ToLower(filepath.Base(path)), ".csv")
		if folder[name+".xlsx"] || folder[name+".xlsm"] {
			leaveOut("the folder holds a workbook of the same name, and both would write one estimate", "if this one is meant, name it by itself, with --out")
			return false
		}
		return true
	case unreadableFile:
		return true // reported when it is opened again
	case foreignSchedule:
		leaveOut("it is a list of openings in another form", "turn it into a schedule: sillwright import "+quoteArgument(path))
	}
	return false
}

// outcome returns that of a run over the batch, by those of its files.
func (b batch) outcome(files []outcome) outcome {
	return combine(append(files, slices.Repeat([]outcome{failed}, b.unread)...))
}

// inOrder does a piece of work for each number below n on so many workers at
// once, and takes the results in the order of the numbers, whatever the order
// in which they come. It starts no more once the context is done, lets the
// running ones finish, and returns how many were taken.
func inOrder[T any](ctx context.Context, n, workers int, work func(i int) T, take func(i int, v T)) int {
	results := make([]chan T, n)
	for i := range results {
		results[i] = make(chan T, 1)
	}
	next := make(chan int)
	var running sync.WaitGroup
	for range max(1, min(workers, n)) {
		running.Add(1)
		go func() {
			defer running.Done()
			for i := range next {
				results[i] <- work(i)
			}
		}()
	}
	go func() {
		defer close(next)
		for i := 0; i < n && ctx.Err() == nil; i++ { // select alone would choose either of two that are ready
			select {
			case <-ctx.Done():
			case next <- i:
			}
		}
	}()
	stopped := make(chan struct{})
	go func() { running.Wait(); close(stopped) }()
	for i := range n {
		select {
		case v := <-results[i]:
			take(i, v)
			continue
		case <-stopped:
		}
		// All workers have ended: what is not there now was never started.
		select {
		case v := <-results[i]:
			take(i, v)
		default:
			return i
		}
	}
	return n
}
