package packet

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// alone returns a job without the devices and lights that a control has nothing to do with,
// and without the cables that lead to nothing of it.
func alone(s wiring.Spec, c *intent.Control, switches []switchnet.Ref) wiring.Spec {
	s = s.Clone()
	gone := map[switchnet.Ref]bool{}
	s.Devices = slices.DeleteFunc(s.Devices, func(d wiring.Device) bool {
		r := switchnet.Ref{Place: d.Box, Name: d.Name}
		gone[r] = !slices.Contains(switches, r)
		return gone[r]
	})
	s.Lights = slices.DeleteFunc(s.Lights, func(l wiring.Light) bool {
		r := switchnet.Ref{Place: l.Box, Name: l.Name}
		if !slices.Contains(c.Lights, l.Name) {
			gone[r] = true
			return true
		}
		return false
	})
	lost := dropped(&s)
	cable := map[string]bool{} // those that are gone
	s.Cables = slices.DeleteFunc(s.Cables, func(c wiring.Cable) bool {
		cable[c.Name] = lost[c.From] || lost[c.To]
		return cable[c.Name]
	})
	s.Boxes = slices.DeleteFunc(s.Boxes, func(b wiring.Box) bool { return lost[b.Name] })
	s.Tags = nil
	joint := func(box string, j wiring.Joint) bool {
		return lost[box] || cable[j.Wire.Cable] || j.Device != "" && gone[switchnet.Ref{Place: box, Name: j.Device}]
	}
	s.Landings = slices.DeleteFunc(s.Landings, func(l wiring.Landing) bool {
		return cable[l.Wire.Cable] || joint(l.Box, wiring.Joint{Device: l.Device})
	})
	s.Caps = slices.DeleteFunc(s.Caps, func(c wiring.Cap) bool { return cable[c.Wire.Cable] })
	s.Marks = slices.DeleteFunc(s.Marks, func(m wiring.Mark) bool { return cable[m.Wire.Cable] })
	s.Opens = slices.DeleteFunc(s.Opens, func(w wiring.Wire) bool { return cable[w.Cable] })
	for i := range s.Splices {
		p := &s.Splices[i]
		p.Join = slices.DeleteFunc(p.Join, func(j wiring.Joint) bool { return joint(p.Box, j) })
	}
	s.Splices = slices.DeleteFunc(s.Splices, func(p wiring.Splice) bool { return len(p.Join) < 2 })
	s.Ties = slices.DeleteFunc(s.Ties, func(t wiring.Tie) bool { return joint(t.Box, t.A) || joint(t.Box, t.B) })
	// A feed without a wire on it has nothing to do with the control either.
	on := map[switchnet.Ref]bool{}
	for _, l := range s.Landings {
		on[switchnet.Ref{Place: l.Box, Name: l.Device}] = true
	}
	for _, p := range s.Splices {
		for _, j := range p.Join {
			on[switchnet.Ref{Place: p.Box, Name: j.Device}] = true
		}
	}
	for _, t := range s.Ties {
		on[switchnet.Ref{Place: t.Box, Name: t.A.Device}], on[switchnet.Ref{Place: t.Box, Name: t.B.Device}] = true, true
	}
	s.Feeds = slices.DeleteFunc(s.Feeds, func(f wiring.Feed) bool { return !on[switchnet.Ref{Place: f.Box, Name: f.Name}] })
	return s
}

// dropped returns the boxes at the ends of branches on which nothing is that is left of a
// job: no device, no light, no feed, and nothing that joins two conductors of the way there,
// as where a switch was taken out.
func dropped(s *wiring.Spec) map[string]bool {
	used := map[string]bool{}
	for _, d := range s.Devices {
		used[d.Box] = true
	}
	for _, l := range s.Lights {
		used[l.Box] = true
	}
	for _, f := range s.Feeds {
		used[f.Box] = true
	}
	m := joining{of: map[wiring.Joint]int{}, in: map[string][][]wiring.Joint{}}
	for _, p := range s.Splices {
		m.in[p.Box] = append(m.in[p.Box], p.Join)
	}
	for _, t := range s.Ties {
		m.in[t.Box] = append(m.in[t.Box], []wiring.Joint{t.A, t.B})
	}
	for _, l := range s.Landings {
		m.in[l.Box] = append(m.in[l.Box], []wiring.Joint{{Wire: l.Wire}, {Device: l.Device, Terminal: l.Terminal}})
	}
	ways := map[string]map[string][]*wiring.Cable{} // by both boxes
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, w := range [][2]string{{c.From, c.To}, {c.To, c.From}} {
			if w[0] == "" || w[1] == "" {
				continue
			}
			if ways[w[0]] == nil {
				ways[w[0]] = map[string][]*wiring.Cable{}
			}
			ways[w[0]][w[1]] = append(ways[w[0]][w[1]], c)
		}
	}
	lost := map[string]bool{}
	var ends []string
	for _, b := range s.Boxes {
		if len(ways[b.Name]) <= 1 {
			ends = append(ends, b.Name)
		}
	}
	for len(ends) > 0 {
		box := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		if used[box] || lost[box] {
			continue
		}
		m.join(box)
		next, back := "", []*wiring.Cable{}
		for n, cables := range ways[box] { // one, or none
			next, back = n, cables
		}
		if m.meet(back) {
			continue
		}
		lost[box] = true
		if delete(ways[next], box); len(ways[next]) == 1 {
			ends = append(ends, next)
		}
	}
	return lost
}

// joining tells which conductors boxes join. A wire is the same metal at both its ends; if
// it is broken in between it is taken to be whole, which keeps more than need be.
type joining struct {
	of map[wiring.Joint]int // a class, by wires and, of a box, its terminals
	in map[string][][]wiring.Joint
}

// join makes one of what a box joins.
func (m *joining) join(box string) {
	for _, join := range m.in[box] {
		class := 0
		for _, j := range join {
			if j.Device != "" {
				j.Device = box + "\x00" + j.Device
			}
			switch k := m.of[j]; {
			case k == 0 && class == 0:
				class = len(m.of) + 1
				m.of[j] = class
			case k == 0:
				m.of[j] = class
			case class == 0:
				class = k
			case k != class:
				for x, c := range m.of {
					if c == k {
						m.of[x] = class
					}
				}
			}
		}
	}
}

// meet reports whether two conductors of some cables are one metal.
func (m *joining) meet(cables []*wiring.Cable) bool {
	seen := map[int]bool{}
	for _, c := range cables {
		for _, k := range c.Type.Cores {
			class := m.of[wiring.WireJoint(c.Name, k.Colour.String())]
			if class > 0 && seen[class] {
				return true
			}
			seen[class] = true
		}
	}
	return false
}

// renamed gives everything in a job a name of its own by where it stands in its list, and
// says which device was which: jobs that differ in nothing but names and places become
// one. Only how much higher a box is than the lowest of them stays.
func renamed(s *wiring.Spec) map[switchnet.Ref]switchnet.Ref {
	boxes, cables, things := map[string]string{}, map[string]string{}, map[switchnet.Ref]string{}
	var low quantity.Length
	first := true
	for i := range s.Boxes {
		if b := &s.Boxes[i]; b.Placed && (first || b.At[2] < low) {
			low, first = b.At[2], false
		}
	}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		boxes[b.Name] = fmt.Sprintf("b%d", i)
		is := wiring.Box{Name: boxes[b.Name], Kind: b.Kind, Metal: b.Metal, Placed: b.Placed}
		if b.Placed {
			is.At[2] = b.At[2] - low
		}
		*b = is
	}
	thing := func(box, name *string, kind string, i int) {
		if *name == "" || *name == "box" {
			*box = boxes[*box]
			return
		}
		r := switchnet.Ref{Place: *box, Name: *name}
		if kind != "" {
			things[r] = fmt.Sprintf("%s%d", kind, i)
		}
		*name = things[r]
		*box = boxes[*box]
	}
	was := map[switchnet.Ref]switchnet.Ref{}
	for i := range s.Feeds {
		thing(&s.Feeds[i].Box, &s.Feeds[i].Name, "f", i)
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		r := switchnet.Ref{Place: d.Box, Name: d.Name}
		thing(&d.Box, &d.Name, "d", i)
		was[switchnet.Ref{Place: d.Box, Name: d.Name}] = r
		d.Yoke = ""
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		on := l.Box
		thing(&on, &l.On, "", 0)
		thing(&l.Box, &l.Name, "l", i)
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		cables[c.Name] = fmt.Sprintf("c%d", i)
		c.Name, c.From, c.To, c.Length, c.Bored = cables[c.Name], boxes[c.From], boxes[c.To], 0, nil
	}
	wire := func(w *wiring.Wire) { w.Cable = cables[w.Cable] }
	joint := func(box string, j *wiring.Joint) {
		thing(&box, &j.Device, "", 0)
		wire(&j.Wire)
	}
	for i := range s.Splices {
		p := &s.Splices[i]
		for k := range p.Join {
			joint(p.Box, &p.Join[k])
		}
		p.Box = boxes[p.Box]
	}
	for i := range s.Ties {
		t := &s.Ties[i]
		joint(t.Box, &t.A)
		joint(t.Box, &t.B)
		t.Box = boxes[t.Box]
	}
	for i := range s.Landings {
		l := &s.Landings[i]
		thing(&l.Box, &l.Device, "", 0)
		wire(&l.Wire)
	}
	for i := range s.Caps {
		wire(&s.Caps[i].Wire)
		s.Caps[i].Box = boxes[s.Caps[i].Box]
	}
	s.Marks = nil
	for i := range s.Opens {
		wire(&s.Opens[i])
	}
	return was
}
