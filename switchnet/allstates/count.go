package allstates

// tally counts, for every node of a layer, the ways to go on that end in the
// wanted outcome: from the node, and from its complement.
type tally struct{ plain, flipped []num }

// counts walks the diagram backward and calls visit with the tally of each layer,
// the terminals first. want says which terminals count.
func (r *reduced) counts(want func(ref) bool, visit func(layer int, t tally)) {
	t := tally{make([]num, terminals), make([]num, terminals)}
	for node := range ref(terminals) {
		plain, flipped := node<<1, node<<1
		if plain == refOn {
			flipped = refOff
		}
		if want(plain) {
			t.plain[node] = number(1)
		}
		if want(flipped) {
			t.flipped[node] = number(1)
		}
	}
	visit(len(r.layer), t)
	spare := tally{}
	for i := len(r.layer) - 1; i >= 0; i-- {
		s := &r.steps[r.layer[i]]
		n, a := int(s.n), int(s.arity)
		if cap(spare.plain) < n {
			spare = tally{make([]num, n), make([]num, n)}
		}
		spare.plain, spare.flipped = spare.plain[:n], spare.flipped[:n]
		child := r.children(s)
		for k := range n {
			var plain, flipped num
			for _, x := range child[k*a : (k+1)*a] {
				p, f := t.plain[x>>1], t.flipped[x>>1]
				if x&1 == 1 {
					p, f = f, p
				}
				plain, flipped = plain.plus(p), flipped.plus(f)
			}
			spare.plain[k], spare.flipped[k] = plain, flipped
		}
		t, spare = spare, t
		visit(i, t)
	}
}

// count returns the number of ways from the root to a wanted terminal.
func (r *reduced) count(want func(ref) bool) num {
	var total num
	r.counts(want, func(layer int, t tally) {
		if layer == 0 {
			total = t.of(r.root)
		}
	})
	return total
}

func (t *tally) of(x ref) num {
	if x&1 == 1 {
		return t.flipped[x>>1]
	}
	return t.plain[x>>1]
}

// isOn is the want of what is on.
func isOn(x ref) bool { return x == refOn }

// product returns the product of the positions of devices.
func (f *frame) product(devices []int32) num {
	count := number(1)
	var word uint64 = 1
	for _, d := range devices {
		a := uint64(len(f.g.Kind(int(d)).Blocks))
		if word > 1<<48 {
			count = count.times(number(word))
			word = 1
		}
		word *= a
	}
	return count.times(number(word))
}
