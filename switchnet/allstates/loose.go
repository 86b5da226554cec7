package allstates

import (
	"math/bits"
	"slices"
)

// An editor's diagram branches, at a device with few terminals, on everything that
// contacts could do to the metal that lands on it: every partition of its nets,
// every choice of the rails that touch each block, and a contact between two rails
// or none. Whatever the device is changed to, its positions are among the branches.

// maxLoose is the most terminals of a device that is treated so.
const maxLoose = 5

func loosened(arity int) bool { return arity <= maxLoose }

// sides are the distinct nets and rails on which a device lands, the nets in the
// order of their places in the key and the rails in that of their labels. They are
// codes of a region.
type sides struct {
	code  [maxLoose]int32
	nets  uint8
	rails uint8
}

// conflict reports whether two of the rails make a short.
func (s *sides) conflict() bool {
	l := noRail
	for _, c := range s.code[s.nets : s.nets+s.rails] {
		l = join(l, label(termRail-c))
	}
	return l == shorted
}

// sidesOf returns the sides of a device, given the codes of its terminals in the
// region and their places in the key, and the places of the nets. Equal places give
// equal sides but for the codes.
func sidesOf(codes []int32, at []uint16) (s sides, places [maxLoose]uint16) {
	if !loosened(len(codes)) {
		return s, places
	}
	var order [maxLoose]uint16
	for t, c := range codes {
		if c == termIgnored || c <= termSame || slices.Contains(s.code[:s.nets+s.rails], c) {
			continue
		}
		n := int(s.nets + s.rails)
		s.code[n], order[n] = c, at[t]
		if c >= 0 {
			s.nets++
		} else {
			s.rails++
		}
	}
	// Places of rails are their labels with a high bit, so nets come first.
	n := int(s.nets + s.rails)
	for i := 1; i < n; i++ {
		for k := i; k > 0 && order[k-1] > order[k]; k-- {
			order[k-1], order[k] = order[k], order[k-1]
			s.code[k-1], s.code[k] = s.code[k], s.code[k-1]
		}
	}
	copy(places[:], order[:s.nets])
	return s, places
}

// A joint is one thing that contacts could do, packed: three bits for the block of
// each net, numbered by first appearance, then for each block a bit for each rail
// that touches it, then a bit for a short between rails alone.
type joint uint64

const (
	jointRails  = 3 * maxLoose
	jointDirect = jointRails + maxLoose*maxLoose
)

func (j joint) block(net int) int { return int(j >> (3 * net) & 7) }

func (j joint) rails(block int) int { return int(j >> (jointRails + maxLoose*block) & 31) }

// joints returns every joint of some nets and rails, ascending.
func joints(nets, rails int, conflict bool) []joint {
	out := []joint{0}
	blocks := []int{0}
	for n := range nets {
		var next []joint
		var count []int
		for i, j := range out {
			for b := range blocks[i] + 1 {
				next = append(next, j|joint(b)<<(3*n))
				count = append(count, max(blocks[i], b+1))
			}
		}
		out, blocks = next, count
	}
	var all []joint
	for i, j := range out {
		for masks := range joint(1) << (rails * blocks[i]) {
			k := j
			for b := range blocks[i] {
				k |= masks >> (rails * b) & (1<<rails - 1) << (jointRails + maxLoose*b)
			}
			all = append(all, k)
			if conflict {
				all = append(all, k|1<<jointDirect)
			}
		}
	}
	slices.Sort(all)
	return all
}

// jointOf returns what a partition of the terminals does, given their codes.
func (s *sides) jointOf(codes []int32, blocks []uint8) joint {
	index := func(c int32) int {
		if c == termIgnored {
			return -1
		}
		return slices.Index(s.code[:s.nets+s.rails], c)
	}
	// Blocks that meet on a net are one.
	const none = 0xff
	var alias [maxLoose]uint8
	of := [maxLoose]uint8{none, none, none, none, none}
	for b := range alias {
		alias[b] = uint8(b)
	}
	for t, c := range codes {
		i := index(c)
		switch {
		case i < 0 || i >= int(s.nets):
		case of[i] == none:
			of[i] = blocks[t]
		default:
			from, to := alias[blocks[t]], alias[of[i]]
			for b, x := range alias {
				if x == from {
					alias[b] = to
				}
			}
		}
	}
	var j joint
	var number [maxLoose]uint8 // of a block, plus 1
	count := uint8(0)
	for i := range s.nets {
		b := alias[of[i]]
		if number[b] == 0 {
			count++
			number[b] = count
		}
		j |= joint(number[b]-1) << (3 * i)
	}
	var alone [maxLoose]label // rails on blocks without nets
	for t, c := range codes {
		if c > termRail {
			continue
		}
		b := alias[blocks[t]]
		if n := number[b]; n > 0 {
			j |= 1 << (jointRails + maxLoose*int(n-1) + index(c) - int(s.nets))
		} else if alone[b] = join(alone[b], label(termRail-c)); alone[b] == shorted {
			j |= 1 << jointDirect
		}
	}
	return j
}

// groups returns what a joint does to a key in which the nets have the given
// places.
func (s *sides) groups(j joint, places []uint16) []group {
	out := []group{}
	for b := range int(s.nets) {
		var gr group
		for i := range int(s.nets) {
			if j.block(i) == b {
				gr.at = append(gr.at, places[i])
			}
		}
		for k := range int(s.rails) {
			if j.rails(b)>>k&1 == 1 {
				gr.label = join(gr.label, label(termRail-s.code[int(s.nets)+k]))
			}
		}
		if len(gr.at) > 1 || len(gr.at) == 1 && gr.label != noRail {
			out = append(out, gr)
		}
	}
	if j>>jointDirect&1 == 1 {
		out = append(out, group{label: shorted})
	}
	return out
}

// parts is a set of branches.
type parts [4]uint64

func (p *parts) add(i int) { p[i>>6] |= 1 << (i & 63) }

func (p *parts) each(visit func(i int)) {
	for w, word := range p {
		for ; word != 0; word &= word - 1 {
			visit(64*w + bits.TrailingZeros64(word))
		}
	}
}
