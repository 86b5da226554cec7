package identify

import (
	"fmt"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
)

// liveStep is said before anybody reads a live circuit.
const liveStep = "This is live work, for a qualified person only, where the law of the place permits it: voltage-rated gloves, eye protection and cover as the assessment of the work asks, nobody else in reach, and a tester and leads whose measurement category and voltage are those of the place, III for fixed wiring and IV at the service."

// Step returns what to do for an action, as a sentence with its cautions. The sentence is
// for reading and not stable.
func (a Action) Step() string {
	switch a.Do {
	case LockOut:
		return trace.Action{Do: trace.LockOut}.Step()
	case ProveDead:
		return trace.Action{Do: trace.ProveDead, Box: a.Box}.Step()
	case TakeOff:
		return fmt.Sprintf("In %s, still locked out and proven dead: tag every conductor with the screw it is on, take the devices off, leave the splices as they are, and cap every end that is now free.", a.Box)
	case TakeApart:
		return fmt.Sprintf("In %s, still locked out and proven dead: tag every conductor with what it was joined to, take the devices off and the splices apart, and cap every end. A neutral that another circuit shares must not be opened while that circuit is on: that is why every circuit in the box is locked out.", a.Box)
	case PartEnds:
		return fmt.Sprintf("In %s, still locked out and proven dead: part what was twisted together for the tests before, and cap each end.", a.Box)
	case Energize:
		return trace.Action{Do: trace.Energize}.Step()
	case TakeLeads:
		return "Still locked out and proven dead: take every test lead off, at both ends: those of the ohmmeter and the long one to another box. Cap what they were on, count them, and lay them aside."
	case FindBrittle:
		return trace.Action{Do: trace.FindBrittle, Box: a.Box}.Step()
	}
	return strings.ToUpper(a.String()[:1]) + a.String()[1:] + "."
}

// Steps returns what to do, in order, in plain sentences for whoever stands at the wall:
// what comes before with its cautions, what to twist together, and where to look or put
// the probes. The sentences are for reading and not stable.
func (t Test) Steps() []string {
	var out []string
	for _, a := range t.Before {
		out = append(out, a.Step())
	}
	for _, x := range t.Tied {
		if t.Made {
			out = append(out, fmt.Sprintf("In %s leave %s and %s twisted together.", x[0].Box, x[0].Wire, x[1].Wire))
			continue
		}
		out = append(out, fmt.Sprintf("In %s, still locked out and proven dead: twist %s and %s together, tag them, and leave them so until they are to be parted. Nothing is switched on before.", x[0].Box, x[0].Wire, x[1].Wire))
	}
	between := fmt.Sprintf("%s and %s", spoken(t.Between[0]), spoken(t.Between[1]))
	switch t.Kind {
	case AskObeys:
		out = append(out, fmt.Sprintf("Ask whoever uses it: before anything was opened, did the lights of %s change every time the switch in %s was moved, however the others stood? Do not try it out with a box open.", t.Control, t.Box))
	case LookInBox:
		out = append(out, fmt.Sprintf("In %s, still locked out and proven dead: see which conductors are spliced with which, what is on which screw, and what is capped. Pull nothing apart; tag what you see.", t.Box))
	case DeadTest:
		dead := "Still locked out and both boxes proven dead: "
		a, b := spoken(t.Between[0]), spoken(t.Between[1])
		switch {
		case t.Clipped:
			out = append(out, fmt.Sprintf("%swith the long lead still on %s, measure from it to %s.", dead, a, b))
		case t.Laid:
			out = append(out, fmt.Sprintf("%sput the long lead that lies between these boxes on %s and leave it there, then measure from it to %s.", dead, a, b))
		case t.Between[0].Place != t.Between[1].Place:
			out = append(out, fmt.Sprintf("%slay a long lead between them, zero it with the ohmmeter, put it on %s and leave it there, then measure from it to %s.", dead, a, b))
		default:
			out = append(out, "Still locked out and proven dead, everything else on these conductors as it is: zero the leads of the ohmmeter, and put them on "+between+".")
		}
	case LiveReading:
		// Nothing is known of the breakers: they may stand as for the reading before.
		switch {
		case len(t.Off) == 0:
			out = append(out, "For this reading every circuit of these boxes is on: if a breaker is still locked off for the reading before, see that nobody is at the wiring, take off its lock and switch it on.")
		default:
			out = append(out, fmt.Sprintf("For this reading %s is off and every other circuit of these boxes on: see that its breaker is off, locked and tagged, whatever it was for the reading before. Treat every conductor as live all the same.", strings.Join(t.Off, " and ")))
		}
		out = append(out, liveStep)
		at := t.Between[1]
		if at.Device != "reference" && at.Device != "box" && t.Prove {
			at = Outside()
		}
		if t.Prove {
			out = append(out, fmt.Sprintf("Prove the reference and the tester: read a known live source over %s. If it shows nothing, that is the answer: go no further.", spoken(at)))
		}
		out = append(out, fmt.Sprintf("With the same tester, one that loads the circuit, every free end capped but the one you touch: red on %s, black on %s. Then show it the known live source again.", spoken(t.Between[0]), spoken(t.Between[1])))
	}
	return out
}

// spoken says which end or point is meant.
func spoken(p switchnet.Terminal) string {
	switch {
	case p == Outside():
		return "a long lead to a ground that is known"
	case p.Device == "box" && p.Name == "ground":
		return "the grounding screw of " + p.Place
	}
	return fmt.Sprintf("%s.%s in %s", p.Device, p.Name, p.Place)
}

// String returns what an answer would be, and how likely it is. The text is for reading
// and not stable.
func (a Answer) String() string {
	return fmt.Sprintf("%s (%s likely)", a.Outcome(), percent(a.Likely))
}

// Outcome returns what is observed, without where. The text is for reading and not
// stable.
func (a Answer) Outcome() string {
	switch o := a.Of.(type) {
	case Obeys:
		if o.Does {
			return "yes, every time"
		}
		return "no, or not always"
	case Continuity:
		switch o.Found {
		case trace.Open:
			return "the ohmmeter finds nothing"
		case trace.Through:
			return "the ohmmeter finds a resistance, or a driver that it cannot settle on"
		}
		return "the ohmmeter finds metal"
	case Reading:
		return fmt.Sprintf("the tester shows about %s", o.Shows)
	}
	return a.Of.String()
}
