package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// spellings are the other spellings of words that have two.
var spellings = strings.NewReplacer(
	"mould", "mold", "mitred", "mitered", "mitre", "miter", "aluminium", "aluminum", "levelling", "leveling", "labour", "labor",
	"grey", "gray", "centre", "center", "storey", "story", "colour", "color", "galvanised", "galvanized", "metre", "meter", "fibre", "fiber",
)

// WordKey returns a word of the trade as such words are compared: without case,
// spaces, hyphens and other marks, without the s of a plural, in US spelling.
func WordKey(s string) string {
	var b strings.Builder
	words := strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(s), "&", " and "), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for _, w := range words {
		w = spellings.Replace(w)
		if len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") {
			w = strings.TrimSuffix(w, "s")
		}
		b.WriteString(w)
	}
	return b.String()
}

// Doubt is why a word of the trade cannot be taken, and what to do about it.
type Doubt struct {
	May   string // what it may be: "a window or a patio door"
	Usual string // which of the words that usually is, "" when none
	Is    string // in place of May: what it is, where it is none of the words
	Do    string // in place of a choice among the words

	Row     bool // it is about the whole row, which cannot be taken without an answer
	Several bool // it names several units
	Inside  bool // it stands inside the house
}

// What says what a word may be, or is.
func (d Doubt) What() string {
	if d.Is != "" {
		return "is " + d.Is
	}
	return "may be " + d.May
}

// Advice says what to write, of some words.
func (d Doubt) Advice(words []string) string {
	switch {
	case d.Do != "":
		return d.Do
	case d.Usual == "":
		return "write " + OneOf(words)
	}
	return fmt.Sprintf("usually %s; write %s", d.Usual, OneOf(words))
}

// Asked is words that are asked back, never guessed, for one reason.
type Asked struct {
	Doubt
	Words []string
}

// Vocabulary is the words of a closed column, with what people write for them.
type Vocabulary struct {
	Words []string
	Do    string // advice when the words are too many to list

	other    []string          // what people write, for advice
	meaning  map[string]string // word by key
	doubtful map[string]Doubt  // by key
	noted    map[string]string // what to say of a word that is taken, by key
}

// NewVocabulary returns the vocabulary of some words. Others are what people
// write for each of them; asked are words that fit several of them, or none.
func NewVocabulary[S ~string](words []string, others map[S][]string, asked []Asked) Vocabulary {
	v := Vocabulary{Words: words, meaning: map[string]string{}, doubtful: map[string]Doubt{}, noted: map[string]string{}}
	for _, word := range words {
		v.meaning[markKey(word)] = word
	}
	for word, list := range others {
		for _, o := range list {
			v.add(o, string(word))
		}
	}
	for _, a := range asked {
		for _, w := range a.Words {
			v.doubtful[markKey(w)] = a.Doubt
		}
	}
	slices.Sort(v.other)
	return v
}

// unsettled are what people write for what they do not know yet.
var unsettled = []string{"tbd", "tba", "vif", "?", "see plan", "per plan", "see dwg", "verify", "field verify", "to be determined",
	"unknown", "later", "open"}

// Unsettled reports whether a text says that what belongs here is not known yet.
func Unsettled(text string) bool {
	return slices.ContainsFunc(unsettled, func(w string) bool { return markKey(w) == markKey(text) })
}

// whenBlank adds the words for what is not known yet, and with them what a
// blank cell means: it is the better way to say so.
func (v Vocabulary) whenBlank(means string) Vocabulary {
	for _, w := range unsettled {
		v.doubtful[markKey(w)] = Doubt{Is: "not settled", Do: "leave it blank: " + means}
	}
	return v
}

// orNone adds the marks for "nothing here" to a vocabulary with the word none.
// Of a dash nobody knows whether it says none, or nothing.
func (v Vocabulary) orNone(means string) Vocabulary {
	v.doubtful["-"] = Doubt{May: "none, or nothing stated", Do: "write none, or leave it blank: " + means}
	return v.taken("none", "not applicable", "n/a", "na", "n.a.", "not applicable")
}

// taken adds other ways to write a word that are taken with a note, which says
// what is made of them.
func (v Vocabulary) taken(word, note string, others ...string) Vocabulary {
	for _, o := range others {
		v.add(o, word)
		v.noted[markKey(o)] = note
	}
	return v
}

// markKey is WordKey, and tells marks alone apart: a dash, a question mark.
func markKey(s string) string {
	if key := WordKey(s); key != "" {
		return key
	}
	for _, mark := range []string{"-–—", "?"} {
		if s = foldSpace(s); s != "" && strings.Trim(s, mark) == "" {
			return mark[:1]
		}
	}
	return s
}

// add lets other stand for a word, unless it is one itself.
func (v *Vocabulary) add(other, word string) {
	key := markKey(other)
	if _, taken := v.meaning[key]; !taken && key != "" && slices.Contains(v.Words, word) {
		v.meaning[key] = word
		v.other = append(v.other, other)
	}
}

// Find returns the word that s means.
func (v Vocabulary) Find(s string) (string, bool) {
	w, ok := v.meaning[markKey(s)]
	return w, ok && !strings.HasSuffix(strings.TrimSpace(s), "?") // a question is no answer
}

// Note returns what to say of a word that is taken, "" for nothing.
func (v Vocabulary) Note(s string) string { return v.noted[markKey(s)] }

// Doubt returns why s, which is usual, cannot be taken.
func (v Vocabulary) Doubt(s string) (Doubt, bool) {
	d, ok := v.doubtful[markKey(s)]
	return d, ok
}

// Advice says what to write instead of s.
func (v Vocabulary) Advice(s string) string {
	do := v.Do
	if do == "" {
		do = "write " + OneOf(v.Words)
	}
	if near, ok := Nearest(s, append(slices.Clone(v.Words), v.other...)); ok {
		near, _ = v.Find(near)
		return fmt.Sprintf("did you mean %q? %s", near, do)
	}
	return do
}

// OneOf lists words: "a, b or c".
func OneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
