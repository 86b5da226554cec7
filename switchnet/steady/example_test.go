package steady_test

import (
	"context"
	"fmt"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// A virtual meter from a job file in five lines: read the file, build what it wires,
// make its electrical problem, solve a state of its switches, and put the probes on.
func Example() {
	f, _ := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	w, _ := wiring.New(f.Wiring)
	p, _ := steady.New(w, &f.Region.Conductor, nil)
	s, _ := p.Solve(w.Net().Rest())
	r, _ := s.Read(steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: wiring.Wire{Cable: "C6", Conductor: "black"}.In("loft"), Black: wiring.Wire{Cable: "C6", Conductor: "bare"}.In("loft")})
	fmt.Println(r)
	// Output: shows 39.4 V (ghost: 0.1 V under load; not proven): it comes through a capacitance or a leak; under load 0.1 V is left
}

// shed returns the boat shed and its electrical problem.
func shed() (*wiring.Wiring, *steady.Problem) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		panic(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		panic(err)
	}
	p, err := steady.New(w, &f.Region.Conductor, &steady.Options{Service: steady.Service{FaultCurrent: 5 * quantity.Kiloampere}})
	if err != nil {
		panic(err)
	}
	return w, p
}

// A meter on the idle traveler of the stair: what it shows, and what that is worth.
func ExampleSolution_Read() {
	w, p := shed()
	s, _ := p.Solve(w.Net().Rest())
	red, black := wiring.Wire{Cable: "C6", Conductor: "black"}.In("loft"), wiring.Wire{Cable: "C6", Conductor: "bare"}.In("loft")
	r, _ := s.Read(steady.Meter{Kind: steady.HighImpedance}, steady.Probes{Red: red, Black: black})
	fmt.Println(r.Shows.Format(quantity.Volt, 0), r.Verdict, r.Proof)
	// Output: 39 V ghost not proven
}

// What a light gets, and what the wires on its way carry.
func ExampleSolution_Load() {
	w, p := shed()
	s, _ := p.Solve(w.Net().Rest())
	r, _ := s.Load(switchnet.Ref{Place: "aisle-1", Name: "aisle light 1"})
	fmt.Println(s.Status(), r.State, r.Volts.Magnitude().Format(quantity.Volt, 1), r.Power.Format(quantity.Watt, 1))
	c, _ := s.Clamp(wiring.Wire{Cable: "C7", Conductor: "black"})
	fmt.Println("the aisle's leg:", c.Format(quantity.Ampere, 2))
	// Output:
	// converged lit 119.6 V 17.9 W
	// the aisle's leg: 0.45 A
}

// The worst voltage drop over every state of the shed's eight handles.
func ExampleProblem_WorstDrop() {
	_, p := shed()
	d, _, _ := p.WorstDrop(context.Background(), nil)
	fmt.Println(d.Load, d.Share.FormatPercent(2))
	fmt.Println(len(d.Path), "parts, the first", d.Path[0].What, "and the last", d.Path[len(d.Path)-1].What)
	// Output:
	// aisle light 1 at aisle-1 0.37 %
	// 23 parts, the first supply and the last C1.white
}

// What would flow at the far end of the aisle if its conductors touched.
func ExampleSolution_Faults() {
	w, p := shed()
	s, _ := p.Solve(w.Net().Rest())
	faults, _ := s.Faults(context.Background())
	for _, f := range faults {
		if f.Box == "aisle-1" {
			fmt.Println(f.Kind, f.Least.Format(quantity.Ampere, 0), "on a breaker of", f.Breaker)
		}
	}
	// Output:
	// line to neutral 144 A on a breaker of 15 A
	// line to ground 150 A on a breaker of 15 A
}
