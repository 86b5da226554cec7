package wiring

import (
	"example.com/switchleg/switchnet"
)

// A kindIdentity tells whether two kinds are one and the same value in memory. A
// job has many devices and few kinds, and a kind can be large: what holds of one is
// worked out once.
type kindIdentity struct {
	name                        string
	terminals                   *string
	positions                   *switchnet.Position
	internal                    *switchnet.InternalLoad
	counts                      [3]int
	breaker, electronic, dimmer bool
}

func identityOf(k *switchnet.Kind) kindIdentity {
	return kindIdentity{k.Name, first(k.Terminals), first(k.Positions), first(k.Internal),
		[3]int{len(k.Terminals), len(k.Positions), len(k.Internal)}, k.Breaker, k.Electronic, k.Dimmer}
}

// first returns where a slice begins, nil if it is empty.
func first[T any](s []T) *T {
	if len(s) == 0 {
		return nil
	}
	return &s[0]
}

// kindProblems returns what is wrong with a kind.
func (x *index) kindProblems(k *switchnet.Kind) switchnet.Problems {
	id := identityOf(k)
	ps, ok := x.kinds[id]
	if !ok {
		ps = k.Validate()
		x.kinds[id] = ps
	}
	return ps
}
