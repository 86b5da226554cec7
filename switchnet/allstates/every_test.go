package allstates_test

import (
	"flag"
	"fmt"
	"testing"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet/allstates"
	"pgregory.net/rapid"
)

// nets is how many nets TestEveryAnswer compares with brute force; the long run is
//
//	go test ./switchnet/allstates -run TestEveryAnswer -nets 100000 -timeout 0
var nets = flag.Int("nets", 250, "compare this many nets with brute force")

// TestEveryAnswer compares every answer of every question with what solving each
// state on its own says, on real wirings with mistakes and on wild ones.
func TestEveryAnswer(t *testing.T) {
	limits := netgen.Limits{Devices: 12, States: 256}
	if *nets > 10_000 {
		limits.States = 4096
	}
	for seed := range uint64(*nets) {
		opt := &allstates.Options{Breakers: seed%2 == 0}
		if seed%3 == 0 {
			if err := checkEverything(newWild(seed, 7).build(), opt, seed); err != nil {
				t.Fatalf("wild net of seed %d: %v", seed, err)
			}
			continue
		}
		if seed%5 > 0 && limits.States > 256 {
			limits.States = 256 // the largest nets now and then
		} else if *nets > 10_000 {
			limits.States = 4096
		}
		spec := netgen.Seeded(seed, limits)
		net, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		if err := checkEverything(net, opt, seed); err != nil {
			t.Fatalf("net of seed %d: %v\n%v", seed, err, spec)
		}
		if *nets > 10_000 && (seed+1)%10_000 == 0 {
			fmt.Println(seed+1, "nets compared")
		}
	}
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
