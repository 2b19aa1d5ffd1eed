package cut

import (
	"slices"
)

// work counts the steps of a search: a sum of lengths looked at, a number of a
// matrix changed. Time plays no part, so the same problem gives the same plan
// on every machine.
type work struct{ used, limit int64 }

// workLimit is the work of a problem at an effort of 1.
const workLimit = 400_000_000

func (w *work) spend(n int) { w.used += int64(n) }

func (w *work) spent() bool { return w.used >= w.limit }

// within runs f with no more than so much work from now.
func (w *work) within(n int64, f func()) {
	limit := w.limit
	w.limit = min(limit, w.used+n)
	f()
	w.limit = limit
}

// sortBy sorts indices; equal ones keep their order.
func sortBy(order []int, before func(a, b int) bool) {
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case before(a, b):
			return -1
		case before(b, a):
			return 1
		}
		return 0
	})
}
