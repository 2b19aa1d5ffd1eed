package cutting

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGroupsKeepTheOrderOfTheirKeys(t *testing.T) {
	var g Groups[string, int]
	var began []bool
	for _, k := range []string{"b", "a", "b", "c", "b"} {
		n, first := g.Group(k)
		*n++
		began = append(began, first)
	}
	assert.Equal(t, []int{3, 1, 1}, g.List)
	assert.Equal(t, []bool{true, true, false, true, false}, began)
}

func TestMemoizeWorksOutEachResultOnce(t *testing.T) {
	calls := 0
	double := Memoize(func(n int) int { calls++; return 2 * n })
	assert.Equal(t, []int{4, 6, 4, 0, 0}, []int{double(2), double(3), double(2), double(0), double(0)})
	assert.Equal(t, 3, calls)
}
