package schedule

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

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
			"Door name"}, required: true, filled: "give the opening its mark", set: put(name, func(o *opening) *string { return &o.Mark })},
		num(field[opening]{key: "Qty", marks: true, synonyms: sheet.Headings["Qty"],
			fits: func(header string) bool { return sheet.CountingOf(header) == sheet.Counts },
			set:  put(count(1, 9999), func(o *opening) *int64 { return &o.Qty })}),
		{key: "Kind", synonyms: []string{"Opening kind", "Kind of opening"}, required: true, filled: "write " + sheet.OneOf(estimate.Kinds),
			set: kind},
		{key: "Operation", synonyms: sheet.Headings["Operation"],
			set: operation},
		num(field[opening]{key: "Frame width", synonyms: []string{"Frame W", "Outside frame width", "Overall frame width", "Unit frame width",
			"Frame size width"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.W })}),
		num(field[opening]{key: "Frame height", synonyms: []string{"Frame H", "Outside frame height", "Overall frame height", "Unit frame height",
			"Frame size height"}, set: put(side, func(o *opening) *measure.Length { return &o.Frame.H })}),
		num(field[opening]{key: "RO width", synonyms: []string{"Rough opening width", "Rough opening W", "RO W", "Rough opg width", "Rough opg W",
			"Rough width", "Framed opening width",
			"Structural opening width", "Stud opening width"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.W })}),
		num(field[opening]{key: "RO height", synonyms: []string{"Rough opening height", "Rough opening H", "RO H", "Rough opg height", "Rough opg H",
			"Rough height", "Framed opening height",
			"Structural opening height", "Stud opening height"}, set: put(side, func(o *opening) *measure.Length { return &o.Rough.H })}),
		num(field[opening]{key: "Mulled units", synonyms: []string{"Units", "Mulled", "Mull", "Joined units", "Units joined", "Ganged units",
			"Units wide", "No wide", "Number of units"},
			set: put(count(1, 12), func(o *opening) *int64 { return &o.Units })}),
		{key: "Sits on", synonyms: sheet.Headings["Sits on"],
			set: put(word[estimate.SitsOn](sheet.SitsOn), func(o *opening) *estimate.SitsOn { return &o.SitsOn })},
		{key: "Flange", marks: true, synonyms: sheet.Headings["Flange"],
			set: put(word[estimate.Flange](sheet.Flange), func(o *opening) *estimate.Flange { return &o.Flange })},
		{key: "Furnished by", synonyms: sheet.Headings["Furnished by"],
			set: put(word[estimate.FurnishedBy](sheet.FurnishedBy), func(o *opening) *estimate.FurnishedBy { return &o.FurnishedBy })},
		num(field[opening]{key: "Unit cost", synonyms: sheet.Headings["Unit cost"],
			set: give(unitCost, func(o *opening) *estimate.Maybe[measure.Money] { return &o.UnitCost })}),
		num(field[opening]{key: "Measured width", synonyms: []string{"Measured W", "Field width", "Field measured width"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.W })}),
		num(field[opening]{key: "Measured height", synonyms: []string{"Measured H", "Field height", "Field measured height"},
			set: put(side, func(o *opening) *measure.Length { return &o.Measured.H })}),
		{key: "Status", set: progress},
		{key: "Notes", synonyms: sheet.Headings["Notes"], set: put(remark, func(o *opening) *string { return &o.Notes })},
		{key: "Call size", synonyms: []string{"Callout size", "Call-out size", "Callout", "Call-out"}, set: put(text, func(o *opening) *string { return &o.Call })},
		num(field[opening]{key: "Unit widths", synonyms: []string{"Widths of units", "Joined unit widths"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitWidths })}),
		{key: "Joined", synonyms: sheet.Headings["Joined"], set: put(word[estimate.Joined](sheet.Joined), func(o *opening) *estimate.Joined { return &o.Joined })},
		num(field[opening]{key: "Jamb depth", synonyms: sheet.Headings["Jamb depth"],
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.UnitDepth })}),
		num(field[opening]{key: "Leg drop", set: give(length, func(o *opening) *estimate.Maybe[measure.Length] { return &o.LegDrop })}),
		{key: "Sill pan", marks: true, synonyms: sheet.Headings["Sill pan"], set: put(word[estimate.Pan](sheet.SillPan),
			func(o *opening) *estimate.Pan { return &o.Pan })},
		{key: "Detail", synonyms: []string{"Detail name"}, set: put(detailName, func(o *opening) *string { return &o.Detail })},
		{key: "Trim", marks: true, synonyms: sheet.Headings["Trim"], set: put(word[string](trims), func(o *opening) *string { return &o.Trim })},
		num(field[opening]{key: "Story", synonyms: sheet.Headings["Story"], set: give(story,
			func(o *opening) *estimate.Maybe[int64] { return &o.Story })}),
		num(field[opening]{key: "Sill height", synonyms: sheet.Headings["Sill height"],
			set: give(leave(aboveFloor, "it is not used"), func(o *opening) *estimate.Maybe[measure.Length] { return &o.SillHeight })}),
		num(field[opening]{key: "Height above grade", synonyms: []string{"Drop outside", "Outside drop", "Drop", "Height above ground", "Above grade"},
			set: give(leave(length, "it is not used"), func(o *opening) *estimate.Maybe[measure.Length] { return &o.Drop })}),
		{key: "Room", synonyms: sheet.Headings["Room"], set: put((*cell).remark, func(o *opening) *string { return &o.Room })},
		{key: "Tempered", synonyms: sheet.Headings["Tempered"], set: put(tempered, func(o *opening) *estimate.Tempered { return &o.Tempered })},
		{key: "Shape", synonyms: sheet.Headings["Shape"], set: put(word[estimate.UnitShape](sheet.Shape), func(o *opening) *estimate.UnitShape { return &o.Shape })},
		{key: "Sample accepted", synonyms: sheet.Headings["Sample accepted"], set: put(sample, func(o *opening) *string { return &o.Sample })},
		num(field[opening]{key: "Wall depth", synonyms: []string{"Wall thickness"},
			set: give(side, func(o *opening) *estimate.Maybe[measure.Length] { return &o.WallDepth })}),
		{key: "Elevation", synonyms: []string{"Facade", "Side of house", "Orientation"}, set: put(text, func(o *opening) *string { return &o.Elevation })},
		num(field[opening]{key: "Unit heights", synonyms: []string{"Heights of units", "Stacked unit heights"},
			set: put((*cell).sides, func(o *opening) *[]measure.Length { return &o.UnitHeights })}),
	}
}

// OpeningColumns returns the headers of the sheet Openings, in order.
func OpeningColumns() []string { return keys(openingFields(sheet.Vocabulary{})) }

// Columns that give an opening its width and its height.
var (
	widths  = []string{"Frame width", "RO width", "Call size"}
	heights = []string{"Frame height", "RO height", "Call size"}
)

// What to do about headers of sizes.
const (
	unclearSize = "write Call size, or Frame width and Frame height, or RO width and RO height; sillwright import reads W x H in one cell"
	noBasis     = "neither the frame nor the rough opening"
)

// unclear are headers that do not say what they are of. Where the sheet has none
// of the columns unless, nothing can be taken from its rows (rows), or something
// is missing from the estimate; beside one of them they are kept as notes.
var unclear = []struct {
	sheet.Column
	unless   []string
	rows     bool
	what, do string
}{
	{sheet.Column{Key: "Width", Synonyms: []string{"W"}}, widths, true, "width of what?", "write Frame width or RO width"},
	{sheet.Column{Key: "Height", Synonyms: []string{"H"}}, heights, true, "height of what?", "write Frame height or RO height"},
	{sheet.Column{Key: "Size", Synonyms: []string{"W x H", "Width x height", "Size (W x H)", "Dimensions", "Dim", "Dims", "Opening size", "Opening WxH",
		"Window size",
		"Door size", "Nominal size", "Nominal", "Unit size", "Unit dim", "Unit dims"}}, widths, true, "size of what?", unclearSize},
	{sheet.Column{Key: "RO", Synonyms: []string{"Rough opening", "Rough opg", "RO size", "Rough opening size", "RO W x H"}}, widths, true,
		"width and height in one cell?", unclearSize},
	{sheet.Column{Key: "Frame size", Synonyms: []string{"Net frame", "Frame W x H", "Frame dim"}}, widths, true, "width and height in one cell?", unclearSize},
	{sheet.Column{Key: "MO", Synonyms: []string{"Masonry opening", "MO size", "MO W", "MO width", "Masonry opening width", "Masonry opening W"}}, widths, true,
		"a masonry opening is " + noBasis, "write RO width and RO height inside the bucks, or the frame"},
	{sheet.Column{Key: "MO height", Synonyms: []string{"MO H", "Masonry opening height", "Masonry opening H"}}, heights, true, "a masonry opening is " + noBasis,
		"write RO height inside the bucks, or the frame"},
	{sheet.Column{Key: "Opening width", Synonyms: []string{"Opening W"}}, widths, true, "the framed opening or the finished one?",
		"write RO width or Frame width"},
	{sheet.Column{Key: "Opening height", Synonyms: []string{"Opening H"}}, heights, true, "the framed opening or the finished one?",
		"write RO height or Frame height"},
	{sheet.Column{Key: "Unit width", Synonyms: []string{"Unit W", "Window width", "Window W",
		"Jamb W"}}, widths, true, "of the whole frame or of each mulled unit?",
		"write Frame width or Unit widths"},
	{sheet.Column{Key: "Unit height", Synonyms: []string{"Unit H", "Window height", "Window H", "Jamb H",
		"Jamb height"}}, heights, true, "of the frame or of the glass?",
		"write Frame height"},
	{sheet.Column{Key: "Net width", Synonyms: []string{"Net W", "Buck width", "Buck W", "Actual width", "Actual W", "Overall width", "Overall W",
		"OA width", "OA W"}},
		widths, true, "of the frame or of the opening?", "write Frame width or RO width"},
	{sheet.Column{Key: "Net height", Synonyms: []string{"Net H", "Buck height", "Buck H", "Actual height", "Actual H", "Overall height", "Overall H",
		"OA height",
		"OA H"}}, heights, true, "of the frame or of the opening?", "write Frame height or RO height"},
	{sheet.Column{Key: "Leaf width", Synonyms: []string{"Door leaf width", "Slab width", "Door width", "Nominal width", "Nom W", "Nom width"}}, widths, true,
		"a leaf or a nominal size is not the outside of the frame", "write Frame width, RO width, or the size as a Call size"},
	{sheet.Column{Key: "Leaf height", Synonyms: []string{"Door leaf height", "Slab height", "Door height", "Nominal height", "Nom H",
		"Nom height"}}, heights, true,
		"a leaf or a nominal size is not the outside of the frame", "write Frame height, RO height, or the size as a Call size"},
	{sheet.Column{Key: "Sash width", Synonyms: []string{"Sash W", "DLO W", "DLO width", "Glass width",
		"Glass W"}}, widths, true, "a sash or its glass is " + noBasis,
		"write Frame width or RO width"},
	{sheet.Column{Key: "Sash height", Synonyms: []string{"Sash H", "DLO H", "DLO height", "Glass height",
		"Glass H"}}, heights, true, "a sash or its glass is " + noBasis,
		"write Frame height or RO height"},
	{sheet.Column{Key: "Revised width", Synonyms: []string{"Rev width", "New width", "Updated width", "Corrected width", "Revised W"}}, widths, true,
		"the size that holds, or one before it?", "write the size that holds under Frame width or RO width"},
	{sheet.Column{Key: "Revised height", Synonyms: []string{"Rev height", "New height", "Updated height", "Corrected height", "Revised H"}}, heights, true,
		"the size that holds, or one before it?", "write the size that holds under Frame height or RO height"},
	{sheet.Column{Key: "Jamb"}, []string{"Jamb depth"}, false, "the depth of the jamb, or how it is made?", "write Jamb depth where it is the depth"},
	{sheet.Column{Key: "Sill"}, []string{"Sits on", "Sill height", "Sill pan"}, false, "what it stands on, its height, or its pan?",
		"write Sits on, Sill height or Sill pan"},
	{sheet.Column{Key: "Install", Synonyms: []string{"Installation", "Mounting"}}, []string{"Flange"}, false, "the flange, or a date?",
		"write Flange where it is the fin; dates stand on Job"},
	{sheet.Column{Key: "WRB"}, nil, false, "one barrier holds for the whole job", "write it under WRB on the sheet Job"},
	{sheet.Column{Key: "Cost", Synonyms: []string{"Price", "Ext cost", "Extended",
		"Ext price"}}, []string{"Unit cost"}, false, "of one unit or of the whole row?",
		"write Unit cost where it is of one unit"},
	{sheet.Column{Key: "Delivered", Synonyms: []string{"Del", "Installed", "Ordered", "Received"}}, []string{"Status"}, false, "how far the work is?",
		"write Status: ordered, delivered, set, cut or hung"},
}

// keptColumns are columns beside ours that the table must not pass over: those
// of which the meaning is not clear, and those that are read for what they say
// beside ours. They are no fields.
func keptColumns(lent []string) []sheet.Column {
	var out []sheet.Column
	for _, u := range unclear {
		out = append(out, u.Column)
	}
	for _, h := range estimate.HeadersBeside() {
		if !slices.Contains(lent, h) {
			out = append(out, sheet.Column{Key: h})
		}
	}
	for i := range out {
		out[i].Aside = true
	}
	return out
}

// Headers that are taken for a required column where the sheet has none: the
// first that it has. Those of kinds must hold words for kinds.
var (
	marksToo = []string{"Symbol", "Sym", "Item", "Key", "Label", "Window No", "Door No", "Door/Window No", "Window/Door No", "W No", "D No", "Type mark", "Ref",
		"Unit ID", "Item no", "Opening no", "Opening number", "No", "Number"}
	kindsToo = []string{"type", "unit type", "opening type", "item type", "window/door", "category", "style", "description", "desc"}
)

// importReads is what to do where a required column is missing.
const importReads = "add it, or rename the column that holds it; sillwright import reads other people's headings"

// openingColumns returns the columns to look for. Some headers depend on the
// sheet: a Type is the Kind when there is no other and its words are kinds; No. and
// Number are the mark when there is no other and a Qty stands beside them; Units may count
// openings when nothing else does; and "RO W" may also be read as "Row", which is
// a line number.
func openingColumns(s *sheet.Sheet, fields []field[estimate.Opening]) []sheet.Column {
	cols := columns(fields)
	at := func(key string) *sheet.Column {
		return &cols[slices.IndexFunc(cols, func(c sheet.Column) bool { return c.Key == key })]
	}
	probe := slices.Clone(cols)
	for i := range probe {
		probe[i].Required = false
	}
	qty := slices.IndexFunc(probe, func(c sheet.Column) bool { return c.Key == "Qty" })
	probe[qty].Synonyms = slices.DeleteFunc(slices.Clone(probe[qty].Synonyms), func(h string) bool { return h == "Number" })
	for _, h := range slices.Concat(marksToo, kindsToo) {
		probe = append(probe, sheet.Column{Key: h})
	}
	t, _ := s.Table(probe)
	if fold(t.Header["RO width"].Text) == "row" {
		width := at("RO width")
		width.Synonyms = slices.DeleteFunc(slices.Clone(width.Synonyms), func(h string) bool { return h == "RO W" })
	}
	var lent []string
	lend := func(key string, headers []string, fits func(header string) bool) {
		if t.HasColumn(key) {
			return
		}
		if i := slices.IndexFunc(headers, func(h string) bool { return t.HasColumn(h) && fits(h) }); i >= 0 {
			c := at(key)
			c.Synonyms, lent = append(slices.Clone(c.Synonyms), headers[i]), append(lent, headers[i])
		}
	}
	counts := t.HasColumn("Qty") || t.HasColumn("Number")
	lend("Mark", marksToo, func(h string) bool { return h != "No" && h != "Number" || t.HasColumn("Qty") || !asksCount(t, h, true) })
	lend("Kind", kindsToo, func(h string) bool { return mostlyKinds(t, h) })
	for _, key := range []string{"Mark", "Kind"} {
		at(key).Missing = importReads
	}
	if t.HasColumn("Number") && !asksCount(t, "Number", false) && !t.HasColumn("Qty") {
		qty := at("Qty") // it numbers the lines
		qty.Synonyms = slices.DeleteFunc(slices.Clone(qty.Synonyms), func(h string) bool { return h == "Number" })
		counts = false
	}
	if !counts {
		units := at("Mulled units")
		units.Synonyms = slices.DeleteFunc(slices.Clone(units.Synonyms), func(h string) bool { return sheet.CountingOf(h) == sheet.MayCount })
		cols = append(cols, doubtfulCounts(t, lent)...)
	}
	return append(cols, keptColumns(lent)...)
}

// doubtfulCounts returns a column for each header that may count openings, and whose
// cells do for all that can be told.
func doubtfulCounts(t *sheet.Table, lent []string) (out []sheet.Column) {
	for _, title := range t.Titles() {
		fold := sheet.FoldHeader(title.Text)
		has := func(h string) bool { return sheet.FoldHeader(h) == fold }
		if !slices.ContainsFunc(lent, has) && asksCount(t, title.Text, false) {
			out = append(out, sheet.Column{Key: title.Word(), Aside: true})
		}
	}
	return out
}

// asksCount reports whether a header may count openings, and the cells under it do for
// all that can be told; alone says that no other column may name the openings.
func asksCount(t *sheet.Table, header string, alone bool) bool {
	c := sheet.CountingOf(header)
	return c > sheet.Counts && c.Asks(header, t.Under(header), alone)
}

// mostlyKinds reports whether more than half of the filled cells under a header
// are words for kinds.
func mostlyKinds(t *sheet.Table, header string) bool {
	filled, known := 0, 0
	for _, r := range t.Rows {
		if c := r.Cell(header); !isBlank(c) {
			filled++
			if isKind(c.Text) {
				known++
			}
		}
	}
	return 2*known > filled
}

// isKind reports whether a text is a word for a kind of opening.
func isKind(text string) bool {
	k, known := sheet.ReadKind(text)
	return known && !k.Part
}

// operation reads how a unit opens, in whatever words; what is wrong with them
// depends on the kind: remarkOnOperation.
func operation(c *cell, o *estimate.Opening) {
	if s, ok := c.remark(); ok {
		o.Operation, _ = sheet.Operation(s)
		o.Opens = s
	}
}

// sample reads by whose word the pieces that were measured stand for all. A refusal, an
// open question and a word of nobody leave the mark on hold.
func sample(c *cell) (string, bool) {
	s, ok := c.remark()
	if !ok {
		return "", false
	}
	if why := sheet.NobodysWord(s); why != "" {
		c.say(estimate.Warning, fmt.Sprintf("%s %q %s: the trim of the others stays on hold", c.name, sheet.Excerpt(c.Word()), why),
			"write by whose word, and when; leave it blank until it is accepted")
		return "", false
	}
	return s, true
}

// remarkOnOperation says what is doubtful about the word for how a unit opens.
func remarkOnOperation(c *cell, o *estimate.Opening) {
	if c.Blank() {
		return
	}
	r := sheet.RemarkOnOperation(c.Text, o.Kind)
	if r.Blank {
		o.Operation = ""
	}
	if r.What != "" {
		c.say(r.Severity, fmt.Sprintf("%s %q %s", c.name, sheet.Excerpt(c.Word()), r.What), r.Do)
	}
}

// tempered reads what is said of tempered glass. Other words than yes and no are kept
// as they are written; one that settles nothing is as good as a blank.
func tempered(c *cell) (estimate.Tempered, bool) {
	s, ok := c.remark()
	if word, known := sheet.Tempered.Find(s); known {
		return estimate.Tempered(word), ok
	}
	if d, doubt := sheet.Tempered.Doubt(s); doubt {
		c.say(estimate.Warning, fmt.Sprintf("%s %q %s", c.name, sheet.Excerpt(c.Word()), d.What()), d.Advice(sheet.Tempered.Words))
		return "", false
	}
	if ok {
		c.say(estimate.Note, fmt.Sprintf("%s %q is neither yes nor no; it is kept as it is written", c.name, sheet.Excerpt(c.Word())), "")
	}
	return estimate.Tempered(s), ok
}

// detailName reads the name of a detail.
func detailName(c *cell) (string, bool) {
	s, ok := c.text()
	return estimate.FormerDetails.Now(s), ok
}

// leave returns a reading of which a text that is not understood costs the cell,
// and not the row: the opening stays in the bid, and a warning says what holds.
func leave[V any](read func(*cell) (V, bool), holds string) func(*cell) (V, bool) {
	return func(c *cell) (V, bool) {
		first := len(*c.problems)
		v, ok := read(c)
		if c.Kind == sheet.Text {
			for i := range (*c.problems)[first:] {
				if p := &(*c.problems)[first+i]; p.Severity == estimate.Error {
					p.Severity, p.What = estimate.Warning, p.What+"; "+holds
				}
			}
		}
		return v, ok
	}
}

// status reads how far a unit is. A word that is not understood leaves the
// opening in the bid and its trim on hold, unless it is about the whole row.
func status(c *cell) (estimate.Status, bool) {
	read := word[estimate.Status](sheet.Status)
	if d, ok := sheet.Status.Doubt(c.Text); ok && d.Row {
		return read(c)
	}
	return leave(read, "it is taken as not ordered, and trim stays on hold")(c)
}

// staged fits a status of so many openings: 2 set, 2 delivered.
var staged = regexp.MustCompile(`^\s*(\d{1,4})(?:\s*of\s*\d{1,4})?\s*(?:x\s+|\s)\s*(\D+?)\s*$`)

func stageParts(words string) []string {
	return strings.FieldsFunc(words, func(r rune) bool { return strings.ContainsRune(",/+&", r) })
}

// stages reads statuses of so many openings; nil where there is one without a number, or
// one that is not understood.
func (c *cell) stages(words string) (list []estimate.Stage) {
	for _, part := range stageParts(words) {
		m := staged.FindStringSubmatch(part)
		if m == nil {
			return nil
		}
		one := *c
		one.Text = m[2]
		n, _ := strconv.ParseInt(m[1], 10, 64)
		s, ok := status(&one)
		if !ok || n == 0 {
			return nil
		}
		list = append(list, estimate.Stage{Status: s, Count: n})
	}
	return list
}

// progress reads how far the units of a mark are: a word for all, or words with the
// number of openings that they are of.
func progress(c *cell, o *estimate.Opening) {
	if parts := stageParts(c.Word()); c.Kind == sheet.Text && len(parts) > 0 && staged.MatchString(parts[0]) {
		if o.Stages = c.stages(c.Word()); o.Stages != nil {
			return
		}
	}
	if s, ok := status(c); ok {
		o.Status = s
	}
}

// unitCost reads the price of a unit. A word in place of it, quote or call, says
// that none is known.
func unitCost(c *cell) (measure.Money, bool) {
	if c.Kind == sheet.Text && !strings.ContainsFunc(c.Text, unicode.IsDigit) {
		return leave((*cell).money, "it is taken as not known, and is not in the price")(c)
	}
	return c.money()
}

// aff is what stands behind a height above the finished floor.
var aff = regexp.MustCompile(`(?i)\s*a\.?f\.?f\.?\s*$`)

// aboveFloor reads a height above the finished floor, which people say.
func aboveFloor(c *cell) (measure.Length, bool) {
	plain := *c
	if c.Kind == sheet.Text {
		plain.Text = aff.ReplaceAllString(c.Text, "")
	}
	return plain.length()
}

// story reads the number of a story, in digits or words. What names none costs a
// warning, not the row: a column Level has many meanings.
func story(c *cell) (int64, bool) {
	if _, err := strconv.ParseInt(c.Word(), 10, 64); err == nil || c.Kind != sheet.Text {
		return count(0, 200)(c)
	}
	n, doubt, ok := sheet.Story(c.Text)
	switch {
	case doubt != nil:
		c.ask(*doubt, nil)
	case !ok:
		c.say(estimate.Warning, fmt.Sprintf("%s %q names no story and is not used", c.name, sheet.Excerpt(c.Word())),
			"write its number, 1 for the ground floor, 0 for a basement")
	}
	return n, ok
}
