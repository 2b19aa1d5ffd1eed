package main

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const readme = "../../README.md"

// consoleBlock finds the blocks of README that show a terminal, with the
// indentation of the list that they stand in.
var consoleBlock = regexp.MustCompile("(?ms)^( *)```console\n(.*?)^ *```$")

// shown is a command of README and the output that is shown below it.
type shown struct{ command, output string }

func consoleCommands(t *testing.T) []shown {
	t.Helper()
	var out []shown
	for _, m := range consoleBlock.FindAllStringSubmatch(read(t, readme), -1) {
		for _, line := range strings.SplitAfter(m[2], "\n") {
			line = strings.TrimPrefix(line, m[1])
			if command, ok := strings.CutPrefix(line, "$ "); ok {
				out = append(out, shown{command: strings.TrimSpace(command)})
			} else if line != "" {
				require.NotEmpty(t, out, "output before a command: %s", line)
				out[len(out)-1].output += line
			}
		}
	}
	return out
}

// shownFile matches a file that README shows: its name and its lines.
var shownFile = regexp.MustCompile("(?s)```csv (\\S+)\n(.*?)```")

// TestReadmeCommands does what README says, one thing after the other.
func TestReadmeCommands(t *testing.T) {
	commands, text := consoleCommands(t), read(t, readme)
	inTemp(t)
	for _, m := range shownFile.FindAllStringSubmatch(text, -1) {
		write(t, m[1], m[2])
	}
	done := 0
	for _, c := range commands {
		if c.command == "go test -timeout 20m ./..." {
			continue // this is it
		}
		words := strings.Fields(c.command)
		switch {
		case words[0] == "./sillwright":
			words = words[1:]
		case len(words) > 3 && strings.Join(words[:3], " ") == "go run ./cmd/sillwright":
			words = words[3:]
		default:
			assert.Fail(t, "README runs something else", c.command)
			continue
		}
		r := succeed(t, words...)
		if c.output != "" {
			assert.Equal(t, c.output, r.stdout, c.command)
		}
		done++
	}
	assert.GreaterOrEqual(t, done, 4)
	// What README says is written where.
	for _, f := range []string{"demo-out/duplex-estimate.xlsx", "plum-hill/schedule-estimate.xlsx"} {
		assert.Contains(t, text, f)
		assert.Contains(t, listing(t, "."), f)
	}
}

// tableOfCommands matches a line of the table: a command, its arguments and
// flags in code.
var tableOfCommands = regexp.MustCompile("(?m)^\\| `(\\w+)([^`]*)` \\|")

var flagName = regexp.MustCompile(`--[a-z-]+`)

func TestReadmeTableOfCommands(t *testing.T) {
	inReadme, inApp := map[string][]string{}, map[string][]string{}
	for _, m := range tableOfCommands.FindAllStringSubmatch(read(t, readme), -1) {
		inReadme[m[1]] = append([]string{}, flagName.FindAllString(m[2], -1)...)
		slices.Sort(inReadme[m[1]])
	}
	for _, c := range commands() {
		flags := []string{}
		for _, f := range c.Flags {
			flags = append(flags, "--"+f.Names()[0])
		}
		slices.Sort(flags)
		inApp[c.Name] = flags
	}
	assert.Equal(t, inApp, inReadme)
	_, commands, _ := strings.Cut(succeed(t, "--help").stdout, "COMMANDS:\n")
	commands, _, _ = strings.Cut(commands, "\n\n")
	assert.Len(t, strings.Split(strings.TrimSpace(commands), "\n"), len(inApp), "help lists no other")
	for name := range inApp {
		assert.Regexp(t, `(?m)^   `+name+` +\S`, commands)
	}
}

func TestExitCodesAreSaidAlike(t *testing.T) {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	codes := plain(exitHelp)
	for _, n := range []string{"0 all well", "1 nothing written", "2 wrong use", "3 written"} {
		assert.Contains(t, codes, n)
	}
	assert.Contains(t, plain(read(t, readme)), codes)
	for _, args := range [][]string{{"--help"}, {"demo", "--help"}, {"new", "--help"}, {"check", "--help"}, {"estimate", "--help"}, {"cut", "--help"}} {
		assert.Contains(t, plain(succeed(t, args...).stdout), codes, args)
	}
}
