package conductor

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// protect writes what the location of a circuit needs of one of its rating and
// voltage, and a step for each. A kind of which the table says nothing for the
// location is unverified.
func (s *Sizer) protect(c *Circuit, breaker quantity.Current, into *[]Protection, steps *[]Step) {
	if c.Location == "" {
		return
	}
	*into = slices.DeleteFunc(s.Protections(c.Location), func(p Protection) bool { return !p.On(breaker, c.Volts) })
	for _, p := range *into {
		*steps = append(*steps, Step{Rule: RuleProtection, Source: p.Source, Word: p.Location, Kind: p.Kind, Demand: p.Demand})
	}
}

// Protections returns what the location demands, by kind, rows for every
// location before the location's own. A kind of which the table knows nothing
// for the location comes as [Unverified], with no section: ask the inspector.
// The kinds are those the table deals in, or all of them when it deals in none.
func (s *Sizer) Protections(location string) []Protection {
	var all []Protection
	for kind := ArcFault; kind <= ResidualCurrent; kind++ {
		dealtIn := false
		found := false
		for _, p := range s.t.Protections {
			dealtIn = dealtIn || p.Kind == kind
			if p.Kind == kind && (p.Location == location || p.Location == "") {
				all = append(all, p)
				found = true
			}
		}
		if !found && (dealtIn || len(s.t.Protections) == 0) {
			all = append(all, Protection{Location: location, Kind: kind, Demand: Unverified,
				Note: "the table says nothing of this location"})
		}
	}
	return all
}

// Locations returns the locations the table knows, sorted.
func (s *Sizer) Locations() []string {
	var names []string
	for _, p := range s.t.Protections {
		if p.Location != "" {
			names = append(names, p.Location)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// On reports whether the demand is on a circuit of a rating and nominal voltage. What is
// not known of the circuit, 0, is taken to be within the limits of the demand.
func (p *Protection) On(breaker quantity.Current, volts quantity.Voltage) bool {
	return (p.Breaker == 0 || breaker <= p.Breaker) && (p.Volts == 0 || volts <= p.Volts)
}

// Covers says in words what the demand is on: "receptacles, on breakers of 20 A at most,
// at 125 V at most, since 2014: note". It is empty where nothing is said of that. The text
// is for reading and not stable.
func (p *Protection) Covers() string {
	var parts []string
	if p.Outlets != 0 {
		parts = append(parts, p.Outlets.String())
	}
	if p.Breaker != 0 {
		parts = append(parts, fmt.Sprintf("on breakers of %v at most", p.Breaker))
	}
	if p.Volts != 0 {
		parts = append(parts, fmt.Sprintf("at %v at most", p.Volts))
	}
	if p.Since != 0 {
		parts = append(parts, fmt.Sprintf("since %d", p.Since))
	}
	text := strings.Join(parts, ", ")
	switch {
	case p.Note == "":
	case text == "":
		text = p.Note
	default:
		text += ": " + p.Note
	}
	return text
}
