package netgen

import (
	"math/rand/v2"

	"pgregory.net/rapid"
)

// Limits bounds the size of the nets. The zero value of a field means its
// default.
type Limits struct {
	Devices   int // devices, breakers and receptacles included; default 8
	States    int // product of the positions of all devices; default 256
	Loads     int // loads, those inside devices included; default 6
	Mutations int // mistakes made in the wiring, -1 for none; default 5
}

func (l Limits) filled() Limits {
	set := func(v *int, d int) {
		if *v == 0 {
			*v = d
		}
	}
	set(&l.Devices, 8)
	set(&l.States, 256)
	set(&l.Loads, 6)
	set(&l.Mutations, 5)
	return l
}

// Nets returns a generator of nets. Its first choice is always the simplest, so
// that rapid shrinks towards a plain switch and lamp without mistakes.
func Nets(l Limits) *rapid.Generator[*Spec] {
	return rapid.Custom(func(t *rapid.T) *Spec {
		return draw(l, func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "choice") })
	})
}

// FromBytes returns the net whose choices the bytes spell, one byte a choice and
// two where there are more than 256 to choose from; when they run out, every
// choice is the first. Any bytes give a net. It is the way in for native fuzz
// targets.
func FromBytes(data []byte, l Limits) *Spec {
	next := func() int {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return int(b)
	}
	return draw(l, func(n int) int {
		v := next()
		if n > 256 {
			v |= next() << 8
		}
		return v % n
	})
}

// Seeded returns the net whose choices are drawn evenly from a seed.
func Seeded(seed uint64, l Limits) *Spec {
	r := rand.New(rand.NewPCG(seed, 2))
	return draw(l, r.IntN)
}

func draw(l Limits, choose func(n int) int) *Spec {
	s := &sketch{limits: l.filled(), choose: choose, states: 1}
	s.wire()
	for range s.pick(s.limits.Mutations + 1) {
		s.mutate()
	}
	return &s.spec
}
