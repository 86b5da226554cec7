package trace

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// Steps returns what to do, in order, in plain sentences for whoever stands at the
// wall: what comes before with its cautions, the handles to move, and where to look or
// put the probes. The sentences are for reading and not stable.
func (t Test) Steps() []string {
	var out []string
	for _, a := range t.Before {
		out = append(out, a.Step())
	}
	if t.Kind == LiveReading || t.Kind == TryReference {
		out = append(out, liveStep, openStep(t.Box))
	}
	for _, f := range t.Flips {
		out = append(out, fmt.Sprintf("In %s, move the handle of %s.", f.Place, f.Name))
	}
	between := func() string { return fmt.Sprintf("%s and %s", point(t.Between[0]), point(t.Between[1])) }
	switch t.Kind {
	case AskUse:
		out = append(out, "Ask whoever uses it: with all switches used in all positions, did the breaker ever open? Do not try it out.")
	case LookFrom:
		out = append(out, "Move no handle. See what every light does"+from(t.Box)+".")
	case FlipAndLook:
		out = append(out, "See what every light does"+from(t.Box)+". If the breaker opens, leave it open: lock out, and go on with dead tests.")
	case DeadTest:
		how := "Still locked out and proven dead: zero the leads of the ohmmeter, and put them on "
		if t.Between[0].Place != t.Between[1].Place {
			how = "Still locked out and both boxes proven dead: lay a long lead, zero it with the ohmmeter, and measure between "
		}
		out = append(out, how+between()+".")
	case TryReference:
		out = append(out, tryStep(t.Between[1]))
	case LiveReading:
		if t.Prove {
			out = append(out, tryStep(t.Between[1])+" If it shows nothing, that is the answer: go no further.")
		}
		out = append(out, fmt.Sprintf("With the same tester, one that loads the circuit: red on %s, black on %s. Then show it the known live source again.", point(t.Between[0]), point(t.Between[1])))
	}
	return out
}

// String returns the test in a line. The text is for reading and not stable.
func (t Test) String() string {
	out := t.Kind.String()
	switch t.Kind {
	case LookFrom, FlipAndLook:
		out += from(t.Box)
	case DeadTest, LiveReading:
		out += fmt.Sprintf(" between %s and %s", point(t.Between[0]), point(t.Between[1]))
	case TryReference:
		out += " " + point(t.Between[1])
	}
	if t.Lifted {
		out += ", the neutrals lifted"
	}
	if t.Kind != AskUse {
		out += ", with " + t.At.String()
	}
	return out
}

func from(box string) string {
	if box == "" {
		return ""
	}
	return " from " + box
}

// liveStep is said before anybody reads a live circuit.
const liveStep = "This is live work, for a qualified person only, where the law of the place permits it: voltage-rated gloves, eye protection and cover as the assessment of the work asks, nobody else in reach, and a tester and leads whose measurement category and voltage are those of the place, III for fixed wiring and IV at the service."

// openStep says how a box is opened in which a live circuit is read.
func openStep(box string) string {
	return fmt.Sprintf("If %s is closed, it is not opened live: lock out, open it and prove it dead, see that the insulation is neither brittle nor of rubber and that nothing in it touches what it should not, and only then energize.", box)
}

func tryStep(p switchnet.Terminal) string {
	return fmt.Sprintf("Prove the reference and the tester: read a known live source over %s.", point(p))
}

// point says which end or screw is meant.
func point(t switchnet.Terminal) string {
	return fmt.Sprintf("%s.%s in %s", t.Device, t.Name, t.Place)
}

// Step returns what to do for an action, as a sentence with its cautions. The sentence
// is for reading and not stable.
func (a Action) Step() string {
	switch a.Do {
	case LockOut:
		return "De-energize: switch off every circuit that enters the boxes of the job, lock out and tag each breaker."
	case ProveDead:
		return fmt.Sprintf("Open %s and prove it dead: the tester on a known live source, every conductor to every other and to ground, the tester on the live source again. If the insulation is brittle or of rubber, close it and stop.", a.Box)
	case LiftNeutrals:
		return "Still locked out and the panel proven dead: take every neutral of the job off its bar, and tag each so that it goes back where it was."
	case CapNeutrals:
		return "Still locked out and the panel proven dead: cap the end of every neutral that was lifted."
	case LandNeutrals:
		return "Still locked out and the panel proven dead: land every neutral on its bar again, tight to the marking of the bar."
	case Energize:
		return "Take every test lead off. See that every end is landed or capped and every box covered, and that nobody is at the wiring; then take off the locks and switch on."
	case TakeLeads:
		return "Still locked out: take every test lead off, at both ends, those of the ohmmeter and the long one to another box; count them and lay them aside."
	case FindBrittle:
		return fmt.Sprintf("The insulation in %s is brittle or of rubber: de-energize and lock out, move nothing more, close the box with all in it as it is, have the wiring judged and replaced.", a.Box)
	}
	return strings.ToUpper(a.String()[:1]) + a.String()[1:] + "."
}

// String returns what an answer would mean: "if lamp at ceiling is dark, 12 causes
// remain". The text is for reading and not stable.
func (a Answer) String() string {
	remain := fmt.Sprintf("%d causes remain", a.Causes)
	switch {
	case a.Causes == 1:
		remain = "one cause remains"
	case a.Classes == 1:
		remain = fmt.Sprintf("%d causes remain, which no test tells apart", a.Causes)
	}
	return fmt.Sprintf("if %s, %s (%s)", outcome(a.Of, a.comes), remain, percent(a.Likely))
}

// percent says how likely something is, in whole hundredths.
func percent(r quantity.Ratio) string {
	p := (r + quantity.Percent/2) / quantity.Percent
	switch {
	case p == 0 && r > 0:
		return "under 1 %"
	case p == 100 && r < quantity.Whole:
		return "over 99 %"
	}
	return fmt.Sprintf("%d %%", p)
}

// outcome says what is observed, without where the handles stand; a reading by what it
// comes to.
func outcome(o Observation, comes Volts) string {
	switch o := o.(type) {
	case Saw:
		if o.Tripped {
			return "the breaker opens"
		}
		return lightWords(o.Lights)
	case InUse:
		if o.Tripped {
			return "it did open"
		}
		return "it never opened"
	case Continuity:
		switch o.Found {
		case Open:
			return "the ohmmeter finds nothing"
		case Through:
			return "the ohmmeter finds a resistance, or a driver that it cannot settle on"
		}
		return "the ohmmeter finds metal"
	case Reference:
		if o.Shown {
			return "the known source shows its volts over it"
		}
		return "the known source shows nothing over it"
	case Reading:
		switch comes {
		case Dead:
			return "the tester shows none of the volts of the circuit"
		case Hot:
			return "the tester shows the volts of the circuit"
		}
		return "the tester shows something between"
	}
	return o.String()
}

// lightWords says what lights do, those that do the same together, each by its name alone
// where no other there has it.
func lightWords(lights []Seen) string {
	if len(lights) == 0 {
		return "the breaker stays closed"
	}
	names := map[string]int{}
	for _, l := range lights {
		names[l.Light.Name]++
	}
	by := map[Glow][]string{}
	for _, l := range lights {
		name := l.Light.Name
		if names[name] > 1 {
			name = l.Light.String()
		}
		by[l.Glow] = append(by[l.Glow], name)
	}
	if len(by) == 1 && len(lights) > 1 {
		return fmt.Sprintf("every light is %v", lights[0].Glow)
	}
	var parts []string
	for _, glow := range []Glow{Lit, Bright, Dim, Half, Flicker, Dark} {
		switch ns := by[glow]; len(ns) {
		case 0:
		case 1:
			parts = append(parts, fmt.Sprintf("%s is %v", ns[0], glow))
		default:
			parts = append(parts, fmt.Sprintf("%s and %s are %v", strings.Join(ns[:len(ns)-1], ", "), ns[len(ns)-1], glow))
		}
	}
	return strings.Join(parts, ", and ")
}
