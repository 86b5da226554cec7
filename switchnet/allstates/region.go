package allstates

// region is the part of a net that a question is about: the nets of some pieces
// and the varied devices with contacts on them, renumbered from 0 in the order in
// which a breadth-first walk from the first wanted net meets them.
type region struct {
	nets   []int32 // net of each local net
	degree []int32 // devices on each local net

	devices   []int32 // device of each local device
	termStart []int32
	term      []int32 // by terminal: local net, or termIgnored, or termRail-label
	netStart  []int32
	net       []int32 // the local nets of each device, each once

	// The devices on each local net, made when an order must be searched for.
	onStart, on []int32
}

const (
	termIgnored = -1
	termRail    = -2
)

// netsOf returns the nets of a device.
func (r *region) netsOf(d int32) []int32 { return r.net[r.netStart[d]:r.netStart[d+1]] }

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
	r.on = make([]int32, len(r.net))
	for d := range r.devices {
		for _, x := range r.netsOf(int32(d)) {
			r.on[at[x]] = int32(d)
			at[x]++
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
	var nets, incidences int32
	for _, x := range seeds {
		if p := f.piece[x]; w.piece[p] != e {
			w.piece[p] = e
			nets += f.size[p]
			incidences += f.incident[p]
		}
	}
	devices := min(len(f.order), int(incidences)) + len(extra)
	r.nets = make([]int32, 0, nets)
	r.degree = make([]int32, 0, nets)
	r.devices = make([]int32, 0, devices)
	r.termStart = append(make([]int32, 0, devices+1), 0)
	r.netStart = append(make([]int32, 0, devices+1), 0)
	r.net = make([]int32, 0, incidences)
	r.term = make([]int32, 0, int(incidences)+devices)
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
		from := len(r.net)
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
			r.term = append(r.term, l)
			for _, m := range r.net[from:] {
				if m == l {
					continue terminals
				}
			}
			r.net = append(r.net, l)
		}
		r.termStart = append(r.termStart, int32(len(r.term)))
		r.netStart = append(r.netStart, int32(len(r.net)))
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
