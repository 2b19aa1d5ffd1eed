package main

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/templates"
)

const topicEnding = ".md"

// topics returns the names of the help topics, in alphabetical order.
func topics() []string {
	files, err := fs.Glob(templates.Help, "help/*"+topicEnding)
	if err != nil {
		return nil // the pattern is right
	}
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(path.Base(f), topicEnding))
	}
	slices.Sort(names)
	return names
}

// topic returns the text on a topic as it is printed, "" if there is none.
func topic(name string) string {
	data, err := fs.ReadFile(templates.Help, path.Join("help", name+topicEnding))
	if err != nil {
		return ""
	}
	return markdownText(string(data))
}

// topicsHelp lists the topics with their titles.
func topicsHelp() string {
	var b strings.Builder
	b.WriteString("TOPICS: sillwright help TOPIC\n")
	for _, name := range topics() {
		title, _, _ := strings.Cut(topic(name), "\n")
		fmt.Fprintf(&b, "   %-10s  %s\n", name, title)
	}
	return b.String()
}

// help prints the help on a command, a topic or, of one name, both; without a
// word what commands and topics there are.
func help(app *cli.App, args []string) error {
	if len(args) == 0 {
		return app.Run([]string{programName, "--help"})
	}
	name := args[0]
	text := topic(name)
	switch {
	case app.Command(name) != nil:
		if err := app.Run([]string{programName, name, "--help"}); err != nil {
			return err
		}
		if text != "" {
			fmt.Fprintf(app.Writer, "\n%s", text)
		}
	case text != "":
		fmt.Fprint(app.Writer, text)
	case isHelp(name) || name == "help":
		return app.Run([]string{programName, "--help"})
	default:
		known := append(commandNames(), topics()...)
		return misuse("no help on %q (%s)", name, didYouMean(name, known, "", "sillwright help lists commands and topics"))
	}
	return nil
}

// markdownText returns a text for a terminal that is written with the marks of
// Markdown: titles and words lose theirs, and what is shown as code is indented.
func markdownText(text string) string {
	var b strings.Builder
	code := false
	for line := range strings.Lines(text) {
		switch bare := strings.TrimSpace(line); {
		case strings.HasPrefix(bare, "```"):
			code = !code
		case code:
			b.WriteString(strings.TrimRight("  "+line, " "))
		default:
			if strings.HasPrefix(line, "#") {
				line = strings.TrimLeft(line, "# ")
			}
			b.WriteString(strings.NewReplacer("`", "", "**", "").Replace(line))
		}
	}
	return b.String()
}
