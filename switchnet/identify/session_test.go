package identify_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestUndoAndResume: undoing brings back what was, and a log in JSON brings back the
// session, whole.
func TestUndoAndResume(t *testing.T) {
	d := read(t, rows[2])
	c := d.weighed(rows[2])
	s := c.Session()
	state := func(s *identify.Session) string {
		text := fmt.Sprint(s.Verdict(5), s.Stages())
		for _, b := range c.Open() {
			in, err := s.In(b)
			if err != nil {
				t.Fatal(err)
			}
			text += fmt.Sprint(in)
		}
		return text
	}
	states := []string{state(s)}
	for range 8 {
		a, err := s.Next(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if a.Status != trace.Searching {
			break
		}
		for _, x := range a.Test.Before {
			do(t, s, x.Do, x.Box)
			states = append(states, state(s))
		}
		a.Test.Before = nil
		prove := a.Test.Prove
		if err := s.Answer(a.Test, d.answer(s, a.Test), 90*quantity.Percent); err != nil {
			t.Fatal(err)
		}
		if prove {
			states = append(states, "")
		}
		states = append(states, state(s))
	}
	text, err := json.Marshal(s.Log())
	if err != nil {
		t.Fatal(err)
	}
	var log []identify.Entry
	if err := json.Unmarshal(text, &log); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(s.Log(), log); diff != "" {
		t.Errorf("the log is another when read back: %s", diff)
	}
	again, err := c.Resume(log)
	if err != nil {
		t.Fatal(err)
	}
	if got := state(again); got != states[len(states)-1] {
		t.Error("the resumed session is another")
	}
	if len(s.Log()) != len(states)-1 || len(states) < 8 {
		t.Fatalf("%d entries, %d states", len(s.Log()), len(states))
	}
	for i := len(states) - 2; i >= 0; i-- {
		s.Undo()
		if got := state(s); states[i] != "" && got != states[i] {
			t.Errorf("after undoing to %d entries the state is another", i)
		}
	}
	s.Undo()
	if len(s.Log()) != 0 {
		t.Error("undid more than there was")
	}
}

// TestEveryObservation: each sort of observation comes through JSON as it was.
func TestEveryObservation(t *testing.T) {
	p := end("lower", "A1.white").Wire.In("lower")
	lockOut := identify.Action{Do: identify.LockOut}
	log := []identify.Entry{
		{Action: &lockOut},
		{Of: identify.SameCable{A: "A1", B: "B1", Same: true}, Earlier: true},
		{Of: identify.GoesTo{Cable: "B2", Box: "ceiling"}, Confidence: 80 * quantity.Percent},
		{Of: identify.InBox{Box: "lower", Spliced: [][]wiring.Wire{{wire("A1.white"), wire("A1.red")}}, Screws: []identify.Screw{{Device: "stair", Terminal: "common", Wire: wire("A1.black")}}, Capped: []wiring.Wire{wire("A1.red")}}},
		{Of: identify.Obeys{Control: "stair", Box: "lower", Does: true}},
		{Of: identify.Continuity{Between: [2]switchnet.Terminal{p, identify.Outside()}, Tied: [][2]wiring.End{{end("upper", "B1.red"), end("upper", "B1.black")}}, Found: trace.Through}},
		{Of: identify.Reference{Point: identify.Outside(), Shown: true}},
		{Of: identify.Reading{Red: p, Black: identify.Outside(), Meter: steady.LowImpedance, Shows: 120 * quantity.Volt, Tolerance: quantity.Volt, Off: []string{"stair"}}},
		{Of: identify.Tripped{}},
	}
	text, err := json.Marshal(log)
	if err != nil {
		t.Fatal(err)
	}
	var back []identify.Entry
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(log, back); diff != "" {
		t.Error(diff)
	}
	for _, r := range []struct{ text, says string }{
		{`{"observed":"smell","as":{}}`, "no sort of observation"},
		{`{"observed":"obeys","as":{"Kontrol":"x"}}`, "Kontrol"},
		{`{}`, "one of an action and an observation"},
		{`{"action":{"Do":"lock out"},"observed":"tripped","as":{}}`, "one of an action and an observation"},
		{`{"action":{"Do":"dance"}}`, "dance"},
		{`{"observed":"tripped","as":{},"more":1}`, "more"},
	} {
		var e identify.Entry
		if err := json.Unmarshal([]byte(r.text), &e); err == nil || !strings.Contains(err.Error(), r.says) {
			t.Errorf("%s: %v, want %q", r.text, err, r.says)
		}
	}
}

// TestShuffled: the order in which a job was written down decides nothing.
func TestShuffled(t *testing.T) {
	tell := func(spec wiring.Spec) string {
		c := newCase(t, &spec, &identify.Options{Unusual: 1})
		s := c.Session()
		text := fmt.Sprint(c.Size())
		for range 3 {
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			answers, err := s.Answers(a.Test)
			if err != nil {
				t.Fatal(err)
			}
			text += fmt.Sprint(a.Test.Steps(), answers, s.Verdict(30))
			if err := s.Answer(a.Test, answers[0].Of, 0); err != nil {
				t.Fatal(err)
			}
		}
		return text
	}
	q := read(t, rows[0])
	spec := q.question()
	want := tell(spec)
	r := rand.New(rand.NewPCG(1, 2))
	for range 3 {
		x := spec.Clone()
		r.Shuffle(len(x.Cables), func(i, j int) { x.Cables[i], x.Cables[j] = x.Cables[j], x.Cables[i] })
		r.Shuffle(len(x.Boxes), func(i, j int) { x.Boxes[i], x.Boxes[j] = x.Boxes[j], x.Boxes[i] })
		r.Shuffle(len(x.Devices), func(i, j int) { x.Devices[i], x.Devices[j] = x.Devices[j], x.Devices[i] })
		if got := tell(x); got != want {
			t.Fatalf("another order tells something else:\n%s\n%s", want, got)
		}
	}
}

// TestSteps: every step that touches a conductor stands after lock-out and proof, and a
// live one says what it takes.
func TestSteps(t *testing.T) {
	for _, r := range rows[:6] {
		d := read(t, r)
		c := d.weighed(r)
		s := c.Session()
		for range 30 {
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if a.Status != trace.Searching {
				break
			}
			steps := strings.Join(a.Test.Steps(), "\n")
			boxes := []string{a.Test.Box}
			if a.Test.Kind == identify.DeadTest {
				boxes = []string{a.Test.Between[0].Place, a.Test.Between[1].Place}
			}
			if a.Test.Kind == identify.LookInBox || a.Test.Kind == identify.DeadTest {
				log := fmt.Sprint(s.Log(), a.Test.Before)
				for _, b := range boxes {
					if !strings.Contains(log, "lock out") || !strings.Contains(log, "prove dead in box "+b) {
						t.Errorf("%s: %q without lock-out and proof in %s", r.name, steps, b)
					}
				}
			}
			done := fmt.Sprint(s.Log(), a.Test.Before)
			if i := strings.LastIndex(done, "energize"); a.Test.Kind.Live() && i >= 0 {
				// What was measured since the leads were last off is none of it energized.
				if at := strings.LastIndex(done[:i], "take leads off"); strings.Contains(done[max(at, 0):i], "between") {
					t.Errorf("%s: energizes with test leads on: %s", r.name, done)
				}
			}
			if a.Test.Kind.Live() && (!strings.Contains(steps, "qualified person") || !strings.Contains(steps, "category") || !strings.Contains(steps, "live source again")) {
				t.Errorf("%s: a live step without its cautions: %q", r.name, steps)
			}
			for _, x := range a.Test.Before {
				if x.Do == identify.TakeApart {
					i, _ := slices.BinarySearch(c.Open(), x.Box)
					if s.Stages()[i].Stage == identify.Found && !strings.Contains(fmt.Sprint(s.Log()), "in box "+x.Box+":") {
						t.Errorf("%s: takes %s apart before anybody looked", r.name, x.Box)
					}
				}
				do(t, s, x.Do, x.Box)
			}
			a.Test.Before = nil
			if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestAfterTrip: after a breaker opened, and where nobody may work live, no reading is
// proposed; after brittle insulation nothing is.
func TestAfterTrip(t *testing.T) {
	for _, r := range []struct {
		name string
		opt  identify.Options
		then func(*identify.Session) error
		want trace.Status // at the end
	}{
		{"a trip", identify.Options{}, func(s *identify.Session) error { return s.Observe(identify.Tripped{}) }, trace.NoTest},
		{"no live work", identify.Options{NoLive: true}, func(*identify.Session) error { return nil }, trace.NoTest},
		{"brittle", identify.Options{}, func(s *identify.Session) error { return s.Do(identify.FindBrittle, "s1") }, trace.Ended},
	} {
		d := read(t, rows[2]) // feed and light in the ceiling: dead tests cannot tell all
		q := d.question()
		opt := r.opt
		opt.Unusual = -1
		s := newCase(t, &q, &opt).Session()
		if err := r.then(s); err != nil {
			t.Fatal(err)
		}
		status := trace.Searching
		for range 100 {
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if status = a.Status; status != trace.Searching {
				break
			}
			if a.Test.Kind.Live() {
				t.Fatalf("%s: proposes %v", r.name, a.Test.Steps())
			}
			for _, x := range a.Test.Before {
				do(t, s, x.Do, x.Box)
			}
			a.Test.Before = nil
			if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
				t.Fatal(err)
			}
		}
		if status != r.want && status != trace.Found {
			t.Errorf("%s: %v, want %v", r.name, status, r.want)
		}
	}
}
