package check

import (
	"bytes"
	"slices"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// screen sees in a few states that a fix is none, before the wiring is made and a rule is
// asked, which takes many times as long: a switch that does not toggle its light from some
// state, and should, is found by a rule, whatever else is right. That a fix is one it never
// says. Where nobody says which switch should toggle what, those that matter to a light
// before the fix are to toggle it after.
type screen struct {
	m       *metal
	base    joined
	rails   []railed
	devices []screened
	probes  []probe
	of      map[key][]int           // by finding, the probes that must work when it is cured
	about   map[switchnet.Ref][]int // by light, the probes of its findings

	seen map[string]*verdict // by fix
}

// verdict is what the probes say of a fix.
type verdict struct {
	cures map[switchnet.Ref][]bool // by light, which probes of its findings work; nil if all do
	harms bool                     // one fails that worked before
	whole bool                     // that was asked
}

// joined is what a wiring joins, by terminal number.
type joined struct {
	spec              *wiring.Spec
	landings, splices [][]int32
}

// railed is a terminal that the service feeds.
type railed struct {
	term int32
	rail dense.Rails
}

// screened is a device as a solver wants it.
type screened struct {
	kind  *dense.Kind
	terms []int32
}

// probe is two states that differ in one switch, and the ends of a light that it should
// toggle.
type probe struct {
	from, to []uint8
	ends     [2]int32
	fails    bool // before the fix, it does not toggle it from some state
}

// newScreen returns the screen of what is found.
func (p *Pass) newScreen() (*screen, error) {
	lamps, err := p.lamps()
	if err != nil {
		return nil, err
	}
	net := p.job.Wiring.Net()
	s := &screen{m: p.metal(), of: map[key][]int{}, about: map[switchnet.Ref][]int{}, seen: map[string]*verdict{}}
	for c := range net.Conductors() {
		if c.From.Owner() == service {
			s.rails = append(s.rails, railed{s.m.term(c.To), railNamed(c.From.Name)})
		}
	}
	kinds := map[string]*dense.Kind{}
	for d := range net.Devices() {
		k := kinds[d.Kind.Name]
		if k == nil {
			v, err := d.Kind.Dense()
			if err != nil {
				return nil, err
			}
			k = &v
			kinds[d.Kind.Name] = k
		}
		terms := make([]int32, len(d.Kind.Terminals))
		for t, name := range d.Kind.Terminals {
			terms[t] = s.m.term(d.Ref.Terminal(name))
		}
		s.devices = append(s.devices, screened{k, terms})
	}
	s.base.spec = &p.spec
	s.base.landings, s.base.splices, _ = s.numbers(&p.spec)
	s.probe(p, lamps)
	return s, nil
}

func railNamed(name string) dense.Rails {
	for i, r := range []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC, switchnet.Neutral, switchnet.Ground} {
		if r.String() == name {
			return 1 << i
		}
	}
	return 0
}

// probe makes the probes: each light of a control with each of its places, moved from rest
// and from where the other places have moved, and the states that show a finding.
func (s *screen) probe(p *Pass, lamps []lamp) {
	shown := map[[2]switchnet.Ref]*Finding{} // by switch and light
	for i := range p.findings {
		if f := &p.findings[i]; f.Code == "does-not-toggle" {
			shown[[2]switchnet.Ref{{Place: f.Place.Box, Name: f.Place.Device}, f.About}] = f
		}
	}
	rest := p.job.Wiring.Net().Rest()
	for i := range lamps {
		l := &lamps[i]
		ends := [2]int32{s.m.term(l.ends[0]), s.m.term(l.ends[1])}
		meant, wanted := p.controlled(l)
		if !wanted {
			continue
		}
		places := slices.DeleteFunc(p.moving(meant), func(r switchnet.Ref) bool { return len(p.kind(r).Positions) != 2 })
		moved := rest
		for _, r := range places {
			moved, _ = moved.Flip(r) // a device of the net
		}
		for _, r := range places {
			k := key{about: l.ref}
			f := shown[[2]switchnet.Ref{r, l.ref}]
			if f != nil {
				k = f.key()
			}
			fails := f != nil || l.law.Kind == allstates.NeverLit || l.law.Kind == allstates.AlwaysLit
			add := func(from, to switchnet.State) {
				if fails {
					s.of[k] = append(s.of[k], len(s.about[l.ref]))
					s.about[l.ref] = append(s.about[l.ref], len(s.probes))
				}
				s.probes = append(s.probes, probe{from.Indices(), to.Indices(), ends, fails})
			}
			if f != nil {
				add(f.Witness[0].State, f.Witness[1].State)
			}
			for _, from := range []switchnet.State{rest, moved} {
				to, _ := from.Flip(r)
				add(from, to)
			}
		}
	}
}

// passes reports whether a fix may cure a finding and do no harm.
func (s *screen) passes(x Fix, k key) bool {
	v := s.seen[x.Does]
	if v == nil {
		v = &verdict{cures: map[switchnet.Ref][]bool{}}
		s.seen[x.Does] = v
	}
	works, known := v.cures[k.about]
	if known && !s.cured(k, works, len(x.parts) > 0) || v.harms {
		return false
	}
	if known && v.whole {
		return true
	}
	c, made := s.edited(x.Edits)
	if c == nil {
		v.whole, v.harms = true, !made
		v.cures[k.about] = nil
		return made
	}
	if !known {
		for _, n := range s.about[k.about] {
			works = append(works, c.toggles(&s.probes[n]))
			if len(x.parts) > 0 && !works[len(works)-1] {
				break // two steps are none where one probe fails
			}
		}
		v.cures[k.about] = works
	}
	if !s.cured(k, works, len(x.parts) > 0) {
		return false
	}
	if !v.whole {
		v.whole = true
		v.harms = slices.ContainsFunc(s.probes, func(x probe) bool { return !x.fails && !c.toggles(&x) })
	}
	return !v.harms
}

// cured reports whether all probes of a finding work, or for a pair of steps all of its
// light.
func (s *screen) cured(k key, works []bool, pair bool) bool {
	if pair && len(s.of[k]) > 0 {
		return !slices.Contains(works, false)
	}
	if k.code == "never-lit" || k.code == "always-lit" {
		k = key{about: k.about}
	}
	return works == nil || !slices.ContainsFunc(s.of[k], func(n int) bool { return !works[n] })
}

// edited returns what is joined for good after some edits, nil and false where they cannot
// be made, and nil and true where the probes say nothing of them.
func (s *screen) edited(edits []wiring.Edit) (*still, bool) {
	for _, e := range edits {
		switch e.(type) {
		case wiring.ReplaceDevice, wiring.ChangeCable:
			return nil, true // there are other terminals
		}
	}
	spec, err := s.base.spec.Edited(edits...)
	if err != nil {
		return nil, false
	}
	c, ok := s.contract(&spec)
	if !ok {
		return nil, true // what is wrong with it is told elsewhere
	}
	return c, true
}

// numbers returns the terminals that landings join, and those of splices and ties, or
// false if there is one that the wiring does not have. What is as it was is not looked up
// again.
func (s *screen) numbers(spec *wiring.Spec) (landings, splices [][]int32, ok bool) {
	landings = make([][]int32, len(spec.Landings))
	ok = true
	number := func(t switchnet.Terminal) int32 {
		n, found := s.m.number(t)
		ok = ok && found
		return n
	}
	joint := func(box string, j wiring.Joint) int32 {
		if j.Device != "" {
			return number(switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal})
		}
		return number(j.Wire.In(box))
	}
	for i, l := range spec.Landings {
		if b := s.base.landings; i < len(b) && l == s.base.spec.Landings[i] {
			landings[i] = b[i]
			continue
		}
		landings[i] = []int32{number(l.Wire.In(l.Box)), joint(l.Box, wiring.Joint{Device: l.Device, Terminal: l.Terminal})}
	}
	splices = make([][]int32, len(spec.Splices), len(spec.Splices)+len(spec.Ties))
	for i := range spec.Splices {
		v := &spec.Splices[i]
		if b := s.base.splices; i < len(b) && i < len(s.base.spec.Splices) && v.Box == s.base.spec.Splices[i].Box && slices.Equal(v.Join, s.base.spec.Splices[i].Join) {
			splices[i] = b[i]
			continue
		}
		for _, j := range v.Join {
			splices[i] = append(splices[i], joint(v.Box, j))
		}
	}
	for _, t := range spec.Ties {
		splices = append(splices, []int32{joint(t.Box, t.A), joint(t.Box, t.B)})
	}
	return landings, splices, ok
}

// still is what is joined for good, ready to be put in one state after the other.
type still struct {
	s     *screen
	of    []int32 // by terminal
	rails []dense.Rails

	positions []uint8 // the state it is in
	parent    []int32
	label     []dense.Rails

	seen map[shining][2]bool // what lit returned
}

// shining is a light in a state, which is known by where it is kept.
type shining struct {
	state *uint8
	ends  [2]int32
}

// contract joins what a wiring joins for good, or returns false if there is a terminal
// that the wiring before the fix did not have.
func (s *screen) contract(spec *wiring.Spec) (*still, bool) {
	landings, splices, ok := s.numbers(spec)
	if !ok {
		return nil, false
	}
	sets := unionfind.New(len(s.m.terms))
	for _, list := range [][][]int32{landings, splices} {
		for _, terms := range list {
			for _, t := range terms[1:] {
				sets.Union(terms[0], t)
			}
		}
	}
	for i := range s.m.wires {
		if w := &s.m.wires[i]; !slices.Contains(spec.Opens, w.Wire) {
			sets.Union(w.term[0], w.term[1])
		}
	}
	c := &still{s: s, seen: map[shining][2]bool{}}
	var count int
	c.of, count = sets.Number()
	c.rails = make([]dense.Rails, count)
	for _, r := range s.rails {
		c.rails[c.of[r.term]] |= r.rail
	}
	c.parent, c.label = make([]int32, count), make([]dense.Rails, count)
	return c, true
}

// toggles reports whether a light is lit in one state of a probe and not in the other, or
// whether that cannot be said because rails are joined.
func (c *still) toggles(x *probe) bool {
	from, known := c.lit(x.from, x.ends)
	to, known2 := c.lit(x.to, x.ends)
	return from != to || !known || !known2
}

// lit reports whether a light is lit in a state, and false if rails are joined at it.
func (c *still) lit(positions []uint8, ends [2]int32) (lit, known bool) {
	if len(positions) == 0 {
		return true, true // nothing moves
	}
	at := shining{&positions[0], ends}
	if is, ok := c.seen[at]; ok {
		return is[0], is[1]
	}
	defer func() { c.seen[at] = [2]bool{lit, known} }()
	if !bytes.Equal(c.positions, positions) {
		c.put(positions)
	}
	a, b := c.label[c.find(c.of[ends[0]])], c.label[c.find(c.of[ends[1]])]
	return a != 0 && b != 0 && a.Potentials() != b.Potentials(), !a.Conflict() && !b.Conflict()
}

// put closes the contacts of a state.
func (c *still) put(positions []uint8) {
	c.positions = positions
	for i := range c.parent {
		c.parent[i] = int32(i)
	}
	copy(c.label, c.rails)
	for i, d := range c.s.devices {
		for _, j := range d.kind.Joins[positions[i]] {
			if a, b := c.find(c.of[d.terms[j[0]]]), c.find(c.of[d.terms[j[1]]]); a != b {
				c.parent[b] = a
				c.label[a] |= c.label[b]
			}
		}
	}
}

func (c *still) find(i int32) int32 {
	for c.parent[i] != i {
		c.parent[i] = c.parent[c.parent[i]]
		i = c.parent[i]
	}
	return i
}
