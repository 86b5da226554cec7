package trace

import (
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
)

// What a probe finds at a point of an energized circuit.
const (
	nothing = iota // no rail, not even through a load
	onA            // a line
	onB
	onC
	earthed      // neutral or ground
	throughEarth // the neutral or the ground through loads, and no line
	throughLine  // a line through loads
	unsafe       // a bolted fault: nobody gets to read anything
)

// ways are the pieces of metal that the points are on when the circuit is dead: all
// that a continuity test can know.
type ways struct {
	metal []uint16 // by point: two on one piece have one number
	lamps []uint16 // the same through lights that read as a resistance too
	loads []uint16 // and through all loads
}

// facts are what one hypothesis shows in one true setting.
type facts struct {
	look []byte  // what each light does, as a sight
	trip bool    // the breaker opens
	cond []uint8 // by point, if it does not
	dead [2]ways // as it is, and with the neutrals lifted, if anybody tests dead
}

// reader works out facts of one model. It is for one goroutine.
type reader struct {
	f      *frame
	m      *model
	solver *switchnet.Solver
	first  []bool // of the net's terminals, in order: the first on its net
	termOn []int32
	cond   []uint8
	pos    []uint8
	sets   []int32
	rated  []quantity.Voltage
}

func (f *frame) reader(m *model) *reader {
	net := m.whole.net
	r := &reader{f: f, m: m, solver: net.NewSolver(), pos: make([]uint8, net.Dense().Devices())}
	nets := net.Dense().Nets()
	r.cond = make([]uint8, nets)
	seen := make([]bool, nets)
	for t := range net.Terminals() {
		n, _ := net.NetIndex(t)
		r.first = append(r.first, !seen[n])
		r.termOn = append(r.termOn, int32(n))
		seen[n] = true
	}
	for _, l := range f.lights {
		rated := l.Rated
		if rated == 0 {
			rated = net.Source().System.LineToNeutral
		}
		r.rated = append(r.rated, rated)
	}
	return r
}

// read works out what the hypothesis shows in a true setting. Without all it is only
// what the lights and the breaker do.
func (r *reader) read(y int, all bool) (facts, error) {
	f, c := r.f, r.m.whole
	for i, d := range c.devices {
		r.pos[d] = uint8(f.sp.at(y, i))
	}
	state, err := c.net.StateOf(r.pos)
	if err != nil {
		return facts{}, err
	}
	v, err := r.solver.Solve(state)
	if err != nil {
		return facts{}, err
	}
	out := facts{look: make([]byte, len(f.lights)), trip: v.Shorted()}
	i, load := 0, int32(0)
	for _, s := range v.Supplies() {
		if i < len(c.lights) && c.lights[i] == load {
			out.look[i] = byte(shows(s, r.rated[i]))
			i++
		}
		load++
	}
	if !all {
		return out, nil
	}
	if !out.trip {
		k := 0
		for _, cond := range v.Conditions() {
			if r.first[k] {
				r.cond[r.termOn[k]] = code(cond)
			}
			k++
		}
		out.cond = make([]uint8, len(c.points))
		for p, n := range c.points {
			out.cond[p] = r.cond[n]
		}
	}
	for k, c := range []*circuit{r.m.whole, r.m.lifted} {
		if f.noDead {
			break
		}
		if k == 1 && c == r.m.whole {
			out.dead[1] = out.dead[0]
			continue
		}
		out.dead[k] = r.ways(c, y)
	}
	return out, nil
}

// shows says what a light looks like.
func shows(s switchnet.Supply, rated quantity.Voltage) Glow {
	switch s.Status {
	case switchnet.Lit:
		if s.Volts > rated+rated/4 {
			return Bright
		}
		return Lit
	case switchnet.Dim:
		return Dim
	}
	return Dark
}

// code sums up a condition.
func code(c switchnet.Condition) uint8 {
	switch {
	case c.Rails.Conflict():
		return unsafe
	case c.Rails.Has(switchnet.LineA):
		return onA
	case c.Rails.Has(switchnet.LineB):
		return onB
	case c.Rails.Has(switchnet.LineC):
		return onC
	case !c.Rails.Empty():
		return earthed
	case !c.Through.Lines().Empty():
		return throughLine
	case !c.Through.Empty():
		return throughEarth
	}
	return nothing
}

// ways joins what is joined with every breaker off: contacts, the bond of neutral and
// ground at the service, and then loads.
func (r *reader) ways(c *circuit, y int) ways {
	g := c.net.Dense()
	if cap(r.sets) < g.Nets() {
		r.sets = make([]int32, g.Nets()+16)
	}
	sets := r.sets[:g.Nets()]
	for i := range sets {
		sets[i] = int32(i)
	}
	find := func(i int32) int32 {
		for sets[i] != i {
			sets[i] = sets[sets[i]]
			i = sets[i]
		}
		return i
	}
	join := func(a, b int32) {
		a, b = find(a), find(b)
		if a != b {
			sets[max(a, b)] = min(a, b)
		}
	}
	bond := int32(-1)
	for n, rails := range g.NetRails {
		if rails.Potentials()&dense.Neutral == 0 {
			continue
		}
		if bond < 0 {
			bond = int32(n)
		}
		join(bond, int32(n))
	}
	at := 0
	for d := range g.Devices() {
		k := g.Kind(d)
		p := 0
		if at < len(c.devices) && int(c.devices[at]) == d {
			p = r.f.sp.at(y, at)
			at++
		} else if k.Breaker {
			continue // off
		}
		nets := g.Terminals(d)
		for _, j := range k.Joins[p] {
			join(nets[j[0]], nets[j[1]])
		}
	}
	take := func() []uint16 {
		out := make([]uint16, len(c.points))
		for p, n := range c.points {
			out[p] = uint16(find(n))
		}
		return out
	}
	out := ways{metal: take()}
	out.lamps = out.metal
	some := false
	for i, l := range c.lights {
		if r.f.filament[i] {
			join(g.LoadNets[l][0], g.LoadNets[l][1])
			some = true
		}
	}
	if some {
		out.lamps = take()
	}
	for _, l := range g.LoadNets {
		join(l[0], l[1])
	}
	out.loads = take()
	return out
}

// hash returns a number for everything that the facts say.
func (x *facts) hash(first []uint16, opt *Options) uint64 {
	h := uint64(14695981039346656037)
	put := func(v uint64) {
		h ^= v
		h *= 0x9E3779B97F4A7C15
		h ^= h >> 29
	}
	for _, s := range x.look {
		put(uint64(s))
	}
	if x.trip {
		put(1 << 20)
	}
	if !opt.NoLive {
		for i := 0; i < len(x.cond); i += 8 {
			v := uint64(0)
			for _, c := range x.cond[i:min(i+8, len(x.cond))] {
				v = v<<8 | uint64(c)
			}
			put(v)
		}
	}
	if opt.NoDead {
		return h
	}
	for k := range x.dead {
		w := &x.dead[k]
		for i, part := range [][]uint16{w.metal, w.lamps, w.loads} {
			if i == 1 && len(part) > 0 && &w.lamps[0] == &w.metal[0] {
				continue
			}
			// The number of a piece is that of its first point, so that two
			// hypotheses whose nets are numbered otherwise compare.
			for j := range first {
				first[j] = 0xffff
			}
			v := uint64(0)
			for p, n := range part {
				if first[n] == 0xffff {
					first[n] = uint16(p)
				}
				v = v<<16 | uint64(first[n])
				if p%4 == 3 {
					put(v)
					v = 0
				}
			}
			put(v + 1<<63)
		}
	}
	return h
}
