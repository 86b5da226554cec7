package plan_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// stands lists the devices of a box with their gangs, in the order of the wiring.
func stands(s *wiring.Spec, box string) string {
	var out []string
	for _, d := range s.Devices {
		if d.Box == box {
			out = append(out, fmt.Sprintf("%s %d", d.Name, d.Gang))
		}
	}
	return strings.Join(out, ", ")
}

// A plan says which switch stands in which gang, and a revision leaves standing what
// stood, wherever somebody has put it.
func TestGangs(t *testing.T) {
	us := region(t, "us-2023")
	door := func(gangs int, controls ...string) intent.Intent {
		s := newSketch("panel").box(wiring.Panel, "panel").box(device, "slip-door", "loft").box(ceiling, "aisle-1", "slipway", "stair-top").
			run("panel", "slip-door", 22).run("slip-door", "loft", 31).run("loft", "aisle-1", 9).run("slip-door", "slipway", 17).run("slip-door", "stair-top", 9).
			light("aisle-1", "aisle-1").light("slipway", "slipway").light("stair-top", "stair-top")
		s.Boxes[1].Gangs = gangs
		light := map[string]string{"aisle": "aisle-1", "slipway": "slipway", "stair": "stair-top"}
		s.Lights = slices.DeleteFunc(s.Lights, func(l wiring.Light) bool {
			return !slices.ContainsFunc(controls, func(c string) bool { return light[c] == l.Name })
		})
		for _, c := range controls {
			places := []string{"slip-door"}
			if c == "aisle" {
				places = append(places, "loft")
			}
			s.control(c, []string{light[c]}, places...)
		}
		return s.Intent
	}
	for _, tt := range []struct {
		reason string
		old    intent.Intent
		put    []int // where somebody has put the switches of the door, nil: as planned
		now    intent.Intent
		want   string
	}{
		{"one switch in one gang has nothing to tell apart", door(1, "aisle"), nil, door(1, "aisle"), "aisle 0"},
		{"one switch beside a blank", door(2, "aisle"), nil, door(2, "aisle"), "aisle 1"},
		{"from the left, as they are listed", door(2, "aisle", "slipway"), nil, door(2, "aisle", "slipway"), "aisle 1, slipway 2"},
		{"put the other way round, and they stay so", door(2, "aisle", "slipway"), []int{2, 1}, door(2, "aisle", "slipway"), "aisle 2, slipway 1"},
		{"a new one takes what is free", door(3, "aisle", "slipway"), []int{3, 1}, door(3, "aisle", "stair", "slipway"), "aisle 3, stair 2, slipway 1"},
		{"what was beyond a smaller box comes back into it", door(3, "aisle", "slipway"), []int{3, 1}, door(2, "aisle", "slipway"), "aisle 2, slipway 1"},
		{"an old wiring that says nothing gets said what a new one does", door(2, "aisle", "slipway"), []int{0, 0}, door(2, "aisle", "slipway"), "aisle 1, slipway 2"},
	} {
		p, err := plan.New(context.Background(), tt.old, us, nil)
		if err != nil || !p.Status.OK() {
			t.Fatal(tt.reason, p, err)
		}
		n := 0
		for i := range p.Spec.Devices {
			if d := &p.Spec.Devices[i]; d.Box == "slip-door" && tt.put != nil {
				d.Gang = tt.put[n]
				n++
			}
		}
		r, err := plan.Revise(context.Background(), p.Spec, tt.now, us, nil)
		if err != nil || !r.Plan.Status.OK() {
			t.Fatal(tt.reason, r, err)
		}
		if got := stands(&r.Plan.Spec, "slip-door"); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.reason, got, tt.want)
		}
		if _, err := wiring.New(r.Plan.Spec); err != nil {
			t.Errorf("%s: %v", tt.reason, err)
		}
	}
}
