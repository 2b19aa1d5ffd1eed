package workbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/cutting"
	"sillwright/pricing"
)

// setting is a setting of the stop: all that is cut at one length.
type setting struct {
	length measure.Length
	count  int
	boards map[int]int // by cutting pattern, numbered from 1
	uses   cutting.Groups[label, use]
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

// factoryEnds counts the pieces that ask for a factory end at a place, and those
// that get one.
type factoryEnds struct {
	where      string
	asked, got int
}

// sawProfile is what is cut of one item, and what is not to be cut.
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
func (t takeoffPieces) sawProfile(c pricing.CutPlan, places map[opensPiece]string) sawProfile {
	out := sawProfile{fetch: make([]int, len(c.Problem.Stocks)), rest: make([]int, len(c.Problem.Stocks))}
	s := settingSorter{takeoffPieces: t, plan: c, places: places, what: cutting.Memoize(func(k int) string { return t.text(c, k).What })}
	for i, l := range c.Plan.Patterns {
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			if s.board(i+1, b) {
				out.fetch[b.Stock]++
			} else {
				out.rest[b.Stock]++
			}
		}
	}
	out.settings, out.whole = s.settings.List, s.whole.List
	for _, list := range [][]setting{out.settings, out.whole} {
		slices.SortStableFunc(list, func(a, b setting) int { return cmp.Compare(b.length, a.length) })
		for _, x := range list {
			slices.SortStableFunc(x.uses.List, func(a, b use) int { return cmp.Compare(a.piece, b.piece) })
		}
	}
	return out
}

// settingSorter sorts the pieces of a plan by setting, in the order of the boards.
type settingSorter struct {
	takeoffPieces
	plan            pricing.CutPlan
	places          map[opensPiece]string // of factory ends
	what            func(piece int) string
	settings, whole cutting.Groups[measure.Length, setting]
}

// board sorts the pieces of a board that is cut by a pattern, and reports whether
// anything may be cut from it.
func (s *settingSorter) board(pattern int, b cut.Board) bool {
	var cuts []measure.Length
	for at, on := range s.plan.On(b) {
		for _, k := range on {
			piece := s.plan.Pieces[k]
			if !s.mayCut(piece) || s.isCut(piece) {
				settingOf(&s.whole, piece.Length).add(k, label{what: s.wholeUse(piece, s.what(k))})
				continue
			}
			r, x := s.requirement(piece), settingOf(&s.settings, piece.Length)
			x.add(k, label{s.what(k), r.Pair})
			if r.Factory {
				where := cmp.Or(s.places[opensPiece{r.Opening, r.Name}], "at one end")
				x.addFactoryEnd(where, atFactoryEnd(s.plan, b, at))
			}
			if !slices.Contains(cuts, piece.Length) {
				cuts = append(cuts, piece.Length)
				x.boards[pattern]++
			}
		}
	}
	return len(cuts) > 0
}

// wholeUse says what a piece that is not to be cut is kept for.
func (t takeoffPieces) wholeUse(p pricing.CutPiece, what string) string {
	if p.Spare() || t.isCut(p) {
		return what
	}
	return "for " + what + " (on hold)"
}

// atFactoryEnd reports whether a piece of a board, by its place in cutting order,
// has an end that came from the mill: nothing is squared off there, and
// the board is no offcut.
func atFactoryEnd(c pricing.CutPlan, b cut.Board, at int) bool {
	return !c.OnHand(b) && (at == 0 && c.Problem.HeadTrim == 0 || at == len(b.Pieces)-1 && c.Problem.TailTrim == 0)
}

// settingOf returns the setting of a length, and begins it if there is none. It
// is good until the next one is begun.
func settingOf(list *cutting.Groups[measure.Length, setting], length measure.Length) *setting {
	s, first := list.Group(length)
	if first {
		s.length, s.boards = length, map[int]int{}
	}
	return s
}

// add counts a piece in.
func (s *setting) add(piece int, l label) {
	s.count++
	u, first := s.uses.Group(l)
	if first {
		u.label, u.piece = l, piece
	}
	u.piece = min(u.piece, piece)
	u.count++
}

// addFactoryEnd counts a piece that asks for a factory end in, and whether it gets one.
func (s *setting) addFactoryEnd(where string, gets bool) {
	at := slices.IndexFunc(s.ends, func(e factoryEnds) bool { return e.where == where })
	if at < 0 {
		at = len(s.ends)
		s.ends = append(s.ends, factoryEnds{where: where})
	}
	s.ends[at].asked++
	if gets {
		s.ends[at].got++
	}
}

// labelWords lists what to write on the pieces, with how many of each.
func (s setting) labelWords() string {
	out := make([]string, len(s.uses.List))
	for i, u := range s.uses.List {
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

// factoryWords says how many pieces get the factory end that they ask for.
func (s setting) factoryWords() string {
	out := make([]string, len(s.ends))
	for i, e := range s.ends {
		out[i] = fmt.Sprintf("%d of %d %s", e.got, e.asked, e.where)
	}
	return strings.Join(out, "; ")
}

// wholeWords lists what is not to be cut.
func (t takeoffPieces) wholeWords(list []setting) string {
	var out []string
	for _, s := range list {
		for _, u := range s.uses.List {
			out = append(out, fmt.Sprintf("%d x %s %s", u.count, t.u.Shop(s.length), u.what))
		}
	}
	return strings.Join(out, ", ")
}

// patternWords lists cutting patterns of the sheet Boards with how many boards of each:
// "1 (x4), 3".
func patternWords(boards map[int]int) string {
	var out []string
	for _, pattern := range slices.Sorted(maps.Keys(boards)) {
		s := strconv.Itoa(pattern)
		if n := boards[pattern]; n > 1 {
			s += fmt.Sprintf(" (x%d)", n)
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// fetchWords says what to fetch, and what to leave in the rack.
func (t takeoffPieces) fetchWords(c pricing.CutPlan, profile sawProfile) (out []string) {
	if s := t.stockCounts(c, profile.fetch); s != "" {
		out = append(out, "Fetch "+s+".")
	}
	if s := t.stockCounts(c, profile.rest); s != "" {
		out = append(out, "Leave in the rack "+s+": all on them is on hold or spare.")
	}
	return out
}

// stockCounts lists how many boards there are of each stock.
func (t takeoffPieces) stockCounts(c pricing.CutPlan, counts []int) string {
	var out []string
	for i, n := range counts {
		if s := c.Problem.Stocks[i]; n > 0 {
			out = append(out, fmt.Sprintf("%d x %s%s", n, t.u.Words(s.Length), cutting.OnHandWords(s)))
		}
	}
	return strings.Join(out, ", ")
}

// sawWords says how the saw is set up and what is done to the ends.
func (t takeoffPieces) sawWords(c pricing.CutPlan, profile sawProfile, primed bool) string {
	what := "stop settings"
	if c.Problem.Roll {
		what = "lengths"
	}
	words := fmt.Sprintf("Pieces %d, %s %d, not to cut %d", countOf(profile.settings), what, len(profile.settings), countOf(profile.whole))
	if c.Problem.Kerf > 0 {
		words += ", kerf " + t.u.Shop(c.Problem.Kerf)
	}
	if c.Problem.HeadTrim > 0 {
		words += ", end trim " + t.u.Shop(c.Problem.HeadTrim)
	}
	asked, got := 0, 0
	for _, s := range profile.settings {
		for _, e := range s.ends {
			asked, got = asked+e.asked, got+e.got
		}
	}
	switch {
	case !primed || len(profile.settings) == 0:
	case asked == 0:
		words += ". Prime every cut end"
	case asked == got:
		words += fmt.Sprintf(". All %d that need a factory end get one; prime every other end", asked)
	default:
		words += fmt.Sprintf(". Of %d that need a factory end %d get one; prime the other %d there, and every other cut end", asked, got, asked-got)
	}
	return words + "."
}
