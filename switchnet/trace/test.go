package trace

import (
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
)

// A TestKind is a sort of test. The zero TestKind is unset.
type TestKind uint8

// The sorts of test.
const (
	// AskUse is a question: did the breaker ever open, with all switches used in all
	// positions? The answer is an InUse.
	AskUse TestKind = iota + 1
	// LookFrom is a look at the lights from a box, handles as they stand. The answer
	// is a Saw.
	LookFrom
	// FlipAndLook moves handles, one after the other, and then looks from the box of
	// the last. The answer is a Saw.
	FlipAndLook
	// DeadTest is the ohmmeter between two points, everything locked out. The answer
	// is a Continuity.
	DeadTest
	// TryReference is a known live source read over a point. The answer is a
	// Reference.
	TryReference
	// LiveReading is a tester that loads the circuit between two points. The answer is
	// a Reading; or, if the reference has to be proven first and fails, a Reference.
	LiveReading
)

var kindWords = [...]string{"", "ask", "look", "flip and look", "dead test", "try a reference", "live reading"}

// String returns the words.
func (k TestKind) String() string { return word(kindWords[:], uint8(k), "TestKind") }

// MarshalText writes the words; an unset value is an error.
func (k TestKind) MarshalText() ([]byte, error) {
	return marshal(kindWords[:], uint8(k), "sort of test")
}

// UnmarshalText reads the words.
func (k *TestKind) UnmarshalText(text []byte) error {
	return unmarshal(kindWords[:], text, "sort of test", k)
}

// Live reports whether the circuit is energized in the test.
func (k TestKind) Live() bool { return k != AskUse && k != DeadTest }

// A Test is something to do that may tell more.
type Test struct {
	Kind TestKind
	// Box is where it is done.
	Box string
	// Before lists what has to be done first, in order.
	Before []Action
	// Flips are the handles to move then, in order, and At how all stand afterwards.
	Flips []switchnet.Ref
	At    Setting
	// Between are the two probes of a DeadTest, and red and black of a LiveReading; a
	// TryReference has the second alone.
	Between [2]switchnet.Terminal
	// Lifted says that the neutrals of the panel are to be off their bar.
	Lifted bool
	// Prove says that the black probe's point has first to be tried as a reference.
	Prove bool
	// Bits is how much the answer is expected to tell about which class it is, and
	// Effort what it takes.
	Bits   float64
	Effort time.Duration

	setting int
}

// An Answer is one way in which a test may come out.
type Answer struct {
	Of Observation
	// Likely is how likely it is by what is known.
	Likely quantity.Ratio
}

// Answers returns every way in which a test may come out by what remains: what lights
// may do in the order of the sights; open, through a load, joined; reference not shown
// or shown; dead, ambiguous, hot. An error means that a model could not be made.
func (s *Session) Answers(t Test) ([]Answer, error) {
	r := s.remaining()
	var out []Answer
	add := func(o Observation, mass float64) {
		if mass > 0 {
			out = append(out, Answer{o, ratio(mass / r.total)})
		}
	}
	switch t.Kind {
	case AskUse:
		for _, tripped := range []bool{false, true} {
			o := InUse{tripped}
			var errs Errors
			e := o.compile(s.c, &errs)
			mass := 0.0
			for _, p := range r.classes {
				mass += p.sum * e.class(&s.c.classes[p.class])
			}
			add(o, mass)
		}
	case LookFrom, FlipAndLook:
		view := s.c.views[t.Box]
		mass := make([]float64, len(s.c.sights))
		for _, p := range r.classes {
			for i, sense := range p.senses {
				mass[view[s.c.classes[p.class].looks[t.setting^int(sense)]]] += p.w[i]
			}
		}
		seen := s.c.travel.sees(t.Box)
		for n, m := range mass {
			o := Saw{At: t.At, Tripped: s.c.sights[n].trip}
			if !o.Tripped {
				o.Lights = s.c.lightsOf(s.c.sights[n], seen)
			}
			add(o, m)
		}
	case DeadTest:
		p, q := s.pointsOf(t)
		for _, found := range []Path{Open, Through, Joined} {
			mass, err := s.mass(r, t.setting, func(x *facts) float64 { return x.dead[lift(t.Lifted)].weight(p, q, found) })
			if err != nil {
				return nil, err
			}
			add(Continuity{At: t.At, Between: t.Between, Lifted: t.Lifted, Found: found}, mass)
		}
	case TryReference:
		_, q := s.pointsOf(t)
		for _, shown := range []bool{false, true} {
			mass, err := s.mass(r, t.setting, func(x *facts) float64 { return referenceWeight(x, q, shown) })
			if err != nil {
				return nil, err
			}
			add(Reference{t.At, t.Between[1], shown}, mass)
		}
	case LiveReading:
		p, q := s.pointsOf(t)
		if t.Prove {
			mass, err := s.mass(r, t.setting, func(x *facts) float64 { return referenceWeight(x, q, false) })
			if err != nil {
				return nil, err
			}
			add(Reference{t.At, t.Between[1], false}, mass)
		}
		nominal := s.c.w.Net().Source().System.LineToNeutral
		for i, v := range []Volts{Dead, Ambiguous, Hot} {
			mass, err := s.mass(r, t.setting, func(x *facts) float64 {
				w := 1.0
				if t.Prove {
					w = referenceWeight(x, q, true)
				}
				if w > 0 {
					w *= voltsWeight(x.cond[p], x.cond[q], true, v)
				}
				return w
			})
			if err != nil {
				return nil, err
			}
			add(Reading{At: t.At, Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance, Shows: nominal * quantity.Voltage(i) / 2}, mass)
		}
	}
	return out, nil
}

func lift(lifted bool) int {
	if lifted {
		return 1
	}
	return 0
}

// pointsOf returns the numbers of a test's two points; 0 for one it has not.
func (s *Session) pointsOf(t Test) (p, q int) {
	p, _ = s.c.f.point(t.Between[0])
	q, _ = s.c.f.point(t.Between[1])
	return p, q
}

// mass adds up how likely something is in a setting over all that remains.
func (s *Session) mass(r *rest, x int, weight func(*facts) float64) (float64, error) {
	sum := 0.0
	for _, p := range r.classes {
		for i, sense := range p.senses {
			f, err := s.fact(p.class, x^int(sense))
			if err != nil {
				return 0, err
			}
			sum += p.w[i] * weight(f)
		}
	}
	return sum, nil
}

// referenceWeight says how likely a known live source over a point shows its volts.
func referenceWeight(x *facts, q int, shown bool) float64 {
	if x.trip {
		return 0
	}
	hot := voltsWeight(onA, x.cond[q], true, Hot)
	if shown {
		return hot
	}
	return 1 - hot
}

// Answer takes the answer to a test that was done as it says: what had to be done
// before is noted, then the observation, with a confidence as in a Report. Where the
// reference was to be proven first, a Reading says that it was. An error leaves
// nothing noted.
func (s *Session) Answer(t Test, o Observation, confidence quantity.Ratio) error {
	log := len(s.log)
	back := func(err error) error {
		for len(s.log) > log {
			s.Undo()
		}
		return err
	}
	for _, a := range t.Before {
		if err := s.Do(a); err != nil {
			return back(err)
		}
	}
	if _, ok := o.(Reading); ok && t.Prove {
		if err := s.Report(Report{Reference{t.At, t.Between[1], true}, confidence}); err != nil {
			return back(err)
		}
	}
	if err := s.Report(Report{o, confidence}); err != nil {
		return back(err)
	}
	if t.Box != "" {
		s.where = t.Box
	}
	return nil
}
