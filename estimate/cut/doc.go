// Package cut plans how pieces are cut out of boards, rolls or sticks of several stock lengths at
// the least cost. It knows lengths and prices only: what the pieces are for is the caller's matter.
//
// The problem is the one-dimensional cutting stock problem with several stock lengths, of limited or
// unlimited number; with one piece of each length it is variable-sized bin packing. Solve proves its
// plan optimal wherever the counted work suffices, and always returns a lower bound.
//
// # Terms
//
// A piece belongs to an item: all pieces of one length. An item i has a size and a demand, a stock k
// has a capacity, a price and a number available. A pattern is the pieces cut from one board; its
// count is how many boards are cut by it. A solution is patterns that cover the demand; its cost is
// that of their boards. Board counts, z in the code, say how many boards of each stock are used. The
// incumbent is the best solution so far, and the gap is its cost less the lower bound.
//
// # The way of a problem
//
// Two calls stand above all phases, both in solve.go: MinimizeCost finds the least cost, Draft.Refined
// then improves the plan by the secondary goals of a saw. Solve is one after the other. cut.go has the
// types of the interface, work.go counts the steps of all phases.
//
//	 1 instance                    instance.go         newInstance
//	 2 first incumbent             firstfit.go         instance.firstFit
//	     open bins                 openbins.go         openBins.place
//	     cheapest boards           stockassignment.go  cheapestStocks
//	     bins and boards           packing.go          instance.packingOf
//	 3 simple lower bounds         lowerbound.go       instance.lowerBound
//	 4 model                       model.go            newModel
//	     rounding to a grid        grid.go             gridFor, instance.exactBound
//	     dominated stocks          dominance.go        model.reduceStocks
//	     patterns                  pattern.go          mergePatterns, model.withoutSurplus
//	 5 search                      search.go           search.run
//	     attainable costs          costtable.go        costTable.roundUp
//	     new incumbents            incumbent.go        search.offer
//	 6 filling without waste       minslack.go         search.fillByMinSlack
//	     board counts to fill      boardsets.go        search.boardSetsCosting
//	     exact cover               exactcover.go       search.fillCompletely
//	 7 column generation           master.go           master.solve
//	     simplex method            simplex.go          linearProgram.optimize
//	     pricing problem           knapsack.go         knapsack.solve
//	     diving heuristic          dive.go             search.dive
//	 8 branch and bound            tree.go             tree.run
//	     cuts on board counts      boardcuts.go        boardRelaxation.bound
//	 9 integer program             patternprogram.go   patternProgram.solve
//	     patterns for it           enumerate.go        enumerate
//	     more of them in turn      patternpool.go      search.solvePrograms
//	10 secondary goals             refine.go           instance.refine
//	     fewer boards              fewerboards.go      search.findFewerBoards
//	     fewer patterns            patternreduction.go patternReducer.reduce
//	     pieces among patterns     redistribution.go   redistribution.splitBoards
//	     longest single offcut     offcut.go           offcutSearch.run
//	     the offcut as an item     offcutitem.go       model.withItem
//	     all board counts          boardsetsearch.go   boardSetSearch.run
//	11 plan                        plan.go             instance.plan
//	     which piece goes where    assignpieces.go     instance.assignPieces
//
// shelf.go stands by itself: Shelves packs strips onto lengths of coil, which are then the pieces of a
// Problem.
//
// 1 The instance has kerf and end trims in its sizes and capacities, and the pieces of equal length in
// one item. Invariant: pieces fit a board if and only if their sizes add up to no more than its
// capacity.
//
// 2 First fit decreasing opens bins by one rule after the other, and a greedy algorithm, exact because
// the sets of boards that hold the bins are a matroid, finds the cheapest boards for each result. If
// pieces stay unplaced, instance.placeAll searches for a packing of all. From here on there is an
// incumbent. Invariant: every later plan places the same pieces.
//
// 3 Bounds by total length, by number of boards and by pieces that exclude each other. Invariant: a
// bound is valid for the exact lengths, and computed in integers.
//
// 4 The model is the instance in small integers. Where the lengths need too fine a unit, pieces are
// rounded up and boards down. Invariant: every solution of the model is a plan of the instance, and
// reduceStocks loses no optimal cost. What is proven of a rounded model holds on its grid alone;
// exactBound proves it again for the exact lengths.
//
// 5 The search calls phases 6 to 9. Bounds are rounded up to attainable costs, which often closes the
// gap at once. Invariant: lower bound ≤ optimal cost ≤ cost of the incumbent; each only ever gets
// closer to the other, and the search ends when they meet.
//
// 6 If the lower bound can be attained, its board counts are known but for a few choices: minimum bin
// slack and, where the boards leave nothing to spare, an exact cover try to fill them. Invariant:
// heuristics only offer solutions; in phases 6 to 9 search.offer alone changes the incumbent.
//
// 7 The restricted master problem is solved by the simplex method, the pricing problem by dynamic
// programming for all stocks at once. Dives round the solution, each on a clone of the master.
// Invariant: whatever the dual values are, rounded to integers they give a valid bound.
//
// 8 Nodes limit the number of boards of each stock. Their bound comes from cuts, each with the dual
// values of one solution of the master; where all numbers are fixed, dives and phase 9 decide.
// Invariant: the open and the unresolved nodes contain all solutions cheaper than the incumbent.
//
// 9 All maximal patterns that a cheaper solution can have are enumerated by reduced cost, and branch and
// bound over their counts looks for it. Invariant: a node is closed by its integer bound or a solution
// and never by a floating-point number.
//
// 10 At the cost found, plans are sought with fewer boards, then fewer patterns, fewer settings of the
// stop, more factory ends and a longer single offcut. Invariant: the cost stays, and a plan gives way
// only to one that comparePlans prefers.
//
// 11 Pieces of one length differ after all: in factory ends, pairs and holds. They are assigned to the
// boards by augmenting paths. Invariant: as many get a factory end as the patterns allow.
//
// # What holds everywhere
//
// Proofs are in integers. Floating-point numbers choose the next step and never a bound: dual values
// are rounded to integers, for which the bound is computed again.
//
// Work is counted, time is not measured. The same problem gives the same plan on every machine, so
// products of floating-point numbers are rounded one by one, sorting is stable, ties are broken by
// index, and maps are never ranged over where the order could show. Where variety is wanted, a seed
// perturbs a choice: dives, minimum bin slack and the exact cover are repeated with other seeds.
//
// A phase that runs out of work returns what it has. The plan is then valid, and Bound below Cost.
// Of more than maxRows lengths there is no linear program, of more than maxLengths no model.
//
// # Sources
//
// Column generation with a knapsack as pricing problem: Gilmore and Gomory (1961, 1963). Undominated
// states: Nemhauser and Ullmann (1969). Bounds from any duals: Farley (1990). Cuts: Benders (1962);
// dual feasible functions in the terms of Clautiaux, Alves and Valerio de Carvalho (2010). Branching
// on board counts: Alves and Valerio de Carvalho (2008); on sums of patterns: Vance (1998),
// Vanderbeck (2000). Minimum bin slack: Gupta and Ho (1999). Exact cover: Knuth, Dancing Links (2000).
// Pattern reduction: Foerster and Wäscher (2000). Random numbers: Marsaglia (2003).
package cut
