package trace_test

import (
	"context"
	"fmt"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// The stair lights of the boat shed obey the stair foot only while the loft's handle is
// down. What may be wrong, and what to do next?
func Example() {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := trace.New(context.Background(), w, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	foot := switchnet.Ref{Place: "stair-foot", Name: "stair"}
	loft := switchnet.Ref{Place: "loft", Name: "stair"}
	light := switchnet.Ref{Place: "stair-top", Name: "stair light"}
	s := c.Session()
	for _, o := range []trace.Observation{
		trace.InUse{}, // the breaker never opened
		trace.Saw{At: trace.Setting{{Switch: loft, Position: "up"}}, Lights: []trace.Seen{{Light: light, Glow: trace.Dark}}},
		trace.Flipped{From: trace.Setting{{Switch: loft, Position: "down"}}, Switch: foot, Changed: true},
	} {
		if err := s.Recall(trace.Report{Of: o}); err != nil {
			fmt.Println(err)
			return
		}
	}
	v, err := s.Verdict()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Status, "among", len(v.Fits), "classes; the likeliest:")
	for _, f := range v.Fits[:3] {
		fmt.Println(" ", f.Class.Causes[0])
	}
	a, err := s.Next(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("next:", a.Test.Kind)
	// Output:
	// searching among 39 classes; the likeliest:
	//   stair.common and stair.traveler 1 are exchanged in box loft
	//   stair.common and stair.traveler 2 are exchanged in box loft
	//   stair.common and stair.traveler 1 are exchanged in box stair-foot
	// next: look
}

// An exchange at one end of the stair, put right.
func ExampleCase_Cure() {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := trace.New(context.Background(), w, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, k := range c.Classes() {
		for _, x := range k.Causes {
			if x.String() != "stair.common and stair.traveler 1 are exchanged in box loft" {
				continue
			}
			cure, err := c.Cure(x)
			if err != nil {
				fmt.Println(err)
				return
			}
			for _, does := range cure.Does {
				fmt.Println(does)
			}
			fmt.Println("open:", cure.Boxes)
		}
	}
	// Output:
	// move C10.black from traveler 1 to common of stair in box loft
	// move C6.red from common to traveler 1 of stair in box loft
	// open: [loft]
}
