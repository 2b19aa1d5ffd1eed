package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// FrameRole is what a requirement is to a trim frame; "" is nothing.
type FrameRole string

// What requirements are to a trim frame.
const (
	RoleBoard    FrameRole = "board"
	RoleScrews   FrameRole = "pocket screws"
	RoleAdhesive FrameRole = "adhesive"
	RoleCorners  FrameRole = "corner nails"
	RolePrimer   FrameRole = "primer"
	RoleNails    FrameRole = "nails" // to the wall
	RoleOther    FrameRole = "other"
)

// FrameNeed is what one frame takes beside its boards.
type FrameNeed struct {
	Role   FrameRole
	Item   string // key
	Do     string // the step's words
	Dim    Dimension
	Amount int64  // of one frame, base units of Dim
	Words  string // why that many
	Notes  string // the item's
}

// why says in words how a need of the frame was counted.
func (f Frame) why(item Item, r Requirement) string {
	if r.Role != RoleScrews {
		return r.Inputs
	}
	var out []string
	thick := measure.Length(0)
	for _, p := range f.Pieces {
		if p.Screws > 0 {
			out = append(out, fmt.Sprintf("%d %s: %d bored ends of %d, %s wide", p.Count, p.Name, p.Count*p.Bored, p.Screws, measure.FormatInches(p.Width, 16)))
			thick = max(thick, p.Thickness)
		}
	}
	words := strings.Join(out, "; ")
	if item.Length > 0 {
		words += fmt.Sprintf("; %s long for boards %s thick", measure.FormatInches(item.Length, 16), measure.FormatInches(thick, 16))
	}
	return words
}

// stepOf returns the step of the first requirement of a role, nil when there
// is none.
func stepOf(b *Book, needs []Requirement, role FrameRole) *Step {
	i := slices.IndexFunc(needs, func(r Requirement) bool { return r.Role == role })
	if i < 0 {
		return nil
	}
	r := needs[i]
	for _, d := range b.Details {
		for k := range d.Steps {
			if s := &d.Steps[k]; d.Name == r.Detail && s.Text.Place == r.Place {
				return s
			}
		}
	}
	return nil
}
