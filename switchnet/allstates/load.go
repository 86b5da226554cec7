package allstates

import (
	"context"
	"iter"
	"math/big"

	"example.com/switchleg/switchnet"
)

// A Load answers questions about one load in every state. It is immutable and safe
// for concurrent use.
type Load struct {
	a    *Analysis
	load int32
	d    *diagram
	r    *reduced // lit is on, unlit is off; dim and faulted are other outcomes
	free []int32
}

// Load analyses one load. A load that is not in the net is an [Error]; a net too
// knotted around it a [BudgetError].
func (a *Analysis) Load(ctx context.Context, load switchnet.Ref) (*Load, error) {
	if err := a.ready(ctx); err != nil {
		return nil, err
	}
	i, ok := a.f.net.LoadIndex(load)
	if !ok {
		return nil, fail(UnknownLoad, load, "is not a load of the net")
	}
	d, err := a.run(ctx, &query{classify: true, targets: []target{{load: int32(i)}}})
	if err != nil {
		return nil, err
	}
	d.q = nil // what it took to make the diagram is not needed any more
	return a.newLoad(int32(i), d), nil
}

func (a *Analysis) newLoad(i int32, d *diagram) *Load {
	return &Load{a: a, load: i, d: d, r: a.reduce(d, statusRefs), free: a.free(d.device)}
}

// statusRefs are the terminals of a load's diagram, by status less one.
var statusRefs = [outcomes]ref{outUnlit: refOff, outLit: refOn, outDim: refOther, outFaulted: refOther + 2}

// statusOf is the inverse of statusRefs.
func statusOf(x ref) switchnet.LoadStatus {
	switch x {
	case refOn:
		return switchnet.Lit
	case refOff:
		return switchnet.Unlit
	case refOther:
		return switchnet.Dim
	}
	return switchnet.Faulted
}

// Ref returns the name of the load.
func (l *Load) Ref() switchnet.Ref { return l.a.f.net.LoadAt(int(l.load)).Ref }

// Status returns what the load does in one state. The state must be one of the
// analysis: of its net, and with the devices that do not move as they are held;
// anything else gives 0.
func (l *Load) Status(state switchnet.State) switchnet.LoadStatus {
	if !l.a.covers(state) {
		return 0
	}
	return statusOf(l.r.walk(state.Indices()))
}

// Count returns in how many states the load has a status. The counts of the four
// statuses add up to [Analysis.States].
func (l *Load) Count(status switchnet.LoadStatus) *big.Int {
	n := l.r.count(func(x ref) bool { return statusOf(x) == status })
	return n.times(l.a.f.product(l.free)).value()
}

// Can reports whether the load has a status in any state, in time linear in the
// last layer of the diagram.
func (l *Load) Can(status switchnet.LoadStatus) bool {
	for _, o := range l.d.out {
		if switchnet.LoadStatus(o+1) == status {
			return true
		}
	}
	return false
}

// Always reports whether the load has a status in every state.
func (l *Load) Always(status switchnet.LoadStatus) bool {
	for _, o := range l.d.out {
		if switchnet.LoadStatus(o+1) != status {
			return false
		}
	}
	return true
}

// States returns the states in which the load has one of the given statuses.
func (l *Load) States(statuses ...switchnet.LoadStatus) *Set {
	terminal := [outcomes]ref{refOff, refOff, refOff, refOff}
	for _, s := range statuses {
		if s >= switchnet.Unlit && s <= switchnet.Faulted {
			terminal[s-1] = refOn
		}
	}
	return &Set{a: l.a, r: l.a.reduce(l.d, terminal), free: l.free}
}

// Matters returns the devices that move and in some state change what the load
// does, in name order.
func (l *Load) Matters() []switchnet.Ref {
	in := make([]bool, l.a.f.g.Devices())
	for i, d := range l.r.device {
		in[d] = !l.r.steps[l.r.layer[i]].idle
	}
	var out []switchnet.Ref
	for _, d := range l.a.f.order {
		if in[d] {
			out = append(out, l.a.f.net.DeviceAt(int(d)).Ref)
		}
	}
	return out
}

// Live is metal that can be live.
type Live struct {
	// Terminals are the terminals on it that are joined for good or by held
	// devices, in name order.
	Terminals []switchnet.Terminal
	// States are the states in which it is live, live through a load or
	// shorted.
	States *Set
}

// LiveWhile returns all metal that is hazardous in some state that fulfils the
// claims, in order of the first terminal. It asks one question for each piece of
// metal that anything could make live, so its time is that of [Analysis.Find]
// times their number.
func (a *Analysis) LiveWhile(ctx context.Context, claims ...Claim) ([]Live, error) {
	if err := a.ready(ctx); err != nil {
		return nil, err
	}
	f := a.f
	if _, err := a.compile(claims); err != nil {
		return nil, err
	}
	index := map[int32]int{}
	var all []Live
	var nets []int32
	for t := range f.net.Terminals() {
		x, _ := f.net.NetIndex(t)
		n := f.netOf(int32(x))
		i, ok := index[n]
		if !ok {
			i = len(all)
			if !f.canBeLive(n) {
				i = -1
			} else {
				all = append(all, Live{})
				nets = append(nets, n)
			}
			index[n] = i
		}
		if i >= 0 {
			all[i].Terminals = append(all[i].Terminals, t)
		}
	}
	out := all[:0]
	for i, l := range all {
		s, err := a.Find(ctx, append(claims[:len(claims):len(claims)], Hazardous(l.Terminals[0]))...)
		if err != nil {
			return nil, err
		}
		if !s.Empty() {
			out = append(out, Live{all[i].Terminals, s})
		}
	}
	return out, nil
}

// canBeLive reports whether a line may come on a net, by metal or through loads.
func (f *frame) canBeLive(x int32) bool {
	if f.bound[x] != 0 {
		return isLine(labelOf(f.bound[x]))
	}
	return isLine(labelOf(f.rails[f.piece[x]])) || isLine(labelOf(f.reaches(x)))
}

// LiveWhenUnlit returns all metal that is hazardous in some state in which the
// load is unlit, in order of the first terminal.
func (l *Load) LiveWhenUnlit(ctx context.Context) ([]Live, error) {
	return l.a.LiveWhile(ctx, LoadIs(l.Ref(), switchnet.Unlit))
}

// An Unclean is a terminal of a load that is hazardous while the load is unlit.
type Unclean struct {
	Terminal switchnet.Terminal
	States   *Set
}

// CleanWhenOff returns the terminals of the load that are live, live through a
// load or shorted in some state in which it is unlit, in the order of its ends: a
// lamp that goes dark while a hand in its socket would still be on a line. None
// means that it is clean when off.
func (l *Load) CleanWhenOff(ctx context.Context) ([]Unclean, error) {
	var out []Unclean
	load := l.a.f.net.LoadAt(int(l.load))
	for _, t := range load.Terminals() {
		x, _ := l.a.f.net.NetIndex(t)
		if !l.a.f.canBeLive(l.a.f.netOf(int32(x))) {
			continue
		}
		s, err := l.a.Find(ctx, LoadIs(load.Ref, switchnet.Unlit), Hazardous(t))
		if err != nil {
			return nil, err
		}
		if !s.Empty() {
			out = append(out, Unclean{t, s})
		}
	}
	return out, nil
}

// WithoutEffect yields, for every device that moves, in how many states moving it
// to any of its other positions would leave the load's status as it is, in name
// order.
func (l *Load) WithoutEffect() iter.Seq2[switchnet.Ref, *big.Int] {
	return func(yield func(switchnet.Ref, *big.Int) bool) {
		effects := l.effects()
		free := l.a.f.product(l.free)
		states := free.times(l.a.f.product(l.r.device))
		by := make([]int32, l.a.f.g.Devices())
		for i, d := range l.r.device {
			by[d] = int32(i) + 1
		}
		for _, d := range l.a.f.order {
			idle := states
			if i := by[d]; i > 0 {
				idle = states.minus(effects[i-1].times(free))
			}
			if !yield(l.a.f.net.DeviceAt(int(d)).Ref, idle.value()) {
				return
			}
		}
	}
}
