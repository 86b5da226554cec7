package identify_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// cottage is the beginning of a job in the caretaker's cottage: a panel with the feed
// "stair", a closed box "ceiling" with a light, and open boxes with three-ways.
func cottage(t testing.TB, boxes ...string) *wiring.Spec {
	t.Helper()
	s := &wiring.Spec{
		Supply: switchnet.SplitPhase(),
		Boxes:  []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "ceiling", Kind: wiring.CeilingBox}},
		Feeds:  []wiring.Feed{{Name: "stair", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Lights: []wiring.Light{{Name: "lamp", Box: "ceiling", Power: 18 * quantity.Watt, Kind: wiring.Resistive}},
	}
	for _, b := range boxes {
		s.Boxes = append(s.Boxes, wiring.Box{Name: b, Kind: wiring.DeviceBox})
		s.Devices = append(s.Devices, wiring.Device{Name: "stair", Box: b, Kind: switchnet.ThreeWay()})
	}
	return s
}

// enter adds a cable that enters a box and whose other end is unknown, or known.
func enter(t testing.TB, s *wiring.Spec, name, kind, box, to string) {
	t.Helper()
	typ, err := conductor.ParseCableType(kind)
	if err != nil {
		t.Fatal(err)
	}
	s.Cables = append(s.Cables, wiring.Cable{Name: name, Type: typ, From: box, To: to})
}

// wire reads "C1.white".
func wire(s string) wiring.Wire {
	a, b, _ := strings.Cut(s, ".")
	return wiring.Wire{Cable: a, Conductor: b}
}

func end(box, s string) wiring.End { return wiring.End{Box: box, Wire: wire(s)} }

func land(s *wiring.Spec, box, device, terminal, w string) {
	s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wire(w)})
}

func splice(s *wiring.Spec, box string, wires ...string) {
	var join []wiring.Joint
	for _, w := range wires {
		join = append(join, wiring.Joint{Wire: wire(w)})
	}
	s.Splices = append(s.Splices, wiring.Splice{Box: box, Join: join})
}

func newCase(t testing.TB, s *wiring.Spec, opt *identify.Options) *identify.Case {
	t.Helper()
	w, err := wiring.New(*s)
	if err != nil {
		t.Fatal(err)
	}
	c, err := identify.New(t.Context(), w, opt)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func singlePole() switchnet.Kind { return switchnet.SinglePole() }
