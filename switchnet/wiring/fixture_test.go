package wiring_test

import (
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// pair is a three-way pair: panel, store, loft, and one light beyond the loft.
func pair(tb tester) wiring.Spec {
	tb.Helper()
	s := newSketch(tb)
	s.feed("panel", "shed lights")
	s.box("store", wiring.DeviceBox)
	s.box("loft", wiring.DeviceBox)
	s.box("ridge", wiring.CeilingBox)
	s.Boxes[1].Clamps = wiring.InternalClamps
	s.light("ridge", "ridge lamp")
	s.device("store", "stair", switchnet.ThreeWay())
	s.device("loft", "stair", switchnet.ThreeWay())
	s.cable("C1", "14/2", "panel", "store", 20)
	s.cable("C2", "14/3", "store", "loft", 30)
	s.cable("C3", "14/2", "loft", "ridge", 10)
	s.splice("store", "C1.white", "C2.white")
	s.splice("store", "C1.bare", "C2.bare", "stair.ground")
	s.splice("loft", "C2.white", "C3.white")
	s.splice("loft", "C2.bare", "C3.bare", "stair.ground")
	s.splice("ridge", "C3.black", "ridge lamp.hot")
	s.splice("ridge", "C3.white", "ridge lamp.neutral")
	s.splice("ridge", "C3.bare", "ridge lamp.ground")
	s.land("panel", "shed lights.hot", "C1.black")
	s.land("panel", "shed lights.neutral", "C1.white")
	s.land("panel", "shed lights.ground", "C1.bare")
	s.land("store", "stair.common", "C1.black")
	s.land("store", "stair.traveler 1", "C2.black")
	s.land("store", "stair.traveler 2", "C2.red")
	s.land("loft", "stair.traveler 1", "C2.black")
	s.land("loft", "stair.traveler 2", "C2.red")
	s.land("loft", "stair.common", "C3.black")
	return s.Spec
}

// tester is what fixtures need of a test, be it one of package testing or of rapid.
type tester interface {
	Helper()
	Fatal(args ...any)
}

// sketch is a Spec that is written down in a few words.
type sketch struct {
	tb tester
	wiring.Spec
}

func newSketch(tb tester) *sketch {
	return &sketch{tb: tb, Spec: wiring.Spec{Supply: switchnet.SplitPhase()}}
}

// feed puts a feed in a panel, and the panel down if there is none.
func (s *sketch) feed(box, name string, lines ...switchnet.Rail) {
	has := false
	for _, b := range s.Boxes {
		has = has || b.Name == box
	}
	if !has {
		s.box(box, wiring.Panel)
	}
	s.Feeds = append(s.Feeds, wiring.Feed{Name: name, Box: box, Lines: lines, Breaker: 15 * quantity.Ampere})
}

func (s *sketch) box(name string, kind wiring.BoxKind) {
	s.Boxes = append(s.Boxes, wiring.Box{Name: name, Kind: kind})
}

func (s *sketch) light(box, name string) {
	s.Lights = append(s.Lights, wiring.Light{Name: name, Box: box, Power: 18 * quantity.Watt})
}

// plug plugs a light into a device.
func (s *sketch) plug(box, name, on, hot, neutral string) {
	s.Lights = append(s.Lights, wiring.Light{Name: name, Box: box, Power: 18 * quantity.Watt, On: on, Ends: [2]string{hot, neutral}})
}

func (s *sketch) device(box, name string, kind switchnet.Kind) {
	s.Devices = append(s.Devices, wiring.Device{Name: name, Box: box, Kind: kind})
}

// twoWire is the cheapest cable, read once.
func (s *sketch) twoWire() conductor.CableType {
	if len(s.Cables) > 0 {
		return s.Cables[0].Type
	}
	return cableType(s.tb, "14/2")
}

func (s *sketch) cable(name, kind, from, to string, feet int) {
	s.Cables = append(s.Cables, wiring.Cable{Name: name, Type: cableType(s.tb, kind), From: from, To: to, Length: quantity.Length(feet) * quantity.Foot})
}

func cableType(tb tester, kind string) conductor.CableType {
	tb.Helper()
	t, err := conductor.ParseCableType(kind)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

// wire reads "C4.red".
func wire(text string) wiring.Wire {
	cable, colour, _ := strings.Cut(text, ".")
	return wiring.Wire{Cable: cable, Conductor: colour}
}

// end reads "C4.red" in a box.
func end(box, text string) wiring.End { return wiring.End{Box: box, Wire: wire(text)} }

// joint reads "C4.red" or "stair.common": cables are called C and a number.
func joint(text string) wiring.Joint {
	name, rest, _ := strings.Cut(text, ".")
	if len(name) > 1 && name[0] == 'C' && strings.Trim(name[1:], "0123456789") == "" {
		return wiring.WireJoint(name, rest)
	}
	return wiring.Joint{Device: name, Terminal: rest}
}

func joints(texts ...string) []wiring.Joint {
	var out []wiring.Joint
	for _, t := range texts {
		out = append(out, joint(t))
	}
	return out
}

func (s *sketch) splice(box string, join ...string) {
	s.Splices = append(s.Splices, wiring.Splice{Box: box, Join: joints(join...)})
}

func (s *sketch) land(box, terminal, w string) {
	device, name, _ := strings.Cut(terminal, ".")
	s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: device, Terminal: name, Wire: wire(w)})
}

func (s *sketch) cap(box, w string) {
	s.Caps = append(s.Caps, wiring.Cap{Box: box, Wire: wire(w)})
}

func (s *sketch) tie(box, a, b string) {
	s.Ties = append(s.Ties, wiring.Tie{Box: box, A: joint(a), B: joint(b)})
}

// build returns the wiring, which must be in order.
func build(tb tester, s wiring.Spec) *wiring.Wiring {
	tb.Helper()
	w, err := wiring.New(s)
	if err != nil {
		tb.Fatal(err)
	}
	return w
}
