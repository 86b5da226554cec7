// Package trace finds what is miswired in a known job: everything that fits what was
// seen and measured, one fault at a time or two, and how likely each is.
//
// # Use
//
//	c, err := trace.New(ctx, w, nil)       // the job as it is meant to be
//	s := c.Session()
//	err = s.Report(trace.Report{Of: trace.Saw{At: setting, Lights: lights}})
//	v, err := s.Verdict()                  // what still fits, the likeliest first
//	a, err := s.Next(ctx)                  // what to do next, or what is refused and why
//	err = s.Answer(a.Test, observation, 0)
//	card, err := s.Strategy(ctx, nil)      // all that may come, as a card to take along
//
// [Case.Cure] says what moves from which screw to which, for each cause that is left;
// [Session.Judge] says of what somebody advises to do whether it would cure, before anybody
// does it. [Case.Prove] is the readings that go with the proving walk.
//
// [Case.Walk] is the shortest walk of single flips that exposes every fault which lights
// betray, and says which they do not; [Touching] has it prove as well that no two sections
// touch. [RingOutOf] is the continuity tests that find a cut or tied conductor while the
// wall is open and no device is fitted.
//
// # What is weighed
//
// Every single fault of package miswire, and that nothing is wrong. Which way the
// handles of unmarked switches are up is not known: a three-way may be mounted or built
// either way, so every fault is weighed with every sense of each. Causes that behave
// alike in every test that is allowed, for some way of mounting the handles, are one
// [Class]. The tests are: looking at the lights in any setting of the switches; the ohmmeter
// between any two points of boxes with every circuit locked out, the neutrals of the
// panel on their bar or lifted from it; and a tester that loads the circuit, between
// any two points of the live circuit, one breaker state: all on.
//
// Connectivity decides, as package switchnet has it. A reading has three outcomes: hot,
// dead and ambiguous, and an ambiguous one rules out little. For the few causes that it
// leaves, [Session.Predict] says by the electrical solve what a meter is expected to show,
// and [Session.Finals] which reading tells them apart; that rules nothing out.
//
// # Rules
//
// A session refuses what breaks a [Rule]: no reading counts until its reference and the
// tester have shown the volts of a known live source; after one trip nothing is
// energized, nor before every test lead is noted to be off; a zero on a meter of high
// impedance is never "dead"; and so on. Nothing is proposed that would be a bolted fault
// under a possibility that remains, however unlikely; readings with the circuit live are
// proposed only where no test with it dead tells anything.
//
// # What it does not do
//
// A session weighs one fault at a time: reports that no single fault gives are called a
// [Contradiction], with the nearest classes and the reports that do not fit them.
// [Session.Two] then goes on with two at once, the likeliest first, within a budget, and
// says what tells the pairs apart that fit. Two faults that look like one are called that
// one, until the proof after its cure, or Two, finds the other. It knows the drawing, not
// the building. Nothing it says is leave to touch: de-energize, lock out and tag, and prove
// dead with a tester that was itself proven before and after.
package trace
