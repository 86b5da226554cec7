package identify_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// TestModel: what a possibility makes of the ohmmeter and the voltmeter is what package
// switchnet makes of a job that is wired so, with the boxes as found, with devices off,
// with one box apart, and with all of them.
func TestModel(t *testing.T) {
	compared := 0
	for _, r := range rows {
		d := read(t, r)
		c := d.weighed(r)
		n, _ := c.Size()
		for _, stages := range [][]identify.Do{{}, {identify.TakeOff}, {identify.TakeApart}} {
			for _, boxes := range [][]string{c.Open()[:1], c.Open()} {
				s := c.Session()
				do(t, s, identify.LockOut, "")
				for _, b := range boxes {
					do(t, s, identify.ProveDead, b)
					for _, x := range stages {
						do(t, s, x, b)
					}
				}
				// Possibilities all through the list, a prime apart.
				for i := 0; i < n; i += max(n/5, 1) {
					spec, own, ok := identify.Realise(c, i)
					if !ok {
						continue
					}
					j := &truth{t: t, spec: spec, open: d.open, own: own}
					compare(t, s, i, j, [2]int{}, nil)
					// With a feed off, and with two ends of one box twisted together.
					compare(t, s, i, j, [2]int{}, []string{spec.Feeds[i%len(spec.Feeds)].Name})
					if ends := c.Ends(); ends[0].Box == ends[2].Box {
						compare(t, s, i, j, [2]int{0, 2}, nil)
					}
					compared++
					if t.Failed() {
						t.Fatalf("%s, possibility %d: %v", r.name, i, identify.Key(c, i))
					}
				}
			}
		}
	}
	if compared < 500 {
		t.Errorf("%d possibilities were compared", compared)
	}
}

func do(t testing.TB, s *identify.Session, what identify.Do, box string) {
	t.Helper()
	if err := s.Do(what, box); err != nil {
		t.Fatal(err)
	}
}

// compare compares the model of a possibility with a job that is wired so.
func compare(t *testing.T, s *identify.Session, i int, d *truth, tie [2]int, off []string) {
	t.Helper()
	ends := s.Case().Ends()
	var tied [][2]wiring.End
	if tie[0] != tie[1] {
		tied = [][2]wiring.End{{ends[tie[0]], ends[tie[1]]}}
	}
	// The feeds are numbered by name, all being in one panel.
	names := []string{}
	for _, f := range d.spec.Feeds {
		names = append(names, f.Name)
	}
	slices.Sort(names)
	mask := uint16(0)
	for _, n := range off {
		mask |= 1 << slices.Index(names, n)
	}
	shorted := d.view(s, tied, true, off, false).Shorted()
	// Through a switch that stands in its box it may be one too, and is refused.
	switches := slices.ContainsFunc(s.Stages(), func(x identify.BoxStage) bool { return x.Stage == identify.Found })
	if got := identify.Bolts(s, i, tie); tied != nil && got != shorted && (got || !switches) {
		t.Errorf("%v twisted together: a bolted fault %v, and the model says otherwise", tied, shorted)
	}
	for a := range ends {
		for b := range ends {
			if a == b {
				continue
			}
			pa, pb := ends[a].Wire.In(ends[a].Box), ends[b].Wire.In(ends[b].Box)
			paths, volts, between := identify.Model(s, i, a, b, tie, mask)
			o := identify.Continuity{Between: [2]switchnet.Terminal{pa, pb}, Tied: tied}
			if got := d.path(s, o); paths[got-1] == 0 {
				t.Errorf("%v: the model has %v", got, paths)
				t.Logf("%v and %v", ends[a], ends[b])
				return
			}
			if shorted {
				continue // nothing is read then
			}
			check := func(shown quantity.Voltage, want [4]float64, what string) {
				l := identify.None
				switch shown {
				case 120 * quantity.Volt:
					l = identify.OneLine
				case 208 * quantity.Volt, 240 * quantity.Volt:
					l = identify.TwoLines
				}
				if want[l] == 0 {
					t.Errorf("%s shows %v: the model has %v", what, shown, want)
					t.Logf("%v and %v", ends[a], ends[b])
				}
			}
			if b == (a+1)%len(ends) {
				check(d.volts(s, identify.Test{Between: [2]switchnet.Terminal{pa, identify.Outside()}, Tied: tied, Off: off}), volts, "to ground")
			}
			check(d.volts(s, identify.Test{Between: [2]switchnet.Terminal{pa, pb}, Tied: tied, Off: off}), between, "between two")
		}
	}
}

// TestOnce: no possibility is there twice.
func TestOnce(t *testing.T) {
	for _, r := range rows {
		d := read(t, r)
		c := d.weighed(r)
		n, _ := c.Size()
		if n > 5_000 {
			n = 5_000
		}
		seen := map[string]int{}
		for i := range n {
			k := identify.Key(c, i)
			if j, ok := seen[k]; ok {
				t.Fatalf("%s: possibilities %d and %d are the same: %s", r.name, j, i, k)
			}
			seen[k] = i
		}
	}
}

// TestSureties: what is surely, possibly and never in a box is what all, some and none of
// the remaining possibilities say, counted one by one.
func TestSureties(t *testing.T) {
	for _, r := range rows {
		d := read(t, r)
		c := d.weighed(r)
		s := c.Session()
		n, _ := c.Size()
		if n > 20_000 {
			continue // it takes a while, and nothing about it is new
		}
		for _, b := range c.Open() {
			for range 2 {
				in, err := s.In(b)
				if err != nil {
					t.Fatal(err)
				}
				brute(t, s, n, in)
				if err := s.Recall(d.inBox(s, b), 0); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

func brute(t *testing.T, s *identify.Session, n int, in identify.Contents) {
	t.Helper()
	count, all := map[identify.Role]int{}, 0
	ends := s.Case().Ends()
	for i := range n {
		if !identify.Remains(s, i) {
			continue
		}
		all++
		here := map[identify.Role]bool{}
		for e, x := range ends {
			if x.Box == in.Box {
				here[identify.RoleOf(s, i, e)] = true
			}
		}
		for r := range here {
			if r.Function != identify.Neutral {
				continue
			}
			// Whatever is a neutral of a feed counts as its neutral.
			for of := range strings.SplitSeq(r.Of, " and ") {
				here[identify.Role{Function: identify.Neutral, Of: of}] = true
			}
		}
		for r := range here {
			count[r]++
		}
	}
	said := map[identify.Role]bool{}
	for _, p := range in.Has {
		said[p.Role] = true
		if p.Role.Function == identify.Ground {
			continue
		}
		want := identify.Possibly
		switch count[p.Role] {
		case 0:
			want = identify.Never
		case all:
			want = identify.Surely
		}
		if p.Is != want {
			t.Errorf("box %s: %v, and %d of %d have it", in.Box, p, count[p.Role], all)
		}
	}
	for r := range count {
		if !said[r] {
			t.Errorf("box %s does not speak of %v", in.Box, r)
		}
	}
}

// TestNoise: with one wrong answer at less than full confidence the truth stays ranked.
func TestNoise(t *testing.T) {
	for _, r := range rows[:6] {
		d := read(t, r)
		c := d.weighed(r)
		w, err := wiring.New(d.spec)
		if err != nil {
			t.Fatal(err)
		}
		s := c.Session()
		lie := identify.Obeys{Control: "stair", Box: "s1", Does: false}
		if err := s.Recall(lie, 70*quantity.Percent); err != nil {
			t.Fatal(err)
		}
		for _, b := range c.Open() {
			if err := s.Recall(d.inBox(s, b), 95*quantity.Percent); err != nil {
				t.Fatal(err)
			}
		}
		v := s.Verdict(50)
		if !among(t, d, w, v) {
			t.Errorf("%s: the truth is not among the first 50 of %d", r.name, v.Classes)
		}
		for _, f := range v.Fits {
			x := identify.Verdict{Fits: []identify.Fit{f}}
			if among(t, d, w, x) && !slices.Contains(f.Against, 0) {
				t.Errorf("%s: nothing is said of the report that does not fit: %v", r.name, f.Against)
			}
		}
	}
}
