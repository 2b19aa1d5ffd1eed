package intake

import (
	"slices"
	"strings"
	"unicode"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// field is what a column of a list holds.
type field int

const (
	noField field = iota
	markField
	typeField
	countField
	classField
	labelField
	positionField
	outsideField
	roomField
	levelField
	facingField
	remarkField
	widthField
	heightField
	sizeField   // both sides in one cell
	ownField    // a column of ours
	noteField   // kept with its header among the remarks
	unusedField // known, and of no use here
)

// name is what a field is called in messages.
func (f field) name() string {
	return [...]string{"", "the mark", "the type", "the number of openings", "the kind", "a description",
		"inside or outside", "exterior or not", "the rooms", "the story", "the elevation", "remarks",
		"the width", "the height", "the size", "a column of ours", "a note", ""}[f]
}

// headers are the words of headers other than sizes', folded by words(). Of two
// columns of one field the one that stands first here is taken.
var headers = []struct {
	field field
	words []string
}{
	{markField, []string{"mark", "opening mark", "window mark", "door mark", "mark no", "mark number", "id", "opening id", "window id", "door id",
		"opening no", "opening number",
		"window no", "window number", "door no", "door number", "door name", "window name", "opening name", "unit id", "tag", "label", "opening", "window",
		"door", "item", "item no", "name", "no", "key"}},
	{typeField, []string{"type mark", "type", "window type", "door type", "unit type", "type name", "type id", "opening type", "type no", "type number"}},
	{countField, folded(append([]string{"qty"}, sheet.Headings["Qty"]...))}, // the rest: sheet.CountingOf
	{classField, []string{"kind", "category", "class", "opening kind", "kind of opening", "element"}},
	{labelField, folded(append([]string{"description", "type operation", "type and operation", "operation", "style", "unit description", "opening description",
		"type description", "function", "desc", "shape", "head shape", "window shape"}, sheet.Headings["Operation"]...))},
	{positionField, []string{"position", "interior exterior", "exterior interior", "int ext", "ext int", "inside outside", "place", "location"}},
	{outsideField, []string{"exterior", "external", "is external", "is exterior"}},
	{roomField, []string{"room", "rooms", "room no", "room number", "room name", "space", "spaces", "space name", "space number", "from room", "to room",
		"room from", "room to"}},
	{levelField, folded(append([]string{"story", "base level", "floor name", "level name"}, sheet.Headings["Story"]...))},
	{facingField, []string{"elevation", "wall orient", "wall orientation", "orientation", "facade", "side of house", "wall", "facing"}},
	{remarkField, []string{"remarks", "remark", "comments", "comment", "notes", "note"}},
	{noteField, []string{"hand", "handing", "swing", "hinge side", "tempered", "temp", "temp glass", "safety glass", "egress", "head height", "header height",
		"hdr height", "head ht", "header ht", "hdr ht", "hd ht"}},
	{unusedField, []string{"tag number", "asset tag", "assembly code", "classification", "head", "jamb", "sill", "head detail", "jamb detail",
		"sill detail", "threshold", "weatherstripping",
		"fire rating", "fire rating label", "rating", "set", "set no", "hardware", "hardware set", "glass", "glazing", "glazing type", "finish", "material",
		"elevation type",
		"thickness", "frame type", "frame material", "frame finish", "door material", "door finish",
		"keynote", "u factor", "u value", "shgc",
		"manufacturer", "model", "model number", "cost", "price", "area", "lock", "house"}},
}

// folded returns headers as words() folds them, each once.
func folded(list []string) []string {
	var out []string
	for _, h := range list {
		if w, _ := headerWords(h); !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// bareSizes are headers of a size in one cell that name no side.
var bareSizes = []string{"ro", "rough", "rough opening", "rough opg", "call", "call out", "callout", "nominal", "mo", "masonry opening"}

// sizeWords are the words that the header of a size is made of. A header with
// any other word is not taken for one.
var sizeWords = map[string]struct {
	side  field
	basis Basis
}{
	"width": {side: widthField}, "widths": {side: widthField}, "w": {side: widthField}, "wide": {side: widthField}, "wd": {side: widthField},
	"height": {side: heightField}, "heights": {side: heightField}, "h": {side: heightField}, "ht": {side: heightField}, "hgt": {side: heightField},
	"high": {side: heightField},
	"size": {side: sizeField}, "sizes": {side: sizeField}, "dimension": {side: sizeField}, "dimensions": {side: sizeField}, "dim": {side: sizeField},
	"dims": {side: sizeField}, wxh: {side: sizeField}, hxw: {side: sizeField},
	"opg": {}, "rough": {basis: Opening}, "ro": {basis: Opening}, "framed": {basis: Opening}, "structural": {basis: Opening}, "stud": {basis: Opening},
	"frame": {basis: Frame},
	"call":  {basis: Call}, "callout": {basis: Call}, "nominal": {basis: Call}, "nom": {basis: Call}, "leaf": {basis: Call}, "slab": {basis: Call},
	"clear": {basis: Useless}, "daylight": {basis: Useless}, "glass": {basis: Useless}, "glazing": {basis: Useless}, "egress": {basis: Useless},
	"masonry": {basis: Useless}, "mo": {basis: Useless}, "sash": {basis: Useless},
	"window": {}, "door": {}, "opening": {}, "unit": {}, "overall": {}, "outside": {}, "out": {}, "the": {}, "of": {}, "windows": {}, "doors": {},
	"openings": {},
}

// A header of both sides, width first or height first.
const (
	wxh = "wxh"
	hxw = "hxw"
)

// blanks are what people write where there is nothing to write.
var blanks = []string{"", "-", "--", "---", "–", "—", "n/a", "n.a.", "na", "none", "nil", "tbd", "tba", "?"}

// isBlank reports whether a cell says nothing. A copy in a merged area counts
// once, where it was written.
func isBlank(c sheet.Cell) bool {
	return c.Blank() || c.Merged || c.Kind == sheet.Text && slices.Contains(blanks, strings.ToLower(c.Word()))
}

// glassWords are what is listed with openings and stands in a door.
var glassWords = []string{"door glass", "glass in door", "door lite", "door light", "lite in door", "vision lite", "vision panel", "door glazing"}

const (
	glassInDoor    = "glass in a door"
	interiorDoor   = "interior door"
	interiorWindow = "interior window"
	notRectangle   = "not a rectangle"
)

// The words by which a line or a heading says that it is outside or inside.
// They count as a whole part between dashes, underscores and commas, or beside
// the word door or window, so that "white interior" is no interior window.
var (
	outsideWords = []string{"exterior", "external", "outside", "ext", "exterior wall", "outside wall"}
	insideWords  = []string{"interior", "internal", "inside", "int", "interior wall"}
	// inPlace are what a column of places says of openings in the outside wall.
	inPlace = []string{"wall", "basement", "basement wall", "foundation"}
	// outdoors are words in the names of places without a roof.
	outdoors = []string{"site", "roof", "terrace", "deck", "patio", "balcony", "porch", "exterior", "outside", "outdoors", "yard", "courtyard", "garden", "street"}
)

var (
	windowWords = sheet.KindPhrases(estimate.Window)
	doorWords   = []string{"door", "doors", "dr"}
	// slidingWords are said of windows, and of doors in a list of doors.
	slidingWords = []string{"sliding", "slider"}
	// plainTypes are words of types that say nothing, and need not be known.
	plainTypes = append([]string{"type", "unit", "custom", "standard", "std", "style", "size", "model", "operable", "vent", "venting"}, windowWords...)
	// frenchWords are doors of which only the maker knows whether they are set
	// as an entry door or as a patio door.
	frenchWords = []string{"french", "french door", "french doors"}
)

// words returns a text as its words: lower case, one space between, split at
// marks, at a capital after a small letter and between letters and digits:
// "DoorType16" is "door type 16".
func words(text string) string {
	var b strings.Builder
	const (
		none = iota
		lower
		upper
		digit
	)
	last := none
	for _, r := range text {
		class := none
		switch {
		case unicode.IsDigit(r):
			class = digit
		case unicode.IsUpper(r):
			class = upper
		case unicode.IsLetter(r):
			class = lower
		}
		if class == none || last != none && class != last && !(last == upper && class == lower) {
			b.WriteByte(' ')
		}
		if class != none {
			b.WriteRune(unicode.ToLower(r))
		}
		last = class
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// has reports whether one of the phrases stands in a text of words.
func has(text string, phrases []string) bool {
	return slices.ContainsFunc(phrases, func(p string) bool { return strings.Contains(" "+text+" ", " "+p+" ") })
}

// unitNames are the units in words for messages.
var unitNames = [...]string{measure.NoUnit: "", measure.Inches: "inches", measure.Feet: "feet", measure.Millimeters: "mm", measure.Centimeters: "cm",
	measure.Meters: "metres"}
