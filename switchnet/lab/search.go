package lab

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A search finds out which of some wirings practice wiring is, by the test each time
// that tells most: first looks at the lights with the circuit on, as long as one tells
// anything and no possibility that is left would be a bolted fault on the way; then the
// ohmmeter, everything locked out and proven dead. Every possibility counts alike.
type search struct {
	c     comparison
	p     *Practice
	left  []*possible
	at    int // the setting
	tests int
	pairs [][2]switchnet.Terminal // for the ohmmeter
	dead  map[string]bool
}

// possible is one of the wirings.
type possible struct {
	name  int
	w     *wiring.Wiring
	looks []uint64 // by setting
	trips []bool
}

// maxSearched is how many settings there may be for a search.
const maxSearched = 256

// newSearch begins a search for the job drawn: its practice wiring stands with all
// handles at rest.
func newSearch(j *Job, ws []*wiring.Wiring, p *Practice) *search {
	s := &search{c: frameOf(j), p: p, dead: map[string]bool{}}
	nominal := j.Wiring.Spec().Supply.LineToNeutral
	for i, w := range ws {
		x := &possible{name: i, w: w, looks: make([]uint64, s.c.size), trips: make([]bool, s.c.size)}
		s.c.each(w, func(n int, v *switchnet.View) {
			x.trips[n] = v.Shorted()
			d := digest(0)
			for _, l := range s.c.lights {
				b, _ := v.Supply(l)
				d = d.with(uint64(glowOf(b, nominal)))
			}
			x.looks[n] = uint64(d)
		})
		s.left = append(s.left, x)
	}
	return s
}

// keep leaves the possibilities of which something is so.
func (s *search) keep(so func(*possible) bool) {
	s.left = slices.DeleteFunc(s.left, func(x *possible) bool { return !so(x) })
}

// told takes what the sheet says of the breaker: whether it ever opened.
func (s *search) told(tripped bool) {
	s.keep(func(x *possible) bool { return slices.Contains(x.trips, true) == tripped })
}

// saw takes what a look showed in the setting in which the handles are.
func (s *search) saw(o Outcome, tripped bool) {
	d := digest(0)
	for _, l := range s.c.lights {
		i := slices.IndexFunc(o.Lights, func(x trace.Seen) bool { return x.Light == l })
		if i >= 0 {
			d = d.with(uint64(o.Lights[i].Glow))
		}
	}
	s.keep(func(x *possible) bool {
		if tripped || x.trips[s.at] {
			return x.trips[s.at] == tripped
		}
		return x.looks[s.at] == uint64(d)
	})
}

// bits returns how much a test tells whose outcomes fall into classes of these sizes.
func bitsOf(sizes map[uint64]int, of int) float64 {
	// In the order of the sizes, so that sums come out the same.
	var list []int
	for _, n := range sizes {
		list = append(list, n)
	}
	slices.Sort(list)
	b := 0.0
	for _, n := range list {
		p := float64(n) / float64(of)
		b -= p * math.Log2(p)
	}
	return b
}

// run tests until one possibility is left, or no test tells those that are left apart.
func (s *search) run(ctx context.Context) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		if len(s.left) < 2 {
			return nil
		}
		done, err := s.look()
		if err == nil && !done {
			done, err = s.ohms()
		}
		if err != nil || !done {
			return err
		}
		s.tests++
	}
}

// way returns the flips from the setting in which the handles are to another, and
// whether one of them would be a bolted fault under what is left.
func (s *search) way(to int) (flips []switchnet.Ref, risky bool) {
	at, weight := s.at, 1
	for i, r := range s.c.switches {
		k := len(s.c.kinds[i].Positions)
		for at/weight%k != to/weight%k {
			if at/weight%k == k-1 {
				at -= weight * (k - 1)
			} else {
				at += weight
			}
			flips = append(flips, r)
			risky = risky || slices.ContainsFunc(s.left, func(x *possible) bool { return x.trips[at] })
		}
		weight *= k
	}
	return flips, risky
}

// look makes the look that tells most, and reports false if none tells anything.
func (s *search) look() (bool, error) {
	if s.p.Locked() || s.p.Tripped() {
		return false, nil
	}
	best, most := -1, 1e-9
	for n := range s.c.size {
		sizes := map[uint64]int{}
		for _, x := range s.left {
			sizes[x.looks[n]]++
		}
		if b := bitsOf(sizes, len(s.left)); b > most {
			if _, risky := s.way(n); !risky {
				best, most = n, b
			}
		}
	}
	if best < 0 {
		return false, nil
	}
	flips, _ := s.way(best)
	var out Outcome
	var err error
	for _, r := range flips {
		if out, err = s.p.Do(Move{Verb: Flip, Switch: r}); err != nil {
			return false, err
		}
	}
	if len(flips) == 0 {
		if out, err = s.p.Do(Move{Verb: Look}); err != nil {
			return false, err
		}
	}
	s.at = best
	s.saw(out, out.Tripped)
	return true, nil
}

// metal returns, for each terminal, a number that those share which metal joins with
// every breaker off; the neutral and the ground are joined at the service.
func metal(w *wiring.Wiring, handles map[switchnet.Ref]int) func(switchnet.Terminal) int {
	net := w.Net()
	most := int32(0)
	for t := range net.Terminals() {
		if n, ok := net.NetIndex(t); ok {
			most = max(most, int32(n))
		}
	}
	u := unionfind.New(int(most) + 1)
	at := func(t switchnet.Terminal) int32 { n, _ := net.NetIndex(t); return int32(n) }
	for d := range net.Devices() {
		if d.Kind.Breaker {
			continue
		}
		for _, g := range d.Kind.Positions[handles[d.Ref]%len(d.Kind.Positions)].Joins {
			for _, t := range g[1:] {
				u.Union(at(d.Terminal(g[0])), at(d.Terminal(t)))
			}
		}
	}
	service := switchnet.Ref{Name: "service"}
	u.Union(at(service.Terminal("neutral")), at(service.Terminal("ground")))
	return func(t switchnet.Terminal) int { return int(u.Find(at(t))) }
}

// ohms makes the continuity test that tells most, with handles as they are or one of
// them moved, and reports false if none tells anything.
func (s *search) ohms() (bool, error) {
	if s.pairs == nil {
		s.pairs = pairsOf(s.p.Points())
	}
	type found struct {
		to   int
		pair [2]switchnet.Terminal
	}
	var best found
	most := 1e-9
	settings := []int{s.at}
	weight := 1
	for _, k := range s.c.kinds {
		n := len(k.Positions)
		next := s.at + weight
		if s.at/weight%n == n-1 {
			next = s.at - weight*(n-1)
		}
		settings = append(settings, next)
		weight *= n
	}
	for _, to := range settings {
		var labels []func(switchnet.Terminal) int
		for _, x := range s.left {
			labels = append(labels, metal(x.w, s.c.handles(to)))
		}
		for _, pr := range s.pairs {
			joined := 0
			for _, l := range labels {
				if l(pr[0]) == l(pr[1]) {
					joined++
				}
			}
			if joined == 0 || joined == len(s.left) {
				continue
			}
			if b := bitsOf(map[uint64]int{0: joined, 1: len(s.left) - joined}, len(s.left)); b > most+1e-9 {
				best, most = found{to, pr}, b
			}
		}
	}
	if best.pair[0] == best.pair[1] {
		return false, nil
	}
	if !s.p.Locked() {
		if _, err := s.p.Do(Move{Verb: LockOut}); err != nil {
			return false, err
		}
	}
	flips, _ := s.way(best.to)
	for _, r := range flips {
		if _, err := s.p.Do(Move{Verb: Flip, Switch: r}); err != nil {
			return false, err
		}
	}
	s.at = best.to
	for _, t := range best.pair {
		if s.dead[t.Place] {
			continue
		}
		out, err := s.p.Do(Move{Verb: ProveDead, Box: t.Place})
		if err != nil {
			return false, err
		}
		if !out.Shown {
			return false, fmt.Errorf("lab: box %s is live with everything locked out", t.Place)
		}
		s.dead[t.Place] = true
	}
	out, err := s.p.Do(Move{Verb: Continuity, Points: best.pair})
	if err != nil {
		return false, err
	}
	if out.Path == 0 {
		return false, errors.New("lab: the ohmmeter shows nothing")
	}
	s.keep(func(x *possible) bool {
		l := metal(x.w, s.c.handles(s.at))
		return (l(best.pair[0]) == l(best.pair[1])) == (out.Path == trace.Joined)
	})
	return true, nil
}

// pairsOf returns the pairs that an ohmmeter is put between: points of one box, and the
// two ends of a wire, in name order.
func pairsOf(points []switchnet.Terminal) [][2]switchnet.Terminal {
	var out [][2]switchnet.Terminal
	for i, p := range points {
		for _, q := range points[i+1:] {
			if p.Place == q.Place || p.Device == q.Device && p.Name == q.Name && p.Name != "ground" {
				out = append(out, [2]switchnet.Terminal{p, q})
			}
		}
	}
	return out
}
