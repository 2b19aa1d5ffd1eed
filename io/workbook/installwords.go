package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// governs ends the work of every phase.
const governs = "Local code and the manufacturers' written instructions govern over any step. Cautions: at the head of this sheet."

// phaseNames are the phases in words.
var phaseNames = map[estimate.Phase]string{estimate.PhaseInstall: "install the units", estimate.PhaseShop: "in the shop", estimate.PhaseTrim: "hang the trim",
	estimate.PhaseFinish: "finish"}

// openingWords lists the openings of a phase with their sizes.
func (w *writer) openingWords(in estimate.Install) string {
	out := make([]string, len(in.Openings))
	for i, x := range in.Openings {
		o := w.in.Takeoff.Openings[x.Opening]
		out[i] = o.Mark
		if o.Qty > 1 {
			out[i] += fmt.Sprintf(" x %d", o.Qty)
		}
		out[i] += " (" + w.u.Size(o.Frame) + ")"
	}
	return strings.Join(out, ", ")
}

// installCautions says what can go wrong or hurt in a phase, at the openings of all
// details.
func (w *writer) installCautions(in estimate.Install) []string {
	out := estimate.PhaseCautions(w.in.Book, w.in.Takeoff, in)
	var weights, feet, unknown []string
	for _, x := range in.Openings {
		o := &w.in.Takeoff.Openings[x.Opening]
		if o.Kind == estimate.Window || o.Kind == estimate.PatioDoor {
			weights = append(weights, o.Mark+" "+glassWords(o))
		}
		if x.Ladder.Set {
			feet = append(feet, o.Mark+" "+w.u.Words(x.Ladder.V))
		} else {
			unknown = append(unknown, o.Mark)
		}
	}
	if len(weights) > 0 && in.Phase == estimate.PhaseInstall {
		out = append(out, "glass alone, two 1/8 in lites over the whole frame: "+strings.Join(weights, ", "))
	}
	out = append(out, ladderWords(feet, unknown))
	if s := w.coldWords(in); s != "" {
		out = append(out, s)
	}
	return out
}

// glassLites is how many lites the weight is stated for.
const glassLites = 2

// glassWords says what the glass of an opening weighs, and that of one sash
// where its operation tells that it has several.
func glassWords(o *estimate.Sized) string {
	pounds := func(a measure.Area) int64 { return measure.MulDiv(estimate.GlassWeight(a, glassLites), 1, 100) }
	whole := pounds(o.Lifted().Area())
	if sash := o.LargestSash(); sash.Set && pounds(sash.V) < whole {
		return fmt.Sprintf("%d lb (a sash %d lb)", whole, pounds(sash.V))
	}
	return fmt.Sprintf("%d lb", whole)
}

// ladderWords says where the foot of a ladder stands.
func ladderWords(feet, unknown []string) string {
	var out []string
	if len(feet) > 0 {
		out = append(out, strings.Join(feet, ", "))
	}
	if len(unknown) > 0 {
		out = append(out, "a quarter of the ladder's working length, height above grade not stated: "+strings.Join(unknown, ", "))
	}
	return "ladder set-back (1:4) at the head: " + strings.Join(out, "; ") + "; feet on firm ground, none on ice or mud"
}

// coldWords lists the products bought for a phase that have a least temperature to work
// at, "" when none has.
func (w *writer) coldWords(in estimate.Install) string {
	used := map[string]bool{}
	for _, s := range in.Steps {
		for _, k := range s.Needs {
			used[w.in.Takeoff.Requirements[k].Item] = true
		}
	}
	var out []string
	for _, buy := range w.in.Plan.Purchases {
		if !used[buy.Item.Key] || !buy.Item.Site {
			continue
		}
		if least := minTempF(buy); least.Set {
			out = append(out, fmt.Sprintf("%s %d", shortName(buy.Item), least.V))
		}
	}
	if len(out) == 0 {
		return ""
	}
	forecast := "coldest forecast not stated on Job"
	if cold := w.in.Book.Job.Coldest(in.Phase); cold.Set {
		forecast = fmt.Sprintf("coldest forecast %d °F", cold.V)
	}
	return forecast + "; minimum installation temperature, °F, unless the manufacturer says otherwise: " + strings.Join(out, ", ") +
		"; heaters: vented and away from foam, cement and primer"
}

// minTempF returns the lowest temperature at which all that is bought of an
// item can be used: of each product its own, else the item's.
func minTempF(buy pricing.Purchase) estimate.Maybe[int64] {
	if len(buy.Lines) == 0 {
		return buy.Item.MinTempF
	}
	var least estimate.Maybe[int64]
	for _, l := range buy.Lines {
		t := l.Offer.MinTempF
		if !t.Set {
			t = buy.Item.MinTempF
		}
		if t.Set && (!least.Set || t.V > least.V) {
			least = t
		}
	}
	return least
}

// sillWords says what was read of a sill and of diagonals, and what to do.
func sillWords(u estimate.Units, o estimate.Sized, c estimate.SillCheck) string {
	name := o.Mark
	if o.Qty > 1 {
		name += fmt.Sprintf(" piece %d", c.Piece)
	}
	var out []string
	if c.LevelRead {
		level := "level"
		if c.Rise > 0 {
			level = fmt.Sprintf("%s end high by %s (allowed %s); a square frame would lean %s",
				cmp.Or(c.HighEnd, "one"), u.Shop(c.Rise), u.Shop(c.Tolerance), u.Shop(c.Lean))
			if c.LeanLimit.Set {
				level += fmt.Sprintf(" (the lock allows %s)", u.Shop(c.LeanLimit.V))
			}
		}
		out = append(out, "sill "+level)
	}
	if c.Compound > 0 {
		out = append(out, "leveling compound "+fluidWords(u, int64(c.Compound)))
	}
	if c.Diagonals.Set {
		square := fmt.Sprintf("diagonals of the %s differ by %s (allowed %s)", c.Of, u.Shop(c.Diagonals.V), u.Shop(c.DiagonalTolerance))
		if c.Rack > 0 {
			square += fmt.Sprintf(", head %s out of square", u.Shop(c.Rack))
		}
		out = append(out, square)
	}
	for _, do := range []string{c.Do, c.Square} {
		if do != "" {
			out = append(out, strings.ToUpper(do))
		}
	}
	return name + ": " + strings.Join(out, "; ")
}

// sourceWords says where the steps of a phase come from, each source once.
func sourceWords(steps []estimate.InstallStep) string {
	type source struct {
		words   string
		numbers []string
	}
	var list []source
	for _, s := range steps {
		if s.Source == "" {
			continue
		}
		i := slices.IndexFunc(list, func(x source) bool { return x.words == s.Source })
		if i < 0 {
			i = len(list)
			list = append(list, source{words: s.Source})
		}
		if !slices.Contains(list[i].numbers, s.Number) {
			list[i].numbers = append(list[i].numbers, s.Number)
		}
	}
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = strings.Join(x.numbers, ", ") + ": " + x.words
	}
	return strings.Join(out, ".  ")
}
