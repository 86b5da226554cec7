package identify

import (
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// setups returns the ways to have the boxes apart that a test may ask for: as they are;
// and with those boxes apart too that may be.
func (n *next) setups() [][]Stage {
	s := n.s
	now := slices.Clone(s.stage)
	for i := range now {
		if s.vague(i) {
			now[i] = Parted // what is joined there as it is nobody knows
		}
	}
	out := [][]Stage{now}
	all := slices.Clone(now)
	for i, st := range now {
		if st != Parted && s.noted(i) {
			all[i] = Parted
			one := slices.Clone(now)
			one[i] = Parted
			out = append(out, one)
		}
	}
	if !slices.ContainsFunc(out, func(x []Stage) bool { return slices.Equal(x, all) }) {
		out = append(out, all)
	}
	return out
}

// noted reports whether what was found in a box is on record, so that it may be taken
// apart: it was looked at, the wiring says it, or somebody had worked in it before.
func (s *Session) noted(box int) bool {
	name := s.c.sp.open[box]
	if s.asked["look "+name] || slices.Contains(s.c.opt.Disturbed, name) {
		return true
	}
	spec := s.c.sp.spec
	return slices.ContainsFunc(spec.Landings, func(l wiring.Landing) bool { return l.Box == name }) ||
		slices.ContainsFunc(spec.Splices, func(x wiring.Splice) bool { return x.Box == name })
}

// whole reports whether the wiring says of every end in an open box what it is joined to:
// all that remains fits that, and a look tells nothing more.
func (sp *space) whole(box int) bool {
	at := sp.open[box]
	for e, x := range sp.ends {
		if sp.at[e] != box {
			continue
		}
		is := slices.ContainsFunc(sp.spec.Landings, func(l wiring.Landing) bool { return l.Box == at && l.Wire == x.Wire }) ||
			slices.ContainsFunc(sp.spec.Caps, func(c wiring.Cap) bool { return c.Box == at && c.Wire == x.Wire }) ||
			slices.ContainsFunc(sp.spec.Splices, func(v wiring.Splice) bool {
				return v.Box == at && slices.ContainsFunc(v.Join, func(j wiring.Joint) bool { return j.Device == "" && j.Wire == x.Wire })
			})
		if !is {
			return false
		}
	}
	return true
}

// dead collects the questions, the looks and the tests with the circuit dead.
func (n *next) dead() error {
	s, sp := n.s, n.s.c.sp
	for k, c := range sp.control {
		for _, p := range c.places {
			o := Obeys{Control: c.name, Box: sp.place(p)}
			worked := slices.ContainsFunc(c.places, func(p int) bool { return p < len(sp.open) && slices.Contains(s.c.opt.Disturbed, sp.open[p]) })
			if s.asked[question(o, s.stage)] || !slices.Contains(s.c.sp.stage, Found) || worked {
				continue
			}
			yes := n.sum(func(i int) bool { return slices.Contains(s.c.all[i].frame.plans[k].order, p) })
			n.add(Test{Kind: AskObeys, Control: c.name, Box: o.Box, Bits: entropy(yes, 1-yes)})
		}
	}
	for p, name := range sp.open {
		if s.stage[p] == Parted || s.asked["look "+name] || slices.Contains(s.c.opt.Disturbed, name) || s.c.sp.whole(p) {
			continue
		}
		n.add(Test{Kind: LookInBox, Box: name, Before: s.prepare(s.stage, name), Bits: n.spread(func(i int) string { return s.c.look(&s.c.all[i], p, s.stage[p]) })})
	}
	for _, stage := range n.setups() {
		if err := n.ctx.Err(); err != nil {
			return err
		}
		n.rings(stage, nil)
	}
	return n.ties()
}

// rings adds the tests between all ends in a setup.
func (n *next) rings(stage []Stage, tie [][2]int) {
	s, sp := n.s, n.s.c.sp
	view := s.viewOf(setup{stage, tie})
	weights := n.weigh(view)
	var tied [][2]wiring.End
	for _, t := range tie {
		tied = append(tied, [2]wiring.End{sp.ends[t[0]], sp.ends[t[1]]})
	}
	for a := range sp.ends {
		for b := a + 1; b < len(sp.ends); b++ {
			if tie != nil && (sp.at[a] != sp.at[b] || sp.at[a] == sp.at[tie[0][0]]) {
				continue
			}
			// What has to be apart for it is apart already, or in its own boxes.
			if !n.own(stage, a, b, tie) {
				continue
			}
			o := Continuity{Between: [2]switchnet.Terminal{point(sp.ends[a]), point(sp.ends[b])}, Tied: tied}
			if s.asked[question(o, stage)] {
				continue
			}
			bits := tells(s, ohmmeter(), s.ohms, view, weights, between(o, stage), func(c *circuit) outcome { return c.path(a, b) })
			if bits < worth {
				continue
			}
			boxes := []string{sp.ends[a].Box, sp.ends[b].Box}
			if tie != nil {
				boxes = append(boxes, sp.open[sp.at[tie[0][0]]])
			}
			made := tie != nil && slices.Equal(tied, s.tied)
			before := s.prepare(stage, boxes...)
			if !made {
				before = s.part(before)
			}
			if s.clip != "" && o.Between[1].String() == s.clip || o.Between[0].String() != s.clip && o.Between[1].Place == s.where {
				// Begin where the person is, or where the lead was left.
				o.Between[0], o.Between[1] = o.Between[1], o.Between[0]
			}
			n.add(Test{Kind: DeadTest, Box: o.Between[1].Place, Between: o.Between, Tied: tied, Made: made, Before: before, Bits: bits})
		}
	}
}

// own reports whether the boxes that a setup takes apart are those of the test, or all
// that can be.
func (n *next) own(stage []Stage, a, b int, tie [][2]int) bool {
	sp := n.s.c.sp
	more, foreign := 0, false
	for i := range stage {
		if stage[i] == n.s.stage[i] {
			continue
		}
		more++
		if i != sp.at[a] && i != sp.at[b] && (tie == nil || i != sp.at[tie[0][0]]) {
			foreign = true
		}
	}
	return !foreign || more > 1
}

// ties adds the tests with two ends twisted together in another box, both boxes apart.
func (n *next) ties() error {
	s, sp := n.s, n.s.c.sp
	stage := slices.Clone(s.stage)
	for i := range stage {
		if s.noted(i) {
			stage[i] = Parted
		}
	}
	pairs := 0
	for x := range sp.ends {
		for y := x + 1; y < len(sp.ends); y++ {
			if sp.at[x] == sp.at[y] && stage[sp.at[x]] == Parted {
				pairs++
			}
		}
	}
	if pairs*len(n.left) > tieWork {
		n.cut = pairs > 0 && len(sp.open) > 1
		return nil
	}
	for x := range sp.ends {
		for y := x + 1; y < len(sp.ends); y++ {
			if sp.at[x] != sp.at[y] || stage[sp.at[x]] != Parted {
				continue
			}
			if err := n.ctx.Err(); err != nil {
				return err
			}
			n.rings(stage, [][2]int{{x, y}})
		}
	}
	return nil
}

// live adds the readings.
func (n *next) live() error {
	s, sp := n.s, n.s.c.sp
	offs := []uint16{0}
	if len(sp.feeds) > 1 {
		for f := range sp.feeds {
			offs = append(offs, 1<<f)
		}
	}
	for _, stage := range n.setups() {
		if err := n.ctx.Err(); err != nil {
			return err
		}
		view := s.viewOf(setup{stage, nil})
		weights := n.weigh(view)
		var boxes []string
		for i := range stage {
			if stage[i] != s.stage[i] {
				boxes = append(boxes, sp.open[i])
			}
		}
		var before []Action
		if len(boxes) > 0 {
			before = s.prepare(stage, boxes...)
		}
		before = s.energize(s.part(before))
		// What was proven counts until the next lock-out or energizing.
		ref, prove := Outside(), true
		if r := s.references(); len(r) > 0 && len(before) == 0 {
			ref, prove = r[0], false
		}
		for a := range sp.ends {
			for b := a + 1; b <= len(sp.ends); b++ {
				if b < len(sp.ends) && (len(sp.feeds) < 2 || sp.at[a] != sp.at[b]) {
					continue
				}
				for _, off := range offs {
					t := Test{Kind: LiveReading, Box: sp.ends[a].Box, Between: [2]switchnet.Terminal{point(sp.ends[a]), ref}, Before: before, Prove: prove}
					if b < len(sp.ends) {
						t.Between[1] = point(sp.ends[b])
					}
					for f := range sp.feeds {
						if off&(1<<f) != 0 {
							t.Off = append(t.Off, sp.feeds[f].ref.Name)
						}
					}
					if s.asked[question(Reading{Red: t.Between[0], Black: t.Between[1], Off: t.Off}, stage)] {
						continue
					}
					if t.Bits = tells(s, voltmeter(), s.volts, view, weights, across(a, b, off, stage), func(c *circuit) outcome { return sp.volts(c, a, b, off) }); t.Bits >= liveWorth {
						n.add(t)
					}
				}
			}
		}
	}
	return nil
}
