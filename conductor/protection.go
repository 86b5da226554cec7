package conductor

import "slices"

// protect writes what the location needs, and a step for each. A kind of which
// the table says nothing for the location is unverified.
func (s *Sizer) protect(location string, into *[]Protection, steps *[]Step) {
	if location == "" {
		return
	}
	*into = s.Protections(location)
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
