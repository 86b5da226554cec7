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

func needsProtections(r *rules.Region) error {
	if r == nil {
		return fmt.Errorf("no region is named, and what a room demands depends on it")
	}
	if !slices.ContainsFunc(r.Conductor.Protections, func(p conductor.Protection) bool { return p.Demand == conductor.Required }) {
		return fmt.Errorf("%s demands no protection of any kind of room for sure: ask the inspector", r.ID)
	}
	return sizable(r)
}

// protectionMissing asks the rooms that the job states what they demand of each circuit
// that serves an outlet in them.
func protectionMissing(p *Pass) error {
	fed := map[conductor.ProtectionKind]*Pass{} // by kind, the job as what has it does not feed through
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if b.Room == "" {
			continue
		}
		for _, v := range p.suite.sizer.Protections(b.Room) {
			if v.Demand != conductor.Required {
				continue
			}
			bare := fed[v.Kind]
			if bare == nil {
				var err error
				if bare, err = p.withoutProtected(v.Kind); err != nil {
					return err
				}
				fed[v.Kind] = bare
			}
			for f := range p.spec.Feeds {
				feed := &p.spec.Feeds[f]
				if slices.Contains(feed.Protection, v.Kind) || !v.On(feed.Breaker, p.feedVolts(feed)) || !bare.serves(int32(f), b.Name, &v) {
					continue
				}
				ref := p.feedRef(int32(f))
				covers := v.Covers()
				if covers != "" {
					covers = " (" + covers + ")"
				}
				p.Report(Finding{Place: p.devicePlace(ref), About: switchnet.Ref{Place: b.Name, Name: v.Kind.String()}, Related: []Place{p.boxPlace(b.Name)},
					Section: v.Source, since: v.Since,
					Message: fmt.Sprintf("%s serves box %s (%s), which demands %v protection%s, and neither it nor a device on the way is said to have it",
						feed.Name, b.Name, b.Room, v.Kind, covers)})
			}
		}
	}
	return nil
}

// withoutProtected returns a pass over the job in which the devices that have a protection
// join nothing, so that what only they feed is fed by nobody; the pass itself if there are
// none.
func (p *Pass) withoutProtected(kind conductor.ProtectionKind) (*Pass, error) {
	taken := map[string]bool{}
	for i := range p.spec.Devices {
		taken[p.spec.Devices[i].Kind.Name] = true
	}
	var edits []wiring.Edit
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if !slices.Contains(d.Protection, kind) || !slices.ContainsFunc(d.Kind.Positions, func(x switchnet.Position) bool { return len(x.Joins) > 0 }) {
			continue
		}
		k := d.Kind.Clone()
		for k.Name = "opened " + k.Name; taken[k.Name]; {
			k.Name = "opened " + k.Name
		}
		for n := range k.Positions {
			k.Positions[n].Joins = nil
		}
		edits = append(edits, wiring.ReplaceDevice{Device: switchnet.Ref{Place: d.Box, Name: d.Name}, Kind: k})
	}
	if len(edits) == 0 {
		return p, nil
	}
	w, err := p.job.Wiring.Apply(edits...)
	if err != nil {
		return nil, err
	}
	return newPass(p.ctx, Job{Wiring: w, Intent: p.job.Intent}, p.suite), nil
}

// feedVolts returns the nominal voltage of the outlets of a feed: that of one line to
// neutral wherever its neutral is used.
func (p *Pass) feedVolts(f *wiring.Feed) quantity.Voltage {
	neutral := slices.ContainsFunc(p.spec.Landings, func(l wiring.Landing) bool { return l.Box == f.Box && l.Device == f.Name && l.Terminal == "neutral" }) ||
		slices.ContainsFunc(p.spec.Splices, func(s wiring.Splice) bool {
			return s.Box == f.Box && slices.ContainsFunc(s.Join, func(j wiring.Joint) bool { return j.Device == f.Name && j.Terminal == "neutral" })
		})
	switch {
	case neutral || f.Poles < 2 && len(f.Lines) < 2:
		if f.Volts > 0 && f.Poles < 2 && len(f.Lines) < 2 {
			return f.Volts
		}
		return p.spec.Supply.LineToNeutral
	case f.Volts > 0:
		return f.Volts
	}
	return p.spec.Supply.LineToLine
}

// serves reports whether a feed reaches an outlet in a box that a demand is on: a light
// that is wired in, a receptacle that does not have the protection itself, or, where it is
// on all outlets, a switch.
func (p *Pass) serves(feed int32, box string, v *conductor.Protection) bool {
	m := p.metal()
	reached := func(t switchnet.Terminal) bool {
		x, ok := m.on(t)
		return ok && slices.ContainsFunc(m.reach(x), func(y int32) bool { return slices.Contains(m.hot[y], feed) })
	}
	for i := range p.spec.Lights {
		l := &p.spec.Lights[i]
		if l.Box != box || l.On != "" || v.Outlets == conductor.ReceptacleOutlets {
			continue
		}
		ref := switchnet.Ref{Place: box, Name: l.Name}
		if reached(ref.Terminal("hot")) || reached(ref.Terminal("neutral")) {
			return true
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		receptacle := len(d.Kind.Positions) == 1
		if d.Box != box || slices.Contains(d.Protection, v.Kind) || v.Outlets == conductor.LightingOutlets || v.Outlets == conductor.ReceptacleOutlets && !receptacle {
			continue
		}
		ref := switchnet.Ref{Place: box, Name: d.Name}
		if slices.ContainsFunc(d.Kind.Terminals, func(t string) bool { return reached(ref.Terminal(t)) }) {
			return true
		}
	}
	return false
}
