package draw

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// A Group is a control as pictures show it: lights and the switches that work them.
type Group struct {
	Name string
	// Lights and Switches are of the wiring; Switches are in the order of their
	// places.
	Lights   []switchnet.Ref
	Switches []switchnet.Ref
}

// check reports what is wrong with a group: it is empty, or names what the net has
// not.
func (g *Group) check(net *switchnet.Net) error {
	if len(g.Lights)+len(g.Switches) == 0 {
		return fmt.Errorf("draw: group %q has neither lights nor switches; name some", g.Name)
	}
	for _, l := range g.Lights {
		if _, ok := net.Load(l); !ok {
			return fmt.Errorf("draw: group %q: there is no light %s", g.Name, l)
		}
	}
	for i, s := range g.Switches {
		if _, ok := net.Device(s); !ok {
			return fmt.Errorf("draw: group %q: there is no switch %s", g.Name, s)
		}
		if slices.Contains(g.Switches[:i], s) {
			return fmt.Errorf("draw: group %q names the switch %s twice", g.Name, s)
		}
	}
	return nil
}

// chain is a circuit diagram before anything has a place: cells from the source to the
// lights.
type chain struct {
	d     *Drawer
	net   *switchnet.Net
	words func(string) string
	group *Group
	cells []*cell
	// rails are the nets that stand for themselves wherever they are met.
	rails map[int]string
	names map[int]string // of nets: the conductors they are made of
	pins  map[switchnet.Terminal][]*chainPin
	view  *switchnet.View
}

// cell is a part with contacts or a lamp, or a flag where the diagram breaks off.
type cell struct {
	kind  cellKind
	ref   switchnet.Ref
	dev   switchnet.Kind
	pos   string
	above []string
	below []string
	// sides are the terminals on either side before it is known which is which.
	sides [2][]*chainPin
	left  []*chainPin
	right []*chainPin
	at    int // in the order of cells
}

type cellKind uint8

const (
	sourceCell cellKind = iota + 1
	deviceCell
	lampCell
	flagCell
)

// chainPin is a terminal of a cell.
type chainPin struct {
	name string // of the anchor
	net  int
	cell *cell
	on   switchnet.Terminal
	at   point
	flag string // of a flag
}

// Chain returns the circuit diagram of a control in one state: from the source
// through the switches to the lights, with each switch drawn as its contacts stand and
// the way of the current to every lit light of the group drawn heavy. It shows
// everything that can matter to the group's lights, whatever the wiring is: each
// device and load that a line could reach them through. The zero State is every
// handle at rest. Long chains go on from row to row, with numbered flags where they
// break.
//
// A group that names what the wiring has not, and a state of another wiring, is an
// error. Time is linear in the job and quadratic in the parts on one row.
func (d *Drawer) Chain(g Group, state switchnet.State, opt *Options) (*Picture, error) {
	set, err := opt.settings()
	if err != nil {
		return nil, err
	}
	c, ways, err := d.chain(&g, state, set.words)
	if err != nil {
		return nil, err
	}
	p := &Picture{title: "Control " + clean(g.Name) + ": circuit", scheme: set.scheme, description: c.describe(ways)}
	c.layout(&p.scene, set.width, ways)
	return p, nil
}

func (d *Drawer) chain(g *Group, state switchnet.State, words func(string) string) (*chain, []way, error) {
	net := d.w.Net()
	if err := g.check(net); err != nil {
		return nil, nil, err
	}
	if state.Net() == nil {
		state = net.Rest()
	}
	view, err := net.NewSolver().Solve(state)
	if err != nil {
		return nil, nil, err
	}
	c := &chain{d: d, net: net, words: words, group: g, view: view, pins: map[switchnet.Terminal][]*chainPin{}}
	c.collect(state)
	ways, err := c.ways()
	return c, ways, err
}

// way is the way of the current to one light: pins in pairs, into a cell and out of
// it.
type way struct {
	light switchnet.Ref
	pins  []*chainPin
}

// ways returns the way to every light of the group that is lit or dim, in the order
// of the group.
func (c *chain) ways() ([]way, error) {
	var out []way
	for _, l := range c.group.Lights {
		paths, err := c.view.Paths(l, &switchnet.PathOptions{Max: 1})
		if err != nil {
			return nil, err
		}
		if len(paths.List) == 0 {
			continue
		}
		w := way{light: l}
		for _, s := range paths.List[0].Steps {
			kind := deviceCell
			switch s.Kind {
			case switchnet.ByLoad:
				kind = lampCell
			case switchnet.ByContact:
			default:
				continue
			}
			from, to := c.pinOf(s.From, kind, s.Name), c.pinOf(s.To, kind, s.Name)
			if to != nil {
				w.pins = append(w.pins, from, to)
			}
		}
		out = append(out, w)
	}
	return out, nil
}

// pinOf returns the pin of a terminal on the cell of a device or load; that of a feed's
// line side is nil.
func (c *chain) pinOf(t switchnet.Terminal, kind cellKind, name string) *chainPin {
	for _, p := range c.pins[t] {
		if (p.cell.kind == lampCell) == (kind == lampCell) && p.cell.ref.Name == name {
			return p
		}
	}
	return nil
}

func (c *chain) describe(ways []way) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Circuit of control %s in one state.", clean(c.group.Name))
	for _, x := range c.cells {
		switch x.kind {
		case sourceCell:
			fmt.Fprintf(&b, " Feed %s, breaker %s.", clean(x.ref.Name), x.pos)
		case deviceCell:
			fmt.Fprintf(&b, " %s at %s, %s, %s.", clean(x.ref.Name), clean(x.ref.Place), c.words(x.dev.Name), clean(x.pos))
		case lampCell:
			fmt.Fprintf(&b, " %s is %s.", clean(x.ref.Name), x.below[0])
		}
	}
	for _, w := range ways {
		fmt.Fprintf(&b, " The current to %s goes by", clean(w.light.Name))
		for i, p := range w.pins {
			if p != nil {
				sep := ","
				if i == 0 || i == 1 && w.pins[0] == nil {
					sep = ""
				}
				fmt.Fprintf(&b, "%s %s %s", sep, clean(p.cell.ref.Name), clean(p.on.Name))
				if p.cell.ref.Place != "" && p.cell.kind == deviceCell {
					b.WriteString(" at " + clean(p.cell.ref.Place))
				}
			}
		}
		b.WriteString(".")
	}
	if c.view.Shorted() {
		b.WriteString(" Rails are shorted in this state.")
	}
	return b.String()
}
