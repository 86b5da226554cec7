package check

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// A Pass is one check of one job, as a rule sees it. What several rules need is worked
// out once, when the first asks for it.
type Pass struct {
	ctx      context.Context
	job      Job
	suite    *Suite
	rule     *Rule
	spec     wiring.Spec
	findings []Finding
	doubts   []Doubt
	entries  arranged

	m        *metal
	bareNet  *switchnet.Net
	analysis *allstates.Analysis
	fedAlone map[int32]*allstates.Analysis
	all      []lamp
	touch    []bonded
	controls []inside
	verdicts []circuit
	marks    map[wiring.End]conductor.Colour
	served   map[string][]outlet
}

// Context returns the context of the check.
func (p *Pass) Context() context.Context { return p.ctx }

// Wiring returns the wiring that is checked.
func (p *Pass) Wiring() *wiring.Wiring { return p.job.Wiring }

// Job returns what is checked.
func (p *Pass) Job() Job { return p.job }

// Spec returns the data of the wiring, which must not be changed: every list in name
// order, the joints of each splice and the ends of each cable too.
func (p *Pass) Spec() *wiring.Spec { return &p.spec }

// Region returns the region of the suite, nil for none.
func (p *Pass) Region() *rules.Region { return p.suite.region }

// Report adds a finding. Its code is that of the rule, and so is its standing unless it
// has one. Its fixes are tried before others; those that do not cure it are dropped. The
// entries of its places are numbered as in [Pass.Spec], and become those of the job.
func (p *Pass) Report(f Finding) {
	f.Code = p.rule.Code
	f.propose, f.Fixes = f.Fixes, nil
	f.Place.At = p.entries.entry(f.Place.At)
	for i := range f.Related {
		f.Related[i].At = p.entries.entry(f.Related[i].At)
	}
	slices.SortFunc(f.Related, Place.Compare)
	if f.Standing == 0 {
		f.Standing = p.standing(&f)
	}
	p.findings = append(p.findings, f)
}

// Doubt adds a doubt. Its code is that of the rule; the entry of its place is numbered as
// in [Pass.Spec], and becomes that of the job.
func (p *Pass) Doubt(d Doubt) {
	d.Code = p.rule.Code
	d.Place.At = p.entries.entry(d.Place.At)
	p.doubts = append(p.doubts, d)
}

func (p *Pass) standing(f *Finding) Standing {
	switch p.rule.Topic {
	case ShockFire:
		return Hazardous
	case Law:
	default:
		return Defect
	}
	installed := cmp.Or(f.year, p.installed(f.Place.Cable))
	switch {
	case installed == 0:
		return Unlawful
	case f.since > installed:
		return UnlawfulOnlyIfNew
	}
	return UnlawfulWhenInstalled
}

// installed returns the year in which a cable was put in, or else the job; 0 if it is not
// known.
func (p *Pass) installed(cable string) int {
	for i := range p.spec.Cables {
		if c := &p.spec.Cables[i]; c.Name == cable && c.Installed != 0 {
			return c.Installed
		}
	}
	return p.spec.Installed
}

// wiredIn returns the year in which the oldest cable on a device was put in, or else the
// job; 0 if it is not known.
func (p *Pass) wiredIn(ref switchnet.Ref) int {
	year := 0
	for _, l := range p.spec.Landings {
		if l.Box != ref.Place || l.Device != ref.Name {
			continue
		}
		if y := p.installed(l.Wire.Cable); year == 0 || y < year {
			year = y
		}
	}
	return cmp.Or(year, p.spec.Installed)
}

// law returns the region's rule of a name, for the section of a finding.
func (p *Pass) law(n rules.Name) (rules.Rule, bool) {
	if p.suite.region == nil {
		return rules.Rule{}, false
	}
	return p.suite.region.Wiring.Rule(n)
}

// section returns the section of the region's rule of a name, absent if it has none.
func (p *Pass) section(n rules.Name) conductor.Source {
	r, _ := p.law(n)
	return r.Source
}

// Quiet returns the circuit without the loads that are inside devices, so that a pilot
// lamp or the electronics of a sensor are not taken for a light in series. Its states
// have the same devices and positions as those of the wiring's own net.
func (p *Pass) Quiet() (*switchnet.Net, error) {
	if p.bareNet != nil {
		return p.bareNet, nil
	}
	var edits []wiring.Edit
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if len(d.Kind.Internal) == 0 {
			continue
		}
		k := d.Kind.Clone()
		k.Name, k.Internal = "quiet "+k.Name, nil
		edits = append(edits, wiring.ReplaceDevice{Device: switchnet.Ref{Place: d.Box, Name: d.Name}, Kind: k})
	}
	p.bareNet = p.job.Wiring.Net()
	if len(edits) > 0 {
		w, err := p.job.Wiring.Apply(edits...)
		if err != nil {
			return nil, err
		}
		p.bareNet = w.Net()
	}
	return p.bareNet, nil
}

// Analysis returns the analysis of every state of [Pass.Quiet].
func (p *Pass) Analysis() (*allstates.Analysis, error) {
	if p.analysis != nil {
		return p.analysis, nil
	}
	net, err := p.Quiet()
	if err != nil {
		return nil, err
	}
	p.analysis, err = allstates.Analyze(p.ctx, net, nil)
	return p.analysis, err
}

// witness returns a state with the positions of some devices in words; without devices,
// all that have more than one position and are no breakers.
func (p *Pass) witness(s switchnet.State, devices []switchnet.Ref) Witness {
	own, err := s.On(p.job.Wiring.Net())
	if err != nil {
		own = s // unreachable: both nets have the same devices
	}
	if devices == nil {
		for r := range s.Positions() {
			if d, _ := s.Net().Device(r); !d.Kind.Breaker && len(d.Kind.Positions) > 1 {
				devices = append(devices, r)
			}
		}
	}
	const most = 8
	boxes := map[string]int{}
	for _, r := range devices {
		boxes[r.Place]++
	}
	var parts []string
	for i, r := range devices {
		if i == most && len(devices) > most+1 {
			parts = append(parts, "and others")
			break
		}
		name := r.Place
		if boxes[name] > 1 {
			name = r.String()
		}
		position, _ := s.Position(r)
		parts = append(parts, name+" "+position)
	}
	return Witness{own, strings.Join(parts, ", ")}
}
