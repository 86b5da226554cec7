package trace_test

import (
	"errors"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// broken returns the rule that an error names, 0 if none.
func broken(err error) trace.Rule {
	var b *trace.Broken
	if errors.As(err, &b) {
		return b.Rule
	}
	return 0
}

// TestRules holds every rule that a session keeps in what it takes: what is done
// before, what is then refused, and by which rule.
func TestRules(t *testing.T) {
	do := func(d trace.Do, box string) trace.Entry { return trace.Entry{Action: &trace.Action{Do: d, Box: box}} }
	see := func(o trace.Observation) trace.Entry { return trace.Entry{Report: &trace.Report{Of: o}} }
	ohms := func(lifted bool) trace.Entry {
		return see(trace.Continuity{At: at("up", "up"), Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), end("place-1", "C1", "black")}, Lifted: lifted, Found: trace.Joined})
	}
	volts := func(black switchnet.Terminal) trace.Entry {
		return see(trace.Reading{At: at("up", "up"), Red: end("place-1", "C0", "black"), Black: black, Meter: steady.LowImpedance, Shows: 120 * quantity.Volt})
	}
	bare := end("place-1", "C0", "bare")
	shown := func(p switchnet.Terminal) trace.Entry {
		return see(trace.Reference{At: at("up", "up"), Point: p, Shown: true})
	}
	trip := see(trace.Saw{At: at("up", "up"), Tripped: true})
	metal := metalBox(t, chain(t, 2), "place-1")
	for _, r := range []struct {
		w      *wiring.Wiring
		before []trace.Entry
		entry  trace.Entry
		want   trace.Rule
		why    string
	}{
		{nil, nil, ohms(false), trace.LockedOut, "an ohmmeter on a live circuit"},
		{nil, []trace.Entry{do(trace.LockOut, "")}, ohms(false), trace.ProvenDead, "locked out is not yet dead"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-2")}, ohms(false), trace.ProvenDead, "another box was proven"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1")}, ohms(false), 0, "as it should be"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1"), do(trace.Energize, ""), do(trace.LockOut, "")}, ohms(false), trace.ProvenDead, "proven before it was live again"},
		{nil, nil, do(trace.ProveDead, "place-1"), trace.LockedOut, "dead before locked out"},
		{nil, nil, volts(bare), trace.ProvenReference, "nothing was tried on a known source"},
		{nil, []trace.Entry{see(trace.Reference{At: at("up", "up"), Point: end("place-1", "C0", "white"), Shown: true})}, volts(bare), trace.ProvenReference, "another reference was proven"},
		{nil, []trace.Entry{shown(bare)}, volts(bare), 0, "as it should be"},
		{nil, []trace.Entry{shown(bare), do(trace.LockOut, ""), do(trace.Energize, "")}, volts(bare), trace.ProvenReference, "proven before the lock-out"},
		{nil, []trace.Entry{trip}, do(trace.Energize, ""), trace.OneTrip, "the breaker is not reset to learn more"},
		{nil, []trace.Entry{trip}, see(saw(trace.Lit, "up", "down")), trace.OneTrip, "nor is anything looked at"},
		{nil, []trace.Entry{trip}, shown(bare), trace.OneTrip, "nor read"},
		{nil, []trace.Entry{see(trace.InUse{Tripped: true})}, do(trace.Energize, ""), trace.OneTrip, "it tripped before the session"},
		{nil, []trace.Entry{trip, do(trace.LockOut, ""), do(trace.ProveDead, "place-1")}, see(trace.Continuity{At: at("up", "down"), Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), end("place-1", "C0", "white")}, Found: trace.Open}), 0, "back to dead tests"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1"), ohms(false)}, do(trace.Energize, ""), trace.LeadsOff, "energized with a test lead where it was"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1"), ohms(false), do(trace.TakeLeads, "")}, do(trace.Energize, ""), 0, "the leads are off"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1"), ohms(false), do(trace.TakeLeads, ""), ohms(false)}, do(trace.Energize, ""), trace.LeadsOff, "put on again"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1")}, do(trace.Energize, ""), 0, "nothing was measured"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1"), ohms(false), do(trace.FindBrittle, "place-1")}, do(trace.TakeLeads, ""), 0, "leads come off whatever is found"},
		{nil, nil, do(trace.LiftNeutrals, ""), trace.NeutralsDead, "neutrals off a live panel"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "place-1")}, do(trace.LiftNeutrals, ""), trace.NeutralsDead, "the panel was not proven dead"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel")}, do(trace.LiftNeutrals, ""), 0, "as it should be"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, "")}, do(trace.Energize, ""), trace.NeutralsCapped, "lifted and not capped"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, ""), do(trace.CapNeutrals, "")}, do(trace.Energize, ""), 0, "each lifted end is capped"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, ""), do(trace.CapNeutrals, ""), do(trace.Energize, "")}, see(saw(trace.Lit, "up", "up")), trace.NeutralsCapped, "lights without their neutrals say nothing"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, ""), do(trace.CapNeutrals, ""), do(trace.Energize, "")}, do(trace.LandNeutrals, ""), trace.NeutralsDead, "neutrals onto a live panel"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, ""), do(trace.CapNeutrals, ""), do(trace.Energize, ""), do(trace.LockOut, "")}, do(trace.LandNeutrals, ""), trace.NeutralsDead, "onto a panel that was live since it was proven dead"},
		{nil, []trace.Entry{do(trace.LockOut, ""), do(trace.ProveDead, "panel"), do(trace.LiftNeutrals, ""), do(trace.CapNeutrals, ""), do(trace.Energize, ""), do(trace.LockOut, ""), do(trace.ProveDead, "panel")}, do(trace.LandNeutrals, ""), 0, "onto one that is proven anew"},
		{nil, []trace.Entry{do(trace.FindBrittle, "place-1")}, see(saw(trace.Lit, "up", "up")), trace.BrittleEnds, "brittle insulation ends the session"},
		{nil, []trace.Entry{do(trace.FindBrittle, "place-1")}, do(trace.Energize, ""), trace.BrittleEnds, "whatever comes next"},
		{nil, []trace.Entry{do(trace.FindBrittle, "place-1")}, do(trace.LockOut, ""), 0, "but locking out is always right"},
		{metal, nil, shown(bare), trace.ProvenBond, "a metal box whose bond nobody has proven"},
		{metal, nil, shown(switchnet.Terminal{Place: "place-1", Device: "box", Name: "ground"}), trace.ProvenBond, "the same at the box itself"},
		{metal, nil, volts(bare), trace.ProvenBond, "and what is read over it"},
		{metal, []trace.Entry{shown(end("place-1", "C0", "white"))}, shown(bare), 0, "another reference is proven"},
		{metal, []trace.Entry{shown(end("place-1", "C0", "white")), shown(bare)}, volts(bare), 0, "and the box by it"},
		{metal, []trace.Entry{shown(end("place-1", "C0", "white"))}, volts(bare), trace.ProvenReference, "but not by itself"},
	} {
		w := r.w
		if w == nil {
			w = chain(t, 2)
		}
		s := newCase(t, w, nil).Session()
		for _, e := range r.before {
			if err := s.Enter(e); err != nil {
				t.Fatalf("%s: before: %v", r.why, err)
			}
		}
		n := len(s.Log())
		err := s.Enter(r.entry)
		if broken(err) != r.want || err != nil && r.want == 0 {
			t.Errorf("%s: got %v, want the rule %q", r.why, err, r.want)
		}
		if err != nil && len(s.Log()) != n {
			t.Errorf("%s: refused and noted", r.why)
		}
	}
}

// metalBox returns a wiring with one of its boxes of metal, bonded.
func metalBox(tb testing.TB, w *wiring.Wiring, name string) *wiring.Wiring {
	tb.Helper()
	s := w.Spec()
	for i := range s.Boxes {
		if s.Boxes[i].Name == name {
			s.Boxes[i].Metal = true
		}
	}
	for i := range s.Splices {
		for _, j := range s.Splices[i].Join {
			if s.Splices[i].Box == name && j.Wire.Conductor == "bare" {
				s.Splices[i].Join = append(s.Splices[i].Join, wiring.Joint{Device: "box", Terminal: "ground"})
				break
			}
		}
	}
	out, err := wiring.New(s)
	if err != nil {
		tb.Fatal(err)
	}
	return out
}
