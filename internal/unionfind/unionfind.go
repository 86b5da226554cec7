// Package unionfind keeps a partition of small integers under merging.
//
// It is used where a circuit is contracted once (fixed conductors and
// splices), never per switch state: the solvers keep their own flat arrays.
package unionfind

// Sets is a partition of 0..n-1. Make one with New.
type Sets struct {
	parent []int32 // a root holds minus the size of its set
}

// New returns n singletons.
func New(n int) *Sets {
	s := &Sets{parent: make([]int32, n)}
	for i := range s.parent {
		s.parent[i] = -1
	}
	return s
}

// Len returns the number of elements.
func (s *Sets) Len() int { return len(s.parent) }

// Find returns the representative of x. It halves the path on the way, so a
// long run of finds costs near constant time each, without recursion.
func (s *Sets) Find(x int32) int32 {
	p := s.parent
	for p[x] >= 0 {
		if g := p[p[x]]; g >= 0 {
			p[x] = g
		}
		x = p[x]
	}
	return x
}

// Union merges the sets of x and y and reports whether they were apart.
func (s *Sets) Union(x, y int32) bool {
	x, y = s.Find(x), s.Find(y)
	if x == y {
		return false
	}
	if s.parent[x] > s.parent[y] {
		x, y = y, x
	}
	s.parent[x] += s.parent[y]
	s.parent[y] = x
	return true
}

// Number gives every set a dense number, in the order of its smallest
// element, and returns the number of each element's set and how many sets
// there are. The result does not depend on the order of the unions.
func (s *Sets) Number() (of []int32, count int) {
	of = make([]int32, len(s.parent))
	byRoot := make([]int32, len(s.parent))
	for i := range byRoot {
		byRoot[i] = -1
	}
	for i := range of {
		r := s.Find(int32(i))
		if byRoot[r] < 0 {
			byRoot[r] = int32(count)
			count++
		}
		of[i] = byRoot[r]
	}
	return of, count
}
