package marked

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// A note is two things: its words, in the part of the sheet's notes, and its box, in the
// part of the sheet's old drawings, which some programs need to show it at all.

// maxNote is how much of its words a note shows.
const maxNote = 2_000

// behindNotes are the elements of a sheet that stand behind its old drawing.
var behindNotes = map[string]bool{"legacyDrawingHF": true, "drawingHF": true, "picture": true, "oleObjects": true, "controls": true,
	"webPublishItems": true, "tableParts": true, "extLst": true}

// note adds notes to cells of a sheet, and returns how many have one that stays as it is.
func (c *copying) note(name string, s *sheetPart, marks []markedCell) (kept int, err error) {
	relations, err := c.relations(name)
	if err != nil {
		return 0, err
	}
	comments := ""
	for _, r := range relations {
		if r.is("comments") {
			comments = r.target
		}
	}
	taken := map[string]bool{}
	if comments != "" {
		if taken, err = c.noted(comments); err != nil {
			return 0, err
		}
	}
	var fresh []markedCell
	for _, m := range marks {
		if taken[m.at()] {
			kept++
		} else {
			fresh = append(fresh, m)
		}
	}
	if len(fresh) == 0 {
		return kept, nil
	}
	if err := c.addWords(name, comments, fresh); err != nil {
		return 0, err
	}
	return kept, c.addBoxes(name, s, relations, fresh)
}

// noted returns the cells that have notes.
func (c *copying) noted(comments string) (map[string]bool, error) {
	p, err := c.part(comments)
	if err != nil {
		return nil, err
	}
	root, err := p.parse(3)
	if err != nil {
		return nil, err
	}
	taken := map[string]bool{}
	if list := root.child("commentList"); list != nil {
		for _, e := range list.children {
			taken[e.attr("ref")] = true
		}
	}
	return taken, nil
}

// addWords adds the words of notes to the part of a sheet's notes, which is added where
// there is none.
func (c *copying) addWords(sheetName, comments string, marks []markedCell) (err error) {
	if comments == "" {
		if comments, err = c.addTyped("xl/commentsMarked%d.xml", "spreadsheetml.comments+xml",
			`<comments xmlns="`+c.main+`"><authors/><commentList/></comments>`); err != nil {
			return err
		}
		if _, err = c.relate(sheetName, c.relation("comments"), comments); err != nil {
			return err
		}
	}
	p, err := c.part(comments)
	if err != nil {
		return err
	}
	root, err := p.parse(3)
	if err != nil {
		return err
	}
	authors, list := root.child("authors"), root.child("commentList")
	if authors == nil || list == nil {
		return errForm
	}
	names := strings.NewReplacer("</", "</"+root.prefix, "<", "<"+root.prefix)
	p.append(authors, names.Replace(`<author>`)+xlsx.Creator+names.Replace(`</author>`))
	var b strings.Builder
	for _, m := range marks {
		b.WriteString(names.Replace(fmt.Sprintf(`<comment ref="%s" authorId="%d"><text><r><t>`, m.at(), len(authors.children))))
		b.WriteString(escape(strings.TrimSpace(formula.Shorten(formula.CleanText(m.words), maxNote))))
		b.WriteString(names.Replace(`</t></r></text></comment>`))
	}
	p.append(list, b.String())
	return nil
}

// addBoxes adds the boxes of notes to a sheet's old drawing, which is added where there
// is none.
func (c *copying) addBoxes(sheetName string, s *sheetPart, relations []relation, marks []markedCell) (err error) {
	drawing := ""
	if e := s.root.child("legacyDrawing"); e != nil {
		for _, r := range relations {
			if r.id == e.attr("id") {
				drawing = r.target
			}
		}
		if drawing == "" {
			return errForm
		}
	} else {
		if drawing, err = c.addTyped("xl/drawings/vmlDrawingMarked%d.vml", "vmlDrawing", emptyDrawing); err != nil {
			return err
		}
		id, err := c.relate(sheetName, c.relation("vmlDrawing"), drawing)
		if err != nil {
			return err
		}
		at := s.root.last
		for _, e := range s.root.children {
			if behindNotes[e.name] {
				at = e.from
				break
			}
		}
		s.replace(at, at, fmt.Sprintf(`<%slegacyDrawing %s/>`, s.root.prefix, c.id(s.root, id)))
	}
	p, err := c.part(drawing)
	if err != nil {
		return err
	}
	end := bytes.LastIndex(p.text, []byte("</"))
	if end < 0 {
		return errForm
	}
	n := 0
	for _, id := range shapeID.FindAllSubmatch(p.text, -1) {
		taken, _ := strconv.Atoi(string(id[1]))
		n = max(n, taken)
	}
	var b strings.Builder
	if !bytes.Contains(p.text, []byte(`id="_x0000_t202"`)) {
		b.WriteString(boxType)
	}
	for _, m := range marks {
		n++
		fmt.Fprintf(&b, box, n, m.col, m.row, m.col+4, m.row+6, m.row-1, m.col-1)
	}
	p.replace(end, end, b.String())
	return nil
}

var shapeID = regexp.MustCompile(`_s([0-9]{1,9})"`)

// What old drawings are made of. Each piece says what its prefixes stand for, for other
// programs use others.
const (
	vmlSpaces = `xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" xmlns:x="urn:schemas-microsoft-com:office:excel"`

	emptyDrawing = `<xml ` + vmlSpaces + `><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="1"/></o:shapelayout></xml>`
	// boxType is what all boxes of notes have in common.
	boxType = `<v:shapetype ` + vmlSpaces + ` id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe">` +
		`<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>`
	box = `<v:shape ` + vmlSpaces + ` id="_x0000_s%d" type="#_x0000_t202" ` +
		`style="position:absolute;margin-left:60pt;margin-top:2pt;width:270pt;height:90pt;z-index:1;visibility:hidden" ` +
		`fillcolor="#ffffe1" o:insetmode="auto"><v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/>` +
		`<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox><x:ClientData ObjectType="Note"><x:MoveWithCells/>` +
		`<x:SizeWithCells/><x:Anchor>%d, 15, %d, 2, %d, 15, %d, 4</x:Anchor><x:AutoFill>False</x:AutoFill><x:Row>%d</x:Row><x:Column>%d</x:Column>` +
		`</x:ClientData></v:shape>`
)
