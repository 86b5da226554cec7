package trace_test

import (
	"context"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// script reads entries off bytes: whatever they are, some entry comes of them.
type script struct {
	b        []byte
	points   []switchnet.Terminal
	settings []trace.Setting
}

func (s *script) pick(n int) int {
	if len(s.b) == 0 {
		return 0
	}
	x := int(s.b[0])
	s.b = s.b[1:]
	return x % n
}

func (s *script) entry() trace.Entry {
	at := s.settings[s.pick(len(s.settings))]
	if s.pick(4) == 0 {
		at = at[s.pick(len(at)):]
	}
	p, q := s.points[s.pick(len(s.points))], s.points[s.pick(len(s.points))]
	report := func(o trace.Observation) trace.Entry {
		r := trace.Report{Of: o, Confidence: []quantity.Ratio{0, quantity.Whole, 90 * quantity.Percent, quantity.Percent}[s.pick(4)]}
		return trace.Entry{Report: &r, Earlier: s.pick(2) == 1}
	}
	switch s.pick(7) {
	case 0:
		return trace.Entry{Action: &trace.Action{Do: trace.Do(s.pick(9)), Box: []string{"", "panel", "place-1", "place-2", "ceiling", "attic"}[s.pick(6)]}}
	case 1:
		return report(trace.Saw{At: at, Tripped: s.pick(5) == 0, Lights: []trace.Seen{{Light: lamp, Glow: trace.Glow(s.pick(8))}}})
	case 2:
		return report(trace.Flipped{From: at, Switch: place(1 + s.pick(3)), Changed: s.pick(2) == 0})
	case 3:
		return report(trace.InUse{Tripped: s.pick(2) == 0})
	case 4:
		return report(trace.Continuity{At: at, Between: [2]switchnet.Terminal{p, q}, Lifted: s.pick(2) == 0, Found: trace.Path(s.pick(5))})
	case 5:
		return report(trace.Reference{At: at, Point: p, Shown: s.pick(3) > 0})
	}
	return report(trace.Reading{At: at, Red: p, Black: q, Meter: steady.MeterKind(s.pick(5)), Shows: quantity.Voltage(s.pick(256)-5) * quantity.Volt})
}

// FuzzSession holds that whatever is done and reported, in whatever order, a session keeps
// its rules: what it refuses leaves nothing behind, its shares add up, it reads nothing
// live after a trip, its next test can be answered, and undone it is as it was.
func FuzzSession(f *testing.F) {
	w := chain(f, 2)
	c := newCase(f, w, nil)
	all := settings(f, w)
	begin := verdict(f, c.Session())
	f.Add([]byte{})
	f.Add([]byte{0, 1, 3, 4, 1, 0, 1, 0, 1, 1, 3, 2, 9, 2, 2, 0, 1, 0})
	f.Add([]byte{0, 1, 0, 0, 0, 1, 0, 0, 1, 2, 3, 0, 2, 2, 2, 5, 9, 4, 1, 1, 0, 0})
	f.Add([]byte{3, 1, 7, 8, 5, 1, 0, 0, 3, 1, 7, 8, 6, 1, 125, 0, 0})
	f.Fuzz(func(t *testing.T, b []byte) {
		s := c.Session()
		in := &script{b: b[:min(len(b), 200)], points: c.Points(), settings: all}
		tripped := false
		for len(in.b) > 0 {
			e := in.entry()
			n := len(s.Log())
			if err := s.Enter(e); err != nil {
				if len(s.Log()) != n {
					t.Fatalf("refused, and noted: %v", err)
				}
				continue
			}
			if e.Report != nil {
				switch o := e.Report.Of.(type) {
				case trace.Saw:
					tripped = tripped || o.Tripped
				case trace.InUse:
					tripped = tripped || o.Tripped
				}
			}
		}
		v := verdict(t, s)
		sum := quantity.Ratio(0)
		for _, x := range v.Fits {
			sum += x.Likely
		}
		if len(v.Fits) == 0 || sum < quantity.Whole-quantity.Ratio(len(v.Fits)) || sum > quantity.Whole+quantity.Ratio(len(v.Fits)) {
			t.Fatalf("%v: %d classes, together %s", v.Status, len(v.Fits), sum)
		}
		a, err := s.Next(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if (a.Status == trace.Searching) != (a.Test.Kind != 0) || a.Status != v.Status && a.Status != trace.NoTest {
			t.Fatalf("the verdict is %v, the advice %v with %v", v.Status, a.Status, a.Test.Kind)
		}
		if a.Status == trace.Searching {
			if tripped && a.Test.Kind != trace.DeadTest {
				t.Fatalf("after a trip: %s", a.Test)
			}
			answers, err := s.Answers(a.Test)
			if err != nil || len(answers) == 0 {
				t.Fatalf("%s: %d answers, %v", a.Test, len(answers), err)
			}
			for _, x := range answers {
				if err := s.Clone().Answer(a.Test, x.Of, 0); err != nil {
					t.Fatalf("%s: %s is refused: %v", a.Test, x, err)
				}
			}
		}
		for range s.Log() {
			s.Undo()
		}
		if got := verdict(t, s); len(got.Fits) != len(begin.Fits) || got.Status != begin.Status {
			t.Fatalf("undone, %d classes and %v; at the beginning %d and %v", len(got.Fits), got.Status, len(begin.Fits), begin.Status)
		}
	})
}
