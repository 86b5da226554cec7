package allstates

import (
	"context"
	"errors"
	"slices"

	"example.com/switchleg/switchnet"
)

// A Claim is something that a state may fulfil. Claims are made with [LoadIs],
// [TerminalIs], [Hazardous], [Shorted], [NotShorted] and [Positioned]; the zero
// Claim is refused.
type Claim struct {
	kind      claimKind
	ref       switchnet.Ref
	terminal  switchnet.Terminal
	mask      uint8
	bad       bool
	positions []string
}

type claimKind uint8

const (
	claimLoad claimKind = iota + 1
	claimTerminal
	claimShorted
	claimNotShorted
	claimPosition
)

// LoadIs claims that a load has one of the given statuses.
func LoadIs(load switchnet.Ref, statuses ...switchnet.LoadStatus) Claim {
	c := Claim{kind: claimLoad, ref: load}
	for _, s := range statuses {
		c.bad = c.bad || s < switchnet.Unlit || s > switchnet.Faulted
		c.mask |= 1 << (s - 1)
	}
	return c
}

// TerminalIs claims that a terminal's condition is of one of the given kinds.
func TerminalIs(t switchnet.Terminal, kinds ...switchnet.ConditionKind) Claim {
	c := Claim{kind: claimTerminal, terminal: t}
	for _, k := range kinds {
		c.bad = c.bad || k < switchnet.Isolated || k > switchnet.Shorted
		c.mask |= 1 << (k - 1)
	}
	return c
}

// Hazardous claims that a terminal is live, live through a load, or shorted.
func Hazardous(t switchnet.Terminal) Claim {
	return TerminalIs(t, switchnet.Live, switchnet.LiveThroughLoad, switchnet.Shorted)
}

// Shorted claims that rails of different potential are joined somewhere.
func Shorted() Claim { return Claim{kind: claimShorted} }

// NotShorted claims that no rails of different potential are joined anywhere.
func NotShorted() Claim { return Claim{kind: claimNotShorted} }

// Positioned claims that a device that moves is in one of the named positions.
func Positioned(device switchnet.Ref, positions ...string) Claim {
	return Claim{kind: claimPosition, ref: device, positions: slices.Clone(positions)}
}

// Find returns the states that fulfil every claim; without claims, all states. All
// mistakes in the claims are reported, as [Error] values joined. A net that is too
// knotted for the question gives a [BudgetError].
func (a *Analysis) Find(ctx context.Context, claims ...Claim) (*Set, error) {
	if err := a.ready(ctx); err != nil {
		return nil, err
	}
	q, err := a.compile(claims)
	if err != nil {
		return nil, err
	}
	d, err := a.run(ctx, q)
	if err != nil {
		return nil, err
	}
	return a.newSet(a.reduce(d, [outcomes]ref{refOff, refOn, refOff, refOff})), nil
}

func (a *Analysis) compile(claims []Claim) (*query, error) {
	f := a.f
	q := &query{f: f}
	var errs []error
	narrow := func(t target) {
		for i := range q.targets {
			u := &q.targets[i]
			if u.load == t.load && (t.load >= 0 || u.ends == t.ends) {
				u.mask &= t.mask
				return
			}
		}
		q.targets = append(q.targets, t)
	}
	short := func(want int) {
		q.never = q.never || q.short == -want
		q.short = want
	}
	for _, c := range claims {
		switch c.kind {
		case claimLoad:
			i, ok := f.net.LoadIndex(c.ref)
			if !ok {
				errs = append(errs, fail(UnknownLoad, c.ref, "is not a load of the net"))
			}
			if c.bad || c.mask == 0 {
				errs = append(errs, fail(BadValue, c.ref, "is claimed to have no status, or one that does not exist; name unlit, lit, dim or faulted"))
			}
			narrow(target{load: int32(i), mask: c.mask})
		case claimTerminal:
			i, ok := f.terminal(c.terminal)
			if !ok {
				errs = append(errs, fail(UnknownTerminal, c.terminal, "is not a terminal of the net"))
				continue
			}
			if c.bad || c.mask == 0 {
				errs = append(errs, fail(BadValue, c.terminal, "is claimed to be in no condition, or in one that does not exist"))
			}
			narrow(target{load: -1, mask: c.mask, ends: [2]end{end(f.netOf(int32(i)))}})
		case claimShorted:
			short(1)
		case claimNotShorted:
			short(-1)
		case claimPosition:
			errs = append(errs, a.position(q, c)...)
		default:
			errs = append(errs, &Error{BadValue, "claim", "is the zero Claim; make claims with LoadIs, TerminalIs, Shorted and the like"})
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return q, nil
}

func (a *Analysis) position(q *query, c Claim) []error {
	f := a.f
	d, ok := f.net.DeviceIndex(c.ref)
	if !ok {
		return []error{fail(UnknownDevice, c.ref, "is not a device of the net")}
	}
	if !f.varied[d] {
		return []error{fail(NotVaried, c.ref, "is held in one position; vary it to make claims about it")}
	}
	kind := f.net.DeviceAt(d).Kind
	var errs []error
	ok2 := make([]bool, len(kind.Positions))
	for _, name := range c.positions {
		p, ok := kind.Position(name)
		if !ok {
			errs = append(errs, fail(UnknownPosition, c.ref, "has no position %q", name))
			continue
		}
		ok2[p] = true
	}
	if len(c.positions) == 0 {
		errs = append(errs, fail(BadValue, c.ref, "is claimed to be in no position; name at least one"))
	}
	if q.allowed == nil {
		q.allowed = map[int32][]bool{}
	}
	if old := q.allowed[int32(d)]; old != nil {
		for i := range ok2 {
			ok2[i] = ok2[i] && old[i]
		}
	}
	q.allowed[int32(d)] = ok2
	return errs
}
