package check_test

import (
	"maps"
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// TestBlindLandings lands the wires of every device of a stair in every way there is. The
// counts of ways are worked out apart from this project: how many are right, and how many
// light the lamp in one state, in any other number, in all, or never. Every way that is not
// right is found, and none of them is a short, so that a short while landing blind says that
// a wire is on a device that does not belong there.
func TestBlindLandings(t *testing.T) {
	for _, c := range []struct {
		file, why   string
		ways, right int
		lit         map[int]int // of the wrong ones, by the number of states that are lit
	}{
		{"cases/travelers-exchanged", "two places: 6 x 6", 36, 4, map[int]int{1: 24, 0: 8}},
		{"cases/four-way-put-right", "three places: 6 x 24 x 6; one wrong device lights two states, two light one or none", 864, 32, map[int]int{2: 3 * 64, 1: 512, 0: 128}},
		{"cases/commons-joined", "hot and leg on the throws of both, commons joined: what is wrong lights too often", 36, 4, map[int]int{3: 24, 4: 8}},
	} {
		t.Run(c.file, func(t *testing.T) {
			x := readExample(t, "testdata/"+c.file+".yaml")
			if found := run(t, x.job, x.suite); len(found) > 0 {
				t.Fatalf("the wiring to begin with gives %s: %s", found[0].Code, found[0].Message)
			}
			suite := check.Safety(x.file.Region)
			ways, right, lit := 0, 0, map[int]int{}
			for w := range landings(t, x.job.Wiring) {
				ways++
				j := x.job
				j.Wiring = w
				found := run(t, j, suite)
				if len(found) == 0 {
					right++
					continue
				}
				for _, f := range found {
					if f.Code == "short" {
						t.Errorf("%s: %s", c.why, f.Message)
					}
				}
				a, err := allstates.Analyze(t.Context(), w.Net(), nil)
				if err != nil {
					t.Fatal(err)
				}
				l, err := a.Load(t.Context(), switchnet.Ref{Place: "stair", Name: "stair light"})
				if err != nil {
					t.Fatal(err)
				}
				lit[int(l.Count(switchnet.Lit).Int64())]++
			}
			if ways != c.ways || right != c.right || !maps.Equal(lit, c.lit) {
				t.Errorf("%s: of %d ways %d are right and %v are lit, want %d, %d and %v", c.why, ways, right, lit, c.ways, c.right, c.lit)
			}
		})
	}
}

// landings yields a wiring with what is on the terminals of each device in every order.
func landings(t *testing.T, w *wiring.Wiring) func(func(*wiring.Wiring) bool) {
	devices := w.Spec().Devices
	return func(yield func(*wiring.Wiring) bool) {
		var permute func(d, n int, w *wiring.Wiring) bool
		permute = func(d, n int, w *wiring.Wiring) bool {
			if d == len(devices) {
				return yield(w)
			}
			terminals := devices[d].Kind.Terminals
			if n == len(terminals)-1 {
				return permute(d+1, 0, w)
			}
			for k := n; k < len(terminals); k++ {
				v := w
				if k > n {
					var err error
					if v, err = w.Apply(wiring.SwapTerminals{Box: devices[d].Box, A: wiring.Joint{Device: devices[d].Name, Terminal: terminals[n]},
						B: wiring.Joint{Device: devices[d].Name, Terminal: terminals[k]}}); err != nil {
						t.Fatal(err)
					}
				}
				if !permute(d, n+1, v) {
					return false
				}
			}
			return true
		}
		permute(0, 0, w)
	}
}

// TestLitLampPassesBoth shows what it is worth to flip each switch while the lamp is lit
// and to call the one bad that does not put it out. Where a throw is dead both put it out,
// in the one state in which it is lit; where the contact no longer moves one does not.
// Which end has the dead throw is told by the travelers alone.
func TestLitLampPassesBoth(t *testing.T) {
	for _, r := range []struct {
		name   string
		lit    int      // states
		passes []string // places from which the lit lamp is always put out
		found  []string // places where something is found
		red    bool     // the red traveler is hot at landing in some state
	}{
		{"dead-throw", 1, []string{"hall", "landing"}, []string{"hall", "landing"}, false},
		{"dead-throw-at-the-other-end", 1, []string{"hall", "landing"}, []string{"hall", "landing"}, true},
		{"open-traveler", 1, []string{"hall", "landing"}, []string{"hall", "landing"}, false},
		{"contact-that-stays", 2, []string{"landing"}, []string{"hall"}, false},
	} {
		x := readExample(t, "testdata/cases/"+r.name+".yaml")
		net := x.job.Wiring.Net()
		states, _, err := net.States(nil)
		if err != nil {
			t.Fatal(err)
		}
		solver := net.NewSolver()
		view := func(s switchnet.State) *switchnet.View {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		lit := func(s switchnet.State) bool {
			got, _ := view(s).Supply(switchnet.Ref{Place: "stair", Name: "stair light"})
			return got.Status == switchnet.Lit
		}
		n, red := 0, false
		puts := map[string]bool{"hall": true, "landing": true}
		for s := range states {
			c, _ := view(s).Condition(switchnet.Terminal{Place: "landing", Device: "stair", Name: "traveler 2"})
			red = red || c.Kind() == switchnet.Live
			if !lit(s) {
				continue
			}
			n++
			for place := range puts {
				other, err := s.With(switchnet.Ref{Place: place, Name: "stair"}, map[bool]string{true: "down", false: "up"}[position(s, place) == "up"])
				if err != nil {
					t.Fatal(err)
				}
				puts[place] = puts[place] && !lit(other)
			}
		}
		passes := slices.DeleteFunc([]string{"hall", "landing"}, func(place string) bool { return !puts[place] })
		if n != r.lit || !slices.Equal(passes, r.passes) || red != r.red {
			t.Errorf("%s: lit in %d states, %v put it out, the red is hot at landing: %v; want %d, %v, %v", r.name, n, passes, red, r.lit, r.passes, r.red)
		}
		var places []string
		for _, f := range run(t, x.job, x.suite) {
			if f.Place.Box != "" && !slices.Contains(places, f.Place.Box) {
				places = append(places, f.Place.Box)
			}
		}
		if slices.Sort(places); !slices.Equal(places, r.found) {
			t.Errorf("%s: found at %v, want %v", r.name, places, r.found)
		}
	}
}

func position(s switchnet.State, place string) string {
	p, _ := s.Position(switchnet.Ref{Place: place, Name: "stair"})
	return p
}

// TestBorrowedNeutralOpened opens the neutral that is borrowed: its end at the light is
// live through the lamp in half of the states, with the circuit that it belongs to off.
func TestBorrowedNeutralOpened(t *testing.T) {
	x := readExample(t, "testdata/cases/borrowed-neutral.yaml")
	w, err := x.job.Wiring.Apply(wiring.Cut{Wire: wiring.Wire{Cable: "C4", Conductor: "blue"}})
	if err != nil {
		t.Fatal(err)
	}
	net := w.Net()
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver := net.NewSolver()
	n, live := 0, 0
	for s := range states {
		if s, err = s.With(switchnet.Ref{Place: "board", Name: "upstairs"}, "off"); err != nil {
			t.Fatal(err)
		}
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		n++
		if c, _ := v.Condition(switchnet.Terminal{Place: "stair", Device: "C4", Name: "blue"}); c.Kind() == switchnet.LiveThroughLoad {
			live++
		}
	}
	if n != 4 || live != 2 {
		t.Errorf("live in %d of %d states, want 2 of 4", live, n)
	}
}
