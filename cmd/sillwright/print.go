package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// How the program speaks. Results go to stdout, problems to stderr, sorted, those
// that are alike in one line: "file: Sheet!Cell: error: what is wrong (what to
// do)". No color, and progress only on a terminal. A line about the program itself
// begins "sillwright: error: ".

// streams are what a command prints to.
type streams struct {
	stdout, stderr io.Writer
	terminal       io.Writer // where stderr is seen at once by a person; else nil
}

func streamsOf(c *cli.Context) streams {
	s := streams{stdout: c.App.Writer, stderr: c.App.ErrWriter}
	if e, ok := s.stderr.(*escapingWriter); ok && onTerminal(e.w) {
		s.terminal = e.w
	}
	return s
}

// escapingWriter passes on what is printed. Names and headers come from files of
// strangers: what would steer a terminal or turn the text around is printed by
// its number instead. It keeps the first error.
type escapingWriter struct {
	w   io.Writer
	err error
}

func (e *escapingWriter) Write(b []byte) (int, error) {
	_, err := io.WriteString(e.w, escapeControls(string(b)))
	if e.err == nil {
		e.err = err
	}
	return len(b), nil
}

func escapeControls(s string) string {
	unsafe := func(r rune) bool {
		return r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == unicode.ReplacementChar)
	}
	if !strings.ContainsFunc(s, unsafe) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if unsafe(r) {
			quoted := strconv.QuoteRuneToASCII(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// onTerminal reports whether a stream is a terminal, where a person sees at once
// what is written, or types what is read.
func onTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// programName stands in front of what concerns the program or the whole run.
const programName = "sillwright"

// printError prints the error that a command returned, or each of several.
func printError(w io.Writer, err error) {
	var several interface{ Unwrap() []error }
	if errors.As(err, &several) {
		for _, e := range several.Unwrap() {
			printError(w, e)
		}
		return
	}
	var f fileError
	if errors.As(err, &f) {
		printMessage(w, f.file, estimate.Error, f.err.Error(), "")
		return
	}
	about := programName
	var misused usageError
	if errors.As(err, &misused) && misused.command != "" {
		about += " " + misused.command
	}
	printMessage(w, about, estimate.Error, err.Error(), "")
}

// printMessage prints something about a file of which the path is known, or about
// the program; do may be "".
func printMessage(w io.Writer, about string, severity estimate.Severity, what, do string) {
	printProblems(w, []estimate.Problem{{Place: estimate.Place{File: about}, Severity: severity, What: what, Do: do}})
}

// reason returns what went wrong with a file, without the operation and the path
// that the os package puts in front.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}

// Limits of what is printed of the problems of a file. More than that nobody reads,
// and a file of a few kB must not fill a disk.
const (
	maxPrinted = 200 // lines
	maxWords   = 800 // characters of what is wrong, and of what to do
)

// printProblems prints problems, which are sorted, those that are alike in one
// line. Of more lines than maxPrinted the worst are printed, and the others counted.
func printProblems(w io.Writer, problems []estimate.Problem) {
	groups := estimate.GroupProblems(problems)
	if len(groups) <= maxPrinted {
		printGroups(w, groups)
		return
	}
	worst := make([]int, len(groups))
	for i := range worst {
		worst[i] = i
	}
	slices.SortStableFunc(worst, func(a, b int) int { return cmp.Compare(groups[b].Severity, groups[a].Severity) })
	hidden := map[estimate.Severity]int{}
	for _, i := range worst[maxPrinted:] {
		hidden[groups[i].Severity]++
	}
	shown := worst[:maxPrinted]
	slices.Sort(shown)
	kept := make([]estimate.Alike, len(shown))
	for i, at := range shown {
		kept[i] = groups[at]
	}
	printGroups(w, kept)
	var words []string
	for _, s := range []estimate.Severity{estimate.Error, estimate.Warning, estimate.Note} {
		if n := hidden[s]; n > 0 {
			words = append(words, plural(n, s.String()))
		}
	}
	fmt.Fprintf(w, "%s: note: %s more are not printed (correct those above first; check --problems FILE lists all, and so does the sheet Checks)\n",
		programName, strings.Join(words, ", "))
}

func printGroups(w io.Writer, groups []estimate.Alike) {
	for _, group := range groups {
		group.What, group.Do = cutWords(group.What), cutWords(group.Do)
		fmt.Fprintln(w, onOneLine(group.String()))
	}
}

// onOneLine writes line ends, which names of files may hold, as escapingWriter writes
// other controls.
func onOneLine(s string) string { return strings.ReplaceAll(s, "\n", `\n`) }

// cutWords cuts words that quote far too much.
func cutWords(s string) string {
	if len(s) <= maxWords {
		return s
	}
	if r := []rune(s); len(r) > maxWords {
		return string(r[:maxWords]) + "…"
	}
	return s
}

// runPrinter prints the problems of the files of a run. What concerns a price
// list is said once, however many files are priced by it.
type runPrinter struct {
	w    io.Writer
	said map[estimate.Problem]bool
}

func newRunPrinter(w io.Writer) *runPrinter { return &runPrinter{w, map[estimate.Problem]bool{}} }

// print prints the problems of a schedule, without those of other files that were
// printed before.
func (r *runPrinter) print(file string, problems []estimate.Problem) {
	own := filepath.Base(file)
	var fresh []estimate.Problem
	for _, p := range problems {
		if p.Place.File != own && r.said[p] {
			continue
		}
		r.said[p] = p.Place.File != own
		fresh = append(fresh, p)
	}
	printProblems(r.w, fresh)
}

// printColumns prints rows, the first of which is the header: words at the left
// under the headers named in left, numbers at the right under the others.
func printColumns(w io.Writer, rows [][]string, left ...string) {
	width := make([]int, len(rows[0]))
	for k, r := range rows {
		rows[k] = slices.Clone(r)
		for i := range r {
			rows[k][i] = onOneLine(r[i])
		}
	}
	for _, r := range rows {
		for i, s := range r {
			width[i] = max(width[i], utf8.RuneCountInString(s))
		}
	}
	for _, r := range rows {
		var b strings.Builder
		for i, s := range r {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(s))
			if slices.Contains(left, rows[0][i]) {
				b.WriteString(s + pad + "  ")
			} else {
				b.WriteString(pad + s + "  ")
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
}

// plural writes a number of things: 1 opening, 2 openings.
func plural[N int | int64](n N, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// moneyOrDash writes an amount, a dash where there is none.
func moneyOrDash(m estimate.Maybe[measure.Money]) string {
	if !m.Set {
		return "-"
	}
	return m.V.String()
}

// signed writes a difference with its sign.
func signed(m measure.Money) string {
	if m > 0 {
		return "+" + m.String()
	}
	return m.String()
}
