package lab

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// bench is a wiring, with handles, that answers what is asked of it: lights by
// connectivity, meters by the electrical solve.
type bench struct {
	w       *wiring.Wiring
	table   *conductor.Table
	solver  *switchnet.Solver
	problem *steady.Problem // nil until a meter is used
	inside  map[switchnet.Ref]bool
}

// unknownLength is what stands in for the length of a cable that is not known. A few
// meters more or less change no reading of practice wiring.
const unknownLength = 10 * quantity.Meter

func newBench(w *wiring.Wiring, table *conductor.Table) *bench {
	b := &bench{w: w, table: table, solver: w.Net().NewSolver(), inside: map[switchnet.Ref]bool{}}
	for d := range w.Net().Devices() {
		for _, l := range d.Kind.Internal {
			b.inside[switchnet.Ref{Place: d.Place, Name: d.Name + " " + l.Name}] = true
		}
	}
	return b
}

// state returns the state for handles, by number of their positions; a device of
// another kind that has fewer starts again from its first.
func (b *bench) state(handles map[switchnet.Ref]int, breakers bool) switchnet.State {
	s := b.w.Net().Rest()
	for d := range b.w.Net().Devices() {
		name := ""
		switch n, ok := handles[d.Ref]; {
		case ok:
			name = d.Kind.Positions[n%len(d.Kind.Positions)].Name
		case d.Kind.Breaker && !breakers:
			name = "off"
		default:
			continue
		}
		// The device and its position are those of the net.
		s, _ = s.With(d.Ref, name)
	}
	return s
}

// view solves a state. It is good until the next one.
func (b *bench) view(s switchnet.State) *switchnet.View {
	v, err := b.solver.Solve(s)
	if err != nil {
		panic(fmt.Sprintf("lab: a state of another net: %v", err))
	}
	return v
}

// look returns what the lights do, in name order, and whether the breaker opens.
func (b *bench) look(handles map[switchnet.Ref]int) (lights []trace.Seen, tripped bool) {
	v := b.view(b.state(handles, true))
	if v.Shorted() {
		return nil, true
	}
	for r, s := range v.Supplies() {
		if b.inside[r] {
			continue
		}
		lights = append(lights, trace.Seen{Light: r, Glow: glowOf(s, b.w.Spec().Supply.LineToNeutral)})
	}
	return lights, false
}

// glowOf returns what a light is seen to do on a supply with volts to the neutral.
func glowOf(s switchnet.Supply, nominal quantity.Voltage) trace.Glow {
	switch {
	case s.Status == switchnet.Lit && s.Volts > nominal:
		return trace.Bright
	case s.Status == switchnet.Lit:
		return trace.Lit
	case s.Status == switchnet.Dim:
		return trace.Dim
	}
	return trace.Dark
}

// touchable reports metal that a hand can touch and a line reaches: a grounding
// terminal of a device, light or box.
func (b *bench) touchable(handles map[switchnet.Ref]int) (switchnet.Terminal, bool) {
	for t, c := range b.view(b.state(handles, true)).Hazards() {
		if t.Name == "ground" && !c.Rails.Lines().Empty() {
			return t, true
		}
	}
	return switchnet.Terminal{}, false
}

// live reports whether anything in a box is.
func (b *bench) live(box string, s switchnet.State) bool {
	for t, c := range b.view(s).Hazards() {
		if t.Place == box && !b.ahead(t) && c.Hazardous() {
			return true
		}
	}
	return false
}

// ahead reports whether a terminal is on the line side of a breaker, which is under a
// cover of its own.
func (b *bench) ahead(t switchnet.Terminal) bool {
	d, ok := b.w.Net().Device(t.Owner())
	return ok && d.Kind.Breaker && slices.Contains(d.Kind.Terminals, t.Name) && len(t.Name) >= 4 && t.Name[:4] == "line"
}

func (b *bench) electric() (*steady.Problem, error) {
	if b.problem == nil {
		p, err := steady.New(b.w, b.table, &steady.Options{UnknownLength: unknownLength})
		if err != nil {
			return nil, fmt.Errorf("lab: the practice wiring has no electrical model: %w", err)
		}
		b.problem = p
	}
	return b.problem, nil
}

// volts returns what a tester that loads the circuit shows.
func (b *bench) volts(handles map[switchnet.Ref]int, on bool, red, black switchnet.Terminal) (quantity.Voltage, error) {
	p, err := b.electric()
	if err != nil {
		return 0, err
	}
	s, err := p.Solve(b.state(handles, on))
	if err != nil {
		return 0, err
	}
	r, err := s.Read(steady.Meter{Kind: steady.LowImpedance}, steady.Probes{Red: red, Black: black})
	if err != nil {
		return 0, err
	}
	return r.Shows, nil
}

// reference reports whether a known live source over a point shows its volts.
func (b *bench) reference(handles map[switchnet.Ref]int, on bool, point switchnet.Terminal) (bool, error) {
	nominal := b.w.Spec().Supply.LineToNeutral
	v, err := b.volts(handles, on, switchnet.Terminal{Device: "service", Name: switchnet.LineA.String()}, point)
	return v > nominal*7/10, err
}

// ohms returns what an ohmmeter finds with everything off.
func (b *bench) ohms(handles map[switchnet.Ref]int, from, to switchnet.Terminal) (trace.Path, error) {
	p, err := b.electric()
	if err != nil {
		return 0, err
	}
	s, err := p.Solve(b.state(handles, false))
	if err != nil {
		return 0, err
	}
	r, err := s.Ohms(steady.Probes{Red: from, Black: to})
	switch {
	case err != nil:
		return 0, err
	case r.Open:
		return trace.Open, nil
	case r.Resistance > 20*quantity.Ohm:
		return trace.Through, nil
	}
	return trace.Joined, nil
}
