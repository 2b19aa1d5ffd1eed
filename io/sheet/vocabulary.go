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

// Doubt is why a word of the trade cannot be taken: what it may be, and what it
// usually is.
type Doubt struct {
	May   string // "a window or a patio door"
	Usual string // one of the words, "" when none is usual
}

// Advice says what to write, of some words.
func (d Doubt) Advice(words []string) string {
	if d.Usual == "" {
		return "write " + OneOf(words)
	}
	return fmt.Sprintf("usually %s; write %s", d.Usual, OneOf(words))
}

// Vocabulary is the words of a closed column, with what people write for them.
type Vocabulary struct {
	Words []string
	Do    string // advice when the words are too many to list

	other    []string          // what people write, for advice
	meaning  map[string]string // word by key
	doubtful map[string]Doubt  // by key
}

// NewVocabulary returns the vocabulary of some words. Others are what people
// write for each of them; doubtful words fit several of them and are asked
// back, never guessed.
func NewVocabulary[S ~string](words []string, others map[S][]string, doubtful map[string]Doubt) Vocabulary {
	v := Vocabulary{Words: words, meaning: map[string]string{}, doubtful: map[string]Doubt{}}
	for _, word := range words {
		v.meaning[WordKey(word)] = word
	}
	for word, list := range others {
		for _, o := range list {
			v.add(o, string(word))
		}
	}
	for word, d := range doubtful {
		v.doubtful[WordKey(word)] = d
	}
	slices.Sort(v.other)
	return v
}

// add lets other stand for a word, unless it is one itself.
func (v *Vocabulary) add(other, word string) {
	key := WordKey(other)
	if _, taken := v.meaning[key]; !taken && key != "" && slices.Contains(v.Words, word) {
		v.meaning[key] = word
		v.other = append(v.other, other)
	}
}

// Find returns the word that s means.
func (v Vocabulary) Find(s string) (string, bool) {
	w, ok := v.meaning[WordKey(s)]
	return w, ok
}

// Doubt returns why s, which is usual, cannot be taken.
func (v Vocabulary) Doubt(s string) (Doubt, bool) {
	d, ok := v.doubtful[WordKey(s)]
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
