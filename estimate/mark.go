package estimate

import (
	"cmp"
	"strings"
)

// naturalCompare orders marks as people do, W2 before W10; of marks that differ
// in leading zeros alone, as text.
func naturalCompare(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		nx, rx := leadingDigits(x)
		ny, ry := leadingDigits(y)
		if nx != "" && ny != "" {
			nx, ny = strings.TrimLeft(nx, "0"), strings.TrimLeft(ny, "0")
			if c := cmp.Or(cmp.Compare(len(nx), len(ny)), strings.Compare(nx, ny)); c != 0 {
				return c
			}
			x, y = rx, ry
			continue
		}
		if x[0] != y[0] {
			return cmp.Compare(x[0], y[0])
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(a, b))
}

func leadingDigits(s string) (digits, rest string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}
