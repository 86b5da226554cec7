package packet

import (
	"fmt"
	"strconv"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// supports counts the supports of a cable, and reports whether there is a rule for
// them.
func (t *taker) supports(c *wiring.Cable) bool {
	by := rules.SecuringOf(c.Type)
	every, ok := t.rule(by.Every)
	first := every
	if by.First != 0 {
		var known bool
		first, known = t.rule(by.First)
		ok = ok && known
	}
	if !ok {
		return false
	}
	if c.Length == 0 {
		return true
	}
	near, hasNear := t.rule(rules.SecuredFromUnclampedBox)
	hasNear = hasNear && c.Type.Construction == conductor.NonmetallicSheath
	from := func(box string) quantity.Length {
		if b := t.boxes[box]; hasNear && b != nil && b.Unclamped() {
			return near.Length
		}
		return first.Length
	}
	n := 1 // one that serves both boxes
	if rest := c.Length - from(c.From) - from(c.To); rest > 0 {
		n = 2 + int((rest-1)/every.Length)
	}
	rule := "for each cable, "
	if by.First != 0 {
		rule += "within " + cited(first) + " of a box"
		if hasNear {
			rule += ", or " + cited(near) + " of a nonmetallic one-gang box without clamps"
		}
		rule += ", and "
	}
	rule += "every " + cited(every)
	for _, r := range []rules.Rule{first, every} {
		if r.Note != "" {
			rule += " (" + r.Note + ")"
			break
		}
	}
	rule += "; a bored hole that holds the cable is a support as well"
	t.count(n, Item{Kind: SupportItem, Name: c.Type.Name + " cable", Rule: rule})
	return true
}

// whyUnsupported says why a construction has no supports.
func (t *taker) whyUnsupported(c conductor.Construction) string {
	by := rules.SecuringOf(conductor.CableType{Construction: c})
	switch {
	case by.Every == 0:
		return "the job does not say what raceway they lie in, nor its way along the wall"
	case by.First != 0:
		if _, ok := t.rule(by.First); !ok {
			return t.refused(by.First)
		}
	}
	return t.refused(by.Every)
}

// supported names what has no supports.
func supported(c conductor.Construction) string {
	if c == conductor.Loose {
		return "the raceways of loose conductors"
	}
	return c.String() + " cable"
}

// plates counts the nail plates of a cable.
func (t *taker) plates(c *wiring.Cable) {
	if len(c.Bored)+c.Notches == 0 {
		return
	}
	n, ok := plates(t.region, c)
	switch {
	case c.Type.Construction == conductor.Loose:
		t.note("The holes and notches of %s are stated and no nail plates counted: whether a raceway wants them depends on what it is.", c.Name)
		return
	case !ok:
		t.note("The holes and notches of %s are stated and no nail plates counted: %s.", c.Name, t.refused(rules.BoredFromEdge))
		return
	}
	edge, _ := t.rule(rules.BoredFromEdge)
	rule := "one at each bored hole of new cable that is nearer than " + cited(edge) + " to an edge of the framing, and one at each notch"
	if notch, ok := t.region.Wiring.Rule(rules.NotchShielded); ok {
		rule += " [" + notch.Source.String() + "]"
	}
	if edge.Note != "" {
		rule += ": " + edge.Note
	}
	t.count(n, Item{Kind: NailPlateItem, Name: "for a hole or notch", Rule: rule})
}

// plates returns how many nail plates a cable wants by the rules of a region, and false
// if they have no figure, or if it is in a raceway.
func plates(region *rules.Region, c *wiring.Cable) (n int, ok bool) {
	edge, ok := lengthRule(region, rules.BoredFromEdge)
	if !ok || c.Type.Construction == conductor.Loose {
		return 0, false
	}
	n = c.Notches
	for _, d := range c.Bored {
		if d < edge.Length {
			n++
		}
	}
	return n, true
}

// lengthRule returns a rule that asks for a length and is in force in the edition of a
// region.
func lengthRule(region *rules.Region, n rules.Name) (rules.Rule, bool) {
	r, ok := region.Wiring.Rule(n)
	year, err := strconv.Atoi(region.Edition)
	return r, ok && r.Length > 0 && r.Says == rules.Required && (err != nil || r.During.Holds(year))
}

// cited writes a length with where it stands.
func cited(r rules.Rule) string { return fmt.Sprintf("%s [%s]", r.Length, r.Source) }
