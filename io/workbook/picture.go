package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

func picturePoints(bars int) float64 { return float64(xlsx.PicturePixels(bars)) * xlsx.PixelPoints }

// picture draws layouts below what is written, from the rows of their parts:
// those of the header and of the first layout are given.
func (s *boardsWriter) picture(b stockPlan, bars []bar, parts int, rows [2]int) {
	p := s.p
	head, first := rows[0], rows[1]
	last := first + len(bars) - 1
	c := xlsx.BarChart{
		Row: p.Next(), Col: 1, Width: xlsx.PixelsOf(boardWidths), Height: xlsx.PicturePixels(len(bars)), About: b.head, Axis: s.u.Name(estimate.Lengthwise),
		Bars: p.Range(first, barNameCol, last, barNameCol),
	}
	longest := measure.Length(0)
	for _, x := range bars {
		longest = max(longest, x.stock.Length)
	}
	c.Max, c.Step = s.u.Length(longest), axisStep(s.u, longest)
	room := func(l measure.Length) float64 {
		return float64(l) / float64(longest) * float64(c.Width) * xlsx.PixelPoints * xlsx.PlotShare
	}
	for k := range parts + 2 {
		col := barFirstCol + k
		series := xlsx.BarSeries{Name: p.Ref(head, col), Values: p.Range(first, col, last, col), Fill: xlsx.PartFills[k%2], Labels: make([]string, len(bars))}
		switch k {
		case parts:
			series.Fill = xlsx.DarkFill
		case parts + 1:
			series.Fill = xlsx.RestFill
			for i, x := range bars {
				series.Labels[i] = xlsx.Fitting(room(x.board.Offcut), "left "+s.u.Shop(x.board.Offcut), s.u.Shop(x.board.Offcut))
			}
		default:
			for i, x := range bars {
				if k < len(x.parts) {
					series.Labels[i] = s.partLabel(x.parts[k], room)
				}
			}
		}
		c.Series = append(c.Series, series)
	}
	p.AddChart(c)
	p.Skip((c.Height + xlsx.RowPixels - 1) / xlsx.RowPixels)
}

// partLabel names a part as far as there is room: length and mark.
func (s *boardsWriter) partLabel(t part, room func(measure.Length) float64) string {
	length := s.u.Shop(t.length)
	if t.count > 1 {
		length = fmt.Sprintf("%d x %s", t.count, length)
	}
	marks := t.marks.list
	words := []string{length + " " + strings.Join(marks, ", ")}
	if len(marks) > 1 {
		words = append(words, fmt.Sprintf("%s %s +%d", length, marks[0], len(marks)-1))
	}
	return xlsx.Fitting(room(t.length*measure.Length(t.count)), append(words, length)...)
}
