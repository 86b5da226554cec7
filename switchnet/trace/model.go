package trace

import (
	"crypto/sha256"
	"encoding/binary"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// frame is what all nets of a case have in common: switches, lights, and the places
// where a probe can be put.
type frame struct {
	sp     *space
	lights []switchnet.Load // in name order
	// points are the terminals of every box, and the wires' ends, in name order:
	// those that are there under every hypothesis.
	points   []switchnet.Terminal
	filament []bool // by light
}

// newFrame returns the frame of a job. A screw that is not there when one of the
// faults is, because the device is another, is no point; its wire's end is.
func newFrame(w *wiring.Wiring, edits [][]wiring.Edit, opt *Options) (*frame, error) {
	net := w.Net()
	limit := opt.States
	if limit == 0 {
		limit = DefaultStates
	}
	sp, err := newSpace(net, opt.Known, limit)
	if err != nil {
		return nil, err
	}
	f := &frame{sp: sp}
	spec := w.Spec()
	inside := map[switchnet.Ref]bool{}
	for d := range net.Devices() {
		for _, l := range d.Kind.Internal {
			inside[switchnet.Ref{Place: d.Place, Name: d.Name + " " + l.Name}] = true
		}
	}
	var errs Errors
	for l := range net.Loads() {
		if !inside[l.Ref] {
			f.lights = append(f.lights, l)
			f.filament = append(f.filament, slices.Contains(opt.Filament, l.Ref))
		}
	}
	for _, r := range opt.Filament {
		if _, ok := f.light(r); !ok {
			errs.add("Options.Filament", "the job has no light %s", r)
		}
	}
	gone := map[switchnet.Terminal]bool{}
	for _, es := range edits {
		for _, e := range es {
			r, ok := e.(wiring.ReplaceDevice)
			if !ok {
				continue
			}
			d, _ := net.Device(r.Device)
			for _, t := range d.Kind.Terminals {
				if !slices.Contains(r.Kind.Terminals, t) && t != "ground" {
					gone[r.Device.Terminal(t)] = true
				}
			}
		}
	}
	boxes := map[string]bool{}
	for _, b := range spec.Boxes {
		boxes[b.Name] = true
	}
	feeds := map[switchnet.Ref]bool{}
	for _, x := range spec.Feeds {
		feeds[switchnet.Ref{Place: x.Box, Name: x.Name}] = true
	}
	for t := range net.Terminals() {
		ahead := feeds[t.Owner()] && len(t.Name) >= 4 && t.Name[:4] == "line"
		if boxes[t.Place] && !gone[t] && !ahead {
			f.points = append(f.points, t)
		}
	}
	return f, errs.or()
}

func (f *frame) light(r switchnet.Ref) (int, bool) {
	return slices.BinarySearchFunc(f.lights, r, func(l switchnet.Load, r switchnet.Ref) int { return l.Compare(r) })
}

func (f *frame) point(t switchnet.Terminal) (int, bool) {
	return slices.BinarySearchFunc(f.points, t, switchnet.Terminal.Compare)
}

// circuit is a net as a frame sees it.
type circuit struct {
	net     *switchnet.Net
	devices []int32 // of each switch
	lights  []int32 // number of the load of each light
	points  []int32 // net of each point
}

func (f *frame) circuit(net *switchnet.Net) *circuit {
	c := &circuit{net: net, devices: make([]int32, len(f.sp.switches)), lights: make([]int32, len(f.lights)), points: make([]int32, len(f.points))}
	for i, r := range f.sp.switches {
		d, _ := net.DeviceIndex(r)
		c.devices[i] = int32(d)
	}
	for i, l := range f.lights {
		n, _ := net.LoadIndex(l.Ref)
		c.lights[i] = int32(n)
	}
	for i, t := range f.points {
		n, _ := net.NetIndex(t)
		c.points[i] = int32(n)
	}
	return c
}

// model is one hypothesis as metal: the circuit as it is, and with all neutrals of the
// panel lifted.
type model struct{ whole, lifted *circuit }

func (f *frame) model(w *wiring.Wiring) (*model, error) {
	off := make([]wiring.Edit, 0, 2)
	for _, x := range w.Spec().Feeds {
		off = append(off, wiring.ClearTerminal{Of: switchnet.Ref{Place: x.Box, Name: x.Name}, Terminal: "neutral"})
	}
	lifted := w
	for _, e := range off {
		// A neutral that is not there cannot be lifted, and need not be.
		if v, err := lifted.Apply(e); err == nil {
			lifted = v
		}
	}
	m := &model{whole: f.circuit(w.Net())}
	m.lifted = m.whole
	if lifted != w {
		m.lifted = f.circuit(lifted.Net())
	}
	return m, nil
}

// print is a digest of everything that the facts of a model depend on: two models with
// one digest behave alike in every test.
func (m *model) print() [sha256.Size]byte {
	var b []byte
	put := func(ns ...int32) {
		for _, n := range ns {
			b = binary.AppendVarint(b, int64(n))
		}
	}
	for _, c := range []*circuit{m.whole, m.lifted} {
		g := c.net.Dense()
		put(int32(g.Nets()))
		for _, r := range g.NetRails {
			b = append(b, byte(r))
		}
		put(c.devices...)
		put(c.lights...)
		put(c.points...)
		for d := range g.Devices() {
			put(g.Terminals(d)...)
			for _, p := range g.Kind(d).Blocks {
				b = append(b, p...)
			}
			b = append(b, 0xff)
		}
		for _, l := range g.LoadNets {
			put(l[:]...)
		}
	}
	return sha256.Sum256(b)
}

// What a probe finds at a point of an energized circuit.
const (
	nothing      = iota // no rail, not even through a load
	onA                 // a line
	onB                 //
	onC                 //
	earthed             // neutral or ground
	throughEarth        // the neutral or the ground through loads, and no line
	throughLine         // a line through loads
	unsafe              // a bolted fault: nobody gets to read anything
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
	dead [2]ways // as it is, and with the neutrals lifted
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
			if i == 1 && &w.lamps[0] == &w.metal[0] {
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
