package steady

import (
	"cmp"
	"context"
	"fmt"
	"math/cmplx"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A FaultKind says what a line is bolted to.
type FaultKind uint8

// The kinds of fault.
const (
	LineToNeutral FaultKind = iota + 1
	LineToGround
	LineToLine
)

var faultNames = [...]string{"", "line to neutral", "line to ground", "line to line"}

// String returns the words.
func (k FaultKind) String() string {
	return enum.Word(faultNames[:], k, "FaultKind")
}

// MarshalText writes the words.
func (k FaultKind) MarshalText() ([]byte, error) {
	return marshalWord("a kind of fault", uint8(k), faultNames[:])
}

// A Clearing says what a trip curve says of a fault current.
type Clearing uint8

// The judgements of a fault current.
const (
	// NotJudged: no curve was given, or no breaker lies on the way.
	NotJudged Clearing = iota + 1
	// AtOnce: the least current reaches the instantaneous part of the curve.
	AtOnce
	// NotAtOnce: it does not; the breaker opens late or not at all.
	NotAtOnce
)

var clearingNames = [...]string{"", "not judged", "at once", "not at once"}

// String returns the words.
func (c Clearing) String() string {
	return enum.Word(clearingNames[:], c, "Clearing")
}

// MarshalText writes the words.
func (c Clearing) MarshalText() ([]byte, error) {
	return marshalWord("a judgement of a fault current", uint8(c), clearingNames[:])
}

// A Fault is what would flow if conductors of a box touched, solidly and before
// anything opens, with all loads off.
type Fault struct {
	Box  string
	Kind FaultKind
	// Feed is the breaker that the least current flows through, and Breaker its
	// rating; zero where there is none on the way.
	Feed    switchnet.Ref
	Breaker quantity.Current
	// Least and Greatest are the currents at the worst-fed and the best-fed
	// two terminals of that kind in the box: the least decides whether the
	// breaker opens, the greatest what it must be able to interrupt.
	Least, Greatest     quantity.Current
	LeastAt, GreatestAt [2]switchnet.Terminal
	Clearing            Clearing
}

// Faults returns the prospective fault currents in every box, in the order of box
// name and kind, with the switches as they are in this solution. They are those at
// the conductor temperature of the options: cold conductors let more flow and hot
// ones less. A stiff supply has no prospective current, so Options.Service must
// state a FaultCurrent; that it does not is an error, as is a context that ends.
//
// Each box costs a solve for every two of its pieces of metal of which one is hot: 5
// ms for a panel of 42 circuits, a third of a second for 1,000 boxes in a row, and
// the square of either.
func (s *Solution) Faults(ctx context.Context) ([]Fault, error) {
	if s == nil || s.p == nil {
		return nil, Errors{{"solution", "is none; Problem.Solve makes one"}}
	}
	if s.p.opt.Service.FaultCurrent == 0 {
		return nil, Errors{{"Options.Service", "states no fault current; a figure that leaves the supply out would be too large to judge a breaker by"}}
	}
	if s.hi == nil {
		return nil, Errors{{"solution", fmt.Sprintf("is %s and has no figures", s.status)}}
	}
	view, err := s.p.net.NewSolver().Solve(s.state)
	if err != nil {
		return nil, err
	}
	sv := s.p.solver()
	defer s.p.spares.Put(sv)
	f := &faults{s: s, sv: sv, best: map[faultKey]*Fault{}}
	f.unload()
	byBox := map[string][]spot{}
	for t, c := range view.Conditions() {
		if t.Place == "" || c.Rails.Conflict() || c.Rails.Empty() {
			continue
		}
		node, _ := s.nodeOf(t)
		byBox[t.Place] = append(byBox[t.Place], spot{t, node, c.Rails})
	}
	for box, spots := range byBox {
		if err := f.box(ctx, box, spots); err != nil {
			return nil, err
		}
	}
	out := make([]Fault, 0, len(f.best))
	for _, b := range f.best {
		if c := s.p.opt.Curve; c != nil && b.Breaker > 0 {
			b.Clearing = NotAtOnce
			if b.Least.Amperes() >= c.Multiple.Float64()*b.Breaker.Amperes() {
				b.Clearing = AtOnce
			}
		}
		out = append(out, *b)
	}
	slices.SortFunc(out, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Box, b.Box), cmp.Compare(a.Kind, b.Kind), a.Feed.Compare(b.Feed))
	})
	return out, nil
}

type spot struct {
	at    switchnet.Terminal
	node  int32
	rails switchnet.RailSet
}

type faultKey struct {
	box  string
	kind FaultKind
	feed switchnet.Ref
}

type faults struct {
	s    *Solution
	sv   *solver
	best map[faultKey]*Fault
}

// unload factors the network with its loads off and finds its potentials.
func (f *faults) unload() {
	s, sv := f.s, f.sv
	nw := s.p.nw
	copy(sv.y, s.y)
	for l := range nw.loads {
		sv.y[int(nw.loads[l].branch)-nw.fixed] = 0
	}
	sv.assemble()
	sv.potentials()
}

// box tries every two terminals of a box that stand on different nodes.
func (f *faults) box(ctx context.Context, box string, spots []spot) error {
	type attempt struct {
		a, b int32
		kind FaultKind
	}
	tried := map[attempt]bool{}
	for _, a := range spots {
		if err := ctx.Err(); err != nil {
			return err
		}
		if a.rails.Lines().Empty() {
			continue
		}
		for _, b := range spots {
			var kinds []FaultKind
			switch {
			case a.node == b.node:
			case !b.rails.Lines().Empty():
				if a.rails != b.rails && a.at.Compare(b.at) < 0 {
					kinds = append(kinds, LineToLine)
				}
			default:
				if b.rails.Has(switchnet.Neutral) {
					kinds = append(kinds, LineToNeutral)
				}
				if b.rails.Has(switchnet.Ground) {
					kinds = append(kinds, LineToGround)
				}
			}
			kinds = slices.DeleteFunc(kinds, func(k FaultKind) bool {
				key := attempt{a.node, b.node, k}
				was := tried[key]
				tried[key] = true
				return was
			})
			if len(kinds) > 0 {
				f.try(box, kinds, a, b)
			}
		}
	}
	return nil
}

// try adds the current between two terminals to what is known of the box.
func (f *faults) try(box string, kinds []FaultKind, a, b spot) {
	sv := f.sv
	sv.reachOf(&probe{i: a.node, j: b.node})
	z := sv.reach[a.node] - sv.reach[b.node]
	if z == 0 {
		return
	}
	c := current(cmplx.Abs(sv.across(a.node, b.node) / z))
	feed := f.feed()
	at := [2]switchnet.Terminal{a.at, b.at}
	for _, kind := range kinds {
		key := faultKey{box, kind, feed}
		have := f.best[key]
		if have == nil {
			have = &Fault{Box: box, Kind: kind, Feed: feed, Breaker: f.s.p.feeds[feed], Least: c, Greatest: c, LeastAt: at, GreatestAt: at, Clearing: NotJudged}
			f.best[key] = have
			continue
		}
		before := func(x, y [2]switchnet.Terminal) bool { return cmp.Or(x[0].Compare(y[0]), x[1].Compare(y[1])) < 0 }
		if c < have.Least || c == have.Least && before(at, have.LeastAt) {
			have.Least, have.LeastAt = c, at
		}
		if c > have.Greatest || c == have.Greatest && before(at, have.GreatestAt) {
			have.Greatest, have.GreatestAt = c, at
		}
	}
}

// feed returns the feed that carries most of the ampere sent through the probe, if
// it carries at least half of it.
func (f *faults) feed() switchnet.Ref {
	nw := f.s.p.nw
	var best switchnet.Ref
	most := 0.5
	for d := range nw.devices {
		part := &nw.devices[d]
		if _, ok := f.s.p.feeds[part.ref]; !ok {
			continue
		}
		for i := range nw.contacts[part.kind].pairs {
			k := part.first + int32(i)
			b := &nw.branches[k]
			if c := cmplx.Abs(f.sv.admittance(k) * (f.sv.reach[b.i] - f.sv.reach[b.j])); c >= most*(1+1e-9) {
				best, most = part.ref, c
			}
		}
	}
	return best
}
