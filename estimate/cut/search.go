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
	m             *model
	work          *work
	incumbent     solution
	lowerBound    int64 // no cutting costs less
	costTable     *costTable
	method        string
	pool          *patternPool // nil until made
	root          *master      // nil until made
	poolSize      int          // of the part of the list that is tried
	startPatterns []pattern    // that the root begins with
	diveCount     int          // times
	anySolution   bool         // a cutting below the cost will do
}

func (s *search) closed() bool { return s.lowerBound >= s.incumbent.cost || s.foundAny() }

// found reports whether a cutting has been found, of a search for which any will
// do.
func (s *search) foundAny() bool { return s.anySolution && s.incumbent.patterns != nil }

func (s *search) raiseBound(bound int64) {
	s.lowerBound = max(s.lowerBound, s.costTable.roundUp(bound))
}

// run closes the gap between the best cutting known and its bound, by ever
// dearer means, until it is closed or the work is spent.
func (s *search) run() {
	if s.runHeuristics(); !s.closed() {
		s.runExact()
	}
}

// begin looks for a cutting by the cheap means: first fit, boards filled to the
// last stroke, and dives into the linear program, whose bound it takes.
func (s *search) runHeuristics() {
	s.method, s.poolSize = byGreedy, 150
	if s.costTable == nil {
		s.costTable = newCostTable(s.m, s.incumbent.cost, s.work)
	}
	s.completeByFirstFit(nil, s.m.demand, nil)
	s.raiseBound(s.lowerBound)
	if s.closed() {
		return
	}
	if s.startPatterns == nil {
		s.work.within(s.work.limit/20, s.fillByMinSlack)
	}
	if s.closed() {
		return
	}
	s.method = byDive
	s.root = newMaster(s.m, false, s.incumbent.cost, s.work)
	for _, p := range s.startPatterns {
		s.root.addPattern(p.stock, p.entries)
	}
	s.root.solve(math.MaxInt64)
	s.raiseBound(s.root.integerBound())
	s.diveTwice()
}

// dives dives twice, each time in another way.
func (s *search) diveTwice() {
	for range 2 {
		if !s.closed() && !s.work.spent() {
			s.dive(s.root.clone(), nil, uint64(s.diveCount)*0x9E3779B97F4A7C15)
		}
		s.diveCount++
	}
}

// goOn closes the gap by the tree, the pattern program and more dives in turn,
// which get ever larger shares of the work.
func (s *search) runExact() {
	t, all := newTree(s), s.work.limit
	if s.anySolution {
		all -= s.work.used
	}
	for share := int64(16); !s.closed() && !s.work.spent(); share = max(2, share/2) {
		s.method = byTree
		s.work.within(all/share, t.run)
		if s.closed() || s.work.spent() {
			break
		}
		s.method = byProgram
		s.work.within(all/share, func() { s.solvePrograms(s.root) })
		if s.closed() {
			break
		}
		s.method = byDive
		s.work.within(all/share, s.diveTwice)
	}
	if !s.closed() {
		s.method = byLimit
	}
}

// programs proves or improves the best cutting with the pattern program, if
// need be in steps of cost.
func (s *search) solvePrograms(root *master) {
	const most = 20_000
	duals, patternValue, bound := s.feasibleDuals(root)
	if bound <= 0 {
		return
	}
	limit := s.incumbent.cost
	for !s.closed() && !s.work.spent() {
		gap := max((limit-1)<<root.scale-bound, 0)
		list, ok := enumerate(s.m, duals, patternValue, gap, most, s.work)
		if !ok {
			if limit = s.lowerBound + (limit-s.lowerBound)/2; limit <= s.lowerBound {
				return
			}
			continue
		}
		slices.SortStableFunc(list, func(a, b slackPattern) int { return cmp.Compare(a.slack, b.slack) })
		s.pool = &patternPool{list, limit, bound, root.scale}
		if !s.growPool() || s.incumbent.cost <= limit {
			return
		}
		limit = s.incumbent.cost
	}
}

// patternList is all layouts of cuttings that cost less than top, by slack.
type patternPool struct {
	patterns  []slackPattern
	costLimit int64
	bound     int64 // scaled: the slack of a cutting's layouts is no more than its cost less bound
	scale     uint
}

// gap is the slack that layouts of cuttings below a cost can have.
func (p *patternPool) maxSlack(cost int64) int64 { return (cost-1)<<p.scale - p.bound }

// below returns the layouts of cuttings below a cost.
func (p *patternPool) patternsBelow(cost int64) (patterns []pattern) {
	for _, l := range p.patterns {
		if l.slack > p.maxSlack(cost) {
			break
		}
		patterns = append(patterns, l.pattern)
	}
	return patterns
}

// reach returns the highest cost up to most for whose cuttings n layouts do.
func (p *patternPool) costCovered(n int, low, most int64) int64 {
	if n >= len(p.patterns) {
		return most
	}
	for low < most {
		if mid := low + (most-low+1)/2; p.maxSlack(mid) < p.patterns[n].slack {
			low = mid
		} else {
			most = mid - 1
		}
	}
	return most
}

// climb solves the pattern program over more and more of the list. It returns
// false if it could not be solved.
func (s *search) growPool() bool {
	for !s.work.spent() {
		limit := min(s.pool.costLimit, s.incumbent.cost)
		if s.lowerBound >= limit {
			return true
		}
		limit = s.pool.costCovered(s.poolSize, s.lowerBound+1, limit)
		p := newPatternProgram(s, s.pool.patternsBelow(limit), limit, s.availability())
		ok := p.solve()
		if !ok {
			s.poolSize /= 2
			return false
		}
		s.raiseBound(min(limit, s.incumbent.cost))
		s.poolSize = 2 * max(s.poolSize, len(p.patterns))
	}
	return false
}

// tight returns the values of the master's best bound, lowered until no board
// of a stock without limit is worth more than its price; what a board of each
// stock is worth at most, or its price if that is more; and the bound.
func (s *search) feasibleDuals(mp *master) (duals, patternValue []int64, bound int64) {
	if mp.bestDuals == nil || mp.bestShift != mp.scale {
		return nil, nil, 0
	}
	duals = append(duals, mp.bestDuals...)
	patternValue = make([]int64, len(s.m.stocks))
	for range 20 {
		for k, t := range s.m.stocks {
			patternValue[k] = t.price << mp.scale
		}
		if mp.knapsack.solve(duals, mp.demand, patternValue); mp.knapsack.overflow {
			return nil, nil, 0
		}
		copy(patternValue, mp.knapsack.target)
		over := 1.0
		for k, t := range s.m.stocks {
			if p := t.price << mp.scale; mp.rowHigh[k] < 0 && patternValue[k] > p {
				over = min(over, float64(p)/float64(patternValue[k]))
			}
		}
		if over == 1 {
			return duals, patternValue, mp.lagrangianBound(duals, patternValue, mp.low, mp.high, mp.scale)
		}
		for i, v := range duals {
			duals[i] = min(v-min(v, 1), int64(float64(float64(v)*over)))
		}
	}
	return nil, nil, 0
}

// left returns how many boards there are of each stock.
func (s *search) availability() []int {
	left := make([]int, len(s.m.stocks))
	for k, t := range s.m.stocks {
		left[k] = t.available
	}
	return left
}
