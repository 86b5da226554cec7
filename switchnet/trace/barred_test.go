package trace_test

import (
	"slices"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
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
		{"the lights alone sort what they can into one class, which the ohmmeter would part", trace.Options{NoDead: true, NoLive: true}, "hall.common and hall.traveler 1 are exchanged in box place-1", trace.LeftOut},
		{"of what alone is reckoned with there is nothing to part", trace.Options{NoDead: true, NoLive: true, Faults: only(t, w, "hall.common and hall.traveler 1 are exchanged in box place-1")}, "hall.common and hall.traveler 1 are exchanged in box place-1", 0},
		{"where nothing shows, that is one class too", trace.Options{NoDead: true, NoLive: true}, "C0.black and C0.white are exchanged in box place-1", trace.LeftOut},
		{"a neutral that touches the ground shows only with the neutrals lifted", trace.Options{NoDead: true, Faults: only(t, w, "C2.white and C2.bare touch in box ceiling")}, "C2.white and C2.bare touch in box ceiling", trace.LeftOut},
	} {
		s := newCase(t, w, &r.opt).Session()
		v, _, _ := follow(t, s, newWorld(t, w, fault(t, w, r.world).Edits, nil), []switchnet.Ref{lamp})
		a := next(t, s)
		if (a.Status == trace.NoTest) != (len(v.Fits) > 1) || r.want == 0 && len(a.Refused) > 0 {
			t.Errorf("%s: %v with %d classes, refused: %v", r.why, a.Status, len(v.Fits), trace.SayRefused(a.Refused))
		}
		if r.want != 0 && (!slices.ContainsFunc(a.Refused, func(x trace.Refusal) bool { return x.Rule == r.want })) {
			t.Errorf("%s: %v, %v", r.why, a.Status, trace.SayRefused(a.Refused))
		}
	}
}

// only returns one fault of a job.
func only(tb testing.TB, w *wiring.Wiring, what string) []miswire.Fault {
	return []miswire.Fault{fault(tb, w, what)}
}

// TestDoubtfulReadingsEnd holds that a session does not read again and again what a light
// lets through or not, in the hope that it once comes out otherwise; and that nobody is
// told to put a known live source over what is meant to be hot.
func TestDoubtfulReadingsEnd(t *testing.T) {
	w := cottage(t)
	var some []miswire.Fault
	for i, x := range miswire.List(w) {
		if i%60 == 0 {
			some = append(some, x)
		}
	}
	s := newCase(t, w, &trace.Options{Faults: some, NoDead: true}).Session()
	readings := 0
	for {
		a := next(t, s)
		if a.Status != trace.Searching {
			break
		}
		if a.Test.Kind == trace.LiveReading || a.Test.Kind == trace.TryReference {
			if readings++; readings > 10 {
				t.Fatalf("%s is reading %d; %d classes remain", a.Test, readings, len(verdict(t, s).Fits))
			}
			if black := a.Test.Between[1]; black.Name == "line" || black.Name == "load" || black.Name == "common" {
				t.Errorf("%s: a known live source over what is meant to be hot", a.Test)
			}
		}
		answers, err := s.Answers(a.Test)
		if err != nil {
			t.Fatal(err)
		}
		likeliest := answers[0]
		for _, x := range answers {
			if x.Likely > likeliest.Likely {
				likeliest = x
			}
		}
		if err := s.Answer(a.Test, likeliest.Of, sure); err != nil {
			t.Fatal(err)
		}
	}
	if readings == 0 {
		t.Error("nothing was read")
	}
}

// TestLawWhatIsLeftIsExplained follows causes of the cottage by sessions that leave sorts of
// test out: none is lost, each ends, and where several classes are left it is said what
// would tell and what forbids it.
func TestLawWhatIsLeftIsExplained(t *testing.T) {
	w := cottage(t)
	lights := everyLight(w)
	whole := map[string]trace.Class{} // by cause
	for _, k := range newCase(t, w, nil).Classes() {
		for _, x := range k.Causes {
			whole[x.String()] = k
		}
	}
	parted := map[bool]int{}
	for _, r := range []struct {
		opt trace.Options
		why string
	}{
		{trace.Options{NoDead: true}, "nobody has an ohmmeter"},
		{trace.Options{NoLive: true}, "nobody may read a live circuit"},
		{trace.Options{NoDead: true, NoLive: true}, "boxes stay closed"},
	} {
		c := newCase(t, w, &r.opt)
		classes := c.Classes()
		step := 23
		if *long {
			step = 1
		}
		for i := 0; i < len(classes); i += step {
			k := classes[i]
			s := c.Session()
			v, tests, _ := follow(t, s, newWorld(t, w, k.Causes[0].Fault.Edits, mounted(w, i)), lights)
			if !holds(v, k) || tests > 50 {
				t.Errorf("%s: %s: held %v after %d tests", r.why, &k, holds(v, k), tests)
			}
			if len(v.Fits) == 1 {
				// Its causes are one class in every test there is, or it is said what would part them.
				part := false
				for _, x := range k.Causes {
					part = part || !slices.ContainsFunc(whole[k.Causes[0].String()].Causes, func(y trace.Cause) bool { return y.String() == x.String() })
				}
				if a := next(t, s); part != (len(a.Refused) == 1 && a.Refused[0].Rule == trace.LeftOut) {
					t.Errorf("%s: %s: another test parts them: %v; refused: %v", r.why, &k, part, trace.SayRefused(a.Refused))
				}
				parted[part]++
				continue
			}
			if !r.opt.NoDead {
				t.Errorf("%s: %s: %d classes are left", r.why, &k, len(v.Fits))
			}
			if a := next(t, s); a.Status != trace.NoTest || len(a.Refused) == 0 || a.Cut {
				t.Errorf("%s: %s: %d classes are left, %v, refused %v, cut %v", r.why, &k, len(v.Fits), a.Status, trace.SayRefused(a.Refused), a.Cut)
			}
		}
	}
	if parted[true] == 0 || parted[false] == 0 {
		t.Errorf("of classes that are left alone, parted by what is left out or not: %v", parted)
	}
}
