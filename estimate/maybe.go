package estimate

// Maybe is a value that the schedule may leave out: missing is never zero.
type Maybe[T any] struct {
	V   T
	Set bool
}

// Given returns a value that is there.
func Given[T any](v T) Maybe[T] { return Maybe[T]{V: v, Set: true} }

// Or returns the value, or other when it is missing.
func (m Maybe[T]) Or(other T) T {
	if m.Set {
		return m.V
	}
	return other
}
