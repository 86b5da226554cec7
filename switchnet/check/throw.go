package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
)

// neutralOnThrow finds the switches that would put a neutral, or a ground, and in another
// position of theirs or of others a hot on the same metal. Where that metal is an end of
// a light whose other end changes too, the rules on lamps say it.
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
	last := int32(-1)
	for i := range m.contacts {
		c := &m.contacts[i]
		if c.device == last {
			continue
		}
		for e, a := range c.piece {
			b := c.piece[1-e]
			if len(m.neutral[a])+len(m.ground[a]) == 0 || m.railed(b) || told[b] || !slices.ContainsFunc(m.reach(b), func(y int32) bool { return len(m.hot[y]) > 0 }) {
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
				Message: fmt.Sprintf("%s brings a %s to where a switch brings a hot", ref, what)})
			break
		}
	}
	return nil
}
