package identify_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestGhostIsNoLine: what an idle conductor shows on a meter of high impedance settles
// nothing, however near it comes to the volts of a line; on a tester that loads it does.
func TestGhostIsNoLine(t *testing.T) {
	const nominal = 120 * quantity.Volt
	for _, x := range []struct {
		meter steady.MeterKind
		shows quantity.Voltage
		want  identify.Level
		why   string
	}{
		{steady.HighImpedance, 40 * quantity.Volt, identify.Between, "a spare red beside a live black"},
		{steady.HighImpedance, 60 * quantity.Volt, identify.Between, "half way between hot and ground"},
		{steady.HighImpedance, 90 * quantity.Volt, identify.Between, "an idle traveler on a long run"},
		{steady.HighImpedance, 118 * quantity.Volt, identify.OneLine, "within what the meter may be wrong"},
		{steady.HighImpedance, 0, identify.Between, "an open lead shows it too"},
		{steady.LowImpedance, 0, identify.None, "nothing drives it"},
		{steady.LowImpedance, 104 * quantity.Volt, identify.OneLine, "a line that sags under the load"},
		{steady.Proximity, 120 * quantity.Volt, identify.Between, "it feels the neighbour"},
	} {
		r := identify.Reading{Meter: x.meter, Shows: x.shows}
		if got := r.Comes(nominal); got != x.want {
			t.Errorf("%v on a %v meter, %s: %v, want %v", x.shows, x.meter, x.why, got, x.want)
		}
	}
}

// TestWorkedBox: what is measured while a box in which somebody worked is not apart says
// nothing, since no scheme says what is joined there; and nobody is asked to measure then.
func TestWorkedBox(t *testing.T) {
	s := cottage(t, "lower")
	enter(t, s, "F", "14/2", "lower", "panel")
	enter(t, s, "L", "14/2", "lower", "ceiling")
	c := newCase(t, s, &identify.Options{Disturbed: []string{"lower"}, Unusual: -1})
	n := c.Session()
	do(t, n, identify.LockOut, "")
	do(t, n, identify.ProveDead, "lower")
	before := n.Verdict(1)
	o := identify.Continuity{Between: [2]switchnet.Terminal{wire("F.black").In("lower"), wire("F.white").In("lower")}, Found: trace.Joined}
	if err := n.Observe(o); err != nil {
		t.Fatal(err)
	}
	if after := n.Verdict(1); after.Possibilities != before.Possibilities || after.Status == trace.Contradiction {
		t.Errorf("%d possibilities were left, and %d after a reading that says nothing", before.Possibilities, after.Possibilities)
	}
	a, err := n.Next(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if a.Status != trace.Searching {
		t.Fatalf("proposes nothing: %v", a.Status)
	}
	for _, b := range a.Test.Before {
		if b.Do == identify.TakeApart && b.Box == "lower" {
			return
		}
	}
	t.Errorf("proposes %v with the box as it is", a.Test)
}

// TestLineNotStated: where a job does not say on which lines two breakers are, full volts
// between their hots is no contradiction, and both stay possible until it is read.
func TestLineNotStated(t *testing.T) {
	s := cottage(t, "lower")
	s.Devices[0].Kind = singlePole()
	s.Devices = append(s.Devices, wiring.Device{Name: "porch", Box: "lower", Kind: singlePole()})
	s.Feeds = append(s.Feeds, wiring.Feed{Name: "porch", Box: "panel", Breaker: 15 * quantity.Ampere})
	s.Boxes = append(s.Boxes, wiring.Box{Name: "eave", Kind: wiring.CeilingBox})
	s.Lights = append(s.Lights, wiring.Light{Name: "flood", Box: "eave", Power: 18 * quantity.Watt, Kind: wiring.Resistive})
	for _, c := range []string{"A", "B", "C", "D"} {
		enter(t, s, c, "14/2", "lower", "")
	}
	c := newCase(t, s, &identify.Options{Unusual: -1, Controls: []identify.Control{
		{Name: "stair", Lights: []string{"lamp"}, Places: []string{"lower"}},
		{Name: "porch", Lights: []string{"flood"}, Places: []string{"lower"}},
	}})
	for _, volts := range []quantity.Voltage{240 * quantity.Volt, 0} {
		n := c.Session()
		if err := n.Enter(identify.Entry{Of: identify.Reference{Point: wire("A.bare").In("lower"), Shown: true}, Earlier: true}); err != nil {
			t.Fatal(err)
		}
		r := identify.Reading{Red: wire("A.black").In("lower"), Black: wire("B.black").In("lower"), Meter: steady.LowImpedance, Shows: volts}
		if err := n.Enter(identify.Entry{Of: r, Earlier: true}); err != nil {
			t.Fatal(err)
		}
		if v := n.Verdict(1); v.Status == trace.Contradiction {
			t.Errorf("%v between two blacks fits nothing", volts)
		}
		if volts == 0 {
			continue
		}
		// With the switches in place it is a hot, or a leg through a switch that is on.
		got := likely(t, n, "lower", "A.black", identify.ConstantHot) + likely(t, n, "lower", "A.black", identify.SwitchLeg)
		if got < quantity.Whole-quantity.Percent/100 {
			t.Errorf("with %v between them A.black is a hot or a leg at %v", volts, got)
		}
	}
}

// TestThreeLinesNotStated: in a building fed by a wye, three breakers whose lines nobody
// stated may all be on lines of their own, two on one, or all on one.
func TestThreeLinesNotStated(t *testing.T) {
	for _, x := range []struct {
		supply     switchnet.System
		ab, bc, ac quantity.Voltage
		fits       bool
	}{
		{switchnet.Wye120(), 208 * quantity.Volt, 208 * quantity.Volt, 208 * quantity.Volt, true},
		{switchnet.Wye120(), 208 * quantity.Volt, 208 * quantity.Volt, 0, true},
		{switchnet.Wye120(), 0, 208 * quantity.Volt, 208 * quantity.Volt, true},
		{switchnet.Wye120(), 0, 0, 0, true},
		{switchnet.SplitPhase(), 240 * quantity.Volt, 240 * quantity.Volt, 0, true},
		{switchnet.SplitPhase(), 240 * quantity.Volt, 240 * quantity.Volt, 240 * quantity.Volt, false}, // there are but two lines
	} {
		s := &wiring.Spec{Supply: x.supply, Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "lower", Kind: wiring.DeviceBox}}}
		var controls []identify.Control
		for _, n := range []string{"stair", "porch", "loft"} {
			s.Feeds = append(s.Feeds, wiring.Feed{Name: n, Box: "panel", Breaker: 15 * quantity.Ampere})
			s.Boxes = append(s.Boxes, wiring.Box{Name: n + "-lamp", Kind: wiring.CeilingBox})
			s.Lights = append(s.Lights, wiring.Light{Name: n, Box: n + "-lamp", Power: 18 * quantity.Watt, Kind: wiring.Resistive})
			s.Devices = append(s.Devices, wiring.Device{Name: n, Box: "lower", Kind: singlePole()})
			controls = append(controls, identify.Control{Name: n, Lights: []string{n}, Places: []string{"lower"}, Feed: n})
			enter(t, s, "F"+n, "14/2", "lower", "panel")
			enter(t, s, "L"+n, "14/2", "lower", n+"-lamp")
			splice(s, "lower", "F"+n+".white", "L"+n+".white")
			land(s, "lower", n, "line", "F"+n+".black")
			land(s, "lower", n, "load", "L"+n+".black")
		}
		n := newCase(t, s, &identify.Options{Unusual: -1, Controls: controls}).Session()
		ref := identify.Entry{Of: identify.Reference{Point: wire("Fstair.bare").In("lower"), Shown: true}, Earlier: true}
		if err := n.Enter(ref); err != nil {
			t.Fatal(err)
		}
		for _, r := range []struct {
			a, b  string
			shows quantity.Voltage
		}{{"Fstair", "Fporch", x.ab}, {"Fporch", "Floft", x.bc}, {"Fstair", "Floft", x.ac}} {
			o := identify.Reading{Red: wire(r.a + ".black").In("lower"), Black: wire(r.b + ".black").In("lower"), Meter: steady.LowImpedance, Shows: r.shows}
			if err := n.Enter(identify.Entry{Of: o, Earlier: true}); err != nil {
				t.Fatal(err)
			}
		}
		if v := n.Verdict(1); v.Status == trace.Contradiction == x.fits {
			t.Errorf("%s with %v, %v and %v between: %v", x.supply.Name, x.ab, x.bc, x.ac, v.Status)
		}
	}
}

// miswired returns a job of which the conductors of a box are exchanged at random.
func miswired(d *truth, box string, r *rand.Rand) *truth {
	out := &truth{t: d.t, spec: d.spec.Clone(), open: d.open, controls: d.controls, own: d.own}
	var at []*wiring.Wire
	for i := range out.spec.Landings {
		if l := &out.spec.Landings[i]; l.Box == box {
			at = append(at, &l.Wire)
		}
	}
	for i := range out.spec.Splices {
		for k := range out.spec.Splices[i].Join {
			if j := &out.spec.Splices[i].Join[k]; out.spec.Splices[i].Box == box && j.Device == "" {
				at = append(at, &j.Wire)
			}
		}
	}
	r.Shuffle(len(at), func(i, j int) { *at[i], *at[j] = *at[j], *at[i] })
	return out
}

// TestDisturbedNeverMisleads: somebody exchanged the conductors of one box at random.
// Whatever is measured while that box is not apart never rules out how it was meant;
// what cannot lead through it counts all the same, and of the rest it is said that it
// does not.
func TestDisturbedNeverMisleads(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	count := map[string]int{}
	for _, x := range rows[:8] {
		d := read(t, x)
		q := d.question()
		opt := x.opt
		opt.Disturbed = []string{"s1"}
		c := newCase(t, &q, &opt)
		w, err := wiring.New(d.spec)
		if err != nil {
			t.Fatal(err)
		}
		_, classes := c.Size()
		for range 3 {
			as := miswired(d, "s1", r)
			s := c.Session()
			before := s.Verdict(1).Possibilities
			do(t, s, identify.LockOut, "")
			for _, b := range c.Open() {
				do(t, s, identify.ProveDead, b)
			}
			ends := c.Ends()
			for a := range ends {
				for b := a + 1; b < len(ends); b++ {
					o := identify.Continuity{Between: [2]switchnet.Terminal{ends[a].Wire.In(ends[a].Box), ends[b].Wire.In(ends[b].Box)}}
					o.Found = as.path(s, o)
					if err := s.Observe(o); err != nil {
						t.Fatal(err)
					}
				}
			}
			do(t, s, identify.TakeLeads, "")
			do(t, s, identify.Energize, "")
			if !as.view(s, nil, true, nil, false).Shorted() {
				if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
					t.Fatal(err)
				}
				for _, e := range ends {
					o := identify.Reading{Red: e.Wire.In(e.Box), Black: identify.Outside(), Meter: steady.LowImpedance}
					o.Shows = as.volts(s, identify.Test{Between: [2]switchnet.Terminal{o.Red, o.Black}})
					if err := s.Observe(o); err != nil {
						t.Fatal(err)
					}
				}
			}
			v := s.Verdict(classes)
			if v.Status == trace.Contradiction || !among(t, d, w, v) {
				t.Errorf("%s: how it was meant is ruled out by what was measured: %v", x.name, v.Status)
			}
			if v.Possibilities < before {
				count["told something"]++
			}
			for _, p := range s.Dropped() {
				if !slices.Equal(p.Boxes, []string{"s1"}) {
					t.Errorf("%s: dropped for %q", x.name, p.Boxes)
				}
				if p.Wholly {
					count["dropped"]++
				} else {
					count["dropped in part"]++
				}
			}
			if n := len(s.Dropped()); n == 0 || n >= len(s.Log()) {
				t.Errorf("%s: of %d entries %d are dropped", x.name, len(s.Log()), n)
			}
		}
	}
	t.Log(count)
	if len(count) != 3 || count["told something"] < 12 {
		t.Errorf("%v", count)
	}
}
