package plan

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// Available is what can be used in a box without a conductor more.
type Available struct {
	Box string
	// Hots and Neutrals are the unswitched hots and the neutrals there, each that
	// stays apart from the others by itself: by feed in name order, then by the first
	// wire, the cables in name order. A hot of one feed and a neutral of another make
	// no circuit, nor do those of one feed that come in different cables.
	Hots, Neutrals []Supply
	// Legs are the lights whose switch leg is there, in name order.
	Legs []switchnet.Ref
	// Spares are wires that do nothing, cables in name order.
	Spares []wiring.Wire
	// Switches are the devices in the box, in name order.
	Switches []switchnet.Ref
	// Says are sentences: whether power can be taken and from what, and whether an
	// electronic control may stand in the place of each switch, and what it lacks if
	// not.
	Says []string
}

// AvailableIn returns what can be used in a box of any wiring, planned or found. No
// such box gives an answer with nothing in it. It reads what each conductor is joined
// to for good: a conductor that is live in one setting only is no hot. Where a wiring
// closes rings, a hot and a neutral are taken to come by the shortest way each.
func AvailableIn(w *wiring.Wiring, box string) Available { return powersOf(w).in(box) }

// AvailableEverywhere returns the same of every box of a wiring, in their order. It reads
// the wiring once, in time that is linear in it but for the length of the ways from the
// feeds.
func AvailableEverywhere(w *wiring.Wiring) []Available {
	p := powersOf(w)
	out := make([]Available, len(p.spec.Boxes))
	for i := range p.spec.Boxes {
		out[i] = p.in(p.spec.Boxes[i].Name)
	}
	return out
}

// in returns what can be used in a box.
func (p *powers) in(box string) Available {
	a := Available{Box: box}
	for _, e := range p.w.Ends(box) {
		f, _ := p.w.FunctionAt(e)
		switch f.Kind {
		case wiring.SwitchLeg:
			a.Legs = append(a.Legs, f.Lights...)
		case wiring.Spare:
			a.Spares = append(a.Spares, e.Wire)
		}
	}
	a.Hots, a.Neutrals = p.supplies(box, wiring.Hot), p.supplies(box, wiring.NeutralConductor)
	for _, d := range p.spec.Devices {
		if d.Box == box {
			a.Switches = append(a.Switches, switchnet.Ref{Place: d.Box, Name: d.Name})
		}
	}
	for _, list := range []*[]switchnet.Ref{&a.Legs, &a.Switches} {
		slices.SortFunc(*list, switchnet.Ref.Compare)
		*list = slices.Compact(*list)
	}
	a.say(p.w, &p.spec, p.metal)
	return a
}

// with returns the neutral that goes with a hot, or nil.
func (a *Available) with(hot *Supply) *Supply {
	for i := range a.Neutrals {
		if hot.goesWith(&a.Neutrals[i]) {
			return &a.Neutrals[i]
		}
	}
	return nil
}

// has reports whether a feed has a neutral here.
func (a *Available) has(feed switchnet.Ref) bool {
	return slices.ContainsFunc(a.Neutrals, func(s Supply) bool { return s.Feed == feed })
}

// of says from what a hot and its neutral are taken, where there are others in the box,
// of their feed or of another, with which they could be confused.
func (a *Available) of(hot, neutral *Supply) string {
	if len(a.Hots) < 2 && len(a.Neutrals) < 2 {
		return ""
	}
	return fmt.Sprintf(" from %s with the neutral on %s and no other", hot.words(), neutral.words())
}

// from is of for a hot that is taken from its splice.
func (a *Available) from(hot, neutral *Supply) string {
	if a.of(hot, neutral) == "" {
		return ""
	}
	return fmt.Sprintf(", %s, with the neutral on %s and no other", hot.words(), neutral.words())
}

// which names a neutral where there are others in the box.
func (a *Available) which(n *Supply) string {
	if len(a.Neutrals) < 2 {
		return ""
	}
	return ", on " + n.words() + " and no other"
}

// beside names, where several neutrals are in the box, the one that comes in the cables of
// a switch's own conductors, if one does.
func (a *Available) beside(m metal, s switchnet.Ref, kind switchnet.Kind) string {
	cables := map[string]bool{}
	for _, t := range kind.Terminals {
		if t == "ground" {
			continue
		}
		for p := range m.within(point{s.Place, wiring.Joint{Device: s.Name, Terminal: t}}) {
			cables[p.at.Wire.Cable] = true
		}
	}
	// One that comes in no other cable goes before one that shares a cable with it.
	var found, whole []*Supply
	for i := range a.Neutrals {
		n := &a.Neutrals[i]
		if slices.ContainsFunc(n.Wires, func(w wiring.Wire) bool { return cables[w.Cable] }) {
			found = append(found, n)
			if !slices.ContainsFunc(n.Wires, func(w wiring.Wire) bool { return !cables[w.Cable] }) {
				whole = append(whole, n)
			}
		}
	}
	if len(whole) == 1 {
		found = whole
	}
	if len(a.Neutrals) < 2 || len(found) != 1 {
		return ""
	}
	return ", and takes the neutral on " + found[0].words() + " and no other"
}

func (a *Available) say(w *wiring.Wiring, spec *wiring.Spec, m metal) {
	power := false
	for i := range a.Hots {
		hot := &a.Hots[i]
		if n := a.with(hot); n != nil {
			power = true
			a.Says = append(a.Says, fmt.Sprintf("constant power of %s can be taken here%s", hot.Feed.Name, a.of(hot, n)))
		} else if a.has(hot.Feed) {
			power = true
			which := "hot"
			if len(a.Hots) > 1 {
				which = "the hot " + hot.words()
			}
			a.Says = append(a.Says, fmt.Sprintf("%s and neutral of %s are here, and come in different cables: what is taken from them would not balance", which, hot.Feed.Name))
		}
	}
	switch {
	case power:
	case len(a.Hots) > 0:
		a.Says = append(a.Says, fmt.Sprintf("there is a hot and no neutral of %s: no constant power", a.Hots[0].Feed.Name))
	case len(a.Neutrals) > 0:
		a.Says = append(a.Says, "there is a neutral and no unswitched hot: no constant power, for what is switched is live in some settings only")
	default:
		a.Says = append(a.Says, "there is neither an unswitched hot nor a neutral")
	}
	for _, s := range a.Switches {
		a.Says = append(a.Says, a.electronic(w, spec, m, s))
	}
}

// electronic says whether an electronic control may stand in the place of a switch: it
// takes its own current from a hot to the neutral.
func (a *Available) electronic(w *wiring.Wiring, spec *wiring.Spec, m metal, s switchnet.Ref) string {
	d, _ := w.Net().Device(s)
	var on *Supply            // the hot that is on it, if that is one of the box
	var feeds []switchnet.Ref // those whose hot is on it
	// A hot on a throw, as joined commons have it, feeds no control that expects it on the
	// common; such a control would have to take it from the splice.
	thrown := false
	for _, t := range d.Kind.Terminals {
		p := point{s.Place, wiring.Joint{Device: s.Name, Terminal: t}}
		if i := slices.IndexFunc(a.Hots, func(h Supply) bool { return h.points[p] }); i >= 0 && on == nil {
			on = &a.Hots[i]
			thrown = t != "common" && slices.Contains(d.Kind.Terminals, "common")
		}
	}
	for _, b := range spec.Feeds {
		r := switchnet.Ref{Place: b.Box, Name: b.Name}
		for _, t := range d.Kind.Terminals {
			if w.Net().Joined(r.Terminal("hot"), s.Terminal(t)) {
				feeds = append(feeds, r)
			}
		}
	}
	switch {
	case len(a.Neutrals) == 0:
		return fmt.Sprintf("an electronic control in the place of %s lacks a neutral", s.Name)
	case len(feeds) > 0 && !a.has(feeds[0]):
		return fmt.Sprintf("an electronic control in the place of %s lacks the neutral of %s; the neutral here is another circuit's", s.Name, feeds[0].Name)
	case on != nil && slices.Contains(feeds, on.Feed) && !thrown:
		n := a.with(on)
		if n == nil {
			return fmt.Sprintf("an electronic control in the place of %s lacks a neutral that comes with the hot on it: that of %s here comes in another cable and would not balance", s.Name, on.Feed.Name)
		}
		return fmt.Sprintf("an electronic control may stand in the place of %s: the hot of %s is on it and the neutral is here%s", s.Name, on.Feed.Name, a.which(n))
	case len(feeds) > 0 && !thrown:
		return fmt.Sprintf("an electronic control may stand in the place of %s: the hot of %s is on it and the neutral is here", s.Name, feeds[0].Name)
	}
	for i := range a.Hots {
		if n := a.with(&a.Hots[i]); n != nil {
			return fmt.Sprintf("an electronic control may stand in the place of %s if it takes the hot of %s from its splice%s, and is made to work from there", s.Name, a.Hots[i].Feed.Name, a.from(&a.Hots[i], n))
		}
	}
	return fmt.Sprintf("in the place of %s there is a neutral and only switched conductors: an electronic control must be one of a pair that is made for it%s", s.Name, a.beside(m, s, d.Kind))
}
