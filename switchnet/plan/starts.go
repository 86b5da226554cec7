package plan

import (
	"cmp"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/unionfind"
)

// Trees to begin with, where no search of all is possible. Where a tree forks, the
// travelers of a control with places on every branch go there and back, four conductors
// and a neutral on one run, for which there may be no cable; along one line of places
// every run has two. So lines are among the starts, and not only short trees.

// starts returns the runs of trees to begin with, each once: the short tree, the shortest
// ways from the feed, the shortest tree of all boxes, and lines through the wanted boxes
// and through the places alone, each from the feed and from its other end.
func (r *router) starts() []map[int32]bool {
	places := map[int32]bool{}
	for i := range r.c.groups {
		for _, b := range r.c.groups[i].places {
			places[b] = true
		}
	}
	all := []map[int32]bool{r.near(), r.shortest(), r.spanning(), r.line(r.wanted, false), r.line(places, false), r.line(r.wanted, true), r.line(places, true)}
	var out []map[int32]bool
	for _, a := range all {
		if !slices.ContainsFunc(out, func(b map[int32]bool) bool { return equalRuns(a, b) }) {
			out = append(out, a)
		}
	}
	return out
}

func equalRuns(a, b map[int32]bool) bool {
	if len(a) != len(b) {
		return false
	}
	for k := range a {
		if !b[k] {
			return false
		}
	}
	return true
}

// cheapest returns, from some boxes that count as reached, the boxes in the order in which
// the cheapest ways reach them, of equals the first, and by box the way back. Boxes that are
// closed are not entered.
func (r *router) cheapest(from, closed map[int32]bool) (order []int32, back []step) {
	const far = rules.Amount(1) << 62
	n := len(r.ways)
	dist, done := make([]rules.Amount, n), make([]bool, n)
	back = make([]step, n)
	for b := range n {
		dist[b] = far
	}
	for b := range closed {
		done[b] = true
	}
	for b := range from {
		dist[b], done[b] = 0, false
	}
	for {
		v := int32(-1)
		for _, b := range r.boxes {
			if !done[b] && dist[b] < far && (v < 0 || dist[b] < dist[v]) {
				v = b
			}
		}
		if v < 0 {
			return order, back
		}
		done[v] = true
		order = append(order, v)
		for _, s := range r.ways[v] {
			if d := dist[v] + r.weight(s.run); !done[s.to] && d < dist[s.to] {
				dist[s.to], back[s.to] = d, step{s.run, v}
			}
		}
	}
}

// shortest returns the runs of the cheapest ways from the feed to all boxes.
func (r *router) shortest() map[int32]bool {
	order, back := r.cheapest(map[int32]bool{r.c.root: true}, nil)
	used := map[int32]bool{}
	for _, b := range order[1:] {
		used[back[b].run] = true
	}
	return used
}

// spanning returns the runs of the cheapest tree of all boxes.
func (r *router) spanning() map[int32]bool {
	runs := slices.Clone(r.runs)
	slices.SortStableFunc(runs, func(a, b int32) int { return cmp.Compare(r.weight(a), r.weight(b)) })
	sets := unionfind.New(len(r.m.in.Boxes))
	used := map[int32]bool{}
	for _, run := range runs {
		if sets.Union(r.ends(run)) {
			used[run] = true
		}
	}
	return used
}

// line returns the runs of a line that goes from box to box of those given, the nearest
// that is not on it yet each time, over boxes that are not on it; what it cannot reach, and
// the other wanted boxes, hang on it by the cheapest ways. Turned, it begins at the box
// that is farthest from the feed and ends there.
func (r *router) line(through map[int32]bool, turned bool) map[int32]bool {
	at := r.c.root
	if turned {
		order, _ := r.cheapest(map[int32]bool{at: true}, nil)
		for _, b := range order {
			if through[b] {
				at = b
			}
		}
	}
	used, on := map[int32]bool{}, map[int32]bool{at: true}
	for {
		order, back := r.cheapest(map[int32]bool{at: true}, on)
		next := int32(-1)
		for _, b := range order {
			if b != at && through[b] && !on[b] {
				next = b
				break
			}
		}
		if next < 0 {
			break
		}
		for b := next; b != at; b = back[b].to {
			on[b] = true
			used[back[b].run] = true
		}
		at = next
	}
	r.grow(used, on)
	return used
}

// near returns the runs of a tree to the wanted boxes, each joined by the cheapest
// way from what is joined already, the nearest first.
func (r *router) near() map[int32]bool {
	used := map[int32]bool{}
	r.grow(used, map[int32]bool{r.c.root: true})
	return used
}

// grow adds to the runs used, which join the boxes in, the cheapest ways to the wanted
// boxes that are not among them, the nearest first.
func (r *router) grow(used, in map[int32]bool) {
	for {
		order, back := r.cheapest(in, nil)
		k := slices.IndexFunc(order, func(b int32) bool { return r.wanted[b] && !in[b] })
		if k < 0 {
			return
		}
		for b := order[k]; !in[b]; b = back[b].to {
			in[b] = true
			used[back[b].run] = true
		}
	}
}

// weight is the least that anything costs on a run.
func (r *router) weight(run int32) rules.Amount {
	if r.weights == nil {
		r.weights = make([]rules.Amount, len(r.m.in.Runs))
		for _, k := range r.runs {
			r.weights[k] = r.store.price(r.m.in.Runs, k, load{lines: 1}).score.cost
		}
	}
	return r.weights[run]
}

// ends returns the boxes at the ends of a run.
func (r *router) ends(run int32) (a, b int32) {
	return r.m.boxes[r.m.in.Runs[run].From], r.m.boxes[r.m.in.Runs[run].To]
}
