package plan

// collect gathers the runs of all that is brought by a hang's run in a state, the run
// included.
func (x *subsets) collect(i int32, set, flags, p int, used map[int32]bool) {
	h := &x.hangs[i]
	used[h.run] = true
	want := x.brought[i][x.state(set, flags, p)]
	for _, way := range x.price(set, flags)[p] {
		if b := x.hanging[i][x.state(set, flags, way.beyond)]; b.lack < never.lack && b.add(way.costs[h.run]) == want {
			x.collectHang(i, set, flags, way.beyond, used)
			return
		}
	}
}

// collectHang gathers the runs of all that hangs on a box in a state: what comes by
// one run alone, nearer to where it begins, or parts of it, each smaller.
func (x *subsets) collectHang(i int32, set, flags, p int, used map[int32]bool) {
	h, at, parts := &x.hangs[i], x.state(set, flags, p), int32(len(x.parts))
	if n := x.from[i][at] - 1; n >= 0 {
		used[x.hangs[n/parts].run] = true
		x.collectHang(n/parts, set, flags, int(n%parts), used)
		return
	}
	if x.goal[h.box] != 0 {
		x.collectBy(i, len(h.others), set, flags, p, used)
		return
	}
	for k := range h.others {
		if part, f := x.split(h, k, set, flags, p, x.hanging[i][at], false); part > 0 {
			x.collect(h.others[k], part, f, p, used)
			x.collectBy(i, k, set^part, flags^f, p, used)
			return
		}
	}
}

// collectBy gathers the runs of what comes by the first of a hang's other runs.
func (x *subsets) collectBy(i int32, runs int, set, flags, p int, used map[int32]bool) {
	h := &x.hangs[i]
	for k := runs - 1; k >= 0; k-- {
		at := x.state(set, flags, p)
		want := h.merged[k+1][at]
		if h.merged[k][at] == want {
			continue // nothing comes by it
		}
		part, f := x.split(h, k, set, flags, p, want, true)
		x.collect(h.others[k], part, f, p, used)
		set, flags = set^part, flags^f
	}
}

// split finds again how a cost came about: what of the set comes by one of the other
// runs, all of it only if that may be. Nothing is 0.
func (x *subsets) split(h *hang, k, set, flags, p int, want score, whole bool) (part, f int) {
	less, brought := h.merged[k], x.brought[h.others[k]]
	for part = set; part > 0; part = (part - 1) & set {
		for _, f = range x.lawful[part] {
			if f&^flags != 0 || part == set && (!whole || f != flags) {
				continue
			}
			b, l := brought[x.state(part, f, p)], less[x.state(set^part, flags^f, p)]
			if b.lack < never.lack && l.lack < never.lack && l.add(b) == want {
				return part, f
			}
		}
	}
	return 0, 0
}
