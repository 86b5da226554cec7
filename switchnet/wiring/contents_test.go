package wiring_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// contentsText writes what a box holds in a line: "2 14 AWG spliced, ground 1 14 AWG
// bare, stair 14 AWG, connectors 1 14 AWG, clamps 2 in".
func contentsText(c boxfill.Contents) string {
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	for _, x := range c.Conductors {
		add("%d %v %v", x.Count, x.Size, x.Role)
	}
	for _, x := range c.Grounds {
		add("ground %d %v %v", x.Count, x.Size, x.Kind)
	}
	for _, x := range c.Devices {
		s := fmt.Sprintf("%s %v", x.Name, x.Largest)
		if x.Gangs > 0 {
			s += fmt.Sprintf(" of %d gangs", x.Gangs)
		}
		if x.Depth > 0 {
			s += fmt.Sprintf(" %v deep", x.Depth)
		}
		parts = append(parts, s)
	}
	for _, x := range c.Connectors {
		add("connectors %d %v", x.Count, x.Largest)
	}
	if c.Clamps.Internal > 0 {
		add("clamps %d in", c.Clamps.Internal)
	}
	if c.Clamps.External > 0 {
		add("clamps %d out", c.Clamps.External)
	}
	if c.Canopy {
		add("canopy")
	}
	if c.Box.Gangs > 0 {
		add("%d gang", c.Box.Gangs)
	}
	return strings.Join(parts, ", ")
}

// benchContents are what the store of the bench holds once something is done there,
// counted by hand. As it stands C1 and C2 end in it, three insulated 14 AWG and a
// bare one each, of which nobody has done anything.
var benchContents = []struct {
	why  string
	spec func(s *sketch)
	want string
}{
	{"ends that hang count as spliced", func(s *sketch) {}, "6 14 AWG spliced, ground 2 14 AWG bare, 1 gang"},
	{"landed, spliced and capped ends count once each; the cap is a connector", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.land("store", "aisle.line", "C1.black")
		s.splice("store", "C1.white", "C2.white")
		s.cap("store", "C2.red")
	}, "5 14 AWG spliced, 1 14 AWG landed, ground 2 14 AWG bare, aisle 14 AWG, connectors 2 14 AWG, 1 gang"},
	{"sizes apart, the thinner first", func(s *sketch) { s.Cables[1].Type = cableType(s.tb, "12/2") },
		"3 14 AWG spliced, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, 1 gang"},
	{"a green ground is an insulated one", func(s *sketch) { s.Cables[1].Type = cableType(s.tb, "14/2 metal-clad") },
		"5 14 AWG spliced, ground 1 14 AWG bare, ground 1 14 AWG insulated, 1 gang"},
	{"a ground on its screw is not the device's largest wire", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.device("store", "aisle", switchnet.SinglePole())
		s.land("store", "aisle.line", "C1.black")
		s.land("store", "aisle.ground", "C2.bare")
	}, "2 14 AWG spliced, 1 14 AWG landed, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, aisle 14 AWG, 1 gang"},
	{"a bare wire pressed into service as a traveler is on the device", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.device("store", "aisle", switchnet.SinglePole())
		s.land("store", "aisle.load", "C2.bare")
	}, "3 14 AWG spliced, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, aisle 12 AWG, 1 gang"},
	{"a pigtail is as large as its splice's largest wire", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.device("store", "aisle", switchnet.SinglePole())
		s.splice("store", "C1.black", "C2.black", "aisle.line")
	}, "3 14 AWG spliced, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, aisle 12 AWG, connectors 1 12 AWG, 1 gang"},
	{"a jumper is as large as what its screws carry, and has no connector", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.device("store", "aisle", switchnet.SinglePole())
		s.device("store", "stair", switchnet.SinglePole())
		s.land("store", "aisle.line", "C1.black")
		s.splice("store", "aisle.line", "stair.line")
	}, "2 14 AWG spliced, 1 14 AWG landed, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, aisle 14 AWG, stair 14 AWG, 1 gang"},
	{"jumpers one after the other", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		for _, d := range []string{"a", "b", "c"} {
			s.device("store", d, switchnet.SinglePole())
		}
		s.splice("store", "c.line", "b.line")
		s.splice("store", "b.line", "a.line")
		s.land("store", "a.line", "C2.black")
	}, "3 14 AWG spliced, 1 12 AWG spliced, 1 12 AWG landed, ground 1 14 AWG bare, ground 1 12 AWG bare, a 12 AWG, b 12 AWG, c 12 AWG, 1 gang"},
	{"three pigtails under one connector, of what size nobody says: the largest there is", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		for _, d := range []string{"a", "b", "c"} {
			s.device("store", d, switchnet.SinglePole())
		}
		s.splice("store", "a.line", "b.line", "c.line")
	}, "3 14 AWG spliced, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, a 12 AWG, b 12 AWG, c 12 AWG, connectors 1 12 AWG, 1 gang"},
	{"two leads, of what size nobody says, have a connector: they have no screws", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.light("store", "lamp 1")
		s.light("store", "lamp 2")
		s.splice("store", "lamp 1.neutral", "lamp 2.hot")
	}, "3 14 AWG spliced, 2 12 AWG spliced, ground 1 14 AWG bare, ground 1 12 AWG bare, connectors 1 12 AWG, 1 gang"},
	{"two leads whose sizes are stated, under a connector for the larger", func(s *sketch) {
		s.light("store", "lamp 1")
		s.light("store", "lamp 2")
		s.Lights[0].Leads, s.Lights[1].Leads = conductor.AWG(18), conductor.AWG(16)
		s.splice("store", "lamp 1.neutral", "lamp 2.hot")
	}, "2 18 AWG fixture wire, 2 16 AWG fixture wire, 6 14 AWG spliced, ground 2 14 AWG bare, connectors 1 16 AWG, 1 gang"},
	{"a lead on a screw has none", func(s *sketch) {
		s.light("store", "lamp")
		s.device("store", "aisle", switchnet.SinglePole())
		s.splice("store", "lamp.hot", "aisle.load")
	}, "6 14 AWG spliced, ground 2 14 AWG bare, aisle 14 AWG, 1 gang"},
	{"a device on which nothing is found yet: as large as the largest there is", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
	}, "6 14 AWG spliced, ground 2 14 AWG bare, aisle 14 AWG, 1 gang"},
	{"a device in a box without cables", func(s *sketch) {
		s.Cables[0].To, s.Cables[1].From = "loft", "panel"
		s.device("store", "aisle", switchnet.SinglePole())
	}, "aisle no size, 1 gang"},
	{"two switches on one yoke are one device with its larger wire", func(s *sketch) {
		s.Cables[1].Type = cableType(s.tb, "12/2")
		s.device("store", "stair", switchnet.SinglePole())
		s.device("store", "aisle", switchnet.SinglePole())
		s.Devices[0].Yoke, s.Devices[1].Yoke = "duplex", "duplex"
		s.Devices[0].Depth, s.Devices[1].Depth = 30*quantity.Millimeter, 40*quantity.Millimeter
		s.Devices[0].Gangs = 2
		s.land("store", "aisle.line", "C2.black")
		s.land("store", "stair.line", "C1.black")
	}, "2 14 AWG spliced, 1 14 AWG landed, 1 12 AWG spliced, 1 12 AWG landed, ground 1 14 AWG bare, ground 1 12 AWG bare, aisle and stair 12 AWG of 2 gangs 40 mm deep, 1 gang"},
	{"yokes of one name in two boxes are two", func(s *sketch) {
		s.device("store", "aisle", switchnet.SinglePole())
		s.device("loft", "aisle", switchnet.SinglePole())
		s.Devices[0].Yoke, s.Devices[1].Yoke = "duplex", "duplex"
	}, "6 14 AWG spliced, ground 2 14 AWG bare, aisle 14 AWG, 1 gang"},
	{"two single devices have two yokes", func(s *sketch) {
		s.device("store", "stair", switchnet.SinglePole())
		s.device("store", "aisle", switchnet.SinglePole())
	}, "6 14 AWG spliced, ground 2 14 AWG bare, aisle 14 AWG, stair 14 AWG, 1 gang"},
	{"clamps inside, one for each cable", func(s *sketch) { s.Boxes[1].Clamps = wiring.InternalClamps },
		"6 14 AWG spliced, ground 2 14 AWG bare, clamps 2 in, 1 gang"},
	{"clamps inside take room though no cable is in yet", func(s *sketch) {
		s.Cables[0].To, s.Cables[1].From = "loft", "panel"
		s.Boxes[1].Clamps = wiring.InternalClamps
	}, "clamps 1 in, 1 gang"},
	{"clamps outside", func(s *sketch) { s.Boxes[1].Clamps = wiring.ExternalClamps }, "6 14 AWG spliced, ground 2 14 AWG bare, clamps 2 out, 1 gang"},
	{"no clamps", func(s *sketch) { s.Boxes[1].Clamps = wiring.NoClamps }, "6 14 AWG spliced, ground 2 14 AWG bare, 1 gang"},
	{"loose conductors are not held by clamps", func(s *sketch) {
		s.Boxes[1].Clamps = wiring.ExternalClamps
		s.Cables[1].Type = cableType(s.tb, "loose 14 AWG 90 C black white green")
	}, "5 14 AWG spliced, ground 1 14 AWG bare, ground 1 14 AWG insulated, clamps 1 out, 1 gang"},
	{"a light whose leads are not stated is left out", func(s *sketch) { s.light("store", "lamp") }, "6 14 AWG spliced, ground 2 14 AWG bare, 1 gang"},
	{"leads and a canopy; the ground lead hangs outside", func(s *sketch) {
		s.light("store", "lamp")
		s.Lights[0].Leads, s.Lights[0].Canopy = conductor.AWG(18), true
		s.splice("store", "C1.black", "lamp.hot")
		s.splice("store", "C1.white", "lamp.neutral")
	}, "2 18 AWG fixture wire, 6 14 AWG spliced, ground 2 14 AWG bare, connectors 2 14 AWG, canopy, 1 gang"},
	{"and its ground lead, used once though in two places", func(s *sketch) {
		s.light("store", "lamp")
		s.Lights[0].Leads = conductor.AWG(18)
		s.splice("store", "C1.bare", "lamp.ground")
		s.splice("store", "C2.bare", "lamp.ground")
	}, "2 18 AWG fixture wire, 6 14 AWG spliced, ground 1 18 AWG canopy, ground 2 14 AWG bare, connectors 2 14 AWG, 1 gang"},
	{"two lights on one box", func(s *sketch) {
		s.light("store", "lamp 1")
		s.light("store", "lamp 2")
		s.Lights[0].Leads, s.Lights[1].Leads = conductor.AWG(18), conductor.AWG(18)
	}, "4 18 AWG fixture wire, 6 14 AWG spliced, ground 2 14 AWG bare, 1 gang"},
	{"a lamp that is plugged in is not in the box", func(s *sketch) {
		s.device("store", "counter", switchnet.Receptacle())
		s.plug("store", "lamp", "counter", "hot 1", "neutral 1")
	}, "6 14 AWG spliced, ground 2 14 AWG bare, counter 14 AWG, 1 gang"},
	{"a cable whose other end nobody has found is here all the same", func(s *sketch) { s.Cables[1].To = "" },
		"6 14 AWG spliced, ground 2 14 AWG bare, 1 gang"},
	{"the gangs that are stated", func(s *sketch) { s.Boxes[1].Gangs = 3 }, "6 14 AWG spliced, ground 2 14 AWG bare, 3 gang"},
	{"gangs of the volume come first", func(s *sketch) { s.Boxes[1].Gangs = 3; s.Boxes[1].Volume.Gangs = 2 },
		"6 14 AWG spliced, ground 2 14 AWG bare, 2 gang"},
	{"a junction box has no gangs", func(s *sketch) { s.Boxes[1].Kind = wiring.JunctionBox }, "6 14 AWG spliced, ground 2 14 AWG bare"},
}

func TestContents(t *testing.T) {
	for _, test := range benchContents {
		s := bench(t)
		test.spec(s)
		c, err := build(t, s.Spec).Contents("store")
		if err != nil {
			t.Fatalf("%s: %v", test.why, err)
		}
		if got := contentsText(c); got != test.want {
			t.Errorf("%s:\n%s\nwant\n%s", test.why, got, test.want)
		}
	}
}

// What cannot be counted is an error and not an empty box.
func TestNoContents(t *testing.T) {
	s := bench(t)
	s.Cables[1].To = ""
	w := build(t, s.Spec)
	for _, box := range []string{"attic", "", wiring.UnknownPlace("C2")} {
		if c, err := w.Contents(box); err == nil || errors.Is(err, wiring.ErrPanel) {
			t.Errorf("%q holds %s, %v", box, contentsText(c), err)
		}
		if e := w.Ends(box); e != nil {
			t.Errorf("%q has %v", box, e)
		}
	}
	if c, err := w.Contents("panel"); !errors.Is(err, wiring.ErrPanel) {
		t.Errorf("the panel holds %s, %v", contentsText(c), err)
	}
}

// What is given away is a copy.
func TestContentsAreCopies(t *testing.T) {
	s := bench(t)
	s.Boxes[1].Volume = boxfill.Box{Sections: []boxfill.Section{{Marked: 20 * quantity.CubicInch}},
		Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing}}, Barriers: []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}}
	w := build(t, s.Spec)
	c, _ := w.Contents("store")
	c.Box.Sections[0].Marked, c.Box.Additions[0].Kind, c.Box.Barriers[0].Kind = 0, 0, 0
	again, _ := w.Contents("store")
	if b := again.Box; b.Sections[0].Marked == 0 || b.Additions[0].Kind == 0 || b.Barriers[0].Kind == 0 {
		t.Errorf("the wiring was changed: %+v", b)
	}
}

func TestEnds(t *testing.T) {
	s := bench(t)
	s.cable("C10", "14/2", "loft", "store", 3)
	s.device("store", "aisle", switchnet.SinglePole())
	s.land("store", "aisle.line", "C1.black")
	s.splice("store", "C1.white", "C2.white")
	s.cap("store", "C2.red")
	w := build(t, s.Spec)
	var got []string
	for _, e := range w.Ends("store") {
		u, ok := w.Use(e)
		if !ok {
			t.Errorf("%v has no use", e)
		}
		got = append(got, fmt.Sprintf("%s %v", e.Wire, u))
	}
	want := []string{"C1.black landed", "C1.white spliced", "C1.red hanging", "C1.bare hanging", "C10.black hanging", "C10.white hanging", "C10.bare hanging",
		"C2.black hanging", "C2.white spliced", "C2.red capped", "C2.bare hanging"}
	if !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}
}
