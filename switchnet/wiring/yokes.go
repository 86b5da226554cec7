package wiring

import (
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/unionfind"
)

// devices returns the devices by the strap they are on, in name order, and counts
// the connectors of the splices.
func (c *counter) devices() []boxfill.Device {
	largest := c.sizes()
	type yoke struct {
		device boxfill.Device
		names  []string
	}
	var yokes []*yoke
	shared := map[string]*yoke{}
	for _, i := range c.place.devices {
		d := &c.w.spec.Devices[i]
		y := shared[d.Yoke]
		if d.Yoke == "" || y == nil {
			y = &yoke{}
			yokes = append(yokes, y)
			if d.Yoke != "" {
				shared[d.Yoke] = y
			}
		}
		y.names = append(y.names, d.Name)
		y.device.Gangs = max(y.device.Gangs, d.Gangs)
		y.device.Depth = max(y.device.Depth, d.Depth)
		y.device.Largest = larger(y.device.Largest, largest[d.Name])
	}
	var out []boxfill.Device
	for _, y := range yokes {
		slices.Sort(y.names)
		y.device.Name = strings.Join(y.names, " and ")
		if !y.device.Largest.Valid() {
			y.device.Largest = c.largest
		}
		out = append(out, y.device)
	}
	slices.SortFunc(out, func(a, b boxfill.Device) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// sizes returns the largest wire that is on a terminal of each thing in the box,
// directly, by a pigtail or by a jumper; what is on "ground" does not count.
func (c *counter) sizes() map[string]conductor.Size {
	type terminal struct{ device, name string }
	number := map[terminal]int32{}
	var terminals []terminal
	var on []conductor.Size // by terminal
	of := func(device, name string) int32 {
		t := terminal{device, name}
		n, ok := number[t]
		if !ok {
			n = int32(len(terminals))
			number[t] = n
			terminals, on = append(terminals, t), append(on, conductor.Size{})
		}
		return n
	}
	grow := func(n int32, s conductor.Size) { on[n] = larger(on[n], s) }
	for _, i := range c.place.landings {
		l := &c.w.spec.Landings[i]
		core, _ := c.w.idx.core(l.Wire)
		grow(of(l.Device, l.Terminal), core.Size)
	}
	var jumpers []*Splice // splices without wires
	for _, i := range c.place.splices {
		s := &c.w.spec.Splices[i]
		most := c.w.largest(s)
		if !most.Valid() {
			jumpers = append(jumpers, s)
			for _, j := range s.Join {
				of(j.Device, j.Terminal)
			}
			continue
		}
		c.connectors[most]++
		for _, j := range s.Join {
			if j.Device != "" {
				grow(of(j.Device, j.Terminal), most)
			}
		}
	}
	joined := unionfind.New(len(terminals))
	for _, s := range jumpers {
		for _, j := range s.Join[1:] {
			joined.Union(of(s.Join[0].Device, s.Join[0].Terminal), of(j.Device, j.Terminal))
		}
	}
	group, groups := joined.Number()
	most := make([]conductor.Size, groups)
	for n, g := range group {
		most[g] = larger(most[g], on[n])
	}
	for _, s := range jumpers {
		g := group[of(s.Join[0].Device, s.Join[0].Terminal)]
		if !most[g].Valid() {
			most[g] = c.largest
		}
		switch size, leads := c.leads(s); {
		case leads && size.Valid():
			c.connectors[size]++
		case leads || len(s.Join) > 2:
			c.connectors[most[g]]++
		}
	}
	largest := map[string]conductor.Size{}
	for n, t := range terminals {
		if t.name != "ground" {
			largest[t.device] = larger(largest[t.device], most[group[n]])
		}
	}
	return largest
}

// leads reports whether a splice joins two leads or more of lights and nothing else, and
// returns the size of the largest, the zero Size where that of one is not stated.
func (c *counter) leads(s *Splice) (most conductor.Size, ok bool) {
	stated := true
	for _, j := range s.Join {
		i := slices.IndexFunc(c.place.lights, func(i int32) bool { return c.w.spec.Lights[i].Name == j.Device })
		if i < 0 {
			return conductor.Size{}, false
		}
		size := c.w.spec.Lights[c.place.lights[i]].Leads
		stated = stated && size.Valid()
		most = larger(most, size)
	}
	if !stated {
		most = conductor.Size{}
	}
	return most, len(s.Join) > 1
}

func larger(a, b conductor.Size) conductor.Size {
	if b.Compare(a) > 0 {
		return b
	}
	return a
}

// largest returns the size of the largest wire of a splice, the zero Size if it
// has none.
func (w *Wiring) largest(s *Splice) conductor.Size {
	var most conductor.Size
	for _, j := range s.Join {
		if j.Device == "" {
			core, _ := w.idx.core(j.Wire)
			most = larger(most, core.Size)
		}
	}
	return most
}
