package estimate

import "cmp"

// Facts are what conditions may ask of an opening.
type Facts struct {
	Word   map[string]string
	Number map[string]int64
}

var yesNo = []string{"yes", "no"}

// noStatus is what conditions call a status that is not stated.
const noStatus = "none"

// wordFacts lists the word facts and the words each may be.
var wordFacts = map[string][]string{
	"kind": Kinds, "sits on": SitsOnWords, "flange": FlangeWords, "supplied by": SuppliedByWords,
	"status": append([]string{noStatus}, StatusWords...), "pan": PanWords, "layout": nil, "face": faceWords,
	"strip forms": yesNo, "prime for strip": yesNo, "hardware with unit": yesNo, "head flashing": yesNo,
	"sill level": {"yes", "no", "not measured"}, "joined": {"no", "side by side", "stacked"},
}

var numberFacts = []string{"units", "storey", "year built"}

// FactsOf returns what conditions may ask of an opening of a takeoff.
func (b *Book) FactsOf(o *Sized) Facts { return factsOf(o, b) }

// factsOf returns what conditions may ask of an opening.
func factsOf(o *Sized, b *Book) Facts {
	answer := func(yes bool) string {
		if yes {
			return "yes"
		}
		return "no"
	}
	sill, _ := b.Items.Get(b.Job.Role["strip sill"])
	joined := "no"
	if o.Stacked() {
		joined = "stacked"
	} else if o.Units > 1 {
		joined = "side by side"
	}
	level := "not measured"
	if rise, read := o.rise(); read {
		level = answer(rise <= LevelTolerance)
	}
	f := Facts{
		Word: map[string]string{
			"kind": string(o.Kind), "sits on": string(o.SitsOn), "flange": string(o.Flange), "supplied by": string(o.SuppliedBy),
			"status": cmp.Or(string(o.Status), noStatus), "pan": string(o.Pan), "layout": o.Layout, "face": string(b.Job.Face),
			"strip forms": answer(sill.Forms), "prime for strip": answer(b.Job.PrimeForStrip),
			"hardware with unit": answer(b.Job.HardwareWithUnit), "head flashing": answer(b.Job.Waiver == ""),
			"sill level": level, "joined": joined,
		},
		Number: map[string]int64{"units": o.Units},
	}
	if o.Storey.Set {
		f.Number["storey"] = o.Storey.V
	}
	if b.Job.YearBuilt.Set {
		f.Number["year built"] = b.Job.YearBuilt.V
	}
	return f
}
