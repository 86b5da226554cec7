package trace_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// told returns the session of a case: the job as it is meant to be, and what was told.
func told(t *testing.T, jobName, reports string, opt *trace.Options) *trace.Session {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", "cases", jobName+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	c := newCase(t, read(t, jobName+".yaml", src), opt)
	s := c.Session()
	text, err := os.ReadFile(filepath.Join("testdata", "cases", reports+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	words := lines.For(c.Wiring(), c.Points())
	for i, line := range strings.Split(string(text), "\n") {
		if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
			continue
		}
		e, err := words.Read(line, s.Handles())
		if err == nil {
			err = s.Enter(e)
		}
		if err != nil {
			t.Fatalf("%s.txt:%d: %v", reports, i+1, err)
		}
	}
	return s
}

// first reports whether a cause that says this is in the likeliest class.
func first(v trace.Verdict, what string) bool {
	return len(v.Fits) > 0 && says(trace.Verdict{Fits: v.Fits[:1]}, what)
}

// without returns the faults of a job without those of some kinds.
func without(kinds ...miswire.Kind) func(*wiring.Wiring) []miswire.Fault {
	return func(w *wiring.Wiring) []miswire.Fault {
		return slices.DeleteFunc(miswire.List(w), func(f miswire.Fault) bool { return slices.Contains(kinds, f.Kind) })
	}
}

func replaced(refs ...switchnet.Ref) *trace.Priors {
	p := trace.DefaultPriors()
	p.Right, p.Replaced = 0, refs
	return &p
}

// marked are the weights where the handle of a device says on and off: it is a single-pole
// in the place of a device with more screws, if it is not what the drawing says.
func marked(ref switchnet.Ref) *trace.Priors {
	p := replaced(ref)
	p.Kinds[miswire.WrongDevice] = 1000
	return p
}

// worn are the weights for what worked until it stopped.
func worn() *trace.Priors {
	p := trace.WornPriors()
	return &p
}

func swap(box, device, a, b string) wiring.Edit {
	return wiring.SwapTerminals{Box: box, A: wiring.Joint{Device: device, Terminal: a}, B: wiring.Joint{Device: device, Terminal: b}}
}

// TestCases are troubles that people had, each with the job as it was meant to be and
// what they told: what a session must still hold possible, what it must put first where
// what was told singles it out, what it must not hold possible, and what it must say of
// the advice they got.
func TestCases(t *testing.T) {
	for _, r := range troubles() {
		t.Run(r.job+"/"+r.reports, func(t *testing.T) {
			opt := &trace.Options{Priors: r.priors}
			if r.faults != nil {
				src, err := os.ReadFile(filepath.Join("testdata", "cases", r.job+".yaml"))
				if err != nil {
					t.Fatal(err)
				}
				opt.Faults = r.faults(read(t, r.job, src))
			}
			s := told(t, r.job, r.reports, opt)
			if r.status == trace.Contradiction && (len(r.holds)+len(r.out) > 0 || r.first != "" || r.cures != "") {
				t.Fatal("of what no single fault gives nothing can be held here")
			}
			// What a session must not hold proves nothing if it never could.
			for _, what := range slices.Concat(r.holds, r.out) {
				if !slices.ContainsFunc(s.Case().Classes(), func(k trace.Class) bool { return says(trace.Verdict{Fits: []trace.Fit{{Class: k}}}, what) }) {
					t.Errorf("%q is nothing that this session ever reckons with", what)
				}
			}
			v := verdict(t, s)
			if want := r.status; want != 0 && v.Status != want || want == 0 && v.Status == trace.Contradiction {
				t.Errorf("%v, want %v: %s", v.Status, want, r.why)
			}
			for _, what := range r.holds {
				if !says(v, what) {
					t.Errorf("%q is out, %v: %s", what, v.Status, r.why)
				}
			}
			for _, what := range r.out {
				if says(v, what) {
					t.Errorf("%q is left: %s", what, r.why)
				}
			}
			if r.first != "" && !first(v, r.first) {
				t.Errorf("%q is not first, but %s: %s", r.first, &v.Fits[0].Class, r.why)
			}
			if r.cures != "" {
				j, err := s.Judge(context.Background(), r.advice...)
				if err != nil {
					t.Fatal(err)
				}
				trips := r.cures == "trips"
				if (j.Cures == 0) != (trips || r.cures == "never") || j.Cures > 99*sure/100 || trips != (j.Trips > 99*sure/100) {
					t.Errorf("the advice cures %s, looks right %s, leaves %s, trips %s, cannot %s; want %s: %s\n%v", j.Cures, j.LooksRight, j.Leaves, j.Trips, j.Cannot, r.cures, r.why, j.By)
				}
			}
			if slices.ContainsFunc(s.Log(), func(e trace.Entry) bool {
				o, ok := e.Report.Of.(trace.InUse)
				return ok && o.Tripped
			}) {
				if err := s.Do(trace.Action{Do: trace.Energize}); broken(err) != trace.OneTrip {
					t.Errorf("to go on trying is refused by %q", err)
				}
				if a := next(t, s); a.Test.Kind != trace.DeadTest {
					t.Errorf("after a trip %v is proposed", a.Test.Kind)
				}
			}
		})
	}
}

// TestNewIsNotWorn: of a device that was lately replaced, all that is done with its screws
// is likelier than at another, and that it is worn is not.
func TestNewIsNotWorn(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("testdata", "cases", "stair-pair.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	shares := map[string]quantity.Ratio{}
	for _, k := range newCase(t, read(t, "stair-pair.yaml", src), &trace.Options{Priors: replaced(switchnet.Ref{Place: "hall", Name: "stair"})}).Classes() {
		for _, x := range k.Causes {
			shares[x.String()] = x.Share
		}
	}
	for what, factor := range map[string]quantity.Ratio{
		"stair.common and stair.traveler 1 are exchanged in box ":                                      10,
		"stair is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box ": 10,
		"C2.black is on stair.common in box ":                                                          10,
		"C2.black and C2.white are exchanged in box ":                                                  10,
		"stair: common does not join traveler 1 when up in box ":                                       1,
		"stair: common is welded to traveler 1 in box ":                                                1,
		"stair: stuck up in box ":                                                                      1,
	} {
		a, b := shares[what+"hall"], shares[what+"landing"]
		if b == 0 || a < factor*b-factor || a > factor*b+factor { // each is rounded
			t.Errorf("%q: %s at the new device and %s at the other; want %d times as much", what, a, b, factor)
		}
	}
}

// TestCasesOfTwo are the troubles that no single fault gives: pairs that do, and what the
// advice that was given makes of the pair that it was.
func TestCasesOfTwo(t *testing.T) {
	storeDoor := func(w, terminal string) wiring.Edit {
		return wiring.MoveLanding{End: wiring.End{Box: "store-door", Wire: wiring.Wire{Cable: w, Conductor: "black"}}, Device: "aisle", Terminal: terminal}
	}
	for _, r := range []struct {
		job, reports, why string
		faults            func(*wiring.Wiring) []miswire.Fault
		boxes             []string // of which each pair found has two
		want              string   // a pair that must be there
		advice            []wiring.Edit
		cured, left       []string // the lights that the advice cures, and that it leaves as they are
	}{
		{job: "stair-three-places", reports: "relit-from-one-only", why: "two devices of the three",
			faults: without(miswire.WrongDevice, miswire.ContactDead, miswire.ContactWelded, miswire.DeviceStuck), boxes: []string{"hall", "passage", "landing"},
			want:   "stair.common and stair.traveler 1 are exchanged in box hall, and stair.common and stair.traveler 2 are exchanged in box landing",
			advice: []wiring.Edit{swap("passage", "stair", "pair 1 second", "pair 2 second")}, left: []string{"stair light"}},
		{job: "aisle-and-bench", reports: "lit-in-three-of-four", why: "the feed on a traveler too, and the bench off the feed on the other",
			want:   "C2.black is on aisle.common in box store-door, and C4.black is on aisle.traveler 2 in box store-door",
			advice: []wiring.Edit{storeDoor("C2", "traveler 1")}, cured: []string{"aisle light"}, left: []string{"bench lamp"}},
		{job: "aisle-four-lights", reports: "three-stay-lit", why: "in the box that was made up by a drawing: the leg in with the neutrals, the red in with the hot",
			faults: func(w *wiring.Wiring) []miswire.Fault {
				return slices.DeleteFunc(miswire.List(w), func(f miswire.Fault) bool { return f.Box != "aisle-4" })
			},
			want: "C5.black is on light 4.neutral in box aisle-4, and C4.red is in the splice of C4.black in box aisle-4"},
	} {
		src, err := os.ReadFile(filepath.Join("testdata", "cases", r.job+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		opt := &trace.Options{}
		if r.faults != nil {
			opt.Faults = r.faults(read(t, r.job, src))
		}
		s := told(t, r.job, r.reports, opt)
		out, err := s.Doubles(context.Background(), &trace.DoubleOptions{Enough: 12})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d of %d tried, %d fit", r.reports, out.Tried, out.Of, len(out.Fits))
		if !slices.ContainsFunc(out.Fits, func(x trace.Double) bool { return x.String() == r.want }) {
			t.Errorf("%s: %q is not found: %s", r.reports, r.want, r.why)
		}
		for i, x := range out.Fits {
			c, w := s.Case(), s.Case().Wiring()
			bad, err := w.Apply(slices.Concat(x.Causes[0].Fault.Edits, x.Causes[1].Fault.Edits)...)
			if err != nil {
				bad, err = w.Apply(slices.Concat(x.Causes[1].Fault.Edits, x.Causes[0].Fault.Edits)...)
			}
			if err != nil {
				t.Fatal(err)
			}
			cure, err := c.CureDouble(x)
			if err != nil {
				t.Fatal(err)
			}
			good, err := bad.Apply(cure.Edits...)
			if err != nil || i < 3 && !slices.Equal(found(t, good), found(t, w)) {
				t.Errorf("%s: %s: cured, check finds what it does not find in the sound job (%v)", r.reports, x, err)
			}
			a, b := x.Causes[0].Fault.Box, x.Causes[1].Fault.Box
			if r.boxes != nil && (a == b || !slices.Contains(r.boxes, a) || !slices.Contains(r.boxes, b)) {
				t.Errorf("%s: %s is not in two boxes of %v", r.reports, x, r.boxes)
			}
			if x.String() == r.want && r.advice != nil {
				advised, err := bad.Apply(r.advice...)
				if err != nil {
					t.Fatal(err)
				}
				for _, l := range r.cured {
					if got, want := lit(t, advised, l), lit(t, w, l); got != want {
						t.Errorf("%s: as advised, %s is lit in %s and should be in %s", r.reports, l, got, want)
					}
				}
				for _, l := range r.left {
					if got, want := lit(t, advised, l), lit(t, w, l); got == want {
						t.Errorf("%s: the advice cures %s, which it leaves wrong", r.reports, l)
					}
				}
			}
		}
	}
}

// lit returns in which of all states a light is lit, by package switchnet.
func lit(t *testing.T, w *wiring.Wiring, light string) string {
	t.Helper()
	states, _, err := w.Net().States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver, out := w.Net().NewSolver(), ""
	for s := range states {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		for l := range w.Net().Loads() {
			if l.Ref.Name == light {
				x, _ := v.Supply(l.Ref)
				out += map[bool]string{true: "1", false: "0"}[x.Status == switchnet.Lit]
			}
		}
	}
	return out
}

// TestCaseOfTheFourWay goes on with the middle device that rules the others: the wires of
// its right-hand screws were exchanged, and nothing changed. That leaves the two ways of
// mixing its pairs that such an exchange mixes anew, and one exchange cures both, of two
// wires of different cables.
func TestCaseOfTheFourWay(t *testing.T) {
	s := told(t, "stair-three-places", "middle-rules", &trace.Options{Priors: replaced(switchnet.Ref{Place: "passage", Name: "stair"})})
	outcomes := func(a, b string) map[string]trace.Outcome {
		j, err := s.Judge(context.Background(), swap("passage", "stair", a, b))
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]trace.Outcome{}
		for _, x := range j.By {
			out[x.Cause.String()] = x.Does
		}
		return out
	}
	tried, cure := outcomes("pair 1 second", "pair 2 second"), outcomes("pair 1 second", "pair 2 first")
	for cause, does := range map[string]trace.Outcome{
		"stair.pair 1 first and stair.pair 2 second are exchanged in box passage":  trace.WouldNotCure,
		"stair.pair 1 second and stair.pair 2 first are exchanged in box passage":  trace.WouldNotCure,
		"stair.pair 1 first and stair.pair 2 first are exchanged in box passage":   trace.WouldCure,
		"stair.pair 1 second and stair.pair 2 second are exchanged in box passage": trace.WouldCure,
	} {
		if tried[cause] != does {
			t.Errorf("%s: the right-hand screws exchanged %s, want %s", cause, tried[cause], does)
		}
		if want := trace.WouldCure + trace.WouldNotCure - does; cure[cause] != want {
			t.Errorf("%s: one wire of either cable exchanged %s, want %s", cause, cure[cause], want)
		}
	}
	if len(tried) != 4 {
		t.Errorf("%d causes are left: %v", len(tried), tried)
	}
}

// TestCaseOfTheWalk holds the shortest walks against the list of single faults alone.
func TestCaseOfTheWalk(t *testing.T) {
	for places, want := range map[int]int{2: 3, 3: 7, 4: 7} {
		w, err := newCase(t, chain(t, places), &trace.Options{NoDead: true, NoLive: true}).Walk(context.Background(), nil)
		if err != nil || len(w.Flips) != want || !w.Shortest {
			t.Errorf("%d places: %d flips, shortest %v, %v; want %d", places, len(w.Flips), w.Shortest, err, want)
		}
	}
}
