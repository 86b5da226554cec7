package allstates_test

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math/bits"
	"os"
	"testing"
	"time"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// The same work in four ways: count the states in which the lamp of a chain is
// lit, and prove that every switch toggles it from every state. The peers list the
// states, keep one bit for each, and compare the bits of neighbours.

// toggledEverywhere reports whether exchanging any digit of a state exchanges its
// bit.
func toggledEverywhere(lit []uint64, n int) bool {
	masks := [6]uint64{0x5555555555555555, 0x3333333333333333, 0x0f0f0f0f0f0f0f0f, 0x00ff00ff00ff00ff, 0x0000ffff0000ffff, 0x00000000ffffffff}
	use := ^uint64(0)
	if n < 6 {
		use = 1<<(1<<n) - 1
	}
	for i, w := range lit {
		for d := range n {
			if d < 6 {
				if (w^w>>(1<<d))&masks[d]&use != masks[d]&use {
					return false
				}
			} else if j := i ^ 1<<(d-6); w^lit[j] != ^uint64(0) {
				return false
			}
		}
	}
	return true
}

func bitsFor(n int) []uint64 { return make([]uint64, (1<<n+63)/64) }

// unionFindCount solves each state with a union-find of its own.
func unionFindCount(net *switchnet.Net, n int) (int, bool) {
	g := net.Dense()
	lit := bitsFor(n)
	count := 0
	parent := make([]int32, g.Nets())
	label := make([]dense.Rails, g.Nets())
	find := func(x int32) int32 {
		for parent[x] != x {
			parent[x] = parent[parent[x]]
			x = parent[x]
		}
		return x
	}
	for state := range uint64(1) << n {
		for i := range parent {
			parent[i] = int32(i)
		}
		copy(label, g.NetRails)
		digit := 0
		for d := range g.DeviceKind {
			k := g.Kind(d)
			p := 0
			if !k.Breaker {
				p = int(state >> digit & 1)
				digit++
			}
			terms := g.Terminals(d)
			for _, j := range k.Joins[p] {
				x, y := terms[j[0]], terms[j[1]]
				switch {
				case g.NetRails[x] != 0:
					label[find(y)] |= g.NetRails[x]
				case g.NetRails[y] != 0:
					label[find(x)] |= g.NetRails[y]
				default:
					if x, y = find(x), find(y); x != y {
						parent[y] = x
						label[x] |= label[y]
					}
				}
			}
		}
		a, b := label[find(g.LoadNets[0][0])], label[find(g.LoadNets[0][1])]
		if a != 0 && b != 0 && !a.Conflict() && !b.Conflict() && a.Potentials() != b.Potentials() {
			lit[state>>6] |= 1 << (state & 63)
			count++
		}
	}
	return count, toggledEverywhere(lit, n)
}

// wordsCount solves 64 states at a time.
func wordsCount(net *switchnet.Net, n int) (int, bool) {
	var vary []switchnet.Ref
	for d := range net.Devices() {
		if !d.Kind.Breaker {
			vary = append(vary, d.Ref)
		}
	}
	lit := bitsFor(n)
	count, _, _ := newWords(net, vary).count(0, func(block, l uint64) { lit[block] = l })
	return count, toggledEverywhere(lit, n)
}

// gonumCount solves each state with the connected components of a graph of nets.
func gonumCount(net *switchnet.Net, n int) (int, bool) {
	g := net.Dense()
	lit := bitsFor(n)
	count := 0
	for state := range uint64(1) << n {
		u := simple.NewUndirectedGraph()
		for x := range g.Nets() {
			u.AddNode(simple.Node(x))
		}
		digit := 0
		for d := range g.DeviceKind {
			k := g.Kind(d)
			p := 0
			if !k.Breaker {
				p = int(state >> digit & 1)
				digit++
			}
			terms := g.Terminals(d)
			for _, j := range k.Joins[p] {
				u.SetEdge(u.NewEdge(simple.Node(terms[j[0]]), simple.Node(terms[j[1]])))
			}
		}
		var a, b dense.Rails
		for _, c := range topo.ConnectedComponents(u) {
			var rails dense.Rails
			hasA, hasB := false, false
			for _, x := range c {
				rails |= g.NetRails[x.ID()]
				hasA = hasA || x.ID() == int64(g.LoadNets[0][0])
				hasB = hasB || x.ID() == int64(g.LoadNets[0][1])
			}
			if hasA {
				a = rails
			}
			if hasB {
				b = rails
			}
		}
		if a != 0 && b != 0 && a.Potentials() != b.Potentials() {
			lit[state>>6] |= 1 << (state & 63)
			count++
		}
	}
	return count, toggledEverywhere(lit, n)
}

// engineCount asks this package.
func engineCount(net *switchnet.Net, n int) (int, bool) {
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		panic(err)
	}
	l, err := a.Load(ctx, allstates.ChainLamp)
	if err != nil {
		panic(err)
	}
	t, err := l.Toggles()
	if err != nil {
		panic(err)
	}
	lit := l.Count(switchnet.Lit)
	if n > 62 {
		return bits.LeadingZeros64(0), t.Proven() && lit.BitLen() == n
	}
	return int(lit.Int64()), t.Proven()
}

var peers = []struct {
	name string
	most int // switches it survives
	run  func(*switchnet.Net, int) (int, bool)
}{
	{"union-find per state", 20, unionFindCount},
	{"64 states per word", 20, wordsCount},
	{"gonum components per state", 12, gonumCount},
	{"this engine", 1 << 62, engineCount},
}

// TestPeersAgree wants one count and one verdict of all four.
func TestPeersAgree(t *testing.T) {
	for _, n := range []int{2, 3, 5, 8} {
		net := allstates.ChainNet(n, 3, true)
		for _, p := range peers {
			if count, toggles := p.run(net, n); count != 1<<(n-1) || !toggles {
				t.Errorf("%s, %d switches: lit in %d states, toggles %v", p.name, n, count, toggles)
			}
		}
	}
}

// BenchmarkPeers does the same work side by side.
func BenchmarkPeers(b *testing.B) {
	for _, n := range []int{8, 12, 16, 20} {
		net := allstates.ChainNet(n, 1, false)
		for _, p := range peers {
			if n > p.most {
				continue
			}
			b.Run(fmt.Sprintf("n=%d/%s", n, p.name), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if count, toggles := p.run(net, n); count != 1<<(n-1) || !toggles {
						b.Fatal(count, toggles)
					}
				}
			})
		}
	}
}

var figures = flag.Bool("figures", false, "print the table of figures")

// TestFigures prints the table of figures that stands in DEVELOPERS.md:
//
//	go test ./switchnet/allstates -run TestFigures -figures -v -timeout 20m
func TestFigures(t *testing.T) {
	if !*figures {
		t.Skip("prints figures only with -figures")
	}
	writeFigures(t, os.Stdout)
}

func writeFigures(t *testing.T, w io.Writer) {
	// The least of several runs: what others do on the machine only adds.
	best := func(f func()) time.Duration {
		least := time.Duration(1 << 62)
		total := time.Duration(0)
		for i := 0; i < 200 && (i < 3 || total < 2*time.Second); i++ {
			start := time.Now()
			f()
			took := time.Since(start)
			least = min(least, took)
			total += took
		}
		return least
	}
	fmt.Fprint(w, "\nCount the lit states of a chain and prove that every switch toggles the lamp, from a built net; least of several runs.\n\n")
	fmt.Fprint(w, "| switches |")
	for _, p := range peers {
		fmt.Fprintf(w, " %s |", p.name)
	}
	fmt.Fprint(w, "\n|---:|---:|---:|---:|---:|\n")
	for _, n := range []int{8, 12, 16, 20} {
		net := allstates.ChainNet(n, 1, false)
		fmt.Fprintf(w, "| %d |", n)
		for _, p := range peers {
			if n > p.most {
				fmt.Fprint(w, " - |")
				continue
			}
			fmt.Fprintf(w, " %s |", rounded(best(func() {
				if count, toggles := p.run(net, n); count != 1<<(n-1) || !toggles {
					t.Fatal(count, toggles)
				}
			})))
		}
		fmt.Fprintln(w)
	}
	fmt.Fprint(w, "\nThis engine alone, one load, step by step. Devices of a chain are turned at random; \"shuffled\" has its names in random order along it; \"periodic\" turns every device the same way.\n\n")
	fmt.Fprint(w, "| net | nodes stored | analyse | minimise | toggle proof | exact on-count | effect of all switches | together | MB allocated |\n|---|---:|---:|---:|---:|---:|---:|---:|---:|\n")
	for _, c := range allstates.FigureNets() {
		s := allstates.NewFigure(c.Net())
		var times []time.Duration
		var sum time.Duration
		for _, stage := range s.Stages() {
			d := best(func() {
				if err := stage(); err != nil {
					t.Fatal(err)
				}
			})
			times = append(times, d)
			sum += d
		}
		fmt.Fprintf(w, "| %s | %d |", c.Name, s.Nodes())
		for _, d := range append(times, sum) {
			fmt.Fprintf(w, " %s |", rounded(d))
		}
		fmt.Fprintf(w, " %.3g |\n", s.Megabytes())
	}
	fmt.Fprint(w, "\n| question | time |\n|---|---:|\n")
	for _, q := range allstates.FigureQuestions() {
		fmt.Fprintf(w, "| %s | %s |\n", q.Name, rounded(best(func() {
			for range q.Times {
				if err := q.Run(); err != nil {
					t.Fatal(err)
				}
			}
		})/time.Duration(q.Times)))
	}
}

// rounded writes a time to three figures.
func rounded(d time.Duration) string {
	switch {
	case d < time.Microsecond:
		return fmt.Sprintf("%d ns", d.Nanoseconds())
	case d < time.Millisecond:
		return fmt.Sprintf("%.3g us", float64(d)/1e3)
	case d < time.Second:
		return fmt.Sprintf("%.3g ms", float64(d)/1e6)
	}
	return fmt.Sprintf("%.3g s", d.Seconds())
}
