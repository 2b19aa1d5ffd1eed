package intake

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// bands are how long the longer sides of openings are in each unit, the middle
// one of a list: from 24 in (2 ft, 600 mm) to 20 ft (240 in, 6100 mm); in
// meters to 3.7, since longer ones are likelier feet. Meters and feet overlap
// from 2 to 3.7: there the height of doors and the marks of tape and rule
// decide, or nothing does. Centimeters look like inches and must be declared.
//
// Source: 27 audited houses (publisher not on record), whose longer sides are 30
// to 188 in, the middle one 57 in; the limits are common practice, no source.
var bands = []struct {
	unit        measure.Unit
	least, most float64
}{
	{measure.Meters, 0.6, 3.7},
	{measure.Feet, 2, 20},
	{measure.Inches, 24, 240},
	{measure.Millimeters, 600, 6100},
}

// The limits in which a declared unit is believed: of the longer sides, the
// middle one, and of the heights of doors.
const (
	shortest   = 10 * measure.Inch
	longest    = 30 * measure.Foot
	lowestDoor = 60 * measure.Inch
	highest    = 16 * measure.Foot
)

// bare is a size as two numbers without a unit.
type bare struct {
	w, h float64
	door bool
}

// middle returns the median of numbers, 0 for none.
func middle(of []float64) float64 {
	if len(of) == 0 {
		return 0
	}
	slices.Sort(of)
	return of[len(of)/2]
}

func longerSides(sizes []bare) []float64 {
	var out []float64
	for _, s := range sizes {
		out = append(out, max(s.w, s.h))
	}
	return out
}

// inNM returns a number of units in nanometers.
func inNM(v float64, u measure.Unit) float64 {
	one, _, err := measure.FromNumber(1, u)
	if err != nil {
		return 0
	}
	return v * float64(one)
}

// doorsFit reports whether people pass through the doors, if there are any.
func doorsFit(sizes []bare, u measure.Unit) bool {
	var heights []float64
	for _, s := range sizes {
		if s.door {
			heights = append(heights, s.h)
		}
	}
	h := inNM(middle(heights), u)
	return len(heights) == 0 || h >= float64(lowestDoor) && h <= float64(highest)
}

// believed reports whether a declared unit can be that of the sizes.
func believed(sizes []bare, u measure.Unit) bool {
	side := inNM(middle(longerSides(sizes)), u)
	return side >= float64(shortest) && side <= float64(longest) && doorsFit(sizes, u)
}

// onMarks reports whether all sizes are whole sixteenths of an inch or whole
// millimeters, as people measure.
func onMarks(sizes []bare, u measure.Unit) bool {
	step := float64(measure.Inch) / 16
	if u >= measure.Millimeters {
		step = float64(measure.Millimeter)
	}
	const noise = 20_000 // nm: 0.02 mm
	on := func(v float64) bool { return math.Abs(math.Remainder(inNM(v, u), step)) <= noise }
	return !slices.ContainsFunc(sizes, func(s bare) bool { return !on(s.w) || !on(s.h) })
}

// likely returns the one unit of which the sizes are openings, or NoUnit.
func likely(sizes []bare) measure.Unit {
	side := middle(longerSides(sizes))
	var fit []measure.Unit
	for _, b := range bands {
		if side >= b.least && side <= b.most && doorsFit(sizes, b.unit) {
			fit = append(fit, b.unit)
		}
	}
	if len(fit) > 1 {
		fit = slices.DeleteFunc(fit, func(u measure.Unit) bool { return !onMarks(sizes, u) })
	}
	if len(fit) != 1 {
		return measure.NoUnit
	}
	return fit[0]
}

// units finds the unit of the numbers that have none of their own, apart for
// each unit that headers state, and says where it comes from.
func (l *list) units() {
	l.unit = map[measure.Unit]measure.Unit{}
	groups := map[measure.Unit][]bare{}
	for _, e := range l.entries {
		if e.reason == glassInDoor {
			continue
		}
		for _, s := range e.sizes {
			if b, ok := s.bare(); ok && s.proper() {
				b.door = e.isDoor()
				groups[s.unit] = append(groups[s.unit], b)
			}
		}
	}
	for stated := range measure.Meters + 1 {
		if sizes := groups[stated]; len(sizes) > 0 {
			l.unit[stated] = l.decide(stated, sizes)
		}
	}
}

// decide returns the unit of numbers under headers that state a unit, or none.
func (l *list) decide(stated measure.Unit, sizes []bare) measure.Unit {
	declared, by := stated, "the header states"
	switch {
	case stated != measure.NoUnit:
	case l.options.Units != measure.NoUnit:
		declared, by = l.options.Units, "--units declares"
	default:
		declared, by = l.declared, l.by+" declares"
	}
	found := likely(sizes)
	say := func(sev estimate.Severity, what, do string) { l.say(l.at, sev, what, do) }
	example := exampleOf(sizes)
	switch {
	case stated != measure.NoUnit && believed(sizes, stated):
		return stated // as the note on its column says
	case declared != measure.NoUnit && believed(sizes, declared):
		l.note(fmt.Sprintf("sizes without a unit are in %s, as %s", unitNames[declared], by))
		return declared
	case declared != measure.NoUnit && (found == measure.NoUnit || declared == l.options.Units):
		what := fmt.Sprintf("%s %s, in which sizes such as %s are no openings; %s left out", by, unitNames[declared], example, many(len(sizes), "size"))
		say(estimate.Error, what, "name the right unit with --units, or write it into the header"+hint(found))
	case declared != measure.NoUnit:
		say(estimate.Warning, fmt.Sprintf("%s %s, but sizes such as %s are in %s, and are taken so", by, unitNames[declared], example, unitNames[found]),
			"check one of them")
		return found
	case found != measure.NoUnit:
		say(estimate.Warning, fmt.Sprintf("nothing states the unit of sizes such as %s; they are taken for %s by how large they are", example,
			unitNames[found]), "say --units, or write the unit into the header")
		return found
	default:
		say(estimate.Error, fmt.Sprintf("nothing states the unit of sizes such as %s, and more than one or none would do; %s left out", example,
			many(len(sizes), "size")), "say --units inches, mm or m, or write the unit into the header")
	}
	return measure.NoUnit
}

// exampleOf returns the size whose longer side is the middle one.
func exampleOf(sizes []bare) string {
	m := middle(longerSides(sizes))
	i := slices.IndexFunc(sizes, func(s bare) bool { return max(s.w, s.h) == m })
	return decimals(sizes[i].w) + " x " + decimals(sizes[i].h)
}

func hint(found measure.Unit) string {
	if found == measure.NoUnit {
		return ""
	}
	return fmt.Sprintf("; %s would do", unitNames[found])
}

// decimals writes a number with at most four decimals.
func decimals(v float64) string {
	s := fmt.Sprintf("%.4f", v)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
