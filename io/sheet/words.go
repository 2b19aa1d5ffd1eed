package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The words of the trade for kinds of opening, for all who read schedules. A
// usual word that fits two of them is asked back, never guessed.

// openingWords are what people write for a kind of opening, and for how it
// opens. Alone says that they mean it only where nothing else is written: in a
// longer text they may belong to something else.
var openingWords = []struct {
	kind      estimate.Kind
	operation estimate.Operation
	words     []string
	alone     []string
}{
	{estimate.Window, "", []string{"window", "wdw", "win", "egress window", "basement window"},
		[]string{"window unit", "win unit", "wndw", "egress", "fenestration", "new construction window", "cellar window", "dormer window", "clerestory",
			"corner window",
			"clerestory window"}},
	{estimate.Window, estimate.Fixed, []string{"fixed window", "fixed lite", "fixed sash", "direct set"},
		[]string{"fixed", "fixed light", "fixed glass", "stationary", "inoperable", "nonoperable", "fx", "fix"}},
	{estimate.Window, estimate.Picture, []string{"picture window"}, []string{"picture", "pic window", "pic win", "pic", "pw"}},
	{estimate.Window, estimate.Casement, []string{"casement", "csmt"}, []string{"cas", "csm", "csmnt", "french casement", "push out casement",
		"crank out", "crank"}},
	{estimate.Window, estimate.Awning, []string{"awning"}, []string{"awn", "awng", "push out awning"}},
	{estimate.Window, estimate.Hopper, []string{"hopper"}, []string{"hpr", "hop", "basement hopper"}},
	{estimate.Window, estimate.TiltTurn, []string{"tilt turn", "tilt and turn"}, []string{"t and t"}},
	{estimate.Window, estimate.SingleHung, []string{"single hung"}, []string{"sh", "1 hung", "single hung sash", "shw"}},
	{estimate.Window, estimate.DoubleHung, []string{"double hung"}, []string{"dh", "2 hung", "dbl hung", "dhw"}},
	{estimate.Window, estimate.Slider, []string{"glider", "horizontal slider", "sliding window", "gliding window", "slider window"},
		[]string{"single slider", "double slider", "horizontal sliding", "hs", "end vent slider"}},
	{estimate.Window, estimate.Bay, []string{"bay window"}, []string{"bay", "box bay"}},
	{estimate.Window, estimate.Bow, []string{"bow window"}, []string{"bow"}},
	{estimate.Window, estimate.Garden, []string{"garden window"}, nil},
	{estimate.Window, estimate.Transom, []string{"transom window"}, nil},

	{estimate.OverheadDoor, "", []string{"overhead door", "overhead", "ohd", "garage door", "sectional door", "roll up door", "rolling door"},
		[]string{"garage", "sectional", "roll up", "coiling door", "overhead garage door", "sectional garage door", "oh door", "shop overhead door",
			"gar door", "gar dr",
			"garage dr", "overhead dr",
			"sect door", "roller door", "up and over door"}},
	{estimate.PatioDoor, "", []string{"patio door", "deck door"}, []string{"patio", "hinged patio door", "hinged patio", "swinging patio door",
		"center hinged patio door", "center hinged patio",
		"atrium door", "atrium", "terrace door", "balcony door", "lanai door", "bifold patio door", "bifold patio", "folding patio door"}},
	{estimate.PatioDoor, estimate.Slider, []string{"sliding door", "sliding glass door", "sliding patio door", "sgd", "slider door"},
		[]string{"patio slider", "gliding door", "gliding patio door", "glass slider", "spd", "sliding glass", "multi slide door", "multi slide",
			"lift and slide door",
			"lift and slide", "lift slide", "stacking door", "stacking patio door", "bi parting patio door", "bi parting", "bi parting door", "sliding patio"}},
	{estimate.PatioDoor, estimate.Pair, []string{"french patio door"}, []string{"hinged pair patio door"}},
	{estimate.EntryDoor, "", []string{"entry", "entry door", "entrance", "entrance door", "front door", "back door", "service door", "man door"},
		[]string{"side door", "rear door", "walk door", "utility door", "personnel door", "prehung exterior door", "exterior prehung door", "main door",
			"prehung entry door", "dutch door", "single entry door", "front entry", "back entry", "mudroom door", "dutch", "stable door", "front",
			"prehung ext door", "garage service door", "garage entry door", "fg door", "fiberglass door"}},
	{estimate.EntryDoor, estimate.Pair, []string{"double entry door"}, []string{"entry pair", "pair of entry doors", "double front door"}},
	{estimate.EntryDoor, estimate.Sidelites, nil, []string{"front door and sidelites", "entry and sidelites", "entry door and 2 sidelites"}},
}

// sliders are doors and windows alike; their size says which (SliderKind).
var sliders = []string{"slider", "sliding", "gliding", "2 lite slider", "3 lite slider", "sliding unit", "vinyl slider", "xo", "ox", "oxo", "xox",
	"oxxo", "2 panel slider", "3 panel slider"}

// fillers are words that say of what a unit is made, or nothing: they do not
// change its kind.
var fillers = []string{"vinyl", "wood", "wooden", "aluminum", "alum", "fiberglass", "clad", "composite", "pvc", "steel", "insulated", "unit", "style",
	"new", "prehung",
	"pre", "white", "bronze", "black", "single", "panel", "ext", "exterior", "oversize", "egress", "impact", "tempered", "ig"}

// withDoors are what a door's frame may hold beside the door.
var withDoors = map[estimate.Operation][]string{
	estimate.Sidelites: {"sidelite", "sidelight", "side lite", "side light", "sl"}, estimate.Transom: {"transom"}, estimate.Pair: {"pair", "double"},
}

// KindWord is what a word for an opening says.
type KindWord struct {
	Kind      estimate.Kind
	Operation estimate.Operation // "" = it does not say
	Doubt     *Doubt             // why it has no kind; nil when it has one
	Slider    bool               // its size tells whether it is a window or a patio door
	Part      bool               // only a part of the text is known
}

// kindWords are all words for openings, by key.
var kindWords = makeKindWords()

func makeKindWords() map[string]KindWord {
	out := map[string]KindWord{}
	put := func(key string, k KindWord) {
		if _, taken := out[key]; !taken {
			out[key] = k
		}
	}
	for _, k := range estimate.Kinds {
		put(WordKey(k), KindWord{Kind: estimate.Kind(k)})
	}
	for _, o := range openingWords {
		for _, w := range slices.Concat(o.words, o.alone) {
			put(WordKey(w), KindWord{Kind: o.kind, Operation: o.operation})
		}
	}
	for _, a := range kindsAsked {
		for _, w := range a.Words {
			put(WordKey(w), KindWord{Operation: a.operation, Doubt: &a.Doubt})
		}
	}
	for _, w := range sliders {
		put(WordKey(w), KindWord{Operation: estimate.Slider, Slider: true})
	}
	// The key of several words is that of each, one after the other: what is put
	// together here is folded once, for every run of the program waits for it.
	const window = "window"
	for _, o := range openingWords {
		for _, w := range slices.Concat(o.words, o.alone) {
			key := WordKey(w)
			switch {
			case o.kind == estimate.Window && o.operation != "":
				put(key+window, KindWord{Kind: o.kind, Operation: o.operation})
				put(window+key, KindWord{Kind: o.kind, Operation: o.operation})
			case o.kind.Walked():
				for op, parts := range withDoors {
					for _, p := range parts {
						part := WordKey(p)
						for _, form := range []string{key + "with" + part, key + "w" + part, key + part, part + key,
							key + "with2" + part, key + "with1" + part, key + "withtwo" + part,
						} {
							put(form, KindWord{Kind: o.kind, Operation: op})
						}
					}
				}
			}
		}
	}
	return out
}

// ReadKind returns what a cell with the kind of an opening says; false when no
// word of it is known.
func ReadKind(text string) (KindWord, bool) {
	if k, ok := kindWords[WordKey(text)]; ok {
		return k, true
	}
	list := spacedWords(text)
	rest := without(list, fillers)
	if k, ok := kindWords[WordKey(strings.Join(rest, " "))]; ok && len(rest) > 0 {
		return k, true
	}
	if d := kindDoubt(text, list); d != nil {
		return KindWord{Doubt: d, Part: true}, true
	}
	return KindWord{}, false
}

// spacedWords returns the words of a text in lower case.
func spacedWords(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// without returns the words of a list that are none of others.
func without(list, others []string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(w string) bool { return slices.Contains(others, WordKey(w)) })
}

// KindPhrases returns the words that tell a kind by themselves, even within a
// longer text, as they stand there: in lower case, one and many.
func KindPhrases(kind estimate.Kind) []string {
	var out []string
	for _, o := range openingWords {
		if o.kind != kind {
			continue
		}
		for _, w := range o.words {
			out = append(out, w, w+"s")
		}
	}
	return out
}

// places are operations whose words, alone, may name a place: bay 2.
var places = []estimate.Operation{estimate.Bay, estimate.Bow, estimate.Garden}

// OperationIn returns how an opening of a kind opens, by a text that says so;
// "" when it does not.
func OperationIn(text string, kind estimate.Kind) estimate.Operation {
	if k, ok := ReadKind(text); ok && (k.Kind == kind || k.Slider) && k.Operation != "" {
		return k.Operation
	}
	in := " " + strings.ToLower(strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '-' || r == '_' || r == '/' }),
		" ")) + " "
	for _, o := range openingWords {
		if o.operation == "" || o.kind != kind {
			continue
		}
		names := o.words
		if !slices.Contains(places, o.operation) {
			names = append([]string{string(o.operation)}, names...)
		}
		for _, w := range names {
			if strings.Contains(in, " "+w+" ") || strings.Contains(in, " "+w+"s ") {
				return o.operation
			}
		}
	}
	return ""
}

// minDoorHeight is the height from which a sliding unit is a door: people
// walk through it. maxDoorSill is the sill height up to which it can be one.
//
// Source: common practice
const (
	minDoorHeight = 72 * measure.Inch
	maxDoorSill   = 8 * measure.Inch
)

// SliderKind returns whether a sliding unit is a window or a patio door, by its
// height and, where it is known, that of its sill above the floor; false when
// they speak against each other or nothing is known.
func SliderKind(height measure.Length, sill estimate.Maybe[measure.Length]) (estimate.Kind, bool) {
	tall, low := height >= minDoorHeight, !sill.Set || sill.V <= maxDoorSill
	switch {
	case height == 0:
		return "", false
	case tall && low:
		return estimate.PatioDoor, true
	case !tall && (!sill.Set || !low):
		return estimate.Window, true
	}
	return "", false
}

// NearKind returns advice on a word that is no kind of opening.
func NearKind(text string) string {
	var known []string
	for _, o := range openingWords {
		known = append(append(known, o.words...), o.alone...)
	}
	do := "write " + OneOf(estimate.Kinds)
	if near, ok := Nearest(text, append(slices.Clone(estimate.Kinds), known...)); ok {
		return fmt.Sprintf("did you mean %q? %s", near, do)
	}
	return do
}

// ItemNames finds items by what they are called.
type ItemNames struct {
	items estimate.Items
	key   map[string]string // of an item, by the key of a word
}

// NewItemNames returns what items are called: their keys, former keys, names,
// and what the trade calls them.
func NewItemNames(items estimate.Items) ItemNames {
	n := ItemNames{items, map[string]string{}}
	put := func(word, key string) {
		if w := WordKey(word); w != "" && n.key[w] == "" {
			n.key[w] = key
		}
	}
	for _, it := range items.List() {
		put(it.Key, it.Key)
	}
	for former, now := range estimate.FormerItems {
		if _, ok := items.Get(now); ok {
			put(former, now)
		}
	}
	for _, it := range items.List() {
		put(it.Name, it.Key)
	}
	for _, t := range itemNames {
		for _, w := range t.words {
			if _, ok := items.Get(t.key); ok {
				put(w, t.key)
			}
			for _, it := range items.List() {
				if width := it.Width / measure.Inch; t.class != "" && it.Class == t.class && it.Forms == t.flexible && it.Width == width*measure.Inch {
					put(fmt.Sprintf("%d in %s", width, w), it.Key)
					put(fmt.Sprintf("%d %s", width, w), it.Key)
					put(fmt.Sprintf("%d inch %s", width, w), it.Key)
					put(fmt.Sprintf("%s %d in", w, width), it.Key)
					put(fmt.Sprintf("%s %d", w, width), it.Key)
				}
			}
		}
	}
	return n
}

// Find returns the key of the item that a text names. The doubt is set when it
// names several.
func (n ItemNames) Find(text string) (key string, doubt *Doubt, ok bool) {
	if _, known := n.items.Get(text); known {
		return text, nil, true
	}
	want := WordKey(text)
	if key, ok := n.key[want]; ok {
		return key, nil, true
	}
	for _, t := range itemNames {
		if t.class == "" || !slices.ContainsFunc(t.words, func(w string) bool { return WordKey(w) == want }) {
			continue
		}
		var fit []string
		for _, it := range n.items.List() {
			if it.Class == t.class && it.Forms == t.flexible {
				fit = append(fit, it.Key)
			}
		}
		if len(fit) > 0 {
			return "", &Doubt{May: OneOf(fit), Usual: fit[len(fit)-1]}, false
		}
	}
	if want == "glue" {
		return "", &Doubt{May: "pvc-cement (laps of rigid pans) or wood-glue (joints of trim)", Usual: "wood-glue"}, false
	}
	return "", nil, false
}

// itemNames are what the trade calls items: one of a key, or the widths of a
// class.
var itemNames = []struct {
	key, class string
	flexible   bool
	words      []string
}{
	{class: estimate.ClassTape, flexible: true, words: []string{"flexible flashing tape", "flex tape", "flex flashing", "flexible flashing", "flexible tape",
		"forming strip", "stretch flashing"}},
	{class: estimate.ClassTape, words: []string{"flashing tape", "self adhered flashing", "saf", "peel and stick", "window tape", "self adhered strip",
		"self adhered membrane", "tape"}},
	{key: "trim-coil-24", words: []string{"trim coil", "coil stock", "flat stock", "coil", "aluminum coil", "metal coil"}},
	{key: "pvc-cement", words: []string{"pvc cement", "solvent cement", "pvc glue", "pan glue", "cement"}},
	{key: "leveling", words: []string{"leveling compound", "self leveler", "leveler"}},
	{key: "tape-primer", words: []string{"tape primer", "primer for tape", "flashing primer"}},
}
