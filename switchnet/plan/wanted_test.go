package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// A box that contradicts itself is not passed over in silence.
func TestBoxesNotJudged(t *testing.T) {
	s := newSketch("p").box(wiring.Panel, "p").box(wiring.CeilingBox, "l").box(device, "b", "c").run("p", "l", 9).run("l", "b", 9).run("b", "c", 9).
		light("l", "l").control("g", []string{"l"}, "b", "c")
	s.Boxes[2].Gangs = 2
	s.Boxes[2].Volume.Sections = []boxfill.Section{{Type: "device 3 x 2 x 3-1/2"}}
	p, err := plan.New(context.Background(), s.Intent, region(t, "us-2023"), nil)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, n := range p.Notes {
		if strings.Contains(n, "not judged") {
			got = append(got, n)
		}
	}
	if len(got) != 1 || !strings.HasPrefix(got[0], "it is not judged whether box b holds what is planned in it: ") || strings.Contains(got[0], "\n") || !strings.Contains(got[0], "the sections have 1") {
		t.Errorf("%q, %v\n%s", got, p.Full, shown(p))
	}
}

// A box in which power is wanted is to have room for what takes it, which no plan counts.
func TestRoomForWhatIsWanted(t *testing.T) {
	us := region(t, "us-2023")
	// Hot and neutral come to b and go no further, the leg goes back: three of 14 AWG, or
	// 6 in3, a switch 4 in3 and the ground 2 in3; a device more takes 4 in3 and makes it 16.
	far := func(kind intent.NeedKind, gangs int, in3 int64) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.CeilingBox, "l").box(device, "b").run("p", "l", 9).run("l", "b", 9).
			light("l", "l").control("g", []string{"l"}, "b")
		s.Boxes[2].Gangs = gangs
		s.Boxes[2].Volume.Sections = []boxfill.Section{{Marked: quantity.Volume(in3) * quantity.CubicInch}}
		s.Needs = []intent.Need{{Box: "b", Kind: kind, For: "a receptacle"}}
		return s
	}
	for _, row := range []struct {
		why  string
		in   *sketch
		want []string
		full bool
	}{
		{"room for both", far(intent.UnswitchedPower, 2, 16), nil, false},
		{"room for what is planned alone", far(intent.UnswitchedPower, 2, 15), []string{
			"box b holds what is planned in it: with 1 device for what is wanted there (a receptacle) it would need 16 in3, and it has 15 in3"}, false},
		{"no gang for it", far(intent.UnswitchedPower, 1, 15), []string{
			"box b has 1 gang for its switches; for what is wanted there (a receptacle) it would take one of 2, unless one device does both"}, false},
		{"a neutral is wanted for what stands in the place of the switch", far(intent.NeutralOnly, 1, 15), nil, false},
		{"no room for what is planned, and less for that", far(intent.UnswitchedPower, 2, 11), []string{
			"box b is too small for what is planned in it, and the larger one must hold more yet: with 1 device for what is wanted there (a receptacle) it would need 16 in3, and it has 11 in3"}, true},
		{"too small for a neutral alone", far(intent.NeutralOnly, 2, 11), nil, true},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range p.Notes {
			if strings.HasPrefix(n, "box b ") {
				got = append(got, n)
			}
		}
		if !slices.Equal(got, row.want) || row.full != (len(p.Full) > 0) {
			t.Errorf("%s: %q, too small %v; want %q\n%s", row.why, got, p.Full, row.want, shown(p))
		}
	}
}
