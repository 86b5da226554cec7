package packet

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// circuits returns the circuits of the job in the order of its feeds.
func (s *sheets) circuits() []wiring.Circuit {
	place := map[switchnet.Ref]int{}
	for i, f := range s.spec.Feeds {
		place[switchnet.Ref{Place: f.Box, Name: f.Name}] = i
	}
	found := s.w.Circuits()
	slices.SortFunc(found, func(a, b wiring.Circuit) int { return cmp.Compare(place[a.Feed], place[b.Feed]) })
	return found
}

// sizes judges every circuit as it is; see [wiring.Wiring.Question] for the load and
// the length.
func (s *sheets) sizes(found []wiring.Circuit) ([]Circuit, error) {
	sizer, err := conductor.NewSizer(s.region.Conductor)
	if err != nil {
		return nil, fmt.Errorf("packet: the rules of %s: %w", s.region.ID, err)
	}
	place := map[string]int{}
	for i, c := range s.spec.Cables {
		place[c.Name] = i
	}
	out := []Circuit{}
	for _, c := range found {
		line := judge(sizer, s.region.Conductor.Methods, s.w, c)
		slices.SortFunc(line.Cables, func(a, b string) int { return cmp.Compare(place[a], place[b]) })
		out = append(out, line)
	}
	return out, nil
}

func judge(sizer *conductor.Sizer, methods []conductor.Method, w *wiring.Wiring, c wiring.Circuit) Circuit {
	out := Circuit{Feed: c.Feed.Name, Breaker: c.Breaker, Volts: c.Volts, Load: c.Power,
		Lights: []string{}, Cables: append([]string{}, c.Cables...), Steps: []string{}}
	for _, l := range c.Lights {
		out.Lights = append(out.Lights, l.Name)
	}
	if c.Smallest.Valid() {
		out.Smallest = c.Smallest.String() + " " + c.Material.String()
	}
	q, err := w.Question(c)
	if err != nil {
		out.Problem = err.Error()
		return out
	}
	if far, ok := c.Longest(); ok && q.Path > 0 {
		out.Farthest, out.Length = far.Light.Name, q.Path
	}
	out.Notes = gaps(&c)
	v, err := worst(sizer, q, c.Smallest, methods)
	if err != nil {
		out.Problem = err.Error()
		return out
	}
	for _, s := range v.Steps {
		text := s.String()
		if !s.Source.Absent() {
			text += " [" + s.Source.String() + "]"
		}
		out.Steps = append(out.Steps, text)
	}
	out.Status = v.Status.String()
	for _, r := range v.Advice {
		if r == conductor.RuleVoltageDrop {
			out.Advice = append(out.Advice, fmt.Sprintf("%s of voltage drop, %s, at %s, and %s is advised: larger conductors on the way, or a feed nearer to it, make it less",
				v.Drop.Format(quantity.Volt, 2), share(v.DropShare), out.Farthest, share(v.DropLimit)))
			continue
		}
		out.Advice = append(out.Advice, r.String()+" is not as the code advises")
	}
	return out
}

// share prints a part of the whole to a hundredth of a percent.
func share(r quantity.Ratio) string { return r.FormatPercent(2) }

// gaps says why no voltage drop is given: the lights to which and back no way of known
// length leads from the feed alone.
func gaps(c *wiring.Circuit) []string {
	var notes []string
	for i := range c.Routes {
		switch r := &c.Routes[i]; {
		case r.Complete:
		case !r.Returns:
			notes = append(notes, fmt.Sprintf("%s: no way back from it to the neutral or another pole of this feed is drawn, so voltage drop is left out. A neutral that feeds share is drawn as a splice in the panel with the neutrals of both.", r.Light.Name))
		default:
			notes = append(notes, fmt.Sprintf("%s: the length of a cable on its way is not known, so voltage drop is left out.", r.Light.Name))
		}
	}
	return notes
}

// worst judges a circuit as it lies. A job does not say how its cables lie, so where
// the region's ampacities depend on that, it is judged by the method under which the
// conductor may carry least, which the steps name.
func worst(sizer *conductor.Sizer, q conductor.Circuit, size conductor.Size, methods []conductor.Method) (conductor.Verdict, error) {
	if len(methods) == 0 {
		return sizer.Judge(q, size)
	}
	var least conductor.Verdict
	var errs []error
	found := false
	for _, m := range methods {
		q.Method = m.Name
		v, err := sizer.Judge(q, size)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		if !found || v.Ampacity < least.Ampacity {
			least, found = v, true
		}
	}
	if !found {
		return least, errs[0]
	}
	return least, nil
}
