package check_test

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

var (
	draws    = flag.Int("draws", 120, "how many random requests are planned and checked")
	from     = flag.Uint64("from", 0, "the first of the random requests, so that a long run can be made in parts")
	patience = flag.Duration("patience", 0, "how long the planner may take for each before it is passed over; 0 means for ever")
)

// request draws a sound request: boxes on a random tree of runs from a panel, with some
// runs more, feeds, controls, needs, raceways, given cables and exemptions.
func request(r *rand.Rand) intent.Intent {
	chance := func(n int) bool { return r.IntN(n) == 0 }
	n := 2 + r.IntN(6)
	controls := 1 + r.IntN(3)
	in := intent.Intent{Supply: switchnet.SplitPhase()}
	name := func(i int) string { return fmt.Sprintf("b%d", i) }
	var places []string
	for i := range n {
		box := wiring.Box{Name: name(i), Kind: wiring.DeviceBox, Gangs: 20, Metal: chance(2)}
		if i == 0 && chance(2) {
			box.Kind, box.Gangs = wiring.Panel, 0
		} else {
			places = append(places, box.Name)
		}
		in.Boxes = append(in.Boxes, box)
	}
	run := func(a, b int) {
		v := intent.Run{From: name(a), To: name(b), Length: quantity.Length(120+r.IntN(1000)) * quantity.Inch / 10}
		switch r.IntN(12) { // what has little room, where little is wanted
		case 0:
			v.Raceway = controls == 1
		case 1:
			if controls == 1 {
				v.Cable, _ = conductor.ParseCableType([]string{"14/2", "14/3", "14/4", "12/3"}[r.IntN(4)])
				v.Existing = chance(2)
			}
		}
		in.Runs = append(in.Runs, v)
	}
	for i := 1; i < n; i++ {
		run(r.IntN(i), i)
	}
	if chance(3) {
		if a, b := r.IntN(n), r.IntN(n); a != b {
			run(a, b)
		}
	}
	feeds := 1 + r.IntN(2)
	for i := range feeds {
		f := wiring.Feed{Name: fmt.Sprintf("circuit %d", i), Box: name(0), Breaker: 15 * quantity.Ampere, Volts: 120 * quantity.Volt}
		if i > 0 && chance(2) {
			f.Box = name(r.IntN(n))
		}
		if chance(2) {
			f.Lines = []switchnet.Rail{switchnet.LineB}
		}
		in.Feeds = append(in.Feeds, f)
	}
	for g := range controls {
		c := intent.Control{Name: fmt.Sprintf("g%d", g), Feed: in.Feeds[r.IntN(feeds)].Name}
		for _, i := range r.Perm(len(places))[:1+r.IntN(min(5, len(places)))] {
			c.Places = append(c.Places, places[i])
		}
		if chance(2) {
			c.Schemes = intent.Schemes()
		}
		for l := range 1 + r.IntN(3) {
			light := wiring.Light{Name: fmt.Sprintf("g%d light %d", g, l), Box: name(r.IntN(n)), Power: 10 * quantity.Watt}
			in.Lights = append(in.Lights, light)
			c.Lights = append(c.Lights, light.Name)
		}
		in.Controls = append(in.Controls, c)
	}
	for i := range r.IntN(3) {
		in.Needs = append(in.Needs, intent.Need{Box: name(r.IntN(n)), Kind: intent.Needs()[r.IntN(len(intent.Needs()))],
			Feed: in.Feeds[r.IntN(feeds)].Name, For: fmt.Sprintf("thing %d", i)})
	}
	for _, b := range places {
		if chance(5) {
			in.Exemptions = append(in.Exemptions, intent.Exemption{Box: b, By: "accessible box"})
		}
	}
	return in
}

// TestPlansAreClean checks plans of random requests with every suite: what the planner
// makes has nothing to find in it.
func TestPlansAreClean(t *testing.T) {
	t.Parallel()
	planned, places := plansAreClean(t, "us-2023", *from, *draws, nil)
	t.Logf("%d of %d requests planned, up to %d places", planned, *draws, places)
	if planned < *draws/3 || places < 4 {
		t.Errorf("%d of %d requests were planned, with at most %d places; that is too few to mean much", planned, *draws, places)
	}
}

// TestPlansElsewhereAreClean does the same under the rules of another edition and of
// another country, without what their rules do not know.
func TestPlansElsewhereAreClean(t *testing.T) {
	t.Parallel()
	for _, region := range []string{"us-2017", "uk-2018"} {
		planned, _ := plansAreClean(t, region, 0, 25, func(in *intent.Intent) {
			in.Exemptions = nil
			for i := range in.Runs {
				in.Runs[i].Cable, in.Runs[i].Existing = conductor.CableType{}, false
			}
			if region != "uk-2018" {
				return
			}
			in.Supply = switchnet.SinglePhase230()
			for i := range in.Feeds {
				in.Feeds[i].Lines, in.Feeds[i].Volts, in.Feeds[i].Breaker = nil, 230*quantity.Volt, 6*quantity.Ampere
			}
		})
		if planned < 8 {
			t.Errorf("%s: %d requests were planned, which is too few to mean much", region, planned)
		}
	}
}

// plansAreClean plans requests under the rules of a region and checks the plans. It
// returns how many were planned, and the most places of a control in them.
func plansAreClean(t *testing.T, id string, from uint64, draws int, change func(*intent.Intent)) (planned, places int) {
	t.Helper()
	region, err := rules.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	suite := check.Everything(region)
	for n := range uint64(draws) {
		seed := from + n
		in := request(rand.New(rand.NewPCG(seed, 6)))
		if change != nil {
			change(&in)
		}
		ctx, cancel := context.Background(), func() {}
		if *patience > 0 {
			ctx, cancel = context.WithTimeout(ctx, *patience)
		}
		p, err := plan.New(ctx, in, region, nil)
		cancel()
		if err != nil || p.Status != plan.Optimal && p.Status != plan.BestFound {
			continue
		}
		planned++
		w, err := wiring.New(p.Spec)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range p.Controls {
			places = max(places, len(c.Order))
		}
		for _, f := range run(t, check.Job{Wiring: w, Intent: in}, suite) {
			t.Errorf("%s, request %d: %s: %v: %s", id, seed, f.Code, f.Place, f.Message)
		}
	}
	return planned, places
}
