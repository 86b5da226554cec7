package allstates

import (
	"errors"
	"iter"
	"slices"

	"example.com/switchleg/switchnet"
)

// A Toggling says whether switches toggle a load: whether moving one of them to a
// neighbouring position, in the order of its kind, turns the load from lit to
// unlit or from unlit to lit, from every state.
type Toggling struct {
	l        *Load
	switches []int32 // dense devices, name order
	layers   []int32 // of each, -1 if it cannot matter
	proven   bool
}

// Toggles decides whether every one of the given switches toggles the load from
// every state. Without switches it asks about all that matter to the load at all
// and are not breakers. A device that does not move, or is not in the net, is an
// [Error]; all are reported, joined.
func (l *Load) Toggles(switches ...switchnet.Ref) (*Toggling, error) {
	f := l.a.f
	t := &Toggling{l: l, proven: true}
	if len(switches) == 0 {
		for i, d := range l.r.device {
			if s := &l.r.steps[l.r.layer[i]]; !s.idle && !f.g.Kind(int(d)).Breaker {
				t.proven = t.proven && s.toggles
			}
		}
		return t, nil
	}
	var errs []error
	for _, r := range switches {
		d, ok := f.net.DeviceIndex(r)
		switch {
		case !ok:
			errs = append(errs, fail(UnknownDevice, r, "is not a device of the net"))
		case !f.varied[d]:
			errs = append(errs, fail(NotVaried, r, "is held in one position"))
		case slices.Contains(t.switches, int32(d)):
			errs = append(errs, fail(Repeated, r, "is named twice"))
		default:
			t.switches = append(t.switches, int32(d))
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	t.place()
	for _, i := range t.layers {
		t.proven = t.proven && i >= 0 && l.r.steps[l.r.layer[i]].toggles
	}
	return t, nil
}

// place sorts the switches and finds their layers.
func (t *Toggling) place() {
	l := t.l
	by := make([]int32, l.a.f.g.Devices())
	for i, d := range l.r.device {
		by[d] = int32(i) + 1
	}
	slices.Sort(t.switches)
	for _, d := range t.switches {
		t.layers = append(t.layers, by[d]-1)
	}
}

// Proven reports whether every switch toggles the load from every state.
func (t *Toggling) Proven() bool { return t.proven }

// Switches returns the switches that were asked about, in name order.
func (t *Toggling) Switches() []switchnet.Ref { return t.l.a.refs(t.list()) }

func (t *Toggling) list() []int32 {
	if t.switches != nil {
		return t.switches
	}
	var out []int32
	for i, d := range t.l.r.device {
		if !t.l.r.steps[t.l.r.layer[i]].idle && !t.l.a.f.g.Kind(int(d)).Breaker {
			out = append(out, d)
		}
	}
	slices.Sort(out)
	return out
}

// An Exception is a move that does not toggle the load: two states that differ in
// one handle.
type Exception struct {
	Switch        switchnet.Ref
	From, To      switchnet.State
	Before, After switchnet.LoadStatus
}

// Exceptions yields every move that does not toggle the load, each once, in order
// of the switch's name, then of its position in From (To is the next), then of From
// in the order of [Set.All]. The first of a switch takes time linear in the
// diagram.
func (t *Toggling) Exceptions() iter.Seq[Exception] {
	return func(yield func(Exception) bool) {
		for _, d := range t.list() {
			if !t.exceptionsOf(d, yield) {
				return
			}
		}
	}
}

func (t *Toggling) exceptionsOf(d int32, yield func(Exception) bool) bool {
	l := t.l
	a, r := l.a, l.r
	layer := slices.Index(r.device, d)
	positions := len(a.f.g.Kind(int(d)).Blocks)
	ref := a.f.net.DeviceAt(int(d)).Ref
	for p := range positions - 1 {
		emit := func(pos []uint8, before, after switchnet.LoadStatus, free []int32) bool {
			return a.each(free, pos, func() bool {
				pos[d] = uint8(p)
				from := a.state(pos)
				pos[d] = uint8(p + 1)
				to := a.state(pos)
				pos[d] = uint8(p)
				return yield(Exception{ref, from, to, before, after})
			})
		}
		pos := a.start()
		if layer < 0 {
			// The device is not wired to the load: no move toggles it.
			free := slices.DeleteFunc(slices.Clone(l.free), func(e int32) bool { return e == d })
			for x := range r.paths(pos, func(int, uint32) bool { return true }, len(r.layer)) {
				if !emit(pos, statusOf(x), statusOf(x), free) {
					return false
				}
			}
			continue
		}
		if r.steps[r.layer[layer]].toggles {
			continue
		}
		leads := r.leading(layer, func(x uint32) bool {
			return r.odd(layer+1, r.follow(layer, x, p), r.follow(layer, x, p+1))
		})
		starts := r.starts()
		may := func(i int, x uint32) bool { return leads[2*starts[i]+int(x)] }
		for x := range r.paths(pos, may, layer) {
			ok := r.pairs(layer+1, r.follow(layer, x, p), r.follow(layer, x, p+1), pos, func(x, y uint32) bool {
				return emit(pos, statusOf(x), statusOf(y), l.free)
			})
			if !ok {
				return false
			}
		}
	}
	return true
}

// odd reports whether some way on ends with other than one of two refs on and the
// other off.
func (r *reduced) odd(layer int, x, y ref) bool {
	return x != y^1 || r.mixed(layer, x)
}

// leading returns, for every ref into the layers up to the given one, whether a
// path leads from it to a ref of that layer for which goal holds.
func (r *reduced) leading(layer int, goal func(ref) bool) []bool {
	starts := r.starts()
	ok := make([]bool, 2*starts[layer+1])
	for i := layer; i >= 0; i-- {
		for x := range ref(2 * r.width(i)) {
			good := false
			if i == layer {
				good = goal(x)
			} else {
				for p := range r.arity(i) {
					good = good || ok[2*starts[i+1]+int(r.follow(i, x, p))]
				}
			}
			ok[2*starts[i]+int(x)] = good
		}
	}
	return ok
}

// pairs calls visit with the terminals of every way on from two refs, taken side
// by side, that does not end with one on and the other off. It keeps the positions
// in pos and stops if visit returns false, which it returns.
func (r *reduced) pairs(from int, x, y ref, pos []uint8, visit func(x, y ref) bool) bool {
	n := len(r.layer)
	type pair struct{ x, y ref }
	at := make([]pair, n+1)
	at[from] = pair{x, y}
	i, p := from, 0
	for {
		if i == n {
			if !visit(at[i].x, at[i].y) {
				return false
			}
			if i--; i < from {
				return true
			}
			p = int(pos[r.device[i]]) + 1
		}
		for ; p < r.arity(i); p++ {
			next := pair{r.follow(i, at[i].x, p), r.follow(i, at[i].y, p)}
			if r.odd(i+1, next.x, next.y) {
				at[i+1] = next
				break
			}
		}
		if p < r.arity(i) {
			pos[r.device[i]] = uint8(p)
			i, p = i+1, 0
			continue
		}
		pos[r.device[i]] = 0
		if i--; i < from {
			return true
		}
		p = int(pos[r.device[i]]) + 1
	}
}
