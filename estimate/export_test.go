package estimate

import "slices"

// NaturalCompare is the order of marks, for the tests of its laws.
var NaturalCompare = naturalCompare

// Rules returns the registry, for the tests that hold it complete.
func Rules() []Rule { return slices.Clone(rules) }
