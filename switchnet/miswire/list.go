package miswire

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// List returns every single fault of a wiring, in the order that the package states.
// Faults that could not be made, such as opening what is open, are not in it. It takes
// time in proportion to what it returns, which is quadratic in what one box holds and
// linear in the boxes. A wiring that is none, such as nil, has no faults.
func List(w *wiring.Wiring) []Fault {
	if w.Check() != nil {
		return nil
	}
	l := &lister{w: w, spec: w.Spec()}
	slices.SortFunc(l.spec.Boxes, func(a, b wiring.Box) int { return strings.Compare(a.Name, b.Name) })
	slices.SortFunc(l.spec.Cables, func(a, b wiring.Cable) int { return strings.Compare(a.Name, b.Name) })
	slices.SortFunc(l.spec.Devices, func(a, b wiring.Device) int {
		return strings.Compare(a.Box+"\x00"+a.Name, b.Box+"\x00"+b.Name)
	})
	boxes := l.boxes()
	for i := range boxes {
		b := &boxes[i]
		l.exchanges(b)
		l.wires(b)
		l.landings(b)
		l.splices(b)
		l.ties(b)
	}
	l.runs()
	l.devices()
	return sorted(l.out)
}

type lister struct {
	w    *wiring.Wiring
	spec wiring.Spec
	out  []Fault
}

func (l *lister) add(kind Kind, box string, edits []wiring.Edit, format string, args ...any) {
	says := fmt.Sprintf(format, args...)
	if box != "" {
		says += " in box " + box
	}
	l.out = append(l.out, Fault{kind, box, says, edits})
}

// box is what stands in one box, everything in name order.
type box struct {
	name      string
	metal     bool
	ends      []wiring.End
	terminals []wiring.Joint  // of devices, feeds and lights: grounding terminals last of each
	spots     map[joint]*spot // of every end that is somewhere, and every terminal that is used
	splices   []*spot
}

type joint = wiring.Joint

// spot is a place where ends meet: a splice, or a terminal with its landings.
type spot struct {
	joins  []joint // of a splice, in name order
	screw  joint   // of a terminal that is in no splice
	capped bool
}

func byName(a, b joint) int {
	key := func(j joint) string {
		if j.Device == "" {
			return "0" + j.Wire.Cable + "\x00" + j.Wire.Conductor
		}
		return "1" + j.Device + "\x00" + j.Terminal
	}
	return strings.Compare(key(a), key(b))
}

// boxes returns the boxes in name order.
func (l *lister) boxes() []box {
	out := make([]box, len(l.spec.Boxes))
	at := map[string]*box{}
	owners := map[string]map[string][]string{}
	own := func(box, name string, terminals []string) {
		if owners[box] == nil {
			owners[box] = map[string][]string{}
		}
		list := slices.DeleteFunc(slices.Clone(terminals), func(t string) bool { return t == "ground" })
		owners[box][name] = append(list, "ground")
	}
	for i, b := range l.spec.Boxes {
		out[i] = box{name: b.Name, metal: b.Metal, ends: l.w.Ends(b.Name), spots: map[joint]*spot{}}
		at[b.Name] = &out[i]
	}
	for _, f := range l.spec.Feeds {
		d, _ := l.w.Net().Device(switchnet.Ref{Place: f.Box, Name: f.Name})
		var terminals []string
		for _, t := range d.Kind.Terminals {
			if strings.HasPrefix(t, "hot") {
				terminals = append(terminals, t)
			}
		}
		own(f.Box, f.Name, append(terminals, "neutral"))
	}
	for _, d := range l.spec.Devices {
		own(d.Box, d.Name, d.Kind.Terminals)
	}
	for _, v := range l.spec.Lights {
		if v.On == "" {
			own(v.Box, v.Name, []string{"hot", "neutral"})
		}
	}
	for i := range out {
		names := owners[out[i].name]
		keys := make([]string, 0, len(names))
		for n := range names {
			keys = append(keys, n)
		}
		slices.Sort(keys)
		for _, n := range keys {
			for _, t := range names[n] {
				out[i].terminals = append(out[i].terminals, joint{Device: n, Terminal: t})
			}
		}
	}
	for _, s := range l.spec.Splices {
		sp := &spot{joins: slices.Clone(s.Join)}
		slices.SortFunc(sp.joins, byName)
		b := at[s.Box]
		b.splices = append(b.splices, sp)
		for _, j := range sp.joins {
			b.spots[j] = sp
		}
	}
	for _, x := range l.spec.Landings {
		b := at[x.Box]
		screw := joint{Device: x.Device, Terminal: x.Terminal}
		if b.spots[screw] == nil {
			b.spots[screw] = &spot{screw: screw}
		}
		b.spots[joint{Wire: x.Wire}] = b.spots[screw]
	}
	for _, c := range l.spec.Caps {
		at[c.Box].spots[joint{Wire: c.Wire}] = &spot{capped: true}
	}
	for i := range out {
		slices.SortFunc(out[i].splices, func(a, b *spot) int { return byName(a.joins[0], b.joins[0]) })
	}
	return out
}

// ground reports whether a wire is a grounding conductor by its insulation.
func ground(w wiring.Wire) bool {
	c, err := conductor.ParseColour(w.Conductor)
	return err == nil && grounding(c)
}

func grounding(c conductor.Colour) bool { return c.Main == conductor.Bare || c.Main == conductor.Green }

// screwed reports whether a joint is a grounding terminal.
func screwed(j joint) bool { return j.Device != "" && j.Terminal == "ground" }

// exchanges lists what is on two terminals exchanged.
func (l *lister) exchanges(b *box) {
	for i, t := range b.terminals {
		for _, u := range b.terminals[i+1:] {
			if screwed(t) || screwed(u) || b.spots[t] == nil || b.spots[u] == nil || b.spots[t] == b.spots[u] {
				continue
			}
			kind := TerminalsExchanged
			if t.Device == u.Device {
				pair := func(s string) string { return s[:min(len(s), len("pair 1"))] }
				switch {
				case strings.HasPrefix(t.Terminal, "pair ") && pair(t.Terminal) != pair(u.Terminal):
					kind = PairsCrossed
				case strings.HasPrefix(t.Terminal, "hot") && strings.HasPrefix(u.Terminal, "neutral"):
					kind = PolarityReversed
				}
			}
			l.add(kind, b.name, []wiring.Edit{wiring.SwapTerminals{Box: b.name, A: t, B: u}}, "%s and %s are exchanged", t, u)
		}
	}
}

// wires lists two wires exchanged that are not both on terminals alone.
func (l *lister) wires(b *box) {
	for i, e := range b.ends {
		for _, f := range b.ends[i+1:] {
			s, t := b.spots[joint{Wire: e.Wire}], b.spots[joint{Wire: f.Wire}]
			alone := func(s *spot) bool { return s != nil && s.joins == nil && !s.capped }
			if ground(e.Wire) || ground(f.Wire) || s == t || alone(s) && alone(t) || s != nil && t != nil && s.capped && t.capped {
				continue
			}
			l.add(WiresExchanged, b.name, []wiring.Edit{wiring.SwapWires{Box: b.name, A: e.Wire, B: f.Wire}}, "%s and %s are exchanged", e.Wire, f.Wire)
		}
	}
}

// landings lists wires and pigtails on another terminal.
func (l *lister) landings(b *box) {
	for _, e := range b.ends {
		if ground(e.Wire) {
			continue
		}
		here := b.spots[joint{Wire: e.Wire}]
		for _, t := range b.terminals {
			if here != nil && b.spots[t] == here {
				continue
			}
			edits := []wiring.Edit{wiring.MoveLanding{End: e, Device: t.Device, Terminal: t.Terminal}}
			l.add(l.landing(b, e.Wire, t), b.name, edits, "%s is on %s", e.Wire, t)
		}
	}
	for _, t := range b.terminals {
		s := b.spots[t]
		if s == nil || s.joins == nil || screwed(t) {
			continue
		}
		for _, u := range b.terminals {
			if b.spots[u] == s || screwed(u) {
				continue
			}
			l.add(LandedWrong, b.name, []wiring.Edit{wiring.MovePigtail{Box: b.name, From: t, To: u}}, "the pigtail of %s is on %s", t, u)
		}
	}
}

// landing says which kind of fault a wire on a terminal is.
func (l *lister) landing(b *box, wire wiring.Wire, t joint) Kind {
	switch {
	case screwed(t):
		return GroundUsed
	case t.Terminal == "neutral" && l.feed(b, t.Device) && l.otherNeutral(b, wire, []switchnet.Ref{{Place: b.name, Name: t.Device}}):
		return OtherNeutral
	}
	return LandedWrong
}

func (l *lister) feed(b *box, name string) bool {
	return slices.ContainsFunc(l.spec.Feeds, func(f wiring.Feed) bool { return f.Box == b.name && f.Name == name })
}

// otherNeutral reports whether a wire is a neutral of none of the feeds.
func (l *lister) otherNeutral(b *box, wire wiring.Wire, feeds []switchnet.Ref) bool {
	f, _ := l.w.FunctionAt(wiring.End{Box: b.name, Wire: wire})
	if f.Kind != wiring.NeutralConductor {
		return false
	}
	return !slices.ContainsFunc(f.Feeds, func(r switchnet.Ref) bool { return slices.Contains(feeds, r) })
}

// splices lists joints out of their splice, and joints and landed wires in another.
func (l *lister) splices(b *box) {
	for _, s := range b.splices {
		for i, j := range s.joins {
			if len(s.joins) == 1 || len(s.joins) == 2 && i == 1 {
				continue // of two, either leaves the other alone
			}
			kind := SpliceOpened
			if j.Device == "" && ground(j.Wire) || screwed(j) {
				kind = GroundOpened
			}
			l.add(kind, b.name, []wiring.Edit{wiring.SplitSplice{Box: b.name, Out: []joint{j}}}, "%s is out of its splice", j)
		}
	}
	for _, t := range b.splices {
		for _, s := range b.splices {
			for _, j := range s.joins {
				if s == t || slices.Contains(t.joins, j) {
					continue
				}
				var edits []wiring.Edit
				if len(s.joins) > 1 && j.Device != "" {
					edits = append(edits, wiring.SplitSplice{Box: b.name, Out: []joint{j}})
				}
				l.intoSplice(b, j, t, edits)
			}
		}
		for _, e := range b.ends {
			j := joint{Wire: e.Wire}
			if s := b.spots[j]; s != nil && s.joins == nil && !s.capped && !ground(e.Wire) {
				l.intoSplice(b, j, t, nil)
			}
		}
	}
}

func (l *lister) intoSplice(b *box, j joint, t *spot, edits []wiring.Edit) {
	kind := SplicedWrong
	if j.Device == "" {
		for _, k := range t.joins {
			if k.Device != "" {
				continue
			}
			if f, _ := l.w.FunctionAt(wiring.End{Box: b.name, Wire: k.Wire}); f.Kind == wiring.NeutralConductor && l.otherNeutral(b, j.Wire, f.Feeds) {
				kind = OtherNeutral
			}
			break
		}
	}
	l.add(kind, b.name, append(edits, wiring.JoinSplice{Box: b.name, Join: []joint{t.joins[0], j}}), "%s is in the splice of %s", j, t.joins[0])
}

// ties lists any two conductors that touch, and conductors that touch a metal box. What
// is in one splice, or on one terminal, counts once, by its first wire in name order.
func (l *lister) ties(b *box) {
	var first []joint
	seen := map[*spot]bool{}
	for _, e := range b.ends {
		s := b.spots[joint{Wire: e.Wire}]
		if s != nil && !s.capped {
			if seen[s] {
				continue
			}
			seen[s] = true
		}
		first = append(first, joint{Wire: e.Wire})
	}
	metal := joint{Device: "box", Terminal: "ground"}
	if b.metal && !seen[b.spots[metal]] {
		first = append(first, metal)
	}
	have := map[[2]joint]bool{}
	for _, t := range l.spec.Ties {
		if t.Box == b.name {
			have[[2]joint{t.A, t.B}], have[[2]joint{t.B, t.A}] = true, true
		}
	}
	for i, j := range first {
		for _, k := range first[i+1:] {
			if !have[[2]joint{j, k}] {
				l.add(Tied, b.name, []wiring.Edit{wiring.TieJoints{Box: b.name, A: j, B: k}}, "%s and %s touch", j, k)
			}
		}
	}
}

// runs lists what happens along a cable.
func (l *lister) runs() {
	open := map[wiring.Wire]bool{}
	for _, o := range l.spec.Opens {
		open[o] = true
	}
	for _, c := range l.spec.Cables {
		var wires []wiring.Wire
		var bare wiring.Wire
		for _, core := range c.Type.Cores {
			w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			kind := ConductorCut
			if grounding(core.Colour) {
				kind, bare = GroundOpened, w
			} else {
				wires = append(wires, w)
			}
			if !open[w] {
				l.add(kind, "", []wiring.Edit{wiring.Cut{Wire: w}}, "%s is open", w)
			}
		}
		if bare == (wiring.Wire{}) || c.To == "" {
			continue
		}
		for _, w := range wires {
			var edits []wiring.Edit
			for _, b := range []string{c.From, c.To} {
				one, _ := l.w.Use(wiring.End{Box: b, Wire: w})
				two, _ := l.w.Use(wiring.End{Box: b, Wire: bare})
				if one != wiring.Hanging || two != wiring.Hanging {
					edits = append(edits, wiring.SwapWires{Box: b, A: w, B: bare})
				}
			}
			if len(edits) > 0 {
				l.add(GroundUsed, "", edits, "%s is used for %s and the other way round", bare, w)
			}
		}
	}
}
