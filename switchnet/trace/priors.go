package trace

import (
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// Priors say how likely faults are before anything is known, in relative numbers.
// They are judgement and not measurement; a trade that keeps records has better ones.
type Priors struct {
	// Right is the weight of nothing being wrong. At zero something is.
	Right int
	// Kinds are the weights of the kinds of fault, each spread evenly over the faults
	// of that kind, but for a device in the place of one with fewer terminals, such as a
	// four-way in that of a three-way, which has a fifth of its part; a kind that is not listed has weight 1. Zero is kept off the
	// list: what is to be left out is left out of Options.Faults.
	Kinds map[miswire.Kind]int
	// Replaced lists devices that were lately replaced or worked on, and Factor by
	// how much a fault at one of their screws is then likelier, or that it is a device of
	// another kind; 0 means 10. That its contacts are worn or that it is stuck is no
	// likelier than of any other device: a new one is not worn, and whoever moves wires at
	// an old one does not wear its contacts.
	Replaced []switchnet.Ref
	Factor   int
}

// DefaultPriors returns the weights that stand in where none are given.
func DefaultPriors() Priors {
	return Priors{Right: 20, Kinds: map[miswire.Kind]int{
		miswire.TerminalsExchanged: 30, miswire.PairsCrossed: 15, miswire.PolarityReversed: 3,
		miswire.WiresExchanged: 5, miswire.LandedWrong: 10, miswire.SpliceOpened: 10,
		miswire.SplicedWrong: 4, miswire.OtherNeutral: 4, miswire.ConductorCut: 5,
		miswire.GroundOpened: 4, miswire.GroundUsed: 2, miswire.Tied: 4, miswire.ContactDead: 10,
		miswire.ContactWelded: 2, miswire.DeviceStuck: 3, miswire.WrongDevice: 10,
		miswire.TabLeftIn: 5, miswire.TabBroken: 3,
	}}
}

// WornPriors returns the weights for a wiring that obeyed every switch until it stopped,
// no box having been opened since: what comes loose, burns, wears or is driven through
// by a nail goes far before what only a hand can do. That stays possible, for people
// forget or do not say what was done.
func WornPriors() Priors {
	return Priors{Right: 5, Kinds: map[miswire.Kind]int{
		miswire.ContactDead: 300, miswire.SpliceOpened: 300, miswire.ConductorCut: 100,
		miswire.DeviceStuck: 100, miswire.ContactWelded: 60, miswire.Tied: 60,
		miswire.GroundOpened: 40,
	}}
}

// weights returns the prior weight of every fault of a list of a job.
func (p *Priors) weights(s *wiring.Spec, faults []miswire.Fault) []float64 {
	count := map[miswire.Kind]int{}
	for _, f := range faults {
		count[f.Kind]++
	}
	factor := float64(p.Factor)
	if p.Factor == 0 {
		factor = 10
	}
	out := make([]float64, len(faults))
	for i, f := range faults {
		weight, ok := p.Kinds[f.Kind]
		if !ok {
			weight = 1
		}
		out[i] = float64(weight) / float64(count[f.Kind])
		if f.Kind == miswire.WrongDevice && spare(s, f) {
			out[i] /= 5
		}
		if slices.ContainsFunc(p.Replaced, func(d switchnet.Ref) bool { return touches(s, f, d) }) {
			out[i] *= factor
		}
	}
	return out
}

// spare reports whether a device stands in the place of one of a job with fewer terminals:
// it costs more, and the screw that is left over makes whoever lands it think.
func spare(s *wiring.Spec, f miswire.Fault) bool {
	return slices.ContainsFunc(f.Edits, func(e wiring.Edit) bool {
		r, ok := e.(wiring.ReplaceDevice)
		if !ok {
			return false
		}
		return slices.ContainsFunc(s.Devices, func(d wiring.Device) bool {
			return d.Box == r.Device.Place && d.Name == r.Device.Name && len(d.Kind.Terminals) < len(r.Kind.Terminals)
		})
	})
}

// touches reports whether a fault is at the screws of a device of a job, or that it is
// another.
func touches(s *wiring.Spec, f miswire.Fault, d switchnet.Ref) bool {
	switch f.Kind {
	case miswire.ContactDead, miswire.ContactWelded, miswire.DeviceStuck:
		return false
	}
	for _, e := range f.Edits {
		var joints []wiring.Joint
		switch e := e.(type) {
		case wiring.SwapTerminals:
			joints = []wiring.Joint{e.A, e.B}
		case wiring.MovePigtail:
			joints = []wiring.Joint{e.From, e.To}
		case wiring.SplitSplice:
			joints = e.Out
		case wiring.JoinSplice:
			joints = e.Join
		case wiring.SwapWires:
			if f.Box == d.Place && (lands(s, d, e.A) || lands(s, d, e.B)) {
				return true
			}
		case wiring.MoveLanding:
			joints = []wiring.Joint{{Device: e.Device}}
		case wiring.ReplaceDevice:
			if e.Device == d {
				return true
			}
		case wiring.ClearTerminal:
			if e.Of == d {
				return true
			}
		}
		if f.Box == d.Place && slices.ContainsFunc(joints, func(j wiring.Joint) bool { return j.Device == d.Name }) {
			return true
		}
	}
	return false
}

// lands reports whether the end of a wire in the box of a device is under one of its
// screws.
func lands(s *wiring.Spec, d switchnet.Ref, w wiring.Wire) bool {
	return slices.ContainsFunc(s.Landings, func(l wiring.Landing) bool {
		return l.Box == d.Place && l.Device == d.Name && l.Wire == w
	})
}
