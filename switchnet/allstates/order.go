package allstates

import (
	"math"
	"slices"
)

// arrange returns the devices of a region in an order that keeps few nets open at
// a time. A net is open from the first of its devices to the last.
//
// Breadth-first order is right for a chain and taken at once if it never has more
// than five nets open, those that the device in hand closes counted in. Otherwise several orders are tried and scored exactly, and
// the best is kept, the first of equals: breadth first from either end, greedy
// smallest new frontier from either end, and depth first with the branch that
// needs most taken first (Sethi and Ullman, 1970).
func (r *region) arrange() []int32 {
	n := len(r.devices)
	best := identity(n)
	score, widest := r.score(best)
	if widest <= 5 || n < 3 {
		return best
	}
	try := func(order []int32) {
		if len(order) != n {
			return
		}
		if s, _ := r.score(order); s < score {
			best, score = order, s
		}
	}
	r.invert()
	last := int32(n - 1)
	try(r.breadth(last))
	first, _ := r.ends()
	try(r.breadth(first))
	for _, start := range []int32{0, first, last} {
		o := r.greedy(start)
		try(o)
		try(reversed(o))
	}
	for _, root := range []int32{0, int32(len(r.nets) - 1)} {
		try(r.heaviest(root))
	}
	if b := slices.Clone(best); len(b) <= 2000 {
		best = r.polish(b, score)
	}
	return best
}

func reversed(a []int32) []int32 {
	a = slices.Clone(a)
	slices.Reverse(a)
	return a
}

// score returns the sum over the layers of a growth estimate for the open nets,
// and the greatest number of them.
func (r *region) score(order []int32) (float64, int) {
	left := make([]int32, len(r.nets))
	open, widest := 0, 0
	var sum float64
	for _, d := range order {
		for _, x := range r.termsOf(d) {
			if x < 0 {
				continue
			}
			if left[x] == 0 {
				left[x] = r.degree[x]
				open++
			}
		}
		// While the device is being added its nets are open too.
		widest = max(widest, open)
		sum += growth(open)
		for _, x := range r.termsOf(d) {
			if x < 0 {
				continue
			}
			if left[x]--; left[x] == 0 {
				left[x] = -1
				open--
			}
		}
	}
	return sum, widest
}

// growth estimates the configurations of k open nets: non-crossing partitions
// (Catalan numbers) grow by a factor that tends to 4.
func growth(k int) float64 {
	if k > 200 {
		k = 200
	}
	return math.Ldexp(1, 2*k) / (1 + float64(k*k))
}

// breadth returns the devices breadth first from one of them.
func (r *region) breadth(start int32) []int32 {
	n := len(r.devices)
	out := make([]int32, 0, n)
	seen := make([]bool, n)
	netSeen := make([]bool, len(r.nets))
	for s := -1; s < n; s++ {
		d := start
		if s >= 0 {
			d = int32(s)
		}
		if seen[d] {
			continue
		}
		seen[d] = true
		out = append(out, d)
		for next := len(out) - 1; next < len(out); next++ {
			for _, x := range r.termsOf(out[next]) {
				if x < 0 {
					continue
				}
				if netSeen[x] {
					continue
				}
				netSeen[x] = true
				for _, e := range r.devicesOn(x) {
					if !seen[e] {
						seen[e] = true
						out = append(out, e)
					}
				}
			}
		}
	}
	return out
}

// ends returns two devices that are far apart: the last that a breadth-first walk
// meets, and the last that a walk from there meets.
func (r *region) ends() (int32, int32) {
	a := r.breadth(0)
	first := a[len(a)-1]
	b := r.breadth(first)
	return first, b[len(b)-1]
}

// greedy returns the devices in the order of a walk that always takes the device
// that opens fewest nets beyond those it closes; among equals the one that was
// reached last. Time is linear in the region: devices wait in buckets by cost.
func (r *region) greedy(start int32) []int32 {
	n := len(r.devices)
	out := make([]int32, 0, n)
	done := make([]bool, n)
	opened := make([]bool, len(r.nets))
	left := make([]int32, len(r.nets))
	rest := make([]int32, len(r.nets)) // exclusive or of the devices left on a net
	cost := make([]int32, n)
	widest := int32(1)
	for d := range r.devices {
		for _, x := range r.termsOf(int32(d)) {
			if x < 0 {
				continue
			}
			cost[d]++
			left[x]++
			rest[x] ^= int32(d)
		}
		widest = max(widest, cost[d])
	}
	for x, l := range left {
		if l == 1 { // opened and closed by the same device
			cost[rest[x]]--
		}
	}
	buckets := make([][]int32, 2*widest+1)
	low := len(buckets)
	push := func(d int32) {
		b := int(cost[d] + widest)
		buckets[b] = append(buckets[b], d)
		low = min(low, b)
	}
	next := 0
	pick := func() int32 {
		for low < len(buckets) {
			b := buckets[low]
			if len(b) == 0 {
				low++
				continue
			}
			d := b[len(b)-1]
			buckets[low] = b[:len(b)-1]
			if !done[d] && int(cost[d]+widest) == low {
				return d
			}
		}
		for next < n && done[next] {
			next++
		}
		if next < n {
			return int32(next)
		}
		return -1
	}
	for d := start; d >= 0; d = pick() {
		done[d] = true
		out = append(out, d)
		for _, x := range r.termsOf(d) {
			if x < 0 {
				continue
			}
			left[x]--
			rest[x] ^= d
			if !opened[x] {
				opened[x] = true
				for _, e := range r.devicesOn(x) {
					if !done[e] {
						cost[e]--
						push(e)
					}
				}
			}
			if left[x] == 1 {
				e := rest[x]
				cost[e]--
				push(e)
			}
		}
	}
	return out
}

// heaviest returns the devices in post-order of a breadth-first tree of the nets,
// below each net the branch that needs most nets open first.
func (r *region) heaviest(root int32) []int32 {
	if len(r.nets) == 0 {
		return nil
	}
	n, m := len(r.devices), len(r.nets)
	up := make([]int32, m) // device that leads to a net, -1 for roots
	parent := make([]int32, n)
	seenNet, seen := make([]bool, m), make([]bool, n)
	order := make([]int32, 0, m)
	var roots []int32
	for s := -1; s < m; s++ {
		x := root
		if s >= 0 {
			x = int32(s)
		}
		if seenNet[x] {
			continue
		}
		seenNet[x], up[x] = true, -1
		roots = append(roots, x)
		order = append(order, x)
		for next := len(order) - 1; next < len(order); next++ {
			for _, d := range r.devicesOn(order[next]) {
				if seen[d] {
					continue
				}
				seen[d], parent[d] = true, order[next]
				for _, y := range r.termsOf(d) {
					if y < 0 {
						continue
					}
					if !seenNet[y] {
						seenNet[y], up[y] = true, d
						order = append(order, y)
					}
				}
			}
		}
	}
	need, netNeed := make([]int32, n), make([]int32, m)
	children := make([][]int32, m)
	for _, x := range slices.Backward(order) {
		for _, d := range r.devicesOn(x) {
			if parent[d] != x {
				continue
			}
			var sum, most int32
			for _, y := range r.termsOf(d) {
				if y < 0 {
					continue
				}
				if up[y] == d {
					most = max(most, netNeed[y])
					sum++
				}
			}
			need[d] = max(most+sum-1, sum) + 1
			children[x] = append(children[x], d)
		}
		slices.SortStableFunc(children[x], func(a, b int32) int { return int(need[b] - need[a]) })
		for i, d := range children[x] {
			netNeed[x] = max(netNeed[x], need[d]+int32(min(i, 1)))
		}
	}
	out := make([]int32, 0, n)
	type step struct {
		device int32
		ready  bool
	}
	var stack []step
	for _, x := range slices.Backward(roots) {
		for _, d := range slices.Backward(children[x]) {
			stack = append(stack, step{device: d})
		}
	}
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if top.ready {
			out = append(out, top.device)
			continue
		}
		stack = append(stack, step{top.device, true})
		for _, y := range r.termsOf(top.device) {
			if y < 0 {
				continue
			}
			if up[y] == top.device {
				for _, d := range slices.Backward(children[y]) {
					stack = append(stack, step{device: d})
				}
			}
		}
	}
	for d := range r.devices {
		if !seen[d] {
			out = append(out, int32(d)) // touches no net of the region
		}
	}
	return out
}

// polish swaps neighbours in the order while that lowers the score.
func (r *region) polish(order []int32, score float64) []int32 {
	if len(order) > 200 {
		return order
	}
	for range 2 {
		better := false
		for i := 1; i < len(order); i++ {
			order[i-1], order[i] = order[i], order[i-1]
			if s, _ := r.score(order); s < score {
				score, better = s, true
			} else {
				order[i-1], order[i] = order[i], order[i-1]
			}
		}
		if !better {
			break
		}
	}
	return order
}
