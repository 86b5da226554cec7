package check

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// oneOrTheOther returns a job in which a three-way lights some lamps or some others, each
// behind a switch of its own, with the lamps in name order.
func oneOrTheOther(t interface{ Fatal(...any) }, n int) (*Pass, []switchnet.Ref) {
	typ, err := conductor.ParseCableType("14/2")
	if err != nil {
		t.Fatal(err)
	}
	spec := wiring.Spec{Supply: switchnet.SplitPhase(),
		Feeds:   []wiring.Feed{{Name: "lights", Box: "panel", Breaker: 15 * quantity.Ampere}},
		Boxes:   []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "loft", Kind: wiring.DeviceBox}},
		Devices: []wiring.Device{{Name: "turn", Box: "loft", Kind: switchnet.ThreeWay()}},
		Cables:  []wiring.Cable{{Name: "C", Type: typ, From: "panel", To: "loft"}}}
	land := func(box, device, terminal, wire string) {
		spec.Landings = append(spec.Landings, wiring.Landing{Box: box, Device: device, Terminal: terminal, Wire: wiring.Wire{Cable: "C", Conductor: wire}})
	}
	land("panel", "lights", "hot", "black")
	land("panel", "lights", "neutral", "white")
	land("loft", "turn", "common", "black")
	neutral := wiring.Splice{Box: "loft", Join: []wiring.Joint{wiring.WireJoint("C", "white")}}
	var refs []switchnet.Ref
	for i := range n {
		lamp, own := fmt.Sprintf("lamp %d", i), fmt.Sprintf("own %d", i)
		refs = append(refs, switchnet.Ref{Place: "loft", Name: lamp})
		spec.Lights = append(spec.Lights, wiring.Light{Name: lamp, Box: "loft"})
		spec.Devices = append(spec.Devices, wiring.Device{Name: own, Box: "loft", Kind: switchnet.SinglePole()})
		spec.Splices = append(spec.Splices,
			wiring.Splice{Box: "loft", Join: []wiring.Joint{{Device: "turn", Terminal: fmt.Sprintf("traveler %d", 1+i%2)}, {Device: own, Terminal: "line"}}},
			wiring.Splice{Box: "loft", Join: []wiring.Joint{{Device: own, Terminal: "load"}, {Device: lamp, Terminal: "hot"}}})
		neutral.Join = append(neutral.Join, wiring.Joint{Device: lamp, Terminal: "neutral"})
	}
	spec.Splices = append(spec.Splices, neutral)
	w, err := wiring.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	suite := Safety(nil)
	return newPass(context.Background(), Job{Wiring: w}, &suite), refs
}

// TestLitAtOnce compares what is lit at once with a look at every state.
func TestLitAtOnce(t *testing.T) {
	const n = 6
	p, refs := oneOrTheOther(t, n)
	net, err := p.Quiet()
	if err != nil {
		t.Fatal(err)
	}
	states, _, err := net.States(nil)
	if err != nil {
		t.Fatal(err)
	}
	solver := net.NewSolver()
	sets := map[string][]bool{}
	lits := func(s switchnet.State) []bool {
		v, err := solver.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		on := make([]bool, n)
		for i, r := range refs {
			got, _ := v.Supply(r)
			on[i] = got.Status == switchnet.Lit
		}
		return on
	}
	for s := range states {
		on := lits(s)
		sets[fmt.Sprint(on)] = on
	}
	rapid.Check(t, func(t *rapid.T) {
		takes := rapid.SliceOfN(rapid.Int64Range(0, 5), n, n).Draw(t, "takes")
		limit := rapid.Int64Range(1, 16).Draw(t, "limit")
		most := int64(0)
		for _, on := range sets {
			sum := int64(0)
			for i := range on {
				if on[i] {
					sum += takes[i]
				}
			}
			most = max(most, sum)
		}
		lit, state, err := p.litAtOnce(refs, takes, limit)
		if err != nil {
			t.Fatal(err)
		}
		if (len(lit) > 0) != (most > limit) {
			t.Fatalf("found %v; the most that is lit at once takes %d, and the limit is %d", lit, most, limit)
		}
		if len(lit) == 0 {
			return
		}
		if state == nil {
			t.Fatal("there is no state")
			return
		}
		on, sum := lits(*state), int64(0)
		for _, i := range lit {
			if sum += takes[i]; !on[i] {
				t.Errorf("lamp %d is not lit in %v", i, *state)
			}
		}
		if sum <= limit || !slices.IsSorted(lit) {
			t.Errorf("%v takes %d, and the limit is %d", lit, sum, limit)
		}
	})
}

// TestLitAtOnceGivesUp holds that what is too much to find out is taken for the worst.
func TestLitAtOnceGivesUp(t *testing.T) {
	const n = 40
	p, refs := oneOrTheOther(t, n)
	takes := make([]int64, n)
	for i := range takes {
		takes[i] = 1
	}
	for _, r := range []struct {
		limit int64
		lit   int
		state bool
		why   string
	}{
		{n/2 - 1, n / 2, true, "every second lamp is more than that"},
		{n / 2, n, false, "no more than half of them is ever lit, and too many sets would have to be asked about"},
		{n, 0, false, "all of them take no more"},
	} {
		lit, state, err := p.litAtOnce(refs, takes, r.limit)
		if err != nil || len(lit) != r.lit || (state != nil) != r.state {
			t.Errorf("%s: %d are lit (%v), want %d", r.why, len(lit), err, r.lit)
		}
	}
}
