package cut

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of doc.go names functions in the files where they are declared, and doc.go names every
// file of the package.
func TestMapOfPackage(t *testing.T) {
	names, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var text string
	declared := map[string][]string{}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		if name == "doc.go" {
			text = file.Doc.Text()
			continue
		}
		declared[name] = []string{}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				declared[name] = append(declared[name], functionName(f))
			}
		}
	}
	line := regexp.MustCompile(`(?m)^\t[ \d]\d?.* (\w+\.go) +(\S.*)$`)
	rows := line.FindAllStringSubmatch(text, -1)
	require.Greater(t, len(rows), 20, "the table was not found")
	for _, row := range rows {
		for _, function := range strings.Split(row[2], ", ") {
			assert.True(t, slices.Contains(declared[row[1]], function), "%s is not in %s", function, row[1])
		}
	}
	for name := range declared {
		assert.Contains(t, text, name)
	}
}

// functionName returns the name of a function as doc.go writes it, a method's with its type.
func functionName(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return f.Name.Name
	}
	receiver := f.Recv.List[0].Type
	if pointer, ok := receiver.(*ast.StarExpr); ok {
		receiver = pointer.X
	}
	return receiver.(*ast.Ident).Name + "." + f.Name.Name
}
