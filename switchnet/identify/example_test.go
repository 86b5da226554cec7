package identify_test

import (
	"context"
	"errors"
	"fmt"
	"log"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// stair is the stair of the caretaker's cottage: below one three-wire cable, above one and
// two two-wires, and nobody knows where any of them goes.
func stair() *wiring.Wiring {
	spec := wiring.Spec{
		Supply: switchnet.SplitPhase(),
		Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "ceiling", Kind: wiring.CeilingBox},
			{Name: "below", Kind: wiring.DeviceBox}, {Name: "above", Kind: wiring.DeviceBox}},
		Feeds:  []wiring.Feed{{Name: "upstairs", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Lights: []wiring.Light{{Name: "stair", Box: "ceiling"}},
		Devices: []wiring.Device{{Name: "stair", Box: "below", Kind: switchnet.ThreeWay()},
			{Name: "stair", Box: "above", Kind: switchnet.ThreeWay()}},
	}
	for _, c := range [][3]string{{"D1", "14/3", "below"}, {"U1", "14/3", "above"}, {"U2", "14/2", "above"}, {"U3", "14/2", "above"}} {
		t, err := conductor.ParseCableType(c[1])
		if err != nil {
			log.Fatal(err)
		}
		spec.Cables = append(spec.Cables, wiring.Cable{Name: c[0], Type: t, From: c[2]})
	}
	w, err := wiring.New(spec)
	if err != nil {
		log.Fatal(err)
	}
	return w
}

func on(cable, conductor string) wiring.Wire {
	return wiring.Wire{Cable: cable, Conductor: conductor}
}

// What was seen when the boxes were opened settles most of it, and one reading the rest.
func Example() {
	c, err := identify.New(context.Background(), stair(), nil)
	if err != nil {
		log.Fatal(err)
	}
	s := c.Session()
	for _, o := range []identify.Observation{
		identify.SameCable{A: "D1", B: "U1", Same: true},
		identify.InBox{Box: "below", Screws: []identify.Screw{
			{Device: "stair", Terminal: "common", Wire: on("D1", "white")},
			{Device: "stair", Terminal: "traveler 1", Wire: on("D1", "black")},
			{Device: "stair", Terminal: "traveler 2", Wire: on("D1", "red")}}},
		identify.InBox{Box: "above", Spliced: [][]wiring.Wire{{on("U1", "white"), on("U3", "black")}, {on("U2", "white"), on("U3", "white")}},
			Screws: []identify.Screw{
				{Device: "stair", Terminal: "common", Wire: on("U2", "black")},
				{Device: "stair", Terminal: "traveler 1", Wire: on("U1", "black")},
				{Device: "stair", Terminal: "traveler 2", Wire: on("U1", "red")}}},
	} {
		if err := s.Recall(o, 0); err != nil {
			log.Fatal(err)
		}
	}
	for _, f := range s.Verdict(2).Fits {
		fmt.Printf("%s: %v\n", f.Likely.FormatPercent(0), f.Plans[0])
	}
	in, err := s.In("below")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(in.Ends[1])
	fmt.Println(in.Controls[0])
	// Output:
	// 80 %: stair: chain through below, above, fed by upstairs
	// 17 %: stair: chain through above, below, fed by upstairs
	// D1.white in box below: constant hot of upstairs (82 %) or neutral of upstairs (under 1 %) or switch leg of stair (18 %) or switched return of stair (under 1 %)
	// power for a control of stair: never
}

// Next says what to do, and Answers how it may come out.
func ExampleSession_Next() {
	ctx := context.Background()
	c, err := identify.New(ctx, stair(), &identify.Options{Unusual: 1})
	if err != nil {
		log.Fatal(err)
	}
	s := c.Session()
	a, err := s.Next(ctx)
	if err != nil {
		log.Fatal(err)
	}
	for _, step := range a.Test.Steps() {
		fmt.Println(step)
	}
	answers, err := s.Answers(a.Test)
	if err != nil {
		log.Fatal(err)
	}
	for _, x := range answers {
		fmt.Println("-", x.Outcome())
	}
	if err := s.Answer(a.Test, answers[0].Of, 0); err != nil {
		log.Fatal(err)
	}
	fmt.Println(s.Log()[0])
	// Output:
	// Ask whoever uses it: before anything was opened, did the lights of stair change every time the switch in above was moved, however the others stood? Do not try it out with a box open.
	// - yes, every time
	// - no, or not always
	// the lights of stair obey the switch in above
}

// Refuses checks an advice before anybody follows it: joining three conductors and
// switching on is a bolted fault if a neutral is among them.
func ExampleSession_Refuses() {
	c, err := identify.New(context.Background(), stair(), &identify.Options{Unusual: 1, Released: []string{"below", "above"}})
	if err != nil {
		log.Fatal(err)
	}
	s := c.Session()
	if err := s.Observe(identify.Reference{Point: identify.Outside(), Shown: true}); err != nil {
		log.Fatal(err)
	}
	black, red, white := wiring.End{Box: "below", Wire: on("D1", "black")}, wiring.End{Box: "below", Wire: on("D1", "red")}, wiring.End{Box: "below", Wire: on("D1", "white")}
	err = s.Refuses(identify.Reading{
		Red: switchnet.Terminal{Place: "above", Device: "U2", Name: "black"}, Black: identify.Outside(), Meter: steady.LowImpedance,
		Tied: [][2]wiring.End{{black, red}, {black, white}},
	})
	var bolted *identify.Bolted
	if errors.As(err, &bolted) {
		fmt.Println(bolted.Rule)
		fmt.Println(bolted.Plans[0])
		fmt.Println(bolted.Ends[8])
	}
	// Output:
	// it would be a bolted fault if a remaining possibility were so
	// stair: one place left through below, fed by upstairs
	// D1.white in box below: neutral of upstairs
}
