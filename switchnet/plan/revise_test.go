package plan_test

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// entries writes everything that a wiring says in one box, and what every wire there
// does, in an order of its own.
func entries(t *rapid.T, s wiring.Spec, box string) []string {
	w, err := wiring.New(s)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, c := range s.Cables {
		if c.From == box || c.To == box {
			add("%v %v %v %v %v", c.Name, c.Type.Name, c.Length, min(c.From, c.To), max(c.From, c.To))
		}
	}
	for _, d := range s.Devices {
		if d.Box == box {
			add("%v %v", d.Name, d.Kind.Name)
		}
	}
	for _, x := range s.Splices {
		if x.Box == box {
			var all []string
			for _, j := range x.Join {
				all = append(all, j.String())
			}
			slices.Sort(all)
			add("splice %v", all)
		}
	}
	for _, x := range s.Landings {
		if x.Box == box {
			add("landing %v", x)
		}
	}
	for _, x := range s.Caps {
		if x.Box == box {
			add("cap %v", x)
		}
	}
	for _, x := range s.Marks {
		if x.Box == box {
			add("mark %v", x)
		}
	}
	for _, x := range s.Tags {
		if x.Box == box {
			add("tag %v", x)
		}
	}
	for _, e := range w.Ends(box) {
		f, _ := w.FunctionAt(e)
		add("%v is %v", e, f)
	}
	slices.Sort(out)
	return out
}

// change draws one change of a request, as a job meets them, and says what it is.
func change(t *rapid.T, in intent.Intent, p *plan.Plan) (intent.Intent, string) {
	out := in
	switch rapid.IntRange(0, 6).Draw(t, "change") {
	case 0: // a cable was pulled otherwise than planned
		if len(p.Cables) == 0 {
			return out, "nothing"
		}
		c := p.Cables[rapid.IntRange(0, len(p.Cables)-1).Draw(t, "which")]
		out.Runs = slices.Clone(in.Runs)
		r := &out.Runs[c.Run]
		r.Cable, r.Existing, r.Raceway = parsed(rapid.SampledFrom([]string{"14/2", "14/3", "14/4", "14/2/2"}).Draw(t, "pulled")), true, false
		return out, fmt.Sprintf("%s pulled in place of %s", r.Cable.Name, c.Name)
	case 1:
		out.Needs = append(slices.Clone(in.Needs), intent.Need{Box: in.Boxes[rapid.IntRange(0, len(in.Boxes)-1).Draw(t, "box")].Name, Kind: intent.UnswitchedPower, Feed: in.Feeds[0].Name, For: "more"})
		return out, "a need more"
	case 2:
		if len(in.Needs) > 0 {
			out.Needs = in.Needs[1:]
			return out, "a need less"
		}
	case 3:
		if len(in.Controls) > 0 {
			light := wiring.Light{Name: "one more", Box: in.Boxes[rapid.IntRange(0, len(in.Boxes)-1).Draw(t, "box")].Name}
			out.Lights = append(slices.Clone(in.Lights), light)
			out.Controls = slices.Clone(in.Controls)
			out.Controls[0].Lights = append(slices.Clone(out.Controls[0].Lights), light.Name)
			return out, "a light more"
		}
	case 4:
		if len(in.Controls) > 0 && len(in.Controls[0].Places) > 1 {
			out.Controls = slices.Clone(in.Controls)
			out.Controls[0].Places = out.Controls[0].Places[1:]
			return out, "a place less"
		}
	case 5:
		if len(in.Controls) > 1 {
			out.Controls = in.Controls[1:]
			return out, "a control less"
		}
	case 6:
		out.Feeds = slices.Clone(in.Feeds)
		out.Feeds[0].Box = in.Boxes[rapid.IntRange(0, len(in.Boxes)-1).Draw(t, "box")].Name
		return out, "the feed elsewhere"
	}
	return out, "nothing"
}

func checkRevision(t *rapid.T, us *rules.Region, in intent.Intent, opt *plan.Options) {
	ctx := context.Background()
	p, err := plan.New(ctx, in, us, opt)
	if err != nil {
		t.Fatal(err)
	}
	if !p.Status.OK() {
		return
	}
	same, err := plan.Revise(ctx, p.Spec, in, us, opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(same.Boxes) > 0 || !equalSpecs(same.Plan.Spec, p.Spec) {
		t.Fatalf("nothing has changed, and %+v\n%s\n%s", same.Boxes, shown(p), shown(same.Plan))
	}
	now, what := change(t, in, p)
	r, err := plan.Revise(ctx, p.Spec, now, us, opt)
	if err != nil {
		if _, bad := plan.New(ctx, now, us, opt); bad == nil {
			t.Fatalf("%s: %v", what, err)
		}
		return
	}
	if !r.Plan.Status.OK() {
		if len(r.Boxes) > 0 || r.Anew.Status.OK() {
			t.Fatalf("%s: no plan, and there is one, or boxes change", what)
		}
		return
	}
	if broken := unsound(now, us, r.Plan); len(broken) > 0 {
		t.Fatalf("%s: %s\n%s", what, strings.Join(broken, "\n"), shown(r.Plan))
	}
	if r.Anew.Status == plan.Optimal && r.Saving() < 0 || r.Plan.Status == plan.Optimal && r.Saving() != 0 {
		t.Fatalf("%s: it costs %v, and anew %v", what, r.Plan.Cost, r.Anew.Cost)
	}
	changed := map[string]bool{}
	for _, b := range r.Boxes {
		changed[b.Box] = true
	}
	for _, b := range now.Boxes {
		before, after := entries(t, p.Spec, b.Name), entries(t, r.Plan.Spec, b.Name)
		if same := slices.Equal(before, after); same == changed[b.Name] && what != "the feed elsewhere" && what != "a light more" {
			t.Fatalf("%s: box %s is listed as changed: %v; its entries were\n%s\nand are\n%s", what, b.Name, changed[b.Name], strings.Join(before, "\n"), strings.Join(after, "\n"))
		} else if !same && !changed[b.Name] {
			t.Fatalf("%s: box %s changes and is not listed", what, b.Name)
		}
	}
}

// equalSpecs compares everything but the kinds of devices, of which only the name.
func equalSpecs(a, b wiring.Spec) bool {
	a, b = a.Clone(), b.Clone()
	for _, s := range []*wiring.Spec{&a, &b} {
		slices.SortStableFunc(s.Marks, func(x, y wiring.Mark) int { return strings.Compare(x.Box, y.Box) })
	}
	return reflect.DeepEqual(a.Cables, b.Cables) && reflect.DeepEqual(a.Splices, b.Splices) && reflect.DeepEqual(a.Landings, b.Landings) &&
		reflect.DeepEqual(a.Caps, b.Caps) && reflect.DeepEqual(a.Marks, b.Marks) && reflect.DeepEqual(a.Tags, b.Tags) &&
		slices.EqualFunc(a.Devices, b.Devices, func(x, y wiring.Device) bool { return x.Name == y.Name && x.Box == y.Box && x.Kind.Name == y.Kind.Name })
}

// A revision is as sound as a plan, changes nothing where nothing has changed, and
// lists exactly the boxes that change.
func TestRevisionsAreSound(t *testing.T) {
	us := region(t, "us-2023")
	rapid.Check(t, func(t *rapid.T) {
		in := request(t, bounds{boxes: 8, feeds: 2, groups: 3, places: 4, needs: 2, special: true, rings: rapid.IntRange(0, 2).Draw(t, "kind") == 0})
		checkRevision(t, us, in, &plan.Options{Limit: 300})
	})
}

// Jobs that change, with the boxes whose sheets do.
func TestRevise(t *testing.T) {
	us := region(t, "us-2023")
	aisle := func() *sketch {
		return newSketch("panel").box(wiring.Panel, "panel").box(device, "slip-door", "yard-door", "stair-foot", "loft").box(ceiling, "aisle-1", "slipway").
			run("panel", "slip-door", 22).run("slip-door", "yard-door", 31).run("yard-door", "stair-foot", 12).run("stair-foot", "loft", 14).run("loft", "aisle-1", 9).
			run("slip-door", "slipway", 17).
			light("aisle-1", "aisle-1").light("slipway", "slipway").
			control("aisle", []string{"aisle-1"}, "slip-door", "yard-door", "stair-foot", "loft").control("slipway", []string{"slipway"}, "slip-door")
	}
	for _, row := range []struct {
		why    string
		change func(s *sketch)
		boxes  []string
	}{
		{"nothing", func(*sketch) {}, nil},
		{"a larger cable than planned changes the boxes at its ends", func(s *sketch) {
			s.Runs[2].Cable, s.Runs[2].Existing = parsed("14/4"), true
		}, []string{"yard-door", "stair-foot"}},
		{"the cable that was planned has been pulled", func(s *sketch) {
			s.Runs[2].Cable, s.Runs[2].Existing = parsed("14/3"), true
		}, nil},
		{"an outlet at the loft brings the hot through every box up to it", func(s *sketch) { power(s, "loft") },
			[]string{"slip-door", "yard-door", "stair-foot", "loft"}},
		{"an outlet at the slipway", func(s *sketch) { power(s, "slipway") }, []string{"slip-door", "slipway"}},
		{"the floodlight is given up", func(s *sketch) { s.Controls, s.Lights = s.Controls[:1], s.Lights[:1] }, []string{"slip-door", "slipway"}},
		{"a new box beyond the last", func(s *sketch) {
			s.box(ceiling, "aisle-2").run("aisle-1", "aisle-2", 8).light("aisle-2", "aisle-2")
			s.Controls[0].Lights = append(slices.Clone(s.Controls[0].Lights), "aisle-2")
		}, []string{"loft", "aisle-1", "aisle-2"}},
	} {
		t.Run(row.why, func(t *testing.T) {
			old, err := plan.New(context.Background(), aisle().Intent, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			s := aisle()
			row.change(s)
			r, err := plan.Revise(context.Background(), old.Spec, s.Intent, us, nil)
			if err != nil || !r.Plan.Status.OK() {
				t.Fatal(r, err)
			}
			var boxes []string
			for _, b := range r.Boxes {
				boxes = append(boxes, b.Box)
			}
			if !slices.Equal(boxes, row.boxes) {
				t.Errorf("boxes %v change, want %v\n%+v", boxes, row.boxes, r.Boxes)
			}
			for _, c := range old.Spec.Cables {
				i := slices.IndexFunc(r.Plan.Spec.Cables, func(k wiring.Cable) bool { return k.Name == c.Name })
				if i >= 0 && (r.Plan.Spec.Cables[i].From != c.From || r.Plan.Spec.Cables[i].To != c.To) {
					t.Errorf("%s goes elsewhere", c.Name)
				}
			}
		})
	}
}

// What a revision keeps although it costs more, and what it gives up because it must.
func TestReviseKeepsAndGivesUp(t *testing.T) {
	us := region(t, "us-2023")
	ctx := context.Background()
	// Two ways to the loft; by the first pulled, a cable too small.
	two := func() *sketch {
		return newSketch("foot").box(device, "foot", "landing", "loft").box(ceiling, "light").
			run("foot", "landing", 10).run("landing", "loft", 10).run("foot", "loft", 30).run("loft", "light", 5).
			light("light", "light").control("stair", []string{"light"}, "foot", "loft")
	}
	old, err := plan.New(ctx, two().Intent, us, nil)
	if err != nil || len(old.Cables) != 3 {
		t.Fatal(old, err)
	}
	s := two()
	s.Runs[0].Cable, s.Runs[0].Existing = parsed("14/2"), true
	r, err := plan.Revise(ctx, old.Spec, s.Intent, us, nil)
	if err != nil || r.Plan.Status != plan.Optimal {
		t.Fatal(r, err)
	}
	// The way by the landing is given up, its names with it.
	var names []string
	for _, c := range r.Plan.Spec.Cables {
		names = append(names, c.Name+" "+c.From+" "+c.To)
	}
	if want := []string{"C3 loft light", "C4 foot loft"}; !slices.Equal(names, want) {
		t.Errorf("cables %v, want %v", names, want)
	}
	// A shorter way that is found later is not taken.
	s = two()
	s.run("foot", "light", 1).run("light", "loft", 1)
	if r, err = plan.Revise(ctx, old.Spec, s.Intent, us, nil); err != nil || r.Plan.Status != plan.BestFound || len(r.Boxes) != 0 || r.Saving() <= 0 {
		t.Errorf("%v %+v", err, r)
	}
	// What cannot be met is said as by New.
	s = two()
	s.Runs[0].Cable, s.Runs[2].Cable = parsed("14/2"), parsed("14/2")
	if r, err = plan.Revise(ctx, old.Spec, s.Intent, us, nil); err != nil || r.Plan.Status != plan.Infeasible || len(r.Boxes) != 0 || len(r.Plan.Changes) == 0 {
		t.Errorf("%v %+v", err, r)
	}
	// An old wiring that contradicts itself, and a request that does.
	bad := old.Spec.Clone()
	bad.Cables[0].From = "nowhere"
	if _, err = plan.Revise(ctx, bad, two().Intent, us, nil); err == nil || !strings.Contains(err.Error(), "cables[0].from") {
		t.Errorf("%v", err)
	}
	s = two()
	s.Runs[0].Length = 0
	if _, err = plan.Revise(ctx, old.Spec, s.Intent, us, nil); err == nil || !strings.Contains(err.Error(), "runs[0].length") {
		t.Errorf("%v", err)
	}
	// Of a cable that is not a plan's, only the way is known.
	bare := wiring.Spec{Supply: two().Supply, Feeds: two().Feeds, Boxes: two().Boxes, Lights: two().Lights,
		Cables: []wiring.Cable{{Name: "odd", Type: parsed("14/3"), From: "foot", To: "loft", Length: 30 * quantity.Foot}}}
	if r, err = plan.Revise(ctx, bare, two().Intent, us, nil); err != nil || r.Plan.Status != plan.Optimal || len(r.Boxes) != 4 {
		t.Errorf("%v %+v", err, r)
	}
}
