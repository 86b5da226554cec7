package switchnet

import "example.com/switchleg/internal/dense"

// seriesScratch is the memory of View.series, made at first need.
type seriesScratch struct {
	start []int32 // CSR of loads by vertex
	adj   []int32
	ends  [][2]int32 // vertices of each load, -1 for a load that cannot be in series
	disc  []int32
	low   []int32
	next  []int32 // next edge to look at
	via   []int32 // the edge by which a vertex was entered
	path  []int32 // vertices of the depth-first walk
	stack []int32 // edges not yet given to a component
}

// potentials are the ends a path in series may have: each line, and earth.
var potentials = [...]dense.Rails{dense.LineA, dense.LineB, dense.LineC, dense.Neutral}

// series marks as Dim every load without rails at both ends that lies on a simple
// path between two rails of different potential, a path that runs through loads
// and through blocks that hold no rail.
//
// Such a load shares a biconnected component with an edge laid between the two
// rails (Hopcroft and Tarjan, Algorithm 447, 1973), which one depth-first walk
// from that edge finds; the walk is iterative. There are at most six pairs of
// rails, so the whole is linear in the net.
func (v *View) series() {
	g, s := v.net.graph, &v.ser
	nets := g.Nets()
	n := nets + len(potentials)
	if s.start == nil {
		s.start = make([]int32, n+1)
		s.adj = make([]int32, 2*len(g.LoadNets))
		s.ends = make([][2]int32, len(g.LoadNets))
		s.disc = make([]int32, n)
		s.low = make([]int32, n)
		s.next = make([]int32, n)
		s.via = make([]int32, n)
	}
	clear(s.start)
	for i, nets2 := range g.LoadNets {
		var e [2]int32
		held := 0
		for k, net := range nets2 {
			b := v.find(net)
			switch l := v.label[b]; {
			case l == 0:
				e[k] = b
			case l.Conflict():
				e[k] = -1
			default:
				held++
				for p, rail := range potentials {
					if l.Potentials() == rail {
						e[k] = int32(nets + p)
					}
				}
			}
		}
		if e[0] < 0 || e[1] < 0 || e[0] == e[1] || held == 2 {
			e = [2]int32{-1, -1}
		} else {
			s.start[e[0]+1]++
			s.start[e[1]+1]++
		}
		s.ends[i] = e
	}
	for i := range n {
		s.start[i+1] += s.start[i]
	}
	copy(s.next, s.start[:n])
	for i, e := range s.ends {
		if e[0] >= 0 {
			for _, x := range e {
				s.adj[s.next[x]] = int32(i)
				s.next[x]++
			}
		}
	}
	for p := range potentials {
		for q := p + 1; q < len(potentials); q++ {
			from, to := int32(nets+p), int32(nets+q)
			if s.start[from] == s.start[from+1] || s.start[to] == s.start[to+1] {
				continue
			}
			for _, load := range s.between(from, to, int32(nets)) {
				v.supply[load].status = Dim
			}
		}
	}
}

// between returns the loads on simple paths between vertices from and to that
// pass no other vertex numbered rails or above.
func (s *seriesScratch) between(from, to, rails int32) []int32 {
	clear(s.disc)
	copy(s.next, s.start[:len(s.next)])
	s.stack, s.path = s.stack[:0], s.path[:0]
	s.disc[from], s.low[from] = 1, 1
	s.disc[to], s.low[to] = 2, 1
	s.via[to] = -1
	clock := int32(2)
	s.path = append(s.path, to)
	for len(s.path) > 0 {
		x := s.path[len(s.path)-1]
		if s.next[x] < s.start[x+1] {
			e := s.adj[s.next[x]]
			s.next[x]++
			y := s.ends[e][0]
			if y == x {
				y = s.ends[e][1]
			}
			switch {
			case e == s.via[x] || y >= rails && y != from && y != to:
			case s.disc[y] == 0:
				clock++
				s.disc[y], s.low[y], s.via[y] = clock, clock, e
				s.stack = append(s.stack, e)
				s.path = append(s.path, y)
			case s.disc[y] < s.disc[x]:
				s.stack = append(s.stack, e)
				s.low[x] = min(s.low[x], s.disc[y])
			}
			continue
		}
		s.path = s.path[:len(s.path)-1]
		if len(s.path) == 0 {
			break
		}
		up := s.path[len(s.path)-1]
		s.low[up] = min(s.low[up], s.low[x])
		if s.low[x] >= s.disc[up] {
			// What hangs below x comes back no higher than up: a
			// component of its own, without the edge between the rails.
			for e := s.via[x]; ; {
				top := s.stack[len(s.stack)-1]
				s.stack = s.stack[:len(s.stack)-1]
				if top == e {
					break
				}
			}
		}
	}
	return s.stack
}
