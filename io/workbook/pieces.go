package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/pricing"
)

// stockPlan is how the stock of one item is cut, as the sheet Boards shows it.
type stockPlan struct {
	head    string // what is cut, from whom
	facts   []string
	problem cut.Problem
	plan    cut.Plan
	piece   func(index int) pieceText // of Problem.Pieces
}

// pieceText is what a piece is called. Mark is short, for pictures.
type pieceText struct {
	length, what, mark string
	held               bool
}

// takeoffPieces reads the pieces of cutting plans beside the takeoff that they are cut
// for.
type takeoffPieces struct {
	u       estimate.Units
	takeoff *estimate.Takeoff
}

func (w *writer) pieces() takeoffPieces { return takeoffPieces{w.u, &w.in.Takeoff} }

// requirement returns what a piece is cut for, nil for a spare.
func (t takeoffPieces) requirement(p pricing.CutPiece) *estimate.Requirement {
	if p.Spare() {
		return nil
	}
	return &t.takeoff.Requirements[p.Requirement]
}

// mayCut reports whether a piece may be cut now: it is not spare, and released.
func (t takeoffPieces) mayCut(p pricing.CutPiece) bool {
	r := t.requirement(p)
	return r != nil && r.Held == ""
}

// isTrim reports whether a piece is of a trim frame.
func (t takeoffPieces) isTrim(p pricing.CutPiece) bool {
	r := t.requirement(p)
	return r != nil && r.Role == estimate.RoleBoard
}

// stockPlan returns a plan of an item in the words of the sheet Boards.
func (t takeoffPieces) stockPlan(item estimate.Item, supplier, currency string, c pricing.CutPlan) stockPlan {
	return stockPlan{
		head:    fmt.Sprintf("%s  %s, %s", item.Key, item.Name, fromWords(supplier)),
		facts:   []string{costWords(c.Plan, currency)},
		problem: c.Problem, plan: c.Plan,
		piece: memoize(func(index int) pieceText {
			if c.Shelves != nil {
				return t.text(c, c.Shelves[index]...)
			}
			return t.text(c, index)
		}),
	}
}

// fromWords says where an item comes from.
func fromWords(supplier string) string {
	if supplier == "" {
		return "all on hand"
	}
	return "from " + supplier
}

// costWords says what a plan costs, how sure that is, and what it saves.
func costWords(p cut.Plan, currency string) string {
	words := strings.TrimSpace(fmt.Sprintf("%s %s", centsOf(p.Cost), currency)) + ", " + sureWords(p)
	if p.FirstFitCost > p.Cost {
		words += fmt.Sprintf("; first fit would cost %s", centsOf(p.FirstFitCost))
	}
	return words
}

// text names the pieces, by their places in CutPlan.Pieces, that are cut off as one:
// several lie side by side on a coil.
func (t takeoffPieces) text(c pricing.CutPlan, on ...int) (text pieceText) {
	names := make([]string, len(on))
	for i, k := range on {
		piece := c.Pieces[k]
		name, mark := "spare", "spare"
		if r := t.requirement(piece); r != nil {
			mark = t.takeoff.Openings[piece.Opening].Mark
			name = mark + " " + r.Name
			text.held = text.held || r.Held != ""
		}
		if piece.Parts > 1 {
			name += fmt.Sprintf(" part %d of %d", piece.Part, piece.Parts)
		}
		if piece.Width > 0 {
			name += " " + t.u.Shop(piece.Width) + " wide"
		}
		if i == 0 {
			text.length, text.mark = t.u.Shop(piece.Length), mark
		}
		names[i] = name
	}
	text.what = strings.Join(names, " + ")
	return text
}

// onHandWords says of stock that it is there already.
func onHandWords(s cut.Stock) string {
	if s.Price == 0 && s.Available >= 0 {
		return " on hand"
	}
	return ""
}
