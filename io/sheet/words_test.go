package sheet

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestWordKey(t *testing.T) {
	for word, want := range map[string]string{
		"Double-Hung": "doublehung", "double hungs": "doublehung", "  House  Wrap ": "housewrap", "brick mould": "brickmold", "Mitred": "mitered",
		"levelling": "leveling",
		"glass":     "glass", "us": "us", "peel & stick": "peelandstick", "O.F.C.I.": "ofci", "": "", "--": "", "Labour": "labor", "storeys": "story",
		"Stories": "storie",
	} {
		assert.Equal(t, want, WordKey(word), word)
	}
}

// TestOpeningWordsAreOfOneMind: no word for an opening stands for two, and none
// that is asked back is taken as well.
func TestOpeningWordsAreOfOneMind(t *testing.T) {
	type meaning struct {
		kind      estimate.Kind
		operation estimate.Operation
	}
	seen := map[string]meaning{}
	for _, o := range openingWords {
		for _, w := range append(append([]string{}, o.words...), o.alone...) {
			m := meaning{o.kind, o.operation}
			before, again := seen[WordKey(w)]
			assert.False(t, again && before != m, "%q is %v and %v", w, before, m)
			assert.NotContains(t, seen, WordKey(w), "%q stands twice", w)
			seen[WordKey(w)] = m
			assert.Equal(t, strings.ToLower(w), w, "in lower case: a longer text is compared with it")
		}
	}
	asked := map[string]bool{}
	for _, a := range kindsAsked {
		assert.True(t, a.Usual == "" || slices.Contains(estimate.Kinds, a.Usual), "%q is usually no kind: %q", a.Words, a.Usual)
		for _, w := range a.Words {
			assert.NotContains(t, seen, WordKey(w), "%q is taken and asked back", w)
			assert.False(t, asked[markKey(w)], "%q is asked twice", w)
			asked[markKey(w)] = true
		}
	}
	for _, w := range sliders {
		assert.NotContains(t, seen, WordKey(w), "%q is a slider and more", w)
		assert.False(t, asked[markKey(w)], w)
	}
}

// TestVocabularies: of each closed column the words of now and those of earlier
// versions are known, and no doubtful word is known too.
func TestVocabularies(t *testing.T) {
	for name, v := range map[string]Vocabulary{"flange": Flange, "pan": SillPan, "WRB": WRB, "sits on": SitsOn,
		"furnished by": FurnishedBy, "brought by": BroughtBy, "no return": NoReturn,
		"status": Status, "tempered": Tempered,
		"layout": TrimLayout(estimate.Layouts{{Layout: "mitered"}, {Layout: "three sided"}, {Layout: "sill with horns"}})} {
		for _, w := range v.Words {
			got, ok := v.Find(strings.ToUpper(w))
			assert.True(t, ok, w)
			assert.Equal(t, w, got)
		}
		for former, now := range estimate.FormerWords[name] {
			got, ok := v.Find(former)
			assert.True(t, ok, "%s: %s", name, former)
			assert.Equal(t, now, got, "%s: %s", name, former)
		}
		for key, d := range v.doubtful {
			assert.NotContains(t, v.meaning, key, "%s: taken and asked back", name)
			usual, _, _ := strings.Cut(d.Usual, ", if ") // "owner, if you are not the GC"
			assert.True(t, usual == "" || v.meaning[WordKey(usual)] == usual, "%s: %q is usually none of the words", name, key)
		}
	}
}

func TestSliderKind(t *testing.T) {
	in := func(n int64) measure.Length { return measure.Length(n) * measure.Inch }
	for _, c := range []struct {
		height measure.Length
		sill   estimate.Maybe[measure.Length]
		want   estimate.Kind
	}{
		{in(80), estimate.Maybe[measure.Length]{}, estimate.PatioDoor}, {in(72), estimate.Given(in(8)), estimate.PatioDoor},
		{in(71), estimate.Maybe[measure.Length]{}, estimate.Window}, {in(36), estimate.Given(in(42)), estimate.Window},
		{in(80), estimate.Given(in(24)), ""}, {in(36), estimate.Given(in(0)), ""}, {0, estimate.Maybe[measure.Length]{}, ""},
	} {
		got, ok := SliderKind(c.height, c.sill)
		assert.Equal(t, c.want, got, "%v %v", c.height, c.sill)
		assert.Equal(t, c.want != "", ok)
	}
}

func TestOperationIn(t *testing.T) {
	for _, c := range []struct {
		text string
		kind estimate.Kind
		want estimate.Operation
	}{
		{"Window-Casement-Double", estimate.Window, estimate.Casement}, {"Fixed with trim", estimate.Window, estimate.Fixed},
		{"vinyl sliding glass door 6068", estimate.PatioDoor, estimate.Slider}, {"SLIDER", estimate.PatioDoor, estimate.Slider},
		{"SLIDER", estimate.Window, estimate.Slider}, {"garage bay 2", estimate.Window, ""}, {"casement", estimate.EntryDoor, ""}, {"", estimate.Window, ""},
		{"unit over the garden windowsill", estimate.Window, ""},
	} {
		assert.Equal(t, c.want, OperationIn(c.text, c.kind), c.text)
	}
}

func TestStory(t *testing.T) {
	for text, want := range map[string]int64{"2": 2, "Second Floor": 2, "2nd": 2, "Level 3": 3, "L1": 1, "basement": 0, "B": 0, "bsmt.": 0, "LL": 0, "walkout": 0, "Main": 1, "3rd floor": 3, "Level-2": 2} {
		got, _, ok := Story(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for text, asked := range map[string]bool{"": false, "roof": false, "north wing": false, "1 & 2": true, "1.5": true, "2-3": true, "1st/2nd": true, "1-1/2": true,
		"attic": true, "both": true} {
		_, doubt, ok := Story(text)
		assert.False(t, ok, text)
		assert.Equal(t, asked, doubt != nil, text)
	}
}
