package packet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/wiring"
)

// cables cuts every cable, adds them up by type and counts their supports and nail
// plates.
func (t *taker) cables() error {
	there := map[string]bool{}
	for _, name := range t.opt.InPlace {
		there[name] = true
	}
	totals := map[string]*CableTotal{}
	unknown, open, bare := []string{}, 0, map[conductor.Construction]bool{}
	for i := range t.spec.Cables {
		c := &t.spec.Cables[i]
		cut := Cut{Cable: c.Name, Type: c.Type.Name, Run: c.Length, From: t.end(c, c.From), To: t.end(c, c.To),
			InPlace: there[c.Name] || t.spec.Installed == 0 && c.Installed != 0}
		if cut.Run > 0 {
			cut.Length = cut.Run + cut.From + cut.To
		}
		t.out.Cuts = append(t.out.Cuts, cut)
		if cut.InPlace {
			continue
		}
		total := totals[cut.Type]
		if total == nil {
			total = &CableTotal{Type: cut.Type, Rule: t.cableRule(&c.Type)}
			totals[cut.Type] = total
		}
		total.Pieces++
		total.Cut += cut.Length
		if err := t.wires(&c.Type, cut.Length); err != nil {
			return err
		}
		if cut.Run == 0 {
			total.Unknown++
			unknown = append(unknown, c.Name)
		}
		if c.To == "" {
			open++
		}
		if !t.supports(c) {
			bare[c.Type.Construction] = true
		}
		t.plates(c)
	}
	for _, total := range totals {
		var ok bool
		if total.Buy, ok = wasted(total.Cut, t.opt.Waste); !ok {
			return fmt.Errorf("more %s cable than can be added up", total.Type)
		}
		t.out.Cables = append(t.out.Cables, *total)
	}
	if err := t.buyWires(); err != nil {
		return err
	}
	slices.SortFunc(t.out.Cables, func(a, b CableTotal) int { return strings.Compare(a.Type, b.Type) })
	if n := len(t.out.Cuts) - pieces(t.out.Cables); n > 0 {
		t.note("%s in place already and in no sum.", plural2(n, "cable lies", "cables lie"))
	}
	if len(unknown) > 0 {
		t.note("The length of %s is not known; no sum holds it, nor supports for it.", strings.Join(unknown, ", "))
	}
	if open > 0 {
		t.note("%s into a box that is not known; nothing is allowed there.", plural2(open, "cable runs", "cables run"))
	}
	for c := conductor.NonmetallicSheath; c <= conductor.Loose; c++ {
		if bare[c] {
			t.note("No supports are counted for %s: %s.", supported(c), t.whyUnsupported(c))
		}
	}
	return nil
}

func pieces(totals []CableTotal) int {
	n := 0
	for _, c := range totals {
		n += c.Pieces
	}
	return n
}

// wasted returns the length with waste, rounded up, and false if it is longer than a
// Length can hold.
func wasted(l quantity.Length, factor quantity.Ratio) (quantity.Length, bool) {
	product, exact := quantity.Scale(l, factor)
	if product == math.MaxInt64 {
		return 0, false
	}
	if !exact {
		product++ // Scale rounds to the nearest
	}
	return product, true
}

// end returns what is allowed at one end of a cable: the free conductor and the
// sheath, or the way from the back of the box to beyond its opening where that is
// more.
func (t *taker) end(c *wiring.Cable, box string) quantity.Length {
	b := t.boxes[box]
	switch {
	case b == nil:
		return 0
	case b.Kind == wiring.Panel && t.opt.Panel > 0:
		return t.opt.Panel
	case t.opt.End > 0:
		return t.opt.End
	}
	free, ok := t.rule(rules.FreeConductor)
	if !ok {
		return 0
	}
	length := free.Length
	if r, ok := t.sheath(&c.Type, b.Metal); ok {
		length += r.Length
	}
	if depth, beyond, _, ok := t.opening(b); ok {
		length = max(length, depth+beyond.Length)
	}
	return length
}

// sheath returns the rule for the sheath of a cable inside a box, the longest of
// those that hold.
func (t *taker) sheath(c *conductor.CableType, metal bool) (rules.Rule, bool) {
	if c.Construction != conductor.NonmetallicSheath {
		return rules.Rule{}, false
	}
	names := []rules.Name{rules.SheathInNonmetallicBox, rules.SheathPastEntry}
	if metal {
		names[0] = rules.SheathInMetalBox
	}
	var most rules.Rule
	for _, n := range names {
		if r, ok := t.rule(n); ok && r.Length > most.Length {
			most = r
		}
	}
	return most, most.Length > 0
}

// opening returns the depth of a box whose opening is small, where the region's table
// knows it, and the rules for how far a conductor must reach beyond it.
func (t *taker) opening(b *wiring.Box) (depth quantity.Length, beyond, small rules.Rule, ok bool) {
	beyond, ok1 := t.rule(rules.BeyondOpening)
	small, ok2 := t.rule(rules.SmallOpening)
	if !ok1 || !ok2 || b.Kind == wiring.Panel {
		return 0, beyond, small, false
	}
	for _, s := range b.Volume.Sections {
		kind, known := t.region.Box.BoxType(s.Type)
		if known && kind.Width > 0 && (kind.Width < small.Length || kind.Second > 0 && kind.Second < small.Length) {
			depth = max(depth, kind.Depth)
		}
	}
	if depth == 0 {
		return 0, beyond, small, false
	}
	for _, a := range b.Volume.Additions {
		if kind, known := t.region.Box.BoxType(a.Type); known && a.Kind == boxfill.ExtensionRing {
			depth += kind.Depth
		}
	}
	return depth, beyond, small, true
}

// cableRule says how the length of a type of cable was found.
func (t *taker) cableRule(c *conductor.CableType) string {
	text := "each run as drawn"
	free, ok := t.rule(rules.FreeConductor)
	switch {
	case t.opt.End > 0:
		text += fmt.Sprintf(" and %s at each end in a box, as asked for", t.opt.End)
	case !ok:
		text += " and nothing at its ends, for " + t.refused(rules.FreeConductor)
	default:
		text += ", and at each end in a box " + cited(free) + " of free conductor"
		var sheath []string
		for _, metal := range []bool{false, true} {
			if r, ok := t.sheath(c, metal); ok && !slices.Contains(sheath, cited(r)) {
				sheath = append(sheath, cited(r))
			}
		}
		if len(sheath) > 0 {
			text += " and " + strings.Join(sheath, " or ") + " of sheath"
		}
		if beyond, ok := t.rule(rules.BeyondOpening); ok {
			text += ", or the depth of the box where it is known and " + cited(beyond) + " beyond its opening where that is more"
		}
	}
	switch {
	case t.opt.Panel == 0 && (ok || t.opt.End > 0):
		text += "; in a panel no more than that, unless it is asked for"
	case t.opt.Panel > 0:
		text += fmt.Sprintf("; %s at an end in a panel, as asked for", t.opt.Panel)
	}
	if c.Construction == conductor.Loose {
		text += "; the length of one conductor of the set, and each colour under wire"
	}
	return text + "; to buy: times " + t.opt.Waste.Factor() + " for waste, which no code rules"
}

// plural2 returns "1 cable lies", "2 cables lie".
func plural2(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
