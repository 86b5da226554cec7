package plan_test

import (
	"cmp"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
)

// oracle finds the least cost of a request with one feed the slow way: over every
// subset of runs that is a tree, every order of every control's places, every scheme,
// and every way to share out the clients of every run over cables. It knows nothing
// of ends, depth-first orders, bounds or the states of a dynamic programming; what a
// cable holds it finds by trying every core for every conductor. A run that is there only
// if needed is in no tree, and a run with a cable of its own, or a raceway, has one.
type oracle struct {
	in     intent.Intent
	rates  []rules.Rate
	cables []conductor.CableType
	remark bool
	// neutrals is how many colours there are for a neutral.
	neutrals int
	keep     func(box string) bool

	fits map[[4]int][]int // cables that hold so many neutrals, legs, other lines, spares
}

// wire is a conductor between boxes: it joins all of them, by the only way there is
// in the tree. Client is whose it is.
type wire struct {
	kind   byte // n, h, l for a leg, t for what else is switched, s
	client int
	joins  []string
}

func newOracle(in intent.Intent, r *rules.Region, names ...string) *oracle {
	o := &oracle{in: in, fits: map[[4]int][]int{}}
	for _, n := range names {
		t, err := conductor.ParseCableType(n)
		if err != nil {
			panic(err)
		}
		o.cables = append(o.cables, t)
		o.rates = append(o.rates, rules.Rate{Amount: rules.Amount(len(t.Cores)) * 1_000_000, Per: quantity.Foot})
	}
	for i, s := range in.Stock {
		if s.Weight > 0 {
			o.rates[i].Amount = rules.Amount(s.Weight / 1000)
		}
	}
	rule, _ := r.Wiring.Rule(rules.RemarkedWhiteAsLine)
	o.remark = rule.Says == rules.Permitted
	white, _ := r.Wiring.Schemes[0].Palette(rules.Neutral)
	o.neutrals = len(white.Colours)
	line, _ := r.Wiring.Schemes[0].Palette(rules.Line)
	for _, c := range line.Colours {
		if c.Main == conductor.White { // with a stripe
			o.neutrals++
		}
	}
	o.keep = func(box string) bool {
		return r.Wiring.Neutral.Rule.Says == rules.Required &&
			!slices.ContainsFunc(in.Exemptions, func(e intent.Exemption) bool { return e.Box == box })
	}
	return o
}

// wirings yields the switched wires of a control, and the boxes its hot goes to, for
// every scheme and order.
func (o *oracle) wirings(client int, c intent.Control) [][2][]wire {
	var lights []string
	for _, name := range c.Lights {
		for _, l := range o.in.Lights {
			if l.Name == name {
				lights = append(lights, l.Box)
			}
		}
	}
	var out [][2][]wire
	schemes := c.Schemes
	if len(schemes) == 0 {
		schemes = []intent.Scheme{intent.Chain}
	}
	for _, s := range schemes {
		if s == intent.JoinedCommons {
			if len(c.Places) == 2 {
				p := c.Places
				out = append(out, [2][]wire{
					{{'t', client, p}, {'l', client, append(slices.Clone(p), lights...)}},
					{{'h', client, p}}})
			}
			continue
		}
		for _, perm := range permutations(len(c.Places)) {
			var ws []wire
			for i := range len(perm) - 1 {
				pair := []string{c.Places[perm[i]], c.Places[perm[i+1]]}
				ws = append(ws, wire{'t', client, pair}, wire{'t', client, pair})
			}
			last := c.Places[perm[len(perm)-1]]
			ws = append(ws, wire{'l', client, append([]string{last}, lights...)})
			out = append(out, [2][]wire{ws, {{'h', client, []string{c.Places[perm[0]]}}}})
		}
	}
	return out
}

// best returns the least cost, and false if nothing is feasible.
func (o *oracle) best() (rules.Amount, bool) {
	var best rules.Amount
	found := false
	m := len(o.in.Runs)
	for set := range 1 << m {
		parent, ok := o.tree(set)
		if !ok {
			continue
		}
		if c, ok := o.onTree(parent); ok && (!found || c < best) {
			best, found = c, true
		}
	}
	return best, found
}

// tree returns, for each box, the run toward the feed, if the runs of a set make a
// tree that hangs together.
func (o *oracle) tree(set int) (map[string]int, bool) {
	parent := map[string]int{o.in.Feeds[0].Box: -1}
	left := 0
	for i := range o.in.Runs {
		left += set >> i & 1
		if set>>i&1 == 1 && o.in.Runs[i].IfNeeded {
			return nil, false
		}
	}
	for grew := true; grew; {
		grew = false
		for i, r := range o.in.Runs {
			if set>>i&1 == 0 {
				continue
			}
			_, a := parent[r.From]
			_, b := parent[r.To]
			switch {
			case a && b || !a && !b:
				continue
			case a:
				parent[r.To] = i
			default:
				parent[r.From] = i
			}
			left--
			grew = true
		}
	}
	return parent, left == 0
}

// up returns the runs from a box to the feed.
func (o *oracle) up(parent map[string]int, box string) []int {
	var out []int
	for parent[box] >= 0 {
		i := parent[box]
		out = append(out, i)
		if r := o.in.Runs[i]; r.From == box {
			box = r.To
		} else {
			box = r.From
		}
	}
	return out
}

// crossed returns the runs that a wire takes: those that part the boxes it joins.
func (o *oracle) crossed(parent map[string]int, joins []string) map[int]bool {
	count := map[int]int{}
	boxes := slices.Clone(joins)
	slices.Sort(boxes)
	boxes = slices.Compact(boxes)
	for _, b := range boxes {
		for _, i := range o.up(parent, b) {
			count[i]++
		}
	}
	out := map[int]bool{}
	for i, n := range count {
		if n < len(boxes) {
			out[i] = true
		}
	}
	return out
}

func (o *oracle) onTree(parent map[string]int) (rules.Amount, bool) {
	feed := o.in.Feeds[0].Box
	reached := func(boxes ...string) bool {
		return !slices.ContainsFunc(boxes, func(b string) bool { _, ok := parent[b]; return !ok })
	}
	// What does not depend on orders: neutrals and needs, by client.
	var fixed []wire
	var all [][][2][]wire
	for c, g := range o.in.Controls {
		for _, name := range g.Lights {
			for _, l := range o.in.Lights {
				if l.Name == name {
					fixed = append(fixed, wire{'n', c, []string{feed, l.Box}})
				}
			}
		}
		for _, p := range g.Places {
			if !reached(p) {
				return 0, false
			}
			if o.keep(p) {
				fixed = append(fixed, wire{'n', c, []string{feed, p}})
			}
		}
		all = append(all, o.wirings(c, g))
	}
	for i, n := range o.in.Needs {
		c := len(o.in.Controls) + i
		switch n.Kind {
		case intent.UnswitchedPower:
			fixed = append(fixed, wire{'n', c, []string{feed, n.Box}}, wire{'h', c, []string{feed, n.Box}})
		case intent.NeutralOnly:
			fixed = append(fixed, wire{'n', c, []string{feed, n.Box}})
		default:
			fixed = append(fixed, wire{'s', c, []string{feed, n.Box}})
		}
	}
	for _, w := range fixed {
		if !reached(w.joins...) {
			return 0, false
		}
	}
	var best rules.Amount
	found := false
	seen := map[string]bool{}
	chosen := slices.Clone(fixed)
	var choose func(k int)
	choose = func(k int) {
		if k < len(all) {
			for _, w := range all[k] {
				n := len(chosen)
				chosen = append(chosen, w[0]...)
				for _, h := range w[1] {
					for _, b := range h.joins {
						chosen = append(chosen, wire{'h', k, []string{feed, b}})
					}
				}
				choose(k + 1)
				chosen = chosen[:n]
			}
			return
		}
		// What each run carries, by client: hot, neutral, and kinds of its own.
		type carried struct {
			hot, neutral bool
			own          string
		}
		runs := make([]map[int]*carried, len(o.in.Runs))
		for _, w := range chosen {
			for i := range o.crossed(parent, w.joins) {
				if runs[i] == nil {
					runs[i] = map[int]*carried{}
				}
				c := runs[i][w.client]
				if c == nil {
					c = &carried{}
					runs[i][w.client] = c
				}
				switch w.kind {
				case 'h':
					c.hot = true
				case 'n':
					c.neutral = true
				default:
					c.own += string(w.kind)
				}
			}
		}
		key := ""
		for i := range runs {
			for c := range len(o.in.Controls) + len(o.in.Needs) {
				if w := runs[i][c]; w != nil {
					key += string(rune('a'+i)) + string(rune('0'+c)) + w.own
					if w.hot {
						key += "h"
					}
					if w.neutral {
						key += "n"
					}
				}
			}
		}
		if seen[key] {
			return
		}
		seen[key] = true
		// Every way to share out, run by run from the feed.
		var order []int
		for i := range runs {
			if runs[i] != nil {
				order = append(order, i)
			}
		}
		depth := func(i int) int {
			return min(len(o.up(parent, o.in.Runs[i].From)), len(o.up(parent, o.in.Runs[i].To)))
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(depth(a), depth(b)) })
		class := make([]map[int]string, len(o.in.Runs)) // how the clients were parted so far
		var share func(k int, sum rules.Amount)
		share = func(k int, sum rules.Amount) {
			if k == len(order) {
				if !found || sum < best {
					best, found = sum, true
				}
				return
			}
			i := order[k]
			r := &o.in.Runs[i]
			var clients []int
			for c := range runs[i] {
				clients = append(clients, c)
			}
			slices.Sort(clients)
			var before map[int]string
			near := r.From
			if len(o.up(parent, r.To)) < len(o.up(parent, r.From)) {
				near = r.To
			}
			if parent[near] >= 0 {
				before = class[parent[near]]
			}
			for _, p := range labels(len(clients)) {
				if whole(r) && slices.Max(p) > 0 {
					continue
				}
				kinds := map[int][]byte{}
				hot, neutral := map[string]bool{}, map[string]bool{}
				class[i] = map[int]string{}
				for j, c := range clients {
					w := runs[i][c]
					id := before[c] + "/" + string(rune('0'+p[j]))
					class[i][c] = id
					kinds[p[j]] = append(kinds[p[j]], w.own...)
					if w.hot && !hot[id] {
						hot[id] = true
						kinds[p[j]] = append(kinds[p[j]], 'h')
					}
					if w.neutral && !neutral[id] {
						neutral[id] = true
						kinds[p[j]] = append(kinds[p[j]], 'n')
					}
				}
				total, ok := sum, true
				for _, ks := range kinds {
					c, can := o.cost(r, ks)
					total, ok = total+c, ok && can
				}
				if ok && (!found || total < best) {
					share(k+1, total)
				}
			}
		}
		share(0, 0)
	}
	choose(0)
	return best, found
}
