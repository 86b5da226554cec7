package allstates

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A LawKind is the sort of rule by which a load is lit.
type LawKind uint8

// The sorts of law.
const (
	// NeverLit: in no state.
	NeverLit LawKind = iota + 1
	// AlwaysLit: in every state.
	AlwaysLit
	// TogglesWithEach: every switch that matters toggles it from every state.
	TogglesWithEach
	// LitOnlyWhen: never unless some devices stand in certain positions.
	LitOnlyWhen
	// Depends: none of these.
	Depends
)

var lawNames = [...]string{"", "never lit", "always lit", "toggles with each", "lit only when", "depends"}

// String returns the law in a few words.
func (k LawKind) String() string {
	return enum.Word(lawNames[:], k, "LawKind")
}

// MarshalText writes the words.
func (k LawKind) MarshalText() ([]byte, error) {
	if k < 1 || int(k) >= len(lawNames) {
		return nil, fmt.Errorf("allstates: %v is not a kind of law", k)
	}
	return []byte(lawNames[k]), nil
}

// A Law says how a load follows the devices that move.
type Law struct {
	Load switchnet.Ref
	Kind LawKind
	// Matter are the devices that change what the load does in some state, in
	// name order.
	Matter []switchnet.Ref
	// Toggle are those that toggle it from every state, in name order.
	Toggle []switchnet.Ref
	// Needs are the devices that must stand in certain positions for the load
	// to be lit, in name order.
	Needs []Need
	// Enough reports that the load is lit whenever all needs are met.
	Enough bool
	// Dim and Faulted report that the load is so in some state.
	Dim, Faulted bool
}

// A Need is a device and the positions, in the order of its kind, outside which a
// load is never lit.
type Need struct {
	Device    switchnet.Ref
	Positions []string
}

// Law returns the rule by which the load is lit. Time is linear in the diagram.
func (l *Load) Law() Law {
	law := Law{Load: l.Ref(), Matter: l.Matters(), Dim: l.Can(switchnet.Dim), Faulted: l.Can(switchnet.Faulted)}
	var toggle []int32
	for i, d := range l.r.device {
		if l.r.steps[l.r.layer[i]].toggles {
			toggle = append(toggle, d)
		}
	}
	slices.Sort(toggle)
	law.Toggle = l.a.refs(toggle)
	lit := l.States(switchnet.Lit)
	law.Needs, law.Enough = lit.needs()
	switch {
	case lit.Empty():
		law.Kind, law.Needs, law.Enough = NeverLit, nil, false
	case l.Always(switchnet.Lit):
		law.Kind = AlwaysLit
	case len(law.Toggle) == len(law.Matter):
		law.Kind = TogglesWithEach
	case len(law.Needs) > 0:
		law.Kind = LitOnlyWhen
	default:
		law.Kind = Depends
	}
	return law
}

// needs returns the devices that do not take every position in the set, and
// whether every state with such positions is in it.
func (s *Set) needs() ([]Need, bool) {
	r := s.r
	if s.Empty() {
		return nil, false
	}
	type need struct {
		d    int32
		used []bool
	}
	var list []need
	reached, next := make([]bool, 2*r.width(0)), []bool(nil)
	reached[r.root] = true
	product := number(1)
	var used []bool
	for i, d := range r.device {
		a := r.arity(i)
		used = append(used[:0], make([]bool, a)...)
		next = append(next[:0], make([]bool, 2*r.width(i+1))...)
		for x, ok := range reached {
			if !ok {
				continue
			}
			for p := range a {
				if y := r.follow(i, ref(x), p); !r.never(i+1, y) {
					next[y], used[p] = true, true
				}
			}
		}
		taken := 0
		for _, u := range used {
			if u {
				taken++
			}
		}
		if taken < a {
			list = append(list, need{d, slices.Clone(used)})
		}
		product = product.times(number(uint64(taken)))
		reached, next = next, reached
	}
	slices.SortFunc(list, func(a, b need) int { return int(a.d - b.d) })
	var out []Need
	for _, n := range list {
		dev := s.a.f.net.DeviceAt(int(n.d))
		var names []string
		for p, u := range n.used {
			if u {
				names = append(names, dev.Kind.Positions[p].Name)
			}
		}
		out = append(out, Need{dev.Ref, names})
	}
	return out, r.count(isOn).value().Cmp(product.value()) == 0
}

// String returns the law as a sentence. The text is for reading and not stable.
func (l Law) String() string {
	var b strings.Builder
	b.WriteString(l.Load.String())
	switch l.Kind {
	case NeverLit:
		b.WriteString(" is never lit")
	case AlwaysLit:
		b.WriteString(" is always lit")
	case TogglesWithEach:
		switch len(l.Toggle) {
		case 1:
			fmt.Fprintf(&b, " is toggled by %s from either position", l.Toggle[0])
		default:
			fmt.Fprintf(&b, " is toggled by each of %s from every state", list(l.Toggle))
		}
	case LitOnlyWhen:
		if l.Enough {
			b.WriteString(" is lit exactly when ")
		} else {
			b.WriteString(" is lit only when ")
		}
		for i, n := range l.Needs {
			if i > 0 {
				b.WriteString(" and ")
			}
			if i == listed && len(l.Needs) > listed+1 {
				fmt.Fprintf(&b, "%d more stand as they must", len(l.Needs)-i)
				break
			}
			fmt.Fprintf(&b, "%s is %s", n.Device, strings.Join(n.Positions, " or "))
		}
		if !l.Enough {
			fmt.Fprintf(&b, "; it depends on %s", list(l.Matter))
		}
	case Depends:
		fmt.Fprintf(&b, " depends on %s", list(l.Matter))
		if len(l.Toggle) > 0 {
			fmt.Fprintf(&b, "; from every state it is toggled by %s", list(l.Toggle))
		} else {
			b.WriteString("; none of them toggles it from every state")
		}
	}
	if l.Dim {
		b.WriteString("; in some states it is in series with other loads")
	}
	if l.Faulted {
		b.WriteString("; in some states it hangs on a short")
	}
	return b.String()
}

// listed is how many names a sentence gives.
const listed = 8

func list(refs []switchnet.Ref) string {
	var b strings.Builder
	for i, r := range refs {
		switch {
		case i == listed && len(refs) > listed+1:
			fmt.Fprintf(&b, " and %d more", len(refs)-i)
			return b.String()
		case i > 0 && i == len(refs)-1:
			b.WriteString(" and ")
		case i > 0:
			b.WriteString(", ")
		}
		b.WriteString(r.String())
	}
	return b.String()
}
