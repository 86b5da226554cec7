package identify_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestSituations: answered truthfully, what is is never ruled out; a session ends in its
// class, or with what no test that is allowed can tell; and whatever is said to be surely
// or never in a box is or is not there.
func TestSituations(t *testing.T) {
	for _, r := range situations {
		t.Run(r.name, func(t *testing.T) { endsInTruth(t, r) })
	}
}

// endsInTruth answers a job truthfully to its end.
func endsInTruth(t *testing.T, r row) {
	t.Helper()
	d := read(t, r)
	c := d.weighed(r)
	w, err := wiring.New(d.spec)
	if err != nil {
		t.Fatal(err)
	}
	s := c.Session()
	n, classes := c.Size()
	power := powered(t, d)
	honest(t, d, w, s, power)
	tests := 0
	status := trace.Searching
	for ; tests < 200; tests++ {
		if status = d.follow(s, 1); status != trace.Searching {
			break
		}
		if tests%3 == 0 {
			honest(t, d, w, s, power)
		}
	}
	honest(t, d, w, s, power)
	v := s.Verdict(classes)
	t.Logf("%d possibilities in %d classes; %d tests; %v with %d possibilities in %d classes, the first %v", n, classes, tests, status, v.Possibilities, v.Classes, v.Fits[0].Likely)
	if status != trace.Found && status != trace.NoTest || !among(t, d, w, v) {
		t.Errorf("ended with %v, and the truth is not left; first: %v %v %v", status, v.Fits[0].Plans, v.Fits[0].Cables, v.Fits[0].Ends)
	}
	v.Fits = v.Fits[:1]
	if !among(t, d, w, v) {
		t.Errorf("the truth is not the first: %v %v %v", v.Fits[0].Plans, v.Fits[0].Cables, v.Fits[0].Ends)
	}
}

// TestOpenAtTheLight: the same jobs with the box of the light open as well.
func TestOpenAtTheLight(t *testing.T) {
	for _, r := range []row{rows[0], rows[1], rows[2], rows[3], rows[4], rowNamed(t, "8 feed in the centre, ends dead"), rowNamed(t, "two circuits in one box"), rowNamed(t, "19 hot and neutral on the throws"), rowNamed(t, "switched neutral")} {
		r.job = strings.Replace(r.job, "open ", "open ceiling ", 1)
		r.name += ", the box of the light open"
		r.sheaths = true
		r.opt.Open = read(t, r).open
		t.Run(r.name, func(t *testing.T) { endsInTruth(t, r) })
	}
}

// TestOneBoxAtATime: with one of the boxes open, what is said of it is true; and whatever
// was done and seen so far holds once the next is open as well, in which case it goes on
// to the end.
func TestOneBoxAtATime(t *testing.T) {
	for _, r := range []row{rows[0], rows[1], rows[2], rows[3], rows[4], rowNamed(t, "switched neutral"), named(t, "old colours"), named(t, "a splice that was boxed over"), named(t, "feed and light at the four-way")} {
		t.Run(r.name, func(t *testing.T) {
			d := read(t, r)
			w, err := wiring.New(d.spec)
			if err != nil {
				t.Fatal(err)
			}
			q, power := d.question(), powered(t, d)
			all := d.open
			var log []identify.Entry
			for n := range all {
				opt := r.opt
				opt.Open = all[:n+1]
				c := newCase(t, &q, &opt)
				s, err := c.Resume(log)
				if err != nil {
					t.Fatal(err)
				}
				d.open = c.Open()
				honest(t, d, w, s, power)
				status := d.follow(s, 100)
				honest(t, d, w, s, power)
				_, classes := c.Size()
				v := s.Verdict(classes)
				if status != trace.Found && status != trace.NoTest || !among(t, d, w, v) {
					t.Fatalf("with %q open: %v, and the truth is not left: %v", c.Open(), status, v.Fits)
				}
				log = s.Log()
			}
		})
	}
}

// honest holds what is said to be surely and never in the boxes against what is there.
func honest(t *testing.T, d *truth, w *wiring.Wiring, s *identify.Session, power map[[2]string]bool) {
	t.Helper()
	for _, box := range d.open {
		in, err := s.In(box)
		if err != nil {
			t.Fatal(err)
		}
		never := map[identify.Function]bool{}
		for _, p := range in.Has {
			if p.Is == identify.Never {
				never[p.Role.Function] = true
			}
		}
		for _, p := range in.Has {
			if p.Role.Function == identify.Ground {
				continue
			}
			is := false
			for _, u := range in.Ends {
				is = is || d.isRole(p.Role, d.role(w, u.End))
			}
			// Package wiring knows no link of commons and no return.
			also := map[identify.Function]identify.Function{identify.Traveler: identify.CommonLink, identify.SwitchLeg: identify.Return}
			other, two := also[p.Role.Function]
			apart := p.Role.Function == identify.CommonLink || p.Role.Function == identify.Return || p.Role.For != ""
			switch {
			case p.Is == identify.Surely && !is:
				t.Fatalf("in %s %v, and there is none", box, p)
			case p.Is == identify.Never && is && !apart && !(two && !never[other]):
				t.Fatalf("in %s %v, and there is one", box, p)
			}
		}
		for _, p := range in.Controls {
			feed := d.spec.Feeds[0].Name
			for _, f := range d.spec.Feeds {
				if f.Name == p.Control {
					feed = f.Name
				}
			}
			is := power[[2]string{box, feed}]
			if p.Is == identify.Surely && !is || p.Is == identify.Never && is {
				t.Fatalf("in %s %v, and that there is some is %v", box, p, is)
			}
		}
	}
}

// powered returns in which boxes there is power of which feed for an electronic device.
func powered(t *testing.T, d *truth) map[[2]string]bool {
	t.Helper()
	id := "us-2023"
	if strings.Contains(d.spec.Cables[0].Type.Name, "mm2") {
		id = "uk-2018"
	}
	region, err := rules.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	out := map[[2]string]bool{}
	for _, box := range d.open {
		for _, f := range d.spec.Feeds {
			out[[2]string{box, f.Name}] = balanced(t, d.spec, &region.Conductor, d.own, f.Name, box)
		}
	}
	return out
}

// named returns the situation of a name.
func named(t testing.TB, name string) row {
	t.Helper()
	i := slices.IndexFunc(situations, func(r row) bool { return r.name == name })
	if i < 0 {
		t.Fatalf("no situation %q", name)
	}
	return situations[i]
}

// TestCutSpare: a spare conductor that somebody cut in the wall is found open from end to
// end. That is no contradiction, and is said; a cut conductor that is in use is one.
func TestCutSpare(t *testing.T) {
	d := read(t, named(t, "a conductor cut in the wall"))
	q := d.question()
	c := newCase(t, &q, &identify.Options{Unusual: 1})
	for _, inUse := range []bool{false, true} {
		s := c.Session()
		for _, b := range []string{"foot", "head"} {
			if err := s.Recall(d.inBox(s, b), 0); err != nil {
				t.Fatal(err)
			}
		}
		do(t, s, identify.LockOut, "")
		for _, b := range []string{"foot", "head"} {
			do(t, s, identify.ProveDead, b)
			do(t, s, identify.TakeApart, b)
		}
		open := identify.Continuity{Between: [2]switchnet.Terminal{wire("T.blue").In("foot"), wire("T.blue").In("head")}}
		if open.Found = d.path(s, open); open.Found != trace.Open {
			t.Fatalf("a cut conductor is %v", open.Found)
		}
		if err := s.Observe(open); err != nil {
			t.Fatal(err)
		}
		v := s.Verdict(1)
		if v.Status == trace.Contradiction || len(v.Fits[0].Cut) != 1 || len(v.Fits[0].Against) > 0 {
			t.Errorf("a spare was cut: %v, cut %v", v.Status, v.Fits[0].Cut)
		}
		if got := likely(t, s, "foot", "T.blue", identify.Spare); got < 99*quantity.Percent {
			t.Errorf("the cut conductor is spare at %v", got)
		}
		if inUse {
			open.Between = [2]switchnet.Terminal{wire("T.red").In("foot"), wire("T.red").In("head")}
			if err := s.Observe(open); err != nil {
				t.Fatal(err)
			}
			v := s.Verdict(1)
			if v.Status != trace.Contradiction {
				t.Errorf("a traveler was cut: %v", v.Status)
			}
			in, err := s.In("head")
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range in.Has {
				if p.Role.Function != identify.Ground && p.Is != identify.Possibly {
					t.Errorf("nothing gives all of it, and %v", p)
				}
			}
		}
	}
}
