package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// readStores finds the cables that each circuit may use.
func (m *maker) readStores() {
	sizer, err := conductor.NewSizer(m.region.Conductor)
	if err != nil {
		m.problem("supply", 0, "", "the rules of %s cannot size: %v", m.region.ID, err)
		return
	}
	m.stores = make([]*store, len(m.circuits))
	type key struct {
		breaker quantity.Current
		volts   quantity.Voltage
		load    quantity.ApparentPower
	}
	same := map[key]*store{}
	labor := m.opt != nil && m.opt.Labor
	for i := range m.circuits {
		c := &m.circuits[i]
		if c.clients() == 0 {
			continue
		}
		f := &m.in.Feeds[c.feed]
		k := key{f.Breaker, f.Volts, 0}
		if k.volts == 0 {
			k.volts = m.in.Supply.LineToNeutral
		}
		for _, g := range c.groups {
			for _, l := range g.lights {
				draws, err := m.in.Lights[l].Apparent()
				if err != nil {
					m.problem("lights", l, "power factor", "%v", err)
				}
				k.load += draws
			}
		}
		st, ok := same[k]
		if !ok && k.breaker > 0 && k.volts > 0 {
			lawful := func(t conductor.CableType) error { return m.lawful(sizer, t, k.breaker, k.volts, k.load) }
			st, err = newStore(m.region, m.in, labor, lawful)
			if err != nil {
				m.problem("feeds", c.feed, "breaker", "%v", m.overload(sizer, f, k.volts, k.load, err))
				st = nil
			} else {
				m.notes = append(m.notes, st.notes...)
				st.among = func(t conductor.CableType, b conductor.Bundle) bool {
					faults, _, _ := m.judge(sizer, t, k.breaker, k.volts, k.load, b)
					return len(faults) == 0
				}
			}
			same[k] = st
		}
		m.stores[i] = st
	}
	if !paletteKnown(m.region) {
		m.notes = append(m.notes, fmt.Sprintf("the rules of %s give no colours of insulation: white and gray are kept for the neutral and nothing is re-marked", m.region.ID))
	}
}

// overload says so where the load alone is why no cable of the stock may be used, and
// otherwise what was found.
func (m *maker) overload(sizer *conductor.Sizer, f *wiring.Feed, volts quantity.Voltage, load quantity.ApparentPower, found error) error {
	amperes, err := conductor.CurrentOf(load, volts, 1)
	if err != nil || load == 0 {
		return found
	}
	unloaded := func(t conductor.CableType) error { return m.lawful(sizer, t, f.Breaker, volts, 0) }
	if _, err := newStore(m.region, m.in, false, unloaded); err != nil {
		return found
	}
	return fmt.Errorf("what is wanted of feed %q draws %s, and counted as a load that stays on for hours that is too much for a breaker of %v with any cable of the stock: share its lights out over another feed, or give it a larger breaker and cable", f.Name, amperes.Format(quantity.Ampere, 1), f.Breaker)
}

func paletteKnown(r *rules.Region) bool { p := paletteOf(&r.Wiring); return p.known }

// judge returns the rules that a cable breaks behind a breaker, among what lies together
// with it, by the first method of installation that the region knows by which it breaks
// any, for it is not said which it is. It reports whether the rules can judge it, and if
// not why.
func (m *maker) judge(sizer *conductor.Sizer, t conductor.CableType, breaker quantity.Current, volts quantity.Voltage, load quantity.ApparentPower, among conductor.Bundle) (faults []conductor.Step, judged bool, last error) {
	q := conductor.Circuit{Volts: volts, Breaker: breaker, Grounding: t.GroundingSize(), Bundle: among}.OfCable(t)
	q.Load.Continuous = quantity.Milliampere
	if load > 0 {
		var err error
		if q.Load.Continuous, err = conductor.CurrentOf(load, volts, 1); err != nil {
			return nil, false, err
		}
	}
	methods := []string{""}
	if len(m.region.Conductor.Methods) > 0 {
		methods = nil
		for _, x := range m.region.Conductor.Methods {
			methods = append(methods, x.Name)
		}
	}
	for _, method := range methods {
		q.Method = method
		v, err := sizer.Judge(q, t.Size)
		if err != nil {
			last = err
			continue
		}
		judged = true
		if v.Status == conductor.Fits {
			continue
		}
		for _, r := range v.Faults {
			// Every fault has its step, which says by what section it is one.
			i := slices.IndexFunc(v.Steps, func(s conductor.Step) bool { return s.Rule == r && s.Failed })
			if i < 0 {
				faults = append(faults, conductor.Step{Rule: r})
				continue
			}
			faults = append(faults, v.Steps[i])
		}
		return faults, true, nil
	}
	return nil, judged, last
}

// lawful reports why a cable may not be behind a breaker.
func (m *maker) lawful(sizer *conductor.Sizer, t conductor.CableType, breaker quantity.Current, volts quantity.Voltage, load quantity.ApparentPower) error {
	faults, judged, last := m.judge(sizer, t, breaker, volts, load, conductor.Bundle{})
	if len(faults) > 0 {
		var why []string
		for _, s := range faults {
			text := s.Rule.String()
			if !s.Source.Absent() {
				text += " (" + s.Source.String() + ")"
			}
			why = append(why, text)
		}
		return fmt.Errorf("%s is not for a breaker of %v: %s", t.Name, breaker, strings.Join(why, ", "))
	}
	if judged {
		return nil
	}
	note := fmt.Sprintf("the rules of %s cannot judge whether a cable suits its breaker (%v); the sizes of the stock are taken as they are: have them confirmed", m.region.ID, last)
	if len(m.in.Stock) == 0 {
		return fmt.Errorf("the rules of %s cannot judge it (%w); name the cables to use as stock, and have their size confirmed", m.region.ID, last)
	}
	if !slices.Contains(m.notes, note) {
		m.notes = append(m.notes, note)
	}
	return nil
}
