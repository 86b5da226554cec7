package netgen

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"example.com/switchleg/switchnet"
)

// A Spec lists the declarations of a net, so that it can be built again in
// another order. Every spec of this package builds without error.
type Spec struct {
	Source     switchnet.Source
	Devices    []switchnet.Device
	Loads      []switchnet.Load
	Points     []switchnet.Terminal
	Conductors []switchnet.Conductor
	Splices    []switchnet.Splice
}

// Builder returns a builder with everything declared. Seed 0 declares in the
// order of the lists; any other seed declares in an order drawn from it, turns
// some conductors end for end and lists the terminals of splices in another
// order. None of that may change an answer.
func (s *Spec) Builder(seed uint64) *switchnet.Builder {
	var b switchnet.Builder
	r := rand.New(rand.NewPCG(seed, 1))
	var declare []func()
	add := func(f func()) { declare = append(declare, f) }
	add(func() { b.Source(s.Source) })
	for _, d := range s.Devices {
		add(func() { b.Device(d.Place, d.Name, d.Kind) })
	}
	for _, l := range s.Loads {
		add(func() { b.Load(l) })
	}
	for _, p := range s.Points {
		add(func() { b.Point(p) })
	}
	for _, c := range s.Conductors {
		if seed != 0 && r.IntN(2) == 1 {
			c.From, c.To = c.To, c.From
		}
		add(func() { b.Conductor(c.Name, c.From, c.To) })
	}
	for _, sp := range s.Splices {
		joins := append([]switchnet.Terminal(nil), sp.Joins...)
		if seed != 0 {
			r.Shuffle(len(joins), func(i, j int) { joins[i], joins[j] = joins[j], joins[i] })
		}
		add(func() { b.Splice(sp.Place, sp.Name, joins...) })
	}
	if seed != 0 {
		r.Shuffle(len(declare), func(i, j int) { declare[i], declare[j] = declare[j], declare[i] })
	}
	for _, f := range declare {
		f()
	}
	return &b
}

// Build returns the net declared in the order of the lists.
func (s *Spec) Build() (*switchnet.Net, error) { return s.Builder(0).Build() }

// String lists the declarations, one a line, for the log of a failed test.
func (s *Spec) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "source %v, %s\n", s.Source.Ref, s.Source.System.Name)
	for _, d := range s.Devices {
		fmt.Fprintf(&b, "device %v: %s", d.Ref, d.Kind.Name)
		if strings.HasPrefix(d.Kind.Name, "custom") {
			fmt.Fprintf(&b, " %v", d.Kind.Positions)
		}
		b.WriteByte('\n')
	}
	for _, l := range s.Loads {
		fmt.Fprintf(&b, "load %v between %v and %v\n", l.Ref, l.Terminals()[0], l.Terminals()[1])
	}
	for _, c := range s.Conductors {
		fmt.Fprintf(&b, "conductor %s from %v to %v\n", c.Name, c.From, c.To)
	}
	for _, sp := range s.Splices {
		fmt.Fprintf(&b, "splice %v of %v\n", sp.Ref, sp.Joins)
	}
	return b.String()
}

// GoString is String, so that rapid shows a net it found in words.
func (s *Spec) GoString() string { return "\n" + s.String() }
