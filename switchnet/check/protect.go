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

// protectionMissing takes the building for a dwelling. It asks the rooms that the job states what they demand of each circuit
// that serves an outlet in them. Several demands for one protection are one finding, by
// the first of them. What no rule of the region is sure of is a doubt, and so is an
// arc-fault device along the way: codes let it serve from the first outlet on alone, with
// conditions on the wiring up to it that no job states.
func protectionMissing(p *Pass) error {
	fed := map[conductor.ProtectionKind]*Pass{} // by kind, the job as what has it does not feed through
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if b.Room == "" {
			continue
		}
		told := map[lack]bool{}
		demands := p.suite.sizer.Protections(b.Room)
		for _, want := range []conductor.Demand{conductor.Required, conductor.Unverified} {
			for k := range demands {
				v := &demands[k]
				if v.Demand != want || want == conductor.Unverified && v.Source.Absent() {
					continue // without a section, nothing at all is known of that room
				}
				bare := fed[v.Kind]
				if bare == nil {
					var err error
					if bare, err = p.withoutProtected(v.Kind); err != nil {
						return err
					}
					fed[v.Kind] = bare
				}
				p.demand(b, v, bare.serving(b.Name, v, false), told)
				if v.Kind == conductor.ArcFault && want == conductor.Required {
					p.behindDevice(b, v, p.serving(b.Name, v, true), told)
				}
			}
		}
	}
	return nil
}

// lack is a protection that a circuit lacks, or may lack, in a room.
type lack struct {
	feed int32
	kind conductor.ProtectionKind
}

// demand tells of each of some feeds that a demand of a box is on it, or may be.
func (p *Pass) demand(b *wiring.Box, v *conductor.Protection, feeds []int32, told map[lack]bool) {
	for _, f := range p.lacking(v, feeds, told) {
		covers := v.Covers()
		if covers != "" {
			covers = " (" + covers + ")"
		}
		if v.Demand == conductor.Unverified {
			p.Doubt(Doubt{Place: p.boxPlace(b.Name), Section: v.Source,
				Message: fmt.Sprintf("whether %s, which serves box %s (%s), needs %v protection there%s", p.spec.Feeds[f].Name, b.Name, b.Room, v.Kind, covers)})
			continue
		}
		p.Report(Finding{Place: p.devicePlace(p.feedRef(f)), About: switchnet.Ref{Place: b.Name, Name: v.Kind.String()}, Related: []Place{p.boxPlace(b.Name)},
			Section: v.Source, since: v.Since, ByHand: true,
			Message: fmt.Sprintf("%s serves box %s (%s), which in a dwelling demands %v protection%s, and neither it nor a device on the way is said to have it",
				p.spec.Feeds[f].Name, b.Name, b.Room, v.Kind, covers)})
	}
}

// behindDevice doubts each of some feeds of which only a device has the arc-fault
// protection that a box demands.
func (p *Pass) behindDevice(b *wiring.Box, v *conductor.Protection, feeds []int32, told map[lack]bool) {
	for _, f := range p.lacking(v, feeds, told) {
		p.Doubt(Doubt{Place: p.boxPlace(b.Name), Section: v.Source,
			Message: fmt.Sprintf("whether an arc-fault device protects box %s (%s) enough: it serves from the first outlet of %s on alone, and with conditions on the wiring up to it",
				b.Name, b.Room, p.spec.Feeds[f].Name)})
	}
}

// lacking returns the feeds among some that a demand is on and that do not have it, those
// told already left out, and tells them.
func (p *Pass) lacking(v *conductor.Protection, feeds []int32, told map[lack]bool) []int32 {
	var out []int32
	for _, f := range feeds {
		feed := &p.spec.Feeds[f]
		if !told[lack{f, v.Kind}] && !slices.Contains(feed.Protection, v.Kind) && v.On(feed.Breaker, p.feedVolts(feed)) {
			told[lack{f, v.Kind}] = true
			out = append(out, f)
		}
	}
	return out
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
		if receptacle(d) {
			o.kind = conductor.ReceptacleOutlets
		}
		add(o, switchnet.Ref{Place: d.Box, Name: d.Name}, d.Kind.Terminals...)
	}
	return p.served
}

// receptacle reports whether a device is one: nothing moves in it, and it uses nothing
// itself.
func receptacle(d *wiring.Device) bool {
	return len(d.Kind.Positions) == 1 && len(d.Kind.Internal) == 0
}

// serving returns the feeds, in their order, that serve an outlet in a box that a demand is
// on and that does not have the protection in itself, or any if that does not matter.
func (p *Pass) serving(box string, v *conductor.Protection, any bool) []int32 {
	var out []int32
	for _, o := range p.outlets()[box] {
		if (v.Outlets == 0 || v.Outlets == o.kind) && (any || !slices.Contains(o.has, v.Kind)) {
			out = append(out, o.feeds...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
