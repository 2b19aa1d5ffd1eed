package measure

// Unit is a unit of length in which people write sizes. The zero value says
// that none is known.
type Unit int

// The units of length a schedule may be written in.
const (
	NoUnit Unit = iota
	Inches
	Feet
	Millimeters
	Centimeters
	Meters
)

// units holds, for each Unit, its printed name and its length.
var units = [...]struct {
	name   string
	length Length
}{
	NoUnit:      {"", 0},
	Inches:      {"in", Inch},
	Feet:        {"ft", Foot},
	Millimeters: {"mm", Millimeter},
	Centimeters: {"cm", 10 * Millimeter},
	Meters:      {"m", 1000 * Millimeter},
}

// String returns the abbreviation of the unit ("in", "ft", "mm", "cm", "m"),
// nothing for NoUnit.
func (u Unit) String() string {
	if u < 0 || int(u) >= len(units) {
		return ""
	}
	return units[u].name
}

// length returns the length of one unit, 0 for NoUnit or no unit at all.
func (u Unit) length() Length {
	if u < 0 || int(u) >= len(units) {
		return 0
	}
	return units[u].length
}

// metric reports whether the unit is written with decimals, never fractions.
func (u Unit) metric() bool { return u >= Millimeters }

// unitWords holds every way to write a unit, in the spelling of plain.
var unitWords = map[string]Unit{
	`"`: Inches, "in": Inches, "in.": Inches, "ins": Inches, "ins.": Inches,
	"inch": Inches, "inches": Inches,
	"'": Feet, "ft": Feet, "ft.": Feet, "foot": Feet, "feet": Feet,
	"mm": Millimeters, "mm.": Millimeters,
	"millimetre": Millimeters, "millimetres": Millimeters,
	"millimeter": Millimeters, "millimeters": Millimeters,
	"cm": Centimeters, "cm.": Centimeters,
	"centimetre": Centimeters, "centimetres": Centimeters,
	"centimeter": Centimeters, "centimeters": Centimeters,
	"m": Meters, "m.": Meters,
	"metre": Meters, "metres": Meters, "meter": Meters, "meters": Meters,
}

// ParseUnit returns the unit of length that s names: a mark (' or ", curly and
// prime forms too), an abbreviation with or without a full stop, or a word in
// either spelling. Case does not matter. ok is false for anything else.
func ParseUnit(s string) (u Unit, ok bool) {
	u, ok = unitWords[plain(s)]
	return u, ok
}
