package switchnet_test

import (
	"errors"
	"slices"
	"strings"
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
		s = turn(t, s, d, rapid.IntRange(0, len(d.Kind.Positions)-1).Draw(t, "position"))
	}
	return spec, net, s
}

// drawState draws the state of drawNet, for the tests that count what they met: these
// count over draws from fixed seeds, because what rapid.Check draws is another thing
// every time.
var drawState = rapid.Custom(func(t *rapid.T) switchnet.State {
	_, _, s := drawNet(t)
	return s
})

// fixedDraws is how many of these seeds a test counts over.
const fixedDraws = 100

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
		compareConditions(t, solve(t, s), newOracle(net, s))
	})
}

func compareConditions(t rapid.TB, v *switchnet.View, o *oracle) {
	t.Helper()
	net, s := o.net, v.State()
	listed := 0
	for term, c := range v.Conditions() {
		listed++
		if want := (switchnet.Condition{Rails: o.rails(term), Through: o.through(term)}); c != want {
			t.Errorf("%v: %v is %+v, want %+v", s, term, c, want)
		}
		if one, ok := v.Condition(term); !ok || one != c {
			t.Errorf("%v: Condition(%v) = %v, %v, and Conditions says %v", s, term, one, ok, c)
		}
		forGood := o.flood(term, func(w way) bool { return fixed(w.Kind) })
		for other := range net.Terminals() {
			if got, want := v.Joined(term, other), o.piece(term)[other]; got != want {
				t.Errorf("%v: Joined(%v, %v) = %v, want %v", s, term, other, got, want)
			}
			if got, want := net.Joined(term, other), forGood[other]; got != want {
				t.Errorf("net: Joined(%v, %v) = %v, want %v", term, other, got, want)
			}
		}
	}
	if want := len(slices.Collect(net.Terminals())); listed != want {
		t.Errorf("%d conditions, want %d", listed, want)
	}
	var hazards, want []switchnet.Terminal
	for term, c := range v.Hazards() {
		hazards = append(hazards, term)
		if !c.Hazardous() {
			t.Errorf("%v is listed as a hazard and is %v", term, c)
		}
	}
	for term := range net.Terminals() {
		if !o.rails(term).Lines().Empty() || !o.through(term).Lines().Empty() {
			want = append(want, term)
		}
	}
	if !slices.Equal(hazards, want) {
		t.Errorf("%v: hazards %v, want %v", s, hazards, want)
	}
}

// TestSolverForgets solves states one after the other with one solver, and wants of
// each what a fresh solver says.
func TestSolverForgets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		var devices []switchnet.Device
		for d := range net.Devices() {
			devices = append(devices, d)
		}
		solver := net.NewSolver()
		for range 6 {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			var used, fresh strings.Builder
			if err := errors.Join(describe(&used, v), describe(&fresh, solve(t, s))); err != nil {
				t.Fatal(err)
			}
			sameText(t, fresh.String(), used.String())
			if len(devices) > 0 {
				s = turn(t, s, rapid.SampledFrom(devices).Draw(t, "device"), 1)
			}
		}
	})
}

// tally counts what a comparison met, so that a test can tell that it saw
// something.
type tally struct{ tooMany, seen int }

func (c tally) check(t *testing.T, what string, floor int) {
	t.Helper()
	t.Logf("%d %s; %d states had too many paths to list", c.seen, what, c.tooMany)
	if c.seen < floor {
		t.Errorf("only %d %s, want %d: the test sees too little", c.seen, what, floor)
	}
	if c.tooMany > 5 {
		t.Errorf("%d states had too many paths to list: the test sees too little", c.tooMany)
	}
}

// TestSuppliesAndPathsAgreeWithPathSearch compares what each load gets, and by what
// paths, with the list of all simple paths.
func TestSuppliesAndPathsAgreeWithPathSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		compareSupplies(t, solve(t, s), newOracle(net, s), rapid.IntRange(1, 4).Draw(t, "cap"), new(tally))
	})
	var dim tally
	for i := range fixedDraws {
		s := drawState.Example(i)
		compareSupplies(t, solve(t, s), newOracle(s.Net(), s), 1+i%4, &dim)
	}
	dim.check(t, "loads in series", 5)
}

func compareSupplies(t rapid.TB, v *switchnet.View, o *oracle, most int, dim *tally) {
	t.Helper()
	s := v.State()
	energized, complete := o.energized()
	if !complete {
		dim.tooMany++
		return
	}
	for l := range o.net.Loads() {
		sup, ok := v.Supply(l.Ref)
		want := o.status(l, energized)
		if !ok || sup.Status != want {
			t.Fatalf("%v: %v is %v, want %v", s, l.Ref, sup.Status, want)
		}
		if want == switchnet.Dim {
			dim.seen++
		}
		ends := l.Terminals()
		for i, c := range sup.Ends {
			if at, _ := v.Condition(ends[i]); at != c {
				t.Errorf("%v: end %d of %v is %v, and its terminal is %v", s, i, l.Ref, c, at)
			}
		}
		if volts := o.volts(l, want); sup.Volts != volts {
			t.Errorf("%v: %v gets %v, want %v", s, l.Ref, sup.Volts, volts)
		}
		var paths []switchnet.Path
		for _, p := range energized {
			if passes(p, l.Ref) && want != switchnet.Faulted {
				paths = append(paths, plain(p))
			}
		}
		if (want == switchnet.Lit || want == switchnet.Dim) != (len(paths) > 0) {
			t.Fatalf("%v: %v is %v with %d paths", s, l.Ref, want, len(paths))
		}
		comparePaths(t, v, l.Ref, paths, len(paths)+1)
		comparePaths(t, v, l.Ref, paths, most)
	}
}

// comparePaths asks for at most so many paths and wants the first of those given.
func comparePaths(t rapid.TB, v *switchnet.View, load switchnet.Ref, all []switchnet.Path, most int) {
	t.Helper()
	got, err := v.Paths(load, &switchnet.PathOptions{Max: most})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(all[:min(most, len(all))], got.List); diff != "" {
		t.Fatalf("%v: at most %d paths of %v, -want +got:\n%s", v.State(), most, load, diff)
	}
	if len(all) > most && !got.Truncated || len(all) < most && got.Truncated {
		t.Fatalf("%v: at most %d paths of %v, which has %d: truncated %v", v.State(), most, load, len(all), got.Truncated)
	}
}

// TestShortsAgreeWithPathSearch compares the shorts, the joints of neutral and
// ground, and their witness paths with a list of all the ways between rails.
func TestShortsAgreeWithPathSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, net, s := drawNet(t)
		compareShorts(t, solve(t, s), newOracle(net, s), new(tally))
	})
	var shorted tally
	for i := range fixedDraws {
		s := drawState.Example(i)
		compareShorts(t, solve(t, s), newOracle(s.Net(), s), &shorted)
	}
	shorted.check(t, "states that short", 5)
}

func compareShorts(t rapid.TB, v *switchnet.View, o *oracle, shorted *tally) {
	t.Helper()
	s := v.State()
	o.left = 5 * enumeration
	shorts := slices.Collect(v.Shorts())
	earth := func(a, b switchnet.Rail) bool { return !o.apart(a, b) }
	for _, part := range []struct {
		what string
		got  []switchnet.Short
		want []meeting
	}{
		{"shorts", shorts, o.meetings(o.apart)},
		{"joints of neutral and ground", slices.Collect(v.NeutralToGround()), o.meetings(earth)},
	} {
		if len(part.got) != len(part.want) {
			t.Fatalf("%v: %d %s, want %d: %v", s, len(part.got), part.what, len(part.want), part.got)
		}
		for i, g := range part.got {
			if g.Rails != part.want[i].rails {
				t.Fatalf("%v: %s %d is between %v, want %v", s, part.what, i, g.Rails, part.want[i].rails)
			}
			checkWitness(t, o, g)
			path := o.witness(part.want[i])
			if o.left <= 0 {
				shorted.tooMany++
				return
			}
			if diff := cmp.Diff(plain(path), g.Path); diff != "" {
				t.Fatalf("%v: witness of %s %d between %v, -want +got:\n%s", s, part.what, i, g.Rails, diff)
			}
		}
	}
	if v.Shorted() != (len(shorts) > 0) {
		t.Errorf("%v: Shorted is %v and there are %d shorts", s, v.Shorted(), len(shorts))
	}
	if len(shorts) > 0 {
		shorted.seen++
	}
}

// checkWitness checks that a witness runs from rail to rail by steps that exist,
// over no load, meeting no terminal twice.
func checkWitness(t rapid.TB, o *oracle, s switchnet.Short) {
	t.Helper()
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
