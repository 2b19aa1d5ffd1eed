package estimate

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// Facts are what conditions may compare of an opening.
type Facts struct {
	Word   map[string]string
	Number map[string]int64
}

// wordFact is a fact that is one of some words.
type wordFact struct {
	name  string
	words []string // nil = any
	of    func(o *Sized, b *Book) string
}

// numberFact is a fact that is a whole number; missing, no comparison of it
// holds.
type numberFact struct {
	name string
	of   func(o *Sized, b *Book) Maybe[int64]
}

// notStated is what conditions call a word that the schedule leaves out.
const notStated = "none"

// yesNo are the words of the facts that are true or not.
var yesNo = []string{"yes", "no"}

func answer(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// wordFacts and numberFacts list all facts.
var (
	wordFacts = []wordFact{
		{"kind", Kinds, func(o *Sized, _ *Book) string { return string(o.Kind) }},
		{"sits on", SitsOnWords, func(o *Sized, _ *Book) string { return string(o.SitsOn) }},
		{"flange", FlangeWords, func(o *Sized, _ *Book) string { return string(o.Flange) }},
		{"furnished by", FurnishedByWords, func(o *Sized, _ *Book) string { return string(o.FurnishedBy) }},
		{"status", append([]string{notStated}, StatusWords...), func(o *Sized, _ *Book) string { return cmp.Or(string(o.Status), notStated) }},
		{"pan", PanWords, func(o *Sized, _ *Book) string { return string(o.Pan) }},
		{"layout", nil, func(o *Sized, _ *Book) string { return o.Layout }},
		{"WRB", wrbWords, func(_ *Sized, b *Book) string { return string(b.Job.WRB) }},
		{"tape flexible", yesNo, tapeFlexible},
		{"jamb flashing", wordsOf(JambTape, JambFluid), func(_ *Sized, b *Book) string { return string(b.Job.JambFlashing) }},
		{"prime for tape", yesNo, func(_ *Sized, b *Book) string { return answer(b.Job.PrimeForTape) }},
		{"hardware with unit", yesNo, func(_ *Sized, b *Book) string { return answer(b.Job.HardwareWithUnit) }},
		{"head flashing", yesNo, func(_ *Sized, b *Book) string { return answer(b.Job.Waiver == "") }},
		{"sill level", append(slices.Clone(yesNo), notMeasured), sillLevel},
		{"mulled", []string{notMulled, sideBySide, stacked, string(StudsBetween)}, mulled},
		{"leaves", leafWords, leaves},
		{"shape", ShapeWords, func(o *Sized, _ *Book) string { return cmp.Or(string(o.Shape), string(ShapeRectangle)) }},
	}
	numberFacts = []numberFact{
		{"mulled units", func(o *Sized, _ *Book) Maybe[int64] {
			if o.studsBetween() {
				return Given(int64(1)) // none is mulled to another
			}
			return Given(o.Units)
		}},
		{"story", func(o *Sized, _ *Book) Maybe[int64] { return o.Story }},
		{"year built", func(_ *Sized, b *Book) Maybe[int64] { return b.Job.YearBuilt }},
	}
)

// FactsOf returns what conditions may compare of an opening of a takeoff.
func (b *Book) FactsOf(o *Sized) Facts {
	f := Facts{Word: make(map[string]string, len(wordFacts)), Number: make(map[string]int64, len(numberFacts))}
	for _, x := range wordFacts {
		f.Word[x.name] = x.of(o, b)
	}
	for _, x := range numberFacts {
		if n := x.of(o, b); n.Set {
			f.Number[x.name] = n.V
		}
	}
	return f
}

// tapeFlexible says whether the flashing tape of the sill turns a corner without a cut.
func tapeFlexible(_ *Sized, b *Book) string {
	sill := b.Job.Role["tape sill"]
	tapes := b.Items.Family(sill)
	if it, ok := b.Items.Get(sill); ok {
		tapes = []Item{it}
	}
	return answer(len(tapes) > 0 && !slices.ContainsFunc(tapes, func(it Item) bool { return !it.Forms }))
}

// notMeasured is what conditions call a sill whose level was not read.
const notMeasured = "not measured"

func sillLevel(o *Sized, _ *Book) string {
	rise, read := o.rise()
	if !read {
		return notMeasured
	}
	return answer(rise <= LevelTolerance)
}

// How units of an opening are mulled.
const (
	notMulled  = "no"
	sideBySide = "side by side"
	stacked    = "stacked"
)

// leafWords are the words of the fact leaves.
var leafWords = []string{"single", "pair", "not stated"}

// widestLeaf is the width of frame beyond which an entry door that does not say
// how it opens may have two leaves, or sidelites.
//
// Source: common practice: a 3-6 leaf and its jambs
const widestLeaf = 45 * measure.Inch

// leaves returns how many hinged leaves a door has: of a frame that is wide for
// one, only what the schedule says of its operation tells.
func leaves(o *Sized, _ *Book) string {
	switch {
	case o.Operation == Pair:
		return "pair"
	case o.Operation == "" && o.Frame.W > widestLeaf:
		return "not stated"
	}
	return "single"
}

func mulled(o *Sized, _ *Book) string {
	switch {
	case o.studsBetween():
		return string(StudsBetween)
	case o.Stacked():
		return stacked
	case o.Units > 1:
		return sideBySide
	}
	return notMulled
}
