package wiring_test

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// draw returns a wiring that contradicts itself nowhere: a real one with a few
// mistakes made in it, or one thrown together (see generator). Its first choice is
// the plain pair.
func draw(tb tester, choose func(n int) int) wiring.Spec {
	g := &generator{tb: tb, choose: choose, states: 1, terms: map[string][]wiring.Joint{}, splices: map[string][]int{}}
	kind := choose(11)
	if kind == 10 {
		g.s.Supply = pick(g, []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()})
		g.boxes()
		g.devices()
		g.lights()
		g.cables()
		g.words()
		return g.s
	}
	s := bench(tb)
	switch kind {
	case 1:
		joinedCommons(s)
	case 2:
		halfHot(s)
		s.plug("loft", "lamp", "counter", "hot 2", "neutral 2")
	case 3:
		lit(s)
		secondFeed(s, switchnet.LineB)
		s.device("loft", "aisle", switchnet.PilotSinglePole())
	case 4:
		lit(s)
		s.cable("C3", "12/3 metal-clad", "store", "loft", 9)
		s.device("loft", "aisle", switchnet.FourWay())
		s.land("loft", "aisle.pair 1 first", "C3.black")
		s.land("loft", "aisle.pair 1 second", "C3.red")
	case 5:
		bothPoles(s)
	case 6:
		loopedFourWay(s)
	case 7:
		inLine(s)
	default:
		s.Spec = chain(tb, 2+kind%3)
	}
	w := build(tb, s.Spec)
	for range choose(6) {
		// A mistake that cannot be made is none.
		if after, err := w.Apply(g.mistake(w.Spec())); err == nil {
			w = after
		}
	}
	return g.garnish(w.Spec())
}

// garnish says or leaves out what changes no circuit.
func (g *generator) garnish(s wiring.Spec) wiring.Spec {
	for i := range s.Cables {
		if g.maybe(8) {
			s.Cables[i].Length = 0
		}
		for e := range s.Cables[i].Entries {
			if v := &s.Cables[i].Entries[e]; (e == 0 || s.Cables[i].To != "") && g.maybe(3) {
				v.Support = quantity.Length(g.choose(40)) * quantity.Inch
				v.Along = v.Support + quantity.Length(g.choose(3))*quantity.Inch
				v.Sheath, v.SheathStated = quantity.Length(g.choose(20))*quantity.Millimeter, true
				v.Free = quantity.Length(g.choose(12)) * quantity.Inch
			}
		}
		s.Cables[i].Apart = quantity.Length(g.choose(8)) * quantity.Foot
		if c := &s.Cables[i]; c.Length > 0 {
			// No cable is shorter than what was measured at it.
			for _, v := range c.Entries {
				c.Length = max(c.Length, c.Apart, v.Support, v.Along, v.Sheath+v.Free)
			}
		}
		s.Cables[i].Notches = g.choose(3)
		for range g.choose(3) {
			s.Cables[i].Bored = append(s.Cables[i].Bored, quantity.Length(1+g.choose(40))*quantity.Millimeter)
		}
	}
	for i := range s.Boxes {
		s.Boxes[i].Clamps = wiring.ClampKind(g.choose(4))
		s.Boxes[i].Metal = g.maybe(4)
		if k := s.Boxes[i].Kind; k != wiring.DeviceBox && k != wiring.JunctionBox {
			continue
		}
		s.Boxes[i].NailSide, s.Boxes[i].Door = wiring.Side(g.choose(3)), wiring.DoorSide(g.choose(3))
		if s.Boxes[i].Door != 0 {
			s.Boxes[i].DoorOpens = wiring.DoorSwing(g.choose(3))
		}
	}
	for i := range s.Lights {
		if s.Lights[i].On == "" && g.maybe(3) {
			s.Lights[i].Leads = conductor.AWG(18)
		}
	}
	for i := range s.Devices {
		s.Devices[i].Yoke = pick(g, []string{"", "", "yoke"})
	}
	return s
}

// mistake returns an edit of a wiring that may or may not fit it.
func (g *generator) mistake(s wiring.Spec) wiring.Edit {
	c := pick(g, s.Cables)
	wire := wiring.Wire{Cable: c.Name, Conductor: pick(g, c.Type.Cores).Colour.String()}
	e := wiring.End{Box: pick(g, []string{c.From, c.To}), Wire: wire}
	other := func() wiring.Wire {
		if i := g.choose(len(s.Landings)); s.Landings[i].Box == e.Box {
			return s.Landings[i].Wire
		}
		c := pick(g, s.Cables)
		return wiring.Wire{Cable: c.Name, Conductor: pick(g, c.Type.Cores).Colour.String()}
	}
	target := func() wiring.Joint {
		for range 5 {
			if i := g.choose(len(s.Landings)); s.Landings[i].Box == e.Box {
				return wiring.Joint{Device: s.Landings[i].Device, Terminal: s.Landings[i].Terminal}
			}
			if i := g.choose(len(s.Splices)); s.Splices[i].Box == e.Box {
				return pick(g, s.Splices[i].Join)
			}
		}
		return wiring.Joint{Wire: other()}
	}
	switch g.choose(11) {
	case 0:
		return wiring.SwapLandings{Box: e.Box, A: wire, B: other()}
	case 1:
		j := target()
		return wiring.MoveLanding{End: e, Device: j.Device, Terminal: j.Terminal}
	case 2:
		return wiring.TieJoints{Box: e.Box, A: wiring.Joint{Wire: wire}, B: target()}
	case 3:
		return wiring.Cut{Wire: wire}
	case 4:
		return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{target(), {Wire: wire}, target()}}
	case 5:
		return wiring.SplitSplice{Box: e.Box, Out: []wiring.Joint{target()}}
	case 6:
		return wiring.CapEnd{End: e}
	case 7:
		return wiring.Release{End: e}
	case 8:
		return wiring.Remark{End: e, As: conductor.Plain(conductor.Red)}
	case 9:
		return wiring.ChangeCable{Name: c.Name, Type: pick(g, types()), Length: quantity.Length(1+g.choose(3)) * quantity.Meter}
	}
	return wiring.TieJoints{Box: e.Box, A: target(), B: target()}
}

// A generator makes wirings by choices. One that is thrown together has boxes,
// cables and devices with ends that are landed, spliced, capped or left anywhere.
type generator struct {
	tb     tester
	choose func(n int) int // from 0 to n-1
	s      wiring.Spec
	states int
	// terms are the terminals of each box, and splices the splices there.
	terms   map[string][]wiring.Joint
	splices map[string][]int
}

// seeded returns choices drawn evenly from a seed.
func seeded(seed uint64) func(n int) int { return rand.New(rand.NewPCG(seed, 1)).IntN }

// spelled returns choices that bytes spell; when they run out every choice is the
// first.
func spelled(data []byte) func(n int) int {
	return func(n int) int {
		if len(data) == 0 {
			return 0
		}
		v := int(data[0]) % n
		data = data[1:]
		return v
	}
}

func pick[T any](g *generator, list []T) T { return list[g.choose(len(list))] }

func (g *generator) maybe(outOf int) bool { return g.choose(outOf) == outOf-1 }

func (g *generator) term(box, device string, names ...string) {
	for _, n := range names {
		g.terms[box] = append(g.terms[box], wiring.Joint{Device: device, Terminal: n})
	}
}

func (g *generator) boxes() {
	kinds := []wiring.BoxKind{wiring.DeviceBox, wiring.CeilingBox, wiring.JunctionBox}
	g.s.Boxes = []wiring.Box{{Name: "panel", Kind: wiring.Panel}}
	for i := range 2 + g.choose(3) {
		b := wiring.Box{Name: fmt.Sprintf("box %d", i), Kind: pick(g, kinds), Metal: g.maybe(4), Clamps: wiring.ClampKind(g.choose(4)), Gangs: g.choose(3)}
		g.s.Boxes = append(g.s.Boxes, b)
		if b.Metal {
			g.term(b.Name, "box", "ground")
		}
	}
	for i := range 1 + g.choose(2) {
		f := wiring.Feed{Name: fmt.Sprintf("feed %d", i), Box: "panel", Breaker: 15 * quantity.Ampere, Poles: 1 + g.choose(g.s.Supply.Lines)}
		switch f.Poles {
		case 1:
			f.Lines = []switchnet.Rail{switchnet.Rail(1 + g.choose(g.s.Supply.Lines))}
			g.term("panel", f.Name, "hot")
		default:
			for p := range f.Poles {
				g.term("panel", f.Name, fmt.Sprintf("hot %d", p+1))
			}
		}
		g.term("panel", f.Name, "neutral", "ground")
		g.s.Feeds = append(g.s.Feeds, f)
	}
}

func (g *generator) box() string { return pick(g, g.s.Boxes).Name }

func (g *generator) devices() {
	kinds := []switchnet.Kind{switchnet.SinglePole(), switchnet.ThreeWay(), switchnet.FourWay(), switchnet.Receptacle(), switchnet.SplitReceptacle(),
		switchnet.ElectronicSwitch(), switchnet.PilotSinglePole(), switchnet.DoublePole(), switchnet.TwoSwitches(), switchnet.ThreeWayDimmer()}
	for i := range g.choose(5) {
		k := pick(g, kinds)
		if g.states*len(k.Positions) > 32 {
			break
		}
		g.states *= len(k.Positions)
		d := wiring.Device{Name: fmt.Sprintf("device %d", i), Box: g.box(), Kind: k, Yoke: pick(g, []string{"", "", "yoke"})}
		g.s.Devices = append(g.s.Devices, d)
		g.term(d.Box, d.Name, k.Terminals...)
		g.term(d.Box, d.Name, "ground")
	}
}

func (g *generator) lights() {
	for i := range 1 + g.choose(3) {
		l := wiring.Light{Name: fmt.Sprintf("light %d", i), Box: g.box(), Power: quantity.Power(g.choose(3)) * 10 * quantity.Watt}
		if g.maybe(3) {
			l.Kind = pick(g, wiring.LoadKinds())
		}
		if l.Kind > wiring.Resistive {
			l.PowerFactor = pick(g, []quantity.Ratio{0, 90 * quantity.Percent, quantity.Whole})
		}
		if l.Kind == wiring.Electronic {
			l.Leakage, l.TurnOn = pick(g, []quantity.Current{0, 30 * quantity.Microampere}), pick(g, []quantity.Voltage{0, 60 * quantity.Volt})
		}
		if len(g.s.Devices) > 0 && g.maybe(4) {
			d := pick(g, g.s.Devices)
			l.Box, l.On, l.Ends = d.Box, d.Name, [2]string{d.Kind.Terminals[0], d.Kind.Terminals[1]}
		} else {
			l.Leads, l.Canopy = pick(g, []conductor.Size{{}, conductor.AWG(18)}), g.maybe(2)
			g.term(l.Box, l.Name, "hot", "neutral", "ground")
		}
		g.s.Lights = append(g.s.Lights, l)
	}
}

// types returns the cables that are drawn, the plainest first.
func types() []conductor.CableType {
	var out []conductor.CableType
	for _, name := range []string{"14/2", "14/3", "12/2", "12/3 metal-clad", "14/2 without ground", "12/2 aluminum"} {
		t, err := conductor.ParseCableType(name)
		if err != nil {
			panic(err)
		}
		out = append(out, t)
	}
	return out
}

// cables lays cables and does something with each of their ends, the plain things
// first: blacks go where hots are, whites to neutrals, bare ones to grounds.
func (g *generator) cables() {
	all := types()
	for i := range 1 + g.choose(6) {
		c := wiring.Cable{Name: fmt.Sprintf("C%d", i), Type: pick(g, all), Length: quantity.Length(g.choose(4)) * quantity.Meter}
		from := 0
		if i > 0 {
			from = g.choose(len(g.s.Boxes))
		}
		to := (from + 1 + g.choose(len(g.s.Boxes)-1)) % len(g.s.Boxes)
		c.From, c.To = g.s.Boxes[from].Name, g.s.Boxes[to].Name
		if g.maybe(8) {
			c.To = ""
		}
		g.s.Cables = append(g.s.Cables, c)
		for _, box := range []string{c.From, c.To} {
			if box != "" {
				g.ends(box, &c)
			}
		}
	}
}

func (g *generator) ends(box string, c *wiring.Cable) {
	for _, core := range c.Type.Cores {
		w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
		terms := g.terms[box]
		switch core.Colour.Main {
		case conductor.White:
			terms = only(terms, "neutral")
		case conductor.Bare, conductor.Green:
			terms = only(terms, "ground")
		}
		if g.maybe(4) {
			terms = g.terms[box]
		}
		switch n := g.choose(8); {
		case n < 3 && len(terms) > 0:
			t := pick(g, terms)
			g.s.Landings = append(g.s.Landings, wiring.Landing{Box: box, Device: t.Device, Terminal: t.Terminal, Wire: w})
		case n < 6:
			g.join(box, w, terms)
		case n == 6:
			g.s.Caps = append(g.s.Caps, wiring.Cap{Box: box, Wire: w})
		}
	}
}

// only returns the terminals of a name, or all if there is none.
func only(terms []wiring.Joint, name string) []wiring.Joint {
	var out []wiring.Joint
	for _, t := range terms {
		if t.Terminal == name {
			out = append(out, t)
		}
	}
	if out == nil {
		return terms
	}
	return out
}

// join puts a wire in a splice of a box, and perhaps a terminal with it.
func (g *generator) join(box string, w wiring.Wire, terms []wiring.Joint) {
	at := g.splices[box]
	if len(at) == 0 || g.maybe(2) {
		g.splices[box] = append(at, len(g.s.Splices))
		g.s.Splices = append(g.s.Splices, wiring.Splice{Box: box})
		at = g.splices[box]
	}
	sp := &g.s.Splices[pick(g, at)]
	sp.Join = append(sp.Join, wiring.Joint{Wire: w})
	if len(terms) > 0 && g.maybe(2) {
		if t := pick(g, terms); !slices.Contains(sp.Join, t) {
			sp.Join = append(sp.Join, t)
		}
	}
}

// words marks, tags, breaks and ties some wires.
func (g *generator) words() {
	s := &g.s
	// A splice that nobody chose joins nothing.
	s.Splices = slices.DeleteFunc(s.Splices, func(sp wiring.Splice) bool { return len(sp.Join) == 0 })
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, core := range c.Type.Cores {
			w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			switch g.choose(24) {
			case 23:
				s.Opens = append(s.Opens, w)
			case 22:
				s.Marks = append(s.Marks, wiring.Mark{Box: c.From, Wire: w, As: conductor.Plain(conductor.Red)})
			case 21:
				s.Tags = append(s.Tags, wiring.Tag{Box: c.From, Wire: w, Text: "a tag"})
			case 20:
				if t := g.terms[c.From]; len(t) > 0 {
					s.Ties = append(s.Ties, wiring.Tie{Box: c.From, A: wiring.Joint{Wire: w}, B: pick(g, t)})
				}
			}
		}
	}
}
