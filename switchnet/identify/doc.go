// Package identify finds out which conductor is which in open boxes whose cables go
// nobody knows where: everything that they may be, how likely each is, and which test
// to make next.
//
// # Use
//
//	c, err := identify.New(ctx, w, opt)     // w: boxes, cables with an unknown end, lights, switches, feeds
//	s := c.Session()
//	err = s.Observe(identify.SameCable{A: "C1", B: "C3", Same: true})
//	v := s.Verdict(0)                       // what remains, the likeliest first
//	in, err := s.In("slip-door")            // what is surely, possibly, never in a box
//
// # What is weighed
//
// Every way to run the cables without a loop: to another open box, where a cable made up
// alike comes in; to a box that is closed; from the feed; onward to something else; or
// to an end with nothing on it. For each, every [Scheme] of each control in every order
// of its places, with every feed that can reach it, the neutral of its own feed, of
// another, one that feeds share as in a multiwire branch circuit, or one that comes by
// another way; neutrals of one feed that are kept apart in a box, each with what it
// serves, and such as are joined where they should be apart, in an open box or a closed
// one; neutrals and hots that go farther than anything needs them; and every way to spread
// all this over the conductors, whose colours make it likelier or less likely, and settle
// nothing. A spare may be cut in the wall. The power comes in by a
// cable of its own, or at a box that is closed, such as that of the light. A possibility
// may have so many unusual things at once and no more; see [Options].
//
// Possibilities that behave alike in every test that is allowed are one class.
//
// # Rules
//
// A session refuses what breaks a rule of package trace: continuity is tested with every
// circuit locked out and the boxes proven dead; no reading counts until its reference
// and the tester have shown the volts of a known live source; in a metal box whose bond
// is not proven nothing is read over the box until another reference is proven; a zero
// on a meter of high impedance is never dead; nothing is energized after a trip, nor
// before every test lead is noted to be off, nor with ends twisted together that would be
// a bolted fault under a possibility that remains; brittle insulation ends the session.
//
// What may have led through a box in which somebody worked, and that is not apart, is left
// out of account; [Session.Dropped] says so.
//
// # What it does not do
//
// It reckons with wiring that is as it was meant when it last worked: what is miswired in
// a job that is known is the question of package trace. It knows no wiring that makes a
// loop, but for neutrals that are joined at two places; where a cable may go as well so that
// there is one, it says so ([Way]). It knows no joint that crosses conductors in a box that
// the job does not list; no neutrals of one feed that part in two boxes one beyond the
// other, and of more than two that are kept apart none that are joined again; no feed
// between two lines, as of a heater; no hots of two feeds that are joined; no conductors of
// another function that are kept apart in a box; and no grounding conductor used for
// anything else. Of such wiring it says that nothing gives all that was seen, if what was
// seen shows it. Where a load or a
// switch that still stands in its box lies between two conductors, it takes every answer
// of a meter as equally likely the first time, and what it found there once, or finds next
// where the same lies between, as little news: of what it then calls 99 % likely at least
// 99 of 100 are so, over truths drawn as likely as the job takes them to be.
//
// Nothing it says is leave to touch: de-energize, lock out and tag, and prove dead with a
// tester that was itself proven before and after.
package identify
