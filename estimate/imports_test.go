package estimate_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	module   = "sillwright"
	excelize = "github.com/xuri/excelize/v2"
	gocsv    = "github.com/gocarina/gocsv"
	cli      = "github.com/urfave/cli/v2"
	testify  = "github.com/stretchr/testify"
)

// outside is what makes an estimate differ from one run or machine to the
// next, or ties it to a file format.
var outside = []string{"os", "io", "net", "time", "math/rand", "log", "path/filepath"}

// policy is who may import whom. Imports run downwards only: quantities know
// nothing of estimates, estimates nothing of prices, none of them anything of
// files; formats of files never know each other.
var policy = []struct {
	folder string
	ours   []string // of the module; "*": any but cmd
	others []string // modules of others
	never  []string // of the standard library, with all below it
	only   []string // of the standard library, when not nil: nothing else
}{
	{folder: "templates", only: []string{"embed"}},
	{folder: "estimate/measure", never: without(outside, "time")},
	{folder: "estimate/cut", ours: []string{"estimate/measure"}, never: outside},
	{folder: "estimate", ours: []string{"estimate/measure"}, never: outside},
	{folder: "pricing", ours: []string{"estimate", "estimate/cut", "estimate/measure"}, never: outside},
	{folder: "pricing/learn", ours: []string{"pricing", "pricing/compare", "estimate", "estimate/measure"}, never: outside},
	{folder: "pricing/compare", ours: []string{"pricing", "estimate", "estimate/cut", "estimate/measure"}, never: outside},
	{folder: "io/sheet", ours: []string{"estimate", "estimate/measure"}, others: []string{excelize, gocsv}},
	{folder: "io/schedule", ours: formats, others: []string{excelize, gocsv}},
	{folder: "io/pricelist", ours: comparisons, others: []string{excelize, gocsv}},
	{folder: "io/cutlist", ours: []string{"io/sheet", "estimate", "estimate/measure", "estimate/cut"}},
	{folder: "io/intake", ours: []string{"io/sheet", "estimate", "estimate/measure"}},
	{folder: "io/xlsx/formula", others: []string{excelize}},
	{folder: "io/xlsx", ours: []string{"io/xlsx/formula", "estimate/measure"}, others: []string{excelize}},
	{folder: "io/xlsx/audit", ours: []string{"io/xlsx/formula"}, others: []string{excelize}},
	{folder: "io/marked", ours: []string{"io/sheet", "io/xlsx", "io/xlsx/formula", "estimate"}, others: []string{excelize}},
	{folder: "io/papers", ours: []string{"estimate", "estimate/measure", "io/xlsx", "pricing", "pricing/compare"}},
	{folder: "io/comparison", ours: append([]string{"io/xlsx", "io/xlsx/formula"}, comparisons...)},
	{folder: "io/cutting", ours: []string{"io/xlsx", "io/xlsx/formula", "estimate", "estimate/measure", "estimate/cut"}},
	{folder: "io/workbook", ours: append([]string{"io/cutting", "io/xlsx", "io/xlsx/formula"}, formats...)},
	{folder: "cmd/sillwright", ours: []string{"*"}, others: []string{excelize, gocsv, cli}},
}

// formats is what the packages of one file format build on.
var formats = []string{"io/sheet", "estimate", "pricing", "estimate/measure", "estimate/cut", "templates"}

// ofTests are the packages that only tests import.
var ofTests = []string{"io/xlsx/audit"}

// comparisons is what the packages build on that read or write comparisons too.
var comparisons = append(slices.Clone(formats), "pricing/compare", "pricing/learn")

func without(list []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(w string) bool { return w == word })
}

// below reports whether path is one of the roots or lies under one.
func below(path string, roots []string) bool {
	return slices.ContainsFunc(roots, func(r string) bool { return path == r || strings.HasPrefix(path, r+"/") })
}

// imports returns what the code of each folder of the module imports, tests
// left out.
func imports(t *testing.T) map[string][]string {
	out := map[string][]string{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || path != ".." && strings.HasPrefix(d.Name(), ".")):
			return fs.SkipDir
		case filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		folder, err := filepath.Rel("..", filepath.Dir(path))
		for _, i := range file.Imports {
			name, _ := strconv.Unquote(i.Path.Value)
			out[filepath.ToSlash(folder)] = append(out[filepath.ToSlash(folder)], name)
		}
		return err
	})
	require.NoError(t, err)
	return out
}

func TestImportPolicy(t *testing.T) {
	all := imports(t)
	require.Contains(t, all, "estimate", "the walk finds the module")
	for _, p := range policy {
		for _, path := range all[p.folder] {
			ours, inModule := strings.CutPrefix(path, module+"/")
			switch {
			case inModule:
				assert.NotContains(t, ofTests, ours, "%s imports %s, which is for tests alone", p.folder, path)
				assert.False(t, below(ours, []string{"cmd"}), "%s imports %s: nothing imports a command", p.folder, path)
				assert.True(t, slices.Contains(p.ours, "*") || slices.Contains(p.ours, ours), "%s must not import %s", p.folder, path)
			case strings.Contains(strings.Split(path, "/")[0], "."):
				assert.True(t, below(path, p.others), "%s must not import %s", p.folder, path)
			default:
				assert.False(t, below(path, p.never), "%s must not import %s", p.folder, path)
				assert.True(t, p.only == nil || slices.Contains(p.only, path), "%s must not import %s", p.folder, path)
			}
		}
		delete(all, p.folder)
	}
	assert.Empty(t, all, "a folder with code has its line in the policy; io itself holds none")
}

func TestDirectDependencies(t *testing.T) {
	text, err := os.ReadFile("../go.mod")
	require.NoError(t, err)
	var direct []string
	for line := range strings.Lines(string(text)) {
		words := strings.Fields(strings.TrimPrefix(line, "require"))
		if len(words) >= 2 && strings.Contains(words[0], "/") && !strings.Contains(line, "// indirect") {
			direct = append(direct, words[0])
		}
	}
	assert.ElementsMatch(t, []string{excelize, gocsv, cli, testify}, direct)
}
