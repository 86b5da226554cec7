package trace

import (
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/steady"
)

// An Answer is one way in which a test may come out.
type Answer struct {
	Of Observation
	// Likely is how likely it is by what is known.
	Likely quantity.Ratio
	// Classes and Causes are how many would then remain, those included of which it is
	// unlikely that it looks so, as of lights in series that all look well lit.
	Classes, Causes int

	share float64
	comes Volts // a reading
}

// Answers returns every way in which a test may come out by what remains: what lights
// may do in the order of the sights; open, through a load, joined; reference not shown
// or shown; dead, ambiguous, hot. An error means that a model could not be made.
func (s *Session) Answers(t Test) ([]Answer, error) {
	r := s.remaining()
	var out []Answer
	// add weighs an answer over all that remains. What may look so, however unlikely, is
	// counted by may, if there is one.
	add := func(o Observation, weight func(p *possible, sense int32) (float64, error), may ...func(p *possible, sense int32) bool) error {
		a := Answer{Of: o}
		if x, ok := o.(Reading); ok {
			a.comes = x.Comes(s.c.w.Net().Source().System.LineToNeutral)
		}
		for k := range r.classes {
			p := &r.classes[k]
			mass, stays := 0.0, false
			for i, sense := range p.senses {
				w, err := weight(p, sense)
				if err != nil {
					return err
				}
				mass += p.w[i] * w
				stays = stays || w > 0 || len(may) > 0 && may[0](p, sense)
			}
			a.share += mass / r.total
			if stays {
				a.Classes++
				a.Causes += len(s.c.classes[p.class].Causes)
			}
		}
		if a.share > 0 {
			a.Likely = ratio(a.share)
			out = append(out, a)
		}
		return nil
	}
	// fact weighs by what a possibility shows in the setting of the test.
	fact := func(weight func(*facts) float64) func(*possible, int32) (float64, error) {
		return func(p *possible, sense int32) (float64, error) {
			f, err := s.fact(p.class, t.setting^int(sense))
			if err != nil {
				return 0, err
			}
			return weight(f), nil
		}
	}
	p, q := s.pointsOf(t)
	switch t.Kind {
	case AskUse:
		for _, tripped := range []bool{false, true} {
			if err := add(InUse{tripped}, func(p *possible, _ int32) (float64, error) {
				return InUse{tripped}.weight(&s.c.classes[p.class]), nil
			}); err != nil {
				return nil, err
			}
		}
	case LookFrom, FlipAndLook:
		view := s.c.views[t.Box]
		seen := s.c.travel.sees(t.Box)
		for n, x := range s.c.sights {
			if int(view[n]) != n {
				continue // looks like another from there
			}
			o := Saw{At: t.At, Tripped: x.trip}
			if !o.Tripped {
				o.Lights = s.c.lightsOf(x, seen)
			}
			var errs Errors
			e := o.compile(s.c, &errs) // of what nothing is seen, as from where no light is, no evidence
			look := func(p *possible, sense int32) (float64, error) {
				if view[s.c.classes[p.class].looks[t.setting^int(sense)]] == uint16(n) {
					return 1, nil
				}
				return 0, nil
			}
			if err := add(o, look, func(p *possible, sense int32) bool {
				return len(errs) == 0 && e.look(&s.c.classes[p.class], t.setting^int(sense)) > 0
			}); err != nil {
				return nil, err
			}
		}
	case DeadTest:
		for _, found := range []Path{Open, Through, Joined} {
			o := Continuity{At: t.At, Between: t.Between, Lifted: t.Lifted, Found: found}
			var errs Errors
			e := o.compile(s.c, &errs)
			kept, err := s.kept(e)
			if err != nil {
				return nil, err
			}
			weight := fact(e.read)
			if kept != nil {
				weight = func(p *possible, sense int32) (float64, error) {
					return e.find(kept[p.class].kinds[t.setting^int(sense)]), nil
				}
			}
			if err := add(o, weight); err != nil {
				return nil, err
			}
		}
	case TryReference:
		for _, shown := range []bool{false, true} {
			if err := add(Reference{t.At, t.Between[1], shown}, fact(func(x *facts) float64 { return referenceWeight(x, q, shown) })); err != nil {
				return nil, err
			}
		}
	case LiveReading:
		if t.Prove {
			if err := add(Reference{t.At, t.Between[1], false}, fact(func(x *facts) float64 { return referenceWeight(x, q, false) })); err != nil {
				return nil, err
			}
		}
		nominal := s.c.w.Net().Source().System.LineToNeutral
		for i, v := range []Volts{Dead, Ambiguous, Hot} {
			o := Reading{At: t.At, Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance, Shows: nominal * quantity.Voltage(i) / 2}
			if err := add(o, fact(func(x *facts) float64 {
				w := 1.0
				if t.Prove {
					w = referenceWeight(x, q, true)
				}
				if w > 0 {
					w *= voltsWeight(x.cond[p], x.cond[q], true, v)
				}
				return w
			})); err != nil {
				return nil, err
			}
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
