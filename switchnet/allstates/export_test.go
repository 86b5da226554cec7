package allstates

import "math/bits"

// What the external tests use of the internal ones.
var (
	ChainNet  = chainNet
	GridNet   = gridNet
	TreeNet   = treeNet
	ChainLamp = chainLamp
)

// CountModulo counts the states of a set modulo 2^61-1, forward from the root where
// Count goes backward, and in machine words.
func CountModulo(s *Set) uint64 {
	const prime = 1<<61 - 1
	r := s.r
	ways := make([]uint64, 2*r.width(0))
	ways[r.root] = 1
	for i := range r.layer {
		next := make([]uint64, 2*r.width(i+1))
		for x, n := range ways {
			if n == 0 {
				continue
			}
			for p := range r.arity(i) {
				y := r.follow(i, uint32(x), p)
				next[y] = (next[y] + n) % prime
			}
		}
		ways = next
	}
	n := ways[refOn]
	for _, d := range s.free {
		hi, lo := bits.Mul64(n, uint64(len(s.a.f.g.Kind(int(d)).Blocks)))
		_, n = bits.Div64(hi, lo, prime)
	}
	return n
}
