package cut

import (
	"cmp"
	"math"
	"slices"
)

// Words for Plan.Method: what proved the plan, or that nothing did.
const (
	byGreedy  = "greedy"
	byDive    = "dive"
	byProgram = "pattern program"
	byTree    = "tree"
	byLimit   = "work limit"
)

// search looks for the cheapest cutting of a model and for its proof.
type search struct {
	m      *model
	work   *work
	best   layouts
	bound  int64 // no cutting costs less
	costs  *costs
	method string
	list   *patternList // nil until made
	root   *master      // nil until made
	size   int          // of the part of the list that is tried
	warm   []layout     // that the root begins with
	dived  int          // times
	any    bool         // a cutting below the cost will do
}

func (s *search) closed() bool { return s.bound >= s.best.cost || s.found() }

// found reports whether a cutting has been found, of a search for which any will
// do.
func (s *search) found() bool { return s.any && s.best.list != nil }

func (s *search) raise(bound int64) { s.bound = max(s.bound, s.costs.from(bound)) }

// run closes the gap between the best cutting known and its bound, by ever
// dearer means, until it is closed or the work is spent.
func (s *search) run() {
	if s.begin(); !s.closed() {
		s.goOn()
	}
}

// begin looks for a cutting by the cheap means: first fit, boards filled to the
// last stroke, and dives into the linear program, whose bound it takes.
func (s *search) begin() {
	s.method, s.size = byGreedy, 150
	if s.costs == nil {
		s.costs = newCosts(s.m, s.best.cost, s.work)
	}
	s.finish(nil, s.m.need, nil)
	s.raise(s.bound)
	if s.closed() {
		return
	}
	if s.warm == nil {
		s.work.within(s.work.limit/20, s.fillTight)
	}
	if s.closed() {
		return
	}
	s.method = byDive
	s.root = newMaster(s.m, false, s.best.cost, s.work)
	for _, l := range s.warm {
		s.root.addLayout(l.stock, l.items)
	}
	s.root.solve(math.MaxInt64)
	s.raise(s.root.whole())
	s.dives()
}

// dives dives twice, each time in another way.
func (s *search) dives() {
	for range 2 {
		if !s.closed() && !s.work.spent() {
			s.dive(s.root.clone(), nil, uint64(s.dived)*0x9E3779B97F4A7C15)
		}
		s.dived++
	}
}

// goOn closes the gap by the tree, the pattern program and more dives in turn,
// which get ever larger shares of the work.
func (s *search) goOn() {
	t, all := newTree(s), s.work.limit
	if s.any {
		all -= s.work.used
	}
	for share := int64(16); !s.closed() && !s.work.spent(); share = max(2, share/2) {
		s.method = byTree
		s.work.within(all/share, t.run)
		if s.closed() || s.work.spent() {
			break
		}
		s.method = byProgram
		s.work.within(all/share, func() { s.programs(s.root) })
		if s.closed() {
			break
		}
		s.method = byDive
		s.work.within(all/share, s.dives)
	}
	if !s.closed() {
		s.method = byLimit
	}
}

// programs proves or improves the best cutting with the pattern program, if
// need be in steps of cost.
func (s *search) programs(root *master) {
	const most = 20_000
	value, worth, bound := s.tight(root)
	if bound <= 0 {
		return
	}
	limit := s.best.cost
	for !s.closed() && !s.work.spent() {
		gap := max((limit-1)<<root.scale-bound, 0)
		list, ok := enumerate(s.m, value, worth, gap, most, s.work)
		if !ok {
			if limit = s.bound + (limit-s.bound)/2; limit <= s.bound {
				return
			}
			continue
		}
		slices.SortStableFunc(list, func(a, b priced) int { return cmp.Compare(a.slack, b.slack) })
		s.list = &patternList{list, limit, bound, root.scale}
		if !s.climb() || s.best.cost <= limit {
			return
		}
		limit = s.best.cost
	}
}

// patternList is all layouts of cuttings that cost less than top, by slack.
type patternList struct {
	list  []priced
	top   int64
	bound int64 // scaled: the slack of a cutting's layouts is no more than its cost less bound
	scale uint
}

// gap is the slack that layouts of cuttings below a cost can have.
func (p *patternList) gap(cost int64) int64 { return (cost-1)<<p.scale - p.bound }

// below returns the layouts of cuttings below a cost.
func (p *patternList) below(cost int64) (list []layout) {
	for _, l := range p.list {
		if l.slack > p.gap(cost) {
			break
		}
		list = append(list, l.layout)
	}
	return list
}

// reach returns the highest cost up to most for whose cuttings n layouts do.
func (p *patternList) reach(n int, low, most int64) int64 {
	if n >= len(p.list) {
		return most
	}
	for low < most {
		if mid := low + (most-low+1)/2; p.gap(mid) < p.list[n].slack {
			low = mid
		} else {
			most = mid - 1
		}
	}
	return most
}

// climb solves the pattern program over more and more of the list. It returns
// false if it could not be solved.
func (s *search) climb() bool {
	for !s.work.spent() {
		limit := min(s.list.top, s.best.cost)
		if s.bound >= limit {
			return true
		}
		limit = s.list.reach(s.size, s.bound+1, limit)
		p := newPatternProgram(s, s.list.below(limit), limit, s.left())
		ok := p.solve()
		if !ok {
			s.size /= 2
			return false
		}
		s.raise(min(limit, s.best.cost))
		s.size = 2 * max(s.size, len(p.list))
	}
	return false
}

// tight returns the values of the master's best bound, lowered until no board
// of a stock without limit is worth more than its price; what a board of each
// stock is worth at most, or its price if that is more; and the bound.
func (s *search) tight(a *master) (value, worth []int64, bound int64) {
	if a.bestV == nil || a.bestShift != a.scale {
		return nil, nil, 0
	}
	value = append(value, a.bestV...)
	worth = make([]int64, len(s.m.stocks))
	for range 20 {
		for k, t := range s.m.stocks {
			worth[k] = t.price << a.scale
		}
		if a.pack.solve(value, a.need, worth); a.pack.over {
			return nil, nil, 0
		}
		copy(worth, a.pack.asked)
		over := 1.0
		for k, t := range s.m.stocks {
			if p := t.price << a.scale; a.rowHigh[k] < 0 && worth[k] > p {
				over = min(over, float64(p)/float64(worth[k]))
			}
		}
		if over == 1 {
			return value, worth, a.boundOf(value, worth, a.low, a.high, a.scale)
		}
		for g, v := range value {
			value[g] = min(v-min(v, 1), int64(float64(float64(v)*over)))
		}
	}
	return nil, nil, 0
}

// left returns how many boards there are of each stock.
func (s *search) left() []int {
	left := make([]int, len(s.m.stocks))
	for k, t := range s.m.stocks {
		left[k] = t.left
	}
	return left
}
