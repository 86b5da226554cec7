package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
)

// neutralOnThrow finds the switches that would put a neutral, or a ground, and in another
// position a hot on the same metal. Where that metal is an end of a light whose other end
// changes too, the rules on lamps say it; where another switch brings the hot, it is a
// short.
func neutralOnThrow(p *Pass) error {
	m := p.metal()
	lamps, err := p.lamps()
	if err != nil {
		return err
	}
	told := map[int32]bool{}
	for i := range lamps {
		if l := &lamps[i]; l.earthed(m) == -1 {
			for e := range l.piece {
				for _, y := range m.reach(l.piece[e]) {
					told[y] = told[y] || !m.railed(y)
				}
			}
		}
	}
	last := int32(-1) // contacts of a device follow each other
	for i := range m.contacts {
		c := &m.contacts[i]
		if c.device == last {
			continue
		}
		for e, a := range c.piece {
			b := c.piece[1-e]
			if len(m.neutral[a])+len(m.ground[a]) == 0 || m.railed(b) || told[b] || !m.hotBySame(c.device, a, b) {
				continue
			}
			last = c.device
			d := &p.spec.Devices[c.device]
			ref := switchnet.Ref{Place: d.Box, Name: d.Name}
			what := "neutral"
			if len(m.neutral[a]) == 0 {
				what = "ground"
			}
			p.Report(Finding{Place: p.devicePlace(ref), About: ref, Section: p.section(rules.SwitchUngroundedOnly),
				Message: fmt.Sprintf("%s has a %s and a hot on its throws, the full voltage between them: a device landed there by the book is a short", ref, what)})
			break
		}
	}
	return nil
}

// hotBySame reports whether a device has a contact from piece b to another than a, and
// from there some positions reach a hot.
func (m *metal) hotBySame(device, a, b int32) bool {
	return slices.ContainsFunc(m.at[b], func(i int32) bool {
		c := &m.contacts[i]
		z := c.piece[0]
		if z == b {
			z = c.piece[1]
		}
		return c.device == device && z != a && z != b && len(m.hotPieces(z)) > 0
	})
}
