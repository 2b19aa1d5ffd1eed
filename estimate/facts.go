package estimate

// Facts are what conditions may ask of an opening.
type Facts struct {
	Word   map[string]string
	Number map[string]int64
}

var yesNo = []string{"yes", "no"}

// wordFacts lists the word facts and the words each may be.
var wordFacts = map[string][]string{
	"kind": Kinds, "sits on": SitsOnWords, "flange": FlangeWords, "supplied by": SuppliedByWords,
	"status": append([]string{"none"}, StatusWords...), "pan": PanWords, "layout": nil, "face": {"wrap", "faced"},
	"strip forms": yesNo, "prime for strip": yesNo, "hardware with unit": yesNo, "head flashing": yesNo,
	"sill level": {"yes", "no", "not measured"}, "joined": {"no", "side by side", "stacked"},
}

var numberFacts = []string{"units", "storey", "year built"}

// factsOf returns what conditions may ask of an opening.
func factsOf(o *Sized, b *Book) Facts {
	answer := func(yes bool) string {
		if yes {
			return "yes"
		}
		return "no"
	}
	sill, _ := b.Items.Get(b.Job.Role["strip sill"])
	status := o.Status
	if status == "" {
		status = "none"
	}
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
			"kind": string(o.Kind), "sits on": o.SitsOn, "flange": o.Flange, "supplied by": o.SuppliedBy,
			"status": status, "pan": o.Pan, "layout": o.Layout, "face": b.Job.Face,
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
