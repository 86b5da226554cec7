package packet_test

import (
	"cmp"
	"encoding/json"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// shedSpec returns the wiring of the boat shed and its region.
func shedSpec(tb testing.TB) (wiring.Spec, *rules.Region) {
	tb.Helper()
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		tb.Fatal(err)
	}
	return f.Wiring, f.Region
}

func takeOff(tb testing.TB, s wiring.Spec, region *rules.Region, opt *packet.TakeOffOptions) *packet.TakeOff {
	tb.Helper()
	w, err := wiring.New(s)
	if err != nil {
		tb.Fatal(err)
	}
	t, err := packet.NewTakeOff(w, region, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

// count returns how many of an item there are.
func count(t *packet.TakeOff, supply string) int {
	for _, i := range t.Items {
		if i.Supply() == supply {
			return i.Count
		}
	}
	return 0
}

func cable(tb testing.TB, name string) conductor.CableType {
	tb.Helper()
	t, err := conductor.ParseCableType(name)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

// TestShedByHand holds the take-off of the boat shed to a count on paper.
func TestShedByHand(t *testing.T) {
	s, region := shedSpec(t)
	got := takeOff(t, s, region, nil)
	// Seven pieces of 14/2 run 8 + 16 + 12 + 12 + 9 + 15 + 9 = 81 ft, and each of
	// their fourteen ends is 6.25 in longer; with a tenth for waste.
	long := 81*quantity.Foot + 14*(6*quantity.Inch+quantity.Inch/4)
	if c := got.Cables[0]; c.Type != "14/2" || c.Pieces != 7 || c.Cut != long || c.Buy != long*11/10 {
		t.Errorf("14/2: %+v, want %s", c, long)
	}
	for _, r := range []struct {
		supply string
		want   int
		why    string
	}{
		{"box ceiling, marked 20 in3, internal clamps", 6, "one over each light"},
		{"box device, 1 gang, marked 22.5 in3, without clamps", 2, "store door and yard door"},
		{"box device, 2 gangs, marked 34 in3, internal clamps", 3, "slip door, stair foot and loft"},
		{"breaker 15 A, 1 pole", 1, "one feed"},
		{"light 18 W, 120 V", 3, "the aisle"},
		{"device three-way", 4, "two at the ends of each chain"},
		{"device four-way", 3, "three between the ends of the aisle"},
		{"device single-pole", 1, "the floodlight"},
		{"plate 1 gang, switch", 2, "as the boxes"},
		{"plate 2 gangs, switch + switch", 3, "as the boxes"},
		{"wire connector 2 x 14 AWG", 5, "whites at the store door and yard door, two in the loft; hot at the yard door"},
		{"wire connector 2 x 14 AWG + 1 x 14 AWG pigtail", 2, "the hots at the store door and slip door"},
		{"wire connector grounding, 4 x 14 AWG + 2 x 14 AWG pigtail", 1, "the grounds in the loft"},
		{"pigtail 14 AWG", 2, "to the common at the store door and to the switch at the slip door"},
		{"pigtail 14 AWG, grounding", 8, "one for each device"},
		// C1, 8 ft: one at a foot, one 8 in before the store door; 76 in between
		// are more than 54.
		{"support 14/2 cable", 3 + 5 + 4 + 4 + 3 + 4 + 3, "seven cables by hand"},
		{"wire tag to write on", 33, "as many as the file has"},
		{"jumper 14 AWG", 0, "none"},
	} {
		if n := count(got, r.supply); n != r.want {
			t.Errorf("%s: %d, want %d: %s", r.supply, n, r.want, r.why)
		}
	}
	if len(got.Notes) != 0 || got.Unit != quantity.Foot || got.Unpriced != 3+len(got.Items) || got.Cost != 0 {
		t.Errorf("notes %q, unit %s, %d of %d without a price, cost %s", got.Notes, got.Unit, got.Unpriced, len(got.Items), got.Cost)
	}
}

// TestCutLengths holds the ends of cables to the rules of regions.
func TestCutLengths(t *testing.T) {
	const in = quantity.Inch
	load := func(id string) *rules.Region {
		r, err := rules.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	us := load("us-2023")
	rows := []struct {
		why    string
		region *rules.Region
		opt    packet.TakeOffOptions
		change func(s *wiring.Spec)
		from   quantity.Length // of C1, at the panel
		to     quantity.Length // at the store door
	}{
		{"6 in free and a quarter of sheath", us, packet.TakeOffOptions{}, nil, 25 * in / 4, 25 * in / 4},
		{"the same in the edition before, from another section", load("us-2020"), packet.TakeOffOptions{}, nil, 25 * in / 4, 25 * in / 4},
		{"metal-clad cable has no sheath to bring in", us, packet.TakeOffOptions{}, func(s *wiring.Spec) { s.Cables[0].Type = cable(t, "14/2 metal-clad") }, 6 * in, 6 * in},
		{"a deep box: from its back to 3 in beyond its opening", us, packet.TakeOffOptions{}, func(s *wiring.Spec) {
			s.Boxes[1].Volume = boxfill.BoxOfType("device 3 x 2 x 3-1/2")
		}, 25 * in / 4, 13 * in / 2},
		{"a shallow box: the free conductor is more", us, packet.TakeOffOptions{}, func(s *wiring.Spec) {
			s.Boxes[1].Volume = boxfill.BoxOfType("device 3 x 2 x 2-3/4")
		}, 25 * in / 4, 25 * in / 4},
		{"a ring makes a box deeper", us, packet.TakeOffOptions{}, func(s *wiring.Spec) {
			s.Boxes[1].Volume = boxfill.BoxOfType("square 4 x 2-1/8")
			s.Boxes[1].Volume.Additions = []boxfill.Addition{{Kind: boxfill.ExtensionRing, Type: "square 4 x 1-1/2"}}
		}, 25 * in / 4, 53 * in / 8},
		{"an allowance of one's own", us, packet.TakeOffOptions{End: 10 * in}, nil, 10 * in, 10 * in},
		{"another one at panels", us, packet.TakeOffOptions{Panel: 48 * in}, nil, 48 * in, 25 * in / 4},
		{"a rule of editions gone by is none", past(t, us), packet.TakeOffOptions{}, nil, 0, 0},
		{"Canada: 150 mm", load("ca"), packet.TakeOffOptions{}, nil, 150 * quantity.Millimeter, 150 * quantity.Millimeter},
		{"the United Kingdom has no figure", load("uk-2018"), packet.TakeOffOptions{}, nil, 0, 0},
		{"and takes one's own", load("uk-2018"), packet.TakeOffOptions{End: 200 * quantity.Millimeter}, nil, 200 * quantity.Millimeter, 200 * quantity.Millimeter},
		{"nothing is allowed in a box that is not known", us, packet.TakeOffOptions{}, func(s *wiring.Spec) { s.Cables[0].From = "store-door"; loosen(s) }, 25 * in / 4, 0},
	}
	for _, r := range rows {
		s, _ := shedSpec(t)
		if r.change != nil {
			r.change(&s)
		}
		if s.Cables[0].Type.Name != "14/2" {
			loosen(&s)
		}
		got := takeOff(t, s, r.region, &r.opt).Cuts[0]
		if got.From != r.from || got.To != r.to || got.Length != got.Run+got.From+got.To {
			t.Errorf("%s: %s and %s, together %s; want %s and %s", r.why, got.From, got.To, got.Length, r.from, r.to)
		}
	}
}

// past returns the region with the rule for the free conductor ended before its edition.
func past(t *testing.T, region *rules.Region) *rules.Region {
	t.Helper()
	out := *region
	out.Wiring.Rules = slices.Clone(region.Wiring.Rules)
	for i := range out.Wiring.Rules {
		if r := &out.Wiring.Rules[i]; r.Name == rules.FreeConductor {
			r.During.Until = 2008
			return &out
		}
	}
	t.Fatal("no rule for the free conductor")
	return nil
}

// loosen leaves the ends of C1 in the air, and its far end unknown if it begins at
// the store door.
func loosen(s *wiring.Spec) {
	c := &s.Cables[0]
	if c.From == "store-door" {
		c.To = ""
	}
	s.Landings = slices.DeleteFunc(s.Landings, func(l wiring.Landing) bool { return l.Wire.Cable == c.Name })
	for i := range s.Splices {
		s.Splices[i].Join = slices.DeleteFunc(s.Splices[i].Join, func(j wiring.Joint) bool { return j.Wire.Cable == c.Name })
	}
}

// TestNotes wants everything a take-off leaves open to be said.
func TestNotes(t *testing.T) {
	rows := []struct {
		why    string
		change func(s *wiring.Spec)
		opt    packet.TakeOffOptions
		want   string
	}{
		{"a cable of unknown length", func(s *wiring.Spec) { s.Cables[3].Length = 0 }, packet.TakeOffOptions{}, "The length of C4 is not known"},
		{"a cable in place by the options", func(*wiring.Spec) {}, packet.TakeOffOptions{InPlace: []string{"C4", "C7"}}, "2 cables lie in place already"},
		{"a cable with a year of its own", func(s *wiring.Spec) { s.Cables[3].Installed = 1990 }, packet.TakeOffOptions{}, "1 cable lies in place already"},
		{"an installation that stands", func(s *wiring.Spec) { s.Installed = 1990 }, packet.TakeOffOptions{}, "an installation of 1990"},
		{"ends in the air", func(s *wiring.Spec) { s.Landings = s.Landings[3:] }, packet.TakeOffOptions{}, "3 wire ends hang in the air"},
		{"clamps not stated", func(s *wiring.Spec) { s.Boxes[1].Clamps = 0 }, packet.TakeOffOptions{}, "How cables are held is not said of 1 box"},
		{"a far box not known", func(s *wiring.Spec) { s.Cables[0].From = "store-door"; loosen(s) }, packet.TakeOffOptions{}, "1 cable runs into a box that is not known"},
		{"no rule for the supports of a cable", func(s *wiring.Spec) { s.Cables[0].Type = cable(t, "14/2 metal-clad"); loosen(s) }, packet.TakeOffOptions{},
			"No supports are counted for metal-clad cable: the rules of us-2023 have no figure"},
		{"a light on a plug", func(s *wiring.Spec) {
			s.Devices = append(s.Devices, wiring.Device{Name: "outlet", Box: "loft", Kind: switchnet.Receptacle()})
			s.Lights = append(s.Lights, wiring.Light{Name: "lamp", Box: "loft", On: "outlet", Ends: [2]string{"hot 1", "neutral 1"}})
		}, packet.TakeOffOptions{}, "1 light is plugged in and not counted"},
		{"a divided box", func(s *wiring.Spec) {
			for i := range 2 {
				s.Boxes[3+i].Volume.Barriers = []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}
				s.Boxes[3+i].Volume.Share = boxfill.Share{Parts: 1, Whole: 2}
			}
		}, packet.TakeOffOptions{}, "2 sides of divided boxes"},
	}
	for _, r := range rows {
		s, region := shedSpec(t)
		r.change(&s)
		got := takeOff(t, s, region, &r.opt)
		if !slices.ContainsFunc(got.Notes, func(n string) bool { return strings.Contains(n, r.want) }) {
			t.Errorf("%s: %q is not among the notes %q", r.why, r.want, got.Notes)
		}
	}
}

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

func TestTakeOffOptions(t *testing.T) {
	s, region := shedSpec(t)
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := packet.NewTakeOff(w, region, &packet.TakeOffOptions{Waste: packet.MaxWaste}); err != nil {
		t.Error(err)
	}
	_, err = packet.NewTakeOff(w, region, &packet.TakeOffOptions{Waste: 10 * quantity.Percent, End: -1, Panel: quantity.Kilometer, InPlace: []string{"C40"}})
	for _, want := range []string{"a factor for waste of 0.1: give one from 1", "an allowance of -0.000001 mm", "an allowance of 1 km", `no cable "C40"`} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("the error does not say %q: %v", want, err)
		}
	}
	plain := takeOff(t, s, region, &packet.TakeOffOptions{Waste: quantity.Whole})
	if c := plain.Cables[0]; c.Buy != c.Cut {
		t.Errorf("without waste %s are bought for %s", c.Buy, c.Cut)
	}
}

// TestTakeOffOrder shuffles the job; only the order of the cuts may follow.
func TestTakeOffOrder(t *testing.T) {
	s, region := shedSpec(t)
	s.Boxes[0].Metal = true
	s.Devices[1].Yoke, s.Devices[2].Yoke = "y", "y"
	text := func(s wiring.Spec) string {
		got := takeOff(t, s, region, nil)
		slices.SortFunc(got.Cuts, func(a, b packet.Cut) int { return cmp.Compare(a.Cable, b.Cable) })
		b, err := json.MarshalIndent(got, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	want := text(s)
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 1))
		m := s.Clone()
		shuffle(r, m.Feeds)
		shuffle(r, m.Boxes)
		shuffle(r, m.Lights)
		shuffle(r, m.Devices)
		shuffle(r, m.Cables)
		shuffle(r, m.Splices)
		shuffle(r, m.Landings)
		for i := range m.Splices {
			shuffle(r, m.Splices[i].Join)
		}
		if diff := gocmp.Diff(want, text(m)); diff != "" {
			t.Fatalf("seed %d (-want +got):\n%s", seed, diff)
		}
	}
}

func shuffle[T any](r *rand.Rand, list []T) {
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
}

// TestItemKinds reads every word back.
func TestItemKinds(t *testing.T) {
	for _, k := range packet.ItemKinds() {
		text, err := k.MarshalText()
		var back packet.ItemKind
		if err != nil || back.UnmarshalText(text) != nil || back != k || k.String() != string(text) {
			t.Errorf("%d is written %q: %v", k, text, err)
		}
	}
	if _, err := packet.ItemKind(0).MarshalText(); err == nil {
		t.Error("the zero kind is written")
	}
	var k packet.ItemKind
	if err := k.UnmarshalText(nil); err == nil {
		t.Error("no word is read")
	}
	if got := packet.ItemKind(200).String(); got != "unset" {
		t.Errorf("a kind that there is not is %q", got)
	}
}

// TestCasesHaveATakeOff counts real wirings, wrong ones among them.
func TestCasesHaveATakeOff(t *testing.T) {
	n := 0
	for _, name := range caseFiles(t) {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := job.Parse(name, src, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !f.HasWiring() {
			continue
		}
		n++
		w, err := wiring.New(f.Wiring)
		if err != nil {
			t.Fatal(err)
		}
		agree(t, w, f.Region, takeOff(t, f.Wiring, f.Region, nil))
	}
	if n < 20 {
		t.Errorf("only %d cases are wired", n)
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
