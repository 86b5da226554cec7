package rules

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Securing names the rules by which cables of a type are supported. A name that is unset
// stands for a distance that the codes do not know for it.
type Securing struct {
	First Name // how far from a box the first support is at most
	Every Name // how far apart supports are at most, as to reckon with
	// Most is how far apart they may be at the very most, whichever way the cable runs.
	Most Name
	// Guidance reports that the distances are what is held to be good work, and no rule.
	Guidance bool
}

// SecuringOf returns the rules for a type of cable, none for loose conductors, whose
// raceway has its own.
func SecuringOf(t conductor.CableType) Securing {
	within := func(count int, size conductor.Size) bool {
		for _, c := range t.Cores {
			if c.Size.Compare(size) > 0 {
				return false
			}
		}
		return count == 0 || len(t.Cores) <= count
	}
	switch t.Construction {
	case conductor.NonmetallicSheath:
		return Securing{First: SecuredFromBox, Every: SecuredEvery, Most: SecuredEvery}
	case conductor.MetalClad:
		s := Securing{Every: MetalCladEvery, Most: MetalCladEvery}
		if within(4, conductor.AWG(10)) { // NEC 330.30(B)
			s.First = MetalCladFromBox
		}
		return s
	case conductor.FlatTwinAndEarth:
		s := Securing{Every: TwinEarthEvery, Guidance: true}
		if within(0, conductor.Metric(6*quantity.SquareMillimeter)) { // wider ones have distances of their own
			s.Most = TwinEarthUpright
		}
		return s
	}
	return Securing{}
}
