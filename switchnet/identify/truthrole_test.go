package identify_test

import (
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/wiring"
)

// role returns what a conductor really is for, as package wiring says.
func (d *truth) role(w *wiring.Wiring, q wiring.End) identify.Role {
	f, ok := w.FunctionAt(d.own[q])
	if !ok {
		d.t.Fatalf("no end %v", q)
	}
	control := func() string {
		for _, c := range d.controls {
			for _, l := range f.Lights {
				if slices.Contains(c.Lights, l.Name) {
					return c.Name
				}
			}
		}
		if len(d.controls) > 0 && len(f.Devices) > 0 {
			return f.Devices[0].Name
		}
		return "stair"
	}
	switch f.Kind {
	case wiring.Hot:
		return identify.Role{Function: identify.ConstantHot, Of: f.Feeds[0].Name}
	case wiring.NeutralConductor:
		var names []string
		for _, x := range d.spec.Feeds {
			// A feed without a neutral of its own has the one that comes with its hot.
			if slices.ContainsFunc(f.Feeds, func(r switchnet.Ref) bool {
				return r.Name == x.Name || !d.hasNeutral(x.Name) && d.beside(x.Name, r.Name)
			}) {
				names = append(names, x.Name)
			}
		}
		return identify.Role{Function: identify.Neutral, Of: strings.Join(names, " and ")}
	case wiring.SwitchLeg, wiring.SwitchedReturn:
		return identify.Role{Function: identify.SwitchLeg, Of: control()}
	case wiring.Traveler:
		return identify.Role{Function: identify.Traveler, Of: control()}
	case wiring.Spare:
		return identify.Role{Function: identify.Spare}
	}
	d.t.Fatalf("%v is %v", q, f)
	return identify.Role{}
}

// alike are roles by one name: package wiring knows no link of commons, and calls the
// wires of a light by the ends of the light.
func alike(r identify.Role) identify.Role {
	switch r.Function {
	case identify.CommonLink:
		r.Function = identify.Traveler
	case identify.Return:
		r.Function = identify.SwitchLeg
	}
	r.For = "" // it knows no neutrals that are kept apart
	return r
}

// isRole reports whether a role is what a conductor really is for. A neutral that circuits
// share is that of all of them. Where neutrals are joined that come from the panel each in
// its own conductor, package wiring has them all for one, and package identify each for its
// own.
func (d *truth) isRole(r, want identify.Role) bool {
	r = alike(r)
	if r.Function != identify.Neutral || want.Function != identify.Neutral {
		return r == want
	}
	is, of := strings.Split(r.Of, " and "), strings.Split(want.Of, " and ")
	slices.Sort(is)
	slices.Sort(of)
	own := 0
	for _, f := range of {
		if d.hasNeutral(f) {
			own++
		}
	}
	if own > 1 {
		return !slices.ContainsFunc(is, func(f string) bool { return !slices.Contains(of, f) })
	}
	return slices.Equal(is, of)
}

// hasNeutral reports whether a wire of its own is on the neutral of a feed.
func (d *truth) hasNeutral(feed string) bool { return d.on(feed, "neutral") != wiring.Wire{} }

// beside reports whether the hot of a feed and the neutral of another come in one cable.
func (d *truth) beside(hot, neutral string) bool {
	return d.on(hot, "hot").Cable == d.on(neutral, "neutral").Cable
}

// on returns a wire that is on a terminal of a feed; the zero wire if none is.
func (d *truth) on(feed, terminal string) wiring.Wire {
	for _, f := range d.spec.Feeds {
		if f.Name != feed {
			continue
		}
		for _, l := range d.spec.Landings {
			if l.Box == f.Box && l.Device == feed && l.Terminal == terminal {
				return l.Wire
			}
		}
		for _, x := range d.spec.Splices {
			is := func(j wiring.Joint) bool { return j.Device == feed && j.Terminal == terminal }
			wire := slices.IndexFunc(x.Join, func(j wiring.Joint) bool { return j.Device == "" })
			if x.Box == f.Box && wire >= 0 && slices.ContainsFunc(x.Join, is) {
				return x.Join[wire].Wire
			}
		}
	}
	return wiring.Wire{}
}
