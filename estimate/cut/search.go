package cut

import "math"

// Words for Plan.Method: what proved the plan, or that nothing did.
const (
	byGreedy  = "greedy"
	byDive    = "dive"
	byProgram = "pattern program"
	byTree    = "tree"
	byLimit   = "work limit"
)

// search looks for the cheapest solution of a model and for the proof that it is.
type search struct {
	m             *model
	work          *work
	incumbent     solution // its patterns are nil as long as only the cost is known
	lowerBound    int64
	costTable     *costTable
	method        string
	root          *master      // of the whole model; nil until solved
	startPatterns []pattern    // first columns of root
	diveCount     int          // dives from root so far
	pool          *patternPool // nil until enumerated
	poolSize      int          // patterns of the pool to begin the next pattern program with
	anySolution   bool         // stop at the first solution below the cost of the incumbent
}

// closed reports whether the search is over: the bound has met the incumbent, or the first solution
// was asked for and is found.
func (s *search) closed() bool { return s.lowerBound >= s.incumbent.cost || s.foundAny() }

// foundAny reports whether the first solution was asked for and is found.
func (s *search) foundAny() bool { return s.anySolution && s.incumbent.patterns != nil }

// tooLarge reports whether a linear program with so many rows a stock has too many.
func (s *search) tooLarge(rowsOfStock int) bool {
	return len(s.m.sizes)+rowsOfStock*len(s.m.stocks) > maxRows
}

// raiseBound raises the lower bound to the next attainable cost.
func (s *search) raiseBound(bound int64) {
	s.lowerBound = max(s.lowerBound, s.costTable.roundUp(bound))
}

// run closes the gap between the incumbent and the lower bound, by ever more expensive methods,
// until it is closed or the work is spent.
func (s *search) run() {
	if s.runHeuristics(); !s.closed() {
		s.runExact()
	}
}

// runHeuristics looks for solutions by the cheap methods: first fit decreasing, minimum bin slack,
// and dives from the linear program, whose bound it takes.
func (s *search) runHeuristics() {
	s.method, s.poolSize = byGreedy, 150
	if s.costTable == nil {
		s.costTable = newCostTable(s.m, s.incumbent.cost, s.work)
	}
	s.completeByFirstFit(nil, s.m.demand)
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
	if s.tooLarge(1) {
		s.method = byLimit
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

// runExact closes the gap by branch and bound on board counts, by pattern programs and by more
// dives in turn, which get ever larger shares of the work. Of too many lengths it does nothing.
func (s *search) runExact() {
	if s.tooLarge(2) {
		s.method = byLimit
		return
	}
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

// diveTwice dives twice from the root, each time with another perturbation.
func (s *search) diveTwice() {
	for range 2 {
		if !s.closed() && !s.work.spent() {
			s.dive(s.root.clone(), uint64(s.diveCount)*seedStep)
		}
		s.diveCount++
	}
}
