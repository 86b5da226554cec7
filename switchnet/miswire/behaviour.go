package miswire

import (
	"context"
	"fmt"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// DefaultStates is how many states a behaviour may be taken over.
const DefaultStates = 4096

// Options limit the walk over states. The zero value, or nil, means the defaults.
type Options struct {
	// States is how many states a wiring may have; 0 means DefaultStates.
	States int
}

// A Tally is in how many states a light does what.
type Tally struct {
	Light             switchnet.Ref
	Lit, Dim, Faulted int
}

// A Behaviour is what all lights of a wiring do in every state of its switches, breakers
// on, and which states are shorts.
type Behaviour struct {
	States  int
	Shorted int
	Tallies []Tally // in name order of the lights
	table   string
}

// Equal reports whether two behaviours are the same in every state. States are matched
// by the number of each handle's position in the order of its kind, so a device of
// another kind in the place of one can behave as it did.
func (b Behaviour) Equal(c Behaviour) bool { return b.table == c.table }

// Behave returns what a wiring does, by walking through all its states. More states
// than the options allow is an error, and so is a context that ends. Lights are those
// of the job; what is inside devices does not count.
func Behave(ctx context.Context, w *wiring.Wiring, opt *Options) (Behaviour, error) {
	if err := w.Check(); err != nil {
		return Behaviour{}, fmt.Errorf("miswire: %w", err)
	}
	limit := DefaultStates
	if opt != nil && opt.States != 0 {
		limit = opt.States
	}
	net := w.Net()
	states, count, err := net.States(nil)
	if err != nil {
		return Behaviour{}, err
	}
	if !count.IsInt64() || count.Int64() > int64(limit) {
		return Behaviour{}, fmt.Errorf("miswire: the wiring has %v states and the limit is %d; compare it in package allstates, or raise the limit", count, limit)
	}
	inside := map[switchnet.Ref]bool{}
	var table strings.Builder
	for d := range net.Devices() {
		if !d.Kind.Breaker {
			fmt.Fprintf(&table, "%s=%d;", d.Ref, len(d.Kind.Positions))
		}
		for _, l := range d.Kind.Internal {
			inside[switchnet.Ref{Place: d.Place, Name: d.Name + " " + l.Name}] = true
		}
	}
	b := Behaviour{States: int(count.Int64())}
	at := map[switchnet.Ref]int{}
	for l := range net.Loads() {
		if !inside[l.Ref] {
			at[l.Ref] = len(b.Tallies)
			b.Tallies = append(b.Tallies, Tally{Light: l.Ref})
		}
	}
	solver := net.NewSolver()
	for s := range states {
		if err := ctx.Err(); err != nil {
			return Behaviour{}, err
		}
		v, err := solver.Solve(s)
		if err != nil {
			return Behaviour{}, err
		}
		for l, supply := range v.Supplies() {
			if inside[l] {
				continue
			}
			t := &b.Tallies[at[l]]
			switch supply.Status {
			case switchnet.Lit:
				t.Lit++
			case switchnet.Dim:
				t.Dim++
			case switchnet.Faulted:
				t.Faulted++
			}
			table.WriteByte('0' + byte(supply.Status))
			if supply.Status == switchnet.Lit {
				fmt.Fprintf(&table, "@%v", supply.Volts)
			}
		}
		if v.Shorted() {
			b.Shorted++
			table.WriteByte('!')
		}
		table.WriteByte(';')
	}
	b.table = table.String()
	return b, nil
}

// A Class is faults that behave alike in every state: no lamp and no breaker can tell
// them apart, though a meter may, and one may be lawful where another kills.
type Class struct {
	Behaviour Behaviour
	// Right reports that they behave as the wiring does without a fault.
	Right bool
	// Faults are those of the list given, in its order.
	Faults []Fault
}

// Classes returns the faults grouped by how the wiring behaves with each, the classes in
// the order of their first faults. It walks through every state for each fault; errors
// are those of [Behave] and [Fault.Apply].
func Classes(ctx context.Context, w *wiring.Wiring, faults []Fault, opt *Options) ([]Class, error) {
	right, err := Behave(ctx, w, opt)
	if err != nil {
		return nil, err
	}
	var out []Class
	at := map[string]int{}
	for _, f := range faults {
		wrong, err := f.Apply(w)
		if err != nil {
			return nil, err
		}
		b, err := Behave(ctx, wrong, opt)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Says, err)
		}
		i, ok := at[b.table]
		if !ok {
			i = len(out)
			at[b.table] = i
			out = append(out, Class{Behaviour: b, Right: b.Equal(right)})
		}
		out[i].Faults = append(out[i].Faults, f)
	}
	return out, nil
}
