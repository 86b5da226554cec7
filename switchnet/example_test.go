package switchnet_test

import (
	"fmt"

	"example.com/switchleg/switchnet"
)

// What in the loft is still live with breaker 7 off, when somebody borrowed a hot
// from line B for a second light in that box?
func ExampleView_Hazards() {
	b := stair()
	b.Device("loft", "shelf light", switchnet.SinglePole())
	b.Conductor("C9 black",
		switchnet.Terminal{Place: "panel", Device: "service", Name: "line B"},
		switchnet.Terminal{Place: "loft", Device: "shelf light", Name: "line"})
	net, err := b.Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	off, err := net.Rest().With(switchnet.Ref{Place: "panel", Name: "breaker 7"}, "off")
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := net.NewSolver().Solve(off)
	if err != nil {
		fmt.Println(err)
		return
	}
	for t, c := range view.Hazards() {
		if t.Place == "loft" {
			fmt.Printf("%v is %v\n", t, c)
		}
	}
	// Output:
	// shelf light line at loft is live on line B
}

// A traveler was landed on the ground screw of a metal box. The witness shows the
// way the fault current takes.
func ExampleView_Shorts() {
	b := stair()
	screw := switchnet.Terminal{Place: "loft", Device: "box", Name: "ground screw"}
	b.Point(screw)
	b.Conductor("C2 bare", switchnet.Terminal{Place: "panel", Device: "service", Name: "ground"}, screw)
	b.Conductor("slip", switchnet.Terminal{Place: "loft", Device: "stair", Name: "traveler 1"}, screw)
	net, err := b.Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := net.NewSolver().Solve(net.Rest())
	if err != nil {
		fmt.Println(err)
		return
	}
	for s := range view.Shorts() {
		fmt.Printf("%v meets %v:\n", s.Rails[0], s.Rails[1])
		for _, step := range s.Path.Steps {
			fmt.Printf("  by %s %s to %v\n", step.Kind, step.Name, step.To)
		}
	}
	// Output:
	// line A meets ground:
	//   by conductor bus to breaker 7 line at panel
	//   by contact breaker 7 to breaker 7 load at panel
	//   by conductor C1 black to stair common at stair-foot
	//   by contact stair to stair traveler 1 at stair-foot
	//   by conductor C2 black to stair traveler 1 at loft
	//   by conductor slip to box ground screw at loft
	//   by conductor C2 bare to service ground at panel
}

// The energized path of a lit load, as a person traces it.
func ExampleView_Paths() {
	net, err := stair().Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	view, err := net.NewSolver().Solve(net.Rest())
	if err != nil {
		fmt.Println(err)
		return
	}
	paths, err := view.Paths(switchnet.Ref{Place: "stair", Name: "light"}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range paths.List {
		for _, step := range p.Steps {
			fmt.Printf("%v -> %v\n", step.From, step.To)
		}
	}
	// Output:
	// service line A at panel -> breaker 7 line at panel
	// breaker 7 line at panel -> breaker 7 load at panel
	// breaker 7 load at panel -> stair common at stair-foot
	// stair common at stair-foot -> stair traveler 1 at stair-foot
	// stair traveler 1 at stair-foot -> stair traveler 1 at loft
	// stair traveler 1 at loft -> stair common at loft
	// stair common at loft -> light hot at stair
	// light hot at stair -> light neutral at stair
	// light neutral at stair -> service neutral at panel
}

// A variation is a copy with a change: the net it was made from stays as it was.
func ExampleNet_Builder() {
	net, err := stair().Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	b := net.Builder()
	b.RemoveConductor("C2 red")
	open, err := b.Build()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range []*switchnet.Net{net, open} {
		states, count, err := n.States(nil)
		if err != nil {
			fmt.Println(err)
			return
		}
		lit := 0
		for s := range states {
			view, err := n.NewSolver().Solve(s)
			if err != nil {
				fmt.Println(err)
				return
			}
			if light, _ := view.Supply(switchnet.Ref{Place: "stair", Name: "light"}); light.Status == switchnet.Lit {
				lit++
			}
		}
		fmt.Printf("lit in %d of %v states\n", lit, count)
	}
	// Output:
	// lit in 2 of 4 states
	// lit in 1 of 4 states
}

// Build reports every mistake at once.
func ExampleBuilder_Build() {
	b := stair()
	b.Conductor("C4 black",
		switchnet.Terminal{Place: "loft", Device: "stair", Name: "comon"},
		switchnet.Terminal{Place: "yard", Device: "flood", Name: "hot"})
	_, err := b.Build()
	fmt.Println(err)
	// Output:
	// switchnet: conductor "C4 black" lands on "flood hot at yard", and nothing called "flood at yard" is declared
	// switchnet: conductor "C4 black" lands on terminal "comon" of "stair at loft", whose terminals are: common, traveler 1, traveler 2
}

// A kind of one's own is data.
func ExampleKind() {
	k := switchnet.Kind{
		Name:      "transfer switch",
		Terminals: []string{"load", "shore", "generator"},
		Positions: []switchnet.Position{
			{Name: "shore", Joins: [][]string{{"load", "shore"}}},
			{Name: "off"},
			{Name: "generator", Joins: [][]string{{"load", "generator"}}},
		},
	}
	fmt.Println(len(k.Validate()), "problems")
	for _, p := range k.WithTransit(switchnet.BreakBeforeMake).Positions {
		fmt.Println(p.Name)
	}
	// Output:
	// 0 problems
	// shore
	// between shore and off
	// off
	// between off and generator
	// generator
}
