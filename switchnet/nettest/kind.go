package nettest

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"example.com/switchleg/switchnet"
)

// A Report is what an examination found. The texts are for reading and not
// stable.
type Report struct {
	// Faults are what makes the kind unfit for use, in the order of the checks:
	// the data, the names, the terminals, the positions, what the kind does in
	// a net, its transit forms.
	Faults []string
	// Notes are what is odd and may be meant, such as a terminal that no
	// position joins.
	Notes []string
}

func (r *Report) fault(format string, args ...any) {
	r.Faults = append(r.Faults, fmt.Sprintf(format, args...))
}

func (r *Report) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// CheckKind fails the test with every fault of the kind and logs every note.
func CheckKind(tb testing.TB, k switchnet.Kind) {
	tb.Helper()
	r := Examine(k)
	for _, n := range r.Notes {
		tb.Logf("kind %q: %s", k.Name, n)
	}
	for _, f := range r.Faults {
		tb.Errorf("kind %q: %s", k.Name, f)
	}
}

// Examine returns what is wrong and what is odd with a kind:
//
//   - what [switchnet.Kind.Validate] says; the rest is examined only if that is
//     nothing;
//   - names that a text file or a person cannot tell apart;
//   - terminals that are of no use, positions that do the same as another;
//   - internal loads that can never burn;
//   - a breaker that has no open position, or is not closed at rest;
//   - in a net, with a meter between every two terminals in every position:
//     whether it does what its data says, and still does with its terminals
//     and groups listed in another order;
//   - the same of its forms with positions half way.
//
// Examine the plain kind, not what [switchnet.Kind.WithTransit] makes of it: half
// way between off and on does the same as one of the two, and counts as a fault.
// The time grows with the square of the terminals times the positions.
func Examine(k switchnet.Kind) Report {
	var r Report
	if ps := k.Validate(); len(ps) > 0 {
		for _, p := range ps {
			r.fault("%s", p.Detail)
		}
		return r
	}
	r.names(k)
	r.terminals(k)
	r.positions(k)
	r.behaviour(k)
	r.transit(k)
	return r
}

// names checks that each name can be written in a file and read back, and told
// from the others by a person.
func (r *Report) names(k switchnet.Kind) {
	list := func(what string, names []string) {
		folded := map[string]string{}
		for _, name := range names {
			odd := func(c rune) bool { return unicode.IsControl(c) || c == utf8.RuneError }
			if strings.TrimSpace(name) != name || strings.Contains(name, "  ") || strings.ContainsFunc(name, odd) {
				r.fault("the %s name %q has space at an end, two spaces together or a character that does not print; give it a plain name", what, name)
			}
			f := strings.ToLower(strings.Join(strings.Fields(name), " "))
			if other, ok := folded[f]; ok && other != name {
				r.fault("the %s names %q and %q differ only in case or spaces; give one another name", what, other, name)
			}
			folded[f] = name
		}
	}
	var positions, loads []string
	for _, p := range k.Positions {
		positions = append(positions, p.Name)
	}
	for _, l := range k.Internal {
		loads = append(loads, l.Name)
	}
	list("kind", []string{k.Name})
	list("terminal", k.Terminals)
	list("position", positions)
	list("internal load", loads)
}

// terminals checks that each terminal is of some use.
func (r *Report) terminals(k switchnet.Kind) {
	for _, t := range k.Terminals {
		joined := slices.ContainsFunc(k.Positions, func(p switchnet.Position) bool {
			return slices.ContainsFunc(p.Joins, func(g []string) bool { return len(g) > 1 && slices.Contains(g, t) })
		})
		loaded := slices.ContainsFunc(k.Internal, func(l switchnet.InternalLoad) bool { return l.From == t || l.To == t })
		if !joined && !loaded {
			r.note("terminal %q is never used: no position joins it to another and no internal load is on it", t)
		}
	}
	for _, l := range k.Internal {
		shunted := !slices.ContainsFunc(k.Positions, func(p switchnet.Position) bool { return !joins(p, l.From, l.To) })
		if shunted {
			r.fault("internal load %q can never burn: every position joins %q to %q", l.Name, l.From, l.To)
		}
	}
}

// positions checks that each position does something of its own.
func (r *Report) positions(k switchnet.Kind) {
	for i, p := range k.Positions {
		for _, g := range p.Joins {
			if len(g) < 2 {
				r.note("position %q has a group of %d terminals, which joins nothing", p.Name, len(g))
			}
		}
		for _, q := range k.Positions[:i] {
			if same(k.Terminals, p, q) {
				r.fault("positions %q and %q join the same terminals; leave one out", q.Name, p.Name)
			}
		}
	}
	if !k.Breaker {
		return
	}
	if opens(k.Positions[0]) {
		r.fault("is a breaker and is open at rest, in position %q; put the closed position first", k.Positions[0].Name)
	}
	if !slices.ContainsFunc(k.Positions, opens) {
		r.fault("is a breaker without a position that opens every contact; nothing behind it could be de-energized")
	}
}

// joins reports whether a position joins two terminals.
func joins(p switchnet.Position, a, b string) bool {
	return a == b || p.Joined(a, b)
}

// same reports whether two positions join the same terminals.
func same(terminals []string, p, q switchnet.Position) bool {
	for i, a := range terminals {
		for _, b := range terminals[:i] {
			if joins(p, a, b) != joins(q, a, b) {
				return false
			}
		}
	}
	return true
}

// opens reports whether a position joins nothing.
func opens(p switchnet.Position) bool {
	return !slices.ContainsFunc(p.Joins, func(g []string) bool { return len(g) > 1 })
}

// transit checks the forms with positions half way: that they are sound, keep the
// positions as they are, and do half way what their sort of contact does.
func (r *Report) transit(k switchnet.Kind) {
	if 2*len(k.Positions)-1 > switchnet.MaxPositions {
		r.note("has too many positions for a form with positions half way")
		return
	}
	for _, t := range []switchnet.Transit{switchnet.BreakBeforeMake, switchnet.MakeBeforeBreak} {
		w := k.WithTransit(t)
		faults := w.Validate()
		for _, p := range faults {
			r.fault("its %v form %s", t, p.Detail)
		}
		if len(faults) > 0 || len(w.Positions) == len(k.Positions) {
			continue
		}
		half := make([]map[string]int, len(w.Positions))
		for i := 1; i < len(w.Positions); i += 2 {
			half[i] = together(k.Terminals, k.Positions[i/2], k.Positions[i/2+1])
		}
		r.meter(w, "its "+t.String()+" form, ", func(position, a, b string) bool {
			i, _ := w.Position(position)
			switch {
			case i%2 == 0:
				return joins(k.Positions[i/2], a, b)
			case t == switchnet.BreakBeforeMake:
				return a == b
			}
			return half[i][a] == half[i][b]
		})
	}
}

// together returns a number for each terminal, equal for those that are joined
// when two positions hold at once.
func together(terminals []string, p, q switchnet.Position) map[string]int {
	number := map[string]int{}
	for i, t := range terminals {
		number[t] = i
	}
	for _, t := range terminals {
		for _, u := range terminals {
			if old, now := number[u], number[t]; old != now && (joins(p, t, u) || joins(q, t, u)) {
				for name, n := range number {
					if n == old {
						number[name] = now
					}
				}
			}
		}
	}
	return number
}
