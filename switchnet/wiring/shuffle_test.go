package wiring_test

import (
	"example.com/switchleg/switchnet/wiring"
)

// shuffled returns the same wiring with every list in another order, and with
// cables, splices and ties written the other way round. A cable whose end is not
// known begins at the known one.
func shuffled(s wiring.Spec, choose func(n int) int) wiring.Spec {
	s = s.Clone()
	mix(s.Feeds, choose)
	mix(s.Boxes, choose)
	mix(s.Lights, choose)
	mix(s.Devices, choose)
	mix(s.Cables, choose)
	mix(s.Splices, choose)
	mix(s.Landings, choose)
	mix(s.Caps, choose)
	mix(s.Marks, choose)
	mix(s.Tags, choose)
	mix(s.Opens, choose)
	mix(s.Ties, choose)
	for i := range s.Splices {
		mix(s.Splices[i].Join, choose)
	}
	for i := range s.Cables {
		if choose(2) == 1 {
			s.Cables[i] = s.Cables[i].Turned()
		}
	}
	for i := range s.Ties {
		if t := &s.Ties[i]; choose(2) == 1 {
			t.A, t.B = t.B, t.A
		}
	}
	return s
}

func mix[T any](list []T, choose func(n int) int) {
	for i := range list {
		j := i + choose(len(list)-i)
		list[i], list[j] = list[j], list[i]
	}
}
