package demo_test

import (
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// TestFiles wants every file read, and its wiring free of contradictions.
func TestFiles(t *testing.T) {
	rows := []struct {
		name string
		src  []byte
	}{{demo.ShedName, demo.Shed()}, {demo.ShedWiredName, demo.ShedWired()}, {demo.CottageName, demo.Cottage()}}
	for _, r := range rows {
		f, err := job.Parse(r.name, r.src, nil)
		if err != nil {
			t.Errorf("%s: %v", r.name, err)
			continue
		}
		if f.HasWiring() {
			if _, err := wiring.New(f.Wiring); err != nil {
				t.Errorf("%s: %v", r.name, err)
			}
		}
	}
}

// TestCottageStairs holds the cottage to its fault: of the four settings of the stair
// switches, one lights the stair; the other two lights obey.
func TestCottageStairs(t *testing.T) {
	f, err := job.Parse(demo.CottageName, demo.Cottage(), nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	states, _, err := w.Net().States(nil)
	if err != nil {
		t.Fatal(err)
	}
	lit := map[string]int{}
	n := 0
	solver := w.Net().NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		n++
		for l, x := range v.Supplies() {
			if x.Status == switchnet.Lit {
				lit[strings.TrimSuffix(l.Name, " light")]++
			}
		}
		if v.Shorted() {
			t.Errorf("shorted in %s", s)
		}
	}
	if n != 16 || lit["stair"] != 4 || lit["kitchen"] != 8 || lit["porch"] != 8 {
		t.Errorf("of %d states lit: %v; want of 16: stair 4, kitchen 8, porch 8", n, lit)
	}
}
