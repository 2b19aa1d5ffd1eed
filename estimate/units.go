package estimate

import "sillwright/estimate/measure"

// Units are the units in which the amounts of a job are shown, by its setting. An
// amount is shown as its number of base units.
type Units struct {
	MM bool // millimeters and meters, else inches and feet
	by [4]unit
}

// unit is how amounts of one dimension are shown.
type unit struct {
	name string
	base int64
}

// UnitsOf returns the units of a job that is in millimeters, or in inches.
func UnitsOf(mm bool) Units {
	if mm {
		return Units{MM: true, by: [...]unit{Each: {"each", 1}, Lengthwise: {"mm", int64(measure.Millimeter)}, Areawise: {"m2", 1e12}, Volumewise: {"mL", 1e6}}}
	}
	inch := measure.AreaOf(measure.Inch, measure.Inch)
	return Units{by: [...]unit{
		Each: {"each", 1}, Lengthwise: {"in", int64(measure.Inch)}, Areawise: {"SF", int64(measure.AreaOf(measure.Foot, measure.Foot))},
		Volumewise: {"in3", int64(measure.VolumeOf(inch, measure.Inch))},
	}}
}

// Of returns an amount as the number that is shown.
func (u Units) Of(d Dimension, amount int64) float64 { return float64(amount) / float64(u.Base(d)) }

// Name returns the name of the unit of a dimension: in, mm, SF.
func (u Units) Name(d Dimension) string { return u.by[d].name }

// Base returns the amount that the unit of a dimension is.
func (u Units) Base(d Dimension) int64 { return u.by[d].base }

// Length returns a length as the number that is shown.
func (u Units) Length(l measure.Length) float64 { return u.Of(Lengthwise, int64(l)) }

// Words returns a length as people read it; its value is that of the number beside
// it to 1/32 in.
func (u Units) Words(l measure.Length) string {
	if u.MM {
		return measure.FormatMM(l) + " mm"
	}
	return measure.FormatFeetInches(l, 32)
}

// Shop returns a length as the saw is set: to 1/32 in, or in millimeters.
func (u Units) Shop(l measure.Length) string { return u.bare(l, 32) }

// Coarse returns a length that is only compared: to 1/16 in, or in millimeters.
func (u Units) Coarse(l measure.Length) string { return u.bare(l, 16) }

// Size returns width x height as people read it.
func (u Units) Size(s Size) string { return u.Shop(s.W) + " x " + u.Shop(s.H) }

// bare returns a length without its unit.
func (u Units) bare(l measure.Length, denominator int) string {
	if u.MM {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, denominator)
}

// Far names the unit of runs that are too long for inches: ft, m.
func (u Units) Far() string {
	if u.MM {
		return "m"
	}
	return "LF"
}

// FarOf returns a length in that unit.
func (u Units) FarOf(l measure.Length) float64 { return float64(l) / float64(u.FarBase()) }

// FarBase returns the length of that unit.
func (u Units) FarBase() measure.Length {
	if u.MM {
		return 1000 * measure.Millimeter
	}
	return measure.Foot
}
