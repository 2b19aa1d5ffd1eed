// Package pricing turns what a job needs into what is bought and what it
// costs: whole packs, boards, rolls and sticks at least cost from the price
// lists given, each item from one supplier; the share that each requirement
// bears; and the bid. A missing price is a state of a purchase, never zero.
package pricing
