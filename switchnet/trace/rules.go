package trace

import (
	"fmt"
	"slices"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A Rule is one that no session breaks. The zero Rule is unset.
type Rule uint8

// The rules.
const (
	// BrittleEnds: brittle insulation, or insulation of rubber, ends the session. What
	// is moved breaks.
	BrittleEnds Rule = iota + 1
	// OneTrip: after the breaker has opened once nothing is energized any more. It is
	// never reset to learn more.
	OneTrip
	// LockedOut: a continuity test is made with every circuit locked out.
	LockedOut
	// ProvenDead: and only in boxes that were proven dead since.
	ProvenDead
	// ProvenReference: no reading counts until its reference and the tester have shown
	// the volts of a known live source.
	ProvenReference
	// ProvenBond: in a metal box whose bond is not proven, nothing is read over the box
	// or what is bonded to it until another reference is proven.
	ProvenBond
	// NeutralsDead: neutrals are lifted only with every circuit locked out and the
	// panel proven dead.
	NeutralsDead
	// NeutralsCapped: nothing is energized before each lifted end is capped; and what
	// lights and meters then do is not reckoned until the neutrals are back.
	NeutralsCapped
	// BoltedFault: nothing is done that would be a bolted fault if one of the remaining
	// possibilities were so.
	BoltedFault
	// DeadFirst: nothing is read live while a test with the circuit dead would serve.
	DeadFirst
	// LeftOut: Options.NoDead and Options.NoLive leave out tests of a sort.
	LeftOut
	// LeadsOff: nothing is energized while a test lead may be on a conductor.
	LeadsOff
)

var ruleWords = [...]string{"",
	"brittle insulation ends the session: do not move these conductors; have the wiring judged and replaced",
	"after one trip: stop, lock out, and test dead; never reset a breaker to learn more",
	"lock out every circuit before testing continuity",
	"prove the box dead first, with a tester proven on a known live source before and after",
	"no reading counts until its reference and the tester have shown the volts of a known live source",
	"the bond of this metal box is not proven: prove another reference first",
	"neutrals are lifted only with every circuit locked out and the panel proven dead",
	"cap each lifted end before energizing, and land the neutrals before anything is read or looked at",
	"it would be a bolted fault if a remaining possibility were so",
	"tests with the circuit dead come before readings with it live",
	"tests of this sort are left out here",
	"take every test lead off, and note that it is off, before anything is energized",
}

// String returns the rule in words.
func (r Rule) String() string { return enum.Word(ruleWords[:], r, "Rule") }

// MarshalText writes the words; an unset value is an error.
func (r Rule) MarshalText() ([]byte, error) { return enum.Marshal("trace", ruleWords[:], r, "rule") }

// A Broken rule is why something was refused.
type Broken struct {
	Rule Rule
	// What was refused.
	What string
}

// Error returns the rule and what it refuses.
func (b *Broken) Error() string { return fmt.Sprintf("trace: refused: %s: %s", b.What, b.Rule) }

// forbids returns the rule that an action breaks.
func (s *Session) forbids(a Action) error {
	broken := func(r Rule) error { return &Broken{r, a.String()} }
	switch {
	case s.brittle != "" && a.Do != LockOut && a.Do != FindBrittle && a.Do != TakeLeads:
		return broken(BrittleEnds)
	case a.Do == ProveDead && !s.locked:
		return broken(LockedOut)
	case (a.Do == CapNeutrals || a.Do == LandNeutrals) && !s.lifted:
		return Errors{{"Action.Do", "no neutral is lifted"}}
	// What was proven dead is no longer so once it was energized with the ends capped.
	case a.Do == LiftNeutrals || a.Do == LandNeutrals:
		if !s.locked || slices.ContainsFunc(s.c.travel.panels, func(b string) bool { return !s.dead[b] }) {
			return broken(NeutralsDead)
		}
	case a.Do == Energize && s.tripped:
		return broken(OneTrip)
	case a.Do == Energize && s.leads:
		return broken(LeadsOff)
	case a.Do == Energize && s.lifted && !s.capped:
		return broken(NeutralsCapped)
	}
	return nil
}

// refuses returns the rule that an observation breaks.
func (s *Session) refuses(o Observation, earlier bool) error {
	broken := func(r Rule) error { return &Broken{r, o.String()} }
	// No reading counts without its reference, whenever it was made.
	switch o := o.(type) {
	case Reading:
		if s.bonded(o.Black) && !s.otherReference() {
			return broken(ProvenBond)
		}
		if !s.proves(o.Black) {
			return broken(ProvenReference)
		}
	case Reference:
		if s.bonded(o.Point) && !s.otherReference() {
			return broken(ProvenBond)
		}
	}
	if earlier {
		return nil
	}
	if s.brittle != "" {
		return broken(BrittleEnds)
	}
	switch o := o.(type) {
	case Saw, Flipped, Reading, Reference:
		switch {
		case s.tripped:
			return broken(OneTrip)
		case s.lifted:
			return broken(NeutralsCapped)
		case s.locked:
			return Errors{{"Report.Of", "every circuit is locked out; energize before looking at lights or reading volts"}}
		}
	case Continuity:
		if !s.locked {
			return broken(LockedOut)
		}
		if !s.dead[o.Between[0].Place] || !s.dead[o.Between[1].Place] {
			return broken(ProvenDead)
		}
		if o.Lifted != s.lifted {
			if s.lifted {
				return Errors{{"Continuity.Lifted", "the neutrals are off their bar, and the reading does not say that it was made with them lifted; say so, or land them and read again"}}
			}
			return Errors{{"Continuity.Lifted", "the reading says that it was made with the neutrals lifted, and they are on their bar; note that they are lifted first"}}
		}
	}
	return nil
}

// bonded reports whether a point is the metal of a metal box, or is meant to be bonded
// to it.
func (s *Session) bonded(t switchnet.Terminal) bool {
	if !s.c.travel.boxes[t.Place].Metal {
		return false
	}
	return s.c.w.Net().Joined(t, switchnet.Terminal{Place: t.Place, Device: "box", Name: "ground"})
}

// otherReference reports whether a reference is proven that is no metal box's bond.
func (s *Session) otherReference() bool {
	for p, ok := range s.proven {
		if ok && !s.bonded(s.c.f.points[p]) {
			return true
		}
	}
	return false
}
