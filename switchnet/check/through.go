package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// sharedThroughDevice finds the devices without which another circuit than their own
// loses the neutral that it shares. What such a device carries on for its own circuit
// alone is that circuit's business: its hot goes with it.
func sharedThroughDevice(p *Pass) error {
	shared := p.sharedNeutrals()
	if len(shared) == 0 {
		return nil
	}
	m := p.metal()
	law, _ := p.law(rules.SharedNeutralUnbroken)
	hots := p.cableHots()
	attached := p.attached()
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		var on []int32 // its terminals on a shared neutral
		own := map[int32]bool{}
		for _, name := range d.Kind.Terminals {
			x, ok := m.on(ref.Terminal(name))
			if !ok {
				continue
			}
			if shared[x] {
				on = append(on, m.term(ref.Terminal(name)))
			}
			for _, y := range m.hotPieces(x) {
				own[y] = true
			}
		}
		n := 0
		for _, t := range on {
			n += attached[m.terms[t]]
		}
		if n < 2 {
			continue // nothing goes on through it
		}
		x := m.piece[on[0]]
		of := p.without(ref, x)
		home := map[int32]bool{}
		for _, f := range m.neutral[x] {
			home[of[m.term(p.feedRef(f).Terminal("neutral"))]] = true
		}
		// Does a wire that is cut off from home serve another circuit?
		foreign := func(w *wire) bool {
			return slices.ContainsFunc(hots[w.cable], func(y int32) bool { return !own[y] })
		}
		if !slices.ContainsFunc(m.wires, func(w wire) bool {
			return foreign(&w) && slices.ContainsFunc(w.term[:], func(t int32) bool { part, ok := of[t]; return ok && !home[part] })
		}) {
			continue
		}
		p.Report(Finding{Place: p.devicePlace(ref), About: ref, Section: law.Source, since: law.During.Since, Fixes: p.aroundDevice(d, of, home, foreign),
			Message: fmt.Sprintf("a shared neutral goes on through %s: take it out, and another circuit has no neutral; splice it and bring a pigtail to the device", ref)})
	}
	return nil
}

// sharedNeutrals returns the pieces that are the neutral of two hots.
func (p *Pass) sharedNeutrals() map[int32]bool {
	m := p.metal()
	shared := map[int32]bool{}
	for _, s := range p.shares() {
		for x := range m.pieces {
			if slices.Contains(m.neutral[x], s.neutral) {
				shared[int32(x)] = true
			}
		}
	}
	for x := range m.pieces {
		for _, f := range m.neutral[x] {
			if max(p.spec.Feeds[f].Poles, len(p.spec.Feeds[f].Lines)) > 1 {
				shared[int32(x)] = true
			}
		}
	}
	return shared
}

// hotPieces returns the pieces of hots that some positions of the switches could join to
// a piece.
func (m *metal) hotPieces(x int32) []int32 {
	return slices.DeleteFunc(m.reach(x), func(y int32) bool { return len(m.hot[y]) == 0 })
}

// cableHots returns, by number of the cable, the pieces of hots that find a way to its
// conductors.
func (p *Pass) cableHots() [][]int32 {
	m := p.metal()
	out := make([][]int32, len(p.spec.Cables))
	for i := range m.wires {
		if w := &m.wires[i]; !w.ground {
			for _, t := range w.term {
				for _, y := range m.hotPieces(m.piece[t]) {
					if !slices.Contains(out[w.cable], y) {
						out[w.cable] = append(out[w.cable], y)
					}
				}
			}
		}
	}
	return out
}

// attached returns how many wires and splices are on each terminal of a device.
func (p *Pass) attached() map[switchnet.Terminal]int {
	out := map[switchnet.Terminal]int{}
	for _, l := range p.spec.Landings {
		out[switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal}]++
	}
	for _, s := range p.spec.Splices {
		for _, j := range s.Join {
			if j.Device != "" {
				out[joinTerminal(s.Box, j)]++
			}
		}
	}
	return out
}

// without returns the parts into which a piece falls when a device is taken out, by
// terminal; the device's own terminals are in none.
func (p *Pass) without(ref switchnet.Ref, x int32) map[int32]int32 {
	m := p.metal()
	net := p.job.Wiring.Net()
	sets := unionfind.New(len(m.terms))
	stays := func(t switchnet.Terminal) bool { return t.Owner() != ref && m.piece[m.term(t)] == x }
	join := func(a, b switchnet.Terminal) {
		if stays(a) && stays(b) {
			sets.Union(m.term(a), m.term(b))
		}
	}
	for c := range net.Conductors() {
		if c.From.Owner() != service {
			join(c.From, c.To)
		}
	}
	for s := range net.Splices() {
		left := slices.DeleteFunc(slices.Clone(s.Joins), func(t switchnet.Terminal) bool { return !stays(t) })
		for i := 1; i < len(left); i++ {
			join(left[0], left[i])
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		own := switchnet.Ref{Place: d.Box, Name: d.Name}
		for _, f := range pairsOf(&d.Kind).fixed {
			join(own.Terminal(d.Kind.Terminals[f[0]]), own.Terminal(d.Kind.Terminals[f[1]]))
		}
	}
	out := map[int32]int32{}
	for i, t := range m.terms {
		if stays(t) {
			out[int32(i)] = sets.Find(int32(i))
		}
	}
	return out
}

// aroundDevice proposes to splice what another circuit needs with the neutral that comes
// to a device, and to leave the device a pigtail.
func (p *Pass) aroundDevice(d *wiring.Device, of map[int32]int32, home map[int32]bool, foreign func(*wire) bool) []Fix {
	m := p.metal()
	var in, on []wiring.Joint
	for i := range m.wires {
		w := &m.wires[i]
		for e, box := range w.box {
			part, ok := of[w.term[e]]
			switch {
			case box != d.Box || !ok:
			case home[part]:
				in = append(in, wiring.Joint{Wire: w.Wire})
			case foreign(w):
				on = append(on, wiring.Joint{Wire: w.Wire})
			}
		}
	}
	if len(in) == 0 || len(on) == 0 {
		return nil
	}
	joints := append(slices.Clone(in[:1]), on...)
	for _, l := range p.spec.Landings {
		if l.Box == d.Box && l.Device == d.Name && l.Wire == in[0].Wire {
			joints = append(joints, wiring.Joint{Device: d.Name, Terminal: l.Terminal})
		}
	}
	return []Fix{newFix(wiring.JoinSplice{Box: d.Box, Join: joints})}
}
