package estimate

import (
	"slices"
	"strings"
)

// Cited is a function or a figure, and the source that its comment names.
type Cited struct{ Name, Source string }

// Sources lists the functions and figures of this package that cite a source,
// each as its doc comment does; a test holds the two together.
var Sources = []Cited{
	{"BeadVolume", "geometry; yields of 1/4 x 1/4 in: 308 ft a gallon, arithmetic from 231 in³ (NIST HB 44)"},
	{"CavityVolume", "trade magazine on flashing a flanged window, read; geometry"},
	{"CoverArea", "geometry"},
	{"CutEndArea", "common practice, no source"},
	{"DamPressure", "Ontario Building Code appendix A-9.27.3.8.(5), read"},
	{"DiagonalTolerance", "window dimension guide, read in excerpts"},
	{"eaveWaiver", "Ontario Building Code 9.27.3.8.(3), read"},
	{"Element", "UNIFORMAT II, level 3 (NISTIR 6389, ASTM E1557-97), read"},
	{"FilletArea", "geometry; legs of at least 1/4 in from memory of ASTM C1193"},
	{"FormedBlank", "geometry; slope 6 % from a summary of CSA A440.4, read second-hand"},
	{"FormedLength", "geometry"},
	{"FrameDiagonal", "geometry"},
	{"GlassWeight", "glass weight tables (1.63 to 1.64 lb/ft² for 1/8 in), read"},
	{"GuardNeeded", "29 CFR 1926.501(b)(14), read in summary"},
	{"JointDepth", "public-works specification 07 92 00, Orange County NC, item D.2, read; never deeper than wide: its 2016 table, read"},
	{"LadderFoot", "29 CFR 1926.1053(b)(5), read in summary"},
	{"LapPieces", "New Zealand metal roof and wall code of practice (laps: at least 100 mm sealed, 150 mm not), read"},
	{"LeadWork", "40 CFR 745.83, read in excerpts"},
	{"Lean", "similar triangles"},
	{"leastClearance", "renovation texts and installation sheets, read in excerpts: 1/2 to 1 in"},
	{"LevellingVolume", "geometry"},
	{"LevelTolerance", "replacement-window measure page and a door sheet, read in excerpts: 1/8 in"},
	{"liftAlone", "from memory (the ideal-posture limit of the NIOSH lifting equation is 51 lb)"},
	{"LockMargin", "door maker's warranty terms, read in excerpts: hinge 1/16, lock 1/8"},
	{"MissesFraming", "geometry; the framing is an input"},
	{"MitreAngle", "geometry"},
	{"MitreCut", "geometry"},
	{"mostClearance", "renovation texts and installation sheets, read in excerpts: 1/2 to 1 in"},
	{"MullCentres", "geometry"},
	{"MullWidth", "geometry"},
	{"NailLength", "primed trim board maker's guide (1-1/4 in into solid wood), read in excerpts; an input"},
	{"OpeningTolerance", "Canadian window education site, read in excerpts: 3 mm (1/8 in)"},
	{"PanCouplers", "common practice, no source"},
	{"PanLaps", "common practice, no source"},
	{"PanMiddle", "trade article repeating a pan maker's sheet (laps of 1-1/2 in, middles of 3-0, 6-0 and 9-0), read"},
	{"PieceLength", "geometry; square-edged boards butt at the head: US Navy NAVEDTRA 14044 p. 6-17, read"},
	{"Points", "common practice, no source; door shims at three hinges, three at the strike, one at the head: a finish carpenter's answer in a " +
		"trade magazine, read"},
	{"Rack", "geometry"},
	{"RodDiameter", "foam-rod maker's note, read in excerpts; the same rule on a roofing reference page"},
	{"RoundArea", "geometry"},
	{"RowEdge", "US Navy NAVEDTRA 14044 fig. 4-22, read: 3/4 in from the outer edge"},
	{"SillRuns", "laps of IRC R703.2 and a deep-energy-retrofit training page, read in excerpts; the count is arithmetic"},
	{"Spaced", "US Navy NAVEDTRA 14044 (pairs 16 in apart), read; the spacing of flange nails is the unit maker's"},
	{"SpreadTolerance", "replacement-window measure page, read in excerpts: three readings within 1/8 in"},
	{"SquareTolerance", "common practice, no source: 1/16 in"},
	{"StripLength", "AAMA 2400-10 cl. 5.7.3.2 and Note 3 (head, sill), read in excerpts; a trade magazine's photo sequence (turned-up sill strip: " +
		"opening + 12 in), read"},
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
	{"sizes", "Joint between joined units.", "joint = (frame - sum of the units) / (units - 1)", []string{"MullWidth"}},
	{
		"sizes", "Room between a unit and its opening that is not questioned.", "1/2 to 1 in, in width and in height",
		[]string{"leastClearance", "mostClearance"},
	},
	{"readings", "How far readings of one side may differ before a mark is held.", "1/8 in", []string{"SpreadTolerance"}},
	{"readings", "How far the diagonals of a frame may differ.", "1/8 in up to 20 ft2 of frame, 1/4 in above", []string{"DiagonalTolerance"}},
	{"readings", "How far the diagonals of an opening may differ.", "1/8 in", []string{"OpeningTolerance"}},
	{"readings", "How far the head stands off square when the diagonals differ.", "offset = difference x sqrt(width^2 + height^2) / (2 width)", []string{"Rack"}},
	{"sill", "How far a sill may be out of level before it is corrected.", "1/8 in over its width", []string{"LevelTolerance"}},
	{"sill", "How far the head of a square frame on a sloping sill stands off plumb.", "lean = rise x height / width", []string{"Lean"}},
	{"sill", "How far a swing door may lean: the gap at its lock.", "1/8 in", []string{"LockMargin"}},
	{"trim frame", "Both diagonals of a trim frame.", "diagonal = sqrt(((top + bottom) / 2)^2 + height^2)", []string{"FrameDiagonal"}},
	{"trim frame", "How far the diagonals of a trim frame may differ.", "1/16 in", []string{"SquareTolerance"}},
	{"trim frame", "Saw angle of a mitred end, from square.", "angle = atan(width of the other board / own width)", []string{"MitreAngle"}},
	{"trim frame", "Where the middle of each mull stands.", "centre k = units before + (k - 1/2) joint + gap", []string{"MullCentres"}},
	{
		"trim frame", "Rows of nails that miss the framing round the opening.", "misses when gap + board - row edge > room + framing; row edge 3/4 in",
		[]string{"MissesFraming", "RowEdge"},
	},
	{"cautions", "Openings to guard while the work goes on.", "sill below 39 in and drop outside of 6 ft or more", []string{"GuardNeeded"}},
	{"cautions", "How far out the foot of a ladder stands.", "foot = working length / 4", []string{"LadderFoot"}},
	{
		"cautions", "Work on lead paint, of a house built before 1978.",
		"exempt only where no window is replaced, nothing demolished, and at most 6 ft2 a room inside and 20 ft2 outside are disturbed", []string{"LeadWork"},
	},
	{"cautions", "Weight of the glass of a unit.", "weight = frame area x lites x 1.64 lb/ft2", []string{"GlassWeight"}},
	{"cautions", "Weight that is lifted by two.", "above 50 lb", []string{"liftAlone"}},
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
		out = append(out, SourceRow{Rule: r.Name, Gives: r.Does, Formula: r.Formula, Source: sourcesOf(r.Funcs)})
	}
	for _, u := range Uses {
		out = append(out, SourceRow{Rule: u.For, Gives: u.Gives, Formula: u.Formula, Source: sourcesOf(u.Names)})
	}
	return out
}

// sourcesOf joins the sources of functions and figures, each said once.
func sourcesOf(names []string) string {
	var out []string
	for _, name := range names {
		i := slices.IndexFunc(Sources, func(c Cited) bool { return c.Name == name })
		if i < 0 {
			continue // a test holds that there is none
		}
		for _, part := range strings.Split(Sources[i].Source, "; ") {
			if !slices.Contains(out, part) {
				out = append(out, part)
			}
		}
	}
	return strings.Join(out, "; ")
}
