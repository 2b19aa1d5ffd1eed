package cutting

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// segment is the same part of each bar of a picture: its column, and which part it is of
// a pattern, or what is written in it if it is no piece.
type segment struct {
	head, fill string
	part       func(pattern) (t part, ok bool)
	label      func(pattern) string
}

// pictureRoom returns how many pixels the rows have that a picture of so many bars covers,
// with the one above it.
func pictureRoom(bars int) int {
	return (1 + (xlsx.PicturePixels(bars)+xlsx.RowPixels-1)/xlsx.RowPixels) * xlsx.RowPixels
}

// picture draws the patterns of the last rows of a block, a bar each, below them, or on
// the next page if this one has no room.
func (s *Writer) picture(t *xlsx.Table[pattern], head string, bars []pattern) {
	first := s.p.Next() - len(bars)
	rows := func(head string) string { return t.Rows(first, first+len(bars)-1, head).String() }
	if !t.Fits(s.top, pictureRoom(len(bars))) {
		s.turn(t, head)
	}
	s.p.Skip(1)
	longest := measure.Length(0)
	for _, x := range bars {
		longest = max(longest, x.stock.Length)
	}
	c := xlsx.BarChart{
		Width: t.PrintedPixels(), Height: xlsx.PicturePixels(len(bars)), About: head, Axis: s.u.Name(estimate.Lengthwise),
		Bars: rows(barHead), Max: s.u.Length(longest), Step: axisStep(s.u, longest),
	}
	room := func(l measure.Length) float64 {
		return float64(l) / float64(longest) * float64(c.Width) * xlsx.PixelPoints * xlsx.PlotShare
	}
	for _, g := range s.segments(t, room) {
		one := xlsx.BarSeries{Name: t.Head(g.head).String(), Values: rows(g.head), Fill: g.fill, Labels: make([]string, len(bars)), Hatched: make([]bool, len(bars))}
		for i, x := range bars {
			if g.label != nil {
				one.Labels[i] = g.label(x)
			} else if p, ok := g.part(x); ok {
				one.Labels[i], one.Hatched[i] = s.partLabel(p, room), p.held
			}
		}
		c.Series = append(c.Series, one)
	}
	s.p.Draw(c)
}

// segments returns the parts of the bars of a block, then the saw cuts, then what is
// left, and the parts behind it. room is how many points of words a length has room for.
func (s *Writer) segments(t *xlsx.Table[pattern], room func(measure.Length) float64) (out []segment) {
	fill := func(k int) string { return xlsx.PartFills[k%len(xlsx.PartFills)] }
	for k := 0; t.HasColumn(partHead(k)); k++ {
		out = append(out, segment{head: partHead(k), fill: fill(k), part: func(x pattern) (part, bool) { return x.nearPart(k) }})
	}
	out = append(out,
		segment{head: sawHead, fill: xlsx.DarkFill, label: func(pattern) string { return "" }},
		segment{head: restHead, fill: xlsx.RestFill, label: func(x pattern) string {
			return xlsx.Fitting(room(x.offcut), "offcut "+s.u.Shop(x.offcut), s.u.Shop(x.offcut))
		}})
	if t.HasColumn(farHead) {
		out = append(out, segment{head: farHead, fill: fill(0), part: pattern.far})
	}
	return out
}

// hatchSeen is how many points of a hatched part its words leave free, so that it is seen
// to be hatched.
const hatchSeen = 16

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
	free := room(t.total())
	if t.held {
		free -= hatchSeen
	}
	return xlsx.Fitting(free, append(words, length)...)
}

// axisStep returns the distance between the numbers of an axis as long as the
// longest stock: whole feet or half meters, no more than a dozen.
func axisStep(u estimate.Units, longest measure.Length) float64 {
	step := measure.Foot
	if u.MM {
		step = 500 * measure.Millimeter
	}
	for longest/step > 12 {
		step *= 2
	}
	return u.Length(step)
}
