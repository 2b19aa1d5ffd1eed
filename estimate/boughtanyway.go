package estimate

import (
	"cmp"
	"slices"
)

// takeWhatIsBought lets small needs be served by what the job buys anyway, so that no roll
// is bought for them alone: a tape of which only patches are needed gives way to the
// narrowest other one that is as wide, backer rod to the next thicker one, as far as every
// joint takes it.
func (t *Takeoff) takeWhatIsBought(items Items) {
	needs := map[string][]int{} // requirements, by item
	for i, r := range t.Requirements {
		if r.Item != "" {
			needs[r.Item] = append(needs[r.Item], i)
		}
	}
	move := func(from, to Item) {
		for _, i := range needs[from.Key] {
			r := &t.Requirements[i]
			r.Item = to.Key
			r.Inputs += "; of " + to.Key + ", which is bought anyway"
		}
		needs[to.Key] = append(needs[to.Key], needs[from.Key]...)
		delete(needs, from.Key)
	}
	all := func(it Item, holds func(Requirement) bool) bool {
		return !slices.ContainsFunc(needs[it.Key], func(i int) bool { return !holds(t.Requirements[i]) })
	}
	used := slices.DeleteFunc(slices.Clone(items.List()), func(it Item) bool { return len(needs[it.Key]) == 0 })
	slices.SortStableFunc(used, func(a, b Item) int { return cmp.Compare(a.Width, b.Width) })
	patches := func(it Item) bool { return all(it, func(r Requirement) bool { return r.Patch }) }
	for _, it := range used {
		for _, other := range used {
			tape := it.Class == ClassTape && patches(it) && other.Class == ClassTape && !patches(other) && other.Width >= it.Width && (other.Forms || !it.Forms)
			rod := it.Family != "" && other.Family == it.Family && other.Width > it.Width &&
				all(it, func(r Requirement) bool { return r.Widest >= other.Width })
			if other.Key != it.Key && len(needs[other.Key]) > 0 && (tape || rod) {
				move(it, other)
				break
			}
		}
	}
}
