package schedule

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// words returns the vocabulary of words that need no translation.
func words(list []string) sheet.Vocabulary { return sheet.NewVocabulary[string](list, nil, nil) }

// word returns a reading of one of the words of a vocabulary.
func word[S ~string](v sheet.Vocabulary) func(*cell) (S, bool) {
	return func(c *cell) (S, bool) {
		if c.Kind == sheet.Bool && slices.Contains(v.Words, "yes") {
			return S(map[string]string{"TRUE": "yes", "FALSE": "no"}[c.Text]), true
		}
		if c.unfit("type one of its words") {
			return "", false
		}
		if w, ok := v.Find(c.Text); ok {
			if note := v.Note(c.Text); note != "" {
				c.say(estimate.Note, fmt.Sprintf("%s %q is read as %s: %s", c.name, sheet.Excerpt(c.Word()), w, note), "correct it if it is not")
			}
			return S(w), true
		}
		if d, ok := v.Doubt(c.Text); ok {
			c.ask(d, v.Words)
			return "", false
		}
		c.refuse(fmt.Sprintf("%s %q is not known", c.name, sheet.Excerpt(c.Word())), v.Advice(c.Text))
		return "", false
	}
}

// ask refuses a word that fits several, or none, with what it may be.
func (c *cell) ask(d sheet.Doubt, words []string) {
	c.refuse(fmt.Sprintf("%s %q %s", c.name, sheet.Excerpt(c.Word()), d.What()), d.Advice(words))
}

// choice returns a reading of two words as true and false.
func choice(yes, no string) func(*cell) (bool, bool) {
	read := word[string](plainWords([]string{yes, no}))
	return func(c *cell) (bool, bool) {
		w, ok := read(c)
		return w == yes, ok
	}
}

// indexed returns a reading of one of some words as its place in their list.
func indexed[I ~int](list []string) func(*cell) (I, bool) {
	return func(c *cell) (I, bool) {
		w, ok := word[string](words(list))(c)
		return I(max(0, slices.Index(list, w))), ok
	}
}

// plainWords returns the vocabulary of words that need no translation, but for
// the usual other ways to write some of them.
func plainWords(list []string) sheet.Vocabulary {
	return sheet.NewVocabulary(list, map[string][]string{
		"yes": {"y", "true"}, "no": {"n", "false"}, "inches": {"in", "inch"}, "mm": {"millimetres", "metric"},
	}, nil)
}

// kind reads the kind of an opening, and what its word says of how it opens. A
// slider has no kind until its size is known: settle.
func kind(c *cell, o *estimate.Opening) {
	if c.unfit("type one of its words") {
		return
	}
	k, known := sheet.ReadKind(c.Text)
	switch {
	case !known:
		c.refuse(fmt.Sprintf("%s %q is not known", c.name, sheet.Excerpt(c.Word())), sheet.NearKind(c.Word()))
	case k.Doubt != nil:
		c.ask(*k.Doubt, estimate.Kinds)
	default:
		o.Kind, o.Operation = k.Kind, k.Operation
	}
}

// settle gives a slider its kind, by its height and that of its sill.
func settle(o *estimate.Opening, at *cell) {
	if o.Kind != "" || o.Operation != estimate.Slider || isBlank(at.Cell) {
		return
	}
	k, ok := sheet.SliderKind(o.StatedHeight(), o.SillHeight)
	if !ok {
		at.ask(sheet.Doubt{May: "a window or a patio door, by height and sill", Usual: string(estimate.PatioDoor)}, []string{string(estimate.Window),
			string(estimate.PatioDoor)})
		return
	}
	o.Kind = k
	at.say(estimate.Note, fmt.Sprintf("%s %q is taken for a %s, by its height", at.name, at.Word(), k), "")
}
