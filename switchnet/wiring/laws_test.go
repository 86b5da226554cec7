package wiring_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

func choices(t *rapid.T) func(n int) int {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "choice") }
}

// drawn returns a drawn wiring.
func drawn(t *rapid.T) *wiring.Wiring {
	w, err := wiring.New(draw(t, choices(t)))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// writeUp writes down every answer of a wiring, in an order of its own.
func writeUp(t *rapid.T, w *wiring.Wiring) string {
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	s := w.Spec()
	for _, c := range s.Cables {
		for _, core := range c.Type.Cores {
			wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			for _, box := range []string{c.From, c.To} {
				if box == "" {
					box = wiring.UnknownPlace(c.Name)
				}
				f, ok := w.FunctionAt(wiring.End{Box: box, Wire: wire})
				u, _ := w.Use(wiring.End{Box: box, Wire: wire})
				add("%s in %s: %+v %v %v", wire, box, f, u, ok)
			}
			f, ok := w.Function(wire)
			add("%s: %+v %v", wire, f, ok)
		}
	}
	for _, b := range s.Boxes {
		c, err := w.Contents(b.Name)
		add("%s: %+v, %v", b.Name, c, err)
		add("%s: %v", b.Name, w.Ends(b.Name))
	}
	for _, c := range w.Circuits() {
		add("circuit %s, %v", circuitText(c), c.Routes)
		q, err := w.Question(c)
		add("question %+v, %v", q, err)
	}
	states, _, err := w.Net().States(&switchnet.StatesOptions{Breakers: true})
	if err != nil {
		t.Fatal(err)
	}
	solver, n := w.Net().NewSolver(), 0
	for state := range states {
		if n++; n > 16 {
			break
		}
		v, err := solver.Solve(state)
		if err != nil {
			t.Fatal(err)
		}
		for term, c := range v.Conditions() {
			add("%v: %v is %v", state, term, c)
		}
		for l, sup := range v.Supplies() {
			add("%v: %v has %+v", state, l, sup)
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

// Nothing depends on the order of the lists, nor on which end of a cable or tie
// is written first.
func TestShuffled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		other, err := wiring.New(shuffled(w.Spec(), choices(t)))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(writeUp(t, w), writeUp(t, other)); d != "" {
			t.Fatal(d)
		}
	})
}

// Documents keep the order of a Spec, and a Spec comes back as it was given.
func TestSpecComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, choices(t))
		w, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(s, w.Spec(), compareSizes); d != "" {
			t.Fatal(d)
		}
		i := 0
		var wires []wiring.Wire
		for _, c := range s.Cables {
			for _, core := range c.Type.Cores {
				wires = append(wires, wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()})
			}
		}
		for wire := range w.Functions() {
			if wire != wires[i] {
				t.Fatalf("%s is number %d, and in the Spec that is %s", wire, i, wires[i])
			}
			i++
		}
		if i != len(wires) {
			t.Fatalf("%d wires of %d", i, len(wires))
		}
	})
}

// Whatever is written into a copy of a Spec, the original stays.
func TestClone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, choices(t))
		want := fmt.Sprintf("%+v", s)
		w, err := wiring.New(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, copied := range []wiring.Spec{s.Clone(), w.Spec()} {
			scribble(reflect.ValueOf(&copied).Elem())
		}
		if got := fmt.Sprintf("%+v", s); got != want {
			t.Fatalf("the Spec has become %s, and was %s", got, want)
		}
		scribble(reflect.ValueOf(&s).Elem())
		if got := fmt.Sprintf("%+v", w.Spec()); got != want {
			t.Fatalf("the wiring has become %s, and was %s", got, want)
		}
	})
}

// scribble overwrites every string and every number that can be reached.
func scribble(v reflect.Value) {
	switch v.Kind() {
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			scribble(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				scribble(v.Field(i))
			}
		}
	case reflect.String:
		v.SetString("scribble")
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Int, reflect.Int64:
		v.SetInt(77)
	case reflect.Uint8:
		v.SetUint(77)
	}
}

// What a conductor is for holds in every state of the switches, with all breakers
// on.
func TestFunctionsInEveryState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		solver := w.Net().NewSolver()
		states, _, err := w.Net().States(nil)
		if err != nil {
			t.Fatal(err)
		}
		s := w.Spec()
		for state := range states {
			v, err := solver.Solve(state)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range s.Cables {
				for _, core := range c.Type.Cores {
					e := wiring.End{Box: c.From, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
					f, _ := w.FunctionAt(e)
					cond, _ := v.Condition(e.Wire.In(e.Box))
					if onTab(w, f) {
						continue // where rails meet in a tab, the net sees a closed contact and two sides
					}
					if msg := disagrees(f, cond); msg != "" {
						t.Fatalf("%v: %v %s, and it is %v", state, e, msg, cond)
					}
					for _, l := range f.Lights {
						sup, ok := v.Supply(l)
						if !ok || sup.Ends[0] != cond && sup.Ends[1] != cond {
							t.Fatalf("%v: %v is joined to %v, and is %v where the light has %v", state, e, l, cond, sup.Ends)
						}
					}
				}
			}
		}
	})
}

// onTab reports whether a conductor is on a device whose contacts never open.
func onTab(w *wiring.Wiring, f wiring.Function) bool {
	return slices.ContainsFunc(f.Devices, func(r switchnet.Ref) bool {
		d, _ := w.Net().Device(r)
		return len(d.Kind.Positions) == 1
	})
}

// disagrees returns what is wrong with a function, given what its conductor is in
// some state, or nothing.
func disagrees(f wiring.Function, c switchnet.Condition) string {
	lines := !c.Rails.Lines().Empty()
	switch f.Kind {
	case wiring.Hot:
		if !lines {
			return "is a hot"
		}
	case wiring.Crossed:
		// Two hots of different lines meet at contacts of their breakers, which
		// are no metal of the conductor; hot on neutral is seen on it.
		if c.Rails.Empty() {
			return "joins rails"
		}
	case wiring.NeutralConductor:
		if !c.Rails.Has(switchnet.Neutral) {
			return "is a neutral"
		}
	case wiring.GroundConductor:
		// Where neutral and ground touch on another circuit, all grounds have both.
		if !c.Rails.Has(switchnet.Ground) {
			return "is a ground"
		}
	case wiring.Spare:
		if !c.Rails.Empty() || !c.Through.Empty() {
			return "is spare"
		}
	case wiring.Unknown, wiring.Loose, wiring.Series, wiring.Traveler, wiring.SwitchLeg, wiring.SwitchedReturn:
		// Switches may join it to anything.
	default:
		return "has no function"
	}
	return ""
}

// A box holds every conductor of every cable that enters it once, whatever becomes
// of it.
func TestContentsAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		s := w.Spec()
		for _, b := range s.Boxes {
			c, err := w.Contents(b.Name)
			if b.Kind == wiring.Panel {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			conductors, grounds, leads, devices := 0, 0, 0, map[string]bool{}
			for _, k := range s.Cables {
				if k.From != b.Name && k.To != b.Name {
					continue
				}
				for _, core := range k.Type.Cores {
					if core.Grounding {
						grounds++
					} else {
						conductors++
					}
				}
			}
			for _, l := range s.Lights {
				if l.Box == b.Name && l.Leads.Valid() {
					leads += 2
				}
			}
			for i, d := range s.Devices {
				if d.Box == b.Name && d.Yoke == "" {
					devices[fmt.Sprint("own ", i)] = true
				} else if d.Box == b.Name {
					devices[d.Yoke] = true
				}
			}
			got, gotGrounds := 0, 0
			for _, x := range c.Conductors {
				got += x.Count
			}
			for _, x := range c.Grounds {
				if x.Kind.String() != "canopy" {
					gotGrounds += x.Count
				}
			}
			if got != conductors+leads || gotGrounds != grounds || len(c.Devices) != len(devices) {
				t.Fatalf("%s holds %s, and %d conductors, %d leads, %d grounds and %d devices are in it", b.Name, contentsText(c), conductors, leads, grounds, len(devices))
			}
			for _, d := range c.Devices {
				if !d.Largest.Valid() && conductors > 0 {
					t.Fatalf("%s: %s has no size", b.Name, d.Name)
				}
			}
		}
	})
}

// A feed finds a way to every light that it reaches in some state, and the way is no
// longer than the shortest in that state.
func TestCircuitsInEveryState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		circuits := map[switchnet.Ref]wiring.Circuit{}
		for _, c := range w.Circuits() {
			circuits[c.Feed] = c
		}
		states, _, err := w.Net().States(nil)
		if err != nil {
			t.Fatal(err)
		}
		for state := range states {
			o := newOracle(w, state)
			for ref, c := range circuits {
				for l := range w.Net().Loads() {
					if strings.Contains(l.Name, "device") { // inside one
						continue
					}
					want, reached := o.out(c, l)
					i := slices.Index(c.Lights, l.Ref)
					if reached && i < 0 {
						t.Fatalf("%v: %v reaches %v, which is not in its circuit", state, ref, l.Ref)
					}
					if !reached || c.Routes[i].Returns {
						continue // the way out may be chosen for the way back
					}
					var got quantity.Length
					for _, leg := range c.Routes[i].Out {
						got += leg.Length
					}
					if got > want {
						t.Fatalf("%v: the way from %v to %v is %v, and %v is long enough", state, ref, l.Ref, got, want)
					}
				}
				for _, r := range c.Routes {
					if want, ok := o.both(c, r.Light); ok && (len(r.Out) > 0 || len(r.Back) > 0) && r.Complete && want.known && r.Length() > want.length {
						t.Fatalf("%v: the way from %v to %v and back is %v, and %v is long enough", state, ref, r.Light, r.Length(), want.length)
					}
				}
			}
		}
	})
}

// A wiring answers many at once, from its first question on.
func TestConcurrent(t *testing.T) {
	w := build(t, pair(t))
	answers := make(chan string)
	for range 8 {
		go func() {
			f, _ := w.Function(wire("C2.red"))
			c, err := w.Contents("loft")
			answers <- fmt.Sprint(f, contentsText(c), err, circuitText(w.Circuits()[0]))
		}()
	}
	first := <-answers
	for range 7 {
		if a := <-answers; a != first {
			t.Errorf("%s\nand\n%s", a, first)
		}
	}
}
