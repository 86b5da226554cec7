package lab

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A duty is what a conductor is for, as the solver reads it off tags and metal.
type duty struct {
	does    string // "hot", "leg", "neutral", "ground", "pair" or "spare"
	control string // of a leg, pair or neutral, if known
	to      string // the place at the other end of a pair
}

// reader reads the duties of conductors in a wiring in which some joints are missing.
type reader struct {
	j    *Job
	spec wiring.Spec
	at   map[int][]switchnet.Terminal // what is joined for good, by net
}

func newReader(j *Job) *reader {
	r := &reader{j: j, spec: j.Wiring.Spec(), at: map[int][]switchnet.Terminal{}}
	for t := range j.Wiring.Net().Terminals() {
		n, _ := j.Wiring.Net().NetIndex(t)
		r.at[n] = append(r.at[n], t)
	}
	return r
}

// with returns everything that a terminal is joined to for good, in name order.
func (r *reader) with(t switchnet.Terminal) []switchnet.Terminal {
	n, _ := r.j.Wiring.Net().NetIndex(t)
	return r.at[n]
}

// controlOf returns the control that has a light.
func (r *reader) controlOf(light string) string {
	for _, c := range r.j.Intent.Controls {
		if slices.Contains(c.Lights, light) {
			return c.Name
		}
	}
	return ""
}

// tag reads the tag of a wire's end.
func (r *reader) tag(e wiring.End) (duty, bool) {
	for _, t := range r.spec.Tags {
		if t.Box != e.Box || t.Wire != e.Wire {
			continue
		}
		before, _, pair := strings.Cut(t.Text, " pair")
		control, leg := strings.CutSuffix(t.Text, " leg")
		switch {
		case strings.HasPrefix(t.Text, "hot"):
			return duty{does: "hot"}, true
		case pair:
			return duty{does: "pair", control: before}, true
		case leg:
			return duty{does: "leg", control: control}, true
		case strings.Contains(t.Text, "neutral"):
			c, ok := strings.CutSuffix(t.Text, " neutral")
			if !ok {
				c = ""
			}
			return duty{does: "neutral", control: c}, true
		}
	}
	return duty{}, false
}

// duty returns what a wire does that ends in a box: by its tags there and along its
// metal, or by what the metal is joined to.
func (r *reader) duty(w wiring.Wire, box string) duty {
	joined := r.with(w.In(box))
	d, ok := r.tag(wiring.End{Box: box, Wire: w})
	for _, t := range joined {
		if !ok {
			d, ok = r.tag(wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}})
		}
	}
	if !ok {
		d = r.metal(joined)
	}
	if d.does == "pair" {
		for _, t := range joined {
			dev, isDevice := r.j.Wiring.Net().Device(t.Owner())
			end := slices.Contains(r.j.Wiring.Ends(t.Place), wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}})
			if t.Place != box && (isDevice && len(dev.Kind.Positions) > 1 || end && d.to == "") {
				d.to = t.Place
			}
		}
	}
	return d
}

// metal returns the duty of metal that has no tag.
func (r *reader) metal(joined []switchnet.Terminal) duty {
	feeds := map[switchnet.Ref]bool{}
	for _, f := range r.spec.Feeds {
		feeds[switchnet.Ref{Place: f.Box, Name: f.Name}] = true
	}
	lights := map[switchnet.Ref]bool{}
	for _, l := range r.spec.Lights {
		lights[switchnet.Ref{Place: l.Box, Name: l.Name}] = true
	}
	out := duty{does: "spare"}
	for _, t := range joined {
		switch {
		case t.Name == "ground" || t.Name == "bare" || strings.HasPrefix(t.Name, "green"):
			return duty{does: "ground"}
		case feeds[t.Owner()] && t.Name == "neutral", lights[t.Owner()] && t.Name == "neutral":
			out = duty{does: "neutral"}
		case feeds[t.Owner()] && strings.HasPrefix(t.Name, "hot"):
			out = duty{does: "hot"}
		case lights[t.Owner()] && t.Name == "hot":
			out = duty{does: "leg", control: r.controlOf(t.Device)}
		case out.does == "spare" && (t.Name == "white" || t.Name == "blue" && slices.ContainsFunc(joined, func(u switchnet.Terminal) bool { return u.Name == "brown" })):
			out = duty{does: "neutral"}
		}
	}
	return out
}
