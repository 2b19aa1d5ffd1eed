package sheet

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
)

// What a person does not see of a cell, or sees otherwise, by its colors and by
// conditional formats. Neither is followed: the conditions of formats are not worked out,
// and nobody knows what lies behind a cell without a fill. It is said of cells that are
// read.

// maxHighlights is how many areas of conditional formats are looked at on a sheet.
const maxHighlights = 200

// highlight is a conditional format that hides, strikes out or shows otherwise what it
// covers.
type highlight struct {
	area Area
	does string
}

// lookReader collects what a differential format does from the tokens of its XML.
type lookReader struct {
	inFill  bool
	struck  bool
	white   bool // its letters are
	filled  bool // in another color than white
	numbers string
}

func (r *lookReader) start(t xml.StartElement) {
	val := attr(t.Attr, "val")
	switch t.Name.Local {
	case "fill":
		r.inFill = true
	case "strike":
		r.struck = val == "" || isTrue(val)
	case "numFmt":
		if code := attr(t.Attr, "formatCode"); !showsPlainly(code) {
			r.numbers = code
		}
	case "color":
		r.white = r.white || !r.inFill && whiteColor(t.Attr)
	case "bgColor", "fgColor":
		r.filled = r.filled || !whiteColor(t.Attr)
	}
}

func (r *lookReader) end(name string) {
	if name == "fill" {
		r.inFill = false
	}
}

// does says what the format does to what it covers, "" where it only decorates.
func (r *lookReader) does() string {
	switch {
	case r.struck:
		return "strikes out what it covers"
	case r.numbers != "":
		return fmt.Sprintf("shows the numbers that it covers as %s", beginning(r.numbers))
	case r.white && !r.filled:
		return "hides what it covers"
	}
	return ""
}

// showsPlainly reports whether a number format shows a number by its digits alone.
func showsPlainly(code string) bool {
	if code == "" || strings.EqualFold(code, "General") {
		return true
	}
	return !slices.ContainsFunc(readFormat(code), func(s section) bool {
		from, to := s.body()
		return s.date || s.percent || s.scaled() || s.unit != noUnit || s.currency() != "" || from >= to || !s.plain(true)
	})
}

// whiteColor reports whether a color element is white: by its digits, as the background of
// the theme, or as one of the indexed colors.
func whiteColor(attrs []xml.Attr) bool {
	theme, indexed := attr(attrs, "theme"), attr(attrs, "indexed")
	return lastSix(attr(attrs, "rgb")) == white || theme == "0" && attr(attrs, "tint") == "" || indexed == "1" || indexed == "9"
}

const white = "FFFFFF"

// lastSix are the digits of a color without how opaque it is.
func lastSix(color string) string {
	return strings.ToUpper(color[max(0, len(color)-6):])
}

// ink is how the letters of a style stand out from what is behind them.
type ink struct {
	unseen bool // they have its color
	bare   bool // that is no fill, or a white one
}

// looks is what the list of cell formats says beside what the workbook library hands on.
type looks struct {
	does []string // what each differential format does to what it covers
	inks []ink    // by style
}

// styleReader collects looks from the tokens of the list of cell formats.
type styleReader struct {
	out     looks
	section string // fonts, fills, cellXfs, dxfs
	look    *lookReader
	letters []string // colors of the fonts, "" = not known here
	grounds []string // colors of the fills, "" = not known here
}

func (r *styleReader) start(t xml.StartElement) {
	name := t.Name.Local
	switch {
	case slices.Contains([]string{"fonts", "fills", "cellXfs", "dxfs", "cellStyleXfs", "borders"}, name):
		r.section = name
	case name == "dxf":
		r.look = &lookReader{}
	case r.look != nil:
		r.look.start(t)
	case r.section == "fonts" && name == "font":
		r.letters = append(r.letters, "000000")
	case r.section == "fonts" && name == "color" && len(r.letters) > 0:
		r.letters[len(r.letters)-1] = colorOf(t.Attr)
	case r.section == "fills" && name == "fill":
		r.grounds = append(r.grounds, white)
	case r.section == "fills" && (name == "patternFill" || name == "gradientFill") && len(r.grounds) > 0:
		if kind := attr(t.Attr, "patternType"); kind != "" && kind != "none" || name == "gradientFill" {
			r.grounds[len(r.grounds)-1] = ""
		}
	case r.section == "fills" && name == "fgColor" && len(r.grounds) > 0 && r.grounds[len(r.grounds)-1] == "":
		r.grounds[len(r.grounds)-1] = colorOf(t.Attr)
	case r.section == "cellXfs" && name == "xf":
		letters, ground := at(r.letters, attr(t.Attr, "fontId")), at(r.grounds, attr(t.Attr, "fillId"))
		r.out.inks = append(r.out.inks, ink{letters != "" && letters == ground, ground == white})
	}
}

func (r *styleReader) end(name string) {
	if r.look == nil {
		return
	}
	r.look.end(name)
	if name == "dxf" {
		r.out.does, r.look = append(r.out.does, r.look.does()), nil
	}
}

// colorOf returns the digits of a color element, "" where they are those of a theme.
func colorOf(attrs []xml.Attr) string {
	switch {
	case whiteColor(attrs):
		return white
	case attr(attrs, "rgb") != "":
		return lastSix(attr(attrs, "rgb"))
	case isTrue(attr(attrs, "auto")) || attr(attrs, "indexed") == "64" || attr(attrs, "indexed") == "8":
		return "000000"
	}
	return ""
}

// at returns an entry of a list by its number.
func at(list []string, number string) string {
	n, err := strconv.Atoi(number)
	if err != nil || n < 0 || n >= len(list) {
		return ""
	}
	return list[n]
}

// ofStyle returns the ink of a style.
func (l looks) ofStyle(style int) ink {
	if style < 0 || style >= len(l.inks) {
		return ink{bare: true}
	}
	return l.inks[style]
}

// highlightCells marks the filled cells that lie under conditional formats.
func (s *Sheet) highlightCells(list []highlight) {
	for i := range list {
		a := list[i].area
		for row := a.Top; row <= min(a.Bottom, len(s.Rows)); row++ {
			cells := s.Rows[row-1]
			for col := a.Left; col <= min(a.Right, len(cells)); col++ {
				if c := &cells[col-1]; !c.Blank() && c.highlight == nil {
					c.highlight = &list[i]
				}
			}
		}
	}
}

// ShownNotes says of the cells of some columns what a person sees otherwise than it is
// read: once a column texts that formats make of numbers, and letters in the color of what
// is behind them; once each conditional formats.
func ShownNotes(columns [][]Cell) (ps []estimate.Problem) {
	var over []*highlight
	for _, cells := range columns {
		ps = append(ps, formatNote(cells)...)
		ps = append(ps, unseenNote(cells)...)
	}
	for _, c := range slices.Concat(columns...) {
		if h := c.highlight; h != nil && !c.Blank() && !slices.Contains(over, h) {
			over = append(over, h)
			ps = append(ps, c.Problem(estimate.Warning,
				fmt.Sprintf("a conditional format of %s %s; it is not looked at, and the cells are read as they stand",
					strings.TrimSuffix(h.area.String(), ":"+estimate.CellName(h.area.Top, h.area.Left)), h.does),
				"clear what does not count, type what is meant, or take the conditional format away"))
		}
	}
	return ps
}

// unseenNote says once of the cells of a column that their letters have the color of what
// is behind them.
func unseenNote(cells []Cell) []estimate.Problem {
	hidden := slices.DeleteFunc(slices.Clone(cells), func(c Cell) bool { return !c.unseen || c.Blank() })
	if n := len(hidden); n > 0 {
		what := fmt.Sprintf("the cell holds %s in the color of what is behind it, and is read all the same", beginning(hidden[0].Text))
		if n > 1 {
			what = fmt.Sprintf("%d cells, the first here, hold text in the color of what is behind it, as %s, and are read all the same", n, beginning(hidden[0].Text))
		}
		return []estimate.Problem{hidden[0].Problem(estimate.Warning, what, "clear the cell, or give it a color that is seen")}
	}
	return nil
}
