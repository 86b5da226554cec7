package identify_test

import (
	"errors"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Limits of recipes that people were given, which are right where they were tried.

// live is a reading to the proven reference outside, on a tester that loads the circuit.
func live(box, w string, volts quantity.Voltage) identify.Reading {
	return identify.Reading{Red: end(box, w).Wire.In(box), Black: identify.Outside(), Meter: steady.LowImpedance, Shows: volts}
}

// TestOutletAtSwitch: "can I take power from a switch box with black, white and red?" If the
// white is capped at a simple switch, perhaps: it takes the volts from the hot to it to be
// sure. If all three are on a three-way there is no neutral, and the same readings say so.
func TestOutletAtSwitch(t *testing.T) {
	ask := func(boxes []string, o identify.InBox) *identify.Session {
		s := cottage(t, boxes...)
		if len(boxes) == 1 {
			s.Devices[0].Kind = singlePole()
		}
		enter(t, s, "K1", "14/3", "hall", "")
		x := newCase(t, s, &identify.Options{Open: []string{"hall"}}).Session()
		if err := x.Recall(o, 0); err != nil {
			t.Fatal(err)
		}
		do(t, x, identify.LockOut, "")
		do(t, x, identify.ProveDead, "hall")
		do(t, x, identify.TakeOff, "hall")
		do(t, x, identify.Energize, "")
		if err := x.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
			t.Fatal(err)
		}
		return x
	}
	read := func(s *identify.Session, r identify.Reading, want identify.Surety) {
		t.Helper()
		if err := s.Observe(r); err != nil {
			t.Fatal(err)
		}
		if got := has(t, s, "hall", identify.Neutral, "stair"); got != want {
			t.Errorf("after %v a neutral is %v in the hall, want %v", r, got, want)
		}
	}
	screw := func(terminal, w string) identify.Screw {
		return identify.Screw{Device: "stair", Terminal: terminal, Wire: wire(w)}
	}
	s := ask([]string{"hall"}, identify.InBox{Box: "hall", Capped: []wiring.Wire{wire("K1.white")}, Screws: []identify.Screw{screw("line", "K1.black"), screw("load", "K1.red")}})
	if got := likely(t, s, "hall", "K1.white", identify.Neutral); got < 20*quantity.Percent || got > 80*quantity.Percent {
		t.Errorf("before any reading the capped white is a neutral at %v", got)
	}
	read(s, live("hall", "K1.black", 120*quantity.Volt), identify.Possibly)
	read(s, live("hall", "K1.white", 0), identify.Possibly) // so does a spare
	r := live("hall", "K1.black", 120*quantity.Volt)
	r.Black = end("hall", "K1.white").Wire.In("hall")
	read(s, r, identify.Surely)
	if in, err := s.In("hall"); err != nil || in.Controls[0].Is != identify.Surely {
		t.Errorf("power there: %v, %v", in.Controls, err)
	}

	s = ask([]string{"hall", "landing"}, identify.InBox{Box: "hall", Screws: []identify.Screw{screw("common", "K1.white"), screw("traveler 1", "K1.black"), screw("traveler 2", "K1.red")}})
	for w, volts := range map[string]quantity.Voltage{"K1.white": 120 * quantity.Volt, "K1.black": 0, "K1.red": 0} {
		if err := s.Observe(live("hall", w, volts)); err != nil {
			t.Fatal(err)
		}
	}
	for _, w := range []string{"K1.white", "K1.black", "K1.red"} {
		if got := likely(t, s, "hall", w, identify.Neutral); got > quantity.Percent {
			t.Errorf("all three on a three-way, the white alone live: %s is a neutral at %v", w, got)
		}
	}
}

// TestJoinThreePastAFourWay: "join the three and look at the other box" with a four-way
// between, in a box that nobody opened: what it joins is not known, and the recipe is
// refused even where the hot is known and the whites are seen spliced in both boxes.
func TestJoinThreePastAFourWay(t *testing.T) {
	ask := func(boxes ...string) (*identify.Session, identify.Reading) {
		spec := cottage(t, boxes...)
		enter(t, spec, "F", "14/2", "a", "")
		enter(t, spec, "S", "14/3", "a", "")
		enter(t, spec, "T", "14/3", "b", "")
		enter(t, spec, "L", "14/2", "b", "")
		s := newCase(t, spec, &identify.Options{Open: []string{"a", "b"}, Released: []string{"a", "b"}, Unusual: -1}).Session()
		if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
			t.Fatal(err)
		}
		for box, pair := range map[string][2]string{"a": {"F.white", "S.white"}, "b": {"T.white", "L.white"}} {
			if err := s.Recall(identify.InBox{Box: box, Spliced: [][]wiring.Wire{{wire(pair[0]), wire(pair[1])}}}, 0); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.Observe(live("a", "F.black", 120*quantity.Volt)); err != nil {
			t.Fatal(err)
		}
		ring := live("b", "L.black", 0)
		ring.Tied = [][2]wiring.End{{end("a", "F.black"), end("a", "S.black")}, {end("a", "F.black"), end("a", "S.red")}}
		return s, ring
	}
	s, ring := ask("a", "b")
	if err := s.Refuses(ring); err != nil {
		t.Errorf("with nothing between: %v", err)
	}
	s, ring = ask("a", "m", "b")
	var bolted *identify.Bolted
	var broken *trace.Broken
	if err := s.Refuses(ring); !errors.As(err, &bolted) || !errors.As(err, &broken) || broken.Rule != trace.BoltedFault {
		t.Errorf("with a four-way between: %v", err)
	}
}

// TestTwoThreeWires: "the black whose sheath is the two-wire is the common" says nothing
// where both sheaths are three-wires: neither black is sure to be anything.
func TestTwoThreeWires(t *testing.T) {
	s := cottage(t, "hall", "landing")
	enter(t, s, "K1", "14/3", "hall", "")
	enter(t, s, "K2", "14/3", "hall", "")
	x := newCase(t, s, &identify.Options{Open: []string{"hall"}}).Session()
	for _, w := range []string{"K1.black", "K2.black"} {
		for _, fn := range []identify.Function{identify.Traveler, identify.ConstantHot, identify.SwitchLeg} {
			if got := likely(t, x, "hall", w, fn); got < 10*quantity.Percent || got > 50*quantity.Percent {
				t.Errorf("%s is a %v at %v", w, fn, got)
			}
		}
	}
}
