package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// sawHeads are the columns of Cut list.
var sawHeads = []string{"Tick", "Count", "Set the stop", "in", "So far", "Layout: pieces", "Labels", "Factory end"}

// setting is a setting of the stop: all that is cut at one length.
type setting struct {
	length  measure.Length
	words   string // the length as the saw is set; of a coil, of the first piece side by side
	count   int
	boards  map[int]int // pieces by layout
	labels  []string
	counts  []int // pieces of each label
	factory int   // pieces that want a factory end
}

// sawProfile is what is cut of one item, and what stays whole.
type sawProfile struct {
	settings []setting // longest first
	whole    []string  // held pieces and spares
	left     int       // how many those are
}

// cutListSheet writes what is cut, by profile: each length once, so that the stop
// is set once for it, a pair of legs included. What is held and what is spare
// stays whole; what was cut before is not there.
func (w *writer) cutListSheet() {
	p := w.cutList
	w.top(p, "Cut list", "Each length once, longest first. Eye and ear protection; a mask for dust, for fibre cement one against silica. The saw maker's instructions and local rules govern.")
	p.landscape(true)
	heads := slices.Clone(sawHeads)
	heads[3] = w.u.name(estimate.Lengthwise)
	for _, buy := range boardsFirst(w.in.Plan.Purchases) {
		for _, c := range buy.Plans {
			first := p.next()
			w.sawBlock(buy, c, heads)
			p.keepTogether(first, p.next())
		}
	}
	p.widths(6, 8, 17, 11, 8, 26, 66, 14)
	p.freeze(firstRow-3, 0)
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
	if p.Item.Class == "boards" {
		return 0
	}
	return 1
}

// sawBlock writes one profile.
func (w *writer) sawBlock(buy pricing.Purchase, c pricing.CutPlan, heads []string) {
	p, profile := w.cutList, w.sawProfile(c)
	p.banner(bigHead, buy.Item.Key+"  "+buy.Item.Name, len(heads))
	p.banner(textWrap, w.fetchWords(c), len(heads))
	p.banner(textWrap, sawWords(w.u, c, profile), len(heads))
	p.row(strs(heading, heads...)...)
	sofar := 0
	for _, s := range profile.settings {
		row := p.next()
		sofar += s.count
		running := "B" + itoa(row)
		if sofar > s.count {
			running = fmt.Sprintf("E%d+B%d", row-1, row)
		}
		factory := blank(textCentre)
		if s.factory > 0 {
			factory = str(textCentre, fmt.Sprintf("foot of %d", s.factory))
		}
		p.row(blank(tick), num(s.count, bigCount), str(bigRight, s.words), num(w.u.length(s.length), inches), formula(running, sofar, count),
			str(textWrap, layoutWords(s.boards)), str(textWrap, s.labelWords()), factory)
	}
	if len(profile.settings) == 0 {
		p.banner(textWrap, "Nothing may be cut yet.", len(heads))
	}
	if len(profile.whole) > 0 {
		p.banner(textWrap, "Leave whole: "+countedWords(profile.whole), len(heads))
	}
	p.skip(1)
}

// sawProfile sorts the pieces of a plan by setting.
func (w *writer) sawProfile(c pricing.CutPlan) (out sawProfile) {
	for i, l := range c.Plan.Layouts {
		for _, b := range c.Plan.Boards[l.First : l.First+l.Count] {
			for k, on := range c.On(b) {
				if whole := w.wholeWords(c, on); whole != "" {
					out.whole, out.left = append(out.whole, whole), out.left+1
					continue
				}
				out.add(i+1, c.Problem.Pieces[b.Pieces[k]], w.pieceText(c, on))
			}
		}
	}
	slices.SortStableFunc(out.settings, func(a, b setting) int { return cmp.Compare(b.length, a.length) })
	slices.Sort(out.whole)
	return out
}

// wholeWords names pieces that are cut off as one and must stay whole, "" if
// they may be cut.
func (w *writer) wholeWords(c pricing.CutPlan, on []int) string {
	for _, k := range on {
		piece := c.Pieces[k]
		if piece.Spare() {
			return w.u.shop(piece.Length) + " spare"
		}
		if r := w.in.Takeoff.Requirements[piece.Requirement]; r.Held != "" {
			return fmt.Sprintf("%s for %s %s, held", w.u.shop(piece.Length), w.in.Takeoff.Openings[piece.Opening].Mark, r.Name)
		}
	}
	return ""
}

// add counts a piece of a layout in.
func (p *sawProfile) add(layout int, piece cut.Piece, text pieceText) {
	at := slices.IndexFunc(p.settings, func(s setting) bool { return s.length == piece.Length })
	if at < 0 {
		at = len(p.settings)
		p.settings = append(p.settings, setting{length: piece.Length, words: text.length, boards: map[int]int{}})
	}
	s := &p.settings[at]
	s.count++
	s.boards[layout]++
	if piece.Factory {
		s.factory++
	}
	k := slices.Index(s.labels, text.what)
	if k < 0 {
		k = len(s.labels)
		s.labels, s.counts = append(s.labels, text.what), append(s.counts, 0)
	}
	s.counts[k]++
}

// labelWords lists what to write on the pieces, with how many of each.
func (s setting) labelWords() string {
	out := slices.Clone(s.labels)
	for i, n := range s.counts {
		if n > 1 {
			out[i] = fmt.Sprintf("%d %s", n, out[i])
		}
	}
	return strings.Join(out, ", ")
}

// layoutWords lists layouts of the sheet Boards with the pieces from each.
func layoutWords(pieces map[int]int) string {
	var out []string
	for _, layout := range sortedLayouts(pieces) {
		out = append(out, fmt.Sprintf("%d: %d", layout, pieces[layout]))
	}
	return strings.Join(out, "; ")
}

func sortedLayouts(pieces map[int]int) (list []int) {
	for layout := range pieces {
		list = append(list, layout)
	}
	slices.Sort(list)
	return list
}

// fetchWords says what to fetch.
func (w *writer) fetchWords(c pricing.CutPlan) string {
	counts := make([]int, len(c.Problem.Stocks))
	for _, b := range c.Plan.Boards {
		counts[b.Stock]++
	}
	var out []string
	for i, n := range counts {
		if s := c.Problem.Stocks[i]; n > 0 {
			out = append(out, fmt.Sprintf("%d x %s%s", n, w.u.words(s.Length), onHandWords(s)))
		}
	}
	return "Fetch " + strings.Join(out, ", ") + "."
}

// sawWords says how the saw is set up and what of its wishes is fulfilled.
func sawWords(u units, c pricing.CutPlan, p sawProfile) string {
	pieces := 0
	for _, s := range p.settings {
		pieces += s.count
	}
	words := fmt.Sprintf("Settings of the stop: %d, for %d pieces; %d stay whole; saw cut %s", len(p.settings), pieces, p.left, u.shop(c.Problem.Kerf))
	if c.Problem.Head > 0 {
		words += ", each end squared by " + u.shop(c.Problem.Head)
	}
	wanted := 0
	for _, w := range c.Problem.Pieces {
		if w.Factory {
			wanted += w.Count
		}
	}
	if wanted > 0 {
		words += fmt.Sprintf("; %d of %d feet get a factory end, prime the others and every other cut", c.Plan.AtEnds, wanted)
	}
	return words + "."
}
