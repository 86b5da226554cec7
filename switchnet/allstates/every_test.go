package allstates_test

import (
	"flag"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"pgregory.net/rapid"
)

// long makes the tests against oracles run long: 100,000 nets of up to 4,096 states
// with every answer of every question, and 24 switches.
//
//	go test ./switchnet/allstates -run 'TestEveryAnswer$|TestAgainstWords' -long -timeout 0 -v
var long = flag.Bool("long", false, "compare 100,000 nets with brute force, and 24 switches")

// TestEveryAnswer compares every answer of every question with what solving each
// state on its own says, on real wirings with mistakes and on wild ones.
func TestEveryAnswer(t *testing.T) {
	nets := uint64(250)
	if *long {
		nets = 100_000
	}
	for seed := range nets {
		if seed%3 == 0 {
			net := newWild(seed, 7).build()
			if err := checkEverything(net, optionsOf(net, seed), seed); err != nil {
				t.Fatalf("wild net of seed %d: %v", seed, err)
			}
			continue
		}
		limits := netgen.Limits{Devices: 12, States: 256}
		if *long && seed%50 == 1 {
			limits.States = 4096
		}
		spec := netgen.Seeded(seed, limits)
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		if err := checkEverything(net, optionsOf(net, seed), seed); err != nil {
			t.Fatalf("net of seed %d: %v\n%v", seed, err, spec)
		}
		if (seed+1)%10_000 == 0 {
			t.Log(seed+1, "nets compared")
		}
	}
}

// optionsOf varies the breakers or not, or some devices and holds the others
// anywhere.
func optionsOf(net *switchnet.Net, seed uint64) *allstates.Options {
	if seed%4 > 0 {
		return &allstates.Options{Breakers: seed%4 > 1}
	}
	rng := rand.New(rand.NewPCG(seed, 13))
	opt := &allstates.Options{Hold: net.Rest(), Vary: []switchnet.Ref{}}
	for d := range net.Devices() {
		for range rng.IntN(len(d.Kind.Positions)) {
			opt.Hold, _ = opt.Hold.Flip(d.Ref)
		}
		if len(d.Kind.Positions) > 1 && rng.IntN(3) > 0 {
			opt.Vary = append(opt.Vary, d.Ref)
		}
	}
	return opt
}

// TestEveryAnswerShrunk does the same where rapid can shrink what fails.
func TestEveryAnswerShrunk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{Devices: 9, States: 64}).Draw(t, "net")
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		opt := &allstates.Options{Breakers: rapid.Bool().Draw(t, "breakers move")}
		if err := checkEverything(net, opt, 1); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzEveryAnswer(f *testing.F) {
	f.Add([]byte{}, false)
	f.Add([]byte("a chain of three places, then a mistake"), true)
	f.Add([]byte{3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8, 9, 7, 9, 3, 2, 3, 8, 4, 6, 2, 6, 4, 3, 3, 8, 3, 2, 7, 9, 5}, true)
	f.Fuzz(func(t *testing.T, data []byte, breakers bool) {
		spec := netgen.FromBytes(data, netgen.Limits{Devices: 10, States: 256})
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		if err := checkEverything(net, &allstates.Options{Breakers: breakers}, uint64(len(data))); err != nil {
			t.Fatalf("%v\n%v", err, spec)
		}
	})
}
