package draw

import "slices"

// heavy draws the ways of the current over everything.
func (c *chain) heavy(s *scene, rows []*chainRow, ways []way) {
	row := map[*cell]int{}
	for i, r := range rows {
		for _, x := range r.cells {
			row[x] = i
		}
	}
	done := map[[2]*chainPin]bool{}
	within := func(i int, p, q *chainPin) {
		if done[[2]*chainPin{p, q}] || p == q {
			return
		}
		done[[2]*chainPin{p, q}] = true
		s.wires = append(s.wires, wire{name: c.names[p.net], from: p.name, to: q.name, pts: rows[i].course(p, q), paint: paint{style: bold}, net: p.net + 1})
	}
	for _, w := range ways {
		for k := 0; k+1 < len(w.pins); k += 2 {
			in, out := w.pins[k], w.pins[k+1]
			i := row[out.cell]
			c.heavyCell(s, rows[i], in, out)
			if k+2 == len(w.pins) {
				if letter, rail := c.rails[out.net]; rail {
					s.wires = append(s.wires, wire{name: letter, from: out.name, to: "rail\x00" + out.name, pts: []point{out.at, railAt(rows[i], out)}, paint: paint{style: bold}, net: out.net + 1})
				}
				break
			}
			next := w.pins[k+2]
			if next == nil {
				continue
			}
			a, b := row[out.cell], row[next.cell]
			p, step := out, 1
			if b < a {
				step = -1
			}
			for a != b {
				leave, enter := rows[a].flagOf(out.net, step > 0), rows[a+step].flagOf(out.net, step < 0)
				if leave == nil || enter == nil {
					break
				}
				within(a, p, leave)
				p, a = enter, a+step
			}
			if a == b {
				within(b, p, next)
			}
		}
	}
}

// railAt returns where the mark of a rail stands at a pin.
func railAt(r *chainRow, p *chainPin) point {
	if slices.Contains(p.cell.right, p) {
		return point{p.at.x + 12, p.at.y}
	}
	return point{p.at.x - 12, p.at.y}
}

// flagOf returns the pin of a net on the flag at the end of a row, or at its beginning.
func (r *chainRow) flagOf(net int, atEnd bool) *chainPin {
	x := r.cells[0]
	if atEnd {
		x = r.cells[len(r.cells)-1]
	}
	if x.kind != flagCell {
		return nil
	}
	for _, p := range slices.Concat(x.left, x.right) {
		if p.net == net {
			return p
		}
	}
	return nil
}

// heavyCell draws the way of the current through a cell.
func (c *chain) heavyCell(s *scene, r *chainRow, in, out *chainPin) {
	i := slices.Index(r.cells, out.cell)
	switch {
	case out.cell.kind == lampCell:
		mid := point{r.x[i] + r.widths[i]/2, r.mid}
		for _, p := range []*chainPin{in, out} {
			far := point{mid.x - 11, mid.y}
			if p.at.x > mid.x {
				far.x = mid.x + 11
			}
			if p.at.y == mid.y {
				s.stroke(40, p.at, far)
			} else {
				s.stroke(40, p.at, point{mid.x, p.at.y}, point{mid.x, mid.y + 11*sign(p.at.y-mid.y)})
			}
		}
	case in == nil: // a feed
		s.stroke(40, point{r.x[i] + 25, out.at.y}, out.at)
		s.contact(r.inner(out, i))
	default:
		s.stroke(40, slices.Concat([]point{in.at}, r.blade(in, out, i), []point{out.at})...)
		s.contact(r.inner(in, i))
		s.contact(r.inner(out, i))
	}
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}
