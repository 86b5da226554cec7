package trace_test

import (
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
)

// What is said before and with each sort of test, and why it has to be.
func TestSteps(t *testing.T) {
	red := switchnet.Terminal{Place: "loft", Device: "C6", Name: "red"}
	bare := switchnet.Terminal{Place: "loft", Device: "C6", Name: "bare"}
	far := switchnet.Terminal{Place: "stair-foot", Device: "C6", Name: "red"}
	rows := []struct {
		test   trace.Test
		says   []string
		hushes []string
		why    string
	}{
		{trace.Test{Kind: trace.AskUse}, []string{"Do not try it out"}, []string{"known live source"}, "a breaker is not closed onto a fault to learn more"},
		{trace.Test{Kind: trace.LookFrom, Box: "loft"}, []string{"Move no handle", "from loft"}, []string{"probe"}, "a look is a look"},
		{trace.Test{Kind: trace.FlipAndLook, Box: "loft", Flips: []switchnet.Ref{{Place: "loft", Name: "stair"}}},
			[]string{"In loft, move the handle of stair", "leave it open"}, nil, "after one trip nothing is reset"},
		{trace.Test{Kind: trace.DeadTest, Before: []trace.Action{{Do: trace.LockOut}, {Do: trace.ProveDead, Box: "loft"}}, Between: [2]switchnet.Terminal{red, bare}},
			[]string{"lock out and tag", "Open loft and prove it dead", "brittle", "Still locked out", "C6.red in loft and C6.bare in loft"}, []string{"long lead", "live work"}, "dead work"},
		{trace.Test{Kind: trace.DeadTest, Between: [2]switchnet.Terminal{red, far}}, []string{"both boxes proven dead", "long lead"}, nil, "two boxes take a lead"},
		{trace.Test{Kind: trace.TryReference, Between: [2]switchnet.Terminal{{}, bare}},
			[]string{"qualified person", "measurement category", "gloves", "known live source over C6.bare in loft"}, []string{"red on"}, "live work names who, with what"},
		{trace.Test{Kind: trace.LiveReading, Prove: true, Between: [2]switchnet.Terminal{red, bare}},
			[]string{"qualified person", "go no further", "red on C6.red in loft, black on C6.bare in loft", "known live source again"}, nil, "the tester is proven before and after"},
		{trace.Test{Kind: trace.DeadTest, Lifted: true, Before: []trace.Action{{Do: trace.LiftNeutrals}}, Between: [2]switchnet.Terminal{red, bare}},
			[]string{"panel proven dead", "tag each"}, nil, "neutrals go back where they were"},
		{trace.Test{Kind: trace.LookFrom, Before: []trace.Action{{Do: trace.CapNeutrals}, {Do: trace.LandNeutrals}, {Do: trace.Energize}}},
			[]string{"Cap the end of every neutral", "land every neutral", "landed or capped and every box covered"}, nil, "nothing is energized with an end bare"},
	}
	for _, r := range rows {
		text := strings.Join(r.test.Steps(), "\n")
		for _, s := range r.says {
			if !strings.Contains(text, s) {
				t.Errorf("%v does not say %q (%s):\n%s", r.test.Kind, s, r.why, text)
			}
		}
		for _, s := range r.hushes {
			if strings.Contains(text, s) {
				t.Errorf("%v says %q (%s):\n%s", r.test.Kind, s, r.why, text)
			}
		}
	}
	if s := (trace.Action{Do: trace.FindBrittle, Box: "loft"}).Step(); !strings.Contains(s, "move nothing more") {
		t.Error(s)
	}
}
