package identify_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestErrors: a question that cannot be answered says what is wrong with it.
func TestErrors(t *testing.T) {
	rows := []struct {
		name string
		spec func(*wiring.Spec)
		opt  identify.Options
		says []string
	}{
		{"names the job has not", nil, identify.Options{Open: []string{"attic"}, Released: []string{"cellar"}, FeedAt: map[string][]string{"north": nil, "east": nil}, Controls: []identify.Control{{Name: "stair", Lights: []string{"sun"}, Places: []string{"moon"}, Feed: "coal"}}},
			[]string{`no box "attic"`, `"cellar" is not an open box`, `no feed "east"`, `no feed "north"`, `no light "sun"`, `no box "moon"`, `no feed "coal"`}},
		{"a panel is not searched", nil, identify.Options{Open: []string{"panel"}}, []string{"is a panel"}},
		{"nothing asked of a control", nil, identify.Options{Controls: []identify.Control{{Name: "stair"}, {Name: "stair"}}}, []string{"too few lights (0) or places (0)", "stated twice"}},
		{"no feed", func(s *wiring.Spec) { s.Feeds = nil }, identify.Options{}, []string{"no feed is stated"}},
		{"a feed of two poles", func(s *wiring.Spec) { s.Feeds[0].Poles = 2 }, identify.Options{}, []string{"2 poles", "each pole", "a feed of its own, with its line", "leave out"}},
		{"no cables", func(s *wiring.Spec) { s.Cables, s.Landings, s.Splices = nil, nil, nil }, identify.Options{}, []string{"no box is open"}},
		{"too many possibilities", func(s *wiring.Spec) { s.Landings, s.Splices = nil, nil }, identify.Options{Limit: 100, Unusual: 2}, []string{"more than 100 possibilities", "which sheath goes to which box"}},
		{"too many layouts", nil, identify.Options{Layouts: 3, Unusual: 2}, []string{"more than 3 ways to run these cables"}},
		{"no scheme gives it", func(s *wiring.Spec) { s.Cables = s.Cables[:2]; s.Landings = nil; s.Splices = nil }, identify.Options{FeedAt: map[string][]string{"stair": {}}}, []string{"no scheme that is reckoned with"}},
		{"weights below zero", nil, identify.Options{Priors: &identify.Priors{Onward: -1}}, []string{"weight of -1"}},
		{"no such scheme", nil, identify.Options{Schemes: []identify.Scheme{99}}, []string{"no scheme"}},
	}
	for _, r := range rows {
		spec := deadEnd(t)
		if r.spec != nil {
			r.spec(spec)
		}
		w, err := wiring.New(*spec)
		if err != nil {
			t.Fatalf("%s: %v", r.name, err)
		}
		_, err = identify.New(t.Context(), w, &r.opt)
		if err == nil {
			t.Errorf("%s: no error", r.name)
			continue
		}
		at := 0
		for _, s := range r.says {
			i := strings.Index(err.Error()[at:], s)
			if i < 0 {
				t.Errorf("%s: %v\nwant %q, in this order", r.name, err, r.says)
				break
			}
			at += i
		}
	}
	// Where what fits is too unusual to be gone through, that is what is said: two
	// three-wires between the same boxes are one unusual thing.
	x := cottage(t, "lower", "upper")
	for _, c := range [][3]string{{"A1", "lower", "upper"}, {"A2", "lower", "upper"}, {"A3", "upper", ""}} {
		enter(t, x, c[0], "14/3", c[1], c[2])
	}
	many, err := wiring.New(*x)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := identify.New(t.Context(), many, &identify.Options{Limit: 50}); err == nil || !strings.Contains(err.Error(), "more than 50 possibilities") {
		t.Errorf("too unusual to go through: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	spec := deadEnd(t)
	spec.Landings, spec.Splices = nil, nil
	w, err := wiring.New(*spec)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := identify.New(ctx, w, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a canceled context: %v", err)
	}
}

// TestWrongObservations: what names the job has not, or says nothing, is refused whole.
func TestWrongObservations(t *testing.T) {
	c := newCase(t, deadEnd(t), nil)
	s := c.Session()
	p := end("lower", "A1.white").Wire.In("lower")
	for _, r := range []struct {
		of   identify.Observation
		says string
	}{
		{identify.SameCable{A: "A1", B: "Z9"}, `no cable "Z9"`},
		{identify.GoesTo{Cable: "A1", Box: "roof"}, `no box "roof"`},
		{identify.InBox{Box: "ceiling"}, "not an open box"},
		{identify.InBox{Box: "lower", Screws: []identify.Screw{{Device: "stair", Terminal: "odd", Wire: wire("A1.white")}}}, `no terminal "odd"`},
		{identify.InBox{Box: "lower", Capped: []wiring.Wire{wire("A1.green")}}, "no insulated conductor A1.green"},
		{identify.Obeys{Control: "porch"}, `no control "porch"`},
		{identify.Obeys{Control: "stair", Box: "ceiling"}, "no place of stair"},
		{identify.Continuity{Between: [2]switchnet.Terminal{p, p}, Found: trace.Open}, "one point twice"},
		{identify.Continuity{Between: [2]switchnet.Terminal{p, identify.Outside()}}, "is not said"},
		{identify.Continuity{Between: [2]switchnet.Terminal{p, identify.Outside()}, Found: trace.Open, Tied: [][2]wiring.End{{end("lower", "A1.red"), end("upper", "B1.red")}}}, "two conductors of one open box"},
		{identify.Reference{Point: p}, "whose function is sought"},
		{identify.Reading{Red: p, Black: identify.Outside()}, "Meter"},
		{identify.Reading{Red: p, Black: identify.Outside(), Meter: steady.LowImpedance, Shows: -1, Off: []string{"north"}}, "below zero"},
	} {
		if err := s.Recall(r.of, 0); err == nil || !strings.Contains(err.Error(), r.says) {
			t.Errorf("%v: %v, want %q", r.of, err, r.says)
		}
	}
	if err := s.Recall(identify.Obeys{Control: "stair", Box: "lower", Does: true}, 2*quantity.Whole); err == nil {
		t.Error("more than all confidence")
	}
	if err := s.Enter(identify.Entry{}); err == nil {
		t.Error("an entry of nothing")
	}
	if _, err := s.In("ceiling"); err == nil {
		t.Error("the contents of a closed box")
	}
	if err := s.Stand("roof"); err == nil {
		t.Error("stands on a roof that is not there")
	}
	if len(s.Log()) != 0 {
		t.Errorf("noted %v", s.Log())
	}
}
