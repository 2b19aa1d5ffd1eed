package main

import (
	"bytes"
	"encoding/csv"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/templates"
)

const (
	readme     = "../../README.md"
	helpFolder = "../../templates/help"
)

// manual returns README and the texts of help, by file, README first.
func manual(t *testing.T) []string {
	t.Helper()
	topics, err := filepath.Glob(filepath.Join(helpFolder, "*.md"))
	require.NoError(t, err)
	require.NotEmpty(t, topics)
	return append([]string{readme}, topics...)
}

// consoleBlock finds the blocks that show a terminal, with the indentation of
// the list that they stand in.
var consoleBlock = regexp.MustCompile("(?ms)^( *)```console\n(.*?)^ *```$")

// shown is a command of the manual and the output that is shown below it.
type shown struct{ command, output string }

func consoleCommands(t *testing.T, text string) []shown {
	t.Helper()
	var out []shown
	for _, m := range consoleBlock.FindAllStringSubmatch(text, -1) {
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

// shownFile matches a file that the manual shows: its name and its lines.
var shownFile = regexp.MustCompile("(?s)```csv (\\S+)\n(.*?)```")

// TestReadmeCommands does what README and the texts of help say, one thing
// after the other.
func TestReadmeCommands(t *testing.T) {
	texts := []string{}
	for _, name := range manual(t) {
		texts = append(texts, read(t, name))
	}
	inTemp(t)
	done := 0
	for _, text := range texts {
		for _, m := range shownFile.FindAllStringSubmatch(text, -1) {
			write(t, m[1], m[2])
		}
		commands := consoleCommands(t, text)
		assert.Len(t, consoleBlock.FindAllString(text, -1), strings.Count(text, "```console"), "every block ends")
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
				assert.Fail(t, "the manual runs something else", c.command)
				continue
			}
			r := succeed(t, words...)
			if words[0] == "new" { // the reader fills in Openings
				overwriteExample(t, words[1]+"/schedule.xlsx")
			}
			if c.output != "" {
				assert.Equal(t, c.output, r.stdout, c.command)
			}
			done++
		}
	}
	assert.GreaterOrEqual(t, done, 7)
	// What README says is written where.
	for _, f := range []string{"demo-out/duplex-estimate.xlsx", "plum-hill/schedule-estimate.xlsx", "plum-hill/prices.csv"} {
		assert.Contains(t, texts[0], f)
		assert.Contains(t, listing(t, "."), f)
	}
}

// inAndOut matches a row of the table of what goes in and what comes out: a
// mark, and what its materials cost.
var inAndOut = regexp.MustCompile(`(?m)^([A-Z]\d+) \| .* \| ([\d.,]+) \| .*$`)

// writtenSize matches a width and a height as the program writes them.
var writtenSize = regexp.MustCompile(`[\d/-]+ x [\d/-]+`)

// TestReadmeRows holds the figures of four marks of the demo to what the demo
// comes to.
func TestReadmeRows(t *testing.T) {
	rows := inAndOut.FindAllStringSubmatch(read(t, readme), -1)
	require.Len(t, rows, 4)
	inTemp(t)
	succeed(t, "demo", "demo-out")
	b := open(t, "demo-out/duplex-estimate.xlsx")
	sizes := map[string]bool{} // as they stand on the sheets, in any mark's row
	for _, sheet := range []string{"By opening", "Frames"} {
		for _, c := range b.cells(sheet) {
			sizes[c.value] = true
		}
	}
	marks := map[string]map[string]string{}
	for _, row := range b.table("By opening", "Mark", "Qty", "Materials") {
		marks[row["Mark"]] = row
	}
	for _, m := range rows {
		line, mark := m[0], marks[m[1]]
		require.NotNil(t, mark, line)
		assert.Equal(t, cents(t, mark["Materials"]), cents(t, strings.ReplaceAll(m[2], ",", "")), line)
		assert.Contains(t, line, "| "+mark["Qty"]+" "+mark["Kind"], line)
		assert.Contains(t, line, mark["Frame"])
		for _, size := range writtenSize.FindAllString(line, -1) {
			assert.True(t, sizes[size], "%s: %s stands on no sheet", line, size)
		}
	}
}

var (
	commandLine = regexp.MustCompile("(?m)^- `(\\w+)` ")
	flagName    = regexp.MustCompile(`--[a-z][a-z-]*`)
	topicLink   = regexp.MustCompile(`\[(\w+)\]\(templates/help/(\w+)\.md\)`)
)

func TestReadmeNamesEveryCommand(t *testing.T) {
	var inReadme, inApp []string
	flags := map[string]bool{"--help": true}
	for _, m := range commandLine.FindAllStringSubmatch(read(t, readme), -1) {
		inReadme = append(inReadme, m[1])
	}
	for _, c := range commands() {
		inApp = append(inApp, c.Name)
		for _, f := range c.Flags {
			flags["--"+f.Names()[0]] = true
		}
	}
	assert.Equal(t, inApp, inReadme, "in the order of the work")
	for _, name := range manual(t) {
		for _, f := range flagName.FindAllString(read(t, name), -1) {
			assert.True(t, flags[f], "%s: no command has %s", name, f)
		}
	}
	_, commands, _ := strings.Cut(succeed(t, "--help").stdout, "COMMANDS:\n")
	commands, _, _ = strings.Cut(commands, "\n\n")
	assert.Len(t, strings.Split(strings.TrimSpace(commands), "\n"), len(inApp), "help lists no other")
	for _, name := range inApp {
		assert.Regexp(t, `(?m)^   `+name+` +\S`, commands)
	}
}

func TestReadmeNamesEveryTopic(t *testing.T) {
	var linked, files []string
	for _, m := range topicLink.FindAllStringSubmatch(read(t, readme), -1) {
		assert.Equal(t, m[1], m[2])
		linked = append(linked, m[1]+".md")
	}
	for _, name := range manual(t)[1:] {
		files = append(files, filepath.Base(name))
		assert.Regexp(t, `\A# \w`, read(t, name), name)
	}
	assert.ElementsMatch(t, files, linked)
}

// sheetLine matches a line of the sheets of an estimate, by reader.
var sheetLine = regexp.MustCompile(`(?m)^- \*\*\w+:\*\* (.+)$`)

func TestReadmeNamesEverySheet(t *testing.T) {
	var named []string
	for _, m := range sheetLine.FindAllStringSubmatch(read(t, readme), -1) {
		named = append(named, strings.Split(m[1], ", ")...)
	}
	help := read(t, filepath.Join(helpFolder, "workbook.md"))
	inTemp(t)
	succeed(t, "demo", "demo-out")
	sheets := open(t, "demo-out/duplex-estimate.xlsx").sheets
	assert.ElementsMatch(t, sheets, named)
	for _, name := range sheets {
		assert.True(t, strings.Contains(help, name), "the help on the workbook does not name %s", name)
	}
}

// settingOnJob matches a setting that a text sends its reader to.
var settingOnJob = regexp.MustCompile("`([^`]+)` on\\s+Job")

func TestReadmeNamesSettingsRightly(t *testing.T) {
	settings, err := csv.NewReader(bytes.NewReader(templates.Settings)).ReadAll()
	require.NoError(t, err)
	known := map[string]bool{}
	for _, fields := range settings {
		known[fields[0]] = true
	}
	for _, name := range manual(t) {
		for _, m := range settingOnJob.FindAllStringSubmatch(read(t, name), -1) {
			assert.True(t, known[m[1]], "%s: Job has no %q", name, m[1])
		}
	}
}

// codeBlock finds what is code: its words are not counted.
var codeBlock = regexp.MustCompile("(?ms)^ *```.*?^ *```$")

func TestReadmeIsShort(t *testing.T) {
	text := read(t, readme)
	assert.Less(t, len(strings.Fields(codeBlock.ReplaceAllString(text, ""))), 900)
	paragraphs := strings.Split(text, "\n\n")
	assert.LessOrEqual(t, len(strings.Fields(paragraphs[1])), 80, "the whole job in a paragraph")
	for _, name := range manual(t)[1:] {
		for _, line := range strings.Split(codeBlock.ReplaceAllString(read(t, name), ""), "\n") {
			assert.LessOrEqual(t, len(line), 80, "%s: too long for a terminal: %s", name, line)
		}
	}
}

func TestExitCodesAreSaidAlike(t *testing.T) {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	codes := plain(exitHelp)
	for _, n := range []string{"0 all well", "1 nothing written", "2 wrong use", "3 written"} {
		assert.Contains(t, codes, n)
	}
	for _, args := range [][]string{{"--help"}, {"demo", "--help"}, {"new", "--help"}, {"check", "--help"}, {"estimate", "--help"}, {"cut", "--help"}} {
		assert.Contains(t, plain(succeed(t, args...).stdout), codes, args)
	}
}
