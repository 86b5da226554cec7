package plan

import (
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// Short returns options that leave a search so little to do that it is exhaustive for the
// smallest requests alone.
func Short() *Options { return &Options{Limit: 1, prices: 1} }

// Walk returns the bound below every walk through some boxes, by the lengths of the runs.
func Walk(in intent.Intent, places ...string) rules.Amount {
	boxes := map[string]int32{}
	for i := range in.Boxes {
		boxes[in.Boxes[i].Name] = int32(i)
	}
	g := &lines{ways: waysOf(in.Runs, boxes, len(in.Boxes), true), boxes: len(in.Boxes)}
	for _, r := range in.Runs {
		g.per = append(g.per, rules.Amount(r.Length))
	}
	var at []int32
	for _, p := range places {
		at = append(at, boxes[p])
	}
	return g.walk(at)
}

// BoxWithout returns what a wiring has in one box, some of the cables there left out.
var BoxWithout = boxWithout
