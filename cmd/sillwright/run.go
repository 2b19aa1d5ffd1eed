package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// How the program speaks. Results go to stdout, problems to stderr, one a
// line, "file: Sheet!Cell: what is wrong (what to do)", sorted. No colour, no
// progress. A line about the program itself begins "sillwright: ".

// Exit codes.
const (
	exitOK         = 0 // all well; warnings and held trim included
	exitNothing    = 1 // nothing written, or nothing readable
	exitUsage      = 2 // wrong use
	exitIncomplete = 3 // written, but a row was left out or a needed item has no price
)

const exitHelp = `Exit codes: 0 all well (warnings and held trim included); 1 nothing written or
nothing readable; 2 wrong use; 3 written, but a row was left out or a needed
item has no price.`

// outcome is how a command ended when not by a mistake in its use.
type outcome int

func (o outcome) Error() string { return fmt.Sprintf("exit %d", int(o)) }

// ended turns an exit code into what an action returns.
func ended(code int) error {
	if code == exitOK {
		return nil
	}
	return outcome(code)
}

// misuse is a mistake in the use of the program.
type misuse struct{ what string }

func (m misuse) Error() string { return m.what }

// commands are those of the program, in the order of the work.
func commands() []*cli.Command {
	return []*cli.Command{demoCommand(), newCommand(), checkCommand(), importCommand(), estimateCommand(), orderCommand(), compareCommand(), cutCommand(), completionCommand()}
}

// run is the whole program.
func run(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	app := &cli.App{
		Name: "sillwright", HelpName: "sillwright",
		Usage:       "from an opening schedule to a priced materials workbook",
		Description: "Reads schedules of window and door openings and writes, for each, a workbook with\nthe materials of every opening, what to buy, and the price.\n\n" + exitHelp,
		Writer:      stdout, ErrWriter: stderr,
		HideVersion: true, HideHelpCommand: true, DisableSliceFlagSeparator: true,
		Commands:       commands(),
		ExitErrHandler: func(*cli.Context, error) {},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return misuse{fmt.Sprintf("no command %q; sillwright --help lists them", c.Args().First())}
			}
			return cli.ShowAppHelp(c)
		},
	}
	for _, c := range app.Commands {
		c.OnUsageError = func(_ *cli.Context, err error, _ bool) error { return misuse{err.Error()} }
		c.HideHelpCommand = true
		c.CustomHelpTemplate = cli.CommandHelpTemplate + "\n" + exitHelp + "\n"
	}
	app.OnUsageError = func(_ *cli.Context, err error, _ bool) error { return misuse{err.Error()} }
	if len(args) > 0 && args[0] == "help" {
		args = append(slices.Clone(args[1:]), "--help")
	}
	err := app.Run(append([]string{"sillwright"}, flagsFirst(app, args)...))
	var end outcome
	switch {
	case err == nil:
		return exitOK
	case errors.As(err, &end):
		return int(end)
	case errors.As(err, new(misuse)):
		fmt.Fprintf(stderr, "sillwright: %v\n", err)
		return exitUsage
	}
	fmt.Fprintf(stderr, "sillwright: %v\n", err)
	return exitNothing
}

// flagsFirst moves the flags of a command before its arguments, since the
// library would take a flag behind a file name for another file name.
func flagsFirst(app *cli.App, args []string) []string {
	i := slices.IndexFunc(args, func(a string) bool { return !strings.HasPrefix(a, "-") })
	if i < 0 {
		return args
	}
	command := app.Command(args[i])
	if command == nil {
		return args
	}
	takesValue := map[string]bool{}
	for _, f := range command.Flags {
		_, isBool := f.(*cli.BoolFlag)
		for _, name := range f.Names() {
			takesValue[name] = !isBool
		}
	}
	var flags, rest []string
	tail := args[i+1:]
	for k := 0; k < len(tail); k++ {
		a := tail[k]
		if a == "--" {
			rest = append(rest, tail[k+1:]...)
			break
		}
		if !strings.HasPrefix(a, "-") || a == "-" {
			rest = append(rest, a)
			continue
		}
		flags = append(flags, a)
		name := strings.TrimLeft(a, "-")
		switch {
		case slices.Contains(cli.HelpFlag.Names(), name):
			return append(slices.Clone(args[:i+1]), a) // before a file name it would ask for help on that
		case takesValue[name] && k+1 == len(tail):
			return append(slices.Clone(args[:i+1]), flags...) // the library says what is missing
		case takesValue[name]:
			k++
			flags = append(flags, tail[k])
		}
	}
	out := append(slices.Clone(args[:i+1]), flags...)
	if len(rest) > 0 {
		out = append(append(out, "--"), rest...)
	}
	return out
}
