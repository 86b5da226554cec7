package steady

import (
	"math"
	"math/cmplx"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
)

// TypicalBeep is the resistance below which a continuity tester sounds.
const TypicalBeep = 30 * quantity.Ohm

// An OhmReading is what an ohmmeter finds between two terminals.
type OhmReading struct {
	Probes Probes
	// Live is set where a loaded tester finds 1 V or more between the probes, or
	// one of them is live to earth (see [Reading].Live): the ohmmeter has no
	// business there, and there is no figure.
	Live bool
	// Open is set where there is no way for its current. Resistance is then 0.
	Open       bool
	Resistance quantity.Resistance
	// Beeps is whether a continuity tester sounds: below TypicalBeep.
	Beeps bool
	// Through are the loads that carry a hundredth or more of the meter's
	// current, in name order: what is read is not the wire alone.
	Through []switchnet.Ref
	// Disturbed is set where a phantom voltage of 1 V or more stands between the
	// probes, which a real ohmmeter may take for anything.
	Disturbed bool
}

// Ohms returns what an ohmmeter finds with the switches and breakers as they are in
// this solution. It works with direct current: capacitances are open, coils are
// their winding, filaments are cold, electronic loads read open. An unknown
// terminal or a solution without figures is an error.
func (s *Solution) Ohms(at Probes) (OhmReading, error) {
	var errs Errors
	if s.hi == nil {
		errs.add("solution", "is %s and has no figures to read", s.status)
	}
	red, black := s.place(&errs, "Probes.Red", at.Red), s.place(&errs, "Probes.Black", at.Black)
	if len(errs) > 0 {
		return OhmReading{}, errs
	}
	r := OhmReading{Probes: at}
	sv := s.p.solver()
	defer s.p.spares.Put(sv)
	r.Live = s.voltsUnder(sv, red, black, testLoad()) >= absentBelow || s.live(sv, red, black)
	for _, t := range []switchnet.Terminal{at.Red, at.Black} {
		if !r.Live {
			_, r.Live = s.hangs(t)
		}
	}
	if r.Live {
		return r, nil
	}
	if !s.floatsAt(red) && !s.floatsAt(black) {
		r.Disturbed = cmplx.Abs(s.across(red, black)) >= absentBelow
	}
	direct := s.direct()
	if !s.joined(direct, red, black) {
		r.Open = true
		return r, nil
	}
	ohmic := 0.0
	if red != black {
		ohmic = s.inject(sv, direct, red, black)
		for l := range s.p.nw.loads {
			k := s.p.nw.loads[l].branch
			b := &s.p.nw.branches[k]
			if cmplx.Abs(direct[k]*(sv.reach[b.i]-sv.reach[b.j])) >= 0.01 {
				r.Through = append(r.Through, s.p.nw.loads[l].ref)
			}
		}
	}
	r.Resistance = ohms(ohmic)
	r.Beeps = r.Resistance < TypicalBeep
	return r, nil
}

// direct returns the conductance of every branch to direct current.
func (s *Solution) direct() []complex128 {
	nw := s.p.nw
	out := make([]complex128, len(nw.branches))
	for k := range nw.branches {
		y := s.admittance(int32(k))
		if y == 0 {
			continue
		}
		switch z := 1 / y; {
		case imag(z) < 0: // a capacitor
		case real(z) == 0: // a coil without resistance
			out[k] = complex(1/quantity.Microohm.Ohms(), 0)
		default:
			out[k] = complex(1/real(z), 0)
		}
	}
	for l := range nw.loads {
		part := &nw.loads[l]
		out[part.branch] = 0
		if rest := part.model.atRest(); rest > 0 {
			out[part.branch] = complex(1/rest, 0)
		}
	}
	return out
}

// joined reports whether direct current finds a way between two nodes. The known
// nodes are one: the windings of the supply join them.
func (s *Solution) joined(direct []complex128, i, j int32) bool {
	nw := s.p.nw
	sets := unionfind.New(len(s.hi))
	for k := range nw.known {
		sets.Union(int32(nw.n), int32(nw.n+k))
	}
	for k := range nw.branches {
		if direct[k] != 0 {
			sets.Union(nw.branches[k].i, nw.branches[k].j)
		}
	}
	return sets.Find(i) == sets.Find(j)
}

// inject sends one ampere into i and out of j of a network without sources and
// returns the volts between them. The potentials are left in sv.reach.
func (s *Solution) inject(sv *solver, y []complex128, i, j int32) float64 {
	nw := s.p.nw
	v := newValues(len(nw.pairs), nw.n)
	for k := range nw.branches {
		b := &nw.branches[k]
		switch b.slot {
		case toKnown:
			v.shunt[b.i] += y[k]
		case fromKnown:
			v.shunt[b.j] += y[k]
		case idle:
		default:
			v.between[b.slot] += y[k]
		}
	}
	sv.factor.Factor(v.between, v.shunt)
	sv.reachOf(&probe{i: i, j: j})
	return math.Abs(real(sv.reach[i] - sv.reach[j]))
}
