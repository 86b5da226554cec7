package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

var sizeRules = []Rule{
	{Code: "breaker-too-large", Topic: ShockFire, Doc: "An overcurrent device larger than the smallest conductor behind it allows.",
		Needs: needsSizes, Find: breakerTooLarge},
	{Code: "aluminum-on-device", Topic: ShockFire, Doc: "Aluminum on a device that is not marked for it.", Find: aluminumOnDevice},
}

func needsSizes(r *rules.Region) error {
	if r == nil {
		return fmt.Errorf("no region is named, and what a conductor may carry depends on it")
	}
	if len(r.Conductor.Ampacities) == 0 {
		return fmt.Errorf("%s has no ampacities", r.ID)
	}
	if len(r.Conductor.Overcurrent) == 0 {
		return fmt.Errorf("%s has no standard ratings of overcurrent devices", r.ID)
	}
	return sizable(r)
}

// sizable returns what keeps the figures of a region from being used at all.
func sizable(r *rules.Region) error {
	_, err := conductor.NewSizer(r.Conductor)
	return err
}

// behind returns the wires to which the hot of a feed finds a way through switches, by
// number.
func (p *Pass) behind(feed int32) []int {
	m := p.metal()
	seen := make([]bool, m.pieces)
	for x := range m.pieces {
		if slices.Contains(m.hot[x], feed) {
			for _, y := range m.reach(int32(x)) {
				seen[y] = true
			}
		}
	}
	var out []int
	for i := range m.wires {
		if seen[m.piece[m.wires[i].term[0]]] || seen[m.piece[m.wires[i].term[1]]] {
			out = append(out, i)
		}
	}
	return out
}

func breakerTooLarge(p *Pass) error {
	m := p.metal()
	region := p.suite.region
	if region == nil || p.suite.sizer == nil {
		return nil
	}
	for f := range p.spec.Feeds {
		feed := &p.spec.Feeds[f]
		type made struct {
			size         conductor.Size
			material     conductor.Material
			construction conductor.Construction
			rating       quantity.Temperature
		}
		seen := map[made]bool{}
		for _, i := range p.behind(int32(f)) {
			w := &m.wires[i]
			t := p.spec.Cables[w.cable].Type
			k := made{w.core.Size, t.Material, t.Construction, t.Rating}
			if w.ground || seen[k] {
				continue
			}
			seen[k] = true
			most, steps, ok := p.largest(feed.Breaker, feed.Volts, t, w.core.Size)
			if !ok || feed.Breaker <= most {
				continue
			}
			ref := p.feedRef(int32(f))
			p.Report(Finding{Place: p.devicePlace(ref), About: ref, ByHand: true, Section: steps, Related: []Place{p.cablePlace(w.Cable)},
				Message: fmt.Sprintf("%s has a breaker of %v, and the %v of %s behind it may have %v at most", feed.Name, feed.Breaker, w.core.Size, w.Cable, most)})
		}
	}
	return nil
}

// largest returns the largest breaker that a size may have, under the most favourable of
// the region's methods where ampacity depends on how a cable lies, and the rule that says
// so; false where the region has no figure.
func (p *Pass) largest(breaker quantity.Current, volts quantity.Voltage, t conductor.CableType, size conductor.Size) (most quantity.Current, source conductor.Source, ok bool) {
	if volts == 0 {
		volts = p.spec.Supply.LineToNeutral
	}
	q := conductor.Circuit{Volts: volts, Breaker: breaker}.OfCable(t)
	methods := []string{""}
	if all := p.suite.region.Conductor.Methods; len(all) > 0 {
		methods = nil
		for _, m := range all {
			methods = append(methods, m.Name)
		}
	}
	for _, m := range methods {
		q.Method = m
		c, err := p.suite.sizer.Capability(q, size)
		if err != nil || c.Status != conductor.Fits {
			continue
		}
		if !ok || c.MaxBreaker > most {
			most, ok = c.MaxBreaker, true
			for _, s := range c.Steps {
				switch s.Rule {
				case conductor.RuleAtAmpacity, conductor.RuleNextSizeUp, conductor.RuleSmallConductor:
					source = s.Source
				}
			}
		}
	}
	return most, source, ok
}

// orPigtail says what is done by hand about aluminum on a device.
const orPigtail = ": it takes a device that is, or a copper pigtail in a connector that is listed for both metals"

func aluminumOnDevice(p *Pass) error {
	material := make(map[string]conductor.Material, len(p.spec.Cables))
	for i := range p.spec.Cables {
		if c := &p.spec.Cables[i]; c.Type.Material != conductor.Copper {
			material[c.Name] = c.Type.Material
		}
	}
	if len(material) == 0 {
		return nil
	}
	devices := make(map[switchnet.Ref]*wiring.Device, len(p.spec.Devices))
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		devices[switchnet.Ref{Place: d.Box, Name: d.Name}] = d
	}
	for i := range p.spec.Landings {
		l := &p.spec.Landings[i]
		ref := switchnet.Ref{Place: l.Box, Name: l.Device}
		d, ok := devices[ref]
		if !ok || d.Aluminum || material[l.Wire.Cable] == 0 {
			continue
		}
		// Neither another device nor a connector listed for both metals is an edit.
		f := Finding{Place: p.endPlace(wiring.End{Box: l.Box, Wire: l.Wire}), About: ref, Related: []Place{p.devicePlace(ref)}, ByHand: true,
			Message: fmt.Sprintf("%s is of %v and is on %s, which is not marked for it", l.Wire, material[l.Wire.Cable], ref)}
		switch {
		case material[l.Wire.Cable] == conductor.CopperCladAluminum:
			// The rules are on aluminum; many devices without a mark take this under a screw.
			f.Standing = Defect
			f.Message += "; its listing may take copper-clad aluminum under a screw: look at the device"
		case len(d.Kind.Positions) > 1:
			f.Message += orPigtail
			f.Section = p.section(rules.SwitchMarkedForAluminum)
		default:
			f.Message += orPigtail
			f.Section = p.section(rules.ReceptacleMarkedForAluminum)
		}
		p.Report(f)
	}
	return nil
}

// breakerNotStandard finds ratings that the region does not list.
func breakerNotStandard(p *Pass) error {
	list := p.suite.region.Conductor.Overcurrent
	for i := range p.spec.Feeds {
		feed := &p.spec.Feeds[i]
		if slices.ContainsFunc(list, func(o conductor.OvercurrentSize) bool { return o.Rating == feed.Breaker }) {
			continue
		}
		ref := p.feedRef(int32(i))
		p.Report(Finding{Place: p.devicePlace(ref), About: ref, ByHand: true, Section: list[0].Source,
			Message: fmt.Sprintf("%v, the rating of %s, is not among the standard ones of %s", feed.Breaker, feed.Name, p.suite.region.ID)})
	}
	return nil
}

// overloaded finds circuits whose lights draw more for hours than their overcurrent
// device may carry. What package conductor refuses to judge, for want of a figure or of
// a load, is passed over.
func overloaded(p *Pass) error {
	const step = quantity.Ampere / 10 // in which a need is told, rounded up
	for _, c := range p.circuits() {
		for _, s := range c.verdict.Steps {
			if s.Failed && s.Rule == conductor.RuleStandardRating {
				p.Report(Finding{Place: p.devicePlace(c.feed), About: c.feed, Section: s.Source,
					Message: fmt.Sprintf("lights that burn for hours ask for a breaker of %v on %s, which has one of %v", (s.Need+step-1)/step*step, c.feed.Name, s.Have)})
			}
		}
	}
	return nil
}

// circuit is a circuit with what package conductor says of it.
type circuit struct {
	feed    switchnet.Ref
	verdict conductor.Verdict
}

// circuits returns the circuits that can be judged, in name order.
func (p *Pass) circuits() []circuit {
	if p.verdicts != nil {
		return p.verdicts
	}
	p.verdicts = []circuit{}
	for _, c := range p.job.Wiring.Circuits() {
		q, err := p.job.Wiring.Question(c)
		if err != nil {
			continue
		}
		if most, ok := p.onOnePole(&c); ok {
			q.Load.Continuous = min(q.Load.Continuous, most) // of lights that are on this pole and on that
		}
		if v, err := p.suite.sizer.Judge(q, c.Smallest); err == nil {
			p.verdicts = append(p.verdicts, circuit{c.Feed, v})
		}
	}
	return p.verdicts
}
