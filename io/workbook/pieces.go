package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/cutting"
	"sillwright/pricing"
)

// takeoffPieces reads the pieces of cutting plans beside the takeoff that they are cut
// for.
type takeoffPieces struct {
	u       estimate.Units
	takeoff *estimate.Takeoff
}

func (w *writer) pieces() takeoffPieces { return takeoffPieces{w.u, &w.in.Takeoff} }

// cuts returns the purchases whose plans the shop cuts by: once something is bought or
// done, those of what remains, on the boards that there are.
func (w *writer) cuts() (takeoffPieces, []pricing.Purchase) {
	if r := w.in.Remaining; r != nil {
		return takeoffPieces{w.u, &r.Takeoff}, r.Plan.Purchases
	}
	return w.pieces(), w.in.Plan.Purchases
}

// isCut reports whether a piece is cut already.
func (t takeoffPieces) isCut(p pricing.CutPiece) bool {
	r := t.requirement(p)
	return r != nil && r.Cut
}

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
func (t takeoffPieces) stockPlan(item estimate.Item, supplier, currency string, c pricing.CutPlan) cutting.Plan {
	return cutting.Plan{
		Head:    cmp.Or(item.Name, item.Key) + ", " + fromWords(supplier),
		Facts:   []string{cutting.CostWords(c.Plan, currency)},
		Problem: c.Problem, Plan: c.Plan,
		Piece: cutting.Memoize(func(index int) cutting.Text {
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

// text names the pieces, by their places in CutPlan.Pieces, that are cut off as one:
// several lie side by side on a coil.
func (t takeoffPieces) text(c pricing.CutPlan, on ...int) (text cutting.Text) {
	var marks []string
	names := make([]string, len(on))
	for i, k := range on {
		piece := c.Pieces[k]
		name, mark := "spare", "spare"
		if r := t.requirement(piece); r != nil {
			mark = t.takeoff.Openings[piece.Opening].Mark
			name = mark + " " + r.Name
			text.Held = text.Held || r.Held != ""
			if r.Cut {
				name += " CUT"
			}
		}
		if piece.Parts > 1 {
			name += fmt.Sprintf(" part %d of %d", piece.Part, piece.Parts)
		}
		if piece.Width > 0 {
			name += " " + t.u.Shop(piece.Width) + " wide"
		}
		if i == 0 {
			text.Length = t.u.Shop(piece.Length)
		}
		names[i] = name
		if !slices.Contains(marks, mark) {
			marks = append(marks, mark)
		}
	}
	text.What, text.Mark = strings.Join(names, " + "), strings.Join(marks, " + ")
	return text
}

// shortName returns the name of an item without what stands in parentheses behind it:
// the sizes of a board stand beside it on what the crew reads.
func shortName(item estimate.Item) string {
	name, _, _ := strings.Cut(item.Name, " (")
	return cmp.Or(name, item.Key)
}

// shortName returns the name of an item by its key.
func (w *writer) shortName(key string) string {
	item, _ := w.in.Book.Items.Get(key)
	return cmp.Or(shortName(item), key)
}
