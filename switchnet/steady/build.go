package steady

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// building is a network under construction.
type building struct {
	w    *wiring.Wiring
	net  *switchnet.Net
	spec wiring.Spec
	opt  *Options
	fig  *figures
	errs Errors

	nw    *network
	joins joining
	extra int32 // elements beyond the terminals: known potentials, then centers of splices
	edges []edge
	loose map[wiring.End]bool // entries of Options.Loose that were used
	feeds map[switchnet.Ref]bool
}

// edge is a branch between elements, before elements become nodes.
type edge struct {
	a, b int32
	y    complex128
	emf  complex128
}

// element returns the number of a terminal that the net must have.
func (x *building) element(t switchnet.Terminal) int32 { return x.nw.number[t] }

func (x *building) edge(a, b int32, y complex128) int32 {
	x.edges = append(x.edges, edge{a: a, b: b, y: y})
	return int32(len(x.edges) - 1)
}

// build makes the network, or says everything that is wrong with the question.
func (x *building) build() {
	nw := x.nw
	nw.number = map[switchnet.Terminal]int32{}
	for t := range x.net.Terminals() {
		nw.number[t] = int32(len(nw.terms))
		nw.terms = append(nw.terms, t)
	}
	system := x.net.Source().System
	force, wrong := forces(system)
	if wrong != "" {
		x.errs.add("supply", "%s", wrong)
		return
	}
	nw.known = append([]complex128{0}, force...)
	centers := 0
	for _, s := range x.spec.Splices {
		if len(s.Join) > 2 {
			centers++
		}
	}
	count := len(nw.terms) + len(nw.known) + centers
	x.joins = joining{sets: unionfind.New(count), force: nw.known, terms: nw.terms}
	for k := range nw.known {
		x.joins.known = append(x.joins.known, int32(len(nw.terms)+k))
	}
	x.extra = int32(len(nw.terms) + len(nw.known))
	x.service(system)
	x.cables()
	x.ends()
	x.added()
	nw.fixed = len(x.edges)
	x.switches()
	x.lights()
	if len(x.errs) > 0 {
		return
	}
	x.number()
	nw.seal()
}

// earth is the element of zero potential.
func (x *building) earth() int32 { return x.joins.known[0] }

// service joins the rails to the supply.
func (x *building) service(system switchnet.System) {
	source := x.net.Source()
	svc := &x.opt.Service
	impedance := complex128(0)
	if svc.FaultCurrent > 0 {
		size := system.LineToNeutral.Volts() / svc.FaultCurrent.Amperes()
		ratio := svc.Reactive.Float64()
		r := size / math.Sqrt(1+ratio*ratio)
		impedance = complex(r, r*ratio)
	}
	for k, rail := range []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC}[:system.Lines] {
		t, force := x.element(source.Rail(rail)), x.joins.known[k+1]
		if impedance == 0 {
			x.joins.join(t, force, rail.String())
			continue
		}
		x.nw.supply = append(x.nw.supply, x.edge(t, force, 1/impedance))
	}
	neutral, ground := x.element(source.Rail(switchnet.Neutral)), x.element(source.Rail(switchnet.Ground))
	x.joins.join(neutral, ground, "the bond of neutral and ground at the service")
	switch {
	case !svc.LostNeutral:
		x.joins.join(neutral, x.earth(), "the service neutral")
	case svc.Electrode > 0:
		x.nw.supply = append(x.nw.supply, x.edge(neutral, x.earth(), complex(1/svc.Electrode.Ohms(), 0)))
	}
	for c := range x.net.Conductors() {
		if c.From.Owner() == source.Ref {
			x.joins.join(x.element(c.From), x.element(c.To), c.Name)
		}
	}
}

// ends of a cable, as places.
func places(c *wiring.Cable) [2]string {
	if c.To == "" {
		return [2]string{c.From, wiring.UnknownPlace(c.Name)}
	}
	return [2]string{c.From, c.To}
}

// cables makes the wires and the coupling between them.
func (x *building) cables() {
	open := map[wiring.Wire]bool{}
	for _, o := range x.spec.Opens {
		open[o] = true
	}
	list := slices.Clone(x.spec.Cables)
	slices.SortFunc(list, func(a, b wiring.Cable) int { return strings.Compare(a.Name, b.Name) })
	couple := newCoupling(x)
	x.nw.wireOf = map[wiring.Wire]int{}
	var unknown []string
	for i := range list {
		c := &list[i]
		length := c.Length
		if length <= 0 {
			length = x.opt.UnknownLength
		}
		if length <= 0 {
			unknown = append(unknown, c.Name)
			continue
		}
		at := places(c)
		cores := slices.Clone(c.Type.Cores)
		slices.SortFunc(cores, func(a, b conductor.Core) int { return strings.Compare(a.Colour.String(), b.Colour.String()) })
		var ends [2][]int32
		for _, core := range cores {
			wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			part := wirePart{wire: wire, cable: c.Name, branch: -1, at: at, ends: [2]int32{x.element(wire.In(at[0])), x.element(wire.In(at[1]))}}
			z, err := x.fig.perMeter(c.Type.Material, core.Size)
			switch {
			case err != nil:
				x.errs.add("wire "+wire.String(), "has no impedance: %v", err)
			case !open[wire]:
				part.branch = x.edge(part.ends[0], part.ends[1], 1/(z*complex(length.Meters(), 0)))
			}
			for e := range ends {
				ends[e] = append(ends[e], part.ends[e])
			}
			x.nw.wireOf[wire] = len(x.nw.wires)
			x.nw.wires = append(x.nw.wires, part)
		}
		couple.cable(cores, ends, length)
	}
	for _, name := range unknown {
		x.errs.add("cable "+name, "has no length; write it, or set Options.UnknownLength")
	}
	couple.flush()
}

// coupling gathers the capacitance of each two elements, so that cables beside
// each other make one branch.
type coupling struct {
	x               *building
	between, ground complex128 // siemens per meter
	sum             map[[2]int32]complex128
	order           [][2]int32
}

func newCoupling(x *building) *coupling {
	c := &coupling{x: x, sum: map[[2]int32]complex128{}}
	o := x.opt.Coupling
	if o.None {
		return c
	}
	omega := 2 * math.Pi * x.fig.hertz
	c.between = complex(0, omega*cmp.Or(o.Between, TypicalCoupling).FaradsPerMeter())
	c.ground = complex(0, omega*cmp.Or(o.ToGround, TypicalCoupling).FaradsPerMeter())
	return c
}

// cable couples the conductors of one cable, half of the capacitance at each end.
func (c *coupling) cable(cores []conductor.Core, ends [2][]int32, length quantity.Length) {
	if c.between == 0 && c.ground == 0 {
		return
	}
	half := complex(length.Meters()/2, 0)
	grounded := slices.ContainsFunc(cores, func(k conductor.Core) bool { return k.Grounding })
	for _, e := range ends {
		for a, core := range cores {
			for b := range a {
				switch {
				case core.Grounding && cores[b].Grounding:
				case core.Grounding || cores[b].Grounding:
					c.add(e[b], e[a], c.ground*half)
				default:
					c.add(e[b], e[a], c.between*half)
				}
			}
			if !grounded {
				c.add(e[a], c.x.earth(), c.ground*half)
			}
		}
	}
}

func (c *coupling) add(a, b int32, y complex128) {
	key := [2]int32{min(a, b), max(a, b)}
	if _, ok := c.sum[key]; !ok {
		c.order = append(c.order, key)
	}
	c.sum[key] += y
}

func (c *coupling) flush() {
	for _, key := range c.order {
		c.x.edge(key[0], key[1], c.sum[key])
	}
}

// terminalOf returns the terminal of a joint in a box.
func terminalOf(box string, j wiring.Joint) switchnet.Terminal {
	if j.Device != "" {
		return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
	}
	return j.Wire.In(box)
}

// looseness returns the extra resistance of a wire's end.
func (x *building) looseness(box string, w wiring.Wire) float64 {
	e := wiring.End{Box: box, Wire: w}
	r, ok := x.opt.Loose[e]
	if !ok {
		return 0
	}
	x.loose[e] = true
	return r.Ohms()
}

// ends makes splices, landings and ties.
func (x *building) ends() {
	x.loose = map[wiring.End]bool{}
	x.feeds = map[switchnet.Ref]bool{}
	for _, f := range x.spec.Feeds {
		x.feeds[switchnet.Ref{Place: f.Box, Name: f.Name}] = true
	}
	splices := slices.Clone(x.spec.Splices)
	for i := range splices {
		splices[i].Join = slices.Clone(splices[i].Join)
		slices.SortFunc(splices[i].Join, func(a, b wiring.Joint) int { return strings.Compare(a.String(), b.String()) })
	}
	slices.SortFunc(splices, func(a, b wiring.Splice) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Join[0].String(), b.Join[0].String()))
	})
	for i := range splices {
		x.splice(i, &splices[i])
	}
	landings := slices.Clone(x.spec.Landings)
	slices.SortFunc(landings, func(a, b wiring.Landing) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Wire.Cable, b.Wire.Cable), strings.Compare(a.Wire.Conductor, b.Wire.Conductor))
	})
	for _, l := range landings {
		wire, screw := x.element(l.Wire.In(l.Box)), x.element(switchnet.Terminal{Place: l.Box, Device: l.Device, Name: l.Terminal})
		ohms := x.opt.Landing.Ohms() + x.looseness(l.Box, l.Wire)
		if ohms == 0 {
			x.joins.join(wire, screw, "the landing of "+l.Wire.String()+" in "+l.Box)
			continue
		}
		x.joint(l.Box, wiring.Joint{Wire: l.Wire}, wire, screw, ohms, -1, "landing of "+l.Wire.String())
	}
	ties := slices.Clone(x.spec.Ties)
	slices.SortFunc(ties, func(a, b wiring.Tie) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.String(), b.String()))
	})
	for _, t := range ties {
		x.joins.join(x.element(terminalOf(t.Box, t.A)), x.element(terminalOf(t.Box, t.B)), "the "+t.String()+" in "+t.Box)
	}
}

func (x *building) joint(box string, j wiring.Joint, a, b int32, ohms float64, splice int, name string) {
	br := x.edge(a, b, complex(1/ohms, 0))
	x.nw.joints = append(x.nw.joints, jointPart{box, j, br, splice, name})
}

// splice joins wires in a star with the resistance between each two of them, or
// straight when there are two.
func (x *building) splice(index int, s *wiring.Splice) {
	name := "splice of " + s.Join[0].String()
	half := x.opt.Splice.Ohms() / 2
	ohms := make([]float64, len(s.Join))
	for k, j := range s.Join {
		ohms[k] = half
		if j.Device == "" {
			ohms[k] += x.looseness(s.Box, j.Wire)
		}
	}
	first := x.element(terminalOf(s.Box, s.Join[0]))
	switch len(s.Join) {
	case 1:
		return
	case 2:
		second := x.element(terminalOf(s.Box, s.Join[1]))
		if sum := ohms[0] + ohms[1]; sum > 0 {
			x.joint(s.Box, s.Join[0], first, second, sum, index, name)
		} else {
			x.joins.join(first, second, "the "+name+" in "+s.Box)
		}
		return
	}
	center := x.extra
	x.extra++
	bars := map[string]bool{}
	for k, j := range s.Join {
		e := x.element(terminalOf(s.Box, j))
		switch bar := x.onBar(s.Box, j); {
		case ohms[k] > 0:
			x.joint(s.Box, j, e, center, ohms[k], index, name)
		case bar && bars[j.Terminal]:
			// Circuits that share a neutral land it once: the bar is one piece.
		default:
			bars[j.Terminal] = bar
			x.joins.join(e, center, "the "+name+" in "+s.Box)
		}
	}
}

// onBar reports whether a joint is the neutral or the ground of a feed, all of which
// are on one bar.
func (x *building) onBar(box string, j wiring.Joint) bool {
	return (j.Terminal == "neutral" || j.Terminal == "ground") && x.feeds[switchnet.Ref{Place: box, Name: j.Device}]
}

// number makes nodes of the elements and branches of the edges.
func (x *building) number() {
	nw := x.nw
	of, count := x.joins.sets.Number()
	node := make([]int32, count)
	for i := range node {
		node[i] = -1
	}
	for k, e := range x.joins.known {
		node[of[e]] = int32(-2 - k)
	}
	for _, set := range of[:x.extra] {
		if node[set] == -1 {
			node[set] = int32(nw.n)
			nw.n++
		}
	}
	for i, v := range node {
		if v <= -2 {
			node[i] = int32(nw.n) - 2 - v
		}
	}
	nw.node = make([]int32, len(nw.terms))
	for i := range nw.terms {
		nw.node[i] = node[of[i]]
	}
	nw.branches = make([]branch, len(x.edges))
	for k, e := range x.edges {
		nw.branches[k] = branch{i: node[of[e.a]], j: node[of[e.b]], y: e.y, emf: e.emf}
	}
	for i := range nw.wires {
		for e, t := range nw.wires[i].ends {
			nw.wires[i].ends[e] = node[of[t]]
		}
	}
}
