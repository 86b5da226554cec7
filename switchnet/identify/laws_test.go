package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// among reports whether the truth is in one of the fits: its cables go where they go,
// and every conductor may be what it is.
func among(t testing.TB, d *truth, w *wiring.Wiring, v identify.Verdict) bool {
	t.Helper()
	return slices.ContainsFunc(v.Fits, func(f identify.Fit) bool {
		for _, u := range f.Ends {
			want := d.role(w, u.End)
			if !slices.ContainsFunc(u.Roles, func(l identify.Likely) bool { return d.isRole(l.Role, want) }) {
				return false
			}
		}
		for _, x := range f.Cables {
			own := d.own[wiring.End{Box: x.Box, Wire: wiring.Wire{Cable: x.Cable, Conductor: d.conductor(x.Cable)}}].Wire.Cable
			for _, c := range d.spec.Cables {
				if c.Name != own {
					continue
				}
				far := c.To
				if far == x.Box {
					far = c.From
				}
				if slices.Contains(x.Or, far) || far == "panel" && slices.ContainsFunc(d.spec.Feeds, func(f wiring.Feed) bool { return slices.Contains(x.Or, f.Name) }) {
					continue
				}
				switch x.Kind {
				case identify.ToBox:
					if far != x.To {
						return false
					}
				case identify.ToFeed:
					if far != "panel" {
						return false
					}
				default:
					return false
				}
			}
		}
		return true
	})
}

// conductor returns some conductor of a cable of the question.
func (d *truth) conductor(cable string) string {
	for q := range d.own {
		if q.Wire.Cable == cable {
			return q.Wire.Conductor
		}
	}
	return ""
}

// TestTruthStays: answered truthfully, a session never rules out what is, and comes to an
// end in its class.
func TestTruthStays(t *testing.T) {
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			d := read(t, r)
			c := d.weighed(r)
			w, err := wiring.New(d.spec)
			if err != nil {
				t.Fatal(err)
			}
			s := c.Session()
			n, classes := c.Size()
			kinds := map[identify.TestKind]int{}
			status := trace.Status(0)
			for range 200 {
				a, err := s.Next(t.Context())
				if err != nil {
					t.Fatal(err)
				}
				if status = a.Status; status != trace.Searching {
					break
				}
				kinds[a.Test.Kind]++
				// What is seen depends on how far the boxes are apart.
				for _, x := range a.Test.Before {
					if err := s.Do(x.Do, x.Box); err != nil {
						t.Fatal(err)
					}
				}
				a.Test.Before = nil
				o := d.answer(s, a.Test)
				if err := s.Answer(a.Test, o, 0); err != nil {
					t.Fatal(err)
				}
				// What is ruled out never comes back, so that the end speaks for the beginning.
				if v := s.Verdict(0); v.Classes <= identify.DefaultFits && !among(t, d, w, v) {
					t.Fatalf("%v: ruled out the truth", o)
				}
			}
			v := s.Verdict(classes)
			t.Logf("%d possibilities in %d classes; %v; end: %v with %d possibilities in %d classes", n, classes, kinds, status, v.Possibilities, v.Classes)
			v.Fits = v.Fits[:1]
			if status != trace.Found && status != trace.NoTest || !among(t, d, w, v) || v.Fits[0].Likely < 95*quantity.Percent {
				for _, f := range v.Fits {
					t.Log(f.Likely, f.Cables, f.Plans, f.Ends)
				}
				t.Errorf("ended with %v", status)
			}
		})
	}
}
