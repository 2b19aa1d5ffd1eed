package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// flags say the state of a frame so that nobody overlooks it; ticks stand in
// place of the box to tick where there is nothing to cut.
var (
	frameFlags = map[estimate.FrameState]string{
		estimate.FrameToCut: "TO CUT", estimate.FrameHeld: "ON HOLD", estimate.FrameCut: "CUT", estimate.FrameHung: "HUNG",
	}
	frameTicks = map[estimate.FrameState]string{estimate.FrameHeld: "on hold", estimate.FrameCut: "cut", estimate.FrameHung: "hung"}
)

// wait is what marks of a held frame wait for.
type wait struct {
	why, release string
	marks        []string
}

// waitsOf returns what the marks of a frame wait for; none unless it is held.
func waitsOf(f estimate.Frame) []wait {
	if f.State != estimate.FrameHeld {
		return nil
	}
	var waits []wait
	for _, m := range f.Marks {
		i := slices.IndexFunc(waits, func(x wait) bool { return x.why == m.Held && x.release == m.Release })
		if i < 0 {
			i = len(waits)
			waits = append(waits, wait{why: m.Held, release: m.Release})
		}
		waits[i].marks = append(waits[i].marks, m.Mark)
	}
	return waits
}

// flagWords is the state of a frame, with what it waits for when that is one thing.
func flagWords(state estimate.FrameState, waits []wait) string {
	s := frameFlags[state]
	if len(waits) == 1 && waits[0].why != "" {
		s += ": " + waits[0].why
	}
	return s
}

// heldLines say what a held frame waits for, and what releases it.
func heldLines(waits []wait) []string {
	if len(waits) == 0 {
		return nil
	}
	out := []string{"DO NOT CUT YET. Sizes and lengths below may change."}
	for _, x := range waits {
		var parts []string
		if len(waits) > 1 {
			parts = append(parts, strings.Join(x.marks, ", ")+": "+x.why)
		}
		if x.release != "" {
			parts = append(parts, "to release: "+x.release)
		}
		if len(parts) > 0 {
			out = append(out, capitalized(strings.Join(parts, "; ")))
		}
	}
	return out
}

// frameFacts returns the facts of a frame but how many there are.
func (w *writer) frameFacts(f estimate.Frame) []fact {
	var out []fact
	add := func(name, is string) { out = append(out, fact{name, xlsx.Str(xlsx.Big, is)}) }
	add("Layout", f.Layout)
	add("Fits frame", w.u.Size(f.Size))
	add("Caulk joint", w.gapWords(f))
	add("Overall", w.u.Size(f.Outside))
	if f.OnSite != "" {
		add("Made", "on site: "+f.OnSite)
	} else {
		add("Made", "in the shop")
	}
	if len(f.MullCenters) > 0 {
		add("Mull centers", w.lengths(f.MullCenters)+" from "+f.MullFrom)
		add("Mull", w.mullWords(f))
	}
	if f.Spreader > 0 {
		add("Spreader", w.u.Shop(f.Spreader)+" between the feet")
	}
	for _, n := range f.Needs {
		item, _ := w.in.Book.Items.Get(n.Item)
		add(roleNames[n.Role], w.needWords(f, n, item))
	}
	return out
}

// roleNames are short enough for a card.
var roleNames = map[estimate.FrameRole]string{
	estimate.RoleScrews: "Screws", estimate.RoleAdhesive: "Glue", estimate.RoleCorners: "Corner nails", estimate.RolePrimer: "Primer",
	estimate.RoleNails: "Nails", estimate.RoleOther: "Also",
}

// needWords says what of an item one frame takes.
func (w *writer) needWords(f estimate.Frame, n estimate.FrameNeed, item estimate.Item) string {
	s := cmp.Or(shortName(item), n.Item)
	if length := w.u.Shop(item.Length); item.Length > 0 && !strings.Contains(s, length) {
		s += ", " + w.u.Shop(item.Length) + " long"
	}
	switch {
	case n.Role == estimate.RolePrimer:
		return s
	case n.Dim != estimate.Each:
		s = w.crewWords(n.Item, n.Dim, n.Amount) + " of " + s
	case n.Role == estimate.RoleAdhesive:
		s = fmt.Sprintf("%s, %d joints", s, n.Amount)
	default:
		s = fmt.Sprintf("%d x %s", n.Amount, s)
	}
	if n.Role == estimate.RoleNails && item.Length < f.Nail {
		s += "; needed at least " + w.u.Shop(f.Nail)
	}
	return s
}

// capitalized begins words with a capital.
func capitalized(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// lengths lists lengths as the tape shows them.
func (w *writer) lengths(ls []measure.Length) string {
	out := make([]string, len(ls))
	for i, l := range ls {
		out[i] = w.u.Shop(l)
	}
	return strings.Join(out, ", ")
}

// gapWords says how far the boards stand off what they go round.
func (w *writer) gapWords(f estimate.Frame) string {
	head, legs, bottom := w.u.Shop(f.Gap.Head), w.u.Shop(f.Gap.Legs), w.u.Shop(f.Gap.Bottom)
	open := f.Spreader > 0 // three sided
	switch {
	case head == legs && open:
		return head + " at head and legs"
	case head == legs && legs == bottom:
		return head + " all around"
	case open:
		return fmt.Sprintf("%s at the head, %s at the legs", head, legs)
	}
	return fmt.Sprintf("%s at the head, %s at the legs, %s at the bottom", head, legs, bottom)
}

// endWords says how the ends of a piece are made.
func endWords(x estimate.FramePiece) string {
	s := x.Ends
	if x.Miter > 0 {
		s += fmt.Sprintf("; saw at %d.%d degrees from square", x.Miter/10, x.Miter%10)
	}
	if x.Factory != "" {
		s += "; factory end " + x.Factory
	}
	return s
}

// nailWords says how many rows of nails a piece has, and of how many.
func nailWords(x estimate.FramePiece) string {
	if x.Rows == 0 {
		return ""
	}
	return fmt.Sprintf("%d x %d", x.Rows, x.PerRow)
}

// frameChecks are ticked before a frame leaves the bench.
func (w *writer) frameChecks(f estimate.Frame) []string {
	ends := int64(0)
	for _, x := range f.Pieces {
		ends += x.Prime * x.Count
	}
	return []string{
		fmt.Sprintf("Square: both diagonals %s, corner to corner, equal within %s", w.u.Coarse(f.Diagonal), w.u.Shop(estimate.SquareTolerance)),
		fmt.Sprintf("All %d cut ends primed, and the mark written on the back", ends),
	}
}

// frameNotes says what the tables of a card do not.
func (w *writer) frameNotes(f estimate.Frame) []string {
	out := slices.Clone(f.Notes)
	for _, n := range f.Needs {
		if n.Notes != "" {
			out = append(out, roleNames[n.Role]+": "+n.Notes)
		}
	}
	for _, x := range f.Pieces {
		if x.Misses != "" {
			out = append(out, "nails of the "+string(x.Name)+": "+x.Misses)
		}
	}
	if bored := slices.ContainsFunc(f.Pieces, func(x estimate.FramePiece) bool { return x.Bored > 0 && x.Screws == 0 }); bored {
		out = append(out, "no pocket screws are counted in this detail: bore no ends")
	}
	for _, m := range f.Marks {
		if m.Joint > f.Gap.Legs {
			out = append(out, fmt.Sprintf("%s: the caulk joint at the legs is up to %s where the unit is narrowest", m.Mark, w.u.Shop(m.Joint)))
		}
	}
	return out
}

// mullWords says how wide the casing over the joint between two units is ripped.
func (w *writer) mullWords(f estimate.Frame) string {
	joint := "joint of " + w.u.Shop(f.MullJoint)
	if f.MullRip > 0 {
		return fmt.Sprintf("rip to %s for the %s, studs behind it", w.u.Shop(f.MullRip), joint)
	}
	return "rip to suit the " + joint
}
