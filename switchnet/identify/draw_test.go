package identify_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// colours are what the conductors of a cable are called, by how many there are.
func colours(n int) (kind string, names []string) {
	switch n {
	case 1, 2:
		return "14/2", []string{"black", "white"}
	case 3:
		return "14/3", []string{"black", "white", "red"}
	}
	return "14/4", []string{"black", "white", "red", "blue"}
}

// drawn returns a job with so many places on a tree of cables drawn at random: which box
// hangs on which, where the feed comes in, the order of the switches, how far the neutral
// goes, and what each conductor does, whatever its colour. It follows every function
// along its way from end to end. False if a run would take more than four conductors.
func drawn(places int, r *rand.Rand) (row, bool) {
	const panel, ceiling = 0, 1
	name := func(v int) string {
		switch v {
		case panel:
			return "panel"
		case ceiling:
			return "ceiling"
		}
		return fmt.Sprintf("s%d", v-1)
	}
	// Each of the others hangs on one before it; the panel on any of them.
	parent := make([]int, places+2)
	order := r.Perm(places + 1) // of the ceiling and the switches
	for i, v := range order {
		if i > 0 {
			parent[v+1] = order[r.IntN(i)] + 1
		}
	}
	root := order[0] + 1
	parent[root] = -1
	parent[panel] = 1 + r.IntN(places+1)
	up := func(v int) []int {
		out := []int{v}
		for parent[v] >= 0 {
			v = parent[v]
			out = append(out, v)
		}
		return out
	}
	// way returns the edges from one to another, each by its lower vertex.
	way := func(a, b int) map[int]bool {
		edges := map[int]bool{}
		pa, pb := up(a), up(b)
		for _, v := range pa {
			if !slices.Contains(pb, v) {
				edges[v] = true
			}
		}
		for _, v := range pb {
			if !slices.Contains(pa, v) {
				edges[v] = true
			}
		}
		return edges
	}
	chain := r.Perm(places)
	for i := range chain {
		chain[i] += 2
	}
	first, last := chain[0], chain[places-1]
	type net struct {
		name string
		ends []int
	}
	nets := []net{{"hot", []int{panel, first}}, {"neutral", []int{panel, ceiling}}, {"leg", []int{last, ceiling}}}
	if r.IntN(2) == 0 {
		nets[1].ends = append(nets[1].ends, chain...)
	}
	for i := 0; i+1 < places; i++ {
		for _, t := range []string{"a", "b"} {
			nets = append(nets, net{fmt.Sprintf("t%d%s", i, t), []int{chain[i], chain[i+1]}})
		}
	}
	carries := make([][]string, places+2) // of the edge above each vertex
	touches := map[string]map[int]bool{}
	for _, n := range nets {
		edges := map[int]bool{}
		for _, x := range n.ends[1:] {
			for e := range way(n.ends[0], x) {
				edges[e] = true
			}
		}
		touches[n.name] = map[int]bool{}
		for _, x := range n.ends {
			touches[n.name][x] = true
		}
		for v := range carries {
			if edges[v] {
				carries[v] = append(carries[v], n.name)
				touches[n.name][v], touches[n.name][parent[v]] = true, true
			}
		}
	}
	var job strings.Builder
	job.WriteString("open")
	for i := range places {
		fmt.Fprintf(&job, " s%d", i+1)
	}
	job.WriteString("\nlight lamp ceiling\n")
	for i, v := range chain {
		kind := "four-way"
		if i == 0 || i == places-1 {
			kind = "three-way"
		}
		fmt.Fprintf(&job, "switch stair %s %s\n", name(v), kind)
	}
	joints := map[[2]string][]string{}
	for v := range carries {
		if v == root {
			continue
		}
		if len(carries[v]) > 4 || len(carries[v]) == 0 {
			return row{}, false
		}
		kind, names := colours(len(carries[v]))
		r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		if v == panel {
			// The panel is wired by the reader: black is hot.
			names = []string{"black", "white"}
		}
		cable := fmt.Sprintf("C%d", v)
		fmt.Fprintf(&job, "cable %s %s %s %s\n", cable, kind, name(v), name(parent[v]))
		for i, n := range carries[v] {
			for _, p := range []int{v, parent[v]} {
				joints[[2]string{name(p), n}] = append(joints[[2]string{name(p), n}], cable+"."+names[i])
			}
		}
	}
	put := func(v int, n, terminal string) {
		k := [2]string{name(v), n}
		joints[k] = append(joints[k], terminal)
	}
	put(ceiling, "leg", "lamp.hot")
	put(ceiling, "neutral", "lamp.neutral")
	put(first, "hot", "stair.common")
	put(last, "leg", "stair.common")
	for i := 0; i+1 < places; i++ {
		for j, t := range []string{"a", "b"} {
			n := fmt.Sprintf("t%d%s", i, t)
			from, to := fmt.Sprintf("stair.traveler+%d", j+1), fmt.Sprintf("stair.traveler+%d", j+1)
			if i > 0 {
				from = "stair.pair+2+" + []string{"first", "second"}[j]
			}
			if i+1 < places-1 {
				to = "stair.pair+1+" + []string{"first", "second"}[j]
			}
			put(chain[i], n, from)
			put(chain[i+1], n, to)
		}
	}
	for v := range carries {
		if v == panel {
			continue
		}
		for _, n := range nets {
			if js := joints[[2]string{name(v), n.name}]; len(js) > 1 {
				fmt.Fprintf(&job, "in %s: %s\n", name(v), strings.Join(js, " "))
			}
		}
	}
	return row{name: "drawn", job: job.String()}, true
}

var draws = flag.Int("draws", 1, "how many times as many jobs to draw")

// TestDrawn: jobs drawn at random, whose colours say nothing, answered truthfully: the
// truth is never ruled out, and is the first of what is left where nothing more can be
// told.
func TestDrawn(t *testing.T) {
	for _, x := range []struct{ places, jobs int }{{1, 6}, {2, 20}, {3, 6}} {
		made, found := 0, 0
		for seed := uint64(0); made < x.jobs**draws && seed < uint64(2000**draws); seed++ {
			r, ok := drawn(x.places, rand.New(rand.NewPCG(seed, uint64(x.places))))
			if !ok {
				continue
			}
			if x.places == 1 {
				r.job = strings.ReplaceAll(strings.ReplaceAll(r.job, "three-way", "single-pole"), "four-way", "single-pole")
				// A single switch has a hot and a leg, and no common.
				r.job = strings.Replace(r.job, "stair.common", "stair.line", 1)
				r.job = strings.Replace(r.job, "stair.common", "stair.load", 1)
			}
			made++
			d := read(t, r)
			d.sheaths = x.places > 2
			q := d.question()
			c := newCase(t, &q, &identify.Options{Unusual: -1})
			w, err := wiring.New(d.spec)
			if err != nil {
				t.Fatal(err)
			}
			s := c.Session()
			status := d.follow(s, 200)
			v := s.Verdict(1)
			if v.Fits[0].Likely >= 99*quantity.Percent {
				found++
			}
			if status != trace.Found && status != trace.NoTest || !among(t, d, w, v) {
				n, _ := c.Size()
				t.Errorf("%d places, seed %d: %v; %d of %d possibilities in %d classes left, first %v\n%s", x.places, seed, status, v.Possibilities, n, v.Classes, v.Fits, r.job)
			}
		}
		t.Logf("%d places: %d jobs, %d of them to 99 %%", x.places, made, found)
		if made < x.jobs**draws || found*2 < made {
			t.Errorf("%d places: %d jobs, of which %d came to 99 %%", x.places, made, found)
		}
	}
}

// TestDrawnPartly: of jobs drawn at random with only some of the boxes open the truth is
// never ruled out either, and what is said to be surely and never in those is so.
func TestDrawnPartly(t *testing.T) {
	for _, x := range []struct{ places, jobs int }{{2, 6}, {3, 3}} {
		made := 0
		for seed := uint64(1000); made < x.jobs**draws && seed < 1000+uint64(2000**draws); seed++ {
			rnd := rand.New(rand.NewPCG(seed, uint64(x.places)))
			r, ok := drawn(x.places, rnd)
			if !ok {
				continue
			}
			made++
			d := read(t, r)
			d.sheaths = true
			q, power := d.question(), powered(t, d)
			open := slices.Clone(d.open)
			rnd.Shuffle(len(open), func(i, j int) { open[i], open[j] = open[j], open[i] })
			c := newCase(t, &q, &identify.Options{Open: open[:1+rnd.IntN(len(open)-1)], Unusual: -1})
			w, err := wiring.New(d.spec)
			if err != nil {
				t.Fatal(err)
			}
			d.open = c.Open()
			s := c.Session()
			honest(t, d, w, s, power)
			status := d.follow(s, 100)
			honest(t, d, w, s, power)
			_, classes := c.Size()
			if v := s.Verdict(classes); status != trace.Found && status != trace.NoTest || !among(t, d, w, v) {
				t.Errorf("%d places, seed %d, %q open: %v, %d classes\n%s", x.places, seed, d.open, status, v.Classes, r.job)
			}
		}
		if made < x.jobs**draws {
			t.Errorf("%d places: %d jobs", x.places, made)
		}
	}
}
