package trace

import (
	"crypto/sha256"
	"encoding/binary"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// frame is what all nets of a case have in common: switches, lights, and the places
// where a probe can be put.
type frame struct {
	sp     *space
	lights []switchnet.Load // in name order
	// points are the terminals of every box, and the wires' ends, in name order:
	// those that are there under every hypothesis.
	points   []switchnet.Terminal
	filament []bool // by light
	noDead   bool   // no test with the circuit dead is reckoned with: no neutral is lifted
}

// newFrame returns the frame of a job. A screw that is not there when one of the
// faults is, because the device is another, is no point; its wire's end is.
func newFrame(w *wiring.Wiring, edits [][]wiring.Edit, opt *Options) (*frame, error) {
	net := w.Net()
	limit := opt.States
	if limit == 0 {
		limit = DefaultStates
	}
	sp, err := newSpace(net, opt.Known, limit)
	if err != nil {
		return nil, err
	}
	f := &frame{sp: sp, noDead: opt.NoDead}
	spec := w.Spec()
	inside := map[switchnet.Ref]bool{}
	for d := range net.Devices() {
		for _, l := range d.Kind.Internal {
			inside[switchnet.Ref{Place: d.Place, Name: d.Name + " " + l.Name}] = true
		}
	}
	var errs Errors
	for l := range net.Loads() {
		if !inside[l.Ref] {
			f.lights = append(f.lights, l)
			f.filament = append(f.filament, slices.Contains(opt.Filament, l.Ref))
		}
	}
	for _, r := range opt.Filament {
		if _, ok := f.light(r); !ok {
			errs.add("Options.Filament", "the job has no light %s", r)
		}
	}
	gone := map[switchnet.Terminal]bool{}
	for _, es := range edits {
		for _, e := range es {
			r, ok := e.(wiring.ReplaceDevice)
			if !ok {
				continue
			}
			d, _ := net.Device(r.Device)
			for _, t := range d.Kind.Terminals {
				if !slices.Contains(r.Kind.Terminals, t) && t != "ground" {
					gone[r.Device.Terminal(t)] = true
				}
			}
		}
	}
	boxes := map[string]bool{}
	for _, b := range spec.Boxes {
		boxes[b.Name] = true
	}
	feeds := map[switchnet.Ref]bool{}
	for _, x := range spec.Feeds {
		feeds[switchnet.Ref{Place: x.Box, Name: x.Name}] = true
	}
	for t := range net.Terminals() {
		ahead := feeds[t.Owner()] && len(t.Name) >= 4 && t.Name[:4] == "line"
		if boxes[t.Place] && !gone[t] && !ahead {
			f.points = append(f.points, t)
		}
	}
	return f, errs.or()
}

func (f *frame) light(r switchnet.Ref) (int, bool) {
	return slices.BinarySearchFunc(f.lights, r, func(l switchnet.Load, r switchnet.Ref) int { return l.Compare(r) })
}

func (f *frame) point(t switchnet.Terminal) (int, bool) {
	return slices.BinarySearchFunc(f.points, t, switchnet.Terminal.Compare)
}

// circuit is a net as a frame sees it.
type circuit struct {
	net     *switchnet.Net
	devices []int32 // of each switch
	lights  []int32 // number of the load of each light
	points  []int32 // net of each point
}

func (f *frame) circuit(net *switchnet.Net) *circuit {
	c := &circuit{net: net, devices: make([]int32, len(f.sp.switches)), lights: make([]int32, len(f.lights)), points: make([]int32, len(f.points))}
	for i, r := range f.sp.switches {
		d, _ := net.DeviceIndex(r)
		c.devices[i] = int32(d)
	}
	for i, l := range f.lights {
		n, _ := net.LoadIndex(l.Ref)
		c.lights[i] = int32(n)
	}
	for i, t := range f.points {
		n, _ := net.NetIndex(t)
		c.points[i] = int32(n)
	}
	return c
}

// model is one hypothesis as metal: the circuit as it is, and with all neutrals of the
// panel lifted; the former again where nobody tests dead.
type model struct{ whole, lifted *circuit }

func (f *frame) model(w *wiring.Wiring) (*model, error) { return f.modelOf(w, !f.noDead) }

// modelOf returns a wiring as metal, with the neutrals lifted or not as well.
func (f *frame) modelOf(w *wiring.Wiring, lifts bool) (*model, error) {
	if !lifts {
		whole := f.circuit(w.Net())
		return &model{whole, whole}, nil
	}
	off := make([]wiring.Edit, 0, 2)
	for _, x := range w.Spec().Feeds {
		off = append(off, wiring.ClearTerminal{Of: switchnet.Ref{Place: x.Box, Name: x.Name}, Terminal: "neutral"})
	}
	lifted, err := w.Apply(off...)
	if err != nil {
		// A neutral that is not there cannot be lifted, and need not be.
		lifted = w
		for _, e := range off {
			if v, err := lifted.Apply(e); err == nil {
				lifted = v
			}
		}
	}
	m := &model{whole: f.circuit(w.Net())}
	m.lifted = m.whole
	if lifted != w {
		m.lifted = f.circuit(lifted.Net())
	}
	return m, nil
}

// print is a digest of everything that the facts of a model depend on: two models with
// one digest behave alike in every test.
func (m *model) print() [sha256.Size]byte {
	var b []byte
	put := func(ns ...int32) {
		for _, n := range ns {
			b = binary.AppendVarint(b, int64(n))
		}
	}
	for _, c := range []*circuit{m.whole, m.lifted} {
		g := c.net.Dense()
		put(int32(g.Nets()))
		for _, r := range g.NetRails {
			b = append(b, byte(r))
		}
		put(c.devices...)
		put(c.lights...)
		put(c.points...)
		for d := range g.Devices() {
			put(g.Terminals(d)...)
			for _, p := range g.Kind(d).Blocks {
				b = append(b, p...)
			}
			b = append(b, 0xff)
		}
		for _, l := range g.LoadNets {
			put(l[:]...)
		}
	}
	return sha256.Sum256(b)
}
