package identify_test

import (
	"slices"
	"strings"

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
		names := make([]string, len(f.Feeds))
		for i, x := range f.Feeds {
			names[i] = x.Name
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

// isRole reports whether a role is what a conductor really is for. The neutrals of two
// circuits that are joined are those of both, and so is one that both share.
func isRole(r, want identify.Role) bool {
	r = alike(r)
	if r.Function != identify.Neutral || want.Function != identify.Neutral {
		return r == want
	}
	is := strings.Split(want.Of, " and ")
	return slices.ContainsFunc(strings.Split(r.Of, " and "), func(of string) bool { return slices.Contains(is, of) })
}
