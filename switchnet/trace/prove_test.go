package trace_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// passes takes the readings of a check in a world, and says whether they are those of a
// sound job.
func (d *world) passes(x trace.Check, handles trace.Setting) bool {
	d.tb.Helper()
	o := d.ohms(trace.Continuity{At: handles, Between: x.Test.Between, Lifted: x.Test.Lifted})
	if x.Want != 0 {
		return o.Found == x.Want
	}
	moved := append(trace.Setting(nil), handles...)
	for i, h := range moved {
		if h.Switch == x.Both {
			dev, _ := d.drawn.Net().Device(h.Switch)
			n, _ := dev.Kind.Position(h.Position)
			moved[i].Position = dev.Kind.Positions[(n+1)%len(dev.Kind.Positions)].Name
		}
	}
	p := d.ohms(trace.Continuity{At: moved, Between: x.Test.Between, Lifted: x.Test.Lifted})
	for _, w := range x.Wants {
		if w == [2]trace.Path{o.Found, p.Found} {
			return true
		}
	}
	return false
}

// TestProve takes the readings of a proof in a sound job and in faulty ones, by package
// steady, handles mounted and standing this way and that: a sound job passes all, and
// each fault that no flip shows fails one of those that are said to expose it.
func TestProve(t *testing.T) {
	for _, r := range []struct {
		name           string
		w              *wiring.Wiring
		step           int
		checks, hidden int // at most
	}{
		{"2 places", chain(t, 2), 2, 5, 0},
		{"3 places", chain(t, 3), 5, 6, 0},
		{"4 places", chain(t, 4), 11, 7, 0},
		{"cottage", cottage(t), 7, 37, 3},
		{"boat shed", shed(t), 199, 24, 0},
	} {
		if *long {
			r.step = 1
		} else if r.name == "boat shed" {
			continue
		}
		c := newCase(t, r.w, &trace.Options{Filament: everyLight(r.w)})
		p, err := c.Prove(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d checks, fewest %v, %s; %d hidden", r.name, len(p.Checks), p.Fewest, p.Effort, len(p.Hidden))
		if len(p.Checks) > r.checks || len(p.Hidden) > r.hidden {
			t.Errorf("%s: %d checks, %d hidden; want at most %d and %d", r.name, len(p.Checks), len(p.Hidden), r.checks, r.hidden)
		}
		all := settings(t, r.w)
		unseen, n := 0, 0
		for _, k := range c.Classes() {
			if !k.Seen && !k.Sound {
				unseen++
			}
		}
		exposed := 0
		sound := []*world{newWorld(t, r.w, nil, nil), newWorld(t, r.w, nil, mounted(r.w, 5))}
		for i, x := range p.Checks {
			exposed += len(x.Exposes)
			if len(x.Exposes) == 0 || x.Test.Kind != trace.DeadTest {
				t.Errorf("%s: check %d exposes nothing, or is no dead test", r.name, i)
			}
			text := strings.Join(x.Steps(), "\n")
			if !strings.Contains(text, "must find") || i == 0 && !strings.Contains(text, "lock out and tag") {
				t.Errorf("%s: check %d says\n%s", r.name, i, text)
			}
			for m, d := range sound {
				if !d.passes(x, all[(i+5*m)%len(all)]) {
					t.Errorf("%s: a sound job fails check %d: %s", r.name, i, x.Test)
				}
			}
			for _, k := range x.Exposes {
				if n++; n%r.step != 0 {
					continue
				}
				d := newWorld(t, r.w, k.Causes[0].Fault.Edits, mounted(r.w, n))
				for m := range 2 {
					if d.passes(x, all[(n+5*m)%len(all)]) {
						t.Errorf("%s: %s passes check %d, %s", r.name, &k, i, x.Test)
					}
				}
			}
		}
		if exposed+len(p.Hidden) != unseen {
			t.Errorf("%s: %d exposed and %d hidden of %d", r.name, exposed, len(p.Hidden), unseen)
		}
	}
}

// TestProveRefuses holds that a proof needs dead tests, and that it ends with its context.
func TestProveRefuses(t *testing.T) {
	w := chain(t, 2)
	if _, err := newCase(t, w, &trace.Options{NoDead: true}).Prove(context.Background()); err == nil {
		t.Error("proven without a dead test")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := newCase(t, w, nil).Prove(ctx); err == nil {
		t.Error("a context that ended was not noticed")
	}
}

// TestProveFewest compares the number of checks with a search through all sets of
// readings that package steady gives: one fewer does not do.
func TestProveFewest(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, &trace.Options{Filament: []switchnet.Ref{lamp}})
	p, err := c.Prove(context.Background())
	if err != nil || !p.Fewest {
		t.Fatal(p.Fewest, err)
	}
	var unseen []trace.Class
	for _, k := range c.Classes() {
		if !k.Seen && !k.Sound {
			unseen = append(unseen, k)
		}
	}
	all := settings(t, w)
	var fails []map[int]bool // readings failed in every setting, by class
	var pairs [][2]switchnet.Terminal
	points := c.Points()
	for i, a := range points {
		for _, b := range points[i+1:] {
			if a.Place == b.Place || a.Device == b.Device && a.Name == b.Name {
				pairs = append(pairs, [2]switchnet.Terminal{a, b})
			}
		}
	}
	read := func(d *world, n int, at trace.Setting) trace.Path {
		return d.ohms(trace.Continuity{At: at, Between: pairs[n/2], Lifted: n%2 == 1}).Found
	}
	sound := newWorld(t, w, nil, nil)
	want := map[int]trace.Path{}
	for n := range 2 * len(pairs) {
		same := true
		for _, at := range all[1:] {
			same = same && read(sound, n, at) == read(sound, n, all[0])
		}
		if same {
			want[n] = read(sound, n, all[0])
		}
	}
	for _, k := range unseen {
		d := newWorld(t, w, k.Causes[0].Fault.Edits, nil)
		row := map[int]bool{}
		for n, x := range want {
			bad := true
			for _, at := range all {
				bad = bad && read(d, n, at) != x
			}
			if bad {
				row[n] = true
			}
		}
		fails = append(fails, row)
	}
	// covers reports whether so many readings fail every fault from one on.
	var covers func(chosen []int, left int) bool
	covers = func(chosen []int, left int) bool {
		for _, row := range fails {
			if len(row) == 0 || slices.ContainsFunc(chosen, func(n int) bool { return row[n] }) {
				continue
			}
			for n := range row {
				if left > 0 && covers(append(slices.Clone(chosen), n), left-1) {
					return true
				}
			}
			return false
		}
		return true
	}
	if !covers(nil, len(p.Checks)) || covers(nil, len(p.Checks)-1) {
		t.Errorf("%d checks: as many do %v, one fewer %v", len(p.Checks), covers(nil, len(p.Checks)), covers(nil, len(p.Checks)-1))
	}
}
