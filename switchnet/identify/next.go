package identify

import (
	"context"
	"math"
	"slices"
	"time"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// A TestKind is a sort of test. The zero TestKind is unset.
type TestKind uint8

// The sorts of test, the least dangerous first.
const (
	// AskObeys is a question to whoever uses it: did the lights change whenever that
	// handle was moved? The answer is an Obeys.
	AskObeys TestKind = iota + 1
	// LookInBox is a look at what is spliced with what and landed where. The answer is
	// an InBox.
	LookInBox
	// DeadTest is the ohmmeter between two points, everything locked out. The answer is
	// a Continuity.
	DeadTest
	// LiveReading is a tester that loads the circuit between two points. The answer is a
	// Reading; or, if the reference has to be proven first and fails, a Reference.
	LiveReading
)

var testWords = [...]string{"", "ask", "look", "dead test", "live reading"}

// Live reports whether the circuit is energized in the test.
func (k TestKind) Live() bool { return k == LiveReading }

// String returns the words.
func (k TestKind) String() string { return word(testWords[:], uint8(k), "TestKind") }

// MarshalText writes the words; an unset value is an error.
func (k TestKind) MarshalText() ([]byte, error) { return marshal(testWords[:], uint8(k), "test") }

// UnmarshalText reads the words.
func (k *TestKind) UnmarshalText(text []byte) error { return unmarshal(testWords[:], text, "test", k) }

// A Test is something to do that may tell more.
type Test struct {
	Kind TestKind
	// Box is where it is done, and Control what an AskObeys is about.
	Box, Control string
	// Before lists what has to be done first, in order.
	Before []Action
	// Between are the two probes of a DeadTest, and red and black of a LiveReading.
	Between [2]switchnet.Terminal
	// Tied are the ends to be twisted together; Made says that they are so already.
	Tied [][2]wiring.End
	Made bool
	// Off are the feeds to be off in a LiveReading.
	Off []string
	// Prove says that the black probe's point has first to be tried as a reference; or,
	// in a reading between two conductors, the outside reference.
	Prove bool
	// Bits is how much the answer is expected to tell, Effort what it takes, and Walks how
	// often one goes from box to box for it.
	Bits   float64
	Effort time.Duration
	Walks  int
}

// An Advice is what to do next.
type Advice struct {
	// Status is Searching if there is a Test. Otherwise it says why there is none.
	Status trace.Status
	Test   Test
	// Cut reports that the search met its budget: tests with ends twisted together were
	// left out.
	Cut bool
}

// worth is how many bits a test has to tell to be proposed at all; serves is how many
// bits one with the circuit dead has to tell for a live one to
// wait, and how many a live one has to tell to be worth its danger; stay is how many a
// test in this box has to tell for a walk to wait; and trip is what a walk counts for,
// beside its time, where tests are compared.
const (
	worth     = 1e-4
	serves    = 0.02
	liveWorth = 1e-3
	stay      = 0.1
	trip      = time.Minute
)

// tieWork is how many circuits may be looked at for tests with ends twisted together.
const tieWork = 200_000

// Next returns the test that is expected to tell most about which possibility it is, for
// the effort it takes. Questions and tests with the circuit dead come first: a reading on
// a live circuit is proposed only where none of them tells a fiftieth of a bit, and it
// does. Every walk from box to box counts for a minute more than it takes, and a test in
// the box where the person is comes before any for which to walk, if it
// tells a tenth of a bit. Of equals it is the one with less effort, then the one that is
// less dangerous, then the first in the order of boxes and points. Nothing is proposed
// twice, and nothing that tells less than a two-hundredth of a bit: what such tests would
// still part is so unlikely that reading one of them wrong is likelier. The status is then
// NoTest, and the verdict says what remains.
//
// Information is exact, over all that remains, taking the answer to be right. Conductors
// are taken apart only in a box that was looked into, or of which the wiring states what
// was found. It takes time in proportion to the possibilities times the setups of the
// boxes, and to the tests times the distinct circuits in each.
func (s *Session) Next(ctx context.Context) (Advice, error) {
	v := s.Verdict(1)
	if v.Status != trace.Searching {
		return Advice{Status: v.Status}, nil
	}
	n := &next{s: s, ctx: ctx}
	n.left, _ = s.left()
	if err := n.dead(); err != nil {
		return Advice{}, err
	}
	best := n.best()
	if (best == nil || best.Bits < serves) && !s.c.opt.NoLive && !s.tripped {
		if err := n.live(); err != nil {
			return Advice{}, err
		}
		best = n.best()
	}
	if best == nil {
		return Advice{Status: trace.NoTest, Cut: n.cut}, nil
	}
	return Advice{Status: trace.Searching, Test: *best, Cut: n.cut}, nil
}

// next is the search for a test.
type next struct {
	s     *Session
	ctx   context.Context
	left  []int
	tests []Test
	cut   bool
}

// best returns the test to propose, nil if none tells anything.
func (n *next) best() *Test {
	here := slices.ContainsFunc(n.tests, func(t Test) bool { return n.here(&t) && t.Bits >= stay })
	live := !slices.ContainsFunc(n.tests, func(t Test) bool { return !t.Kind.Live() && t.Bits >= serves })
	var best *Test
	for i := range n.tests {
		t := &n.tests[i]
		if here && !(n.here(t) && t.Bits >= stay) || !live && t.Kind.Live() {
			continue
		}
		if best == nil || n.before(t, best) {
			best = t
		}
	}
	return best
}

// here reports whether a test needs no walk.
func (n *next) here(t *Test) bool {
	s := n.s
	if t.Kind == AskObeys {
		return true
	}
	if t.Kind.Live() || t.Box != s.where || s.where == "" || len(t.Tied) > 0 {
		return false
	}
	for _, b := range []string{t.Between[0].Place, t.Between[1].Place} {
		if b != "" && b != s.where {
			return false
		}
	}
	return !slices.ContainsFunc(t.Before, func(a Action) bool { return a.Box != "" && a.Box != s.where })
}

func (n *next) before(t, u *Test) bool {
	a, b := t.rate(), u.rate()
	if math.Abs(a-b) > 1e-9*max(a, b) {
		return a > b
	}
	if t.Effort != u.Effort {
		return t.Effort < u.Effort
	}
	return t.Kind < u.Kind
}

// rate is what a test tells for its effort.
func (t *Test) rate() float64 {
	return t.Bits / (t.Effort + time.Duration(t.Walks)*trip).Seconds()
}

// add takes a test in if it tells anything.
func (n *next) add(t Test) {
	if t.Bits >= worth && !(t.Kind.Live() && t.Bits < liveWorth) {
		t.Effort, t.Walks = n.s.effort(&t)
		n.tests = append(n.tests, t)
	}
}

// setups returns the ways to have the boxes apart that a test may ask for: as they are;
// and with those boxes apart too that may be.
func (n *next) setups() [][]Stage {
	s := n.s
	out := [][]Stage{slices.Clone(s.stage)}
	all := slices.Clone(s.stage)
	for i, st := range s.stage {
		if st != Parted && s.noted(i) {
			all[i] = Parted
			one := slices.Clone(s.stage)
			one[i] = Parted
			out = append(out, one)
		}
	}
	if !slices.ContainsFunc(out, func(x []Stage) bool { return slices.Equal(x, all) }) {
		out = append(out, all)
	}
	return out
}

// noted reports whether what was found in a box is on record, so that it may be taken
// apart: it was looked at, the wiring says it, or somebody had worked in it before.
func (s *Session) noted(box int) bool {
	name := s.c.sp.open[box]
	if s.asked["look "+name] || slices.Contains(s.c.opt.Disturbed, name) {
		return true
	}
	spec := s.c.sp.w.Spec()
	return slices.ContainsFunc(spec.Landings, func(l wiring.Landing) bool { return l.Box == name }) ||
		slices.ContainsFunc(spec.Splices, func(x wiring.Splice) bool { return x.Box == name })
}

// dead collects the questions, the looks and the tests with the circuit dead.
func (n *next) dead() error {
	s, sp := n.s, n.s.c.sp
	for k, c := range sp.control {
		for _, p := range c.places {
			o := Obeys{Control: c.name, Box: sp.place(p)}
			if s.asked[question(o, s.stage)] || !slices.Contains(s.c.sp.stage, Found) {
				continue
			}
			yes := n.sum(func(i int) bool { return slices.Contains(s.c.all[i].frame.plans[k].order, p) })
			n.add(Test{Kind: AskObeys, Control: c.name, Box: o.Box, Bits: entropy(yes, 1-yes)})
		}
	}
	for p, name := range sp.open {
		if s.stage[p] == Parted || s.asked["look "+name] {
			continue
		}
		n.add(Test{Kind: LookInBox, Box: name, Before: s.prepare(s.stage, name), Bits: n.spread(func(i int) string { return s.c.look(&s.c.all[i], p, s.stage[p]) })})
	}
	for _, stage := range n.setups() {
		if err := n.ctx.Err(); err != nil {
			return err
		}
		n.rings(stage, nil)
	}
	return n.ties()
}

// rings adds the tests between all ends in a setup.
func (n *next) rings(stage []Stage, tie [][2]int) {
	s, sp := n.s, n.s.c.sp
	view := s.viewOf(setup{stage, tie})
	weights := n.weigh(view)
	var tied [][2]wiring.End
	for _, t := range tie {
		tied = append(tied, [2]wiring.End{sp.ends[t[0]], sp.ends[t[1]]})
	}
	for a := range sp.ends {
		for b := a + 1; b < len(sp.ends); b++ {
			if tie != nil && (sp.at[a] != sp.at[b] || sp.at[a] == sp.at[tie[0][0]]) {
				continue
			}
			// What has to be apart for it is apart already, or in its own boxes.
			if !n.own(stage, a, b, tie) {
				continue
			}
			o := Continuity{Between: [2]switchnet.Terminal{point(sp.ends[a]), point(sp.ends[b])}, Tied: tied}
			if s.asked[question(o, stage)] {
				continue
			}
			bits := gain(view, weights, paths(), pathLikely, func(c *circuit) outcome { return c.path(a, b) })
			if bits < worth {
				continue
			}
			boxes := []string{sp.ends[a].Box, sp.ends[b].Box}
			if tie != nil {
				boxes = append(boxes, sp.open[sp.at[tie[0][0]]])
			}
			made := tie != nil && slices.Equal(tied, s.tied)
			before := s.prepare(stage, boxes...)
			if !made {
				before = s.part(before)
			}
			if o.Between[1].Place == s.where {
				// Begin where the person is.
				o.Between[0], o.Between[1] = o.Between[1], o.Between[0]
			}
			n.add(Test{Kind: DeadTest, Box: o.Between[1].Place, Between: o.Between, Tied: tied, Made: made, Before: before, Bits: bits})
		}
	}
}

// own reports whether the boxes that a setup takes apart are those of the test, or all
// that can be.
func (n *next) own(stage []Stage, a, b int, tie [][2]int) bool {
	sp := n.s.c.sp
	more, foreign := 0, false
	for i := range stage {
		if stage[i] == n.s.stage[i] {
			continue
		}
		more++
		if i != sp.at[a] && i != sp.at[b] && (tie == nil || i != sp.at[tie[0][0]]) {
			foreign = true
		}
	}
	return !foreign || more > 1
}

// ties adds the tests with two ends twisted together in another box, both boxes apart.
func (n *next) ties() error {
	s, sp := n.s, n.s.c.sp
	stage := slices.Clone(s.stage)
	for i := range stage {
		if s.noted(i) {
			stage[i] = Parted
		}
	}
	pairs := 0
	for x := range sp.ends {
		for y := x + 1; y < len(sp.ends); y++ {
			if sp.at[x] == sp.at[y] && stage[sp.at[x]] == Parted {
				pairs++
			}
		}
	}
	if pairs*len(n.left) > tieWork {
		n.cut = pairs > 0 && len(sp.open) > 1
		return nil
	}
	for x := range sp.ends {
		for y := x + 1; y < len(sp.ends); y++ {
			if sp.at[x] != sp.at[y] || stage[sp.at[x]] != Parted {
				continue
			}
			if err := n.ctx.Err(); err != nil {
				return err
			}
			n.rings(stage, [][2]int{{x, y}})
		}
	}
	return nil
}

// live adds the readings.
func (n *next) live() error {
	s, sp := n.s, n.s.c.sp
	ref := Outside()
	if r := s.references(); len(r) > 0 {
		ref = r[0]
	}
	offs := []uint16{0}
	if len(sp.feeds) > 1 {
		for f := range sp.feeds {
			offs = append(offs, 1<<f)
		}
	}
	for _, stage := range n.setups() {
		if err := n.ctx.Err(); err != nil {
			return err
		}
		view := s.viewOf(setup{stage, nil})
		weights := n.weigh(view)
		for a := range sp.ends {
			for b := a + 1; b <= len(sp.ends); b++ {
				if b < len(sp.ends) && (len(sp.feeds) < 2 || sp.at[a] != sp.at[b]) {
					continue
				}
				for _, off := range offs {
					t := Test{Kind: LiveReading, Box: sp.ends[a].Box, Between: [2]switchnet.Terminal{point(sp.ends[a]), ref}, Prove: !s.proven[ref.String()]}
					if b < len(sp.ends) {
						t.Between[1] = point(sp.ends[b])
						t.Prove = !s.anyReference()
					}
					for f := range sp.feeds {
						if off&(1<<f) != 0 {
							t.Off = append(t.Off, sp.feeds[f].ref.Name)
						}
					}
					if s.asked[question(Reading{Red: t.Between[0], Black: t.Between[1], Off: t.Off}, stage)] {
						continue
					}
					t.Bits = gain(view, weights, allLevels(), levelLikely, func(c *circuit) outcome { return sp.volts(c, a, b, off) })
					if t.Bits < liveWorth {
						continue
					}
					if slices.Equal(stage, s.stage) {
						t.Before = s.energize(s.part(nil))
					} else {
						var boxes []string
						for i := range stage {
							if stage[i] != s.stage[i] {
								boxes = append(boxes, sp.open[i])
							}
						}
						t.Before = s.energize(s.part(s.prepare(stage, boxes...)))
					}
					// What was proven counts until the next lock-out or energizing.
					t.Prove = t.Prove || len(t.Before) > 0
					n.add(t)
				}
			}
		}
	}
	return nil
}

// prepare returns what has to be done before a dead test in some boxes, with the boxes
// apart as a setup says.
func (s *Session) prepare(stage []Stage, boxes ...string) []Action {
	var out []Action
	if !s.locked {
		out = append(out, Action{Do: LockOut})
	}
	for i, name := range s.c.sp.open {
		apart := stage[i] != s.stage[i]
		if !apart && !slices.Contains(boxes, name) {
			continue
		}
		if !s.dead[name] || !s.locked {
			out = append(out, Action{ProveDead, name})
		}
		if apart {
			out = append(out, Action{TakeApart, name})
		}
	}
	return out
}

// part returns some actions with those that part what is twisted together after them.
func (s *Session) part(before []Action) []Action {
	for _, t := range s.tied {
		if a := (Action{PartEnds, t[0].Box}); !slices.Contains(before, a) {
			before = append(before, a)
		}
	}
	return before
}

// energize returns what has to be done before a reading, after some other actions.
func (s *Session) energize(before []Action) []Action {
	if s.locked || len(before) > 0 {
		return append(before, Action{Do: Energize})
	}
	return before
}

func point(e wiring.End) switchnet.Terminal { return e.Wire.In(e.Box) }
