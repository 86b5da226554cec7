package wiring

import (
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
)

// Clone returns a deep copy: it shares nothing with the Spec that can be changed.
// Devices whose kinds share their parts, and cables whose types do, share them in
// the copy too.
func (s Spec) Clone() Spec {
	s = s.lists()
	kinds := map[kindIdentity]switchnet.Kind{}
	for i := range s.Devices {
		k := &s.Devices[i].Kind
		id := identityOf(k)
		clone, ok := kinds[id]
		if !ok {
			clone = k.Clone()
			kinds[id] = clone
		}
		*k = clone
	}
	type identity struct {
		first *conductor.Core
		n     int
	}
	cores := map[identity][]conductor.Core{}
	for i := range s.Cables {
		list := &s.Cables[i].Type.Cores
		id := identity{first(*list), len(*list)}
		clone, ok := cores[id]
		if !ok {
			clone = slices.Clone(*list)
			cores[id] = clone
		}
		*list = clone
	}
	return s
}

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

// sameKind reports whether two kinds are equal, at once if they are one value.
func sameKind(a, b *switchnet.Kind) bool { return identityOf(a) == identityOf(b) || a.Equal(*b) }

// first returns where a slice begins, nil if it is empty.
func first[T any](s []T) *T {
	if len(s) == 0 {
		return nil
	}
	return &s[0]
}

// lists returns a copy whose lists are its own, but for what kinds and cable types
// hold.
func (s Spec) lists() Spec {
	s.Feeds = slices.Clone(s.Feeds)
	for i := range s.Feeds {
		s.Feeds[i].Lines = slices.Clone(s.Feeds[i].Lines)
		s.Feeds[i].Protection = slices.Clone(s.Feeds[i].Protection)
	}
	s.Boxes = slices.Clone(s.Boxes)
	for i := range s.Boxes {
		v := &s.Boxes[i].Volume
		v.Sections, v.Additions, v.Barriers = slices.Clone(v.Sections), slices.Clone(v.Additions), slices.Clone(v.Barriers)
	}
	s.Lights = slices.Clone(s.Lights)
	s.Devices = slices.Clone(s.Devices)
	for i := range s.Devices {
		s.Devices[i].Protection = slices.Clone(s.Devices[i].Protection)
	}
	s.Cables = slices.Clone(s.Cables)
	for i := range s.Cables {
		s.Cables[i].Bored = slices.Clone(s.Cables[i].Bored)
	}
	s.Splices = slices.Clone(s.Splices)
	for i := range s.Splices {
		s.Splices[i].Join = slices.Clone(s.Splices[i].Join)
	}
	s.Landings = slices.Clone(s.Landings)
	s.Caps = slices.Clone(s.Caps)
	s.Marks = slices.Clone(s.Marks)
	s.Tags = slices.Clone(s.Tags)
	s.Opens = slices.Clone(s.Opens)
	s.Ties = slices.Clone(s.Ties)
	return s
}
