package identify_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestRules: what a session refuses, and by which rule.
func TestRules(t *testing.T) {
	spec := deadEnd(t)
	for i := range spec.Boxes {
		spec.Boxes[i].Metal = spec.Boxes[i].Name == "upper"
	}
	c := newCase(t, spec, nil)
	white := end("lower", "A1.white").Wire.In("lower")
	ring := identify.Continuity{Between: [2]switchnet.Terminal{white, end("lower", "A1.red").Wire.In("lower")}, Found: trace.Open}
	screw := switchnet.Terminal{Place: "upper", Device: "box", Name: "ground"}
	reading := func(black switchnet.Terminal) identify.Reading {
		return identify.Reading{Red: white, Black: black, Meter: steady.LowImpedance, Shows: 120 * quantity.Volt}
	}
	shown := func(p switchnet.Terminal) identify.Observation { return identify.Reference{Point: p, Shown: true} }
	twisted := identify.Continuity{Between: [2]switchnet.Terminal{end("upper", "B1.white").Wire.In("upper"), end("upper", "B1.red").Wire.In("upper")}, Tied: [][2]wiring.End{{end("lower", "A1.white"), end("lower", "A1.red")}}, Found: trace.Open}
	tiedReading := reading(identify.Outside())
	tiedReading.Tied = twisted.Tied
	type step any
	rows := []struct {
		name   string
		before []step
		then   step
		rule   trace.Rule // 0: taken
	}{
		{"continuity with the circuit on", nil, ring, trace.LockedOut},
		{"continuity in a box not proven dead", []step{identify.LockOut}, ring, trace.ProvenDead},
		{"continuity", []step{identify.LockOut, "prove dead"}, ring, 0},
		{"devices off with the circuit on", nil, "take off", trace.ProvenDead},
		{"apart in a box not proven dead", []step{identify.LockOut}, "take apart", trace.ProvenDead},
		{"apart", []step{identify.LockOut, "prove dead"}, "take apart", 0},
		{"dead once, energized since", []step{identify.LockOut, "prove dead", identify.Energize, identify.LockOut}, ring, trace.ProvenDead},
		{"a reading over nothing proven", nil, reading(identify.Outside()), trace.ProvenReference},
		{"a reading over what showed nothing", []step{identify.Reference{Point: identify.Outside()}}, reading(identify.Outside()), trace.ProvenReference},
		{"a reading over what was proven", []step{shown(identify.Outside())}, reading(identify.Outside()), 0},
		{"proven before the last lock-out", []step{shown(identify.Outside()), identify.LockOut, identify.Energize}, reading(identify.Outside()), trace.ProvenReference},
		{"proven before it was energized once more", []step{shown(identify.Outside()), identify.Energize}, reading(identify.Outside()), trace.ProvenReference},
		{"a metal box as its own witness", nil, shown(screw), trace.ProvenBond},
		{"a reading over a metal box without another reference", nil, reading(screw), trace.ProvenBond},
		{"a metal box after another reference", []step{shown(identify.Outside())}, shown(screw), 0},
		{"a reading over a metal box that was proven", []step{shown(identify.Outside()), shown(screw)}, reading(screw), 0},
		{"continuity to a screw that nobody proved", []step{identify.LockOut, "prove dead"}, identify.Continuity{Between: [2]switchnet.Terminal{white, screw}, Found: trace.Open}, trace.ProvenReference},
		{"energized with a test lead where it was", []step{identify.LockOut, "prove dead", ring}, identify.Energize, trace.LeadsOff},
		{"energized with the leads off", []step{identify.LockOut, "prove dead", ring, identify.TakeLeads}, identify.Energize, 0},
		{"energized where nothing was measured", []step{identify.LockOut, "prove dead"}, identify.Energize, 0},
		{"a lead put on again", []step{identify.LockOut, "prove dead", ring, identify.TakeLeads, ring}, identify.Energize, trace.LeadsOff},
		{"energized after a trip", []step{identify.Tripped{}, identify.LockOut}, identify.Energize, trace.OneTrip},
		{"a reading after a trip", []step{shown(identify.Outside()), identify.Tripped{}}, reading(identify.Outside()), trace.OneTrip},
		{"proven dead with the circuit on", nil, "prove dead", trace.LockedOut},
		{"ends parted with the circuit on", nil, "part", trace.LockedOut},
		{"ends parted in a box that was dead before it was energized", []step{identify.LockOut, "prove dead", identify.Energize, identify.LockOut}, "part", trace.ProvenDead},
		{"ends parted in a box proven dead anew", []step{identify.LockOut, "prove dead", identify.Energize, identify.LockOut, "prove dead"}, "part", 0},
		{"a reading between two conductors with a tester that nobody proved", nil, reading(end("lower", "A1.red").Wire.In("lower")), trace.ProvenReference},
		{"a reading between two conductors with one that was", []step{shown(identify.Outside())}, reading(end("lower", "A1.red").Wire.In("lower")), 0},
		{"twisted together in a box not proven dead", []step{identify.LockOut, "prove upper"}, twisted, trace.ProvenDead},
		{"twisted together", []step{identify.LockOut, "prove upper", "prove dead"}, twisted, 0},
		{"energized with ends together that may be hot and neutral", []step{identify.LockOut, "prove upper", "prove dead", twisted, identify.TakeLeads}, identify.Energize, trace.BoltedFault},
		{"energized with the ends parted again", []step{identify.LockOut, "prove upper", "prove dead", twisted, identify.TakeLeads, "part"}, identify.Energize, 0},
		{"a reading with such ends together", []step{shown(identify.Outside())}, tiedReading, trace.BoltedFault},
		{"energized after brittle insulation", []step{identify.LockOut, "prove dead", "brittle"}, identify.Energize, trace.BrittleEnds},
		{"the leads off after brittle insulation", []step{identify.LockOut, "prove dead", ring, "brittle"}, identify.TakeLeads, 0},
		{"a known source after a trip", []step{identify.Tripped{}}, shown(identify.Outside()), trace.OneTrip},
		{"a reading that was proven in time, after a lock-out", []step{shown(identify.Outside()), identify.LockOut}, shown(screw), trace.ProvenBond},
		{"anything after brittle insulation", []step{identify.LockOut, "prove dead", "brittle"}, ring, trace.BrittleEnds},
		{"locking out after brittle insulation", []step{"brittle"}, identify.LockOut, 0},
	}
	for _, r := range rows {
		s := c.Session()
		take := func(x step) error {
			switch x := x.(type) {
			case identify.Do:
				return s.Do(x, "")
			case string:
				if x == "prove upper" {
					return s.Do(identify.ProveDead, "upper")
				}
				return s.Do(map[string]identify.Do{"part": identify.PartEnds, "prove dead": identify.ProveDead, "take off": identify.TakeOff, "take apart": identify.TakeApart, "brittle": identify.FindBrittle}[x], "lower")
			case identify.Observation:
				return s.Observe(x)
			}
			panic("no step")
		}
		for _, x := range r.before {
			if err := take(x); err != nil {
				t.Fatalf("%s: before: %v", r.name, err)
			}
		}
		n := len(s.Log())
		err := take(r.then)
		var broken *trace.Broken
		switch {
		case r.rule == 0 && err != nil:
			t.Errorf("%s: %v", r.name, err)
		case r.rule != 0 && (!errors.As(err, &broken) || broken.Rule != r.rule):
			t.Errorf("%s: %v, want %v", r.name, err, r.rule)
		case r.rule != 0 && len(s.Log()) != n:
			t.Errorf("%s: was noted", r.name)
		}
	}
}

// TestOutOfTurn: what cannot have been observed as things stand is refused with what to do.
func TestOutOfTurn(t *testing.T) {
	c := newCase(t, deadEnd(t), nil)
	white := end("lower", "A1.white").Wire.In("lower")
	look := identify.InBox{Box: "lower", Screws: []identify.Screw{{Device: "stair", Terminal: "common", Wire: wire("A1.white")}}}
	for _, r := range []struct {
		before []identify.Do
		o      identify.Observation
		says   string // nothing: it is taken
	}{
		{[]identify.Do{identify.LockOut}, identify.Reference{Point: identify.Outside(), Shown: true}, "energize before reading volts"},
		{[]identify.Do{identify.LockOut}, identify.Obeys{Control: "stair", Box: "lower", Does: true}, "do not energize open boxes to see it"},
		{[]identify.Do{identify.LockOut, identify.ProveDead, identify.TakeApart}, look, "recalled, as an earlier observation"},
		{[]identify.Do{identify.LockOut, identify.ProveDead, identify.TakeOff}, look, "recalled, as an earlier observation"},
		{[]identify.Do{identify.LockOut, identify.ProveDead, identify.TakeOff}, identify.InBox{Box: "lower", Capped: []wiring.Wire{wire("A1.red")}}, ""},
		{nil, identify.Obeys{Control: "stair", Box: "lower", Does: true}, ""},
	} {
		s := c.Session()
		for _, x := range r.before {
			box := "lower"
			if x == identify.LockOut {
				box = ""
			}
			do(t, s, x, box)
		}
		n := len(s.Log())
		err := s.Observe(r.o)
		if (err == nil) != (r.says == "") || err != nil && !strings.Contains(err.Error(), r.says) || err != nil && len(s.Log()) != n {
			t.Errorf("%v after %v: %v, want %q", r.o, r.before, err, r.says)
		}
	}
	// With ends together in a box beside one in which somebody worked anything may be a
	// bolted fault, whatever the scheme has joined there.
	for _, worked := range []bool{false, true} {
		opt := &identify.Options{Parted: []string{"lower"}, Released: []string{"upper"}, Schemes: []identify.Scheme{identify.Chain}}
		if worked {
			opt.Disturbed = []string{"upper"}
		}
		s := newCase(t, deadEnd(t), opt).Session()
		if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
			t.Fatal(err)
		}
		tied := identify.Reading{Red: white, Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 120 * quantity.Volt, Tied: [][2]wiring.End{{end("lower", "A1.black"), end("lower", "A1.red")}}}
		var broken *trace.Broken
		switch err := s.Observe(tied); {
		case !worked && err != nil:
			t.Errorf("two travelers together: %v", err)
		case worked && (!errors.As(err, &broken) || broken.Rule != trace.BoltedFault):
			t.Errorf("beside a box in which somebody worked: %v", err)
		case !worked:
			// They are together still: the next dead test uses that or parts them, dead.
			do(t, s, identify.LockOut, "")
			a, err := s.Next(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if a.Test.Kind != identify.DeadTest || !a.Test.Made && !slices.Contains(a.Test.Before, identify.Action{Do: identify.PartEnds, Box: "lower"}) {
				t.Errorf("after a reading with ends together: %v after %v, twisted before %v; they are not parted", a.Test.Kind, a.Test.Before, a.Test.Made)
			}
		}
	}
}

// TestZeroIsNotDead: a zero on a meter of high impedance tells nothing, and neither does
// what a proximity tester says; on a tester that loads the circuit it does.
func TestZeroIsNotDead(t *testing.T) {
	c := newCase(t, deadEnd(t), &identify.Options{Released: []string{"lower", "upper"}})
	for _, r := range []struct {
		meter steady.MeterKind
		tells bool
	}{{steady.HighImpedance, false}, {steady.Proximity, false}, {steady.LowImpedance, true}} {
		s := c.Session()
		if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
			t.Fatal(err)
		}
		before := likely(t, s, "lower", "A1.white", identify.ConstantHot)
		o := identify.Reading{Red: end("lower", "A1.white").Wire.In("lower"), Black: identify.Outside(), Meter: r.meter}
		if err := s.Observe(o); err != nil {
			t.Fatal(err)
		}
		after := likely(t, s, "lower", "A1.white", identify.ConstantHot)
		if tells := before != after; tells != r.tells {
			t.Errorf("zero on a %v meter: a constant hot at %v before and %v after", r.meter, before, after)
		}
	}
}
