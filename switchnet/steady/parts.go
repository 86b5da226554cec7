package steady

import (
	"cmp"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// added puts in the branches and sources of the options.
func (x *building) added() {
	names := map[string]bool{}
	name := func(where, n string) bool {
		if n == "" {
			x.errs.add(where, "has no name")
			return false
		}
		if names[n] {
			x.errs.add(where, "is called %q, as another branch or source is", n)
		}
		names[n] = true
		return true
	}
	land := func(where string, from, to switchnet.Terminal) bool {
		ok := true
		for _, t := range []switchnet.Terminal{from, to} {
			if _, has := x.nw.number[t]; !has {
				x.errs.add(where, "lands on %q, which the wiring does not have", t.String())
				ok = false
			}
		}
		if ok && from == to {
			x.errs.add(where, "runs from %q to itself", from.String())
			ok = false
		}
		return ok
	}
	for i := range x.opt.Branches {
		b := &x.opt.Branches[i]
		where := fmt.Sprintf("Options.Branches[%d]", i)
		if !name(where, b.Name) || !land(where, b.From, b.To) {
			continue
		}
		z := complex(b.Resistance.Ohms(), b.Reactance.Ohms())
		switch {
		case b.Resistance < 0:
			x.errs.add(where, "has resistance %s; write one of zero or above", b.Resistance)
		case z == 0:
			x.joins.join(x.element(b.From), x.element(b.To), "branch "+b.Name)
		default:
			x.edge(x.element(b.From), x.element(b.To), 1/z)
		}
	}
	for i := range x.opt.Sources {
		s := &x.opt.Sources[i]
		where := fmt.Sprintf("Options.Sources[%d]", i)
		if !name(where, s.Name) || !land(where, s.From, s.To) {
			continue
		}
		if s.Impedance <= 0 || s.Volts <= 0 || !(math.Abs(s.Degrees) <= 360) {
			x.errs.add(where, "has %s, impedance %s and angle %g; write a voltage and an impedance above zero and an angle within 360 degrees", s.Volts, s.Impedance, s.Degrees)
			continue
		}
		at := x.edge(x.element(s.From), x.element(s.To), complex(1/s.Impedance.Ohms(), 0))
		x.edges[at].emf = cmplx.Rect(s.Volts.Volts(), s.Degrees*math.Pi/180)
	}
}

// switches makes the contacts of every device.
func (x *building) switches() {
	kinds := map[string]int32{}
	for d := range x.net.Devices() {
		k, ok := kinds[d.Kind.Name]
		if !ok {
			k = int32(len(x.nw.contacts))
			kinds[d.Kind.Name] = k
			x.nw.contacts = append(x.nw.contacts, x.contacts(&d.Kind))
		}
		c := &x.nw.contacts[k]
		part := devicePart{ref: d.Ref, kind: k, first: int32(len(x.edges))}
		for _, p := range c.pairs {
			x.edge(x.element(d.Terminal(d.Kind.Terminals[p[0]])), x.element(d.Terminal(d.Kind.Terminals[p[1]])), 0)
		}
		x.nw.devices = append(x.nw.devices, part)
	}
}

func (x *building) contacts(k *switchnet.Kind) contactKind {
	ohms := cmp.Or(x.opt.Contact, TypicalContact)
	if k.Breaker {
		ohms = cmp.Or(x.opt.Breaker, TypicalContact)
	}
	c := contactKind{y: complex(1/ohms.Ohms(), 0)}
	if k.Electronic && x.opt.Leak > 0 {
		c.leak = complex(1/x.opt.Leak.Ohms(), 0)
	}
	// The terminals of a group are joined one to the next in the order of the
	// kind, so that there is no loop of contacts.
	joined := make([][][2]int32, len(k.Positions))
	for p, position := range k.Positions {
		for _, group := range position.Joins {
			at := make([]int32, len(group))
			for i, name := range group {
				at[i] = int32(slices.Index(k.Terminals, name))
			}
			slices.Sort(at)
			for i := 1; i < len(at); i++ {
				pair := [2]int32{at[i-1], at[i]}
				joined[p] = append(joined[p], pair)
				if !slices.Contains(c.pairs, pair) {
					c.pairs = append(c.pairs, pair)
				}
			}
		}
	}
	for _, pairs := range joined {
		closed := make([]bool, len(c.pairs))
		for i, pair := range c.pairs {
			closed[i] = slices.Contains(pairs, pair)
		}
		c.closed = append(c.closed, closed)
	}
	return c
}

// lights makes the loads.
func (x *building) lights() {
	stated := map[switchnet.Ref]*wiring.Light{}
	for i := range x.spec.Lights {
		l := &x.spec.Lights[i]
		stated[switchnet.Ref{Place: l.Box, Name: l.Name}] = l
	}
	nominal := x.net.Source().System.LineToNeutral
	for l := range x.net.Loads() {
		load, given := x.opt.Loads[l.Ref]
		light := stated[l.Ref]
		if !given && light != nil {
			load = Load{Kind: light.Kind, PowerFactor: light.PowerFactor, Leakage: light.Leakage, TurnOn: light.TurnOn}
		}
		if !given {
			load.Kind = cmp.Or(load.Kind, Resistive)
		}
		if light != nil {
			load.Power = cmp.Or(load.Power, light.Power, x.opt.UnknownPower)
			load.Volts = cmp.Or(load.Volts, light.Volts, nominal)
		} else {
			load.Power = cmp.Or(load.Power, TypicalInternal)
			load.Volts = cmp.Or(load.Volts, nominal)
		}
		where := "load " + l.Ref.String()
		if load.Power == 0 {
			x.errs.add(where, "states no power; write it, or set Options.UnknownPower")
			continue
		}
		m, wrong := load.compile()
		for _, w := range wrong {
			x.errs.add(where, "%s", w)
		}
		ends := l.Terminals()
		driver := m.kind == Electronic
		if inside, ok := x.net.Device(switchnet.Ref{Place: l.Place, Name: l.On}); light == nil && ok {
			driver = driver || inside.Kind.Electronic
		}
		x.nw.drivers = x.nw.drivers || driver
		x.nw.loads = append(x.nw.loads, loadPart{ref: l.Ref, model: m, driver: driver, ends: ends, branch: x.edge(x.element(ends[0]), x.element(ends[1]), 0)})
	}
	var strangers []switchnet.Ref
	for r := range x.opt.Loads {
		if _, ok := x.net.Load(r); !ok {
			strangers = append(strangers, r)
		}
	}
	slices.SortFunc(strangers, switchnet.Ref.Compare)
	for _, r := range strangers {
		x.errs.add("Options.Loads", "names %q, which the wiring does not have", r.String())
	}
	var ends []wiring.End
	for e, r := range x.opt.Loose {
		if !x.loose[e] || r < 0 {
			ends = append(ends, e)
		}
	}
	slices.SortFunc(ends, func(a, b wiring.End) int {
		return cmp.Or(cmp.Compare(a.Box, b.Box), cmp.Compare(a.Wire.String(), b.Wire.String()))
	})
	for _, e := range ends {
		x.errs.add("Options.Loose", "names %s in box %s with %s; name a wire that is spliced or landed there, and a resistance of zero or above", e.Wire, e.Box, x.opt.Loose[e])
	}
}

// check reports fields of the options that are wrong in themselves.
func (o *Options) check(errs *Errors) {
	if o.Frequency < 0 || o.Frequency > 1000*Hertz {
		errs.add("Options.Frequency", "is %d mHz; write one above zero and up to 1000 Hz", o.Frequency)
	}
	if o.Service.FaultCurrent < 0 || o.Service.Reactive < 0 || o.Service.Electrode < 0 {
		errs.add("Options.Service", "has a value below zero")
	}
	for _, f := range []struct {
		name  string
		value quantity.Resistance
	}{{"Contact", o.Contact}, {"Breaker", o.Breaker}, {"Splice", o.Splice}, {"Landing", o.Landing}, {"Leak", o.Leak}} {
		if f.value < 0 {
			errs.add("Options."+f.name, "is %s; write a resistance of zero or above", f.value)
		}
	}
	if o.Coupling.Between < 0 || o.Coupling.ToGround < 0 {
		errs.add("Options.Coupling", "has a capacitance below zero")
	}
	if o.UnknownPower < 0 || o.UnknownLength < 0 {
		errs.add("Options.UnknownPower and UnknownLength", "may not be below zero")
	}
	if o.Curve != nil && o.Curve.Multiple <= 0 {
		errs.add("Options.Curve", "has a multiple that is not above zero")
	}
}
