package identify

import (
	"context"
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Model returns how likely a possibility makes each path between two ends, and each
// level between an end and the ground, as the boxes are in a session, two ends twisted
// together, if they are two, and the feeds of a set off.
func Model(s *Session, i, a, b int, tie [2]int, off uint16) (paths [3]float64, volts, between [levels]float64) {
	var ties [][2]int
	if tie[0] != tie[1] {
		ties = [][2]int{tie}
	}
	c := s.view(ties).of(i)
	for p := range paths {
		paths[p] = pathLikely(c.path(a, b), trace.Path(p+1))
	}
	for l := range Level(levels) {
		volts[l] = levelLikely(s.c.sp.volts(c, a, len(s.c.sp.ends), off), l)
		between[l] = levelLikely(s.c.sp.volts(c, a, b, off), l)
	}
	return paths, volts, between
}

// RoleOf returns what a possibility says that an end is for, and Remains whether it
// remains.
func RoleOf(s *Session, i, e int) Role { return s.c.all[i].role(e) }

// Remains reports whether a possibility remains.
func Remains(s *Session, i int) bool { return s.remains(i) }

// Scheme returns the scheme of the first control.
func SchemeOf(c *Case, i int) Scheme { return c.all[i].frame.plans[0].scheme }

// Key returns all that a possibility says, to see that none is there twice.
func Key(c *Case, i int) string {
	h := &c.all[i]
	s := fmt.Sprint(c.ways(i), c.plans(i), h.frame.feedAt, h.frame.onward)
	first := map[int8]int{}
	for e, n := range h.node {
		if _, ok := first[n]; !ok || n == spareNode {
			first[n] = e
		}
		s += fmt.Sprint(" ", h.role(e), first[n])
	}
	return s
}

// Realise returns a job that is as a possibility says, with devices of the kinds that its
// scheme takes, and for each end what it is called there; false for what no cable is.
func Realise(c *Case, i int) (wiring.Spec, map[wiring.End]wiring.End, bool) {
	sp, h := c.sp, &c.all[i]
	f := h.frame
	own := map[wiring.End]wiring.End{}
	spec := wiring.Spec{Supply: sp.w.Spec().Supply, Feeds: sp.w.Spec().Feeds}
	spec.Boxes = append(spec.Boxes, sp.w.Spec().Boxes...)
	spec.Lights = append(spec.Lights, sp.w.Spec().Lights...)
	box := func(p int) string {
		if p < sp.leaf(0) {
			return sp.place(p)
		}
		if p < sp.far(0) {
			return sp.feeds[p-sp.leaf(0)].panel
		}
		return fmt.Sprintf("far-%d", p)
	}
	// What is joined in each place, by node.
	joints := map[[2]int][]wiring.Joint{}
	put := func(p int, n int8, j wiring.Joint) {
		if n != spareNode {
			k := [2]int{p, f.metal(int(n), p)}
			joints[k] = append(joints[k], j)
		}
	}
	made := map[string]bool{}
	for _, b := range spec.Boxes {
		made[b.Name] = true
	}
	for k, u := range sp.units {
		m := f.lay.mate[u.ends[0]]
		if m >= 0 && m < u.ends[0] {
			continue
		}
		name, typ := u.cable, sp.typeOf(u.cable)
		if u.loose {
			name += "/" + sp.colour[u.ends[0]]
			colour, err := conductor.ParseColour(sp.colour[u.ends[0]])
			if err != nil || m >= 0 && sp.colour[m] != sp.colour[u.ends[0]] {
				return spec, own, false
			}
			typ = conductor.LooseConductors(typ.Material, sp.size[u.ends[0]], typ.Rating, colour)
		}
		far := f.lay.far[k]
		if !made[box(far)] {
			made[box(far)] = true
			spec.Boxes = append(spec.Boxes, wiring.Box{Name: box(far), Kind: wiring.JunctionBox})
		}
		spec.Cables = append(spec.Cables, wiring.Cable{Name: name, Type: typ, From: box(u.box), To: box(far)})
		for _, e := range u.ends {
			j := wiring.WireJoint(name, sp.colour[e])
			put(u.box, h.node[e], j)
			put(far, h.node[e], j)
			own[sp.ends[e]] = wiring.End{Box: box(u.box), Wire: j.Wire}
			if m := f.lay.mate[e]; m >= 0 {
				own[sp.ends[m]] = wiring.End{Box: box(far), Wire: j.Wire}
			}
		}
	}
	for k, r := range f.lay.runs {
		if !r.hidden {
			continue
		}
		colours := []conductor.Hue{conductor.Black, conductor.White, conductor.Red, conductor.Blue, conductor.Yellow, conductor.Orange, conductor.Brown, conductor.Gray}
		var list []conductor.Colour
		name := fmt.Sprintf("hidden-%d", k)
		for n := range f.nodes {
			if f.nodes[n].runs&(1<<k) == 0 {
				continue
			}
			if len(list) == len(colours) {
				return spec, own, false
			}
			list = append(list, conductor.Plain(colours[len(list)]))
			j := wiring.WireJoint(name, list[len(list)-1].String())
			put(r.a, int8(n), j)
			put(r.b, int8(n), j)
		}
		if len(list) > 0 {
			t := sp.typeOf(sp.units[0].cable)
			spec.Cables = append(spec.Cables, wiring.Cable{Name: name, Type: conductor.LooseConductors(t.Material, t.Size, t.Rating, list...), From: box(r.a), To: box(r.b)})
		}
	}
	two, err := conductor.ParseCableType("14/2")
	if err != nil {
		return spec, own, false
	}
	for n, x := range f.nodes {
		if x.kind == otherNode {
			continue
		}
		at := f.feedAt[x.of]
		terminal := map[nodeKind]string{hotNode: "hot", neutralNode: "neutral"}[x.kind]
		if at >= sp.leaf(0) {
			put(at, int8(n), wiring.Joint{Device: sp.feeds[x.of].ref.Name, Terminal: terminal})
			continue
		}
		name := fmt.Sprintf("supply-%d", x.of)
		if x.kind == hotNode {
			spec.Cables = append(spec.Cables, wiring.Cable{Name: name, Type: two, From: sp.feeds[x.of].panel, To: box(at)})
		}
		colour := map[nodeKind]string{hotNode: "black", neutralNode: "white"}[x.kind]
		put(at, int8(n), wiring.WireJoint(name, colour))
		spec.Landings = append(spec.Landings, wiring.Landing{Box: sp.feeds[x.of].panel, Device: sp.feeds[x.of].ref.Name, Terminal: terminal, Wire: wiring.Wire{Cable: name, Conductor: colour}})
	}
	for k, p := range f.plans {
		name := sp.control[k].name
		for _, l := range sp.control[k].lights {
			at := sp.lights[l].place
			put(at, int8(p.lamps[0]), wiring.Joint{Device: sp.lights[l].name, Terminal: "hot"})
			if p.lamps[1] >= 0 {
				put(at, int8(p.lamps[1]), wiring.Joint{Device: sp.lights[l].name, Terminal: "neutral"})
				continue
			}
			cable := fmt.Sprintf("return-%d", l)
			panel := sp.feeds[p.feed]
			spec.Cables = append(spec.Cables, wiring.Cable{Name: cable, Type: two, From: panel.panel, To: box(at)})
			white := wiring.Wire{Cable: cable, Conductor: "white"}
			spec.Landings = append(spec.Landings,
				wiring.Landing{Box: panel.panel, Device: panel.ref.Name, Terminal: "neutral", Wire: white},
				wiring.Landing{Box: box(at), Device: sp.lights[l].name, Terminal: "neutral", Wire: white})
		}
		for j, at := range p.order {
			kind, screws := switchnet.ThreeWay(), []string{"traveler 1", "traveler 2"}
			switch {
			case len(p.order) == 1:
				kind, screws = switchnet.SinglePole(), []string{"line", "load"}
			case p.common[j] < 0:
				kind, screws = switchnet.FourWay(), []string{"pair 1 first", "pair 1 second", "pair 2 first", "pair 2 second"}
			default:
				put(at, int8(p.common[j]), wiring.Joint{Device: name, Terminal: "common"})
			}
			for n, x := range p.throws[j] {
				put(at, int8(x), wiring.Joint{Device: name, Terminal: screws[n]})
			}
			spec.Devices = append(spec.Devices, wiring.Device{Name: name, Box: box(at), Kind: kind})
		}
	}
	for j, x := range f.onward {
		if x >= 0 {
			hot, neutral := f.hot[x], f.neutral[x]
			at := f.lay.onward[j]
			name := fmt.Sprintf("load-%d", j)
			spec.Lights = append(spec.Lights, wiring.Light{Name: name, Box: box(at), Power: 10 * quantity.Watt, Kind: wiring.Resistive})
			put(at, int8(hot), wiring.Joint{Device: name, Terminal: "hot"})
			put(at, int8(neutral), wiring.Joint{Device: name, Terminal: "neutral"})
		}
	}
	for p := range sp.places() {
		for n := range f.nodes {
			if js := joints[[2]int{p, n}]; len(js) > 1 {
				spec.Splices = append(spec.Splices, wiring.Splice{Box: box(p), Join: js})
			}
		}
	}
	return spec, own, true
}

func (sp *space) typeOf(cable string) conductor.CableType {
	for _, c := range sp.w.Spec().Cables {
		if c.Name == cable {
			return c.Type
		}
	}
	return conductor.CableType{}
}

// Bolts reports whether it is a bolted fault under a possibility to energize with two
// ends twisted together.
func Bolts(s *Session, i int, tie [2]int) bool {
	return s.c.sp.bolted(s.view([][2]int{tie}).of(i))
}

// Candidates returns every test that the session would weigh now.
func Candidates(ctx context.Context, s *Session) ([]Test, error) {
	n := &next{s: s, ctx: ctx}
	n.left, _ = s.left()
	if err := n.dead(); err != nil {
		return nil, err
	}
	err := n.live()
	return n.tests, err
}

// Powers reports whether a possibility has power for an electronic device of a feed, by its
// number in name order, in an open box.
func Powers(c *Case, i, feed, box int) Surety { return c.powers(&c.all[i], feed, box) }

// Quantile returns the possibility at a share of all, from 0 to 1, by how likely they are
// before anything is observed.
func Quantile(c *Case, at float64) int {
	sum := 0.0
	for i := range c.all {
		if sum += c.all[i].share; sum >= at {
			return i
		}
	}
	return len(c.all) - 1
}

// LikelyClass returns how likely the class of a possibility is, of all that remain.
func LikelyClass(s *Session, i int) float64 {
	left, status := s.left()
	sum, total := 0.0, 0.0
	for _, k := range left {
		w := s.weightOf(k, status)
		total += w
		if s.c.class[k] == s.c.class[i] {
			sum += w
		}
	}
	return sum / total
}
