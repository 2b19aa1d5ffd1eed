package workbook

import (
	"strconv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// unit is how a workbook shows amounts of one dimension: amount / base.
type unit struct {
	name string
	base float64
}

// units are the units of a workbook, by the job's setting.
type units struct {
	mm bool
	by [4]unit // by estimate.Dimension
}

func unitsOf(mm bool) units {
	u := units{mm: mm}
	inch, foot := float64(measure.Inch), float64(measure.AreaOf(measure.Foot, measure.Foot))
	u.by = [4]unit{{"each", 1}, {"in", inch}, {"ft2", foot}, {"in3", float64(measure.VolumeOf(measure.AreaOf(measure.Inch, measure.Inch), measure.Inch))}}
	if mm {
		u.by = [4]unit{{"each", 1}, {"mm", float64(measure.Millimetre)}, {"m2", 1e12}, {"mL", 1e6}}
	}
	return u
}

// of returns an amount as the workbook shows it.
func (u units) of(d estimate.Dimension, amount int64) float64 { return float64(amount) / u.by[d].base }

func (u units) name(d estimate.Dimension) string { return u.by[d].name }

// length returns a length as the number in the cell.
func (u units) length(l measure.Length) float64 { return u.of(estimate.Lengthwise, int64(l)) }

// words returns a length as people read it; its value is that of the number
// beside it to 1/32 in.
func (u units) words(l measure.Length) string {
	if u.mm {
		return measure.FormatMM(l) + " mm"
	}
	return measure.FormatFeetInches(l, 32)
}

// size returns width x height as people read it.
func (u units) size(s estimate.Size) string {
	if u.mm {
		return measure.FormatMM(s.W) + " x " + measure.FormatMM(s.H)
	}
	return measure.FormatInches(s.W, 32) + " x " + measure.FormatInches(s.H, 32)
}

// far names the unit of runs too long for inches, and farOf shows one in it.
func (u units) far() string {
	if u.mm {
		return "m"
	}
	return "ft"
}

func (u units) farOf(l measure.Length) float64 { return float64(l) / float64(u.farBase()) }

func (u units) farBase() measure.Length {
	if u.mm {
		return 1000 * measure.Millimetre
	}
	return measure.Foot
}

func itoa(n int) string { return strconv.Itoa(n) }
