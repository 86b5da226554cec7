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
		{trace.Test{Kind: trace.LiveReading, Box: "loft", Between: [2]switchnet.Terminal{red, bare}},
			[]string{"If loft is closed, it is not opened live: lock out, open it and prove it dead", "neither brittle nor of rubber"}, nil, "nobody opens a box on a live circuit"},
		{trace.Test{Kind: trace.LiveReading, Prove: true, Between: [2]switchnet.Terminal{red, bare}},
			[]string{"qualified person", "go no further", "red on C6.red in loft, black on C6.bare in loft", "known live source again"}, nil, "the tester is proven before and after"},
		{trace.Test{Kind: trace.DeadTest, Lifted: true, Before: []trace.Action{{Do: trace.LiftNeutrals}}, Between: [2]switchnet.Terminal{red, bare}},
			[]string{"panel proven dead", "tag each"}, nil, "neutrals go back where they were"},
		{trace.Test{Kind: trace.LookFrom, Before: []trace.Action{{Do: trace.CapNeutrals}, {Do: trace.LandNeutrals}, {Do: trace.Energize}}},
			[]string{"panel proven dead: cap the end of every neutral", "panel proven dead: land every neutral", "ake every test lead off", "landed or capped and every box covered"}, nil, "nothing is energized with an end bare"},
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

// TestOutcomesInWords holds how an answer is told to who stands there.
func TestOutcomesInWords(t *testing.T) {
	a, b, c := switchnet.Ref{Place: "aisle-1", Name: "light"}, switchnet.Ref{Place: "aisle-2", Name: "light"}, switchnet.Ref{Place: "loft", Name: "loft light"}
	for _, r := range []struct {
		answer trace.Answer
		want   string
		why    string
	}{
		{trace.Answer{Of: trace.Saw{Tripped: true}, Causes: 3, Classes: 2}, "if the breaker opens, 3 causes remain (0 %)", "a trip"},
		{trace.Answer{Of: trace.Saw{Lights: []trace.Seen{{Light: c, Glow: trace.Dark}}}, Causes: 1, Classes: 1, Likely: sure}, "if loft light is dark, one cause remains (100 %)", "a name of its own needs no box"},
		{trace.Answer{Of: trace.Saw{Lights: []trace.Seen{{Light: a, Glow: trace.Lit}, {Light: b, Glow: trace.Lit}}}, Causes: 2, Classes: 1, Likely: sure / 1000}, "if every light is lit, 2 causes remain, which no test tells apart (under 1 %)", "all alike"},
		{trace.Answer{Of: trace.Saw{Lights: []trace.Seen{{Light: a, Glow: trace.Lit}, {Light: b, Glow: trace.Lit}, {Light: c, Glow: trace.Dim}}}, Causes: 9, Classes: 4, Likely: sure / 4},
			"if light at aisle-1 and light at aisle-2 are lit, and loft light is dim, 9 causes remain (25 %)", "two of one name take their boxes"},
		{trace.Answer{Of: trace.InUse{}, Causes: 4, Classes: 3, Likely: sure - 1}, "if it never opened, 4 causes remain (over 99 %)", "not quite all"},
		{trace.Answer{Of: trace.Continuity{Found: trace.Open}, Causes: 4, Classes: 3, Likely: sure / 2}, "if the ohmmeter finds nothing, 4 causes remain (50 %)", "an ohmmeter"},
	} {
		if got := r.answer.String(); got != r.want {
			t.Errorf("%q, want %q (%s)", got, r.want, r.why)
		}
	}
}

// TestLeadsComeOffBeforeLights holds that where a session has measured dead and goes back to
// the lights, it says first that every test lead comes off, and takes that as done.
func TestLeadsComeOffBeforeLights(t *testing.T) {
	s := newCase(t, chain(t, 2), &trace.Options{NoLive: true}).Session()
	for _, a := range []trace.Action{{Do: trace.LockOut}, {Do: trace.ProveDead, Box: "ceiling"}} {
		if err := s.Do(a); err != nil {
			t.Fatal(err)
		}
	}
	bare := switchnet.Terminal{Place: "ceiling", Device: "C2", Name: "bare"}
	white := switchnet.Terminal{Place: "ceiling", Device: "C2", Name: "white"}
	if err := s.Report(trace.Report{Of: trace.Continuity{At: at("up", "up"), Between: [2]switchnet.Terminal{bare, white}, Found: trace.Joined}}); err != nil {
		t.Fatal(err)
	}
	lookAgain := false
	for range 60 {
		a := next(t, s)
		if a.Status != trace.Searching {
			break
		}
		if a.Test.Kind != trace.DeadTest && len(a.Test.Before) > 0 {
			lookAgain = true
			if a.Test.Before[0].Do != trace.TakeLeads || a.Test.Before[len(a.Test.Before)-1].Do != trace.Energize {
				t.Errorf("before %v: %v", a.Test, a.Test.Before)
			}
		}
		answers, err := s.Answers(a.Test)
		if err != nil {
			t.Fatal(err)
		}
		likeliest := answers[0]
		for _, x := range answers {
			if x.Likely > likeliest.Likely {
				likeliest = x
			}
		}
		if err := s.Answer(a.Test, likeliest.Of, sure); err != nil {
			t.Fatal(err)
		}
	}
	if !lookAgain {
		t.Error("the session never went back to the lights")
	}
}
