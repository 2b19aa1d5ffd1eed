package sheet

import (
	"regexp"
	"slices"
	"strings"

	"sillwright/estimate"
)

// Words in the column Kind that are asked back, and things that schedules list
// and that are no openings of this work.

// byHand is what to do with what is not estimated.
const byHand = "delete the row and price it by hand, under Other costs"

// kindsAsked are words for openings that fit several kinds.
var kindsAsked = []struct {
	Asked
	operation estimate.Operation // what they say all the same
}{
	{Asked{Doubt{May: "an entry door, a patio door or an overhead door", Usual: "entry door"}, []string{"door", "exterior", "exterior door",
		"external door", "ext door", "ext dr",
		"dr", "d", "ed", "pass door", "single door"}}, ""},
	{Asked{Doubt{May: "an entry door, a patio door or an overhead door", Usual: "patio door"}, []string{"glass door"}}, ""},
	{Asked{Doubt{May: "a patio door, or a maker's code", Usual: "patio door"}, []string{"pd"}}, ""},
	{Asked{Doubt{May: "an overhead door, or a glass door", Usual: "overhead door"}, []string{"gd", "od"}}, ""},
	{Asked{Doubt{May: "a carriage house door that swings, or an overhead door that looks like one", Usual: "overhead door"}, []string{"carriage door",
		"carriage house door"}}, ""},
	{Asked{Doubt{May: "an entry door with sidelites, or a window beside a door", Usual: "entry door"}, []string{"door with sidelites", "door with 2 sidelites",
		"door with sidelights", "door with 2 sidelights", "door w/ 2 sidelights", "door w/ 2 sidelites", "door w/ sidelites",
		"door w/ sidelights"}}, estimate.Sidelites},
	{Asked{Doubt{May: "a window, or its mark", Usual: "window"}, []string{"w"}}, ""},
	{Asked{Doubt{May: "a steel entry door or an overhead door", Usual: "entry door"}, []string{"steel", "steel door"}}, ""},
	{Asked{Doubt{May: "a fiberglass entry door or a window", Usual: "entry door"}, []string{"fiberglass"}}, ""},
	{Asked{Doubt{May: "an entry door or a patio door", Usual: "entry door"}, []string{"prehung", "prehung door", "swing door", "swinging door",
		"hinged door"}}, ""},
	{Asked{Doubt{May: "a hinged pair set as an entry door or as a patio door", Usual: "patio door"}, []string{"french door", "french"}}, estimate.Pair},
	{Asked{Doubt{May: "a hinged pair set as an entry door or as a patio door", Usual: "entry door"}, []string{"double door", "dbl door", "pair", "double",
		"dbl"}},
		estimate.Pair},
	{Asked{Doubt{May: "a French door or a fire door", Do: "write patio door or entry door; an interior fire door is not estimated: delete its row"},
		[]string{"fd"}}, ""},
	{Asked{Doubt{May: "a folding patio door, or a closet door, which is not estimated",
		Do: "write patio door where it stands in an outside wall, else delete the row"},
		[]string{"folding door"}}, ""},
	{Asked{Doubt{Is: "a door without a frame", Do: "write entry door where its frame comes with it; else " + byHand}, []string{"slab door"}}, ""},
	{Asked{Doubt{Is: "several units", Several: true, Do: "write one kind, the number of joined units in Mulled units and their widths in Unit widths"},
		[]string{"mulled unit"}}, ""},
	{Asked{Doubt{May: "a pair of casements or a French door", Do: "write window with Operation casement, or patio door"}, []string{"french window"}}, ""},
	{Asked{Doubt{May: "an exterior door, or one inside the house, which is not estimated", Do: "write entry door where it stands in an outside wall, else delete the row"},
		[]string{"fire door", "20 min door", "20 minute door", "prehung 20 min", "garage pass", "security door"}}, ""},
	{Asked{Doubt{May: "part of an entry door, whose frame holds it, or a window beside it", Usual: "entry door"}, []string{"sidelite", "sidelight"}}, ""},
	{Asked{Doubt{May: "a window over a door, or part of an entry door whose frame holds it", Usual: "window"}, []string{"transom"}}, ""},
	{Asked{Doubt{May: "a sash alone, which has no flange and no opening, or a whole window", Do: "write window where the frame comes with it; else " + byHand},
		[]string{"sash", "sash window"}}, ""},
	{Asked{Doubt{May: "a window of glass slats, whose operation is none of ours", Usual: "window"}, []string{"jalousie"}}, ""},
	{Asked{Doubt{May: "a window or a door"}, []string{"opening", "unit", "single"}}, ""},
	{Asked{Doubt{Is: "not settled", Do: "write " + OneOf(estimate.Kinds) + " when it is known; until then the row is not estimated"}, unsettled}, ""},
}

// oldFrame is what a replacement unit may be, and oldFrames the words for it.
var (
	oldFrame = Doubt{May: "a unit set in an old frame, which is not estimated, or a new one in an open wall",
		Do: "write the kind where the old frame comes out; else " + byHand}
	oldFrames = []string{"replacement", "insert", "retrofit", "existing", "exist", "repl", "pocket window"}
)

// notEstimated are things that are listed with openings and are none of this
// work, by reason. Alone says that a word means it only where nothing else
// stands.
var notEstimated = []struct {
	reason       string
	words, alone []string
}{
	{"roof window", []string{"skylight", "skylights", "roof window", "roof windows", "rooflight", "roof light", "roof hatch", "sun tunnel", "light tube",
		"solar tube", "lucarne"}, nil},
	{"air opening", []string{"cased opening", "cased opg", "air opening", "opening only", "archway", "pass through", "no door"}, []string{"c o", "co"}},
	{"partition", []string{"partition", "partitions", "toilet compartment", "cubicle"}, nil},
	{"curtain wall", []string{"curtain wall", "curtain panel", "curtain wall panel", "storefront"}, nil},
	{"glass block, which is masonry", []string{"glass block", "glass blocks"}, nil},
	{"storm or screen unit", []string{"storm door", "storm doors", "storm window", "storm windows", "screen door", "screen doors", "window screen", "fly screen",
		"flyscreen", "insect screen"}, []string{"storm", "screen"}},
	{"vent, well, hatch or pet door", []string{"window well", "egress well", "gable vent", "attic vent", "soffit vent", "foundation vent", "dryer vent",
		"crawl vent", "louver",
		"louvers", "louvre", "access hatch", "access door", "access panel", "attic access", "attic hatch", "attic stair", "pull down stair", "pull down stairs",
		"crawl space door", "crawlspace door", "crawl access", "crawl space access", "bulkhead", "bulkhead door", "cellar door", "pet door", "dog door", "cat door",
		"scuttle"}, []string{"vent", "hatch", "well"}},
	{"fitting, not an opening", []string{"blind", "blinds", "shade", "shades", "window treatment", "shutter", "shutters", "door hardware", "lockset",
		"door closer", "door slab", "threshold"}, []string{"thresh", "hardware"}},
}

// InsideDoors are doors that stand inside the house, by their make.
var InsideDoors = []string{"closet", "bifold", "bifolds", "bi fold", "bi fold door", "pocket door", "bypass", "by pass", "barn door", "passage door",
	"privacy door"}

// interiorDoors are those, and what says so in the column Kind.
var interiorDoors = append([]string{"interior", "int door", "closet door", "robe door", "vestibule door"}, InsideDoors...)

// NotEstimated returns why what a text names is none of this work, "" when it
// is not known to be. What stands behind "with" belongs to something else.
func NotEstimated(text string) string {
	list := spacedWords(text)
	if i := slices.IndexFunc(list, func(w string) bool { return w == "w" || w == "with" }); i > 0 {
		list = list[:i]
	}
	in := strings.Join(list, " ")
	for _, n := range notEstimated {
		if slices.Contains(n.alone, in) || slices.ContainsFunc(n.words, func(p string) bool { return strings.Contains(" "+in+" ", " "+p+" ") }) {
			return n.reason
		}
	}
	return ""
}

// mulls are words that say that units are joined.
var mulls = []string{"twin", "triple", "quad", "mulled", "mull", "joined", "ganged", "double", "pair", "2", "3", "4", "two", "three"}

// betweenUnits parts the names of units that share an opening.
var betweenUnits = regexp.MustCompile(`(?i)\s+(?:and|over|with|w/?)\s+|\s*[/&+,]\s*`)

// kindDoubt returns why a text that is no word for an opening is not taken, by
// the words in it; nil when none of them is known.
func kindDoubt(text string, list []string) *Doubt {
	in := " " + strings.Join(list, " ") + " "
	has := func(phrases []string) bool {
		return slices.ContainsFunc(phrases, func(p string) bool { return strings.Contains(in, " "+p+" ") })
	}
	if reason := NotEstimated(text); reason != "" {
		return &Doubt{Is: "not estimated: " + reason, Do: byHand}
	}
	if estimate.ShapeOfType(text) != "" {
		return &Doubt{Is: "a shape, which has a column of its own", Do: "write window, and its shape under Shape"}
	}
	switch {
	case has(oldFrames):
		return &oldFrame
	case has(interiorDoors) || slices.Contains([]string{"pocket", "robe"}, strings.TrimSpace(in)):
		return &Doubt{Is: "not estimated: interior door", Inside: true, Do: "delete the row; write entry door only where it stands in an outside wall"}
	case mulled(text, list):
		return &Doubt{Is: "several units", Several: true, Do: "write one kind, the number of joined units in Mulled units and their widths in Unit widths; " +
			"units with openings of their own are rows of their own, or the Qty"}
	}
	return nil
}

// mulled reports whether a text names several units in one opening.
func mulled(text string, list []string) bool {
	known := func(s string) bool {
		k, ok := kindWords[WordKey(s)]
		_, isOperation := operations.Find(s)
		return ok && (k.Doubt == nil || k.Doubt.Usual != "") || isOperation
	}
	rest := without(list, mulls)
	if len(rest) < len(list) && (len(rest) == 0 || known(strings.Join(rest, " "))) {
		return true
	}
	parts := betweenUnits.Split(text, -1)
	return len(parts) > 1 && !slices.ContainsFunc(parts, func(p string) bool { return !known(p) })
}
