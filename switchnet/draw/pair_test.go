package draw_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/wiring"
)

// TestPairs holds what is said of two terminals that are joined by nothing else.
func TestPairs(t *testing.T) {
	joint := func(device, terminal string) wiring.Joint {
		return wiring.Joint{Device: device, Terminal: terminal}
	}
	for _, r := range []struct {
		why  string
		join [2]wiring.Joint
		want string
	}{
		{"screws have a jumper from one to the other", [2]wiring.Joint{joint("a", "line"), joint("b", "line")}, "a jumper, without a connector"},
		{"a light has a lead, which fits a screw", [2]wiring.Joint{joint("a", "load"), joint("lamp", "hot")}, "the lead is on the screw, without a connector"},
		{"two leads do not stay together by themselves", [2]wiring.Joint{joint("lamp", "neutral"), joint("second lamp", "hot")}, "two leads"},
	} {
		w, err := wiring.New(wiring.Spec{Supply: switchnet.SplitPhase(),
			Boxes:  []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "loft", Kind: wiring.DeviceBox, Gangs: 2}},
			Feeds:  []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
			Lights: []wiring.Light{{Name: "lamp", Box: "loft"}, {Name: "second lamp", Box: "loft"}},
			Devices: []wiring.Device{{Name: "a", Box: "loft", Kind: switchnet.SinglePole()},
				{Name: "b", Box: "loft", Kind: switchnet.SinglePole()}},
			Splices: []wiring.Splice{{Box: "loft", Join: r.join[:]}}})
		if err != nil {
			t.Fatal(err)
		}
		p, err := draw.New(w).Box("loft", nil)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(p.Description(), r.want) {
			t.Errorf("%s: it says\n%s\nand should say %q", r.why, p.Description(), r.want)
		}
	}
}
