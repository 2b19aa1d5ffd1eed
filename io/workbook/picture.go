package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Sizes of the picture of a plan, in pixels but where it says otherwise.
const (
	barHeight   = 30 // pixels
	chartFrame  = 64 // pixels above and below the bars
	rowPixels   = 20
	pixelPoints = 0.75
	plotShare   = 0.85 // of a picture's width
	labelSize   = 9.0  // points of type in a bar
)

// Fills of the parts of a bar: two in turn, so that neighbours differ.
var partFills = [2]string{"FFFFFF", "E4E9EE"}

const (
	sawFill  = slate
	leftFill = "FFF1C9"
)

// picturePixels and picturePoints return the height of a picture.
func picturePixels(bars int) int { return bars*barHeight + chartFrame }

func picturePoints(bars int) float64 { return float64(picturePixels(bars)) * pixelPoints }

// picture draws layouts below what is written, from the rows of their parts:
// those of the header and of the first layout are given.
func (s *boardsWriter) picture(b stockPlan, bars []bar, parts int, rows [2]int) {
	p := s.p
	head, first := rows[0], rows[1]
	last := first + len(bars) - 1
	c := barChart{
		row: p.next(), col: 1, width: pixelsOf(boardWidths), height: picturePixels(len(bars)), about: b.head, axis: s.u.name(estimate.Lengthwise),
		bars: p.span(first, barNameCol, last, barNameCol),
	}
	longest := measure.Length(0)
	for _, x := range bars {
		longest = max(longest, x.stock.Length)
	}
	c.max, c.step = s.u.length(longest), s.u.axisStep(longest)
	room := func(l measure.Length) float64 {
		return float64(l) / float64(longest) * float64(c.width) * pixelPoints * plotShare
	}
	for k := range parts + 2 {
		col := barFirstCol + k
		series := barSeries{name: p.ref(head, col), values: p.span(first, col, last, col), fill: partFills[k%2], labels: make([]string, len(bars))}
		switch k {
		case parts:
			series.fill = sawFill
		case parts + 1:
			series.fill = leftFill
			for i, x := range bars {
				series.labels[i] = fitting(room(x.board.Offcut), "left "+s.u.shop(x.board.Offcut), s.u.shop(x.board.Offcut))
			}
		default:
			for i, x := range bars {
				if k < len(x.parts) {
					series.labels[i] = s.partLabel(x.parts[k], room)
				}
			}
		}
		c.series = append(c.series, series)
	}
	p.chart(c)
	p.skip((c.height + rowPixels - 1) / rowPixels)
}

// partLabel names a part as far as there is room: length and mark.
func (s *boardsWriter) partLabel(t part, room func(measure.Length) float64) string {
	length := s.u.shop(t.length)
	if t.count > 1 {
		length = fmt.Sprintf("%d x %s", t.count, length)
	}
	marks := t.marks.list
	words := []string{length + " " + strings.Join(marks, ", ")}
	if len(marks) > 1 {
		words = append(words, fmt.Sprintf("%s %s +%d", length, marks[0], len(marks)-1))
	}
	return fitting(room(t.length*measure.Length(t.count)), append(words, length)...)
}

// fitting returns the first of some words that so many points have room for, or
// "".
func fitting(room float64, words ...string) string {
	for _, w := range words {
		if textPoints(w, &drawing{size: labelSize}) <= room {
			return w
		}
	}
	return ""
}

// pixelsOf returns the pixels that columns of such widths take.
func pixelsOf(widths []float64) int {
	sum := 0
	for _, w := range widths {
		sum += int(w * pointsPerWidth / pixelPoints)
	}
	return sum
}
