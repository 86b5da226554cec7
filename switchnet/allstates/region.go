package allstates

// region is the part of a net that a question is about: the nets of some pieces
// and the varied devices with contacts on them, renumbered from 0 in the order in
// which a breadth-first walk from the first wanted net meets them.
type region struct {
	nets   []int32 // net of each local net
	degree []int32 // devices on each local net

	devices   []int32 // device of each local device
	termStart []int32
	// term is, by terminal, the local net; or termIgnored; or termRail less the
	// label; or termSame less the number of an earlier terminal of the device
	// on the same net, so that each net of a device stands there once.
	term []int32

	// The devices on each local net, made when an order must be searched for.
	onStart, on []int32
}

const (
	termIgnored = -1
	termRail    = -2
	termSame    = -16
)

// termsOf returns the codes of the terminals of a device.
func (r *region) termsOf(d int32) []int32 { return r.term[r.termStart[d]:r.termStart[d+1]] }

// devicesOn returns the devices on a net; invert must have been called.
func (r *region) devicesOn(x int32) []int32 { return r.on[r.onStart[x]:r.onStart[x+1]] }

// invert lists the devices by net.
func (r *region) invert() {
	n := len(r.nets)
	r.onStart = make([]int32, n+2)
	at := r.onStart[1:]
	for x, d := range r.degree {
		at[x+1] = at[x] + d
	}
	r.on = make([]int32, at[n])
	for d := range r.devices {
		for _, x := range r.termsOf(int32(d)) {
			if x >= 0 {
				r.on[at[x]] = int32(d)
				at[x]++
			}
		}
	}
	r.onStart = r.onStart[:n+1]
}

// walker maps nets and devices to local numbers. It is reused from question to
// question.
type walker struct {
	local  []int32 // of a net; -1 if it is in the region and not met yet
	stamp  []int32 // by net: the epoch local is of
	piece  []int32 // by root of piece: the epoch in which it was wanted
	device []int32 // by device: the epoch in which it was met
	epoch  int32
}

func newWalker(f *frame) *walker {
	n := f.g.Nets()
	all := make([]int32, 3*n+f.g.Devices())
	return &walker{local: all[:n], stamp: all[n : 2*n], piece: all[2*n : 3*n], device: all[3*n:]}
}

// of returns the local number of a net of the region.
func (w *walker) of(x int32) int32 { return w.local[x] }

// explore collects the region of the pieces of the given nets, none of them a
// boundary, and of extra devices, which may touch none of them.
func (w *walker) explore(f *frame, seeds, extra []int32) *region {
	w.epoch++
	e := w.epoch
	r := &region{}
	nets := int32(0)
	for _, x := range seeds {
		if p := f.piece[x]; w.piece[p] != e {
			w.piece[p] = e
			nets += f.size[p]
		}
	}
	devices := min(len(f.order), int(nets)) + len(extra)
	r.nets = make([]int32, 0, nets)
	r.degree = make([]int32, 0, nets)
	r.devices = make([]int32, 0, devices)
	r.termStart = append(make([]int32, 0, devices+1), 0)
	r.term = make([]int32, 0, 4*devices)
	add := func(x int32) {
		w.stamp[x] = e
		w.local[x] = int32(len(r.nets))
		r.nets = append(r.nets, x)
		r.degree = append(r.degree, f.start[x+1]-f.start[x])
	}
	meet := func(d int32) {
		w.device[d] = e
		r.devices = append(r.devices, d)
		touches := f.kinds[f.g.DeviceKind[d]].touches
		from := len(r.term)
	terminals:
		for t, x := range f.terms(d) {
			if !touches[t] {
				r.term = append(r.term, termIgnored)
				continue
			}
			if b := f.bound[x]; b != 0 {
				r.term = append(r.term, termRail-int32(labelOf(b)))
				continue
			}
			if w.piece[f.piece[x]] != e {
				r.term = append(r.term, termIgnored)
				continue
			}
			if w.stamp[x] != e {
				add(x)
			}
			l := w.local[x]
			for u, m := range r.term[from:] {
				if m == l {
					r.term = append(r.term, termSame-int32(u))
					continue terminals
				}
			}
			r.term = append(r.term, l)
		}
		r.termStart = append(r.termStart, int32(len(r.term)))
	}
	next := 0
	for s := 0; s <= len(seeds); s++ {
		if s == len(seeds) {
			for _, d := range extra {
				if w.device[d] != e {
					meet(d)
				}
			}
		} else if w.stamp[seeds[s]] != e {
			add(seeds[s])
		}
		for ; next < len(r.nets); next++ {
			for _, d := range f.on(r.nets[next]) {
				if w.device[d] != e {
					meet(d)
				}
			}
		}
	}
	return r
}
