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
		{"no rule for the supports of a cable", func(s *wiring.Spec) { s.Cables[0].Type = cable(t, "1.5 mm2 twin and earth"); loosen(s) }, packet.TakeOffOptions{},
			"No supports are counted for flat twin and earth cable: the rules of us-2023 have no figure"},
		{"a raceway of which nothing is said", func(s *wiring.Spec) {
			s.Cables[0].Type = cable(t, "loose 14 AWG 90 C black white green")
			s.Cables[0].Notches = 1
			loosen(s)
		}, packet.TakeOffOptions{},
			"No supports are counted for the raceways of loose conductors: the job does not say"},
		{"and a notch that it lies in", func(s *wiring.Spec) {
			s.Cables[0].Type = cable(t, "loose 14 AWG 90 C black white green")
			s.Cables[0].Notches = 1
			loosen(s)
		}, packet.TakeOffOptions{}, "The holes and notches of C1 are stated and no nail plates counted: whether a raceway"},
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

// TestSupportsAndPlates holds supports and nail plates to the figures of regions, each
// counted by hand.
func TestSupportsAndPlates(t *testing.T) {
	const in, mm = quantity.Inch, quantity.Millimeter
	for _, r := range []struct {
		why, region, cable string
		run                quantity.Length
		bored              []quantity.Length
		notches            int
		supports, plates   int
		says               string // of the rule of either, or of a note
	}{
		{"10 ft of nonmetallic cable: at 12 in, 66 in and 112 in, 8 in before a box without clamps", "us-2023", "14/2", 120 * in, nil, 0, 3, 0, "NEC 334.30"},
		{"of metal-clad cable: 12 in, 84 in, 108 in", "us-2023", "14/2 metal-clad", 120 * in, nil, 0, 3, 0, "NEC 330.30(B) (2023) [low confidence]"},
		{"a foot more than two of metal-clad cable can hold", "us-2020", "14/2 metal-clad", 97 * in, nil, 0, 3, 0, "NEC 330.30(B) (2020) [low confidence]"},
		{"as much as two can hold", "us-2020", "14/2 metal-clad", 96 * in, nil, 0, 2, 0, "NEC 330.30(B)"},
		{"Canada: 300 mm, 1.5 m further, 1.8 m, to the box at 2.1 m", "ca", "14/2", 2100 * mm, nil, 0, 2, 0, "CEC 12-510(1) (2024) [low confidence]"},
		{"and a millimeter more", "ca", "14/2", 2101 * mm, nil, 0, 3, 0, "CEC 12-510(1)"},
		{"Canada has no figure for armored cable", "ca", "14/2 metal-clad", 2100 * mm, nil, 0, 0, 0, "no sure figure: no figures at hand for armored cable"},
		{"the United Kingdom: a clip every 250 mm of a meter, none at the boxes", "uk-2018", "1.5 mm2 twin and earth", quantity.Meter, nil, 0, 3, 0, "table D1 (2018) [low confidence]"},
		{"nearer than 1 1/4 in and just so near", "us-2023", "14/2", 24 * in, []quantity.Length{in, 5 * in / 4, 3 * in / 2}, 2, 2, 3, "NEC 300.4(A)(1)"},
		{"a notch is cited apart", "us-2017", "14/2", 24 * in, nil, 1, 2, 1, "NEC 300.4(A)(2)"},
		{"32 mm in Canada", "ca", "14/2", 300 * mm, []quantity.Length{31 * mm, 32 * mm}, 0, 1, 1, "CEC 12-516(1) (2024) [low confidence]"},
		{"50 mm in the United Kingdom", "uk-2018", "1.5 mm2 twin and earth", 250 * mm, []quantity.Length{49 * mm, 50 * mm}, 0, 1, 1, "BS 7671 522.6.201 (2018) [low confidence]"},
	} {
		region, err := rules.Load(r.region)
		if err != nil {
			t.Fatal(err)
		}
		s, _ := shedSpec(t)
		loosen(&s)
		c := s.Cables[0]
		c.Type, c.Length, c.Bored, c.Notches = cable(t, r.cable), r.run, r.bored, r.notches
		s.Cables, s.Splices, s.Landings, s.Caps, s.Marks, s.Tags = s.Cables[:1], nil, nil, nil, nil, nil
		s.Cables[0] = c
		got := takeOff(t, s, region, nil)
		said := strings.Join(got.Notes, "\n")
		for _, i := range got.Items {
			if i.Kind == packet.SupportItem || i.Kind == packet.NailPlateItem {
				said += "\n" + i.Rule
			}
		}
		if n, p := count(got, "support "+c.Type.Name+" cable"), count(got, "nail plate for a hole or notch"); n != r.supports || p != r.plates || !strings.Contains(said, r.says) {
			t.Errorf("%s: %d supports and %d nail plates, want %d and %d; it says\n%s\nand not %q", r.why, n, p, r.supports, r.plates, said, r.says)
		}
	}
}
