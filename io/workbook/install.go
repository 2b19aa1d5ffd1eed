package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// The columns of Install.
const (
	stepTick = iota + 1
	stepNumber
	stepWork
	stepFor
	stepItem
	stepAmount
	stepUnit
	stepCols = stepUnit
)

var (
	stepHeads  = []string{"", "Step", "Work", "For", "Item", "Each opening", "Unit, or size"}
	stepWidths = []float64{5, 6.5, 40, 10, 17.5, 9, 20}
)

// governs ends the work of every visit.
const governs = "Local code and the makers' written instructions govern; where they differ from a step, follow them."

// visitNames are the visits in words.
var visitNames = map[estimate.Visit]string{estimate.VisitSet: "set the units", estimate.VisitShop: "in the shop", estimate.VisitTrim: "hang the trim"}

// installSheet writes the steps of every detail and visit, for the clipboard on
// site, each with what one opening takes.
func (w *writer) installSheet() {
	p := w.install
	p.landscape(false)
	w.top(p, "Install", "The steps in order, by detail and visit, with what ONE opening of each mark takes. Tick what is done.")
	header := p.row(strs(heading, stepHeads...)...)
	p.height(header, heightFor(2, &drawings[heading]))
	list := estimate.Installs(w.in.Book, w.in.Takeoff)
	for _, in := range list {
		begin := p.next()
		w.installHead(in)
		for _, s := range in.Steps {
			first := p.next()
			w.installStep(in, s)
			p.keepTogether(first, p.next())
		}
		end := p.banner(big, governs, stepCols)
		if s := sourceWords(in.Steps); s != "" {
			p.banner(fine, "Sources by step.  "+s, stepCols)
		}
		p.keepTogether(end, p.next())
		p.keepTogether(begin, p.next())
		p.skip(1)
	}
	if len(list) == 0 {
		p.row(str(text, "There is nothing to install."))
	}
	p.widths(stepWidths...)
	p.freeze(header, 0)
	p.titleRows(header, header)
}

// installHead writes what the work is, for which openings, what can hurt, and
// what was read of the sills.
func (w *writer) installHead(in estimate.Install) {
	p := w.install
	p.banner(bigHead, in.Detail+": "+visitNames[in.Visit], stepCols)
	p.banner(big, "For "+w.openingWords(in), stepCols)
	if in.Visit == estimate.VisitShop {
		p.row(str(text, "Sizes:"), blank(text), linkTo(w.frames.quoted+"!A1", "see the cards on Frames"))
		return
	}
	for _, s := range w.installCautions(in) {
		p.banner(textWrap, "CAUTION  "+s, stepCols)
	}
	if in.Visit != estimate.VisitSet {
		return
	}
	for _, o := range in.Openings {
		for _, c := range o.Sills {
			w.stepRow(str(bigCount, "1"), sillWords(w.u, w.in.Takeoff.Openings[o.Opening], c))
		}
	}
}

// openingWords lists the openings of a visit with their sizes.
func (w *writer) openingWords(in estimate.Install) string {
	out := make([]string, len(in.Openings))
	for i, x := range in.Openings {
		o := w.in.Takeoff.Openings[x.Opening]
		out[i] = o.Mark
		if o.Qty > 1 {
			out[i] += fmt.Sprintf(" x %d", o.Qty)
		}
		out[i] += " (" + w.u.size(o.Frame) + ")"
	}
	return strings.Join(out, ", ")
}

// installCautions says what can go wrong or hurt at the openings of a visit.
func (w *writer) installCautions(in estimate.Install) []string {
	var out []string
	for _, x := range w.in.Problems { // of the job as a whole
		if whole := x.Place == (estimate.Place{File: w.in.File}); whole && (in.Visit == estimate.VisitSet || x.Severity == estimate.Warning) {
			out = append(out, cautionWords(x))
		}
	}
	var weights, feet, unknown []string
	for _, x := range in.Openings {
		o := &w.in.Takeoff.Openings[x.Opening]
		for _, c := range x.Cautions {
			out = append(out, cautionWords(c))
		}
		if o.Kind == estimate.Window || o.Kind == estimate.PatioDoor {
			pounds := measure.MulDiv(estimate.GlassWeight(o.Frame.Area(), glassLites), 1, 100)
			weights = append(weights, fmt.Sprintf("%s %d lb", o.Mark, pounds))
		}
		if x.Ladder.Set {
			feet = append(feet, o.Mark+" "+w.u.words(x.Ladder.V))
		} else {
			unknown = append(unknown, o.Mark)
		}
	}
	if len(weights) > 0 && in.Visit == estimate.VisitSet {
		out = append(out, "glass alone, two lites of 1/8 in over the whole frame: "+strings.Join(weights, ", "))
	}
	out = append(out, ladderWords(feet, unknown))
	if s := w.coldWords(in); s != "" {
		out = append(out, s)
	}
	return out
}

// glassLites is how many lites the weight is stated for.
const glassLites = 2

// cautionWords is a problem without its cell: on a clipboard there is none.
func cautionWords(x estimate.Problem) string {
	if x.Do == "" {
		return x.What
	}
	return x.What + " (" + x.Do + ")"
}

// ladderWords says where the foot of a ladder stands.
func ladderWords(feet, unknown []string) string {
	var out []string
	if len(feet) > 0 {
		out = append(out, strings.Join(feet, ", "))
	}
	if len(unknown) > 0 {
		out = append(out, "a quarter of the ladder's working length, the drop outside not being stated: "+strings.Join(unknown, ", "))
	}
	return "foot of a ladder to the head, out from the wall: " + strings.Join(out, "; ")
}

// coldWords lists what of the products bought for a visit minds the cold, ""
// when none does.
func (w *writer) coldWords(in estimate.Install) string {
	used := map[string]bool{}
	for _, s := range in.Steps {
		for _, k := range s.Needs {
			used[w.in.Takeoff.Requirements[k].Item] = true
		}
	}
	var out []string
	for _, buy := range w.in.Plan.Purchases {
		if !used[buy.Item.Key] || !buy.Item.Site {
			continue
		}
		if least := leastTempF(buy); least.Set {
			out = append(out, fmt.Sprintf("%s %d", buy.Item.Key, least.V))
		}
	}
	if len(out) == 0 {
		return ""
	}
	forecast := "coldest forecast not stated on Job"
	if cold := w.in.Book.Job.ColdestF; cold.Set {
		forecast = fmt.Sprintf("coldest forecast %d F", cold.V)
	}
	return forecast + "; least F to work at, unless the maker says otherwise: " + strings.Join(out, ", ")
}

// leastTempF returns the lowest temperature at which all that is bought of an
// item can be used: of each product its own, else the item's.
func leastTempF(buy pricing.Purchase) estimate.Maybe[int64] {
	if len(buy.Lines) == 0 {
		return buy.Item.MinTempF
	}
	var least estimate.Maybe[int64]
	for _, l := range buy.Lines {
		t := l.Offer.MinTempF
		if !t.Set {
			t = buy.Item.MinTempF
		}
		if t.Set && (!least.Set || t.V > least.V) {
			least = t
		}
	}
	return least
}

// sillWords says what was read of a sill and of diagonals, and what to do.
func sillWords(u units, o estimate.Sized, c estimate.SillCheck) string {
	name := o.Mark
	if o.Qty > 1 {
		name += fmt.Sprintf(" piece %d", c.Piece)
	}
	var out []string
	if c.LevelRead {
		level := "level"
		if c.Rise > 0 {
			level = fmt.Sprintf("%s end high by %s (allowed %s); a square frame would lean %s", nonEmpty(string(c.HighEnd), "one"), u.shop(c.Rise), u.shop(c.Tolerance), u.shop(c.Lean))
			if c.LeanLimit.Set {
				level += fmt.Sprintf(" (the lock allows %s)", u.shop(c.LeanLimit.V))
			}
		}
		out = append(out, "sill "+level)
	}
	if c.Compound > 0 {
		out = append(out, fmt.Sprintf("levelling compound %s %s", shownNumber(u.of(estimate.Volumewise, int64(c.Compound)), formatNumber), u.name(estimate.Volumewise)))
	}
	if c.Diagonals.Set {
		square := fmt.Sprintf("diagonals of the %s differ by %s (allowed %s)", c.Of, u.shop(c.Diagonals.V), u.shop(c.DiagonalTolerance))
		if c.Rack > 0 {
			square += fmt.Sprintf(", head %s out of square", u.shop(c.Rack))
		}
		out = append(out, square)
	}
	for _, do := range []string{c.Do, c.Square} {
		if do != "" {
			out = append(out, strings.ToUpper(do))
		}
	}
	return name + ": " + strings.Join(out, "; ")
}

// stepRow writes a line of work that runs to the edge.
func (w *writer) stepRow(number cell, words string) {
	p := w.install
	cells := append([]cell{blank(tick), number, str(big, words)}, slices.Repeat([]cell{blank(big)}, stepCols-stepWork)...)
	row := p.row(cells...)
	p.merge(row, stepWork, row, stepCols)
}

// installStep writes a step: a row for each sort of thing that an opening takes.
func (w *writer) installStep(in estimate.Install, s estimate.InstallStep) {
	if s.NoMaterial {
		words := s.Do
		if !s.All {
			words = w.stepMarks(in, s.For) + ": " + words
		}
		w.stepRow(str(bigCount, s.Number), words)
		return
	}
	for i, x := range w.stepNeeds(in, s) {
		cells := []cell{
			blank(plain), blank(plain), blank(plain), str(textWrap, x.marks), str(textWrap, x.item), blank(number), str(textWrap, x.of),
		}
		if i == 0 {
			cells[0], cells[stepNumber-1], cells[stepWork-1] = blank(tick), str(bigCount, s.Number), str(big, s.Do)
		}
		if x.amount > 0 {
			cells[stepAmount-1] = num(w.u.of(x.dim, x.amount), amountLook(x.dim))
		}
		w.install.row(cells...)
	}
}

// sourceWords says where the steps of a visit come from, each source once.
func sourceWords(steps []estimate.InstallStep) string {
	type source struct {
		words   string
		numbers []string
	}
	var list []source
	for _, s := range steps {
		if s.Source == "" {
			continue
		}
		i := slices.IndexFunc(list, func(x source) bool { return x.words == s.Source })
		if i < 0 {
			i = len(list)
			list = append(list, source{words: s.Source})
		}
		if !slices.Contains(list[i].numbers, s.Number) {
			list[i].numbers = append(list[i].numbers, s.Number)
		}
	}
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = strings.Join(x.numbers, ", ") + ": " + x.words
	}
	return strings.Join(out, ".  ")
}

// stepNeed is what one opening takes of an item in a step.
type stepNeed struct {
	marks  string
	item   string
	dim    estimate.Dimension
	amount int64  // of pieces their number
	of     string // the unit, or what each piece is
}

// stepNeeds returns the rows of a step. Openings that take the same share them.
func (w *writer) stepNeeds(in estimate.Install, s estimate.InstallStep) []stepNeed {
	type group struct {
		on    []int // of in.Openings
		needs []stepNeed
	}
	var groups []group
	byOpening := map[int][]int{}
	for _, k := range s.Needs {
		o := w.in.Takeoff.Requirements[k].Opening
		byOpening[o] = append(byOpening[o], k)
	}
	for _, i := range s.For {
		needs := w.openingNeeds(byOpening[in.Openings[i].Opening])
		g := slices.IndexFunc(groups, func(g group) bool { return slices.Equal(g.needs, needs) })
		if g < 0 {
			g = len(groups)
			groups = append(groups, group{needs: needs})
		}
		groups[g].on = append(groups[g].on, i)
	}
	var out []stepNeed
	for _, g := range groups {
		g.needs[0].marks = w.stepMarks(in, g.on)
		out = append(out, g.needs...)
	}
	return out
}

// openingNeeds returns what the requirements of one opening take in a step: at
// least a line that says that it takes nothing. Amounts of one item are added up.
func (w *writer) openingNeeds(needs []int) []stepNeed {
	var out []stepNeed
	for _, k := range needs {
		r := w.in.Takeoff.Requirements[k]
		x := stepNeed{item: r.Item, dim: r.Dim, amount: r.Amount, of: w.u.name(r.Dim)}
		if r.Pieces() {
			x.dim, x.amount, x.of = estimate.Each, r.Count, pieceWords(w.u, r)
		}
		same := slices.IndexFunc(out, func(o stepNeed) bool { return !r.Pieces() && o.item == x.item && o.of == x.of })
		if same >= 0 {
			out[same].amount += x.amount
			continue
		}
		out = append(out, x)
	}
	if len(out) == 0 {
		return []stepNeed{{item: "none"}}
	}
	return out
}

// pieceWords says what each piece of a requirement is.
func pieceWords(u units, r estimate.Requirement) string {
	s := "of " + u.shop(r.Length)
	if r.Second > 0 {
		s += " x " + u.shop(r.Second)
	}
	s += " " + u.name(estimate.Lengthwise)
	if r.Name != "" {
		s += ", " + r.Name
	}
	switch {
	case r.Done:
		return s + ", cut"
	case r.Held != "":
		return s + ", HELD"
	}
	return s
}

// stepMarks names openings of a visit: "all" when it is for all of several.
func (w *writer) stepMarks(in estimate.Install, on []int) string {
	if len(on) == len(in.Openings) && len(on) > 1 {
		return "all"
	}
	out := make([]string, len(on))
	for i, k := range on {
		out[i] = w.in.Takeoff.Openings[in.Openings[k].Opening].Mark
	}
	return strings.Join(out, ", ")
}
