package identify_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/identify"
)

// A mess is what somebody did with the neutrals of two circuits.
type mess int

const (
	own       mess = iota // each light has that of its own circuit
	borrowed              // the stair light has that of the porch
	crosswise             // each has that of the other
	joined                // the two are spliced together
)

// metals are what is joined for good, by name, and where it is joined to what.
type metals struct {
	order []string
	at    map[string]map[string][]string // of each, in each box
}

// put adds a wire or a screw in a box.
func (m *metals) put(name, box, joint string) {
	if m.at[name] == nil {
		m.at[name] = map[string][]string{}
		m.order = append(m.order, name)
	}
	m.at[name][box] = append(m.at[name][box], joint)
}

// drawnFeeds returns a job drawn at random with two circuits in two boxes, each with a
// switch and a light: where the feeds come in, where the switches are and where the cables
// of the lights begin, what each conductor between the boxes does whatever its colour, and
// what somebody did with the neutrals. False if four conductors do not do, or the neutrals
// meet nowhere.
func drawnFeeds(what mess, r *rand.Rand) (row, bool) {
	box := func() string { return []string{"s1", "s2"}[r.IntN(2)] }
	m := &metals{at: map[string]map[string][]string{}}
	var job, cables strings.Builder
	fmt.Fprintf(&job, "seen\nfeed porch %s\nfeed stair A\nopen s1 s2\nlight lamp ceiling\nlight flood eave\n", []string{"A", "B"}[r.IntN(2)])
	var controls []identify.Control
	for i, name := range []string{"stair", "porch"} {
		feedIn, sw, lit := box(), box(), box()
		feed, leg, place := []string{"F", "G"}[i], []string{"L", "M"}[i], []string{"ceiling", "eave"}[i]
		controls = append(controls, identify.Control{Name: name, Lights: []string{[]string{"lamp", "flood"}[i]}, Places: []string{sw}})
		fmt.Fprintf(&job, "switch %s %s single-pole\n", name, sw)
		fmt.Fprintf(&cables, "cable %s 14/2 panel %s\ncable %s 14/2 %s %s\n", feed, feedIn, leg, lit, place)
		fmt.Fprintf(&cables, "in panel: %s.black %s.hot\nin panel: %s.white %s.neutral\n", feed, name, feed, name)
		m.put("hot "+name, feedIn, feed+".black")
		m.put("hot "+name, sw, name+".line")
		m.put("leg "+name, sw, name+".load")
		m.put("leg "+name, lit, leg+".black")
		m.put("neutral "+name, feedIn, feed+".white")
		back := name
		if what == borrowed && i == 0 || what == crosswise {
			back = []string{"porch", "stair"}[i]
		}
		m.put("neutral "+back, lit, leg+".white")
	}
	var span []string
	for _, n := range m.order {
		if len(m.at[n]) == 2 {
			span = append(span, n)
		}
	}
	if len(span) > 4 {
		return row{}, false
	}
	if len(span) > 0 {
		kind, names := colours(len(span))
		r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		fmt.Fprintf(&cables, "cable T %s s1 s2\n", kind)
		for i, n := range span {
			m.put(n, "s1", "T."+names[i])
			m.put(n, "s2", "T."+names[i])
		}
	}
	if what == joined {
		a, b := m.at["neutral stair"], m.at["neutral porch"]
		i := slices.IndexFunc([]string{"s1", "s2"}, func(x string) bool { return len(a[x]) > 0 && len(b[x]) > 0 })
		if i < 0 {
			return row{}, false
		}
		x := []string{"s1", "s2"}[i]
		a[x], b[x] = append(a[x], b[x]...), nil
	}
	job.WriteString(cables.String())
	for _, n := range m.order {
		for _, b := range []string{"s1", "s2"} {
			js := m.at[n][b]
			if len(js) < 2 {
				continue
			}
			// The wires first.
			screw := func(j string) int {
				if strings.HasSuffix(j, ".line") || strings.HasSuffix(j, ".load") {
					return 1
				}
				return 0
			}
			slices.SortStableFunc(js, func(a, b string) int { return screw(a) - screw(b) })
			fmt.Fprintf(&job, "in %s: %s\n", b, strings.Join(js, " "))
		}
	}
	return row{job: job.String(), sheaths: true, opt: identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Controls: controls, Open: []string{"s1", "s2"}}}, true
}

// TestDrawnFeeds: whatever somebody did with the neutrals of two circuits, it is never
// ruled out, and what is said of the boxes is true.
func TestDrawnFeeds(t *testing.T) {
	for what := own; what <= joined; what++ {
		made := 0
		for seed := uint64(0); made < 2**draws && seed < uint64(400**draws); seed++ {
			r, ok := drawnFeeds(what, rand.New(rand.NewPCG(seed, uint64(what))))
			if !ok {
				continue
			}
			made++
			r.name = fmt.Sprintf("mess %d, seed %d", what, seed)
			if !t.Run(r.name, func(t *testing.T) { endsInTruth(t, r) }) {
				t.Log("\n" + r.job)
			}
		}
		if made < 2**draws {
			t.Errorf("mess %d: %d jobs", what, made)
		}
	}
}
