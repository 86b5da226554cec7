package identify_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestDemos: in every set of the switch boxes of the boat shed and of the cottage, opened
// and looked into as they are wired, all other boxes closed, the truth is among what is
// reckoned with; answered truthfully, it is never ruled out, and is what is left in the
// end. The stair of the cottage is miswired at its head: that box is named, and without
// what is landed there the rest is found.
func TestDemos(t *testing.T) {
	for _, x := range []struct {
		file  string
		src   []byte
		wrong string
	}{{demo.ShedWiredName, demo.ShedWired(), ""}, {demo.CottageName, demo.Cottage(), "stair-head"}} {
		f, err := job.Parse(x.file, x.src, nil)
		if err != nil {
			t.Fatal(err)
		}
		var controls []identify.Control
		for _, c := range f.Intent.Controls {
			controls = append(controls, identify.Control{Name: c.Name, Lights: c.Lights, Places: c.Places})
		}
		spec := f.Wiring
		w, err := wiring.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		var boxes []string
		for _, d := range spec.Devices {
			if !slices.Contains(boxes, d.Box) {
				boxes = append(boxes, d.Box)
			}
		}
		slices.Sort(boxes)
		for set := 1; set < 1<<len(boxes); set++ {
			var open []string
			for i, b := range boxes {
				if set&(1<<i) != 0 {
					open = append(open, b)
				}
			}
			t.Run(fmt.Sprint(x.file, open), func(t *testing.T) {
				opt := &identify.Options{Open: open, Controls: controls, Unusual: 1}
				c, err := identify.New(t.Context(), w, opt)
				var none *identify.NoScheme
				if errors.As(err, &none) {
					if !slices.Equal(none.Boxes, []string{x.wrong}) {
						t.Fatal(err)
					}
					opt.Disturbed = none.Boxes
					c, err = identify.New(t.Context(), w, opt)
				}
				if err != nil {
					t.Fatal(err)
				}
				n, classes := c.Size()
				as := spec.Clone()
				if x.wrong != "" && !slices.Contains(open, x.wrong) {
					// Closed, it has to be as it was meant.
					for i := range as.Landings {
						if l := &as.Landings[i]; l.Box == x.wrong && l.Terminal != "traveler 2" {
							l.Terminal = map[string]string{"common": "traveler 1", "traveler 1": "common"}[l.Terminal]
						}
					}
				}
				d := &truth{t: t, spec: as, open: open, controls: controls, own: map[wiring.End]wiring.End{}}
				for _, e := range c.Ends() {
					d.own[e] = e
				}
				s := c.Session()
				status := d.follow(s, 100)
				v := s.Verdict(classes)
				t.Logf("%d possibilities, %d classes, end %v with %d", n, classes, status, v.Classes)
				if status != trace.Found && status != trace.NoTest || len(v.Fits) == 0 {
					t.Fatalf("ended with %v", status)
				}
				is := func(f identify.Fit) bool {
					return !slices.ContainsFunc(f.Ends, func(u identify.Use) bool {
						if k, _ := w.FunctionAt(u.End); k.Kind == wiring.Unknown {
							return false // the cable goes nobody knows where
						}
						want := d.role(w, u.End)
						return !slices.ContainsFunc(u.Roles, func(l identify.Likely) bool { return d.isRole(l.Role, want) })
					})
				}
				if !slices.ContainsFunc(v.Fits, is) {
					t.Errorf("the truth is not among what is left: %v", v.Fits)
				}
				// Whatever is left beside it no test of these boxes tells from it; where
				// every box is as it was meant, it is the first.
				if opt.Disturbed == nil && !is(v.Fits[0]) {
					t.Errorf("the truth is not the first: %v", v.Fits[0])
				}
			})
		}
	}
}
