package estimate

// Rule is a word of the Rule column: what it computes, which parameters it
// needs, and the function that does it.
type Rule struct {
	Name    string
	Does    string   // one sentence, for the Sources sheet
	Formula string   // as printed on the Sources sheet
	Funcs   []string // the pure functions that hold the formula
	Needs   []string // columns that must be filled in
	Reads   []string // further columns that it reads
	Takes   []string // parameters of With
	Shapes  []Shape  // sections that Size may have
	Clamps  bool     // the depth of its section may be left to the joint rule
	Runs    RunsForm // what Runs may be
	AtPoint bool     // without edges, or at corners, its pieces need their length
	// NoMaterial says that it is work alone: its steps ask for nothing.
	NoMaterial bool
	// Roles say what its items are to a trim frame; none = nothing.
	Roles []classRole

	run func(c *application) []Requirement
}

// RunsForm is what the column Runs may be.
type RunsForm string

// The forms of Runs.
const (
	NoRuns     RunsForm = ""
	RunsNumber RunsForm = "number"
	RunsWall   RunsForm = "wall"   // or a number
	RunsBoards RunsForm = "boards" // steps by board width
)

// classRole is what items of a class are to a trim frame; class "" is any.
type classRole struct {
	class string
	role  FrameRole
}

// role returns what an item that the rule asks for is to a trim frame.
func (rule *Rule) role(item string, items Items) FrameRole {
	if len(rule.Roles) == 0 {
		return ""
	}
	it, _ := items.Get(item)
	for _, r := range rule.Roles {
		if r.class == "" || r.class == it.Class {
			return r.role
		}
	}
	return ""
}

// rules is the registry. The order is that of the Sources sheet. It is filled
// by init because the rules' functions read it through parseStep.
var rules []Rule

func init() {
	rules = []Rule{
		{
			Name: "tape", Does: "Pieces of flashing tape along edges or at points.",
			Formula: "length = edge + ends; runs = ceil((wall depth + face lap - lap) / (tape width - lap)); of a family the tape with the fewest runs, then " +
				"the narrowest",
			Funcs: []string{"TapeLength", "SillRuns"}, Needs: []string{"Item"}, Takes: []string{"length", "count", "width"}, Runs: RunsWall, AtPoint: true,
			Reads: []string{"Per", "Edges", "Along", "Each end", "Runs", "With"}, run: (*application).tape,
		},
		{
			Name: "run", Does: "Pieces of stick or metal along edges.", Formula: "length = edge + ends",
			Funcs: []string{"TapeLength"}, Needs: []string{"Item", "Edges"}, Runs: RunsNumber, AtPoint: true,
			Reads: []string{"Along", "Each end", "Runs"}, run: (*application).tape,
		},
		{
			Name: "bead", Does: "Sealant beads along edges, or of a length at points.",
			Formula: "volume = beads x length x section; beads = runs, or one at each offset after at; round pi d^2 / 4, fillet leg^2 / 2",
			Funcs:   []string{"BeadVolume", "RoundArea", "FilletArea"}, Needs: []string{"Item", "Edges", "Size"}, Takes: []string{"length", "at"},
			Shapes: []Shape{Round, Square, Fillet, Rectangle}, Runs: RunsNumber, AtPoint: true,
			Reads: []string{"Per", "Along", "Each end", "Runs", "With"}, run: (*application).bead,
		},
		{
			Name: "joint", Does: "Sealant in a joint as wide as its gap.",
			Formula: "volume = length x gap x depth; depth = min(gap, clamp(gap / 2, 1/4, 1/2))",
			Funcs:   []string{"BeadVolume", "JointDepth"}, Needs: []string{"Item", "Edges", "Along", "Size"},
			Shapes: []Shape{OfGap}, Clamps: true, run: (*application).joint,
		},
		{
			Name: "rod", Does: "Backer rod behind a joint of at least the least width.",
			Formula: "diameter = gap + 1/8 below 3/4 in, gap x 1.25 from there up; the next size on Items, or a thicker one that the job buys anyway, up to gap x 1.5",
			Funcs:   []string{"RodDiameter", "ThickestRod"}, Needs: []string{"Item", "Edges", "Along"}, run: (*application).rod,
		},
		{
			Name: "cavity", Does: "Foam in the gap round a unit.", Formula: "volume = length x gap x depth",
			Funcs: []string{"CavityVolume"}, Needs: []string{"Item", "Edges", "Size"}, Shapes: []Shape{OfGap}, Reads: []string{"Along"}, run: (*application).cavity,
		},
		{
			Name: "pan rigid", Does: "A rigid pan: two ends, a middle, couplers where it is long.",
			Formula: "middle = width - 2 ends + 2 laps; the smallest kit that covers, then couplers",
			Funcs:   []string{"PanMiddle", "PanCouplers"}, Needs: []string{"Item"}, Reads: []string{"Along"}, run: (*application).panRigid,
		},
		{
			Name: "pan metal", Does: "A pan bent from trim coil.",
			Formula: "blank = hem + front + sqrt(depth^2 + (slope depth)^2) + back; length = width + 2 end dams, lapped beyond the brake length; " +
				"pressure = 10 Pa a mm of back leg",
			Funcs: []string{"BentBlank", "BentLength", "LapPieces", "DamPressure"}, Needs: []string{"Item"}, Reads: []string{"Along"}, run: (*application).panMetal,
		},
		{
			Name: "pan joints", Does: "Cemented laps of a rigid pan.", Formula: "laps = 2 + 2 couplers",
			Funcs: []string{"PanLaps"}, Needs: []string{"Item"}, run: (*application).panJoints,
		},
		{
			Name: "spaced", Does: "Fasteners or shims along edges at a spacing; through = what they pass to the framing.",
			Formula: "count = ceil((length - 2 end) / spacing) + 1 an edge, at least 2; length through a flange or brickmould = it + sheathing + " +
				"outside insulation + nail penetration; through a jamb or hinge = it + gap + nail penetration",
			Funcs: []string{"Spaced", "NailLength", "JambScrewLength"}, Needs: []string{"Item", "Edges", "Spacing"}, Takes: []string{"end", "each", "through"},
			Reads: []string{"Along", "With"}, run: (*application).spaced,
		},
		{
			Name: "points", Does: "Fasteners, shims or parts at stated points; through as in rule spaced.", Formula: "count = points x edges x each",
			Funcs: []string{"Points", "NailLength", "JambScrewLength"}, Needs: []string{"Item"}, Takes: []string{"count", "each", "through"},
			Reads: []string{"Per", "Edges", "With"}, run: (*application).points,
		},
		{
			Name: "piece rows", Does: "Nails in rows across every trim board.",
			Formula: "rows = ceil((length - 2 end) / spacing) + 1; nails a row by board width; nail length = trim + sheathing + insulation + nail penetration",
			Funcs:   []string{"Spaced", "NailLength"}, Needs: []string{"Item", "Spacing"}, Takes: []string{"end"}, Runs: RunsBoards,
			Roles: []classRole{{ClassFastening, RoleNails}, {"", RoleOther}}, Reads: []string{"Runs", "With"}, run: (*application).pieceRows,
		},
		{
			Name: "piece joints", Does: "Pocket screws or glue at the joints of the trim frame.", Formula: "count = joints x screws by board width",
			Funcs: []string{"Points"}, Needs: []string{"Item"}, Runs: RunsBoards,
			Roles: []classRole{{ClassFastening, RoleScrews}, {ClassFinish, RoleAdhesive}, {"", RoleOther}}, Reads: []string{"Runs"}, run: (*application).pieceJoints,
		},
		{
			Name: "piece miters", Does: "Glue, splines or nails at the mitered corners of the trim frame.", Formula: "count = corners x runs",
			Funcs: []string{"Points"}, Needs: []string{"Item"}, Runs: RunsNumber,
			Roles: []classRole{{ClassFastening, RoleCorners}, {ClassFinish, RoleAdhesive}, {"", RoleOther}}, Reads: []string{"Runs"}, run: (*application).pieceMiters,
		},
		{
			Name: "frame", Does: "The boards of the trim frame.",
			Formula: "each piece by its layout; head over legs: head = w + 2 legs, bottom = w, leg = h + bottom, w and h with the gap",
			Funcs:   []string{"PieceLength"}, Needs: []string{"Item"}, Roles: []classRole{{"", RoleBoard}}, run: (*application).frame,
		},
		{
			Name: "cut ends", Does: "Primer on the cut ends of the trim.",
			Formula: "area = ends x thickness x width x coats; across a miter the length of the cut",
			Funcs:   []string{"CutEndArea", "MiterCut"}, Needs: []string{"Item"}, Takes: []string{"each"},
			Roles: []classRole{{ClassFinish, RolePrimer}, {"", RoleOther}}, Reads: []string{"With"}, run: (*application).cutEnds,
		},
		{
			Name: "area", Does: "A coat over a width along edges.", Formula: "area = length x width; by wall depth: width = wall depth + face lap",
			Funcs: []string{"CoverArea"}, Needs: []string{"Item", "Edges"}, Takes: []string{"width"}, Runs: RunsWall, AtPoint: true,
			Reads: []string{"Along", "Each end", "Runs", "With"}, run: (*application).area,
		},
		{
			Name: "leveling", Does: "Compound under a sill measured out of level.", Formula: "volume = width x depth x rise / 2",
			Funcs: []string{"LevelingVolume"}, Needs: []string{"Item"}, run: (*application).leveling,
		},
		{Name: "note", Does: "Work without material.", NoMaterial: true, run: func(*application) []Requirement { return nil }},
	}
}

// RuleNames returns the words of the Rule column.
func RuleNames() []string {
	names := make([]string, len(rules))
	for i, r := range rules {
		names[i] = r.Name
	}
	return names
}

// FindRule returns the rule of a name, nil when there is none; it is not to be
// written to.
func FindRule(name string) *Rule {
	for i := range rules {
		if rules[i].Name == name {
			return &rules[i]
		}
	}
	return nil
}
