package wiring

import (
	"errors"
	"slices"
	"strings"
	"sync"

	"example.com/switchleg/switchnet"
)

// A Wiring is a job that contradicts itself nowhere. It is immutable and safe for
// concurrent use. Make one with [New]; a variation is made by [Wiring.Apply], or
// from [Wiring.Spec].
type Wiring struct {
	spec Spec
	idx  *index
	net  *switchnet.Net

	// Made at first need.
	metalOnce, placesOnce sync.Once
	metal                 *metal
	places                map[string]*place
}

// Check returns nil for a wiring that [New] or [Wiring.Apply] made, and an error for
// nil and for the zero Wiring, which are none and may be asked nothing else.
func (w *Wiring) Check() error {
	if w == nil || w.net == nil {
		return errors.New("wiring: there is none; wiring.New makes one from a Spec")
	}
	return nil
}

// New returns the wiring that a Spec describes, or everything that contradicts
// itself in it as [Problems]. The Spec is copied. Time is linear in its size but for
// sorting.
func New(spec Spec) (*Wiring, error) { return build(spec.Clone()) }

// build returns the wiring of a Spec that nobody else holds.
func build(spec Spec) (*Wiring, error) {
	w := &Wiring{spec: spec}
	var problems Problems
	w.idx, problems = newIndex(&w.spec)
	if len(problems) > 0 {
		return nil, problems
	}
	net, err := w.build()
	if err != nil {
		// What the index lets through and the net refuses would be a mistake
		// of this package; say so rather than hide it.
		return nil, err
	}
	w.net = net
	return w, nil
}

// Spec returns a copy of the data the wiring was made from, lists in the order in
// which they were given.
func (w *Wiring) Spec() Spec { return w.spec.Clone() }

// Net returns the circuit. Its places are the boxes; a wire's end is the terminal
// {box, cable, conductor}, see [Wire.In]; an end whose box is not known is in the
// place [UnknownPlace]. Devices, lights and feeds have their own names; the source
// is "service" in no place; the grounding screw of a metal box is "ground" of "box".
// The wires are conductors under the names [Wire.String] gives them; how landings,
// splices and ties are called is for reading and not stable.
func (w *Wiring) Net() *switchnet.Net { return w.net }

// service is the supply.
var service = switchnet.Ref{Name: "service"}

// UnknownPlace is the place of a wire's end whose box is not known, for the cable
// of the given name. No box can be called so.
func UnknownPlace(cable string) string { return "unknown end of " + cable }

// ends returns the places of the two ends of a cable.
func (c *Cable) ends() [2]string {
	if c.To == "" {
		return [2]string{c.From, UnknownPlace(c.Name)}
	}
	return [2]string{c.From, c.To}
}

// in returns the terminal of a joint in a box.
func (j Joint) in(box string) switchnet.Terminal {
	if j.Device != "" {
		return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
	}
	return j.Wire.In(box)
}

// In returns the terminal that stands for the wire's end in a box.
func (w Wire) In(box string) switchnet.Terminal {
	return switchnet.Terminal{Place: box, Device: w.Cable, Name: w.Conductor}
}

// ref returns the name of the light.
func (l *Light) ref() switchnet.Ref { return switchnet.Ref{Place: l.Box, Name: l.Name} }

// ref returns the name of the device.
func (d *Device) ref() switchnet.Ref { return switchnet.Ref{Place: d.Box, Name: d.Name} }

// ref returns the name of the feed.
func (f *Feed) ref() switchnet.Ref { return switchnet.Ref{Place: f.Box, Name: f.Name} }

// poles returns the lines of the poles.
func (f *Feed) poles() []switchnet.Rail {
	if len(f.Lines) > 0 {
		return f.Lines
	}
	all := []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC}
	return all[:min(max(f.Poles, 1), 3)]
}

// Hots returns the names of the terminals of its poles, in their order.
func (f Feed) Hots() []string {
	n := len(f.poles())
	names := make([]string, n)
	for i := range names {
		names[i] = hot(i, n)
	}
	return names
}

// hot returns the name of the feed's terminal for pole i of n.
func hot(i, n int) string {
	if n == 1 {
		return "hot"
	}
	return "hot " + string(rune('1'+i))
}

// feedKind returns the breaker of a feed: as switchnet.Breaker, its load terminals
// called hot.
func feedKind(poles int) switchnet.Kind {
	k := switchnet.Breaker(poles)
	k.Name = "feed " + k.Name
	rename := func(s string) string { return strings.Replace(s, "load", "hot", 1) }
	for i, t := range k.Terminals {
		k.Terminals[i] = rename(t)
	}
	for _, p := range k.Positions {
		for _, g := range p.Joins {
			for i, t := range g {
				g[i] = rename(t)
			}
		}
	}
	return k
}

// isFeedKind reports whether the kind of some feed has the name.
func isFeedKind(name string) bool {
	return slices.ContainsFunc([]int{1, 2, 3}, func(poles int) bool { return feedKind(poles).Name == name })
}
