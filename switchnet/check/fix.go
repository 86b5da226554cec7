package check

import (
	"cmp"
	"iter"
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

	parts []string // what a pair of steps does, in name order
	left  int      // how much is found when a pair of steps is made
}

// same reports whether two fixes do the same, in whichever order.
func (x *Fix) same(y *Fix) bool {
	return x.Does == y.Does || len(x.parts) > 0 && slices.Equal(x.parts, y.parts)
}

// newFix returns the fix that some edits are, described by what each says.
func newFix(edits ...wiring.Edit) Fix {
	says := make([]string, len(edits))
	for i, e := range edits {
		says[i] = e.String()
	}
	return Fix{Does: strings.Join(says, ", then "), Edits: edits}
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

// outcome is what is found in a job, by key: all of it, and what is left when findings
// that others say more closely keep silent. How far each is out of the way, where that has a
// measure, is kept by key too: what is found already must not grow.
type outcome struct {
	all, said map[key]int
	amounts   map[key]float64
	supplied  map[switchnet.Ref]int // by receptacle, see supplied
}

// mender tries fixes. Most of them fail at the finding's own rule, which costs a fraction
// of the whole suite and is asked first; what it says of a fix is kept for all findings.
type mender struct {
	p       *Pass
	guard   Suite // the suite, and all rules of safety that it lacks
	before  outcome
	looks   int // how many more fixes one rule may look at
	tries   int // how many more the whole suite may
	pairs   int // how many more pairs of steps are looked at
	most    int // how many fixes a finding gets
	screen  *screen
	changes map[asked]*change
}

// asked is a fix with the rule that looked at it, or none for the whole guard.
type asked struct {
	does string
	code Code
}

// change is what a fix does to what is found.
type change struct {
	less  map[key]bool // found less often
	worse bool         // something is found that was not, or the fix cannot be made
	after *outcome     // of all rules, nil if they were not asked
}

// none is the change by a fix that cannot be made, or leaves a job about which the
// questions have no answer.
var none = &change{worse: true}

// fix gives each finding the fixes that cure it and do no other harm. A fix must not
// bring a finding of the suite, nor one of the safety suite, that was not there before,
// not even one that would keep silent: a light that a short keeps dark is not cured by
// making it one that nothing would light.
func (p *Pass) fix(suite *Suite, o Options) error {
	m, err := p.mender(suite, o)
	if err != nil {
		return err
	}
	for i := range p.findings {
		f := &p.findings[i]
		if err := m.give(f, slices.Values(f.propose)); err != nil {
			return err
		}
	}
	var uncured []*Finding
	for i := range p.findings {
		f := &p.findings[i]
		if len(f.Fixes) > 0 || f.ByHand {
			continue
		}
		if err := m.give(f, slices.Values(p.general(f))); err != nil {
			return err
		}
		if len(f.Fixes) == 0 {
			uncured = append(uncured, f)
		}
	}
	for i, f := range uncured {
		if err := m.pair(f, m.pairs/(len(uncured)-i)); err != nil {
			return err
		}
	}
	return nil
}

// mender returns what tries fixes of a job that was asked a suite.
func (p *Pass) mender(suite *Suite, o Options) (*mender, error) {
	m := &mender{p: p, guard: suite.guard(), changes: map[asked]*change{},
		looks: cmp.Or(o.Looks, defaultLooks), tries: cmp.Or(o.Tries, defaultTries),
		pairs: max(cmp.Or(o.Pairs, defaultPairs), 0), most: cmp.Or(o.MaxFixes, defaultFixes)}
	q, err := ask(p.ctx, p.job, &m.guard, true)
	if err != nil {
		return nil, err
	}
	if m.screen, err = q.newScreen(); err != nil {
		return nil, err
	}
	m.before = *q.outcome()
	return m, nil
}

// guard returns the suite with all rules of safety that it lacks.
func (s *Suite) guard() Suite {
	out := *s
	out.Rules = slices.Clone(s.Rules)
	safety := Safety(s.region)
	for _, r := range safety.Rules {
		if !slices.ContainsFunc(s.Rules, func(x Rule) bool { return x.Code == r.Code }) {
			out.Rules = append(out.Rules, r)
		}
	}
	return out
}

// give tries fixes for a finding until it has as many as it may have.
func (m *mender) give(f *Finding, fixes iter.Seq[Fix]) error {
	k := f.key()
	for x := range fixes {
		if len(f.Fixes) >= m.most || m.looks == 0 || m.tries == 0 {
			return nil
		}
		if slices.ContainsFunc(f.Fixes, func(y Fix) bool { return x.same(&y) }) {
			continue
		}
		if err := m.p.ctx.Err(); err != nil {
			return err
		}
		c, err := m.change(x, k)
		if err != nil {
			return err
		}
		if c.less[k] && !c.worse && (len(x.parts) == 0 || m.whole(c, f)) {
			if len(x.parts) > 0 {
				x.left = c.after.count()
			}
			f.Fixes = append(f.Fixes, x)
		}
	}
	return nil
}

// change returns what a fix does: to all that is found if the rule of a finding finds it
// less often then and nothing else more often, or else to what that rule finds.
func (m *mender) change(x Fix, k key) (*change, error) {
	if c, ok := m.changes[asked{x.Does, ""}]; ok {
		return c, nil
	}
	if c, ok := m.changes[asked{x.Does, k.code}]; ok && (!c.less[k] || c.worse) {
		return c, nil // else it was another finding of this rule that it left
	}
	if !m.screen.passes(x, k) {
		return none, nil
	}
	m.looks--
	w, err := m.p.job.Wiring.Apply(x.Edits...)
	if err != nil {
		m.changes[asked{x.Does, ""}] = none
		return none, nil
	}
	job := m.p.job
	job.Wiring = w
	p := newPass(m.p.ctx, job, &m.guard)
	own := slices.IndexFunc(m.guard.Rules, func(r Rule) bool { return r.Code == k.code })
	c, err := m.look(p, own)
	if err != nil {
		return nil, err
	}
	m.changes[asked{x.Does, k.code}] = c
	if !c.less[k] || c.worse {
		return c, nil
	}
	m.tries--
	c, err = m.rest(p, own)
	m.changes[asked{x.Does, ""}] = c
	return c, err
}

// look asks one rule about the job after a fix and compares what it finds.
func (m *mender) look(p *Pass, rule int) (*change, error) {
	n := len(p.findings)
	if err := p.ask(&m.guard.Rules[rule]); err != nil {
		return none, m.p.ctx.Err()
	}
	after := tally(p.findings[n:])
	c := &change{worse: worse(after, m.before.all) || grown(amounts(p.findings[n:]), m.before.amounts)}
	for k, had := range m.before.all {
		if k.code == m.guard.Rules[rule].Code && after[k] < had {
			if c.less == nil {
				c.less = map[key]bool{}
			}
			c.less[k] = true
		}
	}
	return c, nil
}

// rest asks all other rules about the job after a fix, until one finds more than before.
func (m *mender) rest(p *Pass, own int) (*change, error) {
	for i := range m.guard.Rules {
		if i == own {
			continue
		}
		if c, err := m.look(p, i); err != nil || c.worse {
			return none, err
		}
	}
	after := p.outcome()
	c := &change{less: map[key]bool{}, worse: worse(after.said, m.before.said) || cutOff(after.supplied, m.before.supplied), after: after}
	for k, had := range m.before.said {
		if after.said[k] < had && after.all[k] < m.before.all[k] {
			c.less[k] = true
		}
	}
	return c, nil
}

// outcome returns what is found, and lets those be silent that others say more closely.
func (p *Pass) outcome() *outcome {
	out := &outcome{all: tally(p.findings), amounts: amounts(p.findings), supplied: p.supplied()}
	p.yield()
	out.said = tally(p.findings)
	return out
}

// count returns how much is found.
func (o *outcome) count() int {
	total := 0
	for _, n := range o.said {
		total += n
	}
	return total
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

// amounts returns the largest amount of the findings of each key.
func amounts(findings []Finding) map[key]float64 {
	out := map[key]float64{}
	for i := range findings {
		if f := &findings[i]; f.amount > 0 {
			out[f.key()] = max(out[f.key()], f.amount)
		}
	}
	return out
}

// grown reports whether an amount is larger than it was.
func grown(after, before map[key]float64) bool {
	for k, v := range after {
		if v > before[k]+small {
			return true
		}
	}
	return false
}

// supplied returns by receptacle how many of its terminals some positions of the switches
// put on a hot, or are on a neutral, as they are meant to.
func (p *Pass) supplied() map[switchnet.Ref]int {
	m := p.metal()
	out := map[switchnet.Ref]int{}
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if !receptacle(d) {
			continue
		}
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		for _, t := range d.Kind.Terminals {
			x, ok := m.on(ref.Terminal(t))
			if ok && (isHot(t) && len(m.hotPieces(x)) > 0 || isNeutral(t) && len(m.neutral[x]) > 0) {
				out[ref]++
			}
		}
	}
	return out
}

// cutOff reports whether a receptacle has lost a hot or a neutral: that nothing is plugged
// into it which burns is no reason to take it for useless.
func cutOff(after, before map[switchnet.Ref]int) bool {
	for ref, n := range before {
		if after[ref] < n {
			return true
		}
	}
	return false
}
