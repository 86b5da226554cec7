package lab

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/bits"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// MaxSettings is how many settings of its switches a job may have for two wirings of it
// to be compared.
const MaxSettings = 4096

// A Judge says in what a wiring of a job differs from the one that is right. It is
// immutable and safe for concurrent use. Make one with NewJudge.
type Judge struct {
	job    *Job
	frame  comparison // without the other wiring
	want   [][]uint64
	before map[string]int // findings of the job's own wiring
}

// NewJudge returns the judge of a job. More settings than MaxSettings are an error, and
// so is a context that ends.
func NewJudge(ctx context.Context, j *Job) (*Judge, error) {
	if j == nil || j.Region == nil || j.Wiring.Check() != nil {
		return nil, errors.New("lab: there is nothing to judge by: the job has no wiring or no region")
	}
	g := &Judge{job: j, before: map[string]int{}}
	if g.frame = frameOf(j); g.frame.size > MaxSettings {
		return nil, fmt.Errorf("lab: the job has more than %d settings of its switches, which is as many as can be compared", MaxSettings)
	}
	g.want = g.frame.signs(j.Wiring)
	found, err := j.findings(ctx, j.Wiring)
	for _, f := range found {
		g.before[findingKey(f)]++
	}
	return g, err
}

// Compare returns in what a wiring differs from that of the job, in sentences: nothing
// if it does all that the job's does and has no hazard or breach beside. The text is for
// reading and not stable.
//
// The two are compared in every setting of their switches: what each light does and
// what its ends are joined to, what every grounding terminal is joined to, and whether
// anything is shorted. The handles of any switches may be turned over, for nobody minds
// which way up is on: exchanged travelers are right. Then package check says what it
// finds in the one and not in the other: metal that is live, currents that do not come
// back in their cable, ends that hang, colours.
//
// First come differences of the settings, at most one a light, then findings in the order
// of package check. It takes time in proportion to the settings, and to the square of
// the settings where handles are turned over. A context that ends is an error.
func (g *Judge) Compare(ctx context.Context, got *wiring.Wiring) ([]string, error) {
	if got.Check() != nil {
		return nil, errors.New("lab: there is no wiring to compare")
	}
	out := g.frame.lacks(got)
	if len(out) == 0 {
		out = g.settings(got)
	}
	after, err := g.job.findings(ctx, got)
	if err != nil {
		return nil, err
	}
	old := maps.Clone(g.before)
	for _, f := range after {
		if k := findingKey(f); old[k] > 0 {
			old[k]--
			continue
		}
		out = append(out, f.Message)
	}
	return out, nil
}

// findings returns what package check finds in a wiring of the job.
func (j *Job) findings(ctx context.Context, w *wiring.Wiring) ([]check.Finding, error) {
	suite := j.suite
	if suite == nil {
		s := check.Everything(j.Region)
		suite = &s
	}
	found, err := check.Run(ctx, check.Job{Wiring: w, Intent: j.Intent}, *suite, &check.Options{NoFixes: true})
	if err != nil {
		return nil, fmt.Errorf("lab: %w", err)
	}
	return found, nil
}

func findingKey(f check.Finding) string {
	return fmt.Sprintf("%s|%s|%s", f.Code, f.Place, f.About)
}

// comparison is what of a job is compared.
type comparison struct {
	switches []switchnet.Ref
	kinds    []switchnet.Kind
	size     int // how many settings there are; more than MaxSettings means too many
	lights   []switchnet.Ref
	grounds  []switchnet.Terminal
}

func frameOf(j *Job) comparison {
	c := comparison{size: 1}
	b := newBench(j.Wiring, &j.Region.Conductor)
	for d := range j.Wiring.Net().Devices() {
		if d.Kind.Breaker || len(d.Kind.Positions) < 2 {
			continue
		}
		c.switches, c.kinds = append(c.switches, d.Ref), append(c.kinds, d.Kind)
		if c.size <= MaxSettings {
			c.size *= len(d.Kind.Positions)
		}
	}
	for l := range j.Wiring.Net().Loads() {
		if !b.inside[l.Ref] {
			c.lights = append(c.lights, l.Ref)
		}
	}
	for t := range j.Wiring.Net().Terminals() {
		if t.Name == "ground" && t.Place != "" {
			c.grounds = append(c.grounds, t)
		}
	}
	return c
}

// lacks returns what of it another wiring lacks.
func (c *comparison) lacks(got *wiring.Wiring) []string {
	var out []string
	for i, r := range c.switches {
		if d, ok := got.Net().Device(r); !ok || len(d.Kind.Positions) != len(c.kinds[i].Positions) {
			out = append(out, fmt.Sprintf("%s is missing, or another device is in its place.", r))
		}
	}
	for _, l := range c.lights {
		if _, ok := got.Net().Load(l); !ok {
			out = append(out, fmt.Sprintf("%s is missing.", l))
		}
	}
	return out
}

// handles returns the handles of a setting by its number, the first switch fastest.
func (c *comparison) handles(n int) map[switchnet.Ref]int {
	out := make(map[switchnet.Ref]int, len(c.switches))
	for i, r := range c.switches {
		k := len(c.kinds[i].Positions)
		out[r] = n % k
		n /= k
	}
	return out
}

// each calls with every setting of a wiring, by its number, solved. The view is good
// until the next.
func (c *comparison) each(w *wiring.Wiring, do func(n int, v *switchnet.View)) {
	net := w.Net()
	solver := net.NewSolver()
	state := net.Rest()
	for n := range c.size {
		// An odometer: only what turns over is set anew.
		for i, m := 0, n; i < len(c.switches) && n > 0; i++ {
			k := len(c.kinds[i].Positions)
			d, _ := net.Device(c.switches[i])
			state, _ = state.With(c.switches[i], d.Kind.Positions[m%k].Name)
			if m%k != 0 {
				break
			}
			m /= k
		}
		v, err := solver.Solve(state)
		if err != nil {
			panic(fmt.Sprintf("lab: a state of another net: %v", err))
		}
		do(n, v)
	}
}

// signs returns for every setting digests of all that is compared, light by light and
// then the rest.
func (c *comparison) signs(w *wiring.Wiring) [][]uint64 {
	out := make([][]uint64, c.size)
	c.each(w, func(n int, v *switchnet.View) {
		row := make([]uint64, 0, len(c.lights)+1)
		for _, l := range c.lights {
			s, _ := v.Supply(l)
			d := digest(0).with(uint64(s.Status))
			for _, e := range s.Ends {
				d = d.rails(e)
			}
			row = append(row, uint64(d))
		}
		d := digest(0)
		for _, t := range c.grounds {
			x, _ := v.Condition(t)
			d = d.rails(x)
		}
		if v.Shorted() {
			d = d.with(1)
		}
		out[n] = append(row, uint64(d))
	})
	return out
}

// A digest takes up numbers one after the other (FNV-1a by words of 64 bits).
type digest uint64

func (d digest) with(n uint64) digest {
	return (d ^ digest(n) ^ 0xcbf29ce484222325) * 0x100000001b3
}

func (d digest) rails(x switchnet.Condition) digest {
	for _, s := range []switchnet.RailSet{x.Rails, x.Through} {
		mask := uint64(0)
		for r := range s.All() {
			mask |= 1 << r
		}
		d = d.with(mask)
	}
	return d
}

// settings compares in every setting, for the handles turned over that suit it best.
func (g *Judge) settings(other *wiring.Wiring) []string {
	c := &g.frame
	want, got := g.want, c.signs(other)
	// The weight in the number of a setting of each switch of two positions.
	var two []int
	w := 1
	for _, k := range c.kinds {
		if len(k.Positions) == 2 {
			two = append(two, w)
		}
		w *= len(k.Positions)
	}
	turned := func(n, mask int) int {
		for k, w := range two {
			if mask>>k&1 == 1 {
				n += w * (1 - 2*(n/w%2))
			}
		}
		return n
	}
	masks := make([]int, 1<<len(two))
	for m := range masks {
		masks[m] = m
	}
	slices.SortStableFunc(masks, func(a, b int) int { return bits.OnesCount(uint(a)) - bits.OnesCount(uint(b)) })
	best, fewest := 0, -1
	for _, mask := range masks {
		few := bits.OnesCount(uint(mask)) <= 1 // the best is looked for among these
		wrong := 0
		for n := range want {
			if slices.Equal(want[n], got[turned(n, mask)]) {
				continue
			}
			if wrong++; !few || fewest >= 0 && wrong >= fewest {
				break
			}
		}
		if wrong == 0 {
			return nil
		}
		if few && (fewest < 0 || wrong < fewest) {
			best, fewest = mask, wrong
		}
	}
	return g.say(other, want, got, func(n int) int { return turned(n, best) })
}

// say tells for each light the first setting in which it differs, and of the rest the
// first.
func (g *Judge) say(other *wiring.Wiring, want, got [][]uint64, turned func(int) int) []string {
	c := &g.frame
	right, wrong := newBench(g.job.Wiring, &g.job.Region.Conductor), newBench(other, &g.job.Region.Conductor)
	var out []string
	for i := range len(c.lights) + 1 {
		for n := range want {
			m := turned(n)
			if want[n][i] == got[m][i] {
				continue
			}
			at := "with " + c.sayHandles(m)
			if i == len(c.lights) {
				what := "a grounding terminal is joined to what it should not be, or to no ground"
				if _, tripped := wrong.look(c.handles(m)); tripped {
					what = "there is a bolted fault"
				}
				out = append(out, fmt.Sprintf("W%s %s.", at[1:], what))
				break
			}
			l := c.lights[i]
			is, should := wrong.does(l, c.handles(m)), right.does(l, c.handles(n))
			if is == should {
				out = append(out, fmt.Sprintf("%s: %s it is %s as it should be, but its ends are exchanged, or one is live that should not be.", l.Name, at, is))
			} else {
				out = append(out, fmt.Sprintf("%s: %s it comes to %s, and should come to %s.", l.Name, at, is, should))
			}
			break
		}
	}
	return out
}

func (c *comparison) sayHandles(n int) string {
	if len(c.switches) == 0 {
		return "no switch moved"
	}
	var out []string
	at := c.handles(n)
	for i, r := range c.switches {
		out = append(out, fmt.Sprintf("%s at %s %s", r.Name, r.Place, c.kinds[i].Positions[at[r]].Name))
	}
	return strings.Join(out, ", ")
}
