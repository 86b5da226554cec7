package steady

import (
	"math/cmplx"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// Clamp returns what a clamp ammeter shows round the given wires together, each
// passing through it from the From box of its cable to the other end. Wires of a
// circuit out and back cancel, which is why a clamp round a whole cable shows
// nothing of its load. An unknown wire, one given twice, or a solution without
// figures is an error.
func (s *Solution) Clamp(wires ...wiring.Wire) (quantity.Current, error) {
	var errs Errors
	if s.hi == nil {
		errs.add("solution", "is %s and has no figures to read", s.status)
	}
	seen := map[wiring.Wire]bool{}
	var sum CurrentPhasor
	for _, w := range wires {
		c, ok := s.Current(w)
		if !ok && s.hi != nil {
			errs.add("wire "+w.String(), "is not in the wiring")
		}
		if seen[w] {
			errs.add("wire "+w.String(), "is in the clamp twice")
		}
		seen[w] = true
		sum += c
	}
	if len(errs) > 0 {
		return 0, errs
	}
	return sum.Magnitude(), nil
}

// ClampCable returns what a clamp ammeter shows round a whole cable. Errors are as
// for [Solution.Clamp].
func (s *Solution) ClampCable(cable string) (quantity.Current, error) {
	var wires []wiring.Wire
	for i := range s.p.nw.wires {
		if s.p.nw.wires[i].cable == cable {
			wires = append(wires, s.p.nw.wires[i].wire)
		}
	}
	if len(wires) == 0 {
		return 0, Errors{{"cable " + cable, "is not in the wiring"}}
	}
	return s.Clamp(wires...)
}

// ReadSheath returns what a proximity tester says at the outside of a cable, in the
// box at one of its ends: it answers to the mean potential of the insulated
// conductors, so that hot and neutral together look like half, two opposite lines
// like nothing, and a metal sheath hides all. Errors are as for [Solution.Read].
func (s *Solution) ReadSheath(m Meter, cable, box string) (Reading, error) {
	var errs Errors
	if m.Kind != Proximity {
		errs.add("Meter.Kind", "is %s; only a proximity tester reads through a sheath", m.Kind)
	}
	if s.hi == nil {
		errs.add("solution", "is %s and has no figures to read", s.status)
	}
	spec := s.p.w.Spec()
	var found *wiring.Cable
	for i := range spec.Cables {
		c := &spec.Cables[i]
		if at := places(c); c.Name == cable && (at[0] == box || at[1] == box) {
			found = c
		}
	}
	if found == nil {
		errs.add("cable "+cable, "does not enter box %q", box)
	}
	if len(errs) > 0 {
		return Reading{}, errs
	}
	sv := s.p.solver()
	defer s.p.spares.Put(sv)
	var sum complex128
	var open, loaded float64
	count := 0
	r := Reading{Meter: m, Proof: NotProven, Verdict: Absent}
	hanging := ""
	for _, core := range found.Type.Cores {
		if core.Grounding {
			continue
		}
		t := wiring.Wire{Cable: cable, Conductor: core.Colour.String()}.In(box)
		node, _ := s.nodeOf(t)
		if load, ok := s.hangs(t); ok {
			hanging = load.String()
		}
		if s.floatsAt(node) {
			continue
		}
		v := s.across(node, s.earthNode())
		sum += v
		count++
		// The worst conductor is what a person has to know of.
		l := s.voltsUnder(sv, node, s.earthNode(), testLoad())
		if l > loaded || l == loaded && cmplx.Abs(v) > open {
			open, loaded = cmplx.Abs(v), l
		}
	}
	mean := 0.0
	if count > 0 {
		mean = cmplx.Abs(sum) / float64(count)
	}
	shielded := found.Type.Construction == conductor.MetalClad
	r.Alarm = !m.OpenLead && !shielded && mean >= s.threshold(m)
	r.Unloaded, r.Loaded, r.Verdict = voltage(open), voltage(loaded), judge(open, loaded)
	r.Live = r.Verdict == Real && open >= liveFrom || hanging != ""
	if hanging != "" && r.Verdict == Ghost {
		r.Verdict = Real
	}
	r.explain(mean, hanging)
	if r.Verdict == Real && !r.Alarm && !m.OpenLead {
		r.Misleads, r.Why = true, "the conductors' potentials cancel for the most part outside the sheath"
		if shielded {
			r.Why = "the metal sheath hides what is in it"
		}
	}
	return r, nil
}
