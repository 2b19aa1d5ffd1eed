package pricing

import (
	"fmt"
	"maps"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Overrides are counts typed by the estimator, by Line.Key.
type Overrides map[string]int64

// override puts the estimator's counts on the lines.
func (b *buyer) override(p *Purchase) {
	for i := range p.Lines {
		l := &p.Lines[i]
		n, ok := b.over[l.Key()]
		if !ok {
			continue
		}
		b.typed[l.Key()] = true
		if n < 0 {
			b.say(onMaterials, estimate.Error, fmt.Sprintf("%s: an override of %d is not used", l.Key(), n), "type how many to buy, or clear it")
			continue
		}
		l.Override = estimate.Given(n)
	}
}

// unusedOverrides reports counts typed for what is not bought.
func (b *buyer) unusedOverrides() {
	for _, key := range slices.Sorted(maps.Keys(b.over)) {
		if !b.typed[key] {
			b.say(onMaterials, estimate.Warning,
				fmt.Sprintf("the override of %d for %s is not used: nothing of that name is bought", b.over[key], measure.Quote(key)),
				"clear it, or type it at a line that is bought")
		}
	}
}
