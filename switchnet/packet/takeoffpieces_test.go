package packet_test

import (
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// TestPieces counts what the boat shed has none of.
func TestPieces(t *testing.T) {
	type row struct {
		why    string
		change func(s *wiring.Spec)
		supply string
		want   int
	}
	wire := func(cable, conductor string) wiring.Joint { return wiring.WireJoint(cable, conductor) }
	screw := func(device, terminal string) wiring.Joint { return wiring.Joint{Device: device, Terminal: terminal} }
	splice := func(box string, join ...wiring.Joint) func(s *wiring.Spec) {
		return func(s *wiring.Spec) {
			s.Boxes = append(s.Boxes, wiring.Box{Name: "spare", Kind: wiring.DeviceBox})
			s.Lights = append(s.Lights, wiring.Light{Name: "one", Box: "spare"}, wiring.Light{Name: "two", Box: "spare", Leads: conductor.AWG(18)})
			s.Devices = append(s.Devices, wiring.Device{Name: "x", Box: "spare", Kind: switchnet.ThreeWay()}, wiring.Device{Name: "y", Box: "spare", Kind: switchnet.SinglePole()})
			s.Cables = append(s.Cables, wiring.Cable{Name: "S", Type: cable(t, "12/2 aluminum"), From: "spare"}, wiring.Cable{Name: "R", Type: cable(t, "14/3"), From: "spare"})
			s.Splices = append(s.Splices, wiring.Splice{Box: box, Join: join})
		}
	}
	both := func(changes ...func(s *wiring.Spec)) func(s *wiring.Spec) {
		return func(s *wiring.Spec) {
			for _, c := range changes {
				c(s)
			}
		}
	}
	rows := []row{
		{"two screws are joined by a jumper", splice("spare", screw("x", "common"), screw("y", "line")), "jumper size not stated", 1},
		{"as large as what is on either", both(splice("spare", screw("x", "common"), screw("y", "line")), func(s *wiring.Spec) {
			s.Landings = append(s.Landings, wiring.Landing{Box: "spare", Device: "y", Terminal: "line", Wire: wiring.Wire{Cable: "R", Conductor: "red"}})
		}), "jumper 14 AWG", 1},
		{"and need no connector", splice("spare", screw("x", "common"), screw("y", "line")), "wire connector 2 pigtails (size not stated)", 0},
		{"a lead on a screw needs nothing", splice("spare", screw("x", "common"), screw("one", "hot")), "jumper size not stated", 0},
		{"two leads need a connector", splice("spare", screw("two", "neutral"), screw("one", "hot")), "wire connector 1 x 18 AWG lead + 1 lead (size not stated)", 1},
		{"two screws and a lead are two pigtails", splice("spare", screw("x", "common"), screw("y", "line"), screw("two", "hot")), "pigtail size not stated", 2},
		{"under one connector", splice("spare", screw("x", "common"), screw("y", "line"), screw("two", "hot")), "wire connector 1 x 18 AWG lead + 2 pigtails (size not stated)", 1},
		{"aluminum to copper is said", splice("spare", wire("S", "black"), wire("R", "black")), "wire connector 1 x 12 AWG aluminum + 1 x 14 AWG", 1},
		{"a pigtail is as large as the largest wire", splice("spare", wire("S", "black"), wire("R", "black"), screw("y", "line")), "pigtail 12 AWG aluminum", 1},
		{"one wire alone is under a cap", splice("spare", wire("R", "black")), "wire connector 1 x 14 AWG", 1},
		{"and so is a cap", func(s *wiring.Spec) {
			s.Cables = append(s.Cables, wiring.Cable{Name: "R", Type: cable(t, "12/3"), From: "loft"})
			s.Caps = append(s.Caps, wiring.Cap{Box: "loft", Wire: wiring.Wire{Cable: "R", Conductor: "red"}})
		}, "wire connector 1 x 12 AWG", 1},
		{"devices on one strap", func(s *wiring.Spec) { s.Devices[1].Yoke, s.Devices[2].Yoke = "y", "y" }, "device four-way and single-pole on one strap", 1},
		{"leave a blank", func(s *wiring.Spec) { s.Devices[1].Yoke, s.Devices[2].Yoke = "y", "y" }, "plate 2 gangs, switch and switch on one strap + blank", 1},
		{"a device wider than its box widens the plate", func(s *wiring.Spec) { s.Devices[0].Gangs = 2 }, "plate 2 gangs, switch, 2 gangs wide", 1},
		{"a receptacle has a face of its own", func(s *wiring.Spec) {
			s.Devices = append(s.Devices, wiring.Device{Name: "outlet", Box: "aisle-1", Kind: switchnet.Receptacle()})
		}, "plate 1 gang, receptacle", 1},
		{"a junction box has a blank cover", func(s *wiring.Spec) {
			s.Boxes = append(s.Boxes, wiring.Box{Name: "j", Kind: wiring.JunctionBox})
		}, "plate blank cover of a junction box", 1},
		{"a device box that waits has a blank plate", func(s *wiring.Spec) {
			s.Boxes = append(s.Boxes, wiring.Box{Name: "j", Kind: wiring.DeviceBox, Gangs: 2})
		}, "plate 2 gangs, blank + blank", 1},
		{"a metal box of a type", func(s *wiring.Spec) {
			s.Boxes = append(s.Boxes, wiring.Box{Name: "j", Kind: wiring.JunctionBox, Metal: true, Volume: boxfill.BoxOfType("square 4 x 1-1/2")})
		}, "box junction, square 4 x 1-1/2, metal", 1},
		{"external clamps take a connector for each cable", func(s *wiring.Spec) { s.Boxes[2].Clamps = wiring.ExternalClamps }, "cable connector for 14/4", 2},
		{"two sides are one box", func(s *wiring.Spec) {
			for i := range 2 {
				s.Boxes[6+i].Volume.Barriers = []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}
				s.Boxes[6+i].Volume.Share = boxfill.Share{Parts: 1, Whole: 2}
			}
		}, "box ceiling, marked 20 in3, internal clamps, divided", 1},
		{"two poles and their tie", func(s *wiring.Spec) {
			s.Feeds[0].HandleTie = "pair"
			s.Feeds = append(s.Feeds, wiring.Feed{Name: "winch", Box: "panel", Breaker: 20 * quantity.Ampere, Poles: 2, HandleTie: "pair"})
		}, "breaker 20 A, 2 poles", 1},
		{"one tie for both", func(s *wiring.Spec) {
			s.Feeds[0].HandleTie = "pair"
			s.Feeds = append(s.Feeds, wiring.Feed{Name: "winch", Box: "panel", Breaker: 20 * quantity.Ampere, HandleTie: "pair"})
		}, "handle tie between breakers", 1},
		{"a light without a load", func(s *wiring.Spec) { s.Lights[0].Power, s.Lights[0].Volts = 0, 0 }, "light load not stated", 1},
		{"a re-marked end", func(s *wiring.Spec) {
			s.Marks = append(s.Marks, wiring.Mark{Box: "loft", Wire: wiring.Wire{Cable: "C5", Conductor: "white"}, As: conductor.Plain(conductor.Blue)})
		}, "marking blue", 1},
	}
	for _, r := range rows {
		s, region := shedSpec(t)
		r.change(&s)
		got := takeOff(t, s, region, nil)
		if n := count(got, r.supply); n != r.want {
			var all []string
			for _, i := range got.Items {
				all = append(all, i.Supply())
			}
			t.Errorf("%s: %d of %s, want %d, among\n%s", r.why, n, r.supply, r.want, strings.Join(all, "\n"))
		}
	}
}

// TestPrices prices the shed by an overlay.
func TestPrices(t *testing.T) {
	over := rules.Overlay{Name: "prices.yaml", Text: []byte(`format: 1
name: Harbor stock
stock:
  cables: {14/2: {price: 0.5 per ft, labor: 2 per ft}, 14/3: {price: 50 per 100 ft}}
  boxes:
    dear: {marked: 34 in3, gangs: 2, price: 9}
    ours: {marked: 34 in3, gangs: 2, clamps: internal, price: 4, labor: 7}
    without clamps: {marked: 34 in3, gangs: 2, clamps: none, price: 1}
    narrow: {marked: 34 in3, gangs: 1, price: 1}
    round: {marked: 20 in3, price: 2}
  supplies:
    device three-way: {price: 3, labor: 10}
    wire tag to write on: {labor: 1}
`)}
	region, err := rules.Load("us-2023", over)
	if err != nil {
		t.Fatal(err)
	}
	s, _ := shedSpec(t)
	got := takeOff(t, s, region, nil)
	want := map[string][2]string{
		"box device, 2 gangs, marked 34 in3, internal clamps": {"12", "21"}, // three of ours, which fit and are cheapest
		"box ceiling, marked 20 in3, internal clamps":         {"12", "0"},
		"device three-way":     {"12", "40"},
		"wire tag to write on": {"0", "33"},
	}
	unpriced := 0
	for _, i := range got.Items {
		w := want[i.Supply()]
		if w == [2]string{} {
			w = [2]string{"0", "0"}
		}
		if i.Cost.String() != w[0] || i.Effort.String() != w[1] {
			t.Errorf("%s: cost %s, effort %s, want %s", i.Supply(), i.Cost, i.Effort, w)
		}
		if i.Price == 0 {
			unpriced++
		}
	}
	// 88.2916... ft of 14/2 are cut, at 2 a foot, and 97.1208... ft bought, at a half.
	if c := got.Cables[0]; c.Cost.String() != "48.560417" || c.Effort.String() != "176.583334" {
		t.Errorf("14/2: cost %s, effort %s", c.Cost, c.Effort)
	}
	if got.Unpriced != unpriced+1 { // 14/4
		t.Errorf("%d lines without a price, want %d", got.Unpriced, unpriced+1)
	}
	cost, effort := got.Cables[0].Cost+got.Cables[1].Cost+36_000_000, got.Cables[0].Effort+94_000_000
	if got.Cost != cost || got.Effort != effort {
		t.Errorf("cost %s, effort %s; want %s, %s", got.Cost, got.Effort, cost, effort)
	}
}

// TestSum adds up take-offs, in any order.
func TestSum(t *testing.T) {
	s, _ := shedSpec(t)
	region, err := rules.Load("us-2023", rules.Overlay{Name: "p.yaml", Text: []byte("format: 1\nname: p\nstock:\n  cables: {14/2: {price: 0.5 per ft}}\n  supplies: {device three-way: {price: 3.1, labor: 2}}\n")})
	if err != nil {
		t.Fatal(err)
	}
	one := takeOff(t, s, region, nil)
	for i := range s.Cables {
		s.Cables[i].Length = quantity.Meter
	}
	s.Devices[2].Kind = switchnet.LocatorSinglePole()
	s.Cables[3].Length = 0
	two := takeOff(t, s, region, nil)
	got, err := packet.SumTakeOffs([]*packet.TakeOff{one, two, one})
	if err != nil {
		t.Fatal(err)
	}
	other, err := packet.SumTakeOffs([]*packet.TakeOff{two, one, one})
	if diff := gocmp.Diff(got, other, gocmp.Comparer(func(a, b conductor.Size) bool { return a == b })); diff != "" || err != nil {
		t.Errorf("%v, and in another order:\n%s", err, diff)
	}
	if got.Unit != quantity.Meter || got.Cost != 2*one.Cost+two.Cost || got.Effort != 2*one.Effort+two.Effort || len(got.Cuts) != 0 {
		t.Errorf("unit %s, cost %s, effort %s", got.Unit, got.Cost, got.Effort)
	}
	c := got.Cables[0]
	if c.Pieces != 21 || c.Jobs != 3 || c.Cut != 2*one.Cables[0].Cut+two.Cables[0].Cut || c.Buy != 2*one.Cables[0].Buy+two.Cables[0].Buy || c.Price != one.Cables[0].Price {
		t.Errorf("14/2: %+v", c)
	}
	if u := got.Cables[2].Unknown; u != 1 {
		t.Errorf("%d pieces of 14/4 of unknown length", u)
	}
	for supply, n := range map[string]int{"device three-way": 12, "device single-pole": 2, "device locator-lit single-pole": 1} {
		if got := count(got, supply); got != n {
			t.Errorf("%s: %d, want %d", supply, got, n)
		}
	}
	unpriced := 0
	for _, i := range got.Items {
		want := 3
		switch i.Supply() {
		case "device single-pole":
			want = 2
		case "device locator-lit single-pole":
			want = 1
		}
		if i.Jobs != want {
			t.Errorf("%s is in %d jobs, want %d", i.Supply(), i.Jobs, want)
		}
		if i.Price == 0 {
			unpriced++
		}
	}
	if got.Unpriced != unpriced+2 {
		t.Errorf("%d lines without a price, want %d", got.Unpriced, unpriced+2)
	}
	if none, err := packet.SumTakeOffs(nil); err != nil || len(none.Cables)+len(none.Items)+none.Unpriced != 0 {
		t.Errorf("the sum of nothing is %+v, %v", none, err)
	}
	huge := *one
	huge.Cost = 1<<63 - 1
	if _, err := packet.SumTakeOffs([]*packet.TakeOff{&huge, one}); err == nil {
		t.Error("a sum that no number holds is given")
	}
}
