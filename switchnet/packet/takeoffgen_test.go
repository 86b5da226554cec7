package packet_test

import (
	"context"
	"fmt"

	"pgregory.net/rapid"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// wirings draws the boat shed or a planned tree of boxes, and then what can be odd
// about either.
func wirings(shed wiring.Spec, region *rules.Region) *rapid.Generator[*wiring.Wiring] {
	return rapid.Custom(func(t *rapid.T) *wiring.Wiring {
		s := shed.Clone()
		if rapid.Bool().Draw(t, "planned") {
			s = planned(t, region)
		}
		odd(t, &s)
		w, err := wiring.New(s)
		if err != nil {
			t.Fatalf("%v", err)
		}
		for range rapid.IntRange(0, 6).Draw(t, "edits") {
			// An edit that does not fit is none.
			if after, err := w.Apply(edit(t, w.Spec())); err == nil {
				w = after
			}
		}
		return w
	})
}

// planned draws a tree of runs with one control and plans it.
func planned(t *rapid.T, region *rules.Region) wiring.Spec {
	in := intent.Intent{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}},
		Feeds: []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}}}
	c := intent.Control{Name: "aisle", Lights: []string{"aisle light"}}
	n := rapid.IntRange(2, 6).Draw(t, "boxes")
	for i := range n {
		b := wiring.Box{Name: fmt.Sprintf("b%d", i), Kind: wiring.DeviceBox}
		if i == n-1 {
			b.Kind = wiring.CeilingBox
			in.Lights = []wiring.Light{{Name: "aisle light", Box: b.Name, Power: 18 * quantity.Watt}}
		} else if i == 0 || rapid.Bool().Draw(t, "place") {
			c.Places = append(c.Places, b.Name)
		}
		toward := in.Boxes[rapid.IntRange(0, i).Draw(t, "toward")].Name
		in.Runs = append(in.Runs, intent.Run{From: toward, To: b.Name, Length: quantity.Length(rapid.IntRange(1, 600).Draw(t, "inches")) * quantity.Inch})
		in.Boxes = append(in.Boxes, b)
	}
	in.Controls = []intent.Control{c}
	p, err := plan.New(context.Background(), in, region, nil)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return p.Spec // without cables if there is no room for what is wanted
}

// odd says or leaves out what a take-off looks at.
func odd(t *rapid.T, s *wiring.Spec) {
	one := func(n int, what string) bool { return rapid.IntRange(1, n).Draw(t, what) == n }
	types := []string{"device 3 x 2 x 3-1/2", "device 3 x 2 x 2-3/4", "square 4 x 2-1/8", "octagon 4 x 1-1/2"}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		b.Clamps = wiring.ClampKind(rapid.IntRange(0, 3).Draw(t, "clamps"))
		b.Metal = one(4, "metal")
		if one(4, "typed") {
			b.Volume = boxfill.BoxOfType(rapid.SampledFrom(types).Draw(t, "type"))
		}
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		if one(12, "unknown") {
			c.Length = 0
		}
		for range rapid.IntRange(0, 3).Draw(t, "holes") {
			c.Bored = append(c.Bored, quantity.Length(rapid.IntRange(20, 50).Draw(t, "from the edge"))*quantity.Inch/32)
		}
		c.Notches = rapid.IntRange(0, 1).Draw(t, "notches")
		if one(6, "metal-clad") {
			c.Type.Name, c.Type.Construction = c.Type.Name+" metal-clad", conductor.MetalClad // with a bare ground, or its ends would be others
		}
		if one(20, "standing") {
			c.Installed = 1990
		}
	}
	for i := range s.Devices {
		s.Devices[i].Yoke = rapid.SampledFrom([]string{"", "", "strap"}).Draw(t, "yoke")
	}
	for i := range s.Lights {
		if one(2, "leads") {
			s.Lights[i].Leads = conductor.AWG(18)
		}
	}
	// Lights in series, and jumpers.
	for _, b := range s.Boxes {
		if !one(5, "extra") {
			continue
		}
		s.Lights = append(s.Lights, wiring.Light{Name: "one more", Box: b.Name}, wiring.Light{Name: "another", Box: b.Name, Leads: conductor.AWG(16)})
		s.Devices = append(s.Devices, wiring.Device{Name: "extra", Box: b.Name, Kind: switchnet.FourWay()})
		var join []wiring.Joint
		for _, j := range []wiring.Joint{{Device: "one more", Terminal: "hot"}, {Device: "another", Terminal: "neutral"},
			{Device: "extra", Terminal: "pair 1 first"}, {Device: "extra", Terminal: "pair 2 first"}} {
			if one(2, "joined") {
				join = append(join, j)
			}
		}
		if len(join) >= 2 {
			s.Splices = append(s.Splices, wiring.Splice{Box: b.Name, Join: join})
		}
	}
}

// edit draws a change that may or may not fit a wiring.
func edit(t *rapid.T, s wiring.Spec) wiring.Edit {
	if len(s.Cables) == 0 {
		return wiring.TieJoints{}
	}
	wire := func() (wiring.Cable, wiring.Wire) {
		c := rapid.SampledFrom(s.Cables).Draw(t, "cable")
		return c, wiring.Wire{Cable: c.Name, Conductor: rapid.SampledFrom(c.Type.Cores).Draw(t, "core").Colour.String()}
	}
	c, a := wire()
	_, b := wire()
	e := wiring.End{Box: rapid.SampledFrom([]string{c.From, c.To}).Draw(t, "end"), Wire: a}
	switch rapid.IntRange(0, 6).Draw(t, "edit") {
	case 0:
		return wiring.CapEnd{End: e}
	case 1:
		return wiring.Release{End: e}
	case 2:
		return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{{Wire: a}, {Wire: b}}}
	case 3:
		return wiring.SplitSplice{Box: e.Box, Out: []wiring.Joint{{Wire: a}}}
	case 4:
		return wiring.SwapWires{Box: e.Box, A: a, B: b}
	case 5:
		return wiring.Remark{End: e, As: conductor.Plain(conductor.Red)}
	}
	name := rapid.SampledFrom([]string{"14/2", "14/3", "12/3", "14/3 metal-clad"}).Draw(t, "type")
	kind, err := conductor.ParseCableType(name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return wiring.ChangeCable{Name: c.Name, Type: kind}
}
