package check

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// The rules of a region and edition beyond safety. Those on colours are apart.
var lawRules = []Rule{
	{Code: "no-neutral-at-switch", Topic: Law, Doc: "A switch for lighting in whose box the neutral of its circuit is missing, and no exemption is claimed.",
		Needs: needsNeutralRule, Find: noNeutralAtSwitch},
	{Code: "box-too-full", Topic: Law, Doc: "A box with less volume than what is in it requires.", Needs: needsBoxes, Find: boxTooFull},
	{Code: "stair-without-control", Topic: Law, Doc: "A stairway without control of its light at each level.",
		Needs: needs(rules.StairSwitchEachLevel), Find: stairWithoutControl},
	{Code: "protection-missing", Topic: Law, Doc: "A light or receptacle in a kind of room of a dwelling that demands a protection which its circuit lacks.",
		Needs: needsProtections, Find: protectionMissing},
	{Code: "breaker-not-standard", Topic: Law, Doc: "An overcurrent device of a rating that the region does not list.", Needs: needsSizes, Find: breakerNotStandard},
	{Code: "overloaded", Topic: Law, Doc: "A circuit whose lights draw more than its breaker or its conductors may carry for hours.",
		Needs: needsSizes, Find: overloaded},
}

// needs asks that a region has a rule.
func needs(n rules.Name) func(*rules.Region) error {
	return func(r *rules.Region) error {
		if r == nil {
			return fmt.Errorf("no region is named, and the rule on %q is one of a region", n)
		}
		if _, ok := r.Wiring.Rule(n); !ok {
			return fmt.Errorf("%s has no rule on %q", r.ID, n)
		}
		return nil
	}
}

func needsNeutralRule(r *rules.Region) error {
	switch {
	case r == nil:
		return fmt.Errorf("no region is named, and whether there must be a neutral at a switch depends on it")
	case r.Wiring.Neutral.Rule.Says != rules.Required || !r.Wiring.Neutral.Rule.During.Holds(edition(r)):
		return fmt.Errorf("%s asks for no neutral at switches", r.ID)
	}
	return nil
}

func needsBoxes(r *rules.Region) error {
	switch {
	case r == nil:
		return fmt.Errorf("no region is named, and how boxes are filled depends on it")
	case len(r.Box.Allowances) == 0:
		return fmt.Errorf("%s has no volumes for conductors", r.ID)
	}
	return nil
}

// edition returns the year of a region's edition, 0 if it is none.
func edition(r *rules.Region) int {
	year, err := strconv.Atoi(r.Edition)
	if err != nil {
		return 0
	}
	return year
}

func noNeutralAtSwitch(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	rule := &p.suite.region.Wiring.Neutral
	m := p.metal()
	shares := p.shares()
	wanted := map[switchnet.Ref][]int32{} // feeds of the lights that it switches
	for i := range lamps {
		l := &lamps[i]
		if !l.wiredIn() || p.betweenLines(l) {
			continue // a switched receptacle, or a circuit that has no neutral
		}
		for _, r := range l.law.Matter {
			for _, f := range m.hotsOf(l) {
				if !slices.Contains(wanted[r], f) {
					wanted[r] = append(wanted[r], f)
				}
			}
		}
	}
	has := p.neutralsIn()
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		feeds := wanted[ref]
		if len(feeds) == 0 {
			continue
		}
		there := func(f int32) bool {
			return has[d.Box][f] || slices.ContainsFunc(shares, func(s share) bool { return s.feed == f && has[d.Box][s.neutral] })
		}
		if slices.ContainsFunc(feeds, there) {
			continue
		}
		now := edition(p.suite.region)
		year, notThen := p.wiredIn(ref), false // nobody demanded it of what was put in then
		if year != 0 {
			demanded, known := p.demandsNeutral(rule, d, has, rule.Edition(min(year, now)))
			notThen = known && !demanded
		}
		switch demanded, known := p.demandsNeutral(rule, d, has, now); {
		case !known && notThen:
		case !known:
			p.Doubt(Doubt{Place: p.devicePlace(ref), Section: rule.Rule.Source,
				Message: fmt.Sprintf("whether box %s (%s) is in a place where the box of a switch must have a neutral: that of %s has none of %s", d.Box, p.box(d.Box).Room, ref, p.spec.Feeds[feeds[0]].Name)})
		case demanded:
			f := Finding{Place: p.devicePlace(ref), About: ref, Section: rule.Rule.Source, since: rule.Rule.During.Since, Fixes: p.feedsReversed(),
				Message: fmt.Sprintf("no neutral of %s is in the box of %s, and no exemption is claimed", p.spec.Feeds[feeds[0]].Name, ref)}
			if f.year = year; notThen {
				f.Standing = UnlawfulOnlyIfNew
			}
			p.Report(f)
		}
	}
	return nil
}

// demandsNeutral reports whether the box of a switch must have a neutral by an edition, and
// false for known where only an inspector can tell. Where the room is not stated it must.
func (p *Pass) demandsNeutral(rule *rules.NeutralRule, d *wiring.Device, has map[string]map[int32]bool, year int) (demanded, known bool) {
	if !rule.Rule.During.Holds(year) || p.exempt(rule, d, has, year) {
		return false, true
	}
	room := p.box(d.Box).Room
	if room == "" {
		return true, true
	}
	return rule.In(room, year)
}

// betweenLines reports whether a light is between two lines, and on no neutral.
func (p *Pass) betweenLines(l *lamp) bool {
	m := p.metal()
	hot := func(x int32) bool {
		return slices.ContainsFunc(m.reach(x), func(y int32) bool { return len(m.hot[y]) > 0 })
	}
	return len(m.neutrals(l)) == 0 && hot(l.piece[0]) && hot(l.piece[1])
}

// neutralsIn returns by box the feeds whose neutral is there: brought by a conductor, or
// because the feed itself is.
func (p *Pass) neutralsIn() map[string]map[int32]bool {
	m := p.metal()
	out := map[string]map[int32]bool{}
	for i := range p.spec.Feeds {
		box := p.spec.Feeds[i].Box
		if out[box] == nil {
			out[box] = map[int32]bool{}
		}
		out[box][int32(i)] = true
	}
	p.ends(func(_ *wire, e wiring.End, x int32) bool {
		for _, f := range m.neutral[x] {
			if out[e.Box] == nil {
				out[e.Box] = map[int32]bool{}
			}
			out[e.Box][f] = true
		}
		return true
	})
	return out
}

// box returns a box of the job by its name.
func (p *Pass) box(name string) *wiring.Box {
	i := slices.IndexFunc(p.spec.Boxes, func(b wiring.Box) bool { return b.Name == name })
	return &p.spec.Boxes[i]
}

// exempt reports whether an exemption is claimed for the switches in a box that an edition
// has.
func (p *Pass) exempt(rule *rules.NeutralRule, d *wiring.Device, has map[string]map[int32]bool, year int) bool {
	for _, e := range p.job.Intent.Exemptions {
		if e.Box != d.Box {
			continue
		}
		for _, x := range rule.Exemptions {
			if x.Exemption.String() != e.By || !x.During.Holds(year) {
				continue
			}
			if x.Exemption != rules.WholeAreaSeenOnce {
				return true
			}
			// One of the switches that see the area must have it.
			for _, c := range p.job.Intent.Controls {
				if slices.Contains(c.Places, d.Box) && slices.ContainsFunc(c.Places, func(b string) bool { return b != d.Box && len(has[b]) > 0 }) {
					return true
				}
			}
		}
	}
	return false
}

func boxTooFull(p *Pass) error {
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		contents, err := p.job.Wiring.Contents(b.Name)
		if err != nil {
			return err
		}
		r, err := boxfill.Fill(&p.suite.region.Box, contents)
		if why := uncounted(&r, err); why != "" {
			p.Doubt(Doubt{Place: p.boxPlace(b.Name), Message: fmt.Sprintf("whether box %s holds what is in it: %s", b.Name, why)})
			continue
		}
		if r.Status.OK() {
			continue
		}
		f := Finding{Place: p.boxPlace(b.Name), Message: fmt.Sprintf("box %s is too full: %v needed, %v there", b.Name, r.Required, r.Available)}
		if len(r.Lines) > 0 {
			f.Section = r.Lines[0].Source
		}
		if b.Clamps == 0 {
			f.Message += "; clamps are not stated and not counted"
		}
		p.Report(f)
	}
	return nil
}

// uncounted says why the fill of a box is not known; it is empty where it is.
func uncounted(r *boxfill.Result, err error) string {
	switch {
	case err != nil:
		return err.Error()
	case r.Status == boxfill.VolumeUnknown:
		return fmt.Sprintf("its volume is not stated, and %v are needed; read what is marked on it", r.Required)
	case r.Status == boxfill.Refused:
		f := &r.Refusals[0]
		return fmt.Sprintf("%v: %s", f.Item, f.Why)
	}
	return ""
}

// checkStairs returns what the stairs of a job name that its wiring does not have, all of
// it.
func checkStairs(job *Job) error {
	if len(job.Intent.Stairs) == 0 {
		return nil
	}
	spec := job.Wiring.Spec()
	var errs []error
	for _, st := range job.Intent.Stairs {
		for _, level := range st.Levels {
			if !slices.ContainsFunc(spec.Boxes, func(b wiring.Box) bool { return b.Name == level }) {
				errs = append(errs, fmt.Errorf("check: stair %q names box %q, which the wiring does not have", st.Name, level))
			}
		}
		for _, light := range st.Lights {
			if !slices.ContainsFunc(spec.Lights, func(v wiring.Light) bool { return v.Name == light }) {
				errs = append(errs, fmt.Errorf("check: stair %q names light %q, which the wiring does not have", st.Name, light))
			}
		}
	}
	return errors.Join(errs...)
}

func stairWithoutControl(p *Pass) error {
	if len(p.job.Intent.Stairs) == 0 {
		return nil
	}
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	law, _ := p.law(rules.StairSwitchEachLevel)
	for _, st := range p.job.Intent.Stairs {
		if st.Risers < law.Count {
			continue
		}
		for _, level := range st.Levels {
			controls := false
			for i := range lamps {
				l := &lamps[i]
				if !slices.Contains(st.Lights, l.light.Name) || l.law.Kind == allstates.NeverLit {
					continue
				}
				for _, r := range p.moving(l.law.Matter) {
					if r.Place != level || controls {
						continue
					}
					_, fails, err := p.untoggled(l, r)
					if err != nil {
						return err
					}
					controls = !fails
				}
			}
			if !controls {
				p.Report(Finding{Place: p.boxPlace(level), Section: law.Source, since: law.During.Since,
					Message: fmt.Sprintf("no switch in box %s always toggles a light of stair %q, which has %d risers", level, st.Name, st.Risers)})
			}
		}
	}
	return nil
}
