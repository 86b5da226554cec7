package allstates

import "slices"

// effects returns, for each layer, the number of states of the diagram's devices
// in which some other position of the layer's device changes the outcome.
//
// For each node of a layer that is the number of ways to come to it, times the
// number of positions, times the number of ways on for which the children do not
// all end alike. The latter is counted for sets of refs, all layers in one pass
// forward and one back: the sets that a layer asks about and those it inherits from
// the layer before are walked side by side. What is constant, or complementary, is
// known at sight, so that in a chain no set is ever walked. Nor do constants, whose
// counts are long numbers, enter into the ways.
func (l *Load) effects() []num {
	e := &effects{r: l.r, out: make([]num, len(l.r.layer)), sets: make([]int32, len(l.r.layer)+1)}
	e.forward()
	e.back()
	return e.out
}

type effects struct {
	r   *reduced
	out []num // forward: the ways to nodes of which every way on differs
	// sets is the number of sets of refs into each layer; moves lists, layer by
	// layer, set by set and position by position, the set of the next layer
	// that a set leads to.
	sets  []int32
	moves []int32
	asked []asked // in the order of the layers
}

// asked is a set that the children of a node are, and the ways to the node.
type asked struct {
	layer, set int32
	ways       num
}

// The first two sets of a layer are those that need no walk.
const (
	setAlike  = 0 // all refs are equal: no way on differs
	setUnlike = 1 // two are complements without other outcomes: every way does
)

func (e *effects) forward() {
	r := e.r
	var known, next interner[uint32] // sets into the layer in hand, and the next
	var tuple []ref
	ways := make([]num, 2*r.width(0))
	ways[r.root] = number(1)
	var spare []num
	for i := range r.layer {
		s := &r.steps[r.layer[i]]
		a := int(s.arity)
		set := func(refs []ref) int32 {
			slices.Sort(refs)
			refs = slices.Compact(refs)
			if len(refs) < 2 {
				return setAlike
			}
			for _, x := range refs {
				if x&1 == 0 && slices.Contains(refs, x|1) && !r.mixed(i+1, x) {
					return setUnlike
				}
			}
			id, _ := next.intern(refs)
			return id + 2
		}
		if !s.idle {
			child := r.children(s)
			for k := range int(s.n) {
				tuple = append(tuple[:0], child[k*a:(k+1)*a]...)
				switch id := set(tuple); id {
				case setAlike:
				case setUnlike:
					e.out[i] = e.out[i].plus(ways[2*k].plus(ways[2*k+1]))
				default:
					e.asked = append(e.asked, asked{int32(i), id, ways[2*k].plus(ways[2*k+1])})
				}
			}
		}
		for id := range int32(known.len()) {
			for p := range a {
				tuple = tuple[:0]
				for _, x := range known.at(id) {
					tuple = append(tuple, r.follow(i, x, p))
				}
				e.moves = append(e.moves, set(tuple))
			}
		}
		e.sets[i+1] = int32(next.len())
		known, next = next, known
		next.reset()
		ways, spare = e.step(i, ways, spare)
	}
}

// step returns the ways to the refs into the next layer, constants left out.
func (e *effects) step(i int, ways, spare []num) (next, old []num) {
	r := e.r
	w := 2 * r.width(i+1)
	if cap(spare) < w {
		spare = make([]num, w)
	}
	next = spare[:w]
	clear(next)
	for x, n := range ways {
		if n.zero() {
			continue
		}
		for p := range r.arity(i) {
			if y := r.follow(i, ref(x), p); !r.constant(i+1, y) {
				next[y] = next[y].plus(n)
			}
		}
	}
	return next, ways
}

// constant reports whether a ref into a layer has one outcome whatever comes.
func (r *reduced) constant(layer int, x ref) bool {
	if layer == len(r.layer) {
		return true
	}
	s := &r.steps[r.layer[layer]]
	return s.yes >= 0 && x>>1 == ref(s.yes)
}

// back multiplies by the ways on.
func (e *effects) back() {
	r := e.r
	n := len(r.layer)
	rest := number(1) // ways on from a ref into layer i+1
	var now, below []num
	for i := n - 1; i >= 0; i-- {
		now = append(now[:0], num{}, rest)
		if k := int(e.sets[i+1]); k > 0 && i == n-1 {
			for range k {
				now = append(now, rest) // terminals that differ
			}
		} else if k > 0 {
			a := r.arity(i + 1)
			moves := e.moves[len(e.moves)-k*a:]
			e.moves = e.moves[:len(e.moves)-k*a]
			for j := range k {
				var sum num
				for _, m := range moves[j*a : (j+1)*a] {
					sum = sum.plus(below[m])
				}
				now = append(now, sum)
			}
		}
		total := e.out[i].times(rest)
		for len(e.asked) > 0 && e.asked[len(e.asked)-1].layer == int32(i) {
			q := e.asked[len(e.asked)-1]
			e.asked = e.asked[:len(e.asked)-1]
			total = total.plus(q.ways.times(now[q.set]))
		}
		a := number(uint64(r.arity(i)))
		e.out[i] = total.times(a)
		rest = rest.times(a)
		now, below = below, now
	}
}
