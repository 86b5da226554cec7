package allstates

// relations is a balanced tree over the layers of a diagram. A leaf says which
// nodes of the next layer a device can lead to from each node of its own, over all
// its positions; an inner node is the product of its children. Equal relations are
// one and products are remembered, so that along a chain a change costs a few
// look-ups a level.
type relations struct {
	d      *diagram
	sets   map[parts]int32
	list   []parts
	leaves memo // (transition, set) -> relation
	twice  memo // (relation, relation) -> relation
	in     interner[uint32]
	rel    []relation
	size   int // leaves of the tree, a power of two
	tree   []int32
}

// relation has a bit for each pair of nodes, rows of whole words.
type relation struct {
	rows, columns, words int
	bits                 []uint64
}

// maxRelation is the most nodes of a layer for which relations are kept.
const maxRelation = 1024

// identityRelation stands for a place beyond the last layer.
const identityRelation = -1

func (t *relations) reset(d *diagram) {
	*t = relations{d: d, sets: map[parts]int32{}, size: 1}
	for t.size < len(d.layer) {
		t.size *= 2
	}
	t.tree = make([]int32, 2*t.size)
	for i := range t.tree {
		t.tree[i] = identityRelation
	}
}

// leaf sets the relation of a layer, without what is above it.
func (t *relations) leaf(layer int, set parts) {
	id, ok := t.sets[set]
	if !ok {
		id = int32(len(t.list))
		t.sets[set] = id
		t.list = append(t.list, set)
	}
	trans := t.d.layer[layer]
	r, _, ok := t.leaves.get(trans, id)
	if !ok {
		r = t.step(trans, set)
		t.leaves.put(trans, id, r, 0)
	}
	t.tree[t.size+layer] = r
}

func (t *relations) step(trans int32, set parts) int32 {
	tr := &t.d.trans[trans]
	r := newRelation(int(tr.n), int(tr.next))
	child := t.d.children(tr)
	for n := range int(tr.n) {
		set.each(func(p int) {
			c := child[n*int(tr.arity)+p]
			r.bits[n*r.words+int(c>>6)] |= 1 << (c & 63)
		})
	}
	return t.keep(r)
}

func newRelation(rows, columns int) relation {
	words := (columns + 63) / 64
	return relation{rows, columns, words, make([]uint64, rows*words)}
}

// keep returns the number of a relation.
func (t *relations) keep(r relation) int32 {
	key := []uint32{uint32(r.rows), uint32(r.columns)}
	for _, b := range r.bits {
		key = append(key, uint32(b), uint32(b>>32))
	}
	id, fresh := t.in.intern(key)
	if fresh {
		t.rel = append(t.rel, r)
	}
	return id
}

// build makes every inner node.
func (t *relations) build() {
	for i := t.size - 1; i > 0; i-- {
		t.tree[i] = t.times(t.tree[2*i], t.tree[2*i+1])
	}
}

// change sets the relation of a layer and what follows from it.
func (t *relations) change(layer int, set parts) {
	t.leaf(layer, set)
	for i := (t.size + layer) / 2; i > 0; i /= 2 {
		r := t.times(t.tree[2*i], t.tree[2*i+1])
		if r == t.tree[i] {
			return
		}
		t.tree[i] = r
	}
}

func (t *relations) times(a, b int32) int32 {
	if b == identityRelation {
		return a
	}
	if r, _, ok := t.twice.get(a, b); ok {
		return r
	}
	x, y := &t.rel[a], &t.rel[b]
	z := newRelation(x.rows, y.columns)
	for i := range x.rows {
		row := z.bits[i*z.words : (i+1)*z.words]
		for j := range x.columns {
			if x.bits[i*x.words+j>>6]>>(j&63)&1 == 1 {
				for w, v := range y.bits[j*y.words : (j+1)*y.words] {
					row[w] |= v
				}
			}
		}
	}
	r := t.keep(z)
	t.twice.put(a, b, r, 0)
	return r
}

// accepts reports whether the root leads to a node that fulfils the question.
func (t *relations) accepts() bool {
	if len(t.d.layer) == 0 {
		return t.d.out[0] == sinkTrue
	}
	whole := &t.rel[t.tree[1]]
	for i, o := range t.d.out {
		if o == sinkTrue && whole.bits[i>>6]>>(i&63)&1 == 1 {
			return true
		}
	}
	return false
}
