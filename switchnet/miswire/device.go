package miswire

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// devices lists contacts dead and welded, devices stuck and of the wrong kind, and tabs.
func (l *lister) devices() {
	for _, d := range l.spec.Devices {
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		put := func(kind Kind, k switchnet.Kind, format string, args ...any) {
			l.add(kind, d.Box, []wiring.Edit{wiring.ReplaceDevice{Device: ref, Kind: k}}, d.Name+": "+format, args...)
		}
		if len(d.Kind.Positions) > 1 {
			for _, v := range dead(d.Kind) {
				put(ContactDead, v.kind, "%s", v.says)
			}
			for _, v := range welded(d.Kind) {
				put(ContactWelded, v.kind, "%s", v.says)
			}
			for _, v := range stuck(d.Kind) {
				put(DeviceStuck, v.kind, "%s", v.says)
			}
		}
		l.others(&d, ref)
		switch d.Kind.Name {
		case switchnet.SplitReceptacle().Name:
			put(TabLeftIn, switchnet.Receptacle(), "the tab is left in")
		case switchnet.Receptacle().Name:
			put(TabBroken, switchnet.SplitReceptacle(), "the tab on the hot side is broken out")
		}
	}
}

// variant is a kind with something wrong with it.
type variant struct {
	kind switchnet.Kind
	says string
}

// with returns the kind, renamed, with other contacts in one position or, if at is
// below zero, in all.
func with(k switchnet.Kind, says string, change func(p int, joins [][]string) [][]string) variant {
	out := k.Clone()
	out.Name += ", " + says
	for p := range out.Positions {
		out.Positions[p].Joins = change(p, out.Positions[p].Joins)
	}
	return variant{out, says}
}

// dead returns the kind with each contact left open in a position that closes it. Of
// three terminals or more that a position joins, each in turn is left out.
func dead(k switchnet.Kind) []variant {
	var out []variant
	for at, position := range k.Positions {
		for g, group := range position.Joins {
			for i, left := range group {
				if len(group) == 2 && i == 1 {
					continue
				}
				says := fmt.Sprintf("%s does not join %s when %s", left, group[1-min(i, 1)], position.Name)
				out = append(out, with(k, says, func(p int, joins [][]string) [][]string {
					if p != at {
						return joins
					}
					rest := slices.DeleteFunc(slices.Clone(group), func(t string) bool { return t == left })
					if len(rest) < 2 {
						return slices.Delete(joins, g, g+1)
					}
					joins[g] = rest
					return joins
				}))
			}
		}
	}
	return out
}

// welded returns the kind with each contact that some position opens closed in all.
func welded(k switchnet.Kind) []variant {
	var out []variant
	for i, t := range k.Terminals {
		for _, u := range k.Terminals[i+1:] {
			closed := 0
			for _, p := range k.Positions {
				if p.Joined(t, u) {
					closed++
				}
			}
			if closed == 0 || closed == len(k.Positions) {
				continue
			}
			out = append(out, with(k, fmt.Sprintf("%s is welded to %s", t, u), func(_ int, joins [][]string) [][]string {
				return join(joins, t, u)
			}))
		}
	}
	return out
}

// join returns the groups with those of two terminals made one.
func join(joins [][]string, t, u string) [][]string {
	one := []string{t, u}
	var out [][]string
	for _, g := range joins {
		if !slices.Contains(g, t) && !slices.Contains(g, u) {
			out = append(out, g)
			continue
		}
		for _, x := range g {
			if !slices.Contains(one, x) {
				one = append(one, x)
			}
		}
	}
	return append(out, one)
}

// stuck returns the kind with the contacts of each position in all of them.
func stuck(k switchnet.Kind) []variant {
	var out []variant
	for _, at := range k.Positions {
		out = append(out, with(k, "stuck "+at.Name, func(int, [][]string) [][]string {
			joins := make([][]string, len(at.Joins))
			for i, g := range at.Joins {
				joins[i] = slices.Clone(g)
			}
			return joins
		}))
	}
	return out
}

// landed says on which terminal of the kind in its place what was on each of the old
// is, in the order of the old; an empty name leaves it off.
type landed []string

// mistaken lists the wrong kinds that are put in a kind's place, and the ways in which
// they are landed that differ by more than a handle turned over.
var mistaken = []struct {
	in, put func() switchnet.Kind
	ways    []landed
}{
	{switchnet.ThreeWay, switchnet.SinglePole, []landed{{"line", "load", ""}, {"line", "", "load"}, {"line", "load", "load"}}},
	{switchnet.ThreeWay, switchnet.FourWay, []landed{
		{"pair 1 first", "pair 2 first", "pair 2 second"},
		{"pair 1 first", "pair 1 second", "pair 2 first"},
		{"pair 1 first", "pair 2 first", "pair 1 second"}}},
	{switchnet.FourWay, switchnet.ThreeWay, leaveOneOff()},
	{switchnet.SinglePole, switchnet.ThreeWay, []landed{{"common", "traveler 1"}, {"traveler 1", "common"}, {"traveler 1", "traveler 2"}}},
}

// leaveOneOff returns the ways to land three of the four conductors of a four-way on a
// three-way: each in turn is left off, and each of the others is on the common.
func leaveOneOff() []landed {
	var out []landed
	for off := range 4 {
		for common := range 4 {
			if common == off {
				continue
			}
			way := make(landed, 4)
			traveler := 1
			for i := range way {
				switch i {
				case off:
				case common:
					way[i] = "common"
				default:
					way[i] = fmt.Sprintf("traveler %d", traveler)
					traveler++
				}
			}
			out = append(out, way)
		}
	}
	return out
}

// replaceable reports whether edits that take things off a device and put another in its
// place can be made. Where nothing touches in the box and nothing is plugged into the
// device, they can if there is something to take off; otherwise they are tried.
func (l *lister) replaceable(d *wiring.Device, edits []wiring.Edit) bool {
	touches := slices.ContainsFunc(l.spec.Ties, func(t wiring.Tie) bool { return t.Box == d.Box })
	plugged := slices.ContainsFunc(l.spec.Lights, func(x wiring.Light) bool { return x.Box == d.Box && x.On == d.Name })
	if touches || plugged {
		_, err := l.w.Apply(edits...)
		return err == nil
	}
	for _, e := range edits {
		c, ok := e.(wiring.ClearTerminal)
		if !ok {
			continue
		}
		landed := slices.ContainsFunc(l.spec.Landings, func(x wiring.Landing) bool {
			return x.Box == d.Box && x.Device == d.Name && x.Terminal == c.Terminal
		})
		spliced := slices.ContainsFunc(l.spec.Splices, func(x wiring.Splice) bool {
			return x.Box == d.Box && slices.Contains(x.Join, wiring.Joint{Device: d.Name, Terminal: c.Terminal})
		})
		if !landed && !spliced {
			return false
		}
	}
	return true
}

// others lists the wrong kinds in the place of a device.
func (l *lister) others(d *wiring.Device, ref switchnet.Ref) {
	for _, m := range mistaken {
		if !d.Kind.Equal(m.in()) {
			continue
		}
		put := m.put()
		for _, way := range m.ways {
			var edits []wiring.Edit
			rename := map[string]string{}
			says := ""
			for i, old := range d.Kind.Terminals {
				if way[i] == "" {
					edits = append(edits, wiring.ClearTerminal{Of: ref, Terminal: old})
					says += ", nothing for " + old
					continue
				}
				rename[old] = way[i]
				says += ", " + way[i] + " for " + old
			}
			edits = append(edits, wiring.ReplaceDevice{Device: ref, Kind: put, Rename: rename})
			if !l.replaceable(d, edits) {
				continue // what is to be left off is not there
			}
			l.add(WrongDevice, d.Box, edits, "%s is a %s%s", d.Name, put.Name, says)
		}
	}
}
