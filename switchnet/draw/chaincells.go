package draw

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

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
		x.sides[side] = append(x.sides[side], &chainPin{name: fmt.Sprintf("device\x00%s\x00%s\x00%s", t.Place, t.Device, t.Name), net: net, cell: x, on: t})
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
				x.sides[i][p].name = fmt.Sprintf("load\x00%s\x00%s\x00%d", l.Place, l.Name, i)
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
