package estimate

// Cited is a function of a rule and the source that its comment names.
type Cited struct{ Func, Source string }

// Sources lists the functions that hold the rules, each with the source that
// its doc comment names; a test holds the two together. The Sources sheet
// prints it.
var Sources = []Cited{
	{"BeadVolume", "geometry; yields of 1/4 x 1/4 in: 308 ft a gallon, arithmetic from 231 in³ (NIST HB 44)"},
	{"CavityVolume", "trade magazine on flashing a flanged window, read; geometry"},
	{"CoverArea", "geometry"},
	{"CutEndArea", "common practice, no source"},
	{"DamHeight", "Ontario Building Code appendix A-9.27.3.8.(5), read"},
	{"DiagonalTolerance", "window dimension guide, read in excerpts"},
	{"Element", "UNIFORMAT II, level 3 (NISTIR 6389, ASTM E1557-97), read"},
	{"FilletArea", "geometry; legs of at least 1/4 in from memory of ASTM C1193"},
	{"FormedBlank", "geometry; slope 6 % from a summary of CSA A440.4, read second-hand"},
	{"FormedLength", "geometry"},
	{"FrameDiagonal", "geometry"},
	{"GlassWeight", "glass weight tables (1.63 to 1.64 lb/ft² for 1/8 in), read"},
	{"GuardNeeded", "29 CFR 1926.501(b)(14), read in summary"},
	{"HeadFlashingNeeded", "Ontario Building Code 9.27.3.8.(3), read"},
	{"JointDepth", "public-works specification 07 92 00, Orange County NC, item D.2, read; never deeper than wide: its 2016 table, read"},
	{"LadderFoot", "29 CFR 1926.1053(b)(5), read in summary"},
	{"LapPieces", "New Zealand metal roof and wall code of practice (laps: at least 100 mm sealed, 150 mm not), read"},
	{"LeadWork", "40 CFR 745.83, read in excerpts"},
	{"Lean", "similar triangles"},
	{"LevellingVolume", "geometry"},
	{"MissesFraming", "geometry; the framing is an input"},
	{"MitreAngle", "geometry"},
	{"MitreCut", "geometry"},
	{"MullCentres", "geometry"},
	{"MullWidth", "geometry"},
	{"NailLength", "primed trim board maker's guide (1-1/4 in into solid wood), read in excerpts; an input"},
	{"PanCouplers", "common practice, no source"},
	{"PanLaps", "common practice, no source"},
	{"PanMiddle", "trade article repeating a pan maker's sheet (laps of 1-1/2 in, middles of 3-0, 6-0 and 9-0), read"},
	{"PieceLength", "geometry; square-edged boards butt at the head: US Navy NAVEDTRA 14044 p. 6-17, read"},
	{"Points", "common practice, no source; door shims at three hinges, three at the strike, one at the head: a finish carpenter's answer in a trade magazine, read"},
	{"Rack", "geometry"},
	{"RodDiameter", "foam-rod maker's note, read in excerpts; the same rule on a roofing reference page"},
	{"RoundArea", "geometry"},
	{"SillRuns", "laps of IRC R703.2 and a deep-energy-retrofit training page, read in excerpts; the count is arithmetic"},
	{"Spaced", "US Navy NAVEDTRA 14044 (pairs 16 in apart), read; the spacing of flange nails is the unit maker's"},
	{"StripLength", "AAMA 2400-10 cl. 5.7.3.2 and Note 3 (head, sill), read in excerpts; a trade magazine's photo sequence (turned-up sill strip: opening + 12 in), read"},
}
