package wiring_test

import (
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// floodlight is the corner of the boat shed by the slip door: a single-pole switch
// there and the floodlight over the slipway.
func floodlight() wiring.Spec {
	cable, _ := conductor.ParseCableType("14/2")
	w := wiring.WireJoint
	term := func(device, terminal string) wiring.Joint {
		return wiring.Joint{Device: device, Terminal: terminal}
	}
	land := func(box, device, terminal, cable, colour string) wiring.Landing {
		return wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wiring.Wire{Cable: cable, Conductor: colour}}
	}
	return wiring.Spec{
		Supply:  switchnet.SplitPhase(),
		Feeds:   []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes:   []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "slip-door", Kind: wiring.DeviceBox}, {Name: "slipway", Kind: wiring.CeilingBox}},
		Lights:  []wiring.Light{{Name: "floodlight", Box: "slipway", Power: 50 * quantity.Watt}},
		Devices: []wiring.Device{{Name: "slipway", Box: "slip-door", Kind: switchnet.SinglePole()}},
		Cables: []wiring.Cable{
			{Name: "C1", Type: cable, From: "panel", To: "slip-door", Length: 22 * quantity.Foot},
			{Name: "C2", Type: cable, From: "slip-door", To: "slipway", Length: 9 * quantity.Foot}},
		Splices: []wiring.Splice{
			{Box: "slip-door", Join: []wiring.Joint{w("C1", "white"), w("C2", "white")}},
			{Box: "slip-door", Join: []wiring.Joint{w("C1", "bare"), w("C2", "bare"), term("slipway", "ground")}},
			{Box: "slipway", Join: []wiring.Joint{w("C2", "black"), term("floodlight", "hot")}},
			{Box: "slipway", Join: []wiring.Joint{w("C2", "white"), term("floodlight", "neutral")}},
			{Box: "slipway", Join: []wiring.Joint{w("C2", "bare"), term("floodlight", "ground")}}},
		Landings: []wiring.Landing{
			land("panel", "shed lights", "hot", "C1", "black"), land("panel", "shed lights", "neutral", "C1", "white"), land("panel", "shed lights", "ground", "C1", "bare"),
			land("slip-door", "slipway", "line", "C1", "black"), land("slip-door", "slipway", "load", "C2", "black")},
	}
}

func ExampleNew() {
	w, err := wiring.New(floodlight())
	if err != nil {
		fmt.Println(err)
		return
	}
	for wire, function := range w.Functions() {
		fmt.Printf("%s: %s\n", wire, function)
	}
	// Output:
	// C1.black: hot of shed lights
	// C1.white: neutral of shed lights
	// C1.bare: ground
	// C2.black: switch leg of floodlight
	// C2.white: neutral of shed lights
	// C2.bare: ground
}

// Everything that contradicts itself is said at once, with its place.
func ExampleProblems() {
	spec := floodlight()
	spec.Feeds[0].Breaker = 0
	spec.Landings[4].Terminal = "lode"
	_, err := wiring.New(spec)
	fmt.Println(err)
	// Output:
	// wiring: feeds[0].breaker: feed "shed lights" has no breaker rating; write what stands on the breaker
	// wiring: landings[4].terminal: "slipway" in box "slip-door" has no terminal "lode"; known: line, load, ground
}

func ExampleWiring_Net() {
	w, _ := wiring.New(floodlight())
	net := w.Net()
	on, _ := net.Rest().With(switchnet.Ref{Place: "slip-door", Name: "slipway"}, "on")
	view, _ := net.NewSolver().Solve(on)
	supply, _ := view.Supply(switchnet.Ref{Place: "slipway", Name: "floodlight"})
	fmt.Println(supply.Status, supply.Volts)
	// Output: lit 120 V
}

func ExampleWiring_Contents() {
	w, _ := wiring.New(floodlight())
	contents, _ := w.Contents("slip-door")
	for _, c := range contents.Conductors {
		fmt.Println(c.Count, c.Size, c.Role)
	}
	fmt.Println("grounds:", contents.Grounds[0].Count, "device:", contents.Devices[0].Name, contents.Devices[0].Largest)
	// Output:
	// 2 14 AWG spliced
	// 2 14 AWG landed
	// grounds: 2 device: slipway 14 AWG
}

func ExampleWiring_Circuits() {
	w, _ := wiring.New(floodlight())
	for _, c := range w.Circuits() {
		fmt.Println(c.Feed, c.Breaker, c.Power, c.Smallest, c.Cables)
		far, _ := c.Longest()
		fmt.Println("to", far.Light.Name, "and back:", far.Length())
	}
	// Output:
	// shed lights at panel 15 A 50 W 14 AWG [C1 C2]
	// to floodlight and back: 62 ft
}

// An edit is data, and gives another wiring. Nobody does it to a real one before the
// circuit is off, locked out, tagged and proven dead with a tester that is proven
// before and after.
func ExampleWiring_Apply() {
	w, _ := wiring.New(floodlight())
	edit := wiring.MoveLanding{End: wiring.End{Box: "slip-door", Wire: wiring.Wire{Cable: "C2", Conductor: "black"}}, Device: "slipway", Terminal: "line"}
	after, err := w.Apply(edit)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(edit)
	for _, v := range []*wiring.Wiring{w, after} {
		leg, _ := v.Function(wiring.Wire{Cable: "C2", Conductor: "black"})
		fmt.Println(leg)
	}
	// Output:
	// land C2.black in box slip-door on line of slipway
	// switch leg of floodlight
	// hot of shed lights
}
