package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestCalibrated: of truths that are drawn as likely as a job takes them to be, with the
// switches standing one way or the other and something else on the circuit or nothing,
// what is said to be so with 99 % is so in 99 of 100 verdicts at least: after every test,
// where that is first said, and at the end. With -draws more are taken.
func TestCalibrated(t *testing.T) {
	var said, right [3]int // after every test, first, at the end
	for r, x := range rows {
		asked := read(t, x)
		c := asked.weighed(x)
		if n, _ := c.Size(); n > 3_000 && *draws == 1 {
			continue // it takes a while
		}
		for k := range 2 * *draws {
			i := identify.Quantile(c, (float64(k)+0.5)/float64(2**draws))
			spec, own, ok := identify.Realise(c, i)
			if !ok || !refit(&spec, asked.spec.Devices) {
				continue
			}
			if (k+r)%3 == 0 {
				alsoFeeds(&spec)
			}
			d := &truth{t: t, spec: spec, open: asked.open, controls: c.Controls(), own: own, thrown: uint(k*5 + r)}
			s := c.Session()
			var sure, is, before bool
			for range 200 {
				sure = s.Verdict(1).Fits[0].Likely >= 99*quantity.Percent
				is = sure && identify.LikelyClass(s, i) >= 0.98
				note := func(at int) {
					said[at]++
					if is {
						right[at]++
					}
				}
				if sure {
					note(0)
					if !before {
						note(1)
						if !is {
							t.Logf("%s: possibility %d is %.4f likely where another is 99 %%", x.name, i, identify.LikelyClass(s, i))
						}
					}
				}
				before = before || sure
				if d.follow(s, 1) != trace.Searching {
					if sure {
						note(2)
					}
					break
				}
			}
		}
	}
	for at, when := range []string{"after a test", "for the first time", "at the end"} {
		t.Logf("%s: %d of %d right", when, right[at], said[at])
		if said[at] < 20 || 100*right[at] < 99*said[at] {
			t.Errorf("%s: of %d verdicts at 99 %% %d are right", when, said[at], right[at])
		}
	}
}

// alsoFeeds puts a lamp on every feed, in its panel.
func alsoFeeds(spec *wiring.Spec) {
	for _, f := range spec.Feeds {
		name := "also " + f.Name
		put := func(terminal string) bool {
			is := wiring.Joint{Device: f.Name, Terminal: terminal}
			other := wiring.Joint{Device: name, Terminal: terminal}
			for k := range spec.Splices {
				if x := &spec.Splices[k]; x.Box == f.Box && slices.Contains(x.Join, is) {
					x.Join = append(x.Join, other)
					return true
				}
			}
			k := slices.IndexFunc(spec.Landings, func(l wiring.Landing) bool {
				return l.Box == f.Box && l.Device == f.Name && l.Terminal == terminal
			})
			if k < 0 {
				return false
			}
			w := spec.Landings[k].Wire
			spec.Landings = slices.Delete(spec.Landings, k, k+1)
			spec.Splices = append(spec.Splices, wiring.Splice{Box: f.Box, Join: []wiring.Joint{{Wire: w}, is, other}})
			return true
		}
		clone := spec.Clone()
		if put("hot") && put("neutral") {
			spec.Lights = append(spec.Lights, wiring.Light{Name: name, Box: f.Box, Power: 10 * quantity.Watt, Kind: wiring.Resistive})
			continue
		}
		*spec = clone
	}
}
