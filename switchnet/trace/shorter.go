package trace

import "context"

// shorter looks through all walks of at most some flips for one that exposes everything,
// depth first, without those that cannot end in time because something left needs more
// flips than there are. It returns the first in the order of the switches, nil if there
// is none, and reports whether it looked through all of them with so many steps (Korf,
// Depth-first iterative-deepening, 1985).
func (h *hunt) shorter(ctx context.Context, most, steps int) (flips []int, done bool) {
	need := h.needs()
	switches := len(h.c.f.sp.switches)
	buffers := make([][]int32, most+1)
	buffers[0] = h.start
	// One round for every place in the walk: a pair is in a set if its mark is the round.
	marks := make([]int, len(h.next))
	round := 0
	var flip func(depth int) bool
	flip = func(depth int) bool {
		left := buffers[depth]
		if len(left) == 0 {
			return true
		}
		for _, n := range left {
			if depth+int(need[n]) > most {
				return false
			}
		}
		for i := range switches {
			if steps--; steps < 0 || steps%1024 == 0 && ctx.Err() != nil {
				steps = min(steps, -1)
				return false
			}
			round++
			next := buffers[depth+1][:0]
			for _, n := range left {
				if m := h.next[n][i]; m >= 0 && marks[m] != round {
					marks[m] = round
					next = append(next, m)
				}
			}
			buffers[depth+1] = next
			flips = append(flips, i)
			if flip(depth + 1) {
				return true
			}
			flips = flips[:len(flips)-1]
		}
		return false
	}
	if flip(0) {
		return flips, true
	}
	return nil, steps >= 0
}

// never is more flips than any walk has.
const never = 1 << 20

// needs returns for each pair how many flips it takes at least until it looks different.
func (h *hunt) needs() []int32 {
	need := make([]int32, len(h.next))
	for n := range need {
		need[n] = never
	}
	for changed := true; changed; {
		changed = false
		for n, to := range h.next {
			least := int32(never)
			for _, m := range to {
				if m < 0 {
					least = 0
				} else {
					least = min(least, need[m])
				}
			}
			if least+1 < need[n] {
				need[n], changed = least+1, true
			}
		}
	}
	return need
}
