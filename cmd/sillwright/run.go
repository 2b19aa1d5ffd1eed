package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"unicode"

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
	debug.SetMemoryLimit(memoryGoal)
	results := &terminal{w: stdout}
	code := call(args, results, &terminal{w: stderr})
	if results.err != nil && code == exitOK {
		fmt.Fprintf(stderr, "sillwright: what it printed is lost: %v\n", reason(results.err))
		return exitIncomplete
	}
	return code
}

// memoryGoal is when rubbish is collected at any cost, so that files built to
// fill the memory do not. A job of more than manyOpenings needs more: near its
// goal a program does little but collect.
const (
	memoryGoal   = 400 << 20
	manyGoal     = 800 << 20
	manyOpenings = 5_000
	gcPercent    = 200 // of an estimate: measured, less takes longer and more gains nothing
)

// terminal passes on what is printed. Names and headers come from files of
// strangers: what would steer a terminal or turn the text around is printed by
// its number instead. It keeps the first error.
type terminal struct {
	w   io.Writer
	err error
}

func (t *terminal) Write(b []byte) (int, error) {
	_, err := io.WriteString(t.w, visible(string(b)))
	if t.err == nil {
		t.err = err
	}
	return len(b), nil
}

func visible(s string) string {
	hidden := func(r rune) bool {
		return r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == unicode.ReplacementChar)
	}
	if !strings.ContainsFunc(s, hidden) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if hidden(r) {
			quoted := strconv.QuoteRuneToASCII(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// call does what the arguments say.
func call(args []string, stdout, stderr io.Writer) int {
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
