package packet_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// Loose sets are bought by the colour: with half a foot at each end of 40 ft, 20 ft twice
// and 15 ft, every colour is as long as the sets that have it.
func TestWires(t *testing.T) {
	region, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	spec := wiring.Spec{Supply: switchnet.SplitPhase()}
	for _, b := range []string{"panel", "A", "B", "C", "L"} {
		spec.Boxes = append(spec.Boxes, wiring.Box{Name: b, Kind: wiring.JunctionBox, Metal: true})
	}
	for i, c := range []struct {
		kind, from, to string
		feet           quantity.Length
	}{
		{"loose 12 AWG 90 C white black green", "panel", "A", 40},
		{"loose 12 AWG 90 C white black red green", "A", "B", 20},
		{"loose 12 AWG 90 C white black red blue green", "B", "C", 20},
		{"loose 12 AWG 90 C white black green", "B", "L", 15},
		{"loose 14 AWG 90 C black", "B", "L", 0}, // not known
		{"12/2", "B", "L", 15},
	} {
		spec.Cables = append(spec.Cables, wiring.Cable{Name: fmt.Sprintf("C%d", i+1), Type: cable(t, c.kind), From: c.from, To: c.to, Length: c.feet * quantity.Foot})
	}
	w, err := wiring.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	o, err := packet.NewTakeOff(w, region, nil)
	if err != nil {
		t.Fatal(err)
	}
	say := func(o *packet.TakeOff) string {
		var out []string
		for _, x := range o.Wires {
			out = append(out, fmt.Sprintf("%s: %s, %s, %d", x.Name, x.Cut.In(quantity.Foot), x.Buy.In(quantity.Foot), x.Jobs))
		}
		return strings.Join(out, "\n")
	}
	want := `12 AWG copper 90 C, black: 99 ft, 108.9 ft, 0
12 AWG copper 90 C, blue: 21 ft, 23.1 ft, 0
12 AWG copper 90 C, green: 99 ft, 108.9 ft, 0
12 AWG copper 90 C, red: 42 ft, 46.2 ft, 0
12 AWG copper 90 C, white: 99 ft, 108.9 ft, 0`
	if got := say(o); got != want {
		t.Errorf("the wire is\n%s\nwant\n%s", got, want)
	}
	sum, err := packet.SumTakeOffs([]*packet.TakeOff{o, o})
	if err != nil {
		t.Fatal(err)
	}
	want = `12 AWG copper 90 C, black: 198 ft, 217.8 ft, 2
12 AWG copper 90 C, blue: 42 ft, 46.2 ft, 2
12 AWG copper 90 C, green: 198 ft, 217.8 ft, 2
12 AWG copper 90 C, red: 84 ft, 92.4 ft, 2
12 AWG copper 90 C, white: 198 ft, 217.8 ft, 2`
	if got := say(sum); got != want {
		t.Errorf("the wire of two such jobs is\n%s\nwant\n%s", got, want)
	}
}
