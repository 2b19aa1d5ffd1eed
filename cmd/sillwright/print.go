package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// How the program speaks. Results go to stdout, problems to stderr, one a
// line, "file: Sheet!Cell: what is wrong (what to do)", sorted. No colour, and
// progress only on a terminal. A line about the program itself begins
// "sillwright: ".

// streams are what a command prints to.
type streams struct{ stdout, stderr io.Writer }

func streamsOf(c *cli.Context) streams { return streams{c.App.Writer, c.App.ErrWriter} }

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

// onTerminal reports whether what is written is seen at once by a person.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// printError prints the error that a command returned.
func printError(w io.Writer, err error) {
	prefix := "sillwright: "
	if errors.As(err, new(fileError)) {
		prefix = ""
	}
	fmt.Fprintf(w, "%s%v\n", prefix, err)
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

// withPath puts a path in front of what went wrong with it.
func withPath(path string, err error) error { return fmt.Errorf("%s: %w", path, reason(err)) }

// printProblems prints problems, which are sorted, one a line.
func printProblems(w io.Writer, problems []estimate.Problem) {
	for _, p := range problems {
		fmt.Fprintln(w, strings.ReplaceAll(p.String(), "\n", " "))
	}
}

// printColumns prints rows, the first of which is the header: words at the left
// under the headers named in left, numbers at the right under the others.
func printColumns(w io.Writer, rows [][]string, left ...string) {
	width := make([]int, len(rows[0]))
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
