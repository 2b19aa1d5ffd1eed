package sheet

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"sillwright/estimate"
)

// What a blank cell means, where people write that they do not know yet.
const (
	byDefault  = "the default on Job holds"
	notOrdered = "blank is not ordered yet, and trim stays on hold"
)

// boardsOnJob is what to do with a board where a layout belongs.
const boardsOnJob = "leave it blank, and choose the boards on Job: head casing, leg casing, bottom casing"

// What people write for who furnishes a thing: we, or the owner.
var (
	oursWords = []string{"us", "by us", "we", "me", "self", "ours", "contractor", "by contractor", "by builder", "cfci", "contractor furnished", "in our scope",
		"builder supplied", "builder furnished", "crew", "by crew"}
	ownersWords = []string{"by owner", "ofci", "owner supplied", "owner furnished", "client", "customer", "homeowner", "home owner", "by client",
		"by homeowner", "ho", "h/o", "by ho", "supplied by owner", "furnished by owner"}
)

// Words of the closed columns but Kind.
var (
	SitsOn = NewVocabulary(estimate.SitsOnWords, map[estimate.SitsOn][]string{
		estimate.OnSlab: {"concrete", "concrete slab", "slab on grade", "sog", "conc", "stem wall slab", "garage slab", "slab edge", "conc slab", "concrete floor",
			"slab floor", "garage floor"},
		estimate.OnWood: {"wood floor", "wood frame", "wood sill", "framing", "subfloor", "lumber", "wood framing", "stud", "deck", "plywood", "rough sill",
			"wood buck", "buck", "treated buck", "pt buck", "osb", "joist", "floor joist", "2x4", "2x6", "2x sill", "2x", "sill plate", "mud sill", "stud wall",
			"lvl", "wd", "log", "log wall", "wood stud", "ply", "pt", "pt plate", "treated", "treated plate", "pony wall", "frame", "framed",
			"pressure treated"},
		estimate.OnMasonry: {"brick", "block", "cmu", "stone", "concrete block", "masonry wall", "cinder block", "adobe", "brick wall", "block wall"},
	}, []Asked{
		{Doubt{May: "wood or slab", Usual: "wood"}, []string{"floor", "finished floor", "ff", "tile", "gypcrete", "porch"}},
		{Doubt{May: "wood (a buck on the steel) or masonry", Usual: "wood"}, []string{"steel", "metal stud", "steel stud", "metal framing"}},
		{Doubt{May: "wood (a buck in the wall) or masonry", Usual: "wood"}, []string{"icf", "aac"}},
		{Doubt{May: "wood (a plate or a buck in the panel) or slab", Usual: "wood"}, []string{"sip", "sips"}},
		{Doubt{May: "slab or masonry", Usual: "masonry"}, []string{"foundation", "foundation wall", "fdn", "stem wall", "poured wall", "poured concrete", "footing",
			"concrete wall"}},
		{Doubt{Is: "on a roof, and openings in a roof are not estimated", Do: "delete the row and price it by hand, under Other costs"}, []string{"curb",
			"roof curb", "roof", "roof deck"}},
		{Doubt{Is: "no wall and no floor", Do: "write wood, slab or masonry; the pan stands under Sill pan"}, []string{"pan", "sill pan", "ground", "gravel"}},
	}).whenBlank(byDefault)
	Flange = NewVocabulary(estimate.FlangeWords, map[estimate.Flange][]string{
		estimate.FlangeNone: {"no", "n", "without", "no flange", "flangeless", "block frame", "finless", "no fin", "w/o fin", "without fin", "box frame",
			"clip mount", "strap", "clips", "clip", "masonry clips", "install clips", "strap anchors", "straps", "through jamb screws", "screw through jamb",
			"frame only", "w/o brickmould", "without brickmould", "no brickmould", "no bm", "less brickmould", "bare jamb", "jamb only", "bare frame"},
		estimate.FlangeIntegral: {"integral flange", "fin", "nail fin", "nailing fin", "nail flange", "nailing flange", "mounting flange", "new construction",
			"integral fin", "nail on", "nc", "nf", "new const", "integral nail fin", "w/ fin", "with fin", "w/ nail fin", "with nail fin",
			"w/ nailing fin", "vinyl fin", "vinyl nail fin", "welded", "welded fin"},
		estimate.FlangeApplied: {"attached nailed", "applied fin", "applied flange", "non integral", "nonintegral", "snap in fin", "attached nail fin",
			"applied nail fin", "screw on fin", "kerf fin", "add on fin", "add on flange"},
		estimate.FlangeLocatingOnly: {"attached locating", "locating", "locating only", "applied locating", "locating flange"},
		estimate.FlangeBrickmould: {"casing", "brick mold", "outside casing", "exterior casing", "bm", "with brickmold", "factory casing", "brickmould 2",
			"2 brickmould", "w/ bm", "w/ brickmould"},
	}, []Asked{
		{Doubt{May: "integral or applied", Usual: "integral"}, []string{"yes", "y", "x", "nailed", "flange", "flanged", "finned", "fin type", "t fin",
			"folding fin",
			"setback fin", "setback", "1-3/8 setback", "j channel", "integral j", "nf w/ j", "stucco fin", "stucco flange", "equal leg", "self flashing"}},
		{Doubt{May: "applied, or applied for locating only", Usual: "applied"}, []string{"attached"}},
		{Doubt{May: "none (a frame without a fin) or integral", Usual: "none"}, []string{"block", "stucco", "vinyl"}},
		{Doubt{May: "a unit set in an old frame, which is not estimated, or the fin of a new one",
			Do: "write integral, applied or none for a new unit in an open wall; else delete the row and price it by hand, under Other costs"},
			[]string{"retrofit", "retro", "retro fin", "replacement", "flush fin", "flush flange", "insert", "pocket insert", "pocket", "z bar"}},
		{Doubt{Is: "factory casing, or boards", Do: "write brickmould for casing of the factory; boards stand under Trim"}, []string{"flat casing", "4 flat casing",
			"4 in flat casing"}},
		{Doubt{Is: "no flange", Do: "write integral, applied, brickmould or none; drip caps follow from Trim, pans stand under Sill pan"},
			[]string{"drip cap", "sub sill", "subsill"}},
		{Doubt{Is: "no flange of its own", Do: "leave it blank: " + byDefault}, []string{"std", "standard", "typ", "typical"}},
	}).whenBlank(byDefault).orNone(byDefault)
	FurnishedBy = NewVocabulary(estimate.FurnishedByWords, map[estimate.FurnishedBy][]string{
		estimate.ByBuilder: oursWords,
		estimate.ByOwner:   ownersWords,
		estimate.ByInstaller: {"by installer", "sub", "subcontractor", "by sub", "supply and install", "installer furnished", "installer supplied",
			"furnish and install", "f&i",
			"door sub", "window sub", "garage door sub"},
	}, []Asked{
		{Doubt{May: "builder (you are the GC and buy it, in this price) or owner (somebody else buys it, not in this price)", Usual: "owner"}, []string{"gc", "by gc", "general contractor", "general",
			"developer", "carpenter"}},
		{Doubt{May: "owner (not in the price) or installer (priced installed)", Usual: "owner"}, []string{"others", "by others", "nic", "not in contract"}},
		{Doubt{May: "builder (they sell it, we set it) or installer (they set it too)", Usual: "installer"}, []string{"door company", "garage door company",
			"door co",
			"garage door co", "window co", "window company"}},
		{Doubt{May: "bought and set by the owner, so that nothing of it is ours", Do: "delete the row; write owner if you close it in"}, []string{"ofoi",
			"owner furnished owner installed", "by owner complete"}},
		{Doubt{May: "owner (not in the price) or builder", Do: "write owner if they buy the units, else builder"}, []string{"landlord", "architect", "ofi"}},
		{Doubt{Is: "an amount, and not who buys", Do: "write builder, with the amount as Unit cost"}, []string{"allowance", "allow"}},
		{Doubt{May: "an existing unit", Do: "write owner if it is, else builder or installer"}, []string{"e"}},
		{Doubt{Is: "no name of who buys", Do: "write builder, owner or installer"}, []string{"yes", "no", "y", "n"}},
	}).whenBlank("blank is builder, and the unit cost belongs in the price").
		taken("owner", "a unit that is there already; it is not in the price", "existing", "exist", "reuse", "reused", "salvage", "salvaged", "relocated",
			"relocate").
		taken("builder", "who sells it, so its unit cost is in the price", "supplier", "dealer", "lumber yard", "lumberyard", "yard", "vendor", "manufacturer")
	// BroughtBy reads who furnishes a material.
	BroughtBy = NewVocabulary(estimate.BroughtByWords, map[estimate.FurnishedBy][]string{estimate.ByBuilder: oursWords, estimate.ByOwner: ownersWords}, []Asked{
		{Doubt{May: "builder (you buy it) or owner (he brings it)", Do: "write owner if none of it is yours to buy, else leave it blank"},
			[]string{"installer", "by installer", "sub", "by sub", "gc", "by gc", "others", "by others", "nic", "landlord", "architect"}},
		{Doubt{Is: "no name of who buys", Do: "write builder or owner"}, []string{"yes", "no", "y", "n"}},
	}).whenBlank("blank is builder")
	SillPan = NewVocabulary(estimate.PanWords, map[estimate.Pan][]string{
		estimate.PanNone: {"no", "n", "no pan"},
		estimate.PanMetal: {"formed", "bent", "sheet metal", "formed pan", "metal pan", "steel", "stainless", "copper", "galvanized", "galv", "aluminum", "alum",
			"site bent", "brake metal", "break metal", "coil stock", "lead", "bent metal", "ss", "stainless steel"},
		estimate.PanFlexible: {"strip", "tape", "flashing tape", "peel and stick", "p&s", "flex", "flex tape", "stretch tape", "butyl", "butyl tape",
			"flexible pan", "self adhered", "membrane", "saf", "flexible flashing", "ice and water", "epdm", "stretchy tape"},
		estimate.PanRigid: {"rigid pan", "pvc", "plastic", "three piece", "3 piece", "pvc pan", "plastic pan", "abs", "vinyl", "3 pc"},
		estimate.PanFluid: {"liquid", "fluid", "liquid applied", "liquid flash", "liquid flashing", "fluid flashing", "liquid pan", "fluid pan",
			"painted on", "roll on"},
	}, []Asked{
		{Doubt{May: "rigid, metal or flexible", Usual: "rigid"}, []string{"yes", "y", "x", "pan", "sill pan", "site built", "w/ end dams", "with end dams"}},
		{Doubt{May: "rigid (a pan of the factory) or metal (bent)", Usual: "rigid"}, []string{"preformed", "prefab", "prefabricated"}},
		{Doubt{May: "metal or flexible", Usual: "flexible"}, []string{"flashing", "dpc", "damp course"}},
		{Doubt{May: "none (somebody else makes the pan)", Do: "write none if it is not your work, else rigid, metal or flexible"}, []string{"by others", "w/ unit",
			"with unit", "subsill", "sub sill"}},
		{Doubt{Is: "part of a sill, and no pan", Do: "write the pan that lies on it: rigid, metal, flexible or none"}, []string{"sloped sill", "back dam",
			"bevel siding", "caulk", "sealant", "sloped", "wood", "existing"}},
	}).whenBlank(byDefault).orNone(byDefault)
	WRB = NewVocabulary([]string{string(estimate.WRBHousewrap), string(estimate.WRBIntegral), string(estimate.WRBFluid)}, map[estimate.WRB][]string{
		estimate.WRBHousewrap: {"wrap", "house wrap", "building paper", "felt", "tar paper", "felt paper", "15 lb felt", "30 lb felt", "building wrap", "paper",
			"grade d paper", "grade d", "15 felt", "30 felt", "kraft paper"},
		estimate.WRBIntegral: {"faced", "faced sheathing", "coated", "coated sheathing", "integral sheathing", "sheathing with wrb", "taped sheathing",
			"peel and stick", "self adhered"},
		estimate.WRBFluid: {"liquid", "liquid applied", "fluid", "sprayed", "roll on", "painted on"},
	}, []Asked{
		{Doubt{Is: "insulation, and no barrier by itself", Do: "write what keeps the water out: housewrap behind it, or integral where its taped joints are the barrier"},
			[]string{"rigid foam", "foam", "insulation", "foam board"}},
	})
	NoReturn = NewVocabulary(estimate.NoReturns, map[estimate.NoReturn][]string{
		estimate.NoReturnSpecial: {"special", "special ordered", "custom", "custom order", "made to order", "non stock", "not stocked", "so"},
		estimate.NoReturnCut:     {"cut to length", "cut to size", "ripped", "cut by the yard"},
		estimate.NoReturnOpened:  {"opened pack", "opened box", "seal broken", "broken seal"},
		estimate.NoReturnDated:   {"expired", "out of date", "past date", "past its date", "date passed", "shelf life"},
	}, []Asked{
		{Doubt{Is: "no reason", Do: "write special order, cut, opened or dated; leave it blank if it can go back"},
			[]string{"yes", "y", "x", "no", "n", "nonreturnable",
				"non returnable", "no return", "no returns", "final sale"}},
	}).whenBlank("blank is that it can go back")
	BuyState = NewVocabulary(estimate.BuyStates, map[estimate.BuyState][]string{
		estimate.BuyDraft:       {"not sent", "to order", "not ordered", "written"},
		estimate.BuyPlaced:      {"ordered", "sent", "on order", "order placed", "po", "open"},
		estimate.BuyConfirmed:   {"acknowledged", "accepted", "ack"},
		estimate.BuyBackOrdered: {"backordered", "back order", "backorder", "b/o", "bo", "partial", "short"},
		estimate.BuyReceived:    {"delivered", "rec", "recd", "rec'd", "picked up", "on site", "invoiced"},
		estimate.BuyCancelled:   {"canceled", "void"},
		estimate.BuyReturned:    {"went back", "sent back"},
	}, nil)
	Status = NewVocabulary(estimate.StatusWords, map[estimate.Status][]string{
		estimate.StatusOrdered: {"on order", "order placed", "po", "po'd", "po placed", "back ordered", "backordered", "backorder", "b/o", "bo", "shipped",
			"in transit"},
		estimate.StatusDelivered: {"received", "on site", "rec'd", "recd", "arrived", "in yard", "deliv", "del'd", "on hand", "del", "delivered to site",
			"rec", "here", "onsite"},
		estimate.StatusCut:      {"trim cut"},
		estimate.StatusHung:     {"trim hung", "trimmed", "trim done", "cased"},
		estimate.StatusFinished: {"painted", "caulked and painted", "touched up"},
	}, []Asked{
		{Doubt{May: "set (the unit) or hung (its trim)", Usual: "set"}, []string{"installed", "inst", "in", "install"}},
		{Doubt{May: "set (the unit) or hung (its trim)", Usual: "hung"}, []string{"done", "complete", "completed"}},
		{Doubt{May: "delivered (it can be set) or ordered", Usual: "delivered"}, []string{"in shop", "warehouse", "in warehouse", "shop"}},
		{Doubt{Is: "before any order", Do: "leave it blank: " + notOrdered}, []string{"order", "to order", "not ordered", "to be ordered", "quoted", "quote",
			"pending",
			"approved", "submitted", "hold", "on hold", "new", "not delivered", "open order", "not yet", "future"}},
		{Doubt{Is: "before the unit is set", Do: "write ordered or delivered, or leave it blank: " + notOrdered}, []string{"not set", "not installed",
			"uninstalled",
			"framed", "roughed", "roughed in", "ro framed", "flashed"}},
		{Doubt{Is: "a measurement, and no status", Do: "write the size under Measured width and Measured height, and set here"}, []string{"measured",
			"field measured",
			"fm", "fm'd"}},
		{Doubt{Is: "after the unit is set", Do: "write set, cut or hung"}, []string{"foamed", "insulated"}},
		{Doubt{Row: true, Is: "an opening that may not be in this job", Do: "delete the row if it is not, else leave the status blank"}, []string{"existing",
			"cancelled",
			"canceled", "deleted", "delete", "void", "returned", "nic", "by others"}},
		{Doubt{Row: true, Is: "several states in one row", Do: "split the row, one for each state"}, []string{"partial", "partly", "some"}},
		{Doubt{Is: "a unit that cannot be set", Do: "write ordered until the right one is there"}, []string{"damaged", "wrong size", "wrong", "defective"}},
	}).whenBlank(notOrdered)
	Tempered = NewVocabulary(estimate.TemperedWords, map[estimate.Tempered][]string{
		estimate.TemperedYes: {"y", "x", "t", "true", "temp", "tempered", "tempered glass", "tmp", "tg", "safety", "safety glass", "safety glazing", "all"},
		estimate.TemperedNo:  {"n", "false", "none", "not tempered", "non tempered", "untempered", "annealed", "std", "standard", "ann"},
	}, nil).whenBlank("what the code asks for is checked at the label")
	Shape = NewVocabulary(estimate.ShapeWords, map[estimate.UnitShape][]string{
		estimate.ShapeRectangle: {"rect", "rectangular", "square", "sq", "std", "standard", "regular", "flat", "straight", "square head", "flat head"},
		estimate.ShapeRoundHead: {"half round", "round top", "roundtop", "half circle", "semicircle", "semicircular", "circle top", "circle head", "half moon",
			"round headed", "full arch"},
		estimate.ShapeRound:     {"circle", "circular", "full round", "full circle", "porthole"},
		estimate.ShapeArch:      {"arch top", "archtop", "arched", "arch head", "arched head", "eyebrow", "segmental", "segmental arch", "segment head"},
		estimate.ShapeTrapezoid: {"trapezoidal", "trap", "rake", "raked", "raked head", "rake head", "sloped head", "angled top", "angled head"},
		estimate.ShapeOther: {"octagon", "octagonal", "hexagon", "triangle", "triangular", "gothic", "elliptical", "ellipse", "oval", "quarter round", "quarter circle",
			"pentagon", "palladian", "geometric", "special", "special shape", "custom", "diamond", "peaked head", "curved"},
	}, []Asked{
		{Doubt{May: "round head (half a circle) or arch (flatter)"}, []string{"radius", "radius top", "radius head", "shaped", "angled", "r"}},
	}).whenBlank("a rectangle then, unless a note speaks of another shape")
	Joined = NewVocabulary(estimate.JoinedWords, map[estimate.Joined][]string{
		estimate.Mulled: {"mull", "m", "factory mulled", "field mulled", "factory mull", "field mull", "ganged", "one opening", "structural mull"},
		estimate.StudsBetween: {"studs", "stud", "stud pocket", "stud between", "framed between", "framing between", "separate openings", "own openings",
			"separate ros", "2 studs", "3 studs", "double stud", "post between"},
	}, []Asked{
		{Doubt{May: "mulled (one opening) or studs between (an opening each)"}, []string{"twin", "joined", "combination", "combo", "paired", "pair", "double"}},
	}).whenBlank("mulled then")
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
		estimate.NoTrim: {"no", "n", "no trim", "no casing", "untrimmed", "omit", "nothing"},
		"three sided":   {"3 sided", "3 side", "3 sides", "three side", "door casing", "u"},
		"mitered":       {"mitred", "miter", "picture frame", "picture framed", "pic frame", "mitered corners", "45"},
		"head over legs": {"head over leg", "butt", "butted", "butt joint", "square cut", "head on legs", "craftsman", "head over", "head on top",
			"head over sides"},
		"legs through":    {"legs thru", "legs run long", "legs run past", "legs run by", "legs long", "sides run through", "sides through"},
		"pinwheel":        {"windmill"},
		"sill with horns": {"horned sill", "sill and horns", "sill horns", "sill w/ horns", "horns"},
	}, []Asked{
		{Doubt{Is: "four boards, and not how their corners meet", Do: "write head over legs, legs through or mitered"}, []string{"4 sided", "4 side", "four sided",
			"all around", "four sides", "4 sides"}},
		{Doubt{Is: "no choice of a layout", Do: "leave it blank: " + byDefault}, []string{"yes", "y", "std", "standard", "typ", "typical", "match existing",
			"match", "casing", "trim"}},
		{Doubt{Is: "a board, and no layout", Do: boardsOnJob}, []string{"1x4", "1x5", "1x6", "1x8", "5/4x4", "5/4x6", "2x4", "2x6", "pvc", "flat", "flat stock",
			"flat casing", "backband", "band molding", "colonial", "crown", "cedar", "fiber cement", "wood", "primed", "composite",
			"pvc 1x4", "5/4"}},
		{Doubt{Is: "factory casing, and no trim of boards", Do: "write none, and brickmould under Flange"}, []string{"brickmould", "2x brick mould", "brickmold"}},
		{Doubt{Is: "no trim of boards", Do: "write none; what returns to the frame is priced by hand, under Other costs"}, []string{"j channel", "j",
			"siding to frame", "stucco",
			"stucco return", "drywall return", "siding", "brick", "stone"}},
		{Doubt{May: "none (somebody else makes it)", Do: "write none if it is not your work, else leave it blank: " + byDefault}, []string{"by others",
			"by painter",
			"by owner", "nic", "trim by others", "existing"}},
		{Doubt{Is: "part of a frame, which has no layout of its own",
			Do: "write none and price it by hand, under Other costs; three sided has no bottom casing"},
			[]string{"head only", "top only", "sides only", "legs only"}},
		{Doubt{May: "sill with horns outside, or a stool inside, which is not estimated", Usual: "sill with horns"}, []string{"apron", "stool and apron",
			"stool", "w/ sill", "with sill", "sill",
			"sill nose", "historic sill"}},
		{Doubt{May: "head over legs with a head of its own, which is not estimated", Do: "write head over legs, and price what is above it by hand, under Other costs"},
			[]string{"pediment", "crosshead", "farmhouse", "shaker"}},
		{Doubt{May: "head and bottom through, or sill with horns", Do: "write one of the two"}, []string{"head and sill"}},
		{Doubt{May: "mitered (a picture frame) or pinwheel", Usual: "mitered"}, []string{"pf"}},
	}).whenBlank(byDefault).orNone(byDefault)
}

// storyWords are words for the number of a story.
var storyWords = map[string]int64{
	"ground": 1, "main": 1, "first": 1, "one": 1, "second": 2, "upper": 2, "two": 2, "third": 3, "three": 3, "fourth": 4, "four": 4,
	"basement": 0, "cellar": 0, "bsmt": 0, "ll": 0, "lower": 0, "walkout": 0, "gf": 1, "grd": 1,
}

// storyLetters are words for a story where nothing else stands beside them.
var storyLetters = map[string]int64{"b": 0, "g": 1}

// storyDoubts are words for parts of a house that may be several stories.
var storyDoubts = []Asked{
	{Doubt{Is: "above another story, and not how many", Do: "write the number, 2 for the floor above the ground floor"}, []string{"attic", "loft",
		"upstairs", "up",
		"dormer", "top", "penthouse", "mezz", "mezzanine"}},
	{Doubt{Is: "below the ground floor, or on it", Do: "write 0 for a basement, 1 for the ground floor"}, []string{"crawl", "crawlspace", "garden", "split"}},
	{Doubt{Is: "several stories", Do: "split the row, one for each story: upper openings are guarded"}, []string{"both", "all"}},
}

// StoryWord returns the number of the story that a word names, in lower case.
func StoryWord(w string) (int64, bool) {
	n, ok := storyWords[w]
	return n, ok
}

// severalStories is a text with more than one number, or a part of one: 1 & 2,
// 2-3, 1.5, 1-1/2.
var severalStories = regexp.MustCompile(`\d\D*(?:[-–/&,.+]|\band\b|\bto\b)\D*\d`)

// Story returns the number of a story that a text names; the doubt is set when
// it names several, or none for certain.
func Story(text string) (n int64, doubt *Doubt, ok bool) {
	for _, d := range storyDoubts {
		for _, w := range d.Words {
			if WordKey(w) == WordKey(text) {
				return 0, &d.Doubt, false
			}
		}
	}
	if n, ok := storyLetters[WordKey(text)]; ok {
		return n, nil, true
	}
	if severalStories.MatchString(strings.ToLower(text)) {
		return 0, &Doubt{Is: "no one story", Do: "write one whole number; split the row where it stands for several stories"}, false
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if n, ok := storyWords[w]; ok {
			return n, nil, true
		}
		w = strings.TrimPrefix(strings.TrimPrefix(w, "level"), "l")
		for _, ending := range []string{"st", "nd", "rd", "th", "f"} {
			w = strings.TrimSuffix(w, ending)
		}
		if n, err := strconv.ParseInt(w, 10, 16); err == nil && n >= 0 && n <= 200 {
			return n, nil, true
		}
	}
	return 0, nil, false
}
