package schedule

import "sillwright/estimate"

// The words of the closed columns, and what people write for them. A usual
// word that fits two of them is asked back, never guessed.
var (
	kinds = vocabulary{
		words: estimate.Kinds,
		other: meaning(map[estimate.Kind][]string{
			estimate.Window:    {"win", "windows", "wdw", "sliding window"},
			estimate.EntryDoor: {"entry", "entrance", "entrance door", "front door"},
			estimate.PatioDoor: {"patio", "sliding door", "sliding patio door", "sliding glass door", "sgd"},
			estimate.OverheadDoor: {
				"overhead", "garage door", "garage", "ohd", "sectional door", "roll up door",
			},
		}),
		doubtful: map[string]string{
			"door": "an entry door, a patio door or an overhead door", "doors": "entry doors, patio doors or overhead doors",
			"exterior door": "an entry door, a patio door or an overhead door", "french door": "an entry door or a patio door",
			"french doors": "an entry door or a patio door", "sliding": "a window or a patio door", "slider": "a window or a patio door",
		},
	}
	sitsOn = vocabulary{
		words: estimate.SitsOnWords,
		other: meaning(map[estimate.SitsOn][]string{
			estimate.OnSlab:    {"concrete", "concrete slab", "slab on grade"},
			estimate.OnWood:    {"wood floor", "wood frame", "wood sill", "framing", "subfloor", "lumber"},
			estimate.OnMasonry: {"brick", "block", "cmu", "stone"},
		}),
		doubtful: map[string]string{"floor": "wood or slab"},
	}
	flanges = vocabulary{
		words: estimate.FlangeWords,
		other: meaning(map[estimate.Flange][]string{
			estimate.FlangeNone:     {"no", "without", "no flange", "flangeless", "block frame"},
			estimate.FlangeIntegral: {"integral flange"},
			estimate.FlangeLocatingOnly: {"locating"},
			estimate.FlangeBrickmould:   {"brickmould", "brickmold", "brick mould", "brick mold", "outside casing"},
		}),
		doubtful: map[string]string{
			"yes": "integral or attached", "nailed": "integral or attached nailed", "flange": "integral or attached", "attached": "nailed or only locating",
			"nail fin": "integral or attached", "nailing fin": "integral or attached", "fin": "integral or attached",
			"nail flange": "integral or attached", "nailing flange": "integral or attached", "mounting flange": "integral or attached",
		},
	}
	readAt = vocabulary{
		words: estimate.ReadAtWords,
		other: meaning(map[estimate.ReadAt][]string{
			estimate.ReadAtFrame:   {"unit"},
			estimate.ReadAtOpening: {"ro", "rough opening", "framed opening"},
		}),
	}
	suppliers = vocabulary{
		words: estimate.SuppliedByWords,
		other: meaning(map[estimate.SuppliedBy][]string{
			estimate.ByBuilder: {"us", "gc", "contractor", "general contractor"},
			estimate.ByOwner:   {"client", "customer", "homeowner", "home owner"},
		}),
		doubtful: map[string]string{"others": "the owner or the installer", "by others": "the owner or the installer"},
	}
	statuses = vocabulary{
		words: estimate.StatusWords,
		other: meaning(map[estimate.Status][]string{
			estimate.StatusOrdered:   {"on order"},
			estimate.StatusDelivered: {"received", "on site"},
			estimate.StatusCut:       {"trim cut"},
			estimate.StatusHung:      {"trim hung"},
		}),
		doubtful: map[string]string{
			"installed": "set (the unit) or hung (its trim)", "done": "set (the unit) or hung (its trim)",
		},
	}
	pans = vocabulary{
		words: estimate.PanWords,
		other: meaning(map[estimate.Pan][]string{
			estimate.PanNone:   {"no", "no pan"},
			estimate.PanMetal: {"bent", "metal", "formed pan"},
			estimate.PanFlexible:  {"strips"},
			estimate.PanRigid:  {"rigid pan"},
		}),
		doubtful: map[string]string{"yes": "rigid, formed or strip", "pan": "rigid, formed or strip", "flexible": "a strip or a formed pan"},
	}
	highEnds = vocabulary{
		words: estimate.HighEndWords,
		other: meaning(map[estimate.HighEnd][]string{estimate.HighLeft: {"l", "lh"}, estimate.HighRight: {"r", "rh"}}),
	}
)

// trims returns the words of the column Trim.
func trims(layouts estimate.Layouts) vocabulary {
	return vocabulary{
		words: append(layouts.Names(), estimate.NoTrim),
		other: map[string]string{"no": estimate.NoTrim, "no trim": estimate.NoTrim, "3 sided": "three sided"},
	}
}
