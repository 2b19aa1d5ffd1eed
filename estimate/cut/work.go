package cut

// work counts the steps of a search: a state or length looked at, a coefficient changed. Time plays
// no part, so the same problem gives the same plan on every machine.
type work struct{ used, limit int64 }

// FullWork is the work, in steps, of a problem at an effort of 1.
const FullWork = 400_000_000

// spend counts n steps.
func (w *work) spend(n int) { w.used += int64(n) }

// spent reports whether the limit is reached.
func (w *work) spent() bool { return w.used >= w.limit }

// within runs f with no more than n steps from now.
func (w *work) within(n int64, f func()) {
	limit := w.limit
	w.limit = min(limit, w.used+n)
	f()
	w.limit = limit
}
