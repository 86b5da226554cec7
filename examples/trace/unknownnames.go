package main

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// names are what lines about open boxes may name.
type names struct {
	points   map[string]switchnet.Terminal // as they are written
	cables   []string                      // that enter an open box
	boxes    []string                      // all
	open     []string
	feeds    []string
	controls []identify.Control
}

func namesOf(c *identify.Case) names {
	n := names{points: map[string]switchnet.Terminal{}, open: c.Open(), controls: c.Controls()}
	for _, t := range c.Points() {
		n.points[lines.Point(t)] = t
	}
	for _, e := range c.Ends() {
		n.cables = append(n.cables, e.Wire.Cable)
	}
	slices.Sort(n.cables)
	n.cables = slices.Compact(n.cables)
	spec := c.Wiring().Spec()
	for _, b := range spec.Boxes {
		n.boxes = append(n.boxes, b.Name)
	}
	for _, f := range spec.Feeds {
		n.feeds = append(n.feeds, f.Name)
	}
	return n
}

// anyOf notes that a name is none of some, if it is not.
func (r *phrase) anyOf(name string, among []string, what string) string {
	if r.err == nil && !slices.Contains(among, name) {
		r.fail("%s %q; there are %s", what, name, listed(among))
	}
	return name
}

// listed writes names as they are typed.
func listed(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = quoted(n)
	}
	return strings.Join(out, ", ")
}

func (r *phrase) cable(what string) string {
	return r.anyOf(r.next(what), r.d.names.cables, "no open box has a cable")
}

// box takes the name of any box at the end of what is said.
func (r *phrase) box() string { return r.boxOf(r.d.names.boxes, "the job has no box") }

// openBox takes that of an open one.
func (r *phrase) openBox() string { return r.boxOf(r.d.names.open, "there is no open box") }

func (r *phrase) boxOf(among []string, what string) string {
	first := r.i + 1
	name := r.name("a box")
	last := r.i
	r.i = first
	r.anyOf(name, among, what)
	r.i = last
	return name
}

// control takes a control, and place a box where it has a switch.
func (r *phrase) control() identify.Control {
	var all []string
	for _, c := range r.d.names.controls {
		all = append(all, c.Name)
	}
	name := r.anyOf(r.next("a control"), all, "there is no control")
	if i := slices.Index(all, name); i >= 0 {
		return r.d.names.controls[i]
	}
	return identify.Control{}
}

func (r *phrase) place(c identify.Control) string {
	return r.anyOf(r.next("a box"), c.Places, "control "+quoted(c.Name)+" has no switch in")
}

func (r *phrase) feed() string {
	return r.anyOf(r.next("a feed that is off"), r.d.names.feeds, "the job has no feed")
}

// wireIn reads CABLE.COLOUR of an open box.
func (r *phrase) wireIn(box, text string) wiring.Wire {
	var in []string
	for _, e := range r.d.c.Ends() {
		if e.Box != box {
			continue
		}
		if e.Wire.String() == text {
			return e.Wire
		}
		in = append(in, e.Wire.String())
	}
	r.fail("%s has no insulated conductor %q; there are %s", quoted(box), text, listed(in))
	return wiring.Wire{}
}

// screwIn reads DEVICE.TERMINAL of a box.
func (r *phrase) screwIn(box, text string) (device, terminal string) {
	var all []string
	for _, d := range r.d.c.Wiring().Spec().Devices {
		if d.Box != box {
			continue
		}
		for _, t := range d.Kind.Terminals {
			if d.Name+"."+t == text {
				return d.Name, t
			}
			all = append(all, d.Name+"."+t)
		}
	}
	r.fail("%q is neither capped nor a screw in %s; there are %s", text, quoted(box), listed(all))
	return "", ""
}

// end notes that more is said than belongs there, if it is.
func (r *phrase) end() error {
	if r.err == nil && r.i < len(r.words) {
		r.i++
		r.fail("%q is not expected there", r.words[r.i-1].Text)
	}
	return r.err
}

// pointsIn returns the points of a box as they are written.
func (n *names) pointsIn(box string, c *identify.Case) []string {
	var in []string
	for _, t := range c.Points() {
		if t.Place == box && t != identify.Outside() {
			in = append(in, lines.Point(t))
		}
	}
	return in
}

// setAside says what the job states of some boxes, which is left out of account.
func (d *sorter) setAside(boxes []string) []string {
	spec := d.c.Wiring().Spec()
	var out []string
	for _, box := range boxes {
		for _, s := range spec.Splices {
			if s.Box == box {
				parts := make([]string, len(s.Join))
				for i, j := range s.Join {
					parts[i] = j.String()
				}
				out = append(out, fmt.Sprintf("%s: %s", box, strings.Join(parts, " with ")))
			}
		}
		for _, l := range spec.Landings {
			if l.Box == box {
				out = append(out, fmt.Sprintf("%s: %s on %s of %s", box, l.Wire, l.Terminal, l.Device))
			}
		}
		for _, c := range spec.Caps {
			if c.Box == box {
				out = append(out, fmt.Sprintf("%s: %s capped", box, c.Wire))
			}
		}
	}
	return out
}
