package trace_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestWordsOfNothing holds that what a program fills in itself, or not at all, has words.
func TestWordsOfNothing(t *testing.T) {
	for rule := trace.Rule(0); rule <= trace.LeadsOff+1; rule++ {
		if text := (trace.Refusal{Rule: rule, What: "moving it"}).String(); !strings.HasPrefix(text, "moving it: refused: ") {
			t.Errorf("rule %d: %q", rule, text)
		}
	}
	for _, x := range []fmt.Stringer{trace.Cause{}, &trace.Class{}, trace.Setting{}, trace.Action{}, trace.Report{Of: trace.InUse{}}, trace.Saw{}, trace.Flipped{}, trace.Continuity{},
		trace.Reading{}, trace.Reference{}, trace.Test{}, trace.Answer{Of: trace.Saw{}}, trace.Predicted{}, trace.Double{}, trace.Cause{}} {
		if x.String() == "" {
			t.Errorf("%T has no words", x)
		}
	}
	if got := trace.SayRefused([]trace.Refusal{{Rule: trace.BoltedFault, What: "this"}, {Rule: trace.BoltedFault, What: "that"}}); len(got) != 1 || !strings.HasPrefix(got[0], "this, that: refused: ") {
		t.Error(got)
	}
	if s := (trace.Cure{}).Steps(); s != nil {
		t.Error(s)
	}
}

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
