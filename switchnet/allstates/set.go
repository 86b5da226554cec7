package allstates

import (
	"iter"
	"math/big"
	"math/rand/v2"

	"example.com/switchleg/switchnet"
)

// A Set is a set of states. It is immutable and safe for concurrent use.
type Set struct {
	a    *Analysis
	r    *reduced // over on and off alone
	free []int32  // devices that move and are not in r
}

func (a *Analysis) newSet(r *reduced) *Set {
	return &Set{a: a, r: r, free: a.free(r.device)}
}

// Empty reports whether no state is in the set.
func (s *Set) Empty() bool { return s.r.never(0, s.r.root) }

// Count returns the number of states in the set.
func (s *Set) Count() *big.Int {
	n := s.r.count(isOn)
	return n.times(s.a.f.product(s.free)).value()
}

// Sequence returns the devices that move in the order by which [Set.All] and
// [Set.Nearest] compare states. It is the order of the analysis: devices that are
// wired to each other stand together, and those without influence on the set come
// last, in name order.
func (s *Set) Sequence() []switchnet.Ref {
	return append(s.a.refs(s.r.device), s.a.refs(s.free)...)
}

// Has reports whether a state is in the set: a state of the net in which the
// devices that do not move are as they are held.
func (s *Set) Has(state switchnet.State) bool {
	return s.a.covers(state) && s.r.walk(state.Indices()) == refOn
}

// covers reports whether a state is one of the analysis.
func (a *Analysis) covers(state switchnet.State) bool {
	f := a.f
	if state.Net() != f.net {
		return false
	}
	pos := state.Indices()
	for d, v := range f.varied {
		if !v && pos[d] != f.pos[d] {
			return false
		}
	}
	return true
}

// walk returns the terminal that the positions of all devices lead to.
func (r *reduced) walk(pos []uint8) ref {
	x := r.root
	for i, d := range r.device {
		x = r.follow(i, x, int(pos[d]))
	}
	return x
}

// state returns the state with the given positions of all devices.
func (a *Analysis) state(pos []uint8) switchnet.State {
	st, err := a.f.net.StateOf(pos)
	if err != nil {
		// Positions of a diagram are those of the kinds of the net.
		panic("allstates: " + err.Error())
	}
	return st
}

// start returns the positions of all devices with those that move at their first.
func (a *Analysis) start() []uint8 {
	pos := append([]uint8(nil), a.f.pos...)
	for _, d := range a.f.order {
		pos[d] = 0
	}
	return pos
}

// Witness returns the first state of [Set.All], or false if the set is empty. It
// takes time linear in the number of devices.
func (s *Set) Witness() (switchnet.State, bool) {
	if s.Empty() {
		return switchnet.State{}, false
	}
	pos := s.a.start()
	x := s.r.root
	for i, d := range s.r.device {
		for s.r.never(i+1, s.r.follow(i, x, int(pos[d]))) {
			pos[d]++
		}
		x = s.r.follow(i, x, int(pos[d]))
	}
	return s.a.state(pos), true
}

// All yields the states of the set. They come in order of the position of the
// first device of [Set.Sequence], among equals by the second, and so on; positions
// are in the order of their kind. Each state takes time linear in the number of
// devices.
func (s *Set) All() iter.Seq[switchnet.State] {
	return func(yield func(switchnet.State) bool) {
		if s.Empty() {
			return
		}
		pos := s.a.start()
		for range s.r.paths(pos, func(layer int, x ref) bool { return !s.r.never(layer, x) }, len(s.r.layer)) {
			if !s.a.each(s.free, pos, func() bool { return yield(s.a.state(pos)) }) {
				return
			}
		}
	}
}

// paths yields the refs that end the paths from the root through the first layers,
// in order of positions, keeping to refs that may lead on. It keeps the positions
// in pos.
func (r *reduced) paths(pos []uint8, may func(layer int, x ref) bool, layers int) iter.Seq[ref] {
	return func(yield func(ref) bool) {
		at := make([]ref, layers+1)
		at[0] = r.root
		if !may(0, r.root) {
			return
		}
		i, p := 0, 0
		for {
			if i == layers {
				if !yield(at[i]) {
					return
				}
				if i--; i < 0 {
					return
				}
				p = int(pos[r.device[i]]) + 1
			}
			for ; p < r.arity(i); p++ {
				if x := r.follow(i, at[i], p); may(i+1, x) {
					at[i+1] = x
					break
				}
			}
			if p < r.arity(i) {
				pos[r.device[i]] = uint8(p)
				i, p = i+1, 0
				continue
			}
			pos[r.device[i]] = 0
			if i--; i < 0 {
				return
			}
			p = int(pos[r.device[i]]) + 1
		}
	}
}

// each calls visit for every way to position devices, the last fastest, and leaves
// them at their first position. It stops if visit returns false and returns that.
func (a *Analysis) each(devices []int32, pos []uint8, visit func() bool) bool {
	for {
		if !visit() {
			return false
		}
		i := len(devices) - 1
		for ; i >= 0; i-- {
			d := devices[i]
			if int(pos[d])+1 < len(a.f.g.Kind(int(d)).Blocks) {
				pos[d]++
				break
			}
			pos[d] = 0
		}
		if i < 0 {
			return true
		}
	}
}

// Nearest returns the state of the set in which the fewest devices that move stand
// otherwise than in the given state, and how many that is; of several the first in
// the order of [Set.All]. It returns false if the set is empty, and an error for a
// state of another net. Time is linear in the diagram.
func (s *Set) Nearest(to switchnet.State) (switchnet.State, int, bool, error) {
	if to.Net() != s.a.f.net {
		return switchnet.State{}, 0, false, &Error{ForeignState, "state", "is of another net; carry it over with State.On"}
	}
	if s.Empty() {
		return switchnet.State{}, 0, false, nil
	}
	const far = int32(1) << 30
	r, here := s.r, to.Indices()
	starts := r.starts()
	// moves[2*node+sign] is the fewest moves from there to a state of the set.
	moves := make([]int32, 2*starts[len(starts)-1])
	base := 2 * starts[len(r.layer)]
	for x := range ref(2 * terminals) {
		moves[base+int(x)] = far
	}
	moves[base+int(refOn)] = 0
	for i := len(r.layer) - 1; i >= 0; i-- {
		from, next := 2*starts[i], 2*starts[i+1]
		d := r.device[i]
		for x := range ref(2 * r.width(i)) {
			best := far
			for p := range r.arity(i) {
				m := moves[next+int(r.follow(i, x, p))]
				if p != int(here[d]) {
					m++
				}
				best = min(best, m)
			}
			moves[from+int(x)] = best
		}
	}
	pos := s.a.start()
	for _, d := range s.free {
		pos[d] = here[d]
	}
	x := r.root
	total := moves[int(x)]
	for i, d := range r.device {
		for p := range r.arity(i) {
			y := r.follow(i, x, p)
			m := moves[2*starts[i+1]+int(y)]
			if p != int(here[d]) {
				m++
			}
			if m == moves[2*starts[i]+int(x)] {
				pos[d], x = uint8(p), y
				break
			}
		}
	}
	return s.a.state(pos), int(total), true, nil
}

// Random returns a state drawn from the set, each with equal chance, or false if
// the set is empty. The same seed gives the same state.
func (s *Set) Random(seed uint64) (switchnet.State, bool) {
	if s.Empty() {
		return switchnet.State{}, false
	}
	r := s.r
	starts := r.starts()
	plain, flipped := make([]num, starts[len(starts)-1]), make([]num, starts[len(starts)-1])
	r.counts(isOn, func(layer int, t tally) {
		copy(plain[starts[layer]:], t.plain)
		copy(flipped[starts[layer]:], t.flipped)
	})
	ways := func(layer int, x ref) num {
		if x&1 == 1 {
			return flipped[starts[layer]+int(x>>1)]
		}
		return plain[starts[layer]+int(x>>1)]
	}
	rng := rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15))
	pos := s.a.start()
	x := r.root
	for i, d := range r.device {
		// Drop the power of two that all ways share, so that the draw is
		// small.
		var list []num
		low := uint32(1<<32 - 1)
		for p := range r.arity(i) {
			w := ways(i+1, r.follow(i, x, p))
			list = append(list, w)
			if !w.zero() {
				low = min(low, w.exp)
			}
		}
		var sum num
		for p := range list {
			if !list[p].zero() {
				list[p].exp -= low
			}
			sum = sum.plus(list[p])
		}
		left := below(rng, sum.value())
		for p, w := range list {
			v := w.value()
			if left.Cmp(v) < 0 {
				pos[d], x = uint8(p), r.follow(i, x, p)
				break
			}
			left.Sub(left, v)
		}
	}
	for _, d := range s.free {
		pos[d] = uint8(rng.IntN(len(s.a.f.g.Kind(int(d)).Blocks)))
	}
	return s.a.state(pos), true
}

// below returns a number drawn from 0 to n-1, each with equal chance.
func below(rng *rand.Rand, n *big.Int) *big.Int {
	if n.IsUint64() {
		return new(big.Int).SetUint64(rng.Uint64N(n.Uint64()))
	}
	bits := n.BitLen()
	words := make([]big.Word, (bits+63)/64)
	x := new(big.Int)
	for {
		buf := make([]byte, 0, 8*len(words))
		for range words {
			w := rng.Uint64()
			for range 8 {
				buf = append(buf, byte(w))
				w >>= 8
			}
		}
		x.SetBytes(buf)
		x.Rsh(x, uint(8*len(buf)-bits))
		if x.Cmp(n) < 0 {
			return x
		}
	}
}
