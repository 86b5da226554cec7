package nettest

import (
	"slices"

	"example.com/switchleg/switchnet"
)

// rig is a device on a bench.
type rig struct {
	device switchnet.Ref
	source switchnet.Source
}

func newRig() rig {
	return rig{
		device: switchnet.Ref{Place: "bench", Name: "device"},
		source: switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()},
	}
}

// build returns the device alone, with line A on a terminal unless it is "".
func (g rig) build(k switchnet.Kind, fed string) (*switchnet.Net, error) {
	var b switchnet.Builder
	b.Source(g.source)
	b.Device(g.device.Place, g.device.Name, k)
	if fed != "" {
		b.Conductor("feed", g.source.Rail(switchnet.LineA), g.device.Terminal(fed))
	}
	return b.Build()
}

// behaviour checks that a device of the kind does in a net what the kind says,
// and that it makes no difference in which order terminals and groups are listed.
func (r *Report) behaviour(k switchnet.Kind) {
	says := func(position, a, b string) bool {
		p, _ := k.Position(position)
		return joins(k.Positions[p], a, b)
	}
	r.meter(k, "", says)
	other := k.Clone()
	other.Name += " relabelled"
	slices.Reverse(other.Terminals)
	for _, p := range other.Positions {
		slices.Reverse(p.Joins)
		for _, group := range p.Joins {
			slices.Reverse(group)
		}
	}
	r.meter(other, "listed in another order, ", says)
}

// meter puts a device of the kind in a net and compares every two terminals in
// every position with what says says: dead, by continuity, and live, with a line
// on the one and a look at the other.
func (r *Report) meter(k switchnet.Kind, how string, says func(position, a, b string) bool) {
	g := newRig()
	for _, fed := range slices.Concat([]string{""}, k.Terminals) {
		net, err := g.build(k, fed)
		if err != nil {
			r.fault("%scannot be put in a net: %v", how, err)
			return
		}
		solver := net.NewSolver()
		states, _, err := net.States(&switchnet.StatesOptions{Vary: []switchnet.Ref{g.device}})
		if err != nil {
			r.fault("%shas no states: %v", how, err)
			return
		}
		for s := range states {
			position, _ := s.Position(g.device)
			v, err := solver.Solve(s)
			if err != nil {
				r.fault("%sin position %q cannot be solved: %v", how, position, err)
				return
			}
			if fed == "" {
				r.continuity(k, v, position, how, says)
				continue
			}
			for _, t := range k.Terminals {
				c, _ := v.Condition(g.device.Terminal(t))
				if got, want := c.Rails.Has(switchnet.LineA), says(position, fed, t); got != want {
					r.fault("%sin position %q, with a line on %q, %q is %v, and the kind says joined: %v", how, position, fed, t, c, want)
				}
			}
		}
	}
}

func (r *Report) continuity(k switchnet.Kind, v *switchnet.View, position, how string, says func(position, a, b string) bool) {
	device := newRig().device
	for i, a := range k.Terminals {
		for _, b := range k.Terminals[:i] {
			if got, want := v.Joined(device.Terminal(a), device.Terminal(b)), says(position, a, b); got != want {
				r.fault("%sin position %q, continuity between %q and %q is %v, and the kind says %v", how, position, b, a, got, want)
			}
		}
	}
}
