package identify_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// takeable holds that whatever test a session weighs now can be done and answered as it
// says without breaking a rule, and that none takes a box apart that nobody looked into.
// Of the measurements it tries some.
func takeable(t *testing.T, s *identify.Session, every int, tried map[identify.TestKind]int) (serves bool) {
	t.Helper()
	tests, err := identify.Candidates(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	looked := fmt.Sprint(s.Log())
	for i, x := range tests {
		serves = serves || !x.Kind.Live() && x.Bits >= 0.02
		for _, b := range x.Before {
			if b.Do == identify.TakeApart && !strings.Contains(looked, "in box "+b.Box+":") {
				t.Fatalf("%v takes %s apart, into which nobody looked", x.Steps(), b.Box)
			}
		}
		if i%every != 0 && (!x.Kind.Live() || i%(every/2+1) != 0) && x.Kind != identify.AskObeys {
			continue
		}
		answers, err := s.Answers(x)
		if err != nil {
			t.Fatal(err)
		}
		done := len(s.Log())
		if err := s.Answer(x, answers[0].Of, 0); err != nil {
			t.Fatalf("%v, answered %v: %v", x.Steps(), answers[0].Of, err)
		}
		if tried[x.Kind]++; len(x.Before) > 0 && x.Kind.Live() {
			tried[0]++
		}
		for len(s.Log()) > done {
			s.Undo()
		}
	}
	return serves
}

// TestCandidates: along a session nothing is weighed that breaks a rule, and no live test
// is proposed while one with the circuit dead serves. Some begin with the boxes looked
// into and references proven, and go on live.
func TestCandidates(t *testing.T) {
	tried := map[identify.TestKind]int{}
	for k, r := range []row{rows[0], rows[3], rowNamed(t, "borrowed neutral"), rowNamed(t, "two circuits in one box")} {
		d := read(t, r)
		q := d.question()
		for i := range q.Boxes {
			q.Boxes[i].Metal = k%2 == 0
		}
		opt := r.opt
		opt.Unusual = -1
		if k == 1 || k == 2 {
			opt.Unusual = 1
		}
		c := newCase(t, &q, &opt)
		for _, live := range []bool{false, true} {
			s := c.Session()
			if live {
				for _, b := range c.Open() {
					if err := s.Recall(d.inBox(s, b), 0); err != nil {
						t.Fatal(err)
					}
				}
				points := c.Points()
				slices.Reverse(points) // the one outside first
				for _, p := range points[:2] {
					if err := s.Observe(identify.Reference{Point: p, Shown: true}); err != nil {
						t.Fatal(err)
					}
				}
				takeable(t, s, 4, tried)
			}
			for range 40 {
				serves := takeable(t, s, 12, tried)
				a, err := s.Next(t.Context())
				if err != nil {
					t.Fatal(err)
				}
				if a.Status != trace.Searching {
					break
				}
				if a.Test.Kind.Live() && serves {
					t.Fatalf("%s: proposes %v while a test with the circuit dead serves", r.name, a.Test.Steps())
				}
				for _, b := range a.Test.Before {
					do(t, s, b.Do, b.Box)
				}
				a.Test.Before = nil
				if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	for _, kind := range []identify.TestKind{identify.AskObeys, identify.LookInBox, identify.DeadTest, identify.LiveReading, 0} {
		if tried[kind] < 2 {
			t.Errorf("too few were tried: %v", tried)
		}
	}
}

// TestCautions: what is said of an action, and of a live reading, has what keeps a person
// alive in it.
func TestCautions(t *testing.T) {
	for _, r := range []struct {
		do   identify.Do
		says []string
	}{
		{identify.LockOut, []string{"lock out", "tag"}},
		{identify.ProveDead, []string{"hall", "known live source", "again"}},
		{identify.TakeOff, []string{"hall", "locked out and proven dead", "tag", "cap every end that is now free"}},
		{identify.TakeApart, []string{"hall", "locked out and proven dead", "tag", "cap every end", "neutral that another circuit shares must not be opened while that circuit is on"}},
		{identify.PartEnds, []string{"hall", "locked out and proven dead", "cap each end"}},
		{identify.TakeLeads, []string{"every test lead", "both ends", "Cap what they were on"}},
		{identify.Energize, []string{"test lead", "landed or capped", "every box covered", "nobody is at the wiring"}},
		{identify.FindBrittle, []string{"hall", "brittle", "move nothing more", "judged and replaced"}},
	} {
		a := identify.Action{Do: r.do}
		if r.do != identify.LockOut && r.do != identify.TakeLeads && r.do != identify.Energize {
			a.Box = "hall"
		}
		for _, w := range r.says {
			if !strings.Contains(strings.ToLower(a.Step()), strings.ToLower(w)) {
				t.Errorf("%v does not say %q: %q", a, w, a.Step())
			}
		}
	}
	reading := identify.Test{Kind: identify.LiveReading, Box: "hall", Between: [2]switchnet.Terminal{wire("K1.black").In("hall"), identify.Outside()}, Off: []string{"stair"}, Prove: true}
	steps := strings.Join(reading.Steps(), "\n")
	for _, w := range []string{
		"qualified person", "where the law of the place permits it", "voltage-rated gloves", "eye protection", "nobody else in reach",
		"measurement category", "III for fixed wiring", "stair is off and every other circuit of these boxes on", "off, locked and tagged", "Prove the reference and the tester", "If it shows nothing, that is the answer: go no further",
		"one that loads the circuit", "every free end capped but the one you touch", "show it the known live source again",
	} {
		if !strings.Contains(steps, w) {
			t.Errorf("a live reading does not say %q: %q", w, steps)
		}
	}
	tie := identify.Test{Kind: identify.DeadTest, Tied: [][2]wiring.End{{end("hall", "K1.black"), end("hall", "K1.red")}}}
	if steps := strings.Join(tie.Steps(), "\n"); !strings.Contains(steps, "still locked out and proven dead: twist") || !strings.Contains(steps, "Nothing is switched on before") {
		t.Errorf("twisting ends together does not say what it takes: %q", steps)
	}
}
