package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestInjected: whichever possibility is so, in a job that is wired so and answered
// truthfully by package switchnet, it is never ruled out, and the session ends in its
// class, or with no test left. With -draws more are taken, of every row.
func TestInjected(t *testing.T) {
	injected, found := 0, 0
	kinds := map[identify.Scheme]int{}
	for _, r := range rows {
		asked := read(t, r)
		c := asked.weighed(r)
		n, _ := c.Size()
		if n > 5_000 && *draws == 1 {
			continue // it takes a while
		}
		for i := 0; i < n; i += max(n/(3**draws), 1) {
			spec, own, ok := identify.Realise(c, i)
			if !ok || !refit(&spec, asked.spec.Devices) {
				continue
			}
			d := &truth{t: t, spec: spec, open: asked.open, controls: c.Controls(), own: own}
			if d.view(c.Session(), nil, true, nil, false).Shorted() {
				t.Fatalf("%s: possibility %d is a short: %s", r.name, i, identify.Key(c, i))
			}
			s := c.Session()
			status := d.follow(s, 200)
			injected++
			kinds[identify.SchemeOf(c, i)]++
			if !identify.Remains(s, i) {
				t.Fatalf("%s: possibility %d is ruled out: %s\n%v", r.name, i, identify.Key(c, i), s.Log())
			}
			switch status {
			case trace.Found:
				found++
			case trace.NoTest:
			default:
				t.Fatalf("%s: possibility %d: %v", r.name, i, status)
			}
		}
	}
	t.Logf("%d injected, %d found for sure; %v", injected, found, kinds)
	if injected < 50 || found*2 < injected || len(kinds) < 4 {
		t.Errorf("%d injected, %d found for sure; %v", injected, found, kinds)
	}
}

// refit gives a job the kinds of switch that were there, and reports false if one cannot do
// what is asked of it: a three-way left alone is a single switch on its common and a throw.
func refit(spec *wiring.Spec, devices []wiring.Device) bool {
	for i := range spec.Devices {
		d := &spec.Devices[i]
		k := slices.IndexFunc(devices, func(x wiring.Device) bool { return x.Box == d.Box && x.Name == d.Name })
		switch {
		case k < 0:
			return false
		case devices[k].Kind.Name == d.Kind.Name:
			continue
		case d.Kind.Name != switchnet.SinglePole().Name || devices[k].Kind.Name != switchnet.ThreeWay().Name:
			return false
		}
		d.Kind = devices[k].Kind
		to := map[string]string{"line": "common", "load": "traveler 1"}
		for n := range spec.Splices {
			for m := range spec.Splices[n].Join {
				if j := &spec.Splices[n].Join[m]; spec.Splices[n].Box == d.Box && j.Device == d.Name {
					j.Terminal = to[j.Terminal]
				}
			}
		}
	}
	return true
}
