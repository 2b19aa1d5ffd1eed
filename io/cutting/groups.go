package cutting

// Groups keeps one value a key, in the order in which the keys came. Lists here
// have thousands of marks on a large block, too many to be searched one by one.
type Groups[K comparable, V any] struct {
	List []V
	at   map[K]int
}

// Group returns the value of a key, which begins as zero and is good until the
// next key comes; first tells that it just began.
func (g *Groups[K, V]) Group(k K) (v *V, first bool) {
	i, ok := g.at[k]
	if !ok {
		if g.at == nil {
			g.at = map[K]int{}
		}
		i = len(g.List)
		g.at[k] = i
		g.List = append(g.List, *new(V))
	}
	return &g.List[i], !ok
}

// Memoize returns a function that works out each result once.
func Memoize[K comparable, V any](f func(K) V) func(K) V {
	known := map[K]V{}
	return func(k K) V {
		v, ok := known[k]
		if !ok {
			v = f(k)
			known[k] = v
		}
		return v
	}
}
