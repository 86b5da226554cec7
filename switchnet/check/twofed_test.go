package check_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/wiring"
)

// TestTwoCircuitsOneLight compares which lights two circuits light with a look at every
// state with the breaker of one feed closed, for examples of several circuits with faults
// put in: by fixed seeds, so that every run looks at the same.
func TestTwoCircuitsOneLight(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	looked, by := 0, 0
	for _, name := range examples(t) {
		x := readExample(t, name)
		spec := x.job.Wiring.Spec()
		if len(spec.Feeds) < 2 || len(spec.Devices) > 6 || len(spec.Lights) == 0 {
			continue
		}
		for range 6 {
			j := x.job
			for range rng.IntN(4) {
				if list := miswire.List(j.Wiring); len(list) > 0 {
					if w, err := list[rng.IntN(len(list))].Apply(j.Wiring); err == nil {
						j.Wiring = w
					}
				}
			}
			found := run(t, j, check.Safety(x.file.Region))
			tied := slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.HandleTie != "" })
			for _, l := range spec.Lights {
				looked++
				ref := switchnet.Ref{Place: l.Box, Name: l.Name}
				alone := litAlone(t, j.Wiring, ref)
				says := slices.ContainsFunc(found, func(f check.Finding) bool { return f.Code == "two-circuits-one-light" && f.About == ref })
				joined := slices.ContainsFunc(found, func(f check.Finding) bool { return f.Code == "circuits-joined" })
				if len(alone) > 1 {
					by++
				}
				if says && len(alone) < 2 || len(alone) > 1 && !tied && !says && !joined {
					t.Errorf("%s: %v is lit by each of %s alone; found %v, circuits joined %v", name, ref, strings.Join(alone, ", "), says, joined)
				}
			}
		}
	}
	if looked < 300 || by < 20 {
		t.Errorf("looked at %d lights, of which %d are lit by two circuits", looked, by)
	}
}

// litAlone returns the feeds that light a light in some state while the breakers of all
// others are off.
func litAlone(t *testing.T, w *wiring.Wiring, light switchnet.Ref) []string {
	t.Helper()
	var out []string
	solver := w.Net().NewSolver()
	feeds := w.Spec().Feeds
	for i, f := range feeds {
		hold := w.Net().Rest()
		for k, other := range feeds {
			if k != i {
				var err error
				if hold, err = hold.With(switchnet.Ref{Place: other.Box, Name: other.Name}, "off"); err != nil {
					t.Fatal(err)
				}
			}
		}
		states, _, err := w.Net().States(&switchnet.StatesOptions{Hold: hold})
		if err != nil {
			t.Fatal(err)
		}
		for s := range states {
			v, err := solver.Solve(s)
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := v.Supply(light); got.Status == switchnet.Lit {
				out = append(out, f.Name)
				break
			}
		}
	}
	return out
}

// twoPoles has the hot of one feed and a pole of another, both of one line, on a switch each
// to the same light.
const twoPoles = `format: 1
title: boat shed
rules: us-2023
supply: split-phase
feeds:
  - {name: lights, box: panel, breaker: 15 A}
  - {name: winch, box: panel, breaker: 15 A, poles: 2, lines: [B, A]}
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 50 in3, clamps: none, gangs: 3}
  - {name: slipway, kind: ceiling, volume: 30 in3}
lights:
  - {name: floodlight, box: slipway, load: 60 W}
cables:
  - {name: C1, type: 14/2, from: panel, to: slip-door}
  - {name: C2, type: 14/3, from: panel, to: slip-door}
  - {name: C3, type: 14/2, from: slip-door, to: slipway}
devices:
  - {name: a, box: slip-door, kind: single-pole}
  - {name: b, box: slip-door, kind: single-pole}
splices:
  - {box: slip-door, join: [C1.white, C3.white]}
  - {box: slip-door, join: [C3.black, a.load, b.load]}
  - {box: slipway, join: [C3.black, floodlight.hot]}
  - {box: slipway, join: [C3.white, floodlight.neutral]}
  - {box: slip-door, join: [C1.bare, C2.bare, C3.bare, a.ground, b.ground]}
  - {box: slipway, join: [C3.bare, floodlight.ground]}
landings:
  - {box: panel, device: lights, terminal: hot, wire: C1.black}
  - {box: panel, device: lights, terminal: neutral, wire: C1.white}
  - {box: panel, device: lights, terminal: ground, wire: C1.bare}
  - {box: panel, device: winch, terminal: hot 1, wire: C2.black}
  - {box: panel, device: winch, terminal: hot 2, wire: C2.red}
  - {box: panel, device: winch, terminal: ground, wire: C2.bare}
  - {box: slip-door, device: a, terminal: line, wire: C1.black}
  - {box: slip-door, device: b, terminal: line, wire: C2.POLE}
caps:
  - {box: panel, wire: C2.white}
  - {box: slip-door, wire: C2.white}
  - {box: slip-door, wire: C2.REST}
`

// TestCircuitsMeetAtAnyPole: two feeds are joined by the switches whichever pole of the one
// it is.
func TestCircuitsMeetAtAnyPole(t *testing.T) {
	for _, c := range []struct{ pole, rest, lines string }{{"black", "red", "[A, B]"}, {"red", "black", "[B, A]"}} {
		text := strings.NewReplacer("POLE", c.pole, "REST", c.rest, "lines: [B, A]", "lines: "+c.lines).Replace(twoPoles)
		f, j := read(t, "shed.yaml", []byte(text))
		found := run(t, j, check.Safety(f.Region))
		if !slices.ContainsFunc(found, func(x check.Finding) bool {
			return x.Code == "circuits-joined" && len(x.Witness) == 1 && strings.Contains(x.Message, "lights and winch")
		}) {
			t.Errorf("with the %s: %+v", c.pole, found)
		}
	}
}
