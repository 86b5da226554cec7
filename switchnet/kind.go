package switchnet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/internal/enum"
)

// Limits of a kind.
const (
	MaxTerminals = 64  // terminals of one device kind
	MaxPositions = 255 // positions of one device kind
)

// A Kind says what a sort of device does, as data: its terminals, its handle
// positions, and which terminals each position joins. Poles that move together
// are one device and one handle. A kind with one position is a fixed piece, such
// as a receptacle.
//
// Package nettest has a conformance test for kinds of your own.
type Kind struct {
	// Name identifies the kind; two kinds of one name in a net must be equal.
	Name string
	// Terminals are the names of its terminals, in the order they are to be
	// listed.
	Terminals []string
	// Positions are its handle positions; the first is the one at rest.
	Positions []Position
	// Internal are loads inside the device: a pilot lamp, the electronics of
	// a sensor.
	Internal []InternalLoad
	// Breaker marks an overcurrent device: it protects, nobody lights a room
	// with it.
	Breaker bool
	// Electronic marks a device whose contact is made by electronics, which
	// needs a supply or leaks a little when off.
	Electronic bool
	// Dimmer marks a device that dims.
	Dimmer bool
}

// A Position is one setting of a device's handle.
type Position struct {
	Name string
	// Joins lists the groups of terminals that are joined in this position. A
	// terminal in no group is on its own.
	Joins [][]string
}

// Joined reports whether the position joins two terminals, each another.
func (p Position) Joined(a, b string) bool {
	return slices.ContainsFunc(p.Joins, func(g []string) bool { return slices.Contains(g, a) && slices.Contains(g, b) })
}

// An InternalLoad is a load inside a device, between two of its terminals. It
// appears in the net as a load in the device's place, named after the device and
// itself ("loft light pilot").
type InternalLoad struct {
	Name     string
	From, To string
}

// AlwaysJoins reports whether every position joins two terminals, each another.
func (k Kind) AlwaysJoins(a, b string) bool {
	return len(k.Positions) > 0 && !slices.ContainsFunc(k.Positions, func(p Position) bool { return !p.Joined(a, b) })
}

// Position returns the index of the named position, or false.
func (k Kind) Position(name string) (int, bool) {
	i := slices.IndexFunc(k.Positions, func(p Position) bool { return p.Name == name })
	return i, i >= 0
}

// Clone returns a deep copy.
func (k Kind) Clone() Kind {
	k.Terminals = slices.Clone(k.Terminals)
	k.Internal = slices.Clone(k.Internal)
	k.Positions = slices.Clone(k.Positions)
	for i, p := range k.Positions {
		joins := slices.Clone(p.Joins)
		for j, g := range joins {
			joins[j] = slices.Clone(g)
		}
		k.Positions[i].Joins = joins
	}
	return k
}

// Equal reports whether the two kinds say the same, lists in the same order.
func (k Kind) Equal(o Kind) bool {
	return k.Name == o.Name && k.Breaker == o.Breaker && k.Electronic == o.Electronic && k.Dimmer == o.Dimmer &&
		slices.Equal(k.Terminals, o.Terminals) && slices.Equal(k.Internal, o.Internal) &&
		slices.EqualFunc(k.Positions, o.Positions, func(a, b Position) bool {
			return a.Name == b.Name && slices.EqualFunc(a.Joins, b.Joins, slices.Equal[[]string])
		})
}

// Validate returns what is wrong with the kind, all of it, one problem an
// element, or nil.
func (k Kind) Validate() Problems {
	var ps problemList
	subject := fmt.Sprintf("kind %q", k.Name)
	add := func(code Code, format string, args ...any) {
		ps.add(code, subject, format, args...)
	}
	if k.Name == "" {
		add(Unnamed, "has no name; a kind needs one to be told from others")
	}
	if len(k.Terminals) == 0 || len(k.Terminals) > MaxTerminals {
		add(BadKind, "has %d terminals; give it 1 to %d", len(k.Terminals), MaxTerminals)
	}
	if len(k.Positions) == 0 || len(k.Positions) > MaxPositions {
		add(BadKind, "has %d positions; give it 1 to %d", len(k.Positions), MaxPositions)
	}
	seen := map[string]bool{}
	for i, name := range k.Terminals {
		if name == "" {
			add(Unnamed, "has no name for terminal %d", i+1)
		} else if seen[name] {
			add(Duplicate, "has two terminals called %q", name)
		}
		seen[name] = true
	}
	position := map[string]bool{}
	for i, p := range k.Positions {
		if p.Name == "" {
			add(Unnamed, "has no name for position %d", i+1)
		} else if position[p.Name] {
			add(Duplicate, "has two positions called %q", p.Name)
		}
		position[p.Name] = true
		joined := map[string]bool{}
		for _, group := range p.Joins {
			for _, name := range group {
				if !seen[name] {
					add(Unknown, "joins %q in position %q; its terminals are %s", name, p.Name, strings.Join(k.Terminals, ", "))
				} else if joined[name] {
					add(BadKind, "names terminal %q twice in position %q; put all that it joins in one group", name, p.Name)
				}
				joined[name] = true
			}
		}
	}
	internal := map[string]bool{}
	for _, l := range k.Internal {
		switch {
		case l.Name == "":
			add(Unnamed, "has an internal load without a name")
		case internal[l.Name]:
			add(Duplicate, "has two internal loads called %q", l.Name)
		case l.From == l.To:
			add(BadKind, "has internal load %q with both ends on %q", l.Name, l.From)
		}
		internal[l.Name] = true
		for _, end := range []string{l.From, l.To} {
			if !seen[end] {
				add(Unknown, "has internal load %q on %q; its terminals are %s", l.Name, end, strings.Join(k.Terminals, ", "))
			}
		}
	}
	return ps.sorted()
}

// compile turns a valid kind into the form that solvers run on.
func (k Kind) compile() dense.Kind {
	d := dense.Kind{Arity: len(k.Terminals), Breaker: k.Breaker}
	for _, p := range k.Positions {
		group := make([]int, len(k.Terminals))
		for i := range group {
			group[i] = -1 - i // alone
		}
		for g, names := range p.Joins {
			for _, n := range names {
				group[slices.Index(k.Terminals, n)] = g
			}
		}
		blocks := make([]uint8, len(group))
		first := map[int]uint8{}
		var joins [][2]uint8
		label := uint8(0)
		for t, g := range group {
			l, ok := first[g]
			if !ok {
				l = label
				first[g] = l
				label++
			}
			blocks[t] = l
			for u := range t {
				if blocks[u] == l {
					joins = append(joins, [2]uint8{uint8(u), uint8(t)})
				}
			}
		}
		d.Blocks = append(d.Blocks, blocks)
		d.Joins = append(d.Joins, joins)
	}
	return d
}

// A Transit says what a switch's contacts do while its handle is between two
// positions.
type Transit uint8

// The two sorts of transit.
const (
	// BreakBeforeMake opens every contact on the way.
	BreakBeforeMake Transit = iota + 1
	// MakeBeforeBreak closes the contacts of both positions on the way.
	MakeBeforeBreak
)

// WithTransit returns the kind with one more position for the handle half way
// between each two consecutive positions, named "between up and down". The
// positions stand in the order in which the handle passes them. A breaker or a
// kind with one position is returned as it is. A transit that is neither of the
// two gives a kind that fails Validate.
func (k Kind) WithTransit(t Transit) Kind {
	if t != BreakBeforeMake && t != MakeBeforeBreak {
		return Kind{}
	}
	k = k.Clone()
	if k.Breaker || len(k.Positions) < 2 {
		return k
	}
	var all []Position
	for i, p := range k.Positions {
		if i > 0 {
			prev := k.Positions[i-1]
			mid := Position{Name: "between " + prev.Name + " and " + p.Name}
			if t == MakeBeforeBreak {
				mid.Joins = mergeGroups(prev.Joins, p.Joins)
			}
			all = append(all, mid)
		}
		all = append(all, p)
	}
	k.Positions = all
	k.Name += ", " + t.String()
	return k
}

var transitNames = [...]string{"", "break before make", "make before break"}

// String returns the word.
func (t Transit) String() string { return enum.Word(transitNames[:], t, "Transit") }

// MarshalText writes the word.
func (t Transit) MarshalText() ([]byte, error) {
	return marshalWord(transitNames[:], uint8(t), "transit")
}

// UnmarshalText reads the word.
func (t *Transit) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(transitNames[:], text, "transit")
	if err == nil {
		*t = Transit(n)
	}
	return err
}

// mergeGroups returns the finest partition that joins what either joins.
func mergeGroups(a, b [][]string) [][]string {
	var out [][]string
	for _, g := range slices.Concat(a, b) {
		merged := slices.Clone(g)
		rest := out[:0:0]
		for _, o := range out {
			if slices.ContainsFunc(o, func(n string) bool { return slices.Contains(merged, n) }) {
				for _, n := range o {
					if !slices.Contains(merged, n) {
						merged = append(merged, n)
					}
				}
			} else {
				rest = append(rest, o)
			}
		}
		out = append(rest, merged)
	}
	return out
}
