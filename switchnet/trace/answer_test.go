package trace_test

import (
	"context"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestAnswersCountWhatRemains holds what an answer says would remain against what does
// remain once it is given, along the likeliest way through each job.
func TestAnswersCountWhatRemains(t *testing.T) {
	for _, r := range []struct {
		name  string
		w     *wiring.Wiring
		tests int
	}{
		{"three places", chain(t, 3), 8},
		{"the shed, where lights in series may look like any pattern", shed(t), 2},
	} {
		s := newCase(t, r.w, nil).Session()
		for range r.tests {
			a, err := s.Next(context.Background())
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
			likeliest := answers[0]
			for _, x := range answers {
				then := s.Clone()
				if err := then.Answer(a.Test, x.Of, quantity.Whole); err != nil {
					t.Fatal(err)
				}
				v, err := then.Verdict()
				if err != nil {
					t.Fatal(err)
				}
				causes := 0
				for _, f := range v.Fits {
					causes += len(f.Class.Causes)
				}
				if len(v.Fits) != x.Classes || causes != x.Causes {
					t.Errorf("%s: %s: %d classes and %d causes remain, and the answer said %d and %d", r.name, x.Of, len(v.Fits), causes, x.Classes, x.Causes)
				}
				if x.Likely > likeliest.Likely {
					likeliest = x
				}
			}
			if err := s.Answer(a.Test, likeliest.Of, quantity.Whole); err != nil {
				t.Fatal(err)
			}
		}
	}
}
