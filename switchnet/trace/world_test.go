package trace_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// world is a house with something wrong in it, its handles mounted this way or that. It
// answers every question from the wiring itself, by package switchnet and, for meters,
// by the electrical solve of package steady, and knows nothing of package trace.
type world struct {
	tb       failer
	w        *wiring.Wiring
	drawn    *wiring.Wiring         // as the positions of switches are called
	handles  map[switchnet.Ref]bool // mounted the other way up
	solver   *switchnet.Solver
	problem  *steady.Problem
	liftedTo *world
}

func newWorld(tb failer, w *wiring.Wiring, edits []wiring.Edit, over map[switchnet.Ref]bool) *world {
	tb.Helper()
	drawn := w
	if len(edits) > 0 {
		var err error
		if w, err = w.Apply(edits...); err != nil {
			tb.Fatal(err)
		}
	}
	return &world{tb: tb, w: w, drawn: drawn, handles: over, solver: w.Net().NewSolver()}
}

// state returns the true state behind handles as they are called.
func (d *world) state(at trace.Setting, breakers bool) switchnet.State {
	d.tb.Helper()
	s := d.w.Net().Rest()
	for _, h := range at {
		// The kind in the place may be another, whose positions are called otherwise.
		dev, _ := d.w.Net().Device(h.Switch)
		meant, _ := d.drawn.Net().Device(h.Switch)
		n, ok := meant.Kind.Position(h.Position)
		if !ok {
			d.tb.Fatalf("%s has no position %q", h.Switch, h.Position)
		}
		if d.handles[h.Switch] {
			n = 1 - n
		}
		var err error
		if s, err = s.With(h.Switch, dev.Kind.Positions[n].Name); err != nil {
			d.tb.Fatal(err)
		}
	}
	if !breakers {
		for dev := range d.w.Net().Devices() {
			if dev.Kind.Breaker {
				s, _ = s.With(dev.Ref, "off")
			}
		}
	}
	return s
}

func (d *world) saw(at trace.Setting, of []switchnet.Ref) trace.Saw {
	d.tb.Helper()
	v, err := d.solver.Solve(d.state(at, true))
	if err != nil {
		d.tb.Fatal(err)
	}
	out := trace.Saw{At: at}
	if v.Shorted() {
		out.Tripped = true
		return out
	}
	for _, r := range of {
		s, _ := v.Supply(r)
		glow := trace.Dark
		switch {
		case s.Status == switchnet.Lit && s.Volts > 200*quantity.Volt:
			glow = trace.Bright
		case s.Status == switchnet.Lit:
			glow = trace.Lit
		case s.Status == switchnet.Dim:
			glow = trace.Dim
		}
		out.Lights = append(out.Lights, trace.Seen{Light: r, Glow: glow})
	}
	return out
}

// inUse reports whether the breaker opens in any setting.
func (d *world) inUse() trace.InUse {
	states, _, err := d.w.Net().States(nil)
	if err != nil {
		d.tb.Fatal(err)
	}
	for s := range states {
		v, err := d.solver.Solve(s)
		if err != nil {
			d.tb.Fatal(err)
		}
		if v.Shorted() {
			return trace.InUse{Tripped: true}
		}
	}
	return trace.InUse{}
}

func (d *world) electric() *steady.Problem {
	d.tb.Helper()
	if d.problem == nil {
		var err error
		if d.problem, err = steady.New(d.w, &region(d.tb, "us-2023").Conductor, &steady.Options{UnknownLength: 20 * quantity.Foot}); err != nil {
			d.tb.Fatal(err)
		}
	}
	return d.problem
}

// lifted returns the world with every neutral off the bar.
func (d *world) lifted() *world {
	if d.liftedTo == nil {
		w := d.w
		for _, f := range d.w.Spec().Feeds {
			if v, err := w.Apply(wiring.ClearTerminal{Of: switchnet.Ref{Place: f.Box, Name: f.Name}, Terminal: "neutral"}); err == nil {
				w = v
			}
		}
		d.liftedTo = newWorld(d.tb, w, nil, d.handles)
		d.liftedTo.drawn = d.drawn
	}
	return d.liftedTo
}

// ohms returns what an ohmmeter finds with everything off.
func (d *world) ohms(o trace.Continuity) trace.Continuity {
	d.tb.Helper()
	if o.Lifted {
		in := o
		in.Lifted = false
		o.Found = d.lifted().ohms(in).Found
		return o
	}
	s, err := d.electric().Solve(d.state(o.At, false))
	if err != nil {
		d.tb.Fatal(err)
	}
	r, err := s.Ohms(steady.Probes{Red: o.Between[0], Black: o.Between[1]})
	switch {
	case err != nil:
		d.tb.Fatal(err)
	case r.Live:
		d.tb.Fatalf("%v: live with everything off", o)
	case r.Open:
		o.Found = trace.Open
	case r.Resistance > 20*quantity.Ohm:
		o.Found = trace.Through
	default:
		o.Found = trace.Joined
	}
	return o
}

// reads returns what a loaded tester shows.
func (d *world) reads(o trace.Reading) trace.Reading {
	d.tb.Helper()
	s, err := d.electric().Solve(d.state(o.At, true))
	if err != nil {
		d.tb.Fatal(err)
	}
	r, err := s.Read(steady.Meter{Kind: o.Meter}, steady.Probes{Red: o.Red, Black: o.Black})
	if err != nil {
		d.tb.Fatal(err)
	}
	o.Shows = r.Shows
	return o
}

// references returns whether a known live source over the point shows its volts: the
// point is on the neutral or the ground, or on another line.
func (d *world) references(o trace.Reference) trace.Reference {
	d.tb.Helper()
	s, err := d.electric().Solve(d.state(o.At, true))
	if err != nil {
		d.tb.Fatal(err)
	}
	service := switchnet.Terminal{Device: "service", Name: "line A"}
	r, err := s.Read(steady.Meter{Kind: steady.LowImpedance}, steady.Probes{Red: service, Black: o.Point})
	if err != nil {
		d.tb.Fatal(err)
	}
	o.Shown = r.Shows > 85*quantity.Volt
	return o
}

// everyLight lists the lights of a wiring in name order.
func everyLight(w *wiring.Wiring) []switchnet.Ref {
	var out []switchnet.Ref
	for _, l := range w.Spec().Lights {
		out = append(out, switchnet.Ref{Place: l.Box, Name: l.Name})
	}
	slices.SortFunc(out, switchnet.Ref.Compare)
	return out
}

// settings lists every setting of the switches of a wiring.
func settings(tb testing.TB, w *wiring.Wiring) []trace.Setting {
	tb.Helper()
	states, _, err := w.Net().States(nil)
	if err != nil {
		tb.Fatal(err)
	}
	var out []trace.Setting
	for s := range states {
		var at trace.Setting
		for d := range w.Net().Devices() {
			if !d.Kind.Breaker && len(d.Kind.Positions) > 1 {
				p, _ := s.Position(d.Ref)
				at = append(at, trace.Handle{Switch: d.Ref, Position: p})
			}
		}
		out = append(out, at)
	}
	return out
}

// failer is what tests and drawn laws have in common.
type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}
