package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"sillwright/estimate"
)

// unfinished is what this process has made that must not outlive it.
var unfinished workInHand

// endingSignals are those by which a user or the system ends a process.
var endingSignals = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}

// workInHand is what a run has made and not finished: temporary files, and folders
// that hold nothing yet.
type workInHand struct {
	placing sync.Mutex // held while files are made or put in place: no signal ends the process in between
	made    []string   // in the order in which they were made
	stop    func()     // what the next signal calls instead of ending the process; nil for none
}

// forget takes a path off the list of what was made. The caller holds placing.
func (w *workInHand) forget(path string) {
	w.made = slices.DeleteFunc(w.made, func(p string) bool { return p == path })
}

// makeFolder makes a folder with those above it. What it made is removed by
// removeIfEmpty, which the caller calls in the end, unless something stands in it.
func (w *workInHand) makeFolder(dir string) (removeIfEmpty func(), err error) {
	var missing []string // the innermost first
	for d := filepath.Clean(dir); !exists(d) && d != filepath.Dir(d); d = filepath.Dir(d) {
		missing = append(missing, d)
	}
	removeIfEmpty = func() {
		w.placing.Lock()
		defer w.placing.Unlock()
		for _, d := range missing {
			_ = os.Remove(d)
			w.forget(d)
		}
	}
	w.placing.Lock()
	err = os.MkdirAll(dir, 0o777) // less what the umask takes
	for _, d := range slices.Backward(missing) {
		w.made = append(w.made, d)
	}
	w.placing.Unlock()
	if err != nil {
		removeIfEmpty()
	}
	return removeIfEmpty, err
}

// createTemporary makes a temporary file in a folder, with the permissions that the
// umask gives a new file.
func (w *workInHand) createTemporary(dir string) (*os.File, error) {
	w.placing.Lock()
	defer w.placing.Unlock()
	for {
		name := filepath.Join(dir, strings.Replace(temporary, "*", strconv.FormatUint(rand.Uint64(), 36), 1))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err == nil {
			w.made = append(w.made, name)
		}
		return f, err
	}
}

// discard removes a temporary file, unless it is in its place by now. The caller
// does not hold placing.
func (w *workInHand) discard(name string) {
	w.placing.Lock()
	defer w.placing.Unlock()
	if slices.Contains(w.made, name) {
		_ = os.Remove(name)
		w.forget(name)
	}
}

// endOnSignals lets the signals that end a process end it clean: nothing half
// written, no temporary file, no empty folder. A reader that goes away early, such
// as head, is an error of the write, not the end of the run. What was ignored when
// the process began stays so: hang-ups under nohup, interrupts in the background.
func (w *workInHand) endOnSignals(messages io.Writer) (restore func()) {
	received := make(chan os.Signal, 2)
	for _, s := range endingSignals {
		if !signal.Ignored(s) {
			signal.Notify(received, s)
		}
	}
	broken := make(chan os.Signal, 1)
	signal.Notify(broken, syscall.SIGPIPE) // a write to a closed pipe then returns an error
	go func() {
		for s := range received {
			if stop := w.takeStop(); stop != nil {
				stop()
				continue
			}
			w.end(s, messages)
		}
	}()
	return func() {
		signal.Stop(received)
		signal.Stop(broken)
		close(received)
	}
}

// takeStop returns what the next signal calls, once.
func (w *workInHand) takeStop() (stop func()) {
	w.placing.Lock()
	defer w.placing.Unlock()
	stop, w.stop = w.stop, nil
	return stop
}

// end removes what is unfinished and ends the process as the signal would have.
// It waits for files that are being put in place, and lets no more be.
func (w *workInHand) end(s os.Signal, messages io.Writer) {
	w.placing.Lock()
	for _, path := range slices.Backward(w.made) {
		_ = os.Remove(path)
	}
	signal.Reset(endingSignals...) // the next one ends it, should nobody read the message
	printMessage(messages, programName, estimate.Error, fmt.Sprintf("ended by a signal (%v)", s), "what is written is complete; run it again for the rest")
	if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(s) == nil {
		time.Sleep(time.Second) // the signal ends the process
	}
	os.Exit(exitCode(failed)) // where a process cannot send itself a signal
}

// untilInterrupt returns a context that ends at the first signal that would end
// the process. A second one ends the process at once.
func (w *workInHand) untilInterrupt() (context.Context, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	w.placing.Lock()
	defer w.placing.Unlock()
	w.stop = cancel
	return ctx, func() {
		w.takeStop()
		cancel()
	}
}
