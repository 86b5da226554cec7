package steady

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady/internal/ldlt"
	"example.com/switchleg/switchnet/wiring"
)

// network is a wiring as nodes and branches. Terminals joined without any
// resistance are one node. Nodes 0 to n-1 have unknown potentials; those from n on
// are known: earth, then the electromotive forces of the lines.
type network struct {
	terms  []switchnet.Terminal
	number map[switchnet.Terminal]int32
	node   []int32 // of each terminal
	n      int
	known  []complex128

	branches []branch
	fixed    int     // branches from here on depend on the state
	special  []int32 // branches whose current is not their pair's potentials alone
	pairs    []ldlt.Pair
	symbolic *ldlt.Symbolic
	base     values // of the fixed branches

	wires    []wirePart // by cable and conductor name
	wireOf   map[wiring.Wire]int
	joints   []jointPart // by box and joint
	supply   []int32     // branches between the source's own force and its rails
	devices  []devicePart
	contacts []contactKind
	loads    []loadPart // in the net's order
	drivers  bool       // some load is a driver
	matters  []bool     // nodes with a wire or a load, which should not float
}

// branch is an admittance between two nodes, with an electromotive force in it or
// none.
type branch struct {
	i, j int32
	slot int32 // pair, or one of the below
	y    complex128
	emf  complex128 // potential of i over j when no current flows
}

// Slots of branches that are in no pair.
const (
	toKnown   = -1 // j is known: a shunt of i
	fromKnown = -2 // i is known: a shunt of j
	idle      = -3 // between known nodes, or a node and itself
)

// values are what ldlt factors.
type values struct{ between, shunt, injected []complex128 }

func (v *values) copyFrom(o *values) {
	copy(v.between, o.between)
	copy(v.shunt, o.shunt)
	copy(v.injected, o.injected)
}

func newValues(pairs, nodes int) values {
	return values{make([]complex128, pairs), make([]complex128, nodes), make([]complex128, nodes)}
}

type wirePart struct {
	wire   wiring.Wire
	cable  string
	branch int32 // -1 when open
	at     [2]string
	ends   [2]int32
}

type jointPart struct {
	box    string
	joint  wiring.Joint
	branch int32
	splice int // index of the splice within its box by name, -1 for a landing
	name   string
}

type devicePart struct {
	ref   switchnet.Ref
	kind  int32
	first int32 // branch of its first contact
}

// contactKind is the contacts of a kind of device: each two terminals that some
// position joins, and which of them each position closes.
type contactKind struct {
	pairs  [][2]int32
	closed [][]bool // by position and pair
	y      complex128
	leak   complex128
}

type loadPart struct {
	ref    switchnet.Ref
	branch int32
	model  model
	driver bool // electronics: electronic itself, or inside an electronic device
	ends   [2]switchnet.Terminal
}

// add puts the values of a branch in place.
func (nw *network) add(v *values, b *branch) {
	if b.y == 0 {
		return
	}
	switch b.slot {
	case toKnown:
		v.shunt[b.i] += b.y
		v.injected[b.i] += b.y * (nw.known[int(b.j)-nw.n] + b.emf)
	case fromKnown:
		v.shunt[b.j] += b.y
		v.injected[b.j] += b.y * (nw.known[int(b.i)-nw.n] - b.emf)
	case idle:
	default:
		v.between[b.slot] += b.y
		if b.emf != 0 {
			v.injected[b.i] += b.y * b.emf
			v.injected[b.j] -= b.y * b.emf
		}
	}
}

// seal finds the order of elimination, numbers the nodes by it, and finds the slots
// and the values of the fixed branches.
func (nw *network) seal() {
	pairs := nw.pair()
	// Once to find the order, and once more on nodes numbered by it, so that
	// solving reads its arrays from one end to the other.
	order := ldlt.Analyze(nw.n, pairs).Order()
	number := make([]int32, nw.n)
	for k, node := range order {
		number[node] = int32(k)
	}
	nw.renumber(number)
	nw.pairs = nw.pair()
	nw.symbolic = ldlt.AnalyzeInOrder(nw.n, nw.pairs)
	slots := make(map[ldlt.Pair]int32, len(nw.pairs))
	for k, p := range nw.pairs {
		slots[p] = int32(k)
	}
	for k := range nw.branches {
		b := &nw.branches[k]
		if p, ok := nw.between(b); ok {
			b.slot = slots[p]
		}
		if b.slot == toKnown || b.slot == fromKnown || b.slot >= 0 && b.emf != 0 {
			nw.special = append(nw.special, int32(k))
		}
	}
	nw.matters = make([]bool, nw.n+len(nw.known))
	for _, w := range nw.wires {
		nw.matters[w.ends[0]], nw.matters[w.ends[1]] = true, true
	}
	for _, l := range nw.loads {
		b := &nw.branches[l.branch]
		nw.matters[b.i], nw.matters[b.j] = true, true
	}
	nw.base = newValues(len(nw.pairs), nw.n)
	for k := range nw.branches[:nw.fixed] {
		nw.add(&nw.base, &nw.branches[k])
	}
}

// between returns the pair of unknown nodes that a branch joins; if it joins none,
// its slot says why.
func (nw *network) between(b *branch) (ldlt.Pair, bool) {
	iKnown, jKnown := int(b.i) >= nw.n, int(b.j) >= nw.n
	switch {
	case b.i == b.j || iKnown && jKnown:
		b.slot = idle
	case jKnown:
		b.slot = toKnown
	case iKnown:
		b.slot = fromKnown
	default:
		return ldlt.Pair{I: min(b.i, b.j), J: max(b.i, b.j)}, true
	}
	return ldlt.Pair{}, false
}

// pair returns the pairs of unknown nodes that branches join, in their order.
func (nw *network) pair() []ldlt.Pair {
	var pairs []ldlt.Pair
	for k := range nw.branches {
		if p, ok := nw.between(&nw.branches[k]); ok {
			pairs = append(pairs, p)
		}
	}
	slices.SortFunc(pairs, func(a, b ldlt.Pair) int { return cmp.Or(cmp.Compare(a.I, b.I), cmp.Compare(a.J, b.J)) })
	return slices.Compact(pairs)
}

// renumber gives the unknown nodes other numbers.
func (nw *network) renumber(number []int32) {
	to := func(node *int32) {
		if int(*node) < nw.n {
			*node = number[*node]
		}
	}
	for i := range nw.node {
		to(&nw.node[i])
	}
	for k := range nw.branches {
		to(&nw.branches[k].i)
		to(&nw.branches[k].j)
	}
	for i := range nw.wires {
		to(&nw.wires[i].ends[0])
		to(&nw.wires[i].ends[1])
	}
}

// forces returns the electromotive force of each line: the first along the real
// axis, the second so far round that the nominal voltage stands between them, and
// the third as far the other way.
func forces(sys switchnet.System) ([]complex128, string) {
	e := sys.LineToNeutral.Volts()
	out := []complex128{complex(e, 0)}
	if sys.Lines == 1 {
		return out, ""
	}
	between := sys.LineToLine.Volts()
	angle := 0.0
	const near = 0.01 // nominal voltages are rounded: 208 V is 207.8 V
	switch {
	case math.Abs(between-2*e) <= near*e && sys.Lines == 2:
		return append(out, complex(-e, 0)), ""
	case math.Abs(between-math.Sqrt(3)*e) <= near*e:
		angle = 2 * math.Pi / 3
	case sys.Lines == 2 && between < 2*e:
		angle = math.Acos(1 - between*between/(2*e*e))
	default:
		return nil, "has voltages from line to line and from line to neutral that fit no angle between its lines"
	}
	out = append(out, cmplx.Rect(e, -angle))
	if sys.Lines == 3 {
		out = append(out, cmplx.Rect(e, angle))
	}
	return out, ""
}

// joining merges terminals into nodes and notices what cannot be solved.
type joining struct {
	sets  *unionfind.Sets
	known []int32 // element of each known potential
	force []complex128
	notes []Note
	terms []switchnet.Terminal
}

// join makes two elements one node, or notes why that has no answer.
func (x *joining) join(a, b int32, name string) {
	ra, rb := x.sets.Find(a), x.sets.Find(b)
	at := x.named(a, b)
	if ra == rb {
		x.notes = append(x.notes, Note{Status: LoopUndetermined, Terminals: at, Detail: name + " joins what is joined without resistance already"})
		return
	}
	ka, kb := x.at(ra), x.at(rb)
	if ka >= 0 && kb >= 0 {
		x.notes = append(x.notes, Note{Status: SourceOnSource, Terminals: at,
			Detail: name + " joins " + potential(x.force[ka]) + " and " + potential(x.force[kb]) + " with no resistance anywhere between"})
		return
	}
	x.sets.Union(a, b)
}

// at returns which known potential a set has, -1 for none.
func (x *joining) at(root int32) int {
	for k, e := range x.known {
		if x.sets.Find(e) == root {
			return k
		}
	}
	return -1
}

func (x *joining) named(elements ...int32) []switchnet.Terminal {
	var out []switchnet.Terminal
	for _, e := range elements {
		if int(e) < len(x.terms) {
			out = append(out, x.terms[e])
		}
	}
	return out
}

func potential(v complex128) string {
	if v == 0 {
		return "earth"
	}
	return VoltagePhasor(v).String()
}
