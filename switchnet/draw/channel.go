package draw

import (
	"cmp"
	"slices"
)

// A hop is a wire that crosses a channel from a pin on its left side to one on its
// right: level to its track, up or down the track, level again. All pins of a side
// are at different heights, and no pin of one side is as high as one of the other
// unless they are of one hop.
// A hop that comes to more heights than two says in lo and hi how far it reaches.
type hop struct{ left, right, lo, hi int }

func (h hop) top() int {
	if h.lo < h.hi {
		return min(h.left, h.right, h.lo)
	}
	return min(h.left, h.right)
}

func (h hop) bottom() int {
	if h.lo < h.hi {
		return max(h.left, h.right, h.hi)
	}
	return max(h.left, h.right)
}

// apart is the least distance of two wires side by side.
const apart = 8

// hopTracks gives each hop a track, numbered from 0 at the left, and says how many
// there are. Two hops on one track do not meet. Hops that need not cross do not:
// among those that go down, the lower turns first; among those that go up, the
// higher. A hop that goes straight has no use for its track. Time is quadratic in the
// number of hops.
func hopTracks(hops []hop) (track []int, n int) {
	track = make([]int, len(hops))
	var down, up []int
	for i, h := range hops {
		switch {
		case h.right > h.left || h.lo < h.hi && h.right == h.left:
			down = append(down, i)
		case h.right < h.left:
			up = append(up, i)
		}
	}
	slices.SortFunc(down, func(a, b int) int { return cmp.Compare(hops[b].left, hops[a].left) })
	slices.SortFunc(up, func(a, b int) int { return cmp.Compare(hops[a].left, hops[b].left) })
	meet := func(a, b int) bool {
		return hops[a].top() < hops[b].bottom()+apart && hops[b].top() < hops[a].bottom()+apart
	}
	var taken [][]int // hops on each track
	for _, list := range [][]int{down, up} {
		for k, i := range list {
			t := 0
			for _, j := range list[:k] {
				if meet(i, j) {
					t = max(t, track[j]+1)
				}
			}
			for t < len(taken) && slices.ContainsFunc(taken[t], func(j int) bool { return meet(i, j) }) {
				t++
			}
			for len(taken) <= t {
				taken = append(taken, nil)
			}
			track[i] = t
			taken[t] = append(taken[t], i)
		}
	}
	return track, len(taken)
}

// loopTracks gives tracks to wires that leave one side of a channel and come back to
// it, each from one height to another, all heights different. Of two that are one
// within the other the inner turns first, so that they do not cross.
func loopTracks(loops []hop) (track []int, n int) {
	track = make([]int, len(loops))
	order := make([]int, len(loops))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(loops[a].bottom()-loops[a].top(), loops[b].bottom()-loops[b].top()), cmp.Compare(loops[a].top(), loops[b].top()))
	})
	for k, i := range order {
		for _, j := range order[:k] {
			if loops[i].top() < loops[j].bottom()+apart && loops[j].top() < loops[i].bottom()+apart {
				track[i] = max(track[i], track[j]+1)
			}
		}
		n = max(n, track[i]+1)
	}
	return track, n
}
