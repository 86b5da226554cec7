package switchnet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
)

// mesh builds loads and switches between named joints. "A", "B", "N" and "G" are the
// rails. Each part is written "name: joint joint": L1 and on are loads, c1 and on
// closed switches.
func mesh(t *testing.T, parts ...string) *switchnet.View {
	t.Helper()
	var b switchnet.Builder
	src := service()
	b.Source(src)
	rails := map[string]switchnet.Rail{"A": switchnet.LineA, "B": switchnet.LineB, "N": switchnet.Neutral, "G": switchnet.Ground}
	declared := map[string]bool{}
	closed := switchnet.Kind{Name: "closed contact", Terminals: []string{"1", "2"},
		Positions: []switchnet.Position{{Name: "closed", Joins: [][]string{{"1", "2"}}}}}
	for _, p := range parts {
		name, ends, _ := strings.Cut(p, ": ")
		var lands [2]switchnet.Terminal
		if name[0] == 'L' {
			l := switchnet.Load{Ref: ref("box", name)}
			b.Load(l)
			lands = l.Terminals()
		} else {
			b.Device("box", name, closed)
			lands = [2]switchnet.Terminal{term("box", name, "1"), term("box", name, "2")}
		}
		for i, joint := range strings.Fields(ends) {
			at := term("box", "joint", joint)
			if r, ok := rails[joint]; ok {
				at = src.Rail(r)
			} else if !declared[joint] {
				b.Point(at)
				declared[joint] = true
			}
			b.Conductor(fmt.Sprintf("%s %d", name, i+1), at, lands[i])
		}
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return solve(t, net.Rest())
}

// through writes the loads and switches that a path goes through.
func through(p switchnet.Path) string {
	var names []string
	for _, s := range p.Steps {
		if s.Kind == switchnet.ByLoad || s.Kind == switchnet.ByContact {
			names = append(names, s.Name)
		}
	}
	return strings.Join(names, " ")
}

// TestSeries is about which loads hang in series, and by which ways, in small
// figures that random nets seldom have.
func TestSeries(t *testing.T) {
	tests := []struct {
		why   string
		parts string            // separated by commas
		want  map[string]string // load: status and paths
	}{
		{"two in line", "L1: A x, L2: x N",
			map[string]string{"L1": "dim: L1 L2", "L2": "dim: L1 L2"}},
		{"two in line from line to line", "L1: A x, L2: x B",
			map[string]string{"L1": "dim: L1 L2", "L2": "dim: L1 L2"}},
		{"both ends of the line on the neutral: no current", "L1: N x, L2: x G",
			map[string]string{"L1": "unlit", "L2": "unlit"}},
		{"a dead end", "L1: A x, L2: x N, L3: x y",
			map[string]string{"L1": "dim: L1 L2", "L2": "dim: L1 L2", "L3": "unlit"}},
		{"a loop that leaves a joint and comes back to it is a dead end too", "L1: A x, L2: x y, L3: y x, L4: x N",
			map[string]string{"L1": "dim: L1 L4", "L2": "unlit", "L3": "unlit", "L4": "dim: L1 L4"}},
		{"also where the joint is several screws", "L1: A x, c1: x w, c2: x z, L2: w y, L3: y z, L4: z N",
			map[string]string{"L1": "dim: L1 c2 L4", "L2": "unlit", "L3": "unlit", "L4": "dim: L1 c2 L4"}},
		{"a load shunted by a contact carries nothing", "L1: A x, L2: x y, c1: x y, L3: y N",
			map[string]string{"L1": "dim: L1 c1 L3", "L2": "unlit", "L3": "dim: L1 c1 L3"}},
		{"a bridge: every load carries, and each way crosses the joints once", "L1: A x, L2: A y, L3: x y, L4: x N, L5: y N",
			map[string]string{"L1": "dim: L1 L4, L1 L3 L5", "L3": "dim: L1 L3 L5, L2 L3 L4", "L5": "dim: L2 L5, L1 L3 L5"}},
		{"the way ends in the first metal on another rail", "L1: A x, L2: x z, c1: z N, L5: z w, L6: w N",
			map[string]string{"L1": "dim: L1 L2 c1", "L2": "dim: L1 L2 c1", "L5": "unlit", "L6": "unlit"}},
		{"and does not leave metal on its own line again", "L1: A x, L2: x y, c1: y A, L3: x N",
			map[string]string{"L1": "dim: L1 L3", "L2": "dim: c1 L2 L3", "L3": "dim: L1 L3, c1 L2 L3"}},
		{"nothing is claimed across shorted metal", "L1: A x, L2: x k, c1: k A, c2: k N, L3: k y, L4: y N",
			map[string]string{"L1": "unlit", "L2": "faulted", "L3": "faulted", "L4": "unlit"}},
		{"beside shorted metal a line goes on as before", "L1: A x, L2: x N, L3: x k, c1: k A, c2: k N",
			map[string]string{"L1": "dim: L1 L2", "L2": "dim: L1 L2", "L3": "faulted"}},
		{"a lit load between two in line does not join the rails", "L1: A N, L2: A x, L3: x N",
			map[string]string{"L1": "lit: L1", "L2": "dim: L2 L3", "L3": "dim: L2 L3"}},
		{"a load on nothing but loads", "L1: x y, L2: y x",
			map[string]string{"L1": "unlit", "L2": "unlit"}},
	}
	for _, test := range tests {
		v := mesh(t, strings.Split(test.parts, ", ")...)
		for name, want := range test.want {
			sup, _ := v.Supply(ref("box", name))
			paths, err := v.Paths(ref("box", name), nil)
			if err != nil || paths.Truncated {
				t.Fatalf("%s: paths of %s: truncated %v, %v", test.why, name, paths.Truncated, err)
			}
			var ways []string
			for _, p := range paths.List {
				ways = append(ways, through(p))
			}
			got := sup.Status.String()
			if len(ways) > 0 {
				got += ": " + strings.Join(ways, ", ")
			}
			if got != want {
				t.Errorf("%s: %s is %s, want %s", test.why, name, got, want)
			}
		}
	}
}

// TestShortsByDevice is about rails that meet in one device.
func TestShortsByDevice(t *testing.T) {
	v := mesh(t, "c1: A N", "c2: N A", "c3: A B", "c4: G N")
	var got []string
	for s := range v.Shorts() {
		got = append(got, fmt.Sprintf("%v-%v by %s", s.Rails[0], s.Rails[1], through(s.Path)))
	}
	want := []string{"line A-neutral by c1", "line A-neutral by c2", "line A-line B by c3"}
	if !slices.Equal(got, want) {
		t.Errorf("two switches across the same rails: shorts %q, want %q: each is a place of its own", got, want)
	}
	got = nil
	for s := range v.NeutralToGround() {
		got = append(got, through(s.Path))
	}
	if !slices.Equal(got, []string{"c4"}) {
		t.Errorf("neutral meets ground by %q, want c4", got)
	}

	// The witness of one short does not take a short cut over a third rail.
	v = mesh(t, "c1: A p", "c2: p N", "c3: N q", "c4: q G", "c5: p m", "c6: m n", "c7: n q")
	got = nil
	for s := range v.Shorts() {
		got = append(got, fmt.Sprintf("%v-%v by %s", s.Rails[0], s.Rails[1], through(s.Path)))
	}
	want = []string{"line A-neutral by c1 c2", "line A-ground by c1 c5 c6 c7 c4"}
	if !slices.Equal(got, want) {
		t.Errorf("three rails on one piece: shorts %q, want %q", got, want)
	}

	// One device with all its terminals joined, the rails landed in turns.
	var b switchnet.Builder
	src := service()
	b.Source(src)
	bar := switchnet.Kind{Name: "bar", Terminals: []string{"1", "2", "3", "4"},
		Positions: []switchnet.Position{{Name: "fixed", Joins: [][]string{{"1", "2", "3", "4"}}}}}
	b.Device("box", "bar", bar)
	for i, r := range []switchnet.Rail{switchnet.LineA, switchnet.Neutral, switchnet.LineA, switchnet.Neutral} {
		b.Conductor(fmt.Sprint(i), src.Rail(r), term("box", "bar", fmt.Sprint(i+1)))
	}
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	if shorts := slices.Collect(solve(t, net.Rest()).Shorts()); len(shorts) != 1 || len(shorts[0].Path.Steps) != 3 {
		t.Errorf("one device that joins two rails four times: %v, want one short by three steps", shorts)
	}
}
