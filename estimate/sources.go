package estimate

import (
	"slices"
	"strings"
)

// The standing of a source: whether it was read, and how much of it.
const (
	Published   = "published"             // read where it was published
	Excerpt     = "published, excerpt"    // read in part, in a summary or second-hand
	RuleOfThumb = "rule of thumb, verify" // usual, and no source was found
	FromMemory  = "from memory, verify"   // a source is remembered and was not read
	Derived     = ""                      // geometry or arithmetic: it follows by itself
)

// Bases are the words of the column Basis, the firmest first. What has several
// sources has the least firm one's.
var Bases = []string{Derived, Published, Excerpt, RuleOfThumb, FromMemory}

// Cited is a function or a figure, and the source that its comment names.
type Cited struct{ Name, Basis, Source string }

// Sources lists the functions and figures of this package that cite a source,
// each as its doc comment does; a test holds the two together.
var Sources = []Cited{
	{"BathGlass", Published, "International Residential Code, R308.4.5, edition 2006"},
	{"BeadVolume", Derived, "geometry; " +
		"yields of 1/4 x 1/4 in: 308 ft a gallon, arithmetic from 231 in³ (National Institute of Standards and Technology, Handbook 44)"},
	{"BrickmouldOutside", Derived, "geometry; the width is an input"},
	{"CavityVolume", Published, `Journal of Light Construction, "Flashing a Flanged Window"; geometry`},
	{"CoverArea", Derived, "geometry"},
	{"CutEndArea", RuleOfThumb, "common practice"},
	{"DamPressure", Published, "Ontario Building Code, appendix A-9.27.3.8.(5)"},
	{"DiagonalTolerance", Excerpt, "a maker's window dimension guide (makers are not named here)"},
	{"DoorGlass", Published, "International Residential Code, R308.4.1, edition 2015"},
	{"eaveWaiver", Published, "Ontario Building Code 9.27.3.8.(3)"},
	{"Element", Published, "National Institute of Standards and Technology, NISTIR 6389, UNIFORMAT II, level 3 (ASTM International, E1557-97)"},
	{"EscapeOpening", Published, "International Residential Code, R310.2.1, editions 2015 to 2021; geometry of equal sashes"},
	{"EscapeSill", Published, "International Residential Code, R310.2.2, editions 2015 to 2021"},
	{"FallProtection", Excerpt, "International Residential Code, R312.2.1, edition 2012, as quoted in a code officials' forum"},
	{"FilletArea", FromMemory, "geometry; legs of at least 1/4 in: ASTM International, C1193"},
	{"Arc", Derived, "geometry"},
	{"BentBlank", Excerpt, "geometry; slope 6 %: CSA Group, A440.4, by a maker's page (makers are not named here)"},
	{"BentLength", Derived, "geometry"},
	{"FrameDiagonal", Derived, "geometry"},
	{"GlassBesideDoor", Published, "International Residential Code, R308.4.2, edition 2015"},
	{"GlassWeight", Excerpt, `whatthingsweigh.com, "How Much Does Glass Weigh?": 1.63 to 1.64 lb/ft² for 1/8 in`},
	{"GuardNeeded", Excerpt, "US Code of Federal Regulations, 29 CFR 1926.501(b)(14)"},
	{"JambDepth", RuleOfThumb, "geometry; 1/2 in of drywall and the stocked depths: common practice"},
	{"JambScrewLength", Excerpt, "geometry; 1-1/4 in into solid wood: a maker's trim board guide (makers are not named here); an input"},
	{"InsulationCover", Excerpt, "foam sheathing industry best-practice pages (publisher not on record): 1-1/2 to 2 in"},
	{"JointDepth", Published, "Orange County, North Carolina, public works specification 07 92 00, item D.2; never deeper than wide: the county's table of 2016"},
	{"LadderFoot", Excerpt, "US Code of Federal Regulations, 29 CFR 1926.1053(b)(5)"},
	{"LapPieces", Published, "New Zealand Metal Roof and Wall Cladding Code of Practice (metalroofing.org.nz): laps of at least 100 mm sealed, 150 mm not"},
	{"LargeLowGlass", Excerpt, "International Residential Code, R308.4.3, editions 2015 to 2021, as quoted by a state's insurance department, 2 July 2012"},
	{"LeadWork", Excerpt, "US Code of Federal Regulations, 40 CFR 745.83"},
	{"Lean", Derived, "similar triangles"},
	{"minClearance", Excerpt, `1/2 to 1 in: boulderlibrary.net, "Installation in a Nutshell"; ` +
		`legalclarity.org, "Rough Opening Sizes, Codes and Framing Requirements"`},
	{"LevelingVolume", Derived, "geometry"},
	{"LevelTolerance", Excerpt, "a replacement-window measure page (publisher not on record) and a maker's door sheet (makers are not named here): 1/8 in"},
	{"liftAlone", FromMemory, "National Institute for Occupational Safety and Health, lifting equation: 51 lb in ideal posture"},
	{"LockMargin", Excerpt, "a maker's door warranty (makers are not named here): hinge 1/16, lock 1/8"},
	{"MissesFraming", Derived, "geometry; the framing is an input"},
	{"MiterAngle", Derived, "geometry"},
	{"MiterCut", Derived, "geometry"},
	{"maxClearance", Excerpt, `1/2 to 1 in: boulderlibrary.net, "Installation in a Nutshell"; ` +
		`legalclarity.org, "Rough Opening Sizes, Codes and Framing Requirements"`},
	{"CasingBetween", Published, `geometry; a least joint of 1/4 in: "Architectural Detailing", on northernarchitecture.us`},
	{"StudsApart", RuleOfThumb, "geometry of 1-1/2 in studs; 1/4 in beside each frame: common practice"},
	{"MullCenters", Derived, "geometry"},
	{"MullWidth", Derived, "geometry"},
	{"NailLength", Excerpt, "a maker's trim board guide (makers are not named here): 1-1/4 in into solid wood; an input"},
	{"OpeningTolerance", Excerpt, "silltosash.com (page not on record): 3 mm (1/8 in)"},
	{"panApart", RuleOfThumb, "common practice: 1/2 in"},
	{"PacksOpened", RuleOfThumb, "common practice"},
	{"PanCouplers", RuleOfThumb, "common practice"},
	{"PanLaps", RuleOfThumb, "common practice"},
	{"PanMiddle", Excerpt, `cycookery.com, "Measure for Door Sill Pan": laps of 1-1/2 in`},
	{"PieceLength", Published, "geometry; square-edged boards butt at the head: US Navy training manual NAVEDTRA 14044, p. 6-17, on interior casing"},
	{"Points", RuleOfThumb, "common practice; " +
		`door shims at three hinges and three at the strike: Journal of Light Construction, "Q&A: Do Door Jambs Need Shims?"`},
	{"Rack", Derived, "geometry"},
	{"RodDiameter", Excerpt, `a maker's rod note (makers are not named here); roofonline.com, "Backer Rod Sizes"`},
	{"RoundArea", Derived, "geometry"},
	{"RowEdge", Published, "US Navy training manual NAVEDTRA 14044, fig. 4-22: 3/4 in from the outer edge"},
	{"stockedJambs", RuleOfThumb, "common practice: 4-9/16 for a wall of 2x4, 6-9/16 for one of 2x6"},
	{"widestLeaf", RuleOfThumb, "common practice: a 3-6 leaf and its jambs"},
	{"sashes", RuleOfThumb, "geometry of equal sashes; common practice"},
	{"SillRuns", Excerpt, `laps: International Residential Code, R703.2, and deepenergyretrofit.com, Training, "Windows"; the count is arithmetic`},
	{"Spaced", Published, "US Navy training manual NAVEDTRA 14044, p. 6-17, on interior casing (pairs 16 in apart); the spacing of flange nails is the unit maker's"},
	{"SpreadTolerance", Excerpt, "a replacement-window measure page (publisher not on record): three readings within 1/8 in"},
	{"SquareTolerance", RuleOfThumb, "common practice: 1/16 in"},
	{"StairGlass", Published, "International Residential Code, R308.4.6 and R308.4.7, edition 2018"},
	{"ThickestRod", FromMemory, "ASTM International, C1193: closed-cell rod 25 to 50 % larger than the joint"},
	{"TapeLength", Excerpt, "American Architectural Manufacturers Association, AAMA 2400-10 (of 2010; the edition of 2020 was not read), 5.7.3.2, note 3; " +
		`Journal of Light Construction, "Flashing a Window: New Construction" (sill: opening + 12 in)`},
}

// Use is what cited functions and figures serve that no rule runs: they size
// and check openings, and warn.
type Use struct {
	For     string // what they serve
	Gives   string
	Formula string
	Names   []string // of Sources
}

// Uses lists what is cited beside the rules, in the order of the work.
var Uses = []Use{
	{"sizes", "Frame of an entry door beyond which it may have two leaves or sidelites.", "45 in", []string{"widestLeaf"}},
	{
		"sizes", "Jamb depth of doors whose own is not stated.", "framing and sheathing (Wall depth, else of Job) + 1/2 in, up to 4-9/16 or 6-9/16 in",
		[]string{"JambDepth", "stockedJambs"},
	},
	{"sizes", "How far the depths of a rigid pan and a door may differ before the pan is on hold.", "1/2 in", []string{"panApart"}},
	{
		"sizes", "Outside of a unit with brickmould: what trim, drip cap and sealant go round.",
		"width + 2 brickmould x height + brickmould, of windows + 2 brickmould", []string{"BrickmouldOutside"},
	},
	{"sizes", "Part of a circle: of a round unit each edge is a quarter; of a round head the head a quarter, each jamb its straight part and an eighth.",
		"length = pi x width x part, rounded up to 1/16 in or 1 mm", []string{"Arc"}},
	{"buying", "Packs that are opened whatever they hold: cans of foam.",
		"packs = max(openings / openings a pack, days / days open), each rounded up; days = openings / openings a day, rounded up", []string{"PacksOpened"}},
	{"sizes", "Joint between units with studs between them.", "joint = 1-1/2 studs + 2 x 1/4; no less than two flanges, nor than one stud's", []string{"StudsApart"}},
	{"trim frame", "Width of the casing over such a joint.", "width = min(board, joint - 2 max(caulk joint, minimum joint))", []string{"CasingBetween"}},
	{"sizes", "Joint between mulled units.", "joint = (frame - sum of the units) / (units - 1)", []string{"MullWidth"}},
	{
		"sizes", "Room between a unit and its opening that is not questioned.", "1/2 to 1 in, in width and in height",
		[]string{"minClearance", "maxClearance"},
	},
	{"readings", "How far readings of one side may differ before a mark is on hold.", "1/8 in", []string{"SpreadTolerance"}},
	{"readings", "How far the diagonals of a frame may differ.", "1/8 in up to 20 SF of frame, 1/4 in above", []string{"DiagonalTolerance"}},
	{"readings", "How far the diagonals of an opening may differ.", "1/8 in", []string{"OpeningTolerance"}},
	{"readings", "How far the head stands off square when the diagonals differ.", "offset = difference x sqrt(width^2 + height^2) / (2 width)", []string{"Rack"}},
	{"sill", "How far a sill may be out of level before it is corrected.", "1/8 in over its width", []string{"LevelTolerance"}},
	{"sill", "How far the head of a square frame on a sloping sill stands off plumb.", "lean = rise x height / width", []string{"Lean"}},
	{"sill", "How far a swing door may lean: the gap at its lock.", "1/8 in", []string{"LockMargin"}},
	{"trim frame", "Both diagonals of a trim frame.", "diagonal = sqrt(((top + bottom) / 2)^2 + height^2)", []string{"FrameDiagonal"}},
	{"trim frame", "How far the diagonals of a trim frame may differ.", "1/16 in", []string{"SquareTolerance"}},
	{"trim frame", "Saw angle of a mitered end, from square.", "angle = atan(width of the other board / own width)", []string{"MiterAngle"}},
	{"trim frame", "Where the middle of each mull stands.", "center k = units before + (k - 1/2) joint + gap", []string{"MullCenters"}},
	{
		"trim frame", "Rows of nails that miss the framing round the opening.", "misses when gap + board - row edge > room + framing; row edge 3/4 in",
		[]string{"MissesFraming", "RowEdge"},
	},
	{"cautions", "Openings to guard while the work goes on.", "sill below 39 in and height above grade of 6 ft or more", []string{"GuardNeeded"}},
	{"cautions", "How far out the foot of a ladder stands.", "foot = working length / 4", []string{"LadderFoot"}},
	{
		"cautions", "Work on lead paint, of a house built before 1978.",
		"exempt only where no window is replaced, nothing demolished, and at most 6 SF a room inside and 20 SF outside are disturbed", []string{"LeadWork"},
	},
	{"cautions", "Weight of the glass of a unit.", "weight = frame area x lites x 1.64 lb/SF", []string{"GlassWeight"}},
	{"cautions", "Largest sash of a unit, for its weight.", "frame area / sashes: 2 of a hung window, a slider or a pair of doors, else 1", []string{"sashes"}},
	{"cautions", "Weight that is lifted by two.", "above 50 lb", []string{"liftAlone"}},
	{
		"code flags", "Large panes near the floor: may need safety glazing.", "pane > 9 SF, sill < 18 in, and head > 36 in above the floor",
		[]string{"LargeLowGlass"},
	},
	{"code flags", "Glass in doors: its label is looked at.", "patio doors, and entry doors of which the schedule says glass", []string{"DoorGlass"}},
	{
		"code flags", "Glass beside doors: may need safety glazing.", "under 60 in above the floor, within 24 in of the door: of sidelites known, else not checked",
		[]string{"GlassBesideDoor"},
	},
	{"code flags", "Glass by tubs and showers: may need safety glazing.", "sill < 60 in", []string{"BathGlass"}},
	{"code flags", "Glass beside stairs: may need safety glazing.", "sill < 36 in", []string{"StairGlass"}},
	{
		"code flags", "Windows of sleeping rooms and habitable basements that cannot serve as escape.",
		"fixed, or opening < 20 in wide, < 24 in high or < 5.0 SF (5.7 SF but at a grade floor); " +
			"of equal sashes a hung window opens half the height, a slider half the width",
		[]string{"EscapeOpening"},
	},
	{"code flags", "Sills too high for escape.", "sill > 44 in above the floor", []string{"EscapeSill"}},
	{
		"code flags", "Operable windows that may need fall protection of those who live there.", "sill < 24 in above the floor and > 72 in above grade",
		[]string{"FallProtection"},
	},
	{"code flags", "Insulation outside the sheathing that no detail covers.", "over 2 in; doubtful over 1-1/2 in", []string{"InsulationCover"}},
	{"cautions", "What a waiver of head flashing asks of every mark.", "drop from eave to trim at most a quarter of the overhang", []string{"eaveWaiver"}},
	{"cost codes", "Code under which costs of an opening are gathered.", "B2020 windows, B2030 doors", []string{"Element"}},
}

// SourceRow is a row of the sheet Sources.
type SourceRow struct{ Rule, Gives, Formula, Basis, Source string }

// SourceRows returns the sheet Sources: the rules in the order of the registry,
// then what is cited beside them.
func SourceRows() []SourceRow {
	var out []SourceRow
	for _, r := range rules {
		basis, source := sourcesOf(r.Funcs)
		out = append(out, SourceRow{r.Name, r.Does, r.Formula, basis, source})
	}
	for _, u := range Uses {
		basis, source := sourcesOf(u.Names)
		out = append(out, SourceRow{u.For, u.Gives, u.Formula, basis, source})
	}
	return out
}

// sourcesOf joins the sources of functions and figures, each said once, and
// returns the basis of the least firm.
func sourcesOf(names []string) (basis, source string) {
	var out []string
	least := 0
	for _, name := range names {
		i := slices.IndexFunc(Sources, func(c Cited) bool { return c.Name == name })
		if i < 0 {
			continue // a test holds that there is none
		}
		least = max(least, slices.Index(Bases, Sources[i].Basis))
		for _, part := range strings.Split(Sources[i].Source, "; ") {
			if !slices.Contains(out, part) {
				out = append(out, part)
			}
		}
	}
	return Bases[least], strings.Join(out, "; ")
}
