package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// The sheets and columns of a COBie workbook that are read.
//
// Source: COBie, the worksheet form of the handover view of a building model
// (National BIM Standard - United States, version 3, section 4.2).
var (
	typeColumns = []sheet.Column{{Key: "Name", Required: true}, {Key: "Category"}, {Key: "Description"}, {Key: "ExtObject", Synonyms: []string{"ExternalObject"}},
		{Key: "NominalLength"}, {Key: "NominalWidth"}, {Key: "NominalHeight"}, {Key: "Size"}}
	componentColumns = []sheet.Column{{Key: "Name", Required: true}, {Key: "TypeName", Required: true},
		{Key: "Space", Synonyms: []string{"Spaces", "Room", "SpaceName"}},
		{Key: "Description"}, {Key: "ExtObject", Synonyms: []string{"ExternalObject"}}}
	spaceColumns    = []sheet.Column{{Key: "Name", Required: true}, {Key: "FloorName", Synonyms: []string{"Floor"}}}
	facilityColumns = []sheet.Column{{Key: "LinearUnits", Required: true}}
)

// unread are the sheets of a COBie workbook that say nothing of sizes and
// numbers, or too much: Attribute alone may have more cells than a book may.
var unread = []string{"attribute", "coordinate", "connection", "document", "contact", "picklists", "impact", "resource", "spare", "job", "issue",
	"system", "zone", "assembly"}

// Wanted reports whether a sheet of that name is read here. It is meant for
// sheet.OpenSheets.
func Wanted(name string) bool {
	return !slices.Contains(unread, strings.ToLower(strings.TrimSpace(name)))
}

// isCOBie reports whether a book has the two sheets that list types and
// components.
func isCOBie(b *sheet.Book) bool {
	return b.Sheet("Type") != nil && b.Sheet("Component") != nil
}

// notOpenings are the classes of building models that stand for something in a
// wall that is no window and no door, with the reason they are left out for.
var notOpenings = map[string]string{"ifcopening": "air opening", "ifccurtainwall": "curtain wall", "ifcplate": "curtain wall"}

// cobie reads a COBie workbook: an entry for each component whose type is a
// window or a door.
func cobie(b *sheet.Book) ([]*list, []estimate.Problem) {
	r := cobieReader{list: &list{spaces: true, at: estimate.Place{File: b.File, Sheet: "Type"}}, types: map[string]*cobieType{}, floors: map[string]string{}}
	r.units(b)
	for _, row := range r.table(b.Sheet("Space"), spaceColumns).Rows {
		r.floors[markKey(value(row, "Name"))] = value(row, "FloorName")
	}
	types := r.table(b.Sheet("Type"), typeColumns)
	for _, column := range []string{"Name", "NominalWidth"} {
		if c, ok := types.Header[column]; ok {
			r.at = c.Place
		}
	}
	for _, row := range types.Rows {
		r.addType(row)
	}
	for _, row := range r.table(b.Sheet("Component"), componentColumns).Rows {
		r.addComponent(row)
	}
	r.said()
	return []*list{r.list}, nil
}

// cobieReader gathers the list of a workbook.
type cobieReader struct {
	*list
	types  map[string]*cobieType // by name, folded
	order  []*cobieType
	floors map[string]string // by space, folded
	across int               // types of which the length column holds the width
}

// cobieType is a row of Type that is a window or a door.
type cobieType struct {
	row   sheet.Row
	name  string
	sizes []size
	n     int64 // components of it
}

// table returns the table of a sheet. Columns that are not read are many, and are
// not worth a line each.
func (r *cobieReader) table(s *sheet.Sheet, cols []sheet.Column) *sheet.Table {
	if s == nil {
		return &sheet.Table{}
	}
	t, problems := s.Table(cols)
	for _, p := range problems {
		if p.Severity == estimate.Error {
			r.problems = append(r.problems, p)
		}
	}
	return t
}

// value returns a cell's text, "" for blanks, for n/a and for the column's own
// name, with which exporters fill what they do not know.
func value(row sheet.Row, column string) string {
	c := row.Cell(column)
	if isBlank(c) || c.Kind == sheet.ErrorValue || c.Kind == sheet.Uncalculated || strings.EqualFold(c.Word(), column) {
		return ""
	}
	return c.Word()
}

// units takes the unit that the sheet Facility declares.
func (r *cobieReader) units(b *sheet.Book) {
	for _, row := range r.table(b.Sheet("Facility"), facilityColumns).Rows {
		c := row.Cell("LinearUnits")
		if u, ok := measure.ParseUnit(c.Word()); ok {
			r.declared, r.by = u, fmt.Sprintf("%s (%s)", strings.TrimPrefix(c.Place.String(), b.File+": "), c.Word())
			return
		}
	}
}

// addType takes a type, if it is one of windows or doors.
func (r *cobieReader) addType(row sheet.Row) {
	name := value(row, "Name")
	if name == "" {
		return
	}
	if _, twice := r.types[markKey(name)]; twice {
		r.say(row.Cell("Name").Place, estimate.Warning, fmt.Sprintf("the type %q stands twice; the first is used", sheet.Excerpt(name)), "")
		return
	}
	t := &cobieType{row: row, name: name}
	if !r.isOpening(row) {
		return
	}
	r.types[markKey(name)] = t
	r.order = append(r.order, t)
	if s, ok := r.nominal(row); ok {
		t.sizes = append(t.sizes, s)
	}
	for _, column := range []string{"Size", "Description", "Name"} {
		if value(row, column) != "" && row.Cell(column).Kind == sheet.Text {
			t.sizes = append(t.sizes, size{both: row.Cell(column), from: column})
		}
	}
}

// isOpening reports whether a type is of windows or doors, or of what is told
// with a reason to be left out: by the class of the model, else by its words.
func (r *cobieReader) isOpening(row sheet.Row) bool {
	class := strings.ToLower(value(row, "ExtObject"))
	if strings.HasPrefix(class, "ifc") && !strings.HasPrefix(class, "ifcbuildingelementproxy") {
		return strings.HasPrefix(class, "ifcwindow") || strings.HasPrefix(class, "ifcdoor") || reasonOf(class) != ""
	}
	var texts []string
	for _, column := range []string{"Category", "Name", "Description"} {
		texts = append(texts, words(value(row, column)))
	}
	return anyHas(texts, windowWords) || anyHas(texts, doorWords)
}

func reasonOf(class string) string {
	for start, reason := range notOpenings {
		if strings.HasPrefix(strings.ToLower(class), start) {
			return reason
		}
	}
	return ""
}

// thin is how many times less than the width a thickness is at most.
const thin = 3

// nominal takes the size of a type from its numbers. The width stands in
// NominalWidth or in NominalLength; what is 0, or less than a third of the
// other, is a thickness or nothing.
func (r *cobieReader) nominal(row sheet.Row) (size, bool) {
	length, width, height := row.Cell("NominalLength"), row.Cell("NominalWidth"), row.Cell("NominalHeight")
	numbers := map[string]float64{}
	for _, c := range []sheet.Cell{length, width, height} {
		if p, bad := c.Refuse(); bad {
			r.problems = append(r.problems, p)
		}
		numbers[c.Place.Column], _ = side{cell: c, text: textOf(c)}.number()
	}
	l, w, h := numbers[length.Place.Column], numbers[width.Place.Column], numbers[height.Place.Column]
	s := size{w: width, h: height, from: "NominalWidth"}
	switch {
	case h <= 0 || l <= 0 && w <= 0:
		return size{}, false
	case l <= 0 || thin*l < w:
	case w <= 0 || thin*w < l:
		s.w, s.from = length, "NominalLength"
		r.across++
	default:
		r.say(width.Place, estimate.Warning, fmt.Sprintf("NominalLength %s and NominalWidth %s may both be the width; neither is used", length.Word(),
			width.Word()), "write the thickness as 0, or the size into Size")
		return size{}, false
	}
	return s, true
}

func textOf(c sheet.Cell) string {
	if c.Kind == sheet.Text {
		return plain(c.Word())
	}
	return ""
}

// addComponent takes a component of one of the types.
func (r *cobieReader) addComponent(row sheet.Row) {
	name, typeName := value(row, "Name"), value(row, "TypeName")
	t := r.types[markKey(typeName)]
	if t == nil {
		class := strings.ToLower(value(row, "ExtObject"))
		if strings.HasPrefix(class, "ifcwindow") || strings.HasPrefix(class, "ifcdoor") {
			r.list.entries = append(r.list.entries, &entry{place: row.Place, qty: 1, bad: true, mark: name})
			r.say(row.Cell("TypeName").Place, estimate.Error,
				fmt.Sprintf("the type %q of %s is not on the sheet Type", sheet.Excerpt(typeName), sheet.Excerpt(name)), "add it there, or correct the name")
		}
		return
	}
	t.n++
	description := value(row, "Description")
	e := &entry{
		place: row.Place, from: t.row.Place, mark: t.name, qty: 1, pieces: []string{cmp.Or(name, t.name)},
		class:  value(t.row, "Category"),
		labels: []string{value(t.row, "Name"), value(t.row, "Description"), description, name, value(t.row, "ExtObject")},
		sizes:  t.sizes,
		reason: reasonOf(value(t.row, "ExtObject")),
	}
	if space := value(row, "Space"); space != "" {
		e.rooms = splitRooms([]string{space})
	}
	for _, room := range e.rooms {
		if floor := r.floors[markKey(room)]; floor != "" && e.level == "" {
			e.level = floor
		}
	}
	if c := row.Cell("Description"); description != "" && c.Kind == sheet.Text {
		e.own = &size{both: c, from: "Description"}
	}
	r.list.entries = append(r.list.entries, e)
}

// said reports what the sheets were taken for.
func (r *cobieReader) said() {
	if len(r.order) == 0 {
		r.say(r.at, estimate.Error, "no type on the sheet Type is a window or a door", "name another file")
		return
	}
	r.note(fmt.Sprintf("COBie: %d types are windows or doors; each component counts as one, under the name of its type as the mark", len(r.order)))
	if r.across > 0 {
		r.note(fmt.Sprintf("NominalLength holds the width of %d types, whose NominalWidth is 0 or a thickness", r.across))
	}
	var from []string
	for _, t := range r.order {
		if t.n == 0 {
			r.say(t.row.Place, estimate.Warning, fmt.Sprintf("the type %q has no component and is left out", sheet.Excerpt(t.name)), "")
		}
		if len(t.sizes) > 0 && !slices.Contains(from, t.sizes[0].from) {
			from = append(from, t.sizes[0].from)
		}
	}
	if len(from) > 0 {
		r.note("sizes are looked for in " + strings.Join(from, ", ") + " first, then in the texts")
	}
}
