package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// devices lists feeds, then devices, then lights of a box, then its grounding screw
// if something is on it.
func (s *sheets) devices(box string, pigtails map[switchnet.Terminal][]int) []Device {
	out := []Device{}
	add := func(name, kind string, terminals, find []string) *Device {
		d := Device{Name: name, Kind: kind, Terminals: []Terminal{}, Find: find}
		for _, name := range terminals {
			t := switchnet.Terminal{Place: box, Device: d.Name, Name: name}
			line := Terminal{Name: name, Ends: []End{}, Pigtails: append([]int{}, pigtails[t]...)}
			for _, wire := range s.landed[t] {
				line.Ends = append(line.Ends, s.end(box, wire))
			}
			d.Terminals = append(d.Terminals, line)
		}
		out = append(out, d)
		return &out[len(out)-1]
	}
	has := s.held[box]
	for _, i := range has.feeds {
		f := &s.spec.Feeds[i]
		dev, _ := s.w.Net().Device(switchnet.Ref{Place: box, Name: f.Name})
		var terminals []string
		for _, t := range dev.Kind.Terminals {
			if strings.HasPrefix(t, "hot") {
				terminals = append(terminals, t)
			}
		}
		add(f.Name, "breaker, "+f.Breaker.String(), append(terminals, "neutral", "ground"), nil)
	}
	for _, i := range has.devices {
		d := &s.spec.Devices[i]
		terminals := slices.DeleteFunc(slices.Clone(d.Kind.Terminals), func(t string) bool { return t == "ground" })
		x := add(d.Name, s.speak(d.Kind.Name), append(terminals, "ground"), find(d.Kind))
		x.Yoke, x.Gang = d.Yoke, d.Gang
	}
	for _, i := range has.lights {
		l := &s.spec.Lights[i]
		if l.On != "" {
			add(l.Name, fmt.Sprintf("plugged into %s, %s and %s", l.On, l.Ends[0], l.Ends[1]), nil, nil)
			continue
		}
		kind := "light"
		if l.Power > 0 {
			kind += ", " + l.Power.String()
		}
		add(l.Name, kind, []string{"hot", "neutral", "ground"}, nil)
	}
	if screw := (switchnet.Terminal{Place: box, Device: "box", Name: "ground"}); len(pigtails[screw])+len(s.landed[screw]) > 0 {
		add("box", "grounding screw", []string{"ground"}, nil)
	}
	return out
}

// stands lists the gangs of a box of several with what stands in each.
func (s *sheets) stands(b *wiring.Box) []Stand {
	has := s.held[b.Name].devices
	gangs := b.Gangs
	stated := true
	straps := map[string]bool{}
	for _, i := range has {
		d := &s.spec.Devices[i]
		gangs = max(gangs, d.Gang+max(1, d.Gangs)-1)
		stated = stated && d.Gang > 0
		if d.Yoke == "" {
			straps[fmt.Sprint(i)] = true
		} else {
			straps["yoke "+d.Yoke] = true
		}
	}
	if gangs = max(gangs, len(straps)); len(has) == 0 || gangs < 2 {
		return nil
	}
	out := make([]Stand, gangs)
	for g := range out {
		out[g].Gang = g + 1
	}
	for _, i := range has {
		d := &s.spec.Devices[i]
		for g := d.Gang; d.Gang > 0 && g < d.Gang+max(1, d.Gangs); g++ {
			out[g-1].Devices = append(out[g-1].Devices, d.Name)
		}
	}
	for g := range out {
		out[g].Open = !stated && len(out[g].Devices) == 0
	}
	return out
}

// Standing says where the devices of a box stand, in a sentence; empty for one gang.
func (b *Box) Standing() string {
	if len(b.Stands) == 0 {
		return ""
	}
	var say []string
	open := 0
	for _, s := range b.Stands {
		what := "blank"
		switch {
		case len(s.Devices) > 0:
			what = listed(s.Devices)
		case s.Open:
			what = "not stated"
			open++
		}
		say = append(say, fmt.Sprintf("gang %d %s", s.Gang, what))
	}
	if open == len(say) {
		return "The job does not say which device stands in which gang: note it before the cover goes on."
	}
	return "From the left, as you face the box in the room: " + strings.Join(say, ", ") + "."
}

// find tells how to find the terminals of a device in hand. The places of screws
// differ from maker to maker, so only a meter on the loose device tells, and not even
// that where the contact is made by electronics.
func find(k switchnet.Kind) []string {
	switch {
	case k.Electronic:
		return []string{"A continuity tester does not see through electronics: go by what is printed on this device and its sheet, and by nothing that another device has."}
	case k.Name == switchnet.SinglePole().Name:
		return []string{"Line and load may be exchanged."}
	case k.Name == switchnet.ThreeWay().Name:
		return []string{
			"On the loose device, with a continuity tester: the common is the screw that is joined to one of the other two whichever way the handle stands.",
			"The wires on the other two screws may be exchanged.",
		}
	case k.Name == switchnet.FourWay().Name:
		return []string{
			"On the loose device, with a continuity tester: two screws that are never joined, whichever way the handle stands, are a pair.",
			"The two wires of a pair may be exchanged, and so may the pairs as a whole.",
		}
	}
	var out []string
	for _, p := range k.Positions {
		for _, group := range p.Joins {
			out = append(out, fmt.Sprintf("%s joins %s.", p.Name, strings.Join(group, " and ")))
		}
	}
	return out
}
