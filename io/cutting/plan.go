package cutting

import (
	"fmt"
	"strings"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// Plan is how the stock of one item is cut, as the sheet Boards shows it.
type Plan struct {
	Head    string // what is cut, from whom
	Facts   []string
	Problem cut.Problem
	Plan    cut.Plan
	Piece   func(index int) Text // of Problem.Pieces
}

// Text is what a piece is called. Mark is short, for pictures.
type Text struct {
	Length, What, Mark string
	Held               bool
}

// HoldWords say how pieces look that are on hold.
const HoldWords = "ON HOLD, hatched: do not cut until measured."

// CostWords says what a plan costs, how sure that is, and what it saves.
func CostWords(p cut.Plan, currency string) string {
	words := strings.TrimSpace(fmt.Sprintf("%s %s", p.Cost.Cents(), currency)) + ", " + sureWords(p)
	if p.FirstFitCost > p.Cost {
		words += fmt.Sprintf("; by hand, longest piece first, it would cost %s", p.FirstFitCost.Cents())
	}
	return words
}

// isOnHand reports whether stock is there already.
func isOnHand(s cut.Stock) bool { return s.Price == 0 && s.Available >= 0 }

// OnHandWords says of stock that it is there already.
func OnHandWords(s cut.Stock) string {
	if isOnHand(s) {
		return " on hand"
	}
	return ""
}

// sureWords says how sure it is that no plan costs less.
func sureWords(p cut.Plan) string {
	switch {
	case p.Proven:
		return "proven: no plan costs less"
	case p.Grid > 0 && p.GridBound == p.Cost:
		return fmt.Sprintf("proven to %s in: no plan on lengths rounded so costs less", measure.FormatInches(p.Grid, 64))
	}
	return fmt.Sprintf("the lowest cost found; at most %s above the lowest possible", p.Gap().Cents())
}

// countWords say how much stock the plan cuts, and in how many patterns.
func (b Plan) countWords() string {
	stock := "board"
	if b.Problem.Roll {
		stock = "roll"
	}
	return counted(len(b.Plan.Boards), stock) + ", " + counted(len(b.Plan.Patterns), "pattern")
}

// counted writes a number of things.
func counted(n int, of string) string {
	if n != 1 {
		of += "s"
	}
	return fmt.Sprintf("%d %s", n, of)
}
