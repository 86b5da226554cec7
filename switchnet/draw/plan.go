package draw

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// runPlan is what a run plan shows: boxes and the cables between them.
type runPlan struct {
	nodes  []planNode
	cables []planCable
	// about are the letters used and what they mean.
	about []string
}

// planNode is a box, or the far end of a cable that ends nobody knows where.
type planNode struct {
	name    string
	box     *wiring.Box // nil for an end that is not known
	letters string      // in its symbol: what switches are in it, J for a junction box
	lamp    bool        // a light is in or on it
	fed     bool        // a circuit starts in it
	text    []string    // what is in it, a line each
	brief   []string    // the same without the devices, whose letters are in the symbol
	cables  []int
}

type planCable struct {
	name     string
	from, to int    // nodes
	label    string // "C2 14/4, 14 ft"
}

// Runs returns the run plan: boxes with their feeds, switches and lights, and the
// cables between them with type and length.
//
// Where every box has coordinates it is laid out as the boxes lie, turned so that it
// fits the width and stretched where they crowd, so not to scale; boxes of one place,
// or in the way of a cable, are moved aside. If no way is found that leaves room for
// every name, if a box has no coordinates or a cable no known end, or if there are more
// than 60 boxes or cables, it is a tree that starts at the feeds, which always fits.
//
// Time is linear in the job for a tree, but for the square of the number of cables that
// close a loop. A plan by coordinates is looked for in time quadratic in the boxes and
// cables: some milliseconds for a dozen, at most a few tenths of a second.
func (d *Drawer) Runs(opt *Options) (*Picture, error) {
	set, err := opt.settings()
	if err != nil {
		return nil, err
	}
	r := d.plan(set.words)
	p := &Picture{title: "Run plan", description: r.describe(), scheme: set.scheme}
	if s, ok := r.byPosition(set.width); ok {
		p.scene = *s
	} else {
		p.scene = *r.tree(set.width)
	}
	return p, nil
}

// letters are what stands for a kind of switch on plans; a kind that is not here is
// an S.
func letters(k switchnet.Kind) string {
	switch k.Name {
	case switchnet.DoublePole().Name:
		return "S2"
	case switchnet.ThreeWay().Name:
		return "S3"
	case switchnet.FourWay().Name:
		return "S4"
	case switchnet.PilotSinglePole().Name, switchnet.LocatorSinglePole().Name:
		return "SP"
	case switchnet.ThreeWayDimmer().Name:
		return "SD"
	case switchnet.ElectronicSwitch().Name, switchnet.ElectronicThreeWay().Name:
		return "SE"
	case switchnet.Receptacle().Name, switchnet.SplitReceptacle().Name:
		return "R"
	}
	return "S"
}

func (d *Drawer) plan(words func(string) string) *runPlan {
	r := &runPlan{}
	at := map[string]int{}
	kinds := map[string]string{} // letters to the first kind they stand for
	var used []string
	for i := range d.spec.Boxes {
		b := &d.spec.Boxes[i]
		has := d.boxes[b.Name]
		n := planNode{name: b.Name, box: b}
		var in []string
		for _, k := range has.feeds {
			f := &d.spec.Feeds[k]
			n.fed = true
			n.brief = append(n.brief, f.Name+", "+f.Breaker.String())
			n.text = append(n.text, "feed "+f.Name+", "+f.Breaker.String())
		}
		for _, k := range has.devices {
			x := &d.spec.Devices[k]
			l := letters(x.Kind)
			if _, ok := kinds[l]; !ok {
				used = append(used, l)
				kinds[l] = words(x.Kind.Name)
			} else if w := words(x.Kind.Name); !slices.Contains(strings.Split(kinds[l], " or "), w) {
				kinds[l] += " or " + w
			}
			in = append(in, l)
			n.text = append(n.text, x.Name+", "+words(x.Kind.Name))
		}
		for _, k := range has.lights {
			x := &d.spec.Lights[k]
			t := x.Name
			if x.Power > 0 {
				t += ", " + x.Power.String()
			}
			n.lamp = true
			n.brief = append(n.brief, t)
			n.text = append(n.text, t)
		}
		if len(in) > 6 {
			in = append(in[:5], "...")
		}
		n.letters = strings.Join(in, " ")
		if b.Kind == wiring.JunctionBox && n.letters == "" && !n.lamp {
			n.letters = "J"
			if kinds["J"] == "" {
				used = append(used, "J")
				kinds["J"] = "junction box"
			}
		}
		at[b.Name] = len(r.nodes)
		r.nodes = append(r.nodes, n)
	}
	for _, l := range used {
		r.about = append(r.about, l+" "+kinds[l])
	}
	for i := range d.spec.Cables {
		c := &d.spec.Cables[i]
		label := c.Name + " " + c.Type.Name
		if c.Length > 0 {
			label += ", " + c.Length.String()
		}
		e := planCable{name: c.Name, from: at[c.From], label: label}
		if c.To == "" {
			e.to = len(r.nodes)
			r.nodes = append(r.nodes, planNode{name: wiring.UnknownPlace(c.Name), text: nil})
		} else {
			e.to = at[c.To]
		}
		r.nodes[e.from].cables = append(r.nodes[e.from].cables, i)
		r.nodes[e.to].cables = append(r.nodes[e.to].cables, i)
		r.cables = append(r.cables, e)
	}
	return r
}

// called is the name of a node as it is written.
func (n *planNode) called() string {
	if n.box == nil {
		return "far end not known"
	}
	return n.name
}

// far returns the node at the other end of a cable.
func (r *runPlan) far(node, cable int) int {
	c := &r.cables[cable]
	if c.from == node {
		return c.to
	}
	return c.from
}

func (r *runPlan) describe() string {
	var b strings.Builder
	b.WriteString("Run plan: boxes and the cables between them.")
	for i := range r.nodes {
		if n := &r.nodes[i]; n.box != nil {
			b.WriteString(" Box " + clean(n.name))
			for k, t := range n.text {
				sep := "; "
				if k == 0 {
					sep = ": "
				}
				b.WriteString(sep + clean(t))
			}
			b.WriteString(".")
		}
	}
	for _, c := range r.cables {
		fmt.Fprintf(&b, " Cable %s from %s to %s.", clean(c.label), clean(r.nodes[c.from].called()), clean(r.nodes[c.to].called()))
	}
	return b.String()
}

// symbolWidth returns the width of the symbol of a node with pins on its longest side.
func (n *planNode) symbolWidth(pins int) int {
	w := max(22, pins*apart+16)
	if n.letters != "" {
		w = max(w, textWidth(n.letters, small, true)+10)
	}
	if n.lamp {
		w = max(w, 26)
		if n.letters != "" {
			w = max(w, textWidth(n.letters, small, true)+10+20)
		}
	}
	return w
}

// symbol draws a node: a rectangle with the letters of its switches; the cross in a
// circle of a light; a panel is filled at its lower half.
func (s *scene) symbol(n *planNode, r rect) {
	box := shape{kind: rectangle, r: r, fill: wash, stroke: ink, width: 15, round: 3, solid: true}
	if n.box == nil {
		box.dash = "3 3"
	}
	s.marks = append(s.marks, box)
	mid := r.y + r.h/2
	x := r.x + r.w/2
	if n.lamp {
		c := point{x, mid}
		if n.letters != "" {
			c.x = r.right() - 13
			x = r.x + (r.w-20)/2
		}
		s.lamp(c, 8)
	}
	switch {
	case n.letters != "":
		s.text(point{x, mid + 4}, middle, n.letters, small, true, ink)
	case n.box == nil:
		s.text(point{x, mid + 4}, middle, "?", normal, true, ink)
	case n.box.Kind == wiring.Panel && !n.lamp:
		s.marks = append(s.marks, shape{kind: rectangle, r: rect{r.x + 3, mid, r.w - 6, r.bottom() - mid - 3}, fill: ink})
	}
}

// lamp draws the symbol of a lamp.
func (s *scene) lamp(c point, radius int) {
	k := radius * 7 / 10
	s.marks = append(s.marks,
		shape{kind: circle, r: rect{c.x - radius, c.y - radius, 2 * radius, 2 * radius}, fill: paper, stroke: ink, width: 13},
		shape{kind: line, pts: []point{{c.x - k, c.y - k}, {c.x + k, c.y + k}}, stroke: ink, width: 13},
		shape{kind: line, pts: []point{{c.x - k, c.y + k}, {c.x + k, c.y - k}}, stroke: ink, width: 13})
}

// legend writes what the letters mean below a plan, and returns the next baseline.
func (r *runPlan) legend(s *scene, y, width int) int {
	parts := slices.Clone(r.about)
	if slices.ContainsFunc(r.nodes, func(n planNode) bool { return n.lamp }) {
		parts = append(parts, "cross in a circle: light")
	}
	if slices.ContainsFunc(r.nodes, func(n planNode) bool { return n.box != nil && n.box.Kind == wiring.Panel }) {
		parts = append(parts, "half filled: panel")
	}
	return s.lines(margin, y, start, wrap(clean(strings.Join(parts, "; ")), width-2*margin, small, false), small, false, muted)
}
