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

// outcome is what is found in a job, by key: all of it, and what is left when findings
// that others say more closely keep silent.
type outcome struct{ all, said map[key]int }

// mender tries fixes.
type mender struct {
	p      *Pass
	guard  Suite // the suite, and all rules of safety that it lacks
	before outcome
	tries  int
	tried  map[string]*outcome // what is found after a fix, nil where it cannot be made
	// alone is, by fix and finding, whether the finding's own rule finds it less often
	// after the fix: most fixes fail at that, and it costs a fraction of the whole suite.
	alone map[aloneKey]bool
}

type aloneKey struct {
	does string
	key  key
}

// fix gives each finding the fixes that cure it and do no other harm. A fix must not
// bring a finding of the suite, nor one of the safety suite, that was not there before,
// not even one that would keep silent: a light that a short keeps dark is not cured by
// making it one that nothing would light.
func (p *Pass) fix(suite *Suite, o Options) error {
	m := &mender{p: p, guard: *suite, tried: map[string]*outcome{}, alone: map[aloneKey]bool{}}
	m.guard.Rules = slices.Clone(suite.Rules)
	safety := Safety(suite.region)
	for _, r := range safety.Rules {
		if !slices.ContainsFunc(suite.Rules, func(s Rule) bool { return s.Code == r.Code }) {
			m.guard.Rules = append(m.guard.Rules, r)
		}
	}
	before, err := m.look(p.job)
	if err != nil {
		return err
	}
	m.before = *before
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
			cures, err := m.cures(x, k)
			if err != nil {
				return err
			}
			if !cures {
				continue
			}
			m.tries--
			if after, err = m.after(x); err != nil {
				return err
			}
			m.tried[x.Does] = after
		}
		if after != nil && after.said[k] < m.before.said[k] && after.all[k] < m.before.all[k] &&
			!worse(after.said, m.before.said) && !worse(after.all, m.before.all) {
			f.Fixes = append(f.Fixes, x)
		}
	}
	return nil
}

// cures reports whether the rule of a finding finds it less often after a fix.
func (m *mender) cures(x Fix, k key) (bool, error) {
	at := aloneKey{x.Does, k}
	if ok, known := m.alone[at]; known {
		return ok, nil
	}
	w, err := m.p.job.Wiring.Apply(x.Edits...)
	if err == nil {
		own := m.guard
		own.Rules = slices.DeleteFunc(slices.Clone(own.Rules), func(r Rule) bool { return r.Code != k.code })
		job := m.p.job
		job.Wiring = w
		var p *Pass
		if p, err = ask(m.p.ctx, job, &own, true); err == nil {
			m.alone[at] = tally(p.findings)[k] < m.before.all[k]
			return m.alone[at], nil
		}
	}
	m.alone[at] = false
	return false, m.p.ctx.Err()
}

// after returns what is found when a fix is made, or nil if it cannot be made or leaves
// a job about which the questions have no answer.
func (m *mender) after(x Fix) (*outcome, error) {
	w, err := m.p.job.Wiring.Apply(x.Edits...)
	if err != nil {
		return nil, nil
	}
	job := m.p.job
	job.Wiring = w
	out, err := m.look(job)
	if err != nil {
		return nil, m.p.ctx.Err()
	}
	return out, nil
}

// look returns what is found in a job.
func (m *mender) look(job Job) (*outcome, error) {
	p, err := ask(m.p.ctx, job, &m.guard, true)
	if err != nil {
		return nil, err
	}
	all := tally(p.findings)
	p.yield()
	return &outcome{all, tally(p.findings)}, nil
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
