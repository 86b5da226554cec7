package allstates

import "slices"

// effects returns, for each layer, the number of states of the diagram's devices
// in which some other position of the layer's device changes the outcome.
//
// For each node of a layer that is the number of ways to come to it, times the
// number of positions, times the number of ways on for which the children do not
// all end alike. The latter is counted for sets of refs, all layers in one pass:
// the sets that a layer asks about and those that it inherits from the layer before
// are walked side by side. What is constant, or complementary, is known at sight,
// so that in a chain no set is ever walked. Only where a set is asked about are
// ways counted, so constants, whose counts are long numbers, do not enter.
func (l *Load) effects() []num {
	r := l.r
	n := len(r.layer)
	out := make([]num, n)
	plan := newEffectPlan(r)
	ahead := plan.ahead()
	// Ways from the root to each ref, by node and sign.
	ways := []num{}
	ways = append(ways, make([]num, 2*r.width(0))...)
	ways[r.root] = number(1)
	var next []num
	for i := range n {
		s := &r.steps[r.layer[i]]
		asked := plan.asked[i]
		if !s.idle {
			var sum num
			for k := range ref(s.n) {
				if differ := ahead[i][asked[k]]; !differ.zero() {
					sum = sum.plus(ways[2*k].plus(ways[2*k+1]).times(differ))
				}
			}
			out[i] = sum.times(number(uint64(s.arity)))
		}
		if i+1 == n {
			break
		}
		w := 2 * r.width(i+1)
		if cap(next) < w {
			next = make([]num, w)
		}
		next = next[:w]
		clear(next)
		for x := range ref(2 * s.n) {
			if ways[x].zero() {
				continue
			}
			for p := range r.arity(i) {
				y := r.follow(i, x, p)
				if !r.constant(i+1, y) {
					next[y] = next[y].plus(ways[x])
				}
			}
		}
		ways, next = next, ways
	}
	return out
}

// constant reports whether a ref into a layer has one outcome whatever comes.
func (r *reduced) constant(layer int, x ref) bool {
	if layer == len(r.layer) {
		return true
	}
	s := &r.steps[r.layer[layer]]
	return s.yes >= 0 && x>>1 == ref(s.yes)
}

// effectPlan lists the sets of refs that must be walked.
type effectPlan struct {
	r *reduced
	// asked[i][k] is the set that the children of node k of layer i are: a
	// number in the sets of layer i+1.
	asked [][]int32
	// sets[i] are the sets of refs into layer i; move[i][set*arity+position]
	// is the set of layer i+1 that a set leads to.
	sets [][][]ref
	move [][]int32
}

// The first two sets of a layer are those that need no walk.
const (
	setAlike  = 0 // all refs are equal: no way on differs
	setUnlike = 1 // two are complements without other outcomes: every way does
)

func newEffectPlan(r *reduced) *effectPlan {
	n := len(r.layer)
	e := &effectPlan{r: r, asked: make([][]int32, n), sets: make([][][]ref, n+1), move: make([][]int32, n+1)}
	flat := make([]int32, 0, n)
	var lookup setTable
	var tuple []ref
	for i := range n {
		lookup.reset()
		s := &r.steps[r.layer[i]]
		from := len(flat)
		add := func(refs []ref) int32 {
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
			return lookup.add(refs)
		}
		child := r.children(s)
		a := int(s.arity)
		for k := range int(s.n) {
			tuple = append(tuple[:0], child[k*a:(k+1)*a]...)
			flat = append(flat, add(tuple))
		}
		e.asked[i] = flat[from:len(flat):len(flat)]
		for _, set := range e.sets[i] {
			for p := range a {
				tuple = tuple[:0]
				for _, x := range set {
					tuple = append(tuple, r.follow(i, x, p))
				}
				e.move[i] = append(e.move[i], add(tuple))
			}
		}
		e.sets[i+1] = lookup.take()
	}
	return e
}

// setTable gives sets of a layer numbers from 2.
type setTable struct {
	in   interner[uint32]
	sets [][]ref
}

func (t *setTable) reset() {
	if t.in.len() > 0 {
		t.in = interner[uint32]{}
	}
	t.sets = nil
}

func (t *setTable) add(refs []ref) int32 {
	id, fresh := t.in.intern(refs)
	if fresh {
		t.sets = append(t.sets, slices.Clone(refs))
	}
	return id + 2
}

func (t *setTable) take() [][]ref { return t.sets }

// ahead returns, by layer and set of the layer after it, in how many ways on the
// refs of the set do not all end alike.
func (e *effectPlan) ahead() [][]num {
	n := len(e.r.layer)
	out := make([][]num, n)
	var below []num // of the sets of layer i+1
	rest := number(1)
	two := make([]num, 0, 2*n)
	for i := n - 1; i >= 0; i-- {
		sets := e.sets[i+1]
		if len(sets) == 0 {
			two = append(two, num{}, rest)
			out[i] = two[len(two)-2 : len(two) : len(two)]
		} else {
			now := make([]num, len(sets)+2)
			now[setUnlike] = rest
			for j, set := range sets {
				if i == n-1 {
					if len(set) > 1 {
						now[j+2] = number(1)
					}
					continue
				}
				var sum num
				a := e.r.arity(i + 1)
				for _, m := range e.move[i+1][j*a : (j+1)*a] {
					sum = sum.plus(below[m])
				}
				now[j+2] = sum
			}
			out[i] = now
		}
		below = out[i]
		rest = rest.times(number(uint64(e.r.arity(i))))
	}
	return out
}
