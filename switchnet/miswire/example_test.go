package miswire_test

import (
	"context"
	"fmt"
	"os"

	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// Which single faults light the lamp of a pair in one state of four?
func Example() {
	src, err := os.ReadFile("testdata/chain-2.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := job.Parse("chain-2.yaml", src, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		fmt.Println(err)
		return
	}
	classes, err := miswire.Classes(context.Background(), w, miswire.List(w), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range classes {
		if c.Behaviour.Tallies[0].Lit == 1 && c.Behaviour.Shorted == 0 {
			fmt.Printf("%d faults, such as: %s\n", len(c.Faults), c.Faults[0].Says)
		}
	}
	// Output:
	// 12 faults, such as: hall.common and hall.traveler 1 are exchanged in box place-1
	// 12 faults, such as: hall.common and hall.traveler 2 are exchanged in box place-1
	// 2 faults, such as: hall is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box place-1
	// 2 faults, such as: hall is a four-way, pair 1 first for common, pair 1 second for traveler 1, pair 2 first for traveler 2 in box place-1
}
