package estimate

import (
	"cmp"
	"slices"
	"strings"
)

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

	run func(c *call) []Requirement
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
func (rule Rule) role(item string, items Items) FrameRole {
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
			Name: "strip", Does: "Pieces of self-adhered strip along edges or at points.",
			Formula: "length = edge + ends; runs = ceil((wall depth + face lap - lap) / (strip width - lap))",
			Funcs:   []string{"StripLength", "SillRuns"}, Needs: []string{"Item"}, Takes: []string{"length", "count", "width"}, Runs: RunsWall, AtPoint: true,
			Reads: []string{"Per", "Edges", "Along", "Each end", "Runs", "With"}, run: (*call).strip,
		},
		{
			Name: "run", Does: "Pieces of stick or metal along edges.", Formula: "length = edge + ends",
			Funcs: []string{"StripLength"}, Needs: []string{"Item", "Edges"}, Runs: RunsNumber, AtPoint: true,
			Reads: []string{"Along", "Each end", "Runs"}, run: (*call).strip,
		},
		{
			Name: "bead", Does: "Sealant beads along edges, or of a length at points.",
			Formula: "volume = length x section; round pi d^2 / 4, fillet leg^2 / 2",
			Funcs:   []string{"BeadVolume", "RoundArea", "FilletArea"}, Needs: []string{"Item", "Edges", "Size"}, Takes: []string{"length"},
			Shapes: []Shape{Round, Square, Fillet, Rectangle}, Runs: RunsNumber, AtPoint: true,
			Reads: []string{"Per", "Along", "Each end", "Runs", "With"}, run: (*call).bead,
		},
		{
			Name: "joint", Does: "Sealant in a joint as wide as its gap.",
			Formula: "volume = length x gap x depth; depth = min(gap, clamp(gap / 2, 1/4, 1/2))",
			Funcs:   []string{"BeadVolume", "JointDepth"}, Needs: []string{"Item", "Edges", "Along", "Size"},
			Shapes: []Shape{OfGap}, Clamps: true, run: (*call).joint,
		},
		{
			Name: "rod", Does: "Backer rod behind a joint of at least the least width.",
			Formula: "diameter = gap + 1/8 below 3/4 in, gap x 1.25 from there up; the next size sold",
			Funcs:   []string{"RodDiameter"}, Needs: []string{"Item", "Edges", "Along"}, run: (*call).rod,
		},
		{
			Name: "cavity", Does: "Foam in the gap round a unit.", Formula: "volume = length x gap x depth",
			Funcs: []string{"CavityVolume"}, Needs: []string{"Item", "Edges", "Size"}, Shapes: []Shape{OfGap}, Reads: []string{"Along"}, run: (*call).cavity,
		},
		{
			Name: "pan rigid", Does: "A rigid pan: two ends, a middle, couplers where it is long.",
			Formula: "middle = width - 2 ends + 2 laps; the smallest kit that covers, then couplers",
			Funcs:   []string{"PanMiddle", "PanCouplers"}, Needs: []string{"Item"}, Reads: []string{"Along"}, run: (*call).panRigid,
		},
		{
			Name: "pan formed", Does: "A pan bent from coil.",
			Formula: "blank = hem + front + sqrt(depth^2 + (slope depth)^2) + back; length = width + 2 end dams, lapped beyond the longest bend; " +
				"pressure = 10 Pa a mm of back leg",
			Funcs: []string{"FormedBlank", "FormedLength", "LapPieces", "DamPressure"}, Needs: []string{"Item"}, Reads: []string{"Along"}, run: (*call).panFormed,
		},
		{
			Name: "pan joints", Does: "Cemented laps of a rigid pan.", Formula: "laps = 2 + 2 couplers",
			Funcs: []string{"PanLaps"}, Needs: []string{"Item"}, run: (*call).panJoints,
		},
		{
			Name: "spaced", Does: "Fasteners or shims along edges at a spacing.", Formula: "count = ceil((length - 2 end) / spacing) + 1 an edge, at least 2",
			Funcs: []string{"Spaced"}, Needs: []string{"Item", "Edges", "Spacing"}, Takes: []string{"end", "each"},
			Reads: []string{"Along", "With"}, run: (*call).spaced,
		},
		{
			Name: "points", Does: "Fasteners, shims or parts at stated points.", Formula: "count = points x edges x each",
			Funcs: []string{"Points"}, Needs: []string{"Item"}, Takes: []string{"count", "each"}, Reads: []string{"Per", "Edges", "With"}, run: (*call).points,
		},
		{
			Name: "piece rows", Does: "Nails in rows across every trim board.",
			Formula: "rows = ceil((length - 2 end) / spacing) + 1; nails a row by board width; nail length = trim + sheathing + insulation + penetration",
			Funcs:   []string{"Spaced", "NailLength"}, Needs: []string{"Item", "Spacing"}, Takes: []string{"end"}, Runs: RunsBoards,
			Roles: []classRole{{ClassFastening, RoleNails}, {"", RoleOther}}, Reads: []string{"Runs", "With"}, run: (*call).pieceRows,
		},
		{
			Name: "piece joints", Does: "Pocket screws or glue at the joints of the trim frame.", Formula: "count = joints x screws by board width",
			Funcs: []string{"Points"}, Needs: []string{"Item"}, Runs: RunsBoards,
			Roles: []classRole{{ClassFastening, RoleScrews}, {ClassFinish, RoleAdhesive}, {"", RoleOther}}, Reads: []string{"Runs"}, run: (*call).pieceJoints,
		},
		{
			Name: "piece mitres", Does: "Glue, splines or nails at the mitred corners of the trim frame.", Formula: "count = corners x runs",
			Funcs: []string{"Points"}, Needs: []string{"Item"}, Runs: RunsNumber,
			Roles: []classRole{{ClassFastening, RoleCorners}, {ClassFinish, RoleAdhesive}, {"", RoleOther}}, Reads: []string{"Runs"}, run: (*call).pieceMitres,
		},
		{
			Name: "frame", Does: "The boards of the trim frame.",
			Formula: "each piece by its layout; head over legs: head = w + 2 legs, bottom = w, leg = h + bottom, w and h with the gap",
			Funcs:   []string{"PieceLength"}, Needs: []string{"Item"}, Roles: []classRole{{"", RoleBoard}}, run: (*call).frame,
		},
		{
			Name: "cut ends", Does: "Primer on the cut ends of the trim.",
			Formula: "area = ends x thickness x width x coats; across a mitre the length of the cut",
			Funcs:   []string{"CutEndArea", "MitreCut"}, Needs: []string{"Item"}, Takes: []string{"each"},
			Roles: []classRole{{ClassFinish, RolePrimer}, {"", RoleOther}}, Reads: []string{"With"}, run: (*call).cutEnds,
		},
		{
			Name: "area", Does: "A coat over a width along edges.", Formula: "area = length x width",
			Funcs: []string{"CoverArea"}, Needs: []string{"Item", "Edges"}, Takes: []string{"width"}, AtPoint: true,
			Reads: []string{"Along", "Each end", "With"}, run: (*call).area,
		},
		{
			Name: "levelling", Does: "Compound under a sill measured out of level.", Formula: "volume = width x depth x rise / 2",
			Funcs: []string{"LevellingVolume"}, Needs: []string{"Item"}, run: (*call).levelling,
		},
		{Name: "note", Does: "Work without material.", NoMaterial: true, run: func(*call) []Requirement { return nil }},
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

// FindRule returns the rule of a name.
func FindRule(name string) (Rule, bool) {
	for i := range rules {
		if rules[i].Name == name {
			return rules[i], true
		}
	}
	return Rule{}, false
}

// check says which parameters of a step its rule lacks or does not take, so
// that no row is read without a word and then asks for nothing.
func (rule Rule) check(r *stepReader, s Step) {
	for _, column := range rule.Needs {
		if r.field(column) == "" {
			r.say(column, "rule "+rule.Name+" needs "+column, "fill it in")
		}
	}
	for name := range s.With {
		rule.checkWith(r, name)
	}
	for name := range s.Counts {
		rule.checkWith(r, name)
	}
	for _, column := range parameterColumns {
		if r.field(column) != "" && !slices.Contains(rule.Needs, column) && !slices.Contains(rule.Reads, column) {
			r.say(column, "rule "+rule.Name+" does not read "+column, "clear the cell")
		}
	}
	rule.checkSize(r, s.Size)
	rule.checkRuns(r, s.Runs)
	rule.checkPoints(r, s)
}

func (rule Rule) checkWith(r *stepReader, name string) {
	if !slices.Contains(rule.Takes, name) {
		takes := "it takes none"
		if len(rule.Takes) > 0 {
			takes = "it takes " + strings.Join(rule.Takes, ", ")
		}
		r.say("With", "rule "+rule.Name+" takes no "+name, takes)
	}
}

// checkSize holds a section against those of the rule.
func (rule Rule) checkSize(r *stepReader, s Section) {
	if s.Shape == "" {
		return
	}
	switch {
	case !slices.Contains(rule.Shapes, s.Shape):
		r.say("Size", "rule "+rule.Name+" takes no section "+r.field("Size"), "it takes "+cmp.Or(strings.Join(wordsOf(rule.Shapes...), ", "), "none"))
	case s.Shape != OfGap && s.A <= 0, !s.Clamp && (s.Shape == OfGap || s.Shape == Rectangle) && s.B <= 0:
		r.say("Size", "a section must be above 0", "write a length")
	case s.Clamp && (s.Shape != OfGap || !rule.Clamps):
		r.say("Size", "only the gap of a joint has a clamped depth", "write the depth")
	}
}

// checkRuns holds the runs against what the rule takes: steps by board width
// need a last one without limit, or wide boards would have no number.
func (rule Rule) checkRuns(r *stepReader, runs Runs) {
	if r.field("Runs") == "" || rule.Runs == NoRuns {
		return
	}
	stepped := len(runs.Steps) > 1 || len(runs.Steps) == 1 && runs.Steps[0].UpTo > 0
	switch {
	case runs.Wall && rule.Runs != RunsWall:
		r.say("Runs", "only strip follows the depth of the wall", "write a number")
	case stepped && rule.Runs == RunsNumber:
		r.say("Runs", "rule "+rule.Name+" has no boards whose width could set the runs", "write one number")
	case !rising(runs.Steps):
		r.say("Runs", "a step that no board reaches", "write the narrowest first, each limit once")
	case stepped && runs.Steps[len(runs.Steps)-1].UpTo > 0:
		r.say("Runs", "boards wider than the last step have no number", "end with a number alone, such as '2 to 8, 3'")
	}
}

// rising reports whether every step but the last has a limit above the one
// before.
func rising(steps []RunStep) bool {
	for i := 1; i < len(steps); i++ {
		before, here := steps[i-1].UpTo, steps[i].UpTo
		if before == 0 || here > 0 && here <= before {
			return false
		}
	}
	return true
}

// checkPoints asks for the length of pieces and beads at points.
func (rule Rule) checkPoints(r *stepReader, s Step) {
	if !rule.AtPoint {
		return
	}
	points := len(s.Edges) == 0 || slices.ContainsFunc(s.Edges, func(e Edge) bool { return strings.HasSuffix(string(e), "corners") })
	if points && s.With["length"] <= 0 && len(r.problems) == 0 {
		r.say("With", "at points a piece needs its length", "write length=6")
	}
	if len(s.Edges) > 0 && s.Counts["count"] > 0 && slices.Contains(rule.Takes, "count") {
		r.say("With", "count is for pieces without edges", "the edges say how many")
	}
}
