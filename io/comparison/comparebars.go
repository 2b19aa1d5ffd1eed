package comparison

import (
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
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
func (w *compareWriter) bars(p *xlsx.Sheet, about string, cols []int, most measure.Money) {
	if most <= 0 {
		return
	}
	step, end := xlsx.AxisOf(float64(most) / 100)
	for first := compareFirst; first <= w.last(); first += barsAPicture {
		last := min(first+barsAPicture-1, w.last())
		c := xlsx.BarChart{
			Width: barsWidth, Height: xlsx.PicturePixels(last-first+1) + legendRoom, About: about, Axis: w.currency(), Format: "#,##0",
			Bars: p.Range(first, 1, last, 1), Max: end, Step: step, Legend: true,
		}
		for i, col := range cols {
			s := xlsx.BarSeries{Name: p.Ref(compareHeader, col), Values: p.Range(first, col, last, col), Fill: classFills[i%len(classFills)]}
			head, _ := p.At(compareHeader, col).V.(string)
			for row := first; row <= last; row++ {
				v, _ := p.At(row, col).V.(measure.Money)
				s.Labels = append(s.Labels, barLabel(head, float64(v)/100/end, i))
			}
			c.Series = append(c.Series, s)
		}
		p.Below(c)
	}
}

// barLabel names a part of a bar where there is room: part is its share of the
// axis. What stands on a dark fill is read from the legend.
func barLabel(head string, part float64, i int) string {
	if i%2 == 0 && i != 2 { // dark
		return ""
	}
	return xlsx.Fitting(part*barsWidth*(1-namesShare)*xlsx.PixelPoints*xlsx.PlotShare, strings.ToLower(head))
}
