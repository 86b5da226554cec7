package wiring_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// pair is a three-way pair: panel, store, loft, and one light beyond the loft.
func pair(tb testing.TB) wiring.Spec {
	tb.Helper()
	cable := func(name, kind, from, to string, feet quantity.Length) wiring.Cable {
		t, err := conductor.ParseCableType(kind)
		if err != nil {
			tb.Fatal(err)
		}
		return wiring.Cable{Name: name, Type: t, From: from, To: to, Length: feet * quantity.Foot}
	}
	w := func(c, k string) wiring.Joint { return wiring.WireJoint(c, k) }
	d := func(device, terminal string) wiring.Joint { return wiring.Joint{Device: device, Terminal: terminal} }
	land := func(box, device, terminal, c, k string) wiring.Landing {
		return wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wiring.Wire{Cable: c, Conductor: k}}
	}
	return wiring.Spec{
		Supply: switchnet.SplitPhase(),
		Feeds:  []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{
			{Name: "panel", Kind: wiring.Panel}, {Name: "store", Kind: wiring.DeviceBox, Clamps: wiring.InternalClamps},
			{Name: "loft", Kind: wiring.DeviceBox}, {Name: "ridge", Kind: wiring.CeilingBox}},
		Lights:  []wiring.Light{{Name: "ridge lamp", Box: "ridge", Power: 18 * quantity.Watt}},
		Devices: []wiring.Device{{Name: "stair", Box: "store", Kind: switchnet.ThreeWay()}, {Name: "stair", Box: "loft", Kind: switchnet.ThreeWay()}},
		Cables:  []wiring.Cable{cable("C1", "14/2", "panel", "store", 20), cable("C2", "14/3", "store", "loft", 30), cable("C3", "14/2", "loft", "ridge", 10)},
		Splices: []wiring.Splice{
			{Box: "store", Join: []wiring.Joint{w("C1", "white"), w("C2", "white")}},
			{Box: "store", Join: []wiring.Joint{w("C1", "bare"), w("C2", "bare"), d("stair", "ground")}},
			{Box: "loft", Join: []wiring.Joint{w("C2", "white"), w("C3", "white")}},
			{Box: "loft", Join: []wiring.Joint{w("C2", "bare"), w("C3", "bare"), d("stair", "ground")}},
			{Box: "ridge", Join: []wiring.Joint{w("C3", "black"), d("ridge lamp", "hot")}},
			{Box: "ridge", Join: []wiring.Joint{w("C3", "white"), d("ridge lamp", "neutral")}},
			{Box: "ridge", Join: []wiring.Joint{w("C3", "bare"), d("ridge lamp", "ground")}}},
		Landings: []wiring.Landing{
			land("panel", "shed lights", "hot", "C1", "black"), land("panel", "shed lights", "neutral", "C1", "white"), land("panel", "shed lights", "ground", "C1", "bare"),
			land("store", "stair", "common", "C1", "black"), land("store", "stair", "traveler 1", "C2", "black"), land("store", "stair", "traveler 2", "C2", "red"),
			land("loft", "stair", "traveler 1", "C2", "black"), land("loft", "stair", "traveler 2", "C2", "red"), land("loft", "stair", "common", "C3", "black")},
	}
}

func TestPair(t *testing.T) {
	w, err := wiring.New(pair(t))
	if err != nil {
		t.Fatal(err)
	}
	for wire, f := range w.Functions() {
		fmt.Println(wire, f)
	}
	c, err := w.Contents("store")
	fmt.Printf("%+v %v\n", c, err)
	for _, c := range w.Circuits() {
		fmt.Printf("%+v\n", c)
	}
	states, _, err := w.Net().States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver := w.Net().NewSolver()
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		sup, _ := v.Supply(switchnet.Ref{Place: "ridge", Name: "ridge lamp"})
		fmt.Println(s, sup.Status, sup.Volts)
		p, err := v.Paths(switchnet.Ref{Place: "ridge", Name: "ridge lamp"}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range p.List {
			fmt.Println(p)
		}
	}
}
