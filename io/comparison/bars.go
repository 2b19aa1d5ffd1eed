package comparison

import (
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// classFills are the fills of stacked parts: neighbors differ on a copy too.
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

// plotShare is the part of a picture's width that bars have beside long names.
const plotShare = 0.68

// barPart is a part of every job's bar: the head of its column and its amount, 0 where
// that is missing.
type barPart struct {
	head string
	of   func(job) measure.Money
}

// bars draws a bar for each job below its table, of the parts in some columns. Total is
// the length of a bar.
func (w *jobsWriter) bars(p *xlsx.Sheet, t *xlsx.Table[job], about string, parts []barPart, total func(job) measure.Money) {
	longest := measure.Money(0)
	for _, j := range w.jobs {
		longest = max(longest, total(j))
	}
	if longest <= 0 {
		return
	}
	step, end := xlsx.AxisOf(float64(longest) / 100)
	for from := 0; from < len(w.jobs); from += barsAPicture {
		drawn := w.jobs[from:min(from+barsAPicture, len(w.jobs))]
		rows := func(head string) string {
			return t.At(drawn[0].key, head).To(t.At(drawn[len(drawn)-1].key, head)).String()
		}
		c := xlsx.BarChart{
			Width: barsWidth, Height: xlsx.PicturePixels(len(drawn)) + legendRoom, About: about, Axis: w.currency, Format: "#,##0",
			Bars: rows("Job"), Max: end, Step: step, Legend: true,
		}
		for i, part := range parts {
			s := xlsx.BarSeries{Name: t.Head(part.head).String(), Values: rows(part.head), Fill: classFills[i%len(classFills)]}
			for _, j := range drawn {
				s.Labels = append(s.Labels, barLabel(part.head, float64(part.of(j))/100/end, i))
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
