package trace_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A job with next to nothing in it has a case, and every question about it an answer or an
// error.
func TestNextToNothing(t *testing.T) {
	panel := wiring.Box{Name: "panel", Kind: wiring.Panel}
	for name, spec := range map[string]wiring.Spec{
		"nothing": {},
		"a box":   {Boxes: []wiring.Box{panel}},
		"a feed":  {Boxes: []wiring.Box{panel}, Feeds: []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}}},
		"a light": {Boxes: []wiring.Box{{Name: "ridge", Kind: wiring.CeilingBox}}, Lights: []wiring.Light{{Name: "lamp", Box: "ridge"}}},
		"a switch": {Boxes: []wiring.Box{{Name: "loft", Kind: wiring.DeviceBox}},
			Devices: []wiring.Device{{Name: "stair", Box: "loft", Kind: switchnet.ThreeWay()}}},
	} {
		spec.Supply = switchnet.SplitPhase()
		w, err := wiring.New(spec)
		if err != nil {
			t.Fatal(name, err)
		}
		c, err := trace.New(t.Context(), w, nil)
		if err != nil {
			t.Logf("%s: %v", name, err)
			continue
		}
		if _, err := c.Session().Next(t.Context()); err != nil {
			t.Errorf("%s: next: %v", name, err)
		}
		if _, err := c.Session().Strategy(t.Context(), nil); err != nil {
			t.Errorf("%s: strategy: %v", name, err)
		}
		if _, err := c.Walk(t.Context(), nil); err != nil {
			t.Errorf("%s: walk: %v", name, err)
		}
		if _, err := c.Prove(t.Context()); err != nil {
			t.Errorf("%s: prove: %v", name, err)
		}
		if _, err := trace.RingOutOf(t.Context(), w); err != nil {
			t.Errorf("%s: ring out: %v", name, err)
		}
	}
}
