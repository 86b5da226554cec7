package trace_test

import (
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
)

// TestUnlikelyIsToldApart follows causes to their end of which little is left once lights
// in series looked well lit: no test is expected to tell anything then, and one does.
func TestUnlikelyIsToldApart(t *testing.T) {
	w := shed(t)
	lights := everyLight(w)
	for _, r := range []struct {
		fault string
		which int // of the class's ways to mount the handles
	}{
		{"aisle.common and stair.common are exchanged in box loft", 3},
	} {
		few := slices.DeleteFunc(miswire.List(w), func(f miswire.Fault) bool { return f.Box != "loft" && f.Box != "stair-foot" })
		s := newCase(t, w, &trace.Options{Filament: lights, Faults: few}).Session()
		v, tests, _ := follow(t, s, newWorld(t, w, fault(t, w, r.fault).Edits, mounted(w, r.which)), lights)
		if v.Status != trace.Found || !says(v, r.fault) {
			t.Errorf("%s: %v with %d classes after %d tests", r.fault, v.Status, len(v.Fits), tests)
		}
	}
}

// TestBarred holds that where no test is left it is said which would tell more, and what
// keeps it from being made; and that nothing is said where none would.
func TestBarred(t *testing.T) {
	w := chain(t, 2)
	for _, r := range []struct {
		why   string
		opt   trace.Options
		world string // the fault
		want  trace.Rule
	}{
		{"after a trip nothing is energized, and nobody can test dead", trace.Options{NoDead: true}, "C0.white is on hall.traveler 1 in box place-1", trace.OneTrip},
		{"and with the ohmmeter there is one", trace.Options{NoDead: true}, "C0.white is on hall.traveler 1 in box place-1", trace.LeftOut},
		{"without one the lights alone sort what they can into one class", trace.Options{NoDead: true, NoLive: true}, "hall.common and hall.traveler 1 are exchanged in box place-1", 0},
	} {
		s := newCase(t, w, &r.opt).Session()
		v, _, _ := follow(t, s, newWorld(t, w, fault(t, w, r.world).Edits, nil), []switchnet.Ref{lamp})
		a := next(t, s)
		if r.want == 0 && (v.Status != trace.Found || len(a.Refused) > 0) {
			t.Errorf("%s: %v, refused: %v", r.why, v.Status, trace.SayRefused(a.Refused))
		}
		if r.want != 0 && (a.Status != trace.NoTest || !slices.ContainsFunc(a.Refused, func(x trace.Refusal) bool { return x.Rule == r.want })) {
			t.Errorf("%s: %v, %v", r.why, a.Status, trace.SayRefused(a.Refused))
		}
	}
}
