package identify_test

import (
	"fmt"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// apartCables is one circuit of which the constant hot and the neutral that is kept apart
// for it come to the second box in two cables.
const apartCables = `
feed stair A
open s1 s2
light lamp ceiling
light flood eave
switch stair s2 single-pole
switch porch s1 single-pole
cable F 14/2 panel s1
cable T 14/2 s1 s2
cable U 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s1 eave
in s1: F.black T.black porch.line
in s1: M.black porch.load
in s1: F.white U.white M.white
in s2: T.black stair.line
in s2: L.black stair.load
in s2: U.white L.white
`

// TestPowerInTheSameCables: a constant hot and a neutral of its feed are power for an
// electronic control only where one cable holds both.
func TestPowerInTheSameCables(t *testing.T) {
	controls := []identify.Control{{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}
	for _, r := range []struct {
		name, job string
		want      map[string]identify.Surety // of a box
	}{
		{"the hot in one cable, the neutral in the other", apartCables, map[string]identify.Surety{"s1": identify.Surely, "s2": identify.Never}},
	} {
		d := read(t, row{name: r.name, job: r.job, sheaths: true})
		q := d.question()
		s := newCase(t, &q, &identify.Options{Unusual: 1, Priors: narrow(), Schemes: []identify.Scheme{identify.Chain}, Controls: controls}).Session()
		for b := range r.want {
			if err := s.Recall(d.inBox(s, b), 0); err != nil {
				t.Fatal(err)
			}
		}
		d.follow(s, 100)
		for b, want := range r.want {
			in, err := s.In(b)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range in.Controls {
				if c.Is != want {
					t.Errorf("%s: in %s %v, want %v", r.name, b, c, want)
				}
			}
		}
	}
}

// TestPowerBalances: whether a device would have power in a box is what package steady
// makes of a lamp that is put there from the hot to a neutral in a job that is wired so:
// it gets its volts, and no cable, and no raceway, has a net current.
func TestPowerBalances(t *testing.T) {
	region, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	compared := map[bool]int{}
	more := row{name: "the hot in one cable, the neutral in the other", job: apartCables, sheaths: true, opt: identify.Options{Unusual: 1, Schemes: []identify.Scheme{identify.Chain}, Controls: []identify.Control{
		{Name: "stair", Lights: []string{"lamp"}, Places: []string{"s2"}}, {Name: "porch", Lights: []string{"flood"}, Places: []string{"s1"}}}}}
	for _, r := range append(slices.Clone(rows), more) {
		d := read(t, r)
		c, q := d.weighed(r), d.question()
		n, _ := c.Size()
		pipe := slices.ContainsFunc(q.Cables, func(c wiring.Cable) bool { return c.Type.Construction == conductor.Loose })
		var feeds []string
		for _, f := range q.Feeds {
			feeds = append(feeds, f.Name)
		}
		slices.Sort(feeds)
		for i := 0; i < n; i += max(n/4, 1) {
			spec, own, ok := identify.Realise(c, i)
			if !ok {
				continue
			}
			for b, box := range c.Open() {
				for f, feed := range feeds {
					got, want := identify.Powers(c, i, f, b), balanced(t, spec, &region.Conductor, own, feed, box)
					if compared[want]++; !(got == identify.Possibly && pipe) && got != map[bool]identify.Surety{true: identify.Surely, false: identify.Never}[want] {
						t.Fatalf("%s, possibility %d: power of %s in %s: %v, and steady says %v: %v", r.name, i, feed, box, got, want, identify.Key(c, i))
					}
				}
			}
		}
	}
	if compared[true] < 50 || compared[false] < 50 {
		t.Errorf("%d with power and %d without were compared", compared[true], compared[false])
	}
}

// balanced reports whether a lamp in a box between a wire that is on the hot of a feed and
// another wire gets its volts, every device and load taken away, without a net current in
// any cable; loose conductors between two boxes are one raceway.
func balanced(t *testing.T, spec wiring.Spec, table *conductor.Table, own map[wiring.End]wiring.End, feed, box string) bool {
	t.Helper()
	bare := spec.Clone()
	bare.Lights, bare.Devices = nil, nil
	isFeed := func(box, name string) bool {
		return slices.ContainsFunc(bare.Feeds, func(f wiring.Feed) bool { return f.Name == name && f.Box == box })
	}
	bare.Landings = slices.DeleteFunc(bare.Landings, func(l wiring.Landing) bool { return !isFeed(l.Box, l.Device) })
	for i := range bare.Splices {
		bare.Splices[i].Join = slices.DeleteFunc(bare.Splices[i].Join, func(j wiring.Joint) bool {
			return j.Device != "" && !isFeed(bare.Splices[i].Box, j.Device)
		})
	}
	bare.Splices = slices.DeleteFunc(bare.Splices, func(x wiring.Splice) bool { return len(x.Join) < 2 })
	for i := range bare.Cables {
		bare.Cables[i].Length = 10 * quantity.Meter
	}
	var wires []wiring.Wire
	for _, e := range own {
		if e.Box == box {
			wires = append(wires, e.Wire)
		}
	}
	slices.SortFunc(wires, func(a, b wiring.Wire) int { return strings.Compare(a.String(), b.String()) })
	group := func(c wiring.Cable) string {
		switch {
		case c.Type.Construction == conductor.Loose:
			return fmt.Sprint("between ", min(c.From, c.To), max(c.From, c.To))
		case strings.HasPrefix(c.Name, "supply-"):
			// Two feeds that share a neutral come in one cable.
			for _, x := range bare.Cables {
				if strings.HasPrefix(x.Name, "supply-") && x.To == c.To && !slices.ContainsFunc(bare.Landings, func(l wiring.Landing) bool { return l.Wire == wiring.Wire{Cable: x.Name, Conductor: "white"} }) {
					return "to " + c.To
				}
			}
		}
		return c.Name
	}
	for i, a := range wires {
		for _, b := range wires[i+1:] {
			with := bare.Clone()
			with.Lights = []wiring.Light{{Name: "probe", Box: box, Power: 120 * quantity.Watt, Kind: wiring.Resistive}}
			with.Ties = []wiring.Tie{
				{Box: box, A: wiring.Joint{Device: "probe", Terminal: "hot"}, B: wiring.Joint{Wire: a}},
				{Box: box, A: wiring.Joint{Device: "probe", Terminal: "neutral"}, B: wiring.Joint{Wire: b}},
			}
			w, err := wiring.New(with)
			if err != nil {
				t.Fatal(err)
			}
			state := w.Net().Rest()
			for dev := range w.Net().Devices() {
				if dev.Kind.Breaker && dev.Ref.Name != feed {
					if state, err = state.With(dev.Ref, "off"); err != nil {
						t.Fatal(err)
					}
				}
			}
			p, err := steady.New(w, table, nil)
			if err != nil {
				t.Fatal(err)
			}
			s, err := p.Solve(state)
			if err != nil {
				t.Fatal(err)
			}
			l, ok := s.Load(switchnet.Ref{Place: box, Name: "probe"})
			if !ok || l.State != steady.Lit {
				continue
			}
			nets := map[string]complex128{}
			for _, c := range with.Cables {
				if net, ok := s.CableNet(c.Name); ok {
					nets[group(c)] += complex128(net)
				}
			}
			even := true
			for _, net := range nets {
				even = even && cmplx.Abs(net) < 0.05
			}
			if even {
				return true
			}
		}
	}
	return false
}
