package estimate

// NaturalCompare is the order of marks, for the tests of its laws.
var NaturalCompare = naturalCompare
