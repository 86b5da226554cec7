package lab_test

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/lab"
)

// twoWays is a job that can be wired in two ways that cost the same: the feed to the
// door and on to the light, 10 ft and 9 ft of three conductors; or to the light, 7 ft of
// three, and on to the door, 9 ft of four.
const twoWays = `format: 1
title: Boat shed
rules: us-2023
feeds:
  - {name: shed lights, box: panel, breaker: 15 A}
boxes:
  - {name: panel, kind: panel}
  - {name: yard-door, kind: device, gangs: 1}
  - {name: aisle-1, kind: ceiling}
lights:
  - {name: aisle light, box: aisle-1, load: 18 W}
runs:
  - {from: panel, to: yard-door, length: 10 ft}
  - {from: panel, to: aisle-1, length: 7 ft}
  - {from: yard-door, to: aisle-1, length: 9 ft}
controls:
  - {name: aisle, lights: [aisle light], places: [yard-door]}
`

// TestPlanMarks marks plans of a job that has two of least cost.
func TestPlanMarks(t *testing.T) {
	t.Parallel()
	task, _ := lab.Lookup("plan it")
	x, err := task.Make(context.Background(), fromFile(t, "two-ways.yaml", []byte(twoWays)), 1, lab.Band{})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		door, light, on string // along the three runs
		full            bool
		says, why       string
	}{
		{"14/2", "none", "14/2", true, "", "door first: 10 x 3 and 9 x 3 make 57"},
		{"none", "14/2", "14/3", true, "", "light first: 7 x 3 and 9 x 4 make 57 too"},
		{"14/2", "none", "14/3", false, "costs", "a conductor more than it takes"},
		{"none", "14/2", "14/2", false, "As you have it", "no room for hot, leg and neutral at the switch"},
		{"14/2", "none", "none", false, "not reached", "no cable to the light"},
		{"14/2", "14/2", "14/2", false, "As you have it", "a ring"},
	}
	for _, tt := range tests {
		a := lab.Answer{"run-1": tt.door, "run-2": tt.light, "run-3": tt.on}
		r := x.Mark(a)
		if err := r.Check(x.Sheet()); err != nil {
			t.Errorf("%s: %v", tt.why, err)
		}
		says := ""
		for _, l := range r.Lost {
			says += l.Why
		}
		if (r.Points == r.Of) != tt.full || !strings.Contains(says, tt.says) {
			t.Errorf("%s: %d of %d, %q", tt.why, r.Points, r.Of, says)
		}
	}
}

// TestWalkMarks marks walks: as long as the key in any way of writing, longer, and too
// short to show everything; and of all walks as long as the key only those that show
// every fault get full marks, of which there may be several.
func TestWalkMarks(t *testing.T) {
	t.Parallel()
	task, _ := lab.Lookup("prove it")
	x, err := task.Make(context.Background(), chain(t, 2), 4, lab.Band{})
	if err != nil {
		t.Fatal(err)
	}
	key := x.Key()["walk"]
	flips := strings.Fields(key)
	tests := []struct {
		walk string
		lost int
		why  string
	}{
		{key, 0, "the key"},
		{strings.ToLower(strings.Join(flips, ",")), 0, "small letters and commas"},
		{key + " A", 1, "a flip more"},
		{strings.Repeat(key+" ", 3), 2, "three times as long"},
		{strings.Join(flips[:len(flips)-1], " "), 2, "a flip short"},
		{"A A A A A A A A", 2, "one switch alone"},
		{"A ? B", 4, "no letters"},
		{"Z", 4, "no switch"},
		{"", 4, "nothing"},
	}
	for _, tt := range tests {
		r := x.Mark(lab.Answer{"walk": tt.walk})
		if err := r.Check(x.Sheet()); err != nil {
			t.Errorf("%s: %v", tt.why, err)
		}
		lost := r.Of - r.Points
		if tt.lost == 2 && lost < 2 || tt.lost != 2 && lost != tt.lost {
			t.Errorf("%s: %d marks lost, want %d: %v", tt.why, lost, tt.lost, r.Lost)
		}
	}
	full := 0
	for n := range 1 << len(flips) {
		var walk []string
		for i := range flips {
			walk = append(walk, string(rune('A'+n>>i&1)))
		}
		if r := x.Mark(lab.Answer{"walk": strings.Join(walk, " ")}); r.Points == r.Of {
			full++
		}
	}
	if full < 1 || full == 1<<len(flips) {
		t.Errorf("%d of %d walks get full marks", full, 1<<len(flips))
	}
	// No shorter one does, or the key would not be the shortest.
	for n := range 1 << (len(flips) - 1) {
		var walk []string
		for i := range len(flips) - 1 {
			walk = append(walk, string(rune('A'+n>>i&1)))
		}
		if r := x.Mark(lab.Answer{"walk": strings.Join(walk, " ")}); r.Points == r.Of {
			t.Errorf("%s is shorter than the key %s and gets full marks", strings.Join(walk, " "), key)
		}
	}
}

// TestFaultMarks marks each of the faults to choose from: one is right, and what is near
// gets a mark.
func TestFaultMarks(t *testing.T) {
	t.Parallel()
	task, _ := lab.Lookup("find the fault")
	points := map[int]int{}
	for seed := range lab.Seed(6) {
		x, err := task.Make(context.Background(), generated(t, lab.Recipe{}), seed, lab.Band{})
		if err != nil {
			t.Fatal(err)
		}
		right := 0
		for _, c := range x.Sheet().Fields[0].Choices {
			r := x.Mark(lab.Answer{"fault": c})
			if err := r.Check(x.Sheet()); err != nil {
				t.Error(err)
			}
			points[r.Points]++
			if r.Points == r.Of {
				right++
			} else if !strings.HasPrefix(r.Lost[0].Why, "It is not that") {
				t.Errorf("%s: %q", c, r.Lost[0].Why)
			}
		}
		if right != 1 {
			t.Errorf("seed %d: %d choices get full marks", seed, right)
		}
	}
	if points[1] == 0 || points[0] == 0 {
		t.Errorf("marks of the choices: %v, some near and some not", points)
	}
}
