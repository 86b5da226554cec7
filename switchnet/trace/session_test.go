package trace_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

func at(positions ...string) trace.Setting {
	var out trace.Setting
	for i, p := range positions {
		if p != "" {
			out = append(out, trace.Handle{Switch: place(i + 1), Position: p})
		}
	}
	return out
}

func saw(glow trace.Glow, positions ...string) trace.Saw {
	return trace.Saw{At: at(positions...), Lights: []trace.Seen{{Light: lamp, Glow: glow}}}
}

func end(box, cable, colour string) switchnet.Terminal {
	return wiring.Wire{Cable: cable, Conductor: colour}.In(box)
}

func recall(tb testing.TB, s *trace.Session, os ...trace.Observation) {
	tb.Helper()
	for _, o := range os {
		if err := s.Recall(trace.Report{Of: o}); err != nil {
			tb.Fatal(err)
		}
	}
}

func verdict(tb testing.TB, s *trace.Session) trace.Verdict {
	tb.Helper()
	v, err := s.Verdict()
	if err != nil {
		tb.Fatal(err)
	}
	return v
}

// says reports whether a cause that says this is among what remains.
func says(v trace.Verdict, what string) bool {
	return slices.ContainsFunc(v.Fits, func(f trace.Fit) bool {
		return slices.ContainsFunc(f.Class.Causes, func(c trace.Cause) bool { return strings.HasPrefix(c.String(), what) })
	})
}

// TestOneOfFour holds the table of a pair that lights in one setting of four: which
// causes it leaves, and which readings then split them. The readings are those a
// practitioner takes: both travelers at each end while the handles are moved.
func TestOneOfFour(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, nil)
	oneOfFour := []trace.Observation{
		saw(trace.Lit, "up", "up"), saw(trace.Dark, "down", "up"), saw(trace.Dark, "up", "down"), saw(trace.Dark, "down", "down"),
	}
	const (
		swapA   = "hall.common and hall.traveler 1 are exchanged in box place-1"
		swapB   = "hall.common and hall.traveler 1 are exchanged in box place-2"
		open    = "C1.red is open"
		throwA  = "hall: common does not join traveler 1 when up in box place-1"
		throwB  = "hall: common does not join traveler 1 when up in box place-2"
		singleA = "hall is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box place-1"
		right   = "nothing is wrong"
		hotTied = "C0.black and C1.black touch in box place-1"
	)
	all := []string{swapA, swapB, open, throwA, throwB, singleA, right, hotTied}
	read := func(box, colour string, hot bool, positions ...string) []trace.Observation {
		ref := end(box, "C1", "bare")
		shows := quantity.Voltage(0)
		if hot {
			shows = 120 * quantity.Volt
		}
		return []trace.Observation{
			trace.Reference{At: at(positions...), Point: ref, Shown: true},
			trace.Reading{At: at(positions...), Red: end(box, "C1", colour), Black: ref, Meter: steady.LowImpedance, Shows: shows},
		}
	}
	for _, r := range []struct {
		more [][]trace.Observation
		want []string
		why  string
	}{
		{nil, []string{swapA, swapB, open, throwA, throwB, singleA}, "flips never tell these apart at two places"},
		{[][]trace.Observation{read("place-1", "black", false, "down", "up"), read("place-1", "red", false, "down", "up")},
			[]string{swapA, throwA, singleA}, "both travelers dead at the feed end in one position: the feed end is at fault"},
		{[][]trace.Observation{read("place-1", "black", true, "up", "down"), read("place-1", "red", true, "up", "down")},
			[]string{swapB}, "both travelers hot: the leg sits on a brass screw at the far end"},
		{[][]trace.Observation{
			read("place-2", "black", true, "up", "up"), read("place-2", "red", false, "up", "up"),
			read("place-2", "black", false, "down", "up"), read("place-2", "red", true, "down", "up"),
			read("place-2", "black", true, "up", "down"), read("place-2", "black", false, "down", "down"), read("place-2", "red", true, "down", "down")},
			[]string{throwB}, "exactly one traveler is driven in every setting: only a dead throw at the far end is left"},
	} {
		s := c.Session()
		recall(t, s, oneOfFour...)
		for _, m := range r.more {
			recall(t, s, m...)
		}
		v := verdict(t, s)
		for _, x := range all {
			// Which of the two travelers and of the two throws it is depends on
			// how the handles are mounted, so the fellow of each serves as well.
			got := says(v, x) || says(v, strings.NewReplacer("traveler 1", "traveler 2", " up ", " down ", "C1.red", "C1.black").Replace(x))
			if got != slices.Contains(r.want, x) {
				t.Errorf("%s: %q remains: %v\n%v", r.why, x, got, v)
			}
		}
	}
}

// TestContradiction holds that reports which no single fault gives are called so, with
// the report that fits worst.
func TestContradiction(t *testing.T) {
	c := newCase(t, chain(t, 3), nil)
	s := c.Session()
	// It lights in exactly one of the eight settings: no single thing does that, but
	// a three-way in the four-way's place landed so, a fault of the list.
	recall(t, s, saw(trace.Lit, "up", "up", "up"))
	for _, x := range []trace.Saw{
		saw(trace.Dark, "down", "up", "up"), saw(trace.Dark, "up", "down", "up"), saw(trace.Dark, "up", "up", "down"),
		saw(trace.Dark, "down", "down", "up"), saw(trace.Dark, "down", "up", "down"), saw(trace.Dark, "up", "down", "down"),
		saw(trace.Dark, "down", "down", "down"),
	} {
		recall(t, s, x)
	}
	v := verdict(t, s)
	for _, f := range v.Fits {
		for _, x := range f.Class.Causes {
			if x.Fault.Kind != miswire.WrongDevice || x.Fault.Box != "place-2" {
				t.Errorf("lit in one of eight: %s remains; only another device in the four-way's place does that alone", x)
			}
		}
	}
	if v.Status != trace.Searching {
		t.Errorf("lit in one of eight: %v", v.Status)
	}

	// Nothing of the metal can make two lookings at one setting differ.
	s = c.Session()
	recall(t, s,
		saw(trace.Lit, "up", "up", "up"), saw(trace.Dark, "down", "up", "up"), saw(trace.Dark, "up", "down", "up"),
		saw(trace.Lit, "down", "down", "up"), saw(trace.Dark, "up", "up", "down"), saw(trace.Lit, "up", "up", "down"))
	v = verdict(t, s)
	if v.Status != trace.Contradiction {
		t.Fatalf("dark and lit in one setting: %v", v.Status)
	}
	if !v.Fits[0].Class.Sound || len(v.Fits[0].Against) != 1 || v.Fits[0].Against[0] != 5 {
		t.Errorf("the nearest is %s, against reports %v; want nothing wrong, against the last report", &v.Fits[0].Class, v.Fits[0].Against)
	}
}

// TestDidNothing holds reports of single switches.
func TestDidNothing(t *testing.T) {
	c := newCase(t, chain(t, 3), nil)
	s := c.Session()
	// The four-way never does anything; the others do.
	recall(t, s,
		trace.Flipped{Switch: place(2)},
		trace.Flipped{From: at("up", "up", "up"), Switch: place(1), Changed: true},
		trace.Flipped{From: at("down", "up", "up"), Switch: place(3), Changed: true})
	v := verdict(t, s)
	if !says(v, "hall: stuck") || says(v, "nothing is wrong") || says(v, "C0.black is open") {
		t.Errorf("got %v", v)
	}
}

// TestMasters holds what the table of three places says of an exchange at one of them.
func TestMasters(t *testing.T) {
	w := chain(t, 3)
	c := newCase(t, w, nil)
	for i, box := range []string{"place-1", "place-2", "place-3"} {
		s := c.Session()
		// With that place's handle down nothing lights whatever the others do; up,
		// it is as it should be.
		down := make([]string, 3)
		down[i] = "down"
		recall(t, s, saw(trace.Dark, down...))
		for j := range 3 {
			if j == i {
				continue
			}
			up := make([]string, 3)
			up[i] = "up"
			recall(t, s, trace.Flipped{From: at(up...), Switch: place(j + 1), Changed: true})
		}
		v := verdict(t, s)
		for _, f := range v.Fits {
			for _, x := range f.Class.Causes {
				// A three-way in the four-way's place with one traveler left off
				// leaves that traveler open.
				left := x.Fault.Kind == miswire.WrongDevice && x.Fault.Box == "place-2"
				near := left || x.Fault.Box == box || strings.Contains(x.String(), "C1") && i < 2 || strings.Contains(x.String(), "C2") && i > 0
				if !near {
					t.Errorf("master %s: %q remains", box, x)
				}
			}
		}
		if v.Status != trace.Searching {
			t.Errorf("master %s: %v", box, v.Status)
		}
	}
}

// TestReports holds that what is wrong with a report is said, all of it, and that
// nothing of it then counts.
func TestReports(t *testing.T) {
	c := newCase(t, chain(t, 2), nil)
	ghost := switchnet.Ref{Place: "attic", Name: "ghost"}
	for _, r := range []struct {
		report trace.Report
		want   []string
		why    string
	}{
		{trace.Report{}, []string{"Report.Of: is not set"}, "nothing reported"},
		{trace.Report{Of: saw(trace.Lit, "up", "up"), Confidence: 2 * quantity.Whole}, []string{"Report.Confidence"}, "surer than sure"},
		{trace.Report{Of: trace.Saw{At: trace.Setting{{Switch: ghost, Position: "up"}, {Switch: place(1), Position: "left"}}}},
			[]string{"no switch ghost at attic", `no position "left"; it has up, down`, "says of no light"}, "three mistakes"},
		{trace.Report{Of: trace.Saw{At: trace.Setting{{Switch: place(1), Position: "up"}, {Switch: place(1), Position: "down"}}, Lights: []trace.Seen{{Light: ghost}}}},
			[]string{"is there twice", "no light ghost", "does not say what the light did"}, "one switch twice"},
		{trace.Report{Of: trace.Flipped{Switch: ghost}}, []string{"no switch ghost"}, "an unknown switch"},
		{trace.Report{Of: trace.Continuity{Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), end("place-1", "C0", "black")}}},
			[]string{"both probes are on", "Continuity.Found: is not said"}, "one point twice"},
		{trace.Report{Of: trace.Continuity{Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), place(1).Terminal("common")}, Found: trace.Open}},
			[]string{"hall common at place-1 is no point"}, "a screw that a wrong device would not have"},
		{trace.Report{Of: trace.Reading{Red: end("place-1", "C0", "black"), Black: end("place-1", "C0", "white"), Shows: -1}},
			[]string{"Reading.Meter: is not said", "Reading.Shows: is below zero"}, "no meter"},
	} {
		s := c.Session()
		err := s.Recall(r.report)
		for _, want := range r.want {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %v, want %q", r.why, err, want)
			}
		}
		if len(s.Log()) != 0 {
			t.Errorf("%s: it was noted", r.why)
		}
	}
	blind := newCase(t, chain(t, 2), &trace.Options{NoDead: true, NoLive: true}).Session()
	for _, o := range []trace.Observation{
		trace.Continuity{Between: [2]switchnet.Terminal{end("place-1", "C0", "black"), end("place-1", "C1", "black")}, Found: trace.Open},
		trace.Reading{Red: end("place-1", "C0", "black"), Black: end("place-1", "C0", "white"), Meter: steady.LowImpedance},
		trace.Reference{Point: end("place-1", "C0", "white")},
	} {
		if err := blind.Recall(trace.Report{Of: o}); err == nil || !strings.Contains(err.Error(), "options leave out") {
			t.Errorf("%v where the options leave it out: %v", o, err)
		}
	}
}

// TestHighImpedanceIsNeverDead holds what readings come to.
func TestHighImpedanceIsNeverDead(t *testing.T) {
	for _, r := range []struct {
		meter steady.MeterKind
		shows quantity.Voltage
		want  trace.Volts
		why   string
	}{
		{steady.HighImpedance, 0, trace.Ambiguous, "an open lead reads zero too"},
		{steady.HighImpedance, 57 * quantity.Volt, trace.Ambiguous, "evidence of nothing until loaded"},
		{steady.HighImpedance, 119 * quantity.Volt, trace.Hot, "more than any coupling of one sheath brings"},
		{steady.LowImpedance, 0, trace.Dead, "dead under load"},
		{steady.LowImpedance, 2 * quantity.Volt, trace.Dead, "a ghost under load"},
		{steady.LowImpedance, 60 * quantity.Volt, trace.Ambiguous, "half: something is in series"},
		{steady.LowImpedance, 118 * quantity.Volt, trace.Hot, "hot"},
		{steady.LowImpedance, 240 * quantity.Volt, trace.Hot, "two lines"},
		{steady.Proximity, 0, trace.Ambiguous, "silence is no proof"},
	} {
		if got := (trace.Reading{Meter: r.meter, Shows: r.shows}).Comes(120 * quantity.Volt); got != r.want {
			t.Errorf("%v on the %v meter: %v, want %v: %s", r.shows, r.meter, got, r.want, r.why)
		}
	}
	// A zero of a high-impedance meter leaves a live conductor possible only where
	// coupling could not have shown it: it never rules out a dead one or a floating.
	c := newCase(t, chain(t, 2), nil)
	s := c.Session()
	bare, black := end("place-2", "C1", "bare"), end("place-2", "C1", "black")
	recall(t, s,
		saw(trace.Dark, "up", "up"),
		trace.Reference{At: at("up", "up"), Point: bare, Shown: true},
		trace.Reading{At: at("up", "up"), Red: black, Black: bare, Meter: steady.HighImpedance})
	if v := verdict(t, s); !says(v, "C1.black is open") || !says(v, "nothing is wrong") || !says(v, "C1.black and C1.white touch") {
		t.Errorf("after a zero of high impedance: %v", fmt.Sprint(v))
	}
}

// TestDoubtedReportsMayBeWrong holds that where only reports that are doubted speak against
// all that is left the session goes on and says which they are, and that where they were
// nearly certain, or several, no single fault gives it.
func TestDoubtedReportsMayBeWrong(t *testing.T) {
	for _, r := range []struct {
		why  string
		sure []quantity.Ratio // of lies
		want trace.Status
	}{
		{"one that is doubted", []quantity.Ratio{80 * quantity.Percent}, trace.Searching},
		{"one that is doubted little", []quantity.Ratio{95 * quantity.Percent}, trace.Searching},
		{"one that is hardly doubted", []quantity.Ratio{99 * quantity.Percent}, trace.Contradiction},
		{"two that are doubted", []quantity.Ratio{85 * quantity.Percent, 85 * quantity.Percent}, trace.Contradiction},
		{"one that nobody doubts", []quantity.Ratio{sure}, trace.Contradiction},
	} {
		s := newCase(t, chain(t, 2), nil).Session()
		recall(t, s, trace.InUse{}, saw(trace.Lit, "up", "up"), saw(trace.Dark, "down", "up"))
		for i, c := range r.sure {
			lie := []trace.Saw{saw(trace.Dark, "up", "up"), saw(trace.Lit, "down", "up")}[i]
			if err := s.Recall(trace.Report{Of: lie, Confidence: c}); err != nil {
				t.Fatal(err)
			}
		}
		v := verdict(t, s)
		if v.Status != r.want {
			t.Errorf("%s: %v, want %v", r.why, v.Status, r.want)
		}
		if len(v.Fits) == 0 || !slices.Equal(v.Fits[0].Against, []int{3, 4}[:len(r.sure)]) {
			t.Errorf("%s: the likeliest does not fit %v", r.why, v.Fits[0].Against)
		}
		if a := next(t, s); a.Status != r.want {
			t.Errorf("%s: next %v, want %v", r.why, a.Status, r.want)
		}
		if r.want == trace.Searching {
			if got := next(t, s); got.Test.Kind == trace.FlipAndLook && len(got.Refused) > 0 {
				t.Errorf("%s: %v", r.why, trace.SayRefused(got.Refused))
			}
		}
	}
}

// Where the circuit is live with its neutrals capped, what is proposed lands them first, locked
// out and the panel proven dead anew, and can be done.
func TestNextWithNeutralsCapped(t *testing.T) {
	for _, noDead := range []bool{false, true} {
		s := newCase(t, chain(t, 2), &trace.Options{NoDead: noDead}).Session()
		for _, a := range []trace.Action{{Do: trace.LockOut}, {Do: trace.ProveDead, Box: "panel"}, {Do: trace.LiftNeutrals}, {Do: trace.CapNeutrals}, {Do: trace.Energize}} {
			if err := s.Do(a); err != nil {
				t.Fatal(err)
			}
		}
		landed := false
		for range 30 {
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if a.Status != trace.Searching {
				break
			}
			answers, err := s.Answers(a.Test)
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Answer(a.Test, answers[0].Of, 0); err != nil {
				t.Fatalf("%v: %v", a.Test, err)
			}
			landed = landed || slices.Contains(a.Test.Before, trace.Action{Do: trace.LandNeutrals})
		}
		if !landed {
			t.Error("the neutrals are never landed")
		}
	}
}
