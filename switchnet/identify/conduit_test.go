package identify_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestTapping: a chain of three places with everything taken off, single conductors in
// pipe whose colours say nothing. One end's pair at a time is twisted together, or a long
// lead laid: dead tests alone find which two of three go to the middle, and which two of
// the four there belong together.
func TestTapping(t *testing.T) {
	d := read(t, row{name: "29", job: `
open e1 m e2
light lamp ceiling
switch stair e1
switch stair m four-way
switch stair e2
cable F loose+14+AWG+90+C+black panel e1
cable T loose+14+AWG+90+C+blue+red e1 m
cable U loose+14+AWG+90+C+brown+yellow m e2
cable L loose+14+AWG+90+C+orange e2 ceiling
cable N loose+14+AWG+90+C+white panel ceiling
in e1: F.black stair.common
in e1: T.blue stair.traveler+1
in e1: T.red stair.traveler+2
in m: T.blue stair.pair+1+first
in m: T.red stair.pair+1+second
in m: U.brown stair.pair+2+first
in m: U.yellow stair.pair+2+second
in e2: U.brown stair.traveler+1
in e2: U.yellow stair.traveler+2
in e2: L.orange stair.common
in ceiling: L.orange lamp.hot
in ceiling: N.white lamp.neutral
`})
	q := d.question()
	pr := identify.DefaultPriors()
	pr.Respliced, pr.Colours, pr.OtherWay, pr.Onward, pr.Abandoned = 100, nil, 100, 0, 0
	c := newCase(t, &q, &identify.Options{Parted: []string{"e1", "m", "e2"}, Priors: &pr, Layouts: 500_000, FeedAt: map[string][]string{"stair": nil}, NoLive: true, Schemes: []identify.Scheme{identify.Chain}, Unusual: 1})
	s := c.Session()
	tests := 0
	for ; ; tests++ {
		a, err := s.Next(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if a.Status != trace.Searching {
			break
		}
		if a.Test.Kind.Live() {
			t.Fatalf("proposes %v", a.Test.Kind)
		}
		if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
			t.Fatal(err)
		}
	}
	// Which end has the feed, and which conductor of the ends is which traveler, no
	// dead test of these boxes tells; what goes where it does.
	v := s.Verdict(100)
	n, classes := c.Size()
	t.Logf("%d possibilities in %d classes; %d tests; %d classes left", n, classes, tests, v.Classes)
	for _, f := range v.Fits {
		for _, w := range f.Cables {
			own := d.own[wiring.End{Box: w.Box, Wire: wiring.Wire{Cable: w.Cable, Conductor: w.Conductor}}].Wire.Cable
			want := map[string]string{"T": "e1m", "U": "me2"}[own]
			if want == "" {
				continue
			}
			if got := w.Box + w.To; w.Kind != identify.ToBox || got != want && w.To+w.Box != want {
				t.Fatalf("%v, and it is %s", w, own)
			}
		}
	}
	if tests > 12 {
		t.Errorf("%d tests; somebody with a helper needs 2 to 4 taps at each of two sections, and a reading or two for each", tests)
	}
}

// TestBlackOfAnOldTwin: in an old twin of red and black the black is the neutral, as far as
// colours say anything; in a twin of black and white, and in loose conductors of black and
// red in pipe, it is a hot.
func TestBlackOfAnOldTwin(t *testing.T) {
	for _, r := range []struct {
		first, second string
		black         identify.Function
	}{
		{"1.5 mm2 twin and earth, old colours", "1.5 mm2 twin and earth, old colours", identify.Neutral},
		{"14/2", "14/2", identify.ConstantHot},
		{"loose 14 AWG 90 C black red", "14/2", identify.ConstantHot},
	} {
		s := cottage(t, "hall")
		s.Devices[0].Kind = singlePole()
		enter(t, s, "K1", r.first, "hall", "panel")
		enter(t, s, "K2", r.second, "hall", "ceiling")
		x := newCase(t, s, nil).Session()
		if got := likely(t, x, "hall", "K1.black", r.black); got < 70*quantity.Percent {
			t.Errorf("%s: the black of the feed is a %v at %v", r.first, r.black, got)
		}
	}
}
