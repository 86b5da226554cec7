package wiring

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
)

// index finds entries by name, and is filled while checking that the Spec does
// not contradict itself.
type index struct {
	spec     *Spec
	problems Problems
	boxes    map[string]int
	cables   map[string]int
	cores    [][]string              // the words for the conductors, by cable; nil for a cable whose type is wrong
	owners   map[switchnet.Ref]owner // devices, lights, feeds and "box" by place
	ends     map[End]endUse          // what each wire end is used for

	kinds map[string]*kindUse
	types map[string]typeUse

	// What an unknown name may have meant, made at the first of each sort.
	knownBoxes, knownCables *Names
	knownOwners             map[string]*Names // by box
	knownDevices            map[string]*Names // of these, the devices
}

// owner is something in a box that terminals belong to.
type owner struct {
	at        Ref
	terminals []string // nil for a light that is plugged in and for a load inside a device, which have none of their own
	unsound   bool     // a device whose kind is wrong: what its terminals are cannot be said
}

// kindUse is a kind of device with the first device that is of it.
type kindUse struct {
	first     int
	kind      *switchnet.Kind
	terminals []string // with the grounding screw
	sound     bool
}

// typeUse is the make-up of a cable type with the words for its conductors.
type typeUse struct {
	cores []conductor.Core
	words []string
}

// endUse is where a wire's end is used.
type endUse struct {
	use         EndUse
	index, join int32 // entry of the list, and joint of a splice
}

func (u endUse) ref() Ref {
	switch u.use {
	case Landed:
		return Ref{"landings", int(u.index), "wire"}
	case Spliced:
		return Ref{"splices", int(u.index), joinField(int(u.join))}
	}
	return Ref{"caps", int(u.index), "wire"}
}

// joinField returns the field of a splice's joint.
func joinField(k int) string { return "join " + strconv.Itoa(k) }

// An End is one end of a wire: the wire in a box.
type End struct {
	Box  string
	Wire Wire
}

// String returns "C4.red in box loft".
func (e End) String() string { return e.Wire.String() + " in box " + e.Box }

func newIndex(s *Spec) (*index, Problems) {
	x := &index{spec: s,
		boxes:  make(map[string]int, len(s.Boxes)),
		cables: make(map[string]int, len(s.Cables)),
		cores:  make([][]string, len(s.Cables)),
		owners: make(map[switchnet.Ref]owner, len(s.Boxes)+len(s.Devices)+len(s.Lights)+len(s.Feeds)),
		ends:   make(map[End]endUse, len(s.Landings)+len(s.Caps)+2*len(s.Splices)),
		kinds:  map[string]*kindUse{}, types: map[string]typeUse{},
		knownOwners: map[string]*Names{}, knownDevices: map[string]*Names{}}
	x.readJob()
	x.readBoxes()
	x.readFeeds()
	x.readDevices()
	x.readLights()
	x.readCables()
	x.readSplices()
	x.readEnds()
	x.readWords()
	x.readTies()
	x.problems.Sort()
	return x, x.problems
}

func (x *index) add(at Ref, also *Ref, format string, args ...any) *Problem {
	p := &Problem{At: at, Also: also, Detail: fmt.Sprintf(format, args...)}
	x.problems = append(x.problems, p)
	return p
}

// readJob checks what is said of the whole job.
func (x *index) readJob() {
	if s := x.spec.Supply; s.Lines == 0 {
		x.add(Ref{List: "supply"}, nil, "no supply system is stated; it is split phase, wye or single phase")
	} else {
		// Which systems there are is the net's affair.
		var b switchnet.Builder
		b.Source(switchnet.Source{Ref: service, System: s})
		if _, err := b.Build(); err != nil {
			x.add(Ref{List: "supply"}, nil, "%v", err)
		}
	}
	x.year(Ref{List: "installed"}, x.spec.Installed)
}

// year checks a year of installation. Wiring for electric light began about 1880.
func (x *index) year(at Ref, year int) {
	if year != 0 && (year < 1880 || year > 9999) {
		x.add(at, nil, "%d is no year of installation; write 1880 or later, or nothing if it is not known", year)
	}
}

// name checks a name and reports whether it can be used.
func (x *index) name(at Ref, name string) bool {
	at.Field = "name"
	if err := CheckName(name); err != nil {
		x.add(at, nil, "%v", err)
		return false
	}
	return true
}

// box checks that a box exists.
func (x *index) box(at Ref, name string) bool {
	at.Field = "box"
	return x.boxed(at, name)
}

func (x *index) boxed(at Ref, name string) bool {
	if _, ok := x.boxes[name]; ok {
		return true
	}
	if x.knownBoxes == nil {
		x.knownBoxes = NewNames(maps.Keys(x.boxes))
	}
	x.add(at, nil, "there is no box called %q", name).propose(x.knownBoxes, name)
	return false
}

// things returns the names of what has terminals in a box, or of its devices
// alone.
func (x *index) things(box string, devices bool) *Names {
	known := x.knownOwners
	if devices {
		known = x.knownDevices
	}
	if len(known) == 0 {
		names := map[string][]string{}
		for r, o := range x.owners {
			if devices && o.at.List == "devices" && o.terminals != nil || !devices && o.terminals != nil {
				names[r.Place] = append(names[r.Place], r.Name)
			}
		}
		known[""] = &Names{} // made now, even if no box has any
		for b, list := range names {
			known[b] = NewNames(slices.Values(list))
		}
	}
	if n := known[box]; n != nil {
		return n
	}
	return &Names{}
}

// terminal checks that a thing in a box has a terminal.
func (x *index) terminal(at Ref, box, device, name string) bool {
	o, ok := x.owners[switchnet.Ref{Place: box, Name: device}]
	if o.unsound {
		return false // said of its kind
	}
	if !ok || o.terminals == nil {
		if at.Field == "terminal" {
			at.Field = "device"
		}
		switch {
		case ok:
			x.add(at, &o.at, "%q in box %q has no terminals of its own; use those of the device it is on", device, box)
		case device == "box":
			x.add(at, &Ref{"boxes", x.boxes[box], "metal"}, "box %q is not metal, so it has no grounding screw", box)
		default:
			x.add(at, nil, "box %q has no device, light or feed called %q", box, device).propose(x.things(box, false), device)
		}
		return false
	}
	if !slices.Contains(o.terminals, name) {
		x.add(at, nil, "%q in box %q has no terminal %q", device, box, name).proposeOf(o.terminals, name)
		return false
	}
	return true
}

// wire checks that a wire has an end in a box, or in any if none is named.
func (x *index) wire(at Ref, box string, w Wire) bool {
	i, ok := x.cables[w.Cable]
	if !ok {
		if x.knownCables == nil {
			x.knownCables = NewNames(maps.Keys(x.cables))
		}
		x.add(at, nil, "there is no cable called %q", w.Cable).propose(x.knownCables, w.Cable)
		return false
	}
	c := &x.spec.Cables[i]
	if x.cores[i] == nil {
		return false // said of its type
	}
	if !slices.Contains(x.cores[i], w.Conductor) {
		x.add(at, nil, "cable %q (%s) has no conductor %q", w.Cable, c.Type.Name, w.Conductor).proposeOf(x.cores[i], w.Conductor)
		return false
	}
	if box != "" && box != c.From && box != c.To {
		to := fmt.Sprintf("%q", c.To)
		if c.To == "" {
			to = "a box that is not known"
		}
		x.add(at, &Ref{"cables", i, "from"}, "cable %q does not enter box %q; it runs from %q to %s", w.Cable, box, c.From, to)
		return false
	}
	return true
}

// core returns the conductor of a wire. Only the word by which the wire is listed
// names it.
func (x *index) core(w Wire) (conductor.Core, bool) {
	i, ok := x.cables[w.Cable]
	if !ok {
		return conductor.Core{}, false
	}
	k := slices.Index(x.cores[i], w.Conductor)
	if k < 0 {
		return conductor.Core{}, false
	}
	return x.spec.Cables[i].Type.Cores[k], true
}
