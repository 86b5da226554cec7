package switchnet_test

import (
	"fmt"

	"example.com/switchleg/switchnet"
)

// stair declares a breaker, two three-ways and a lamp: the stair light of the boat
// shed, switched from its foot and from the loft.
func stair() *switchnet.Builder {
	var b switchnet.Builder
	supply := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	light := switchnet.Load{Ref: switchnet.Ref{Place: "stair", Name: "light"}}
	at := func(place, device, name string) switchnet.Terminal {
		return switchnet.Terminal{Place: place, Device: device, Name: name}
	}
	b.Source(supply)
	b.Load(light)
	b.Device("panel", "breaker 7", switchnet.Breaker(1))
	b.Device("stair-foot", "stair", switchnet.ThreeWay())
	b.Device("loft", "stair", switchnet.ThreeWay())
	b.Conductor("bus", supply.Rail(switchnet.LineA), at("panel", "breaker 7", "line"))
	b.Conductor("C1 black", at("panel", "breaker 7", "load"), at("stair-foot", "stair", "common"))
	b.Conductor("C2 black", at("stair-foot", "stair", "traveler 1"), at("loft", "stair", "traveler 1"))
	b.Conductor("C2 red", at("stair-foot", "stair", "traveler 2"), at("loft", "stair", "traveler 2"))
	b.Conductor("C3 black", at("loft", "stair", "common"), light.Terminals()[0])
	b.Splice("stair", "neutral", supply.Rail(switchnet.Neutral), light.Terminals()[1])
	return &b
}

// A stair light, switched from two places, in each of its four states.
func Example() {
	net, err := stair().Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	solver := net.NewSolver()
	states, _, err := net.States(&switchnet.StatesOptions{Order: switchnet.Gray})
	if err != nil {
		fmt.Println(err)
		return
	}
	for s := range states {
		view, err := solver.Solve(s)
		if err != nil {
			fmt.Println(err)
			return
		}
		foot, _ := s.Position(switchnet.Ref{Place: "stair-foot", Name: "stair"})
		loft, _ := s.Position(switchnet.Ref{Place: "loft", Name: "stair"})
		light, _ := view.Supply(switchnet.Ref{Place: "stair", Name: "light"})
		fmt.Printf("foot %s, loft %s: %s\n", foot, loft, light.Status)
	}
	// Output:
	// foot up, loft up: lit
	// foot down, loft up: unlit
	// foot down, loft down: lit
	// foot up, loft down: unlit
}
