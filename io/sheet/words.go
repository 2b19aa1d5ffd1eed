package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The words of the trade, for all who read schedules: what people write for the
// words of the closed columns. A usual word that fits two of them is asked
// back, never guessed.

// openingWords are what people write for a kind of opening, and for how it
// opens. Alone says that they mean it only where nothing else is written: in a
// longer text they may belong to something else.
var openingWords = []struct {
	kind      estimate.Kind
	operation estimate.Operation
	words     []string
	alone     []string
}{
	{estimate.Window, "", []string{"window", "wdw", "win", "sash", "egress window", "basement window", "garden window", "replacement window"},
		[]string{"window unit", "win unit", "wndw", "egress", "fenestration", "new construction window"}},
	{estimate.Window, estimate.Fixed, []string{"fixed window", "fixed lite", "fixed sash", "direct set"},
		[]string{"fixed", "fixed light", "fixed glass", "stationary", "inoperable", "nonoperable", "fx"}},
	{estimate.Window, estimate.Picture, []string{"picture window"}, []string{"picture", "pic window", "pw"}},
	{estimate.Window, estimate.Casement, []string{"casement", "csmt"}, []string{"cas", "csm", "french casement", "push out casement", "crank out"}},
	{estimate.Window, estimate.Awning, []string{"awning"}, []string{"awn", "awng", "push out awning"}},
	{estimate.Window, estimate.Hopper, []string{"hopper"}, []string{"hpr", "basement hopper"}},
	{estimate.Window, estimate.TiltTurn, []string{"tilt turn", "tilt and turn"}, []string{"t and t"}},
	{estimate.Window, estimate.SingleHung, []string{"single hung"}, []string{"sh", "1 hung", "single hung sash"}},
	{estimate.Window, estimate.DoubleHung, []string{"double hung"}, []string{"dh", "2 hung", "dbl hung"}},
	{estimate.Window, estimate.Slider, []string{"glider", "horizontal slider", "sliding window", "gliding window", "slider window"},
		[]string{"single slider", "double slider", "horizontal sliding", "hs", "end vent slider"}},
	{estimate.Window, estimate.Bay, []string{"bay window"}, []string{"bay", "box bay"}},
	{estimate.Window, estimate.Bow, []string{"bow window"}, []string{"bow"}},
	{estimate.Window, estimate.Transom, []string{"transom window"}, nil},

	{estimate.OverheadDoor, "", []string{"overhead door", "overhead", "ohd", "garage door", "sectional door", "roll up door", "rolling door"},
		[]string{"garage", "sectional", "roll up", "coiling door", "overhead garage door", "sectional garage door", "oh door", "shop overhead door"}},
	{estimate.PatioDoor, "", []string{"patio door", "deck door"}, []string{"patio", "hinged patio door"}},
	{estimate.PatioDoor, estimate.Slider, []string{"sliding door", "sliding glass door", "sliding patio door", "sgd", "slider door"},
		[]string{"patio slider", "gliding door", "gliding patio door", "glass slider", "spd", "sliding glass", "multi slide door", "sliding patio"}},
	{estimate.PatioDoor, estimate.Pair, []string{"french patio door"}, []string{"hinged pair patio door"}},
	{estimate.EntryDoor, "", []string{"entry", "entry door", "entrance", "entrance door", "front door", "back door", "service door", "man door"},
		[]string{"side door", "rear door", "walk door", "utility door", "personnel door", "prehung exterior door", "exterior prehung door", "main door",
			"prehung entry door", "dutch door", "single entry door", "front entry", "back entry", "mudroom door"}},
	{estimate.EntryDoor, estimate.Pair, []string{"double entry door"}, []string{"entry pair", "pair of entry doors", "double front door"}},
	{estimate.EntryDoor, estimate.Sidelites, nil, []string{"front door and sidelites", "entry and sidelites", "entry door and 2 sidelites"}},
}

// doorDoubts are words for doors that do not say which.
const (
	anyDoor    = "an entry door, a patio door or an overhead door"
	hingedDoor = "a hinged pair set as an entry door or as a patio door"
)

var kindDoubts = map[string]Doubt{
	"door": {anyDoor, "entry door"}, "exterior door": {anyDoor, "entry door"}, "ext door": {anyDoor, "entry door"}, "glass door": {anyDoor, "patio door"},
	"steel": {"a steel entry door or an overhead door", "entry door"}, "steel door": {"a steel entry door or an overhead door", "entry door"},
	"fiberglass": {"a fiberglass entry door or a window", "entry door"}, "prehung": {"an entry door or a patio door", "entry door"},
	"prehung door": {"an entry door or a patio door", "entry door"}, "swing door": {"an entry door or a patio door", "entry door"},
	"swinging door": {"an entry door or a patio door", "entry door"}, "hinged door": {"an entry door or a patio door", "entry door"},
	"french door": {hingedDoor, "patio door"}, "french": {hingedDoor, "patio door"}, "double door": {hingedDoor, "entry door"}, "pair": {hingedDoor, "entry door"},
	"sidelite":    {"part of an entry door, whose frame holds it, or a window beside it", "entry door"},
	"sidelight":   {"part of an entry door, whose frame holds it, or a window beside it", "entry door"},
	"transom":     {"a window over a door, or part of an entry door whose frame holds it", "window"},
	"retrofit":    {"a window or a patio door set in an old frame: the kind stands here, the fin under Flange", "window"},
	"insert":      {"a window or a patio door set in an old frame: the kind stands here, the fin under Flange", "window"},
	"skylight":    {"none of these: openings in a roof are not estimated", ""},
	"glass block": {"none of these: a unit in a frame is estimated, not masonry", ""},
}

// sliders are doors and windows alike; their size says which (SliderKind).
var sliders = []string{"slider", "sliding", "sliding unit", "vinyl slider", "xo", "ox", "oxo", "xox", "oxxo", "2 panel slider", "3 panel slider"}

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
}

// kindWords are all words for openings, by key.
var kindWords = makeKindWords()

func makeKindWords() map[string]KindWord {
	out := map[string]KindWord{}
	put := func(word string, k KindWord) {
		if _, taken := out[WordKey(word)]; !taken {
			out[WordKey(word)] = k
		}
	}
	for _, k := range estimate.Kinds {
		put(k, KindWord{Kind: estimate.Kind(k)})
	}
	for _, o := range openingWords {
		for _, w := range slices.Concat(o.words, o.alone) {
			put(w, KindWord{Kind: o.kind, Operation: o.operation})
		}
	}
	for word, d := range kindDoubts {
		doubt := KindWord{Doubt: &d}
		if strings.Contains(word, "french") || word == "double door" || word == "pair" {
			doubt.Operation = estimate.Pair
		}
		put(word, doubt)
	}
	for _, w := range sliders {
		put(w, KindWord{Operation: estimate.Slider, Slider: true})
	}
	for _, o := range openingWords {
		for _, w := range slices.Concat(o.words, o.alone) {
			switch {
			case o.kind == estimate.Window && o.operation != "":
				put(w+" window", KindWord{Kind: o.kind, Operation: o.operation})
				put("window "+w, KindWord{Kind: o.kind, Operation: o.operation})
			case o.kind.Walked():
				for op, parts := range withDoors {
					for _, p := range parts {
						for _, form := range []string{w + " with " + p, w + " w " + p, w + " " + p, p + " " + w, w + " with 2 " + p, w + " with 1 " + p, w + " with two " + p} {
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
	var rest []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !slices.Contains(fillers, WordKey(w)) {
			rest = append(rest, w)
		}
	}
	k, ok := kindWords[WordKey(strings.Join(rest, " "))]
	return k, ok && len(rest) > 0
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
		if o.operation != estimate.Bay && o.operation != estimate.Bow { // bay 2 is a place
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

// leastDoorHeight is the height from which a sliding unit is a door: people
// walk through it. mostDoorSill is the sill height up to which it can be one.
//
// Source: common practice
const (
	leastDoorHeight = 72 * measure.Inch
	mostDoorSill    = 8 * measure.Inch
)

// SliderKind returns whether a sliding unit is a window or a patio door, by its
// height and, where it is known, that of its sill above the floor; false when
// they speak against each other or nothing is known.
func SliderKind(height measure.Length, sill estimate.Maybe[measure.Length]) (estimate.Kind, bool) {
	tall, low := height >= leastDoorHeight, !sill.Set || sill.V <= mostDoorSill
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

// Operation returns a word for how a unit opens as we write it; what is not
// known, as it is written.
func Operation(text string) estimate.Operation {
	if op, ok := operations.Find(text); ok {
		return estimate.Operation(op)
	}
	for _, kind := range []estimate.Kind{estimate.Window, estimate.PatioDoor, estimate.EntryDoor} {
		if op := OperationIn(text, kind); op != "" {
			return op
		}
	}
	return estimate.Operation(strings.TrimSpace(text))
}

var operations = NewVocabulary(estimate.Operations, map[estimate.Operation][]string{
	estimate.Fixed:     {"stationary", "fixed lite", "nonoperable", "fx", "o"},
	estimate.Slider:    {"sliding", "gliding", "glider", "horizontal slider", "xo", "ox", "oxo", "xox", "oxxo"},
	estimate.Sidelites: {"sidelite", "sidelight"},
	estimate.Pair:      {"double", "double door", "french", "hinged pair"},
	estimate.TiltTurn:  {"tilt and turn"},
}, nil)

// Words of the other closed columns.
var (
	SitsOn = NewVocabulary(estimate.SitsOnWords, map[estimate.SitsOn][]string{
		estimate.OnSlab: {"concrete", "concrete slab", "slab on grade", "sog", "conc", "stem wall slab"},
		estimate.OnWood: {"wood floor", "wood frame", "wood sill", "framing", "subfloor", "lumber", "wood framing", "stud", "deck", "plywood", "rough sill",
			"wood buck"},
		estimate.OnMasonry: {"brick", "block", "cmu", "stone", "concrete block", "masonry wall"},
	}, map[string]Doubt{
		"floor": {"wood or slab", "wood"}, "steel": {"wood (a buck on the steel) or masonry", "wood"}, "metal stud": {"wood (a buck on the steel) or masonry",
			"wood"},
		"foundation": {"slab or masonry", "masonry"},
	})
	Flange = NewVocabulary(estimate.FlangeWords, map[estimate.Flange][]string{
		estimate.FlangeNone: {"no", "without", "no flange", "flangeless", "block frame", "finless", "no fin", "box frame", "clip mount", "strap"},
		estimate.FlangeIntegral: {"integral flange", "fin", "nail fin", "nailing fin", "nail flange", "nailing flange", "mounting flange", "new construction",
			"integral fin", "nail on", "nc"},
		estimate.FlangeApplied: {"attached nailed", "applied fin", "applied flange", "non integral", "nonintegral", "snap in fin", "attached nail fin",
			"applied nail fin"},
		estimate.FlangeLocatingOnly: {"attached locating", "locating", "locating only", "applied locating", "locating flange"},
		estimate.FlangeBrickmould:   {"casing", "brick mold", "outside casing", "exterior casing", "bm", "with brickmold", "factory casing"},
	}, map[string]Doubt{
		"yes": {"integral or applied", "integral"}, "nailed": {"integral or applied", "integral"}, "flange": {"integral or applied", "integral"},
		"attached":    {"applied, or applied for locating only", "applied"},
		"retrofit":    {"none (a replacement unit set in the old frame) or applied (a flush fin over it)", "none"},
		"replacement": {"none (a replacement unit set in the old frame) or applied (a flush fin over it)", "none"},
		"flush fin":   {"none (a replacement unit set in the old frame) or applied (a flush fin over it)", "applied"},
		"insert":      {"none (a replacement unit set in the old frame) or applied (a flush fin over it)", "none"},
	})
	FurnishedBy = NewVocabulary(estimate.SuppliedByWords, map[estimate.SuppliedBy][]string{
		estimate.ByBuilder: {"us", "by us", "we", "contractor", "by contractor", "by builder", "cfci", "contractor furnished", "in our scope"},
		estimate.ByOwner: {"by owner", "ofci", "ofoi", "owner supplied", "owner furnished", "client", "customer", "homeowner", "home owner", "by client",
			"by homeowner"},
		estimate.ByInstaller: {"by installer", "sub", "subcontractor", "by sub", "door company", "garage door company", "supply and install"},
	}, map[string]Doubt{
		"gc":                 {"builder (bought in this price) or owner (somebody else buys it)", "builder"},
		"by gc":              {"builder (bought in this price) or owner (somebody else buys it)", "builder"},
		"general contractor": {"builder (bought in this price) or owner (somebody else buys it)", "builder"},
		"others":             {"owner (not in the price) or installer (priced installed)", "owner"},
		"by others":          {"owner (not in the price) or installer (priced installed)", "owner"},
		"nic":                {"owner (not in the price) or installer (priced installed)", "owner"},
		"supplier":           {"builder (bought in this price) or installer (priced installed)", "builder"},
		"dealer":             {"builder (bought in this price) or installer (priced installed)", "builder"},
	})
	SillPan = NewVocabulary(estimate.PanWords, map[estimate.Pan][]string{
		estimate.PanNone: {"no", "no pan"},
		estimate.PanMetal: {"formed", "bent", "sheet metal", "formed pan", "metal pan", "steel", "stainless", "copper", "galvanized", "aluminum", "site bent",
			"brake metal", "coil stock"},
		estimate.PanFlexible: {"strip", "tape", "flashing tape", "peel and stick", "flex", "flexible pan", "self adhered", "membrane", "saf", "flexible flashing"},
		estimate.PanRigid:    {"rigid pan", "pvc", "plastic", "three piece", "3 piece", "pvc pan", "plastic pan", "abs", "vinyl"},
	}, map[string]Doubt{
		"yes": {"rigid, metal or flexible", "rigid"}, "pan": {"rigid, metal or flexible", "rigid"}, "sill pan": {"rigid, metal or flexible", "rigid"},
		"flashing": {"metal or flexible", "flexible"},
		"liquid":   {"none of these: fluid-applied pans are not estimated", ""}, "fluid applied": {"none of these: fluid-applied pans are not estimated", ""},
		"liquid applied": {"none of these: fluid-applied pans are not estimated", ""},
	})
	WRB = NewVocabulary([]string{string(estimate.FaceWrap), string(estimate.FaceFaced), string(estimate.FaceFluid)}, map[estimate.Face][]string{
		estimate.FaceWrap: {"wrap", "house wrap", "building paper", "felt", "tar paper", "felt paper", "15 lb felt", "30 lb felt", "building wrap", "paper",
			"grade d paper"},
		estimate.FaceFaced: {"faced", "faced sheathing", "coated", "coated sheathing", "integral sheathing", "sheathing with wrb", "taped sheathing"},
		estimate.FaceFluid: {"liquid", "liquid applied", "fluid", "sprayed", "roll on", "painted on"},
	}, nil)
	Status = NewVocabulary(estimate.StatusWords, map[estimate.Status][]string{
		estimate.StatusOrdered:   {"on order"},
		estimate.StatusDelivered: {"received", "on site", "rec'd", "arrived", "in yard"},
		estimate.StatusCut:       {"trim cut"},
		estimate.StatusHung:      {"trim hung"},
	}, map[string]Doubt{
		"installed": {"set (the unit) or hung (its trim)", "set"}, "done": {"set (the unit) or hung (its trim)", "hung"},
	})
	ReadAt = NewVocabulary(estimate.ReadAtWords, map[estimate.ReadAt][]string{
		estimate.ReadAtFrame: {"unit"}, estimate.ReadAtOpening: {"ro", "rough opening", "framed opening", "r o"},
	}, nil)
	HighEnd = NewVocabulary(estimate.HighEndWords, map[estimate.HighEnd][]string{
		estimate.HighLeft: {"l", "lh", "lhs"}, estimate.HighRight: {"r", "rh", "rhs"}, estimate.HighNeither: {"flat", "even"},
	}, nil)
)

// Class is the words of the column class of items.
var Class = NewVocabulary(estimate.Classes, map[string][]string{
	estimate.ClassTape: {"strip", "flashing tape"}, estimate.ClassBoards: {"lumber", "trim"}, estimate.ClassFastening: {"fastener", "nails", "screws"},
	estimate.ClassShims: {"shims", "foam"}, estimate.ClassSealant: {"caulk"}, estimate.ClassFinish: {"paint"},
}, nil)

// TrimLayout returns the words of the column Trim.
func TrimLayout(layouts estimate.Layouts) Vocabulary {
	return NewVocabulary(append(layouts.Names(), estimate.NoTrim), map[string][]string{
		estimate.NoTrim:   {"no", "no trim", "no casing", "untrimmed"},
		"three sided":     {"3 sided", "3 side", "three side", "door casing"},
		"mitered":         {"mitred", "miter", "picture frame", "picture framed", "mitered corners", "45"},
		"head over legs":  {"head over leg", "butt", "butted", "head on legs", "craftsman"},
		"sill with horns": {"horned sill", "sill and horns", "stool", "sill horns"},
	}, nil)
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

// storyWords are words for the number of a story.
var storyWords = map[string]int64{
	"ground": 1, "main": 1, "first": 1, "one": 1, "second": 2, "upper": 2, "two": 2, "third": 3, "three": 3, "fourth": 4, "four": 4, "basement": 0, "cellar": 0,
}

// StoryWord returns the number of the story that a word names, in lower case.
func StoryWord(w string) (int64, bool) {
	n, ok := storyWords[w]
	return n, ok
}

// Story returns the number of a story that a text of words names.
func Story(text string) (int64, bool) {
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == '-' || r == '_' || r == '.' }) {
		if n, ok := storyWords[w]; ok {
			return n, true
		}
		w = strings.TrimPrefix(strings.TrimPrefix(w, "level"), "l")
		for _, ending := range []string{"st", "nd", "rd", "th", "f"} {
			w = strings.TrimSuffix(w, ending)
		}
		if n, err := strconv.ParseInt(w, 10, 16); err == nil && n >= 0 && n <= 200 {
			return n, true
		}
	}
	return 0, false
}
