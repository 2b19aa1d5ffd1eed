package schedule

import "sillwright/estimate"

// The words of the closed columns, and what people write for them. A usual
// word that fits two of them is asked back, never guessed.
var (
	kinds = vocabulary{
		words: estimate.Kinds,
		other: map[string]string{
			"win": "window", "windows": "window", "wdw": "window", "sliding window": "window",
			"entry": "entry door", "entrance": "entry door", "entrance door": "entry door", "front door": "entry door",
			"patio": "patio door", "sliding door": "patio door", "sliding patio door": "patio door",
			"sliding glass door": "patio door", "sgd": "patio door",
			"overhead": "overhead door", "garage door": "overhead door", "garage": "overhead door", "ohd": "overhead door",
			"sectional door": "overhead door", "roll up door": "overhead door",
		},
		doubtful: map[string]string{
			"door": "an entry door, a patio door or an overhead door", "doors": "entry doors, patio doors or overhead doors",
			"exterior door": "an entry door, a patio door or an overhead door", "french door": "an entry door or a patio door",
			"french doors": "an entry door or a patio door", "sliding": "a window or a patio door", "slider": "a window or a patio door",
		},
	}
	sitsOn = vocabulary{
		words: estimate.SitsOnWords,
		other: map[string]string{
			"concrete": "slab", "concrete slab": "slab", "slab on grade": "slab",
			"wood floor": "wood", "wood frame": "wood", "wood sill": "wood", "framing": "wood", "subfloor": "wood", "lumber": "wood",
			"brick": "masonry", "block": "masonry", "cmu": "masonry", "stone": "masonry",
		},
		doubtful: map[string]string{"floor": "wood or slab"},
	}
	flanges = vocabulary{
		words: estimate.FlangeWords,
		other: map[string]string{
			"no": "none", "without": "none", "no flange": "none", "flangeless": "none", "block frame": "none",
			"integral flange": "integral", "locating": "attached locating",
			"brickmould": "casing", "brickmold": "casing", "brick mould": "casing", "brick mold": "casing", "outside casing": "casing",
		},
		doubtful: map[string]string{
			"yes": "integral or attached", "nailed": "integral or attached nailed", "flange": "integral or attached", "attached": "nailed or only locating",
			"nail fin": "integral or attached", "nailing fin": "integral or attached", "fin": "integral or attached",
			"nail flange": "integral or attached", "nailing flange": "integral or attached", "mounting flange": "integral or attached",
		},
	}
	readOf = vocabulary{
		words: estimate.MeasuredWords,
		other: map[string]string{"unit": "frame", "ro": "opening", "rough opening": "opening", "framed opening": "opening"},
	}
	suppliers = vocabulary{
		words: estimate.SuppliedByWords,
		other: map[string]string{
			"us": "builder", "gc": "builder", "contractor": "builder", "general contractor": "builder",
			"client": "owner", "customer": "owner", "homeowner": "owner", "home owner": "owner",
		},
		doubtful: map[string]string{"others": "the owner or the installer", "by others": "the owner or the installer"},
	}
	statuses = vocabulary{
		words: estimate.StatusWords,
		other: map[string]string{"on order": "ordered", "received": "delivered", "on site": "delivered", "trim cut": "cut", "trim hung": "hung"},
		doubtful: map[string]string{
			"installed": "set (the unit) or hung (its trim)", "done": "set (the unit) or hung (its trim)",
		},
	}
	pans = vocabulary{
		words: estimate.PanWords,
		other: map[string]string{
			"no": "none", "no pan": "none", "bent": "formed", "metal": "formed", "strips": "strip",
			"rigid pan": "rigid", "formed pan": "formed",
		},
		doubtful: map[string]string{"yes": "rigid, formed or strip", "pan": "rigid, formed or strip", "flexible": "a strip or a formed pan"},
	}
	highEnds = vocabulary{
		words: []string{"left", "right", "level"},
		other: map[string]string{"l": "left", "r": "right", "lh": "left", "rh": "right"},
	}
)

// plainWords returns the vocabulary of words that need no translation, but for
// the usual other ways to write some of them.
func plainWords(words []string) vocabulary {
	return vocabulary{words: words, other: map[string]string{
		"y": "yes", "true": "yes", "n": "no", "false": "no",
		"in": "inches", "inch": "inches", "millimetres": "mm", "millimeters": "mm", "metric": "mm",
	}}
}

// trims returns the words of the column Trim.
func trims(layouts estimate.Layouts) vocabulary {
	return vocabulary{
		words: append(layouts.Names(), "none"),
		other: map[string]string{"no": "none", "no trim": "none", "3 sided": "three sided"},
	}
}
