package schedule

import (
	"fmt"
	"slices"
	"strconv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// openingFields is the sheet Openings. A bare Width or Height is no synonym of
// anything: it has no basis.
func openingFields(trims sheet.Vocabulary) []field[estimate.Opening] {
	type opening = estimate.Opening
	num := func(f field[opening]) field[opening] { f.number = true; return f }
	return []field[opening]{
		{key: "Mark", synonyms: []string{"ID", "Opening", "Tag", "Opening mark", "Opening ID", "Mark no", "Mark number", "Window mark", "Door mark",
			"Door name"}, required: true, filled: "give the opening its mark", set: put(text, func(o *opening) *string { return &o.Mark })},
		num(field[opening]{key: "Qty", synonyms: []string{"Count", "Quantity", "Number", "Pcs", "Pieces", "Number of openings"},
			set: put(count(1, 9999), func(o *opening) *int64 { return &o.Qty })}),
		{key: "Kind", synonyms: []string{"Opening kind", "Kind of opening"}, required: true, filled: "write " + sheet.OneOf(estimate.Kinds),
			set: kind},
		{key: "Operation", synonyms: []string{"Operating type", "Operation type", "Unit operation", "Window operation"},
			set: put(operation, func(o *opening) *estimate.Operation { return &o.Operation })},
		num(field[opening]{key: "Frame width", synonyms: []string{"Frame W", "Outside frame width", "Overall frame width", "Unit frame width",
			"Frame size width"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.W })}),
		num(field[opening]{key: "Frame height", synonyms: []string{"Frame H", "Outside frame height", "Overall frame height", "Unit frame height",
			"Frame size height"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.H })}),
		num(field[opening]{key: "RO width", synonyms: []string{"Rough opening width", "Rough opening W", "RO W", "Rough width", "Framed opening width",
			"Structural opening width", "Stud opening width"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.W })}),
		num(field[opening]{key: "RO height", synonyms: []string{"Rough opening height", "Rough opening H", "RO H", "Rough height", "Framed opening height",
			"Structural opening height", "Stud opening height"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.H })}),
		num(field[opening]{key: "Mulled units", synonyms: []string{"Units", "Mulled", "Joined units", "Units joined", "Ganged units", "Units wide",
			"Number of units"},
			set: put(count(1, 12), func(o *opening) *int64 { return &o.Units })}),
		{key: "Sits on", synonyms: []string{"Stands on", "Bears on"},
			set: put(word[estimate.SitsOn](sheet.SitsOn), func(o *opening) *estimate.SitsOn { return &o.SitsOn })},
		{key: "Flange", synonyms: []string{"Mounting flange", "Flange type", "Nail fin", "Nailing fin", "Nailing flange", "Fin", "Fin type"},
			set: put(word[estimate.Flange](sheet.Flange), func(o *opening) *estimate.Flange { return &o.Flange })},
		{key: "Furnished by", synonyms: []string{"Supplied by", "Provided by", "Unit by", "Unit furnished by"},
			set: put(word[estimate.SuppliedBy](sheet.FurnishedBy), func(o *opening) *estimate.SuppliedBy { return &o.SuppliedBy })},
		num(field[opening]{key: "Unit cost", synonyms: []string{"Cost of unit", "Cost each", "Unit price", "Price each"},
			set: give((*cell).money, func(o *opening) *estimate.Maybe[measure.Money] { return &o.UnitCost })}),
		num(field[opening]{key: "Measured width", synonyms: []string{"Measured W", "Field width", "Field measured width"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.W })}),
		num(field[opening]{key: "Measured height", synonyms: []string{"Measured H", "Field height", "Field measured height"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.H })}),
		{key: "Status", set: put(word[estimate.Status](sheet.Status), func(o *opening) *estimate.Status { return &o.Status })},
		{key: "Notes", synonyms: []string{"Note", "Comments", "Comment", "Remarks", "Remark"}, set: put(remark, func(o *opening) *string { return &o.Notes })},
		{key: "Call size", synonyms: []string{"Callout size", "Call-out size", "Callout", "Call-out"}, set: put(text, func(o *opening) *string { return &o.Call })},
		num(field[opening]{key: "Unit widths", synonyms: []string{"Widths of units", "Joined unit widths"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitWidths })}),
		num(field[opening]{key: "Jamb depth", synonyms: []string{"Unit depth", "Frame depth", "Depth of unit", "Jamb size", "Jamb width"},
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.UnitDepth })}),
		num(field[opening]{key: "Leg drop", set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.LegDrop })}),
		{key: "Sill pan", synonyms: []string{"Pan", "Pan type", "Sill pan type"}, set: put(word[estimate.Pan](sheet.SillPan),
			func(o *opening) *estimate.Pan { return &o.Pan })},
		{key: "Detail", synonyms: []string{"Detail name"}, set: put(detailName, func(o *opening) *string { return &o.Detail })},
		{key: "Trim", synonyms: []string{"Trim layout", "Casing", "Exterior trim"}, set: put(word[string](trims), func(o *opening) *string { return &o.Trim })},
		num(field[opening]{key: "Story", synonyms: []string{"Storey", "Level", "Floor", "Stories", "Floor level"}, set: give(story,
			func(o *opening) *estimate.Maybe[int64] { return &o.Storey })}),
		num(field[opening]{key: "Sill height", synonyms: []string{"Height of sill", "Sill height above floor"},
			set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.SillHeight })}),
		num(field[opening]{key: "Height above grade", synonyms: []string{"Drop outside", "Outside drop", "Drop", "Height above ground", "Above grade"},
			set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.Drop })}),
		num(field[opening]{key: "Wall depth", synonyms: []string{"Wall thickness"},
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.WallDepth })}),
		{key: "Elevation", synonyms: []string{"Facade", "Side of house", "Orientation"}, set: put(text, func(o *opening) *string { return &o.Elevation })},
		num(field[opening]{key: "Unit heights", synonyms: []string{"Heights of units", "Stacked unit heights"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitHeights })}),
	}
}

// OpeningColumns returns the headers of the sheet Openings, in order.
func OpeningColumns() []string { return keys(openingFields(sheet.Vocabulary{})) }

// unclear are the headers of sizes whose basis they do not say.
var unclear = []struct {
	sheet.Column
	upright  bool // a height, else a width
	what, do string
}{
	{sheet.Column{Key: "Width", Synonyms: []string{"W"}}, false, "width of what?", "write Frame width or RO width"},
	{sheet.Column{Key: "Height", Synonyms: []string{"H"}}, true, "height of what?", "write Frame height or RO height"},
	{sheet.Column{Key: "Size",
		Synonyms: []string{"W x H", "Width x height", "Dimensions", "Opening size", "Opening WxH", "Window size", "Door size", "Nominal size", "Unit size"}}, false,
		"size of what?", "write Call size, or Frame width and Frame height, or RO width and RO height"},
	{sheet.Column{Key: "Opening width", Synonyms: []string{"Opening W"}}, false, "the framed opening or the finished one?", "write RO width or Frame width"},
	{sheet.Column{Key: "Opening height", Synonyms: []string{"Opening H"}}, true, "the framed opening or the finished one?", "write RO height or Frame height"},
	{sheet.Column{Key: "Unit width", Synonyms: []string{"Window width"}}, false, "of the whole frame or of each mulled unit?", "write Frame width or Unit widths"},
	{sheet.Column{Key: "Unit height", Synonyms: []string{"Window height"}}, true, "of the frame or of the glass?", "write Frame height"},
	{sheet.Column{Key: "Leaf width", Synonyms: []string{"Door leaf width", "Slab width", "Door width", "Nominal width", "Overall width"}}, false,
		"a leaf or a nominal size is not the outside of the frame", "write Frame width, RO width, or the size as a Call size"},
	{sheet.Column{Key: "Leaf height", Synonyms: []string{"Door leaf height", "Slab height", "Door height", "Nominal height", "Overall height"}}, true,
		"a leaf or a nominal size is not the outside of the frame", "write Frame height, RO height, or the size as a Call size"},
}

// unclearColumns are the columns of sizes without a basis. They are known to
// the table so that it does not pass them over, and are no fields.
func unclearColumns() []sheet.Column {
	out := make([]sheet.Column, len(unclear))
	for i, u := range unclear {
		out[i] = u.Column
	}
	return out
}

// openingColumns returns the columns to look for. Two headers depend on the
// sheet: Type is the Kind when there is no other and its words are kinds; and
// "RO W" may also be read as "Row", which is a line number.
func openingColumns(s *sheet.Sheet, fields []field[estimate.Opening]) []sheet.Column {
	cols := append(columns(fields), unclearColumns()...)
	kind := slices.IndexFunc(cols, func(c sheet.Column) bool { return c.Key == "Kind" })
	width := slices.IndexFunc(cols, func(c sheet.Column) bool { return c.Key == "RO width" })
	probe := slices.Clone(cols)
	probe[kind].Required = false
	probe = append(probe, sheet.Column{Key: "Type"})
	t, _ := s.Table(probe)
	if fold(t.Header["RO width"].Text) == "row" {
		cols[width].Synonyms = slices.DeleteFunc(slices.Clone(cols[width].Synonyms), func(h string) bool { return h == "RO W" })
	}
	if !t.HasColumn("Kind") && t.HasColumn("Type") && mostlyKinds(t) {
		cols[kind].Synonyms = append(slices.Clone(cols[kind].Synonyms), "Type")
	}
	return cols
}

// mostlyKinds reports whether more than half of the filled cells under Type
// are words for kinds.
func mostlyKinds(t *sheet.Table) bool {
	filled, known := 0, 0
	for _, r := range t.Rows {
		if c := r.Cell("Type"); !isBlank(c) {
			filled++
			if isKind(c.Text) {
				known++
			}
		}
	}
	return 2*known > filled
}

func sideOf(size string, upright bool) string {
	if upright {
		return size + " height"
	}
	return size + " width"
}

// isKind reports whether a text is a word for a kind of opening.
func isKind(text string) bool {
	_, known := sheet.ReadKind(text)
	return known
}

// operation reads how a unit opens, in whatever words.
func operation(c *cell) (estimate.Operation, bool) {
	s, ok := c.remark()
	return sheet.Operation(s), ok
}

// detailName reads the name of a detail.
func detailName(c *cell) (string, bool) {
	s, ok := c.text()
	return estimate.FormerDetails.Now(s), ok
}

// story reads the number of a story, in digits or words. What names none costs a
// warning, not the row: a column Level has many meanings.
func story(c *cell) (int64, bool) {
	if _, err := strconv.ParseInt(c.Word(), 10, 64); err == nil || c.Kind != sheet.Text {
		return count(0, 200)(c)
	}
	n, ok := sheet.Story(c.Text)
	if !ok {
		c.say(estimate.Warning, fmt.Sprintf("%s %q names no story and is not used", c.name, sheet.Excerpt(c.Word())), "write its number, 1 for the ground floor")
	}
	return n, ok
}
