package check

import (
	"cmp"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// A wiring answers in name order whatever the order in which it was written down, and so
// must its rules: they read a copy of its data in which every list is in name order, and
// whatever is in either of two orders, the ends of a cable, the joints of a splice, what
// touches, is too. Entries keep the number that they had.

// arranged says for each list, by its name, which entry of the job stands at each place
// of the list in name order; a list that is not in it was in that order.
type arranged map[string][]int

// entry returns the entry of the job that one of the lists in name order is.
func (a arranged) entry(r wiring.Ref) wiring.Ref {
	if order, ok := a[r.List]; ok && r.Index < len(order) {
		r.Index = order[r.Index]
	}
	return r
}

// arrange puts the lists of a spec, which nobody else has, in name order.
func arrange(s *wiring.Spec) arranged {
	for i := range s.Cables {
		if c := &s.Cables[i]; c.To != "" && c.To < c.From {
			*c = c.Turned()
		}
	}
	for i := range s.Splices {
		slices.SortFunc(s.Splices[i].Join, joinCompare)
	}
	for i := range s.Ties {
		if t := &s.Ties[i]; joinCompare(t.A, t.B) > 0 {
			t.A, t.B = t.B, t.A
		}
	}
	out := arranged{}
	place(out, "feeds", s.Feeds, func(a, b *wiring.Feed) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Name, b.Name))
	})
	place(out, "boxes", s.Boxes, func(a, b *wiring.Box) int { return strings.Compare(a.Name, b.Name) })
	place(out, "lights", s.Lights, func(a, b *wiring.Light) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Name, b.Name))
	})
	place(out, "devices", s.Devices, func(a, b *wiring.Device) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Name, b.Name))
	})
	place(out, "cables", s.Cables, func(a, b *wiring.Cable) int { return strings.Compare(a.Name, b.Name) })
	place(out, "splices", s.Splices, func(a, b *wiring.Splice) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), slices.CompareFunc(a.Join, b.Join, joinCompare))
	})
	place(out, "landings", s.Landings, func(a, b *wiring.Landing) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), strings.Compare(a.Device, b.Device), strings.Compare(a.Terminal, b.Terminal), wireCompare(a.Wire, b.Wire))
	})
	place(out, "caps", s.Caps, func(a, b *wiring.Cap) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), wireCompare(a.Wire, b.Wire))
	})
	place(out, "marks", s.Marks, func(a, b *wiring.Mark) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), wireCompare(a.Wire, b.Wire))
	})
	place(out, "tags", s.Tags, func(a, b *wiring.Tag) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), wireCompare(a.Wire, b.Wire), strings.Compare(a.Text, b.Text))
	})
	place(out, "opens", s.Opens, func(a, b *wiring.Wire) int { return wireCompare(*a, *b) })
	place(out, "ties", s.Ties, func(a, b *wiring.Tie) int {
		return cmp.Or(strings.Compare(a.Box, b.Box), joinCompare(a.A, b.A), joinCompare(a.B, b.B))
	})
	return out
}

// place puts a list in order and notes which entry is where, unless it is in order.
func place[T any](out arranged, name string, list []T, compare func(a, b *T) int) {
	ordered := true
	for i := 1; i < len(list) && ordered; i++ {
		ordered = compare(&list[i-1], &list[i]) <= 0
	}
	if ordered {
		return
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(&list[a], &list[b]) })
	old := slices.Clone(list)
	for i, k := range order {
		list[i] = old[k]
	}
	out[name] = order
}

func wireCompare(a, b wiring.Wire) int {
	return cmp.Or(strings.Compare(a.Cable, b.Cable), strings.Compare(a.Conductor, b.Conductor))
}
