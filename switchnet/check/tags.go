package check

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// list joins words: "a", "a and b", "a, b and c".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// joinCompare orders joints: terminals before wires, by name.
func joinCompare(a, b wiring.Joint) int {
	return cmp.Or(strings.Compare(a.Device, b.Device), strings.Compare(a.Terminal, b.Terminal), wireCompare(a.Wire, b.Wire))
}

// travelersApart finds two switches that are joined by travelers in different cables.
// Neither cable carries back what it carries out.
func travelersApart(p *Pass) error {
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	m := p.metal()
	type pair struct{ a, b switchnet.Ref }
	first := map[pair]*wire{}
	told := map[pair]bool{}
	split, _ := p.law(rules.SplitInNonmetallic)
	for i := range m.wires {
		w := &m.wires[i]
		if w.ground || w.open || !w.known {
			continue
		}
		f, _ := p.job.Wiring.Function(w.Wire)
		if f.Kind != wiring.Traveler || len(f.Devices) != 2 {
			continue
		}
		k := pair{f.Devices[0], f.Devices[1]}
		v := first[k]
		if v == nil {
			first[k] = w
			continue
		}
		if v.cable == w.cable || told[k] || !sameRun(v, w) {
			continue
		}
		told[k] = true
		out := Finding{Place: p.cablePlace(w.Cable), Related: []Place{p.cablePlace(v.Cable)}, Section: p.section(rules.CircuitTogether), Standing: Hazardous,
			Message: fmt.Sprintf("of the travelers between %s and %s, %s is in one cable and %s in another", k.a, k.b, v.Wire, w.Wire)}
		if split.Says == rules.Permitted && !p.metallic(&p.spec.Cables[w.cable]) && !p.metallic(&p.spec.Cables[v.cable]) {
			out.Standing = Defect
			out.Message += "; no metal is around them, so " + split.Source.String() + " may permit it: ask the inspector"
		}
		for i := range lamps {
			if matter := lamps[i].law.Matter; slices.Contains(matter, k.a) && slices.Contains(matter, k.b) {
				out.About = lamps[i].ref
				break
			}
		}
		p.Report(out)
	}
	return nil
}

// sameRun reports whether two wires run between the same boxes.
func sameRun(v, w *wire) bool {
	return v.box == w.box || v.box[0] == w.box[1] && v.box[1] == w.box[0]
}

// tagged returns the tags by end, by number in the spec.
func (p *Pass) tagged() map[wiring.End][]int {
	out := make(map[wiring.End][]int, len(p.spec.Tags))
	for i := range p.spec.Tags {
		e := wiring.End{Box: p.spec.Tags[i].Box, Wire: p.spec.Tags[i].Wire}
		out[e] = append(out[e], i)
	}
	return out
}

func untagged(p *Pass) error {
	if len(p.spec.Tags) == 0 {
		return nil
	}
	tags := p.tagged()
	p.ends(func(w *wire, e wiring.End, _ int32) bool {
		if f, _ := p.job.Wiring.FunctionAt(e); f.Kind == wiring.Traveler && !w.ground && len(tags[e]) == 0 {
			p.Report(Finding{Place: p.endPlace(e), Message: fmt.Sprintf("%v is a traveler and has no tag", e)})
		}
		return true
	})
	return nil
}

func doubledTag(p *Pass) error {
	tags := p.tagged()
	type said struct{ box, text string }
	before := map[said][]wiring.End{}
	p.ends(func(w *wire, e wiring.End, _ int32) bool {
		for n, i := range tags[e] {
			place := p.endPlace(e)
			place.At = wiring.Ref{List: "tags", Index: i}
			if n > 0 {
				p.Report(Finding{Place: place, Message: fmt.Sprintf("%v has more than one tag", e)})
				continue
			}
			k := said{e.Box, strings.TrimSpace(p.spec.Tags[i].Text)}
			f, _ := p.job.Wiring.FunctionAt(e)
			for _, o := range before[k] {
				if g, _ := p.job.Wiring.FunctionAt(o); !alike(&f, &g) && !hotAndNeutral(&f, &g) {
					p.Report(Finding{Place: place, Related: []Place{p.endPlace(o)},
						Message: fmt.Sprintf("%v and %v have the same tag, %q, and do different things: one is %s, the other %s", o.Wire, e, k.text, g, f)})
					break
				}
			}
			before[k] = append(before[k], e)
		}
		return true
	})
	return nil
}

// hotAndNeutral reports whether one of two conductors is the neutral of a circuit and the
// other its hot: the name of the circuit on both is ordinary, and their colours tell them
// apart.
func hotAndNeutral(f, g *wiring.Function) bool {
	if f.Kind == wiring.NeutralConductor {
		f, g = g, f
	}
	return f.Kind == wiring.Hot && g.Kind == wiring.NeutralConductor && slices.ContainsFunc(f.Feeds, func(x switchnet.Ref) bool { return slices.Contains(g.Feeds, x) })
}

// alike reports whether two conductors do the same, as travelers of one pair do.
func alike(f, g *wiring.Function) bool {
	return f.Kind == g.Kind && slices.Equal(f.Feeds, g.Feeds) && slices.Equal(f.Lights, g.Lights) && slices.Equal(f.Devices, g.Devices)
}

// circuitsUntagged finds boxes in which two circuits have a neutral each, or a hot each,
// and one of them has no tag on anything that belongs to it.
func circuitsUntagged(p *Pass) error {
	if len(p.spec.Feeds) < 2 {
		return nil
	}
	tags := p.tagged()
	m := p.metal()
	type role struct {
		box     string
		neutral bool
	}
	feeds := map[role][]int32{}
	said := map[string]map[int32]bool{} // by box: circuits with a tag
	p.ends(func(w *wire, e wiring.End, x int32) bool {
		if len(m.hot[x]) > 1 || len(m.neutral[x]) > 1 {
			return true // circuits that are joined have rules of their own
		}
		note := func(r role, list []int32) {
			for _, f := range list {
				if !slices.Contains(feeds[r], f) {
					feeds[r] = append(feeds[r], f)
				}
			}
		}
		note(role{e.Box, false}, m.hot[x])
		note(role{e.Box, true}, m.neutral[x])
		own := append(slices.Clone(m.hot[x]), m.neutral[x]...)
		if len(tags[e]) == 0 {
			return true
		}
		if said[e.Box] == nil {
			said[e.Box] = map[int32]bool{}
		}
		for _, y := range m.hotPieces(x) {
			own = append(own, m.hot[y]...)
		}
		for _, f := range own {
			said[e.Box][f] = true
		}
		return true
	})
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if b.Kind == wiring.Panel {
			continue
		}
		var bare []string
		for _, neutral := range []bool{false, true} {
			if all := feeds[role{b.Name, neutral}]; len(all) > 1 {
				for _, f := range all {
					if name := p.spec.Feeds[f].Name; !said[b.Name][f] && !slices.Contains(bare, name) {
						bare = append(bare, name)
					}
				}
			}
		}
		if slices.Sort(bare); len(bare) > 0 {
			p.Report(Finding{Place: p.boxPlace(b.Name), Message: fmt.Sprintf("several circuits are in box %s, and no tag says what belongs to %s", b.Name, list(bare))})
		}
	}
	return nil
}
