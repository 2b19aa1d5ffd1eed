package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// CutEndArea returns the area of primer that cut ends take.
//
//	area = ends × thickness × width × coats
//
// End grain drinks: it is counted as two to three times its area.
//
// Source: common practice
func CutEndArea(ends int64, thickness, width measure.Length, coats int64) measure.Area {
	return measure.Area(ends*coats) * measure.AreaOf(thickness, width)
}

// CoverArea returns the area that a coat or tape of a width covers.
//
//	area = length × width
//
// Source: geometry
func CoverArea(length, width measure.Length) measure.Area { return measure.AreaOf(length, width) }

func (a *application) cutEnds() []Requirement {
	area, ends := measure.Area(0), int64(0)
	coats := max(1, a.step.Counts["each"])
	for _, p := range a.trim.pieces {
		area += CutEndArea((2-p.Mitered)*p.Number, p.Item.Thickness, p.Item.Width, coats)
		area += CutEndArea(p.Mitered*p.Number, p.Item.Thickness, MiterCut(p.Item.Width, a.trim.across(p)), coats)
		ends += 2 * p.Number
	}
	return one(amount(a.item, Areawise, int64(area), fmt.Sprintf("%d ends, counted %d times", ends, coats)))
}

func (a *application) area() []Requirement {
	length, how := a.total()
	width := a.step.With["width"]
	switch {
	case a.step.Runs.Wall:
		width = a.wallDepth() + a.book.Job.WRBLap
	case width == 0:
		wall, _ := a.book.Items.Get(a.book.Job.Role["tape wall"])
		width = wall.Width
	}
	return one(amount(a.item, Areawise, int64(CoverArea(length, width)), fmt.Sprintf("%s; %s wide", how, a.in(width))))
}
