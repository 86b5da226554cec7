package plan_test

import (
	"context"
	"slices"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// The holes and notches of a run are stated at one of the cables through them, for a
// plate covers them all; a cable that lies there already brings none.
func TestHolesOfARun(t *testing.T) {
	us, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	two, err := conductor.ParseCableType("14/2")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		why     string
		holes   []quantity.Length
		notches int
		change  func(r *intent.Run)
		want    int // cables that state them
	}{
		{"two circuits along one run", []quantity.Length{25 * quantity.Millimeter, quantity.Inch}, 1, nil, 1},
		{"notches alone", nil, 2, nil, 1},
		{"nothing stated", nil, 0, nil, 0},
		{"in the wall already", []quantity.Length{quantity.Inch}, 0, func(r *intent.Run) { r.Cable, r.Existing = two, true }, 0},
	} {
		in := intent.Intent{Supply: switchnet.SplitPhase(),
			Boxes:  []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "door", Kind: wiring.DeviceBox, Gangs: 2}},
			Feeds:  []wiring.Feed{{Name: "one", Box: "panel", Breaker: 15 * quantity.Ampere}},
			Lights: []wiring.Light{{Name: "lamp one", Box: "door"}},
			Controls: []intent.Control{
				{Name: "first", Lights: []string{"lamp one"}, Places: []string{"door"}, Feed: "one"},
			},
			Runs: []intent.Run{{From: "panel", To: "door", Length: 10 * quantity.Foot, Bored: r.holes, Notches: r.notches}}}
		if r.change == nil {
			in.Feeds = append(in.Feeds, wiring.Feed{Name: "two", Box: "panel", Breaker: 15 * quantity.Ampere})
			in.Lights = append(in.Lights, wiring.Light{Name: "lamp two", Box: "door"})
			in.Controls = append(in.Controls, intent.Control{Name: "second", Lights: []string{"lamp two"}, Places: []string{"door"}, Feed: "two"})
		} else {
			r.change(&in.Runs[0])
		}
		p, err := plan.New(context.Background(), in, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Spec.Cables) != len(in.Feeds) {
			t.Fatalf("%s: %d cables, want one for each of %d circuits", r.why, len(p.Spec.Cables), len(in.Feeds))
		}
		state := 0
		for _, c := range p.Spec.Cables {
			if len(c.Bored)+c.Notches == 0 {
				continue
			}
			state++
			if !slices.Equal(c.Bored, r.holes) || c.Notches != r.notches {
				t.Errorf("%s: %s has holes %v and %d notches, want %v and %d", r.why, c.Name, c.Bored, c.Notches, r.holes, r.notches)
			}
		}
		if state != r.want {
			t.Errorf("%s: stated at %d cables, want %d", r.why, state, r.want)
		}
	}
}
