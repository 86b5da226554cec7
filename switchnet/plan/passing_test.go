package plan_test

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// What only passes through a box is told, and what could be pulled in its place.
func TestPassing(t *testing.T) {
	us := region(t, "us-2023")
	// Two pairs from one end to the other, and power in the box between: the cable of one
	// pair has the hot to there as well and ends, that of the other is cut for nothing.
	way := func() *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "a", "b", "c", "d").box(wiring.CeilingBox, "l").
			run("p", "a", 9).run("a", "b", 9).run("b", "c", 9).run("c", "d", 9).run("d", "l", 9).
			light("l", "l").light("m", "l").control("g", []string{"l"}, "a", "d").control("h", []string{"m"}, "a", "d")
		s.Needs = []intent.Need{{Box: "c", Kind: intent.UnswitchedPower, For: "an outlet"}}
		return s
	}
	old := way()
	for i := range old.Runs {
		old.Runs[i].Raceway = true
	}
	only := newSketch("p").box(wiring.Panel, "p").box(wiring.JunctionBox, "j").box(wiring.DeviceBox, "d").run("p", "j", 9).run("j", "d", 9)
	only.Needs = []intent.Need{{Box: "d", Kind: intent.UnswitchedPower, For: "an outlet"}}
	// What is wanted of a circuit in the box between and in the box at the end.
	through := func(kinds ...intent.NeedKind) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "c", "d").run("p", "c", 9).run("c", "d", 9)
		s.Needs = []intent.Need{{Box: "d", Kind: intent.UnswitchedPower, For: "an outlet"}}
		for _, k := range kinds {
			s.Needs = append(s.Needs, intent.Need{Box: "c", Kind: k, For: "a fan"})
		}
		return s
	}
	long := newSketch("b0").box(wiring.Panel, "b0").box(wiring.JunctionBox, "b1", "b2", "b3", "b4", "b5").box(wiring.DeviceBox, "d").
		run("b0", "b1", 9).run("b1", "b2", 9).run("b2", "b3", 9).run("b3", "b4", 9).run("b4", "b5", 9).run("b5", "d", 9)
	long.Needs = only.Needs
	for _, row := range []struct {
		why  string
		in   *sketch
		want []string
	}{
		{"every box on the way is named, for somebody goes by it", long, []string{
			"C1, C2, C3, C4, C5 and C6 only pass through b1, b2, b3, b4 and b5: where the way lets a cable go by them, one 14/2 can be pulled uncut from b0 to d"}},
		{"power wanted in the box between is taken from the cable", through(intent.UnswitchedPower), nil},
		{"a neutral wanted there is that of the cable", through(intent.NeutralOnly), nil},
		{"a conductor kept there ends there", through(intent.SpareConductor), nil},
		{"through the box with the outlet and the one before", way(), []string{
			"C2 and C4 only pass through b: where the way lets a cable go by them, one 14/4 can be pulled uncut from a to c",
			"C3, C5 and C7 only pass through b and c: where the way lets a cable go by them, one 14/3 can be pulled uncut from a to d"}},
		{"loose conductors go nowhere else", old, nil},
		{"a box with nothing in it but what passes through", only, []string{"C1 and C2 only pass through j: where the way lets a cable go by them, one 14/2 can be pulled uncut from p to d"}},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range p.Notes {
			if strings.Contains(n, "only pass through") {
				got = append(got, n)
			}
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, %q, want %q\n%s", row.why, p.Status, got, row.want, shown(p))
		}
	}
}

// A box that would do if what only passes through it went by uncut says so, and one that
// would not says nothing of it. A plan that keeps the names of its cables calls them so.
func TestPassingFullBox(t *testing.T) {
	us := region(t, "us-2023")
	// The loft lights are fed through the hatch, where the pair of the aisle ends: four
	// conductors and a switch, and four that only pass through. Each conductor counts
	// 2 in3, the switch 4 in3 and the grounds together 2 in3: 22 in3.
	hatch := func(in3 int64) *sketch {
		s := newSketch("p").box(wiring.Panel, "p").box(wiring.DeviceBox, "gate", "hatch").box(wiring.CeilingBox, "l", "m").
			run("p", "gate", 9).run("gate", "hatch", 9).run("gate", "l", 9).run("hatch", "m", 9).
			light("l", "l").light("m", "m").control("aisle", []string{"l"}, "gate", "hatch").control("loft", []string{"m"}, "gate")
		s.Boxes[2].Gangs = 1
		s.Boxes[2].Clamps = wiring.ExternalClamps
		s.Boxes[2].Volume.Sections = []boxfill.Section{{Marked: quantity.Volume(in3) * quantity.CubicInch}}
		return s
	}
	for _, row := range []struct {
		why   string
		in    *sketch
		uncut []string
		then  quantity.Volume
	}{
		{"14 would do for four conductors, a switch and the grounds", hatch(14), []string{"C3", "C4"}, 14 * quantity.CubicInch},
		{"13 would not", hatch(13), nil, 0},
	} {
		p, err := plan.New(context.Background(), row.in.Intent, us, nil)
		if err != nil || len(p.Full) != 1 {
			t.Fatal(row.why, err, shown(p))
		}
		if f := p.Full[0]; !slices.Equal(f.Uncut, row.uncut) || f.Otherwise != row.then || f.Required != 22*quantity.CubicInch {
			t.Errorf("%s: %v uncut, then %s in place of %s\n%s", row.why, f.Uncut, f.Otherwise, f.Required, shown(p))
		}
		if says := p.TooSmall()[0].Detail; strings.Contains(says, "or pull C3 and C4 past it uncut, and 14 in3 is needed") != (row.uncut != nil) {
			t.Errorf("%s: it says %q", row.why, says)
		}
	}
	// One of the cables that pass by bears another name on its tag.
	in := hatch(14)
	p, err := plan.New(context.Background(), in.Intent, us, nil)
	if err != nil {
		t.Fatal(err)
	}
	old := named(p.Spec, map[string]string{"C3": "C31"})
	r, err := plan.Revise(context.Background(), old, in.Intent, us, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(r.Plan.Full[0].Uncut, []string{"C31", "C4"}) || !slices.Equal(r.Plan.Passing[0].Cables, []string{"C31", "C4"}) ||
		!slices.ContainsFunc(r.Plan.Notes, func(n string) bool { return strings.HasPrefix(n, "C31 and C4 only pass through hatch:") }) {
		t.Errorf("%v, %v, %q\n%s", r.Plan.Full[0].Uncut, r.Plan.Passing, r.Plan.Notes, shown(r.Plan))
	}
}

// named returns a wiring with other names for some cables.
func named(s wiring.Spec, names map[string]string) wiring.Spec {
	s = s.Clone()
	change := func(w *wiring.Wire) { w.Cable = cmp.Or(names[w.Cable], w.Cable) }
	for i := range s.Cables {
		s.Cables[i].Name = cmp.Or(names[s.Cables[i].Name], s.Cables[i].Name)
	}
	for i := range s.Splices {
		for k := range s.Splices[i].Join {
			change(&s.Splices[i].Join[k].Wire)
		}
	}
	for i := range s.Landings {
		change(&s.Landings[i].Wire)
	}
	for i := range s.Caps {
		change(&s.Caps[i].Wire)
	}
	for i := range s.Marks {
		change(&s.Marks[i].Wire)
	}
	for i := range s.Tags {
		change(&s.Tags[i].Wire)
	}
	return s
}

// What is in a box is the same whether one reads the whole wiring or the box alone.
func TestBoxAlone(t *testing.T) {
	f, err := job.Parse(demo.ShedName, demo.Shed(), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.New(context.Background(), f.Intent, f.Region, &plan.Options{Plain: true})
	if err != nil || !p.Status.OK() {
		t.Fatal(p, err)
	}
	whole := mustWire(t, p.Spec)
	for _, b := range p.Spec.Boxes {
		if b.Kind == wiring.Panel {
			continue
		}
		want, err := whole.Contents(b.Name)
		if err != nil {
			t.Fatal(err)
		}
		got, err := mustWire(t, plan.BoxWithout(&p.Spec, b.Name, nil)).Contents(b.Name)
		if err != nil {
			t.Fatal(err)
		}
		if d := gocmp.Diff(want, got, gocmp.AllowUnexported(conductor.Size{})); d != "" {
			t.Errorf("%s: %s", b.Name, d)
		}
	}
}
