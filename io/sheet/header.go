package sheet

import (
	"strings"
	"unicode"
)

// unit is a unit of length as a header or number format names it.
type unit uint8

const (
	noUnit unit = iota
	inch
	foot
	millimeter
	centimeter
	meter
)

// String returns the unit's sign, "" for none.
func (u unit) String() string { return [...]string{"", "in", "ft", "mm", "cm", "m"}[u] }

// unitWords are the ways to write a unit. A mixed one ("ft-in") is none of
// them: a bare number in such a column has no one meaning.
var unitWords = map[string]unit{
	"in": inch, "ins": inch, "inch": inch, "inches": inch, `"`: inch, "''": inch,
	"ft": foot, "foot": foot, "feet": foot, "'": foot,
	"mm": millimeter, "millimetre": millimeter, "millimetres": millimeter, "millimeter": millimeter, "millimeters": millimeter,
	"cm": centimeter, "centimetre": centimeter, "centimetres": centimeter, "centimeter": centimeter, "centimeters": centimeter,
	"m": meter, "metre": meter, "metres": meter, "meter": meter, "meters": meter,
}

var plainMarks = strings.NewReplacer("″", `"`, "”", `"`, "“", `"`, "′", "'", "’", "'", "‘", "'")

func unitOf(word string) unit {
	word = plainMarks.Replace(strings.ToLower(foldSpace(word)))
	word = strings.TrimPrefix(word, "in ")
	return unitWords[strings.TrimSuffix(word, ".")]
}

// splitUnit takes the unit off the end of a header: "Frame width (mm)",
// "Frame width, mm", "Frame width in mm". Something must remain before it.
func splitUnit(header string) (rest string, u unit) {
	header = strings.TrimRight(foldSpace(header), " *:")
	cut := func(at int, tail string) bool {
		rest = header
		if at <= 0 {
			return false
		}
		if u = unitOf(tail); u == noUnit || strings.TrimSpace(header[:at]) == "" {
			u = noUnit
			return false
		}
		rest = strings.TrimSpace(header[:at])
		return true
	}
	for _, b := range []struct{ open, close string }{{"(", ")"}, {"[", "]"}} {
		if at := strings.LastIndex(header, b.open); at >= 0 && strings.HasSuffix(header, b.close) {
			cut(at, header[at+1:len(header)-1])
			return rest, u
		}
	}
	if at := strings.LastIndex(header, ","); cut(at, header[at+1:]) {
		return rest, u
	}
	if at := strings.LastIndex(header, " "); cut(at, header[at+1:]) && len(rest) > 3 && strings.EqualFold(rest[len(rest)-3:], " in") {
		rest = rest[:len(rest)-3]
	}
	return rest, u
}

// FoldHeader returns a header as headers are compared: without case, spaces,
// punctuation and a unit at its end, "#" read as "no", "%" as "percent" and
// "&" as "and".
func FoldHeader(s string) string {
	rest, _ := splitUnit(s)
	var b strings.Builder
	for _, r := range strings.ToLower(rest) {
		switch {
		case r == '#':
			b.WriteString("no")
		case r == '%':
			b.WriteString("percent")
		case r == '&':
			b.WriteString("and")
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		}
	}
	return b.String()
}
