package sheet

import (
	"slices"
	"strings"

	"sillwright/estimate"
)

// operations are what people write for how a unit opens.
var operations = NewVocabulary(estimate.Operations, map[estimate.Operation][]string{
	estimate.Fixed:      {"stationary", "fixed lite", "nonoperable", "fx", "fix", "f", "o", "oo", "direct set"},
	estimate.Picture:    {"pic", "pw"},
	estimate.Casement:   {"cas", "csm", "csmt", "csmnt", "crank", "crank out", "side hung"},
	estimate.Awning:     {"awn", "awng", "top hung"},
	estimate.Hopper:     {"hpr", "hop"},
	estimate.SingleHung: {"sh", "1 hung"},
	estimate.DoubleHung: {"dh", "2 hung", "dbl hung"},
	estimate.Slider:     {"sliding", "gliding", "glider", "horizontal slider", "hs", "sl", "xo", "ox", "oxo", "xox", "oxxo", "xx"},
	estimate.Sidelites:  {"sidelite", "sidelight"},
	estimate.Single:     {"single door", "one leaf", "single leaf", "single swing"},
	estimate.Pair:       {"double", "double door", "french", "hinged pair"},
	estimate.TiltTurn:   {"tilt and turn", "t and t"},
}, nil)

// Operation returns a word for how a unit opens as we write it; what is not
// known, as it is written, and false.
func Operation(text string) (estimate.Operation, bool) {
	if op, ok := operations.Find(text); ok {
		return estimate.Operation(op), true
	}
	if severalOperations(text) {
		return estimate.Operation(strings.TrimSpace(text)), false
	}
	for _, kind := range []estimate.Kind{estimate.Window, estimate.PatioDoor, estimate.EntryDoor} {
		if op := OperationIn(text, kind); op != "" {
			return op, true
		}
	}
	return estimate.Operation(strings.TrimSpace(text)), false
}

// severalOperations reports whether a text says that parts of a unit open in different
// ways: fixed over awning. It is none of them alone.
func severalOperations(text string) bool {
	seen := map[estimate.Operation]bool{}
	for _, part := range betweenUnits.Split(text, -1) {
		op, known := operations.Find(part)
		if !known {
			op = string(OperationIn(part, estimate.Window))
		}
		if op != "" {
			seen[estimate.Operation(op)] = true
		}
	}
	return len(seen) > 1
}

// operationNotes are words under Operation that say something else, with what
// to do. Blank says that nothing is kept of them.
var operationNotes = []struct {
	what, do string
	blank    bool
	words    []string
}{
	{"says nothing of how the unit opens, and is left out", "leave it blank", true, append([]string{"none", "no", "-", "n/a", "na"}, unsettled...)},
	{"is the hand, which has a column of its own on Receiving", "write it in a column headed Hand", false, []string{"l", "r", "lh", "rh", "lhr", "rhr",
		"lhi", "rhi",
		"lhis", "rhis", "lhos", "rhos", "lho", "rho", "left", "right", "left hand", "right hand", "inswing", "outswing", "is", "os", "swing in", "swing out",
		"swings in", "swings out", "hinge left", "hinge right", "hinged left", "hinged right", "lh inswing", "rh inswing", "lh outswing", "rh outswing",
		"left hand inswing", "right hand inswing", "left hand outswing", "right hand outswing", "inactive", "active", "active/inactive"}},
	{"is the glass, which has a column of its own on Receiving", "write yes in a column headed Tempered", false, []string{"tempered", "temp", "safety glass"}},
	{"says what the window is for, and not how it opens", "write how it opens: casement, double hung ...", false, []string{"egress"}},
	{"may be one operable panel, or several units", "write how it opens: casement, slider ...", false, []string{"x", "hung"}},
	{"may be direct set (fixed) or a double slider", "write fixed or slider", false, []string{"ds"}},
}

// Words that are said of doors or of windows alone.
var (
	doorOperations = []string{"bifold", "bi part", "bi parting", "pocket", "sectional", "roll up", "rolling", "overhead", "dutch", "lift and slide",
		"multi slide",
		"stacking", "french", "sidelites"}
	windowOperations = wordsIn(estimate.Casement, estimate.Awning, estimate.Hopper, estimate.TiltTurn, estimate.SingleHung, estimate.DoubleHung, estimate.Picture,
		estimate.Bay, estimate.Bow, estimate.Garden)
)

func wordsIn(list ...estimate.Operation) []string {
	out := make([]string, len(list))
	for i, o := range list {
		out[i] = string(o)
	}
	return out
}

// OperationRemark is what to say of a word for how a unit opens.
type OperationRemark struct {
	What, Do string // What without the word itself; "" = nothing to say
	Severity estimate.Severity
	Blank    bool // nothing is kept of the word
}

// RemarkOnOperation returns what to say of what stands under Operation, of a
// unit of a kind.
func RemarkOnOperation(text string, kind estimate.Kind) OperationRemark {
	is := func(w string) bool { return markKey(w) == markKey(text) }
	op, known := Operation(text)
	stands := func(w string) bool { return is(w) || known && w == string(op) }
	switch {
	case kind == estimate.Window && slices.ContainsFunc(doorOperations, stands):
		return OperationRemark{What: "is said of doors, and the kind is window", Do: "correct Kind or Operation", Severity: estimate.Warning}
	case kind != "" && kind != estimate.Window && slices.ContainsFunc(windowOperations, stands):
		return OperationRemark{What: "is said of windows, and the kind is " + string(kind), Do: "correct Kind or Operation", Severity: estimate.Warning}
	case known:
		return OperationRemark{}
	}
	for _, n := range operationNotes {
		if slices.ContainsFunc(n.words, is) {
			return OperationRemark{What: n.what, Do: n.do, Blank: n.blank}
		}
	}
	return OperationRemark{What: "is none of the usual words; it is kept as it is written and changes no count", Do: "usual are " + strings.Join(estimate.Operations, ", ")}
}
