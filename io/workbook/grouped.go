package workbook

// ordered keeps one value a key, in the order in which the keys came. Lists here
// have thousands of marks on a large block, too many to be searched one by one.
type ordered[K comparable, V any] struct {
	list []V
	at   map[K]int
}

// of returns the value of a key, which begins as zero and is good until the next
// key comes; first tells that it just began.
func (o *ordered[K, V]) of(k K) (v *V, first bool) {
	i, ok := o.at[k]
	if !ok {
		if o.at == nil {
			o.at = map[K]int{}
		}
		i = len(o.list)
		o.at[k] = i
		o.list = append(o.list, *new(V))
	}
	return &o.list[i], !ok
}

// remembered returns a function that works out each result once.
func remembered[K comparable, V any](f func(K) V) func(K) V {
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
