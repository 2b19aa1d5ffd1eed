package cut

import (
	"cmp"
	"slices"
)

// solvePrograms enumerates the patterns that a solution cheaper than the incumbent can have and
// solves pattern programs over them. Where there are too many patterns, it looks for solutions
// below a lower cost first.
func (s *search) solvePrograms(root *master) {
	const maxPatterns = 20_000
	duals, patternValue, bound := s.feasibleDuals(root)
	if bound <= 0 {
		return
	}
	costLimit := s.incumbent.cost
	for !s.closed() && !s.work.spent() {
		maxSlack := max((costLimit-1)<<root.scale-bound, 0)
		patterns, ok := enumerate(s.m, duals, patternValue, maxSlack, maxPatterns, s.work)
		if !ok {
			if costLimit = s.lowerBound + (costLimit-s.lowerBound)/2; costLimit <= s.lowerBound {
				return
			}
			continue
		}
		slices.SortStableFunc(patterns, func(a, b slackPattern) int { return cmp.Compare(a.slack, b.slack) })
		s.pool = &patternPool{patterns, costLimit, bound, root.scale}
		if !s.growPool() || s.incumbent.cost <= costLimit {
			return
		}
		costLimit = s.incumbent.cost
	}
}

// patternPool is all patterns that a solution below a cost limit can have, by ascending slack.
type patternPool struct {
	patterns  []slackPattern
	costLimit int64
	bound     int64 // scaled: the slack of a solution's patterns is no more than its cost less bound
	scale     uint
}

// maxSlack is the largest slack of a pattern in a solution below a cost.
func (p *patternPool) maxSlack(cost int64) int64 { return (cost-1)<<p.scale - p.bound }

// patternsBelow returns the patterns that a solution below a cost can have.
func (p *patternPool) patternsBelow(cost int64) (patterns []pattern) {
	for _, sp := range p.patterns {
		if sp.slack > p.maxSlack(cost) {
			break
		}
		patterns = append(patterns, sp.pattern)
	}
	return patterns
}

// costCovered returns the highest cost, from low to high, below which all solutions have only the
// first patterns of the pool.
func (p *patternPool) costCovered(patterns int, low, high int64) int64 {
	if patterns >= len(p.patterns) {
		return high
	}
	for low < high {
		if mid := low + (high-low+1)/2; p.maxSlack(mid) < p.patterns[patterns].slack {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return high
}

// growPool solves pattern programs over ever more patterns of the pool, and so for ever higher
// costs. It returns false if one could not be solved.
func (s *search) growPool() bool {
	for !s.work.spent() {
		costLimit := min(s.pool.costLimit, s.incumbent.cost)
		if s.lowerBound >= costLimit {
			return true
		}
		costLimit = s.pool.costCovered(s.poolSize, s.lowerBound+1, costLimit)
		p := newPatternProgram(s, s.pool.patternsBelow(costLimit), costLimit, s.availability())
		ok := p.solve()
		if !ok {
			s.poolSize /= 2
			return false
		}
		s.raiseBound(min(costLimit, s.incumbent.cost))
		s.poolSize = 2 * max(s.poolSize, len(p.patterns))
	}
	return false
}

// availability returns the available boards of each stock.
func (s *search) availability() []int {
	available := make([]int, len(s.m.stocks))
	for k, st := range s.m.stocks {
		available[k] = st.available
	}
	return available
}
