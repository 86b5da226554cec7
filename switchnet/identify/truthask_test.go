package identify_test

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// obeys reports whether moving a handle changes the lights from every state.
func (d *truth) obeys(control, box string) bool {
	w, err := wiring.New(d.spec)
	if err != nil {
		d.t.Fatal(err)
	}
	net, solver := w.Net(), w.Net().NewSolver()
	ref := switchnet.Ref{Place: box, Name: control}
	lit := func(s switchnet.State) string {
		v, err := solver.Solve(s)
		if err != nil {
			d.t.Fatal(err)
		}
		out := ""
		for l, x := range v.Supplies() {
			if slices.ContainsFunc(d.controls, func(c identify.Control) bool { return c.Name == control && !slices.Contains(c.Lights, l.Name) }) {
				continue
			}
			out += fmt.Sprint(x, ";")
		}
		return out
	}
	states := []switchnet.State{net.Rest()}
	for dev := range net.Devices() {
		if dev.Kind.Breaker {
			continue
		}
		for _, s := range slices.Clone(states) {
			more, err := s.With(dev.Ref, dev.Kind.Positions[1].Name)
			if err != nil {
				d.t.Fatal(err)
			}
			states = append(states, more)
		}
	}
	dev, ok := net.Device(ref)
	if !ok {
		return false // nothing is left of that place
	}
	for _, s := range states {
		up, _ := s.With(ref, dev.Kind.Positions[0].Name)
		down, _ := s.With(ref, dev.Kind.Positions[1].Name)
		if lit(up) == lit(down) {
			return false
		}
	}
	return true
}

// answer answers a test.
func (d *truth) answer(s *identify.Session, t identify.Test) identify.Observation {
	switch t.Kind {
	case identify.AskObeys:
		return identify.Obeys{Control: t.Control, Box: t.Box, Does: d.obeys(t.Control, t.Box)}
	case identify.LookInBox:
		return d.inBox(s, t.Box)
	case identify.DeadTest:
		o := identify.Continuity{Between: t.Between, Tied: t.Tied}
		o.Found = d.path(s, o)
		return o
	}
	return identify.Reading{Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance, Shows: d.volts(s, t), Off: t.Off, Tied: t.Tied}
}

// follow does and answers truthfully what a session proposes, so many tests at most, and
// returns how far it has come.
func (d *truth) follow(s *identify.Session, most int) trace.Status {
	status := trace.Searching
	for range most {
		a, err := s.Next(d.t.Context())
		if err != nil {
			d.t.Fatal(err)
		}
		if status = a.Status; status != trace.Searching {
			break
		}
		for _, b := range a.Test.Before {
			do(d.t, s, b.Do, b.Box)
		}
		a.Test.Before = nil
		if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
			d.t.Fatal(err)
		}
	}
	return status
}
