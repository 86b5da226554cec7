package lines_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// TestWhatIsProposedCanBeTyped goes through whole strategies and types all that has to be
// done for each test and each of its answers: what is read back is what was meant, and the
// session that takes the lines comes to where the one goes that takes the answer.
func TestWhatIsProposedCanBeTyped(t *testing.T) {
	f, err := job.Parse(demo.CottageName, demo.Cottage(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	var some []miswire.Fault
	for i, x := range miswire.List(w) {
		if i%50 == 0 || x.Kind == miswire.OtherNeutral || x.Kind == miswire.GroundUsed {
			some = append(some, x)
		}
	}
	kinds, dos := map[trace.TestKind]int{}, map[trace.Do]int{}
	for _, opt := range []trace.Options{{Faults: some}, {Faults: some, NoDead: true}, {Faults: some, NoLive: true}} {
		c, err := trace.New(context.Background(), w, &opt)
		if err != nil {
			t.Fatal(err)
		}
		v := lines.For(c.Wiring(), c.Points())
		card, err := c.Session().Strategy(context.Background(), &trace.StrategyOptions{Tests: 150})
		if err != nil {
			t.Fatal(err)
		}
		var walk func(b *trace.Branch, s *trace.Session)
		walk = func(b *trace.Branch, s *trace.Session) {
			if len(b.Ways) == 0 {
				return
			}
			kinds[b.Test.Kind]++
			for _, way := range b.Ways {
				told := s.Clone()
				if err := told.Answer(b.Test, way.Answer.Of, 0); err != nil {
					t.Fatal(err)
				}
				typed := s.Clone()
				for _, e := range told.Log()[len(s.Log()):] {
					if e.Action != nil {
						dos[e.Action.Do]++
					}
					line, err := lines.Write(e)
					if err != nil {
						t.Fatal(err)
					}
					got, err := v.Read(line, typed.Handles())
					if err != nil {
						t.Fatalf("%s: %v", line, err)
					}
					if d := cmp.Diff(e, got); d != "" {
						t.Fatalf("%s (-meant +read):\n%s", line, d)
					}
					if err := typed.Enter(got); err != nil {
						t.Fatalf("%s: %v", line, err)
					}
				}
				if b.Test.Box != "" {
					at, box, err := v.ReadStand(lines.WriteStand(nil, b.Test.Box))
					if err == nil {
						err = typed.Stand(at, box)
					}
					if err != nil {
						t.Fatal(err)
					}
				}
				if d := cmp.Diff(told.Handles(), typed.Handles()); d != "" {
					t.Fatalf("handles (-told +typed):\n%s", d)
				}
				walk(way.Then, told)
			}
		}
		walk(card.Root, c.Session())
	}
	for k := trace.AskUse; k <= trace.LiveReading; k++ {
		if kinds[k] == 0 && k != trace.LookFrom && k != trace.TryReference {
			t.Errorf("no strategy proposes a %v", k)
		}
	}
	for _, do := range []trace.Do{trace.LockOut, trace.ProveDead, trace.LiftNeutrals} {
		if dos[do] == 0 {
			t.Errorf("no strategy proposes to %v", do)
		}
	}
	t.Log(fmt.Sprint(kinds), fmt.Sprint(dos))
}
