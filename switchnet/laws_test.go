package switchnet_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// small are nets that an oracle can exhaust.
var small = netgen.Limits{Devices: 6, States: 64, Loads: 5}

// drawNet draws a net and a state of it.
func drawNet(t *rapid.T) (*netgen.Spec, *switchnet.Net, switchnet.State) {
	spec := netgen.Nets(small).Draw(t, "net")
	net, err := spec.Build()
	if err != nil {
		t.Fatalf("%v\n%v", err, spec)
	}
	s := net.Rest()
	for d := range net.Devices() {
		for range rapid.IntRange(0, len(d.Kind.Positions)-1).Draw(t, "position") {
			if s, err = s.Flip(d.Ref); err != nil {
				t.Fatal(err)
			}
		}
	}
	return spec, net, s
}

func solve(tb rapid.TB, s switchnet.State) *switchnet.View {
	tb.Helper()
	v, err := s.Net().NewSolver().Solve(s)
	if err != nil {
		tb.Fatal(err)
	}
	return v
}

// TestConditionsAgreeWithPathSearch compares what each terminal is joined to with
// a walk over the declared parts.
func TestConditionsAgreeWithPathSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		v, o := solve(t, s), newOracle(net, s)
		listed := 0
		for term, c := range v.Conditions() {
			listed++
			if want := (switchnet.Condition{Rails: o.rails(term), Through: o.through(term)}); c != want {
				t.Errorf("%v: %v is %+v, want %+v", s, term, c, want)
			}
			if one, ok := v.Condition(term); !ok || one != c {
				t.Errorf("%v: Condition(%v) = %v, %v, and Conditions says %v", s, term, one, ok, c)
			}
			for other := range net.Terminals() {
				if got, want := v.Joined(term, other), o.piece(term)[other]; got != want {
					t.Errorf("%v: Joined(%v, %v) = %v, want %v", s, term, other, got, want)
				}
				forGood := o.flood(term, func(w way) bool { return fixed(w.Kind) })
				if got, want := net.Joined(term, other), forGood[other]; got != want {
					t.Errorf("net: Joined(%v, %v) = %v, want %v", term, other, got, want)
				}
			}
		}
		if want := len(slices.Collect(net.Terminals())); listed != want {
			t.Errorf("%d conditions, want %d", listed, want)
		}
		var hazards []switchnet.Terminal
		for term, c := range v.Hazards() {
			hazards = append(hazards, term)
			if !c.Hazardous() {
				t.Errorf("%v is listed as a hazard and is %v", term, c)
			}
		}
		var want []switchnet.Terminal
		for term := range net.Terminals() {
			if !o.rails(term).Lines().Empty() || !o.through(term).Lines().Empty() {
				want = append(want, term)
			}
		}
		if !slices.Equal(hazards, want) {
			t.Errorf("%v: hazards %v, want %v", s, hazards, want)
		}
	})
}

// TestSuppliesAndPathsAgreeWithPathSearch compares what each load gets, and by what
// paths, with the list of all simple paths.
func TestSuppliesAndPathsAgreeWithPathSearch(t *testing.T) {
	tooMany, dim := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		v, o := solve(t, s), newOracle(net, s)
		energized, complete := o.energized()
		if !complete {
			tooMany++
			return
		}
		cap := rapid.IntRange(1, 4).Draw(t, "cap")
		for l := range net.Loads() {
			sup, ok := v.Supply(l.Ref)
			want := o.status(l, energized)
			if !ok || sup.Status != want {
				t.Fatalf("%v: %v is %v, want %v", s, l.Ref, sup.Status, want)
			}
			if want == switchnet.Dim {
				dim++
			}
			ends := l.Terminals()
			for i, c := range sup.Ends {
				if at, _ := v.Condition(ends[i]); at != c {
					t.Errorf("%v: end %d of %v is %v, and its terminal is %v", s, i, l.Ref, c, at)
				}
			}
			checkVolts(t, o, l, sup)
			var paths []switchnet.Path
			for _, p := range energized {
				if passes(p, l.Ref) && want != switchnet.Faulted {
					paths = append(paths, plain(p))
				}
			}
			if (want == switchnet.Lit || want == switchnet.Dim) != (len(paths) > 0) {
				t.Fatalf("%v: %v is %v with %d paths", s, l.Ref, want, len(paths))
			}
			got, err := v.Paths(l.Ref, &switchnet.PathOptions{Max: len(paths) + 1})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(paths, got.List); diff != "" || got.Truncated {
				t.Fatalf("%v: paths of %v (truncated %v), -want +got:\n%s", s, l.Ref, got.Truncated, diff)
			}
			capped, err := v.Paths(l.Ref, &switchnet.PathOptions{Max: cap})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(paths[:min(cap, len(paths))], capped.List); diff != "" || len(paths) > cap && !capped.Truncated {
				t.Fatalf("%v: at most %d paths of %v (truncated %v), -want +got:\n%s", s, cap, l.Ref, capped.Truncated, diff)
			}
		}
	})
	t.Logf("%d states had too many paths to list; %d loads in series", tooMany, dim)
	if tooMany > 5 {
		t.Errorf("%d states had too many paths to list: the test sees too little", tooMany)
	}
}

func checkVolts(t *rapid.T, o *oracle, l switchnet.Load, sup switchnet.Supply) {
	var want = o.sys.LineToNeutral * 0
	if sup.Status == switchnet.Lit {
		ends := l.Terminals()
		want = o.sys.LineToNeutral
		if !o.rails(ends[0]).Lines().Empty() && !o.rails(ends[1]).Lines().Empty() {
			want = o.sys.LineToLine
		}
	}
	if sup.Volts != want {
		t.Errorf("%v gets %v, want %v", l.Ref, sup.Volts, want)
	}
}

// TestShortsAgreeWithPathSearch compares the shorts, the joints of neutral and
// ground, and their witness paths with a list of all the ways between rails.
func TestShortsAgreeWithPathSearch(t *testing.T) {
	tooMany, shorted := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		v, o := solve(t, s), newOracle(net, s)
		o.left *= 5
		compare := func(what string, got []switchnet.Short, want []meeting) {
			if len(got) != len(want) {
				t.Fatalf("%v: %d %s, want %d: %v", s, len(got), what, len(want), got)
			}
			for i, g := range got {
				if g.Rails != want[i].rails {
					t.Fatalf("%v: %s %d is between %v, want %v", s, what, i, g.Rails, want[i].rails)
				}
				checkWitness(t, o, g)
				path := o.witness(want[i])
				if o.left <= 0 {
					tooMany++
					return
				}
				if diff := cmp.Diff(plain(path), g.Path); diff != "" {
					t.Fatalf("%v: witness of %s %d between %v, -want +got:\n%s", s, what, i, g.Rails, diff)
				}
			}
		}
		shorts := slices.Collect(v.Shorts())
		compare("shorts", shorts, o.meetings(o.apart))
		compare("joints of neutral and ground", slices.Collect(v.NeutralToGround()),
			o.meetings(func(a, b switchnet.Rail) bool { return !o.apart(a, b) }))
		if v.Shorted() != (len(shorts) > 0) {
			t.Errorf("%v: Shorted is %v and there are %d shorts", s, v.Shorted(), len(shorts))
		}
		if len(shorts) > 0 {
			shorted++
		}
	})
	t.Logf("%d states had too many ways to list; %d states short", tooMany, shorted)
	if tooMany > 5 {
		t.Errorf("%d states had too many ways to list: the test sees too little", tooMany)
	}
}

// checkWitness checks that a witness runs from rail to rail by steps that exist,
// over no load, meeting no terminal twice.
func checkWitness(t *rapid.T, o *oracle, s switchnet.Short) {
	if s.Path.From() != o.rail[s.Rails[0]] || s.Path.To() != o.rail[s.Rails[1]] {
		t.Fatalf("the witness of %v runs from %v to %v", s.Rails, s.Path.From(), s.Path.To())
	}
	seen := set{s.Path.From(): true}
	at := s.Path.From()
	for _, step := range s.Path.Steps {
		real := slices.ContainsFunc(o.steps[at], func(w way) bool { return w.Step == step })
		if step.From != at || step.Kind == switchnet.ByLoad || !real || seen[step.To] {
			t.Fatalf("the witness of %v takes the step %+v from %v", s.Rails, step, at)
		}
		at = step.To
		seen[at] = true
	}
}
