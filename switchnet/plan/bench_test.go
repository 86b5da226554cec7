package plan_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// bigTree is one group of many places on a random tree of boxes.
func bigTree(boxes, places int) intent.Intent {
	rng := rand.New(rand.NewPCG(3, 4))
	in := intent.Intent{Supply: switchnet.SplitPhase()}
	in.Feeds = []wiring.Feed{{Name: "lights", Box: "b0", Breaker: 15 * quantity.Ampere}}
	for i := range boxes {
		b := wiring.Box{Name: fmt.Sprintf("b%d", i), Kind: wiring.DeviceBox}
		if i == 0 {
			b.Kind = wiring.Panel
		}
		in.Boxes = append(in.Boxes, b)
		if i > 0 {
			r := intent.Run{From: fmt.Sprintf("b%d", max(0, i-1-rng.IntN(6))), To: b.Name, Length: quantity.Length(5+rng.IntN(20)) * quantity.Foot, Raceway: true}
			in.Runs = append(in.Runs, r)
		}
	}
	c := intent.Control{Name: "all"}
	for _, k := range rng.Perm(boxes - 1)[:places] {
		c.Places = append(c.Places, fmt.Sprintf("b%d", k+1))
	}
	for i := range 20 {
		l := wiring.Light{Name: fmt.Sprintf("light %d", i), Box: fmt.Sprintf("b%d", rng.IntN(boxes)), Power: 10 * quantity.Watt}
		in.Lights = append(in.Lights, l)
		c.Lights = append(c.Lights, l.Name)
	}
	in.Controls = []intent.Control{c}
	return in
}

// building is many circuits, each with one group of six places, on runs of its own
// from one panel.
func building(circuits int) intent.Intent {
	rng := rand.New(rand.NewPCG(5, 6))
	in := intent.Intent{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}}}
	for c := range circuits {
		feed := fmt.Sprintf("circuit %d", c)
		in.Feeds = append(in.Feeds, wiring.Feed{Name: feed, Box: "panel", Breaker: 15 * quantity.Ampere})
		g := intent.Control{Name: fmt.Sprintf("g%d", c), Feed: feed, Lights: []string{fmt.Sprintf("light %d", c)}}
		last := "panel"
		for i := range 7 {
			b := wiring.Box{Name: fmt.Sprintf("b%d.%d", c, i), Kind: wiring.DeviceBox}
			in.Boxes = append(in.Boxes, b)
			in.Runs = append(in.Runs, intent.Run{From: last, To: b.Name, Length: quantity.Length(5+rng.IntN(20)) * quantity.Foot})
			last = b.Name
			if i < 6 {
				g.Places = append(g.Places, b.Name)
			} else {
				in.Lights = append(in.Lights, wiring.Light{Name: g.Lights[0], Box: b.Name, Power: 10 * quantity.Watt})
			}
		}
		in.Controls = append(in.Controls, g)
	}
	return in
}

// lattice is a grid of boxes with runs between neighbours.
func lattice(wide, high, groups, places int) intent.Intent {
	rng := rand.New(rand.NewPCG(7, 8))
	in := intent.Intent{Supply: switchnet.SplitPhase(), Feeds: []wiring.Feed{{Name: "lights", Box: "b0.0", Breaker: 15 * quantity.Ampere}}}
	for y := range high {
		for x := range wide {
			in.Boxes = append(in.Boxes, wiring.Box{Name: fmt.Sprintf("b%d.%d", x, y), Kind: wiring.DeviceBox, Gangs: 20})
			if x > 0 {
				in.Runs = append(in.Runs, intent.Run{From: fmt.Sprintf("b%d.%d", x-1, y), To: fmt.Sprintf("b%d.%d", x, y), Length: quantity.Length(5+rng.IntN(20)) * quantity.Foot})
			}
			if y > 0 {
				in.Runs = append(in.Runs, intent.Run{From: fmt.Sprintf("b%d.%d", x, y-1), To: fmt.Sprintf("b%d.%d", x, y), Length: quantity.Length(5+rng.IntN(20)) * quantity.Foot})
			}
		}
	}
	name := func(k int) string { return in.Boxes[k].Name }
	for g := range groups {
		c := intent.Control{Name: fmt.Sprintf("g%d", g), Schemes: intent.Schemes()}
		for _, k := range rng.Perm(len(in.Boxes))[:places] {
			c.Places = append(c.Places, name(k))
		}
		for i := range 3 {
			l := wiring.Light{Name: fmt.Sprintf("g%d light %d", g, i), Box: name(rng.IntN(len(in.Boxes))), Power: 10 * quantity.Watt}
			in.Lights = append(in.Lights, l)
			c.Lights = append(c.Lights, l.Name)
		}
		in.Controls = append(in.Controls, c)
	}
	return in
}

func BenchmarkPlan(b *testing.B) {
	us := region(b, "us-2023")
	for _, bench := range []struct {
		name string
		in   intent.Intent
	}{
		{"tree of 1000 boxes with 200 places", bigTree(1000, 200)},
		{"building of 500 circuits with 6 places each", building(500)},
		{"grid of 12 boxes with 5 places", lattice(4, 3, 1, 5)},
		{"grid of 12 boxes with 12 places", lattice(4, 3, 1, 12)},
		{"grid of 12 boxes with two groups of 4 places", lattice(4, 3, 2, 4)},
		{"grid of 12 boxes with three groups of 4 places", lattice(4, 3, 3, 4)},
		{"grid of 60 boxes with 4 groups of 2 places", lattice(10, 6, 4, 2)},
		{"grid of 60 boxes with 4 groups of 5 places", lattice(10, 6, 4, 5)},
		{"grid of 60 boxes with 20 places", lattice(10, 6, 1, 20)},
		{"grid of 400 boxes with two groups of 10 places", lattice(20, 20, 2, 10)},
	} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p, err := plan.New(context.Background(), bench.in, us, nil)
				if err != nil {
					b.Fatal(err)
				}
				if !p.Status.OK() {
					b.Fatal(p.Status)
				}
				b.ReportMetric(float64(p.Gap())/float64(p.Cost), "gap")
			}
		})
	}
}
