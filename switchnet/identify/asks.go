package identify

import (
	"maps"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

func (sp *space) sources(spec wiring.Spec, opt *Options, errs *trace.Errors) {
	sp.supply = spec.Supply.Lines
	feeds := slices.Clone(spec.Feeds)
	slices.SortFunc(feeds, func(a, b wiring.Feed) int {
		return switchnet.Ref{Place: a.Box, Name: a.Name}.Compare(switchnet.Ref{Place: b.Box, Name: b.Name})
	})
	for _, f := range feeds {
		x := feed{ref: switchnet.Ref{Place: f.Box, Name: f.Name}, panel: f.Box, line: switchnet.LineA, free: free(f.Lines, spec.Supply)}
		if f.Poles > 1 || len(f.Lines) > 1 {
			add(errs, "Wiring", "feed %q has %d poles; only feeds of one pole are reckoned with: state each pole that feeds lights to the neutral as a feed of its own, with its line (lines: in the job file), and leave out what is fed between two lines", f.Name, max(f.Poles, len(f.Lines)))
		}
		if len(f.Lines) > 0 {
			x.line = f.Lines[0]
		}
		if at, ok := opt.FeedAt[f.Name]; ok {
			for _, n := range at {
				p, ok := sp.placeOf(n)
				if !ok || p < len(sp.open) {
					add(errs, "Options.FeedAt", "%q is not a box that is still closed", n)
					continue
				}
				x.mayBe = append(x.mayBe, p)
			}
			slices.Sort(x.mayBe)
			x.mayBe = slices.Compact(x.mayBe)
		} else {
			// A cable from the panel to a closed box says where, if it can be of no other feed.
			if !slices.ContainsFunc(feeds, func(o wiring.Feed) bool { return o.Box == f.Box && o.Name != f.Name }) {
				for _, c := range spec.Cables {
					for _, end := range [][2]string{{c.From, c.To}, {c.To, c.From}} {
						if p, ok := sp.placeOf(end[1]); ok && end[0] == f.Box && p >= len(sp.open) {
							x.mayBe = append(x.mayBe, p)
						}
					}
				}
			}
			if x.mayBe == nil {
				for i := range sp.closed {
					x.mayBe = append(x.mayBe, len(sp.open)+i)
				}
			}
			slices.Sort(x.mayBe)
			x.mayBe = slices.Compact(x.mayBe)
		}
		sp.feeds = append(sp.feeds, x)
	}
	for _, n := range slices.Sorted(maps.Keys(opt.FeedAt)) {
		if !slices.ContainsFunc(sp.feeds, func(f feed) bool { return f.ref.Name == n }) {
			add(errs, "Options.FeedAt", "the job has no feed %q", n)
		}
	}
	if len(sp.feeds) == 0 {
		add(errs, "Wiring", "no feed is stated: list the breaker, in the box of the panel")
	}
	if len(sp.feeds) > 8 {
		add(errs, "Wiring", "has %d feeds; at most 8: leave out those that cannot reach the boxes", len(sp.feeds))
	}
	lights := slices.Clone(spec.Lights)
	slices.SortFunc(lights, func(a, b wiring.Light) int {
		return switchnet.Ref{Place: a.Box, Name: a.Name}.Compare(switchnet.Ref{Place: b.Box, Name: b.Name})
	})
	for _, l := range lights {
		p, ok := sp.placeOf(l.Box)
		if !ok {
			add(errs, "Wiring", "light %q is in the panel %q", l.Name, l.Box)
			continue
		}
		sp.lights = append(sp.lights, light{l.Name, p, l.Kind == wiring.Resistive})
	}
}

// asks reads the controls.
func (sp *space) asks(spec wiring.Spec, opt *Options, errs *trace.Errors) {
	controls := opt.Controls
	if controls == nil {
		c := Control{Name: "lights"}
		names := map[string]bool{}
		for _, d := range spec.Devices {
			names[d.Name] = true
			if !slices.Contains(c.Places, d.Box) {
				c.Places = append(c.Places, d.Box)
			}
		}
		if len(names) == 1 {
			c.Name = spec.Devices[0].Name
		}
		for _, l := range spec.Lights {
			c.Lights = append(c.Lights, l.Name)
		}
		controls = []Control{c}
	}
	seen := map[string]bool{}
	for _, c := range controls {
		out := control{name: c.Name, feed: -1}
		where := "Options.Controls"
		if err := wiring.CheckName(c.Name); err != nil {
			add(errs, where, "the name of a control %v", err)
		}
		if seen[c.Name] {
			add(errs, where, "%q is stated twice", c.Name)
		}
		seen[c.Name] = true
		for _, l := range c.Lights {
			i := slices.IndexFunc(sp.lights, func(x light) bool { return x.name == l })
			if i < 0 {
				add(errs, where, "%q: the job has no light %q", c.Name, l)
				continue
			}
			out.lights = append(out.lights, i)
		}
		for _, b := range c.Places {
			p, ok := sp.placeOf(b)
			if !ok {
				add(errs, where, "%q: the job has no box %q, or it is a panel", c.Name, b)
				continue
			}
			out.places = append(out.places, p)
		}
		slices.Sort(out.lights)
		slices.Sort(out.places)
		out.lights, out.places = slices.Compact(out.lights), slices.Compact(out.places)
		if len(c.Lights) == 0 || len(c.Places) == 0 {
			add(errs, where, "%q has too few lights (%d) or places (%d); state one of each at least", c.Name, len(c.Lights), len(c.Places))
		}
		if len(out.places) > 5 {
			add(errs, where, "%q has %d places; at most 5", c.Name, len(out.places))
		}
		if c.Feed != "" {
			out.feed = slices.IndexFunc(sp.feeds, func(f feed) bool { return f.ref.Name == c.Feed })
			if out.feed < 0 {
				add(errs, where, "%q: the job has no feed %q", c.Name, c.Feed)
			}
		}
		sp.control = append(sp.control, out)
	}
	slices.SortFunc(sp.control, func(a, b control) int {
		if a.name < b.name {
			return -1
		}
		return 1
	})
	if len(sp.control) > 4 {
		add(errs, "Options.Controls", "are %d; at most 4", len(sp.control))
	}
}
