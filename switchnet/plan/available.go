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
	// Hots and Neutrals are the feeds whose unswitched hot and whose neutral are
	// there, in name order. A hot of one feed and a neutral of another make no
	// circuit.
	Hots, Neutrals []switchnet.Ref
	// Legs are the lights whose switch leg is there, in name order.
	Legs []switchnet.Ref
	// Spares are wires that do nothing, cables in name order.
	Spares []wiring.Wire
	// Switches are the devices in the box, in name order.
	Switches []switchnet.Ref
	// Says are sentences: whether power can be taken, and whether an electronic
	// control may stand in the place of each switch, and what it lacks if not.
	Says []string
}

// AvailableIn returns what can be used in a box of any wiring, planned or found. No
// such box gives an answer with nothing in it. It reads what each conductor is joined
// to for good: a conductor that is live in one setting only is no hot.
func AvailableIn(w *wiring.Wiring, box string) Available {
	a := Available{Box: box}
	together := map[switchnet.Ref]map[string]bool{} // by feed, the cables with its hot
	neutral := map[switchnet.Ref]map[string]bool{}
	note := func(list *[]switchnet.Ref, by map[switchnet.Ref]map[string]bool, refs []switchnet.Ref, cable string) {
		for _, r := range refs {
			*list = append(*list, r)
			if by[r] == nil {
				by[r] = map[string]bool{}
			}
			by[r][cable] = true
		}
	}
	for _, e := range w.Ends(box) {
		f, _ := w.FunctionAt(e)
		switch f.Kind {
		case wiring.Hot:
			note(&a.Hots, together, f.Feeds, e.Wire.Cable)
		case wiring.NeutralConductor:
			note(&a.Neutrals, neutral, f.Feeds, e.Wire.Cable)
		case wiring.SwitchLeg:
			a.Legs = append(a.Legs, f.Lights...)
		case wiring.Spare:
			a.Spares = append(a.Spares, e.Wire)
		}
	}
	spec := w.Spec()
	for _, f := range spec.Feeds {
		if f.Box == box {
			ref := switchnet.Ref{Place: f.Box, Name: f.Name}
			a.Hots, a.Neutrals = append(a.Hots, ref), append(a.Neutrals, ref)
		}
	}
	for _, d := range spec.Devices {
		if d.Box == box {
			a.Switches = append(a.Switches, switchnet.Ref{Place: d.Box, Name: d.Name})
		}
	}
	for _, list := range []*[]switchnet.Ref{&a.Hots, &a.Neutrals, &a.Legs, &a.Switches} {
		slices.SortFunc(*list, switchnet.Ref.Compare)
		*list = slices.Compact(*list)
	}
	a.say(w, together, neutral)
	return a
}

func (a *Available) say(w *wiring.Wiring, hots, neutrals map[switchnet.Ref]map[string]bool) {
	power := false
	for _, f := range a.Hots {
		if !slices.Contains(a.Neutrals, f) {
			continue
		}
		power = true
		apart := len(hots[f]) > 0 && len(neutrals[f]) > 0
		for c := range hots[f] {
			apart = apart && !neutrals[f][c]
		}
		if apart {
			a.Says = append(a.Says, fmt.Sprintf("hot and neutral of %s are here, and come in different cables: what is taken from them would not balance", f.Name))
			continue
		}
		a.Says = append(a.Says, fmt.Sprintf("constant power of %s can be taken here", f.Name))
	}
	switch {
	case power:
	case len(a.Hots) > 0:
		a.Says = append(a.Says, fmt.Sprintf("there is a hot and no neutral of %s: no constant power", a.Hots[0].Name))
	case len(a.Neutrals) > 0:
		a.Says = append(a.Says, "there is a neutral and no unswitched hot: no constant power, for a traveler is live in some settings only")
	default:
		a.Says = append(a.Says, "there is neither an unswitched hot nor a neutral")
	}
	for _, s := range a.Switches {
		a.Says = append(a.Says, a.electronic(w, s))
	}
}

// electronic says whether an electronic control may stand in the place of a switch: it
// takes its own current from a hot to the neutral.
func (a *Available) electronic(w *wiring.Wiring, s switchnet.Ref) string {
	d, _ := w.Net().Device(s)
	spec := w.Spec()
	var feeds []switchnet.Ref
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
	case len(feeds) > 0 && !slices.Contains(a.Neutrals, feeds[0]):
		return fmt.Sprintf("an electronic control in the place of %s lacks the neutral of %s; the neutral here is another circuit's", s.Name, feeds[0].Name)
	case len(feeds) > 0:
		return fmt.Sprintf("an electronic control may stand in the place of %s: the hot of %s is on it and the neutral is here", s.Name, feeds[0].Name)
	case len(a.Hots) > 0:
		return fmt.Sprintf("an electronic control may stand in the place of %s if it takes the hot of %s from its splice and is made to work from there", s.Name, a.Hots[0].Name)
	}
	return fmt.Sprintf("in the place of %s there is a neutral and only switched conductors: an electronic control must be one of a pair that is made for it", s.Name)
}
