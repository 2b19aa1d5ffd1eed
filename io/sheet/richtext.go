package sheet

import (
	"encoding/xml"
	"strings"
)

// richText is a text of runs in fonts of their own, of which some are struck out,
// raised or lowered: the workbook library hands on their letters alone, as if 3 with
// a small raised 0 were 30.
type richText struct {
	letters string // as the library joins them
	shown   string // digits that stand high or low as such digits: 3⁰
	struck  bool   // a run is struck out
	clear   bool   // a run is not
	plain   bool   // a run has the font of its cell
	white   bool   // a run has white letters
	color   bool   // a run has letters of another color of its own
}

// shownAs returns the text that a cell shows, and what is wrong with it; letters is
// the cell's text as the library joins it, struck says that the cell's own font is
// struck out. t is nil for a text without runs.
func (t *richText) shownAs(letters string, struck bool) (string, flaw) {
	switch {
	case t == nil && struck && foldSpace(letters) != "":
		return letters, struckOut
	case t == nil:
		return letters, sound
	case letters != t.letters && t.shown != t.letters:
		return letters, raised
	case letters != t.letters:
		return letters, t.flaw(struck)
	}
	return t.shown, t.flaw(struck)
}

// flaw returns what is wrong with the text in a cell whose own font is struck out or
// not.
func (t *richText) flaw(cellStruck bool) flaw {
	all := t.struck || t.plain && cellStruck
	some := t.clear || t.plain && !cellStruck
	switch {
	case all && some:
		return partlyStruck
	case all:
		return struckOut
	}
	return sound
}

// whitened reports whether a part of the text has white letters of its own, colored
// whether a part has others.
func (t *richText) whitened() bool { return t != nil && t.white }
func (t *richText) colored() bool  { return t != nil && t.color }

// runReader collects the runs of one text from the tokens of its XML.
type runReader struct {
	text     richText
	run      strings.Builder
	font     fontOf
	special  bool // a run is struck out, raised or lowered
	inRun    bool // a text without runs needs no look
	inText   bool
	phonetic bool // within a reading aid, which is no part of the text
	tooLong  bool // the cell is refused for its length
}

// fontOf is what a run says of its letters.
type fontOf struct {
	own           bool // it has a font of its own
	struck        bool
	raised, lower bool
	white, color  bool
}

func (r *runReader) start(t xml.StartElement) {
	switch t.Name.Local {
	case "r":
		r.inRun, r.font = true, fontOf{}
	case "rPr":
		r.font.own = true
	case "rPh":
		r.phonetic = true
	case "strike":
		val := attr(t.Attr, "val")
		r.font.struck = val == "" || isTrue(val)
	case "color":
		r.font.white = whiteColor(t.Attr)
		r.font.color = !r.font.white
	case "vertAlign":
		r.font.raised, r.font.lower = attr(t.Attr, "val") == "superscript", attr(t.Attr, "val") == "subscript"
	case "t":
		r.inText = r.inRun && !r.phonetic
	}
}

func (r *runReader) chars(c xml.CharData) {
	if r.inText && !r.tooLong {
		r.run.Write(c)
		r.tooLong = r.run.Len()+len(r.text.letters) > 4*maxText
	}
}

func (r *runReader) end(name string) {
	switch name {
	case "rPh":
		r.phonetic = false
	case "t":
		if r.inText {
			r.add(r.run.String())
		}
		r.run.Reset()
		r.inText = false
	case "r":
		r.inRun = false
	}
}

func (r *runReader) add(run string) {
	shown := run
	switch {
	case r.font.raised:
		shown = raisedDigits.Replace(run)
	case r.font.lower:
		shown = loweredDigits.Replace(run)
	}
	t := &r.text
	if foldSpace(run) != "" {
		t.struck = t.struck || r.font.struck
		t.clear = t.clear || r.font.own && !r.font.struck
		t.plain = t.plain || !r.font.own
		t.white, t.color = t.white || r.font.white, t.color || r.font.color
	}
	r.special = r.special || r.font.struck || r.font.white || shown != run
	t.letters += run
	t.shown += shown
}

// read returns the text if its letters alone do not say what is shown, else nil.
func (r *runReader) read() *richText {
	if !r.special || r.tooLong {
		return nil
	}
	text := r.text
	return &text
}

var (
	raisedDigits  = strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")
	loweredDigits = strings.NewReplacer("0", "₀", "1", "₁", "2", "₂", "3", "₃", "4", "₄", "5", "₅", "6", "₆", "7", "₇", "8", "₈", "9", "₉")
)
