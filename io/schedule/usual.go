package schedule

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// The usual alternates, for a schedule that has none of its own: the other sill
// pans of each group of openings, the flange sealed back to the frame on all
// units, other widths of the trim boards, and trim of another material.

// group is openings that are closed in alike.
type group struct {
	kind   estimate.Kind
	flange estimate.Flange
	sitsOn estimate.SitsOn
	pans   map[estimate.Pan]bool
	marks  []string
}

func (g group) when() string {
	return fmt.Sprintf("kind is %s and flange is %s and sits on is %s", g.kind, g.flange, g.sitsOn)
}

// UsualAlternates returns the usual alternates of a takeoff of the schedule.
// Those that would change nothing are left out.
func (s *Schedule) UsualAlternates(t estimate.Takeoff) []Alternate {
	out := append(s.otherPans(t), s.sealedFlanges(t)...)
	return append(append(out, s.boardWidths(t)...), s.trimMaterials(t)...)
}

// usual makes an alternate of changes to a column of some openings, or to lines
// of Job.
func usual(name string, changes ...Change) Alternate {
	for i := range changes {
		c := &changes[i]
		c.setting = c.When == ""
		c.cond, _ = estimate.ParseCondition(c.When) // ours
		c.value = sheet.Cell{Kind: sheet.Text, Text: c.Value}
	}
	return Alternate{Name: name, Changes: changes}
}

// groups divides the openings of a takeoff, in the order of their marks.
func groups(t estimate.Takeoff) []group {
	var out []group
	for i := range t.Openings {
		o := &t.Openings[i]
		k := slices.IndexFunc(out, func(g group) bool {
			return g.kind == o.Kind && g.flange == o.Flange && g.sitsOn == o.SitsOn
		})
		if k < 0 {
			k = len(out)
			out = append(out, group{kind: o.Kind, flange: o.Flange, sitsOn: o.SitsOn, pans: map[estimate.Pan]bool{}})
		}
		out[k].pans[o.Pan] = true
		if !slices.Contains(out[k].marks, o.Mark) {
			out[k].marks = append(out[k].marks, o.Mark)
		}
	}
	return out
}

// panNames are the pans in words, in the order in which they are compared. A
// fluid-applied pan belongs to the system of its WRB: it is compared where the
// sheet Alternates names it.
var panNames = []struct {
	pan  estimate.Pan
	name string
}{{estimate.PanFlexible, "Flexible pan"}, {estimate.PanRigid, "Rigid pan"}, {estimate.PanMetal, "Metal pan"}}

// otherPans gives each group of openings each other pan. An overhead door has
// none: it is not watertight at the floor.
func (s *Schedule) otherPans(t estimate.Takeoff) []Alternate {
	var out []Alternate
	for _, g := range groups(t) {
		for _, pan := range panNames {
			if g.kind == estimate.OverheadDoor || len(g.pans) == 1 && g.pans[pan.pan] {
				continue
			}
			out = append(out, usual(pan.name+": "+strings.Join(g.marks, ", "), Change{When: g.when(), Column: "Sill pan", Value: string(pan.pan)}))
		}
	}
	return out
}

// The detail that seals a flange back to the frame, and the openings whose own
// detail has it in one with the frame.
const (
	sealedDetail = "window applied"
	oneWithFrame = "kind is window and flange is integral and sits on is wood"
)

// sealedFlanges seals the flange back to the frame on all windows, not only
// where it is attached.
func (s *Schedule) sealedFlanges(t estimate.Takeoff) []Alternate {
	known := slices.ContainsFunc(s.Book.Details, func(d estimate.Detail) bool { return d.Name == sealedDetail })
	is, _ := estimate.ParseCondition(oneWithFrame)
	some := slices.ContainsFunc(t.Openings, func(o estimate.Sized) bool { return is.Holds(s.Book.FactsOf(&o)) })
	if !known || !some {
		return nil
	}
	return []Alternate{usual("Flange sealed to the frame on all windows", Change{When: oneWithFrame, Column: "Detail", Value: sealedDetail})}
}

// trimKeys are the lines of Job with the boards of a trim set.
var trimKeys = []struct {
	kinds []estimate.Kind
	name  string
	keys  []string
}{
	{[]estimate.Kind{estimate.Window}, "windows", []string{"head casing window", "leg casing window", "bottom casing window", "mull casing window"}},
	{[]estimate.Kind{estimate.EntryDoor, estimate.PatioDoor}, "doors", []string{"head casing door", "leg casing door", "mull casing door"}},
	{[]estimate.Kind{estimate.OverheadDoor}, "overhead doors", []string{"head casing overhead door", "leg casing overhead door"}},
}

// boardWidths trims each kind of opening with boards of one other width of the
// same material.
func (s *Schedule) boardWidths(t estimate.Takeoff) []Alternate {
	var out []Alternate
	for _, set := range trimKeys {
		if !trimmed(t, set.kinds) {
			continue
		}
		legs := s.board(set.keys[1])
		for _, board := range s.Book.Items.Family(legs.Family) {
			same := !slices.ContainsFunc(set.keys, func(key string) bool { return s.board(key).Key != board.Key })
			if same {
				continue
			}
			var changes []Change
			for _, key := range set.keys {
				changes = append(changes, Change{Column: key, Value: board.Key})
			}
			out = append(out, usual(fmt.Sprintf("Trim of %s: %s", set.name, board.Key), changes...))
		}
	}
	return out
}

// trimmed reports whether openings of some kinds have trim.
func trimmed(t estimate.Takeoff, kinds []estimate.Kind) bool {
	return slices.ContainsFunc(t.Openings, func(o estimate.Sized) bool { return slices.Contains(kinds, o.Kind) && o.Layout != estimate.NoTrim })
}

// board returns the item of a line of Job.
func (s *Schedule) board(key string) estimate.Item {
	for _, x := range s.valid {
		if x.Key == key {
			item, _ := s.Book.Items.Get(x.Value())
			return item
		}
	}
	return estimate.Item{}
}

// trimMaterials trims the whole job with boards of another family that has
// every width in use.
func (s *Schedule) trimMaterials(t estimate.Takeoff) []Alternate {
	var out []Alternate
	tried := map[string]bool{}
	for _, it := range s.Book.Items.List() {
		if it.Class != estimate.ClassBoards || it.Family == "" || tried[it.Family] {
			continue
		}
		tried[it.Family] = true
		if changes := s.boardsOf(it.Family, t); len(changes) > 0 {
			out = append(out, usual("Trim of "+it.Family, changes...))
		}
	}
	return out
}

// boardsOf changes every trim board to that of a family with its width and
// thickness; nil if one has none, or none changes.
func (s *Schedule) boardsOf(family string, t estimate.Takeoff) []Change {
	var changes []Change
	for _, set := range trimKeys {
		if !trimmed(t, set.kinds) {
			continue
		}
		for _, key := range set.keys {
			old := s.board(key)
			members := s.Book.Items.Family(family)
			k := slices.IndexFunc(members, func(m estimate.Item) bool { return m.Width == old.Width && m.Thickness == old.Thickness })
			switch {
			case old.Family == family:
			case k < 0:
				return nil
			default:
				changes = append(changes, Change{Column: key, Value: members[k].Key})
			}
		}
	}
	return changes
}
