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
// that serves an outlet in them. Several demands for one protection are one finding, by
// the first of them.
func protectionMissing(p *Pass) error {
	fed := map[conductor.ProtectionKind]*Pass{} // by kind, the job as what has it does not feed through
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if b.Room == "" {
			continue
		}
		type lack struct {
			feed int32
			kind conductor.ProtectionKind
		}
		told := map[lack]bool{}
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
			for _, f := range bare.serving(b.Name, &v) {
				feed := &p.spec.Feeds[f]
				if told[lack{f, v.Kind}] || slices.Contains(feed.Protection, v.Kind) || !v.On(feed.Breaker, p.feedVolts(feed)) {
					continue
				}
				told[lack{f, v.Kind}] = true
				ref := p.feedRef(f)
				covers := v.Covers()
				if covers != "" {
					covers = " (" + covers + ")"
				}
				p.Report(Finding{Place: p.devicePlace(ref), About: switchnet.Ref{Place: b.Name, Name: v.Kind.String()}, Related: []Place{p.boxPlace(b.Name)},
					Section: v.Source, since: v.Since, ByHand: true,
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

// outlet is what a feed serves.
type outlet struct {
	kind  conductor.OutletKind       // 0: a switch
	has   []conductor.ProtectionKind // in itself
	feeds []int32                    // that reach it, in their order
}

// outlets returns the lights that are wired in, the receptacles and the switches by box.
func (p *Pass) outlets() map[string][]outlet {
	if p.served != nil {
		return p.served
	}
	p.served = map[string][]outlet{}
	m := p.metal()
	add := func(o outlet, ref switchnet.Ref, terminals ...string) {
		for _, t := range terminals {
			x, ok := m.on(ref.Terminal(t))
			if !ok {
				continue
			}
			for _, y := range m.reach(x) {
				o.feeds = append(o.feeds, m.hot[y]...)
			}
		}
		slices.Sort(o.feeds)
		if o.feeds = slices.Compact(o.feeds); len(o.feeds) > 0 {
			p.served[ref.Place] = append(p.served[ref.Place], o)
		}
	}
	for i := range p.spec.Lights {
		if l := &p.spec.Lights[i]; l.On == "" {
			add(outlet{kind: conductor.LightingOutlets}, switchnet.Ref{Place: l.Box, Name: l.Name}, "hot", "neutral")
		}
	}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		o := outlet{has: d.Protection}
		if len(d.Kind.Positions) == 1 {
			o.kind = conductor.ReceptacleOutlets
		}
		add(o, switchnet.Ref{Place: d.Box, Name: d.Name}, d.Kind.Terminals...)
	}
	return p.served
}

// serving returns the feeds, in their order, that serve an outlet in a box that a demand is
// on and that does not have the protection in itself.
func (p *Pass) serving(box string, v *conductor.Protection) []int32 {
	var out []int32
	for _, o := range p.outlets()[box] {
		if (v.Outlets == 0 || v.Outlets == o.kind) && !slices.Contains(o.has, v.Kind) {
			out = append(out, o.feeds...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
