package check

import (
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on how cables are supported and come into boxes. They judge what the job
// states and nothing else: where nobody measured, nothing is said.
var supportRules = []Rule{
	{Code: "support-too-far", Topic: Law, Doc: "A cable whose first support is farther from a box than it may be.",
		Needs: needsOne(rules.SecuredFromBox, rules.MetalCladFromBox), Find: supportTooFar},
	{Code: "supports-apart", Topic: Law, Doc: "A cable with two supports farther apart than they may be.",
		Needs: needsOne(rules.SecuredEvery, rules.MetalCladEvery, rules.TwinEarthUpright), Find: supportsApart},
	{Code: "sheath-too-short", Topic: Law, Doc: "A cable whose sheath does not reach far enough into a box.",
		Needs: needsOne(rules.SheathInNonmetallicBox, rules.SheathInMetalBox, rules.SheathPastEntry), Find: sheathTooShort},
	{Code: "conductor-too-short", Topic: Law, Doc: "Conductors that are too short in a box to work with.",
		Needs: needsOne(rules.FreeConductor), Find: conductorTooShort},
}

// needsOne asks that a region has one of some rules; the reason is that for the first.
func needsOne(names ...rules.Name) func(*rules.Region) error {
	return func(r *rules.Region) error {
		for _, n := range names {
			if needs(n)(r) == nil {
				return nil
			}
		}
		return needs(names[0])(r)
	}
}

// length returns a rule of the region that demands a length in its edition.
func (p *Pass) length(n rules.Name) (rules.Rule, bool) {
	r, ok := p.law(n)
	return r, ok && r.Says == rules.Required && r.Length > 0 && r.During.Holds(edition(p.suite.region))
}

// most is the largest length that a rule lets be, and least the smallest: where a code
// states a length in two systems, either may be kept to.
func most(r *rules.Rule) quantity.Length { return max(r.Length, r.Metric) }

func least(r *rules.Rule) quantity.Length {
	if r.Metric > 0 {
		return min(r.Length, r.Metric)
	}
	return r.Length
}

// noted returns a rule's note as a message goes on with it.
func noted(r *rules.Rule) string {
	if r.Note == "" {
		return ""
	}
	return " (" + r.Note + ")"
}

// measured calls f for what was measured at each end of a cable, cables in name order.
func (p *Pass) measured(f func(c *wiring.Cable, v *wiring.Entry, b *wiring.Box)) {
	for i := range p.spec.Cables {
		c := &p.spec.Cables[i]
		for e, box := range []string{c.From, c.To} {
			if v := &c.Entries[e]; *v != (wiring.Entry{}) {
				f(c, v, p.box(box))
			}
		}
	}
}

// breach reports a length that breaks a rule, with a standing of its own if one is given.
func (p *Pass) breach(c *wiring.Cable, b *wiring.Box, r *rules.Rule, own Standing, format string, args ...any) {
	at := p.cablePlace(c.Name)
	if b != nil {
		at.Box = b.Name
	}
	p.Report(Finding{Place: at, Section: r.Source, since: r.During.Since, ByHand: true, Standing: own, Message: c.Name + " " + fmt.Sprintf(format, args...) + noted(r)})
}

// supportTooFar takes a distance along the sheath for a straight one only where the region
// measures so: a cable with slack may be secured near enough.
func supportTooFar(p *Pass) error {
	p.measured(func(c *wiring.Cable, v *wiring.Entry, b *wiring.Box) {
		from, along := rules.SecuringOf(c.Type).First, rules.Name(0)
		sheathed := c.Type.Construction == conductor.NonmetallicSheath
		if sheathed {
			along = rules.SecuredFromBoxAlongSheath
			if _, ok := p.length(rules.SecuredFromUnclampedBox); ok && b.Unclamped() {
				from, along = rules.SecuredFromUnclampedBox, rules.SecuredAlongSheath
			}
		}
		away, how := v.Support, ""
		if r, ok := p.law(along); ok && r.Says == rules.Required && r.During.Holds(edition(p.suite.region)) && v.Along > 0 {
			away, how = v.Along, " along its sheath"
		}
		if r, ok := p.length(from); ok && away > most(&r) {
			p.breach(c, b, &r, 0, "has its first support %v%s from box %s, and %v is the most", away, how, b.Name, r.Length)
			return
		}
		if r, ok := p.length(rules.FirstSupport); ok && sheathed && max(v.Along, v.Support) > most(&r) {
			p.breach(c, b, &r, 0, "has %v of cable from box %s to its first support, and %v is the most", max(v.Along, v.Support), b.Name, r.Length)
		}
	})
	return nil
}

func supportsApart(p *Pass) error {
	for i := range p.spec.Cables {
		c := &p.spec.Cables[i]
		by := rules.SecuringOf(c.Type)
		if r, ok := p.length(by.Most); ok && c.Apart > most(&r) {
			own := Standing(0)
			if by.Guidance {
				own = Defect
			}
			p.breach(c, nil, &r, own, "has supports %v apart, and %v is the most", c.Apart, r.Length)
		}
	}
	return nil
}

// sheathTooShort holds a panel to the rule for every entry only: it is a cabinet.
func sheathTooShort(p *Pass) error {
	p.measured(func(c *wiring.Cable, v *wiring.Entry, b *wiring.Box) {
		if !v.SheathStated || c.Type.Construction != conductor.NonmetallicSheath {
			return
		}
		names := []rules.Name{rules.SheathInNonmetallicBox, rules.SheathPastEntry}
		switch {
		case b.Kind == wiring.Panel:
			names = names[1:]
		case b.Metal:
			names[0] = rules.SheathInMetalBox
		}
		for _, n := range names {
			if r, ok := p.length(n); ok && v.Sheath < least(&r) {
				has := "no sheath"
				if v.Sheath > 0 {
					has = v.Sheath.String() + " of sheath"
				}
				p.breach(c, b, &r, 0, "has %s in box %s, and %v is the least", has, b.Name, r.Length)
				return
			}
		}
	})
	return nil
}

func conductorTooShort(p *Pass) error {
	p.measured(func(c *wiring.Cable, v *wiring.Entry, b *wiring.Box) {
		if r, ok := p.length(rules.FreeConductor); ok && b.Kind != wiring.Panel && v.Free > 0 && v.Free < least(&r) {
			p.breach(c, b, &r, 0, "has %v of free conductor in box %s, and %v is the least", v.Free, b.Name, r.Length)
		}
	})
	return nil
}
