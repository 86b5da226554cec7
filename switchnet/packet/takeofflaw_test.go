package packet_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/plan"
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
			// connector joins although box fill calls them a jumper.
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
		if panel[sp.Box] && !alone {
			connectors++
		}
	}
	for _, c := range s.Caps {
		if panel[c.Box] {
			connectors++
		}
	}
	want("connectors", sum(packet.ConnectorItem, each), connectors+leadPairs+lone)
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
	supports, bought := 0, map[string]quantity.Length{}
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
		if c.Length == 0 {
			met["of unknown length"]++
			continue
		}
		bought[c.Type.Name] += cut.Length
		nonmetallic := c.Type.Construction == conductor.NonmetallicSheath
		first, last := 12*in, 12*in
		ends := quantity.Length(0)
		for _, b := range s.Boxes {
			if b.Name != c.From && b.Name != c.To {
				continue
			}
			if b.Kind == wiring.DeviceBox && !b.Metal && b.Clamps == wiring.NoClamps && b.Gangs < 2 {
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
		if !nonmetallic {
			continue
		}
		at := min(first, c.Length) // the first staple, as far from the box as may be
		supports++
		for c.Length-at > last {
			at = min(at+54*in, c.Length-last)
			supports++
		}
		if at < c.Length && supports > 1 {
			met["several supports"]++
		}
	}
	if us {
		n := 0
		for _, i := range got.Items {
			if i.Kind == packet.SupportItem {
				n += i.Count
			}
		}
		if n != supports {
			t.Errorf("%d supports, walked %d", n, supports)
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
		"of unknown length": 20, "deep boxes": 20, "several supports": 100} {
		if met[what] < least {
			t.Errorf("of %d wirings only %d have %s, want %d", n, met[what], what, least)
		}
	}
	t.Log(met)
}

// wirings draws the boat shed or a planned tree of boxes, and then what can be odd
// about either.
func wirings(shed wiring.Spec, region *rules.Region) *rapid.Generator[*wiring.Wiring] {
	return rapid.Custom(func(t *rapid.T) *wiring.Wiring {
		s := shed.Clone()
		if rapid.Bool().Draw(t, "planned") {
			s = planned(t, region)
		}
		odd(t, &s)
		w, err := wiring.New(s)
		if err != nil {
			t.Fatalf("%v", err)
		}
		for range rapid.IntRange(0, 6).Draw(t, "edits") {
			// An edit that does not fit is none.
			if after, err := w.Apply(edit(t, w.Spec())); err == nil {
				w = after
			}
		}
		return w
	})
}

// planned draws a tree of runs with one control and plans it.
func planned(t *rapid.T, region *rules.Region) wiring.Spec {
	in := intent.Intent{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}},
		Feeds: []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}}}
	c := intent.Control{Name: "aisle", Lights: []string{"aisle light"}}
	n := rapid.IntRange(2, 6).Draw(t, "boxes")
	for i := range n {
		b := wiring.Box{Name: fmt.Sprintf("b%d", i), Kind: wiring.DeviceBox}
		if i == n-1 {
			b.Kind = wiring.CeilingBox
			in.Lights = []wiring.Light{{Name: "aisle light", Box: b.Name, Power: 18 * quantity.Watt}}
		} else if i == 0 || rapid.Bool().Draw(t, "place") {
			c.Places = append(c.Places, b.Name)
		}
		toward := in.Boxes[rapid.IntRange(0, i).Draw(t, "toward")].Name
		in.Runs = append(in.Runs, intent.Run{From: toward, To: b.Name, Length: quantity.Length(rapid.IntRange(1, 600).Draw(t, "inches")) * quantity.Inch})
		in.Boxes = append(in.Boxes, b)
	}
	in.Controls = []intent.Control{c}
	p, err := plan.New(context.Background(), in, region, nil)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return p.Spec // without cables if there is no room for what is wanted
}

// odd says or leaves out what a take-off looks at.
func odd(t *rapid.T, s *wiring.Spec) {
	one := func(n int, what string) bool { return rapid.IntRange(1, n).Draw(t, what) == n }
	types := []string{"device 3 x 2 x 3-1/2", "device 3 x 2 x 2-3/4", "square 4 x 2-1/8", "octagon 4 x 1-1/2"}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		b.Clamps = wiring.ClampKind(rapid.IntRange(0, 3).Draw(t, "clamps"))
		b.Metal = one(4, "metal")
		if one(4, "typed") {
			b.Volume = boxfill.BoxOfType(rapid.SampledFrom(types).Draw(t, "type"))
		}
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		if one(12, "unknown") {
			c.Length = 0
		}
		if one(20, "standing") {
			c.Installed = 1990
		}
	}
	for i := range s.Devices {
		s.Devices[i].Yoke = rapid.SampledFrom([]string{"", "", "strap"}).Draw(t, "yoke")
	}
	for i := range s.Lights {
		if one(2, "leads") {
			s.Lights[i].Leads = conductor.AWG(18)
		}
	}
	// Lights in series, and jumpers.
	for _, b := range s.Boxes {
		if !one(5, "extra") {
			continue
		}
		s.Lights = append(s.Lights, wiring.Light{Name: "one more", Box: b.Name}, wiring.Light{Name: "another", Box: b.Name, Leads: conductor.AWG(16)})
		s.Devices = append(s.Devices, wiring.Device{Name: "extra", Box: b.Name, Kind: switchnet.FourWay()})
		var join []wiring.Joint
		for _, j := range []wiring.Joint{{Device: "one more", Terminal: "hot"}, {Device: "another", Terminal: "neutral"},
			{Device: "extra", Terminal: "pair 1 first"}, {Device: "extra", Terminal: "pair 2 first"}} {
			if one(2, "joined") {
				join = append(join, j)
			}
		}
		if len(join) >= 2 {
			s.Splices = append(s.Splices, wiring.Splice{Box: b.Name, Join: join})
		}
	}
}

// edit draws a change that may or may not fit a wiring.
func edit(t *rapid.T, s wiring.Spec) wiring.Edit {
	if len(s.Cables) == 0 {
		return wiring.TieJoints{}
	}
	wire := func() (wiring.Cable, wiring.Wire) {
		c := rapid.SampledFrom(s.Cables).Draw(t, "cable")
		return c, wiring.Wire{Cable: c.Name, Conductor: rapid.SampledFrom(c.Type.Cores).Draw(t, "core").Colour.String()}
	}
	c, a := wire()
	_, b := wire()
	e := wiring.End{Box: rapid.SampledFrom([]string{c.From, c.To}).Draw(t, "end"), Wire: a}
	switch rapid.IntRange(0, 6).Draw(t, "edit") {
	case 0:
		return wiring.CapEnd{End: e}
	case 1:
		return wiring.Release{End: e}
	case 2:
		return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{{Wire: a}, {Wire: b}}}
	case 3:
		return wiring.SplitSplice{Box: e.Box, Out: []wiring.Joint{{Wire: a}}}
	case 4:
		return wiring.SwapWires{Box: e.Box, A: a, B: b}
	case 5:
		return wiring.Remark{End: e, As: conductor.Plain(conductor.Red)}
	}
	name := rapid.SampledFrom([]string{"14/2", "14/3", "12/3", "14/3 metal-clad"}).Draw(t, "type")
	kind, err := conductor.ParseCableType(name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return wiring.ChangeCable{Name: c.Name, Type: kind}
}
