package plan_test

import (
	"bytes"
	"context"
	"fmt"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// The boat shed, planned: is it the best there is, in what order does the aisle visit
// its five places, and can a dimmer that needs a neutral stand in the loft?
func Example() {
	f, err := job.Parse(demo.ShedName, demo.Shed(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := plan.New(context.Background(), f.Intent, f.Region, nil)
	if err != nil {
		fmt.Println(err) // every bad request, with its place
		return
	}
	fmt.Println(p.Status, "at", p.Cost, p.Unit)
	for _, c := range p.Controls {
		fmt.Println(c.Name, c.Scheme, c.Order)
	}
	w, err := wiring.New(p.Spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range plan.AvailableIn(w, "loft").Says {
		fmt.Println(s)
	}
	// Output:
	// optimal at 683 conductor-feet
	// aisle chain [store-door slip-door yard-door stair-foot loft]
	// stair chain [stair-foot loft]
	// slipway chain [slip-door]
	// there is a neutral and no unswitched hot: no constant power, for what is switched is live in some settings only
	// in the place of aisle there is a neutral and only switched conductors: an electronic control must be one of a pair that is made for it, and takes the neutral on C5.white and C7.white and no other
	// in the place of stair there is a neutral and only switched conductors: an electronic control must be one of a pair that is made for it, and takes the neutral on C10.white and C6.white and no other
}

// What is in the way where a run has room for too little, and what would help.
func ExampleNew_infeasible() {
	// One cable of three conductors lies between the stair foot and the loft, and the
	// wall there is closed.
	run := []byte("{from: stair-foot, to: loft, length: 20 ft")
	src := bytes.Replace(demo.Shed(), run, append(run, ", cable: 14/3, existing: yes"...), 1)
	for _, other := range []string{"aisle-3, length: 16 ft}", "stair-top, length: 9 ft}", "loft-ridge, length: 17 ft}"} {
		src = bytes.Replace(src, []byte("  - {from: loft, to: "+other+"\n"), nil, 1)
	}
	f, err := job.Parse(demo.ShedName, src, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := plan.New(context.Background(), f.Intent, f.Region, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Status)
	for _, l := range p.Lacks {
		fmt.Println(l.Why)
	}
	for _, c := range p.Changes {
		fmt.Println("or:", c.Says, "for", c.Cost, p.Unit)
	}
	// Output:
	// infeasible
	// from stair-foot to loft 6 conductors are needed beside the ground, and 14/3 has room for 3 of them; the ground carries nothing else, and a neutral's colour only what the rules let it be marked for
	// or: lay a raceway for loose conductors from stair-foot to loft for 693 conductor-feet
	// or: pull what is needed from stair-foot to loft in place of the cable given for 753 conductor-feet
}

// A cable was pulled otherwise than planned: what has to be printed again?
func ExampleRevise() {
	old, err := job.Parse(demo.ShedName, demo.Shed(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	before, err := plan.New(context.Background(), old.Intent, old.Region, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	run := []byte("{from: stair-top, to: loft-ridge, length: 15 ft")
	pulled := bytes.Replace(demo.Shed(), run, append(run, ", cable: 14/3"...), 1)
	f, err := job.Parse(demo.ShedName, pulled, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := plan.Revise(context.Background(), before.Spec, f.Intent, f.Region, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Plan.Status, len(r.Boxes), "sheets change")
	for _, b := range r.Boxes {
		fmt.Println(b.Box + ":")
		for _, s := range b.Is {
			fmt.Println("  now:", s)
		}
	}
	// Output:
	// best found 2 sheets change
	// stair-top:
	//   now: cable C11, 14/3, 15 ft to loft-ridge
	//   now: C11.red is spare
	//   now: C11.red is capped
	// loft-ridge:
	//   now: cable C11, 14/3, 15 ft to stair-top
	//   now: C11.red is spare
	//   now: C11.red is capped
}
