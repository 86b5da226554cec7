package plan_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// A line on a core of a neutral's colour is marked with one colour wherever it comes by.
func TestMarkedAlike(t *testing.T) {
	us := region(t, "us-2023")
	// Fed at the light, two places beyond, no neutral: the hot goes out to the far one in
	// two conductors and then among three, of which one is red already.
	loop := func() *sketch {
		return newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "near", "far").
			run("c", "near", 9).run("near", "far", 9).light("l", "c").control("g", []string{"l"}, "far", "near").
			exempt("near", "far")
	}
	for _, row := range []struct {
		why  string
		in   intent.Intent
		want []string
	}{
		{"red would do for the cable of two, but not for that of three", loop().Intent, []string{"C1.white hot blue", "C2.white hot blue"}},
		{"alone the cable of two has it in red", newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "s").
			run("c", "s", 9).light("l", "c").control("g", []string{"l"}, "s").exempt("s").Intent, []string{"C1.white hot red"}},
		{"a hot is told from a traveler", loop().box(wiring.DeviceBox, "a", "b").run("c", "a", 9).run("c", "b", 9).
			light("m", "c").control("h", []string{"m"}, "a", "b").exempt("a", "b").Intent,
			[]string{"C1.white hot blue", "C2.white hot blue", "C3.white hot blue", "C4.white traveler brown"}},
	} {
		p, err := plan.New(context.Background(), row.in, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := markedCores(p); !slices.Equal(got, row.want) {
			t.Errorf("%s: %q, want %q\n%s", row.why, got, row.want, shown(p))
		}
	}
}

// Where the colours of a region do not go round, a line is still not marked as another
// core of its cable is.
func TestMarkedUnlikeItsCable(t *testing.T) {
	few, err := rules.Load("us-2023", rules.Overlay{Name: "few.yaml", Text: []byte(`
format: 1
name: three line colours
wiring:
  colours:
    schemes:
      insulation:
        palettes:
          line: {colours: [black, red, blue], section: made up, confidence: low}
`)})
	if err != nil {
		t.Fatal(err)
	}
	// All are fed at the light and go out to a first switch in two conductors. The hot
	// goes on among three to the far switch, once beside a red core and once beside a
	// blue one, so that no colour but black would do for both; and a traveler is on a
	// white one beside a red one, which leaves it blue.
	s := newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "a", "b", "d", "e", "f", "g").
		run("c", "a", 9).run("a", "b", 9).run("c", "d", 9).run("d", "e", 9).run("c", "f", 9).run("f", "g", 9).
		light("l", "c").light("m", "c").light("n", "c").
		control("red", []string{"l"}, "b", "a").control("blue", []string{"m"}, "e", "d").control("traveler", []string{"n"}, "f", "g").
		exempt("a", "b", "d", "e", "f", "g")
	blue := parsed("14/3")
	blue.Name, blue.Cores = "14/3 blue", slices.Clone(blue.Cores)
	for i := range blue.Cores {
		if blue.Cores[i].Colour == conductor.Plain(conductor.Red) {
			blue.Cores[i].Colour = conductor.Plain(conductor.Blue)
		}
	}
	s.Runs[3].Cable = blue
	p, err := plan.New(context.Background(), s.Intent, few, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"C1.white hot red", "C2.white hot blue", "C3.white hot red", "C4.white hot red", "C5.white hot red", "C6.white traveler blue"}
	if got := markedCores(p); !slices.Equal(got, want) {
		t.Errorf("%q, want %q\n%s", got, want, shown(p))
	}
}

// In a cable of two the return from a switch is on the neutral's colour where the rules
// say that it may be, and the hot otherwise.
func TestMarkedReturn(t *testing.T) {
	for _, row := range []struct {
		region, why, want string
		doubt             string // of whose rule
	}{
		{"uk-2018", "the blue core is sleeved brown as the switched line", "C1.blue switch leg brown", "BS 7671 514.3.2"},
		{"us-2023", "a re-marked white is no return", "C1.white hot red", ""},
	} {
		s := newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "s").run("c", "s", 9).light("l", "c").control("g", []string{"l"}, "s")
		in := s.Intent
		switch row.region {
		case "uk-2018":
			in.Supply, in.Feeds[0].Breaker = switchnet.SinglePhase230(), 6*quantity.Ampere
		case "us-2023":
			in = s.exempt("s").Intent
		}
		p, err := plan.New(context.Background(), in, region(t, row.region), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := markedCores(p); !slices.Equal(got, []string{row.want}) {
			t.Errorf("%s: %s: %q, want %q\n%s", row.region, row.why, got, row.want, shown(p))
		}
		doubt := slices.ContainsFunc(p.Notes, func(n string) bool {
			return strings.Contains(n, "have that confirmed") && strings.Contains(n, row.doubt)
		})
		if doubt != (row.doubt != "") {
			t.Errorf("%s: the notes are %q, want doubt of %q", row.region, p.Notes, row.doubt)
		}
	}
}

// markedCores lists the re-marked cores of a plan with what they do and their marking.
func markedCores(p *plan.Plan) []string {
	var out []string
	for _, c := range p.Cables {
		for _, k := range c.Conductors {
			if k.Marked != "" {
				out = append(out, fmt.Sprintf("%s.%s %s %s", c.Name, k.Colour, k.Does, k.Marked))
			}
		}
	}
	return out
}

// A marking that stands on conductors already stays what it is when something is added.
func TestMarkedAsBefore(t *testing.T) {
	us := region(t, "us-2023")
	s := newSketch("c").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "s", "a", "b").
		run("c", "s", 9).run("c", "a", 9).run("a", "b", 9).light("l", "c").light("m", "c").
		control("g", []string{"l"}, "s").exempt("s", "a", "b")
	p, err := plan.New(context.Background(), s.Intent, us, nil)
	if err != nil {
		t.Fatal(err)
	}
	old := p.Spec
	r, err := plan.Revise(context.Background(), old, s.control("h", []string{"m"}, "b", "a").Intent, us, nil)
	if err != nil {
		t.Fatal(err)
	}
	// C3 has a red core, so that it alone is marked otherwise.
	if got, want := markedCores(r.Plan), []string{"C1.white hot red", "C2.white hot red", "C3.white hot blue"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q\n%s", got, want, shown(r.Plan))
	}
	for _, b := range r.Boxes {
		if b.Box == "s" {
			t.Errorf("the sheet of s changes: %q", b)
		}
	}
}

// markedUnlike returns what a plan marks with several colours although colours go round:
// lines that do the same, on cores of a neutral's colour.
func markedUnlike(p *plan.Plan, neutrals []conductor.Colour) []string {
	as := map[string]string{}
	var out []string
	for _, c := range p.Cables {
		for _, k := range c.Conductors {
			white := slices.ContainsFunc(neutrals, func(n conductor.Colour) bool { return n.String() == k.Colour })
			if k.Marked == "" || !white {
				continue
			}
			what := k.Does
			if what == "common" {
				what = "traveler"
			}
			if was, ok := as[what]; ok && was != k.Marked {
				out = append(out, fmt.Sprintf("%s.%s is a %s marked %s, and others are marked %s", c.Name, k.Colour, k.Does, k.Marked, was))
			}
			as[what] = k.Marked
			for _, o := range c.Conductors {
				if o.Colour == k.Marked {
					out = append(out, fmt.Sprintf("%s.%s is marked %s, as a core of the cable is", c.Name, k.Colour, k.Marked))
				}
			}
		}
	}
	if as["hot"] != "" && as["hot"] == as["traveler"] {
		out = append(out, "hots and travelers are both marked "+as["hot"])
	}
	return out
}
