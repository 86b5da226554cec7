package allstates

import (
	"math/bits"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
)

// frame is what all questions about a net have in common: held devices are
// contracted, and it is known which nets can ever be joined by metal (a piece),
// with which rails, and which pieces hang together through loads (a group).
//
// All slices indexed by net use the numbers of dense.Graph; of nets that held
// devices join, only the representative is in use.
type frame struct {
	net *switchnet.Net
	g   *dense.Graph
	// terminal returns the net of g that a terminal is on.
	terminal func(switchnet.Terminal) (int, bool)
	pos      []uint8 // positions of the held devices; 0 for others
	varied   []bool
	order    []int32 // the varied devices in name order
	kinds    []kindInfo

	rep     []int32 // nil if no held device joins two nets
	nets    []int32 // DeviceNets by representative
	loads   [][2]int32
	bound   []dense.Rails // rails of a net that is a boundary
	base    []dense.Rails // rails that held devices put on any other net
	piece   []int32       // root of the piece of a net
	rails   []dense.Rails // by root of piece: rails that can come on it by metal
	size    []int32       // by root of piece: its nets
	group   []int32       // by root of piece: its number among the pieces with loads, from 1
	joined  []int32       // by that number: the group it is in, which is such a number
	through []dense.Rails // by group: rails that its loads may bring

	start     []int32 // CSR: varied devices with a contact on a net
	device    []int32
	loadStart []int32 // CSR: loads by group
	loadOf    []int32

	shorted bool    // a short that no varied device can open
	direct  []int32 // varied devices with a contact between two rails that conflict
	risky   []int32 // roots of the pieces that can be shorted
}

// kindInfo adds to a kind which terminals are joined in any position.
type kindInfo struct {
	ever    [][2]uint8
	touches []bool // terminal is in some pair
}

func kindsOf(g *dense.Graph, loose bool) []kindInfo {
	infos := make([]kindInfo, len(g.Kinds))
	for i := range g.Kinds {
		k := &g.Kinds[i]
		info := kindInfo{touches: make([]bool, k.Arity)}
		for t := range k.Arity {
			for u := range t {
				joined := loose && loosened(k.Arity)
				for _, blocks := range k.Blocks {
					joined = joined || blocks[t] == blocks[u]
				}
				if joined {
					info.ever = append(info.ever, [2]uint8{uint8(u), uint8(t)})
					info.touches[t], info.touches[u] = true, true
				}
			}
		}
		infos[i] = info
	}
	return infos
}

// newFrame makes a frame of a net, or of what an editor has made of it. In a loose
// frame any two terminals of a small device may be joined.
func newFrame(net *switchnet.Net, g *dense.Graph, pos []uint8, varied []bool, loose bool) *frame {
	f := &frame{net: net, g: g, pos: pos, varied: varied, kinds: kindsOf(g, loose), terminal: net.NetIndex}
	f.hold()
	f.incidence()
	f.split()
	if f.promote() {
		f.split()
	}
	f.groups()
	return f
}

// terms returns the nets of the terminals of a device.
func (f *frame) terms(d int32) []int32 {
	return f.nets[f.g.DeviceStart[d]:f.g.DeviceStart[d+1]]
}

// hold contracts the contacts of held devices.
func (f *frame) hold() {
	g := f.g
	n := g.Nets()
	f.bound = g.NetRails
	f.base = make([]dense.Rails, n)
	f.nets, f.loads = g.DeviceNets, g.LoadNets
	for _, r := range g.NetRails {
		f.shorted = f.shorted || r.Conflict()
	}
	var held int
	for d, v := range f.varied {
		if v {
			held++
			continue
		}
		terms := g.Terminals(d)
		for _, j := range g.Kind(d).Joins[f.pos[d]] {
			x, y := terms[j[0]], terms[j[1]]
			if x != y && g.NetRails[x]|g.NetRails[y] == 0 {
				if f.rep == nil {
					f.rep = identity(n)
				}
				union(f.rep, x, y)
			}
		}
	}
	f.order = make([]int32, 0, held)
	if f.rep != nil {
		for i := range f.rep {
			f.rep[i] = find(f.rep, int32(i))
		}
		f.nets = make([]int32, len(g.DeviceNets))
		for i, x := range g.DeviceNets {
			f.nets[i] = f.rep[x]
		}
		f.loads = make([][2]int32, len(g.LoadNets))
		for i, e := range g.LoadNets {
			f.loads[i] = [2]int32{f.rep[e[0]], f.rep[e[1]]}
		}
	}
	for d, v := range f.varied {
		if v {
			f.order = append(f.order, int32(d))
			continue
		}
		terms := f.terms(int32(d))
		for _, j := range g.Kind(d).Joins[f.pos[d]] {
			x, y := terms[j[0]], terms[j[1]]
			switch rx, ry := g.NetRails[x], g.NetRails[y]; {
			case rx != 0 && ry != 0:
				f.shorted = f.shorted || x != y && (rx|ry).Conflict()
			case rx != 0:
				f.base[y] |= rx
			case ry != 0:
				f.base[x] |= ry
			}
		}
	}
	for _, r := range f.base {
		f.shorted = f.shorted || r.Conflict()
	}
}

// netOf returns the representative of a contracted net.
func (f *frame) netOf(x int32) int32 {
	if f.rep != nil {
		return f.rep[x]
	}
	return x
}

// incidence lists the varied devices by net. A device with two terminals on a net
// is listed once.
func (f *frame) incidence() {
	g := f.g
	n := g.Nets()
	f.start = make([]int32, n+2)
	count := f.start[1:]
	each := func(visit func(net, device int32)) {
		for _, d := range f.order {
			touches := f.kinds[g.DeviceKind[d]].touches
			terms := f.terms(d)
		terminals:
			for t, x := range terms {
				if !touches[t] || g.NetRails[x] != 0 {
					continue
				}
				for u := range t {
					if terms[u] == x && touches[u] {
						continue terminals
					}
				}
				visit(x, d)
			}
		}
	}
	each(func(x, _ int32) { count[x+1]++ })
	for i := range n {
		count[i+1] += count[i]
	}
	f.device = make([]int32, count[n])
	each(func(x, d int32) {
		f.device[count[x]] = d
		count[x]++
	})
	f.start = f.start[:n+1]
}

// on returns the varied devices with a contact on a net.
func (f *frame) on(x int32) []int32 { return f.device[f.start[x]:f.start[x+1]] }

// split finds the pieces, and the rails that can come on each.
func (f *frame) split() {
	n := f.g.Nets()
	if f.piece == nil {
		f.piece = make([]int32, n)
		f.rails = make([]dense.Rails, n)
		f.size = make([]int32, n)
	}
	clear(f.size)
	for i := range f.piece {
		f.piece[i] = int32(i)
	}
	f.direct = f.direct[:0]
	copy(f.rails, f.base)
	for _, d := range f.order {
		terms := f.terms(d)
		direct := false
		for _, p := range f.kinds[f.g.DeviceKind[d]].ever {
			x, y := terms[p[0]], terms[p[1]]
			if x == y {
				continue
			}
			switch rx, ry := f.bound[x], f.bound[y]; {
			case rx|ry == 0:
				union(f.piece, x, y)
			case rx == 0:
				f.rails[x] |= ry
			case ry == 0:
				f.rails[y] |= rx
			default:
				direct = direct || (rx | ry).Conflict()
			}
		}
		if direct {
			f.direct = append(f.direct, d)
		}
	}
	for i := range f.piece {
		r := find(f.piece, int32(i))
		f.piece[i] = r
		f.size[r]++
		if r != int32(i) {
			f.rails[r] |= f.rails[i]
		}
	}
}

// promote makes boundaries of the nets that a held device keeps on a rail, in
// pieces that no other rail can come on: there nothing can change their label, and
// so they need not be carried along. It reports whether pieces may fall apart by
// it.
func (f *frame) promote() bool {
	var promoted []int32
	for x, r := range f.base {
		if r != 0 && f.bound[x] == 0 && bits.OnesCount8(uint8(f.rails[f.piece[x]])) == 1 {
			promoted = append(promoted, int32(x))
		}
	}
	if len(promoted) == 0 {
		return false
	}
	f.bound = append([]dense.Rails(nil), f.bound...)
	apart := false
	for _, x := range promoted {
		f.bound[x] = f.base[x]
		f.base[x] = 0
		apart = apart || len(f.on(x)) > 1
	}
	// A promoted net may remain the name of the piece it was in.
	return apart
}

// groups numbers the pieces that loads are on, joins those that hang together
// through loads, and notes what the loads of a group may bring to its pieces.
func (f *frame) groups() {
	f.group = make([]int32, f.g.Nets())
	f.joined = append(f.joined, 0) // number 0 is no group
	number := func(x int32) int32 {
		if f.bound[x] != 0 {
			return 0
		}
		p := f.piece[x]
		if f.group[p] == 0 {
			f.group[p] = int32(len(f.joined))
			f.joined = append(f.joined, f.group[p])
		}
		return f.group[p]
	}
	for _, e := range f.loads {
		if a, b := number(e[0]), number(e[1]); a > 0 && b > 0 {
			union(f.joined, a, b)
		}
	}
	n := len(f.joined)
	for i := range f.joined {
		f.joined[i] = find(f.joined, int32(i))
	}
	f.through = make([]dense.Rails, n)
	f.loadStart = make([]int32, n+2)
	count := f.loadStart[1:]
	side := func(e [2]int32) int32 { return f.joined[max(number(e[0]), number(e[1]))] }
	for _, e := range f.loads {
		r := side(e)
		count[r+1]++
		f.through[r] |= f.bound[e[0]] | f.bound[e[1]]
		if f.bound[e[0]]|f.bound[e[1]] == 0 {
			f.through[r] |= f.rails[f.piece[e[0]]] | f.rails[f.piece[e[1]]]
		}
	}
	for i := range n {
		count[i+1] += count[i]
	}
	f.loadOf = make([]int32, count[n])
	for i, e := range f.loads {
		r := side(e)
		f.loadOf[count[r]] = int32(i)
		count[r]++
	}
	f.loadStart = f.loadStart[:n+1]
	for x, r := range f.rails {
		if f.piece[x] == int32(x) && r.Conflict() {
			f.risky = append(f.risky, int32(x))
		}
	}
}

// groupOf returns the group of net x, 0 if no load is on its piece.
func (f *frame) groupOf(x int32) int32 { return f.joined[f.group[f.piece[x]]] }

// groupLoads returns the loads of a group.
func (f *frame) groupLoads(g int32) []int32 { return f.loadOf[f.loadStart[g]:f.loadStart[g+1]] }

// reaches returns the rails that loads may bring to net x.
func (f *frame) reaches(x int32) dense.Rails {
	if g := f.groupOf(x); g > 0 {
		return f.through[g]
	}
	return 0
}

func identity(n int) []int32 {
	p := make([]int32, n)
	for i := range p {
		p[i] = int32(i)
	}
	return p
}

func find(p []int32, x int32) int32 {
	for p[x] != x {
		p[x] = p[p[x]]
		x = p[x]
	}
	return x
}

// union makes the smaller number the root, so that roots do not depend on the
// order of unions.
func union(p []int32, x, y int32) {
	x, y = find(p, x), find(p, y)
	if y < x {
		x, y = y, x
	}
	p[y] = x
}
