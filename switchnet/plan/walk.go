package plan

import (
	"container/heap"

	"example.com/switchleg/conductor/rules"
)

// walk returns a bound below what a walk costs that visits all of some boxes, from whichever
// of them to whichever: the travelers of a chain go from place to place in some order, each
// section by the only way there is in the tree, which is no cheaper than the cheapest way in
// the graph. It is bounded by spanning trees (Held and Karp 1970): each inner place is on
// two sections and each end on one, so a toll on a place that is taken off the sum again
// for two sections costs a walk nothing, but a tree that favours the place does pay; the
// tolls are moved toward what makes the tree a walk, a fixed number of times.
func (g *lines) walk(places []int32) rules.Amount {
	n := len(places)
	if n < 2 {
		return 0
	}
	dist := make([][]rules.Amount, n)
	for i, b := range places {
		far := g.cheapest(b)
		dist[i] = make([]rules.Amount, n)
		for k, c := range places {
			dist[i][k] = far[c]
		}
	}
	// A place that is nowhere, at no cost from all, makes the walk a round.
	toll := make([]rules.Amount, n)
	degree := make([]int, n)
	least, in, from := make([]rules.Amount, n), make([]bool, n), make([]int, n)
	var best rules.Amount
	step := rules.Amount(-1)
	for round := range walkRounds {
		clear(degree)
		clear(in)
		var sum, tolls rules.Amount
		for i := range n {
			least[i], from[i] = dist[0][i]+toll[0]+toll[i], 0
			tolls += toll[i]
		}
		in[0] = true
		for range n - 1 {
			k := -1
			for i := range n {
				if !in[i] && (k < 0 || least[i] < least[k]) {
					k = i
				}
			}
			in[k] = true
			sum += least[k]
			degree[k]++
			degree[from[k]]++
			for i := range n {
				if d := dist[k][i] + toll[k] + toll[i]; !in[i] && d < least[i] {
					least[i], from[i] = d, k
				}
			}
		}
		// The place that is nowhere goes by the two cheapest ways.
		a, b := 0, 1
		if toll[b] < toll[a] {
			a, b = b, a
		}
		for i := 2; i < n; i++ {
			switch {
			case toll[i] < toll[a]:
				a, b = i, a
			case toll[i] < toll[b]:
				b = i
			}
		}
		degree[a]++
		degree[b]++
		sum += toll[a] + toll[b] - 2*tolls
		best = max(best, sum)
		if step < 0 {
			step = sum / rules.Amount(2*n)
		}
		whole := true
		for i := range n {
			toll[i] += step * rules.Amount(degree[i]-2)
			whole = whole && degree[i] == 2
		}
		if whole {
			break
		}
		if round%4 == 3 {
			step = step * 4 / 5
		}
	}
	return best
}

// walkRounds is how often the tolls are moved.
const walkRounds = 100

// cheapest returns, by box, what the cheapest way from a box costs; a box that is not
// reached costs nothing.
func (g *lines) cheapest(from int32) []rules.Amount {
	far := make([]rules.Amount, g.boxes)
	done := make([]bool, g.boxes)
	q := &frontiers{{box: from}}
	for q.Len() > 0 {
		v := heap.Pop(q).(frontier)
		if done[v.box] {
			continue
		}
		done[v.box], far[v.box] = true, v.cost
		for _, s := range g.ways[v.box] {
			if !done[s.to] {
				heap.Push(q, frontier{s.to, v.cost + g.per[s.run]})
			}
		}
	}
	return far
}

// frontier is a box that was come upon, at a cost or a length.
type frontier struct {
	box  int32
	cost rules.Amount
}

// frontiers is a heap of boxes, the cheapest first.
type frontiers []frontier

func (q frontiers) Len() int           { return len(q) }
func (q frontiers) Less(i, k int) bool { return q[i].cost < q[k].cost }
func (q frontiers) Swap(i, k int)      { q[i], q[k] = q[k], q[i] }
func (q *frontiers) Push(x any)        { *q = append(*q, x.(frontier)) }
func (q *frontiers) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
