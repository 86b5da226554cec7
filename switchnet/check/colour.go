package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// The rules on colours.
var colourRules = []Rule{
	{Code: "line-unmarked", Topic: Law, Doc: "A conductor of a neutral's colour, or of one that says nothing, that carries a line and is not re-marked at every end, or one that is marked as no line.",
		Needs: needsColours, Find: lineUnmarked},
	{Code: "white-as-return", Topic: Law, Doc: "A re-marked white that carries the return from a switch to its light.", Needs: forbids(rules.RemarkedWhiteAsReturn), Find: whiteAsReturn},
	{Code: "white-in-raceway", Topic: Law, Doc: "A loose white conductor in a raceway that carries a line, marked or not.", Needs: forbids(rules.RemarkedWhiteInRaceway), Find: whiteInRaceway},
	{Code: "neutral-coloured-wrong", Topic: Law, Doc: "A neutral on a conductor that is not of a neutral's colour, nor marked with one, or that is marked as a line.", Needs: needsColours, Find: neutralColoured},
	{Code: "old-colours", Topic: Law, Doc: "A cable in colours that were no longer lawful for new work when it was put in.", Needs: needsColours, Find: oldColours},
	{Code: "colours-mixed", Topic: Law, Doc: "Cables of an old and a new system of colours in one box, which asks for a notice.", Needs: needs(rules.MixedSchemesNotice), Find: coloursMixed},
}

func needsColours(r *rules.Region) error {
	switch {
	case r == nil:
		return fmt.Errorf("no region is named, and what colours mean depends on it")
	case len(r.Wiring.Schemes) == 0:
		return fmt.Errorf("%s has no colours", r.ID)
	}
	return nil
}

// forbids asks that a region forbids something.
func forbids(n rules.Name) func(*rules.Region) error {
	return func(r *rules.Region) error {
		if err := needs(n)(r); err != nil {
			return err
		}
		if rule, _ := r.Wiring.Rule(n); rule.Says != rules.Forbidden {
			return fmt.Errorf("%s does not forbid it", r.ID)
		}
		return nil
	}
}

// colours are what a system of colours says of lines and neutrals.
type colours struct {
	scheme               *rules.ColourScheme
	line, neutral, never []conductor.Colour
	source               [2]conductor.Source // of the line's and of the neutral's
}

// coloursOf returns the colours by which a cable is to be read: those of the first system
// of the region, the one in force first, that has all the colours of its conductors; or
// else those in force.
func (p *Pass) coloursOf(t *conductor.CableType) colours {
	w := &p.suite.region.Wiring
	best := &w.Schemes[0]
	for i := range w.Schemes {
		s := &w.Schemes[i]
		if !slices.ContainsFunc(t.Cores, func(c conductor.Core) bool { return c.Insulated() && !c.Grounding && !hasColour(s, c.Colour) }) {
			best = s
			break
		}
	}
	line, _ := best.Palette(rules.Line)
	neutral, _ := best.Palette(rules.Neutral)
	return colours{best, line.Colours, neutral.Colours, w.NeverLine.Colours, [2]conductor.Source{line.Source, neutral.Source}}
}

func hasColour(s *rules.ColourScheme, c conductor.Colour) bool {
	return slices.ContainsFunc(s.Palettes, func(p rules.Palette) bool {
		return slices.Contains(p.Colours, c) || c.Stripe != 0 && slices.Contains(p.Colours, conductor.Plain(c.Main))
	})
}

// forLine reports whether a colour says that a conductor is a line: one of the lines'
// colours, or one of them with a stripe that no line is forbidden.
func (c *colours) forLine(v conductor.Colour) bool {
	return slices.Contains(c.line, v) || v.Stripe != 0 && slices.Contains(c.line, conductor.Plain(v.Main)) && !slices.Contains(c.never, conductor.Plain(v.Stripe))
}

// marked returns the marks by end.
func (p *Pass) marked() map[wiring.End]conductor.Colour {
	if p.marks == nil {
		p.marks = make(map[wiring.End]conductor.Colour, len(p.spec.Marks))
		for _, k := range p.spec.Marks {
			p.marks[wiring.End{Box: k.Box, Wire: k.Wire}] = k.As
		}
	}
	return p.marks
}

// touched reports whether metal touches other metal that it is not meant to, so that what
// its conductors do is no matter of their colours.
func (p *Pass) touched(x int32) bool {
	return slices.ContainsFunc(p.spec.Ties, func(t wiring.Tie) bool {
		y, _ := p.metal().on(joinTerminal(t.Box, t.A))
		return x == y
	})
}

// lines yields the conductors that carry a line at some end, grounding ones left out.
func (p *Pass) lines(yield func(w *wire, ends []wiring.End, kinds []wiring.FunctionKind)) {
	m := p.metal()
	for i := range m.wires {
		w := &m.wires[i]
		if w.ground {
			continue
		}
		var ends []wiring.End
		var kinds []wiring.FunctionKind
		for k := range w.box {
			if k == 1 && !w.known {
				continue
			}
			if p.touched(m.piece[w.term[k]]) {
				continue
			}
			e := wiring.End{Box: w.box[k], Wire: w.Wire}
			switch f, _ := p.job.Wiring.FunctionAt(e); f.Kind {
			case wiring.Hot, wiring.SwitchLeg, wiring.Traveler:
				ends, kinds = append(ends, e), append(kinds, f.Kind)
			}
		}
		if len(ends) > 0 {
			yield(w, ends, kinds)
		}
	}
}

// lineUnmarked finds lines that do not look like lines at some end: what a person sees of a
// conductor that is marked is the mark.
func lineUnmarked(p *Pass) error {
	everywhere, has := p.law(rules.RemarkEverywhere)
	p.lines(func(w *wire, ends []wiring.End, _ []wiring.FunctionKind) {
		t := &p.spec.Cables[w.cable].Type
		c := p.coloursOf(t)
		whole := c.forLine(w.core.Colour)
		if p.looseWhite(w, &c) {
			return
		}
		var edits []wiring.Edit
		f := Finding{Section: c.source[0]}
		if has {
			f.Section = everywhere.Source
		}
		for _, e := range ends {
			mark, ok := p.marked()[e]
			if ok && c.forLine(mark) || !ok && whole {
				continue
			}
			if len(edits) == 0 {
				f.Place = p.endPlace(e)
			} else {
				f.Related = append(f.Related, p.endPlace(e))
			}
			as := c.markFor(t)
			if whole {
				as = conductor.Colour{} // its own colour says it
			}
			edits = append(edits, wiring.Remark{End: e, As: as})
		}
		if len(edits) == 0 {
			return
		}
		f.Fixes = append(p.feedsReversed(), newFix(edits...))
		how := "not marked for it"
		if whole {
			how = "marked as if it were no line"
		}
		f.Message = fmt.Sprintf("%s carries a line and is %s in box %s", w.Wire, how, f.Place.Box)
		for _, r := range f.Related {
			f.Message += " and box " + r.Box
		}
		p.Report(f)
	})
	return nil
}

// forNeutral reports whether a colour says that a conductor is a neutral: one of the
// neutrals' colours, or one of them with a stripe that is not a ground's.
func (c *colours) forNeutral(v conductor.Colour) bool {
	return slices.Contains(c.neutral, v) || v.Stripe != 0 && v.Stripe != conductor.Green && slices.Contains(c.neutral, conductor.Plain(v.Main))
}

// markFor returns the colour with which a conductor of a cable is marked as a line: the
// first of the lines' that no conductor of the cable has, or the first.
func (c *colours) markFor(t *conductor.CableType) conductor.Colour {
	for _, v := range c.line {
		if _, ok := t.Core(v); !ok {
			return v
		}
	}
	return c.line[0]
}

// looseWhite reports whether a wire is a conductor of a neutral's colour in a raceway of a
// region that forbids to re-mark it there.
func (p *Pass) looseWhite(w *wire, c *colours) bool {
	rule, _ := p.law(rules.RemarkedWhiteInRaceway)
	return rule.Says == rules.Forbidden && p.spec.Cables[w.cable].Type.Construction == conductor.Loose && slices.Contains(c.neutral, w.core.Colour)
}

func whiteInRaceway(p *Pass) error {
	rule, _ := p.law(rules.RemarkedWhiteInRaceway)
	p.lines(func(w *wire, ends []wiring.End, _ []wiring.FunctionKind) {
		c := p.coloursOf(&p.spec.Cables[w.cable].Type)
		if p.looseWhite(w, &c) {
			p.Report(Finding{Place: p.endPlace(ends[0]), ByHand: true, Section: rule.Source, since: rule.During.Since,
				Message: fmt.Sprintf("%s is a loose conductor in a raceway that carries a line; marking does not make it lawful, pull another colour", w.Wire)})
		}
	})
	return nil
}

func whiteAsReturn(p *Pass) error {
	rule, _ := p.law(rules.RemarkedWhiteAsReturn)
	p.lines(func(w *wire, ends []wiring.End, kinds []wiring.FunctionKind) {
		t := &p.spec.Cables[w.cable].Type
		c := p.coloursOf(t)
		if !slices.Contains(kinds, wiring.SwitchLeg) || !slices.Contains(c.neutral, w.core.Colour) || t.Construction == conductor.Loose {
			return
		}
		p.Report(Finding{Place: p.endPlace(ends[0]), Section: rule.Source, since: rule.During.Since, Fixes: p.changePlaces(w, &c),
			Message: fmt.Sprintf("%s carries the return from a switch; a white may carry the supply to it, marked, and not the return", w.Wire)})
	})
	return nil
}

// changePlaces proposes to exchange a wire of a neutral's colour with each line of its
// cable at both ends, and to mark it where it is not marked.
func (p *Pass) changePlaces(w *wire, c *colours) []Fix {
	var out []Fix
	if !w.known {
		return nil
	}
	m := p.metal()
	for i := range m.wires {
		v := &m.wires[i]
		if v.cable != w.cable || v.ground || v.Wire == w.Wire || !c.forLine(v.core.Colour) {
			continue
		}
		edits := []wiring.Edit{wiring.SwapWires{Box: w.box[0], A: w.Wire, B: v.Wire}, wiring.SwapWires{Box: w.box[1], A: w.Wire, B: v.Wire}}
		for _, box := range w.box {
			if e := (wiring.End{Box: box, Wire: w.Wire}); p.marked()[e] == (conductor.Colour{}) {
				edits = append(edits, wiring.Remark{End: e, As: c.markFor(&p.spec.Cables[w.cable].Type)})
			}
		}
		out = append(out, newFix(edits...))
	}
	return out
}

// neutralColoured finds neutrals that do not look like neutrals at some end: by the mark if
// they have one, or else by their own colour.
func neutralColoured(p *Pass) error {
	m := p.metal()
	for i := range m.wires {
		w := &m.wires[i]
		if w.ground {
			continue
		}
		c := p.coloursOf(&p.spec.Cables[w.cable].Type)
		own := c.forNeutral(w.core.Colour)
		var off []wiring.Edit
		for k, box := range w.box {
			e := wiring.End{Box: box, Wire: w.Wire}
			f, _ := p.job.Wiring.FunctionAt(e)
			mark, marked := p.marked()[e]
			if k == 1 && !w.known || f.Kind != wiring.NeutralConductor || p.touched(m.piece[w.term[k]]) || marked && c.forNeutral(mark) || !marked && own {
				continue
			}
			if own {
				off = append(off, wiring.Remark{End: e})
				continue
			}
			fixes := p.feedsReversed()
			for j := range m.wires {
				if v := &m.wires[j]; v.cable == w.cable && w.known && slices.Contains(c.neutral, v.core.Colour) {
					edits := []wiring.Edit{wiring.SwapWires{Box: w.box[0], A: w.Wire, B: v.Wire}, wiring.SwapWires{Box: w.box[1], A: w.Wire, B: v.Wire}}
					for _, box := range v.box {
						if at := (wiring.End{Box: box, Wire: v.Wire}); p.marked()[at] != (conductor.Colour{}) {
							edits = append(edits, wiring.Remark{End: at}) // it was marked for what it was
						}
					}
					fixes = append(fixes, newFix(edits...))
				}
			}
			p.Report(Finding{Place: p.endPlace(e), Section: c.source[1], Fixes: fixes, Message: fmt.Sprintf("%s is a neutral and not of a neutral's colour", w.Wire)})
			break
		}
		if len(off) > 0 {
			e := off[0].(wiring.Remark).End
			p.Report(Finding{Place: p.endPlace(e), Section: c.source[1], Fixes: append(p.feedsReversed(), newFix(off...)),
				Message: fmt.Sprintf("%s is a neutral and is marked %v in box %s: whoever sees it takes it for a line", w.Wire, p.marked()[e], e.Box)})
		}
	}
	return nil
}

func oldColours(p *Pass) error {
	for i := range p.spec.Cables {
		cable := &p.spec.Cables[i]
		c := p.coloursOf(&cable.Type)
		until := c.scheme.Until
		installed := p.installed(cable.Name)
		if until.IsZero() || installed != 0 && installed <= until.Year {
			continue
		}
		p.Report(Finding{Place: p.cablePlace(cable.Name), ByHand: true, Section: c.source[0],
			Message: fmt.Sprintf("%s is in the %s colours, which are not for work after %v", cable.Name, c.scheme.Name, until)})
	}
	return nil
}

func coloursMixed(p *Pass) error {
	rule, _ := p.law(rules.MixedSchemesNotice)
	first := map[string]*rules.ColourScheme{}
	mixed := map[string]bool{}
	for i := range p.spec.Cables {
		cable := &p.spec.Cables[i]
		c := p.coloursOf(&cable.Type)
		for _, box := range []string{cable.From, cable.To} {
			if first[box] == nil {
				first[box] = c.scheme
			} else if first[box] != c.scheme {
				mixed[box] = true
			}
		}
	}
	for i := range p.spec.Boxes {
		b := &p.spec.Boxes[i]
		if mixed[b.Name] && !b.Notice {
			p.Report(Finding{Place: p.boxPlace(b.Name), ByHand: true, Section: rule.Source, since: rule.During.Since,
				Message: fmt.Sprintf("cables of two systems of colours are in box %s, and no notice is known of", b.Name)})
		}
	}
	return nil
}

// feedsReversed proposes to exchange hot and neutral of each feed of one pole that has a wire
// of a neutral's colour on its hot and one of a line's on its neutral, and neutral and ground
// of each that has a bare or green on its neutral and none on its ground.
func (p *Pass) feedsReversed() []Fix {
	if p.suite.region == nil || len(p.suite.region.Wiring.Schemes) == 0 {
		return nil
	}
	swap := func(v *wiring.Feed, a, b string) Fix {
		return newFix(wiring.SwapTerminals{Box: v.Box, A: wiring.Joint{Device: v.Name, Terminal: a}, B: wiring.Joint{Device: v.Name, Terminal: b}})
	}
	var out []Fix
	for i := range p.spec.Feeds {
		v := &p.spec.Feeds[i]
		reversed, grounds := map[string]bool{}, map[string]bool{} // by terminal
		for _, l := range p.spec.Landings {
			if l.Box != v.Box || l.Device != v.Name {
				continue
			}
			k := slices.IndexFunc(p.spec.Cables, func(c wiring.Cable) bool { return c.Name == l.Wire.Cable })
			t := &p.spec.Cables[k].Type
			colours := p.coloursOf(t)
			for _, core := range t.Cores {
				if core.Colour.String() != l.Wire.Conductor {
					continue
				}
				reversed[l.Terminal] = l.Terminal == "hot" && colours.forNeutral(core.Colour) || l.Terminal == "neutral" && colours.forLine(core.Colour)
				grounds[l.Terminal] = grounding(core.Colour)
			}
		}
		if reversed["hot"] && reversed["neutral"] {
			out = append(out, swap(v, "hot", "neutral"))
		}
		if onGround, landed := grounds["ground"]; grounds["neutral"] && landed && !onGround {
			out = append(out, swap(v, "neutral", "ground"))
		}
	}
	return out
}
