package steady

import (
	"context"
	"fmt"
	"math/cmplx"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Step is one part of the way of a load's current.
type Step struct {
	// What names the part: "C4.red", "aisle at slip-door", "supply".
	What string
	// Wire is set if it is a wire.
	Wire    wiring.Wire
	Current quantity.Current
	Drop    quantity.Voltage
	Lost    quantity.Power
}

// Path returns the way of a load's current from the supply to the load and back,
// part by part: at each node along the part with the most current. Nothing is
// returned for a load without current, an unknown load, or a solution without
// figures. Time is linear in the wiring.
func (s *Solution) Path(load switchnet.Ref) []Step {
	nw := s.p.nw
	l, ok := slices.BinarySearchFunc(nw.loads, load, func(p loadPart, r switchnet.Ref) int { return p.ref.Compare(r) })
	if !ok || s.hi == nil || s.through(nw.loads[l].branch) == 0 {
		return nil
	}
	names := map[int32]Step{}
	for i := range nw.wires {
		if w := &nw.wires[i]; w.branch >= 0 {
			names[w.branch] = Step{What: w.wire.String(), Wire: w.wire}
		}
	}
	for i := range nw.joints {
		j := &nw.joints[i]
		names[j.branch] = Step{What: j.name + " in " + j.box}
	}
	for d := range nw.devices {
		part := &nw.devices[d]
		for i := range nw.contacts[part.kind].pairs {
			names[part.first+int32(i)] = Step{What: part.ref.String()}
		}
	}
	for _, k := range nw.supply {
		names[k] = Step{What: "supply"}
	}
	meet := make([][]int32, len(s.hi))
	for k := range nw.branches {
		if _, ok := names[int32(k)]; ok && s.admittance(int32(k)) != 0 {
			b := &nw.branches[k]
			meet[b.i] = append(meet[b.i], int32(k))
			meet[b.j] = append(meet[b.j], int32(k))
		}
	}
	b := &nw.branches[nw.loads[l].branch]
	out := s.walk(b.i, meet, names)
	slices.Reverse(out)
	return append(out, s.walk(b.j, meet, names)...)
}

// walk goes from a node to the supply.
func (s *Solution) walk(from int32, meet [][]int32, names map[int32]Step) []Step {
	var out []Step
	been := map[int32]bool{}
	for node := from; int(node) < s.p.nw.n; {
		been[node] = true
		best, most := int32(-1), 0.0
		for _, k := range meet[node] {
			if c := cmplx.Abs(s.through(k)); c > most && !been[s.other(k, node)] {
				best, most = k, c
			}
		}
		if best < 0 {
			break
		}
		step := names[best]
		b := &s.p.nw.branches[best]
		v := s.across(b.i, b.j)
		if b.emf != 0 {
			v -= b.emf
		}
		step.Current, step.Drop, step.Lost = current(most), voltage(cmplx.Abs(v)), watts(real(v*cmplx.Conj(s.through(best))))
		out = append(out, step)
		node = s.other(best, node)
	}
	return out
}

func (s *Solution) other(k, node int32) int32 {
	b := &s.p.nw.branches[k]
	return b.i + b.j - node
}

// A Drop is what a load's voltage lacks of the nominal one.
type Drop struct {
	State   switchnet.State
	Load    switchnet.Ref
	Nominal quantity.Voltage
	Volts   quantity.Voltage
	Drop    quantity.Voltage // Nominal less Volts
	Share   quantity.Ratio   // Drop over Nominal
	Path    []Step
}

// DropOptions bounds the search for the worst drop. The zero value, or nil, looks
// at every state of the switches.
type DropOptions struct {
	// States chooses the states; nil means all positions of all that is no
	// breaker.
	States *switchnet.StatesOptions
	// Most is the number of states to look at; 0 means 4096. More is an error,
	// not a sample.
	Most int64
}

// WorstDrop returns the largest voltage drop at any load that is lit through metal,
// in any state; false if no load is ever lit. Of equal ones it is the first state
// in the order of the states and the first load in name order. States without
// success are passed over: they have a worse trouble than a drop.
func (p *Problem) WorstDrop(ctx context.Context, opt *DropOptions) (Drop, bool, error) {
	if err := p.given(); err != nil {
		return Drop{}, false, err
	}
	var o DropOptions
	if opt != nil {
		o = *opt
	}
	if o.Most == 0 {
		o.Most = 4096
	}
	states, count, err := p.net.States(o.States)
	if err != nil {
		return Drop{}, false, err
	}
	if !count.IsInt64() || count.Int64() > o.Most {
		return Drop{}, false, Errors{{"WorstDrop", fmt.Sprintf("would look at %v states and may look at %d; name fewer devices in DropOptions.States, or raise DropOptions.Most", count, o.Most)}}
	}
	engine := p.net.NewSolver()
	var worst Drop
	found := false
	for state := range states {
		if err := ctx.Err(); err != nil {
			return Drop{}, false, err
		}
		view, err := engine.Solve(state)
		if err != nil {
			return Drop{}, false, err
		}
		sol, err := p.Solve(state)
		if err != nil {
			return Drop{}, false, err
		}
		if !sol.Status().Success() {
			continue
		}
		for load, supply := range view.Supplies() {
			if supply.Status != switchnet.Lit {
				continue
			}
			got, ok := sol.Load(load)
			if !ok {
				continue
			}
			volts := got.Volts.Magnitude()
			if drop := supply.Volts - volts; !found || drop > worst.Drop {
				worst = Drop{state, load, supply.Volts, volts, drop, share(drop.Volts(), supply.Volts.Volts()), nil}
				found = true
			}
		}
	}
	if found {
		sol, err := p.Solve(worst.State)
		if err != nil {
			return Drop{}, false, err
		}
		worst.Path = sol.Path(worst.Load)
	}
	return worst, found, nil
}
