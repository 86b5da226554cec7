package identify

import (
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// most is how many places, and ends, a case may have.
const most = 60

// A Stage says how far an open box is taken apart. The zero Stage is unset.
type Stage uint8

// The stages.
const (
	Found    Stage = iota + 1 // devices and splices as they were found
	Released                  // devices taken off, splices as they were found
	Parted                    // every conductor apart and capped
)

var stageWords = [...]string{"", "as found", "devices off", "apart"}

// String returns the words.
func (s Stage) String() string { return enum.Word(stageWords[:], s, "Stage") }

// MarshalText writes the words; an unset value is an error.
func (s Stage) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", stageWords[:], s, "stage")
}

// UnmarshalText reads the words.
func (s *Stage) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", stageWords[:], text, "stage", s)
}

// space is everything of a job that possibilities are about, in numbers: open boxes
// first among the places, then closed ones, then one for the cable of each feed, then
// one for the far end of each unit.
type space struct {
	w       *wiring.Wiring
	spec    wiring.Spec // of w; it is read only
	link    []link
	stated  []link   // pairs of closed places between which the drawing has a cable
	open    []string // in name order
	closed  []string // in name order; panels are not among them
	box     map[string]wiring.Box
	stage   []Stage // of the open boxes, at the beginning
	ends    []wiring.End
	colour  []string // of the ends
	stands  []string // the colour for which it counts
	size    []conductor.Size
	at      []int // open box of each end
	units   []unit
	unitOf  []int // of each end
	feeds   []feed
	lights  []light
	control []control
	supply  int          // how many lines the supply has
	fed     map[int]bool // closed places with a load that is of no control
	grounds []wiring.End // bare and green ones, of the open boxes
}

// A unit goes one way: a sheath with all its conductors, or one loose conductor.
type unit struct {
	cable string
	box   int
	ends  []int
	loose bool
	mate  int    // the unit at its other end, if the drawing says so; otherwise -1
	place int    // the place at its other end, if the drawing says so; otherwise -1
	panel string // the panel at its other end, if the drawing says so
}

type feed struct {
	ref   switchnet.Ref
	line  switchnet.Rail
	panel string
	free  bool  // its line is not stated, and may be another
	mayBe []int // closed places
}

type light struct {
	name     string
	place    int
	filament bool
}

type control struct {
	name   string
	lights []int
	places []int
	feed   int // -1: any
}

func (sp *space) leaf(f int) int { return len(sp.open) + len(sp.closed) + f }

func (sp *space) far(u int) int { return len(sp.open) + len(sp.closed) + len(sp.feeds) + u }

func (sp *space) places() int { return sp.far(len(sp.units)) }

// placeOf returns the place of a box.
func (sp *space) placeOf(box string) (int, bool) {
	if i, ok := slices.BinarySearch(sp.open, box); ok {
		return i, true
	}
	if i, ok := slices.BinarySearch(sp.closed, box); ok {
		return len(sp.open) + i, true
	}
	return 0, false
}

func newSpace(w *wiring.Wiring, opt *Options) (*space, error) {
	var errs trace.Errors
	spec := w.Spec()
	sp := &space{w: w, spec: spec, box: map[string]wiring.Box{}}
	panel := map[string]bool{}
	for _, f := range spec.Feeds {
		panel[f.Box] = true
	}
	for _, b := range spec.Boxes {
		sp.box[b.Name] = b
		if b.Kind == wiring.Panel {
			panel[b.Name] = true
		}
	}
	sp.boxes(spec, opt, panel, &errs)
	sp.cut(spec, opt, panel, &errs)
	sp.sources(spec, opt, &errs)
	sp.asks(spec, opt, &errs)
	if len(errs) > 0 {
		return nil, errs
	}
	if n := max(len(sp.ends), sp.places()); n > most {
		add(&errs, "Wiring", "has %d conductor ends and far ends in open boxes; at most %d: list fewer boxes in Options.Open", n, most)
	}
	sp.link = sp.linkable()
	sp.drawn(spec)
	sp.fed = map[int]bool{}
	for i, l := range sp.lights {
		if l.place >= len(sp.open) && !slices.ContainsFunc(sp.control, func(c control) bool { return slices.Contains(c.lights, i) }) {
			sp.fed[l.place] = true
		}
	}
	return sp, orNil(errs)
}

// boxes sorts the boxes into open and closed.
func (sp *space) boxes(spec wiring.Spec, opt *Options, panel map[string]bool, errs *trace.Errors) {
	known := func(where string, names []string) {
		for _, n := range names {
			if _, ok := sp.box[n]; !ok {
				add(errs, where, "the job has no box %q", n)
			} else if panel[n] {
				add(errs, where, "%q is a panel, which is not searched: name the open boxes that are fed from it", n)
			}
		}
	}
	known("Options.Open", opt.Open)
	open := map[string]bool{}
	for _, n := range opt.Open {
		open[n] = true
	}
	if opt.Open == nil {
		switches := map[string]bool{}
		for _, d := range spec.Devices {
			switches[d.Box] = true
		}
		for _, c := range spec.Cables {
			for _, end := range []string{c.From, c.To} {
				if end != "" && !panel[end] && (c.To == "" || switches[end]) {
					open[end] = true
				}
			}
		}
	}
	for n := range sp.box {
		switch {
		case open[n]:
			sp.open = append(sp.open, n)
		case !panel[n]:
			sp.closed = append(sp.closed, n)
		}
	}
	slices.Sort(sp.open)
	slices.Sort(sp.closed)
	if len(sp.open) == 0 {
		add(errs, "Options.Open", "no box is open: there is nothing to look into")
	}
	sp.stage = make([]Stage, len(sp.open))
	for i := range sp.stage {
		sp.stage[i] = Found
	}
	for _, set := range []struct {
		where string
		names []string
		stage Stage
	}{{"Options.Released", opt.Released, Released}, {"Options.Parted", opt.Parted, Parted}, {"Options.Disturbed", opt.Disturbed, 0}} {
		for _, n := range set.names {
			i, ok := slices.BinarySearch(sp.open, n)
			switch {
			case !ok:
				add(errs, set.where, "%q is not an open box", n)
			case set.stage != 0:
				sp.stage[i] = set.stage
			}
		}
	}
}

// cut lists the ends in open boxes, by box, cable and how the cable is made up, and the
// units they come in.
func (sp *space) cut(spec wiring.Spec, opt *Options, panel map[string]bool, errs *trace.Errors) {
	cables := slices.Clone(spec.Cables)
	slices.SortFunc(cables, func(a, b wiring.Cable) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	first := map[string]int{} // the first unit of a cable whose two boxes are open
	for i, box := range sp.open {
		for _, c := range cables {
			if c.From != box && c.To != box {
				continue
			}
			other := c.To
			if c.To == box {
				other = c.From
			}
			u := unit{cable: c.Name, box: i, mate: -1, place: -1, loose: c.Type.Construction == conductor.Loose}
			known := other != ""
			_, openBoth := slices.BinarySearch(sp.open, other)
			if known && !openBoth {
				if panel[other] {
					u.panel = other
				} else {
					u.place, _ = sp.placeOf(other)
				}
			}
			var units []unit
			for _, core := range c.Type.Cores {
				end := wiring.End{Box: box, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
				if core.Grounding || !core.Insulated() {
					sp.grounds = append(sp.grounds, end)
					continue
				}
				sp.ends = append(sp.ends, end)
				sp.colour = append(sp.colour, core.Colour.String())
				sp.stands = append(sp.stands, stands(c.Type, core.Colour.String()))
				sp.size = append(sp.size, core.Size)
				sp.at = append(sp.at, i)
				u.ends = append(u.ends, len(sp.ends)-1)
				if u.loose {
					units = append(units, u)
					u.ends = nil
				}
			}
			if !u.loose {
				units = []unit{u}
			}
			for _, u := range units {
				if len(u.ends) == 0 {
					continue
				}
				sp.units = append(sp.units, u)
			}
			if openBoth {
				if k, ok := first[c.Name]; ok {
					for d := range units {
						a, b := k+d, len(sp.units)-len(units)+d
						sp.units[a].mate, sp.units[b].mate = b, a
					}
				} else {
					first[c.Name] = len(sp.units) - len(units)
				}
			}
		}
	}
	sp.unitOf = make([]int, len(sp.ends))
	for k, u := range sp.units {
		for _, e := range u.ends {
			sp.unitOf[e] = k
		}
	}
	if len(sp.ends) == 0 && len(sp.open) > 0 {
		add(errs, "Wiring", "no insulated conductor enters an open box: list the cables with the box as from, and to: unknown")
	}
}

// stands returns the colour for which one counts in a cable: in a twin of red and black,
// the colours of old, red is the hot and black the neutral.
func stands(t conductor.CableType, colour string) string {
	var have []string
	for _, c := range t.Cores {
		if !c.Grounding && c.Insulated() {
			have = append(have, c.Colour.String())
		}
	}
	slices.Sort(have)
	if t.Construction == conductor.Loose || !slices.Equal(have, []string{"black", "red"}) {
		return colour
	}
	if colour == "red" {
		return "black"
	}
	return "white"
}
