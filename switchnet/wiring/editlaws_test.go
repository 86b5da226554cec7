package wiring_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// apply makes edits that must fit.
func apply(t *rapid.T, w *wiring.Wiring, edits ...wiring.Edit) *wiring.Wiring {
	t.Helper()
	after, err := w.Apply(edits...)
	if err != nil {
		t.Fatal(err)
	}
	return after
}

func sameSpec(t *rapid.T, why string, a, b wiring.Spec) {
	t.Helper()
	if d := cmp.Diff(a, b, compareSizes, cmpopts.EquateEmpty()); d != "" {
		t.Fatalf("%s: %s", why, d)
	}
}

// Edits that undo one another leave a wiring as it was, to the order of its lists.
func TestEditsUndone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		s := w.Spec()
		if len(s.Landings) > 1 {
			a := rapid.SampledFrom(s.Landings).Draw(t, "landing")
			b := rapid.SampledFrom(s.Landings).Draw(t, "landing")
			if a.Box == b.Box && a.Wire != b.Wire {
				swap := wiring.SwapLandings{Box: a.Box, A: a.Wire, B: b.Wire}
				sameSpec(t, "exchanged and exchanged", s, apply(t, w, swap, swap).Spec())
				there := apply(t, w, swap).Spec()
				sameSpec(t, "exchanged, the other way round", there, apply(t, w, wiring.SwapLandings{Box: a.Box, A: b.Wire, B: a.Wire}).Spec())
				e := wiring.End{Box: a.Box, Wire: a.Wire}
				sameSpec(t, "moved there and back", s, apply(t, w, wiring.MoveLanding{End: e, Device: b.Device, Terminal: b.Terminal},
					wiring.MoveLanding{End: e, Device: a.Device, Terminal: a.Terminal}).Spec())
			}
			// Taken off and landed again, it is the last in the list.
			e := wiring.End{Box: a.Box, Wire: a.Wire}
			again := apply(t, w, wiring.CapEnd{End: e}, wiring.Release{End: e}, wiring.MoveLanding{End: e, Device: a.Device, Terminal: a.Terminal}).Spec()
			i := slices.Index(s.Landings, a)
			want := s.Clone()
			want.Landings = append(slices.Delete(want.Landings, i, i+1), a)
			sameSpec(t, "capped, released and landed", want, again)
		}
		c := rapid.SampledFrom(s.Cables).Draw(t, "cable")
		wire := wiring.Wire{Cable: c.Name, Conductor: rapid.SampledFrom(c.Type.Cores).Draw(t, "core").Colour.String()}
		w2 := wiring.Wire{Cable: c.Name, Conductor: c.Type.Cores[0].Colour.String()}
		if used := uses(w, c.From, wire) || uses(w, c.From, w2); used && w2 != wire {
			swap := wiring.SwapWires{Box: c.From, A: wire, B: w2}
			sameSpec(t, "ends exchanged and exchanged", s, apply(t, w, swap, swap).Spec())
		}
		if len(s.Landings) > 1 {
			a, b := rapid.SampledFrom(s.Landings).Draw(t, "terminal"), rapid.SampledFrom(s.Landings).Draw(t, "terminal")
			at := func(l wiring.Landing) wiring.Joint { return wiring.Joint{Device: l.Device, Terminal: l.Terminal} }
			if a.Box == b.Box && at(a) != at(b) {
				swap := wiring.SwapTerminals{Box: a.Box, A: at(a), B: at(b)}
				sameSpec(t, "terminals exchanged and exchanged", s, apply(t, w, swap, swap).Spec())
			}
		}
		if !slices.Contains(s.Opens, wire) {
			sameSpec(t, "cut and mended", s, apply(t, w, wiring.Cut{Wire: wire}, wiring.Mend{Wire: wire}).Spec())
		}
		tie := wiring.Tie{Box: c.From, A: wiring.Joint{Wire: wire}, B: wiring.WireJoint(c.Name, c.Type.Cores[0].Colour.String())}
		turned := wiring.Tie{Box: c.From, A: tie.B, B: tie.A}
		if tie.A != tie.B && !slices.Contains(s.Ties, tie) && !slices.Contains(s.Ties, turned) {
			sameSpec(t, "tied and parted", s, apply(t, w, wiring.TieJoints(tie), wiring.Untie(turned)).Spec())
		}
		end := wiring.End{Box: c.From, Wire: wire}
		if !slices.ContainsFunc(s.Marks, func(m wiring.Mark) bool { return m.Box == end.Box && m.Wire == end.Wire }) {
			sameSpec(t, "marked and unmarked", s, apply(t, w, wiring.Remark{End: end, As: conductor.Plain(conductor.Pink)}, wiring.Remark{End: end}).Spec())
		}
		sameSpec(t, "the same cable", s, apply(t, w, wiring.ChangeCable{Name: c.Name, Type: c.Type}).Spec())
		if len(s.Devices) > 0 {
			d := rapid.SampledFrom(s.Devices).Draw(t, "device")
			there, back := map[string]string{}, map[string]string{}
			odd := d.Kind.Clone()
			odd.Name = "odd"
			for i, name := range odd.Terminals {
				there[name], back["new "+name] = "new "+name, name
				odd.Terminals[i] = "new " + name
			}
			for _, p := range odd.Positions {
				for _, g := range p.Joins {
					for i := range g {
						g[i] = there[g[i]]
					}
				}
			}
			for i := range odd.Internal {
				odd.Internal[i].From, odd.Internal[i].To = there[odd.Internal[i].From], there[odd.Internal[i].To]
			}
			ref := switchnet.Ref{Place: d.Box, Name: d.Name}
			after := apply(t, w, wiring.ReplaceDevice{Device: ref, Kind: odd, Rename: there})
			sameSpec(t, "replaced and replaced", s, apply(t, after, wiring.ReplaceDevice{Device: ref, Kind: d.Kind, Rename: back}).Spec())
		}
		sameSpec(t, "the wiring that was edited", s, w.Spec())
	})
}

// uses reports whether the end of a wire in a box is somewhere.
func uses(w *wiring.Wiring, box string, wire wiring.Wire) bool {
	u, ok := w.Use(wiring.End{Box: box, Wire: wire})
	return ok && u != wiring.Hanging
}

// A splice that is taken apart and joined again joins what it joined, and in between
// what was taken out does not hang on the rest by this splice.
func TestSplitAndJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		s := w.Spec()
		var some []wiring.Splice
		for _, sp := range s.Splices {
			wires := 0
			for _, j := range sp.Join {
				if j.Device == "" {
					wires++
				}
			}
			if wires > 1 {
				some = append(some, sp)
			}
		}
		if len(some) == 0 {
			return
		}
		sp := rapid.SampledFrom(some).Draw(t, "splice")
		var wires []wiring.Joint
		for _, j := range sp.Join {
			if j.Device == "" {
				wires = append(wires, j)
			}
		}
		out := wires[:rapid.IntRange(1, len(wires)-1).Draw(t, "out")]
		parted := apply(t, w, wiring.SplitSplice{Box: sp.Box, Out: out})
		if n := len(parted.Spec().Splices); n != len(s.Splices)+1 {
			t.Fatalf("%d splices, and %d after one was taken apart", len(s.Splices), n)
		}
		joined := apply(t, parted, wiring.JoinSplice{Box: sp.Box, Join: append([]wiring.Joint{wires[len(wires)-1]}, out...)})
		got, want := joinSets(joined.Spec()), joinSets(s)
		if d := cmp.Diff(want, got); d != "" {
			t.Fatal(d)
		}
	})
}

// joinSets returns the splices as sets, without those of a terminal alone, which join
// nothing.
func joinSets(s wiring.Spec) []string {
	var out []string
	for _, sp := range s.Splices {
		if len(sp.Join) == 1 && sp.Join[0].Device != "" {
			continue
		}
		text := ""
		names := []string{}
		for _, j := range sp.Join {
			names = append(names, j.String())
		}
		slices.Sort(names)
		for _, n := range names {
			text += n + "+"
		}
		out = append(out, sp.Box+": "+text)
	}
	slices.Sort(out)
	return out
}

// Any edit, fitting or not, leaves the receiver as it was; if it fits, its result is
// what New makes of the same Spec.
func TestApplyAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t)
		s := w.Spec()
		before := writeUp(t, w)
		g := &generator{tb: t, choose: choices(t)}
		if len(s.Landings) == 0 || len(s.Splices) == 0 {
			return
		}
		e := g.mistake(s)
		after, err := w.Apply(e)
		if (err == nil) == (after == nil) {
			t.Fatalf("%v: both %v and %v", e, after, err)
		}
		sameSpec(t, e.String(), s, w.Spec())
		if writeUp(t, w) != before {
			t.Fatalf("%v has changed what the wiring answers", e)
		}
		if err == nil {
			again, err := wiring.New(after.Spec())
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(writeUp(t, after), writeUp(t, again)); d != "" {
				t.Fatal(d)
			}
		}
	})
}
