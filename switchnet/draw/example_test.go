package draw_test

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/wiring"
)

// slipway is a floodlight, its switch beside the slip door, and the panel.
func slipway() *wiring.Wiring {
	two, err := conductor.ParseCableType("14/2")
	if err != nil {
		panic(err)
	}
	wire := wiring.WireJoint
	at := func(device, terminal string) wiring.Joint { return wiring.Joint{Device: device, Terminal: terminal} }
	w, err := wiring.New(wiring.Spec{
		Supply:  switchnet.SplitPhase(),
		Feeds:   []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes:   []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "slip-door", Kind: wiring.DeviceBox}, {Name: "slipway", Kind: wiring.CeilingBox}},
		Lights:  []wiring.Light{{Name: "floodlight", Box: "slipway", Power: 50 * quantity.Watt}},
		Devices: []wiring.Device{{Name: "slipway", Box: "slip-door", Kind: switchnet.SinglePole()}},
		Cables: []wiring.Cable{
			{Name: "C1", Type: two, From: "panel", To: "slip-door", Length: 22 * quantity.Foot},
			{Name: "C2", Type: two, From: "slip-door", To: "slipway", Length: 9 * quantity.Foot},
		},
		Splices: []wiring.Splice{
			{Box: "slip-door", Join: []wiring.Joint{wire("C1", "white"), wire("C2", "white")}},
			{Box: "slip-door", Join: []wiring.Joint{wire("C1", "bare"), wire("C2", "bare"), at("slipway", "ground")}},
			{Box: "slipway", Join: []wiring.Joint{wire("C2", "black"), at("floodlight", "hot")}},
			{Box: "slipway", Join: []wiring.Joint{wire("C2", "white"), at("floodlight", "neutral")}},
			{Box: "slipway", Join: []wiring.Joint{wire("C2", "bare"), at("floodlight", "ground")}},
		},
		Landings: []wiring.Landing{
			{Box: "panel", Device: "shed lights", Terminal: "hot", Wire: wiring.Wire{Cable: "C1", Conductor: "black"}},
			{Box: "panel", Device: "shed lights", Terminal: "neutral", Wire: wiring.Wire{Cable: "C1", Conductor: "white"}},
			{Box: "panel", Device: "shed lights", Terminal: "ground", Wire: wiring.Wire{Cable: "C1", Conductor: "bare"}},
			{Box: "slip-door", Device: "slipway", Terminal: "line", Wire: wiring.Wire{Cable: "C1", Conductor: "black"}},
			{Box: "slip-door", Device: "slipway", Terminal: "load", Wire: wiring.Wire{Cable: "C2", Conductor: "black"}},
		},
	})
	if err != nil {
		panic(err)
	}
	return w
}

// Write a file with the picture of every box, laid out for a phone.
func Example() {
	w := slipway()
	d := draw.New(w)
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	for _, b := range w.Spec().Boxes {
		p, err := d.Box(b.Name, &draw.Options{Width: draw.Phone})
		if err != nil {
			panic(err)
		}
		f, err := os.Create(filepath.Join(dir, b.Name+".svg"))
		if err != nil {
			panic(err)
		}
		if _, err := p.WriteTo(f); err != nil {
			panic(err)
		}
		if err := f.Close(); err != nil {
			panic(err)
		}
		width, _ := p.Size()
		fmt.Println(p.Title(), "fits a phone:", width <= draw.Phone)
	}
	// Output:
	// Box panel fits a phone: true
	// Box slip-door fits a phone: true
	// Box slipway fits a phone: true
}

// The text alternative of a run plan says all that it shows.
func ExampleDrawer_Runs() {
	p, err := draw.New(slipway()).Runs(nil)
	if err != nil {
		panic(err)
	}
	fmt.Println(p.Description())
	// Output:
	// Run plan: boxes and the cables between them. Box panel: feed shed lights, 15 A. Box slip-door: slipway, single-pole. Box slipway: floodlight, 50 W. Cable C1 14/2, 22 ft from panel to slip-door. Cable C2 14/2, 9 ft from slip-door to slipway.
}

// Draw a control with the handle up, and say what becomes of the light.
func ExampleDrawer_Chain() {
	w := slipway()
	g := draw.Group{Name: "slipway", Lights: []switchnet.Ref{{Place: "slipway", Name: "floodlight"}}, Switches: []switchnet.Ref{{Place: "slip-door", Name: "slipway"}}}
	on, err := w.Net().Rest().With(g.Switches[0], "on")
	if err != nil {
		panic(err)
	}
	p, err := draw.New(w).Chain(g, on, nil)
	if err != nil {
		panic(err)
	}
	if _, err := p.WriteTo(io.Discard); err != nil {
		panic(err)
	}
	fmt.Println(p.Description())
	// Output:
	// Circuit of control slipway in one state. Feed shed lights, breaker on. slipway at slip-door, single-pole, on. floodlight is lit. The current to floodlight goes by shed lights hot, slipway line at slip-door, slipway load at slip-door, floodlight hot, floodlight neutral.
}

// Sum up every setting of a control.
func ExampleDrawer_Truth() {
	g := draw.Group{Name: "slipway", Lights: []switchnet.Ref{{Place: "slipway", Name: "floodlight"}}, Switches: []switchnet.Ref{{Place: "slip-door", Name: "slipway"}}}
	p, err := draw.New(slipway()).Truth(context.Background(), g, nil)
	if err != nil {
		panic(err)
	}
	fmt.Println(p.Description())
	// Output:
	// What the lights of control slipway do in every setting of its switches. floodlight: its switch turns it on and off. With slip-door off: floodlight unlit. With slip-door on: floodlight lit.
}
