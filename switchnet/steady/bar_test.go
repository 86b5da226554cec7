package steady_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// Two circuits on one neutral, drawn as a splice in the panel with the neutral of each,
// are no loop without resistance: the neutrals of feeds are one bar. Its wire carries
// the difference of their currents.
func TestSharedNeutralOnTheBar(t *testing.T) {
	s := newSketch(t, switchnet.SplitPhase())
	s.box(wiring.Panel, "panel")
	s.box(wiring.CeilingBox, "aisle-1")
	s.Feeds = []wiring.Feed{
		{Name: "aisle", Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{switchnet.LineA}},
		{Name: "slipway", Box: "panel", Breaker: 15 * quantity.Ampere, Lines: []switchnet.Rail{switchnet.LineB}},
	}
	s.Lights = []wiring.Light{{Name: "lamp", Box: "aisle-1", Power: 120 * quantity.Watt}, {Name: "flood", Box: "aisle-1", Power: 360 * quantity.Watt}}
	s.cable("M", "14/3", "panel", "aisle-1", 40*quantity.Foot)
	s.land("panel", "aisle", "hot", "M.black", "ground", "M.bare")
	s.land("panel", "slipway", "hot", "M.red")
	s.splice("panel", "M.white", "aisle:neutral", "slipway:neutral")
	s.splice("aisle-1", "M.black", "lamp:hot")
	s.splice("aisle-1", "M.red", "flood:hot")
	s.splice("aisle-1", "M.white", "lamp:neutral", "flood:neutral")
	for _, opt := range []steady.Options{{}, {Splice: quantity.Milliohm}} {
		sol := solve(t, problem(t, s.build(), &opt), switchnet.State{})
		if sol.Status() != steady.Converged || len(sol.Notes()) > 0 {
			t.Errorf("%v, %v", sol.Status(), sol.Notes())
		}
		clamp, err := sol.Clamp(wire("M", "white"))
		if amps := clamp.Amperes(); err != nil || amps < 1.9 || amps > 2 {
			t.Errorf("the neutral carries %v A (%v), want a little less than 3 A - 1 A", amps, err)
		}
	}

	// The ground on the same splice is another bar, and the bond joins the two.
	s.Splices[0].Join = append(s.Splices[0].Join, joint("slipway:ground"))
	sol := solve(t, problem(t, s.build(), &steady.Options{}), switchnet.State{})
	if sol.Status() != steady.LoopUndetermined {
		t.Errorf("neutral and ground of the panel in one splice: %v", sol.Status())
	}
}
