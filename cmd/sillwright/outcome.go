package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"
)

// outcome says how far a command came. A later one is worse.
type outcome int

const (
	succeeded  outcome = iota // all well; warnings and trim on hold included
	incomplete                // written, but a row was left out or a needed item has no price
	failed                    // nothing written, or nothing readable
)

// Error makes an outcome pass through the command library, which hands on
// nothing but errors.
func (o outcome) Error() string {
	return [...]string{succeeded: "succeeded", incomplete: "incomplete", failed: "failed"}[o]
}

// succeededIf is the outcome of something that was written.
func succeededIf(complete bool) outcome {
	if complete {
		return succeeded
	}
	return incomplete
}

// combine returns the outcome of a run over several files: one that failed
// makes it incomplete, and only if all did, or there are none, it failed.
func combine(files []outcome) outcome {
	switch {
	case !slices.ContainsFunc(files, func(o outcome) bool { return o != failed }):
		return failed
	case slices.Max(files) > succeeded:
		return incomplete
	}
	return succeeded
}

// action hands what a command does to the command library. An error that a
// command returns is printed by run; what it reported itself is an outcome.
func action(do func(*cli.Context) (outcome, error)) cli.ActionFunc {
	return func(c *cli.Context) error {
		result, err := do(c)
		if misused, ok := err.(usageError); ok && c.Command != nil && c.Command.Name != programName {
			misused.command = c.Command.Name
			err = misused
		}
		if err == nil && result != succeeded {
			err = result
		}
		return err
	}
}

// usageError is a mistake in the use of a command, or of the program where that
// is "".
type usageError struct{ command, what string }

func (e usageError) Error() string { return e.what }

func misuse(format string, args ...any) error { return usageError{what: fmt.Sprintf(format, args...)} }

// fileError is an error of a file: it is printed with the file's name in front,
// others with the program's.
type fileError struct {
	file string
	err  error
}

func (e fileError) Error() string { return e.file + ": " + e.err.Error() }
func (e fileError) Unwrap() error { return e.err }

// Exit codes of the process.
const (
	exitOK         = 0
	exitNothing    = 1
	exitUsage      = 2
	exitIncomplete = 3
)

const exitHelp = `Exit codes: 0 all well (warnings and trim on hold included); 1 nothing written or
nothing readable; 2 wrong use; 3 written, but a row was left out or a needed
item has no price.`

// exitCode is the only place that chooses an exit code: it returns that of an
// outcome, of a mistake in the use, or of any other error.
func exitCode(err error) int {
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, incomplete):
		return exitIncomplete
	case errors.As(err, new(usageError)):
		return exitUsage
	}
	return exitNothing
}
