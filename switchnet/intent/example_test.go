package intent_test

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// The aisle light of the boat shed is to be switched from two doors.
func Example() {
	want := intent.Intent{
		Supply: switchnet.SplitPhase(),
		Feeds:  []wiring.Feed{{Name: "shed lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "slip-door", Kind: wiring.DeviceBox},
			{Name: "yard-door", Kind: wiring.DeviceBox}, {Name: "aisle-1", Kind: wiring.CeilingBox}},
		Lights: []wiring.Light{{Name: "aisle light", Box: "aisle-1", Power: 18 * quantity.Watt}},
		Runs: []intent.Run{
			{From: "panel", To: "slip-door", Length: 22 * quantity.Foot},
			{From: "slip-door", To: "yard-door", Length: 31 * quantity.Foot},
			{From: "yard-door", To: "aisle-1", Length: 12 * quantity.Foot}},
		Controls: []intent.Control{{Name: "aisle", Lights: []string{"aisle light"}, Places: []string{"slip-door", "yard-door"}}},
	}
	fmt.Println("as wanted:", want.Check())

	want.Controls[0].Places[1] = "yard"
	want.Runs[2].Length = 0
	fmt.Println(want.Check())
	// Output:
	// as wanted: <nil>
	// wiring: runs[2].length: the run from "yard-door" to "aisle-1" is 0 ft long; a run is longer than nothing and no longer than 10 km
	// wiring: controls[0].places 1: there is no box called "yard"; known: aisle-1, panel, slip-door, yard-door
}

// In a wiring that exists, the switches of a control are the devices that bear its
// name.
func ExampleControl_Switches() {
	w, err := wiring.New(wiring.Spec{
		Supply:  switchnet.SplitPhase(),
		Boxes:   []wiring.Box{{Name: "slip-door", Kind: wiring.DeviceBox}, {Name: "yard-door", Kind: wiring.DeviceBox}},
		Devices: []wiring.Device{{Name: "aisle", Box: "slip-door", Kind: switchnet.ThreeWay()}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	aisle := intent.Control{Name: "aisle", Lights: []string{"aisle light"}, Places: []string{"slip-door", "yard-door"}}
	devices, missing := aisle.Switches(w)
	fmt.Println("there:", devices)
	fmt.Println("missing:", missing)
	// Output:
	// there: [aisle at slip-door]
	// missing: [yard-door]
}
