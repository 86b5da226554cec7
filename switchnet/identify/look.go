package identify

import (
	"slices"

	"example.com/switchleg/switchnet/wiring"
)

// look returns what there is to see in an open box, as a key: what is spliced with what,
// and, with the devices in place and where the wiring does not say it, what is on a common
// and what on another screw.
func (c *Case) look(h *possibility, p int, stage Stage) string {
	if stage == Parted {
		return ""
	}
	var key []byte
	first := map[int8]byte{}
	known := c.onScrews(h, p)
	for e, n := range h.node {
		if c.sp.at[e] != p {
			continue
		}
		m := int8(h.frame.metal(int(n), p))
		k, ok := first[m]
		if !ok || n == spareNode {
			k = byte(e) + 1
			first[m] = k
		}
		key = append(key, k)
		if stage != Found || known[m] || len(c.landed[e]) > 0 {
			continue // where it is on a screw is stated
		}
		for i := range h.frame.plans {
			key = append(key, h.frame.screw(i, p, int(n)))
		}
	}
	return string(key)
}

// landings returns for each end the screws of switches that the wiring says it is on, as it
// was found, but in boxes in which somebody worked.
func (sp *space) landings(disturbed []string) [][]Screw {
	out := make([][]Screw, len(sp.ends))
	put := func(box, device, terminal string, w wiring.Wire) {
		e := sp.end(wiring.End{Box: box, Wire: w})
		is := slices.ContainsFunc(sp.spec.Devices, func(d wiring.Device) bool { return d.Box == box && d.Name == device })
		if e >= 0 && is && terminal != "ground" && terminal != "neutral" && !slices.Contains(disturbed, box) {
			out[e] = append(out[e], Screw{device, terminal, w})
		}
	}
	for _, l := range sp.spec.Landings {
		put(l.Box, l.Device, l.Terminal, l.Wire)
	}
	for _, x := range sp.spec.Splices {
		wire := slices.IndexFunc(x.Join, func(j wiring.Joint) bool { return j.Device == "" && sp.end(wiring.End{Box: x.Box, Wire: j.Wire}) >= 0 })
		for _, j := range x.Join {
			if j.Device != "" && wire >= 0 {
				put(x.Box, j.Device, j.Terminal, x.Join[wire].Wire)
			}
		}
	}
	return out
}

// onScrews returns the metals of a possibility in an open box of which the wiring says on
// which screw they are.
func (c *Case) onScrews(h *possibility, p int) map[int8]bool {
	var out map[int8]bool
	for e, n := range h.node {
		if c.sp.at[e] == p && n != spareNode && len(c.landed[e]) > 0 {
			if out == nil {
				out = map[int8]bool{}
			}
			out[int8(h.frame.metal(int(n), p))] = true
		}
	}
	return out
}

// screw returns whether a node is on the common of a control's switch in a place (1), on
// another screw (2), or on none (0).
func (f *frame) screw(control, place, n int) byte {
	p := &f.plans[control]
	k := slices.Index(p.order, place)
	is := func(x int) bool { return x >= 0 && f.metal(x, place) == f.metal(n, place) }
	switch {
	case k < 0 || n == spareNode:
		return 0
	case is(p.common[k]):
		return 1
	case slices.ContainsFunc(p.throws[k], is):
		return 2
	}
	return 0
}
