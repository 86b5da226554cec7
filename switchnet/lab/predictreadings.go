package lab

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// predictReadings asks what a tester that loads the circuit shows between points, in one
// setting of a wiring that may or may not be as it should.
//
// Steps are the readings. Classes is 1: the sheet says all.
type predictReadings struct{}

func (predictReadings) Name() string { return "predict readings" }

func (t predictReadings) Make(ctx context.Context, base Base, seed Seed, want Band) (Exercise, error) {
	return find(ctx, t.Name(), base, seed, want, t.try)
}

// What the tables of the sheet say they are.
const (
	handlesTable  = "How the handles stand"
	readingsTable = "The readings, points as practice wiring names them"
)

// asked is how many readings a sheet asks for.
const asked = 6

func (t predictReadings) try(j *Job, seed Seed) (*made, error) {
	rng := seed.Rand("predict readings")
	w, err := maybeWrong(j, rng, 2)
	if err != nil {
		return nil, err
	}
	b := newBench(w, &j.Region.Conductor)
	handles := map[switchnet.Ref]int{}
	table := Table{Says: handlesTable, Head: []string{"switch", "position"}}
	for d := range w.Net().Devices() {
		if d.Kind.Breaker || len(d.Kind.Positions) < 2 {
			continue
		}
		n := rng.IntN(len(d.Kind.Positions))
		handles[d.Ref] = n
		table.Rows = append(table.Rows, []string{refText(d.Ref), d.Kind.Positions[n].Name})
	}
	if _, tripped := b.look(handles); tripped {
		return nil, errAgain
	}
	boxes := map[string]bool{}
	for _, x := range boxesOf(w) {
		boxes[x] = true
	}
	var pairs [][2]switchnet.Terminal
	var points []switchnet.Terminal
	v := b.view(b.state(handles, true))
	for p := range w.Net().Terminals() {
		// What hangs on a rail through a light alone reads as the light lets it.
		c, _ := v.Condition(p)
		if boxes[p.Place] && (!c.Rails.Empty() || c.Through.Empty()) {
			points = append(points, p)
		}
	}
	for _, p := range points {
		for _, q := range points {
			if p.Place == q.Place && p != q {
				pairs = append(pairs, [2]switchnet.Terminal{p, q})
			}
		}
	}
	nominal := w.Spec().Supply.LineToNeutral
	volts := func(v quantity.Voltage) string { return v.Format(quantity.Volt, 0) }
	choices := []string{volts(0), volts(nominal)}
	if v := w.Spec().Supply.LineToLine; v > 0 && v != nominal {
		choices = append(choices, volts(v))
	}
	var fields []Field
	key := Answer{}
	readings := Table{Says: readingsTable, Head: []string{"field", "red lead", "black lead"}}
	number := map[string]int{}
	rng.Shuffle(len(pairs), func(i, k int) { pairs[i], pairs[k] = pairs[k], pairs[i] })
	for _, p := range pairs {
		if len(fields) == asked {
			break
		}
		v, err := b.volts(handles, true, p[0], p[1])
		if err != nil {
			return nil, fmt.Errorf("lab: %w", err)
		}
		r := trace.Reading{Meter: steady.LowImpedance, Shows: v}
		answer := volts(0)
		switch r.Comes(nominal) {
		case trace.Ambiguous:
			continue // a load's data would decide
		case trace.Hot:
			answer = volts(nominal)
			if v > nominal*5/4 {
				answer = volts(w.Spec().Supply.LineToLine)
			}
		}
		// No more than two thirds of one sort.
		if number[answer] >= asked*2/3 {
			continue
		}
		number[answer]++
		f := Field{ID: fmt.Sprintf("reading-%d", len(fields)+1), Ask: fmt.Sprintf("Red on %s, black on %s: what does the tester show?", p[0], p[1]), Choices: choices, Points: 1}
		fields = append(fields, f)
		key[f.ID] = answer
		readings.Rows = append(readings.Rows, []string{f.ID, pointText(p[0]), pointText(p[1])})
	}
	if len(fields) < asked {
		return nil, errAgain
	}
	blocks := []Block{
		Text(fmt.Sprintf("This is how %s is wired; it may be as it should be, and it may not. It is energized, and the handles stand as listed. Say what a tester that loads the circuit shows between each two points: the nominal volts, or none. Wires and contacts are ideal, and what nothing is joined to shows none on such a tester.", j.Title)),
		table,
	}
	m := &made{
		draw: func() (Sheet, error) {
			return j.drawn(t.Name(), "Predict the readings", fields, sheetIntent(j), w, boxesOf(w), blocks, readings)
		},
		measured: Difficulty{Classes: 1, Steps: len(fields), Places: mostPlaces(j), Gangs: ganged(w)},
		key:      key,
	}
	m.mark = func(a Answer) Result {
		return score(fields, a, func(f Field, answer string) string {
			if answer == key[f.ID] {
				return ""
			}
			return fmt.Sprintf("You say %s. Ask of each lead which rail it is joined to, with the handles as they stand: it comes to %s.", answer, key[f.ID])
		})
	}
	return m, nil
}

// maybeWrong returns the wiring of a job with one fault of the list of package miswire,
// or as it is: that once in so many times. It keeps every switch's positions.
func maybeWrong(j *Job, rng *rand.Rand, times int) (*wiring.Wiring, error) {
	if rng.IntN(times) == 0 {
		return j.Wiring, nil
	}
	list := j.list()
	if len(list) == 0 {
		return j.Wiring, nil
	}
	w, err := list[rng.IntN(len(list))].Apply(j.Wiring)
	if err != nil {
		return nil, fmt.Errorf("lab: a fault of the list: %w", err)
	}
	if c := frameOf(j); len(c.lacks(w)) > 0 {
		return nil, errAgain
	}
	return w, nil
}

// solveReadings reads what each lead is joined to.
func solveReadings(_ context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	bad := errors.New("lab: the sheet does not say what is read")
	handles := map[switchnet.Ref]int{}
	var rows [][]string
	for _, x := range sheet.Blocks {
		t, ok := x.(Table)
		switch {
		case ok && t.Says == handlesTable && len(t.Head) >= 2:
			for _, r := range t.Rows {
				w, err := words(r[0])
				if err != nil || len(w) != 1 || len(w[0]) != 2 {
					return nil, bad
				}
				ref := switchnet.Ref{Place: w[0][0], Name: w[0][1]}
				d, _ := j.Wiring.Net().Device(ref)
				n, ok := d.Kind.Position(r[1])
				if !ok {
					return nil, bad
				}
				handles[ref] = n
			}
		case ok && t.Says == readingsTable && len(t.Head) >= 3:
			rows = t.Rows
		}
	}
	b := newBench(j.Wiring, &j.Region.Conductor)
	v := b.view(b.state(handles, true))
	rail := func(t switchnet.Terminal) (switchnet.Rail, bool) {
		c, _ := v.Condition(t)
		for r := range c.Rails.All() {
			return r, true
		}
		return 0, false
	}
	out := Answer{}
	for _, r := range rows {
		w, err := words(r[1] + " " + r[2])
		if err != nil || len(w) != 2 || len(w[0]) != 3 || len(w[1]) != 3 {
			return nil, bad
		}
		red, ok1 := rail(switchnet.Terminal{Place: w[0][0], Device: w[0][1], Name: w[0][2]})
		black, ok2 := rail(switchnet.Terminal{Place: w[1][0], Device: w[1][1], Name: w[1][2]})
		shows := quantity.Voltage(0)
		if ok1 && ok2 {
			shows = j.Wiring.Spec().Supply.Between(red, black)
		}
		out[r[0]] = shows.Format(quantity.Volt, 0)
	}
	if len(out) == 0 {
		return nil, bad
	}
	return out, nil
}

// sortedBoxes returns every box of a wiring in name order.
func sortedBoxes(w *wiring.Wiring) []string {
	var out []string
	for _, b := range w.Spec().Boxes {
		out = append(out, b.Name)
	}
	slices.Sort(out)
	return out
}
