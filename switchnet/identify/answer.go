package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// An Answer is one way in which a test may come out.
type Answer struct {
	Of Observation
	// Likely is how likely it is by what is known.
	Likely quantity.Ratio
}

// DefaultAnswers is how many answers to a look are listed.
const DefaultAnswers = 10

// Answers returns the ways in which a test may come out by what remains: obeys or not;
// open, through a load, joined; nothing, one line, two lines, something between. Of a
// look in a box they are the DefaultAnswers likeliest things to see, the likeliest
// first; whoever sees something else states it as an InBox.
func (s *Session) Answers(t Test) ([]Answer, error) {
	sp := s.c.sp
	stage := slices.Clone(s.stage)
	for _, a := range t.Before {
		if i, ok := slices.BinarySearch(sp.open, a.Box); ok && a.Do == TakeApart {
			stage[i] = Parted
		}
	}
	n := &next{s: s}
	n.left, _ = s.left()
	if len(n.left) == 0 {
		return nil, nil
	}
	var errs trace.Errors
	var out []Answer
	switch t.Kind {
	case AskObeys:
		k := slices.IndexFunc(sp.control, func(c control) bool { return c.name == t.Control })
		p, ok := sp.placeOf(t.Box)
		if k < 0 || !ok {
			add(&errs, "Test", "asks about control %q in box %q, which the job has not", t.Control, t.Box)
			return nil, errs
		}
		yes := n.sum(func(i int) bool { return slices.Contains(s.c.all[i].frame.plans[k].order, p) })
		return []Answer{{Obeys{t.Control, t.Box, true}, ratio(yes)}, {Obeys{t.Control, t.Box, false}, ratio(1 - yes)}}, nil
	case LookInBox:
		return n.looks(t.Box)
	case DeadTest, LiveReading:
		a, b := sp.vertex(t.Between[0], &errs), sp.vertex(t.Between[1], &errs)
		ties := sp.tieEnds(t.Tied, &errs)
		if len(errs) > 0 {
			return nil, errs
		}
		view := s.viewOf(setup{stage, ties})
		weights := n.weigh(view)
		if t.Kind == DeadTest {
			for _, p := range ohmmeter().answers {
				x := 0.0
				for k, c := range view.circuits {
					x += weights[k] * pathLikely(c.path(a, b), p)
				}
				out = append(out, Answer{Continuity{t.Between, t.Tied, p}, ratio(x)})
			}
			return out, nil
		}
		off := uint16(0)
		for f := range sp.feeds {
			if slices.Contains(t.Off, sp.feeds[f].ref.Name) {
				off |= 1 << f
			}
		}
		for _, l := range voltmeter().answers {
			x := 0.0
			for k, c := range view.circuits {
				x += weights[k] * levelLikely(sp.volts(c, a, b, off), l)
			}
			if l == TwoLines && x == 0 {
				continue
			}
			out = append(out, Answer{s.c.reading(t, l), ratio(x)})
		}
		return out, nil
	}
	add(&errs, "Test.Kind", "is not set")
	return nil, errs
}

// looks returns the likeliest things to see in a box.
func (n *next) looks(box string) ([]Answer, error) {
	s := n.s
	p, ok := slices.BinarySearch(s.c.sp.open, box)
	if !ok {
		return nil, trace.Errors{{Where: "Test.Box", Detail: fmt.Sprintf("%q is not an open box", box)}}
	}
	type seen struct {
		first int
		sum   float64
	}
	var list []seen
	at := map[string]int{}
	total := 0.0
	for _, i := range n.left {
		key := s.c.look(&s.c.all[i], p, s.stage[p])
		k, ok := at[key]
		if !ok {
			k = len(list)
			at[key] = k
			list = append(list, seen{first: i})
		}
		list[k].sum += s.weight[i]
		total += s.weight[i]
	}
	slices.SortStableFunc(list, func(a, b seen) int {
		if math.Abs(a.sum-b.sum) <= 1e-12*total {
			return 0
		}
		return cmp.Compare(b.sum, a.sum)
	})
	var out []Answer
	for _, x := range list[:min(len(list), DefaultAnswers)] {
		out = append(out, Answer{s.c.inBox(&s.c.all[x.first], p, s.stage[p]), ratio(x.sum / total)})
	}
	return out, nil
}

// reading returns a reading that comes to a level.
func (c *Case) reading(t Test, l Level) Reading {
	r := Reading{Red: t.Between[0], Black: t.Between[1], Meter: steady.LowImpedance, Off: t.Off, Tied: t.Tied}
	switch l {
	case OneLine:
		r.Shows = c.nominal
	case TwoLines:
		r.Shows = c.between()
	case Between:
		r.Shows = c.nominal / 2
	}
	return r
}

// inBox returns what there is to see in a box under a possibility.
func (c *Case) inBox(h *possibility, p int, stage Stage) InBox {
	sp := c.sp
	o := InBox{Box: sp.open[p]}
	groups := map[int8][]wiring.Wire{}
	var order []int8
	known := c.onScrews(h, p)
	for e, x := range c.landed {
		if sp.at[e] == p && stage == Found {
			o.Screws = append(o.Screws, x...)
		}
	}
	for e, n := range h.node {
		if sp.at[e] != p {
			continue
		}
		if n == spareNode && stage == Found && len(c.landed[e]) > 0 {
			continue
		}
		if n == spareNode {
			o.Capped = append(o.Capped, sp.ends[e].Wire)
			continue
		}
		n = int8(h.frame.metal(int(n), p))
		if groups[n] == nil {
			order = append(order, n)
		}
		groups[n] = append(groups[n], sp.ends[e].Wire)
	}
	for _, n := range order {
		if len(groups[n]) > 1 {
			o.Spliced = append(o.Spliced, groups[n])
		}
		if stage != Found || known[n] {
			continue
		}
		for i := range h.frame.plans {
			on := h.frame.screw(i, p, int(n))
			if on == 0 {
				continue
			}
			for _, d := range sp.spec.Devices {
				if d.Box != o.Box || d.Name != sp.control[i].name && len(sp.control) > 1 {
					continue
				}
				for _, t := range d.Kind.Terminals {
					taken := slices.ContainsFunc(o.Screws, func(x Screw) bool { return x.Device == d.Name && x.Terminal == t })
					if t == "ground" || t == "neutral" || taken || (t == "common") != (on == 1) && slices.Contains(d.Kind.Terminals, "common") {
						continue
					}
					o.Screws = append(o.Screws, Screw{d.Name, t, groups[n][0]})
					break
				}
			}
		}
	}
	return o
}
