package lab

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// item is a slot as a sheet shows it, with what it does.
type item struct {
	field  Field
	box    string
	wire   wiring.Wire // or
	screw  screw       // or
	of     []wiring.Joint
	duty   duty
	chosen string
}

// readItems reads the table of slots of a sheet.
func readItems(sheet Sheet, r *reader) ([]*item, error) {
	bad := errors.New("lab: the sheet does not say what is to be placed")
	var out []*item
	for _, b := range sheet.Blocks {
		t, ok := b.(Table)
		if !ok || t.Says != slotsTable || len(t.Head) < 4 {
			continue
		}
		for _, row := range t.Rows {
			i := slices.IndexFunc(sheet.Fields, func(f Field) bool { return f.ID == row[0] })
			if i < 0 {
				return nil, bad
			}
			x := &item{field: sheet.Fields[i], box: row[1]}
			names, err := words(row[2] + " " + row[3])
			if err != nil || len(names) == 0 {
				return nil, bad
			}
			for _, n := range names {
				if len(n) != 2 {
					return nil, bad
				}
				w := wiring.Wire{Cable: n[0], Conductor: n[1]}
				isWire := slices.Contains(r.j.Wiring.Ends(x.box), wiring.End{Box: x.box, Wire: w})
				switch {
				case row[3] != "" && isWire:
					x.of = append(x.of, wiring.Joint{Wire: w})
				case isWire:
					x.wire = w
				case row[3] == "":
					x.screw = screw{n[0], n[1]}
				}
			}
			switch {
			case x.of != nil:
				x.duty = r.duty(x.of[0].Wire, x.box)
			case x.screw == screw{}:
				x.duty = r.duty(x.wire, x.box)
			}
			out = append(out, x)
		}
		return out, nil
	}
	return nil, bad
}

// wish is which end of its chain a three-way is: the hot's, or the leg's.
type wish map[switchnet.Ref]string

// land chooses screws of the switches of a box for what comes to them, and returns for
// each screw what does.
func land(devices []wiring.Device, items []*item, common wish) map[screw]duty {
	out := map[screw]duty{}
	for _, d := range devices {
		pair := func(to string) duty { return duty{does: "pair", control: d.Name, to: to} }
		switch d.Kind.Name {
		case "single-pole":
			out[screw{d.Name, "line"}] = duty{does: "hot"}
			out[screw{d.Name, "load"}] = duty{does: "leg", control: d.Name}
		case "three-way":
			out[screw{d.Name, "common"}] = duty{does: common[switchnet.Ref{Place: d.Box, Name: d.Name}], control: d.Name}
			out[screw{d.Name, "traveler 1"}], out[screw{d.Name, "traveler 2"}] = pair(""), pair("")
		case "four-way":
			var to []string
			for _, x := range items {
				if x.duty.does == "pair" && x.duty.control == d.Name && !slices.Contains(to, x.duty.to) {
					to = append(to, x.duty.to)
				}
			}
			for i, side := range []string{"pair 1", "pair 2"} {
				if i < len(to) {
					out[screw{d.Name, side + " first"}], out[screw{d.Name, side + " second"}] = pair(to[i]), pair(to[i])
				}
			}
		}
	}
	return out
}

// fits reports whether a conductor does what a screw wants.
func (d duty) fits(want duty) bool {
	return d.does == want.does && (want.does == "hot" || d.control == want.control) && (want.to == "" || d.to == want.to)
}

// solveWireIt lands ends on the screws of switches.
func solveWireIt(_ context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	r := newReader(j)
	items, err := readItems(sheet, r)
	if err != nil {
		return nil, err
	}
	out := Answer{}
	for _, box := range boxesOf(j.Wiring) {
		var here []*item
		for _, x := range items {
			if x.box == box {
				here = append(here, x)
			}
		}
		common := wish{}
		var devices []wiring.Device
		for _, d := range r.spec.Devices {
			if d.Box != box {
				continue
			}
			devices = append(devices, d)
			common[switchnet.Ref{Place: box, Name: d.Name}] = "hot"
			if slices.ContainsFunc(here, func(x *item) bool { return x.duty.does == "leg" && x.duty.control == d.Name }) {
				common[switchnet.Ref{Place: box, Name: d.Name}] = "leg"
			}
		}
		wants := land(devices, here, common)
		for _, x := range here {
			for _, c := range x.field.Choices {
				for s, want := range wants {
					if s.String() == c && x.chosen == "" && x.duty.fits(want) {
						x.chosen = c
						delete(wants, s)
					}
				}
			}
			if x.chosen == "" {
				return nil, fmt.Errorf("lab: no screw is found for %s: %+v", x.field.Ask, x.duty)
			}
			out[x.field.ID] = x.chosen
		}
	}
	return out, nil
}

// solveComplete makes up a box: what does the same is spliced, or landed where one wire
// meets one screw. Which end of a chain a three-way is, and which hots and neutrals stay
// apart, is tried until package check finds nothing.
func solveComplete(ctx context.Context, sheet Sheet, j *Job, _ *Practice) (Answer, error) {
	r := newReader(j)
	items, err := readItems(sheet, r)
	if err != nil {
		return nil, err
	}
	if len(items) == 0 {
		return nil, errors.New("lab: the sheet leaves nothing open")
	}
	box := items[0].box
	var devices []wiring.Device
	var threeWays []switchnet.Ref
	for _, d := range r.spec.Devices {
		if d.Box == box {
			devices = append(devices, d)
			if d.Kind.Name == "three-way" {
				threeWays = append(threeWays, switchnet.Ref{Place: box, Name: d.Name})
			}
		}
	}
	lights := map[string]bool{}
	for _, l := range r.spec.Lights {
		lights[l.Name] = l.Box == box || lights[l.Name]
	}
	var neutrals, hots []*item
	for _, x := range items {
		switch {
		case x.screw == screw{}:
		case x.screw.terminal == "ground":
			x.duty = duty{does: "ground"}
		case lights[x.screw.device] && x.screw.terminal == "neutral":
			x.duty = duty{does: "neutral"}
		case lights[x.screw.device]:
			x.duty = duty{does: "leg", control: r.controlOf(x.screw.device)}
		}
		switch x.duty.does {
		case "neutral":
			neutrals = append(neutrals, x)
		case "hot":
			hots = append(hots, x)
		}
	}
	suite := check.Everything(j.Region)
	var last error
	for hot := range partitions(len(hots)) {
		for i, x := range hots {
			x.duty.to = fmt.Sprint(hot[i])
		}
		for way := range ways(threeWays, len(neutrals)) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			for i, x := range neutrals {
				x.duty.to = fmt.Sprint(way.group[i])
			}
			a, w, err := madeUp(r, box, devices, items, way.common)
			if err != nil {
				last = err
				continue
			}
			found, err := check.Run(ctx, check.Job{Wiring: w, Intent: j.Intent}, suite, &check.Options{NoFixes: true})
			if err != nil {
				return nil, fmt.Errorf("lab: %w", err)
			}
			if len(found) == 0 {
				return a, nil
			}
			last = errors.New(found[0].Message)
		}
	}
	return nil, fmt.Errorf("lab: no way is found to make up box %s: %w", box, last)
}

// A way is which end of its chain each three-way is, and which neutrals are together.
type way struct {
	common wish
	group  []int
}

// ways yields the ways there are.
func ways(threeWays []switchnet.Ref, neutrals int) func(func(way) bool) {
	return func(yield func(way) bool) {
		for mask := range 1 << len(threeWays) {
			common := wish{}
			for i, t := range threeWays {
				common[t] = []string{"hot", "leg"}[mask>>i&1]
			}
			for group := range partitions(neutrals) {
				if !yield(way{common, group}) {
					return
				}
			}
		}
	}
}

// partitions yields the ways to part n things into groups, all in one first: for each
// thing the number of its group. With more than seven things it is that one alone.
func partitions(n int) func(func([]int) bool) {
	return func(yield func([]int) bool) {
		group := make([]int, n)
		var part func(i, used int) bool
		part = func(i, used int) bool {
			if i == n {
				return yield(group)
			}
			for g := range min(used+1, n) {
				group[i] = g
				if !part(i+1, max(used, g+1)) {
					return false
				}
			}
			return true
		}
		if n > 7 {
			yield(group)
			return
		}
		part(0, 0)
	}
}

// madeUp returns the answer and the wiring of one way to make up a box.
func madeUp(r *reader, box string, devices []wiring.Device, items []*item, common wish) (Answer, *wiring.Wiring, error) {
	wants := land(devices, items, common)
	// What does the same is one group: hot, each leg, each set of neutrals, the ground.
	groups := map[string][]*item{}
	var order []string
	add := func(key string, x *item) {
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], x)
	}
	pairs := map[string]int{}
	for _, x := range items {
		d := x.duty
		if (x.screw != screw{}) && d.does == "" {
			want, ok := wants[x.screw]
			if !ok {
				add("idle "+x.screw.String(), x)
				continue
			}
			d = want
			if d.does == "pair" && d.to == "" {
				for _, y := range items {
					if y.screw == (screw{}) && y.duty.does == "pair" && y.duty.control == d.control {
						d.to = y.duty.to
					}
				}
			}
		}
		switch d.does {
		case "pair":
			// The first of one side meets the first of the other.
			side := d.control + " from " + d.to
			if (x.screw != screw{}) {
				side += " at " + x.screw.device
			}
			n := pairs[side]
			pairs[side]++
			over := slices.ContainsFunc(devices, func(v wiring.Device) bool { return v.Name == d.control })
			if !over {
				add(fmt.Sprintf("pair %s %d", d.control, n), x) // passes through
			} else {
				add(fmt.Sprintf("pair %s %s %d", d.control, d.to, n), x)
			}
		case "hot":
			if d.to == "" {
				d.to = "0" // a screw takes it from the first
			}
			add("hot "+d.to, x)
		case "ground":
			add(d.does, x)
		case "leg":
			add("leg "+d.control, x)
		case "neutral":
			add("neutral "+d.to, x)
		default:
			add("spare "+x.field.ID, x)
		}
	}
	a := Answer{}
	spec := r.spec.Clone()
	letters := 0
	for _, key := range order {
		g := groups[key]
		switch {
		case len(g) == 1 && g[0].screw == screw{}:
			a[g[0].field.ID] = choiceCap
			spec.Caps = append(spec.Caps, wiring.Cap{Box: box, Wire: g[0].wire})
		case len(g) == 1:
			a[g[0].field.ID] = choiceNothing
		case len(g) == 2 && (g[0].screw == screw{}) != (g[1].screw == screw{}) && !strings.HasPrefix(key, "neutral") && landable(devices, g):
			w, s := g[0], g[1]
			if (w.screw != screw{}) {
				w, s = s, w
			}
			a[w.field.ID], a[s.field.ID] = s.screw.String(), choiceNothing
			spec.Landings = append(spec.Landings, wiring.Landing{Box: box, Device: s.screw.device, Terminal: s.screw.terminal, Wire: w.wire})
		default:
			c := choiceSplice(letters)
			letters++
			var join []wiring.Joint
			for _, x := range g {
				a[x.field.ID] = c
				if _, ok := x.field.Choice(c); !ok {
					return nil, nil, fmt.Errorf("there is no %s", c)
				}
				if (x.screw == screw{}) {
					join = append(join, wiring.Joint{Wire: x.wire})
				} else {
					join = append(join, wiring.Joint{Device: x.screw.device, Terminal: x.screw.terminal})
				}
			}
			spec.Splices = append(spec.Splices, wiring.Splice{Box: box, Join: join})
		}
	}
	// The tags of the box are missing from the sheet and no matter here.
	for _, x := range items {
		if (x.screw == screw{}) {
			spec.Tags = append(spec.Tags, wiring.Tag{Box: box, Wire: x.wire, Text: x.wire.String()})
		}
	}
	w, err := wiring.New(spec)
	return a, w, err
}

// landable reports whether the screw of a wire and a screw is one of a switch.
func landable(devices []wiring.Device, g []*item) bool {
	return slices.ContainsFunc(g, func(x *item) bool {
		return x.screw.terminal != "ground" && slices.ContainsFunc(devices, func(d wiring.Device) bool { return d.Name == x.screw.device })
	})
}
