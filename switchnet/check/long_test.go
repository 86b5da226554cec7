package check_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// longChain builds a chain of places that is right in every respect, fed at one end with
// the light at the other.
func longChain(tb testing.TB, places int) check.Job {
	tb.Helper()
	cable := func(name, kind, from, to string) wiring.Cable {
		t, err := conductor.ParseCableType(kind)
		if err != nil {
			tb.Fatal(err)
		}
		return wiring.Cable{Name: name, Type: t, From: from, To: to}
	}
	place := func(i int) string { return fmt.Sprintf("place %04d", i) }
	before := func(i int) string { return fmt.Sprintf("C%04d", i) } // the cable that comes from the feed's side
	s := wiring.Spec{Supply: switchnet.SplitPhase(),
		Feeds:  []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes:  []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "ridge", Kind: wiring.CeilingBox}},
		Lights: []wiring.Light{{Name: "light", Box: "ridge", Power: 15 * quantity.Watt}},
		Cables: []wiring.Cable{cable(before(0), "14/2", "panel", place(0)), cable(before(places), "14/2", place(places-1), "ridge")}}
	c := intent.Control{Name: "aisle", Lights: []string{"light"}}
	wire := func(i int, colour string) wiring.Wire { return wiring.Wire{Cable: before(i), Conductor: colour} }
	for _, t := range [][2]string{{"hot", "black"}, {"neutral", "white"}, {"ground", "bare"}} {
		s.Landings = append(s.Landings, wiring.Landing{Box: "panel", Device: "lights", Terminal: t[0], Wire: wire(0, t[1])})
		s.Splices = append(s.Splices, wiring.Splice{Box: "ridge", Join: []wiring.Joint{{Wire: wire(places, t[1])}, {Device: "light", Terminal: t[0]}}})
	}
	for i := range places {
		c.Places = append(c.Places, place(i))
		s.Boxes = append(s.Boxes, wiring.Box{Name: place(i), Kind: wiring.DeviceBox})
		if i > 0 {
			s.Cables = append(s.Cables, cable(before(i), "14/3", place(i-1), place(i)))
		}
		s.Splices = append(s.Splices, wiring.Splice{Box: place(i), Join: []wiring.Joint{{Wire: wire(i, "white")}, {Wire: wire(i+1, "white")}}},
			wiring.Splice{Box: place(i), Join: []wiring.Joint{{Wire: wire(i, "bare")}, {Wire: wire(i+1, "bare")}, {Device: "aisle", Terminal: "ground"}}})
		kind := switchnet.FourWay()
		terminals, in, on := kind.Terminals, []string{"black", "red"}, []string{"black", "red"}
		switch i {
		case 0:
			kind = switchnet.ThreeWay()
			terminals, in = kind.Terminals, in[:1]
		case places - 1:
			kind = switchnet.ThreeWay()
			terminals, on = []string{"traveler 1", "traveler 2", "common"}, on[:1]
		}
		s.Devices = append(s.Devices, wiring.Device{Name: "aisle", Box: place(i), Kind: kind})
		for k, t := range terminals {
			w := wire(i, "")
			if k < len(in) {
				w.Conductor = in[k]
			} else {
				w = wire(i+1, on[k-len(in)])
			}
			s.Landings = append(s.Landings, wiring.Landing{Box: place(i), Device: "aisle", Terminal: t, Wire: w})
		}
	}
	w, err := wiring.New(s)
	if err != nil {
		tb.Fatal(err)
	}
	return check.Job{Wiring: w, Intent: intent.Intent{Controls: []intent.Control{c}}}
}

// TestLongChain checks a chain that has more states, and with its pairs mixed in one place
// more exceptions, than could ever be listed: each place gets one finding.
func TestLongChain(t *testing.T) {
	region, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	const places = 100
	j := longChain(t, places)
	suite := check.Everything(region)
	for _, f := range run(t, j, suite) {
		t.Errorf("the chain as it should be gives %s: %s", f.Code, f.Message)
	}
	j.Wiring, err = j.Wiring.Apply(wiring.SwapLandings{Box: "place 0050", A: wiring.Wire{Cable: "C0050", Conductor: "red"}, B: wiring.Wire{Cable: "C0051", Conductor: "black"}})
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for _, f := range run(t, j, suite) {
		if f.Code != "does-not-toggle" {
			t.Errorf("it gives %s: %s", f.Code, f.Message)
		}
		at[f.Place.Box]++
	}
	if len(at) != places {
		t.Errorf("found at %d places, want %d", len(at), places)
	}
	for box, n := range at {
		if n != 1 {
			t.Errorf("%d findings at %s", n, box)
		}
	}
}
