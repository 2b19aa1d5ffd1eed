package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// commands returns those of the program, in the order of the work.
func commands() []*cli.Command {
	return []*cli.Command{
		demoCommand(), newCommand(), checkCommand(), importCommand(), estimateCommand(), bidCommand(), orderCommand(), compareCommand(), learnCommand(), cutCommand(),
		completionCommand(),
	}
}

// run is the whole program; it returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	configureGC()
	results, messages := &escapingWriter{w: stdout}, &escapingWriter{w: stderr}
	defer unfinished.endOnSignals(&escapingWriter{w: stderr})()
	err := dispatch(args, results, messages)
	switch {
	case err == nil && (results.err != nil || messages.err != nil):
		printMessage(messages, programName, estimate.Error, fmt.Sprintf("what it printed is lost: %v", reason(cmp.Or(results.err, messages.err))), "")
		err = incomplete
	case err != nil && !errors.As(err, new(outcome)):
		printError(messages, err)
	}
	if onTerminal(stdin) && ownConsole() {
		waitForKey(stdin, messages)
	}
	return exitCode(err)
}

// dispatch runs the command that the arguments name.
func dispatch(args []string, stdout, stderr io.Writer) error {
	app := newApp(stdout, stderr)
	switch {
	case len(args) == 0:
		return app.Run([]string{programName})
	case args[0] == "help":
		return help(app, args[1:])
	}
	arranged, err := flagsFirst(app, args)
	if err != nil {
		return err
	}
	return app.Run(append([]string{programName}, arranged...))
}

// newApp makes the program for the command library.
func newApp(stdout, stderr io.Writer) *cli.App {
	app := &cli.App{
		Name: programName, HelpName: programName,
		Usage:     "from an opening schedule to a priced materials workbook",
		UsageText: "sillwright COMMAND [FILE...] [--FLAG...]\nsillwright SCHEDULE.xlsx...   checks and estimates each beside itself",
		Description: "Reads schedules of window and door openings and writes, for each, a workbook with\n" +
			"the materials of every opening, what to buy, and the price.\n\n" + exitHelp,
		Writer: stdout, ErrWriter: stderr,
		HideVersion: true, HideHelpCommand: true, DisableSliceFlagSeparator: true,
		Commands:              commands(),
		CustomAppHelpTemplate: cli.AppHelpTemplate + "\n" + topicsHelp(),
		OnUsageError:          translated,
		ExitErrHandler:        func(*cli.Context, error) {},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return cli.ShowAppHelp(c)
			}
			return action(withoutCommand)(c)
		},
	}
	for _, c := range app.Commands {
		c.OnUsageError = translated
		c.HideHelpCommand = true
		c.CustomHelpTemplate = cli.CommandHelpTemplate + "\n" + exitHelp + "\n"
		for _, f := range c.Flags {
			if b, ok := f.(*cli.BoolFlag); ok {
				b.DisableDefaultText = true // "default: false" helps nobody
			}
		}
	}
	return app
}

// invalidValue finds the flag and its value in what the command library says.
var invalidValue = regexp.MustCompile(`^invalid (?:boolean )?value ("(?:[^"\\]|\\.)*") for (?:flag )?-([\w-]+)`)

// translated says in our words what the command library finds wrong.
func translated(c *cli.Context, err error, _ bool) error {
	command := ""
	if c.Command != nil && c.Command.Name != programName {
		command = c.Command.Name
	}
	if m := invalidValue.FindStringSubmatch(err.Error()); m != nil {
		return usageError{command, fmt.Sprintf("--%s cannot be %s (sillwright help %s says what it takes)", m[2], m[1], command)}
	}
	return usageError{command, err.Error()}
}

// didYouMean returns advice on a word: the known one that it probably means, else
// what else to do.
func didYouMean(word string, known []string, prefix, otherwise string) string {
	if near, ok := sheet.Nearest(word, known); ok {
		return fmt.Sprintf("did you mean %s%s?", prefix, near)
	}
	return otherwise
}

// commandNames lists the commands, help included.
func commandNames() []string {
	names := []string{"help"}
	for _, c := range commands() {
		names = append(names, c.Name)
	}
	return names
}

// noCommand is the mistake of a first word that is neither a command nor a file.
func noCommand(word string) error {
	if strings.ContainsAny(word, `./\`) {
		return misuse("there is no file %q (check the name and the folder)", word)
	}
	return misuse("no command %q (%s)", word, didYouMean(word, commandNames(), "", "sillwright help lists the commands"))
}

// unknownFlag is the mistake of a flag that a command does not have.
func unknownFlag(command, name string, known []string) error {
	return usageError{command, fmt.Sprintf("unknown flag --%s (%s)", name,
		didYouMean(name, known, "--", strings.TrimSpace("sillwright help "+command)+" lists the flags"))}
}

// flagsFirst moves the flags of a command before its arguments, since the
// library would take a flag behind a file name for another file name. A flag that
// the command does not have, or one without its value, is refused.
func flagsFirst(app *cli.App, args []string) ([]string, error) {
	i := slices.IndexFunc(args, func(a string) bool { return !strings.HasPrefix(a, "-") })
	for _, a := range args[:max(i, 0)] {
		if !isHelp(a) {
			return nil, misuse("%s stands before the command (write: sillwright COMMAND FILE %[1]s)", a)
		}
	}
	switch {
	case i < 0 && !isHelp(args[0]):
		return nil, unknownFlag("", nameOfFlag(args[0]), nil)
	case i < 0:
		return args, nil
	}
	command := app.Command(args[i])
	if command == nil {
		return args, withoutFlags(args[i:])
	}
	takesValue, names := flagsOf(command)
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
		if isHelp(a) {
			return append(slices.Clone(args[:i+1]), a), nil // before a file name it would ask for help on that
		}
		name, known := nameOfFlag(a), false
		if _, known = takesValue[name]; !known {
			return nil, unknownFlag(command.Name, name, names)
		}
		flags = append(flags, a)
		switch {
		case !takesValue[name] || strings.Contains(a, "="):
		case k+1 == len(tail):
			return nil, usageError{command.Name, fmt.Sprintf("--%s needs a value (sillwright help %s says which)", name, command.Name)}
		default:
			k++
			flags = append(flags, tail[k])
		}
	}
	out := append(slices.Clone(args[:i+1]), flags...)
	if len(rest) > 0 {
		out = append(append(out, "--"), rest...)
	}
	return out, nil
}

// flagsOf returns the names of a command's flags, and whether each takes a value.
func flagsOf(command *cli.Command) (takesValue map[string]bool, names []string) {
	takesValue = map[string]bool{}
	for _, f := range command.Flags {
		_, isBool := f.(*cli.BoolFlag)
		for _, name := range f.Names() {
			takesValue[name] = !isBool
			names = append(names, name)
		}
	}
	return takesValue, names
}

// nameOfFlag returns the name of a flag as it is written: --out=a is out.
func nameOfFlag(arg string) string {
	name, _, _ := strings.Cut(strings.TrimLeft(arg, "-"), "=")
	return name
}

func isHelp(arg string) bool {
	return strings.HasPrefix(arg, "-") && slices.Contains(cli.HelpFlag.Names(), strings.TrimLeft(arg, "-"))
}

// withoutFlags wants files named without a command to stand alone: flags belong
// to a command.
func withoutFlags(args []string) error {
	if _, err := os.Stat(args[0]); err != nil {
		return noCommand(args[0])
	}
	if k := slices.IndexFunc(args, func(a string) bool { return strings.HasPrefix(a, "-") && !isHelp(a) }); k >= 0 {
		return misuse("%s needs a command in front of the files (sillwright estimate %s)", args[k], strings.Join(args, " "))
	}
	return nil
}
