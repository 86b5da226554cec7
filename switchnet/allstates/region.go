package allstates

// region is the part of a net that a question is about: the nets and varied
// devices of some pieces, renumbered from 0 in the order in which a breadth-first
// walk from the first wanted net meets them.
type region struct {
	nets    []int32 // net of each local net
	devices []int32 // device of each local device
	// CSR both ways, of local numbers. A device is listed once per net.
	netStart, netDevice []int32
	devStart, devNet    []int32
}

// walker maps nets and devices to local numbers. It is reused from question to
// question.
type walker struct {
	netLocal []int32 // local number, valid where the stamp is the epoch
	netStamp []int32
	devStamp []int32
	epoch    int32
}

func newWalker(f *frame) *walker {
	n := f.g.Nets()
	return &walker{netLocal: make([]int32, n), netStamp: make([]int32, n), devStamp: make([]int32, f.g.Devices())}
}

// local returns the local number of a net, or -1 if it is outside the region.
func (w *walker) local(x int32) int32 {
	if w.netStamp[x] != w.epoch {
		return -1
	}
	return w.netLocal[x]
}

// explore collects the region of the given nets, and of extra devices, which may
// touch none of them.
func (w *walker) explore(f *frame, seeds, extra []int32) *region {
	w.epoch++
	r := &region{}
	add := func(x int32) {
		if f.bound[x] == 0 && w.netStamp[x] != w.epoch {
			w.netStamp[x] = w.epoch
			w.netLocal[x] = int32(len(r.nets))
			r.nets = append(r.nets, x)
		}
	}
	next := 0
	for s := 0; s <= len(seeds); s++ {
		if s < len(seeds) {
			add(seeds[s])
		} else {
			for _, d := range extra {
				if w.devStamp[d] != w.epoch {
					w.devStamp[d] = w.epoch
					r.devices = append(r.devices, d)
				}
			}
		}
		for ; next < len(r.nets); next++ {
			x := r.nets[next]
			for _, d := range f.on(x) {
				terms := f.terms(d)
				if w.devStamp[d] != w.epoch {
					w.devStamp[d] = w.epoch
					r.devices = append(r.devices, d)
				}
				for _, p := range f.kinds[f.g.DeviceKind[d]].ever {
					if terms[p[0]] == x {
						add(terms[p[1]])
					} else if terms[p[1]] == x {
						add(terms[p[0]])
					}
				}
			}
		}
	}
	w.connect(f, r)
	return r
}

// connect fills the adjacency of a region.
func (w *walker) connect(f *frame, r *region) {
	n := len(r.nets)
	r.devStart = make([]int32, 1, len(r.devices)+1)
	r.devNet = make([]int32, 0, 4*len(r.devices))
	r.netStart = make([]int32, n+2)
	count := r.netStart[1:]
	for _, d := range r.devices {
		touches := f.kinds[f.g.DeviceKind[d]].touches
		from := len(r.devNet)
	terminals:
		for t, x := range f.terms(d) {
			l := w.local(x)
			if l < 0 || !touches[t] {
				continue
			}
			for _, m := range r.devNet[from:] {
				if m == l {
					continue terminals
				}
			}
			r.devNet = append(r.devNet, l)
			count[l+1]++
		}
		r.devStart = append(r.devStart, int32(len(r.devNet)))
	}
	for i := range n {
		count[i+1] += count[i]
	}
	r.netDevice = make([]int32, len(r.devNet))
	for d := range r.devices {
		for _, l := range r.netsOf(int32(d)) {
			r.netDevice[count[l]] = int32(d)
			count[l]++
		}
	}
	r.netStart = r.netStart[:n+1]
}

func (r *region) netsOf(d int32) []int32 { return r.devNet[r.devStart[d]:r.devStart[d+1]] }

func (r *region) devicesOn(x int32) []int32 { return r.netDevice[r.netStart[x]:r.netStart[x+1]] }
