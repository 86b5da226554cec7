package allstates_test

import (
	"context"
	"fmt"
	"log"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// stair is a light switched from the stair foot and the loft. If crossed is set,
// the second traveler is landed on the common of the loft switch and the leg in
// its place.
func stair(crossed bool) *switchnet.Net {
	var b switchnet.Builder
	service := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	foot := switchnet.Ref{Place: "stair-foot", Name: "stair"}
	loft := switchnet.Ref{Place: "loft", Name: "stair"}
	light := switchnet.Ref{Place: "stair-top", Name: "stair light"}
	b.Source(service)
	b.Device(foot.Place, foot.Name, switchnet.ThreeWay())
	b.Device(loft.Place, loft.Name, switchnet.ThreeWay())
	b.Load(switchnet.Load{Ref: light})
	second, common := loft.Terminal("traveler 2"), loft.Terminal("common")
	if crossed {
		second, common = common, second
	}
	b.Conductor("hot", service.Rail(switchnet.LineA), foot.Terminal("common"))
	b.Conductor("traveler 1", foot.Terminal("traveler 1"), loft.Terminal("traveler 1"))
	b.Conductor("traveler 2", foot.Terminal("traveler 2"), second)
	b.Conductor("leg", common, light.Terminal("hot"))
	b.Conductor("neutral", light.Terminal("neutral"), service.Rail(switchnet.Neutral))
	net, err := b.Build()
	if err != nil {
		log.Fatal(err)
	}
	return net
}

var light = switchnet.Ref{Place: "stair-top", Name: "stair light"}

// Does each switch work whatever the other stands at?
func Example() {
	ctx := context.Background()
	for _, crossed := range []bool{false, true} {
		a, err := allstates.Analyze(ctx, stair(crossed), nil)
		if err != nil {
			log.Fatal(err)
		}
		l, err := a.Load(ctx, light)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v; lit in %v of %v states\n", l.Law(), l.Count(switchnet.Lit), a.States())
		toggling, err := l.Toggles()
		if err != nil {
			log.Fatal(err)
		}
		for e := range toggling.Exceptions() {
			fmt.Printf("%v: %v with %v, %v with %v\n", e.Switch, e.Before, e.From, e.After, e.To)
		}
	}
	// Output:
	// stair light at stair-top is toggled by each of stair at loft and stair at stair-foot from every state; lit in 2 of 4 states
	// stair light at stair-top is lit exactly when stair at loft is down and stair at stair-foot is down; lit in 1 of 4 states
	// stair at loft: unlit with stair at loft up, stair at stair-foot up, unlit with stair at loft down, stair at stair-foot up
	// stair at stair-foot: unlit with stair at loft up, stair at stair-foot up, unlit with stair at loft up, stair at stair-foot down
}

// What is live while the light is off?
func ExampleAnalysis_LiveWhile() {
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, stair(false), nil)
	if err != nil {
		log.Fatal(err)
	}
	live, err := a.LiveWhile(ctx, allstates.LoadIs(light, switchnet.Unlit))
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range live {
		fmt.Println(m.Terminals[0], "in", m.States.Count(), "states")
	}
	// Output:
	// stair traveler 1 at loft in 1 states
	// stair traveler 2 at loft in 1 states
	// service line A at panel in 2 states
	// service line B at panel in 2 states
}

// Which handles are to be moved to see a fault?
func ExampleSet_Nearest() {
	ctx := context.Background()
	net := stair(true)
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		log.Fatal(err)
	}
	lit, err := a.Find(ctx, allstates.LoadIs(light, switchnet.Lit))
	if err != nil {
		log.Fatal(err)
	}
	state, moves, _, err := lit.Nearest(net.Rest())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(moves, "moves:", state)
	// Output: 2 moves: stair at loft down, stair at stair-foot down
}

// A change to one device is answered without asking anew.
func ExampleEditor() {
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, stair(true), nil)
	if err != nil {
		log.Fatal(err)
	}
	foot, loft := switchnet.Ref{Place: "stair-foot", Name: "stair"}, switchnet.Ref{Place: "loft", Name: "stair"}
	e, err := a.Editor(ctx, allstates.LoadIs(light, switchnet.Lit), allstates.Positioned(foot, "up"))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("lit with the handle at the stair foot up:", e.Possible())
	if err := e.Exchange(ctx, loft, "common", "traveler 2"); err != nil {
		log.Fatal(err)
	}
	fmt.Println("with the loft switch put right:", e.Possible())
	// Output:
	// lit with the handle at the stair foot up: false
	// with the loft switch put right: true
}
