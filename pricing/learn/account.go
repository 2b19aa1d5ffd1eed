// Package learn tells from what jobs really took how well the rates of an estimate hold:
// waste, beads, foam, nails, boards broken, hours. It changes nothing by itself.
package learn

import (
	"cmp"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Job is a job with what it took.
type Job struct {
	Name, File string
	Book       estimate.Book
	Takeoff    estimate.Takeoff
	Lists      pricing.Lists
	Plan       pricing.Plan
}

// Account is where an item of a job went, in base units of its dimension; of an item that
// is cut in lengths.
type Account struct {
	Item     estimate.Item
	OnHand   int64 // there before, the owner's too
	Bought   int64
	Returned int64
	Lost     int64 // by Purchases, and Broken of Actuals
	Carried  int64 // to another job
	Left     int64
	Needed   int64 // by the takeoff, of what is done, without waste
	// Uncounted are the pack sizes that were bought or on hand, and of which nothing says
	// how much is left.
	Uncounted []string
	Undone    bool // some of it is still to be done
}

// Used returns what the job used up: what served it, what was cut off, and what nothing
// explains.
//
//	used = on hand + bought − returned − lost − carried − left
func (a Account) Used() int64 { return a.OnHand + a.Bought - a.Returned - a.Lost - a.Carried - a.Left }

// Unexplained returns what the takeoff does not ask for of what was used: waste, and of
// what is cut kerfs and offcuts too short to keep.
func (a Account) Unexplained() int64 { return a.Used() - a.Needed }

// Known reports whether what was used is known, and all of the item is done.
func (a Account) Known() bool {
	return len(a.Uncounted) == 0 && !a.Undone && a.OnHand+a.Bought > 0
}

// Accounts returns where the items of a job went, in the order in which they are bought,
// then those that it does not need, by key. What was on hand counts as there before
// anything was bought, but what was counted while the job went on, which is no more than
// there was.
func Accounts(j Job) []Account {
	done, left := j.Takeoff.DoneSince(j.Book.Job.DoneBefore()), j.Takeoff.Left()
	needed, undone := amounts(j.Book.Items, &done), amounts(j.Book.Items, &left)
	var list []Account
	at := map[string]int{}
	of := func(key string) *Account {
		if _, known := at[key]; !known {
			item, ok := j.Book.Items.Get(key)
			if !ok {
				item = estimate.Item{Key: key, Name: key}
			}
			at[key], list = len(list), append(list, Account{Item: item, Needed: needed[key], Undone: undone[key] > 0})
		}
		return &list[at[key]]
	}
	for _, p := range j.Plan.Purchases {
		of(p.Item.Key)
	}
	planned := len(list)
	sizes := map[string][]size{}
	for _, b := range j.Book.Job.Purchases {
		if b.Item == "" || !b.Counts() {
			continue
		}
		a := of(b.Item)
		a.Bought += b.Taken() * b.Amount
		a.Returned += b.WentBack() * b.Amount
		a.Lost += b.Lost.V * b.Amount
		if b.There() > 0 {
			sizes[b.Item] = append(sizes[b.Item], size{cmp.Or(b.PackReceived, b.Pack), b.Amount})
		}
	}
	for _, h := range j.Book.Job.OnHand {
		if h.Counted.Set {
			continue
		}
		a := of(h.Item)
		amount := max(h.Amount, int64(h.Length))
		a.OnHand += h.Count * amount
		sizes[h.Item] = append(sizes[h.Item], size{h.Content, amount})
	}
	counted := map[string][]int64{} // amounts of the sizes that were counted
	for _, l := range j.Book.Job.Actuals.Left {
		a := of(l.Item)
		a.Left += l.Left.V.Of(l.Amount)
		a.Carried += l.Carried.V.Of(l.Amount)
		a.Lost += l.Broken.V * l.Amount
		if l.Left.Set {
			counted[l.Item] = append(counted[l.Item], l.Amount)
		}
	}
	for i := range list {
		a := &list[i]
		for _, s := range sizes[a.Item.Key] {
			if !slices.Contains(counted[a.Item.Key], s.amount) && !slices.Contains(a.Uncounted, s.words(j, a.Item)) {
				a.Uncounted = append(a.Uncounted, s.words(j, a.Item))
			}
		}
	}
	slices.SortFunc(list[planned:], func(a, b Account) int { return strings.Compare(a.Item.Key, b.Item.Key) })
	return list
}

// size is a pack, board or roll size.
type size struct {
	pack   string // "" = a length on hand
	amount int64
}

func (s size) words(j Job, item estimate.Item) string {
	if s.pack != "" || !item.Cut {
		return s.pack
	}
	return estimate.UnitsOf(j.Book.Job.MM).Words(measure.Length(s.amount))
}

// amounts adds up what a takeoff takes, by item.
func amounts(items estimate.Items, t *estimate.Takeoff) map[string]int64 {
	sum := map[string]int64{}
	for i, n := range pricing.AmountsNeeded(items, t) {
		sum[t.Requirements[i].Item] += n
	}
	return sum
}
