// Package pricing turns what a job needs into what is bought and what it
// costs: whole packs, boards, rolls and sticks at least cost from the price
// lists given, each item from one supplier; the share that each requirement
// bears; and the bid. A missing price is a state of a purchase, never zero.
//
// An estimate passes through the files in this order:
//
//	names.go, offer.go, terms.go   what suppliers offer and ask, one name a supplier
//	need.go                        what the takeoff needs of each item
//	usable.go                      offers that may be used, and why others may not
//	candidate.go                   what an item takes of one supplier: packs.go, or cutting.go and cutplan.go
//	choice.go, selection.go        the supplier of each item, by branch and bound
//	purchase.go, override.go       what is bought, with the estimator's own counts
//	order.go, bid.go               what each supplier gets, and the price of the job
//	plan.go                        Make, which runs all of it
//
// Beside it: follow.go prices an estimate as it was edited by the plan that it
// holds (fingerprint.go), consolidate.go makes the orders of several jobs,
// missing.go says what they lack, topup.go buys what is lacking beside stock.
// Comparisons buy through this package and stand above it, in package compare.
package pricing
