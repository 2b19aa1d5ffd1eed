package cut

import (
	"cmp"
	"slices"
)

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

// left returns how many boards there are of each stock.
func (s *search) availability() []int {
	left := make([]int, len(s.m.stocks))
	for k, t := range s.m.stocks {
		left[k] = t.available
	}
	return left
}
