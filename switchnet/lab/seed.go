package lab

import (
	"crypto/sha256"
	"encoding/binary"
	"math/rand/v2"
)

// A Seed decides everything about an exercise that its task and base leave open. Who
// knows the seed, the task and the base can make the exercise again with its key: a
// program that hands exercises out derives seeds from a secret.
type Seed uint64

// Derive returns the seed for a part or a variant, named by words.
func (s Seed) Derive(words ...string) Seed {
	h := sha256.New()
	b := binary.LittleEndian.AppendUint64(nil, uint64(s))
	for _, w := range words {
		b = binary.LittleEndian.AppendUint64(b, uint64(len(w)))
		b = append(b, w...)
	}
	h.Write(b)
	return Seed(binary.LittleEndian.Uint64(h.Sum(nil)))
}

// Rand returns a source of chance that depends on the seed and the words alone.
func (s Seed) Rand(words ...string) *rand.Rand {
	d := s.Derive(words...)
	return rand.New(rand.NewPCG(uint64(d), uint64(d.Derive("second half"))))
}
