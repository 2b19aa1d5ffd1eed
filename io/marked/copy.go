package marked

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sillwright/io/sheet"
)

// copying is a copy of a workbook in the making.
type copying struct {
	*parts
	book    string     // name of the part of the workbook
	root    *element   // of that part
	sheets  []*element // in it
	main    string     // namespace of its elements
	related string     // and of ids, with which the kinds of relations begin
	formats *formats
}

// relation returns a kind of relation, in the words of this edition of the format.
func (c *copying) relation(kind string) string { return c.related + "/" + kind }

// id returns the attribute of an id of a relation, in the words of a part: by the prefix
// that its root declares, else by the usual one. A second prefix for the same would have
// some programs lose the first.
func (c *copying) id(root *element, id string) string {
	for _, a := range root.attrs {
		if a.Name.Space == "xmlns" && a.Value == c.related {
			return a.Name.Local + `:id="` + id + `"`
		}
	}
	return `xmlns:r="` + c.related + `" r:id="` + id + `"`
}

func number(s string) int {
	n, _ := strconv.Atoi(s) // 0 where it is left out
	return n
}

// annotated returns a copy of a workbook in which cells are marked, behind a first sheet
// of problems. All that this does not change stays as it is, byte for byte. It returns
// too how many of the cells have a note of their own.
func annotated(data []byte, file string, cells map[string][]markedCell, lines []listed, unmarked int) (copied []byte, kept int, err error) {
	c := &copying{}
	if err := c.find(data); err != nil {
		return nil, 0, err
	}
	if c.has("xl/vbaProject.bin") {
		return nil, 0, errors.New("macros")
	}
	relations, err := c.relations(c.book)
	if err != nil {
		return nil, 0, err
	}
	if c.formats, err = c.readFormats(relations); err != nil {
		return nil, 0, err
	}
	c.formats.addFormats()
	left := len(cells)
	for _, s := range c.sheets {
		i := slices.IndexFunc(relations, func(r relation) bool { return r.id == s.attr("id") })
		if i < 0 {
			return nil, 0, errForm
		}
		marks := cells[s.attr("name")]
		if len(marks) > 0 {
			left--
		}
		n, err := c.markSheet(relations[i].target, marks)
		if err != nil {
			return nil, 0, err
		}
		kept += n
	}
	if left > 0 {
		return nil, 0, errForm
	}
	if err := c.list(file, lines, unmarked); err != nil {
		return nil, 0, err
	}
	c.formats.finish()
	copied, err = c.bytes()
	return copied, kept, err
}

// readFormats reads the formats of a workbook; where it has none, plain ones are added.
func (c *copying) readFormats(relations []relation) (*formats, error) {
	name := ""
	for _, r := range relations {
		if r.is("styles") {
			name = r.target
		}
	}
	if name == "" {
		var err error
		if name, err = c.addTyped("xl/stylesMarked%d.xml", "spreadsheetml.styles+xml", fmt.Sprintf(plainFormats, c.main)); err != nil {
			return nil, err
		}
		if _, err = c.relate(c.book, c.relation("styles"), name); err != nil {
			return nil, err
		}
	}
	p, err := c.part(name)
	if err != nil {
		return nil, err
	}
	return newFormats(p)
}

// find finds the sheets of a workbook.
func (c *copying) find(data []byte) (err error) {
	if c.parts, err = openParts(data); err != nil {
		return err
	}
	top, err := c.relations("")
	if err != nil {
		return err
	}
	for _, r := range top {
		if r.is("officeDocument") {
			c.book, c.related = r.target, strings.TrimSuffix(r.kind, "/officeDocument")
			break
		}
	}
	p, err := c.part(c.book)
	if err != nil {
		return err
	}
	if c.root, err = p.parse(3); err != nil {
		return err
	}
	c.main = c.root.namespace()
	list := c.root.child("sheets")
	if list == nil || c.main == "" {
		return errForm
	}
	c.sheets = list.named("sheet")
	return nil
}

// markSheet marks the cells of a sheet, if any, and lets another sheet be in front.
func (c *copying) markSheet(name string, marks []markedCell) (kept int, err error) {
	p, err := c.part(name)
	if err != nil {
		return 0, err
	}
	if len(marks) == 0 && !bytes.Contains(p.text, []byte("tabSelected")) {
		return 0, nil
	}
	s, err := newSheetPart(p, c.formats)
	if len(marks) == 0 && err != nil { // of another kind, such as one of a chart
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	if views := s.root.child("sheetViews"); views != nil {
		for _, e := range views.children {
			if front := e.attr("tabSelected"); front == "1" || front == "true" {
				p.set(e, "tabSelected", "0")
			}
		}
	}
	if len(marks) == 0 {
		return 0, nil
	}
	marks = slices.Clone(marks)
	slices.SortFunc(marks, func(a, b markedCell) int { return cmp.Or(a.row-b.row, a.col-b.col) })
	if err := s.mark(marks); err != nil {
		return 0, err
	}
	return c.note(name, s, marks)
}

// sameContents reports whether a copy, read again, holds what was read of the book.
func sameContents(copied []byte, book *sheet.Book) bool {
	again, _ := sheet.ParseSheets(book.File, copied, func(name string) bool {
		s := book.Sheet(name)
		return s != nil && s.Name == name && !s.Skipped
	})
	if again == nil || len(again.Sheets) != len(book.Sheets)+1 {
		return false
	}
	for i, s := range book.Sheets {
		if !reflect.DeepEqual(s, again.Sheets[i+1]) {
			return false
		}
	}
	return true
}
