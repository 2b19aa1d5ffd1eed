package workbook

import (
	"math"
	"strings"

	"sillwright/estimate/measure"
)

// classFills are the fills of stacked parts: neighbours differ on a copy too.
var classFills = [...]string{"3E6990", "F2D388", "7FA99B", "D9D9D9", "A26769", "C9DDEE", "6B7F5E", "EFC7A4", "6D6480", "E8E8C8"}

// barsAPicture is how many bars one picture has: as many as a printed page holds.
const barsAPicture = 14

// barsWidth is the width of a picture in pixels, and namesShare the part of it
// that the names of the bars take.
const (
	barsWidth  = 1000
	namesShare = 0.16
	legendRoom = 40
)

// bars draws a bar for each job, of the parts in some columns of the table above.
// Most is the longest of the bars.
func (w *compareWriter) bars(p *page, about string, cols []int, most measure.Money) {
	if most <= 0 {
		return
	}
	step, end := axisOf(float64(most) / 100)
	for first := compareFirst; first <= w.last(); first += barsAPicture {
		last := min(first+barsAPicture-1, w.last())
		c := barChart{
			width: barsWidth, height: picturePixels(last-first+1) + legendRoom, about: about, axis: w.currency(), format: "#,##0",
			bars: p.span(first, 1, last, 1), max: end, step: step, legend: true,
		}
		for i, col := range cols {
			s := barSeries{name: p.ref(compareHeader, col), values: p.span(first, col, last, col), fill: classFills[i%len(classFills)]}
			head, _ := p.at(compareHeader, col).v.(string)
			for row := first; row <= last; row++ {
				v, _ := p.at(row, col).v.(measure.Money)
				s.labels = append(s.labels, barLabel(head, float64(v)/100/end, i))
			}
			c.series = append(c.series, s)
		}
		p.below(c)
	}
}

// below puts a picture below what is written, with all of it on one page.
func (p *page) below(c barChart) {
	p.skip(1)
	from := p.row(str(section, c.about))
	c.row, c.col = from+1, 1
	p.chart(c)
	p.skip((c.height + rowPixels - 1) / rowPixels)
	p.keepTogether(from, p.next())
}

// barLabel names a part of a bar where there is room: part is its share of the
// axis. What stands on a dark fill is read from the legend.
func barLabel(head string, part float64, i int) string {
	if i%2 == 0 && i != 2 { // dark
		return ""
	}
	return fitting(part*barsWidth*(1-namesShare)*pixelPoints*plotShare, strings.ToLower(head))
}

// axisOf returns the distance of the numbers of an axis, 1, 2 or 5 of a power
// of ten, and its end, for at most eight of them.
func axisOf(most float64) (step, end float64) {
	step = math.Pow(10, math.Floor(math.Log10(most/8)))
	for _, k := range []float64{1, 2, 5, 10} {
		if most <= 8*k*step {
			step *= k
			break
		}
	}
	return step, math.Ceil(most/step) * step
}
