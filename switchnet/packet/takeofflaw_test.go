package packet_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// tester is a test of the standard library or of rapid.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// tally is what agree met in a wiring.
type tally map[string]int

// agree holds a take-off to an independent count: not of the lists of the job but of
// every wire's end by itself, of what package wiring tells box fill, and of rooms
// and lengths summed in another order.
func agree(t tester, w *wiring.Wiring, region *rules.Region, got *packet.TakeOff) tally {
	t.Helper()
	s := w.Spec()
	sum := func(kind packet.ItemKind, of func(i *packet.Item) int) int {
		n := 0
		for i := range got.Items {
			if got.Items[i].Kind == kind {
				n += of(&got.Items[i])
			}
		}
		return n
	}
	each := func(i *packet.Item) int { return i.Count }
	want := func(what string, got, want int) {
		if got != want {
			t.Errorf("%s: %d, counted otherwise %d", what, got, want)
		}
	}
	met := tally{}

	// Every end of a wire is somewhere, and those in splices and under caps are under
	// connectors, with the pigtails and leads that are there too.
	wired := map[switchnet.Ref]bool{}
	for _, l := range s.Lights {
		wired[switchnet.Ref{Place: l.Box, Name: l.Name}] = l.On == ""
	}
	under := 0
	for _, b := range s.Boxes {
		for _, e := range w.Ends(b.Name) {
			if use, _ := w.Use(e); use == wiring.Spliced || use == wiring.Capped {
				under++
			}
		}
	}
	screws, leads, jumpers, leadPairs, lone := 0, 0, 0, 0, 0
	for _, sp := range s.Splices {
		own := slices.DeleteFunc(slices.Clone(sp.Join), func(j wiring.Joint) bool {
			return j.Device == "" || wired[switchnet.Ref{Place: sp.Box, Name: j.Device}]
		})
		light := slices.DeleteFunc(slices.Clone(sp.Join), func(j wiring.Joint) bool { return !wired[switchnet.Ref{Place: sp.Box, Name: j.Device}] })
		switch {
		case len(own)+len(light) == len(sp.Join) && len(sp.Join) == 2:
			// Nothing but two ends: a jumper, a lead on a screw, or two leads that a
			// connector joins.
			if len(own) == 2 {
				jumpers++
			} else if len(light) == 2 {
				leads += 2
				leadPairs++
			}
		case len(sp.Join) == 1 && len(light) == 1:
			leads++ // capped, which box fill does not count
			lone++
		case len(sp.Join) == 1 && len(own) == 1:
		default:
			screws += len(own)
			leads += len(light)
		}
	}
	want("conductors under connectors", sum(packet.ConnectorItem, func(i *packet.Item) int { return i.Count * i.Joined }), under+screws+leads)
	want("pigtails", sum(packet.PigtailItem, each), screws)
	want("jumpers", sum(packet.JumperItem, each), jumpers)
	met["pigtails"], met["jumpers"], met["pairs of leads"] = screws, jumpers, leadPairs
	met["lone leads"] = lone

	// Box fill counts connectors and straps too, in every box but panels.
	panel := map[string]bool{}
	connectors, straps, boxes := 0, 0, 0
	for _, b := range s.Boxes {
		panel[b.Name] = b.Kind == wiring.Panel
		if b.Kind == wiring.Panel {
			continue
		}
		c, err := w.Contents(b.Name)
		if err != nil {
			t.Fatalf("%v", err)
		}
		straps += len(c.Devices)
		for _, n := range c.Connectors {
			connectors += n.Count
		}
		if b.Volume.Share.Whole == 0 {
			boxes++
		}
	}
	inPanels := 0
	for _, d := range s.Devices {
		if panel[d.Box] {
			inPanels++
		}
	}
	if inPanels == 0 {
		want("devices", sum(packet.DeviceItem, each), straps)
	}
	for _, sp := range s.Splices {
		alone := len(sp.Join) == 2 && sp.Join[0].Device != "" && sp.Join[1].Device != "" || len(sp.Join) == 1 && sp.Join[0].Device != ""
		pair := len(sp.Join) == 2 && wired[switchnet.Ref{Place: sp.Box, Name: sp.Join[0].Device}] && wired[switchnet.Ref{Place: sp.Box, Name: sp.Join[1].Device}]
		if panel[sp.Box] && (!alone || pair) {
			connectors++
		}
	}
	for _, c := range s.Caps {
		if panel[c.Box] {
			connectors++
		}
	}
	want("connectors", sum(packet.ConnectorItem, each), connectors+lone)
	met["connectors"] = connectors

	want("boxes", sum(packet.BoxItem, func(i *packet.Item) int {
		if strings.HasSuffix(i.Name, "divided") {
			return 0
		}
		return i.Count
	}), boxes)
	want("breakers", sum(packet.BreakerItem, each), len(s.Feeds))
	want("tags", sum(packet.TagItem, each), len(s.Tags))
	want("markings", sum(packet.MarkItem, each), len(s.Marks))

	met.cables(t, &s, region, got)
	return met
}

// cables walks along every cable with a staple gun, by figures of its own: those of
// the United States, for the rules of the other regions have none.
func (met tally) cables(t tester, s *wiring.Spec, region *rules.Region, got *packet.TakeOff) {
	t.Helper()
	const in = quantity.Inch
	us := strings.HasPrefix(region.ID, "us-")
	supports, shields, bought := 0, 0, map[string]quantity.Length{}
	pieces := map[string]int{}
	for i, c := range s.Cables {
		cut := got.Cuts[i]
		if cut.Cable != c.Name || cut.Run != c.Length {
			t.Errorf("cut %d is %+v, the cable is %s of %s", i, cut, c.Name, c.Length)
		}
		if cut.InPlace {
			met["in place"]++
			continue
		}
		pieces[c.Type.Name]++
		for _, edge := range c.Bored {
			if us && 4*edge < 5*in {
				shields++
				met["plated holes"]++
			}
		}
		shields += c.Notches
		if c.Length == 0 {
			met["of unknown length"]++
			continue
		}
		bought[c.Type.Name] += cut.Length
		nonmetallic := c.Type.Construction == conductor.NonmetallicSheath
		first, last, between := 12*in, 12*in, 54*in
		if c.Type.Construction == conductor.MetalClad {
			between = 72 * in
			met["metal-clad"]++
			if len(c.Type.Cores) > 4 {
				first, last = between, between // 12 in are for four conductors
			}
		}
		ends := quantity.Length(0)
		for _, b := range s.Boxes {
			if b.Name != c.From && b.Name != c.To {
				continue
			}
			if b.Kind == wiring.DeviceBox && !b.Metal && b.Clamps == wiring.NoClamps && b.Gangs < 2 && nonmetallic {
				if b.Name == c.From {
					first = 8 * in
				} else {
					last = 8 * in
				}
			}
			need := 6 * in
			if nonmetallic {
				need += in / 4
			}
			depth := quantity.Length(0)
			for _, section := range b.Volume.Sections {
				if kind, ok := region.Box.BoxType(section.Type); ok {
					depth = max(depth, kind.Depth)
				}
			}
			if depth > 0 && depth+3*in > need {
				need = depth + 3*in
				met["deep boxes"]++
			}
			ends += need
		}
		if !us {
			continue
		}
		if cut.Length != c.Length+ends {
			t.Errorf("%s of %s is cut at %s, want %s more", c.Name, c.Length, cut.Length, ends)
		}
		at := min(first, c.Length) // the first staple, as far from the box as may be
		supports++
		for c.Length-at > last {
			at = min(at+between, c.Length-last)
			supports++
		}
		if at < c.Length && supports > 1 {
			met["several supports"]++
		}
	}
	if us {
		n, plates := 0, 0
		for _, i := range got.Items {
			switch i.Kind {
			case packet.SupportItem:
				n += i.Count
			case packet.NailPlateItem:
				plates += i.Count
			}
		}
		if n != supports || plates != shields {
			t.Errorf("%d supports and %d nail plates, walked %d and %d", n, plates, supports, shields)
		}
	}
	for _, c := range got.Cables {
		if c.Cut != bought[c.Type] || c.Pieces != pieces[c.Type] || c.Buy < c.Cut {
			t.Errorf("%+v, added up %s in %d pieces", c, bought[c.Type], pieces[c.Type])
		}
		delete(pieces, c.Type)
	}
	if len(pieces) > 0 {
		t.Errorf("no line for %v", pieces)
	}
}

// TestTakeOffAgrees holds the take-off of drawn jobs to the independent count.
func TestTakeOffAgrees(t *testing.T) {
	s, region := shedSpec(t)
	gen := wirings(s, region)
	rapid.Check(t, func(t *rapid.T) {
		w := gen.Draw(t, "wiring")
		got, err := packet.NewTakeOff(w, region, nil)
		if err != nil {
			t.Fatalf("%v", err)
		}
		agree(t, w, region, got)
	})
}

// TestTakeOffMeets holds the law to wirings in which there is something to count, by
// draws from fixed seeds.
func TestTakeOffMeets(t *testing.T) {
	s, region := shedSpec(t)
	gen := wirings(s, region)
	met := tally{}
	const n = 150
	for seed := range n {
		w := gen.Example(seed)
		for what, k := range agree(t, w, region, takeOff(t, w.Spec(), region, nil)) {
			if k > 0 {
				met[what]++
			}
		}
	}
	for what, least := range map[string]int{"pigtails": 100, "connectors": 100, "jumpers": 8, "pairs of leads": 4, "lone leads": 4, "in place": 8,
		"of unknown length": 20, "deep boxes": 20, "several supports": 100, "metal-clad": 10, "plated holes": 50} {
		if met[what] < least {
			t.Errorf("of %d wirings only %d have %s, want %d", n, met[what], what, least)
		}
	}
	t.Log(met)
}
