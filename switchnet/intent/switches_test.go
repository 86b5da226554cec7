package intent_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

func TestSwitches(t *testing.T) {
	w, err := wiring.New(wiring.Spec{
		Supply: switchnet.SplitPhase(),
		Feeds:  []wiring.Feed{{Name: "aisle", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "slip-door", Kind: wiring.DeviceBox}, {Name: "yard-door", Kind: wiring.DeviceBox},
			{Name: "loft", Kind: wiring.DeviceBox}},
		Lights: []wiring.Light{{Name: "stair", Box: "yard-door"}},
		Devices: []wiring.Device{{Name: "aisle", Box: "yard-door", Kind: switchnet.ThreeWay()}, {Name: "aisle", Box: "slip-door", Kind: switchnet.ThreeWay()},
			{Name: "stair", Box: "slip-door", Kind: switchnet.SinglePole()}},
	})
	if err != nil {
		t.Fatal(err)
	}
	ref := func(place, name string) switchnet.Ref { return switchnet.Ref{Place: place, Name: name} }
	tests := []struct {
		why     string
		control intent.Control
		devices []switchnet.Ref
		missing []string
	}{
		{"in the order of the places", intent.Control{Name: "aisle", Places: []string{"yard-door", "slip-door"}},
			[]switchnet.Ref{ref("yard-door", "aisle"), ref("slip-door", "aisle")}, nil},
		{"a place without its switch", intent.Control{Name: "aisle", Places: []string{"loft", "slip-door", "attic"}},
			[]switchnet.Ref{ref("slip-door", "aisle")}, []string{"loft", "attic"}},
		{"a feed of that name is no switch", intent.Control{Name: "aisle", Places: []string{"panel"}}, nil, []string{"panel"}},
		{"nor is a light", intent.Control{Name: "stair", Places: []string{"yard-door", "slip-door"}},
			[]switchnet.Ref{ref("slip-door", "stair")}, []string{"yard-door"}},
		{"no places", intent.Control{Name: "aisle"}, nil, nil},
	}
	for _, test := range tests {
		devices, missing := test.control.Switches(w)
		if !slices.Equal(devices, test.devices) || !slices.Equal(missing, test.missing) {
			t.Errorf("%s: %v and not %q, want %v and not %q", test.why, devices, missing, test.devices, test.missing)
		}
	}
}
