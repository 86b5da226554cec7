package check

import (
	"cmp"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Fix is a cure, as edits to be made in order. It is a proposal for a person to carry
// out and verify, and never a statement about what is there.
type Fix struct {
	// Does says it as a verb phrase: "exchange C2.red and C3.black in box loft".
	Does  string
	Edits []wiring.Edit
}

// newFix returns the fix that some edits are, described by what each says.
func newFix(edits ...wiring.Edit) Fix {
	says := make([]string, len(edits))
	for i, e := range edits {
		says[i] = e.String()
	}
	return Fix{strings.Join(says, ", then "), edits}
}

// key is what tells findings apart: never their text, nor their line in a file.
type key struct {
	code  Code
	place string
	about switchnet.Ref
}

func (f *Finding) key() key {
	return key{f.Code, strings.Join(f.Place.words(), "\x00"), f.About}
}

// tally counts findings by key.
func tally(findings []Finding) map[key]int {
	out := make(map[key]int, len(findings))
	for i := range findings {
		out[findings[i].key()]++
	}
	return out
}

// mender tries fixes.
type mender struct {
	p      *Pass
	guard  Suite // the suite, and all rules of safety that it lacks
	before map[key]int
	tries  int
	tried  map[string]map[key]int // what is found after a fix, nil where it cannot be made
}

// fix gives each finding the fixes that cure it and do no other harm. A fix must not
// bring a finding of the suite, nor one of the safety suite, that was not there before,
// not even one that would keep silent: a light that a short keeps dark is not cured by
// making it one that nothing would light.
func (p *Pass) fix(suite *Suite, o Options) error {
	m := &mender{p: p, guard: *suite, tried: map[string]map[key]int{}}
	m.guard.Rules = slices.Clone(suite.Rules)
	safety := Safety(suite.region)
	for _, r := range safety.Rules {
		if !slices.ContainsFunc(suite.Rules, func(s Rule) bool { return s.Code == r.Code }) {
			m.guard.Rules = append(m.guard.Rules, r)
		}
	}
	q, err := ask(p.ctx, p.job, &m.guard, true)
	if err != nil {
		return err
	}
	m.before = tally(q.findings)
	m.tries = cmp.Or(o.Tries, defaultTries)
	most := cmp.Or(o.MaxFixes, defaultFixes)
	for i := range p.findings {
		if err := m.give(&p.findings[i], p.findings[i].propose, most); err != nil {
			return err
		}
	}
	for i := range p.findings {
		if f := &p.findings[i]; len(f.Fixes) == 0 {
			if err := m.give(f, p.general(f), most); err != nil {
				return err
			}
		}
	}
	return nil
}

// give tries fixes for a finding until it has as many as it may have.
func (m *mender) give(f *Finding, fixes []Fix, most int) error {
	k := f.key()
	for _, x := range fixes {
		if len(f.Fixes) >= most {
			return nil
		}
		if slices.ContainsFunc(f.Fixes, func(y Fix) bool { return y.Does == x.Does }) {
			continue
		}
		after, ok := m.tried[x.Does]
		if !ok {
			if m.tries == 0 {
				return nil
			}
			m.tries--
			var err error
			if after, err = m.after(x); err != nil {
				return err
			}
			m.tried[x.Does] = after
		}
		if after != nil && after[k] < m.before[k] && !worse(after, m.before) {
			f.Fixes = append(f.Fixes, x)
		}
	}
	return nil
}

// after returns what is found when a fix is made, or nil if it cannot be made or leaves
// a job about which the questions have no answer.
func (m *mender) after(x Fix) (map[key]int, error) {
	w, err := m.p.job.Wiring.Apply(x.Edits...)
	if err != nil {
		return nil, nil
	}
	job := m.p.job
	job.Wiring = w
	q, err := ask(m.p.ctx, job, &m.guard, true)
	if err != nil {
		return nil, m.p.ctx.Err()
	}
	return tally(q.findings), nil
}

// worse reports whether anything is found that was not found before.
func worse(after, before map[key]int) bool {
	for k, n := range after {
		if n > before[k] {
			return true
		}
	}
	return false
}

// general returns the single steps that may undo a fault in the boxes that a finding is
// about, those nearest to it first: what touches parted, what is broken mended, two
// terminals of a device exchanged, two wires of a box exchanged, an end landed, spliced
// or taken off.
func (p *Pass) general(f *Finding) []Fix {
	var out []Fix
	add := func(edits ...wiring.Edit) {
		if !slices.ContainsFunc(edits, p.groundsOther) {
			out = append(out, newFix(edits...))
		}
	}
	boxes := p.near(f)
	for _, t := range p.spec.Ties {
		if slices.Contains(boxes, t.Box) {
			add(wiring.Untie(t))
		}
	}
	for _, w := range p.spec.Opens {
		add(wiring.Mend{Wire: w})
	}
	for _, box := range boxes {
		for _, d := range p.devicesIn(box) {
			for i, a := range d.Kind.Terminals {
				for _, b := range d.Kind.Terminals[i+1:] {
					add(wiring.SwapTerminals{Box: box, A: wiring.Joint{Device: d.Name, Terminal: a}, B: wiring.Joint{Device: d.Name, Terminal: b}})
				}
			}
		}
	}
	for _, box := range boxes {
		p.moves(box, add)
	}
	for _, box := range boxes {
		ends := p.job.Wiring.Ends(box)
		for i, a := range ends {
			for _, b := range ends[i+1:] {
				add(wiring.SwapWires{Box: box, A: a.Wire, B: b.Wire})
			}
		}
	}
	return out
}

// land returns the edit that brings an end to a terminal of a device: a landing, or where
// there is one already a splice with a pigtail, for a screw takes one conductor.
func (p *Pass) land(e wiring.End, device, terminal string) wiring.Edit {
	for _, l := range p.spec.Landings {
		if l.Box == e.Box && l.Device == device && l.Terminal == terminal && l.Wire != e.Wire {
			return wiring.JoinSplice{Box: e.Box, Join: []wiring.Joint{{Wire: l.Wire}, {Wire: e.Wire}, {Device: device, Terminal: terminal}}}
		}
	}
	return wiring.MoveLanding{End: e, Device: device, Terminal: terminal}
}

// groundsOther reports whether an edit would join a grounding conductor or terminal with
// one that is not for grounding, which is never a cure.
func (p *Pass) groundsOther(e wiring.Edit) bool {
	switch e := e.(type) {
	case wiring.MoveLanding:
		return p.groundJoint(wiring.Joint{Wire: e.End.Wire}) != (e.Terminal == "ground")
	case wiring.JoinSplice:
		return slices.ContainsFunc(e.Join, p.groundJoint) && !allFunc(e.Join, p.groundJoint)
	}
	return false
}

func allFunc[T any](s []T, is func(T) bool) bool {
	return !slices.ContainsFunc(s, func(v T) bool { return !is(v) })
}

// moves adds for a box every single wire end landed on, or spliced with, something else.
func (p *Pass) moves(box string, add func(...wiring.Edit)) {
	ends := p.job.Wiring.Ends(box)
	idle := func(e wiring.End) bool {
		u, _ := p.job.Wiring.Use(e)
		return u == wiring.Hanging || u == wiring.Capped
	}
	for _, loose := range []bool{true, false} {
		for _, e := range ends {
			if idle(e) != loose {
				continue
			}
			for _, d := range p.devicesIn(box) {
				for _, t := range d.Kind.Terminals {
					add(p.land(e, d.Name, t))
				}
			}
			for i := range p.spec.Feeds {
				if v := &p.spec.Feeds[i]; v.Box == box {
					for _, t := range p.feedTerminals(int32(i)) {
						add(wiring.MoveLanding{End: e, Device: v.Name, Terminal: t})
					}
				}
			}
			for i := range p.spec.Splices {
				if s := &p.spec.Splices[i]; s.Box == box && !slices.Contains(s.Join, wiring.Joint{Wire: e.Wire}) {
					add(wiring.JoinSplice{Box: box, Join: []wiring.Joint{s.Join[0], {Wire: e.Wire}}})
				}
			}
			for _, other := range ends {
				if other != e && idle(other) && (!loose || e.Wire.String() < other.Wire.String()) {
					add(wiring.JoinSplice{Box: box, Join: []wiring.Joint{{Wire: other.Wire}, {Wire: e.Wire}}})
				}
			}
		}
	}
	for i := range p.spec.Splices {
		s := &p.spec.Splices[i]
		if s.Box != box || len(s.Join) < 2 {
			continue
		}
		for _, j := range s.Join {
			if j.Device != "" {
				for k := range p.spec.Splices {
					if o := &p.spec.Splices[k]; k != i && o.Box == box {
						add(wiring.SplitSplice{Box: box, Out: []wiring.Joint{j}}, wiring.JoinSplice{Box: box, Join: []wiring.Joint{o.Join[0], j}})
					}
				}
			}
		}
	}
}

// near returns the boxes that a finding is about, the nearest first: that of its place,
// those of related places, and those of the switches that matter to its light.
func (p *Pass) near(f *Finding) []string {
	var out []string
	add := func(box string) {
		if box != "" && !slices.Contains(out, box) {
			out = append(out, box)
		}
	}
	add(f.Place.Box)
	cables := []string{f.Place.Cable}
	for _, r := range f.Related {
		add(r.Box)
		cables = append(cables, r.Cable)
	}
	for i := range p.spec.Cables {
		if c := &p.spec.Cables[i]; slices.Contains(cables, c.Name) {
			add(c.From)
			add(c.To)
		}
	}
	for i := range p.all {
		if l := &p.all[i]; l.ref == f.About || slices.Contains(l.law.Matter, f.About) {
			for _, r := range l.law.Matter {
				add(r.Place)
			}
			add(l.ref.Place)
		}
	}
	return out
}

// devicesIn returns the devices of a box in name order.
func (p *Pass) devicesIn(box string) []*wiring.Device {
	var out []*wiring.Device
	for i := range p.spec.Devices {
		if p.spec.Devices[i].Box == box {
			out = append(out, &p.spec.Devices[i])
		}
	}
	slices.SortFunc(out, func(a, b *wiring.Device) int { return strings.Compare(a.Name, b.Name) })
	return out
}
