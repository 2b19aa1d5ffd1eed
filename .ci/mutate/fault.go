package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// fault is one changed line of a file.
type fault struct {
	file     string
	line     int    // 1 for the first
	old, new string // the line without its indent
	what     string // the change within it
}

func (f fault) String() string { return fmt.Sprintf("%s:%d: %s", f.file, f.line, f.what) }

// same tells whether two faults are one: by file and text, for lines move.
func (f fault) same(g fault) bool { return f.file == g.file && f.old == g.old && f.new == g.new }

// planted returns the text of the file with the fault.
func (f fault) planted(text string) string {
	lines := strings.Split(text, "\n")
	lines[f.line-1] = strings.Replace(lines[f.line-1], f.old, f.new, 1)
	return strings.Join(lines, "\n")
}

// found returns a fault that is known by its text with the number of its line.
func (f fault) found() (fault, error) {
	text, err := os.ReadFile(f.file)
	if err != nil {
		return f, err
	}
	times := 0
	for i, line := range strings.Split(string(text), "\n") {
		if strings.TrimSpace(line) == f.old {
			f.line = i + 1
			times++
		}
	}
	if times != 1 {
		return f, fmt.Errorf("%s holds this line %d times, not once; choose another, or write it as it is now:\n%s", f.file, times, f.old)
	}
	f.what = f.old + " -> " + f.new
	return f, nil
}

// readFaults reads a list of faults: paragraphs of the file's name, the line
// after a minus, the line that takes its place after a plus, and words on why. A
// paragraph that begins with # is a remark.
func readFaults(name string) ([]fault, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var faults []fault
	for _, paragraph := range strings.Split(strings.TrimSpace(string(text)), "\n\n") {
		if strings.HasPrefix(paragraph, "#") {
			continue
		}
		lines := strings.Split(strings.TrimSpace(paragraph), "\n")
		if len(lines) < 4 || !strings.HasPrefix(lines[1], "- ") || !strings.HasPrefix(lines[2], "+ ") {
			return nil, fmt.Errorf("%s: not a file, a line with -, a line with +, and why:\n%s", name, paragraph)
		}
		faults = append(faults, fault{file: lines[0], old: lines[1][2:], new: lines[2][2:]})
	}
	return faults, nil
}

// offers returns all faults that may be planted in a package, in the order of its
// files.
func offers(a area) ([]fault, error) {
	names, err := filepath.Glob(a.folder + "/*.go")
	if err != nil {
		return nil, err
	}
	var faults []fault
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") || len(a.files) > 0 && !slices.Contains(a.files, filepath.Base(name)) {
			continue
		}
		source, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		p := planter{name: name, source: source, lines: strings.Split(string(source), "\n"), set: set}
		ast.Inspect(file, p.visit)
		faults = append(faults, p.faults...)
	}
	return faults, nil
}

// planter collects the faults of a file.
type planter struct {
	name   string
	source []byte
	lines  []string
	set    *token.FileSet
	faults []fault
}

// swaps is what an operator is mistaken for.
var swaps = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR, token.EQL: token.NEQ, token.NEQ: token.EQL,
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL, token.LAND: token.LOR, token.LOR: token.LAND,
	token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN, token.INC: token.DEC, token.DEC: token.INC,
}

// dropping is the operators of which a term may be forgotten, dropLast the
// functions of any number of arguments, symmetric those whose arguments may stand
// in any order.
var (
	dropping  = []token.Token{token.ADD, token.SUB, token.LAND, token.LOR}
	dropLast  = []string{"Plus", "append", "max", "min"}
	symmetric = []string{"EqualFold", "Equal", "AreaOf", "GCD", "max", "min"}
)

// visit plants at a node of the file's tree.
func (p *planter) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.BinaryExpr:
		p.swap(n.OpPos, n.Op)
		if slices.Contains(dropping, n.Op) {
			p.replace(n, p.text(n.X))
			if n.Op != token.SUB {
				p.replace(n, p.text(n.Y))
			}
		}
	case *ast.AssignStmt:
		p.swap(n.TokPos, n.Tok)
	case *ast.IncDecStmt:
		p.swap(n.TokPos, n.Tok)
	case *ast.IfStmt:
		p.replace(n.Cond, "!("+p.text(n.Cond)+")")
	case *ast.BasicLit:
		if v, err := strconv.ParseInt(n.Value, 10, 64); n.Kind == token.INT && err == nil {
			p.replace(n, strconv.FormatInt(v+1, 10))
		}
	case *ast.Ident:
		if other, ok := map[string]string{"true": "false", "false": "true"}[n.Name]; ok {
			p.replace(n, other)
		}
	case *ast.CallExpr:
		if p.text(n.Fun) == "make" && len(n.Args) == 3 {
			return false // room kept for later changes no result
		}
		p.arguments(n)
	}
	return true
}

// swap plants another operator.
func (p *planter) swap(at token.Pos, t token.Token) {
	if other, ok := swaps[t]; ok {
		p.plant(at, at+token.Pos(len(t.String())), other.String())
	}
}

// arguments swaps neighbors, and leaves out the last of any number of them.
func (p *planter) arguments(c *ast.CallExpr) {
	function := p.text(c.Fun)
	function = function[strings.LastIndex(function, ".")+1:]
	for i := 1; i < len(c.Args) && !slices.Contains(symmetric, function); i++ {
		a, b := c.Args[i-1], c.Args[i]
		if p.text(a) != p.text(b) {
			p.plant(a.Pos(), b.End(), p.text(b)+", "+p.text(a))
		}
	}
	if last := len(c.Args) - 1; last > 0 && slices.Contains(dropLast, function) {
		end := c.Args[last].End()
		if c.Ellipsis.IsValid() {
			end = c.Ellipsis + token.Pos(len("..."))
		}
		p.plant(c.Args[last-1].End(), end, "")
	}
}

func (p *planter) text(n ast.Node) string {
	return string(p.source[p.set.Position(n.Pos()).Offset:p.set.Position(n.End()).Offset])
}

func (p *planter) replace(n ast.Node, by string) { p.plant(n.Pos(), n.End(), by) }

// plant notes the fault that writes something else between two places, which are
// on one line.
func (p *planter) plant(from, to token.Pos, by string) {
	a, b := p.set.Position(from), p.set.Position(to)
	if a.Line != b.Line || bytes.ContainsRune(p.source[a.Offset:b.Offset], '\n') || strings.Contains(by, "\n") {
		return
	}
	line := p.lines[a.Line-1]
	changed := line[:a.Column-1] + by + line[b.Column-1:]
	what := fmt.Sprintf("%s -> %s", line[a.Column-1:b.Column-1], by)
	if by == "" {
		what = "without " + line[a.Column-1:b.Column-1]
	}
	f := fault{file: p.name, line: a.Line, old: strings.TrimSpace(line), new: strings.TrimSpace(changed), what: what}
	if !slices.Contains(p.faults, f) {
		p.faults = append(p.faults, f)
	}
}
