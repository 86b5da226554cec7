package packet

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// circuits judges every circuit as it is, in the order of the feeds in the job.
//
// The load is the sum of the lights at unity power factor, all of it continuous:
// lights burn for hours. The length is that of the conductor to the farthest light
// and back.
func circuits(w *wiring.Wiring, region *rules.Region) ([]Circuit, error) {
	sizer, err := conductor.NewSizer(region.Conductor)
	if err != nil {
		return nil, fmt.Errorf("packet: the rules of %s: %w", region.ID, err)
	}
	spec := w.Spec()
	place := func(c wiring.Circuit) int {
		return slices.IndexFunc(spec.Feeds, func(f wiring.Feed) bool {
			return f.Box == c.Feed.Place && f.Name == c.Feed.Name
		})
	}
	found := w.Circuits()
	slices.SortFunc(found, func(a, b wiring.Circuit) int { return cmp.Compare(place(a), place(b)) })
	out := []Circuit{}
	for _, c := range found {
		out = append(out, judge(sizer, &spec, c))
	}
	return out, nil
}

func judge(sizer *conductor.Sizer, spec *wiring.Spec, c wiring.Circuit) Circuit {
	out := Circuit{Feed: c.Feed.Name, Breaker: c.Breaker, Volts: c.Volts, Load: c.Power,
		Lights: []string{}, Cables: []string{}, Steps: []string{}}
	for _, l := range c.Lights {
		out.Lights = append(out.Lights, l.Name)
	}
	if len(c.Cables) == 0 {
		out.Problem = "no cable leads from it"
		return out
	}
	q := conductor.Circuit{Volts: c.Volts, Breaker: c.Breaker}
	for _, cable := range spec.Cables {
		if !slices.Contains(c.Cables, cable.Name) {
			continue
		}
		out.Cables = append(out.Cables, cable.Name)
		if cable.Type.Size == c.Smallest && cable.Type.Material == c.Material && q.Construction == 0 {
			q = q.OfCable(cable.Type)
		}
		if g := cable.Type.GroundingSize(); g.Valid() && (!q.Grounding.Valid() || g.Compare(q.Grounding) < 0) {
			q.Grounding = g
		}
	}
	out.Smallest = c.Smallest.String() + " " + c.Material.String()
	if c.Power == 0 {
		out.Problem = "no light on it states its load"
		return out
	}
	if far, ok := c.Longest(); ok {
		q.Path = far.Length()
		out.Farthest, out.Length = far.Light.Name, q.Path
	}
	apparent, err := conductor.ApparentOf(c.Power, quantity.Whole)
	if err == nil {
		q.Load.Continuous, err = conductor.CurrentOf(apparent, c.Volts, 1)
	}
	var v conductor.Verdict
	if err == nil {
		v, err = sizer.Judge(q, c.Smallest)
	}
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
	return out
}
