package steady_test

import (
	"fmt"
	"math/cmplx"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// usTable returns resistances of NEC Chapter 9 Table 8 (2023), uncoated copper at
// 75 degrees, solid and stranded, and impedances of Table 9.
func usTable() *conductor.Table {
	src := conductor.Source{Section: "Ch 9 T8", Edition: "2023", Confidence: conductor.HighConfidence}
	t := &conductor.Table{Region: "us-2023", DropMethod: conductor.ByResistance}
	kft := func(thousandths int64) quantity.ResistancePerLength {
		return quantity.ResistancePerLength(thousandths) * quantity.OhmPerThousandFeet / 1000
	}
	for _, r := range []struct {
		awg             int
		mils            quantity.CircularMils
		solid, stranded int64 // thousandths of an ohm per thousand feet
		ac, reactance   int64
	}{{18, 1620, 7770, 7950, 0, 0}, {16, 2580, 4890, 4990, 0, 0}, {14, 4110, 3070, 3140, 3100, 58}, {12, 6530, 1930, 1980, 2000, 54}, {10, 10380, 1210, 1240, 1200, 50}} {
		size := conductor.AWG(r.awg)
		t.Sizes = append(t.Sizes, conductor.SizeRow{Size: size, Area: r.mils, Source: src})
		for s, ohms := range map[conductor.Stranding]int64{conductor.Solid: r.solid, conductor.Stranded: r.stranded} {
			t.Resistances = append(t.Resistances, conductor.Resistance{Material: conductor.Copper, Size: size, Stranding: s, Resistance: kft(ohms), At: 75 * quantity.Celsius, Source: src})
		}
		if r.ac > 0 {
			t.Impedances = append(t.Impedances, conductor.Impedance{Material: conductor.Copper, Size: size, Raceway: conductor.PVC, Resistance: kft(r.ac), Reactance: kft(r.reactance), Source: src})
		}
	}
	t.Constants = []conductor.DropConstant{{Material: conductor.Copper, K: 129 * quantity.OhmPerThousandFeet * 100, Source: src}}
	return t
}

// sketch is a Spec that is easy to write down.
type sketch struct {
	tb testing.TB
	wiring.Spec
}

func newSketch(tb testing.TB, system switchnet.System) *sketch {
	return &sketch{tb, wiring.Spec{Supply: system}}
}

func (s *sketch) box(kind wiring.BoxKind, names ...string) {
	for _, n := range names {
		s.Boxes = append(s.Boxes, wiring.Box{Name: n, Kind: kind})
	}
}

func (s *sketch) cable(name, kind, from, to string, length quantity.Length) {
	s.tb.Helper()
	t, err := conductor.ParseCableType(kind)
	if err != nil {
		s.tb.Fatal(err)
	}
	s.Cables = append(s.Cables, wiring.Cable{Name: name, Type: t, From: from, To: to, Length: length})
}

func wire(cable, colour string) wiring.Wire { return wiring.Wire{Cable: cable, Conductor: colour} }

// land puts wires on terminals of one device: "terminal" and "C1.black" in turn.
func (s *sketch) land(box, device string, pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		j := joint(pairs[i+1])
		s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: device, Terminal: pairs[i], Wire: j.Wire})
	}
}

// joint reads "C1.black" as a wire and "lamp:hot" as a terminal.
func joint(text string) wiring.Joint {
	for i, r := range text {
		switch r {
		case '.':
			return wiring.WireJoint(text[:i], text[i+1:])
		case ':':
			return wiring.Joint{Device: text[:i], Terminal: text[i+1:]}
		}
	}
	panic(text)
}

func (s *sketch) splice(box string, joints ...string) {
	sp := wiring.Splice{Box: box}
	for _, j := range joints {
		sp.Join = append(sp.Join, joint(j))
	}
	s.Splices = append(s.Splices, sp)
}

func (s *sketch) build() *wiring.Wiring {
	s.tb.Helper()
	w, err := wiring.New(s.Spec)
	if err != nil {
		s.tb.Fatal(err)
	}
	return w
}

func at(place, device, name string) switchnet.Terminal {
	return switchnet.Terminal{Place: place, Device: device, Name: name}
}

func ref(place, name string) switchnet.Ref { return switchnet.Ref{Place: place, Name: name} }

// chain is a feed, places in a row that switch lamps at the far end, and the lamps
// in a row, all cables of one length: three-ways at the ends, four-ways between, or
// a single-pole if there is one place.
func chain(tb testing.TB, system switchnet.System, places, lamps int, length quantity.Length, power quantity.Power) *sketch {
	tb.Helper()
	s := newSketch(tb, system)
	s.box(wiring.Panel, "panel")
	s.Feeds = []wiring.Feed{{Name: "aisle", Box: "panel", Breaker: 15 * quantity.Ampere}}
	previous, in := "panel", "C0"
	s.cable(in, "14/2", previous, "place 1", length)
	s.land("panel", "aisle", "hot", "C0.black", "neutral", "C0.white", "ground", "C0.bare")
	for i := range places {
		box, out := fmt.Sprintf("place %d", i+1), fmt.Sprintf("C%d", i+1)
		s.box(wiring.DeviceBox, box)
		next, kind := fmt.Sprintf("place %d", i+2), "14/3"
		if i == places-1 {
			next, kind = "lamp 1", "14/2"
		}
		s.cable(out, kind, box, next, length)
		s.splice(box, in+".white", out+".white")
		s.splice(box, in+".bare", out+".bare", "aisle:ground")
		d := wiring.Device{Name: "aisle", Box: box, Kind: switchnet.FourWay()}
		switch {
		case places == 1:
			d.Kind = switchnet.SinglePole()
			s.land(box, "aisle", "line", in+".black", "load", out+".black")
		case i == 0:
			d.Kind = switchnet.ThreeWay()
			s.land(box, "aisle", "common", in+".black", "traveler 1", out+".black", "traveler 2", out+".red")
		case i == places-1:
			d.Kind = switchnet.ThreeWay()
			s.land(box, "aisle", "traveler 1", in+".black", "traveler 2", in+".red", "common", out+".black")
		default:
			s.land(box, "aisle", "pair 1 first", in+".black", "pair 1 second", in+".red", "pair 2 first", out+".black", "pair 2 second", out+".red")
		}
		s.Devices = append(s.Devices, d)
		in = out
	}
	for i := range lamps {
		box := fmt.Sprintf("lamp %d", i+1)
		s.box(wiring.CeilingBox, box)
		s.Lights = append(s.Lights, wiring.Light{Name: "lamp", Box: box, Power: power})
		hot, neutral, bare := []string{in + ".black", "lamp:hot"}, []string{in + ".white", "lamp:neutral"}, []string{in + ".bare", "lamp:ground"}
		if i < lamps-1 {
			out := fmt.Sprintf("L%d", i+1)
			s.cable(out, "14/2", box, fmt.Sprintf("lamp %d", i+2), length)
			hot, neutral, bare = append(hot, out+".black"), append(neutral, out+".white"), append(bare, out+".bare")
			in = out
		}
		s.splice(box, hot...)
		s.splice(box, neutral...)
		s.splice(box, bare...)
	}
	return s
}

func problem(tb testing.TB, w *wiring.Wiring, opt *steady.Options) *steady.Problem {
	tb.Helper()
	p, err := steady.New(w, usTable(), opt)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

func solve(tb testing.TB, p *steady.Problem, s switchnet.State) *steady.Solution {
	tb.Helper()
	out, err := p.Solve(s)
	if err != nil {
		tb.Fatal(err)
	}
	return out
}

// with returns the rest state with devices moved: place, name, position in turn.
func with(tb testing.TB, w *wiring.Wiring, moves ...string) switchnet.State {
	tb.Helper()
	s := w.Net().Rest()
	for i := 0; i < len(moves); i += 3 {
		var err error
		if s, err = s.With(ref(moves[i], moves[i+1]), moves[i+2]); err != nil {
			tb.Fatal(err)
		}
	}
	return s
}

// near fails unless two phasors agree to a relative part in 1e9.
func near[P ~complex128](tb testing.TB, what string, got, want P) {
	tb.Helper()
	if d := cmplx.Abs(complex128(got - want)); !(d <= 1e-9*cmplx.Abs(complex128(want))) {
		tb.Errorf("%s = %v, want %v (apart by %.3g)", what, got, want, d)
	}
}
