package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// dims reports whether a device is a dimmer.
func dims(d wiring.Device) bool { return d.Kind.Dimmer }

// dimmerOnReceptacle finds receptacles to which a hot comes through a dimmer and not
// around it.
func dimmerOnReceptacle(p *Pass) error {
	if !slices.ContainsFunc(p.spec.Devices, dims) {
		return nil
	}
	m := p.metal()
	hots := func(pieces []int32) int {
		n := 0
		for _, x := range pieces {
			n += len(m.hot[x])
		}
		return n
	}
	fed := map[int32][]switchnet.Ref{} // by dimmer, in name order
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if !receptacle(d) {
			continue
		}
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		for _, t := range d.Kind.Terminals {
			x, ok := m.on(ref.Terminal(t))
			if !ok || m.railed(x) {
				continue
			}
			all := m.reach(x)
			for _, k := range m.dimmersAt(p, all) {
				if hots(all) > hots(m.around(x, k)) && !slices.Contains(fed[k], ref) {
					fed[k] = append(fed[k], ref)
				}
			}
		}
	}
	law, _ := p.law(rules.DimmerFixedLights)
	for i := range p.spec.Devices {
		refs := fed[int32(i)]
		if len(refs) == 0 {
			continue
		}
		dimmer := switchnet.Ref{Place: p.spec.Devices[i].Box, Name: p.spec.Devices[i].Name}
		f := Finding{Place: p.devicePlace(dimmer), About: dimmer, Section: law.Source, since: law.During.Since,
			Message: fmt.Sprintf("%s dims %s, into which anything may be plugged%s", dimmer, names(refs), noted(&law))}
		for _, r := range refs {
			f.Related = append(f.Related, p.devicePlace(r))
		}
		p.Report(f)
	}
	return nil
}

// dimmersAt returns the dimmers, by number in the spec, that have a contact on one of some
// pieces.
func (m *metal) dimmersAt(p *Pass, pieces []int32) []int32 {
	var out []int32
	for _, x := range pieces {
		for _, c := range m.at[x] {
			if k := m.contacts[c].device; dims(p.spec.Devices[k]) && !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}
