package trace

import (
	"context"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// MaxFinalists is for how many classes volts are worked out: connectivity comes first.
const MaxFinalists = 12

// Electric is what the volts of a circuit depend on beside its wiring.
type Electric struct {
	// Table is where the impedance of conductors comes from.
	Table *conductor.Table
	// Options are those of the electrical solve; nil means its defaults. The coupling
	// of cables is a typical value unless they state it: a reading that lives on it may
	// be half or twice what is predicted.
	Options *steady.Options
}

// A Predicted is what a meter is expected to show under one of the classes that remain.
type Predicted struct {
	Class  Class
	Likely quantity.Ratio
	// Least and Most are the volts over all ways of mounting the handles that remain;
	// the two are the same if that does not matter.
	Least, Most quantity.Voltage
	// Comes is what both come to: hot, dead or ambiguous; 0 if they differ.
	Comes Volts
	// Trips reports that it would be a bolted fault in that setting: there is nothing to
	// read.
	Trips bool
}

// String returns the words. The text is for reading and not stable.
func (p Predicted) String() string {
	if len(p.Class.Causes) == 0 {
		return "nothing is expected of no cause"
	}
	switch {
	case p.Trips:
		return fmt.Sprintf("a bolted fault if %s", p.Class.Causes[0])
	case p.Comes == 0:
		return fmt.Sprintf("%s to %s if %s", p.Least, p.Most, p.Class.Causes[0])
	case p.Most-p.Least < quantity.Volt:
		return fmt.Sprintf("%s, %v, if %s", p.Most, p.Comes, p.Class.Causes[0])
	}
	return fmt.Sprintf("%s to %s, %v, if %s", p.Least, p.Most, p.Comes, p.Class.Causes[0])
}

// Predict returns what the meter of a reading is expected to show, in place of what it
// shows, under each class that remains, in the order of Verdict.Fits: for finalists that
// connectivity leaves ambiguous, such as a ghost voltage or two lamps in series. It takes
// the first cause of each class. It is arithmetic on a drawing with typical couplings: it
// tells what a reading that was taken speaks for, and rules nothing out.
//
// More classes than MaxFinalists are an error, and so is a question that package steady
// refuses. It takes one electrical solve for each class and way of mounting the handles.
func (s *Session) Predict(ctx context.Context, r Reading, e Electric) ([]Predicted, error) {
	var errs Errors
	ys, whole := s.c.f.sp.meant(&errs, "Reading.At", r.At)
	if !whole {
		errs.add("Reading.At", "leaves switches out; say how every handle stands")
	}
	s.c.probes(&errs, "Reading", r.Red, r.Black)
	if _, err := r.Meter.MarshalText(); err != nil || r.Meter == steady.Proximity {
		errs.add("Reading.Meter", "is not said, or shows no volts")
	}
	if e.Table == nil {
		errs.add("Electric.Table", "is not set")
	}
	v, err := s.Verdict()
	if err != nil {
		return nil, err
	}
	if len(v.Fits) > MaxFinalists {
		errs.add("Session", "%d classes remain; volts are worked out for %d at most: make the tests that connectivity answers first", len(v.Fits), MaxFinalists)
	}
	if len(errs) > 0 {
		return nil, errs
	}
	remain := map[int]possible{}
	for _, p := range s.remaining().classes {
		remain[p.class] = p
	}
	var out []Predicted
	for _, f := range v.Fits {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p := Predicted{Class: f.Class, Likely: f.Likely}
		senses := remain[f.index].senses
		if senses == nil { // in a contradiction
			senses = []int32{0}
		}
		volts, err := s.c.volts(f.index, ys[0], senses, r, e)
		if err != nil {
			return nil, err
		}
		if len(volts) == 0 {
			p.Trips = true
			out = append(out, p)
			continue
		}
		p.Least, p.Most = slices.Min(volts), slices.Max(volts)
		first, same := Volts(0), true
		nominal := s.c.w.Net().Source().System.LineToNeutral
		for i, x := range volts {
			r.Shows = x
			comes := r.Comes(nominal)
			if i == 0 {
				first = comes
			}
			same = same && comes == first
		}
		if same {
			p.Comes = first
		}
		out = append(out, p)
	}
	return out, nil
}

// volts returns what a meter shows under a class, for each of some senses; nothing of those
// in which there is nothing to read.
func (c *Case) volts(class, x int, senses []int32, r Reading, e Electric) ([]quantity.Voltage, error) {
	w, err := c.w.Apply(c.classes[class].edits...)
	if err != nil {
		return nil, &Error{"Options.Faults", err.Error()}
	}
	problem, err := steady.New(w, e.Table, e.Options)
	if err != nil {
		return nil, err
	}
	net := w.Net()
	circuit := c.f.circuit(net)
	known := map[int]bool{}
	var out []quantity.Voltage
	for _, sense := range senses {
		y := x ^ int(sense)
		if known[y] {
			continue
		}
		known[y] = true
		state, err := c.f.state(circuit, y)
		if err != nil {
			return nil, err
		}
		solved, err := problem.Solve(state)
		if err != nil {
			return nil, err
		}
		if !solved.Status().Figures() {
			continue
		}
		if v, err := net.NewSolver().Solve(state); err != nil || v.Shorted() {
			continue
		}
		got, err := solved.Read(steady.Meter{Kind: r.Meter}, steady.Probes{Red: r.Red, Black: r.Black})
		if err != nil {
			return nil, err
		}
		out = append(out, got.Shows)
	}
	return out, nil
}

// state returns the state of a net in a true setting, breakers on.
func (f *frame) state(c *circuit, y int) (switchnet.State, error) {
	pos := make([]uint8, c.net.Dense().Devices())
	for i, d := range c.devices {
		pos[d] = uint8(f.sp.at(y, i))
	}
	return c.net.StateOf(pos)
}

// Finals returns the reading over a neutral or ground, with the handles as they stand and
// either meter, whose predicted volts tell most about which of the classes that remain it
// is, with what is predicted, and false if no reading does: volts that are as far apart as
// both meters' tolerances and a tenth count as told apart. Of equals it is the first in the
// order of boxes and points, the loaded meter first.
//
// It is a live reading: the rules of a session hold, so that there is none after a trip,
// with the circuit locked out, where the setting could be a bolted fault, or while a test
// with the circuit dead would tell.
func (s *Session) Finals(ctx context.Context, e Electric) (r Reading, predicted []Predicted, ok bool, err error) {
	a, err := s.Next(ctx)
	if err != nil || s.tripped || s.locked || s.lifted || s.c.opt.NoLive || a.Status == Searching && a.Test.Kind == DeadTest {
		return Reading{}, nil, false, err
	}
	n := &chooser{s: s, r: s.remaining(), ctx: ctx, risk: map[int]*Class{}}
	if n.risky(s.at) != nil {
		return Reading{}, nil, false, nil
	}
	most := 0
	at := map[string][]int{}
	for i, t := range s.c.f.points {
		at[t.Place] = append(at[t.Place], i)
	}
	for _, box := range s.c.travel.names {
		for _, q := range at[box] {
			if f := s.c.meant[q]; f != wiring.NeutralConductor && f != wiring.GroundConductor || s.bonded(s.c.f.points[q]) && !s.otherReference() {
				continue
			}
			for _, p := range at[box] {
				if s.c.meant[p] == wiring.NeutralConductor || s.c.meant[p] == wiring.GroundConductor {
					continue
				}
				for _, kind := range []steady.MeterKind{steady.LowImpedance, steady.HighImpedance} {
					x := Reading{At: s.Handles(), Red: s.c.f.points[p], Black: s.c.f.points[q], Meter: kind}
					got, err := s.Predict(ctx, x, e)
					if err != nil {
						return Reading{}, nil, false, err
					}
					if told := apart(got); told > most {
						most, r, predicted, ok = told, x, got, true
					}
				}
			}
			break // one reference a box is enough
		}
	}
	return r, predicted, ok, nil
}

// apart counts the pairs of classes that a reading tells apart.
func apart(ps []Predicted) (n int) {
	const tolerance = 5 * quantity.Volt
	for i, a := range ps {
		for _, b := range ps[i+1:] {
			if !a.Trips && !b.Trips && (a.Least-b.Most > 2*tolerance+a.Least/10 || b.Least-a.Most > 2*tolerance+b.Least/10) {
				n++
			}
		}
	}
	return n
}
