package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// A FullBox is a box whose volume is too small for what is planned in it.
type FullBox struct {
	Box       string          `json:"box"`
	Required  quantity.Volume `json:"required"`
	Available quantity.Volume `json:"available"`
	// Fits are the boxes of the region's stock that would do, smallest first; none
	// means that it is full beyond any stock. A light is not hung from a switch box,
	// nor a switch put in an octagonal one.
	Fits []string `json:"fits"`
	// Uncut are the cables that only pass through it, if it would do where they went by
	// uncut; Otherwise is the volume that would then be needed.
	Uncut     []string        `json:"uncut,omitempty"`
	Otherwise quantity.Volume `json:"otherwise,omitzero"`
}

// byUncut says what would spare a box that is too small the larger one, if it would.
func (f *FullBox) byUncut() string {
	if len(f.Uncut) == 0 {
		return ""
	}
	return fmt.Sprintf("; or pull %s past it uncut, and %s is needed", joined(f.Uncut), f.Otherwise)
}

// TooSmall returns the boxes of Full as problems of the intent that was planned, which
// package job puts with their places in a file; nil if there are none. A box that is full
// beyond any stock says so.
func (p *Plan) TooSmall() wiring.Problems {
	var out wiring.Problems
	for _, f := range p.Full {
		i := slices.IndexFunc(p.Spec.Boxes, func(b wiring.Box) bool { return b.Name == f.Box })
		what := "no box of the stock holds that: share the work out over another box, or give a larger one"
		if len(f.Fits) > 0 {
			what = "of the stock would do, smallest first: " + strings.Join(f.Fits[:min(len(f.Fits), 3)], ", ")
		}
		out = append(out, &wiring.Problem{At: wiring.Ref{List: "boxes", Index: i, Field: "volume"},
			Detail: fmt.Sprintf("box %q is too small for what is planned in it: it holds %s and %s is needed; %s%s", f.Box, f.Available, f.Required, what, f.byUncut())})
	}
	return out
}

// fill finds the boxes that are too small, and says of which that cannot be judged. Boxes of
// unknown volume are not.
func (m *maker) fill(p *Plan, w *wiring.Wiring) {
	devices := map[string]int{}
	for _, d := range p.Spec.Devices {
		devices[d.Box]++
	}
	for i := range m.in.Boxes {
		b := &m.in.Boxes[i]
		if b.Kind == wiring.Panel || len(b.Volume.Sections) == 0 {
			continue
		}
		contents, err := w.Contents(b.Name)
		var r boxfill.Result
		if err == nil {
			r, err = boxfill.Fill(&m.region.Box, contents)
		}
		if err != nil {
			p.Notes = append(p.Notes, fmt.Sprintf("it is not judged whether box %s holds what is planned in it: %s", b.Name, strings.ReplaceAll(err.Error(), "\n", "; ")))
			continue
		}
		small := !r.Status.OK() && r.Required > r.Available
		m.tellWanted(p, b, contents, small)
		if !small {
			continue
		}
		full := FullBox{Box: b.Name, Required: r.Required, Available: r.Available}
		if choices, err := boxfill.Pick(&m.region.Box, m.stockFor(b, devices[b.Name]), contents); err == nil {
			for _, c := range choices {
				full.Fits = append(full.Fits, c.Box.Name)
			}
		}
		p.Full = append(p.Full, full)
	}
}

// tellWanted says of a box whether it would hold a device more, where power is wanted in
// it: for a receptacle, say, which is not in the plan. Small says that it does not hold
// what is planned.
func (m *maker) tellWanted(p *Plan, b *wiring.Box, contents boxfill.Contents, small bool) {
	if b.Kind != wiring.DeviceBox {
		return
	}
	var wanted []string
	for _, n := range m.in.Needs {
		if n.Box == b.Name && n.Kind == intent.UnswitchedPower {
			wanted = append(wanted, cmp.Or(n.For, n.Kind.String()))
		}
	}
	if len(wanted) == 0 {
		return
	}
	var largest conductor.Size
	for _, c := range contents.Conductors {
		if !largest.Valid() || c.Size.Compare(largest) > 0 {
			largest = c.Size
		}
	}
	contents.Devices = slices.Clone(contents.Devices)
	for _, w := range wanted {
		contents.Devices = append(contents.Devices, boxfill.Device{Name: w, Largest: largest})
	}
	if n := len(contents.Devices); b.Gangs > 0 && n > b.Gangs {
		p.Notes = append(p.Notes, fmt.Sprintf("box %s has %s for its switches; for what is wanted there (%s) it would take one of %d, unless one device does both",
			b.Name, many(b.Gangs, "gang"), joined(wanted), n))
		return
	}
	r, err := boxfill.Fill(&m.region.Box, contents)
	if err != nil || r.Required <= r.Available {
		return
	}
	says := "holds what is planned in it"
	if small {
		says = "is too small for what is planned in it, and the larger one must hold more yet"
	}
	p.Notes = append(p.Notes, fmt.Sprintf("box %s %s: with %s for what is wanted there (%s) it would need %s, and it has %s",
		b.Name, says, many(len(wanted), "device"), joined(wanted), r.Required, r.Available))
}

// stockFor returns the boxes of the region's stock that could stand in the place of a box:
// for switches those of at least as many gangs, and those on whose cover switches mount;
// otherwise those without gangs.
func (m *maker) stockFor(b *wiring.Box, devices int) []boxfill.StockBox {
	var out []boxfill.StockBox
	for _, s := range m.region.Stock.Boxes {
		gangs, shape := s.Box.Gangs, ""
		for i := range m.region.Box.Boxes {
			if t := &m.region.Box.Boxes[i]; t.Name == s.Box.Section.Type {
				shape = t.Shape
				if gangs == 0 {
					gangs = t.Gangs * max(1, s.Box.Section.Count)
				}
			}
		}
		if b.Kind == wiring.DeviceBox || devices > 0 {
			if shape == "octagon" || gangs > 0 && gangs < max(b.Gangs, devices) {
				continue
			}
		} else if gangs > 0 {
			continue
		}
		out = append(out, s.Box)
	}
	return out
}
