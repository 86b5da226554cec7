package switchnet

import (
	"bytes"
	"fmt"
	"iter"
	"math/big"
	"slices"
	"strings"

	"example.com/switchleg/internal/enum"
)

// A State is a position for every device of one net. It is a value: With returns
// another state and leaves the receiver as it was. The zero State belongs to no
// net.
type State struct {
	net *Net
	pos []uint8
}

// Rest returns the state with every device in its first position: switches of the
// built-in kinds off or up, breakers on.
func (n *Net) Rest() State { return State{n, make([]uint8, len(n.deviceRef))} }

// With returns the state with one device moved to the named position.
func (s State) With(device Ref, position string) (State, error) {
	if s.net == nil {
		return State{}, &Problem{ForeignState, "state", "belongs to no net; start from Net.Rest"}
	}
	d, ok := s.net.device(device)
	if !ok {
		return State{}, &Problem{Unknown, "device " + quote(device.String()), "is not in the net"}
	}
	k := &s.net.kinds[s.net.deviceKind[d]]
	p, ok := k.Position(position)
	if !ok {
		names := make([]string, len(k.Positions))
		for i, q := range k.Positions {
			names[i] = q.Name
		}
		return State{}, &Problem{Unknown, "device " + quote(device.String()), fmt.Sprintf("has no position %q; its positions are: %s", position, strings.Join(names, ", "))}
	}
	out := State{s.net, slices.Clone(s.pos)}
	out.pos[d] = uint8(p)
	return out, nil
}

// Flip returns the state with one device moved to its next position, the first
// after the last.
func (s State) Flip(device Ref) (State, error) {
	if s.net == nil {
		return State{}, &Problem{ForeignState, "state", "belongs to no net; start from Net.Rest"}
	}
	d, ok := s.net.device(device)
	if !ok {
		return State{}, &Problem{Unknown, "device " + quote(device.String()), "is not in the net"}
	}
	out := State{s.net, slices.Clone(s.pos)}
	out.pos[d] = uint8((int(s.pos[d]) + 1) % len(s.net.kinds[s.net.deviceKind[d]].Positions))
	return out, nil
}

// Position returns the name of the position of a device, or false if the state
// has no such device.
func (s State) Position(device Ref) (string, bool) {
	if s.net == nil {
		return "", false
	}
	d, ok := s.net.device(device)
	if !ok {
		return "", false
	}
	return s.net.kinds[s.net.deviceKind[d]].Positions[s.pos[d]].Name, true
}

// Positions yields every device with the name of its position, in name order.
func (s State) Positions() iter.Seq2[Ref, string] {
	return func(yield func(Ref, string) bool) {
		for d, p := range s.pos {
			if !yield(s.net.deviceRef[d], s.net.kinds[s.net.deviceKind[d]].Positions[p].Name) {
				return
			}
		}
	}
}

// On returns the same positions as a state of another net, matched by name.
// Devices that only the other net has stay at rest, all of them for the zero State;
// a device or position that it lacks is an error, all of them at once.
func (s State) On(n *Net) (State, error) {
	if n == nil {
		return State{}, &Problem{ForeignState, "state", "cannot be carried over to no net; Builder.Build makes one"}
	}
	out := n.Rest()
	var ps problemList
	for r, name := range s.Positions() {
		d, ok := n.device(r)
		if !ok {
			ps.add(Unknown, "device "+quote(r.String()), "is not in the net")
			continue
		}
		p, ok := n.kinds[n.deviceKind[d]].Position(name)
		if !ok {
			ps.add(Unknown, "device "+quote(r.String()), "has no position %q", name)
			continue
		}
		out.pos[d] = uint8(p)
	}
	if len(ps.list) > 0 {
		return State{}, ps.sorted()
	}
	return out, nil
}

// Equal reports whether two states are of one net and put every device in the
// same position.
func (s State) Equal(t State) bool { return s.net == t.net && bytes.Equal(s.pos, t.pos) }

// Net returns the net the state belongs to, nil for the zero State.
func (s State) Net() *Net { return s.net }

// String lists the devices that have more than one position, "stair at loft up,
// stair at stair-foot down", in name order. The text is for reading and not stable.
func (s State) String() string {
	var b strings.Builder
	for d, p := range s.pos {
		k := &s.net.kinds[s.net.deviceKind[d]]
		if len(k.Positions) < 2 {
			continue
		}
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		b.WriteString(s.net.deviceRef[d].String())
		b.WriteByte(' ')
		b.WriteString(k.Positions[p].Name)
	}
	return b.String()
}

// Indices returns the position of each device as a number, in name order. It is
// for the solvers of this module; the slice must not be changed.
func (s State) Indices() []uint8 { return s.pos }

// StateOf returns the state with the given positions, numbered as in
// [State.Indices]. It is for the solvers of this module.
func (n *Net) StateOf(pos []uint8) (State, error) {
	if len(pos) != len(n.deviceRef) {
		return State{}, &Problem{ForeignState, "state", fmt.Sprintf("has %d positions; the net has %d devices", len(pos), len(n.deviceRef))}
	}
	for d, p := range pos {
		if have := len(n.kinds[n.deviceKind[d]].Positions); int(p) >= have {
			return State{}, &Problem{Unknown, "device " + quote(n.deviceRef[d].String()), fmt.Sprintf("has no position %d; it has %d", p, have)}
		}
	}
	return State{n, slices.Clone(pos)}, nil
}

// An Order says in which order states are visited.
type Order uint8

// The orders.
const (
	// Counting moves the last device in name order fastest, each through its
	// positions in the order of its kind.
	Counting Order = iota + 1
	// Gray visits every state too, and each differs from the one before it in
	// one device, moved to the position before or after its own: a walk of
	// single flips. The last device moves most often.
	Gray
)

var orderNames = [...]string{"", "counting", "gray"}

// String returns the word.
func (o Order) String() string { return enum.Word(orderNames[:], o, "Order") }

// MarshalText writes the word.
func (o Order) MarshalText() ([]byte, error) {
	return marshalWord(orderNames[:], uint8(o), "order of states")
}

// UnmarshalText reads the word.
func (o *Order) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(orderNames[:], text, "order of states")
	if err == nil {
		*o = Order(n)
	}
	return err
}

// StatesOptions chooses which states to visit. The zero value, or nil, means all
// positions of everything but breakers, from rest, in Counting order.
type StatesOptions struct {
	// Order of the visit; 0 means Counting.
	Order Order
	// Hold gives the position of every device that is not varied; the zero
	// State means rest. It must be a state of the net.
	Hold State
	// Vary lists the devices to vary; nil means every device with more than
	// one position that is not a breaker.
	Vary []Ref
	// Breakers varies the breakers too. It has no effect if Vary is set.
	Breakers bool
}

// States returns the states of the net as an iterator, and how many there are.
// The states are made one at a time, so that the caller may stop at any; with
// many devices there are more than anybody can visit. An unknown device, a device
// named twice or a Hold of another net is an error.
func (n *Net) States(opt *StatesOptions) (states iter.Seq[State], count *big.Int, err error) {
	var o StatesOptions
	if opt != nil {
		o = *opt
	}
	hold := o.Hold
	if hold.net == nil {
		hold = n.Rest()
	} else if hold.net != n {
		return nil, nil, &Problem{ForeignState, "Hold", "is a state of another net"}
	}
	if o.Order > Gray {
		return nil, nil, &Problem{Unknown, "Order", "is neither Counting nor Gray"}
	}
	var vary []int
	var ps problemList
	if o.Vary == nil {
		for d, k := range n.deviceKind {
			if len(n.kinds[k].Positions) > 1 && (o.Breakers || !n.kinds[k].Breaker) {
				vary = append(vary, d)
			}
		}
	}
	for _, r := range o.Vary {
		d, ok := n.device(r)
		switch {
		case !ok:
			ps.add(Unknown, "device "+quote(r.String()), "is not in the net")
		case slices.Contains(vary, d):
			ps.add(Duplicate, "device "+quote(r.String()), "is to be varied twice")
		default:
			vary = append(vary, d)
		}
	}
	if len(ps.list) > 0 {
		return nil, nil, ps.sorted()
	}
	slices.Sort(vary)
	count = big.NewInt(1)
	for _, d := range vary {
		count.Mul(count, big.NewInt(int64(len(n.kinds[n.deviceKind[d]].Positions))))
	}
	return func(yield func(State) bool) { n.walk(hold, vary, o.Order == Gray, yield) }, count, nil
}

// walk visits the mixed-radix numbers of the varied devices, counting or in
// reflected Gray order (Knuth, The Art of Computer Programming 7.2.1.1,
// algorithm H without its focus pointers: each step looks for the last digit
// that can still move).
func (n *Net) walk(hold State, vary []int, gray bool, yield func(State) bool) {
	pos := slices.Clone(hold.pos)
	back := make([]bool, len(vary))
	for _, d := range vary {
		pos[d] = 0
	}
	for {
		if !yield(State{n, slices.Clone(pos)}) {
			return
		}
		i := len(vary) - 1
		for ; i >= 0; i-- {
			d := vary[i]
			last := uint8(len(n.kinds[n.deviceKind[d]].Positions) - 1)
			if back[i] && pos[d] > 0 {
				pos[d]--
				break
			}
			if !back[i] && pos[d] < last {
				pos[d]++
				break
			}
			if gray {
				back[i] = !back[i]
			} else {
				pos[d] = 0
			}
		}
		if i < 0 {
			return
		}
	}
}
