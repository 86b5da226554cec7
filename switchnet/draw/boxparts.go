package draw

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet/wiring"
)

// BoxParts returns the picture of one box as Box does, in as many parts as it takes for
// none to be taller than the given height in px, for paper: one where the whole is not, and
// taller ones where what ends in one place is so by itself. Each conductor stands in one
// part, with its cable; a pigtail that goes to another part is named at both its ends. The
// title of a part says which it is of how many.
//
// No box of that name is an error. The parts are in the order of the whole picture.
func (d *Drawer) BoxParts(name string, opt *Options, height int) ([]*Picture, error) {
	whole, err := d.Box(name, opt)
	if err != nil {
		return nil, err
	}
	if _, h := whole.Size(); h <= height {
		return []*Picture{whole}, nil
	}
	set, err := opt.settings()
	if err != nil {
		return nil, err
	}
	sheet := d.sheet(name, set.words)
	var parts []*boxSheet
	for from := 0; from < len(sheet.blocks); {
		// As many blocks as there is room for, and one at least.
		fits := sheet.part(sheet.blocks[from : from+1])
		for to := from + 2; to <= len(sheet.blocks); to++ {
			more := sheet.part(sheet.blocks[from:to])
			if more.height(set.width) > height {
				break
			}
			fits = more
		}
		parts = append(parts, fits)
		from += len(fits.blocks)
	}
	if len(parts) < 2 {
		return []*Picture{whole}, nil
	}
	var out []*Picture
	for i, s := range parts {
		s.heading = fmt.Sprintf("Box %s, part %d of %d", clean(name), i+1, len(parts))
		p := &Picture{title: s.heading, description: s.describe(), scheme: set.scheme}
		s.layout(&p.scene, set.width)
		out = append(out, p)
	}
	return out, nil
}

// height returns how tall the picture of a sheet is, with a line more for a longer heading.
func (s *boxSheet) height(width int) int {
	var p Picture
	s.layout(&p.scene, width)
	_, h := p.Size()
	return h + leading
}

// part returns a sheet with some of the blocks, and of the cables the conductors that end on
// these.
func (s *boxSheet) part(blocks []*block) *boxSheet {
	p := &boxSheet{d: s.d, words: s.words, name: s.name, has: s.has, index: map[wiring.Wire]int{}, touch: s.touch, notes: s.notes}
	here := map[string]bool{} // pins
	for _, b := range blocks {
		for _, r := range b.rows {
			here[r.name] = true
			if r.right != "" {
				here[r.right] = true
			}
		}
	}
	number := map[int]int{}
	for _, c := range s.cables {
		first := len(p.ends)
		for i := c.first; i < c.last; i++ {
			if e := s.ends[i]; here[e.to] {
				number[i] = len(p.ends)
				p.index[e.wire] = len(p.ends)
				p.ends = append(p.ends, e)
			}
		}
		if c.first == c.last || len(p.ends) > first {
			c.first, c.last = first, len(p.ends)
			p.cables = append(p.cables, c)
		}
	}
	for _, l := range s.leads {
		if here[l.from] && here[l.to] {
			p.leads = append(p.leads, l)
		}
	}
	drawn := func(pin string) bool {
		return slices.ContainsFunc(p.leads, func(l lead) bool { return l.from == pin || l.to == pin })
	}
	for _, b := range blocks {
		c := *b
		c.rows = nil
		for _, r := range b.rows {
			x := *r
			if x.wire >= 0 {
				x.wire = number[x.wire]
			}
			if x.right != "" && !drawn(x.right) {
				x.right = ""
			}
			c.rows = append(c.rows, &x)
		}
		p.blocks = append(p.blocks, &c)
	}
	return p
}
