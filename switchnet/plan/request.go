package plan

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// maker makes one plan.
type maker struct {
	in       *intent.Intent
	region   *rules.Region
	opt      *Options
	boxes    map[string]int32
	ways     ways
	open     ways // those that are there only if needed among them
	circuits []circuit
	stores   []*store                  // by circuit
	found    []found                   // by circuit
	bound    score                     // no plan of the family has less
	kept     []kept                    // by circuit, of an old plan; nil without one
	marked   map[role]conductor.Colour // in an old plan: what lines are marked with on cores of a neutral's colour
	left     budget
	problems wiring.Problems
	notes    []string
}

// Limits of one request.
const (
	maxBoxes = 20_000
	maxRuns  = 50_000
)

func (m *maker) problem(list string, i int, field, format string, args ...any) {
	m.problems = append(m.problems, &wiring.Problem{At: wiring.Ref{List: list, Index: i, Field: field}, Detail: fmt.Sprintf(format, args...)})
}

// wrong reports whether something is wrong with an entry of a list, in some of its fields
// or in any.
func (m *maker) wrong(list string, fields ...string) bool {
	return slices.ContainsFunc(m.problems, func(p *wiring.Problem) bool {
		return p.At.List == list && (len(fields) == 0 || slices.Contains(fields, p.At.Field))
	})
}

// newMaker reads the request and says everything that is wrong with it.
func newMaker(in *intent.Intent, region *rules.Region, opt *Options) (*maker, error) {
	m := &maker{in: in, region: region, opt: opt, boxes: make(map[string]int32, len(in.Boxes)), left: opt.budget()}
	if len(in.Boxes) > maxBoxes || len(in.Runs) > maxRuns {
		return nil, fmt.Errorf("plan: %d boxes and %d runs; the limits are %d and %d", len(in.Boxes), len(in.Runs), maxBoxes, maxRuns)
	}
	if err := in.Check(); err != nil {
		if !errors.As(err, &m.problems) {
			return nil, err
		}
	}
	for i := range in.Boxes {
		if _, ok := m.boxes[in.Boxes[i].Name]; !ok {
			m.boxes[in.Boxes[i].Name] = int32(i)
		}
	}
	m.ways, m.open = waysOf(in.Runs, m.boxes, len(in.Boxes), false), waysOf(in.Runs, m.boxes, len(in.Boxes), true)
	if len(in.Feeds) == 0 && len(in.Controls)+len(in.Needs) > 0 {
		m.problem("supply", 0, "", "there is no feed to plan from; give a feed its box and breaker")
	}
	m.readCircuits()
	m.readExemptions()
	m.readPlaces()
	// What would only follow from a mistake is not said beside it.
	if !m.wrong("runs", "from", "to") && !m.wrong("boxes", "name") && !m.wrong("feeds", "box") {
		m.readReach()
	}
	if !m.wrong("stock") {
		m.readStores()
	}
	if len(m.problems) > 0 {
		m.problems.Sort()
		return nil, m.problems
	}
	return m, nil
}

// year returns the year of the region's edition, 0 if it states none.
func (m *maker) year() int {
	y, err := strconv.Atoi(m.region.Edition)
	if err != nil {
		return 0
	}
	return y
}

// neutralWanted reports whether the region wants a neutral at switches.
func (m *maker) neutralWanted() bool {
	r := &m.region.Wiring.Neutral.Rule
	return r.Says == rules.Required && r.During.Holds(m.year())
}

// readCircuits gives each control and need to its feed.
func (m *maker) readCircuits() {
	in := m.in
	feed := map[string]int{}
	for i := range in.Feeds {
		f := &in.Feeds[i]
		if _, ok := feed[f.Name]; !ok {
			feed[f.Name] = i
		}
		if f.Poles > 1 || len(f.Lines) > 1 {
			m.problem("feeds", i, "poles", "feed %q has more than one pole; what is planned here is lit from one line and the neutral", f.Name)
		}
		m.circuits = append(m.circuits, circuit{feed: i, root: m.boxes[f.Box]})
	}
	exempt := map[string]bool{}
	for _, e := range in.Exemptions {
		exempt[e.Box] = true
	}
	lights := map[string]int{}
	for i := range in.Lights {
		if _, ok := lights[in.Lights[i].Name]; !ok {
			lights[in.Lights[i].Name] = i
		}
		if in.Lights[i].On != "" {
			m.problem("lights", i, "on", "light %q is plugged into a device; only lights that are wired in are planned", in.Lights[i].Name)
		}
	}
	on := map[string]int{} // the circuit of each box with a control, the first
	neutral := m.neutralWanted()
	for i := range in.Controls {
		c := &in.Controls[i]
		f, ok := feed[c.Feed]
		switch {
		case c.Feed != "" && !ok || len(in.Feeds) == 0:
			continue
		case c.Feed == "" && len(in.Feeds) > 1:
			m.problem("controls", i, "feed", "it is not said on which of %d feeds control %q is; name its feed", len(in.Feeds), c.Name)
			continue
		}
		g := group{control: i, schemes: c.Schemes}
		if len(g.schemes) == 0 {
			g.schemes = []intent.Scheme{intent.Chain}
		}
		if len(c.Places) != 2 && !slices.Contains(g.schemes, intent.Chain) && len(c.Places) > 0 {
			m.problem("controls", i, "schemes", "control %q has %d places; joined commons are for two, so allow a chain", c.Name, len(c.Places))
		}
		for _, p := range c.Places {
			b, ok := m.boxes[p]
			if !ok {
				continue
			}
			g.places = append(g.places, b)
			g.keep = append(g.keep, neutral && !exempt[p])
			if _, ok := on[p]; !ok {
				on[p] = f
			}
		}
		for _, l := range c.Lights {
			k, ok := lights[l]
			if !ok {
				continue
			}
			b, ok := m.boxes[in.Lights[k].Box]
			if !ok {
				continue
			}
			g.lights = append(g.lights, k)
			g.at = append(g.at, b)
			if _, ok := on[in.Lights[k].Box]; !ok {
				on[in.Lights[k].Box] = f
			}
		}
		if len(g.places) > 0 && len(g.lights) > 0 {
			m.circuits[f].groups = append(m.circuits[f].groups, g)
		}
	}
	for i := range in.Needs {
		n := &in.Needs[i]
		b, ok := m.boxes[n.Box]
		if !ok || len(in.Feeds) == 0 {
			continue
		}
		f, known := feed[n.Feed]
		if n.Feed == "" {
			if f, known = on[n.Box]; !known {
				f, known = 0, len(in.Feeds) == 1
			}
			if !known && !m.wrong("controls", "feed") {
				m.problem("needs", i, "feed", "box %q has no control, and it is not said from which of %d feeds it is to have its %v; name its feed", n.Box, len(in.Feeds), n.Kind)
			}
		}
		if known {
			m.circuits[f].needs = append(m.circuits[f].needs, need{i, n.Kind, b})
		}
	}
	for i := range m.circuits {
		if n := m.circuits[i].clients(); n > maxClients {
			m.problem("feeds", m.circuits[i].feed, "name", "feed %q has %d controls and needs; the limit is %d, so give it fewer", in.Feeds[i].Name, n, maxClients)
		}
	}
	for i := range in.Lights {
		if !slices.ContainsFunc(in.Controls, func(c intent.Control) bool { return slices.Contains(c.Lights, in.Lights[i].Name) }) {
			m.notes = append(m.notes, fmt.Sprintf("light %q is in no control and is not wired", in.Lights[i].Name))
		}
	}
}

// readPlaces checks that switches can stand where they are wanted.
func (m *maker) readPlaces() {
	in := m.in
	devices := make([]int, len(in.Boxes))
	for i := range in.Controls {
		for k, p := range in.Controls[i].Places {
			b, ok := m.boxes[p]
			if !ok {
				continue
			}
			box := &in.Boxes[b]
			if box.Kind != wiring.DeviceBox && box.Kind != 0 {
				m.problem("controls", i, fmt.Sprintf("places %d", k), "box %q is a %v box; a switch stands in a device box", p, box.Kind)
			}
			devices[b]++
		}
	}
	for i := range in.Boxes {
		if gangs := max(1, in.Boxes[i].Gangs); in.Boxes[i].Kind == wiring.DeviceBox && devices[i] > gangs {
			m.problem("boxes", i, "gangs", "box %q has %s and is to hold %d switches", in.Boxes[i].Name, many(gangs, "gang"), devices[i])
		}
	}
}

// readReach checks that runs reach everything.
func (m *maker) readReach() {
	in := m.in
	for ci := range m.circuits {
		c := &m.circuits[ci]
		if c.clients() == 0 {
			m.notes = append(m.notes, fmt.Sprintf("nothing is wanted of feed %q", in.Feeds[c.feed].Name))
			continue
		}
		reached := m.ways.reach(c.root)
		back := m.open.back(reached)
		from := in.Feeds[c.feed].Box
		cure := func(b int32) string {
			var closed []string // the runs on the way that are there only if needed
			for s := back[b]; s.run >= 0; s = back[s.to] {
				if r := &in.Runs[s.run]; r.IfNeeded {
					closed = append(closed, fmt.Sprintf("from %s to %s", r.From, r.To))
				}
			}
			slices.Reverse(closed)
			switch len(closed) {
			case 0:
				return ""
			case 1:
				return fmt.Sprintf("; the run %s does, and is there only if needed: take \"if needed\" off that run", closed[0])
			}
			return fmt.Sprintf("; the runs %s do, and are there only if needed: take \"if needed\" off these runs", joined(closed))
		}
		for _, g := range c.groups {
			for k, b := range g.places {
				if !reached[b] {
					m.problem("controls", g.control, fmt.Sprintf("places %d", k), "no run leads from box %q, where the feed is, to box %q%s", from, in.Boxes[b].Name, cure(b))
				}
			}
			for k, b := range g.at {
				if !reached[b] {
					m.problem("lights", g.lights[k], "box", "no run leads from box %q, where the feed is, to light %q in box %q%s", from, in.Lights[g.lights[k]].Name, in.Boxes[b].Name, cure(b))
				}
			}
		}
		for _, n := range c.needs {
			if !reached[n.box] {
				m.problem("needs", n.index, "box", "no run leads from box %q, where the feed is, to box %q%s", from, in.Boxes[n.box].Name, cure(n.box))
			}
		}
	}
}
