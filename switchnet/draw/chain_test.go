package draw

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// everything is the group of all lights and all switches of a wiring, or some of
// them.
func everything(w *wiring.Wiring, choose func(n int) int) Group {
	g := Group{Name: "all"}
	for _, l := range w.Spec().Lights {
		if choose(4) != 3 {
			g.Lights = append(g.Lights, switchnet.Ref{Place: l.Box, Name: l.Name})
		}
	}
	for _, d := range w.Spec().Devices {
		if len(d.Kind.Positions) > 1 && choose(4) != 3 {
			g.Switches = append(g.Switches, switchnet.Ref{Place: d.Box, Name: d.Name})
		}
	}
	return g
}

// TestChainRandom holds the circuit diagrams of any wiring to a clean layout that
// joins just what the net joins, and to the path that the net finds.
func TestChainRandom(t *testing.T) {
	lit := 0
	for seed := range uint64(300) {
		choose := seeded(seed)
		lit += chainLaws(t, drawWiring(t, choose, ordinary), choose)
	}
	// Of the fixed seeds.
	if lit < 5 {
		t.Errorf("%d paths in 300 diagrams; the test means little below 5", lit)
	}
	rapid.Check(t, func(rt *rapid.T) {
		choose := choices(rt)
		chainLaws(rt, drawWiring(rt, choose, ordinary), choose)
	})
}

// chainLaws returns how many paths it has seen.
func chainLaws(t tester, w *wiring.Wiring, choose func(n int) int) int {
	t.Helper()
	g := everything(w, choose)
	if len(g.Lights)+len(g.Switches) == 0 {
		return 0
	}
	state := w.Net().Rest()
	for _, s := range g.Switches {
		if choose(2) == 1 {
			state, _ = state.Flip(s)
		}
	}
	n := 0
	for _, width := range []int{Phone, Page} {
		c, ways, err := New(w).chain(&g, state, func(s string) string { return s })
		if err != nil {
			t.Fatal(err)
		}
		p := &Picture{title: "circuit"}
		c.layout(&p.scene, width, ways)
		wantClean(t, p)
		wantJoined(t, c, &p.scene)
		n = len(ways)
		for _, way := range ways {
			if supply, _ := c.view.Supply(way.light); supply.Status != switchnet.Lit && supply.Status != switchnet.Dim {
				t.Errorf("%s has a way and is %s", way.light, supply.Status)
			}
		}
	}
	return n
}

// wantJoined wants two terminals of a diagram joined by its lines, across flags and
// the letters of rails, if and only if the net joins them for good.
func wantJoined(t tester, c *chain, s *scene) {
	t.Helper()
	parent := map[string]string{}
	var find func(x string) string
	find = func(x string) string {
		if p, ok := parent[x]; ok && p != x {
			parent[x] = find(p)
			return parent[x]
		}
		return x
	}
	union := func(a, b string) { parent[find(a)] = find(b) }
	for _, w := range s.wires {
		union(w.from, w.to)
		for _, end := range []string{w.from, w.to} {
			if strings.HasPrefix(end, "rail\x00") {
				union(end, "letter "+w.name)
			}
			if strings.HasPrefix(end, "flag\x00") {
				union(end, "flags of "+strings.Split(end, "\x00")[2])
			}
		}
	}
	var pins []*chainPin
	for _, x := range c.cells {
		pins = slices.Concat(pins, x.left, x.right)
	}
	drawn, made := map[string]int{}, map[int]string{}
	for _, p := range pins {
		root := find(p.name)
		if net, ok := drawn[root]; ok && net != p.net {
			t.Errorf("%s is drawn joined to something it is not joined to", p.on)
		}
		drawn[root] = p.net
		if r, ok := made[p.net]; ok && r != root {
			t.Errorf("%s is not drawn joined to what it is joined to", p.on)
		}
		made[p.net] = root
	}
}

// long returns a chain of places between a feed and a light, wired right.
func long(t tester, places int) (*wiring.Wiring, Group) {
	t.Helper()
	two, three := allCables[0], allCables[1]
	s := wiring.Spec{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}}, Feeds: []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}}}
	g := Group{Name: "long"}
	land := func(box, device, terminal, cable, colour string) {
		s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wiring.Wire{Cable: cable, Conductor: colour}})
	}
	for i := range places {
		box := fmt.Sprintf("place-%02d", i)
		s.Boxes = append(s.Boxes, wiring.Box{Name: box, Kind: wiring.DeviceBox})
		from, c := "panel", wiring.Cable{Name: fmt.Sprintf("C%d", i), Type: two, To: box}
		kind := switchnet.FourWay()
		in, out := [2]string{"pair 1 first", "pair 1 second"}, [2]string{"pair 2 first", "pair 2 second"}
		if i == 0 || i == places-1 {
			kind = switchnet.ThreeWay()
			in, out = [2]string{"traveler 1", "traveler 2"}, [2]string{"traveler 1", "traveler 2"}
		}
		if i > 0 {
			from, c.Type = fmt.Sprintf("place-%02d", i-1), three
		}
		c.From = from
		s.Cables = append(s.Cables, c)
		s.Devices = append(s.Devices, wiring.Device{Name: "long", Box: box, Kind: kind})
		g.Switches = append(g.Switches, switchnet.Ref{Place: box, Name: "long"})
		if i == 0 {
			land(box, "long", "common", c.Name, "black")
		} else {
			land(box, "long", in[0], c.Name, "red")
			land(box, "long", in[1], c.Name, "black")
		}
		if next := fmt.Sprintf("C%d", i+1); i < places-1 {
			land(box, "long", out[0], next, "red")
			land(box, "long", out[1], next, "black")
		} else {
			land(box, "long", "common", next, "black")
		}
		if i > 0 {
			s.Splices = append(s.Splices, wiring.Splice{Box: from, Join: []wiring.Joint{wiring.WireJoint(fmt.Sprintf("C%d", i-1), "white"), wiring.WireJoint(c.Name, "white")}})
		}
	}
	last, c := fmt.Sprintf("place-%02d", places-1), fmt.Sprintf("C%d", places)
	s.Boxes = append(s.Boxes, wiring.Box{Name: "ridge", Kind: wiring.CeilingBox})
	s.Lights = []wiring.Light{{Name: "lamp", Box: "ridge"}}
	s.Cables = append(s.Cables, wiring.Cable{Name: c, Type: two, From: last, To: "ridge"})
	s.Splices = append(s.Splices, wiring.Splice{Box: last, Join: []wiring.Joint{wiring.WireJoint(fmt.Sprintf("C%d", places-1), "white"), wiring.WireJoint(c, "white")}})
	land("panel", "lights", "hot", "C0", "black")
	land("panel", "lights", "neutral", "C0", "white")
	land("ridge", "lamp", "hot", c, "black")
	land("ridge", "lamp", "neutral", c, "white")
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	g.Lights = []switchnet.Ref{{Place: "ridge", Name: "lamp"}}
	return w, g
}

// TestLongChain draws chains as long as they come, and wants the way of the current
// through every place in their order.
func TestLongChain(t *testing.T) {
	for _, places := range []int{2, 3, 6, 7, 40, 200} {
		w, g := long(t, places)
		for _, width := range []int{Phone, Page} {
			c, ways, err := New(w).chain(&g, switchnet.State{}, func(s string) string { return s })
			if err != nil {
				t.Fatal(err)
			}
			p := &Picture{title: fmt.Sprint(places)}
			c.layout(&p.scene, width, ways)
			if p.scene.width > width {
				t.Errorf("%d places: %d px wide, more than %d", places, p.scene.width, width)
			}
			if places <= 40 {
				wantClean(t, p)
			}
			wantJoined(t, c, &p.scene)
			if len(ways) != 1 {
				t.Fatalf("%d places at rest: %d ways, want 1: a chain at rest is lit", places, len(ways))
			}
			var through []switchnet.Ref
			for _, pin := range ways[0].pins {
				if pin != nil && pin.cell.kind == deviceCell && (len(through) == 0 || through[len(through)-1] != pin.cell.ref) {
					through = append(through, pin.cell.ref)
				}
			}
			if !slices.Equal(through, g.Switches) {
				t.Errorf("%d places: the current goes through %v", places, through)
			}
		}
	}
}

// TestWrongGroups wants an error that names what is wrong with a group or a state.
func TestWrongGroups(t *testing.T) {
	w, g := long(t, 2)
	d := New(w)
	other, _ := long(t, 3)
	plugged := Group{Name: "x", Lights: g.Lights, Switches: []switchnet.Ref{{Place: "attic", Name: "long"}}}
	rows := []struct {
		why, want string
		do        func() error
	}{
		{"nothing to draw", "neither lights nor switches", func() error { _, err := d.Chain(Group{Name: "x"}, switchnet.State{}, nil); return err }},
		{"no such switch", "no switch long at attic", func() error { _, err := d.Chain(plugged, switchnet.State{}, nil); return err }},
		{"no such light", "no light", func() error {
			_, err := d.Chain(Group{Lights: []switchnet.Ref{{Place: "ridge", Name: "sun"}}}, switchnet.State{}, nil)
			return err
		}},
		{"a switch twice", "twice", func() error {
			_, err := d.Truth(ctx(), Group{Lights: g.Lights, Switches: append(slices.Clone(g.Switches), g.Switches[0])}, nil)
			return err
		}},
		{"a state of another wiring", "state", func() error { _, err := d.Chain(g, other.Net().Rest(), nil); return err }},
		{"a strip without switches", "needs a light and a switch", func() error { _, err := d.Truth(ctx(), Group{Lights: g.Lights}, nil); return err }},
		{"a breaker is no switch but moves", "", func() error {
			_, err := d.Truth(ctx(), Group{Lights: g.Lights, Switches: []switchnet.Ref{{Place: "panel", Name: "lights"}}}, nil)
			return err
		}},
		{"no such box", `no box "attic"`, func() error { _, err := d.Box("attic", nil); return err }},
		{"a width below nothing", "width", func() error { _, err := d.Runs(&Options{Width: -1}); return err }},
		{"a scheme that is none", "scheme", func() error { _, err := d.Runs(&Options{Scheme: 3}); return err }},
	}
	for _, r := range rows {
		err := r.do()
		if r.want == "" {
			if err != nil {
				t.Errorf("%s: %v", r.why, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%s: got %v, want an error with %q", r.why, err, r.want)
		}
	}
}

func ctx() context.Context { return context.Background() }
