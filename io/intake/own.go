package intake

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Columns of ours that another's list may have: who furnishes the unit, its
// flange, its cost ...

// ownColumns are the columns that are taken over as they stand, by our name.
var ownColumns = []string{"Flange", "Furnished by", "Unit cost", "Jamb depth", "Sill pan", "Trim", "Status", "Sits on", "Sill height"}

// ownHeaders are their headers, folded by words(), by column.
var ownHeaders = makeOwnHeaders()

func makeOwnHeaders() map[string][]string {
	out := map[string][]string{}
	for _, key := range ownColumns {
		for _, h := range append([]string{key}, sheet.Headings[key]...) {
			if list, _ := headerWords(h); !slices.Contains(out[key], list) {
				out[key] = append(out[key], list)
			}
		}
	}
	return out
}

// wordColumn is a column of ours with words, and where it stands in an opening.
type wordColumn struct {
	words sheet.Vocabulary
	set   func(*estimate.Opening, string)
}

// wordColumns are the columns of ours with words, by name.
func wordColumns(trims sheet.Vocabulary) map[string]wordColumn {
	return map[string]wordColumn{
		"Flange":       {sheet.Flange, func(o *estimate.Opening, w string) { o.Flange = estimate.Flange(w) }},
		"Furnished by": {sheet.FurnishedBy, func(o *estimate.Opening, w string) { o.FurnishedBy = estimate.FurnishedBy(w) }},
		"Sill pan":     {sheet.SillPan, func(o *estimate.Opening, w string) { o.Pan = estimate.Pan(w) }},
		"Trim":         {trims, func(o *estimate.Opening, w string) { o.Trim = w }},
		"Status":       {sheet.Status, func(o *estimate.Opening, w string) { o.Status = estimate.Status(w) }},
		"Sits on":      {sheet.SitsOn, func(o *estimate.Opening, w string) { o.SitsOn = estimate.SitsOn(w) }},
	}
}

// takeOwn takes the cells of our columns into an opening. What cannot be taken is
// left blank, with a warning, and kept as a remark.
func (l *list) takeOwn(e *entry) {
	for _, key := range ownColumns {
		c, ok := e.ownCells[key]
		if !ok {
			continue
		}
		what, do := setOwn(&e.ours, key, c, l.options)
		if what != "" {
			l.say(c.Place, estimate.Warning, fmt.Sprintf("%s %q %s", key, sheet.Excerpt(c.Word()), what), do)
			e.remarks = append(e.remarks, strings.ToLower(key)+" "+c.Word())
		}
	}
}

// setOwn sets a column of an opening, or says why it does not, or how it reads an
// unusual word.
func setOwn(o *estimate.Opening, key string, c sheet.Cell, options Options) (what, do string) {
	const blank = "; it is left blank"
	if w, ok := wordColumns(options.Trims)[key]; ok {
		if word, known := w.words.Find(c.Text); known {
			w.set(o, word)
			if note := w.words.Note(c.Text); note != "" {
				return fmt.Sprintf("is read as %s: %s", word, note), "correct it if it is not"
			}
			return "", ""
		}
		if d, doubt := w.words.Doubt(c.Text); doubt {
			return d.What() + blank, d.Advice(w.words.Words)
		}
		return "is not known" + blank, w.words.Advice(c.Text)
	}
	if key == "Unit cost" {
		v, err := measure.ParseMoney(c.Text)
		if err != nil {
			return "is not an amount" + blank, "write it as Unit cost on Openings"
		}
		o.UnitCost = estimate.Given(v)
		return "", ""
	}
	v, _, err := c.Length(measure.NoUnit, measure.Inches)
	if err != nil {
		return "is not a length" + blank, "write it on Openings"
	}
	at := map[string]*estimate.Maybe[measure.Length]{"Jamb depth": &o.UnitDepth, "Sill height": &o.SillHeight}[key]
	*at = estimate.Given(v)
	return "", ""
}
