package draw

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
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

// collect finds the cells: what is joined to a terminal of the group without going
// through a rail or the hot of a feed, and the feeds these hang on.
func (c *chain) collect(state switchnet.State) {
	c.findRails()
	devices, loads, touching := c.touching()
	inGroup := map[switchnet.Ref]int{}
	for i, s := range c.group.Switches {
		inGroup[s] = i + 1
	}
	// Nets from which more is found. The hot of a feed is not one: the rest of the
	// circuit hangs on it.
	hot := map[int]bool{}
	for i := range devices {
		if devices[i].kind == sourceCell {
			for _, p := range devices[i].sides[1] {
				hot[p.net] = true
			}
		}
	}
	all := append(slices.Clone(devices), loads...)
	in := make([]bool, len(all))
	var queue []int
	take := func(i int) {
		if !in[i] {
			in[i] = true
			queue = append(queue, i)
		}
	}
	for i, x := range all {
		if x.kind == lampCell && slices.Contains(c.group.Lights, x.ref) || x.kind == deviceCell && inGroup[x.ref] > 0 {
			take(i)
		}
	}
	for k := 0; k < len(queue); k++ {
		for _, side := range all[queue[k]].sides {
			for _, p := range side {
				if _, rail := c.rails[p.net]; rail || hot[p.net] {
					continue
				}
				for _, i := range touching[p.net] {
					take(i)
				}
			}
		}
	}
	// The feeds whose hots these touch.
	for i, x := range all {
		if x.kind != sourceCell {
			continue
		}
		for _, p := range x.sides[1] {
			if slices.ContainsFunc(touching[p.net], func(k int) bool { return in[k] && all[k].kind != sourceCell }) {
				in[i] = true
			}
		}
	}
	c.order(all, in, touching, inGroup)
	for i, x := range c.cells {
		x.at = i
		x.pos, _ = state.Position(x.ref)
		c.label(x)
	}
	c.orient()
	c.nameNets()
}

// nameNets names the nets of the cells by the conductors they are made of: the first,
// in the order of the job, and how many more there are.
func (c *chain) nameNets() {
	made := map[int][]string{}
	for _, x := range c.cells {
		for _, side := range x.sides {
			for _, p := range side {
				made[p.net] = nil
			}
		}
	}
	for i := range c.d.spec.Cables {
		cable := &c.d.spec.Cables[i]
		for _, core := range cable.Type.Cores {
			w := wiring.Wire{Cable: cable.Name, Conductor: core.Colour.String()}
			for _, box := range []string{cable.From, cable.To} {
				n, ok := c.net.NetIndex(w.In(box))
				list, used := made[n]
				if ok && used && (len(list) == 0 || list[len(list)-1] != w.String()) {
					made[n] = append(list, w.String())
				}
			}
		}
	}
	c.names = map[int]string{}
	taken := map[string]string{}
	for _, x := range c.cells {
		for _, side := range x.sides {
			for _, p := range side {
				list := made[p.net]
				if _, done := c.names[p.net]; done || len(list) == 0 {
					continue
				}
				// Two names that come out alike when shortened are told apart.
				name := shorten(clean(list[0]), 84)
				for k := 2; taken[name] != "" && taken[name] != list[0]; k++ {
					name = fmt.Sprintf("%s~%d", shorten(clean(list[0]), 64), k)
				}
				taken[name] = list[0]
				if len(list) > 1 {
					name += fmt.Sprintf(" +%d", len(list)-1)
				}
				c.names[p.net] = name
			}
		}
	}
}

// findRails gives the nets that hold a rail of the source their letters.
func (c *chain) findRails() {
	c.rails = map[int]string{}
	src := c.net.Source()
	for r := range switchnet.Rails() {
		if !src.System.Has(r) {
			continue
		}
		if n, ok := c.net.NetIndex(src.Rail(r)); ok {
			letter := map[switchnet.Rail]string{switchnet.Neutral: "N", switchnet.Ground: "G", switchnet.LineA: "A", switchnet.LineB: "B", switchnet.LineC: "C"}[r]
			if c.rails[n] != "" {
				letter = c.rails[n] + letter
			}
			c.rails[n] = letter
		}
	}
}

// touching returns a cell for every device and every load of the net, in name order,
// and for each net which of them, devices first, have a terminal on it.
func (c *chain) touching() (devices, loads []*cell, on map[int][]int) {
	on = map[int][]int{}
	n := 0
	add := func(x *cell, side int, t switchnet.Terminal) {
		net, ok := c.net.NetIndex(t)
		if !ok {
			return
		}
		x.sides[side] = append(x.sides[side], &chainPin{name: fmt.Sprintf("%d\x00%s\x00%s", x.kind, t.Owner(), t.Name), net: net, cell: x, on: t})
		if l := on[net]; len(l) == 0 || l[len(l)-1] != n {
			on[net] = append(l, n)
		}
	}
	for dev := range c.net.Devices() {
		x := &cell{kind: deviceCell, ref: dev.Ref, dev: dev.Kind}
		for _, t := range dev.Kind.Terminals {
			if t == "ground" {
				continue
			}
			side := 1
			for _, first := range []string{"line", "common", "pair 1", "hot", "low"} {
				if strings.HasPrefix(t, first) {
					side = 0
				}
			}
			if dev.Kind.Breaker {
				side = 1
				if strings.HasPrefix(t, "line") {
					side = 0
				}
			}
			add(x, side, dev.Ref.Terminal(t))
		}
		if dev.Kind.Breaker {
			x.kind = sourceCell
		}
		devices = append(devices, x)
		n++
	}
	for l := range c.net.Loads() {
		x := &cell{kind: lampCell, ref: l.Ref}
		for i, t := range l.Terminals() {
			p := len(x.sides[i])
			add(x, i, t)
			if len(x.sides[i]) > p {
				// A load that is plugged in shares its terminals.
				x.sides[i][p].name = fmt.Sprintf("load\x00%s\x00%d", l.Ref, i)
			}
		}
		loads = append(loads, x)
		n++
	}
	return devices, loads, on
}

// order puts the cells in the order in which a line reaches them, one net after the
// other, from the feeds on; of those on one net the group's switches first, in its
// order, then other devices, then lights, by name.
func (c *chain) order(all []*cell, in []bool, touching map[int][]int, inGroup map[switchnet.Ref]int) {
	rank := func(i int) int {
		switch k := inGroup[all[i].ref]; {
		case all[i].kind == deviceCell && k > 0:
			return k
		case all[i].kind == deviceCell:
			return 1 << 20
		}
		return 1 << 21
	}
	done := make([]bool, len(all))
	visit := func(start int) {
		queue := []int{start}
		done[start] = true
		for k := 0; k < len(queue); k++ {
			x := all[queue[k]]
			c.cells = append(c.cells, x)
			var next []int
			for s, side := range x.sides {
				if x.kind == sourceCell && s == 0 {
					continue // the line side of a feed
				}
				for _, p := range side {
					if _, rail := c.rails[p.net]; rail {
						continue
					}
					for _, i := range touching[p.net] {
						if in[i] && !done[i] {
							done[i] = true
							next = append(next, i)
						}
					}
				}
			}
			slices.SortStableFunc(next, func(a, b int) int { return cmp.Compare(rank(a), rank(b)) })
			queue = append(queue, next...)
		}
	}
	var starts []int
	for i := range all {
		if in[i] {
			starts = append(starts, i)
		}
	}
	slices.SortStableFunc(starts, func(a, b int) int {
		ka, kb := all[a].kind != sourceCell, all[b].kind != sourceCell
		if ka != kb {
			if ka {
				return 1
			}
			return -1
		}
		return cmp.Compare(rank(a), rank(b))
	})
	for _, i := range starts {
		if !done[i] {
			visit(i)
		}
	}
}

// label writes what stands above and below a cell.
func (c *chain) label(x *cell) {
	switch x.kind {
	case sourceCell:
		x.above = []string{x.ref.Name}
		for i := range c.d.spec.Feeds {
			if f := &c.d.spec.Feeds[i]; f.Name == x.ref.Name && f.Box == x.ref.Place {
				x.below = []string{f.Breaker.String()}
			}
		}
		x.below = append(x.below, x.pos)
	case deviceCell:
		x.above = []string{x.ref.Place}
		if x.ref.Name != c.group.Name {
			x.above = append(x.above, x.ref.Name)
		}
		x.below = []string{c.words(x.dev.Name)}
		if len(x.dev.Positions) > 1 {
			x.below = append(x.below, x.pos)
		}
	case lampCell:
		x.above = []string{x.ref.Name}
		supply, _ := c.view.Supply(x.ref)
		x.below = []string{supply.Status.String()}
	}
}

// orient decides for every cell which side is the left one: the side that leads to
// cells before it.
func (c *chain) orient() {
	type tally struct{ sum, n int } // of the places of the pins on a net
	on := map[int]tally{}
	for _, x := range c.cells {
		for _, side := range x.sides {
			for _, p := range side {
				t := on[p.net]
				on[p.net] = tally{t.sum + x.at, t.n + 1}
			}
		}
	}
	for _, x := range c.cells {
		var mean [2]int // in 1/64 of a place
		for s, side := range x.sides {
			var t tally
			for _, p := range side {
				if _, rail := c.rails[p.net]; rail {
					if x.kind == lampCell {
						t = tally{t.sum + 1<<20, t.n + 1}
					}
					continue
				}
				own := 0
				for _, side := range x.sides {
					for _, q := range side {
						if q.net == p.net {
							own++
						}
					}
				}
				t = tally{t.sum + on[p.net].sum - own*x.at, t.n + on[p.net].n - own}
			}
			if mean[s] = x.at * 64; t.n > 0 {
				mean[s] = t.sum * 64 / t.n
			}
		}
		x.left, x.right = x.sides[0], x.sides[1]
		if x.kind == sourceCell {
			x.left = nil
		} else if mean[0] > mean[1] {
			x.left, x.right = x.right, x.left
		}
		for _, list := range [][]*chainPin{x.left, x.right} {
			for _, p := range list {
				c.pins[p.on] = append(c.pins[p.on], p)
			}
		}
	}
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
