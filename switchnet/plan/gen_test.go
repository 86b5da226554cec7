package plan_test

import (
	"fmt"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

var regions sync.Map

// region returns a region that is in the module, read once.
func region(t testing.TB, id string) *rules.Region {
	t.Helper()
	if r, ok := regions.Load(id); ok {
		return r.(*rules.Region)
	}
	r, err := rules.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	regions.Store(id, r)
	return r
}

// bounds limit what a random request holds.
type bounds struct {
	boxes, feeds, groups, places, needs int
	rings                               bool // runs that close rings
	special                             bool // raceways, given cables, exemptions
}

// request draws a sound request: boxes on a random tree of runs from a panel.
func request(t *rapid.T, b bounds) intent.Intent {
	n := rapid.IntRange(2, b.boxes).Draw(t, "boxes")
	in := intent.Intent{Supply: switchnet.SplitPhase()}
	for i := range n {
		box := wiring.Box{Name: fmt.Sprintf("b%d", i), Kind: wiring.DeviceBox, Gangs: 20, Metal: rapid.Bool().Draw(t, "metal")}
		if i == 0 && rapid.Bool().Draw(t, "panel") {
			box.Kind, box.Gangs = wiring.Panel, 0
		}
		in.Boxes = append(in.Boxes, box)
	}
	name := func(i int) string { return fmt.Sprintf("b%d", i) }
	var devices []string
	for i := range in.Boxes {
		if in.Boxes[i].Kind == wiring.DeviceBox {
			devices = append(devices, name(i))
		}
	}
	run := func(a, c int) {
		r := intent.Run{From: name(a), To: name(c), Length: quantity.Length(rapid.IntRange(1, 9).Draw(t, "feet")) * quantity.Foot}
		if b.special {
			switch rapid.IntRange(0, 11).Draw(t, "special") {
			case 0:
				r.Raceway = true
			case 1:
				r.Cable, _ = conductor.ParseCableType(rapid.SampledFrom([]string{"14/2", "14/3", "14/4", "12/3"}).Draw(t, "cable"))
				r.Existing = rapid.Bool().Draw(t, "existing")
			}
		}
		in.Runs = append(in.Runs, r)
	}
	for i := 1; i < n; i++ {
		run(rapid.IntRange(0, i-1).Draw(t, "toward"), i)
	}
	if b.rings && n > 2 {
		for range rapid.IntRange(0, 3).Draw(t, "rings") {
			a := rapid.IntRange(0, n-1).Draw(t, "a")
			c := rapid.IntRange(0, n-1).Draw(t, "c")
			if a != c {
				run(a, c)
				// No two runs alike.
				last := &in.Runs[len(in.Runs)-1]
				last.Length += quantity.Length(len(in.Runs)) * quantity.Inch / 100
				last.IfNeeded = b.special && rapid.IntRange(0, 2).Draw(t, "if needed") == 0
			}
		}
	}
	feeds := rapid.IntRange(1, b.feeds).Draw(t, "feeds")
	for i := range feeds {
		f := wiring.Feed{Name: fmt.Sprintf("circuit %d", i), Box: name(0), Breaker: 15 * quantity.Ampere, Volts: 120 * quantity.Volt}
		if i > 0 {
			f.Box = name(rapid.IntRange(0, n-1).Draw(t, "feed box"))
			if rapid.Bool().Draw(t, "other line") {
				f.Lines = []switchnet.Rail{switchnet.LineB}
			}
		}
		in.Feeds = append(in.Feeds, f)
	}
	feed := func() string { return in.Feeds[rapid.IntRange(0, feeds-1).Draw(t, "feed")].Name }
	if len(devices) > 0 {
		for g := range rapid.IntRange(1, b.groups).Draw(t, "groups") {
			c := intent.Control{Name: fmt.Sprintf("g%d", g), Feed: feed()}
			places := rapid.IntRange(1, min(b.places, len(devices))).Draw(t, "places")
			c.Places = rapid.Permutation(devices).Draw(t, "which")[:places]
			if rapid.Bool().Draw(t, "joined") {
				c.Schemes = intent.Schemes()
			}
			for l := range rapid.IntRange(1, 3).Draw(t, "lights") {
				light := wiring.Light{Name: fmt.Sprintf("g%d light %d", g, l), Box: name(rapid.IntRange(0, n-1).Draw(t, "at")), Power: 10 * quantity.Watt}
				in.Lights = append(in.Lights, light)
				c.Lights = append(c.Lights, light.Name)
			}
			in.Controls = append(in.Controls, c)
		}
	}
	if b.needs > 0 {
		for i := range rapid.IntRange(0, b.needs).Draw(t, "needs") {
			in.Needs = append(in.Needs, intent.Need{Box: name(rapid.IntRange(0, n-1).Draw(t, "where")), Kind: intent.Needs()[rapid.IntRange(0, 2).Draw(t, "need")],
				Feed: feed(), For: fmt.Sprintf("thing %d", i)})
		}
	}
	if b.special {
		for _, d := range devices {
			if rapid.IntRange(0, 4).Draw(t, "exempt") == 0 {
				in.Exemptions = append(in.Exemptions, intent.Exemption{Box: d, By: "accessible box"})
			}
		}
	}
	return in
}
