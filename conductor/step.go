package conductor

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// Step is one figure of an answer: the rule that gave it, where that stands, and
// what went in. Which fields are set depends on the rule; String puts them into
// a sentence, whose wording is not stable.
type Step struct {
	Rule   Rule   `json:"rule"`
	Source Source `json:"source,omitzero"`  // absent for a wish of the question
	Failed bool   `json:"failed,omitempty"` // the figure is not enough: why a smaller size was passed over
	// LimitSource is of what the figure is compared with, where that stands
	// elsewhere: the limit on voltage drop, the trip curve of a fault loop.
	LimitSource Source `json:"limit_source,omitzero"`

	Size     Size                 `json:"size,omitzero"`     // of the conductor the step is about
	Other    Size                 `json:"other,omitzero"`    // a second size: the one increased from
	Material Material             `json:"material,omitzero"` // with Size
	Rating   quantity.Temperature `json:"rating,omitzero"`   // column of the ampacity table
	Ambient  quantity.Temperature `json:"ambient,omitzero"`
	Count    int                  `json:"count,omitzero"` // of conductors, or of phases for a drop

	Have quantity.Current `json:"have,omitzero"` // what there is
	Need quantity.Current `json:"need,omitzero"` // what it is compared with
	Base quantity.Current `json:"base,omitzero"` // ampacity or rating the step starts from
	Load Load             `json:"load,omitzero"`

	Factor quantity.Ratio `json:"factor,omitzero"`
	Second quantity.Ratio `json:"second_factor,omitzero"` // applied after Factor

	Length    quantity.Length              `json:"length,omitzero"`
	Path      bool                         `json:"out_and_back,omitempty"` // Length is that of the conductor, out and back
	Drop      quantity.Voltage             `json:"drop,omitzero"`
	Share     quantity.Ratio               `json:"share,omitzero"` // of the supply voltage
	Limit     quantity.Ratio               `json:"limit,omitzero"`
	Force     Force                        `json:"force,omitzero"`
	Method    DropMethod                   `json:"method,omitzero"`
	Per       quantity.ResistancePerLength `json:"per_length,omitzero"`
	Rate      quantity.VoltDropRate        `json:"rate,omitzero"`
	External  quantity.Resistance          `json:"external,omitzero"` // part of Loop outside the circuit
	Loop      quantity.Resistance          `json:"loop,omitzero"`
	LoopLimit quantity.Resistance          `json:"loop_limit,omitzero"`

	Word   string         `json:"word,omitempty"` // a method, a location, a trip curve
	Kind   ProtectionKind `json:"kind,omitzero"`
	Demand Demand         `json:"demand,omitzero"`
}

// conductor names the conductor the step is about.
func (s *Step) conductor() string { return s.Size.String() + " " + s.Material.String() }

// amps returns a current to the milliampere, or exactly where that would pass for
// a round figure it is not, or hide which of two compared currents is larger.
func (s *Step) amps(c quantity.Current) string {
	const places = 3
	text := c.Format(quantity.Ampere, places)
	looksWhole := c%quantity.Ampere != 0 && !strings.Contains(text, ".")
	if looksWhole || s.Have != s.Need && s.Have.Format(quantity.Ampere, places) == s.Need.Format(quantity.Ampere, places) {
		return c.In(quantity.Ampere)
	}
	return text
}

// verdict ends a sentence that compares.
func (s *Step) verdict() string {
	if s.Failed {
		return "not enough"
	}
	return "enough"
}

// against ends a sentence with what the figure is compared with, if anything.
func (s *Step) against(format string) string {
	if s.Need == 0 {
		return ""
	}
	return fmt.Sprintf(", "+format+": %s", s.amps(s.Need), s.verdict())
}

// String returns the step as a sentence without its section.
func (s Step) String() string {
	switch s.Rule {
	case RuleContinuousLoad:
		return fmt.Sprintf("load: %s continuous × %s + %s other = %s to provide for",
			s.amps(s.Load.Continuous), s.Factor.Factor(), s.amps(s.Load.Other), s.amps(s.Need))
	case RuleStandardRating:
		if s.Failed {
			return fmt.Sprintf("no standard rating is at least %s; the largest is %s", s.amps(s.Need), s.amps(s.Have))
		}
		if s.Word != "" {
			return fmt.Sprintf("overcurrent device as given: %s, for a load of %s", s.amps(s.Have), s.amps(s.Need))
		}
		return fmt.Sprintf("overcurrent device: %s, the smallest standard rating for %s", s.amps(s.Have), s.amps(s.Need))
	case RuleMinimumRating:
		if s.Failed {
			return fmt.Sprintf("overcurrent device %s is below the least rating %s", s.Have, s.Need)
		}
		if s.Base > 0 {
			return fmt.Sprintf("the device is rated at least %s, unless the least of %s is asked for", s.Need, s.Base)
		}
		return fmt.Sprintf("the device is rated at least %s", s.Need)
	case RuleLeastSize:
		return fmt.Sprintf("%s: no smaller than %s: %s", s.Size, s.Other, s.verdict())
	case RuleTerminations:
		return fmt.Sprintf("ampacity column the terminations allow: %s%s", s.Rating.InCelsius(), s.Word)
	case RuleAmpacity:
		if s.Word != "" {
			return "installation: " + s.Word
		}
		return fmt.Sprintf("%s: %s in the %s column", s.conductor(), s.amps(s.Have), s.Rating.InCelsius()) + s.against("%s needed before correction")
	case RuleAmbient:
		if s.Failed {
			return fmt.Sprintf("ambient %s: not allowed for conductors rated %s", s.Ambient, s.Rating.InCelsius())
		}
		return fmt.Sprintf("ambient %s, conductors rated %s: factor %s", s.Ambient, s.Rating.InCelsius(), s.Factor.Factor())
	case RuleBundling:
		if s.Word != "" {
			return fmt.Sprintf("%d current-carrying conductors together over %s, %s", s.Count, s.Length, s.Word)
		}
		return fmt.Sprintf("%d current-carrying conductors together: factor %s", s.Count, s.Factor.Factor())
	case RuleCorrectedAmpacity:
		return fmt.Sprintf("%s: %s in the %s column × %s × %s = %s", s.conductor(), s.amps(s.Base), s.Rating.InCelsius(),
			s.Factor.Factor(), s.Second.Factor(), s.amps(s.Have)) + s.against("load %s")
	case RuleNonmetallic:
		return fmt.Sprintf("%s: the cable is held to the %s column, %s", s.conductor(), s.Rating.InCelsius(), s.amps(s.Have)) + s.against("load %s")
	case RuleAtAmpacity, RuleNextSizeUp:
		how := "the largest standard rating not above it"
		if s.Rule == RuleNextSizeUp {
			how = "the next standard rating above it"
		}
		return fmt.Sprintf("%s: ampacity %s allows a device of %s (%s)", s.conductor(), s.amps(s.Base), s.amps(s.Have), how) + s.against("%s wanted")
	case RuleSmallConductor:
		if s.Word != "" {
			return fmt.Sprintf("%s: at most %s of %s", s.conductor(), s.amps(s.Have), s.Word) + s.against("%s wanted")
		}
		return fmt.Sprintf("%s: behind at most %s", s.conductor(), s.amps(s.Have)) + s.against("%s wanted")
	}
	return s.late()
}

// late is String for the rules that come after the ampacity.
func (s *Step) late() string {
	switch s.Rule {
	case RuleFaultLoop:
		return fmt.Sprintf("%s: fault loop %s outside + %s × %s over %s = %s; at most %s, %s of the supply over %s × %s (type %s, %s): %s",
			s.conductor(), s.External.Format(quantity.Ohm, 3), s.Per.Format(quantity.OhmPerKilometer, 2), s.Factor.Factor(), s.lengthText(),
			s.Loop.Format(quantity.Ohm, 3), s.LoopLimit.Format(quantity.Ohm, 3), s.Limit.Factor(), s.Second.Factor(), s.Have, s.Word, s.LimitSource, s.verdict())
	case RuleVoltageDrop:
		return s.dropText()
	case RuleGrounding:
		if s.Failed {
			return fmt.Sprintf("grounding conductor %s is smaller than %s %s behind %s", s.Other, s.Size, s.Material, s.Need)
		}
		return fmt.Sprintf("grounding conductor: %s behind %s", s.conductor(), s.Need)
	case RuleGroundingIncrease:
		if s.Need != 0 {
			return fmt.Sprintf("grounding conductor grows with the circuit, by its ampacity of %s: %s", s.Need, s.conductor())
		}
		return fmt.Sprintf("grounding conductor grows in proportion, circuit from %s by a factor of %s: %s", s.Other, s.Factor.FormatFactor(3), s.conductor())
	case RuleProtection:
		place := "every circuit"
		if s.Word != "" {
			place = s.Word
		}
		return fmt.Sprintf("%s protection, %s: %s", s.Kind, place, s.Demand)
	case RuleAsked:
		return fmt.Sprintf("%s: %s", s.Size, s.Word)
	}
	return s.Rule.String()
}

// lengthText returns the length in its shortest exact text, or to the millimeter
// where that is long.
func (s *Step) lengthText() string {
	if text := s.Length.String(); len(text) <= len("12345.678 ft") {
		return text
	}
	return s.Length.Format(quantity.Meter, 3)
}

func (s *Step) dropText() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s over %s", s.conductor(), s.amps(s.Need), s.lengthText())
	if s.Path {
		b.WriteString(" of conductor")
	} else {
		b.WriteString(" one way")
	}
	if s.Method == ByRate {
		fmt.Fprintf(&b, " at %s", s.Rate)
	} else {
		fmt.Fprintf(&b, " at %s", s.Per.Format(quantity.OhmPerThousandFeet, 3))
	}
	fmt.Fprintf(&b, ", by %s: drops %s, %s", s.Method, s.Drop.Format(quantity.Volt, 2), s.Share.FormatPercent(2))
	if s.Limit > 0 {
		from := "asked for"
		if !s.LimitSource.Absent() {
			from = s.LimitSource.String()
		}
		fmt.Fprintf(&b, "; limit %s (%s, %s): %s", s.Limit, s.Force, from, s.verdict())
	}
	return b.String()
}
