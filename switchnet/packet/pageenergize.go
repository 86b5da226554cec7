package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/unionfind"
	"example.com/switchleg/switchnet"
)

// Energized is the checklist of one circuit.
type Energized struct {
	Feed    string `json:"feed"`
	Box     string `json:"box"`
	Breaker string `json:"breaker"`
	// Lift names the feeds whose neutrals are one metal with that of this one, so
	// that all of them come off the bar for the test.
	Lift []string   `json:"lift,omitempty"`
	Dead []Expected `json:"dead"`
	Live []Expected `json:"live"`
}

// Expected is one test with the value that the wiring as drawn gives.
type Expected struct {
	Between string `json:"between"`
	Expect  string `json:"expect"`
	// Wrong marks a value that must not be there: do not energize.
	Wrong bool `json:"wrong,omitzero"`
}

// energize works out what a meter should show: dead, with lamps and electronics out, so
// that only metal counts; and live.
func (v *page) energize() {
	net := v.s.w.Net()
	m := newMetal(net)
	// Metal that contacts can join in some position, lamps left out.
	may := unionfind.New(len(m.next))
	for d := range net.Devices() {
		if d.Kind.Breaker {
			continue
		}
		for _, p := range d.Kind.Positions {
			for _, group := range p.Joins {
				for _, t := range group[1:] {
					may.Union(m.at(d.Terminal(group[0])), m.at(d.Terminal(t)))
				}
			}
		}
	}
	reach, _ := may.Number()
	touches := func(a, b switchnet.Terminal) bool { return reach[m.at(a)] == reach[m.at(b)] }
	// open is the value of two things that must never meet.
	open := func(a, b switchnet.Terminal) Expected {
		e := Expected{Between: a.Name + " to " + b.Name, Expect: "open, with every handle one way and the other"}
		switch {
		case m.at(a) == m.at(b):
			e.Expect, e.Wrong = "JOINED as drawn: do not energize", true
		case touches(a, b):
			e.Expect, e.Wrong = "JOINED in some position of the handles as drawn: do not energize", true
		}
		return e
	}
	for i := range v.s.spec.Feeds {
		f := &v.s.spec.Feeds[i]
		ref := switchnet.Ref{Place: f.Box, Name: f.Name}
		dev, ok := net.Device(ref)
		if !ok {
			continue
		}
		var hots []switchnet.Terminal
		for _, t := range dev.Kind.Terminals {
			if strings.HasPrefix(t, "hot") {
				hots = append(hots, ref.Terminal(t))
			}
		}
		neutral, ground := ref.Terminal("neutral"), ref.Terminal("ground")
		c := Energized{Feed: f.Name, Box: f.Box, Breaker: f.Breaker.String()}
		for k := range v.s.spec.Feeds {
			o := &v.s.spec.Feeds[k]
			if other := (switchnet.Ref{Place: o.Box, Name: o.Name}); other != ref && net.Has(neutral) && net.Has(other.Terminal("neutral")) && m.at(other.Terminal("neutral")) == m.at(neutral) {
				c.Lift = append(c.Lift, other.String())
			}
		}
		for k, h := range hots {
			c.Dead = append(c.Dead, open(h, ground), open(h, neutral))
			for _, other := range hots[k+1:] {
				c.Dead = append(c.Dead, open(h, other))
			}
		}
		e := open(neutral, ground)
		e.Between += ", with the neutral off its bar"
		c.Dead = append(c.Dead, e)
		c.Dead = append(c.Dead, v.grounds(m, ref, ground)...)
		c.Dead = append(c.Dead, v.lamps(m, touches, f.Name, hots, neutral)...)
		c.Live = v.live(ref, hots, f.Lines)
		v.Circuit = append(v.Circuit, c)
	}
}

// grounds are the tests from the ground of a feed to what is to be grounded in the boxes
// its circuit has a cable in.
func (v *page) grounds(m *metal, feed switchnet.Ref, ground switchnet.Terminal) []Expected {
	var out []Expected
	for i := range v.Boxes {
		b := &v.Boxes[i]
		if b.Name == feed.Place || !slices.Contains(b.Breakers, feed.String()) {
			continue
		}
		var yes, no []string
		for t := range m.net.Terminals() {
			if t.Place != b.Name || t.Name != "ground" {
				continue
			}
			name := t.Device
			if name == "box" {
				name = "the box"
			}
			if m.at(t) == m.at(ground) {
				yes = append(yes, name)
			} else {
				no = append(no, name)
			}
		}
		if len(yes) > 0 {
			out = append(out, Expected{Between: "ground here to ground of " + listed(yes) + " in " + b.Name, Expect: "near 0 ohm"})
		}
		if len(no) > 0 {
			out = append(out, Expected{Between: "ground here to ground of " + listed(no) + " in " + b.Name,
				Expect: "open as drawn: nothing grounds it; find out before energizing whether it has metal that wants a ground", Wrong: true})
		}
	}
	return out
}

// lamps are the tests from a feed to its lights, lamps out.
func (v *page) lamps(m *metal, touches func(a, b switchnet.Terminal) bool, feed string, hots []switchnet.Terminal, neutral switchnet.Terminal) []Expected {
	var out []Expected
	says, electronic := v.results()
	var fed []string
	if at := slices.IndexFunc(v.Circuits, func(c Circuit) bool { return c.Feed == feed }); at >= 0 {
		fed = v.Circuits[at].Lights
	}
	for i := range v.s.spec.Lights {
		l := &v.s.spec.Lights[i]
		name := l.Name
		if l.On != "" {
			continue
		}
		ref := switchnet.Ref{Place: l.Box, Name: l.Name}
		hot, back := ref.Terminal("hot"), ref.Terminal("neutral")
		// A light whose leg is broken hangs on the circuit by its neutral.
		if !slices.Contains(fed, name) && !touches(back, neutral) {
			continue
		}
		switch r := says[name]; {
		case !slices.ContainsFunc(hots, func(h switchnet.Terminal) bool { return touches(h, hot) }):
			out = append(out, Expected{Between: "hot here to hot of " + name, Expect: "open in every position as drawn: no switch feeds it", Wrong: true})
		case electronic[name]:
			out = append(out, Expected{Between: "hot here to hot of " + name, Expect: "not to be told dead: there are electronics on the way"})
		case r != nil && r.EveryPlace:
			out = append(out, Expected{Between: "hot here to hot of " + name, Expect: "near 0 ohm or open, and the other after each move of any one handle of its control"})
		case r != nil && r.Problem == "":
			out = append(out, Expected{Between: "hot here to hot of " + name, Expect: "near 0 ohm where it should be lit, open otherwise; as drawn it is: " + r.Says})
		default:
			out = append(out, Expected{Between: "hot here to hot of " + name, Expect: "near 0 ohm where the handles are to light it, open otherwise"})
		}
		switch {
		case m.at(back) == m.at(neutral):
			out = append(out, Expected{Between: "neutral here to neutral of " + name, Expect: "near 0 ohm, with every handle one way and the other"})
		case len(hots) > 1:
		default:
			out = append(out, Expected{Between: "neutral here to neutral of " + name, Expect: "not joined for good as drawn: its neutral is switched, or another's; do not energize", Wrong: true})
		}
	}
	return out
}

// results returns what becomes of each light of a control, and the lights of controls
// with a contact that an ohmmeter does not see, which is left out of its wires besides.
func (v *page) results() (says map[string]*Result, electronic map[string]bool) {
	says, electronic = map[string]*Result{}, map[string]bool{}
	for i := range v.Controls {
		c := &v.Controls[i]
		behind := false
		for _, p := range c.Places {
			dev, ok := v.s.w.Net().Device(switchnet.Ref{Place: p.Box, Name: c.Name})
			behind = behind || ok && dev.Kind.Electronic
		}
		for k := range c.Results {
			r := &c.Results[k]
			says[r.Light] = r
			electronic[r.Light] = electronic[r.Light] || behind
		}
	}
	return says, electronic
}

// live are the voltages of a feed under its nominal supply, and what its lights do.
func (v *page) live(feed switchnet.Ref, hots []switchnet.Terminal, lines []switchnet.Rail) []Expected {
	if len(lines) == 0 {
		lines = []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC}
	}
	system := v.s.w.Net().Source().System
	var out []Expected
	for i, h := range hots {
		if i >= len(lines) {
			break
		}
		volts := system.Between(lines[i], switchnet.Neutral)
		out = append(out, Expected{Between: h.Name + " to neutral", Expect: fmt.Sprintf("about %s", volts)},
			Expected{Between: h.Name + " to ground", Expect: fmt.Sprintf("about %s", volts)})
		for k := i + 1; k < len(hots) && k < len(lines); k++ {
			out = append(out, Expected{Between: h.Name + " to " + hots[k].Name, Expect: fmt.Sprintf("about %s", system.Between(lines[i], lines[k]))})
		}
	}
	out = append(out, Expected{Between: "neutral to ground", Expect: "near 0 V; more than a few volts under load wants an explanation"})
	says, _ := v.results()
	for i := range v.Circuits {
		if v.Circuits[i].Feed != feed.Name {
			continue
		}
		for _, name := range v.Circuits[i].Lights {
			if r := says[name]; r != nil && r.Problem == "" {
				out = append(out, Expected{Between: "by eye: " + name, Expect: r.Says, Wrong: !r.EveryPlace})
			}
		}
	}
	return out
}
