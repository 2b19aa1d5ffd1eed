package workbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// The columns of Cut list. What stands behind the printed ones is what the
// check of the pieces is made from.
var (
	sawHeads  = []string{"Tick", "Count", "Set the stop", "in", "So far", "Layouts on Boards", "Labels", "Factory end", "Left whole", "In the plan", "Adds up to 0"}
	sawWidths = []float64{6, 7, 14, 10.5, 7, 15, 32, 15, 11, 11, 12}
)

const (
	printedSawCols = 8
	sawWholeCol    = printedSawCols + 1
	sawPlanCol     = sawWholeCol + 1
	sawCheckCol    = sawPlanCol + 1
	tickHeight     = 22.0 // points: room for a pencil
)

// sawCaution stands above the columns on every page.
const sawCaution = "CAUTION  Eye and ear protection, and a mask against dust; fibre cement frees silica: wet or with extraction, and a respirator. Follow the saw maker's instructions; local rules govern."

// setting is a setting of the stop: all that is cut at one length.
type setting struct {
	length measure.Length
	count  int
	boards map[int]int // boards by layout
	uses   ordered[label, use]
	ends   []factoryEnds
}

// label is what is written on a piece, and whether it is one of a pair.
type label struct {
	what string
	pair bool
}

// use is what pieces are for, in the words of their label.
type use struct {
	label
	piece int // the first, of CutPlan.Pieces
	count int
}

// factoryEnds counts the pieces that want a factory end at a place, and those
// that get one.
type factoryEnds struct {
	where       string
	wants, gets int
}

// sawProfile is what is cut of one item, and what stays whole.
type sawProfile struct {
	settings []setting // longest first
	whole    []setting // held pieces and spares
	fetch    []int     // boards by stock from which something is cut
	rest     []int     // the others
}

// opensPiece names a piece of an opening, as trim frames do.
type opensPiece struct {
	opening int
	name    string
}

// cutListSheet writes what is cut, by profile: each length once, so that the stop
// is set once for it, a pair of legs included. What is held and what is spare
// stays whole; what was cut before is not there. Blocks that fit on a page
// share it; the first that is no board begins one.
func (w *writer) cutListSheet() {
	p := w.cutList
	w.top(p, "Cut list", "Each length once, longest first. Cut the first piece, measure it, then cut the rest.")
	p.landscape(false)
	caution := p.banner(big, sawCaution, printedSawCols)
	heads := slices.Clone(sawHeads)
	heads[3] = w.u.name(estimate.Lengthwise)
	header := p.row(strs(heading, heads...)...)
	places, list := w.factoryPlaces(), boardsFirst(w.in.Plan.Purchases)
	for i, buy := range list {
		if i > 0 && fromBoards(buy) != fromBoards(list[i-1]) {
			p.breakBefore(p.next())
		}
		for _, c := range buy.Plans {
			first := p.next()
			w.sawBlock(buy, c, w.sawProfile(c, places))
			p.keepTogether(first, p.next()-1)
			p.skip(1)
		}
	}
	if p.next() == header+1 {
		p.row(str(text, "Nothing is cut."))
	}
	p.set(masterRow, printedSawCols-1, str(textRight, "Pieces of the plans not listed, or twice:"))
	p.set(masterRow, printedSawCols, formula(w.cutListAdd(), 0, count))
	p.widths(sawWidths...)
	p.printCols(printedSawCols)
	p.freeze(header, 0)
	p.titleRows(caution, header)
}

// cutListAdd is a formula: how many pieces of the plans are on no line of Cut
// list, or on two.
func (w *writer) cutListAdd() string {
	p := w.cutList
	return "SUM(" + p.span(masterRow+1, sawCheckCol, p.next(), sawCheckCol) + ")"
}

// boardsFirst returns the purchases that are cut, boards before all others.
func boardsFirst(all []pricing.Purchase) (list []pricing.Purchase) {
	for _, buy := range all {
		if len(buy.Plans) > 0 {
			list = append(list, buy)
		}
	}
	slices.SortStableFunc(list, func(a, b pricing.Purchase) int {
		return cmp.Compare(fromBoards(a), fromBoards(b))
	})
	return list
}

func fromBoards(p pricing.Purchase) int {
	if p.Item.Class == estimate.ClassBoards {
		return 0
	}
	return 1
}

// factoryPlaces returns where the pieces of trim frames want their factory end.
func (w *writer) factoryPlaces() map[opensPiece]string {
	places := map[opensPiece]string{}
	for _, f := range w.trim {
		for _, m := range f.Marks {
			for _, x := range f.Pieces {
				places[opensPiece{m.Opening, string(x.Name)}] = x.Factory
			}
		}
	}
	return places
}

// sawBlock writes one profile.
func (w *writer) sawBlock(buy pricing.Purchase, c pricing.CutPlan, profile sawProfile) {
	p := w.cutList
	p.banner(bigHead, buy.Item.Key+"  "+buy.Item.Name, printedSawCols)
	for _, s := range append(w.fetchWords(c, profile), w.sawWords(c, profile, fromBoards(buy) == 0)) {
		p.banner(big, s, printedSawCols)
	}
	first, sofar := p.next(), 0
	for _, s := range profile.settings {
		row := p.next()
		sofar += s.count
		running := "B" + itoa(row)
		if row > first {
			running = fmt.Sprintf("E%d+B%d", row-1, row)
		}
		p.row(blank(tick), num(s.count, bigCount), str(bigRight, w.u.shop(s.length)), num(w.u.length(s.length), inches), formula(running, sofar, count),
			str(textWrap, layoutWords(s.boards)), str(big, s.labelWords()), str(textWrap, s.factoryWords()))
		p.height(row, max(tickHeight, p.rowHeight(row, sawWidths)))
	}
	w.sawCheck(c, profile, first, sofar)
	if len(profile.whole) > 0 {
		p.banner(big, "Leave whole, the layout written on it: "+w.wholeWords(profile.whole), printedSawCols)
	}
	p.skip(1)
}

// sawCheck writes the sum below the settings from a row on, and by how much it
// and what is left whole differ from the pieces that the plan was asked for.
func (w *writer) sawCheck(c pricing.CutPlan, profile sawProfile, first, listed int) {
	p, row := w.cutList, w.cutList.next()
	planned := int64(0)
	for _, piece := range c.Pieces {
		planned += piece.Count
	}
	cells := slices.Repeat([]cell{blank(totalText)}, len(sawHeads))
	cells[1] = num(listed, totalCount)
	cells[6] = str(totalText, "to cut now")
	if listed > 0 {
		cells[1] = formula(sumOf("B", first, row-1), listed, totalCount)
	} else {
		cells[6].v = "Nothing may be cut yet."
	}
	cells[sawWholeCol-1] = num(countOf(profile.whole), totalCount)
	cells[sawPlanCol-1] = num(planned, totalCount)
	cells[sawCheckCol-1] = formula(fmt.Sprintf("ABS(B%d+%s-%s)", row, ref(row, sawWholeCol), ref(row, sawPlanCol)), 0, totalCount)
	p.row(cells...)
}

// countOf returns how many pieces settings have.
func countOf(list []setting) (n int) {
	for _, s := range list {
		n += s.count
	}
	return n
}

// sawProfile sorts the pieces of a plan by setting. Of pieces that lie side by
// side on a coil each counts for itself: what is held or spare keeps back no
// other.
func (w *writer) sawProfile(c pricing.CutPlan, places map[opensPiece]string) sawProfile {
	out := sawProfile{fetch: make([]int, len(c.Problem.Stocks)), rest: make([]int, len(c.Problem.Stocks))}
	what := remembered(func(k int) string { return w.pieceText(c, []int{k}).what })
	var settings, whole ordered[measure.Length, setting]
	for i, l := range c.Plan.Layouts {
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			var cuts []measure.Length // of this board
			for at, on := range c.On(b) {
				for _, k := range on {
					length := c.Pieces[k].Length
					if !w.mayCut(c.Pieces[k]) {
						settingOf(&whole, length).add(k, label{what: wholeUse(c.Pieces[k], what(k))})
						continue
					}
					r := w.in.Takeoff.Requirements[c.Pieces[k].Requirement]
					s := settingOf(&settings, length)
					s.add(k, label{what(k), r.Pair})
					if r.Factory {
						s.want(cmp.Or(places[opensPiece{r.Opening, r.Name}], "at one end"), atFactoryEnd(c, b, at))
					}
					if !slices.Contains(cuts, length) {
						cuts = append(cuts, length)
						s.boards[i+1]++
					}
				}
			}
			if len(cuts) > 0 {
				out.fetch[b.Stock]++
			} else {
				out.rest[b.Stock]++
			}
		}
	}
	out.settings, out.whole = settings.list, whole.list
	for _, list := range [][]setting{out.settings, out.whole} {
		slices.SortStableFunc(list, func(a, b setting) int { return cmp.Compare(b.length, a.length) })
		for _, s := range list {
			slices.SortStableFunc(s.uses.list, func(a, b use) int { return cmp.Compare(a.piece, b.piece) })
		}
	}
	return out
}

// mayCut reports whether a piece may be cut now: it is not spare, and released.
func (w *writer) mayCut(p pricing.CutPiece) bool {
	return !p.Spare() && w.in.Takeoff.Requirements[p.Requirement].Held == ""
}

// wholeUse says what a piece that stays whole is kept for.
func wholeUse(p pricing.CutPiece, what string) string {
	if p.Spare() {
		return what
	}
	return "for " + what + " (held)"
}

// atFactoryEnd reports whether a piece of a board, by its place in the order of
// the saw, has an end that came from the mill: nothing is squared off there, and
// the board is no offcut.
func atFactoryEnd(c pricing.CutPlan, b cut.Board, at int) bool {
	return !c.OnHand(b) && (at == 0 && c.Problem.Head == 0 || at == len(b.Pieces)-1 && c.Problem.Tail == 0)
}

// settingOf returns the setting of a length, and begins it if there is none. It
// is good until the next one is begun.
func settingOf(list *ordered[measure.Length, setting], length measure.Length) *setting {
	s, first := list.of(length)
	if first {
		s.length, s.boards = length, map[int]int{}
	}
	return s
}

// add counts a piece in.
func (s *setting) add(piece int, l label) {
	s.count++
	u, first := s.uses.of(l)
	if first {
		u.label, u.piece = l, piece
	}
	u.piece = min(u.piece, piece)
	u.count++
}

// want counts a piece that wants a factory end in.
func (s *setting) want(where string, gets bool) {
	at := slices.IndexFunc(s.ends, func(e factoryEnds) bool { return e.where == where })
	if at < 0 {
		at = len(s.ends)
		s.ends = append(s.ends, factoryEnds{where: where})
	}
	s.ends[at].wants++
	if gets {
		s.ends[at].gets++
	}
}

// labelWords lists what to write on the pieces, with how many of each.
func (s setting) labelWords() string {
	out := make([]string, len(s.uses.list))
	for i, u := range s.uses.list {
		out[i] = fmt.Sprintf("%d %s", u.count, u.what)
		switch {
		case u.pair && u.count > 2:
			out[i] += " (pairs)"
		case u.pair:
			out[i] += " (pair)"
		}
	}
	return strings.Join(out, ", ")
}

// factoryWords says how many pieces get the factory end that they want.
func (s setting) factoryWords() string {
	out := make([]string, len(s.ends))
	for i, e := range s.ends {
		out[i] = fmt.Sprintf("%d of %d %s", e.gets, e.wants, e.where)
	}
	return strings.Join(out, "; ")
}

// wholeWords lists what stays whole.
func (w *writer) wholeWords(list []setting) string {
	var out []string
	for _, s := range list {
		for _, u := range s.uses.list {
			out = append(out, fmt.Sprintf("%d x %s %s", u.count, w.u.shop(s.length), u.what))
		}
	}
	return strings.Join(out, ", ")
}

// layoutWords lists layouts of the sheet Boards with how many boards of each:
// "1 (x4), 3".
func layoutWords(boards map[int]int) string {
	var out []string
	for _, layout := range slices.Sorted(maps.Keys(boards)) {
		s := itoa(layout)
		if n := boards[layout]; n > 1 {
			s += fmt.Sprintf(" (x%d)", n)
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// fetchWords says what to fetch, and what to leave in the rack.
func (w *writer) fetchWords(c pricing.CutPlan, profile sawProfile) (out []string) {
	if s := w.stockCounts(c, profile.fetch); s != "" {
		out = append(out, "Fetch "+s+".")
	}
	if s := w.stockCounts(c, profile.rest); s != "" {
		out = append(out, "Do not touch "+s+": all on them is held or spare.")
	}
	return out
}

// stockCounts lists how many boards there are of each stock.
func (w *writer) stockCounts(c pricing.CutPlan, counts []int) string {
	var out []string
	for i, n := range counts {
		if s := c.Problem.Stocks[i]; n > 0 {
			out = append(out, fmt.Sprintf("%d x %s%s", n, w.u.words(s.Length), onHandWords(s)))
		}
	}
	return strings.Join(out, ", ")
}

// sawWords says how the saw is set up and what is done to the ends.
func (w *writer) sawWords(c pricing.CutPlan, profile sawProfile, primed bool) string {
	what := "settings of the stop"
	if c.Problem.Roll {
		what = "lengths"
	}
	words := fmt.Sprintf("Pieces %d, %s %d, left whole %d", countOf(profile.settings), what, len(profile.settings), countOf(profile.whole))
	if c.Problem.Kerf > 0 {
		words += ", saw cut " + w.u.shop(c.Problem.Kerf)
	}
	if c.Problem.Head > 0 {
		words += ", each end squared by " + w.u.shop(c.Problem.Head)
	}
	wants, gets := 0, 0
	for _, s := range profile.settings {
		for _, e := range s.ends {
			wants, gets = wants+e.wants, gets+e.gets
		}
	}
	switch {
	case !primed || len(profile.settings) == 0:
	case wants == 0:
		words += ". Prime every cut end"
	case wants == gets:
		words += fmt.Sprintf(". All %d that want a factory end get one; prime every other end", wants)
	default:
		words += fmt.Sprintf(". Of %d that want a factory end %d get one; prime the other %d there, and every other cut end", wants, gets, wants-gets)
	}
	return words + "."
}
