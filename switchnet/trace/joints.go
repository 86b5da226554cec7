package trace

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// groups are the splices of a box with something to join, each in the order of joints.
func groups(s *wiring.Spec, box string) [][]wiring.Joint {
	var out [][]wiring.Joint
	for _, sp := range s.Splices {
		if sp.Box == box && len(sp.Join) > 1 {
			join := slices.Clone(sp.Join)
			slices.SortFunc(join, compareJoints)
			out = append(out, join)
		}
	}
	slices.SortFunc(out, func(a, b []wiring.Joint) int { return slices.CompareFunc(a, b, compareJoints) })
	return out
}

// compareJoints puts wires before terminals.
func compareJoints(a, b wiring.Joint) int {
	return cmp.Or(strings.Compare(a.Device, b.Device), strings.Compare(a.Terminal, b.Terminal),
		strings.Compare(a.Wire.Cable, b.Wire.Cable), strings.Compare(a.Wire.Conductor, b.Wire.Conductor))
}

// matched pairs the groups of a box now with those that are meant, each with one at
// most, those with most joints in common first and of equals the first in order.
type matched struct{ now, want [][]wiring.Joint }

func (m *mender) match(box string) matched {
	out := matched{groups(&m.is, box), groups(&m.meant, box)}
	type link struct{ i, k, n int }
	var links []link
	for i, g := range out.now {
		for k, h := range out.want {
			n := 0
			for _, j := range g {
				if slices.Contains(h, j) {
					n++
				}
			}
			if n > 0 {
				links = append(links, link{i, k, n})
			}
		}
	}
	slices.SortStableFunc(links, func(a, b link) int { return cmp.Compare(b.n, a.n) })
	now := make([][]wiring.Joint, len(out.want))
	want := make([][]wiring.Joint, len(out.now))
	for _, l := range links {
		if now[l.k] == nil && want[l.i] == nil {
			now[l.k], want[l.i] = out.now[l.i], out.want[l.k]
		}
	}
	// What has no fellow is taken apart, or made of what hangs free.
	return matched{now, want}
}

// placed writes a job as sorted lines.
func placed(s wiring.Spec) []string {
	var out []string
	for _, d := range s.Devices {
		out = append(out, fmt.Sprintf("device %s/%s %v", d.Box, d.Name, d.Kind))
	}
	for _, l := range s.Landings {
		out = append(out, fmt.Sprintf("landing %v", l))
	}
	for _, c := range s.Caps {
		out = append(out, fmt.Sprintf("cap %v", c))
	}
	for _, w := range s.Opens {
		out = append(out, fmt.Sprintf("open %v", w))
	}
	for _, t := range s.Ties {
		if compareJoints(t.B, t.A) < 0 {
			t.A, t.B = t.B, t.A
		}
		out = append(out, fmt.Sprintf("tie %v", t))
	}
	for _, sp := range s.Splices {
		join := slices.Clone(sp.Join)
		slices.SortFunc(join, compareJoints)
		out = append(out, fmt.Sprintf("splice %s %v", sp.Box, join))
	}
	slices.Sort(out)
	return out
}
