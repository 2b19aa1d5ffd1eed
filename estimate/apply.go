package estimate

import (
	"fmt"
	"strings"

	"sillwright/estimate/measure"
)

// The functions here lead a step to its rule: they pick the sizes the rule
// asks for, and write down in words what went in. The arithmetic is the rule's.

func (c *call) strip() []Requirement {
	var out []Requirement
	held := ""
	if c.step.Along == AlongTrim && c.item.Class == ClassMetal {
		held = c.trimHold // bent and cut to the frame, so it waits for the frame
	}
	if len(c.step.Edges) == 0 {
		l := c.step.With["length"]
		n := c.times() * max(1, c.step.Counts["count"])
		if l > 0 && n > 0 {
			out = append(out, pieces(c.item, n, l, "patch", fmt.Sprintf("%d of %s", n, c.in(l))))
		}
		return out
	}
	if least := c.step.With["width"]; c.item.Width < least {
		c.say(Warning, "Flange", fmt.Sprintf("step %s, %s: strip of %s in is narrower than the %s in it must cover", c.step.Number, c.step.Do, c.in(c.item.Width), c.in(least)), "choose a wider strip on Job")
	}
	for _, s := range c.segments() {
		first, second := c.ends(s.edge, c.item.Width)
		l, how := StripLength(s.length, first, second), c.words(s, first, second)
		if s.length == 0 {
			l = c.step.With["length"]
			how = fmt.Sprintf("%d %s of %s", s.count, s.edge, c.in(l))
		}
		runs := c.runs()
		if l <= 0 || runs == 0 || s.count == 0 {
			c.say(Error, "Frame width", fmt.Sprintf("step %s, %s: no length can be computed", c.step.Number, c.step.Do), "check the strip's width and lap on Items and Job")
			continue
		}
		if runs > 1 {
			how = fmt.Sprintf("%d runs; %s", runs, how)
		}
		r := pieces(c.item, s.count*runs, l, string(s.edge), how)
		r.Held = held
		out = append(out, r)
	}
	return out
}

// runs returns the number of runs of the step's strip.
func (c *call) runs() int64 {
	if !c.step.Runs.Wall {
		return c.step.Runs.For(c.item.Width)
	}
	job := &c.book.Job
	return SillRuns(c.wallDepth(), job.FaceLap, c.item.Width, job.StripLap)
}

func (c *call) wallDepth() measure.Length {
	return c.o.WallDepth.Or(c.book.Job.Stud + c.book.Job.Sheathing)
}

// pieces returns a requirement of n pieces of an item.
func pieces(it Item, n int64, l measure.Length, name, how string) Requirement {
	return Requirement{Item: it.Key, Dim: Lengthwise, Count: n, Length: l, Name: name, Amount: n * int64(l), Inputs: how}
}

// amount returns a requirement of an amount of an item.
func amount(it Item, d Dimension, n int64, how string) Requirement {
	return Requirement{Item: it.Key, Dim: d, Amount: n, Inputs: how}
}

func one(r Requirement) []Requirement {
	if r.Amount <= 0 {
		return nil
	}
	return []Requirement{r}
}

func (c *call) bead() []Requirement {
	length, how := c.total()
	n := c.step.Runs.For(0)
	if n > 1 {
		how = fmt.Sprintf("%d beads; %s", n, how)
	}
	v := BeadVolume(measure.Length(n)*length, c.step.Size.area(0))
	return one(amount(c.item, Volumewise, int64(v), how+"; section "+c.step.Text.Fields["Size"]))
}

// gap returns the width of the joint at an edge: along the frame that of the
// trim, else the room between unit and opening, all of it at the head of a
// door, which stands on its sill.
func (c *call) gap(e Edge) measure.Length {
	room := Size{c.o.Rough.W - c.o.Frame.W, c.o.Rough.H - c.o.Frame.H}
	switch {
	case c.step.Along == AlongFrame, c.step.Along == AlongTrim:
		return c.trimGap(e)
	case e == Jambs:
		return room.W / 2
	case c.o.Kind.IsDoor():
		return room.H
	}
	return room.H / 2
}

// trimGap returns the joint of the trim at an edge.
func (c *call) trimGap(e Edge) measure.Length {
	gaps := gapsOf(c.o.Kind, &c.book.Job, c.book.Items)
	switch e {
	case Head:
		return gaps.Head
	case Sill:
		return gaps.Bottom
	}
	return gaps.Legs
}

// gapped is one width of joint and the edges that have it.
type gapped struct {
	gap, length measure.Length
	how         string
}

// gaps gathers the step's edges by the width of their joint.
func (c *call) gaps() []gapped {
	var out []gapped
	for _, s := range c.segments() {
		g := c.gap(s.edge)
		l, how := measure.Length(s.count)*s.length, c.words(s, 0, 0)
		if n := len(out); n > 0 && out[n-1].gap == g {
			out[n-1].length += l
			out[n-1].how += "; " + how
			continue
		}
		out = append(out, gapped{g, l, how})
	}
	return out
}

func (c *call) joint() []Requirement {
	var out []Requirement
	for _, g := range c.gaps() {
		if g.gap <= 0 {
			c.say(Warning, "RO width", fmt.Sprintf("step %s, %s: there is no gap to seal (%s)", c.step.Number, c.step.Do, g.how), "check the opening, or seal the face of the frame to the wall")
			continue
		}
		how := fmt.Sprintf("%s; gap %s x depth %s", g.how, c.in(g.gap), c.in(JointDepth(g.gap)))
		if g.gap < c.book.Job.LeastJoint {
			how += "; narrower than the sealant specifications ask, no rod"
		}
		out = append(out, one(amount(c.item, Volumewise, int64(BeadVolume(g.length, c.step.Size.area(g.gap))), how))...)
	}
	return out
}

func (c *call) rod() []Requirement {
	var out []Requirement
	for _, g := range c.gaps() {
		if g.gap < c.book.Job.LeastJoint {
			continue
		}
		need := RodDiameter(g.gap)
		it, ok := c.smallest(func(m Item) bool { return m.Width >= need }, func(m Item) measure.Length { return m.Width })
		if !ok {
			c.say(Error, "RO width", fmt.Sprintf("a gap of %s in needs rod of %s, thicker than any on Items", c.in(g.gap), c.in(need)), "close the gap with blocking, or add the rod to Items")
			continue
		}
		out = append(out, one(amount(it, Lengthwise, int64(g.length), fmt.Sprintf("%s; gap %s, rod at least %s", g.how, c.in(g.gap), c.in(need))))...)
	}
	return out
}

func (c *call) cavity() []Requirement {
	var out []Requirement
	for _, g := range c.gaps() {
		depth := c.step.Size.B
		out = append(out, one(amount(c.item, Volumewise, int64(CavityVolume(g.length, g.gap, depth)), fmt.Sprintf("%s; gap %s x %s deep", g.how, c.in(g.gap), c.in(depth))))...)
	}
	return out
}

// frameDepth returns the depth a pan must fit, and holds the pan when it is an
// owner's unit whose depth nobody stated.
func (c *call) frameDepth() measure.Length {
	if !c.o.UnitDepth.Set && c.o.SuppliedBy == ByOwner {
		c.panHold = "depth of the owner's unit is not known"
	}
	return c.o.UnitDepth.Or(c.book.Job.Depth[c.o.Kind])
}

// panKit finds the kit for this opening: the smallest that covers, else the
// longest, and the middle it must make up.
func (c *call) panKit() (kit Item, middle measure.Length, ok bool) {
	depth := c.frameDepth()
	fits := func(m Item) bool { return m.FitsFrom <= depth && depth <= m.FitsTo }
	middleOf := func(m Item) measure.Length { return PanMiddle(c.o.Rough.W, m.End, m.Lap) }
	length := func(m Item) measure.Length { return m.Length }
	kit, ok = c.smallest(func(m Item) bool { return fits(m) && m.Length >= middleOf(m) }, length)
	if !ok {
		kit, ok = c.smallest(fits, func(m Item) measure.Length { return -m.Length })
	}
	if !ok {
		c.say(Error, "Unit depth", fmt.Sprintf("no rigid pan on Items fits a frame %s in deep", c.in(depth)), "choose a formed pan, or add the pan to Items")
		return Item{}, 0, false
	}
	return kit, middleOf(kit), true
}

func (c *call) panRigid() []Requirement {
	kit, middle, ok := c.panKit()
	if !ok {
		return nil
	}
	how := fmt.Sprintf("W %s - 2 x %s + 2 x %s = middle %s; frame %s deep", c.in(c.o.Rough.W), c.in(kit.End), c.in(kit.Lap), c.in(middle), c.in(c.frameDepth()))
	r := amount(kit, Each, 1, how)
	r.Held = c.panHold
	out := []Requirement{r}
	n := PanCouplers(middle, kit.Length)
	if n == 0 {
		return out
	}
	for _, extra := range []struct{ family, what string }{{kit.Family + " section", "sections"}, {kit.Family + " coupler", "couplers"}} {
		c.family = c.book.Items.Family(extra.family)
		it, ok := c.smallest(func(m Item) bool { return m.FitsTo == kit.FitsTo }, func(m Item) measure.Length { return -m.Length })
		if len(c.family) == 0 || !ok {
			c.say(Error, "RO width", fmt.Sprintf("a pan middle of %s in needs %s that Items does not have", c.in(middle), extra.what), "add family '"+extra.family+"' to Items, or choose a formed pan")
			continue
		}
		r := amount(it, Each, n, fmt.Sprintf("middle %s over sections of %s", c.in(middle), c.in(kit.Length)))
		r.Held = c.panHold
		out = append(out, r)
	}
	return out
}

func (c *call) panJoints() []Requirement {
	family := c.book.Items.Family("rigid pan")
	cement := c.item
	c.family = family
	kit, middle, ok := c.panKit()
	if !ok {
		return nil
	}
	n := PanCouplers(middle, kit.Length)
	return one(amount(cement, Each, PanLaps(n), fmt.Sprintf("2 ends, %d couplers", n)))
}

func (c *call) panFormed() []Requirement {
	job := &c.book.Job
	depth := c.wallDepth()
	blank := FormedBlank(job.PanHem, job.PanFront, depth, job.PanBack, job.PanSlope)
	length := FormedLength(c.o.Rough.W, job.PanEndDam)
	how := fmt.Sprintf("W %s + 2 x %s; blank %s + %s + sill %s at %s + %s", c.in(c.o.Rough.W), c.in(job.PanEndDam), c.in(job.PanHem), c.in(job.PanFront), c.in(depth), job.PanSlope, c.in(job.PanBack))
	how += fmt.Sprintf("; back leg %s holds against %d Pa of wind", c.in(job.PanBack), DamPressure(job.PanBack))
	if c.item.Coil > 0 && blank > c.item.Coil {
		c.say(Error, "Wall depth", fmt.Sprintf("the pan's blank of %s in is wider than the coil", c.in(blank)), "choose a strip or rigid pan")
		return nil
	}
	lengths := LapPieces(length, job.LongestBend, job.SealedLap)
	if len(lengths) == 0 {
		c.say(Error, "Sill pan", fmt.Sprintf("no formed pan can be made of pieces of %s in with laps of %s", c.in(job.LongestBend), c.in(job.SealedLap)), "correct 'longest bend' and 'sealed lap' on Job")
		return nil
	}
	var out []Requirement
	for _, l := range lengths {
		if n := len(out); n > 0 && out[n-1].Length == l {
			out[n-1] = coilPieces(c.item, out[n-1].Count+1, l, blank, how)
			continue
		}
		out = append(out, coilPieces(c.item, 1, l, blank, how))
	}
	return out
}

// coilPieces returns pieces of a length and width cut from a coil, in amounts
// of coil length: a piece half as wide as the coil takes half its length.
func coilPieces(it Item, n int64, l, width measure.Length, how string) Requirement {
	r := pieces(it, n, l, "pan", how)
	r.Second = width
	if it.Coil > 0 {
		r.Amount = measure.MulDiv(r.Amount, int64(width), int64(it.Coil))
	}
	return r
}

func (c *call) spaced() []Requirement {
	n, how := int64(0), ""
	each := max(1, c.step.Counts["each"])
	for _, s := range c.segments() {
		k := Spaced(s.length, c.step.With["end"], c.step.Spacing)
		n += Points(k, s.count, each)
		how += fmt.Sprintf("%s: %d", c.words(s, 0, 0), k)
		if s.count > 1 {
			how += " each"
		}
		how += "; "
	}
	how += "at " + c.in(c.step.Spacing)
	if each > 1 {
		how += fmt.Sprintf(", %d a place", each)
	}
	return one(amount(c.item, Each, n, how))
}

func (c *call) points() []Requirement {
	n, each := max(1, c.step.Counts["count"]), max(1, c.step.Counts["each"])
	how := fmt.Sprintf("%d an opening", n)
	times := c.times()
	if len(c.step.Edges) > 0 {
		times = 0
		for _, s := range c.segments() {
			times += s.count
		}
		how = fmt.Sprintf("%d at each of %d %s", n, times, joinEdges(c.step.Edges))
	} else if c.step.Per == PerUnit || c.step.Per == PerMull {
		how = fmt.Sprintf("%d at each of %d %ss", n, times, c.step.Per)
	}
	if each > 1 {
		how += fmt.Sprintf(", %d a place", each)
	}
	return one(amount(c.item, Each, Points(n, times, each), how))
}

// joinEdges names edges in words.
func joinEdges(es []Edge) string {
	words := make([]string, len(es))
	for i, e := range es {
		words[i] = string(e)
	}
	return strings.Join(words, " and ")
}

func (c *call) pieceRows() []Requirement {
	job := &c.book.Job
	n, thick, how := int64(0), measure.Length(0), ""
	for _, p := range c.trim.pieces {
		rows := Spaced(p.Length, c.step.With["end"], c.step.Spacing)
		perRow := c.step.Runs.For(p.Item.Width)
		n += p.Number * rows * perRow
		thick = max(thick, p.Item.Thickness)
		if how != "" {
			how += "; "
		}
		how += fmt.Sprintf("%d %s: %d rows of %d", p.Number, p.Piece, rows, perRow)
	}
	if n == 0 {
		return nil
	}
	need := NailLength(thick, job.Sheathing, job.Insulation, job.Penetration)
	it, ok := c.smallest(func(m Item) bool { return m.Length >= need }, func(m Item) measure.Length { return m.Length })
	if !ok {
		c.say(Error, "Trim", fmt.Sprintf("trim nails of %s in are longer than any on Items", c.in(need)), "add a longer nail or screw to Items")
		return nil
	}
	return one(amount(it, Each, n, fmt.Sprintf("%s; nail at least %s", how, c.in(need))))
}

func (c *call) pieceJoints() []Requirement {
	n, joints, thick := int64(0), int64(0), measure.Length(0)
	for _, p := range c.trim.pieces {
		ends := p.Number * p.Bored
		joints += ends
		n += Points(c.step.Runs.For(p.Item.Width), ends, 1)
		thick = max(thick, p.Item.Thickness)
	}
	if n == 0 {
		return nil
	}
	it, ok := c.item, true
	if len(c.family) > 0 {
		it, ok = c.smallest(func(m Item) bool { return m.FitsFrom <= thick && thick <= m.FitsTo }, func(m Item) measure.Length { return m.Length })
	}
	if !ok {
		c.say(Error, "Trim", fmt.Sprintf("nothing of family %s on Items fits boards %s in thick", c.step.Item, c.in(thick)), "add the screw to Items")
		return nil
	}
	return one(amount(it, Each, n, fmt.Sprintf("%d joints", joints)))
}

func (c *call) pieceMitres() []Requirement {
	corners, each := c.trim.corners(), c.step.Runs.For(0)
	return one(amount(c.item, Each, Points(each, corners, 1), fmt.Sprintf("%d mitred corners, %d each", corners, each)))
}

func (c *call) frame() []Requirement {
	var out []Requirement
	gaps := c.trim.sizes.Gap
	gap := c.in(gaps.Head)
	if gaps.Head != gaps.Legs || gaps.Head != gaps.Bottom {
		gap = fmt.Sprintf("head %s, legs %s, bottom %s", c.in(gaps.Head), c.in(gaps.Legs), c.in(gaps.Bottom))
	}
	for _, p := range c.trim.pieces {
		how := fmt.Sprintf("frame %s x %s, gap %s, %s", c.in(c.o.TrimSize.W), c.in(c.o.TrimSize.H), gap, c.o.Layout)
		if drop := legDrop(c.o, &c.book.Job); p.Drop != 0 && drop.Set {
			how += fmt.Sprintf(", leg drop %s less %s", c.in(drop.V), c.in(c.book.Job.LegClearance[c.o.SitsOn]))
			if !c.o.LegDrop.Set {
				how += ", the drop assumed"
			}
		}
		if p.Board == MullBoard {
			at, from := c.o.mullCentres(gaps)
			how += fmt.Sprintf(", rip to suit the joint of %s; centres from %s", c.in(c.o.Mull), from)
			for _, centre := range at {
				how += " " + c.in(centre)
			}
		}
		r := pieces(p.Item, p.Number, p.Length, string(p.Piece), how)
		r.Held, r.Pair, r.Factory, r.Done = c.trimHold, p.Pair, p.Pair && p.Mitred == 0, c.o.Status.TrimDone()
		out = append(out, r)
	}
	return out
}

func (c *call) cutEnds() []Requirement {
	area, ends := measure.Area(0), int64(0)
	coats := max(1, c.step.Counts["each"])
	for _, p := range c.trim.pieces {
		area += CutEndArea((2-p.Mitred)*p.Number, p.Item.Thickness, p.Item.Width, coats)
		area += CutEndArea(p.Mitred*p.Number, p.Item.Thickness, MitreCut(p.Item.Width, c.trim.across(p)), coats)
		ends += 2 * p.Number
	}
	return one(amount(c.item, Areawise, int64(area), fmt.Sprintf("%d ends, counted %d times", ends, coats)))
}

func (c *call) area() []Requirement {
	length, how := c.total()
	width := c.step.With["width"]
	if width == 0 {
		wall, _ := c.book.Items.Get(c.book.Job.Role["strip wall"])
		width = wall.Width
	}
	return one(amount(c.item, Areawise, int64(CoverArea(length, width)), fmt.Sprintf("%s; %s wide", how, c.in(width))))
}

func (c *call) levelling() []Requirement {
	rise, _ := c.o.rise()
	depth := c.wallDepth()
	if rise <= LevelTolerance {
		return nil
	}
	return one(amount(c.item, Volumewise, int64(LevellingVolume(c.o.Rough.W, depth, rise)), fmt.Sprintf("W %s x %s deep x rise %s / 2", c.in(c.o.Rough.W), c.in(depth), c.in(rise))))
}
