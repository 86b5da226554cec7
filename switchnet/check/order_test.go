package check_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// TestOrder shuffles the lists of examples: nothing that is found depends on the
// order in which the job was written down, but the entry that says so.
func TestOrder(t *testing.T) {
	t.Parallel()
	for n, name := range examples(t) {
		if n%3 != 0 {
			continue // a third of them has every sort of rule and fix
		}
		x := readExample(t, name)
		want := findings(t, x.job, x.suite)
		spec := shuffled(x.job.Wiring.Spec(), rand.New(rand.NewPCG(uint64(n), 1)))
		w, err := wiring.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		j := x.job
		j.Wiring = w
		if diff := cmp.Diff(want, findings(t, j, x.suite)); diff != "" {
			t.Errorf("%s, its lists shuffled, gives something else (-as written +shuffled):\n%s", name, diff)
		}
	}
}

// findings returns what is found with fixes, as JSON without the entries of the job.
func findings(t *testing.T, j check.Job, suite check.Suite) string {
	t.Helper()
	found, err := check.Run(t.Context(), j, suite, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range found {
		found[i].Place.At = wiring.Ref{}
		for k := range found[i].Related {
			found[i].Related[k].At = wiring.Ref{}
		}
	}
	out, err := json.MarshalIndent(found, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// shuffled returns a spec with its lists, and what is joined in each splice, in another
// order.
func shuffled(s wiring.Spec, r *rand.Rand) wiring.Spec {
	mix(r, s.Feeds)
	mix(r, s.Boxes)
	mix(r, s.Lights)
	mix(r, s.Devices)
	mix(r, s.Cables)
	mix(r, s.Splices)
	for i := range s.Splices {
		mix(r, s.Splices[i].Join)
	}
	mix(r, s.Landings)
	mix(r, s.Caps)
	mix(r, s.Marks)
	mix(r, s.Tags)
	mix(r, s.Opens)
	mix(r, s.Ties)
	for i := range s.Ties {
		if t := &s.Ties[i]; r.IntN(2) == 0 {
			t.A, t.B = t.B, t.A
		}
	}
	for i := range s.Cables {
		if r.IntN(2) == 0 {
			s.Cables[i] = s.Cables[i].Turned()
		}
	}
	return s
}

func mix[T any](r *rand.Rand, list []T) {
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
}
