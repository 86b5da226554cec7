package allstates

import "slices"

// A ref is a node number, doubled, plus 1 if it stands for the complement of the
// node: the same function with on and off exchanged and every other outcome left
// as it is. With complements, the parity of n handles has n nodes, not 2n-1.
type ref = uint32

// reduced is the least diagram of its function in the order of its devices, node
// for node: two nodes of a layer are never equal nor complements. Every layer is
// present, also one at which nothing depends on the device.
type reduced struct {
	device []int32
	layer  []int32 // step of each layer
	steps  []rstep
	child  []ref
	other  []bool // by node: other outcomes than on and off can follow
	only   []bool // by node: nothing else can follow
	root   ref
}

// rstep is the nodes of a layer: child[off+node*arity+position] is a ref into the
// next layer.
type rstep struct {
	off   uint32
	node  uint32 // start in other
	n     int32
	next  int32 // nodes of the next layer
	arity int32
	// yes is the node that is on whatever comes, or -1.
	yes int32
	// toggles: each move to a neighbouring position turns on into off and
	// off into on, in every node, and no other outcome can follow.
	toggles bool
	// idle: no position differs from any other.
	idle bool
}

func (r *reduced) children(s *rstep) []ref { return r.child[s.off : s.off+uint32(s.n*s.arity)] }

// Terminal nodes.
const (
	refOn    ref = 0
	refOff   ref = 1
	refOther ref = 2 // and 4, 6: outcomes that complements leave alone

	terminals = 4
)

// Flags of nodes.
const (
	onlyOther = 1 << iota // nothing but other outcomes can follow
	someOther             // another outcome can follow
)

// level is what reduction knows of a layer: the ref of each node of the diagram,
// and flags of each reduced node.
type level struct {
	refs  []ref
	flags []uint8
	yes   int32
}

// reducer holds what reduction remembers.
type reducer struct {
	r     *reduced
	d     *diagram
	lists interner[uint32] // of refs, flags, and yes, for small levels
	small []int32          // level of a list
	level []level          // by number
	memo  memo             // (transition, level) -> (step, level)
	slots []int32
	buf   []uint32
	tuple []ref
	buf8  []uint8
	refs  block[ref]
	flags block[uint8]
}

// reset makes a reducer, which may have been used before, ready for a diagram.
func (rd *reducer) reset(d *diagram) {
	n := len(d.layer)
	rd.d = d
	rd.r = &reduced{device: d.device, layer: make([]int32, n), steps: make([]rstep, 0, min(16, n)), child: make([]ref, 0, min(64, 4*n))}
	flags := make([]bool, 32)
	rd.r.other, rd.r.only = flags[:0:16], flags[16:16:32]
	rd.lists.reset()
	rd.memo.reset()
	rd.small, rd.level = rd.small[:0], rd.level[:0]
	rd.refs.reset()
	rd.flags.reset()
}

// reduce returns the least diagram of the function that takes an outcome of d to
// terminal[outcome].
func (rd *reducer) reduce(d *diagram, terminal [outcomes]ref) *reduced {
	rd.reset(d)
	r := rd.r
	last := level{refs: rd.refs.take(len(d.out)), yes: 0}
	for i, o := range d.out {
		last.refs[i] = terminal[o]
	}
	last.flags = rd.flags.take(terminals)
	for i := 1; i < len(last.flags); i++ {
		last.flags[i] = onlyOther | someOther
	}
	at := rd.keep(last)
	for i := len(d.layer) - 1; i >= 0; i-- {
		trans := d.layer[i]
		step, next, ok := rd.memo.get(trans, at)
		if !ok {
			step, next = rd.step(&d.trans[trans], at)
			rd.memo.put(trans, at, step, next)
		}
		r.layer[i] = step
		at = next
	}
	r.root = rd.level[at].refs[0]
	rd.r, rd.d = nil, nil
	return r
}

// keep returns the number of a level; small levels that are equal get one number.
func (rd *reducer) keep(l level) int32 {
	if len(l.refs) <= smallList {
		rd.buf = append(rd.buf[:0], uint32(len(l.refs)), uint32(l.yes+1))
		rd.buf = append(rd.buf, l.refs...)
		for _, f := range l.flags {
			rd.buf = append(rd.buf, uint32(f))
		}
		id, fresh := rd.lists.intern(rd.buf)
		if !fresh {
			return rd.small[id]
		}
		rd.small = append(rd.small, int32(len(rd.level)))
	}
	rd.level = append(rd.level, l)
	return int32(len(rd.level) - 1)
}

func (rd *reducer) step(t *transition, at int32) (int32, int32) {
	r, below := rd.r, &rd.level[at]
	a := int(t.arity)
	s := rstep{off: uint32(len(r.child)), node: uint32(len(r.other)), arity: t.arity, yes: -1, toggles: true, idle: true, next: int32(len(below.flags))}
	up := level{refs: rd.refs.take(int(t.n)), yes: -1}
	flagged := rd.buf8[:0]
	size := 0
	if t.n > 8 {
		size = 16
		for size < 2*int(t.n) {
			size *= 2
		}
		if len(rd.slots) < size {
			rd.slots = make([]int32, size)
		} else {
			clear(rd.slots[:size])
		}
	}
	child := rd.d.children(t)
	for n := range int(t.n) {
		tuple := rd.tuple[:0]
		var sign ref
		found := false
		flags := uint8(onlyOther)
		for _, c := range child[n*a : (n+1)*a] {
			x := below.refs[c]
			f := below.flags[x>>1]
			if f&onlyOther == 0 && !found {
				found, sign = true, x&1
			}
			flags = flags&f&onlyOther | (flags|f)&someOther
			tuple = append(tuple, x)
		}
		rd.tuple = tuple
		if sign == 1 {
			for i, x := range tuple {
				if below.flags[x>>1]&onlyOther == 0 {
					tuple[i] = x ^ 1
				}
			}
		}
		id := int32(-1)
		var slot int
		if size == 0 {
			for k := range s.n {
				if slices.Equal(r.child[int(s.off)+int(k)*a:int(s.off)+int(k+1)*a], tuple) {
					id = k
					break
				}
			}
		} else {
			for slot = int(hash(tuple)>>32) & (size - 1); rd.slots[slot] != 0; slot = (slot + 1) & (size - 1) {
				k := int(rd.slots[slot] - 1)
				if slices.Equal(r.child[int(s.off)+k*a:int(s.off)+(k+1)*a], tuple) {
					id = int32(k)
					break
				}
			}
		}
		if id < 0 {
			id = s.n
			s.n++
			if size > 0 {
				rd.slots[slot] = id + 1
			}
			r.child = append(r.child, tuple...)
			flagged = append(flagged, flags)
			r.other = append(r.other, flags&someOther != 0)
			r.only = append(r.only, flags&onlyOther != 0)
			yes := below.yes >= 0
			for i, x := range tuple {
				yes = yes && x == ref(below.yes)<<1
				if i > 0 {
					s.toggles = s.toggles && x == tuple[i-1]^1 && flags == 0
					s.idle = s.idle && x == tuple[0]
				}
			}
			if yes {
				up.yes, s.yes = id, id
			}
		}
		up.refs[n] = ref(id)<<1 | sign
	}
	rd.buf8 = flagged
	up.flags = rd.flags.copy(flagged)
	r.steps = append(r.steps, s)
	return int32(len(r.steps) - 1), rd.keep(up)
}

// never reports whether a ref into a layer is off whatever comes.
func (r *reduced) never(layer int, x ref) bool {
	if layer == len(r.layer) {
		return x == refOff
	}
	s := &r.steps[r.layer[layer]]
	return s.yes >= 0 && x == ref(s.yes)<<1|1
}

// mixed reports whether an outcome other than on and off can follow a ref.
func (r *reduced) mixed(layer int, x ref) bool {
	if layer == len(r.layer) {
		return x >= refOther
	}
	return r.other[r.steps[r.layer[layer]].node+x>>1]
}

// follow returns the ref that a position leads to.
func (r *reduced) follow(layer int, x ref, pos int) ref {
	s := &r.steps[r.layer[layer]]
	y := r.child[s.off+(x>>1)*ref(s.arity)+ref(pos)]
	return r.flip(layer+1, y, x&1)
}

// flip returns the complement of a ref if sign is 1. A ref with nothing but other
// outcomes is its own complement.
func (r *reduced) flip(layer int, x ref, sign ref) ref {
	if sign == 0 || r.fixed(layer, x) {
		return x
	}
	return x ^ 1
}

// fixed reports whether a node is its own complement.
func (r *reduced) fixed(layer int, x ref) bool {
	if layer == len(r.layer) {
		return x >= refOther
	}
	return r.only[r.steps[r.layer[layer]].node+x>>1]
}

// arity returns the number of positions of the device of a layer.
func (r *reduced) arity(layer int) int { return int(r.steps[r.layer[layer]].arity) }

// width returns the number of nodes of a layer, or after the last the number of
// terminals.
func (r *reduced) width(layer int) int {
	if layer < len(r.layer) {
		return int(r.steps[r.layer[layer]].n)
	}
	return terminals
}

// starts returns, for each layer and the terminals, the sum of the widths before
// it, and the sum of all.
func (r *reduced) starts() []int {
	out := make([]int, len(r.layer)+2)
	for i := range len(r.layer) + 1 {
		out[i+1] = out[i] + r.width(i)
	}
	return out
}
