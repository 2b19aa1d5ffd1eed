package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// commands returns those of the program, in the order of the work.
func commands() []*cli.Command {
	return []*cli.Command{
		demoCommand(), newCommand(), checkCommand(), importCommand(), estimateCommand(), orderCommand(), compareCommand(), cutCommand(),
		completionCommand(),
	}
}

// run is the whole program; it returns the exit code.
func run(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	configureGC()
	results, messages := &escapingWriter{w: stdout}, &escapingWriter{w: stderr}
	err := dispatch(args, results, messages)
	switch {
	case err == nil && results.err != nil:
		fmt.Fprintf(messages, "sillwright: what it printed is lost: %v\n", reason(results.err))
		err = incomplete
	case err != nil && !errors.As(err, new(outcome)):
		printError(messages, err)
	}
	return exitCode(err)
}

// dispatch runs the command that the arguments name.
func dispatch(args []string, stdout, stderr io.Writer) error {
	usage := func(_ *cli.Context, err error, _ bool) error { return misuse("%v", err) }
	app := &cli.App{
		Name: "sillwright", HelpName: "sillwright",
		Usage: "from an opening schedule to a priced materials workbook",
		Description: "Reads schedules of window and door openings and writes, for each, a workbook with\n" +
			"the materials of every opening, what to buy, and the price.\n\n" + exitHelp,
		Writer: stdout, ErrWriter: stderr,
		HideVersion: true, HideHelpCommand: true, DisableSliceFlagSeparator: true,
		Commands:       commands(),
		OnUsageError:   usage,
		ExitErrHandler: func(*cli.Context, error) {},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return misuse("no command %q; sillwright --help lists them", c.Args().First())
			}
			return cli.ShowAppHelp(c)
		},
	}
	for _, c := range app.Commands {
		c.OnUsageError = usage
		c.HideHelpCommand = true
		c.CustomHelpTemplate = cli.CommandHelpTemplate + "\n" + exitHelp + "\n"
	}
	if len(args) > 0 && args[0] == "help" {
		args = append(slices.Clone(args[1:]), "--help")
	}
	return app.Run(append([]string{"sillwright"}, flagsFirst(app, args)...))
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
