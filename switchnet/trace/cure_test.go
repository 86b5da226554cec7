package trace_test

import (
	"context"
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// long runs the laws over every class, and not over a sample: some minutes.
var long = flag.Bool("long", false, "follow every cause of every job to its end")

func cottage(tb testing.TB) *wiring.Wiring {
	tb.Helper()
	return read(tb, demo.CottageName, demo.Cottage())
}

// found returns what package check finds, as code and place.
func found(tb testing.TB, w *wiring.Wiring) []string {
	tb.Helper()
	fs, err := check.Run(context.Background(), check.Job{Wiring: w}, check.Everything(nil), &check.Options{NoFixes: true})
	if err != nil {
		tb.Fatal(err)
	}
	var out []string
	for _, f := range fs {
		out = append(out, fmt.Sprint(f.Code, f.Place, f.About))
	}
	return out
}

// TestCureIsChecked holds that every single fault of every job has a cure, and that
// package check finds in what it leaves what it finds in the sound job and no more.
func TestCureIsChecked(t *testing.T) {
	for _, r := range []struct {
		name string
		w    *wiring.Wiring
		step int // how many faults apart are cured, and as many again checked
	}{
		{"2 places", chain(t, 2), 1}, {"3 places", chain(t, 3), 2}, {"4 places", chain(t, 4), 5}, {"boat shed", shed(t), 17}, {"cottage", cottage(t), 7},
	} {
		if *long {
			r.step = 1
		}
		c := newCase(t, r.w, &trace.Options{Faults: miswire.List(r.w)[:1]})
		sound := found(t, r.w)
		for i, f := range miswire.List(r.w) {
			if i%r.step != 0 {
				continue
			}
			cure, err := c.Cure(trace.Cause{Fault: f})
			if err != nil {
				t.Errorf("%s: %s: %v", r.name, f.Says, err)
				continue
			}
			bad, err := f.Apply(r.w)
			if err != nil {
				t.Fatal(err)
			}
			good, err := bad.Apply(cure.Edits...)
			if err != nil {
				t.Errorf("%s: %s: %v", r.name, f.Says, err)
				continue
			}
			if len(cure.Does) == 0 || len(cure.Boxes) == 0 {
				t.Errorf("%s: %s: cured by %q in %v", r.name, f.Says, cure.Does, cure.Boxes)
			}
			if (*long || i%(17*r.step) == 0) && !slices.Equal(found(t, good), sound) {
				t.Errorf("%s: %s: cured, check finds %v; and %v in the sound job", r.name, f.Says, found(t, good), sound)
			}
		}
	}
}

// TestCureSays holds what cures say.
func TestCureSays(t *testing.T) {
	w := chain(t, 3)
	c := newCase(t, w, nil)
	for _, r := range []struct {
		fault string
		want  []string
		why   string
	}{
		{"hall.common and hall.traveler 1 are exchanged in box place-1",
			[]string{"move C0.black from traveler 1 to common of hall in box place-1", "move C1.black from common to traveler 1 of hall in box place-1"},
			"which conductor, from which screw to which"},
		{"C1.red is open", []string{"make C1.red whole between place-1 and place-2"}, "along its run"},
		{"C0.black and C0.white touch in box place-1", []string{"part C0.black and C0.white in box place-1"}, "a tie"},
		{"hall: common does not join traveler 1 when up in box place-3", []string{"replace hall in box place-3 with a sound three-way"}, "a worn contact"},
	} {
		cure, err := c.Cure(trace.Cause{Fault: fault(t, w, r.fault)})
		if err != nil {
			t.Fatal(err)
		}
		if len(cure.Does) != len(r.want) {
			t.Errorf("%s: %q (%s)", r.fault, cure.Does, r.why)
			continue
		}
		for i, want := range r.want {
			if !strings.HasPrefix(cure.Does[i], want) {
				t.Errorf("%s: %q, want %q (%s)", r.fault, cure.Does[i], want, r.why)
			}
		}
		steps := strings.Join(cure.Steps(), "\n")
		for _, want := range []string{"lock out and tag", "prove it dead", "proving walk"} {
			if !strings.Contains(steps, want) {
				t.Errorf("%s: the steps do not say %q:\n%s", r.fault, want, steps)
			}
		}
	}
	if cure, err := c.Cure(trace.Cause{}); err != nil || len(cure.Does) != 0 || cure.Steps() != nil {
		t.Errorf("nothing is wrong, and the cure is %v, %v", cure, err)
	}
	other := fault(t, shed(t), "C1.black is open")
	other.Edits = []wiring.Edit{wiring.Cut{Wire: wiring.Wire{Cable: "C77", Conductor: "red"}}}
	if _, err := c.Cure(trace.Cause{Fault: other}); err == nil {
		t.Error("a fault of another job was cured")
	}
}
