package estimate_test

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// comments returns the doc comments of the package by name: of every function,
// method and declared figure. Names declared together share theirs.
func comments(t *testing.T) map[string]string {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	out := map[string]string{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, d := range file.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				name := d.Name.Name
				if d.Recv != nil {
					name = types.ExprString(d.Recv.List[0].Type) + "." + name
				}
				out[name] = d.Doc.Text()
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if v, ok := s.(*ast.ValueSpec); ok {
						for _, n := range v.Names {
							out[n.Name] = cmp.Or(v.Doc.Text(), d.Doc.Text())
						}
					}
				}
			}
		}
	}
	return out
}

// source returns what stands after "Source: " in a doc comment.
func source(comment string) string {
	for line := range strings.Lines(comment) {
		if s, ok := strings.CutPrefix(line, "Source: "); ok {
			return strings.TrimSpace(s)
		}
	}
	return ""
}

func formula(comment string) bool {
	for line := range strings.Lines(comment) {
		if strings.HasPrefix(line, "\t") {
			return true
		}
	}
	return false
}

// ruled are the functions that the registry names.
func ruled() []string {
	names := map[string]bool{}
	for _, r := range estimate.Rules() {
		for _, f := range r.Funcs {
			names[f] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

func TestRulesAreComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range estimate.Rules() {
		assert.NotEmpty(t, r.Name)
		assert.False(t, seen[r.Name], "rule %s stands twice", r.Name)
		seen[r.Name] = true
		assert.NotEmpty(t, r.Does, r.Name)
		assert.Equal(t, !r.NoMaterial, r.Formula != "", "rule %s: what asks for material has a formula", r.Name)
		assert.Equal(t, !r.NoMaterial, len(r.Funcs) > 0, "rule %s: what asks for material has a function", r.Name)
		for _, column := range r.Needs {
			assert.Contains(t, estimate.StepColumns, column, "rule %s", r.Name)
		}
		assert.Equal(t, r.Does, estimate.FindRule(r.Name).Does)
	}
	assert.Nil(t, estimate.FindRule("no such rule"))
	assert.Len(t, estimate.RuleNames(), len(estimate.Rules()))
}

func TestRuleFunctionsAreDocumented(t *testing.T) {
	docs := comments(t)
	for _, name := range ruled() {
		require.Contains(t, docs, name, "the registry names a function that is not there")
		assert.True(t, ast.IsExported(name), name)
		assert.True(t, strings.HasPrefix(docs[name], name+" "), "%s: the comment starts with the name", name)
		assert.True(t, formula(docs[name]), "%s: the comment has an indented formula", name)
		assert.NotEmpty(t, source(docs[name]), "%s: the comment has a line 'Source: …'", name)
	}
}

// TestSourcesMatchComments: Sources is what the comments say, all of it, and
// each of it is in one row of the sheet, or in several.
func TestSourcesMatchComments(t *testing.T) {
	cited, listed := map[string]string{}, map[string]string{}
	for name, doc := range comments(t) {
		if s := source(doc); s != "" {
			cited[name] = s
		}
	}
	for _, s := range estimate.Sources {
		assert.NotContains(t, listed, s.Name, "it stands twice")
		listed[s.Name] = s.Source
	}
	assert.Equal(t, cited, listed, "what cites a source in its comment stands in the table Sources, and nothing else")
	beside := map[string]bool{}
	for _, u := range estimate.Uses {
		for _, name := range u.Names {
			assert.False(t, beside[name] || slices.Contains(ruled(), name), "%s is listed with a rule, or twice", name)
			beside[name] = true
		}
		assert.True(t, u.For != "" && u.Gives != "" && u.Formula != "", "%v", u.Names)
	}
	shown := slices.Concat(ruled(), slices.Collect(maps.Keys(beside)))
	assert.ElementsMatch(t, slices.Collect(maps.Keys(listed)), shown, "each is run by a rule or serves something else")
	for _, r := range estimate.SourceRows() {
		assert.True(t, r.Source != "" || r.Formula == "", "%s: a formula without a source", r.Rule)
	}
}

// TestNobodyComparesRuleNames: what a rule does is asked of the registry, by a
// property; its name is for the sheets.
func TestNobodyComparesRuleNames(t *testing.T) {
	names := estimate.RuleNames()
	isRule := func(e ast.Expr) bool {
		s, ok := e.(*ast.SelectorExpr)
		return ok && s.Sel.Name == "Rule"
	}
	isName := func(e ast.Expr) bool {
		l, ok := e.(*ast.BasicLit)
		if !ok {
			return false
		}
		word, err := strconv.Unquote(l.Value)
		return err == nil && slices.Contains(names, word)
	}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if b, ok := n.(*ast.BinaryExpr); ok {
				assert.False(t, isRule(b.X) && isName(b.Y) || isName(b.X) && isRule(b.Y), "%s compares the name of a rule", path)
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
}

// TestShippedStepsUseKnownRules: every rule is used by a shipped detail, and
// says where each step comes from.
func TestShippedStepsUseKnownRules(t *testing.T) {
	used := map[string]bool{}
	for _, r := range shippedRows(t, "details.csv") {
		if r["Step"] == "0" {
			assert.Empty(t, r["Rule"], "step 0 only says which openings a detail is for")
			continue
		}
		used[r["Rule"]] = true
		assert.NotEmpty(t, r["Source"], "%s: %s", r["Detail"], r["Do"])
		assert.NotEmpty(t, r["Phase"], "%s: %s", r["Detail"], r["Do"])
	}
	assert.ElementsMatch(t, estimate.RuleNames(), slices.Collect(maps.Keys(used)))
}

// TestSettingsMatchBinds: each line of the shipped Job sheet fills the job,
// and each part of the job has its line.
func TestSettingsMatchBinds(t *testing.T) {
	var keys []string
	for _, r := range shippedRows(t, "settings.csv") {
		keys = append(keys, r["key"])
	}
	assert.ElementsMatch(t, estimate.SettingKeys(), keys)
}

// TestSettingsFillFieldsOfTheirOwn: no two lines of Job fill the same field, as one that
// is bound to the wrong field would.
func TestSettingsFillFieldsOfTheirOwn(t *testing.T) {
	items := shippedItems(t)
	var shipped []estimate.Setting
	for _, r := range shippedRows(t, "settings.csv") {
		shipped = append(shipped, estimate.Setting{Key: r["key"], Unit: r["unit"], Default: r["value"]})
	}
	plain, _ := estimate.NewJob(shipped, items)
	other := map[string]string{"length": "7-3/16", "percent": "7.25", "count": "7", "days": "7", "year": "1949", "F": "17", "money": "17.25", "date": "2026-02-17",
		"text": "clause 9.27.3.8", "item": "jamb-2x6", "layout": "pinwheel"}
	filled := map[string]string{} // by the fields that a key changes
	for i, line := range shipped {
		value := other[line.Unit]
		if line.Key == "cold accepted" {
			value = "foam-low: crew lead, surface 25 F"
		}
		if strings.HasPrefix(line.Key, "range of ") {
			value = "90 / 100 / 130"
		}
		if words := line.Words(); len(words) > 0 {
			value = words[len(words)-1]
			if value == line.Default {
				value = words[0]
			}
		}
		if value == line.Default || value == "" || line.Key == "units" {
			continue // one word only; and the unit changes how all lengths are read
		}
		changed := slices.Clone(shipped)
		changed[i].Text = value
		job, _ := estimate.NewJob(changed, items)
		fields := changedFields(reflect.ValueOf(plain), reflect.ValueOf(job), "")
		if assert.NotEmpty(t, fields, "%s = %s changes nothing", line.Key, value) {
			where := strings.Join(fields, ", ")
			assert.Empty(t, filled[where], "%s changes %s, and so does %s", line.Key, where, filled[where])
			filled[where] = line.Key
		}
	}
}

// changedFields names the fields in which two values differ, down to the keys of maps.
func changedFields(a, b reflect.Value, name string) (out []string) {
	switch {
	case a.Kind() == reflect.Struct && a.NumField() > 0:
		for i := range a.NumField() {
			out = append(out, changedFields(a.Field(i), b.Field(i), name+"."+a.Type().Field(i).Name)...)
		}
	case a.Kind() == reflect.Array:
		for i := range a.Len() {
			out = append(out, changedFields(a.Index(i), b.Index(i), fmt.Sprintf("%s[%d]", name, i))...)
		}
	case a.Kind() == reflect.Map:
		keys := map[string]bool{}
		for _, k := range slices.Concat(a.MapKeys(), b.MapKeys()) {
			x, y, at := a.MapIndex(k), b.MapIndex(k), fmt.Sprintf("%s[%v]", name, k)
			switch {
			case x.IsValid() && y.IsValid():
				for _, f := range changedFields(x, y, at) {
					keys[f] = true
				}
			default:
				keys[at] = true
			}
		}
		out = slices.Sorted(maps.Keys(keys))
	case fmt.Sprint(a) != fmt.Sprint(b):
		out = []string{name}
	}
	return out
}

// TestSettingsHaveTheWordsOfColumns: a line of Job that is the default of a
// closed column may be what the column may be.
func TestSettingsHaveTheWordsOfColumns(t *testing.T) {
	columns := map[string][]string{"flange ": estimate.FlangeWords, "sits on ": estimate.SitsOnWords, "pan ": estimate.PanWords}
	found := map[string]int{}
	for _, r := range shippedRows(t, "settings.csv") {
		for prefix, words := range columns {
			kind, ok := strings.CutPrefix(r["key"], prefix)
			if ok && slices.Contains(estimate.Kinds, kind) {
				found[prefix]++
				assert.Equal(t, words, estimate.Setting{Unit: r["unit"]}.Words(), r["key"])
			}
		}
	}
	assert.Equal(t, map[string]int{"flange ": 3, "sits on ": 4, "pan ": 3}, found)
}
