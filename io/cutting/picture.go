package cutting

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// segment is the same part of each bar of a picture: its column, and what is written in
// it.
type segment struct {
	head, fill string
	label      func(pattern) string
}

// picture draws patterns of a block below what is written, a bar each.
func (s *Writer) picture(t *xlsx.Table[pattern], about string, bars []pattern) {
	longest := measure.Length(0)
	for _, x := range bars {
		longest = max(longest, x.stock.Length)
	}
	rows := func(head string) string {
		first := t.First() + bars[0].number - 1
		return t.Rows(first, first+len(bars)-1, head).String()
	}
	c := xlsx.BarChart{
		Width: t.PrintedPixels(), Height: xlsx.PicturePixels(len(bars)), About: about, Axis: s.u.Name(estimate.Lengthwise),
		Bars: rows(barHead), Max: s.u.Length(longest), Step: axisStep(s.u, longest),
	}
	room := func(l measure.Length) float64 {
		return float64(l) / float64(longest) * float64(c.Width) * xlsx.PixelPoints * xlsx.PlotShare
	}
	for _, g := range s.segments(t, room) {
		labels := make([]string, len(bars))
		for i, x := range bars {
			labels[i] = g.label(x)
		}
		c.Series = append(c.Series, xlsx.BarSeries{Name: t.Head(g.head).String(), Values: rows(g.head), Fill: g.fill, Labels: labels})
	}
	s.p.Draw(c)
}

// segments returns the parts of the bars of a block, then the saw cuts, then what is
// left. room is how many points of words a length has room for.
func (s *Writer) segments(t *xlsx.Table[pattern], room func(measure.Length) float64) (out []segment) {
	for k := 0; t.HasColumn(partHead(k)); k++ {
		out = append(out, segment{partHead(k), xlsx.PartFills[k%len(xlsx.PartFills)], func(x pattern) string {
			if k >= len(x.parts) {
				return ""
			}
			return s.partLabel(x.parts[k], room)
		}})
	}
	return append(out,
		segment{sawHead, xlsx.DarkFill, func(pattern) string { return "" }},
		segment{restHead, xlsx.RestFill, func(x pattern) string {
			return xlsx.Fitting(room(x.offcut), "offcut "+s.u.Shop(x.offcut), s.u.Shop(x.offcut))
		}})
}

// partLabel names a part as far as there is room: length and mark.
func (s *Writer) partLabel(t part, room func(measure.Length) float64) string {
	length := s.u.Shop(t.length)
	if t.count > 1 {
		length = fmt.Sprintf("%d x %s", t.count, length)
	}
	marks := t.marks.List
	words := []string{length + " " + strings.Join(marks, ", ")}
	if len(marks) > 1 {
		words = append(words, fmt.Sprintf("%s %s +%d", length, marks[0], len(marks)-1))
	}
	return xlsx.Fitting(room(t.total()), append(words, length)...)
}

// axisStep returns the distance between the numbers of an axis as long as the
// longest stock: whole feet or half meters, no more than a dozen.
func axisStep(u estimate.Units, longest measure.Length) float64 {
	step := measure.Foot
	if u.MM {
		step = 500 * measure.Millimetre
	}
	for longest/step > 12 {
		step *= 2
	}
	return u.Length(step)
}
