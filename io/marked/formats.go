package marked

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// sign is what a mark shows beside its border and its fill, so that it is seen without
// colors too.
type sign int

const (
	noSign    sign = iota
	inWords        // "!! " in front of a text
	inFigures      // and of a number
	cross          // over a cell without anything
)

// signs stand in front of what a marked cell shows.
var signs = map[estimate.Severity]string{estimate.Warning: "! ", estimate.Error: "!! "}

// look is how a mark changes the format of a cell.
type look struct {
	old      int // the cell's own format
	severity estimate.Severity
	sign     sign
}

// formats adds to the formats of a workbook.
type formats struct {
	part                            *part
	root                            *element
	xfs, fonts, fills, borders      *grown
	numbers                         *grown
	codes                           map[int]string // number formats by id
	nextCode                        int
	looks                           map[look]int
	fillOf                          map[estimate.Severity]int
	borderOf                        map[look]int
	title, words, head, text, leads int // formats of the sheet of problems
}

// grown is a list of a part that grows at its end.
type grown struct {
	list  *element
	name  string
	count int
	text  strings.Builder
}

func (g *grown) add(text string) (index int) {
	g.text.WriteString(text)
	g.count++
	return g.count - 1
}

// plainFormats are the formats of a workbook that has none.
const plainFormats = `<styleSheet xmlns="%s"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>` +
	`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
	`<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs></styleSheet>`

// newFormats reads the part of the formats.
func newFormats(p *part) (*formats, error) {
	root, err := p.parse(3)
	if err != nil {
		return nil, err
	}
	f := &formats{part: p, root: root, codes: map[int]string{}, nextCode: 164, looks: map[look]int{},
		fillOf: map[estimate.Severity]int{}, borderOf: map[look]int{}}
	for name, list := range map[string]**grown{"cellXfs": &f.xfs, "fonts": &f.fonts, "fills": &f.fills, "borders": &f.borders, "numFmts": &f.numbers} {
		e := root.child(name)
		if e == nil && name != "numFmts" {
			return nil, errForm
		}
		*list = &grown{list: e, name: name}
		if e != nil {
			(*list).count = len(e.children)
		}
	}
	if f.numbers.list != nil {
		for _, e := range f.numbers.list.children {
			id, err := strconv.Atoi(e.attr("numFmtId"))
			if err != nil {
				return nil, errForm
			}
			f.codes[id] = e.attr("formatCode")
			f.nextCode = max(f.nextCode, id+1)
		}
	}
	return f, nil
}

// q writes an element's names as the part does: "<" and "</" stand before each.
func (f *formats) q(text string) string {
	return strings.NewReplacer("</", "</"+f.root.prefix, "<", "<"+f.root.prefix).Replace(text)
}

// finish writes what was added.
func (f *formats) finish() {
	for _, g := range []*grown{f.numbers, f.fonts, f.fills, f.borders, f.xfs} {
		switch {
		case g.text.Len() == 0:
		case g.list == nil: // the number formats come first
			f.part.prepend(f.root, f.q(fmt.Sprintf(`<%s count="%d">`, g.name, g.count))+g.text.String()+f.q("</"+g.name+">"))
		default:
			f.part.set(g.list, "count", strconv.Itoa(g.count))
			f.part.append(g.list, g.text.String())
		}
	}
}

// of returns the format of a marked cell: a copy of its own, as the file has it, with a
// thick border, a fill and a sign.
func (f *formats) of(l look) (int, error) {
	if id, known := f.looks[l]; known {
		return id, nil
	}
	if l.old < 0 || l.old >= len(f.xfs.list.children) {
		return 0, errForm
	}
	own := f.xfs.list.children[l.old]
	pairs := []string{"fillId", strconv.Itoa(f.fill(l.severity)), "applyFill", "1", "borderId", strconv.Itoa(f.border(l)), "applyBorder", "1"}
	if id, err := strconv.Atoi(own.attr("numFmtId")); l.sign == inWords || l.sign == inFigures {
		if code, known := f.code(id); known && err == nil {
			pairs = append(pairs, "numFmtId", strconv.Itoa(f.number(signed(code, signs[l.severity], l.sign == inFigures))), "applyNumberFormat", "1")
		}
	}
	text := f.part.text
	f.looks[l] = f.xfs.add(tagWith(string(text[own.from:own.to]), pairs...) + string(text[own.to:own.end]))
	return f.looks[l], nil
}

func (f *formats) fill(s estimate.Severity) int {
	id, known := f.fillOf[s]
	if !known {
		color := xlsx.WarnFill
		if s == estimate.Error {
			color = xlsx.BadFill
		}
		id = f.fills.add(f.q(`<fill><patternFill patternType="solid"><fgColor rgb="FF` + color + `"/><bgColor indexed="64"/></patternFill></fill>`))
		f.fillOf[s] = id
	}
	return id
}

// border is thick and dark; over a blank cell lines cross, of a warning one.
func (f *formats) border(l look) int {
	key := look{severity: l.severity, sign: l.sign}
	if l.sign != cross {
		key = look{}
	}
	id, known := f.borderOf[key]
	if !known {
		const color = `<color rgb="FF000000"/>`
		var b strings.Builder
		switch {
		case l.sign != cross:
			b.WriteString(`<border>`)
		case l.severity == estimate.Error:
			b.WriteString(`<border diagonalUp="1" diagonalDown="1">`)
		default:
			b.WriteString(`<border diagonalUp="1">`)
		}
		for _, side := range []string{"left", "right", "top", "bottom"} {
			b.WriteString(`<` + side + ` style="thick">` + color + `</` + side + `>`)
		}
		if l.sign == cross {
			b.WriteString(`<diagonal style="thin">` + color + `</diagonal>`)
		}
		id = f.borders.add(f.q(b.String() + `</border>`))
		f.borderOf[key] = id
	}
	return id
}

// builtIn are number formats that have a number and no code in the file.
//
// Source: ECMA-376 part 1, 18.8.30 numFmt
var builtIn = map[int]string{0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 12: "# ?/?", 13: "# ??/??", 49: "@"}

func (f *formats) code(id int) (code string, known bool) {
	if code, known = f.codes[id]; !known {
		code, known = builtIn[id]
	}
	return code, known
}

func (f *formats) number(code string) (id int) {
	for id = 164; id < f.nextCode; id++ {
		if f.codes[id] == code {
			return id
		}
	}
	f.codes[id] = code
	f.nextCode++
	f.numbers.add(f.q(fmt.Sprintf(`<numFmt numFmtId="%d" formatCode="%s"/>`, id, escape(code))))
	return id
}

// signed returns a number format that shows a sign in front of texts, and of numbers
// where that is asked for; numbers are shown as before otherwise. One whose sections have
// conditions, or an unusual form of General, stays as it is.
func signed(code, sign string, figures bool) string {
	sections := sectionsOf(code)
	if condition.MatchString(code) || len(sections) > 4 || code != "General" && strings.Contains(strings.ToLower(code), "general") {
		return code
	}
	quoted := `"` + sign + `"`
	words := quoted + "@"
	if last := sections[len(sections)-1]; strings.Contains(last, "@") {
		sections = sections[:len(sections)-1]
		words = ahead(quoted, last)
	}
	switch len(sections) {
	case 0: // of texts alone: numbers are shown as they are
		sections = []string{"General", "-General", "General"}
	case 1:
		sections = []string{sections[0], ahead("-", sections[0]), sections[0]}
	case 2:
		sections = append(sections, sections[0])
	}
	if figures {
		for i := range sections {
			sections[i] = ahead(quoted, sections[i])
		}
	}
	return strings.Join(append(sections, words), ";")
}

var (
	condition = regexp.MustCompile(`\[[<>=]`)
	// leading is what stands first in a section: a color, or a language.
	leading = regexp.MustCompile(`^(?i:\[(?:black|blue|cyan|green|magenta|red|white|yellow|color ?\d+|\$[^\]]*)\])*`)
)

// ahead puts text in front of what a section shows.
func ahead(text, section string) string {
	at := leading.FindString(section)
	return at + text + section[len(at):]
}

// sectionsOf parts a number format where semicolons stand outside of quotes, brackets
// and escapes.
func sectionsOf(code string) (list []string) {
	from := 0
	for i := 0; i < len(code); i++ {
		switch code[i] {
		case '"':
			i += max(0, strings.IndexByte(code[i+1:], '"')+1)
		case '[':
			i += max(0, strings.IndexByte(code[i:], ']'))
		case '\\', '_', '*':
			i++
		case ';':
			list = append(list, code[from:i])
			from = i + 1
		}
	}
	return append(list, code[from:])
}
