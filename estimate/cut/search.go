package cut

import (
	"math"
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

// dives dives twice, each time in another way.
func (s *search) diveTwice() {
	for range 2 {
		if !s.closed() && !s.work.spent() {
			s.dive(s.root.clone(), nil, uint64(s.diveCount)*0x9E3779B97F4A7C15)
		}
		s.diveCount++
	}
}
