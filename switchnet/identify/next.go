package identify

import (
	"context"
	"math"
	"slices"
	"time"

	"example.com/switchleg/internal/enum"
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
func (k TestKind) String() string { return enum.Word(testWords[:], k, "TestKind") }

// MarshalText writes the words; an unset value is an error.
func (k TestKind) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", testWords[:], k, "test")
}

// UnmarshalText reads the words.
func (k *TestKind) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", testWords[:], text, "test", k)
}

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
	// Laid says that the long lead of a DeadTest lies between the two boxes from the test
	// before, and Clipped that it is still on the first point.
	Laid, Clipped bool
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

const (
	// worth is how many bits a test has to tell to be proposed, and liveWorth how many a
	// live one has to tell to be worth its danger.
	worth     = 1e-4
	liveWorth = 1e-3
	// serves is how many bits a test with the circuit dead has to tell for a live one to
	// wait, and stay how many one in this box has to tell for a walk to wait.
	serves = 0.02
	stay   = 0.001
	// trip is what a walk counts for, beside its time, where tests are compared.
	trip = 3 * time.Minute
)

// tieWork is how many circuits may be looked at for tests with ends twisted together.
const tieWork = 200_000

// Next returns the test that is expected to tell most about which possibility it is, for
// the effort it takes. Questions and tests with the circuit dead come first: a reading on
// a live circuit is proposed only where none of them tells a fiftieth of a bit, and it
// does. Every walk from box to box counts for three minutes more than it takes, and a
// test in the box where the person is comes before any for which to walk, if it tells a
// thousandth of a bit. Of equals it is the one with less effort, then the one that is
// less dangerous, then the first in the order of boxes and points. Nothing is proposed
// twice, and nothing that tells less than a ten-thousandth of a bit, or a thousandth if
// live: what such tests would still part is so unlikely that reading one of them wrong is
// likelier. The status is then NoTest, and the verdict says what remains.
//
// Information is exact, over all that remains, taking the answer to be right; where
// a measurement hangs on what nobody knows and another did before, what it tells by chance
// counts for a fifth at most. Conductors are taken apart only in a box that was looked into, or of which the
// wiring states what was found; where it states that of every end, no look is proposed. It
// takes time in proportion to the possibilities times the setups of the boxes, and to the
// tests times the distinct circuits in each.
func (s *Session) Next(ctx context.Context) (Advice, error) {
	if status := s.status(); status != trace.Searching {
		return Advice{Status: status}, nil
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
		box := t[0].Box
		for _, a := range []Action{{Do: LockOut}, {ProveDead, box}, {PartEnds, box}} {
			if a.Do == LockOut && s.locked || a.Do == ProveDead && s.locked && s.dead[box] {
				continue
			}
			if !slices.Contains(before, a) {
				before = append(before, a)
			}
		}
	}
	return before
}

// energize returns what has to be done before a reading, after some other actions.
func (s *Session) energize(before []Action) []Action {
	if s.locked || len(before) > 0 {
		if s.leads {
			before = append(before, Action{Do: TakeLeads})
		}
		return append(before, Action{Do: Energize})
	}
	return before
}

func point(e wiring.End) switchnet.Terminal { return e.Wire.In(e.Box) }
