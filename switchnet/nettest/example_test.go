package nettest_test

import (
	"fmt"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/nettest"
)

// A centre-off switch of one's own: the third position was copied from the first
// and never edited.
func ExampleExamine() {
	k := switchnet.Kind{
		Name:      "centre-off",
		Terminals: []string{"common", "shore", "generator"},
		Positions: []switchnet.Position{
			{Name: "shore", Joins: [][]string{{"common", "shore"}}},
			{Name: "off"},
			{Name: "generator", Joins: [][]string{{"common", "shore"}}},
		},
	}
	r := nettest.Examine(k)
	for _, f := range r.Faults {
		fmt.Println("fault:", f)
	}
	for _, n := range r.Notes {
		fmt.Println("note:", n)
	}
	k.Positions[2].Joins = [][]string{{"common", "generator"}}
	fmt.Println("faults after the cure:", len(nettest.Examine(k).Faults))
	// Output:
	// fault: positions "shore" and "generator" join the same terminals; leave one out
	// note: terminal "generator" is never used: no position joins it to another and no internal load is on it
	// faults after the cure: 0
}
